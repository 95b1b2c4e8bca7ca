//! The room in walls: how much lies between two heights, and how much of that other parts take.

use crate::ask::Stand;
use crate::fitted::Fitted;
use crate::place::Ground;
use measure::{Length, Volume};
use model::build::Build;
use model::outline::{Outline, Point};
use model::part::{Part, from_mm};
use model::problem::Problem;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// The inside of a piece.
pub(super) struct Room<'a> {
    host: &'a str,
    /// The floor that a fill lies on, which takes nothing of what lies above it.
    on: Option<&'a str>,
    shape: Shape,
}

enum Shape {
    /// Plumb walls: their inner corners, the height of their top, and what stands in them.
    Plumb { corners: Vec<Point>, right_angled: bool, top: Length, tiers: Vec<Tier> },
    /// Leaning walls.
    Leaning(Leaning),
}

/// Walls that stand in others: what they enclose is theirs, from their lower edge to their upper one.
pub(super) struct Tier {
    piece: String,
    cells: Vec<Vec<Point>>,
    up: [Length; 2],
}

impl Tier {
    /// The tier of this name; `None` if the piece has no inside.
    ///
    /// # Errors
    /// If nothing says where it stands, or the sizes make no outline.
    pub(super) fn of(piece: &str, fitted: &Fitted<'_>) -> Result<Option<Tier>, Problem> {
        let stand = fitted.stand(piece)?;
        let Some(inside) = stand.inside() else { return Ok(None) };
        let cells = rectangles(Ground::of(&inside, fitted)?.corners());
        let up = [&stand.bottom, &stand.top].map(|height| height.at(fitted.sizes()));
        Ok(Some(Tier { piece: piece.to_owned(), cells, up }))
    }

    /// From where to where it encloses something between two heights.
    fn within(&self, up: [Length; 2]) -> Option<[Length; 2]> {
        let [low, high] = [self.up[0].max(up[0]), self.up[1].min(up[1])];
        (low < high).then_some([low, high])
    }

    /// What it encloses between two heights.
    fn encloses(&self, up: [Length; 2]) -> Volume {
        let [low, high] = self.within(up).unwrap_or_default();
        // Twice the area of a rectangle is even.
        let area: i128 = self.cells.iter().map(|cell| twice_the_area(cell) / 2).sum();
        Volume::from_cubic_nanometres(area * i128::from((high - low).nanometres()))
    }

    /// What of a part it encloses between two heights.
    fn takes(&self, part: &Part, up: [Length; 2]) -> Volume {
        let of = |up| self.cells.iter().map(|cell| part.volume_within(cell, up)).sum();
        self.within(up).map_or(Volume::default(), of)
    }
}

/// Walls that lean by the same on all sides.
struct Leaning {
    /// The upper outer edges.
    outline: Outline,
    sizes: Vec<Length>,
    /// How far the lower outer edges lie inwards of them.
    batter: Length,
    /// How thick the walls are, level.
    level: Length,
    /// The height of their lowest edge, of the lower outer edges, and from these to the upper ones.
    bottom: Length,
    foot: Length,
    height: Length,
}

impl<'a> Room<'a> {
    pub(super) fn of(
        host: &'a str,
        stand: &Stand,
        on: Option<&'a str>,
        tiers: Vec<Tier>,
        fitted: &Fitted<'_>,
    ) -> Result<Room<'a>, Problem> {
        let none = || Problem::new(format!("`{host}` has no inside"));
        let (inside, wall) = (stand.inside().ok_or_else(none)?, stand.wall.ok_or_else(none)?);
        let shape = if stand.batter == Length::ZERO {
            let corners = Ground::of(&inside, fitted)?.corners().to_vec();
            let right_angled = inside.outline.is_right_angled();
            Shape::Plumb { corners, right_angled, top: stand.top.at(fitted.sizes()), tiers }
        } else {
            Shape::Leaning(Leaning::of(stand, wall, fitted.sizes()))
        };
        Ok(Room { host, on, shape })
    }

    /// The height of its upper edge; of walls that lean, of the lower one of the two edges at their top.
    pub(super) fn top(&self) -> Length {
        match &self.shape {
            Shape::Plumb { top, .. } => *top,
            Shape::Leaning(walls) => walls.bottom + walls.height,
        }
    }

    /// How much lies between two heights, with its why; `None` where that would overflow.
    ///
    /// # Errors
    /// If the walls come to nothing at one of the heights.
    pub(super) fn explain(&self, name: String, up: [Length; 2]) -> Result<Option<Quantity>, Problem> {
        let depth = Input::new("depth", Value::length(up[1] - up[0]));
        let (rule, inputs) = match &self.shape {
            Shape::Plumb { corners, .. } => match rectangle(corners) {
                Some([length, width]) => {
                    let [length, width] = [("length inside", length), ("width inside", width)]
                        .map(|(what, size)| Input::new(what, Value::length(size)));
                    (&BOX, vec![length, width, depth])
                }
                None => {
                    let places = corners.iter().flat_map(|corner| ["x", "y"].into_iter().zip(corner));
                    let places =
                        places.map(|(axis, &place)| Input::new(format!("{axis} of a corner"), Value::length(place)));
                    (&PRISM, std::iter::once(depth).chain(places).collect())
                }
            },
            Shape::Leaning(walls) => {
                let middle = Length::nm((up[0] + up[1]).nanometres().div_euclid(2));
                let mut inputs = vec![depth];
                for (what, height) in [("area below", up[0]), ("area half-way", middle), ("area above", up[1])] {
                    inputs.push(Input::new(what, Value { of: Of::Area, value: walls.area(height)? }));
                }
                (&PRISMOID, inputs)
            }
        };
        Ok(Quantity::by(name, format!("inside of {}", self.host), Of::Volume, rule, inputs))
    }

    /// What the parts of each piece take of the room between two heights, piece by piece: all but the boards and panels of the
    /// walls themselves, the floor under the fill, and what walls enclose that stand in them. Nothing stands in walls that lean.
    pub(super) fn taken(&self, up: [Length; 2], build: &Build) -> Vec<(String, Volume)> {
        let Shape::Plumb { corners, right_angled, tiers, .. } = &self.shape else { return Vec::new() };
        let cells = if *right_angled { rectangles(corners) } else { vec![corners.clone()] };
        let mut taken: Vec<(String, Volume)> = Vec::new();
        for part in &build.parts {
            let is_wall = part.key.piece == self.host && ["board", "panel"].contains(&part.key.role.as_str());
            if is_wall || self.on == Some(part.key.piece.as_str()) {
                continue;
            }
            let whole: Volume = cells.iter().map(|cell| part.volume_within(cell, up)).sum();
            let theirs: Volume = tiers.iter().map(|tier| tier.takes(part, up)).sum();
            let volume = Volume::from_cubic_nanometres(whole.cubic_nanometres() - theirs.cubic_nanometres());
            if volume == Volume::default() {
                continue;
            }
            match taken.iter_mut().find(|(piece, _)| *piece == part.key.piece) {
                Some((_, sum)) => *sum = *sum + volume,
                None => taken.push((part.key.piece.clone(), volume)),
            }
        }
        taken
    }

    fn tiers(&self) -> &[Tier] {
        match &self.shape {
            Shape::Plumb { tiers, .. } => tiers,
            Shape::Leaning(_) => &[],
        }
    }

    /// What the walls that stand in it enclose between two heights.
    pub(super) fn enclosed(&self, up: [Length; 2]) -> Vec<(String, Volume)> {
        let there = self.tiers().iter().filter(|tier| tier.within(up).is_some());
        there.map(|tier| (tier.piece.clone(), tier.encloses(up))).collect()
    }

    /// The heights between two others at which walls stand that are filled round, rising.
    pub(super) fn rests(&self, up: [Length; 2]) -> Vec<Length> {
        let mut rests: Vec<Length> = self.tiers().iter().map(|tier| tier.up[0]).collect();
        rests.retain(|&low| up[0] < low && low < up[1]);
        rests.sort_unstable();
        rests.dedup();
        rests
    }

    /// The walls that stand at a height.
    pub(super) fn standing_on(&self, high: Length) -> impl Iterator<Item = &str> {
        self.tiers().iter().filter(move |tier| tier.up[0] == high).map(|tier| tier.piece.as_str())
    }
}

impl Leaning {
    /// By `sin S = batter / slope`: as high as `√(slope² - batter²)`, and a wall is `t / cos S` thick when measured level. Walls
    /// that are narrower at the top stand on their inner edges, so their outer ones lie `t · sin |S|` higher.
    fn of(stand: &Stand, wall: Length, sizes: &[Length]) -> Leaning {
        let bottom = stand.bottom.at(sizes);
        let (slope, batter) = ((stand.top.at(sizes) - bottom).as_mm(), stand.batter.as_mm());
        let height = libm::sqrt((slope - batter) * (slope + batter));
        let raised = if batter < 0.0 { from_mm(wall.as_mm() * -batter / slope) } else { Length::ZERO };
        Leaning {
            outline: stand.outline.clone(),
            sizes: sizes.to_vec(),
            batter: stand.batter,
            level: from_mm(wall.as_mm() * slope / height),
            bottom,
            foot: bottom + raised,
            height: from_mm(height),
        }
    }

    /// The area between the inner faces at a height, in mm² to the nearest.
    fn area(&self, height: Length) -> Result<i128, Problem> {
        let up = (height - self.foot).as_mm() / self.height.as_mm();
        let inwards = from_mm(self.batter.as_mm() * (1.0 - up)) + self.level;
        let moved = self.outline.moved_out(&vec![-inwards; self.outline.count()]);
        let corners = moved.corners(&self.sizes).map_err(|bad| Problem::new(bad.to_string()))?;
        Ok(nearest(twice_the_area(&corners), 2 * 10_i128.pow(12)))
    }
}

/// Length and width of corners that are a rectangle along the axes, the first side along x.
fn rectangle(corners: &[Point]) -> Option<[Length; 2]> {
    let [a, b, c, d] = corners else { return None };
    let square = a[1] == b[1] && b[0] == c[0] && c[1] == d[1] && d[0] == a[0];
    square.then_some([b[0] - a[0], c[1] - b[1]])
}

/// A right-angled outline in rectangles: strips between the heights of its corners on the plan, each cut where its sides are.
fn rectangles(corners: &[Point]) -> Vec<Vec<Point>> {
    let mut levels: Vec<Length> = corners.iter().map(|corner| corner[1]).collect();
    levels.sort_unstable();
    levels.dedup();
    let sides: Vec<(&Point, &Point)> = corners.iter().zip(corners.iter().cycle().skip(1)).collect();
    let strip = |pair: &[Length]| {
        let (low, high) = (pair[0], pair[1]);
        let passes = |(from, to): &&(&Point, &Point)| from[1].min(to[1]) <= low && high <= from[1].max(to[1]);
        let mut cuts: Vec<Length> =
            sides.iter().filter(|(from, to)| from[0] == to[0]).filter(passes).map(|(from, _)| from[0]).collect();
        cuts.sort_unstable();
        let boxes =
            cuts.chunks_exact(2).map(|pair| vec![[pair[0], low], [pair[1], low], [pair[1], high], [pair[0], high]]);
        boxes.collect::<Vec<_>>()
    };
    levels.windows(2).flat_map(strip).collect()
}

/// Twice the area of a polygon, in square nanometres: the sum of `x₁ y₂ - x₂ y₁` along its sides, from its first corner.
fn twice_the_area(corners: &[Point]) -> i128 {
    let from_first = |corner: &Point, axis: usize| i128::from((corner[axis] - corners[0][axis]).nanometres());
    let sides = corners.iter().zip(corners.iter().cycle().skip(1));
    sides.map(|(a, b)| from_first(a, 0) * from_first(b, 1) - from_first(b, 0) * from_first(a, 1)).sum()
}

/// To the nearest whole number, halves up. The denominator is positive.
fn nearest(numerator: i128, denominator: i128) -> i128 {
    (numerator + denominator / 2).div_euclid(denominator)
}

/// Cubic nanometres in a cubic millimetre.
const NM3: i128 = 10_i128.pow(18);

/// A volume in cubic millimetres, to the nearest.
pub(super) fn cubic_millimetres(volume: Volume) -> i128 {
    nearest(volume.cubic_nanometres(), NM3)
}

/// A volume of so many cubic millimetres.
pub(super) fn cubic_nanometres(cubic_millimetres: i128) -> Volume {
    // Rooms of a plan are below 10¹³ mm³: a hundredfold cube of the longest length that a piece may have.
    Volume::from_cubic_nanometres(cubic_millimetres * NM3)
}

/// The room in a rectangle of walls.
pub(crate) static BOX: Rule = Rule {
    id: "room",
    words: "The inside of four walls is as large as it is long, wide and deep",
    formula: "room = length × width × depth",
    inputs: &["length", "width", "depth"],
    source: "volume of a box",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [length, width, depth] => Some(nearest(length.checked_mul(*width)?.checked_mul(*depth)?, NM3)),
        _ => None,
    },
    case: Case {
        given: &[1_470_000_000, 480_000_000, 380_000_000],
        gives: 268_128_000,
        source: "1470 × 480 × 380 mm, by hand",
    },
};

/// The room in walls of any outline.
pub(crate) static PRISM: Rule = Rule {
    id: "room-of-corners",
    words: "The inside of plumb walls is the area between their inner corners times its depth",
    formula: "room = depth × ½ Σ (x₁ y₂ - x₂ y₁) over the sides",
    inputs: &["depth", "x and y of each corner…"],
    source: "the area of a polygon by its corners",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [depth, places @ ..] if places.len() >= 6 && places.len() % 2 == 0 => {
            let corners: Option<Vec<Point>> = places.chunks_exact(2).map(point).collect();
            Some(nearest(twice_the_area(&corners?).checked_mul(*depth)?, 2 * NM3))
        }
        _ => None,
    },
    case: Case {
        given: &[
            100_000_000,
            0,
            0,
            400_000_000,
            0,
            400_000_000,
            100_000_000,
            100_000_000,
            100_000_000,
            100_000_000,
            300_000_000,
            0,
            300_000_000,
        ],
        gives: 6_000_000,
        source: "an L of 400 × 100 and 100 × 200, 100 deep, by hand",
    },
};

fn point(place: &[i128]) -> Option<Point> {
    let length = |value: i128| i64::try_from(value).ok().map(Length::nm);
    Some([length(*place.first()?)?, length(*place.get(1)?)?])
}

/// The room in walls that lean.
pub(crate) static PRISMOID: Rule = Rule {
    id: "room-of-areas",
    words: "Between walls that lean the area changes with the height; below, half-way and above give the volume exactly",
    formula: "room = depth (A₀ + 4 A₁ + A₂) / 6",
    inputs: &["depth", "A₀", "A₁", "A₂"],
    source: "the prismoidal formula, exact for areas that are quadratic in the height",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [depth, below, halfway, above] => {
            Some(nearest(depth.checked_mul(below + 4 * halfway + above)?, 6 * 10_i128.pow(6)))
        }
        _ => None,
    },
    case: Case {
        given: &[100_000_000, 90_000, 62_500, 40_000],
        gives: 6_333_333,
        source: "a cut pyramid 300 square below, 200 above and 100 high: h/3 (A + B + √(A B)) = 6 333 333 mm³",
    },
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_ell_in_rectangles() {
        let mm = |x: i64, y: i64| [Length::mm(x), Length::mm(y)];
        let ell = [mm(0, 0), mm(400, 0), mm(400, 100), mm(100, 100), mm(100, 300), mm(0, 300)];
        let rectangles = rectangles(&ell);
        assert_eq!(
            rectangles,
            [
                vec![mm(0, 0), mm(400, 0), mm(400, 100), mm(0, 100)],
                vec![mm(0, 100), mm(100, 100), mm(100, 300), mm(0, 300)]
            ]
        );
        assert_eq!(rectangles.iter().map(|cell| twice_the_area(cell)).sum::<i128>(), twice_the_area(&ell));
    }
}
