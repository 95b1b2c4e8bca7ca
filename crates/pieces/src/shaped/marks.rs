//! What is marked on a shaped top, and what the top takes off.

use super::{Shape, Shaped};
use measure::{Angle, Length};
use model::build::Build;
use model::plan::PieceText;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};
use std::f64::consts::PI;

/// How far from the foot the mark at an edge is.
pub static SHOULDER: Rule = Rule {
    id: "shoulder",
    words: "The top begins at its edges so much below the full length",
    formula: "shoulder = length - rise",
    inputs: &["length", "rise"],
    source: "the plan",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [length, rise] => Some(length - rise),
        _ => None,
    },
    case: Case { given: &[440_000_000, 25_000_000], gives: 415_000_000, source: "440 less 25" },
};

/// How far from its edge the flat of a pointed top begins.
pub static RUN: Rule = Rule {
    id: "top-run",
    words: "A pointed top falls alike to both sides of its flat",
    formula: "run = (board - flat) / 2",
    inputs: &["board", "flat"],
    source: "halving what the flat leaves",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [board, flat] => Some((board - flat).div_euclid(2)),
        _ => None,
    },
    case: Case { given: &[95_000_000, 15_000_000], gives: 40_000_000, source: "95 less a flat of 15: 40 each side" },
};

/// The saw's angle for a straight cut of a top.
pub static CUT: Rule = Rule {
    id: "top-cut",
    words: "The saw is turned from square by the angle whose tangent is the rise over the run",
    formula: "cut = atan(rise / run)",
    inputs: &["rise", "run"],
    source: "right-angled triangle",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [rise, run] if *run > 0 => {
            let degrees = libm::atan(*rise as f64 / *run as f64) * (180.0 / PI);
            Some(Angle::degrees(degrees).ok()?.millionths().into())
        }
        _ => None,
    },
    case: Case { given: &[40_000_000, 40_000_000], gives: 45_000_000, source: "as far up as across: 45°" },
};

/// The radius of a rounded top.
pub static RADIUS: Rule = Rule {
    id: "top-radius",
    words: "The arc goes through both edges and the middle of the top",
    formula: "radius = (board² / 4 + rise²) / (2 rise)",
    inputs: &["board", "rise"],
    source: "intersecting chords: (board / 2)² = rise (2 radius - rise), Euclid, Elements III 35",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [board, rise] if *rise > 0 => Some((board * board + 4 * rise * rise + 4 * rise).div_euclid(8 * rise)),
        _ => None,
    },
    case: Case {
        given: &[100_000_000, 50_000_000],
        gives: 50_000_000,
        source: "as high as half its width: a half circle of that radius",
    },
};

/// What a straight-cut top takes off a board on average.
pub static LOST: Rule = Rule {
    id: "top-lost",
    words: "A top of straight cuts takes off its triangles, shared over the width of the board",
    formula: "lost = rise (board - flat) / (2 board)",
    inputs: &["rise", "board", "flat"],
    source: "area of a triangle",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [rise, board, flat] if *board > 0 => Some((rise * (board - flat)).div_euclid(2 * board)),
        _ => None,
    },
    case: Case {
        given: &[25_000_000, 100_000_000, 20_000_000],
        gives: 10_000_000,
        source: "two triangles 40 by 25 off a board of 100: 1000 mm², 10 over 100, worked by hand",
    },
};

/// What a rounded top takes off a board on average.
pub static LOST_ROUND: Rule = Rule {
    id: "top-lost-round",
    words: "A rounded top takes off what the segment of its circle leaves of the rise, shared over the width of the board",
    formula: "lost = rise - (radius² asin(board / (2 radius)) - board (radius - rise) / 2) / board",
    inputs: &["rise", "board"],
    source: "area of a circular segment",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [rise, board] if *rise > 0 && *board > 0 && 2 * rise <= *board => {
            let (rise, board) = (*rise as f64, *board as f64);
            let radius = (board * board / 4.0 + rise * rise) / (2.0 * rise);
            let sector = radius * radius * libm::asin((board / (2.0 * radius)).min(1.0));
            Some(libm::round(rise - (sector - board * (radius - rise) / 2.0) / board) as i128)
        }
        _ => None,
    },
    case: Case {
        given: &[50_000_000, 100_000_000],
        gives: 10_730_092,
        source: "a half circle on 100: 50 - π 50² / 2 / 100 = 10.73",
    },
};

impl Shaped {
    /// Puts the marks of the tops into the build, for boards of these widths and this length: as `PIECE.top.…` for one width, as
    /// `PIECE.top-1.…` and so on for several.
    pub(crate) fn explain(self, text: &PieceText, widths: &[Length], length: Length, out: &mut Build) {
        let rise = Input::new("rise", Value::length(self.rise));
        let inputs = vec![Input::new(text.called("length"), Value::length(length)), rise];
        let name = text.called("top.shoulder");
        out.quantities.extend(Quantity::by(name, "mark at a low edge, from the foot", Of::Length, &SHOULDER, inputs));
        let mut kinds: Vec<Length> = Vec::new();
        widths.iter().for_each(|width| {
            if !kinds.contains(width) {
                kinds.push(*width)
            }
        });
        for (place, &width) in kinds.iter().enumerate() {
            let prefix = if kinds.len() == 1 { "top".to_owned() } else { format!("top-{}", place + 1) };
            self.explain_width(&text.called(&prefix), width, out);
        }
    }

    fn explain_width(self, name: &str, width: Length, out: &mut Build) {
        let rise = Input::new("rise", Value::length(self.rise));
        let board = Input::new("board", Value::length(width));
        let mut add = |what: &str, words: &str, of: Of, rule: &'static Rule, inputs: Vec<Input>| {
            let quantity = Quantity::by(format!("{name}.{what}"), words, of, rule, inputs);
            let value = quantity.as_ref().map(|quantity| quantity.value);
            out.quantities.extend(quantity);
            value
        };
        let flat = match self.shape {
            Shape::Rounded => {
                let inputs = vec![board.clone(), rise.clone()];
                add("radius", "radius of the arc, its centre on the middle of the board", Of::Length, &RADIUS, inputs);
                add("lost", "what the top takes off on average", Of::Length, &LOST_ROUND, vec![rise, board]);
                return;
            }
            Shape::Sloped => Length::ZERO,
            Shape::Pointed { flat } => flat,
        };
        let flat = Input::new("flat", Value::length(flat));
        let run = match self.shape {
            Shape::Pointed { .. } => {
                let run = add(
                    "run",
                    "from an edge to the flat or the point",
                    Of::Length,
                    &RUN,
                    vec![board.clone(), flat.clone()],
                );
                run.map(|run| Input::new(format!("{name}.run"), run))
            }
            _ => Some(board.clone()),
        };
        if let Some(run) = run {
            add("cut", "saw turned from square", Of::Angle, &CUT, vec![rise.clone(), run]);
        }
        add("lost", "what the top takes off on average", Of::Length, &LOST, vec![rise, board, flat]);
    }
}
