//! What to measure before paying: what the plan hangs on that no label says.

use crate::Settled;
use measure::Length;
use model::build::Row;
use model::schema::StockKind;
use model::stock::StockRef;
use std::collections::BTreeSet;

/// What to measure before paying, in the order of the yard.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MeasureFirst {
    /// Boards whose pattern is only possible if they are a little longer than it needs.
    pub lengths: Vec<TrueLength>,
    /// Ten of a kind of board side by side, or ten units laid dry.
    pub tens: Vec<Ten>,
    /// The thickness of these sheets.
    pub sheets: Vec<StockRef>,
}

/// How long boards of one length must really be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct TrueLength {
    /// The kind of board.
    pub stock: StockRef,
    /// The length by its label.
    pub label: Length,
    /// How many boards are cut so.
    pub boards: u32,
    /// What each must be for its parts to come out.
    pub least: Length,
    /// What each must be for them to come out in comfort.
    pub comfortable: Length,
}

/// What ten read together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ten {
    /// The kind of board, or the unit.
    pub stock: StockRef,
    /// What one takes in the row.
    pub one: Length,
    /// What lies between two of them: the joint of units, nothing between boards.
    pub joint: Length,
    /// What ten read, with nine joints.
    pub reads: Length,
}

pub(super) fn all(settled: &Settled) -> MeasureFirst {
    let mut first = MeasureFirst { lengths: lengths(settled), ..MeasureFirst::default() };
    let mut tens: BTreeSet<Ten> = BTreeSet::new();
    for row in &settled.build.rows {
        tens.extend(ten(settled, row));
    }
    first.tens = tens.into_iter().collect();
    first.sheets = settled.cutting.sheets.iter().map(|sheets| sheets.stock).collect();
    first
}

fn lengths(settled: &Settled) -> Vec<TrueLength> {
    let shed = &settled.plan.shed;
    let mut lengths = Vec::new();
    for section in &settled.cutting.sections {
        for cut in section.cuts.iter().filter(|cut| !cut.comfortable) {
            let boards = cut.boards.len() as u32;
            let mut tell = |label: Length, slack: Length, parts: usize| {
                let least = label - slack;
                // A board yields far fewer parts than an i64 counts.
                let comfortable = least + shed.reserve_per_cut * (parts as i64 - 1) + shed.reserve_per_board;
                lengths.push(TrueLength { stock: section.stock, label, boards, least, comfortable });
            };
            if cut.stretches.is_empty() {
                tell(cut.stock_length, cut.slack, cut.lengths.len());
            }
            for stretch in cut.stretches.iter().filter(|stretch| !stretch.comfortable) {
                tell(stretch.clear.to - stretch.clear.from, stretch.slack, stretch.parts.len());
            }
        }
    }
    lengths
}

/// Ten of what a row is of, if its members are all alike and lie across their width, or are units.
fn ten(settled: &Settled, row: &Row) -> Option<Ten> {
    let [one] = row.pattern[..] else { return None };
    let mut of = settled.build.parts.iter().filter(|part| part.key.piece == row.piece);
    let part = of.find(|part| match part.stock.kind {
        StockKind::Board => part.solid.width == one,
        StockKind::Unit => [part.solid.length, part.solid.width, part.solid.thickness].contains(&one),
        _ => false,
    })?;
    // Units lie with a joint; boards are pushed together, so that a warped one shows.
    let joint = match part.stock.kind {
        StockKind::Unit => row
            .gaps
            .map_or(Length::ZERO, |gaps| Length::nm(gaps.total().nanometres().div_euclid(i64::from(gaps.places())))),
        _ => Length::ZERO,
    };
    Some(Ten { stock: part.stock, one, joint, reads: one * 10 + joint * 9 })
}
