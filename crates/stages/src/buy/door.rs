//! What is put together in the workshop has to come out of its door.

use crate::check::with_fixed;
use measure::Length;
use model::build::Build;
use model::part::Part;
use model::plan::Plan;
use model::schema::StockKind;

/// A note for each piece that does not pass the door with all that is fixed to it.
pub(super) fn notes(build: &Build, plan: &Plan) -> Vec<String> {
    let Some(door) = plan.shed.door else { return Vec::new() };
    let mut pieces: Vec<&str> = Vec::new();
    for part in &build.parts {
        if !pieces.contains(&part.key.piece.as_str()) {
            pieces.push(&part.key.piece);
        }
    }
    let stands_alone = |piece: &&str| !build.fixed.iter().any(|fixed| fixed.piece == **piece);
    let note = |piece: &str| {
        let joined = with_fixed(piece, build);
        let parts: Vec<&Part> = build.parts.iter().filter(|part| joined.contains(&part.key.piece.as_str())).collect();
        // Units are carried one by one.
        if parts.iter().any(|part| part.stock.kind == StockKind::Unit) {
            return None;
        }
        let least = (0..3).map(|axis| side(&parts, axis)).min()?;
        (least > door).then(|| {
            let [least, door] = [least, door].map(|length| plan.tape.show_with_unit(length));
            format!(
                "door: {}, put together, is {least} at the least and the door {door}: build it outside, or put it together where it stands",
                joined.join(" and ")
            )
        })
    };
    pieces.iter().filter(|piece| stands_alone(piece)).filter_map(|piece| note(piece)).collect()
}

/// How far some parts reach along an axis.
fn side(parts: &[&Part], axis: usize) -> Length {
    let near = parts.iter().map(|part| part.near_corner()[axis]).min().unwrap_or(Length::ZERO);
    let far = parts.iter().map(|part| part.far_corner()[axis]).max().unwrap_or(Length::ZERO);
    far - near
}
