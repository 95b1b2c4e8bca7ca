//! The law against plane geometry done another way, and rings against the tables of the trade.
//!
//! The random rings are drawn by a generator of our own with fixed seeds, so every run sees the same ones.

use super::*;
use crate::affine::Affine;
use crate::outline::{Side, Turn, segments_meet};
use measure::Angle;

/// A linear congruential generator with Knuth's constants for MMIX (The Art of Computer Programming, volume 2, 3.3.4).
struct Dice(u64);

impl Dice {
    /// A whole number from `low` up to and with `high`.
    fn whole(&mut self, low: i64, high: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + ((self.0 >> 33) % (high - low + 1) as u64) as i64
    }

    fn one_in(&mut self, many: i64) -> bool {
        self.whole(1, many) == 1
    }
}

fn mm(value: i64) -> Length {
    Length::mm(value)
}

fn layer(near: i64, far: i64) -> Layer {
    Layer::new(mm(near), mm(far)).expect("a strip has depth")
}

fn outline_of(sides: &[(Length, Turn)]) -> Outline {
    let side = |&(length, turn): &(Length, Turn)| Side { name: String::new(), length: Affine::from(length), turn };
    Outline::new(sides.iter().map(side).collect()).expect("the turns are one full turn")
}

// ---- Plane geometry in millimetres, knowing nothing of the law's formula ----

type Spot = [f64; 2];

fn spot(point: Point) -> Spot {
    point.map(Length::as_mm)
}

fn shoelace(polygon: &[Spot]) -> f64 {
    let next = polygon.iter().cycle().skip(1);
    polygon.iter().zip(next).map(|(p, q)| p[0] * q[1] - p[1] * q[0]).sum::<f64>() / 2.0
}

/// A line as a half plane: the points for which `normal · point <= at`.
#[derive(Clone, Copy)]
struct Half {
    normal: Spot,
    at: f64,
}

impl Half {
    fn over(self, p: Spot) -> f64 {
        self.normal[0] * p[0] + self.normal[1] * p[1] - self.at
    }

    fn moved(self, by: f64) -> Half {
        Half { at: self.at + by, ..self }
    }

    fn turned_about(self) -> Half {
        Half { normal: [-self.normal[0], -self.normal[1]], at: -self.at }
    }

    /// Where two lines cross, by Cramer's rule.
    fn crosses(self, other: Half) -> Spot {
        let ([a, b], [c, d]) = (self.normal, other.normal);
        let determinant = a * d - b * c;
        [(self.at * d - b * other.at) / determinant, (a * other.at - self.at * c) / determinant]
    }

    /// The half plane to the left of the way from one spot to another.
    fn left_of(p: Spot, q: Spot) -> Half {
        let length = libm::hypot(q[0] - p[0], q[1] - p[1]);
        let normal = [(q[1] - p[1]) / length, (p[0] - q[0]) / length];
        Half { normal, at: normal[0] * p[0] + normal[1] * p[1] }
    }
}

/// What of a convex polygon lies in a half plane (Sutherland and Hodgman, Reentrant polygon clipping, 1974).
fn clipped(polygon: &[Spot], half: Half) -> Vec<Spot> {
    let mut kept = Vec::new();
    for (place, &p) in polygon.iter().enumerate() {
        let q = polygon[(place + 1) % polygon.len()];
        let (over_p, over_q) = (half.over(p), half.over(q));
        if over_p <= 0.0 {
            kept.push(p);
        }
        if (over_p <= 0.0) != (over_q <= 0.0) {
            let part = over_p / (over_p - over_q);
            kept.push([p[0] + part * (q[0] - p[0]), p[1] + part * (q[1] - p[1])]);
        }
    }
    kept
}

/// The area that two convex polygons, both counter-clockwise, have in common.
fn common(a: &[Spot], b: &[Spot]) -> f64 {
    let edges = (0..b.len()).map(|place| Half::left_of(b[place], b[(place + 1) % b.len()]));
    shoelace(&edges.fold(a.to_vec(), |left, half| clipped(&left, half))).max(0.0)
}

/// True if a spot lies inside a simple polygon: a ray to the right crosses it an odd number of times.
fn inside(polygon: &[Spot], p: Spot) -> bool {
    let crossed = (0..polygon.len()).filter(|&place| {
        let (q, r) = (polygon[place], polygon[(place + 1) % polygon.len()]);
        (q[1] > p[1]) != (r[1] > p[1]) && p[0] < q[0] + (p[1] - q[1]) / (r[1] - q[1]) * (r[0] - q[0])
    });
    crossed.count() % 2 == 1
}

/// A ring to be laid, with its geometry by half planes.
struct Trial {
    outline: Outline,
    layers: Vec<Option<Layer>>,
    owners: Vec<CornerOwner>,
    /// The half plane inwards of each side.
    sides: Vec<Half>,
    perimeter: f64,
}

impl Trial {
    /// `None` if the outline is none at its sizes.
    fn new(outline: Outline, layers: Vec<Option<Layer>>, owners: Vec<CornerOwner>) -> Option<Trial> {
        let corners = outline.corners(&[]).ok()?;
        let mut heading = 0;
        let mut sides = Vec::new();
        let mut perimeter = 0.0;
        for (side, &corner) in outline.sides().iter().zip(&corners) {
            let radians = heading as f64 / 180e6 * std::f64::consts::PI;
            let (normal, corner) = ([libm::sin(radians), -libm::cos(radians)], spot(corner));
            sides.push(Half { normal, at: normal[0] * corner[0] + normal[1] * corner[1] });
            heading += side.turn.angle().millionths();
            perimeter += side.length.at(&[]).as_mm();
        }
        Some(Trial { outline, layers, owners, sides, perimeter })
    }

    fn lay(&self, joint: Length) -> Result<Vec<Strip>, BadRing> {
        lay(&self.outline, &[], &self.layers, &self.owners, joint)
    }

    /// How far outwards of a side a line of the ring lies.
    fn offset(&self, line: RingLine, side: usize) -> f64 {
        match (self.layers[side], line) {
            (None, _) => 0.0,
            (Some(layer), RingLine::Inner) => layer.near().as_mm(),
            (Some(layer), RingLine::Outer) => layer.far().as_mm(),
        }
    }

    fn on(&self, line: RingLine, side: usize) -> Half {
        self.sides[side].moved(self.offset(line, side))
    }

    /// A line of the ring, corner `i` where side `i` begins.
    fn polygon(&self, line: RingLine) -> Vec<Spot> {
        let corner = |side| self.on(line, self.outline.before(side)).crosses(self.on(line, side));
        (0..self.outline.count()).map(corner).collect()
    }

    /// The law once more, in half planes: what a row keeps at its end (or at its start) of the strip that has no end.
    fn kept(&self, side: usize, at_end: bool) -> Half {
        let other = if at_end { self.outline.after(side) } else { self.outline.before(side) };
        let corner = if at_end { side } else { other };
        let outside = self.outline.turn_after(corner).is_outside();
        let half = |line| if outside { self.on(line, other) } else { self.on(line, other).turned_about() };
        let (first, second) =
            if outside { (RingLine::Inner, RingLine::Outer) } else { (RingLine::Outer, RingLine::Inner) };
        match (self.owners[corner], at_end) {
            _ if self.layers[other].is_none() => half(RingLine::Inner),
            (CornerOwner::Mitre, _) => {
                let crossing = |line| self.on(line, side).crosses(self.on(line, other));
                let (inner, outer) = (crossing(RingLine::Inner), crossing(RingLine::Outer));
                if at_end { Half::left_of(outer, inner) } else { Half::left_of(inner, outer) }
            }
            (CornerOwner::Before, true) | (CornerOwner::After, false) => half(second),
            _ => half(first),
        }
    }

    /// How long a row is on one of its two lines, by the half planes.
    fn length_on(&self, line: RingLine, side: usize) -> f64 {
        let on = self.on(line, side);
        let (start, end) = (on.crosses(self.kept(side, false)), on.crosses(self.kept(side, true)));
        // The way along the side is its outward normal turned a quarter to the left.
        (end[1] - start[1]) * on.normal[0] - (end[0] - start[0]) * on.normal[1]
    }

    /// The crossings of two strips that no row fills: where a unit owns the corner, and where it stays open.
    fn left_over(&self) -> Vec<Vec<Spot>> {
        let mut left = Vec::new();
        for (side, owner) in self.owners.iter().enumerate() {
            let after = self.outline.after(side);
            let unfilled = matches!(owner, CornerOwner::Unit | CornerOwner::Open);
            if unfilled && self.layers[side].is_some() && self.layers[after].is_some() {
                let at = |a, b| self.on(a, side).crosses(self.on(b, after));
                use RingLine::{Inner, Outer};
                let mut corner = vec![at(Inner, Inner), at(Outer, Inner), at(Outer, Outer), at(Inner, Outer)];
                if shoelace(&corner) < 0.0 {
                    corner.reverse();
                }
                left.push(corner);
            }
        }
        left
    }

    /// Holds rows laid without joints against the area between the two lines.
    fn check_tiling(&self, strips: &[Strip]) {
        let rows = strips.iter().map(|strip| strip.corners.map(spot).to_vec());
        let tiles: Vec<Vec<Spot>> = rows.chain(self.left_over()).collect();
        let (inner, outer) = (self.polygon(RingLine::Inner), self.polygon(RingLine::Outer));
        let (ring, laid) = (shoelace(&outer) - shoelace(&inner), tiles.iter().map(|tile| shoelace(tile)).sum::<f64>());
        // Corners lie within 2 nm of their lines, so that areas differ by that along all edges: some 4 perimeters, and the
        // rows reach beyond them at sharp corners. 10 nm on ten perimeters is a bound with room.
        let allowed = 1e-5 * 10.0 * self.perimeter;
        assert!((ring - laid).abs() < allowed, "ring {ring}, rows {laid}: {self:?}");
        for (place, tile) in tiles.iter().enumerate() {
            assert!(shoelace(tile) > 0.0, "{self:?}");
            for other in &tiles[place + 1..] {
                assert!(common(tile, other) < allowed, "{} in common: {self:?}", common(tile, other));
            }
            let middle = [0, 1].map(|axis| tile.iter().map(|p| p[axis]).sum::<f64>() / tile.len() as f64);
            assert!(inside(&outer, middle) && !inside(&inner, middle), "{self:?}");
        }
    }

    /// Holds what [`lay`] finds wrong against the half planes.
    fn check_error(&self, bad: &BadRing) {
        match *bad {
            BadRing::Short(side) => {
                let shorter = self.length_on(RingLine::Inner, side).min(self.length_on(RingLine::Outer, side));
                assert!(shorter < 1e-5, "{shorter} left: {self:?}");
            }
            BadRing::Vanishes(line, side) => {
                let polygon = self.polygon(line);
                let (from, to) = (polygon[side], polygon[self.outline.after(side)]);
                let normal = self.sides[side].normal;
                let length = (to[1] - from[1]) * normal[0] - (to[0] - from[0]) * normal[1];
                assert!(length < 1e-5, "{length} left: {self:?}");
            }
            BadRing::Crosses(line, a, b) => {
                let polygon =
                    self.polygon(line).iter().map(|p| p.map(|c| Length::nm((c * 1e6) as i64))).collect::<Vec<_>>();
                let end = |side| polygon[self.outline.after(side)];
                assert!(segments_meet(polygon[a], end(a), polygon[b], end(b)), "{self:?}");
            }
            _ => panic!("{bad} ({bad:?}): {self:?}"),
        }
    }
}

impl fmt::Debug for Trial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, side) in self.outline.sides().iter().enumerate() {
            let (length, turn) = (side.length.at(&[]).as_mm(), side.turn.angle().as_degrees());
            let layer = self.layers[place].map(|layer| (layer.near().as_mm(), layer.far().as_mm()));
            writeln!(f, "{length} mm, layer {layer:?}, turn {turn}, {:?}", self.owners[place])?;
        }
        Ok(())
    }
}

// ---- Random rings ----

/// Random turns of one full turn in all, inside angles from 30 to 330 degrees.
fn random_turns(dice: &mut Dice, count: usize) -> Option<Vec<Angle>> {
    let step = if dice.one_in(4) { 15_000_000 } else { 1 };
    let mut turns: Vec<i64> = (1..count).map(|_| dice.whole(-150_000_000 / step, 150_000_000 / step) * step).collect();
    turns.push(360_000_000 - turns.iter().sum::<i64>());
    turns
        .iter()
        .map(|&turn| Angle::from_millionths(turn).ok().filter(|_| turn != 0 && turn.abs() <= 150_000_000))
        .collect()
}

/// A random outline: a walk of random turns and sides whose last two sides close it.
fn random_outline(dice: &mut Dice) -> Option<Outline> {
    let count = dice.whole(3, 9) as usize;
    let turns = random_turns(dice, count)?;
    let (mut heading, mut at) = (0, [0.0, 0.0]);
    let mut lengths: Vec<Length> = (2..count).map(|_| Length::nm(dice.whole(200_000_000, 3_000_000_000))).collect();
    let mut directions = Vec::new();
    for turn in &turns {
        let (sin, cos) = Angle::from_millionths(heading % 360_000_000).ok()?.sin_cos();
        directions.push([cos, sin]);
        heading += turn.millionths();
    }
    for (length, direction) in lengths.iter().zip(&directions) {
        at = [0, 1].map(|axis| at[axis] + along(*length, direction[axis]).nanometres() as f64);
    }
    let ([a, c], [b, d]) = (directions[count - 2], directions[count - 1]);
    let determinant = a * d - b * c;
    for last in [(b * at[1] - d * at[0]) / determinant, (c * at[0] - a * at[1]) / determinant] {
        if !(100e6..6e9).contains(&last) {
            return None;
        }
        lengths.push(Length::nm(libm::round(last) as i64));
    }
    let turns = turns.into_iter().map(Turn::by).collect::<Option<Vec<Turn>>>()?;
    Some(outline_of(&lengths.into_iter().zip(turns).collect::<Vec<_>>()))
}

fn random_layer(dice: &mut Dice) -> Option<Layer> {
    let (near, depth) = (dice.whole(-300_000_000, 100_000_000), dice.whole(5_000_000, 300_000_000));
    let near = if dice.one_in(2) { 0 } else { near };
    Layer::new(Length::nm(near), Length::nm(near + depth))
}

/// The same layer on all sides, or on each side its own, one in eight of them bare.
fn random_layers(dice: &mut Dice, count: usize) -> Vec<Option<Layer>> {
    if dice.one_in(2) {
        return vec![random_layer(dice); count];
    }
    (0..count).map(|_| if dice.one_in(8) { None } else { random_layer(dice) }).collect()
}

const OWNERS: [CornerOwner; 5] =
    [CornerOwner::Before, CornerOwner::After, CornerOwner::Mitre, CornerOwner::Open, CornerOwner::Unit];

fn random_owners(dice: &mut Dice, outline: &Outline) -> Vec<CornerOwner> {
    let owner = |side: usize| {
        let owner = OWNERS[dice.whole(0, 4) as usize];
        if outline.turn_after(side).angle().as_degrees().abs() < 30.0 { CornerOwner::Mitre } else { owner }
    };
    (0..outline.count()).map(owner).collect()
}

fn random_trials(seed: u64, many: usize) -> Vec<Trial> {
    let mut dice = Dice(seed);
    let mut trials = Vec::new();
    while trials.len() < many {
        let Some(outline) = random_outline(&mut dice) else { continue };
        let layers = random_layers(&mut dice, outline.count());
        let owners = random_owners(&mut dice, &outline);
        trials.extend(Trial::new(outline, layers, owners));
    }
    trials
}

/// How rings came out, by kind.
#[derive(Debug, Default)]
struct Tally {
    tiled: usize,
    short: usize,
    vanishes: usize,
    crosses: usize,
}

impl Tally {
    fn count(&mut self, laid: &Result<Vec<Strip>, BadRing>) {
        match laid {
            Ok(_) => self.tiled += 1,
            Err(BadRing::Short(_)) => self.short += 1,
            Err(BadRing::Vanishes(..)) => self.vanishes += 1,
            Err(BadRing::Crosses(..)) => self.crosses += 1,
            Err(bad) => panic!("{bad}"),
        }
    }
}

/// Rows, corner units and open corners cover the ring once, or the ring has a fault that plane geometry finds too.
#[test]
fn rows_round_random_outlines_tile_the_ring() {
    let mut tally = Tally::default();
    for trial in random_trials(1, 2_000) {
        let laid = trial.lay(Length::ZERO);
        tally.count(&laid);
        match laid {
            Ok(strips) => trial.check_tiling(&strips),
            Err(bad) => trial.check_error(&bad),
        }
    }
    println!("{tally:?}");
    assert!(tally.tiled >= 1_000, "{tally:?}");
    assert!(tally.short >= 50 && tally.vanishes >= 200 && tally.crosses >= 20, "{tally:?}");
}

/// What stops a joint before something stops that far before it, measured square to its line; what runs through, ends on
/// its line; and the joint moves nothing else.
#[test]
fn joints_are_measured_square() {
    let mut dice = Dice(2);
    let (mut stopped, mut through) = (0, 0);
    for trial in random_trials(3, 2_000) {
        let joint = Length::nm(dice.whole(1_000_000, 20_000_000));
        let Ok(strips) = trial.lay(joint) else { continue };
        for strip in &strips {
            let [outer_start, outer_end, inner_end, inner_start] = strip.corners.map(spot);
            for (at_end, spots) in [(false, [outer_start, inner_start]), (true, [outer_end, inner_end])] {
                let stops = trial.stops(strip.side, at_end);
                let expected = if stops { joint.as_mm() } else { 0.0 };
                *(if stops { &mut stopped } else { &mut through }) += 1;
                for p in spots {
                    let left = -trial.kept(strip.side, at_end).over(p);
                    // Lines known to a nanometre cross less surely the more nearly they are in line.
                    let allowed = 1e-5 / trial.sharpness(strip.side, at_end);
                    assert!((left - expected).abs() < allowed, "{left} left, not {expected}: {trial:?}");
                }
            }
            for (line, spots) in
                [(RingLine::Outer, [outer_start, outer_end]), (RingLine::Inner, [inner_start, inner_end])]
            {
                assert!(spots.iter().all(|&p| trial.on(line, strip.side).over(p).abs() < 1e-5), "{trial:?}");
            }
        }
    }
    assert!(stopped > 3_000 && through > 3_000, "{stopped} {through}");
}

impl Trial {
    /// The sine of the turn at one end of a side, without its sign.
    fn sharpness(&self, side: usize, at_end: bool) -> f64 {
        let corner = if at_end { side } else { self.outline.before(side) };
        self.outline.turn_after(corner).angle().sin_cos().0.abs()
    }

    /// Whether a row leaves a joint at one of its ends: before a neighbour that runs through, before a unit, and before
    /// the bare face of an inside corner.
    fn stops(&self, side: usize, at_end: bool) -> bool {
        let other = if at_end { self.outline.after(side) } else { self.outline.before(side) };
        let corner = if at_end { side } else { other };
        if self.layers[other].is_none() {
            return !self.outline.turn_after(corner).is_outside();
        }
        match self.owners[corner] {
            CornerOwner::Before => !at_end,
            CornerOwner::After => at_end,
            CornerOwner::Unit => true,
            CornerOwner::Mitre | CornerOwner::Open => false,
        }
    }
}

// ---- Right angles: whole nanometres, nothing allowed ----

/// Twice the area, exactly.
fn doubled_area(polygon: &[Point]) -> i128 {
    let wide = |p: &Point| p.map(|length| i128::from(length.nanometres()));
    let next = polygon.iter().cycle().skip(1);
    polygon.iter().zip(next).map(|(p, q)| (wide(p), wide(q))).map(|(p, q)| p[0] * q[1] - p[1] * q[0]).sum()
}

/// True if an edge of one of two convex polygons has the whole other one on or beyond it: they have no area in common.
fn apart(a: &[Point], b: &[Point]) -> bool {
    let parts = |a: &[Point], b: &[Point]| {
        (0..a.len()).any(|place| {
            let edge = [a[place], a[(place + 1) % a.len()]];
            b.iter().all(|&p| doubled_area(&[edge[0], edge[1], p]) <= 0)
        })
    };
    parts(a, b) || parts(b, a)
}

/// A random outline of right angles: two more outside corners than inside ones on either hand, the last side of each
/// direction closing it.
fn random_right_angled(dice: &mut Dice) -> Option<Outline> {
    let inside = dice.whole(0, 4) as usize;
    let mut turns = [vec![Turn::Inside; inside], vec![Turn::Outside; inside + 4]].concat();
    for place in (1..turns.len()).rev() {
        turns.swap(place, dice.whole(0, place as i64) as usize);
    }
    let count = turns.len();
    let mut lengths: Vec<i64> = (0..count).map(|_| dice.whole(200_000_000, 3_000_000_000)).collect();
    let (mut heading, mut sums, mut signs) = (0_usize, [0, 0], Vec::new());
    for (place, turn) in turns.iter().enumerate() {
        let sign = if heading < 2 { 1 } else { -1 };
        signs.push(sign);
        if place < count - 2 {
            sums[heading % 2] += sign * lengths[place];
        }
        heading = (heading + if *turn == Turn::Outside { 1 } else { 3 }) % 4;
    }
    for place in [count - 2, count - 1] {
        // Every turn is a right one, so that sides run along x and y in turns.
        lengths[place] = -signs[place] * sums[place % 2];
    }
    let sides: Vec<_> = lengths.into_iter().map(Length::nm).zip(turns).collect();
    sides.iter().all(|side| side.0 > Length::ZERO).then(|| outline_of(&sides))
}

impl Trial {
    /// A line of a right-angled ring in whole nanometres: each corner has one coordinate from either side's line.
    fn exact(&self, line: RingLine, corners: &[Point]) -> Vec<Point> {
        let level = |side: usize| {
            let normal = self.sides[side].normal.map(|part| libm::round(part) as i64);
            let axis = usize::from(normal[0] == 0);
            let offset = match (self.layers[side], line) {
                (None, _) => Length::ZERO,
                (Some(layer), RingLine::Inner) => layer.near(),
                (Some(layer), RingLine::Outer) => layer.far(),
            };
            (axis, corners[side][axis] + offset * normal[axis])
        };
        let corner = |side| {
            let mut point = [Length::ZERO; 2];
            for (axis, at) in [level(self.outline.before(side)), level(side)] {
                point[axis] = at;
            }
            point
        };
        (0..self.outline.count()).map(corner).collect()
    }

    /// [`Trial::check_tiling`] in whole numbers.
    fn check_exact_tiling(&self, strips: &[Strip]) {
        let corners = self.outline.corners(&[]).expect("it was laid");
        let (inner, outer) = (self.exact(RingLine::Inner, &corners), self.exact(RingLine::Outer, &corners));
        let mut tiles: Vec<Vec<Point>> = strips.iter().map(|strip| strip.corners.to_vec()).collect();
        for (side, owner) in self.owners.iter().enumerate() {
            let after = self.outline.after(side);
            let unfilled = matches!(owner, CornerOwner::Unit | CornerOwner::Open);
            if unfilled && self.layers[side].is_some() && self.layers[after].is_some() {
                let ([a, b], [c, d]) = (inner[after], outer[after]);
                let (left, right) = (a.min(c), a.max(c));
                let (low, high) = (b.min(d), b.max(d));
                tiles.push(vec![[left, low], [right, low], [right, high], [left, high]]);
            }
        }
        let laid: i128 = tiles.iter().map(|tile| doubled_area(tile)).sum();
        assert_eq!(laid, doubled_area(&outer) - doubled_area(&inner), "{self:?}");
        for (place, tile) in tiles.iter().enumerate() {
            assert!(doubled_area(tile) > 0, "{self:?}");
            assert!(tiles[place + 1..].iter().all(|other| apart(tile, other)), "{self:?}");
        }
    }
}

/// The same with right angles only, where every nanometre must agree.
#[test]
fn rows_round_right_angled_outlines_tile_exactly() {
    let (mut dice, mut tally, mut trials) = (Dice(4), Tally::default(), 0);
    while trials < 2_000 {
        let Some(outline) = random_right_angled(&mut dice) else { continue };
        let layers = random_layers(&mut dice, outline.count());
        let owners = random_owners(&mut dice, &outline);
        let Some(trial) = Trial::new(outline, layers, owners) else { continue };
        trials += 1;
        let laid = trial.lay(Length::ZERO);
        tally.count(&laid);
        match laid {
            Ok(strips) => trial.check_exact_tiling(&strips),
            Err(bad) => trial.check_error(&bad),
        }
    }
    println!("{tally:?}");
    assert!(tally.tiled >= 1_000, "{tally:?}");
    assert!(tally.short >= 10 && tally.vanishes >= 100 && tally.crosses >= 10, "{tally:?}");
}

// ---- What cannot be laid ----

fn square_corners(lengths: &[i64], inside: &[usize]) -> Outline {
    let turn = |place| if inside.contains(&place) { Turn::Inside } else { Turn::Outside };
    outline_of(&lengths.iter().enumerate().map(|(place, &length)| (mm(length), turn(place))).collect::<Vec<_>>())
}

/// A front with a step of 30 in it: walking along, 1000, in by 30, on by 1000.
fn stepped() -> Outline {
    square_corners(&[1000, 30, 1000, 970, 2000, 1000], &[1])
}

/// A step of 30 under a ring 100 deep: the row along the step would end before it begins where it has neither corner;
/// where it owns one there is room (scenario of our own).
#[test]
fn a_step_under_a_ring() {
    use CornerOwner::{After, Before, Mitre, Open, Unit};
    let laid = |first, second| {
        let owners = [first, second, Before, Before, Before, Before];
        lay(&stepped(), &[], &[Some(layer(0, 100)); 6], &owners, Length::ZERO)
    };
    for (first, second) in [(Before, After), (Open, Open), (Unit, Unit), (Before, Unit)] {
        assert_eq!(laid(first, second), Err(BadRing::Short(1)), "{first:?} {second:?}");
    }
    for (first, second, length) in [(Before, Before, 30), (After, Before, 130), (After, After, 30), (Mitre, Mitre, 30)]
    {
        let strips = laid(first, second).expect("there is room");
        assert_eq!(runs(&strips)[1][0], mm(length), "{first:?} {second:?}");
    }
}

#[test]
fn what_cannot_be_laid_is_told() {
    let laid = |outline: &Outline, layer| {
        let count = outline.count();
        let laid = lay(outline, &[], &vec![Some(layer); count], &vec![CornerOwner::Before; count], Length::ZERO);
        laid.map(|strips| strips.len())
    };
    let rectangle = square_corners(&[1500, 500, 1500, 500], &[]);
    let lists = lay(&rectangle, &[], &[None; 3], &[CornerOwner::Before; 4], Length::ZERO);
    assert_eq!(lists, Err(BadRing::Lists { sides: 4, layers: 3, owners: 4 }));
    let open = square_corners(&[1500, 500, 1400, 500], &[]);
    assert_eq!(laid(&open, layer(0, 100)), Err(BadRing::Outline(BadOutline::Open(mm(100), Length::ZERO))));
    assert_eq!(laid(&rectangle, layer(-249, 0)), Ok(4));
    assert_eq!(laid(&rectangle, layer(-250, 0)), Err(BadRing::Vanishes(RingLine::Inner, 1)));
    // A slot 150 wide in the back, into which rows run from both sides.
    let slot = square_corners(&[1000, 600, 425, 400, 150, 400, 425, 600], &[3, 4]);
    assert_eq!(laid(&slot, layer(0, 70)), Ok(8));
    assert_eq!(laid(&slot, layer(0, 100)), Err(BadRing::Vanishes(RingLine::Outer, 4)));
    // A chamber 600 wide behind a mouth of 200: no side vanishes, yet the rows at the mouth meet.
    let lengths = [1000, 1000, 400, 200, 200, 400, 600, 400, 200, 200, 400, 1000];
    let mouth = square_corners(&lengths, &[4, 5, 6, 7]);
    assert_eq!(laid(&mouth, layer(0, 99)), Ok(12));
    assert_eq!(laid(&mouth, layer(0, 120)), Err(BadRing::Crosses(RingLine::Outer, 2, 9)));
}

/// A house in outline: two walls and a roof whose two halves turn into each other by so much.
fn house(ridge: f64) -> Outline {
    let turn = |degrees: f64| Turn::by(Angle::degrees(degrees).expect("an angle")).expect("a turn");
    let roof = Length::nm(libm::round(500e6 / libm::cos(ridge.to_radians() / 2.0)) as i64);
    let eaves = turn(90.0 - ridge / 2.0);
    outline_of(&[
        (mm(1000), Turn::Outside),
        (mm(500), eaves),
        (roof, turn(ridge)),
        (roof, eaves),
        (mm(500), Turn::Outside),
    ])
}

/// Between 150 and 210 degrees inside only a mitre is offered, and only where there is a row.
#[test]
fn nearly_in_line_only_a_mitre() {
    use CornerOwner::{Before, Mitre};
    let laid = |ridge, layers: &[Option<Layer>], owner| {
        lay(&house(ridge), &[], layers, &[Before, Before, owner, Before, Before], Length::ZERO)
    };
    let all = [Some(layer(0, 100)); 5];
    assert_eq!(laid(29.0, &all, Before), Err(BadRing::OnlyMitre(2)));
    assert!(laid(29.0, &all, Mitre).is_ok());
    assert!(laid(30.0, &all, Before).is_ok());
    let walls = [all[0], all[1], None, None, all[4]];
    assert_eq!(laid(29.0, &walls, Before).map(|strips| strips.len()), Ok(3));
}

/// A rectangle of 1000 x 600 whose right side has a bend of so many degrees in it, 500 up.
fn bent(degrees: f64) -> Outline {
    let turn = |degrees: f64| Turn::by(Angle::degrees(degrees).expect("an angle")).expect("a turn");
    let right = Turn::Outside;
    let sides = [(1000, right), (500, turn(degrees)), (100, turn(90.0 - degrees)), (1000, right), (600, right)];
    outline_of(&sides.map(|(length, turn)| (mm(length), turn)))
}

/// Lines that are all but in line meet out of all measure; that is told, and no sum of it overflows.
#[test]
fn all_but_in_line_is_told() {
    use CornerOwner::{Before, Mitre};
    let hair = 1e-6;
    assert!(bent(hair).corners(&[]).is_ok() && bent(-hair).corners(&[]).is_ok());
    let laid = |degrees, layers: [Option<Layer>; 3], joint| {
        let [front, lower, upper] = layers;
        let owners = [Before, Mitre, Mitre, Mitre, Mitre];
        lay(&bent(degrees), &[], &[front, lower, upper, None, None], &owners, joint).map(|strips| strips.len())
    };
    let (thin, thick) = (Some(layer(0, 3)), Some(layer(0, 10)));
    assert_eq!(laid(hair, [None, thick, thick], mm(10)), Ok(2));
    assert_eq!(laid(hair, [None, thick, thin], mm(10)), Err(BadRing::Vanishes(RingLine::Outer, 1)));
    assert!(laid(hair, [None, thick, Some(layer(-10_000_000, 10_000_000))], Length::READ_LIMIT).is_err());
    let wall = Some(layer(-10, 0));
    assert!(laid(hair, [wall, wall, None], Length::READ_LIMIT).is_err());
    // Only a film is thin enough for its lines to stand here; the joint takes 57 million joints of its row.
    let film = Layer::new(Length::ZERO, Length::nm(1));
    assert_eq!(laid(-hair, [film, film, None], Length::READ_LIMIT), Err(BadRing::Short(1)));
}

// ---- The tables of the trade (*common practice*), on a rectangle and on an L ----

/// How long each row of right-angled rings is, on the outer and on the inner line.
fn runs(strips: &[Strip]) -> Vec<[Length; 2]> {
    let between = |p: Point, q: Point| (p[0] - q[0]).abs() + (p[1] - q[1]).abs();
    let run = |strip: &Strip| {
        let [a, b, c, d] = strip.corners;
        [between(a, b), between(c, d)]
    };
    strips.iter().map(run).collect()
}

/// The runs in whole millimetres of the same layer on all sides, square-ended.
fn square_runs(outline: &Outline, layer: Layer, owners: &[CornerOwner], joint: i64) -> Vec<i64> {
    let strips = lay(outline, &[], &vec![Some(layer); outline.count()], owners, mm(joint)).expect("can be laid");
    let run = |[outer, inner]: [Length; 2]| {
        assert_eq!(outer, inner, "square-ended");
        outer.nanometres() / 1_000_000
    };
    runs(&strips).into_iter().map(run).collect()
}

fn rectangle(a: i64, b: i64) -> Outline {
    Outline::rectangle(mm(a).into(), mm(b).into())
}

/// An L with sides 2400, 600, 1700, 1200, 700, 1800; the inside corner lies between the third and the fourth.
fn ell() -> Outline {
    Outline::ell(mm(2400).into(), mm(1800).into(), mm(600).into(), mm(700).into())
}

const ELL: [i64; 6] = [2400, 600, 1700, 1200, 700, 1800];

/// `n u + (n - 1) j`: so many units in a run with open ends.
fn units(n: i64, u: i64, j: i64) -> i64 {
    n * u + (n - 1) * j
}

/// All owners of the corners of an outline, each row running through or stopping.
fn every_butt(count: usize) -> impl Iterator<Item = Vec<CornerOwner>> {
    let owner = move |mask: usize, corner: usize| {
        if mask >> corner & 1 == 1 { CornerOwner::Before } else { CornerOwner::After }
    };
    (0..1 << count).map(move |mask| (0..count).map(|corner| owner(mask, corner)).collect())
}

/// *Ring round a rectangle*: for each way of making the corners, the opening A x B at which 8 and 5 units close, by the
/// closing rule of the table; then the rows must be 8 and 5 units long.
#[test]
fn rings_round_a_rectangle_close_by_the_table() {
    use CornerOwner::{After, Before, Open, Unit};
    let (u, w, j, n, m) = (200, 100, 10, 8, 5);
    let whole = |a, b, owners: [CornerOwner; 4]| {
        let runs = square_runs(&rectangle(a, b), layer(0, w), &owners, j);
        assert_eq!(runs, [n, m, n, m].map(|n| units(n, u, j)), "{owners:?}");
    };
    // Pinwheel: n (u+j) = A + w and m (u+j) = B + w, either way round.
    let (a, b) = (n * (u + j) - w, m * (u + j) - w);
    whole(a, b, [Before; 4]);
    whole(a, b, [After; 4]);
    // Butt: long rows n (u+j) = A + 2w + j; short rows m (u+j) = B - j; and with the short rows through.
    whole(n * (u + j) - 2 * w - j, m * (u + j) + j, [Before, After, Before, After]);
    whole(n * (u + j) + j, m * (u + j) - 2 * w - j, [After, Before, After, Before]);
    // Open corner: n u + (n-1) j = A.
    whole(units(n, u, j), units(m, u, j), [Open; 4]);
    // Corner squares of another unit: n u + (n+1) j = A.
    whole(n * u + (n + 1) * j, m * u + (m + 1) * j, [Unit; 4]);
    // Square units, one in each corner, u = w: n includes both corners, A = (n-2) u + (n-1) j; in all 2(n+m) - 4.
    let opening = |n: i64| (n - 2) * w + (n - 1) * j;
    let runs = square_runs(&rectangle(opening(n), opening(m)), layer(0, w), &[Unit; 4], j);
    assert_eq!(runs, [n, m, n, m].map(|n| units(n - 2, w, j)));
    assert_eq!(runs.iter().map(|run| (run + j) / (w + j)).sum::<i64>() + 4, 2 * (n + m) - 4);
}

/// Mitre: outer `A + 2w`, inner `A`. On an L a row grows by w at an outside corner and shrinks by it at an inside one.
#[test]
fn mitred_rings() {
    let mitred = |outline: &Outline| {
        let count = outline.count();
        runs(
            &lay(outline, &[], &vec![Some(layer(0, 100)); count], &vec![CornerOwner::Mitre; count], mm(10))
                .expect("laid"),
        )
    };
    let expected = [1700, 1150, 1700, 1150].map(|outer| [mm(outer), mm(outer - 200)]);
    assert_eq!(mitred(&rectangle(1500, 950)), expected);
    let grown = [200, 200, 0, 0, 200, 200];
    let expected: Vec<_> = ELL.iter().zip(grown).map(|(inner, grown)| [mm(inner + grown), mm(*inner)]).collect();
    assert_eq!(mitred(&ell()), expected);
}

/// The opening of a ring is the piece and twice the clearance; a second ring has an opening larger by 2(w + j), and a
/// pinwheel of units with `u = 2w + j` closes again, with one unit more each way.
#[test]
fn clearance_and_second_ring() {
    let (u, w, j, c) = (210, 100, 10, 15);
    let piece = |n: i64| n * (u + j) - w - 2 * c;
    let owners = [CornerOwner::Before; 4];
    let first = square_runs(&rectangle(piece(8), piece(5)), layer(c, c + w), &owners, j);
    assert_eq!(first, [8, 5, 8, 5].map(|n| units(n, u, j)));
    let second = square_runs(&rectangle(piece(8), piece(5)), layer(c + w + j, c + 2 * w + j), &owners, j);
    assert_eq!(second, [9, 6, 9, 6].map(|n| units(n, u, j)));
}

/// *Any outline*: outside corner, own `+ w`, other `- j`; inside corner, own `0`, other `- w - j`; run = A + both
/// allowances. All 16 ways round a rectangle and all 64 round an L.
#[test]
fn rows_change_by_their_two_allowances() {
    let (w, j) = (100, 10);
    let allowance = |inside: bool, own: bool| match (inside, own) {
        (false, true) => w,
        (false, false) => -j,
        (true, true) => 0,
        (true, false) => -w - j,
    };
    let check = |outline: &Outline, sides: &[i64], inside: Option<usize>| {
        let count = sides.len();
        for owners in every_butt(count) {
            let run = |side: usize| {
                let before = (side + count - 1) % count;
                sides[side]
                    + allowance(inside == Some(before), owners[before] == CornerOwner::After)
                    + allowance(inside == Some(side), owners[side] == CornerOwner::Before)
            };
            let expected: Vec<i64> = (0..count).map(run).collect();
            assert_eq!(square_runs(outline, layer(0, w), &owners, j), expected, "{owners:?}");
        }
    };
    check(&rectangle(1500, 900), &[1500, 900, 1500, 900], None);
    check(&ell(), &ELL, Some(2));
}

/// Open corners and corner units on an L: at the inside corner both rows stop w before it (and a joint before a unit).
#[test]
fn open_and_unit_corners_of_an_ell() {
    let open = square_runs(&ell(), layer(0, 100), &[CornerOwner::Open; 6], 10);
    assert_eq!(open, [2400, 600, 1600, 1100, 700, 1800]);
    let unit = square_runs(&ell(), layer(0, 100), &[CornerOwner::Unit; 6], 10);
    assert_eq!(unit, [2380, 580, 1580, 1080, 680, 1780]);
}

/// A pinwheel of whole units round an L: sides between two outside corners close by `n (u+j) = A + w`, the two at the
/// inside corner by `n (u+j) = A`, by the allowances of *Any outline*; 10 = 6 + 4 and 8 = 3 + 5 units make it close.
#[test]
fn a_pinwheel_round_an_ell_closes() {
    let (u, w, j) = (200, 100, 10);
    let through = |n: i64| mm(n * (u + j) - w);
    let outline = Outline::ell(through(10).into(), through(8).into(), through(3).into(), through(4).into());
    let runs = square_runs(&outline, layer(0, w), &[CornerOwner::Before; 6], j);
    assert_eq!(runs, [10, 3, 6, 5, 4, 8].map(|n| units(n, u, j)));
}

/// *Box walls*, outside size L x W, thickness t: butt long through 2 x L, 2 x (W - 2t); butt short through 2 x (L - 2t),
/// 2 x W; pinwheel 2 x (L - t), 2 x (W - t); post outside: panels L - 2p between posts that own the corners.
#[test]
fn box_walls_of_a_rectangle() {
    use CornerOwner::{After, Before, Unit};
    let (l, w, t, p) = (1500, 520, 18, 70);
    let walls = |layer, owners: [CornerOwner; 4]| square_runs(&rectangle(l, w), layer, &owners, 0);
    let wall = layer(-t, 0);
    assert_eq!(walls(wall, [Before, After, Before, After]), [l, w - 2 * t, l, w - 2 * t]);
    assert_eq!(walls(wall, [After, Before, After, Before]), [l - 2 * t, w, l - 2 * t, w]);
    assert_eq!(walls(wall, [Before; 4]), [l - t, w - t, l - t, w - t]);
    assert_eq!(walls(wall, [After; 4]), [l - t, w - t, l - t, w - t]);
    assert_eq!(walls(layer(-p, 0), [Unit; 4]), [l - 2 * p, w - 2 * p, l - 2 * p, w - 2 * p]);
}

/// Mitred walls: `2 x L, 2 x W` long point, inside `L - 2t`; on an L the two sides at the inside corner have their long
/// points one outside and one inside, and are as long on both faces.
#[test]
fn mitred_box_walls() {
    let t = 18;
    let mitred = |outline: &Outline| {
        let count = outline.count();
        let laid = lay(outline, &[], &vec![Some(layer(-t, 0)); count], &vec![CornerOwner::Mitre; count], Length::ZERO);
        runs(&laid.expect("can be laid"))
    };
    let expected = [1500, 520, 1500, 520].map(|outer| [mm(outer), mm(outer - 2 * t)]);
    assert_eq!(mitred(&rectangle(1500, 520)), expected);
    let shorter = [2 * t, 2 * t, 0, 0, 2 * t, 2 * t];
    let expected: Vec<_> = ELL.iter().zip(shorter).map(|(outer, less)| [mm(*outer), mm(outer - less)]).collect();
    assert_eq!(mitred(&ell()), expected);
}

/// Box walls of an L, by the closing check *through part + thicknesses = outside size, on both faces of each corner*: a
/// wall that stops at an outside corner is a thickness shorter than its side there, and one that runs through at an inside
/// corner reaches a thickness beyond it, to the inside of the other; all six sides, worked by hand.
#[test]
fn box_walls_of_an_ell() {
    use CornerOwner::{After, Before};
    let walls = |owners: [CornerOwner; 6]| square_runs(&ell(), layer(-18, 0), &owners, 0);
    assert_eq!(walls([Before; 6]), [2382, 582, 1700, 1200, 682, 1782], "pinwheel");
    let first = walls([Before, After, Before, After, Before, After]);
    assert_eq!(first, [2400, 564, 1718, 1182, 700, 1764], "front, inner back and back through");
    let second = walls([After, Before, After, Before, After, Before]);
    assert_eq!(second, [2364, 600, 1682, 1218, 664, 1800], "right, inner right and left through");
    // Whoever has the corners, the walls cover the outline less the room inside: here 8400 t - 4 t².
    for owners in every_butt(6) {
        let walls: i64 = square_runs(&ell(), layer(-18, 0), &owners, 0).iter().sum();
        assert_eq!(walls, 8400 - 4 * 18, "{owners:?}");
    }
}

/// A hexagon (120 degrees inside) moved out by d: each side grows by 0.577 d at each end; a regular polygon whose flats lie
/// `a` from its centre has sides `2 a tan(180/n)`. *Common practice*, *Offset of an outline*.
#[test]
fn a_ring_round_a_hexagon() {
    let turn = Turn::by(Angle::degrees(60.0).expect("an angle")).expect("a turn");
    let hexagon = outline_of(&[(mm(300), turn); 6]);
    let laid = lay(&hexagon, &[], &[Some(layer(0, 100)); 6], &[CornerOwner::Mitre; 6], Length::ZERO);
    let flats = 300.0 / 2.0 / libm::tan(std::f64::consts::PI / 6.0);
    for strip in laid.expect("can be laid") {
        let [a, b, c, d] = strip.corners.map(spot);
        let length = |p: Spot, q: Spot| libm::hypot(p[0] - q[0], p[1] - q[1]);
        assert!((length(c, d) - 300.0).abs() < 5e-6);
        assert!((length(a, b) - (300.0 + 2.0 * 57.735)).abs() < 1e-3);
        assert!((length(a, b) - 2.0 * (flats + 100.0) * libm::tan(std::f64::consts::PI / 6.0)).abs() < 5e-6);
    }
}
