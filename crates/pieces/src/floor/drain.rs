//! Drain holes in a panel: how many, where, and whether they are enough.

use super::room::Polygon;
use super::wrong;
use crate::bays::Bays;
use measure::{Length, Percent, Tape};
use model::build::Build;
use model::plan::PieceText;
use model::problem::Problem;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// Drain holes as the plan states them.
pub(super) struct Drain {
    hole: Length,
    spacing: Length,
    tape: Tape,
}

/// A panel that is drilled.
pub(super) struct Drilled<'p> {
    /// What its numbers are called by: `drain`, or `drain-1` and `drain-2`.
    pub name: &'p str,
    /// How it is called in words: `the panel`.
    pub what: &'p str,
    /// How long and wide it is.
    pub size: [Length; 2],
    /// Which way its length lies, and its width.
    pub ways: [&'p str; 2],
    /// Its outline, if it is no rectangle, and the corner of its box.
    pub cut: Option<(&'p Polygon, [Length; 2])>,
}

/// Holes take at least this share of the base (*common practice*).
const LEAST_SHARE: Percent = Percent::new(1);

impl Drain {
    pub fn of(text: &PieceText, tape: Tape) -> Result<Option<Drain>, Problem> {
        match (text.values.length("drain-hole"), text.values.length("drain-spacing")) {
            (None, None) => Ok(None),
            (Some(hole), Some(spacing)) if spacing < hole * 2 => {
                let [hole, least] = [hole, hole * 2].map(|length| tape.show_with_unit(length));
                let close = format!("holes of {hole} would leave little of the panel of `{}`", text.name);
                Err(wrong(text, "drain-spacing", close, format!("make `drain-spacing` at least {least}")))
            }
            (Some(hole), Some(spacing)) => Ok(Some(Drain { hole, spacing, tape })),
            (hole, _) => {
                let (there, missing) =
                    if hole.is_some() { ("drain-hole", "drain-spacing") } else { ("drain-spacing", "drain-hole") };
                let lone = format!("`{there}` says nothing without `{missing}`");
                Err(wrong(text, there, lone, format!("add `{missing} = …`")))
            }
        }
    }

    /// The numbers of the holes with their whys: what is drilled, in words, and what to know.
    ///
    /// # Errors
    /// If there are more holes than can be counted, which a panel that came out never has.
    pub fn explain(
        &self,
        text: &PieceText,
        panel: &Drilled<'_>,
        out: &mut Build,
    ) -> Result<(String, Option<String>), Problem> {
        let (along, first_along) = self.explain_way(text, panel, 0, out)?;
        let (back, first_back) = self.explain_way(text, panel, 1, out)?;
        let called = |what: &str| text.called(&format!("{}.{what}", panel.name));
        let left_out = panel.cut.map(|cut| self.left_out(cut, panel.size, [along, back]));
        let mut inputs = [along, back].map(|bays| Input::new("holes one way", Value::count(bays.count()))).to_vec();
        inputs.extend(left_out.map(|left_out| Input::new("too near an edge or beyond it", Value::count(left_out))));
        let rule = if left_out.is_some() { &HOLES_INSIDE } else { &HOLES };
        out.quantities.extend(Quantity::by(called("count"), "drain holes", Of::Count, rule, inputs));
        let holes = i128::from(along.count()) * i128::from(back.count()) - left_out.unwrap_or(0);
        let mut inputs = vec![
            Input::new(called("count"), Value::count(holes)),
            Input::new("a hole, across", Value::length(self.hole)),
        ];
        let rule = match panel.cut {
            Some((cut, _)) => {
                let area = (cut.twice_the_area() + SQUARE).div_euclid(2 * SQUARE);
                inputs.push(Input::new("area of the panel", Value { of: Of::Area, value: area }));
                &SHARE_OF_AREA
            }
            None => {
                let names = ["length of the panel", "width of the panel"];
                inputs.extend(
                    names.into_iter().zip(panel.size).map(|(name, size)| Input::new(name, Value::length(size))),
                );
                &SHARE
            }
        };
        let what = "what the drain holes take of the base";
        let share = Quantity::by(called("share"), what, Of::Percent, rule, inputs);
        let little = share.as_ref().filter(|share| share.value.value < i128::from(LEAST_SHARE.value()));
        let note = little.map(|share| self.too_little(text, share.value.value));
        out.quantities.extend(share);
        let at = |first: Length, bays: Bays| {
            format!("{} and then every {}", self.tape.show(first), self.tape.show(bays.pitch()))
        };
        let hole = self.tape.show_with_unit(self.hole);
        let mut words = format!(
            "{holes} drain holes of {hole} through {}, {} {}, {} {}",
            panel.what,
            at(first_along, along),
            panel.ways[0],
            at(first_back, back),
            panel.ways[1],
        );
        if left_out.is_some() {
            words += &format!(", from the corner of its blank, none nearer than {hole} to an edge");
        }
        Ok((words, note))
    }

    /// How many holes of the grid lie too near an edge of the panel, or beyond it.
    fn left_out(&self, (cut, corner): (&Polygon, [Length; 2]), size: [Length; 2], bays: [Bays; 2]) -> i128 {
        let place = |axis: usize, hole: u32| {
            let share = f64::from(2 * hole + 1) / f64::from(2 * bays[axis].count());
            corner[axis].as_mm() + size[axis].as_mm() * share
        };
        let along = (0..bays[0].count()).map(|hole| place(0, hole));
        let holds =
            |x: f64| (0..bays[1].count()).filter(|&hole| cut.holds([x, place(1, hole)], self.hole.as_mm())).count();
        let kept: usize = along.map(holds).sum();
        // Both are counts of holes in a panel.
        i128::from(bays[0].count()) * i128::from(bays[1].count()) - kept as i128
    }

    /// The holes one way, and where the first of them lies.
    fn explain_way(
        &self,
        text: &PieceText,
        panel: &Drilled<'_>,
        at: usize,
        out: &mut Build,
    ) -> Result<(Bays, Length), Problem> {
        let (way, size) = (["along", "back"][at], panel.size[at]);
        let called = |what: &str| text.called(&format!("{}.{way}{what}", panel.name));
        let uncounted = || Problem::new(format!("the drain holes of `{}` cannot be counted", text.name));
        let bays = Bays::needed(size, Some(self.spacing)).ok_or_else(uncounted)?;
        bays.explain(&called(""), &format!("the drain holes, {way}"), out);
        let inputs =
            vec![Input::new("size of the panel", Value::length(size)), Input::new("holes", Value::count(bays.count()))];
        let what = "from the edge to the first hole's middle";
        let first = Quantity::by(called(".first"), what, Of::Length, &FIRST_HOLE, inputs);
        let first = first.ok_or_else(uncounted)?;
        // Half of a length of the plan: it fits.
        let place = Length::nm(first.value.value as i64);
        out.quantities.push(first);
        Ok((bays, place))
    }

    fn too_little(&self, text: &PieceText, share: i128) -> String {
        let share = Percent::hundredths(u32::try_from(share).unwrap_or(u32::MAX));
        format!(
            "The drain holes of {} take {share} of the base, and {LEAST_SHARE} or more drains (common practice): make them wider, or set them closer.",
            text.name
        )
    }
}

/// How many drain holes there are.
pub(crate) static HOLES: Rule = Rule {
    id: "drain-holes",
    words: "Drain holes stand in a grid: as many as are needed one way times as many as are needed the other",
    formula: "holes = along × back",
    inputs: &["along", "back"],
    source: "counting",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [along, back] => along.checked_mul(*back),
        _ => None,
    },
    case: Case { given: &[10, 3], gives: 30, source: "three rows of ten, counted" },
};

/// How many drain holes there are in a panel that is no rectangle.
pub(crate) static HOLES_INSIDE: Rule = Rule {
    id: "drain-holes-inside",
    words: "Of a grid of drain holes those are left out whose middle lies nearer to an edge than they are wide, or beyond it",
    formula: "holes = along × back - left out",
    inputs: &["along", "back", "left out"],
    source: "counting; the distance is our own choice",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [along, back, left_out] => along.checked_mul(*back)?.checked_sub(*left_out),
        _ => None,
    },
    case: Case { given: &[3, 3, 4], gives: 5, source: "three rows of three without the four at the corners, counted" },
};

/// Where the first drain hole lies.
pub(crate) static FIRST_HOLE: Rule = Rule {
    id: "first-hole",
    words: "The first hole lies half of the way from hole to hole in from the edge",
    formula: "first = panel / (2 holes)",
    inputs: &["panel", "holes"],
    source: "equal strips with a hole in the middle of each",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [panel, holes] if *holes > 0 => Some(panel.div_euclid(2 * holes)),
        _ => None,
    },
    case: Case {
        given: &[1_466_000_000, 10],
        gives: 73_300_000,
        source: "146.6 from hole to hole, half of it 73.3, by hand",
    },
};

/// What the drain holes take of the base.
pub(crate) static SHARE: Rule = Rule {
    id: "drain-share",
    words: "Holes of a diameter d take so much of the base; 1 % or more drains",
    formula: "share = holes × π d² / 4 / (length × width)",
    inputs: &["holes", "across", "length", "width"],
    source: "area of a circle; the least share is a rule of the trade",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [holes, across, length, width] if *length > 0 && *width > 0 => {
            let circles = holes.checked_mul(*across)?.checked_mul(*across)?.checked_mul(PI_MILLIONTHS)?;
            let hundredths_of_percent = circles.checked_mul(10_000)?;
            Some(hundredths_of_percent.div_euclid(length.checked_mul(*width)?.checked_mul(4_000_000)?))
        }
        _ => None,
    },
    case: Case {
        given: &[1, 12_000_000, 150_000_000, 150_000_000],
        gives: 50,
        source: "holes of 12 at 150 take 0.50 % of the base (common practice, worked outside this project)",
    },
};

/// What the drain holes take of a base that is no rectangle.
pub(crate) static SHARE_OF_AREA: Rule = Rule {
    id: "drain-share-of-area",
    words: "Holes of a diameter d take so much of the base; 1 % or more drains",
    formula: "share = holes × π d² / 4 / area",
    inputs: &["holes", "across", "area"],
    source: "area of a circle; the least share is a rule of the trade",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [holes, across, area] if *area > 0 => {
            let circles = holes.checked_mul(*across)?.checked_mul(*across)?.checked_mul(PI_MILLIONTHS)?;
            let of = area.checked_mul(SQUARE)?.checked_mul(4_000_000)?;
            Some(circles.checked_mul(10_000)?.div_euclid(of))
        }
        _ => None,
    },
    case: Case {
        given: &[1, 12_000_000, 22_500],
        gives: 50,
        source: "holes of 12 at 150, which is one to 22 500 mm², take 0.50 % of the base (common practice, worked outside this project)",
    },
};

/// Square nanometres in a square millimetre.
const SQUARE: i128 = 10_i128.pow(12);

/// π in millionths, to the nearest.
const PI_MILLIONTHS: i128 = 3_141_593;
