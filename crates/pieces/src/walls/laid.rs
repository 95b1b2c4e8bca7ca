//! Walls in place: posts and ribs first, then course by course.

use super::batter::Lean;
use super::{Walls, explain_length, ribs};
use crate::angles::explain_mitre;
use crate::place::{Ground, Spans, Way};
use crate::rows::{Corners, RowLine};
use measure::{Angle, Length};
use model::build::{Build, Note, Step};
use model::outline::Outline;
use model::part::PartKey;

/// Walls as they are laid for sizes that came out.
pub(super) struct Laid<'a> {
    pub walls: &'a Walls,
    pub ground: &'a Ground,
    pub lean: Option<Lean>,
    /// How long each side is, and how much the corner at its end turns.
    pub sides: Vec<(Length, Angle)>,
    /// The rows in even and in odd courses, counted from 0.
    pub lines: [Vec<RowLine>; 2],
    pub bottom: Length,
}

impl Laid<'_> {
    pub(super) fn explain(&self, outline: &Outline, corners: Corners, out: &mut Build) {
        if let Some(lean) = &self.lean {
            return lean.explain(self.walls, outline, out);
        }
        if corners == Corners::Mitred {
            explain_mitre(&self.walls.text.name, outline, out);
        }
        for line in &self.lines[0] {
            let (face, side) = (self.ground.name(line.side), self.sides[line.side].0);
            out.quantities.extend(explain_length(&self.walls.text.name, face, side, line.reach));
            self.walls.explain_joints(face, side + line.reach[0] + line.reach[1], out);
        }
    }

    /// Posts in the corners and ribs behind the joints, which stand before the courses are fixed to them.
    pub(super) fn uprights(&self, up: [Length; 2], courses: usize, out: &mut Build) {
        let posts = self.walls.lay_posts(self.ground, self.sides[0].0, up, out);
        let mut ribs = Vec::new();
        for (side, &(length, _)) in self.sides.iter().enumerate() {
            let lines: Vec<&RowLine> = self.lines.iter().map(|lines| &lines[side]).take(courses).collect();
            ribs.extend(self.walls.lay_ribs(self.ground, &lines, (side, length), up, out));
        }
        let name = &self.walls.text.name;
        if !posts.is_empty() {
            let text = "The boards or panels end at the posts: screws into their ends hold badly there, so fix them to cleats or brackets on the inside.";
            out.notes.push(Note { piece: name.clone(), text: text.into() });
            let what = format!("Stand the four posts of {name} on their marks, plumb, and check both diagonals");
            out.steps.push(Step { piece: name.clone(), what, caution: None, parts: posts });
        }
        if !ribs.is_empty() {
            let what = format!(
                "Mark the ribs of {name}, one behind each joint, and hold them plumb until the courses are on them"
            );
            out.steps.push(Step { piece: name.clone(), what, caution: None, parts: ribs });
        }
    }

    /// Lays one course, which reaches from `up[0]` to `up[1]` above the lower edge of the walls.
    pub(super) fn course(&self, course: usize, up: [Length; 2], out: &mut Build) -> Vec<PartKey> {
        let first = out.parts.len();
        for (side, &(length, turn)) in self.sides.iter().enumerate() {
            let face = self.ground.name(side);
            match &self.lean {
                Some(lean) => {
                    // Courses are counted by fit, whose counts stay far below a u32.
                    let key = self.walls.key(self.walls.made.role(), face, course as u32, 0);
                    out.parts.push(lean.part(self.walls, self.ground, (side, length, turn), up, key));
                    lean.explain_length(self.walls, (face, length, turn), course, up, out);
                }
                None => self.plumb(&self.lines[course % 2][side], course, up, out),
            }
        }
        out.parts[first..].iter().map(|part| part.key.clone()).collect()
    }

    /// Lays the parts of one course along a side that stands plumb: one, or several that meet on ribs.
    fn plumb(&self, line: &RowLine, course: usize, up: [Length; 2], out: &mut Build) {
        let (walls, length) = (self.walls, self.sides[line.side].0);
        let along = [-line.reach[0], length + line.reach[1]];
        let joints = match walls.rib {
            Some(_) => ribs::joints(along[1] - along[0], walls.made.longest(), course),
            None => Vec::new(),
        };
        let cuts = joints.iter().map(|&joint| along[0] + joint);
        let cuts: Vec<Length> = std::iter::once(along[0]).chain(cuts).chain([along[1]]).collect();
        let last = cuts.len() - 2;
        for (index, ends) in cuts.windows(2).enumerate() {
            let up = up.map(|height| self.bottom + height);
            let spans = Spans { along: [ends[0], ends[1]], out: [-walls.made.thickness, Length::ZERO], up };
            // Courses and boards are counted by fit or by lengths that are read, far below a u32.
            let key = walls.key(walls.made.role(), self.ground.name(line.side), course as u32, index as u32);
            let mut part = self.ground.part(line.side, spans, [Way::Along, Way::Up], key, walls.made.stock);
            if index == 0 {
                self.ground.mitre(&mut part, 0, line, walls.layer(), length);
            }
            if index == last {
                self.ground.mitre(&mut part, 1, line, walls.layer(), length);
            }
            out.parts.push(part);
        }
    }
}

impl Walls {
    pub(super) fn step(&self, course: usize, courses: usize, corners: &str, parts: Vec<PartKey>) -> Step {
        let name = &self.text.name;
        let what = match (self.made.board.is_some(), course) {
            (false, _) => format!("Stand the panels of {name} together ({corners}) and check both diagonals"),
            (true, 0) => format!("Lay the first course of {name} out level ({corners}) and check both diagonals"),
            (true, _) => format!("Add course {} of {courses} of {name}", course + 1),
        };
        let caution = (course == 0).then(|| {
            "Saw with the guard in place and the work held; wear a mask and gloves with treated wood and do not burn its offcuts"
                .to_owned()
        });
        Step { piece: name.clone(), what, caution, parts }
    }
}
