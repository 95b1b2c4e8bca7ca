//! Drain holes in a panel: how many, where, and whether they are enough.

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

/// What a panel's holes come to in words.
pub(super) struct Words {
    /// What to do before the panel is laid, to stand before that.
    pub first: String,
    /// What to know.
    pub notes: Vec<String>,
}

impl Words {
    pub fn without_holes(text: &PieceText) -> Words {
        let note = format!(
            "The panel of {} has no drain holes, so that water stands on it: add `drain-hole` and `drain-spacing`.",
            text.name
        );
        Words { first: "Cut and ".into(), notes: vec![note] }
    }
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

    /// The numbers of the holes with their whys.
    ///
    /// # Errors
    /// If there are more holes than can be counted, which a panel that came out never has.
    pub fn explain(&self, text: &PieceText, panel: [Length; 2], out: &mut Build) -> Result<Words, Problem> {
        let (along, first_along) = self.explain_way(text, "along", panel[0], out)?;
        let (back, first_back) = self.explain_way(text, "back", panel[1], out)?;
        let holes = i128::from(along.count()) * i128::from(back.count());
        let inputs = [along, back].map(|bays| Input::new("holes one way", Value::count(bays.count())));
        out.quantities.extend(Quantity::by(
            text.called("drain.count"),
            "drain holes",
            Of::Count,
            &HOLES,
            inputs.to_vec(),
        ));
        let inputs = vec![
            Input::new(text.called("drain.count"), Value::count(holes)),
            Input::new("a hole, across", Value::length(self.hole)),
            Input::new("length of the panel", Value::length(panel[0])),
            Input::new("width of the panel", Value::length(panel[1])),
        ];
        let share = Quantity::by(
            text.called("drain.share"),
            "what the drain holes take of the base",
            Of::Percent,
            &SHARE,
            inputs,
        );
        let little = share.as_ref().filter(|share| share.value.value < i128::from(LEAST_SHARE.value()));
        let notes = little.map(|share| self.too_little(text, share.value.value)).into_iter().collect();
        out.quantities.extend(share);
        let at = |first: Length, bays: Bays| {
            format!("{} and then every {}", self.tape.show(first), self.tape.show(bays.pitch()))
        };
        let first = format!(
            "Drill {holes} drain holes of {} through the panel, {} along the front, {} from front to back, seal their edges, and ",
            self.tape.show_with_unit(self.hole),
            at(first_along, along),
            at(first_back, back),
        );
        Ok(Words { first, notes })
    }

    /// The holes one way, and where the first of them lies.
    fn explain_way(
        &self,
        text: &PieceText,
        way: &str,
        size: Length,
        out: &mut Build,
    ) -> Result<(Bays, Length), Problem> {
        let uncounted = || Problem::new(format!("the drain holes of `{}` cannot be counted", text.name));
        let bays = Bays::needed(size, Some(self.spacing)).ok_or_else(uncounted)?;
        bays.explain(&text.called(&format!("drain.{way}")), &format!("the drain holes, {way}"), out);
        let inputs =
            vec![Input::new("size of the panel", Value::length(size)), Input::new("holes", Value::count(bays.count()))];
        let name = text.called(&format!("drain.{way}.first"));
        let first = Quantity::by(name, "from the edge to the first hole's middle", Of::Length, &FIRST_HOLE, inputs);
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

/// π in millionths, to the nearest.
const PI_MILLIONTHS: i128 = 3_141_593;
