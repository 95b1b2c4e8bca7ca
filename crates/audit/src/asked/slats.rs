//! Slats: boards lying flat side by side, as a deck that stands by itself or as a seat between two pieces.

use super::spaced::Spaced;
use super::{Asked, BEYOND, Form, Planned, Stand, Standing, of_board};
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
    planned.fix((own, "board"), (own, "ledger"), &screw);
    if piece.has("span") {
        planned.fix((own, "board"), (own, "bearer"), &screw);
        planned.fix((own, "bearer"), (own, "leg"), &screw);
    }
    for name in names {
        for held in ["board", "panel"] {
            planned.fix((name, held), (own, "ledger"), &screw).each = Some(each);
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

    fn ask(&self, asked: &mut Asked, bottom: &Sum) {
        let none = Vec::new;
        asked.is_there(none(), self.clear().and(-2 * self.ledger.thickness));
        let between = self.depth.and(-2 * self.short);
        asked.comes_out(none(), between.clone(), self.ledger.longest);
        if let Some(Under { bearer, leg, foot, .. }) = &self.under {
            asked.comes_out(none(), between.clone(), bearer.longest);
            asked.is_there(none(), between.and(-2 * leg.thickness));
            asked.comes_out(none(), bottom.and(-foot), leg.longest);
            asked.limit(none(), bottom.and(-bearer.width - foot), 0, BEYOND);
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
            // Centred on the share of the clear distance, rounded down once.
            let x = from + (2 * clear * i - spaced.bays * wide).div_euclid(2 * spaced.bays);
            let spot = boxed([[x, x + wide], across, [bottom - high, bottom]]);
            // There are fewer bays than a row has members.
            let index = i as i64 - 1;
            built.parts.push(Laid::new((name, "bearer", "front", 0, index), self.bearer.stock(), spot, Way::Out, Way::Up));
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
