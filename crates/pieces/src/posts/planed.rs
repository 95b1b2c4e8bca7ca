//! Posts in corners that are not right angles: against one face, and planed along their length to lie against the other.

use super::Posts;
use crate::ask::Ask;
use crate::place::{Ground, Spans, Way};
use measure::Length;
use model::build::{Build, the};
use model::outline::{Outline, Turn};
use model::part::{Part, from_mm};
use model::problem::Problem;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// What a planed post keeps at least of its narrower face: three diameters of a screw of 5, its distance from an edge in
/// softwood that is drilled first (*our own choice*).
const LEAST_FACE: Length = Length::mm(15);

/// A post in a corner: what lies beside it, seen along the face that it stands against.
struct Corner {
    /// How far it begins before the corner, behind which the other face leads away from it.
    before: Length,
    /// Where the other face lies at the post's back, along the post's own face.
    at_back: Length,
    /// What the post takes of that other face.
    taken: Length,
}

impl Corner {
    /// The corner of a turn, for posts so deep. The other face leads from the corner towards (along, inwards) = (-cos τ, sin τ).
    fn of(turn: Turn, deep: Length) -> Corner {
        let (sin, cos) = turn.angle().sin_cos();
        let at_back = from_mm(-deep.as_mm() * cos / sin);
        Corner { before: (-at_back).max(Length::ZERO), at_back, taken: from_mm(deep.as_mm() / sin) }
    }
}

impl Posts {
    fn corner(&self, outline: &Outline, side: usize) -> Corner {
        Corner::of(outline.turn_after(outline.before(side)), self.board.thickness)
    }

    pub(super) fn ask_planed(&self, ask: &mut Ask<'_>, outline: &Outline) -> Result<(), Problem> {
        let wide = self.board.width;
        for side in 0..outline.count() {
            let (own, next) = (self.corner(outline, side), self.corner(outline, outline.after(side)));
            if wide < own.at_back.abs() + LEAST_FACE {
                return Err(self.too_narrow(own.at_back.abs()));
            }
            let face = &outline.sides()[side];
            let clear = face.length.clone() + own.before + -wide + -next.taken;
            ask.is_there(
                &format!("the room between the posts of {} along the {}", self.text.name, face.name),
                Vec::new(),
                &clear,
            );
        }
        Ok(())
    }

    fn too_narrow(&self, planed: Length) -> Problem {
        let least = planed + LEAST_FACE;
        let [wide, deep, least] =
            [self.board.width, self.board.thickness, least].map(|length| self.tape.show_with_unit(length));
        let little = format!(
            "little is left of a post {wide} wide and {deep} deep once it is planed to the corners of `{}`",
            self.host
        );
        self.wrong("board", little, format!("at that depth take one at least {least} wide"))
    }

    pub(super) fn lay_planed(&self, outline: &Outline, ground: &Ground, up: [Length; 2], out: &mut Build) {
        let posts = (0..outline.count()).map(|side| self.planed(outline, ground, side, up)).collect();
        let host = &self.host;
        let turn = Value { of: Of::Angle, value: outline.turn_after(0).angle().millionths().into() };
        let inputs = vec![Input::new(format!("turn of {host} at a corner"), turn)];
        let what = "how far off square one edge of each post is planed";
        out.quantities.extend(Quantity::by(self.text.called("bevel"), what, Of::Angle, &BEVEL, inputs));
        let plane =
            format!("Plane one edge of each of {} to the bevel of the corners of {host}", the("post", &self.text.name));
        let what = format!("{plane}, try it in its corner, and fix it plumb");
        let held = self.what_holds(out);
        let early =
            format!("{plane}, and stand it plumb where its corner is to be, braced till the {held} of {host} hold it");
        self.put(posts, [what, early], out);
    }

    fn planed(&self, outline: &Outline, ground: &Ground, side: usize, up: [Length; 2]) -> Part {
        let corner = self.corner(outline, side);
        let deep = self.board.thickness;
        let along = [-corner.before, self.board.width - corner.before];
        let spans = Spans { along, out: [-deep, Length::ZERO], up };
        let key = self.key("post", ground.name(side), 0);
        let mut part = ground.part(side, spans, [Way::Up, Way::Along], key, self.board.stock);
        // From the back to the corner, so that the post lies on the left.
        ground.trim_between(&mut part, 0, side, [[corner.at_back, -deep], [Length::ZERO; 2]]);
        part
    }
}

/// How far off square the planed edge of a corner post is.
pub(crate) static BEVEL: Rule = Rule {
    id: "post-bevel",
    words: "A post that lies against both faces of a corner has the corner's inside angle between its own: off square by the difference",
    formula: "bevel = |90° - inside angle| = |turn - 90°|",
    inputs: &["turn"],
    source: "a post planed to the angle: off square by |90° - θ| at an inside angle θ",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [turn] => Some((turn - RIGHT).abs()),
        _ => None,
    },
    case: Case {
        given: &[60_000_000],
        gives: 30_000_000,
        source: "a hexagon turns by 60° and has inside angles of 120° (Euclid, Elements IV 15): 30° off square",
    },
};

/// A right angle, in millionths of a degree.
const RIGHT: i128 = 90_000_000;
