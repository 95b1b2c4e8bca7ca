//! The build as a three-dimensional model in glTF, true to size.

use advise::Settled;
use drawing::GltfPart;
use model::part::Part;
use model::schema::StockKind;

/// Red, green, blue (linear) and opacity of what parts are made of: our own choice, so that timber, sheet and stone can be told apart.
fn colour(part: &Part) -> [f32; 4] {
    match part.stock.kind {
        StockKind::Board => [0.72, 0.53, 0.33, 1.0],
        StockKind::Sheet => [0.86, 0.76, 0.58, 1.0],
        _ => [0.58, 0.58, 0.60, 1.0],
    }
}

/// The model as one binary glTF file (ISO/IEC 12113): one node for each part, called by its id and what it is, in metres.
pub fn model(settled: &Settled) -> Vec<u8> {
    let part = |part: &Part| {
        let name = format!("{} {}", part.id, part.key);
        part.shape().map(|solid| GltfPart { name, solid, colour: colour(part) })
    };
    let parts: Vec<GltfPart> = settled.build.parts.iter().filter_map(part).collect();
    drawing::glb(&parts)
}
