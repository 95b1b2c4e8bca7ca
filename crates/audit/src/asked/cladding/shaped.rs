//! Shaped tops of upright boards: sloped, pointed with a flat, rounded.

use crate::ground::{Spot, Way, nearest};
use crate::laid::{ANGLE, Built, Cut};
use crate::texts::Piece;

/// How many planes stand for an arc.
const ARC_PLANES: usize = 8;

/// The shape of the upper ends.
pub(super) struct Shaped {
    kind: Kind,
    rise: f64,
    flat: f64,
}

#[derive(Clone, Copy)]
enum Kind {
    Sloped,
    Pointed,
    Rounded,
}

/// A plane in the face of a board: its normal along and up, and a point on it along the board from its first edge and below its
/// full height.
type Trace = ([f64; 2], [f64; 2]);

impl Shaped {
    /// Reads the shape, if there is one.
    pub fn read(piece: &Piece) -> Result<Option<Shaped>, String> {
        let kind = match piece.word("top", "")?.as_str() {
            "" | "straight" => return Ok(None),
            "sloped" => Kind::Sloped,
            "pointed" => Kind::Pointed,
            "rounded" => Kind::Rounded,
            other => return Err(format!("no top is shaped `{other}`")),
        };
        let (rise, flat) = (piece.length("rise", 0)?, piece.length("flat", 0)?);
        Ok((rise > 0).then_some(Shaped { kind, rise: rise as f64, flat: flat as f64 }))
    }

    pub fn rise(&self) -> i128 {
        nearest(self.rise)
    }

    /// The planes of a board that stands in a place.
    pub fn planes(&self, spot: &Spot) -> Vec<Cut> {
        let (along, up) = (spot.axis(Way::Along), spot.axis(Way::Up));
        let [width, height] = [along, up].map(|axis| spot.extent[axis] as f64);
        let cut = |(own, at): Trace| {
            let (mut normal, mut through) = ([0.0; 3], [0.0; 3]);
            (normal[up], through[up]) = (own[1], height - at[1]);
            (normal[along], through[along]) = if spot.backwards { (-own[0], width - at[0]) } else { (own[0], at[0]) };
            Cut { end: 1, normal, through }
        };
        self.traces(width).into_iter().map(cut).collect()
    }

    /// The numbers that have a why: where the shape begins, and for each width its cuts and what they take off.
    pub fn numbers(&self, piece: &str, length: i128, widths: &[i128], built: &mut Built<'_>) {
        let (rise, flat) = (self.rise(), nearest(self.flat));
        built.number(piece, "top.shoulder", "shoulder", "nm", vec![length, rise]);
        let mut each: Vec<i128> = Vec::new();
        for width in widths {
            if !each.contains(width) {
                each.push(*width);
            }
        }
        let alone = each.len() == 1;
        for (at, width) in each.into_iter().enumerate() {
            let called = if alone { "top".to_string() } else { format!("top-{}", at + 1) };
            let mut number =
                |name: &str, rule, of, inputs| built.number(piece, &format!("{called}.{name}"), rule, of, inputs);
            match self.kind {
                Kind::Sloped => {
                    number("cut", "top-cut", ANGLE, vec![rise, width]);
                    number("lost", "top-lost", "nm", vec![rise, width, 0]);
                }
                Kind::Pointed => {
                    number("run", "top-run", "nm", vec![width, flat]);
                    number("cut", "top-cut", ANGLE, vec![rise, (width - flat).div_euclid(2)]);
                    number("lost", "top-lost", "nm", vec![rise, width, flat]);
                }
                Kind::Rounded => {
                    number("radius", "top-radius", "nm", vec![width, rise]);
                    number("lost", "top-lost-round", "nm", vec![rise, width]);
                }
            }
        }
    }

    fn traces(&self, width: f64) -> Vec<Trace> {
        match self.kind {
            Kind::Sloped => vec![(unit([-self.rise, width]), [0.0, self.rise])],
            Kind::Pointed => {
                let run = (width - self.flat) / 2.0;
                let [left, right] = [-1.0, 1.0].map(|way| unit([way * self.rise, run]));
                vec![(left, [0.0, self.rise]), (right, [width, self.rise])]
            }
            Kind::Rounded => self.arc(width),
        }
    }

    /// Planes that touch the arc through the middle at full height and the edges at the rise below it, radius
    /// (b² / 4 + rise²) / (2 rise), at equal angles from the one edge's tangent to the other's.
    fn arc(&self, width: f64) -> Vec<Trace> {
        let radius = (width * width / 4.0 + self.rise * self.rise) / (2.0 * self.rise);
        let half = libm::asin((width / 2.0 / radius).min(1.0));
        let tangent = |at: usize| {
            let angle = half * (2.0 * at as f64 / (ARC_PLANES - 1) as f64 - 1.0);
            let normal = [libm::sin(angle), libm::cos(angle)];
            (normal, [width / 2.0 + radius * normal[0], radius - radius * normal[1]])
        };
        (0..ARC_PLANES).map(tangent).collect()
    }
}

fn unit([a, b]: [f64; 2]) -> [f64; 2] {
    let length = libm::sqrt(a * a + b * b);
    [a / length, b / length]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ground::{Outline, Sum};
    use crate::laid::Laid;
    use crate::solid::Solid;

    const MM: f64 = 1e6;

    /// The volume of a board 100 × 20 × 800 with a shaped top, on the front and on the back.
    fn volume(kind: Kind, rise: f64, flat: f64) -> f64 {
        let shaped = Shaped { kind, rise: rise * MM, flat: flat * MM };
        let ground = Outline::rectangle(Sum::fixed(900_000_000), Sum::fixed(500_000_000)).at(&[]);
        let volume = |side: usize| {
            let spot = ground.beside(side, [0, 100_000_000], [0, 20_000_000], [0, 800_000_000]);
            let mut part = Laid::new(("p", "board", "front", 0, 0), ("board", "b"), spot, Way::Up, Way::Along);
            part.planes = shaped.planes(&part.spot);
            Solid::laid(&part).expect("a solid").volume()
        };
        assert!((volume(0) - volume(2)).abs() < 1e-6);
        volume(0)
    }

    /// A slope takes half the rectangle off; a point takes two triangles; the eight tangents leave a little more than the
    /// circular segment, area r² (θ − sin θ cos θ) (closed forms).
    #[test]
    fn what_shaped_tops_take_off() {
        let whole = 100.0 * 800.0;
        assert!((volume(Kind::Sloped, 40.0, 0.0) / 20.0 - (whole - 2000.0)).abs() < 1e-6);
        assert!((volume(Kind::Pointed, 40.0, 20.0) / 20.0 - (whole - 1600.0)).abs() < 1e-6);
        let (rise, half) = (30.0, 50.0_f64);
        let radius = (half * half + rise * rise) / (2.0 * rise);
        let angle = libm::asin(half / radius);
        let segment = radius * radius * (angle - libm::sin(angle) * libm::cos(angle));
        let arc = whole - 100.0 * rise + segment;
        let found = volume(Kind::Rounded, rise, 0.0) / 20.0;
        assert!(found > arc && found < arc * 1.0005, "{found} and {arc}");
    }
}
