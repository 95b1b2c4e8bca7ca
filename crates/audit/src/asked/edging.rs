//! Edging: a ring of whole units round another piece.

use super::lines::{Line, Pattern, and_option, corner_words, lines};
use super::{Asked, Form, Planned, Stand};
use crate::claims::Part;
use crate::geometry::{Case, hold_gaps, parts_of};
use crate::ground::{Outline, Sum, Way};
use crate::laid::{Built, Laid, RowOf, Site};
use crate::ledger::{Ledger, Mm};
use crate::texts::{Papers, Piece};
use measure::{Length, Percent};

const UNIT_CORNERS: [&str; 5] = ["pinwheel", "front through", "sides through", "square", "open"];

/// A ring as it is planned.
struct Edging {
    unit: String,
    /// The unit in the corners, and its thickness.
    corner: (String, i128),
    /// The outline of what it goes round.
    base: Outline,
    clearance: i128,
    choice: Option<usize>,
    options: Vec<Lay>,
}

/// One way of laying it.
struct Lay {
    lines: Vec<Line>,
    /// One unit along its row.
    member: i128,
    /// Whether units lie with their longer side along the row.
    lengthwise: bool,
    /// Whether a unit fills each corner.
    square: bool,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let around = asked.find(&piece.word("around", "")?)?;
    let name = piece.word("unit", "")?;
    let unit = papers.unit(&name).ok_or_else(|| format!("no unit is called `{name}`"))?;
    let corner_name = piece.word("corner-unit", &name)?;
    let corner = papers.unit(&corner_name).ok_or_else(|| format!("no unit is called `{corner_name}`"))?;
    let clearance = i128::from(piece.length("clearance", 0)?);
    let base = asked.pieces[around].stand.outline.clone();
    let laid = piece.word("laid", "along")?;
    let lengthwise: &[bool] = match laid.as_str() {
        "across" => &[false],
        "any" if unit.length != unit.width => &[true, false],
        _ => &[true],
    };
    let corners = corner_words(&piece.word("corners", "pinwheel")?, &UNIT_CORNERS)?;
    let (mut options, mut words, mut deepest) = (Vec::new(), Vec::new(), 0);
    for &lengthwise in lengthwise {
        let (member, depth) = if lengthwise { (unit.length, unit.width) } else { (unit.width, unit.length) };
        for word in &corners {
            let square = *word == "square";
            if square && (corner.length, corner.width) != (depth, depth) {
                continue;
            }
            let strip = (clearance, clearance + i128::from(depth));
            deepest = strip.1.max(deepest);
            let lines = lines(&base, &vec![Some(strip); base.count()], word, false);
            options.push(Lay { lines, member: member.into(), lengthwise, square });
            words.push(format!("{}, {word}", if lengthwise { "along" } else { "across" }));
        }
    }
    if options.is_empty() {
        return Err(format!("`{}` cannot be laid in any way", piece.name));
    }
    let gap = asked.gap(piece, "joint", None)?;
    let choice = asked.choice(format!("{}.laid", piece.name), words);
    for (option, lay) in options.iter_mut().enumerate() {
        let when = and_option(&Vec::new(), choice, option);
        asked.ask_lines(&base, &mut lay.lines, &when, &Pattern::of_one(lay.member), gap);
    }
    let thick = Length::nm(unit.thickness);
    let sunk = u32::try_from(piece.percent("sunk", 10_000)?).map_err(|_| "sunk by less than nothing")?;
    let top = i128::from((thick - Percent::hundredths(sunk).of(thick)).nanometres());
    let (bottom, top) = (Sum::fixed(top - i128::from(unit.thickness)), Sum::fixed(top));
    let stand = Stand::plain(base.grown(deepest), bottom, top);
    let corner = (corner_name, corner.thickness.into());
    let form = Edging { unit: name, corner, base, clearance, choice, options };
    Ok(Planned { around: Some(around), ..Planned::new(piece, "edging", stand, Box::new(form)) })
}

impl Edging {
    fn lay_of(&self, site: &Site<'_>) -> Option<&Lay> {
        self.options.get(site.option(self.choice)?)
    }

    /// No unit comes nearer than the clearance to what its ring goes round, and one comes as near.
    fn hold_clearance(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        let pieces = &case.site.asked.pieces;
        let mut inner: Vec<&Part> = Vec::new();
        let mut around = own.around;
        let mut ring = false;
        while let Some(place) = around {
            inner.extend(parts_of(case.record, &pieces[place].name));
            ring |= pieces[place].is == "edging";
            around = pieces[place].around;
        }
        let boxes = footprints(&inner);
        let mut nearest = None;
        for unit in parts_of(case.record, &own.name) {
            let reach = [0, 1].map(|axis| (unit.corner[axis], unit.far()[axis]));
            let apart = |of: &[(i64, i64); 2]| {
                let each = [0, 1].map(|axis| (of[axis].0 - reach[axis].1).max(reach[axis].0 - of[axis].1));
                each.into_iter().max().unwrap_or(0)
            };
            let least = boxes.iter().map(apart).min().unwrap_or(0);
            nearest = Some(nearest.map_or(least, |nearest: i64| nearest.min(least)));
            ledger.hold(i128::from(least) >= self.clearance, || {
                let (least, clearance) = (Mm::of(least), Mm(self.clearance));
                format!("{} is {least} from what the ring goes round, not {clearance}", unit.slot())
            });
        }
        // Where a ring goes round a ring that could be deeper, it keeps clear of the deeper one.
        if let Some(nearest) = nearest.filter(|_| !ring) {
            ledger.same(&format!("the clearance of {}", own.name), Mm::of(nearest), Mm(self.clearance));
        }
    }
}

/// What parts cover of the ground: the boxes of courses that lie over one another are one.
fn footprints(parts: &[&Part]) -> Vec<[(i64, i64); 2]> {
    let mut boxes: Vec<[(i64, i64); 2]> =
        parts.iter().map(|part| [0, 1].map(|axis| (part.corner[axis], part.far()[axis]))).collect();
    boxes.sort_unstable();
    boxes.dedup();
    boxes
}

impl Form for Edging {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let (lay, up) = (self.lay_of(site)?, own.up(site));
        let ground = site.ground(&self.base);
        let [length, width] = if lay.lengthwise { [Way::Along, Way::Out] } else { [Way::Out, Way::Along] };
        for line in &lay.lines {
            let face = self.base.name(line.side);
            let row_of = RowOf {
                piece: &own.name,
                face,
                pattern: vec![lay.member],
                and_first: false,
                starts_with_gap: line.start.joint,
                up: false,
            };
            let row = site.row(&row_of, line.row?)?;
            let start = site.value(&line.start.at);
            let out = [line.strip.0, line.strip.1];
            for i in 0..row.count {
                let spot = ground.beside(line.side, row.reach(i).map(|at| start + at), out, up);
                let slot = (own.name.as_str(), "unit", face, 0, i64::try_from(i).ok()?);
                built.parts.push(Laid::new(slot, ("unit", &self.unit), spot, length, width));
            }
            built.rows.push(row);
            if lay.square {
                // The corner's unit lies between the lines of the next side's strip.
                let end = ground.lengths[line.side];
                let way = i128::from(self.base.turn(line.side).signum());
                let reach = out.map(|out| end + way * out);
                let along = [reach[0].min(reach[1]), reach[0].max(reach[1])];
                let spot = ground.beside(line.side, along, out, [up[1] - self.corner.1, up[1]]);
                let slot = (own.name.as_str(), "corner", face, 0, 0);
                built.parts.push(Laid::new(slot, ("unit", &self.corner.0), spot, Way::Along, Way::Out));
            }
        }
        Some(())
    }

    fn hold(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        if self.base.is_square() {
            self.hold_clearance(own, case, ledger);
        }
        if let Some(lay) = self.lay_of(case.site) {
            hold_gaps(own, &self.base, &lay.lines, case, ledger);
        }
    }
}
