//! A frame under a deck: rims, joists between them, and legs of different lengths under it or inside it.

use super::slats::{Timber, boxed};
use super::spaced::Spaced;
use super::{Asked, BEYOND, Form, Load, Planned, SHORTEST, Stand};
use crate::geometry::{Case, parts_of};
use crate::ground::{Outline, Sum, Way};
use crate::laid::{Built, Laid, Number, Site};
use crate::ledger::{Ledger, Mm};
use crate::texts::{Papers, Piece};

/// How far the frame lies in from the deck's edge unless the plan says otherwise, in millimetres.
const USUAL_INSET: i64 = 20;

/// A frame as it is planned.
struct Frame {
    deck: usize,
    /// The deck's outline.
    over: Outline,
    inset: i128,
    board: Timber,
    spacing: i128,
    legs: Option<Legs>,
}

struct Legs {
    board: Timber,
    inside: bool,
    spacing: Option<i128>,
    /// The height of the ground at each, the front's from the left, then the back's; none if all is level.
    ground: Vec<i128>,
    pad: i128,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let deck = asked.find(&piece.word("under", "")?)?;
    let (over, over_name) = (asked.pieces[deck].stand.clone(), asked.pieces[deck].name.clone());
    let under = papers.pieces.iter().find(|piece| piece.name == over_name);
    let along = under.map(|deck| deck.word("boards", "along")).transpose()?;
    if asked.pieces[deck].is != "slats" || along.is_none_or(|along| along != "along") {
        return Err(format!("`{}` lies under no boards that run along the front", piece.name));
    }
    let board = Timber::read("board", piece, papers)?;
    let inset = i128::from(piece.length("inset", USUAL_INSET)?);
    let legs = legs(piece, papers)?;
    let outline = over.outline.grown(-inset);
    let (top, bottom) = (over.bottom.clone(), over.bottom.and(-board.width));
    let spacing = i128::from(piece.length("spacing", 0)?);
    let frame = Frame { deck, over: over.outline, inset, board, spacing, legs };
    frame.ask(asked, &outline);
    frame.refuse(&bottom, &top)?;
    let stand = Stand { faces: true, ..Stand::plain(outline, bottom, top) };
    let [under, inside] = [false, true].map(|way| frame.legs.as_ref().is_some_and(|legs| legs.inside == way));
    let mut planned = Planned::new(piece, "frame", stand, Box::new(frame));
    planned.fit(piece, "hanger", "joist", 2, true)?;
    planned.fit(piece, "bracket", "leg", 1, under)?;
    planned.fit(piece, "bolt", "leg", 2, inside)?;
    if piece.has("screw") {
        planned.fix((&over_name, "board"), (&piece.name, "joist"), &piece.word("screw", "")?).load = Load::Down;
    }
    Ok(Planned { around: Some(deck), fixed: true, ..planned })
}

fn legs(piece: &Piece, papers: &Papers) -> Result<Option<Legs>, String> {
    if !piece.has("leg") {
        return Ok(None);
    }
    Ok(Some(Legs {
        board: Timber::read("leg", piece, papers)?,
        inside: piece.word("legs", "under")? == "inside",
        spacing: piece.has("leg-spacing").then(|| piece.length("leg-spacing", 0).map(i128::from)).transpose()?,
        ground: piece.lengths("ground")?.into_iter().map(i128::from).collect(),
        pad: piece.length("pad", 0)?.into(),
    }))
}

impl Frame {
    fn ask(&self, asked: &mut Asked, outline: &Outline) {
        let none = Vec::new;
        let [length, width] = [0, 1].map(|side| outline.length(side));
        let Timber { thickness, longest, .. } = self.board;
        asked.comes_out(none(), length.clone(), longest);
        asked.comes_out(none(), width.and(-2 * thickness), longest);
        asked.is_there(none(), length.and(-2 * thickness));
        let Some(legs) = &self.legs else { return };
        let behind = if legs.inside { 2 * thickness } else { 0 };
        asked.is_there(none(), length.and(-2 * legs.board.width));
        asked.is_there(none(), width.and(-behind - 2 * legs.board.thickness));
        if let (false, Some(spacing)) = (legs.ground.is_empty(), legs.spacing) {
            keep_count(asked, &length.and(-legs.board.width), legs.ground.len() as i128 / 2, spacing);
        }
    }

    /// What no size can mend: members that could stand in one another, a frame in the ground, a leg too short or too long.
    fn refuse(&self, bottom: &Sum, top: &Sum) -> Result<(), String> {
        self.refuse_spacings()?;
        let grounds = self.legs.as_ref().map_or(Vec::new(), |legs| legs.ground.clone());
        let highest = grounds.iter().copied().max().unwrap_or(0);
        if !bottom.terms.is_empty() || bottom.constant < highest {
            return Err("a frame reaches into the ground".into());
        }
        let Some(legs) = &self.legs else { return Ok(()) };
        let upper = if legs.inside { top.constant } else { bottom.constant };
        let lowest = grounds.iter().copied().min().unwrap_or(0);
        let [least, most] = [highest, lowest].map(|ground| upper - ground - legs.pad);
        if least < SHORTEST || most > legs.board.longest {
            return Err("a leg is too short, or does not come out of its board".into());
        }
        Ok(())
    }

    fn refuse_spacings(&self) -> Result<(), String> {
        let closest = |member: i128| 2 * (member + SHORTEST);
        let thick = self.board.thickness;
        let close = self.legs.as_ref().is_some_and(|legs| {
            let wide = legs.board.width;
            legs.spacing.is_some_and(|spacing| spacing < closest(wide)) || legs.inside && self.spacing < thick + wide
        });
        if close || self.spacing < closest(thick) {
            return Err("joists or legs could stand in one another".into());
        }
        Ok(())
    }

    /// How far along the frame each leg of a rim begins.
    fn leg_places(&self, legs: &Legs, spaced: &Spaced, joists: &Spaced) -> Vec<i128> {
        let (own, joist) = (legs.board.width, self.board.thickness);
        let beside = |i: i128| match i {
            0 => joists.start(0) + joist,
            i if i == spaced.bays => joists.start(joists.bays) - own,
            // Against the right face of the joist that is nearest to its share of the joists, halves up.
            i => joists.start((2 * i * joists.bays + spaced.bays).div_euclid(2 * spaced.bays)) + joist,
        };
        (0..=spaced.bays).map(|i| if legs.inside { beside(i) } else { spaced.start(i) }).collect()
    }

    fn lay_legs<'a>(
        &self,
        legs: &'a Legs,
        own: &'a Planned,
        site: &Site<'a>,
        joists: &Spaced,
        built: &mut Built<'a>,
    ) -> Option<()> {
        let ground = site.ground(&own.stand.outline);
        let ([x, y], [length, width]) = (ground.corners[0], [ground.lengths[0], ground.lengths[1]]);
        let [bottom, top] = own.up(site);
        let upper = if legs.inside { top } else { bottom };
        let spaced = Spaced::over(length - legs.board.width, legs.spacing);
        spaced.expect(&format!("{}.leg", own.name), built);
        let places = self.leg_places(legs, &spaced, joists);
        let behind = if legs.inside { self.board.thickness } else { 0 };
        let deep = legs.board.thickness;
        let rims = [("front", [behind, behind + deep]), ("back", [width - behind - deep, width - behind])];
        for (rim, (face, out)) in rims.into_iter().enumerate() {
            for (i, &place) in places.iter().enumerate() {
                let at = legs.ground_at(rim * places.len() + i)?;
                let name = format!("{}.{face}.leg-{}.length", own.name, i + 1);
                built.numbers.push(Number { name, rule: "leg", of: "nm", inputs: vec![upper, at, legs.pad] });
                let along = [x + place, x + place + legs.board.width];
                let spot = boxed([along, out.map(|out| y + out), [at + legs.pad, upper]]);
                let slot = (own.name.as_str(), "leg", face, 0, i64::try_from(i).ok()?);
                built.parts.push(Laid::new(slot, legs.board.stock(), spot, Way::Up, Way::Along));
            }
        }
        if legs.inside {
            let inputs = vec![2 * places.len() as i128];
            built.numbers.push(Number { name: format!("{}.bolts", own.name), rule: "bolts", of: "count", inputs });
        }
        Some(())
    }
}

/// Members as needed over a length from the first's start to the last's come to so many: no fewer and no more.
pub(super) fn keep_count(asked: &mut Asked, reach: &Sum, members: i128, spacing: i128) {
    let bays = members - 1;
    asked.limit(Vec::new(), reach.clone(), -BEYOND, bays * spacing);
    if bays > 1 {
        asked.limit(Vec::new(), reach.clone(), (bays - 1) * spacing + 1, BEYOND);
    }
}

impl Legs {
    /// The ground at a leg: level where the plan names no heights.
    fn ground_at(&self, leg: usize) -> Option<i128> {
        if self.ground.is_empty() { Some(0) } else { self.ground.get(leg).copied() }
    }
}

impl Form for Frame {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let ground = site.ground(&own.stand.outline);
        let ([x, y], [length, width]) = (ground.corners[0], [ground.lengths[0], ground.lengths[1]]);
        let (up, thick, name) = (own.up(site), self.board.thickness, own.name.as_str());
        let joists = Spaced::over(length - thick, Some(self.spacing));
        let [over_length, over_width] = [0, 1].map(|side| site.value(&self.over.length(side)));
        let mut expect = |what: &str, inputs| {
            built.numbers.push(Number { name: format!("{name}.{what}"), rule: "between-ends", of: "nm", inputs });
        };
        expect("rim.length", vec![over_length, self.inset]);
        expect("width", vec![over_width, self.inset]);
        expect("joist.length", vec![width, thick]);
        joists.expect(&format!("{name}.joist"), built);
        for (face, out) in [("front", y), ("back", y + width - thick)] {
            let spot = boxed([[x, x + length], [out, out + thick], up]);
            built.parts.push(Laid::new((name, "rim", face, 0, 0), self.board.stock(), spot, Way::Along, Way::Up));
        }
        for i in 0..=joists.bays {
            let from = x + joists.start(i);
            let spot = boxed([[from, from + thick], [y + thick, y + width - thick], up]);
            let slot = (name, "joist", "front", 0, i64::try_from(i).ok()?);
            built.parts.push(Laid::new(slot, self.board.stock(), spot, Way::Out, Way::Up));
        }
        self.legs.as_ref().map_or(Some(()), |legs| self.lay_legs(legs, own, site, &joists, built))
    }

    /// The deck reaches as far over the frame on all four sides.
    fn hold(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        let deck = &case.site.asked.pieces[self.deck].name;
        let [over, frame] = [deck, &own.name].map(|name| {
            let parts = parts_of(case.record, name);
            let least = [0, 1].map(|axis| parts.iter().map(|part| i128::from(part.corner[axis])).min().unwrap_or(0));
            let most = [0, 1].map(|axis| parts.iter().map(|part| i128::from(part.far()[axis])).max().unwrap_or(0));
            [least, most]
        });
        let over = [0, 1].map(|axis| [frame[0][axis] - over[0][axis], over[1][axis] - frame[1][axis]].map(Mm));
        ledger.same(&format!("how far {deck} reaches over {}", own.name), over, [[Mm(self.inset); 2]; 2]);
    }
}

#[cfg(test)]
mod tests {
    use super::super::slats::tests::{MM, asked};
    use super::*;

    fn timber(thickness: i128, width: i128) -> Timber {
        Timber { board: String::new(), thickness: thickness * MM, width: width * MM, longest: 3_000 * MM }
    }

    fn frame(inside: bool, ground: Vec<i128>) -> Frame {
        let spacing = Some(1_200 * MM);
        let legs = Legs { board: timber(95, 95), inside, spacing, ground, pad: 50 * MM };
        let over = Outline::rectangle(Sum::fixed(2_400 * MM), Sum::fixed(1_202 * MM));
        Frame { deck: 0, over, inset: 20 * MM, board: timber(45, 95), spacing: 450 * MM, legs: Some(legs) }
    }

    /// Worked outside this project (a platform bench): a frame 2360 long of 45 has seven joists, their middles at 22.5, 408.3,
    /// 794.2, 1180, 1565.8, 1951.7 and 2337.5.
    #[test]
    fn joists_of_a_platform() {
        let joists = Spaced::over((2_360 - 45) * MM, Some(450 * MM));
        let tenths = |i| (joists.start(i) + 45 * MM / 2 + 50_000).div_euclid(100_000);
        assert_eq!((0..=joists.bays).map(tenths).collect::<Vec<_>>(), [225, 4083, 7942, 11800, 15658, 19517, 23375]);
    }

    /// By hand on the same frame: under it three legs of 95 begin at 0, 1132.5 and 2265; inside they stand right of the first
    /// joist, right of the middle one of seven (which begins at 1157.5), and left of the last, which begins at 2315.
    #[test]
    fn legs_under_and_inside() {
        let joists = Spaced::over(2_315 * MM, Some(450 * MM));
        let legs = Spaced::over(2_265 * MM, Some(1_200 * MM));
        let places = |inside: bool| {
            let frame = frame(inside, Vec::new());
            let all = frame.leg_places(frame.legs.as_ref().expect("legs"), &legs, &joists);
            all.into_iter().map(|at| at / 100_000).collect::<Vec<_>>()
        };
        assert_eq!(places(false), [0, 11_325, 22_650]);
        assert_eq!(places(true), [450, 11_575 + 450, 23_150 - 950]);
    }

    /// The underside of that frame lies 284 above the ground at its highest leg: 234 are left over a pad of 50. Ground 185
    /// higher leaves 49, and ground 2.8 m lower wants more than a board of 3 m gives.
    #[test]
    fn legs_too_short_or_too_long() {
        let refused = |ground: i128| {
            let ground = vec![0, 0, 0, ground * MM];
            frame(false, ground).refuse(&Sum::fixed(284 * MM), &Sum::fixed(379 * MM)).is_err()
        };
        assert_eq!([0, 184, 185, -2_766, -2_767].map(refused), [false, false, true, false, true]);
        let reaches_down = frame(false, Vec::new()).refuse(&Sum::fixed(-1), &Sum::fixed(MM));
        assert!(reaches_down.is_err());
        // As many as needed can come to half a spacing: half of 190 leaves 50 between joists of 45, half of 290 between legs of 95.
        let close = |inside, joists: i128, legs: i128| {
            let mut frame = frame(inside, Vec::new());
            frame.spacing = joists * MM;
            frame.legs.iter_mut().for_each(|own| own.spacing = Some(legs * MM));
            frame.refuse_spacings().is_err()
        };
        assert_eq!([close(false, 190, 290), close(false, 189, 290), close(false, 190, 289)], [false, true, true]);
        assert!(!close(true, 190, 290));
    }

    /// Three heights to a rim keep the frame to two bays: from first to last more than one spacing and at most two.
    #[test]
    fn heights_keep_the_count() {
        let plan = "[piece.deck]\nis = \"slats\"\nlength = 2400\nwidth = 1200\ntop = 400\nboard = \"slat\"\ngap = 6\n\
            [piece.frame]\nis = \"frame\"\nunder = \"deck\"\nboard = \"slat\"\nspacing = 450\nleg = \"post\"\n\
            leg-spacing = 1200\nground = [0, -24, -47, -8, -31, -56]\n";
        assert!(asked(&plan.replace("gap = 6", "gap = 6\nboards = \"across\"")).is_err());
        let asked = asked(plan).expect("a frame");
        // 40 off for both insets and 70 for a leg.
        let reach = Sum::size(0).and(-110 * MM);
        let held: Vec<_> = asked.limits.iter().filter(|limit| limit.value == reach).collect();
        let ends: Vec<_> = held.iter().map(|limit| (limit.from, limit.to)).collect();
        assert_eq!(ends, [(-BEYOND, 2_400 * MM), (1_200 * MM + 1, BEYOND)]);
        assert_eq!(asked.lifted(), [["deck", "frame"]]);
    }
}
