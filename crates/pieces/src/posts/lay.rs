//! Posts at right angles: in the corners, along the faces, with rails between them and ties across.

use super::{BACK, FRONT, Posts, RAIL_LENGTH};
use crate::ask::{Ask, Stand};
use crate::bays::Bays;
use crate::fittings::Fitting;
use crate::place::{Ground, Spans, Way};
use crate::timber::Timber;
use measure::Length;
use model::affine::Affine;
use model::build::{Build, Early, Step, the};
use model::outline::Outline;
use model::part::{Part, PartKey};
use model::problem::Problem;
use model::why::{Input, Of, Quantity, Value};

/// The posts along one face.
struct Face {
    side: usize,
    bays: Bays,
    /// Whether the post at its end is its own and not the first one of the next face.
    owns_last: bool,
}

impl Posts {
    /// The faces that posts stand against.
    fn sides(&self, outline: &Outline) -> Vec<usize> {
        if self.outside { vec![FRONT, BACK] } else { (0..outline.count()).collect() }
    }

    /// Whether the post at the end of a side is the side's own: from outside, and where it ends at an inside corner.
    fn owns_last(&self, outline: &Outline, side: usize) -> bool {
        self.outside || !outline.turn_after(side).is_outside()
    }

    /// What the post at the end of a side takes of it: its own width, or the depth of the next side's first post.
    fn taken_at_end(&self, outline: &Outline, side: usize) -> Length {
        if self.owns_last(outline, side) { self.board.width } else { self.board.thickness }
    }

    /// Which sides have middle posts, by place.
    fn with_middle_posts(&self, outline: &Outline) -> Result<Vec<usize>, Problem> {
        let sides = self.sides(outline);
        let Some(names) = self.text.values.names("along") else { return Ok(sides) };
        if self.spacing.is_none() {
            let open = format!("nothing says how far apart the middle posts of `{}` may stand", self.text.name);
            return Err(self.wrong("along", open, "add `spacing`, or leave `along` out"));
        }
        let known = |name: &String| outline.find(name).filter(|side| sides.contains(side));
        let missing = |name: &String| {
            let has: Vec<String> = sides.iter().map(|&side| format!("`{}`", outline.sides()[side].name)).collect();
            let unknown = format!("`{}` has no posts along a face called `{name}`", self.text.name);
            self.wrong("along", unknown, format!("they stand along {}", has.join(", ")))
        };
        names.iter().map(|name| known(name).ok_or_else(|| missing(name))).collect()
    }

    pub(super) fn ask_square(
        &self,
        ask: &mut Ask<'_>,
        outline: &Outline,
        host: &Stand,
        length: &Affine,
    ) -> Result<(), Problem> {
        let name = &self.text.name;
        let middle = self.with_middle_posts(outline)?;
        for side in self.sides(outline) {
            let face = &outline.sides()[side];
            let clear = face.length.clone() + -self.taken_at_end(outline, side) + -self.board.width;
            ask.is_there(
                &format!("the room between the corner posts of {name} along the {}", face.name),
                Vec::new(),
                &clear,
            );
            if let Some(rail) = self.rail.as_ref().filter(|_| self.spacing.is_none() || !middle.contains(&side)) {
                let what = format!("the rail of {name} along the {}", face.name);
                ask.comes_from_stock(&what, Vec::new(), &clear, rail.longest);
            }
            self.ask_across(ask, outline, side);
        }
        if let Some(rail) = &self.rail {
            let height = host.top.clone() - host.bottom.clone();
            let what = format!("the height of {}, in which the rails of {name} lie,", self.host);
            ask.is_at_least(&what, Vec::new(), &height, rail.width);
        }
        if let Some(tie) = &self.tie {
            self.hold_opposite(&middle)?;
            let across = outline.sides()[1].length.clone() + self.board.thickness * -2;
            ask.comes_from_stock(&format!("the ties of {name}"), Vec::new(), &across, tie.longest);
            ask.is_at_least(&format!("the length of the posts of {name}"), Vec::new(), length, tie.thickness);
        }
        Ok(())
    }

    /// Posts against opposite faces do not touch. A side between two outside corners is as long as the faces at its ends lie
    /// apart.
    fn ask_across(&self, ask: &mut Ask<'_>, outline: &Outline, side: usize) {
        let straight = outline.turn_after(outline.before(side)).is_outside() && outline.turn_after(side).is_outside();
        if !self.outside && straight {
            let face = &outline.sides()[side];
            let clear = face.length.clone() + self.board.thickness * -2;
            let what = format!("the room between opposite posts of {}, along the {},", self.text.name, face.name);
            ask.is_there(&what, Vec::new(), &clear);
        }
    }

    fn hold_opposite(&self, middle: &[usize]) -> Result<(), Problem> {
        if middle.contains(&FRONT) && middle.contains(&BACK) {
            return Ok(());
        }
        let lone =
            format!("ties lie from the front to the back, and `{}` has middle posts on one of them", self.text.name);
        Err(self.wrong("along", lone, "name both `front` and `back`, or leave `tie` out"))
    }

    pub(super) fn lay_square(
        &self,
        outline: &Outline,
        ground: &Ground,
        up: [Length; 2],
        top: Length,
        sizes: &[Length],
        out: &mut Build,
    ) -> Result<(), Problem> {
        let middle = self.with_middle_posts(outline)?;
        let face = |side: usize| {
            let reach = outline.sides()[side].length.at(sizes) - self.taken_at_end(outline, side);
            let bays = Bays::needed(reach, self.spacing.filter(|_| middle.contains(&side)))?;
            Some(Face { side, bays, owns_last: self.owns_last(outline, side) })
        };
        let uncounted = || Problem::new(format!("the posts of `{}` cannot be counted", self.text.name));
        let faces: Option<Vec<Face>> = self.sides(outline).into_iter().map(face).collect();
        let faces = faces.ok_or_else(uncounted)?;
        for face in &faces {
            let what = format!("the posts of {} along the {}", self.text.name, ground.name(face.side));
            face.bays.explain(&self.text.called(ground.name(face.side)), &what, out);
        }
        let posts = faces.iter().flat_map(|face| self.posts(ground, face, up)).collect();
        let early = self.early_step_of_posts(out);
        self.put(posts, [self.step_of_posts(), early], out);
        if let Some(rail) = &self.rail {
            let rails = faces.iter().flat_map(|face| self.rails(ground, face, rail, top)).collect();
            let (rail, host) = (the("rail", &self.text.name), &self.host);
            let what = format!("Fix {rail} between the posts, flush with the top of {host}");
            let early = format!("Fix {rail} between the posts, flush with where the top of {host} is to be");
            self.put(rails, [what, early], out);
            out.quantities.extend(faces.iter().flat_map(|face| self.explain_rail(ground, face)));
        }
        if let Some(tie) = &self.tie {
            let across = outline.sides()[1].length.at(sizes);
            self.lay_ties(ground, &faces[FRONT], tie, across, up[1], out);
        }
        Ok(())
    }

    fn step_of_posts(&self) -> String {
        let (posts, host) = (the("post", &self.text.name), &self.host);
        if self.outside {
            format!("Fix {posts} plumb against the front and the back of {host}")
        } else {
            format!("Fix {posts} plumb in the corners of {host}{}", self.along_faces())
        }
    }

    fn along_faces(&self) -> &'static str {
        if self.spacing.is_some() { ", and those along its faces by their running sizes" } else { "" }
    }

    /// What to do with posts that stand before the walls.
    fn early_step_of_posts(&self, out: &Build) -> String {
        let (posts, host, held) = (the("post", &self.text.name), &self.host, self.what_holds(out));
        if self.outside {
            let along = if self.spacing.is_some() { ", by their running sizes" } else { "" };
            format!(
                "Stand {posts} plumb where the front and the back of {host} are to be{along}, braced till its {held} hold them"
            )
        } else {
            let along = self.along_faces();
            format!(
                "Stand {posts} plumb where the corners of {host} are to be{along}, braced till its {held} hold them"
            )
        }
    }

    /// What of the walls is fixed to the posts.
    pub(super) fn what_holds(&self, out: &Build) -> &'static str {
        let is_panel = |part: &Part| part.key.piece == self.host && part.key.role == "panel";
        if out.parts.iter().any(is_panel) { "panels" } else { "boards" }
    }

    fn posts(&self, ground: &Ground, face: &Face, up: [Length; 2]) -> Vec<Part> {
        let count = face.bays.count() as usize + usize::from(face.owns_last);
        let post = |(index, start): (usize, Length)| {
            let along = [start, start + self.board.width];
            let spans = Spans { along, out: self.out(self.board.thickness), up };
            let key = self.key("post", ground.name(face.side), index);
            ground.part(face.side, spans, [Way::Up, Way::Along], key, self.board.stock)
        };
        face.bays.starts().take(count).enumerate().map(post).collect()
    }

    /// One rail in each bay, all of the face as long as its shortest bay leaves clear.
    fn rails(&self, ground: &Ground, face: &Face, rail: &Timber, top: Length) -> Vec<Part> {
        let length = face.bays.pitch() - self.board.width;
        let part = |(index, start): (usize, Length)| {
            let from = start + self.board.width;
            let spans =
                Spans { along: [from, from + length], out: self.out(rail.thickness), up: [top - rail.width, top] };
            let key = self.key("rail", ground.name(face.side), index);
            ground.part(face.side, spans, [Way::Along, Way::Up], key, rail.stock)
        };
        face.bays.starts().take(face.bays.count() as usize).enumerate().map(part).collect()
    }

    fn explain_rail(&self, ground: &Ground, face: &Face) -> Option<Quantity> {
        let name = ground.name(face.side);
        let pitch = Input::new("from one post to the next", Value::length(face.bays.pitch()));
        let inputs = vec![pitch, Input::new("width of a post", Value::length(self.board.width))];
        let called = self.text.called(&format!("{name}.length"));
        Quantity::by(called, format!("length of the rails along the {name}"), Of::Length, &RAIL_LENGTH, inputs)
    }

    /// A tie at each middle post of the front, centred on it, from its back to the back of the one opposite.
    fn lay_ties(&self, ground: &Ground, front: &Face, tie: &Timber, across: Length, top: Length, out: &mut Build) {
        let deep = self.board.thickness;
        let beside = Length::nm((self.board.width - tie.width).nanometres().div_euclid(2));
        let part = |(index, start): (usize, Length)| {
            let from = start + beside;
            let spans =
                Spans { along: [from, from + tie.width], out: [deep - across, -deep], up: [top - tie.thickness, top] };
            let key = self.key("tie", ground.name(FRONT), index);
            ground.part(FRONT, spans, [Way::Out, Way::Along], key, tie.stock)
        };
        let middle = front.bays.starts().take(front.bays.count() as usize).skip(1);
        let ties: Vec<Part> = middle.enumerate().map(part).collect();
        if ties.is_empty() {
            out.notes
                .push(self.note(format!("{} needs no middle posts at this size, and so no ties.", self.text.name)));
            return;
        }
        let [angle, bracket] = ["an angle bracket", "a bracket"].map(|bare| Fitting::said(self.bracket.as_ref(), bare));
        out.notes.push(self.note(format!(
            "The ties of {} end against the posts: fix each end with {angle}, since a screw into end grain does not count.",
            self.text.name
        )));
        if let Some(bracket) = &self.bracket {
            bracket.for_each(&self.text, "tie", ties.len(), 2, out);
        }
        let what = format!("Fix {} between the middle posts, each end with {bracket}", the("tie", &self.text.name));
        self.put(ties, [what.clone(), what], out);
    }

    /// How far out of its face something lies that is so deep.
    fn out(&self, deep: Length) -> [Length; 2] {
        if self.outside { [Length::ZERO, deep] } else { [-deep, Length::ZERO] }
    }

    pub(super) fn key(&self, role: &str, face: &str, index: usize) -> PartKey {
        // Bays are counted as a u32.
        PartKey { piece: self.text.name.clone(), role: role.into(), face: face.into(), course: 0, index: index as u32 }
    }

    /// Puts parts into the build, all in one step: what to do, and what while the walls do not stand yet.
    pub(super) fn put(&self, parts: Vec<Part>, [what, early]: [String; 2], out: &mut Build) {
        out.early.push(Early { step: out.steps.len(), to: self.host.clone(), what: early });
        let keys = parts.iter().map(|part| part.key.clone()).collect();
        out.parts.extend(parts);
        out.steps.push(Step { piece: self.text.name.clone(), what, caution: None, parts: keys });
    }
}
