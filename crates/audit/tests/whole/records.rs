//! The records of `tests/records` and ways of changing them.

use audit::{Texts, Verdict, audit};
use serde_json::Value;

/// A plan with its texts and the record that was written for it.
pub struct Example {
    pub name: &'static str,
    pub plan: &'static str,
    pub yard: &'static str,
    pub shed: &'static str,
    /// Empty if there is none.
    pub daybook: &'static str,
    pub record: &'static str,
}

macro_rules! example {
    ($name:literal) => {
        Example {
            name: $name,
            plan: include_str!(concat!("../records/", $name, "/plan.toml")),
            yard: include_str!(concat!("../records/", $name, "/yard.toml")),
            shed: include_str!(concat!("../records/", $name, "/shed.toml")),
            daybook: "",
            record: include_str!(concat!("../records/", $name, "/record.json")),
        }
    };
}

pub static EXAMPLES: &[Example] = &[
    example!("kitchen-trough"),
    example!("sheet-box"),
    example!("mixed-sheets"),
    example!("level-box"),
    example!("brick-rings"),
    example!("two-planters"),
    example!("none-left"),
    example!("long-or-high"),
    example!("corner-bed"),
    example!("posted-trough"),
    example!("ell-on-feet"),
    example!("falling-floor"),
    example!("slats-along"),
    example!("tied-trough"),
    example!("leaning-octagon"),
    example!("mitred-ell"),
    example!("boards-on-boards"),
    example!("joined-and-pentagon"),
    example!("deck-on-legs"),
    example!("low-decks"),
    example!("garden-seat"),
    example!("level-screen"),
    example!("upright-screen"),
    example!("shared-pitch"),
    example!("posted-hexagon"),
    example!("picket-box"),
    example!("tier-on-soil"),
    example!("wide-boards"),
    example!("lapped-box"),
    example!("lapped-ell"),
    example!("lapped-on-posts"),
    example!("brackets-and-bolts"),
    example!("ell-of-slats"),
    example!("hexagon-of-slats"),
    example!("octagon-of-sheet"),
    example!("short-parts"),
    example!("shop-and-shed"),
    example!("split-boards"),
    example!("board-feet"),
    example!("bed-three-ways"),
    example!("long-boards"),
    Example { daybook: include_str!("../records/split-at-home/plan.daybook.jsonl"), ..example!("split-at-home") },
    Example {
        daybook: include_str!("../records/bed-on-a-saturday/plan.daybook.jsonl"),
        ..example!("bed-on-a-saturday")
    },
];

impl Example {
    pub fn find(name: &str) -> &'static Example {
        EXAMPLES.iter().find(|example| example.name == name).expect("an example of this name")
    }

    /// What the referee says of a record as if it were this plan's.
    pub fn judge(&self, record: &str) -> Verdict {
        audit(&Texts { plan: self.plan, yard: self.yard, shed: self.shed, daybook: self.daybook }, record)
    }

    pub fn json(&self) -> Value {
        serde_json::from_str(self.record).expect("a record is JSON")
    }
}

/// The value at a path such as `fit.sizes.0.want`.
pub fn at<'v>(value: &'v mut Value, path: &str) -> &'v mut Value {
    path.split('.').fold(value, |value, step| match step.parse::<usize>() {
        Ok(place) => &mut value[place],
        Err(_) => &mut value[step],
    })
}

/// A small generator (Knuth's constants), so that a failing case can be had again.
pub struct Dice(pub u64);

impl Dice {
    pub fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (self.0 >> 33) as usize % most.max(1)
    }
}
