//! A floor of slats: boards lying flat with equal gaps, a gap at both ends too.

use super::room::{Polygon, Room};
use super::{Place, key, wrong};
use crate::ask::{Ask, RowAsk, SHORTEST};
use crate::fitted::explain_row;
use crate::place::boxed;
use crate::reach::Reach;
use crate::rules;
use crate::timber::Timber;
use measure::{Length, Tape};
use model::affine::Affine;
use model::build::{Build, Row, the};
use model::part::{Axis, Part};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::Wish;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// Slats as the plan states them.
pub(super) struct Slats {
    pub board: Timber,
    /// From front to back, or along the front.
    pub across: bool,
    gap: Wish,
    play: Length,
    tape: Tape,
}

/// Where a slat lies in its strip, from where the room begins, and the sides of the room that trim it.
struct Lies {
    from: Length,
    to: Length,
    sides: Vec<usize>,
}

impl Slats {
    pub fn of(text: &PieceText, plan: &Plan) -> Result<Slats, Problem> {
        if let Some(key) = ["fall", "drain-hole", "drain-spacing"].into_iter().find(|key| text.values.has(key)) {
            let idle = format!("`{}` is of slats, and `{key}` is for a panel", text.name);
            return Err(wrong(text, key, idle, format!("leave `{key}` out, or name a `sheet` in place of `board`")));
        }
        let open = || {
            let none = format!("nothing says how far apart the slats of `{}` lie", text.name);
            wrong(text, "board", none, "add `gap = …`: 5 to 15 mm drain and hold fabric (*common practice*)")
        };
        Ok(Slats {
            board: Timber::needed(text, plan, "board")?,
            across: text.need_word("boards")? == "across",
            gap: text.values.wish("gap").ok_or_else(open)?,
            play: text.need_length("play")?,
            tape: plan.tape,
        })
    }

    /// The face that the row runs along: the front, or the right one from front to back.
    fn face(&self) -> &'static str {
        if self.across { "front" } else { "right" }
    }

    /// The axis that the row runs along.
    fn axis(&self) -> usize {
        usize::from(!self.across)
    }

    /// Of two lengths, one along the front and one from front to back: what the row fills, and what a slat lies along.
    fn run_and_long<T: Clone>(&self, size: &[T; 2]) -> [T; 2] {
        let [along, back] = size.clone();
        if self.across { [along, back] } else { [back, along] }
    }

    pub fn ask(&self, ask: &mut Ask<'_>, text: &PieceText, room: &Room<Affine>) {
        let gap = ask.gap(&text.called("gap"), self.gap, text.values.place_of("gap"));
        let (name, pattern) = (&text.called(self.face()), &[self.board.width]);
        let row =
            RowAsk { name, when: Vec::new(), face: Affine::default(), pattern, more: 0, end_gaps: 2, gap, times: 1 };
        let what = format!("the slats of {}", text.name);
        match room {
            Room::Square { size, arms } => {
                let [face, long] = self.run_and_long(size);
                ask.row(RowAsk { face, ..row });
                ask.comes_from_stock(&what, Vec::new(), &(long + self.play * -2), self.board.longest);
                if let Some([_, short]) = arms.as_ref().map(|arms| self.run_and_long(arms)) {
                    let what = format!("the short slats of {}", text.name);
                    ask.comes_from_stock(&what, Vec::new(), &(short + self.play * -2), self.board.longest);
                }
            }
            Room::Regular { side, reach } => {
                let [run, long] = self.run_and_long(reach);
                ask.row(RowAsk { face: run.face(side), times: run.over, ..row });
                let most = long.side_within(self.board.longest);
                let gives = self.tape.show_with_unit(self.board.longest);
                let what = format!("a side of the room of {}, whose longest slat comes out of {gives},", text.name);
                ask.is_at_most(&what, Vec::new(), side, most);
            }
        }
    }

    /// The slats in place.
    ///
    /// # Errors
    /// If a slat would be shorter than [`SHORTEST`].
    pub fn lay(&self, text: &PieceText, place: &Place<'_>, out: &mut Build) -> Result<Vec<Part>, Problem> {
        let room = &place.room;
        let fit = place.fitted.need_row(&text.called(self.face()))?;
        let length = match room {
            Room::Square { size, .. } => self.run_and_long(size)[0],
            Room::Regular { side, reach } => self.explain_reach(text, self.run_and_long(reach)[0], *side, out)?,
        };
        let row = Row {
            piece: text.name.clone(),
            face: self.face().into(),
            length,
            pattern: vec![self.board.width],
            count: fit.count,
            gaps: fit.gaps,
            starts_with_gap: true,
            up: false,
        };
        let starts: Vec<Length> = row.starts().collect();
        explain_row(out, row);
        let cut = match room {
            Room::Square { .. } => None,
            Room::Regular { .. } => Some(self.cut_room(place)?),
        };
        let mut parts = Vec::with_capacity(starts.len());
        for (index, start) in starts.into_iter().enumerate() {
            let lies = self.lies(place, cut.as_ref(), start);
            if lies.to - lies.from < SHORTEST {
                return Err(self.too_short(text, index, lies.to - lies.from));
            }
            self.explain_slat(text, room, index, &lies, out);
            let mut slat = self.slat(text, place, index, start, &lies);
            for side in lies.sides {
                cut.iter().for_each(|cut| cut.trim(&mut slat, side, 1 - self.axis()));
            }
            parts.push(slat);
        }
        Ok(parts)
    }

    /// A regular room with all sides moved in by the play, but for those that run along the slats.
    fn cut_room(&self, place: &Place<'_>) -> Result<Polygon, Problem> {
        let ways = place.clear.outline.directions();
        let by: Vec<Length> =
            ways.iter().map(|way| if way[self.axis()] == 0.0 { Length::ZERO } else { -self.play }).collect();
        Polygon::of(&place.clear.moved_out(&by), place.fitted)
    }

    /// Where the slat lies whose strip starts there.
    fn lies(&self, place: &Place<'_>, cut: Option<&Polygon>, start: Length) -> Lies {
        if let Room::Square { size, arms } = &place.room {
            let [_, long] = self.run_and_long(size);
            let arms = arms.as_ref().map(|arms| self.run_and_long(arms));
            let beyond = |arm: &[Length; 2]| start + self.board.width > arm[0];
            let long = arms.filter(beyond).map_or(long, |[_, short]| short);
            return Lies { from: self.play, to: long - self.play, sides: Vec::new() };
        }
        let [own, other] = self.run_and_long(&place.corner);
        let strip = [own + start, own + start + self.board.width];
        let Some(there) = cut.and_then(|cut| cut.in_strip(self.axis(), strip)) else {
            return Lies { from: Length::ZERO, to: Length::ZERO, sides: Vec::new() };
        };
        let from = there.reach[0] - other;
        // To the micrometre, so that slats on either hand of the middle are alike.
        let long = (there.reach[1] - there.reach[0]).nanometres();
        Lies { from, to: from + Length::nm((long + 500).div_euclid(1_000) * 1_000), sides: there.sides }
    }

    fn slat(&self, text: &PieceText, place: &Place<'_>, index: usize, start: Length, lies: &Lies) -> Part {
        let [x, y] = self.run_and_long(&[start, lies.from]);
        let [wide, deep] = self.run_and_long(&[self.board.width, lies.to - lies.from]);
        let corner = [place.corner[0] + x, place.corner[1] + y, place.low];
        let lie = self.run_and_long(&[Axis::Y, Axis::X]);
        boxed(corner, [wide, deep, self.board.thickness], lie, key(text, "slat", index), self.board.stock)
    }

    fn too_short(&self, text: &PieceText, index: usize, long: Length) -> Problem {
        let [long, least] = [long, SHORTEST].map(|length| self.tape.show_with_unit(length));
        let short = format!("slat {} of `{}` would be {long} long, and {least} is the least", index + 1, text.name);
        wrong(text, "board", short, "take wider boards, or let the slats run the other way by `boards`")
    }

    fn explain_reach(&self, text: &PieceText, reach: Reach, side: Length, out: &mut Build) -> Result<Length, Problem> {
        let name = text.called(&format!("{}.reach", self.face()));
        out.quantities.extend(reach.explain(name, "what the slats and their gaps fill", side));
        reach.at(side).ok_or_else(|| Problem::new(format!("the room of `{}` is too large", text.name)))
    }

    fn explain_slat(&self, text: &PieceText, room: &Room<Length>, index: usize, lies: &Lies, out: &mut Build) {
        if let Room::Square { size, arms: None } = room {
            if index == 0 {
                let [_, long] = self.run_and_long(size);
                let name = text.called("slat.length");
                out.quantities.extend(rules::between_ends(name, "length of the slats", long, self.play));
            }
            return;
        }
        let inputs = vec![
            Input::new("where it ends", Value::length(lies.to)),
            Input::new("where it begins", Value::length(lies.from)),
        ];
        let name = text.called(&format!("front.slat-{}.length", index + 1));
        out.quantities.extend(Quantity::by(name, "length of the slat", Of::Length, &SLAT, inputs));
    }

    /// What to do with the slats of a room: the words before where they go and those after.
    pub fn step(&self, text: &PieceText, room: &Room<Length>) -> [String; 2] {
        let first = match room {
            Room::Square { .. } => "Lay",
            Room::Regular { .. } => "Cut to the slant of the walls and lay",
        };
        [format!("{first} {}", the("slat", &text.name)), ", by the marks of the rod".into()]
    }

    /// What to know: of slats without play, and of what stays open beside the inside corner of an L.
    pub fn notes(&self, text: &PieceText, parts: &[Part], place: &Place<'_>) -> Vec<String> {
        let tight = format!(
            "The slats of {} are as long as the room is wide: 2 or 3 mm of `play` let them go in, and keep their end grain off wet boards.",
            text.name
        );
        let open = match &place.room {
            Room::Square { arms: Some(arms), .. } => self.open(text, self.run_and_long(arms)[0], parts, place),
            _ => None,
        };
        (self.play == Length::ZERO).then_some(tight).into_iter().chain(open).collect()
    }

    /// A slat that crosses the line of the inside corner, so that it is short.
    fn open(&self, text: &PieceText, arm: Length, parts: &[Part], place: &Place<'_>) -> Option<String> {
        let axis = self.axis();
        let line = place.corner[axis] + arm;
        let crosses = |part: &&Part| part.near_corner()[axis] < line && line < part.far_corner()[axis];
        let crossing = parts.iter().find(crosses)?;
        let before = parts.iter().map(|part| part.far_corner()[axis]).filter(|far| *far < line).max();
        let open = self.tape.show_with_unit(line - before.unwrap_or(place.corner[axis]));
        Some(format!(
            "Slat {} of {} meets the inside corner and is cut short: beyond it {open} stay open along the wall, for a board ripped to that.",
            crossing.key.index + 1,
            text.name
        ))
    }
}

/// The length of a slat from where it begins to where it ends.
pub(crate) static SLAT: Rule = Rule {
    id: "slat",
    words: "A slat is as long as the room lets it be over its whole width; cut to a slant, from long point to long point",
    formula: "length = end - begin",
    inputs: &["end", "begin"],
    source: "the outline of the room and the place of the slat in it",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [end, begin] => Some(end - begin),
        _ => None,
    },
    case: Case { given: &[760_000_000, 40_000_000], gives: 720_000_000, source: "from 40 to 760 are 720, by hand" },
};
