//! Edging: a ring of whole units round another piece.

use super::lines::{Line, Pattern, and_option, corner_words, lines};
use super::{Asked, Form, Planned, Stand};
use crate::claims::Part;
use crate::geometry::{Case, hold_gaps, parts_of};
use crate::ground::{Outline, Sum, Way, sin_cos};
use crate::laid::{Built, Laid, RowOf, Site};
use crate::ledger::{Ledger, Mm};
use crate::solid::Solid;
use crate::texts::{Brick, Papers, Piece};
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

/// Which way units lie.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Laying {
    /// The longer side along the row.
    Along,
    /// The longer side across the row.
    Across,
    /// On the longer edge, which lies along the row.
    OnEdge,
}

impl Laying {
    fn word(self) -> &'static str {
        match self {
            Laying::Along => "along",
            Laying::Across => "across",
            Laying::OnEdge => "on edge",
        }
    }

    /// What a unit takes along the row, across it and up.
    fn sides(self, unit: &Brick) -> [i64; 3] {
        match self {
            Laying::Along => [unit.length, unit.width, unit.thickness],
            Laying::Across => [unit.width, unit.length, unit.thickness],
            Laying::OnEdge => [unit.length, unit.thickness, unit.width],
        }
    }

    /// Which way a unit's length and its width lie.
    fn ways(self) -> [Way; 2] {
        match self {
            Laying::Along => [Way::Along, Way::Out],
            Laying::Across => [Way::Out, Way::Along],
            Laying::OnEdge => [Way::Along, Way::Up],
        }
    }
}

/// One way of laying it.
struct Lay {
    lines: Vec<Line>,
    /// One unit along its row.
    member: i128,
    laid: Laying,
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
    let stand = &asked.pieces[around].stand;
    // What is narrower at the top stands on a foot that is wider.
    let base = stand.outline.grown((-stand.batter).max(0));
    let laid = piece.word("laid", "along")?;
    let layings: &[Laying] = match laid.as_str() {
        "across" => &[Laying::Across],
        "on edge" => &[Laying::OnEdge],
        "any" if unit.length != unit.width => &[Laying::Along, Laying::Across],
        _ => &[Laying::Along],
    };
    let usual = if base.is_square() { "pinwheel" } else { "open" };
    let word = piece.word("corners", usual)?;
    let corners = if base.is_square() { corner_words(&word, &UNIT_CORNERS)? } else { vec![usual] };
    let (mut options, mut words, mut deepest) = (Vec::new(), Vec::new(), 0);
    for &laid in layings {
        let [member, depth, _] = laid.sides(unit);
        for word in &corners {
            let square = *word == "square";
            if square && (corner.length, corner.width) != (depth, depth) {
                continue;
            }
            let strip = (clearance, clearance + i128::from(depth));
            deepest = strip.1.max(deepest);
            let lines = lines(&base, &vec![Some(strip); base.count()], word, false);
            options.push(Lay { lines, member: member.into(), laid, square });
            words.push(format!("{}, {word}", laid.word()));
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
    let high = layings[0].sides(unit)[2];
    let thick = Length::nm(high);
    let sunk = u32::try_from(piece.percent("sunk", 10_000)?).map_err(|_| "sunk by less than nothing")?;
    let top = i128::from((thick - Percent::hundredths(sunk).of(thick)).nanometres());
    let (bottom, top) = (Sum::fixed(top - i128::from(high)), Sum::fixed(top));
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

/// How far beyond the clearance, in millimetres, what was rounded at an angle may lie.
const NEAR: f64 = 1e-3;

/// Round an outline that is not right-angled, or the foot of what leans, or boards that lap, each unit lies wholly beyond the clearance of one side, and one as near as that.
fn hold_apart(own: &Planned, base: &Outline, clearance: i128, case: &Case<'_>, ledger: &mut Ledger) {
    let ground = case.site.ground(base);
    let clearance = clearance as f64 / 1e6;
    let mut nearest = f64::MAX;
    for unit in parts_of(case.record, &own.name) {
        let Some(solid) = Solid::of(unit) else { continue };
        let beyond = |side: usize| {
            let (sin, cos) = sin_cos(base.heading(side));
            let [x, y] = ground.corners[side].map(|at| at as f64 / 1e6);
            let out = |point: &[f64; 3]| (point[0] - x) * sin - (point[1] - y) * cos;
            solid.points().iter().map(out).fold(f64::MAX, f64::min)
        };
        let apart = (0..base.count()).map(beyond).fold(f64::MIN, f64::max);
        nearest = nearest.min(apart);
        ledger.hold(apart >= clearance - NEAR, || {
            format!("{} is {apart:.4} mm from what the ring goes round, not {clearance} mm", unit.slot())
        });
    }
    ledger.hold((nearest - clearance).abs() <= NEAR, || {
        format!("the clearance of {} is said to be {clearance} mm, and is {nearest:.4}", own.name)
    });
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
        let [length, width] = lay.laid.ways();
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
        let around = own.around.map(|around| &case.site.asked.pieces[around]);
        // Boards that lap lean: they have no plain faces.
        let plumb = |around: &Planned| around.stand.batter == 0 && (around.is != "cladding" || around.stand.faces);
        if self.base.is_square() && around.is_some_and(plumb) {
            self.hold_clearance(own, case, ledger);
        } else {
            hold_apart(own, &self.base, self.clearance, case, ledger);
        }
        if let Some(lay) = self.lay_of(case.site) {
            hold_gaps(own, &self.base, &lay.lines, case, ledger);
        }
    }
}
