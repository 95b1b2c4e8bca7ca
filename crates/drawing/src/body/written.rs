//! A body as JSON, and read back.

use super::{Body, BodyPart};
use serde_json::{Value, json};
use shape::Convex;

/// The most parts, corners of a part and faces of a part that are read.
const MOST_PARTS: usize = 2_000;
const MOST_CORNERS: usize = 64;
/// A corner lies no further than this from the origin, in nanometres: a kilometre.
const FARTHEST: i64 = 1_000_000_000_000;
/// Nanometres to a millimetre.
const MM: f64 = 1e6;

impl Body {
    /// As JSON: `parts` (`id`, `of`, `corners` in whole nanometres, `faces`: the corners of each by number, counter-clockwise as
    /// seen from outside) and `steps` (the parts that each adds, by number).
    pub fn written(&self) -> Value {
        let part = |part: &BodyPart| {
            let corner = |corner: &[f64; 3]| corner.map(|at| libm::round(at * MM) as i64);
            let corners: Vec<[i64; 3]> = part.solid.corners().iter().map(corner).collect();
            let faces: Vec<&Vec<usize>> = part.solid.faces().iter().map(|face| &face.ring).collect();
            json!({ "id": part.id, "of": part.of, "corners": corners, "faces": faces })
        };
        json!({ "parts": self.parts.iter().map(part).collect::<Vec<Value>>(), "steps": self.steps })
    }

    /// A body out of what [`Body::written`] wrote; `None` if it is none, or larger than a build that is drawn step by step.
    pub fn read(value: &Value) -> Option<Body> {
        let parts = value.get("parts")?.as_array().filter(|parts| parts.len() <= MOST_PARTS)?;
        let parts = parts.iter().map(part).collect::<Option<Vec<BodyPart>>>()?;
        let places = |step: &Value| numbers(step, parts.len(), parts.len());
        let steps = value.get("steps")?.as_array().filter(|steps| steps.len() <= MOST_PARTS)?;
        let steps = steps.iter().map(places).collect::<Option<Vec<Vec<usize>>>>()?;
        // A part is put in place once.
        let mut all = steps.concat();
        all.sort_unstable();
        all.windows(2).all(|pair| pair[0] < pair[1]).then_some(Body { parts, steps })
    }
}

fn part(value: &Value) -> Option<BodyPart> {
    let text = |key: &str| value.get(key).and_then(Value::as_str).map(str::to_owned);
    let list = |key: &str| value.get(key).and_then(Value::as_array).filter(|list| list.len() <= MOST_CORNERS);
    let corners = list("corners")?.iter().map(corner).collect::<Option<Vec<[f64; 3]>>>()?;
    let rings = list("faces")?.iter().map(|ring| numbers(ring, corners.len(), MOST_CORNERS));
    let solid = Convex::of(corners.clone(), rings.collect::<Option<Vec<Vec<usize>>>>()?)?;
    Some(BodyPart { id: text("id")?, of: text("of")?, solid })
}

fn corner(value: &Value) -> Option<[f64; 3]> {
    let at = |at: &Value| at.as_i64().filter(|at| (-FARTHEST..=FARTHEST).contains(at)).map(|at| at as f64 / MM);
    match value.as_array()?.as_slice() {
        [x, y, z] => Some([at(x)?, at(y)?, at(z)?]),
        _ => None,
    }
}

/// A list of at most so many numbers, each below a bound.
fn numbers(value: &Value, below: usize, most: usize) -> Option<Vec<usize>> {
    let number = |value: &Value| usize::try_from(value.as_u64()?).ok().filter(|&number| number < below);
    value.as_array().filter(|list| list.len() <= most)?.iter().map(number).collect()
}
