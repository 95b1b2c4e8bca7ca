//! A fill: layers of soil and the like in a piece with an inside, each the room between two heights less what stands in it.
//!
//! At right angles the room is cut into boxes and every part's box is taken off in whole numbers; elsewhere the parts' solids
//! are cut by the planes of the inside and measured by their faces. Between walls that lean nothing stands.

use super::{Asked, Form, Planned, Stand};
use crate::claims::Part;
use crate::geometry::Case;
use crate::ground::{Ground, Outline, Sum, nearest};
use crate::laid::{Built, ROUNDED, Site};
use crate::needs::{Of, Want, Wanted};
use crate::solid::{Plane, Solid};
use crate::texts::{Papers, Piece};

/// Cubic nanometres in a cubic millimetre, and square ones in a square millimetre.
const CUBIC: i128 = 10_i128.pow(18);
const SQUARE: i128 = 10_i128.pow(12);
/// How far below the top of the walls it ends unless the plan says otherwise, in millimetres.
const USUAL_BELOW_TOP: i64 = 40;
/// How far a volume may lie from the referee's where it was measured at angles, in cubic millimetres: a cubic centimetre.
const ROUGHLY: i128 = 1_000;
/// All of it, in hundredths of a percent.
const WHOLE: i128 = 10_000;

/// A fill as it is planned.
struct Fill {
    host: usize,
    /// The floor that it lies on.
    on: Option<String>,
    low: Sum,
    below_top: i128,
    layers: Vec<Layer>,
}

struct Layer {
    what: String,
    bag: String,
    /// Nothing if it takes the rest.
    depth: Option<i128>,
    /// In hundredths of a percent.
    settles: i128,
    drains: bool,
    /// In kilograms for a cubic metre.
    wet: Option<i64>,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let host = asked.find(&piece.word("in", "")?)?;
    let stand = asked.pieces[host].stand.clone();
    let inside = stand.inside()?;
    let on = piece.has("on").then(|| piece.word("on", "")).transpose()?;
    let low = match &on {
        Some(floor) => lies_on(asked, floor, papers)?,
        None => stand.bottom.clone(),
    };
    let layers: Vec<Layer> =
        piece.tables("layers")?.iter().map(|table| layer(table, papers)).collect::<Result<_, String>>()?;
    if layers.iter().filter(|layer| layer.depth.is_none()).count() != 1 {
        return Err(format!("one layer of `{}` takes the rest", piece.name));
    }
    let below_top = i128::from(piece.length("below-top", USUAL_BELOW_TOP)?);
    let top = stand.top.and(-below_top);
    let measured: i128 = layers.iter().filter_map(|layer| layer.depth).sum();
    // Walls that lean are lower than their slope is long, by less than they lean.
    let rest = top.plus(&low, -1).and(-measured - stand.batter.abs());
    asked.is_there(Vec::new(), rest);
    let own = Stand::plain(inside, low.clone(), top);
    let form = Fill { host, on, low, below_top, layers };
    Ok(Planned { around: Some(host), ..Planned::new(piece, "fill", own, Box::new(form)) })
}

/// The upper face of a floor; of one that falls, halfway.
fn lies_on(asked: &Asked, floor: &str, papers: &Papers) -> Result<Sum, String> {
    let planned = &asked.pieces[asked.find(floor)?];
    let fall = papers.pieces.iter().find(|piece| piece.name == floor).map_or(Ok(0), |piece| piece.length("fall", 0))?;
    Ok(planned.stand.top.and(-i128::from(fall).div_euclid(2)))
}

fn layer(table: &Piece, papers: &Papers) -> Result<Layer, String> {
    let name = table.word("bag", "")?;
    let bag = papers.bag(&name).ok_or_else(|| format!("no bag is called `{name}`"))?;
    let is_true = |key: &str| table.truth(key, false).or_else(|_| table.word(key, "").map(|word| word == "true"));
    let depth = if is_true("rest")? { None } else { Some(table.length("depth", 0)?.into()) };
    Ok(Layer {
        what: table.word("what", "")?,
        depth,
        settles: i128::from(table.percent("settles", 0)?).clamp(0, WHOLE - 1),
        drains: is_true("drains")?,
        wet: bag.wet_density,
        bag: name,
    })
}

/// The room in a piece for given sizes.
enum Room {
    /// Of right angles, in boxes seen from above: from and to along x and y.
    Square {
        corners: Vec<[i128; 2]>,
        boxes: Vec<[[i128; 2]; 2]>,
        top: i128,
    },
    /// Of other angles, plumb.
    Plumb {
        ground: Ground,
        top: i128,
    },
    Leaning(Leaning),
}

/// Walls that lean by the same on all sides.
struct Leaning {
    outline: Outline,
    sizes: Vec<i64>,
    batter: f64,
    /// How thick they are, measured level.
    level: f64,
    /// The height of their lower outer edges, and from there to the upper ones.
    foot: f64,
    height: f64,
    top: i128,
}

impl Leaning {
    /// By `sin S = batter / slope`: `√(slope² - batter²)` high, and `t / cos S` thick. What is narrower at the top stands on its
    /// inner edges, so that its outer ones lie higher by `t · sin |S|`.
    fn of(stand: &Stand, site: &Site<'_>, wall: i128) -> Leaning {
        let (bottom, top) = (site.value(&stand.bottom), site.value(&stand.top));
        let (slope, batter, thick) = ((top - bottom) as f64, stand.batter as f64, wall as f64);
        let height = libm::sqrt((slope - batter) * (slope + batter));
        let raised = if batter < 0.0 { thick * -batter / slope } else { 0.0 };
        Leaning {
            outline: stand.outline.clone(),
            sizes: site.sizes.clone(),
            batter,
            level: thick * slope / height,
            foot: bottom as f64 + raised,
            height,
            top: bottom + nearest(height),
        }
    }

    /// The area between the inner faces at a height, in square millimetres.
    fn area(&self, height: i128) -> i128 {
        let up = (height as f64 - self.foot) / self.height;
        let inwards = nearest(self.batter * (1.0 - up) + self.level);
        let twice = self.outline.grown(-inwards).at(&self.sizes).double_area();
        (twice + SQUARE).div_euclid(2 * SQUARE)
    }
}

impl Room {
    fn of(stand: &Stand, site: &Site<'_>) -> Option<Room> {
        let (wall, inside) = (stand.wall?, stand.inside().ok()?);
        if stand.batter != 0 {
            return Some(Room::Leaning(Leaning::of(stand, site, wall)));
        }
        let (ground, top) = (site.ground(&inside), site.value(&stand.top));
        if !inside.is_square() {
            return Some(Room::Plumb { ground, top });
        }
        let boxes = boxes(&ground.corners);
        Some(Room::Square { corners: ground.corners, boxes, top })
    }

    fn top(&self) -> i128 {
        match self {
            Room::Square { top, .. } | Room::Plumb { top, .. } => *top,
            Room::Leaning(walls) => walls.top,
        }
    }

    /// How much lies between two heights: the rule of that number, what goes into it and how far each may lie off.
    fn whole(&self, up: [i128; 2]) -> (&'static str, Vec<(i128, i128)>) {
        let depth = up[1] - up[0];
        match self {
            Room::Square { boxes, .. } if boxes.len() == 1 => {
                let size = boxes[0].map(|reach| reach[1] - reach[0]);
                ("room", [size[0], size[1], depth].map(|exact| (exact, 0)).to_vec())
            }
            Room::Square { corners, .. } => ("room-of-corners", of_corners(depth, corners, 0)),
            Room::Plumb { ground, .. } => ("room-of-corners", of_corners(depth, &ground.corners, ROUNDED)),
            Room::Leaning(walls) => {
                let middle = (up[0] + up[1]).div_euclid(2);
                let area = |height: i128| {
                    // A nanometre up or down along the whole outline.
                    (walls.area(height), 1 + walls.outline.at(&walls.sizes).lengths.iter().sum::<i128>() / SQUARE)
                };
                ("room-of-areas", vec![(depth, 2), area(up[0]), area(middle), area(up[1])])
            }
        }
    }

    /// What a part takes of the room between two heights, in cubic nanometres.
    fn taken(&self, part: &Part, up: [i128; 2]) -> i128 {
        match self {
            Room::Square { boxes, .. } if part.is_plain() => {
                let (from, to) = (part.corner.map(i128::from), part.far().map(i128::from));
                let shared = |axis: usize, reach: [i128; 2]| (to[axis].min(reach[1]) - from[axis].max(reach[0])).max(0);
                boxes.iter().map(|[x, y]| shared(0, *x) * shared(1, *y) * shared(2, up)).sum()
            }
            Room::Square { boxes, .. } => {
                let corners = |[x, y]: &[[i128; 2]; 2]| [[x[0], y[0]], [x[1], y[0]], [x[1], y[1]], [x[0], y[1]]];
                boxes.iter().map(|of| within(part, &corners(of), up)).sum()
            }
            Room::Plumb { ground, .. } => within(part, &ground.corners, up),
            Room::Leaning(_) => 0,
        }
    }
}

/// Walls that stand in the same piece: what lies in them is theirs, over their whole height.
struct Tier {
    room: Room,
    up: [i128; 2],
}

impl Tier {
    /// What of two heights it stands between.
    fn part_of(&self, up: [i128; 2]) -> Option<[i128; 2]> {
        let both = [up[0].max(self.up[0]), up[1].min(self.up[1])];
        (both[1] > both[0]).then_some(both)
    }

    /// All that it holds between two heights, in cubic millimetres to the nearest.
    fn holds(&self, up: [i128; 2]) -> Option<i128> {
        let [low, high] = self.part_of(up)?;
        let Room::Square { boxes, .. } = &self.room else { return None };
        let floor: i128 = boxes.iter().map(|[x, y]| (x[1] - x[0]) * (y[1] - y[0])).sum();
        Some((floor * (high - low) + CUBIC / 2).div_euclid(CUBIC))
    }

    fn takes_of(&self, part: &Part, up: [i128; 2]) -> i128 {
        self.part_of(up).map_or(0, |both| self.room.taken(part, both))
    }
}

fn of_corners(depth: i128, corners: &[[i128; 2]], slack: i128) -> Vec<(i128, i128)> {
    let places = corners.iter().flatten().map(|&place| (place, slack));
    std::iter::once((depth, 0)).chain(places).collect()
}

/// A right-angled outline in boxes: for each strip between neighbouring heights on the plan, what lies between the sides that
/// pass it, from every second one to the next.
fn boxes(corners: &[[i128; 2]]) -> Vec<[[i128; 2]; 2]> {
    let mut levels: Vec<i128> = corners.iter().map(|corner| corner[1]).collect();
    levels.sort_unstable();
    levels.dedup();
    let mut boxes = Vec::new();
    for strip in levels.windows(2) {
        let sides = corners.iter().zip(corners.iter().cycle().skip(1));
        let passes = sides.filter(|(a, b)| a[1].min(b[1]) <= strip[0] && a[1].max(b[1]) >= strip[1]);
        let mut walls: Vec<i128> = passes.map(|(a, _)| a[0]).collect();
        walls.sort_unstable();
        boxes.extend(walls.chunks_exact(2).map(|pair| [[pair[0], pair[1]], [strip[0], strip[1]]]));
    }
    boxes
}

/// What of a part lies within corners that run round a convex outline counter-clockwise, between two heights.
fn within(part: &Part, corners: &[[i128; 2]], up: [i128; 2]) -> i128 {
    let mm = |length: i128| length as f64 / 1e6;
    let sides = corners.iter().zip(corners.iter().cycle().skip(1));
    let side = |(a, b): (&[i128; 2], &[i128; 2])| -> Plane {
        let [x, y] = [mm(b[0] - a[0]), mm(b[1] - a[1])];
        let long = libm::sqrt(x * x + y * y);
        ([y / long, -x / long, 0.0], [mm(a[0]), mm(a[1]), 0.0])
    };
    let mut planes: Vec<Plane> = sides.map(side).collect();
    planes.push(([0.0, 0.0, -1.0], [0.0, 0.0, mm(up[0])]));
    planes.push(([0.0, 0.0, 1.0], [0.0, 0.0, mm(up[1])]));
    let inside = Solid::of(part).and_then(|solid| solid.behind(&planes));
    // A part is below 10^13 mm³, so its volume in thousandths is exact in an `f64`.
    inside.map_or(0, |solid| nearest(solid.volume() * 1e3) * (CUBIC / 1_000))
}

impl Fill {
    /// The walls that stand in what is filled.
    fn tiers(&self, site: &Site<'_>) -> Vec<Tier> {
        let there = site.asked.pieces.iter().filter(|piece| piece.is == "walls" && piece.around == Some(self.host));
        let tier = |piece: &Planned| Some(Tier { room: Room::of(&piece.stand, site)?, up: piece.up(site) });
        there.filter_map(tier).collect()
    }

    /// What each piece's parts take between two heights, in cubic millimetres, in the order in which they stand in the record.
    fn taken(&self, room: &Room, tiers: &[Tier], up: [i128; 2], case: &Case<'_>) -> Vec<(String, i128)> {
        let host = &case.site.asked.pieces[self.host].name;
        let mut taken: Vec<(String, i128)> = Vec::new();
        for part in &case.record.parts {
            let is_wall = part.piece == *host && ["board", "panel"].contains(&part.role.as_str());
            if is_wall || self.on.as_ref() == Some(&part.piece) {
                continue;
            }
            let theirs: i128 = tiers.iter().map(|tier| tier.takes_of(part, up)).sum();
            let volume = room.taken(part, up) - theirs;
            if volume == 0 {
                continue;
            }
            match taken.iter_mut().find(|(piece, _)| *piece == part.piece) {
                Some((_, sum)) => *sum += volume,
                None => taken.push((part.piece.clone(), volume)),
            }
        }
        taken.into_iter().map(|(piece, volume)| (piece, (volume + CUBIC / 2).div_euclid(CUBIC))).collect()
    }
}

/// What is ordered of something that settles by a share, rounded up.
pub(crate) fn ordered(volume: i128, settles: i128) -> Option<i128> {
    let left = WHOLE - settles;
    (1..=WHOLE).contains(&left).then(|| Some(crate::fitting::up(volume.checked_mul(WHOLE)?, left)))?
}

impl Form for Fill {
    fn lay<'a>(&'a self, _own: &'a Planned, _site: &Site<'a>, _built: &mut Built<'a>) -> Option<()> {
        Some(())
    }

    fn needs(&self, own: &Planned, case: &Case<'_>, wanted: &mut Wanted) {
        let site = case.site;
        let Some(room) = Room::of(&site.asked.pieces[self.host].stand, site) else { return };
        let tiers = self.tiers(site);
        let mut low = site.value(&self.low);
        let measured: i128 = self.layers.iter().filter_map(|layer| layer.depth).sum();
        let rest = room.top() - self.below_top - low - measured;
        for (at, layer) in self.layers.iter().enumerate() {
            let up = [low, low + layer.depth.unwrap_or(rest)];
            let name = |what: &str| format!("{}.layer-{}.{what}", own.name, at + 1);
            let (rule, inputs) = room.whole(up);
            let whole = wanted.near(case.record, name("room"), rule, "mm3", inputs);
            let slack = if matches!(room, Room::Square { .. }) { 0 } else { ROUGHLY };
            let taken = self.taken(&room, &tiers, up, case).into_iter().map(|(_, volume)| (volume, slack));
            let enclosed = tiers.iter().filter_map(|tier| tier.holds(up)).map(|volume| (volume, 0));
            let inputs = std::iter::once((whole, slack)).chain(taken).chain(enclosed).collect();
            let volume = wanted.near(case.record, name("volume"), "fill", "mm3", inputs);
            let inputs = vec![(volume, 0), (layer.settles, 0)];
            let order = wanted.near(case.record, name("order"), "settling", "mm3", inputs);
            if let Some(density) = layer.wet {
                wanted.near(case.record, name("wet"), "wet-mass", "mg", vec![(volume, 0), (density.into(), 0)]);
            }
            let (piece, what) = (own.name.clone(), layer.what.clone());
            if layer.drains {
                wanted.objections.push((piece.clone(), what.clone()));
            }
            wanted.needs.push(Want { piece, what, of: Of::Bag(layer.bag.clone(), order) });
            low = up[1];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An L of 400 by 100 with an arm of 100 by 200 behind it has the area 400 · 100 + 100 · 200.
    #[test]
    fn an_ell_in_boxes() {
        let corners = [[0, 0], [400, 0], [400, 100], [100, 100], [100, 300], [0, 300]];
        let area: i128 = boxes(&corners).iter().map(|[x, y]| (x[1] - x[0]) * (y[1] - y[0])).sum();
        assert_eq!(area, 60_000);
        assert_eq!(boxes(&corners[..]).len(), 2);
    }

    fn part(corner: [i64; 3], size: [i64; 3]) -> Part {
        Part { corner: corner.map(|mm| mm * 1_000_000), ..Part::sized(size.map(|mm| mm * 1_000_000)) }
    }

    /// A post of 47 × 47 that begins 52 below the room and ends above it takes 47 · 47 · 380 of a room 380 deep; a bar through
    /// the inside corner of an L takes what lies in its two arms alone.
    #[test]
    fn boxes_take_what_lies_within() {
        let mm = |corners: &[[i128; 2]]| corners.iter().map(|at| at.map(|mm| mm * 1_000_000)).collect::<Vec<_>>();
        let up = [52_000_000, 432_000_000];
        let corners = mm(&[[0, 0], [1470, 0], [1470, 480], [0, 480]]);
        let room = Room::Square { boxes: boxes(&corners), corners, top: up[1] };
        assert_eq!(room.taken(&part([0, 0, 0], [47, 47, 440]), up), 47 * 47 * 380 * CUBIC);
        let corners = mm(&[[0, 0], [400, 0], [400, 100], [100, 100], [100, 300], [0, 300]]);
        let room = Room::Square { boxes: boxes(&corners), corners, top: up[1] };
        let bar = part([50, 90, 60], [100, 20, 10]);
        assert_eq!(room.taken(&bar, up), (50 * 20 + 50 * 10) * 10 * CUBIC);
        let outside = part([500, 0, 60], [10, 10, 10]);
        assert_eq!(room.taken(&outside, up), 0);
    }

    /// The same by the solids: a box that is half in a square room, and a cut pyramid of 300 square below, 200 above, 100 high:
    /// h / 3 (A + B + √(A B)) = 6 333 333 mm³ (closed form).
    #[test]
    fn solids_take_what_lies_within() {
        let corners = [[0, 0], [100, 0], [100, 100], [0, 100]].map(|at| at.map(|mm: i128| mm * 1_000_000));
        assert_eq!(within(&part([50, 20, -10], [100, 10, 40]), &corners, [0, 50_000_000]), 50 * 10 * 30 * CUBIC);
        assert_eq!(within(&part([200, 20, 0], [100, 10, 40]), &corners, [0, 50_000_000]), 0);
        let stand = Stand {
            // Without thickness its inside is its outside: 200 above, and 50 further out below.
            wall: Some(0),
            batter: -50_000_000,
            ..Stand::plain(
                Outline::rectangle(Sum::fixed(200_000_000), Sum::fixed(200_000_000)),
                Sum::fixed(0),
                // The slope of a wall 100 high that leans by 50: √12500.
                Sum::fixed(111_803_399),
            )
        };
        let asked = Asked::default();
        let site = Site::bare(&asked);
        let room = Room::of(&stand, &site).expect("a room");
        let (rule, inputs) = room.whole([0, room.top()]);
        let areas: Vec<i128> = inputs.iter().map(|input| input.0).collect();
        assert_eq!((rule, &areas[1..]), ("room-of-areas", &[90_000, 62_500, 40_000][..]));
        assert!((areas[0] - 100_000_000).abs() <= 1);
    }

    /// 261.41264 L that settle by 15 % are 307.544283 L to order, as `rules.md` has it from outside the project.
    #[test]
    fn settling() {
        assert_eq!(ordered(261_412_640, 1_500), Some(307_544_283));
        assert_eq!(ordered(1_000, 0), Some(1_000));
        assert_eq!(ordered(1_000, WHOLE), None);
    }
}
