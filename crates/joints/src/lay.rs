//! One joint: how many screws hold one part to another, and where they stand.
//!
//! Across the grain of the held part they stand at the middles of equal parts of its width, for two its quarter points;
//! along it in the middle of the base. Where ends or edges of either part are too near they give way, no further than they
//! must; where the heads would lie behind what was fixed before, likewise.

use crate::body::Body;
use crate::plane::{Flat, Limit, Plane, Stretch, both, clip, middles, settle, sides, stretch_at, without};
use crate::screw::{self, Room};
use crate::touch::{Patch, Way};
use handbook::fasteners::{self, Distance};
use measure::Length;
use model::build::Fixing;
use model::joint::NoScrew;
use model::part::from_mm;
use model::stock::Screw;
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
    /// Where the outer face of the held part is covered already.
    pub behind: Vec<&'a Patch>,
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
    /// How they lie.
    pub way: Way,
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
    /// Where each passes from one part into the other, before they are moved.
    laid: Vec<Vector>,
    /// The directions in which they may be moved together, and how far: along the grain of the base, then across it.
    pub slides: Vec<Slide>,
    /// In which of these directions they are moved.
    pub along: usize,
    /// How far.
    pub moved: f64,
}

/// A direction in which the screws of a joint may be moved together.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Slide {
    /// The direction, of unit length.
    pub direction: Vector,
    /// From where to where; they were laid at 0.
    pub range: Stretch,
}

impl Laid {
    /// Where each screw passes from the held part into the base, in millimetres.
    pub fn points(&self) -> impl Iterator<Item = Vector> + '_ {
        let way = self.slides.get(self.along).map_or([0.0; 3], |slide| times(slide.direction, self.moved));
        self.laid.iter().map(move |&point| plus(point, way))
    }

    /// Where each would pass if it were not moved.
    pub fn unmoved(&self) -> &[Vector] {
        &self.laid
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
    let face = Face::new(ask, length, &room).ok_or(NoScrew::NoRoom)?;
    let places = face.places(ask).ok_or(NoScrew::NoRoom)?;
    Ok(Laid {
        fixing: patch.fixing,
        held: patch.held,
        base: patch.base,
        way: patch.way,
        screw: ask.place,
        diameter: ask.screw.diameter,
        length,
        room,
        direction: patch.normal,
        slides: face.slides(ask, &places),
        along: 0,
        laid: places.into_iter().map(|place| face.plane.solid(place)).collect(),
        moved: 0.0,
    })
}

/// How thick the held part and how deep the base is where they touch, measured in the middle of the face.
fn room(ask: &Ask<'_>) -> Option<Room> {
    let ring = &ask.patch.ring;
    let middle = times(ring.iter().copied().fold([0.0; 3], plus), 1.0 / ring.len() as f64);
    let (enter, _) = ask.held.shape.ray(middle, ask.patch.normal)?;
    let (_, leave) = ask.base.shape.ray(middle, ask.patch.normal)?;
    let (held, base) = (from_mm(-enter), from_mm(leave));
    let (end_grain, from_below) = (ask.patch.way == Way::OnEndGrain, ask.patch.points_up());
    (held > Length::ZERO && base > Length::ZERO).then_some(Room { held, base, end_grain, from_below })
}

/// The face of a joint with all that limits it.
struct Face {
    plane: Plane,
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
    fn new(ask: &Ask<'_>, length: Length, room: &Room) -> Option<Face> {
        let patch = ask.patch;
        let plane = Plane::new(*patch.ring.first()?, patch.normal, ask.held.grain)?;
        let ring: Vec<Flat> = patch.ring.iter().map(|&corner| plane.flat(corner)).collect();
        let sides = sides(&ring);
        let diameter = ask.screw.diameter;
        let end = |carries_itself: bool| match carries_itself {
            true => fasteners::CLADDING_FROM_END.length.max(times_diameter(&fasteners::FROM_EDGE, diameter)),
            false => times_diameter(&fasteners::FROM_END, diameter),
        };
        let mut limits = sides.clone();
        let through = [-room.held.as_mm(), 0.0];
        limits.extend(keep_off(&plane, ask.held, patch.normal, through, end(ask.fixing.carries_itself), diameter));
        let into = [0.0, (length - room.held).as_mm()];
        limits.extend(keep_off(&plane, ask.base, patch.normal, into, end(false), diameter));
        let head = (diameter * fasteners::COUNTERSINK_DIAMETERS).as_mm() / 2.0;
        let behind = ask.behind.iter().map(|other| covered(&plane, &other.ring, head)).collect();
        Some(Face { plane, ring, sides, limits, behind })
    }

    /// Where the screws stand.
    fn places(&self, ask: &Ask<'_>) -> Option<Vec<Flat>> {
        // Its own sides take nothing off the face.
        let cuts = self.limits[self.sides.len()..].iter();
        let left = cuts.fold(self.ring.clone(), clip);
        let free = reach(left.iter().map(|corner| corner[1]))?;
        let (across, along) = self.counts(ask);
        let wanted = self.wanted_across(ask, across);
        match settle(&wanted, &[free], self.apart(ask, self.plane.v)) {
            Some(rows) => self.in_rows(ask, &rows, along),
            // A stated number that finds no room across the held part may find it along.
            None if ask.fixing.each.is_some() => {
                let rows = settle(&self.wanted_across(ask, 1), &[free], 0.0)?;
                self.in_rows(ask, &rows, across)
            }
            None => None,
        }
    }

    /// How many stand across the held part and how many along it.
    fn counts(&self, ask: &Ask<'_>) -> (u32, u32) {
        let long = self.ring_reach(0).map_or(0.0, |[from, to]| to - from);
        let rows = parts(long);
        match (ask.fixing.each, ask.patch.way) {
            (Some(each), Way::Alongside) => (1, each.max(1)),
            (Some(each), _) => (each.max(1), 1),
            (None, Way::Alongside) => (1, rows.max(2)),
            (None, Way::OnEndGrain) => (by_width(ask, self.width(ask)), 1),
            (None, _) => (by_width(ask, self.width(ask)), rows),
        }
    }

    fn ring_reach(&self, axis: usize) -> Option<Stretch> {
        reach(self.ring.iter().map(|corner| corner[axis]))
    }

    /// The width of the held part, or of the face if it takes less than half of that.
    fn width(&self, ask: &Ask<'_>) -> Stretch {
        let [low, high] = ask.held.shape.reach(self.plane.v);
        let origin = dot(self.plane.solid([0.0; 2]), self.plane.v);
        let held = [low - origin, high - origin];
        let face = self.ring_reach(1).unwrap_or(held);
        let takes_half = 2.0 * (face[1] - face[0]) >= held[1] - held[0];
        if takes_half && ask.patch.way != Way::Alongside { held } else { face }
    }

    fn wanted_across(&self, ask: &Ask<'_>, count: u32) -> Vec<f64> {
        middles(self.width(ask), count)
    }

    /// So many screws in each row, along the grain of the held part.
    fn in_rows(&self, ask: &Ask<'_>, rows: &[f64], count: u32) -> Option<Vec<Flat>> {
        let apart = self.apart(ask, self.plane.u);
        let mut places = Vec::new();
        for &v in rows {
            let wanted = middles(stretch_at(&self.sides, v)?, count);
            places.extend(settle(&wanted, &self.free_at(v)?, apart)?.into_iter().map(|u| [u, v]));
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

    /// How far all screws together may be moved along the grain of the base and across it; not in end grain, where there is
    /// no room to give.
    fn slides(&self, ask: &Ask<'_>, places: &[Flat]) -> Vec<Slide> {
        if ask.patch.way == Way::OnEndGrain {
            return Vec::new();
        }
        let Some(base) = Plane::new([0.0; 3], ask.patch.normal, ask.base.grain) else { return Vec::new() };
        [base.u, base.v].into_iter().map(|direction| self.slide(direction, places)).collect()
    }

    fn slide(&self, direction: Vector, places: &[Flat]) -> Slide {
        let flat = [dot(direction, self.plane.u), dot(direction, self.plane.v)];
        let limits = places.iter().flat_map(|&place| self.limits.iter().map(move |limit| limit.along(place, flat)));
        let range = limits.fold([f64::NEG_INFINITY, f64::INFINITY], both);
        let covered = places.iter().flat_map(|&place| self.uncovered(place, flat));
        let [from, to] = covered.fold(range, both);
        // Places were settled within these limits, so they may at least stay.
        Slide { direction, range: [from.min(0.0), to.max(0.0)] }
    }

    /// How far a head may go in a direction before it is covered, for each thing that covers.
    fn uncovered(&self, [u, v]: Flat, direction: Flat) -> impl Iterator<Item = Stretch> {
        self.behind.iter().map(move |&[along, across]| {
            let entered = |at: f64, speed: f64, [from, to]: Stretch| match speed {
                speed if speed > TOUCH => [(from - at) / speed, (to - at) / speed],
                speed if speed < -TOUCH => [(to - at) / speed, (from - at) / speed],
                _ if from < at && at < to => [f64::NEG_INFINITY, f64::INFINITY],
                _ => [f64::INFINITY, f64::NEG_INFINITY],
            };
            let [enter, leave] = both(entered(u, direction[0], along), entered(v, direction[1], across));
            match enter < leave {
                true if enter >= -TOUCH => [f64::NEG_INFINITY, enter],
                true if leave <= TOUCH => [leave, f64::INFINITY],
                _ => [f64::NEG_INFINITY, f64::INFINITY],
            }
        })
    }
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
    let narrow = ask.fixing.carries_itself && width < fasteners::ONE_SCREW_BELOW.length.as_mm();
    if narrow || width < two { 1 } else { parts(width).max(2) }
}

fn times_diameter(row: &Distance, diameter: Length) -> Length {
    screw::distance(diameter, row.drilled)
}

/// The limits that the ends and edges of a part set to screws that run through it from one depth to another.
fn keep_off(
    plane: &Plane,
    body: &Body<'_>,
    normal: Vector,
    depths: [f64; 2],
    end: Length,
    diameter: Length,
) -> Vec<Limit> {
    let edge = times_diameter(&fasteners::FROM_EDGE, diameter).as_mm();
    // Faces that screws go through, or end before, set no limit beside them.
    let beside = body.shape.faces().iter().filter(|face| dot(face.plane.normal, normal).abs() < BESIDE);
    let limit = |face: &shape::Face| {
        let face = face.plane;
        // From the end it is measured along the grain: at a mitre that is further than square to the cut.
        let keep = edge.max(end.as_mm() * dot(face.normal, body.grain).abs());
        let leans = depths.map(|depth| depth * dot(face.normal, normal));
        plane.limit(face.normal, face.offset - keep - leans[0].max(leans[1]))
    };
    beside.map(limit).collect()
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
