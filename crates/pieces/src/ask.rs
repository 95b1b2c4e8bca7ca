//! What the pieces of a plan ask of fit, under names that stay the same over refits.

use crate::Piece;
use crate::within::Within;
use fit::{Choice, Gap, Problem, Relation, Run, Size, Wish};
use measure::{Length, Share, Tape};
use model::affine::{Affine, SizeId};
use model::outline::Outline;
use model::plan::{PieceText, Plan};
use model::problem::{Place, Problem as Trouble};
use model::schema;
use std::collections::BTreeMap;

/// Where a piece stands and what others may refer to: its outermost outline, and its heights.
#[derive(Clone, Debug)]
pub struct Stand {
    /// Its outline seen from above.
    pub outline: Outline,
    /// Where the outline's first corner lies, in the build's x and y.
    pub origin: [Affine; 2],
    /// The height of its lower edge above the ground.
    pub bottom: Affine,
    /// The height of its upper edge above the ground.
    pub top: Affine,
    /// Whether it has faces that boards can be fixed to: a ring of loose units has none.
    pub has_faces: bool,
    /// How far its inner faces lie inwards of the outline; `None` if it has no inside that other pieces can stand in.
    pub wall: Option<Length>,
    /// For walls that lean: how far their lower outer edges lie inwards of the outline, which is then that of the upper ones;
    /// negative if they are narrower at the top. Zero for plumb ones. From `bottom` to `top` is then the slope, not the height.
    pub batter: Length,
}

impl Stand {
    /// The same with each side of the outline moved outwards by its own distance.
    pub fn moved_out(&self, by: &[Length]) -> Stand {
        let [x, y] = self.outline.origin_moved(by);
        let origin = [self.origin[0].clone() + x, self.origin[1].clone() + y];
        Stand { outline: self.outline.moved_out(by), origin, ..self.clone() }
    }

    /// Its inside as a stand of its own, if it has one: the outline moved inwards to the inner faces.
    pub fn inside(&self) -> Option<Stand> {
        let wall = self.wall?;
        Some(Stand { wall: None, ..self.moved_out(&vec![-wall; self.outline.count()]) })
    }
}

/// A gap that was declared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GapId(usize);

/// A row to be filled: members in a pattern, one to [`MOST_MEMBERS`] repeats of it, with equal gaps between them, and
/// perhaps a gap at one end or both.
#[derive(Clone, Debug)]
pub struct RowAsk<'n> {
    /// Its name, such as `ring.front`.
    pub name: &'n str,
    /// The options under which it exists.
    pub when: When,
    /// What members and gaps fill together.
    pub face: Affine,
    /// The members along the row that come again and again: one for members that are all alike.
    pub pattern: &'n [Length],
    /// How many members of the pattern come once more after the whole repeats.
    pub more: usize,
    /// How many of its ends have a gap: 0, 1 or 2.
    pub end_gaps: u8,
    /// Which gap.
    pub gap: GapId,
    /// How often over it is asked: `face` is so many times what members and gaps fill, where that itself is no whole multiple of
    /// a size. Else 1.
    pub times: i64,
}

/// The options under which something exists.
pub type When = Vec<(usize, usize)>;

/// No part, and no room inside a piece, is shorter than this: nobody cuts or fixes shorter ones (*common practice* holds even
/// 200 to be too short for a hand at the saw).
pub const SHORTEST: Length = Length::mm(50);

/// How far apart pieces that stand by themselves are set out, one beside the other along the front: room for a ring round each.
pub const APART: Length = Length::mm(3_000);

/// The most members that a row is ever given: what a stranger's plan may ask for.
pub const MOST_MEMBERS: u32 = 20_000;

/// The most parts that a plan is ever laid out in: what a stranger's plan may ask for, far above what a garden holds (*our own
/// choice*).
pub const MOST_PARTS: usize = 25_000;

/// The question to fit as it grows, piece by piece.
pub struct Ask<'p> {
    plan: &'p Plan,
    problem: Problem,
    choices: BTreeMap<String, Chosen>,
    rows: BTreeMap<String, Vec<Repeats>>,
    times: Vec<i64>,
    pub(crate) stands: BTreeMap<String, Stand>,
    places: BTreeMap<String, Place>,
    /// Where the next piece that stands by itself begins, along the front.
    free: Affine,
    /// The pieces that were set out along the front, from the left to the right.
    set_out: Vec<String>,
    /// Which piece lies before a face of another: by that piece and side.
    taken: BTreeMap<(String, usize), String>,
    /// Which piece each one lies against.
    against: BTreeMap<String, String>,
    /// Which sloping cap hangs down before the faces of a piece.
    overhung: BTreeMap<String, String>,
    /// Which piece lies on top of another.
    covered: BTreeMap<String, String>,
    /// Which liner lies in a piece.
    lined: BTreeMap<String, String>,
    /// What stands in a piece, by that piece: the name of each with what it takes.
    within: BTreeMap<String, Vec<(String, Within)>>,
}

/// A run of the problem as a row of members: so many in each repeat, and so many more.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Repeats {
    pub run: usize,
    pub each: usize,
    pub more: usize,
}

/// A choice as it was declared.
#[derive(Clone, Debug)]
pub(crate) enum Chosen {
    /// There was nothing to choose.
    Only(String),
    /// Fit decides: the choice's place in its list.
    Among(usize),
}

/// Everything that the pieces of a plan ask, ready for fit.
pub struct Asked {
    /// The question itself.
    pub problem: Problem,
    /// Where each wish stands in the plan, by its name in the problem.
    pub places: BTreeMap<String, Place>,
    /// The lengths that the plan fixes, which no search moves: by the name of the key, `bench.top`.
    pub fixed: Vec<(String, Length)>,
    /// The tape of the plan.
    pub tape: Tape,
    pub(crate) choices: BTreeMap<String, Chosen>,
    pub(crate) rows: BTreeMap<String, Vec<Repeats>>,
    /// How often over each run is asked: [`RowAsk::times`].
    times: Vec<i64>,
    pub(crate) stands: BTreeMap<String, Stand>,
    /// Each piece, and where its name stands in the plan.
    pub(crate) pieces: Vec<(Place, Box<dyn Piece>)>,
}

impl Asked {
    /// One member of a run of the problem, or all members of its pattern together, as long as they are. A run that is not there
    /// has none.
    pub fn member(&self, run: usize) -> Length {
        let (Some(asked), Some(times)) = (self.problem.runs.get(run), self.times.get(run)) else { return Length::ZERO };
        // A member was multiplied by so much.
        Length::nm(asked.member / times)
    }

    /// The names of the rows that stand in a run of the problem.
    pub fn rows_in(&self, run: usize) -> impl Iterator<Item = &str> {
        let stands = move |row: &&Repeats| row.run == run;
        let rows = self.rows.iter().filter(move |(_, runs)| runs.iter().any(|row| stands(&row)));
        rows.map(|(name, _)| name.as_str())
    }

    /// The length that a run of the problem fills at these sizes; a run that is not there fills nothing.
    pub fn face(&self, run: usize, sizes: &[i64]) -> Option<Length> {
        let times = i128::from(*self.times.get(run)?);
        let face = self.problem.runs.get(run)?.face.at(sizes)?;
        i64::try_from(face.div_euclid(times)).ok().map(Length::nm)
    }

    /// All gaps of a run together, to the nearest nanometre, and how many there are; `None` if there are none.
    pub fn gaps(&self, run: usize, gap: &fit::GapShare) -> Option<Share> {
        let times = i128::from(*self.times.get(run)?);
        let total = i64::try_from((2 * gap.total + times).div_euclid(2 * times)).ok()?;
        Share::new(Length::nm(total), u32::try_from(gap.places / times).ok()?)
    }
}

impl<'p> Ask<'p> {
    pub(crate) fn new(plan: &'p Plan) -> Ask<'p> {
        Ask {
            plan,
            problem: Problem::default(),
            choices: BTreeMap::new(),
            rows: BTreeMap::new(),
            times: Vec::new(),
            stands: BTreeMap::new(),
            places: BTreeMap::new(),
            free: Affine::default(),
            set_out: Vec::new(),
            taken: BTreeMap::new(),
            against: BTreeMap::new(),
            overhung: BTreeMap::new(),
            covered: BTreeMap::new(),
            lined: BTreeMap::new(),
            within: BTreeMap::new(),
        }
    }

    pub(crate) fn finish(self, pieces: Vec<(Place, Box<dyn Piece>)>) -> Asked {
        Asked {
            problem: self.problem,
            places: self.places,
            fixed: self.plan.pieces.iter().flat_map(fixed_lengths).collect(),
            tape: self.plan.tape,
            choices: self.choices,
            rows: self.rows,
            times: self.times,
            stands: self.stands,
            pieces,
        }
    }

    /// Whether a size of this name was declared.
    pub(crate) fn asks(&self, size: &str) -> bool {
        self.problem.sizes.iter().any(|asked| asked.name == size)
    }

    /// The tape of the plan.
    pub fn tape(&self) -> Tape {
        self.plan.tape
    }

    /// Where a piece stands that was asked before.
    ///
    /// # Errors
    /// If there is no such piece, or it is asked later.
    pub fn stand(&self, name: &str, place: &Place) -> Result<Stand, Trouble> {
        let missing = || Trouble::new(format!("no piece called `{name}` stands here yet")).at(place);
        self.stands.get(name).cloned().ok_or_else(missing)
    }

    /// Where a piece that stands by itself begins, in x and y: such pieces stand in a row along the front, [`APART`] from one to
    /// the next. `length` is how far this one reaches along the front.
    pub fn stand_by_itself(&mut self, by: &str, length: &Affine) -> [Affine; 2] {
        self.set_out.push(by.to_owned());
        let next = self.free.clone() + length.clone() + APART;
        [std::mem::replace(&mut self.free, next), Affine::default()]
    }

    /// Takes the ground for a piece that stands beside another and ends at `end`, along the front: the next that stands by itself
    /// begins [`APART`] behind it.
    ///
    /// # Errors
    /// If another piece was set out behind the other one in the meantime: they would overlap.
    pub fn stand_beside(&mut self, other: &Stand, end: Affine, by: &str, place: &Place) -> Result<(), Trouble> {
        let behind_other = other.origin[0].clone() + other.outline.sides()[0].length.clone() + APART;
        if self.free != behind_other {
            let late = Trouble::new(format!("another piece was set out where `{by}` would stand")).at(place);
            return Err(
                late.hint("write pieces that stand beside one another first, one after the other from left to right")
            );
        }
        self.free = end + APART;
        self.set_out.push(by.to_owned());
        Ok(())
    }

    /// A piece that was set out between two others, or what they lie against, if there is one.
    pub(crate) fn stands_between(&self, left: &str, right: &str) -> Option<&str> {
        let place = |piece: &str| {
            let mut piece = piece;
            while let Some(below) = self.against.get(piece) {
                piece = below;
            }
            self.set_out.iter().position(|name| name == piece)
        };
        let (left, right) = (place(left)?, place(right)?);
        self.set_out.get(left + 1..right)?.first().map(String::as_str)
    }

    /// Takes the place on top of a piece, and of what it lies against, which ends at the same height.
    ///
    /// # Errors
    /// If another piece lies there.
    pub fn take_top(&mut self, of: &str, by: &str, place: &Place) -> Result<(), Trouble> {
        let mut of = Some(of.to_owned());
        while let Some(below) = of {
            if let Some(other) = self.covered.get(&below) {
                let both = format!("`{by}` and `{other}` both lie on top of `{below}`, so they would overlap");
                return Err(Trouble::new(both).at(place).hint("one cap on a piece is enough"));
            }
            self.covered.insert(below.clone(), by.to_owned());
            of = self.against.get(&below).cloned();
        }
        Ok(())
    }

    /// Takes the place before a face of a piece, and before the same face of what that piece lies against, as far down as the
    /// face was left bare.
    ///
    /// # Errors
    /// If another piece lies there, or before the next face round an inside corner: they would overlap.
    pub fn take(&mut self, of: &str, side: usize, by: &str, place: &Place) -> Result<(), Trouble> {
        self.against.insert(by.to_owned(), of.to_owned());
        let mut of = of.to_owned();
        loop {
            self.is_free(&of, side, by).map_err(|overlap| overlap.at(place))?;
            self.taken.insert((of.clone(), side), by.to_owned());
            match self.against.get(&of) {
                Some(below) if self.taken.get(&(below.clone(), side)) != Some(&of) => of = below.clone(),
                _ => return Ok(()),
            }
        }
    }

    /// Whether a piece can lie before a face of another.
    fn is_free(&self, of: &str, side: usize, by: &str) -> Result<(), Trouble> {
        let holder = |side: usize| self.taken.get(&(of.to_owned(), side)).filter(|other| other.as_str() != by);
        if let Some(other) = holder(side) {
            let both = format!("`{by}` and `{other}` both lie against `{of}`, so they would overlap");
            return Err(Trouble::new(both).hint(apart(by, other)));
        }
        let Some(outline) = self.stands.get(of).map(|stand| &stand.outline) else { return Ok(()) };
        let (before, after) = (outline.before(side), outline.after(side));
        for (neighbour, corner) in [(before, before), (after, side)] {
            let other = holder(neighbour).filter(|other| !self.rests_on(by, other));
            if let Some(other) = other.filter(|_| !outline.turn_after(corner).is_outside()) {
                let name = |side: usize| &outline.sides()[side].name;
                return Err(Trouble::new(format!(
                    "`{by}` on the {} and `{other}` on the {} of `{of}` would overlap in the inside corner",
                    name(side),
                    name(neighbour)
                ))
                .hint(apart(by, other)));
            }
        }
        Ok(())
    }

    /// Takes room in a piece.
    ///
    /// # Errors
    /// If another piece in it could come to stand there.
    pub(crate) fn stands_in(&mut self, of: &str, by: &str, takes: Within, place: &Place) -> Result<(), Trouble> {
        let least = |value: &Affine| {
            let at = |(id, times): (SizeId, i64)| {
                let wish = self.problem.sizes[id.0].wish;
                Length::nm(if times > 0 { wish.from } else { wish.to }) * times
            };
            value.constant() + value.terms().map(at).sum::<Length>()
        };
        let there = self.within.get(of).map_or(&[][..], Vec::as_slice);
        if let Some((other, _)) = there.iter().find(|(other, taken)| other != by && taken.meets(&takes, &least)) {
            let both = format!("`{by}` and `{other}` would overlap in `{of}`");
            return Err(Trouble::new(both).at(place).hint(takes.hint()));
        }
        self.within.entry(of.to_owned()).or_default().push((by.to_owned(), takes));
        Ok(())
    }

    /// Lines a piece.
    ///
    /// # Errors
    /// If another liner does.
    pub fn line(&mut self, of: &str, by: &str, place: &Place) -> Result<(), Trouble> {
        match self.lined.insert(of.to_owned(), by.to_owned()) {
            None => Ok(()),
            Some(other) => {
                let both = format!("`{by}` and `{other}` both line `{of}`");
                Err(Trouble::new(both).at(place).hint("one liner in a piece is enough"))
            }
        }
    }

    /// Lets a sloping cap lie on a piece: its boards hang down before the faces, so no cladding may lie there.
    ///
    /// # Errors
    /// If a cladding lies there already.
    pub fn overhang(&mut self, of: &str, by: &str, place: &Place) -> Result<(), Trouble> {
        let before = self.taken.iter().filter(|((piece, _), _)| piece == of).map(|(_, other)| other);
        let mut clad = before.filter(|other| self.stands.get(*other).is_some_and(|stand| stand.has_faces));
        match clad.next() {
            Some(other) => Err(cuts_into(by, other, of).at(place)),
            None => {
                self.overhung.insert(of.to_owned(), by.to_owned());
                Ok(())
            }
        }
    }

    /// Holds that no sloping cap hangs down before the faces of a piece.
    ///
    /// # Errors
    /// If one does.
    pub fn is_not_overhung(&self, of: &str, by: &str, place: &Place) -> Result<(), Trouble> {
        self.overhung.get(of).map_or(Ok(()), |cap| Err(cuts_into(cap, by, of).at(place)))
    }

    /// Whether a piece lies against another, itself or by those between them.
    fn rests_on(&self, piece: &str, other: &str) -> bool {
        let mut below = self.against.get(piece);
        while let Some(name) = below.filter(|name| name.as_str() != other) {
            below = self.against.get(name);
        }
        below.is_some()
    }

    /// Declares a size: it lies on the marks of the plan's tape, except that a size which is wished exactly lies where it
    /// is wished.
    /// One that the day book holds is pinned, and no collision gives it up.
    pub fn size(&mut self, name: &str, wish: schema::Wish, place: Place) -> SizeId {
        let step = self.plan.tape.step();
        let held = self.plan.standing.held.get(name).map(|held| held.value);
        let wish = held.map_or(wish, |value| schema::Wish { want: value, from: value, to: value, ..wish });
        let origin = if wish.from == wish.to { wish.want.nanometres() } else { 0 };
        let mut wish = fit_wish(wish, wish.want.nanometres() / 10, step.nanometres());
        if let Some(value) = held {
            wish.reach = (value.nanometres(), value.nanometres());
        }
        self.problem.sizes.push(Size { name: name.into(), origin, step: step.nanometres(), wish });
        self.places.insert(name.into(), place);
        SizeId(self.problem.sizes.len() - 1)
    }

    /// Declares a gap or joint.
    pub fn gap(&mut self, name: &str, wish: schema::Wish, place: Place) -> GapId {
        let wish = fit_wish(wish, (wish.want.nanometres() / 2).max(Length::mm(2).nanometres()), 0);
        self.problem.gaps.push(Gap { name: name.into(), wish });
        self.places.insert(name.into(), place);
        GapId(self.problem.gaps.len() - 1)
    }

    /// Declares how far apart things stand that lie over one another, as a gap between marks. If that wish is given up it may
    /// come down to `floor`, never above its range.
    pub fn cover(&mut self, name: &str, wish: schema::Wish, floor: Length, place: Place) -> GapId {
        let reach = (floor.nanometres(), wish.to.nanometres());
        let wish = Wish { reach, ..fit_wish(wish, 0, 0) };
        self.problem.gaps.push(Gap { name: name.into(), wish });
        self.places.insert(name.into(), place);
        GapId(self.problem.gaps.len() - 1)
    }

    /// Declares a choice between options and says under which condition each holds; with one option there is nothing to
    /// choose and the condition is empty. Earlier options are preferred at ties.
    pub fn choice(&mut self, name: &str, options: &[String]) -> Vec<When> {
        if let [only] = options {
            self.choices.insert(name.into(), Chosen::Only(only.clone()));
            return vec![Vec::new()];
        }
        let at = self.problem.choices.len();
        self.problem.choices.push(Choice { name: name.into(), options: options.to_vec(), pinned: None });
        self.choices.insert(name.into(), Chosen::Among(at));
        (0..options.len()).map(|option| vec![(at, option)]).collect()
    }

    /// Declares a row. Rows that ask the same thing (the front and the back of a rectangle) become one question with
    /// several names.
    pub fn row(&mut self, row: RowAsk<'_>) {
        let (each, more) = (row.pattern.len(), row.more);
        let once_more: Length = row.pattern.iter().take(more).copied().sum();
        let run = Run {
            name: row.name.into(),
            when: row.when,
            face: to_fit(&(row.face + once_more * -row.times)),
            member: (row.pattern.iter().copied().sum::<Length>() * row.times).nanometres(),
            // Patterns are short lists.
            gaps_per_member: each as i64 * row.times,
            end_gaps: (more as i64 + i64::from(row.end_gaps) - 1) * row.times,
            gap_scale: 1,
            gap: row.gap.0,
            count: (1, i64::from(MOST_MEMBERS)),
        };
        let same = |other: &Run| Run { name: run.name.clone(), ..other.clone() } == run;
        let place = match self.problem.runs.iter().position(same) {
            Some(place) => place,
            None => {
                self.problem.runs.push(run);
                self.times.push(row.times);
                self.problem.runs.len() - 1
            }
        };
        self.rows.entry(row.name.into()).or_default().push(Repeats { run: place, each, more });
    }

    /// Declares that something is there at all: a side, a row, the inside of an arm is not shorter than [`SHORTEST`].
    pub fn is_there(&mut self, what: &str, when: When, value: &Affine) {
        let least = self.plan.tape.show_with_unit(SHORTEST);
        self.limit(format!("{what} must be at least {least}"), when, value, SHORTEST, Length::READ_LIMIT);
    }

    /// Declares that something is longer than a length.
    pub fn is_more(&mut self, what: &str, when: When, value: &Affine, than: Length) {
        let shown = self.plan.tape.show_with_unit(than);
        self.limit(format!("{what}, must be more than {shown}"), when, value, than + Length::nm(1), Length::READ_LIMIT);
    }

    /// Declares that something is no longer than a length.
    pub fn is_at_most(&mut self, what: &str, when: When, value: &Affine, most: Length) {
        let shown = self.plan.tape.show_with_unit(most);
        self.limit(format!("{what} must be at most {shown}"), when, value, -Length::READ_LIMIT, most);
    }

    /// Declares that something is no shorter than a length.
    pub fn is_at_least(&mut self, what: &str, when: When, value: &Affine, least: Length) {
        let shown = self.plan.tape.show_with_unit(least);
        self.limit(format!("{what} must be at least {shown}"), when, value, least, Length::READ_LIMIT);
    }

    /// Declares that two lengths are one; nothing is declared where they hang on the same sizes and so are.
    pub fn is_same(&mut self, what: &str, when: When, one: &Affine, other: &Affine) {
        if one != other {
            let apart = one.clone() - other.clone();
            self.limit(format!("{what} must be the same"), when, &apart, Length::ZERO, Length::ZERO);
        }
    }

    /// Declares that parts of this length come out of the longest stock there is, which gives `longest`.
    pub fn comes_from_stock(&mut self, what: &str, when: When, value: &Affine, longest: Length) {
        let gives = self.plan.tape.show_with_unit(longest);
        self.is_there(what, when.clone(), value);
        self.limit(
            format!("{what} must come out of the longest stock, which gives {gives}"),
            when,
            value,
            -Length::READ_LIMIT,
            longest,
        );
    }

    /// Declares a hard limit, which is never given up: `from` to `to`.
    fn limit(&mut self, name: String, when: When, value: &Affine, from: Length, to: Length) {
        let value = to_fit(value);
        let (from, to) = (from.nanometres(), to.nanometres());
        let relation = Relation { name, when, value, from, to };
        let same = |other: &Relation| Relation { name: relation.name.clone(), ..other.clone() } == relation;
        if !self.problem.relations.iter().any(same) {
            self.problem.relations.push(relation);
        }
    }
}

/// The lengths that a piece's text writes down as they are to be.
fn fixed_lengths(text: &PieceText) -> Vec<(String, Length)> {
    let table = text.values.place_of("");
    let is_written = |key: &str| text.values.has(key) && text.values.place_of(key) != table;
    let lengths = text.schema.fields.iter().filter(|field| matches!(field.kind, schema::Kind::Length { .. }));
    let written = lengths.filter(|field| is_written(field.key));
    written.filter_map(|field| Some((text.called(field.key), text.values.length(field.key)?))).collect()
}

/// A sloping cap hangs down into a cladding.
fn cuts_into(cap: &str, cladding: &str, on: &str) -> Trouble {
    Trouble::new(format!("`{cap}` slopes down into `{cladding}`, which lies on `{on}`"))
        .hint(format!("let `{cap}` lie on `{cladding}`, or leave its `slope` out"))
}

/// What to do about two pieces that would overlap.
fn apart(by: &str, other: &str) -> String {
    format!("let one refer to the other: `{by}` to `{other}`, or `{other}` to `{by}`")
}

fn to_fit(affine: &Affine) -> fit::Affine {
    fit::Affine {
        terms: affine.terms().map(|(id, times)| (id.0, times)).collect(),
        constant: affine.constant().nanometres(),
    }
}

/// A wish for the engine: if it has to be dropped it may go three times as far as its range does either way, or three
/// times `least` if that is more, and never below `floor`.
fn fit_wish(wish: schema::Wish, least: i64, floor: i64) -> Wish {
    let (want, from, to) = (wish.want.nanometres(), wish.from.nanometres(), wish.to.nanometres());
    let reach = (3 * (want - from).max(least), 3 * (to - want).max(least));
    Wish { want, from, to, rank: wish.rank, weight: 1, reach: ((want - reach.0).max(floor), want + reach.1) }
}
