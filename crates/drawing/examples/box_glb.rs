//! Writes a tapered box of four mitred boards, a floor and a pane to the standard output as binary glTF, for
//! `tests/browser/gltf.test.mjs`.

use drawing::{GltfPart, glb};
use shape::vector::{Vector, cross, minus, plus, times};
use shape::{Convex, HalfSpace};
use std::io::Write;

/// Outer width at the foot, width and thickness of a board, in millimetres.
const FOOT: f64 = 400.0;
const WIDTH: f64 = 250.0;
const THICKNESS: f64 = 20.0;
/// The lean outwards as 7 : 24 : 25, of which sine and cosine are exact.
const LEAN: [f64; 2] = [0.28, 0.96];

const UP: Vector = [0.0, 0.0, 1.0];
const LARCH: [f32; 4] = [0.56, 0.31, 0.15, 1.0];
const PANE: [f32; 4] = [0.7, 0.8, 0.85, 0.4];

fn main() -> std::io::Result<()> {
    let sides = [[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0]];
    let names = ["front", "right", "back", "left"];
    let mut parts: Vec<GltfPart> =
        names.iter().zip(sides).filter_map(|(name, out)| Some(part(name, board(out)?, LARCH))).collect();
    let inner = FOOT - 2.0 * THICKNESS;
    let level = |at: f64, thick: f64| {
        let corner = [-inner / 2.0, -inner / 2.0, at];
        Convex::cuboid(corner, [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], UP], [inner, inner, thick])
    };
    parts.push(part("floor", level(30.0, 18.0), LARCH));
    parts.push(part("pane", level(300.0, 4.0), PANE));
    std::io::stdout().write_all(&glb(&parts))
}

fn part(name: &str, solid: Convex, colour: [f32; 4]) -> GltfPart {
    GltfPart { name: name.to_owned(), solid, colour }
}

/// The board that looks in this direction, leaning outwards, mitred at both ends.
fn board(out: Vector) -> Option<Convex> {
    let along = cross(UP, out);
    let up = plus(times(out, LEAN[0]), times(UP, LEAN[1]));
    let corner = plus(times(out, FOOT / 2.0), times(along, -FOOT));
    let blank = Convex::cuboid(corner, [along, up, times(cross(along, up), -1.0)], [2.0 * FOOT, WIDTH, THICKNESS]);
    let mitre = |way: f64| HalfSpace::through([0.0; 3], minus(times(along, way), out));
    blank.cut(&mitre(1.0)?)?.cut(&mitre(-1.0)?)
}
