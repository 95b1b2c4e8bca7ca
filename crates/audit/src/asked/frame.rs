//! A frame under a deck: rims, joists between them, and legs of different lengths under it or inside it.

use super::slats::{Timber, boxed};
use super::spaced::Spaced;
use super::{Asked, BEYOND, Form, Planned, SHORTEST, Stand};
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
    let mut planned = Planned::new(piece, "frame", stand, Box::new(frame));
    if piece.has("screw") {
        planned.fix((&over_name, "board"), (&piece.name, "joist"), &piece.word("screw", "")?);
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

    /// What no size can mend: a frame in the ground, a leg too short or too long.
    fn refuse(&self, bottom: &Sum, top: &Sum) -> Result<(), String> {
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

    fn lay_legs<'a>(&self, legs: &'a Legs, own: &'a Planned, site: &Site<'a>, joists: &Spaced, built: &mut Built<'a>) -> Option<()> {
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
