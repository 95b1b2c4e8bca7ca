//! Slats: boards lying flat side by side, as a deck that stands by itself or as a seat between two pieces.

use super::spaced::Spaced;
use super::{Asked, BEYOND, Form, Load, Planned, SHORTEST, Stand, Standing, of_board};
use crate::ground::{Outline, Spot, Sum, Way};
use crate::laid::{Built, Laid, Number, RowOf, Site};
use crate::texts::{Papers, Piece};

/// How far ledgers and bearers of a seat stop short of its front and back unless the plan says otherwise, in millimetres.
const USUAL_SHORT: i64 = 20;
/// How many screws hold each board of a piece to a ledger unless the plan says otherwise.
const USUAL_LEDGER_SCREWS: i64 = 4;

/// Slats as they are planned.
struct Slats {
    board: String,
    width: i128,
    /// Whether they run from front to back.
    across: bool,
    row: usize,
    seat: Option<Seat>,
}

/// What a seat hangs between and stands on.
struct Seat {
    /// Where the piece at the left begins, how long it is, and where the one at the right begins.
    begins: [Sum; 3],
    /// From its front to its back.
    depth: Sum,
    play: i128,
    short: i128,
    ledger: Timber,
    under: Option<Under>,
}

/// Bearers with two legs each.
struct Under {
    bearer: Timber,
    leg: Timber,
    span: i128,
    foot: i128,
}

/// A board by its name, its thickness, its width and the longest part that comes out of it.
pub(super) struct Timber {
    pub board: String,
    pub thickness: i128,
    pub width: i128,
    pub longest: i128,
}

impl Timber {
    /// The board behind a key.
    pub fn read(key: &str, piece: &Piece, papers: &Papers) -> Result<Timber, String> {
        let board = piece.word(key, "")?;
        let [thickness, width, longest] = of_board(&board, papers)?;
        Ok(Timber { board, thickness, width, longest })
    }

    pub fn stock(&self) -> (&'static str, &str) {
        ("board", &self.board)
    }
}

/// Two rectangles are of one width and begin as far back: for sizes to see to where they hang on different ones.
pub(super) fn in_line(asked: &mut Asked, one: &Outline, other: &Outline) -> Result<(), String> {
    let lines = |outline: &Outline| outline.lines().ok_or("it is no rectangle");
    let [front, _, back, _] = lines(one)?;
    let [other_front, _, other_back, _] = lines(other)?;
    let (width, other_width) = (back.plus(&front, -1), other_back.plus(&other_front, -1));
    for apart in [other_width.plus(&width, -1), other_front.plus(&front, -1)] {
        if !apart.terms.is_empty() {
            asked.limit(Vec::new(), apart, 0, 0);
        } else if apart.constant != 0 {
            return Err("two pieces are not of one width, or one lies further back".into());
        }
    }
    Ok(())
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    match piece.named("between").as_slice() {
        [] => deck(asked, piece, papers),
        &[left, right] => seat(asked, piece, papers, [left, right]),
        _ => Err(format!("`{}` does not lie between two pieces", piece.name)),
    }
}

fn deck(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let board = Timber::read("board", piece, papers)?;
    let sides = [asked.size(piece, "length")?, asked.size(piece, "width")?];
    let across = piece.word("boards", "along")? == "across";
    let (run, long) = if across { (0, 1) } else { (1, 0) };
    let gap = asked.gap(piece, "gap", None)?;
    let row = asked.row(Vec::new(), sides[run].clone(), board.width, 0, gap);
    asked.comes_out(Vec::new(), sides[long].clone(), board.longest);
    let begins = asked.stands_alone(&sides[0]);
    let top = i128::from(piece.length("top", 0)?);
    if top < board.thickness {
        return Err(format!("`{}` reaches into the ground", piece.name));
    }
    let [length, width] = sides;
    let outline = Outline::rectangle(length, width).from(&begins);
    let stand = Stand::plain(outline, Sum::fixed(top - board.thickness), Sum::fixed(top));
    let form = Slats { width: board.width, board: board.board, across, row, seat: None };
    Ok(Planned { standing: Standing::Alone, ..Planned::new(piece, "slats", stand, Box::new(form)) })
}

fn seat(asked: &mut Asked, piece: &Piece, papers: &Papers, names: [&str; 2]) -> Result<Planned, String> {
    let places = [asked.find(names[0])?, asked.find(names[1])?];
    let [left, right] = places.map(|place| asked.pieces[place].stand.clone());
    if !(left.faces && right.faces) {
        return Err(format!("nothing can be fixed to what `{}` hangs between", piece.name));
    }
    let covered = |piece: &&Piece| names.contains(&piece.name.as_str()) && piece.named("boards") == ["board on board"];
    if papers.pieces.iter().any(|piece| covered(&piece)) {
        return Err(format!("`{}` hangs on boards that only cover gaps", piece.name));
    }
    in_line(asked, &left.outline, &right.outline)?;
    let board = Timber::read("board", piece, papers)?;
    let gap = asked.gap(piece, "gap", None)?;
    let depth = left.outline.length(1);
    let row = asked.row(Vec::new(), depth.clone(), board.width, 0, gap);
    let top = match piece.has("top") {
        true => Sum::fixed(piece.length("top", 0)?.into()),
        false => left.top.clone(),
    };
    let bottom = top.and(-board.thickness);
    let seat = Seat {
        begins: [left.outline.begins(), left.outline.length(0), right.outline.begins()],
        depth,
        play: piece.length("play", 0)?.into(),
        short: piece.length("short", USUAL_SHORT)?.into(),
        ledger: Timber::read("ledger", piece, papers)?,
        under: under(piece, papers)?,
    };
    seat.refuse(&piece.name)?;
    asked.comes_out(Vec::new(), seat.clear().and(-2 * seat.play), board.longest);
    seat.ask(asked, &bottom);
    for of in [&left, &right] {
        asked.limit(Vec::new(), of.top.plus(&bottom, -1), 0, BEYOND);
        asked.limit(Vec::new(), bottom.and(-seat.ledger.width).plus(&of.bottom, -1), 0, BEYOND);
    }
    let lines = |outline: &Outline| outline.lines().ok_or("it is no rectangle");
    let ([front, from, back, _], [_, _, _, to]) = (lines(&left.outline)?, lines(&right.outline)?);
    let outline = Outline::of_lines([front, to.and(-seat.play), back, from.and(seat.play)]);
    let stand = Stand::plain(outline, bottom, top);
    let form = Slats { width: board.width, board: board.board, across: false, row, seat: Some(seat) };
    let mut planned = Planned::new(piece, "slats", stand, Box::new(form));
    planned.around = Some(places[0]);
    planned.fixed = true;
    planned.and_to = Some(places[1]);
    screws(&mut planned, piece, names)?;
    Ok(planned)
}

fn under(piece: &Piece, papers: &Papers) -> Result<Option<Under>, String> {
    if !piece.has("span") {
        return Ok(None);
    }
    Ok(Some(Under {
        bearer: Timber::read("bearer", piece, papers)?,
        leg: Timber::read("leg", piece, papers)?,
        span: piece.length("span", 0)?.into(),
        foot: piece.length("foot", 0)?.into(),
    }))
}

/// Boards to what they lie on, the pieces' own boards to the ledgers, bearers to legs.
fn screws(planned: &mut Planned, piece: &Piece, names: [&str; 2]) -> Result<(), String> {
    if !piece.has("screw") {
        return Ok(());
    }
    let (screw, own) = (piece.word("screw", "")?, piece.name.as_str());
    let each = piece.whole("ledger-screws", USUAL_LEDGER_SCREWS)?;
    planned.fix((own, "board"), (own, "ledger"), &screw).load = Load::Down;
    if piece.has("span") {
        planned.fix((own, "board"), (own, "bearer"), &screw).load = Load::Down;
        planned.fix((own, "bearer"), (own, "leg"), &screw).load = Load::Down;
    }
    for name in names {
        for held in ["board", "panel"] {
            let fixing = planned.fix((name, held), (own, "ledger"), &screw);
            (fixing.each, fixing.load) = (Some(each), Load::DownOnBase);
        }
    }
    Ok(())
}

impl Seat {
    /// From the right face of the piece at the left to the left face of the one at the right.
    fn clear(&self) -> Sum {
        let [left, length, right] = &self.begins;
        right.plus(left, -1).plus(length, -1)
    }

    /// What no size can mend: bays so short that a leg meets a ledger or the next bearer.
    fn refuse(&self, name: &str) -> Result<(), String> {
        let least = |under: &Under| under.bearer.thickness + 2 * (under.leg.width + self.ledger.thickness + SHORTEST);
        match self.under.as_ref().filter(|under| under.span < least(under)) {
            Some(_) => Err(format!("the legs of `{name}` could stand in one another")),
            None => Ok(()),
        }
    }

    fn ask(&self, asked: &mut Asked, bottom: &Sum) {
        let none = Vec::new;
        asked.is_there(none(), self.clear().and(-2 * self.ledger.thickness));
        let between = self.depth.and(-2 * self.short);
        asked.comes_out(none(), between.clone(), self.ledger.longest);
        if let Some(Under { bearer, leg, foot, .. }) = &self.under {
            asked.comes_out(none(), between.clone(), bearer.longest);
            asked.is_there(none(), between.and(-2 * leg.thickness));
            asked.comes_out(none(), bottom.and(-foot), leg.longest);
            asked.limit(none(), bottom.and(-bearer.width), *foot, BEYOND);
        }
    }

    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) {
        let [left, length, right] = self.begins.each_ref().map(|sum| site.value(sum));
        let (from, clear) = (left + length, right - left - length);
        let bottom = own.up(site)[0];
        let front = site.ground(&own.stand.outline).corners[0][1];
        let depth = site.value(&self.depth);
        let across = [front + self.short, front + depth - self.short];
        let mut expect = |what: &str, rule, inputs| {
            built.numbers.push(Number { name: format!("{}.{what}", own.name), rule, of: "nm", inputs });
        };
        expect("clear", "clear", vec![right, left, length]);
        expect("board.length", "between-ends", vec![clear, self.play]);
        expect("ledger.length", "between-ends", vec![depth, self.short]);
        let Timber { thickness, width, .. } = self.ledger;
        for (face, x) in [("right", [from, from + thickness]), ("left", [right - thickness, right])] {
            let spot = boxed([x, across, [bottom - width, bottom]]);
            let slot = (own.name.as_str(), "ledger", face, 0, 0);
            built.parts.push(Laid::new(slot, self.ledger.stock(), spot, Way::Out, Way::Up));
        }
        if let Some(under) = &self.under {
            under.lay(own, [from, clear], across, bottom, [depth, self.short], built);
        }
    }
}

impl Under {
    fn lay<'a>(
        &'a self,
        own: &'a Planned,
        [from, clear]: [i128; 2],
        across: [i128; 2],
        bottom: i128,
        [depth, short]: [i128; 2],
        built: &mut Built<'a>,
    ) {
        let name = own.name.as_str();
        let spaced = Spaced::over(clear, Some(self.span));
        spaced.expect(&format!("{name}.bearer"), built);
        let mut expect = |what: &str, rule, inputs| {
            built.numbers.push(Number { name: format!("{name}.{what}"), rule, of: "nm", inputs });
        };
        expect("bearer.length", "between-ends", vec![depth, short]);
        if spaced.bays > 1 {
            expect("leg.length", "leg", vec![bottom, 0, self.foot]);
        }
        let Timber { thickness: wide, width: high, .. } = self.bearer;
        for i in 1..spaced.bays {
            let x = from + bearer_start(i, &spaced, wide);
            let spot = boxed([[x, x + wide], across, [bottom - high, bottom]]);
            // There are fewer bays than a row has members.
            let index = i as i64 - 1;
            built.parts.push(Laid::new(
                (name, "bearer", "front", 0, index),
                self.bearer.stock(),
                spot,
                Way::Out,
                Way::Up,
            ));
            let along = [x + wide, x + wide + self.leg.width];
            let deep = self.leg.thickness;
            for (face, y) in [("front", [across[0], across[0] + deep]), ("back", [across[1] - deep, across[1]])] {
                let spot = boxed([along, y, [self.foot, bottom]]);
                let slot = (name, "leg", face, 0, index);
                built.parts.push(Laid::new(slot, self.leg.stock(), spot, Way::Up, Way::Along));
            }
        }
    }
}

/// Where bearer `i` begins that is so wide: centred on its share of the clear distance, rounded down once.
fn bearer_start(i: i128, spaced: &Spaced, wide: i128) -> i128 {
    (2 * spaced.reach * i - spaced.bays * wide).div_euclid(2 * spaced.bays)
}

/// A box from and to along x, y and z.
pub(super) fn boxed(reach: [[i128; 2]; 3]) -> Spot {
    Spot::of(reach.map(|reach| reach[0]), reach.map(|reach| reach[1]))
}

impl Form for Slats {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let ground = site.ground(&own.stand.outline);
        let ([x, y], up) = (ground.corners[0], own.up(site));
        let (face, long) = if self.across { ("front", 1) } else { ("right", 0) };
        let row_of = RowOf {
            piece: &own.name,
            face,
            pattern: vec![self.width],
            and_first: false,
            starts_with_gap: false,
            up: false,
        };
        let row = site.row(&row_of, self.row)?;
        for i in 0..row.count {
            let along = |side: usize, from: i128| [from, from + ground.lengths[side]];
            let (spot, length, width) = if self.across {
                (boxed([row.reach(i).map(|at| x + at), along(1, y), up]), Way::Out, Way::Along)
            } else {
                (boxed([along(0, x), row.reach(i).map(|at| y + at), up]), Way::Along, Way::Out)
            };
            let slot = (own.name.as_str(), "board", "front", 0, i64::try_from(i).ok()?);
            built.parts.push(Laid::new(slot, ("board", &self.board), spot, length, width));
        }
        built.rows.push(row);
        match &self.seat {
            Some(seat) => seat.lay(own, site, built),
            None => {
                let (name, inputs) = (format!("{}.board.length", own.name), vec![ground.lengths[long], 0]);
                built.numbers.push(Number { name, rule: "between-ends", of: "nm", inputs });
            }
        }
        Some(())
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::asked::{Limit, derive};
    use crate::texts;

    pub const MM: i128 = 1_000_000;

    /// What a plan asks, by itself and in a yard of a few boards.
    pub fn asked(pieces: &str) -> Result<Asked, String> {
        let yard = "format = 1\ncurrency = \"EUR\"\n\
            [board]\n\
            wall = { thickness = 32, width = 140, lengths = [{ length = 3600 }] }\n\
            slat = { thickness = 32, width = 90, lengths = [{ length = 4800 }] }\n\
            post = { thickness = 70, width = 70, lengths = [{ length = 3000 }] }\n\
            [unit]\n\
            paver = { length = 200, width = 100, thickness = 50 }\n";
        let plan = format!("format = 1\ntitle = \"t\"\nyard = \"y\"\nshed = \"s\"\n{pieces}");
        let shed = "format = 1\n[saw]\nkerf = 3\ntrim = 10\n";
        derive(&texts::read(&crate::Texts { plan: &plan, yard, shed, daybook: "" })?)
    }

    /// Two square planters of these sizes and a seat between them.
    pub fn with_seat(right: &str, seat: &str) -> Result<Asked, String> {
        asked(&format!(
            "[piece.left]\nis = \"walls\"\nlength = 477\nheight = 420\nboard = \"wall\"\noff-ground = 20\n\
             [piece.right]\nis = \"walls\"\nbeside = \"left\"\noverall = 2498\n{right}\nboard = \"wall\"\noff-ground = 20\n\
             [piece.seat]\nis = \"slats\"\nbetween = [\"left\", \"right\"]\nboard = \"slat\"\ngap = 7\nledger = \"post\"\n{seat}\n"
        ))
    }

    fn limit(asked: &Asked, value: Sum, from: i128, to: i128) -> bool {
        let own = Limit { when: Vec::new(), value, from, to, slack: 0 };
        asked.limits.iter().any(|limit| limit.is_like(&own))
    }

    /// Worked outside this project (a seat between two planters): over planters 477 long and 2498 overall the clear distance is
    /// 1544; in three bays the middles of two bearers of 32 lie 514.7 and 1029.3 from the planter.
    #[test]
    fn bearers_stand_on_their_shares() {
        let spaced = Spaced::over(1_544 * MM, Some(520 * MM));
        assert_eq!(spaced.bays, 3);
        let middles = [1, 2].map(|i| (bearer_start(i, &spaced, 32 * MM) + 16 * MM + 50_000).div_euclid(100_000));
        assert_eq!(middles, [5_147, 10_293]);
    }

    /// By hand: sizes are left.length, left.height and right.overall; the clear distance is overall less two lengths, and the
    /// boards' underside lies 32 below the rim, which is 20 above the ground and the height.
    #[test]
    fn a_seat_asks_for_what_hangs_under_it() {
        let under = "play = 4\nspan = 520\nbearer = \"slat\"\nleg = \"post\"\nfoot = 20";
        let asked = with_seat("like = \"left\"", under).expect("a seat");
        let clear = Sum::size(2).plus(&Sum::size(0), -2);
        let underside = Sum::size(1).and(-12 * MM);
        assert_eq!(asked.pieces[2].stand.bottom, underside);
        assert_eq!(asked.pieces[2].stand.outline.length(0), clear.and(-8 * MM));
        assert!(limit(&asked, clear.and(-8 * MM), -BEYOND, 4_790 * MM));
        assert!(limit(&asked, clear.and(-140 * MM), 50 * MM, BEYOND));
        // Ledgers of 70 end above the planters' lower edges, bearers of 90 above their feet.
        assert!(limit(&asked, underside.and(-90 * MM), 0, BEYOND));
        assert!(limit(&asked, underside.and(-90 * MM), 20 * MM, BEYOND));
        // Two legs of 70 and 50 between them fit between the ends, 20 in from either face.
        assert!(limit(&asked, Sum::size(0).and(-180 * MM), 50 * MM, BEYOND));
        assert!(limit(&asked, underside.and(-20 * MM), -BEYOND, 2_990 * MM));
        // Where no size is left in it a limit stands all the same: the rim is 32 above the boards' underside.
        assert!(limit(&asked, Sum::fixed(32 * MM), 0, BEYOND));
        assert_eq!(asked.lifted(), [vec!["left", "seat"], vec!["right", "seat"]]);
        // A bearer of 32 and on either side a leg of 70, a ledger of 70 and 50 between them.
        let span = |span: i64| with_seat("like = \"left\"", &under.replace("520", &span.to_string())).is_ok();
        assert_eq!([span(412), span(411)], [true, false]);
    }

    /// Two planters with widths of their own have to have the same one; fixed widths that differ cannot.
    #[test]
    fn a_seat_lies_between_what_is_as_wide() {
        let right = "length = 300\nwidth = 480\nheight = 420";
        let asked = with_seat(right, "").expect("sizes may settle it");
        let place = |name: &str| asked.sizes.iter().position(|size| size.0 == name).expect("a size");
        let apart = Sum::size(place("right.width")).plus(&Sum::size(place("left.length")), -1);
        assert!(limit(&asked, apart.clone(), 0, 0) && limit(&asked, Sum::default().plus(&apart, -1), 0, 0));
        assert!(!limit(&asked, apart.and(1), 0, 0));
        let [one, other] = [400, 401].map(|width| Outline::rectangle(Sum::fixed(500), Sum::fixed(width)));
        assert!(in_line(&mut Asked::default(), &one, &other).is_err());
        assert!(in_line(&mut Asked::default(), &one, &one).is_ok());
    }

    /// A deck whose upper face lies less than a board above the ground is no deck.
    #[test]
    fn a_deck_lies_on_the_ground_or_above_it() {
        let deck = |top: i64| {
            asked(&format!(
                "[piece.deck]\nis = \"slats\"\nlength = 2400\nwidth = 1200\ntop = {top}\nboard = \"slat\"\ngap = 6\n"
            ))
        };
        let ground = deck(32).expect("on the ground");
        assert_eq!(ground.pieces[0].stand.bottom, Sum::default());
        assert_eq!((ground.rows[0].length.clone(), ground.rows[0].member), (Sum::size(1), 90 * MM));
        assert!(limit(&ground, Sum::size(0), -BEYOND, 4_790 * MM));
        assert!(deck(31).is_err());
    }
}
