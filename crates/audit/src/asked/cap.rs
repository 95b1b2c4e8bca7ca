//! A cap: boards that lie flat on the upper edges, level or falling outwards.

use super::leaning::Leaning;
use super::lines::{self, BOARD_CORNERS, Line};
use super::{Asked, Form, Load, Planned, Stand, of_board};
use crate::geometry::Case;
use crate::ground::{Outline, QUARTER, Way, meets, sin_cos};
use crate::laid::{ANGLE, Built, ROUNDED, Site};
use crate::ledger::Ledger;
use crate::texts::{Papers, Piece};

/// A cap as it is planned.
struct Cap {
    board: String,
    thickness: i128,
    width: i128,
    oversail: i128,
    /// In millionths of a degree.
    slope: i64,
    /// The outline of what it lies on.
    base: Outline,
    lines: Vec<Line>,
    /// Whether the plan says which screws hold it.
    screwed: bool,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let around = asked.find(&piece.word("on", "")?)?;
    let board = piece.word("board", "")?;
    let [thickness, width, longest] = of_board(&board, papers)?;
    let oversail = i128::from(piece.length("oversail", 0)?);
    let slope = piece.whole("slope", 0)? * 1_000_000;
    let on = &asked.pieces[around].stand;
    let (base, top) = (on.outline.clone(), on.top.clone());
    let word = piece.word("corners", "mitred")?;
    if !BOARD_CORNERS.contains(&word.as_str()) && word != "mitred" {
        return Err(format!("unknown corners `{word}`"));
    }
    let strip = (oversail - width, oversail);
    let lines = lines::lines(&base, &vec![Some(strip); base.count()], &word, false);
    for side in 0..base.count() {
        let opening = base.grown(strip.0).length(side);
        asked.is_there_within(Vec::new(), opening, lines::slack(&base));
    }
    if slope == 0 {
        asked.limit_lines(&base, &lines, &Vec::new(), longest);
    } else {
        // The upper outer edge reaches furthest.
        let (sin, cos) = sin_cos(slope);
        let out = oversail as f64 * cos + thickness as f64 * sin;
        for side in 0..base.count() {
            let half = meets(base.turn(side), 1_000_000_000, 1_000_000_000) / 1e9;
            let length = base.length(side).and(2 * libm::ceil(out * half) as i128);
            asked.comes_out_within(Vec::new(), length, longest, ROUNDED);
        }
    }
    let stand = Stand::plain(base.grown(oversail), top.clone(), top.and(thickness));
    let screwed = piece.has("screw");
    let form = Cap { screwed, board, thickness, width, oversail, slope, base, lines };
    let mut planned = Planned::new(piece, "cap", stand, Box::new(form));
    if piece.has("screw") {
        let (screw, own) = (piece.word("screw", "")?, (piece.name.as_str(), "board"));
        let (rails, ends) = (piece.word("from-below", "")?, piece.word("into-end-grain", "")?);
        match rails.as_str() {
            "" => planned.fix(own, (&ends, "post"), &screw).load = Load::Down,
            rails => planned.fix((rails, "rail"), own, &screw).load = Load::DownOnBase,
        }
    }
    Ok(Planned { around: Some(around), fixed: true, ..planned })
}

impl Form for Cap {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let ground = site.ground(&self.base);
        let under = &site.asked.pieces[own.around?];
        let top = under.form.true_top(under, site);
        let stock = ("board", self.board.as_str());
        let turn = i128::from(self.base.turn(0));
        if self.slope == 0 {
            lines::mitre_number(&own.name, &self.base, &self.lines, built);
        } else {
            // A cap that falls by so much leans by what is left of a right angle.
            let inputs = vec![turn, (QUARTER - self.slope).into()];
            built.number(&own.name, "saw", "compound-saw", ANGLE, inputs.clone());
            built.number(&own.name, "tilt", "compound-tilt", ANGLE, inputs);
        }
        for line in &self.lines {
            let face = self.base.name(line.side);
            let slot = (own.name.as_str(), "board", face, 0, 0);
            let part = if self.slope == 0 {
                let reaches = (line.reaches(&self.base, &site.sizes), lines::slack(&self.base));
                built.lengths.insert(format!("{}.length", own.called(face)), reaches);
                lines::along(line, &ground, site, [top, top + self.thickness], Way::Out, slot, stock)
            } else {
                let (sin, cos) = sin_cos(self.slope);
                let oversail = self.oversail as f64;
                let (out, up) = (oversail * cos, top as f64 - oversail * sin);
                let leaning = Leaning { lean: self.slope, out, up, inwards: self.width, upwards: self.thickness };
                let part = leaning.part(&ground, line.side, Way::Out, slot, stock);
                let side = ground.lengths[line.side];
                let beyond = (part.spot.extent[0] - side) / 2;
                built
                    .lengths
                    .insert(format!("{}.length", own.called(face)), ([side, beyond, beyond], lines::slack(&self.base)));
                part
            };
            built.parts.push(part);
        }
        Some(())
    }

    fn hold(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        hold_unheld(self.screwed, own, "", case, ledger);
    }
}

/// What nothing holds, or nothing holds `how` it should, is told: no screws, and no extra that does.
pub(super) fn hold_unheld(screwed: bool, own: &Planned, how: &str, case: &Case<'_>, ledger: &mut Ledger) {
    let unheld = !screwed && !own.held;
    let said = format!("Nothing in this plan holds {}{how}: ", own.name);
    let told = case.record.notes.iter().any(|note| note.piece == own.name && note.text.starts_with(&said));
    ledger.same(&format!("whether a note says that nothing holds {}", own.name), told, unheld);
}
