//! The slats of a screen: level ones from post to post, or upright ones on rails.

use super::{Place, Sizes, key};
use crate::ask::{Ask, RowAsk};
use crate::fitted::{Fitted, explain_row};
use crate::fittings::Fitting;
use crate::place::boxed;
use crate::rules;
use crate::timber::Timber;
use measure::Length;
use model::affine::Affine;
use model::build::{Build, Note, Row, Step};
use model::part::{Axis, PartKey};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::Wish;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// How long a rail is.
pub static RAIL: Rule = Rule {
    id: "rail",
    words: "A rail goes in between two posts",
    formula: "length = face of the next post - far face of the post before",
    inputs: &["face of the next post", "far face of the post before"],
    source: "where the posts stand",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [end, start] => Some(end - start),
        _ => None,
    },
    case: Case {
        given: &[1_800_000_000, 100_000_000],
        gives: 1_700_000_000,
        source: "posts of 100, 1800 from middle to middle: 1700 clear",
    },
};

/// How far rails stay from the ends of upright slats if the plan does not say (*common practice*).
const RAIL_IN: Length = Length::mm(150);

/// The slats as the plan states them.
pub(super) struct Slatted {
    board: Timber,
    gap: Wish,
    rails: Option<Rails>,
}

/// What upright slats are fixed to.
struct Rails {
    timber: Timber,
    post: Timber,
    from_end: Length,
    bracket: Option<Fitting>,
}

impl Slatted {
    /// The slats of a plan, on posts of this timber that stand at most `spacing` apart.
    ///
    /// # Errors
    /// What cannot be, whatever the sizes.
    pub(super) fn of(text: &PieceText, plan: &Plan, post: &Timber, spacing: Length) -> Result<Slatted, Problem> {
        let rails = match text.need_word("boards")? {
            "upright" => Some(rails(text, plan, post, spacing)?),
            _ => {
                if let Some(key) = ["rail", "rail-in", "bracket"].into_iter().find(|key| text.values.has(key)) {
                    let idle =
                        Problem::new(format!("the level slats of `{}` lie on its posts, without rails", text.name));
                    let hint = format!("leave `{key}` out, or let the boards stand `upright`");
                    return Err(idle.at(&text.values.place_of(key)).hint(hint));
                }
                None
            }
        };
        Ok(Slatted { board: Timber::needed(text, plan, "board")?, gap: text.need_wish("gap")?, rails })
    }

    /// How thick a slat is.
    pub(super) fn thickness(&self) -> Length {
        self.board.thickness
    }

    /// The role of what the slats are fixed to.
    pub(super) fn base(&self) -> &'static str {
        if self.rails.is_some() { "rail" } else { "post" }
    }

    /// What the slats ask of the sizes.
    pub(super) fn ask(&self, text: &PieceText, ask: &mut Ask<'_>, sizes: &Sizes) -> Result<(), Problem> {
        let name = &text.name;
        let gap = ask.gap(&text.called("gap"), self.gap, text.values.place_of("gap"));
        let pattern = &[self.board.width];
        let row = |ask: &mut Ask<'_>, face: &str, length: &Affine| {
            let (name, face) = (&text.called(face), length.clone());
            ask.row(RowAsk { name, when: Vec::new(), face, pattern, more: 0, end_gaps: 0, gap, times: 1 });
        };
        let past = if sizes.back.is_some() { self.board.thickness } else { Length::ZERO };
        let front = sizes.length.clone() + past;
        let Some(rails) = &self.rails else {
            row(ask, "courses", &sizes.height);
            ask.comes_from_stock(&format!("the slats of {name}"), Vec::new(), &front, self.board.longest);
            if let Some(back) = &sizes.back {
                let what = format!("the slats of the return of {name}");
                ask.comes_from_stock(&what, Vec::new(), back, self.board.longest);
            }
            return Ok(());
        };
        row(ask, "front", &front);
        if let Some(back) = &sizes.back {
            row(ask, "right", back);
        }
        ask.comes_from_stock(&format!("the slats of {name}"), Vec::new(), &sizes.height, self.board.longest);
        let between = sizes.height.clone() + (rails.from_end + rails.timber.width) * -2;
        ask.is_there(&format!("between the rails of {name}"), Vec::new(), &between);
        Ok(())
    }

    /// Lays the slats, and the rails of upright ones.
    pub(super) fn lay(
        &self,
        text: &PieceText,
        place: &Place,
        fitted: &Fitted<'_>,
        out: &mut Build,
    ) -> Result<(), Problem> {
        match &self.rails {
            Some(rails) => {
                rails.lay(text, place, out);
                self.stand(text, place, fitted, out)
            }
            None => self.lay_level(text, place, fitted, out),
        }
    }

    fn row(&self, text: &PieceText, face: &str, length: Length, fitted: &Fitted<'_>) -> Result<Row, Problem> {
        let fit = fitted.need_row(&text.called(face))?;
        Ok(Row {
            piece: text.name.clone(),
            face: face.into(),
            length,
            pattern: vec![self.board.width],
            count: fit.count,
            gaps: fit.gaps,
            starts_with_gap: false,
            up: self.rails.is_none(),
        })
    }

    /// The runs: each face with how far it reaches and how far beyond that its slats go.
    fn runs(&self, place: &Place) -> Vec<(&'static str, Length, Length)> {
        let past = if place.back.is_some() { self.board.thickness } else { Length::ZERO };
        let back = place.back.map(|back| ("right", back, Length::ZERO));
        [Some(("front", place.length, past)), back].into_iter().flatten().collect()
    }

    fn lay_level(&self, text: &PieceText, place: &Place, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let courses = self.row(text, "courses", place.top - place.low, fitted)?;
        let Timber { width, thickness, stock, .. } = self.board;
        let [x, y] = place.corner;
        for (face, reach, past) in self.runs(place) {
            explain_slat(text, face, reach, past, out);
            let mut parts = Vec::new();
            for (course, start) in courses.starts().enumerate() {
                // Members are counted by fit, whose counts stay far below a u32.
                let key = key(text, "slat", face, course as u32, 0);
                let low = place.low + start;
                let long = reach + past;
                out.parts.push(match face {
                    "front" => {
                        boxed([x, y - thickness, low], [long, thickness, width], [Axis::X, Axis::Z], key.clone(), stock)
                    }
                    _ => boxed(
                        [x + place.length, y, low],
                        [thickness, long, width],
                        [Axis::Y, Axis::Z],
                        key.clone(),
                        stock,
                    ),
                });
                parts.push(key);
            }
            out.steps.push(step(text, face, parts));
        }
        explain_row(out, courses);
        Ok(())
    }

    fn stand(&self, text: &PieceText, place: &Place, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let Timber { width, thickness, stock, .. } = self.board;
        let [x, y] = place.corner;
        let high = place.top - place.low;
        out.quantities.extend(rules::between_ends(
            text.called("slat.length"),
            "length of the slats",
            high,
            Length::ZERO,
        ));
        for (face, reach, past) in self.runs(place) {
            let row = self.row(text, face, reach + past, fitted)?;
            let mut parts = Vec::new();
            for (index, start) in row.starts().enumerate() {
                // Members are counted by fit, whose counts stay far below a u32.
                let key = key(text, "slat", face, 0, index as u32);
                out.parts.push(match face {
                    "front" => boxed(
                        [x + start, y - thickness, place.low],
                        [width, thickness, high],
                        [Axis::Z, Axis::X],
                        key.clone(),
                        stock,
                    ),
                    _ => boxed(
                        [x + place.length, y + start, place.low],
                        [thickness, width, high],
                        [Axis::Z, Axis::Y],
                        key.clone(),
                        stock,
                    ),
                });
                parts.push(key);
            }
            explain_row(out, row);
            out.steps.push(step(text, face, parts));
        }
        Ok(())
    }
}

/// The rails behind upright slats: they go in between the posts, and from rail to rail is room.
fn rails(text: &PieceText, plan: &Plan, post: &Timber, spacing: Length) -> Result<Rails, Problem> {
    if !text.values.has("rail") {
        let none = Problem::new(format!("nothing carries the upright slats of `{}`", text.name));
        return Err(none.at(&text.values.place_of("boards")).hint("name the board of the rails as `rail`"));
    }
    let timber = Timber::needed(text, plan, "rail")?;
    if timber.thickness > post.width.min(post.thickness) {
        let thick = Problem::new(format!("the rails of `{}` are thicker than its posts", text.name));
        return Err(thick.at(&text.values.place_of("rail")).hint("take a thinner board for the rails"));
    }
    let longest = spacing - post.width.min(post.thickness);
    if longest > timber.longest {
        let [longest, gives] = [longest, timber.longest].map(|length| plan.tape.show_with_unit(length));
        let long = format!("the rails of `{}` could be {longest} long, and their stock gives {gives}", text.name);
        return Err(Problem::new(long)
            .at(&text.values.place_of("spacing"))
            .hint("space the posts closer, or take longer rails"));
    }
    let bracket = Fitting::behind(text, plan, "bracket")?;
    Ok(Rails { timber, post: *post, from_end: text.values.length("rail-in").unwrap_or(RAIL_IN), bracket })
}

impl Rails {
    /// The ways from post to post: face, index along it, from where to where.
    fn bays(&self, place: &Place) -> Vec<(&'static str, u32, [Length; 2])> {
        let ways = [("front", &place.along, self.post.width), ("right", &place.behind, self.post.thickness)];
        let bays = ways.into_iter().flat_map(|(face, starts, post)| {
            let pairs = (0_u32..).zip(starts.windows(2));
            pairs.map(move |(index, pair)| (face, index, [pair[0] + post, pair[1]]))
        });
        bays.collect()
    }

    fn lay(&self, text: &PieceText, place: &Place, out: &mut Build) {
        let Timber { width, thickness, stock, .. } = self.timber;
        let lows = [place.low + self.from_end, place.top - self.from_end - width];
        let mut parts = Vec::new();
        for (course, low) in (0_u32..).zip(lows) {
            for (face, index, [start, end]) in self.bays(place) {
                let key = key(text, "rail", face, course, index);
                let [x, y] = place.corner;
                out.parts.push(match face {
                    "front" => boxed(
                        [x + start, y, low],
                        [end - start, thickness, width],
                        [Axis::X, Axis::Z],
                        key.clone(),
                        stock,
                    ),
                    _ => {
                        let corner = [x + place.length - thickness, y + start, low];
                        boxed(corner, [thickness, end - start, width], [Axis::Y, Axis::Z], key.clone(), stock)
                    }
                });
                parts.push(key);
            }
        }
        self.explain(text, place, out);
        let name = &text.name;
        let held = Fitting::said(self.bracket.as_ref(), "a bracket");
        let note = format!(
            "Screws through the posts of {name} would sit in the end grain of the rails, where they hardly hold: put each rail on {held} at both ends."
        );
        if let Some(bracket) = &self.bracket {
            bracket.for_each(text, "rail", parts.len(), 2, out);
        }
        let by = if self.bracket.is_some() { format!(" with {held} at both ends") } else { String::new() };
        out.notes.push(Note { piece: name.clone(), text: note });
        let what = format!(
            "Measure from post to post as they stand, cut the rails of {name} to that and fix them{by}, level, flush with the front of the posts"
        );
        let caution = "Saw with the guard in place and the work held; wear a mask and gloves with treated wood";
        out.steps.push(Step { piece: name.clone(), what, caution: Some(caution.into()), parts });
    }
}

impl Rails {
    /// Each rail has its own why: those of a run differ by a nanometre at most.
    fn explain(&self, text: &PieceText, place: &Place, out: &mut Build) {
        for (face, index, [start, end]) in self.bays(place) {
            let inputs = vec![
                Input::new("the face of the next post", Value::length(end)),
                Input::new("the far face of the post before", Value::length(start)),
            ];
            let name = text.called(&format!("{face}.rail-{}.length", index + 1));
            out.quantities.extend(Quantity::by(name, "length of the rail", Of::Length, &RAIL, inputs));
        }
    }
}

/// The why of the length of level slats.
fn explain_slat(text: &PieceText, face: &str, reach: Length, past: Length, out: &mut Build) {
    let inputs = vec![
        Input::new(format!("the {face} over its posts"), Value::length(reach)),
        Input::new("reach at its start", Value::length(Length::ZERO)),
        Input::new("reach at its end", Value::length(past)),
    ];
    let name = text.called(&format!("{face}.slat.length"));
    out.quantities.extend(Quantity::by(name, "length of the slats", Of::Length, &rules::ROW_LENGTH, inputs));
}

fn step(text: &PieceText, face: &str, parts: Vec<PartKey>) -> Step {
    let name = &text.name;
    let run = if face == "front" { "along the front" } else { "of the return" };
    let what =
        format!("Fix the slats {run} of {name} to the posts as they stand, by the marks of the rod, from one datum");
    let caution = "Saw with the guard in place and the work held; goggles and a mask; round over what a hand can touch";
    Step { piece: name.clone(), what, caution: Some(caution.into()), parts }
}
