//! One joint: how many screws hold one part to another, and where they stand.
//!
//! Across the grain of the held part they stand at the middles of equal parts of its width, for two its quarter points;
//! along it in the middle of the base. Where ends or edges of either part are too near they give way, no further than they
//! must; where the heads would lie behind what was fixed before, likewise. They stand on marks of the tape laid along the held
//! part from its end and across it from its edge, wherever that leaves room for one. Where not all fit that are asked for,
//! as many are laid as do.

use crate::air;
use crate::body::Body;
use crate::plane::{Flat, Limit, Marks, Plane, Stretch, both, clip, middles, settle, sides, stretch_at, without};
use crate::screw::{self, Room};
use crate::slot::Moves;
use crate::touch::{Patch, Way};
use handbook::fasteners::{self, Distance};
use measure::Length;
use model::build::{Fixing, Load};
use model::joint::NoScrew;
use model::part::from_mm;
use model::stock::{Screw, Yard};
use shape::vector::{dot, plus, times};
use shape::{TOUCH, Vector};

/// What is asked where a held part touches a base.
pub(crate) struct Ask<'a> {
    /// Where.
    pub patch: &'a Patch,
    /// By which fixing.
    pub fixing: &'a Fixing,
    /// The held part.
    pub held: &'a Body<'a>,
    /// The base.
    pub base: &'a Body<'a>,
    /// Which screw, by its place on the shelf.
    pub place: usize,
    /// The screw.
    pub screw: &'a Screw,
    /// Where it says what boards are made of.
    pub yard: &'a Yard,
    /// The step that drill bits come in.
    pub bits: Length,
    /// Where the outer face of the held part is covered already.
    pub behind: Vec<&'a Patch>,
    /// From one mark of the tape to the next, in millimetres.
    pub step: f64,
}

/// A joint as it is laid.
#[derive(Clone, Debug)]
pub(crate) struct Laid {
    /// Which fixing asked for it.
    pub fixing: usize,
    /// The held part.
    pub held: usize,
    /// The base.
    pub base: usize,
    /// Which screw, by its place on the shelf.
    pub screw: usize,
    /// Across its thread.
    pub diameter: Length,
    /// How long it is.
    pub length: Length,
    /// What it had to go through and how deep the base is.
    pub room: Room,
    /// The way of the screws.
    pub direction: Vector,
    /// How many screws are asked for.
    pub asked: usize,
    /// How the held part moves, if it is wide.
    pub moves: Option<Moves>,
    /// Whether a load pushes the wood across the screws.
    pub loaded: bool,
    /// The face, by which the screws may be moved.
    face: Face,
    /// Where each may pass from one part into the other before they are moved: in the wanted way first, then drawn together,
    /// then fewer of them.
    ways: Vec<Vec<Flat>>,
    /// Which of these ways is taken.
    taken: usize,
    /// How far all are moved from there together, within the face.
    pub moved: Vector,
}

impl Laid {
    /// Where each screw passes from the held part into the base, in millimetres.
    pub fn points(&self) -> impl Iterator<Item = Vector> + '_ {
        self.moved_by(self.moved)
    }

    /// Where each would pass if they were moved by so much.
    pub fn moved_by(&self, way: Vector) -> impl Iterator<Item = Vector> + '_ {
        self.ways[self.taken].iter().map(move |&place| plus(self.face.plane.solid(place), way))
    }

    /// How many ways there are in which they may stand.
    pub fn ways(&self) -> usize {
        self.ways.len()
    }

    /// Takes another way, not moved.
    pub fn take_way(&mut self, way: usize) {
        (self.taken, self.moved) = (way, [0.0; 3]);
    }

    /// Whether the face itself has room for fewer than are asked for.
    pub fn lacks_room(&self) -> bool {
        self.ways[0].len() < self.asked
    }

    /// The directions in which they may be moved: along the grain of the base and across it; in end grain along and across
    /// the held part.
    pub fn directions(&self) -> [Vector; 2] {
        self.face.directions
    }

    /// How far all may be moved in a direction from where they are if moved by `from`; and the stretches in which heads
    /// would be covered. `None` if they have no room on that line.
    pub fn slide(&self, direction: Vector, from: Vector) -> Option<(Stretch, Vec<Stretch>)> {
        let places: Vec<Flat> = self.moved_by(from).map(|point| self.face.plane.flat(point)).collect();
        self.face.slide(direction, &places, from == [0.0; 3])
    }
}

/// Screws along a long face stand no further apart than this, *common practice*: boards screwed flat on one another or to a
/// panel.
const FURTHEST_APART: f64 = 300.0;

/// Places the screws of a joint.
///
/// # Errors
/// Why no screw of the yard will do.
pub(crate) fn lay(ask: &Ask<'_>) -> Result<Laid, NoScrew> {
    let patch = ask.patch;
    if patch.way == Way::EndOn {
        return Err(NoScrew::NoRoom);
    }
    let room = room(ask).ok_or(NoScrew::NoRoom)?;
    let length = screw::choose(ask.screw, &room)?;
    let moves = Moves::of(ask);
    let face = Face::new(ask, length, &room, moves.as_ref()).ok_or(NoScrew::NoRoom)?;
    let ways = face.ways(ask);
    if ways.is_empty() {
        return Err(NoScrew::NoRoom);
    }
    Ok(Laid {
        fixing: patch.fixing,
        held: patch.held,
        base: patch.base,
        screw: ask.place,
        diameter: ask.screw.diameter,
        length,
        room,
        direction: patch.normal,
        asked: face.asked(ask).into_iter().map(|count| count as usize).product(),
        moves,
        loaded: is_loaded(ask.fixing, patch),
        face,
        ways,
        taken: 0,
        moved: [0.0; 3],
    })
}

/// How thick the held part and how deep the base is where they touch, measured in the middle of the face.
fn room(ask: &Ask<'_>) -> Option<Room> {
    if let Some(crossing) = ask.patch.crossing {
        let [held, air, through] = [crossing.held[1], crossing.air[1], crossing.through]
            .map(|length| from_mm(length).round_to(Length::nm(1000)));
        let (base, end_grain) = (through - held - air, ask.patch.way == Way::OnEndGrain);
        return (held > Length::ZERO && base > Length::ZERO).then_some(Room {
            held,
            base,
            end_grain,
            from_below: false,
            air,
        });
    }
    let ring = &ask.patch.ring;
    let middle = times(ring.iter().copied().fold([0.0; 3], plus), 1.0 / ring.len() as f64);
    let (enter, _) = ask.held.shape.ray(middle, ask.patch.normal)?;
    let (_, leave) = ask.base.shape.ray(middle, ask.patch.normal)?;
    // Boxes are exact; at angles thicknesses that differ by rounding alone are made equal.
    let exact = ask.held.part.is_box() && ask.base.part.is_box();
    let round = |length: Length| if exact { length } else { length.round_to(Length::nm(1000)) };
    let (held, base) = (round(from_mm(-enter)), round(from_mm(leave)));
    let (end_grain, from_below) = (ask.patch.way == Way::OnEndGrain, ask.patch.points_up());
    (held > Length::ZERO && base > Length::ZERO).then_some(Room {
        held,
        base,
        end_grain,
        from_below,
        air: Length::ZERO,
    })
}

/// The face of a joint with all that limits it.
#[derive(Clone, Debug)]
struct Face {
    plane: Plane,
    /// The directions in which screws are moved.
    directions: [Vector; 2],
    /// The tape along the held part from its end, and across it from its edge.
    marks: [Marks; 2],
    /// The face that both share.
    ring: Vec<Flat>,
    /// Its sides.
    sides: Vec<Limit>,
    /// Its sides and what ends and edges of both parts leave.
    limits: Vec<Limit>,
    /// Where heads would be covered, along u and v.
    behind: Vec<[Stretch; 2]>,
}

impl Face {
    fn new(ask: &Ask<'_>, length: Length, room: &Room, moves: Option<&Moves>) -> Option<Face> {
        let patch = ask.patch;
        let plane = Plane::new(*patch.ring.first()?, patch.normal, ask.held.grain)?;
        let ring: Vec<Flat> = patch.ring.iter().map(|&corner| plane.flat(corner)).collect();
        let sides = sides(&ring);
        let diameter = ask.screw.diameter;
        let mut limits = sides.clone();
        let through = [-room.held.as_mm(), 0.0];
        let [held, base] = Keep::of(ask, moves);
        limits.extend(held.off(&plane, ask.held, patch.normal, through));
        // Through air they enter the base behind it, and where the held part is thinnest they reach in furthest.
        let into = match patch.crossing {
            Some(crossing) => [crossing.air[0], length.as_mm() - crossing.held[0]],
            None => [0.0, (length - room.held).as_mm()],
        };
        limits.extend(base.off(&plane, ask.base, patch.normal, into));
        let head = (diameter * fasteners::COUNTERSINK_DIAMETERS).as_mm() / 2.0;
        let behind = ask.behind.iter().map(|other| covered(&plane, &other.ring, head)).collect();
        let grain = Plane::new([0.0; 3], patch.normal, ask.base.grain);
        let directions = grain.map_or([plane.u, plane.v], |base| [base.u, base.v]);
        let marks = [plane.u, plane.v].map(|direction| {
            let from = ask.held.shape.reach(direction)[0] - dot(plane.solid([0.0; 2]), direction);
            Marks { from, step: ask.step }
        });
        Some(Face { plane, directions, marks, ring, sides, limits, behind })
    }

    /// The ways in which the screws may stand: as many as are asked for, in the wanted places and then drawn together; then
    /// fewer.
    fn ways(&self, ask: &Ask<'_>) -> Vec<Vec<Flat>> {
        // Its own sides take nothing off the face.
        let cuts = self.limits[self.sides.len()..].iter();
        let left = cuts.fold(self.ring.clone(), clip);
        let Some(free) = reach(left.iter().map(|corner| corner[1])) else { return Vec::new() };
        let mut ways = Vec::new();
        for counts in self.counts(ask) {
            ways.extend([false, true].into_iter().filter_map(|drawn| self.places(ask, free, counts, drawn)));
        }
        ways.dedup();
        ways
    }

    /// So many places across and along the held part.
    fn places(&self, ask: &Ask<'_>, free: Stretch, [across, along]: [u32; 2], drawn: bool) -> Option<Vec<Flat>> {
        let apart = self.apart(ask, self.plane.v);
        let pitch = drawn.then(|| self.marks[1].steps(apart));
        let rows = settle(&wanted(self.width(ask), across, pitch), &[free], apart, self.marks[1])?;
        self.in_rows(ask, &rows, along, drawn)
    }

    /// How many are asked for across the held part and along it.
    fn asked(&self, ask: &Ask<'_>) -> [u32; 2] {
        let long = self.ring_reach(0).map_or(0.0, |[from, to]| to - from);
        let rows = parts(long);
        let along = ask.patch.way == Way::Alongside;
        match (ask.fixing.each, ask.patch.way) {
            // A leaning part is held once across its width, so that it can move.
            _ if ask.patch.crossing.is_some() => [1, if along { rows.max(2) } else { rows }],
            (Some(each), Way::Alongside) => [1, each.max(1)],
            (Some(each), _) => [each.max(1), 1],
            (None, Way::Alongside) => [1, rows.max(2)],
            (None, Way::OnEndGrain) => [by_width(ask, self.width(ask)), 1],
            (None, _) => [by_width(ask, self.width(ask)), rows],
        }
    }

    /// How many are tried, in this order: those asked for; a stated number the other way round too; then one fewer at a time.
    fn counts(&self, ask: &Ask<'_>) -> Vec<[u32; 2]> {
        let [across, along] = self.asked(ask);
        if ask.fixing.each.is_some() {
            let both = |count: u32| if along > 1 { [[1, count], [count, 1]] } else { [[count, 1], [1, count]] };
            return (1..=across.max(along)).rev().flat_map(both).collect();
        }
        let narrower = (1..=across).rev().map(|across| [across, along]);
        narrower.chain((1..along).rev().map(|along| [1, along])).collect()
    }

    fn ring_reach(&self, axis: usize) -> Option<Stretch> {
        reach(self.ring.iter().map(|corner| corner[axis]))
    }

    /// The width of the held part, or of the face if it takes less than half of that; of a leaning part the face's lowest line.
    fn width(&self, ask: &Ask<'_>) -> Stretch {
        let [low, high] = ask.held.shape.reach(self.plane.v);
        let origin = dot(self.plane.solid([0.0; 2]), self.plane.v);
        let held = [low - origin, high - origin];
        let face = self.ring_reach(1).unwrap_or(held);
        if ask.patch.crossing.is_some() {
            let [_, _, up] = ask.held.part.at.frame.axes();
            return [air::lowest(&self.plane, up, face); 2];
        }
        let takes_half = 2.0 * (face[1] - face[0]) >= held[1] - held[0];
        if takes_half && ask.patch.way != Way::Alongside { held } else { face }
    }

    /// So many screws in each row, along the grain of the held part.
    fn in_rows(&self, ask: &Ask<'_>, rows: &[f64], count: u32, drawn: bool) -> Option<Vec<Flat>> {
        let apart = self.apart(ask, self.plane.u);
        let pitch = drawn.then(|| self.marks[0].steps(apart));
        let mut places = Vec::new();
        for &v in rows {
            let wanted = wanted(stretch_at(&self.sides, v)?, count, pitch);
            places.extend(settle(&wanted, &self.free_at(v)?, apart, self.marks[0])?.into_iter().map(|u| [u, v]));
        }
        Some(places)
    }

    /// Where a screw may stand at a height v, along u.
    fn free_at(&self, v: f64) -> Option<Vec<Stretch>> {
        let covers = |[_, [from, to]]: &&[Stretch; 2]| *from < v && v < *to;
        let taken: Vec<Stretch> = self.behind.iter().filter(covers).map(|&[along, _]| along).collect();
        Some(without(stretch_at(&self.limits, v)?, &taken))
    }

    /// How far screws must stand apart in a direction of the face: more where it runs along the grain of either part.
    fn apart(&self, ask: &Ask<'_>, direction: Vector) -> f64 {
        // Half a right angle to the grain and less counts as along it.
        let along = |grain: Vector| dot(grain, direction).abs() > std::f64::consts::FRAC_1_SQRT_2;
        let row = match along(ask.held.grain) || along(ask.base.grain) {
            true => &fasteners::ALONG_GRAIN,
            false => &fasteners::ACROSS_GRAIN,
        };
        times_diameter(row, ask.screw.diameter).as_mm()
    }

    fn slide(&self, direction: Vector, places: &[Flat], settled: bool) -> Option<(Stretch, Vec<Stretch>)> {
        let flat = [dot(direction, self.plane.u), dot(direction, self.plane.v)];
        let limits = places.iter().flat_map(|&place| self.limits.iter().map(move |limit| limit.along(place, flat)));
        let [from, to] = limits.fold([f64::NEG_INFINITY, f64::INFINITY], both);
        // Where they were settled within these limits they may at least stay.
        let range = if settled { [from.min(0.0), to.max(0.0)] } else { [from, to] };
        let covered = places.iter().flat_map(|&place| self.covered(place, flat)).collect();
        (range[0] <= range[1]).then_some((range, covered))
    }

    /// The stretches in which a head that goes in a direction is covered.
    fn covered(&self, [u, v]: Flat, direction: Flat) -> impl Iterator<Item = Stretch> {
        self.behind.iter().filter_map(move |&[along, across]| {
            let entered = |at: f64, speed: f64, [from, to]: Stretch| match speed {
                speed if speed > TOUCH => [(from - at) / speed, (to - at) / speed],
                speed if speed < -TOUCH => [(to - at) / speed, (from - at) / speed],
                _ if from < at && at < to => [f64::NEG_INFINITY, f64::INFINITY],
                _ => [f64::INFINITY, f64::NEG_INFINITY],
            };
            let [enter, leave] = both(entered(u, direction[0], along), entered(v, direction[1], across));
            (enter < leave).then_some([enter, leave])
        })
    }
}

/// Places of so many in a stretch: in the middles of equal parts of it, or about its middle with a pitch.
fn wanted(stretch: Stretch, count: u32, pitch: Option<f64>) -> Vec<f64> {
    let Some(pitch) = pitch else { return middles(stretch, count) };
    let first = (stretch[0] + stretch[1] - pitch * f64::from(count - 1)) / 2.0;
    (0..count).map(|place| first + pitch * f64::from(place)).collect()
}

fn reach(values: impl Iterator<Item = f64>) -> Option<Stretch> {
    let [from, to] = values.fold([f64::INFINITY, f64::NEG_INFINITY], |[from, to], x| [from.min(x), to.max(x)]);
    (from <= to).then_some([from, to])
}

/// How many parts of a long face have a screw each.
fn parts(long: f64) -> u32 {
    // A part is no longer than 17 km.
    ((long - TOUCH) / FURTHEST_APART).ceil().max(1.0) as u32
}

/// How many screws stand across a width: one in a narrow board that carries only itself and where two have no room, two
/// otherwise, and more where they would stand too far apart.
fn by_width(ask: &Ask<'_>, [from, to]: Stretch) -> u32 {
    let width = to - from;
    let diameter = ask.screw.diameter;
    let edges = times_diameter(&fasteners::FROM_EDGE, diameter) * 2;
    let two = (edges + times_diameter(&fasteners::ALONG_GRAIN, diameter)).as_mm();
    let narrow = ask.fixing.load == Load::Own && width < fasteners::ONE_SCREW_BELOW.length.as_mm();
    if narrow || width < two { 1 } else { parts(width).max(2) }
}

fn times_diameter(row: &Distance, diameter: Length) -> Length {
    screw::distance(diameter, row.drilled)
}

/// Whether the load of a fixing pushes the wood across the screws of a face: one down does where they do not run down or up.
pub(crate) fn is_loaded(fixing: &Fixing, patch: &Patch) -> bool {
    matches!(fixing.load, Load::Down | Load::DownOnBase) && !patch.points_down() && !patch.points_up()
}

/// What keeps the screws off the ends and edges of a part.
struct Keep {
    /// From an end and from an edge, in millimetres.
    end: f64,
    edge: f64,
    /// What is added where the load pushes straight towards it.
    more: [f64; 2],
    /// The way in which the screws push the part, up or down, in parts of a downright push.
    push: f64,
    /// Which way and how far the part moves past its screws either way.
    moves: Option<(Vector, f64)>,
}

impl Keep {
    /// Of the held part and of the base.
    fn of(ask: &Ask<'_>, moves: Option<&Moves>) -> [Keep; 2] {
        let diameter = ask.screw.diameter;
        let of = |row: &Distance| times_diameter(row, diameter);
        let (end, edge) = (of(&fasteners::FROM_END), of(&fasteners::FROM_EDGE));
        let own = if ask.fixing.load == Load::Own { fasteners::CLADDING_FROM_END.length.max(edge) } else { end };
        let loaded = [of(&fasteners::FROM_LOADED_END) - end, of(fasteners::from_loaded_edge(diameter)) - edge];
        let push = match ask.fixing.load {
            Load::Down if is_loaded(ask.fixing, ask.patch) => 1.0,
            Load::DownOnBase if is_loaded(ask.fixing, ask.patch) => -1.0,
            _ => 0.0,
        };
        let keep = |end: Length, push: f64| Keep {
            end: end.as_mm(),
            edge: edge.as_mm(),
            more: loaded.map(Length::as_mm),
            push,
            moves: None,
        };
        let moves = moves.map(|moves| (moves.across, moves.most));
        [Keep { moves, ..keep(own, push) }, keep(end, -push)]
    }

    /// The limits that the ends and edges of a part set to screws that run through it from one depth to another.
    fn off(&self, plane: &Plane, body: &Body<'_>, normal: Vector, depths: [f64; 2]) -> Vec<Limit> {
        // Faces that screws go through, or end before, set no limit beside them.
        let beside = body.shape.faces().iter().filter(|face| dot(face.plane.normal, normal).abs() < BESIDE);
        let limit = |face: &shape::Face| {
            let face = face.plane;
            let loaded = (self.push * face.normal[2]).max(0.0);
            let [end, edge] = [self.end + self.more[0] * loaded, self.edge + self.more[1] * loaded];
            // From the end it is measured along the grain: at a mitre that is further than square to the cut.
            let keep = edge.max(end * dot(face.normal, body.grain).abs());
            let moved = self.moves.map_or(0.0, |(across, far)| far * dot(face.normal, across).abs());
            let leans = depths.map(|depth| depth * dot(face.normal, normal));
            plane.limit(face.normal, face.offset - keep - moved - leans[0].max(leans[1]))
        };
        beside.map(limit).collect()
    }
}

/// A face is beside a screw if the cosine between its normal and the screw is less: bevels up to 60°.
const BESIDE: f64 = 0.866;

/// Where heads of a radius would be covered by what lies on a ring.
fn covered(plane: &Plane, ring: &[Vector], head: f64) -> [Stretch; 2] {
    let corners: Vec<Flat> = ring.iter().map(|&corner| plane.flat(corner)).collect();
    [0, 1].map(|axis| {
        let [from, to] = reach(corners.iter().map(|corner| corner[axis])).unwrap_or([0.0; 2]);
        [from - head, to + head]
    })
}
