//! What the saw of the shed cannot do, as far as the shed says what it does.

use super::{Card, Sawing, Work};
use measure::{Length, Tape};
use model::build::Build;
use model::plan::Plan;
use model::schema::StockKind;

/// What is asked of the saw, and the most that it does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beyond {
    /// It is turned further, in tenths of a degree, than it turns, in degrees.
    Turn(i32, u32),
    /// Its blade is leant further, in tenths of a degree, than it leans, in degrees.
    Lean(i32, u32),
    /// A part is wider than what it cuts across.
    Across(Length, Length),
    /// A strip is wider than what it rips from its fence, and so is what is left beside it.
    Fence(Length, Length),
}

impl Beyond {
    /// In words.
    pub fn told(self, tape: Tape) -> String {
        let degrees = |tenths: i32| match tenths % 10 {
            0 => format!("{}°", tenths / 10),
            part => format!("{}.{part}°", tenths / 10),
        };
        let show = |length| crate::make::show(tape, length);
        match self {
            Beyond::Turn(asked, most) => format!("the saw turns {most}° at most, and {} is asked", degrees(asked)),
            Beyond::Lean(asked, most) => format!("its blade leans {most}° at most, and {} is asked", degrees(asked)),
            Beyond::Across(asked, most) => {
                format!("it cuts {} across at most, and {} is asked", show(most), show(asked))
            }
            Beyond::Fence(asked, most) => format!(
                "its fence goes to {} at most, and {} is asked, with more than that left beside it",
                show(most),
                show(asked)
            ),
        }
    }
}

/// What these cards of one set-up ask of the saw and it does not do. What the shed does not say is not asked, nor are sheets
/// that another saw cuts.
pub fn beyond(cards: &[Card], build: &Build, plan: &Plan) -> Vec<Beyond> {
    let Some(card) = cards.first() else { return Vec::new() };
    if card.stock.kind == StockKind::Sheet && plan.shed.sheet_saw.is_some() {
        return Vec::new();
    }
    let limits = plan.shed.limits;
    if card.work == Work::Rip {
        let left = |most: Length| cards.iter().flat_map(Card::cuts).any(|cut| cut.rest > most);
        let most = limits.rip.filter(|most| card.stop > *most && left(*most));
        return most.map(|most| Beyond::Fence(card.stop, most)).into_iter().collect();
    }
    let [turn, lean] = [card.ends.0.map(|end| end.mitre.abs()), card.ends.0.map(|end| end.tilt.abs())];
    let most = |ends: [i32; 2]| ends[0].max(ends[1]);
    let further = |asked: i32, limit: Option<u32>| limit.filter(|limit| i64::from(asked) > i64::from(*limit) * 10);
    let turned = further(most(turn), limits.mitre).map(|limit| Beyond::Turn(most(turn), limit));
    let leant = further(most(lean), limits.tilt).map(|limit| Beyond::Lean(most(lean), limit));
    let width = cards.iter().flat_map(Card::parts).map(|part| build.parts[part].solid.width).max();
    let wide = width.zip(limits.crosscut).filter(|(width, limit)| width > limit);
    let wide = wide.map(|(width, limit)| Beyond::Across(width, limit));
    [turned, leant, wide].into_iter().flatten().collect()
}

/// A note for each set-up and each thing that the saw does not do there.
pub fn notes(sawing: &Sawing, build: &Build, plan: &Plan) -> Vec<String> {
    let alike = sawing.cards.chunk_by(|one, next| one.set_up == next.set_up);
    let of = |cards: &[Card]| {
        let first = cards.first().map(|card| (card.set_up, plan.yard.label(card.stock)));
        let said = first
            .map(|(set_up, (name, label))| format!("set-up {set_up}: {}", if label.is_empty() { name } else { label }));
        let said = said.unwrap_or_default();
        let all = beyond(cards, build, plan);
        all.into_iter().map(|beyond| format!("{said}: {}", beyond.told(plan.tape))).collect::<Vec<String>>()
    };
    alike.flat_map(of).collect()
}
