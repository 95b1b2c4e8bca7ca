//! The build as a body to turn on a screen: binary glTF.
//!
//! In: solids in millimetres, z up, with names and colours. Out: the bytes of a `.glb` file in metres, y up, the front of
//! the build facing +z, as the format asks. True size, flat faces, one node to a part; parts of one shape that stand the
//! same way share their geometry.
//!
//! Source: Khronos Group, glTF 2.0 Specification (ISO/IEC 12113:2022), sections 3.4 (axes and units), 3.6 (buffers and
//! accessors), 3.9 (materials) and 4 (the binary container); its numbers are given here *from memory* and held by the
//! validator that the Khronos Group publishes.

use serde_json::{Map, Value, json};
use shape::Convex;
use shape::vector::{Vector, minus};
use std::collections::BTreeMap;

/// One part of the build.
#[derive(Clone, Debug)]
pub struct GltfPart {
    /// What the node is called.
    pub name: String,
    /// Its shape where it stands, in millimetres.
    pub solid: Convex,
    /// Red, green, blue and opacity from 0 to 1, linear (not the values of a stylesheet, which are bent by sRGB's curve).
    pub colour: [f32; 4],
}

/// The two words that name the parts of the container, read as ASCII: `JSON` and `BIN`.
const JSON_CHUNK: u32 = 0x4E4F_534A;
const BINARY_CHUNK: u32 = 0x004E_4942;
/// `glTF`, the first word of the file.
const MAGIC: u32 = 0x4654_6C67;
/// Chunks begin at multiples of this many bytes.
const ALIGNED: usize = 4;

/// `FLOAT` and `UNSIGNED_INT`; what a stretch of the buffer is for: `ARRAY_BUFFER` and `ELEMENT_ARRAY_BUFFER`.
const FLOAT: u32 = 5126;
const UNSIGNED_INT: u32 = 5125;
const CORNERS: u32 = 34962;
const TRIANGLES: u32 = 34963;
/// The bytes of a number, and of three.
const NUMBER: usize = 4;
const TRIPLE: usize = 3 * NUMBER;

/// Sawn wood throws light back in all directions: nearly the roughest there is, and no metal.
const ROUGHNESS: f64 = 0.9;

/// The file with these parts. The same parts give the same bytes.
pub fn glb(parts: &[GltfPart]) -> Vec<u8> {
    let mut model = Model::default();
    for part in parts {
        model.add(part);
    }
    let binary = model.binary();
    let text = model.json(binary.len()).to_string().into_bytes();
    let mut chunks = chunk(JSON_CHUNK, text, b' ');
    if !binary.is_empty() {
        chunks.extend(chunk(BINARY_CHUNK, binary, 0));
    }
    let mut file = words([MAGIC, 2, (TRIPLE + chunks.len()) as u32]);
    file.extend(chunks);
    file
}

/// A chunk with its head, filled up to whole words. Lengths stay far below 4 GiB: a part takes less than a kilobyte.
fn chunk(kind: u32, mut content: Vec<u8>, fill: u8) -> Vec<u8> {
    content.resize(content.len().next_multiple_of(ALIGNED), fill);
    let mut chunk = words([content.len() as u32, kind]);
    chunk.extend(content);
    chunk
}

fn words<const COUNT: usize>(words: [u32; COUNT]) -> Vec<u8> {
    words.into_iter().flat_map(u32::to_le_bytes).collect()
}

/// From millimetres with z up to metres with y up; the front, which lies at -y, comes to face +z.
fn placed([x, y, z]: Vector) -> Vector {
    turned([x, y, z]).map(|value| value / 1000.0)
}

fn turned([x, y, z]: Vector) -> Vector {
    // Not minus nought: it would print as `-0.0`.
    [x, z, 0.0 - y]
}

/// A shape by its corners from the lowest of its bounds, in whole nanometres, and its faces: alike for parts that are.
type ShapeKey = (Vec<[i64; 3]>, Vec<Vec<usize>>);

/// What has been gathered so far.
#[derive(Default)]
struct Model {
    corners: Vec<[f32; 3]>,
    normals: Vec<[f32; 3]>,
    triangles: Vec<u32>,
    shapes: BTreeMap<ShapeKey, usize>,
    /// The accessors of each shape: corners, normals, triangles.
    accessors: Vec<Value>,
    /// Colours by their bits, so that they have an order.
    colours: BTreeMap<[u32; 4], usize>,
    materials: Vec<Value>,
    /// A mesh is a shape in a colour.
    meshes: BTreeMap<[usize; 2], usize>,
    mesh_list: Vec<Value>,
    nodes: Vec<Value>,
}

impl Model {
    fn add(&mut self, part: &GltfPart) {
        let [low, _] = part.solid.bounds();
        let pair = [self.shape(&part.solid, low), self.material(part.colour)];
        let count = self.meshes.len();
        let mesh = *self.meshes.entry(pair).or_insert(count);
        if mesh == count {
            let [shape, material] = pair;
            let attributes = json!({ "POSITION": 3 * shape, "NORMAL": 3 * shape + 1 });
            let primitive = json!({ "attributes": attributes, "indices": 3 * shape + 2, "material": material });
            self.mesh_list.push(json!({ "primitives": [primitive] }));
        }
        self.nodes.push(json!({ "name": part.name, "mesh": mesh, "translation": placed(low) }));
    }

    /// The number of a shape; its geometry is added if it is the first of its kind.
    fn shape(&mut self, solid: &Convex, low: Vector) -> usize {
        let nanometres = |&corner: &Vector| minus(corner, low).map(|value| (value * 1e6).round() as i64);
        let corners: Vec<[i64; 3]> = solid.corners().iter().map(nanometres).collect();
        let rings = solid.faces().iter().map(|face| face.ring.clone()).collect();
        let count = self.shapes.len();
        let shape = *self.shapes.entry((corners, rings)).or_insert(count);
        if shape == count {
            self.add_shape(solid, low);
        }
        shape
    }

    /// Each face has corners of its own, all with its normal, so that it is lit flat.
    fn add_shape(&mut self, solid: &Convex, low: Vector) {
        let (first, first_triangle) = (self.corners.len(), self.triangles.len());
        for face in solid.faces() {
            let start = (self.corners.len() - first) as u32;
            let narrow = |vector: Vector| vector.map(|value| value as f32);
            self.corners.extend(solid.ring(face).map(|corner| narrow(placed(minus(corner, low)))));
            self.normals.resize(self.corners.len(), narrow(turned(face.plane.normal)));
            let fan = (1..face.ring.len() as u32 - 1).flat_map(|corner| [start, start + corner, start + corner + 1]);
            self.triangles.extend(fan);
        }
        let own = &self.corners[first..];
        let limit =
            |pick: fn(f32, f32) -> f32| own.iter().copied().reduce(|a, b| [0, 1, 2].map(|axis| pick(a[axis], b[axis])));
        let vectors = |view: u32| {
            json!({ "bufferView": view, "byteOffset": first * TRIPLE, "componentType": FLOAT, "count": own.len(),
                "type": "VEC3" })
        };
        let mut corners = vectors(0);
        corners["min"] = json!(limit(f32::min));
        corners["max"] = json!(limit(f32::max));
        let triangles = json!({ "bufferView": 2, "byteOffset": first_triangle * NUMBER, "componentType": UNSIGNED_INT,
            "count": self.triangles.len() - first_triangle, "type": "SCALAR" });
        self.accessors.extend([corners, vectors(1), triangles]);
    }

    fn material(&mut self, colour: [f32; 4]) -> usize {
        let count = self.colours.len();
        let material = *self.colours.entry(colour.map(f32::to_bits)).or_insert(count);
        if material == count {
            let surface = json!({ "baseColorFactor": colour, "metallicFactor": 0.0, "roughnessFactor": ROUGHNESS });
            let mut material = json!({ "pbrMetallicRoughness": surface });
            if colour[3] < 1.0 {
                material["alphaMode"] = json!("BLEND");
            }
            self.materials.push(material);
        }
        material
    }

    /// All corners, then all normals, then all triangles.
    fn binary(&self) -> Vec<u8> {
        let numbers = self.corners.iter().chain(&self.normals).flatten();
        let triangles = self.triangles.iter().flat_map(|corner| corner.to_le_bytes());
        numbers.flat_map(|number| number.to_le_bytes()).chain(triangles).collect()
    }

    /// What the buffer holds. Lists without entries are left out: the format forbids them.
    fn json(self, bytes: usize) -> Value {
        let vectors = self.corners.len() * TRIPLE;
        let view = |from: usize, long: usize, target: u32| json!({ "buffer": 0, "byteOffset": from, "byteLength": long, "target": target });
        let mut views = vec![
            view(0, vectors, CORNERS),
            view(vectors, vectors, CORNERS),
            view(2 * vectors, self.triangles.len() * NUMBER, TRIANGLES),
        ];
        for view in &mut views[..2] {
            view["byteStride"] = json!(TRIPLE);
        }
        let all: Vec<usize> = (0..self.nodes.len()).collect();
        let mut root = Map::new();
        root.insert("asset".into(), json!({ "version": "2.0", "generator": "Scantling" }));
        root.insert("scene".into(), json!(0));
        root.insert("scenes".into(), if all.is_empty() { json!([{}]) } else { json!([{ "nodes": all }]) });
        if !all.is_empty() {
            root.insert("nodes".into(), json!(self.nodes));
            root.insert("meshes".into(), json!(self.mesh_list));
            root.insert("materials".into(), json!(self.materials));
            root.insert("accessors".into(), json!(self.accessors));
            root.insert("bufferViews".into(), json!(views));
            root.insert("buffers".into(), json!([{ "byteLength": bytes }]));
        }
        Value::Object(root)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use shape::HalfSpace;
    use shape::vector::{cross, dot};

    const AXES: [Vector; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    const OAK: [f32; 4] = [0.5, 0.25, 0.125, 1.0];
    const GLASS: [f32; 4] = [0.5, 0.5, 0.5, 0.25];

    fn part(name: &str, corner: Vector, extents: Vector, colour: [f32; 4]) -> GltfPart {
        GltfPart { name: name.to_owned(), solid: Convex::cuboid(corner, AXES, extents), colour }
    }

    /// Three boards alike, one of them of glass, one far out; and a wedge.
    fn parts() -> Vec<GltfPart> {
        let board = |name, corner, colour| part(name, corner, [600.0, 20.0, 95.0], colour);
        let mut wedge = part("wedge \"1\"", [10.0, 20.0, 30.0], [40.0; 3], OAK);
        let plane = HalfSpace::through([10.0, 20.0, 30.0], [1.0, -1.0, 0.0]).unwrap();
        wedge.solid = wedge.solid.cut(&plane).unwrap();
        let mut parts = ["front", "back", "glazed"].map(|name| board(name, [0.0; 3], OAK)).to_vec();
        parts[1] = board("back", [12_345.678_9, 400.0, 95.0], OAK);
        parts[2] = board("glazed", [0.0, -500.0, 0.0], GLASS);
        parts.push(wedge);
        parts
    }

    /// A file taken apart again: its JSON and its buffer.
    struct Read {
        json: Value,
        buffer: Vec<u8>,
    }

    impl Read {
        fn of(file: &[u8]) -> Read {
            let word = |at: usize| u32::from_le_bytes(file[at..at + 4].try_into().unwrap());
            assert_eq!(&file[..4], b"glTF");
            assert_eq!((word(4), word(8) as usize), (2, file.len()));
            let text = word(12) as usize;
            assert_eq!(&file[16..20], b"JSON");
            let json = serde_json::from_slice(&file[20..20 + text]).unwrap();
            let next = 20 + text;
            assert_eq!(next % 4, 0);
            if next == file.len() {
                return Read { json, buffer: Vec::new() };
            }
            assert_eq!(&file[next + 4..next + 8], b"BIN\0");
            assert_eq!((word(next) as usize, word(next) % 4), (file.len() - next - 8, 0));
            Read { json, buffer: file[next + 8..].to_vec() }
        }

        fn count(&self, list: &str) -> usize {
            self.json[list].as_array().map_or(0, Vec::len)
        }

        /// The four-byte words of an accessor.
        fn words(&self, accessor: &Value) -> Vec<[u8; 4]> {
            let accessor = &self.json["accessors"][accessor.as_u64().unwrap() as usize];
            let view = &self.json["bufferViews"][accessor["bufferView"].as_u64().unwrap() as usize];
            let number = |value: &Value| value.as_u64().unwrap() as usize;
            let start = number(&view["byteOffset"]) + number(&accessor["byteOffset"]);
            let each = if accessor["type"] == "VEC3" { 3 } else { 1 };
            let long = number(&accessor["count"]) * each * 4;
            assert!(number(&accessor["byteOffset"]) + long <= number(&view["byteLength"]));
            self.buffer[start..start + long].chunks(4).map(|word| word.try_into().unwrap()).collect()
        }

        fn vectors(&self, accessor: &Value) -> Vec<Vector> {
            let numbers: Vec<f64> =
                self.words(accessor).into_iter().map(|word| f64::from(f32::from_le_bytes(word))).collect();
            numbers.chunks(3).map(|three| three.try_into().unwrap()).collect()
        }

        /// The triangles of a node where it stands.
        fn triangles(&self, node: &Value) -> Vec<[Vector; 3]> {
            let primitive = &self.json["meshes"][node["mesh"].as_u64().unwrap() as usize]["primitives"][0];
            let corners = self.vectors(&primitive["attributes"]["POSITION"]);
            let normals = self.vectors(&primitive["attributes"]["NORMAL"]);
            let shift: Vec<f64> =
                node["translation"].as_array().unwrap().iter().map(|at| at.as_f64().unwrap()).collect();
            let indices = self.words(&primitive["indices"]);
            let indices: Vec<usize> = indices.into_iter().map(|word| u32::from_le_bytes(word) as usize).collect();
            let triangles = indices.chunks(3).map(|three| {
                let [a, b, c] = [three[0], three[1], three[2]].map(|at| corners[at]);
                let outwards = cross(minus(b, a), minus(c, a));
                assert!(dot(outwards, normals[three[0]]) > 0.999 * dot(outwards, outwards).sqrt());
                [a, b, c].map(|corner| [0, 1, 2].map(|axis| corner[axis] + shift[axis]))
            });
            triangles.collect()
        }
    }

    /// The divergence theorem over the triangles that were written, in cubic metres.
    fn volume(triangles: &[[Vector; 3]]) -> f64 {
        let first = triangles[0][0];
        let part = |triangle: &[Vector; 3]| {
            let [a, b, c] = triangle.map(|corner| minus(corner, first));
            dot(a, cross(b, c)) / 6.0
        };
        triangles.iter().map(part).sum()
    }

    #[test]
    fn volumes_and_places_read_back_are_those_of_the_solids() {
        let parts = parts();
        let read = Read::of(&glb(&parts));
        assert_eq!(read.count("nodes"), parts.len());
        for (part, node) in parts.iter().zip(read.json["nodes"].as_array().unwrap()) {
            assert_eq!(node["name"], part.name.as_str());
            let triangles = read.triangles(node);
            let expected = part.solid.volume() * 1e-9;
            assert!((volume(&triangles) - expected).abs() < 1e-6 * expected);
            let [low, high] = part.solid.bounds();
            let corners = || triangles.iter().flatten();
            // Metres; y up is our z, and z towards the viewer is our -y.
            let limits = [[low[0], high[0]], [low[2], high[2]], [-high[1], -low[1]]];
            for (axis, [from, to]) in limits.into_iter().enumerate() {
                let least = corners().map(|corner| corner[axis]).fold(f64::INFINITY, f64::min);
                let most = corners().map(|corner| corner[axis]).fold(f64::NEG_INFINITY, f64::max);
                assert!((least - from / 1000.0).abs() < 1e-6 && (most - to / 1000.0).abs() < 1e-6);
            }
        }
    }

    #[test]
    fn parts_alike_share_their_geometry() {
        let read = Read::of(&glb(&parts()));
        // Two shapes of three accessors; the board in two colours and the wedge.
        assert_eq!(["accessors", "meshes", "materials"].map(|list| read.count(list)), [6, 3, 2]);
        assert_eq!(read.json["materials"][1]["alphaMode"], "BLEND");
        assert_eq!(read.json["nodes"][0]["mesh"], read.json["nodes"][1]["mesh"]);
    }

    #[test]
    fn accessors_tell_their_limits_exactly() {
        let read = Read::of(&glb(&parts()));
        for (number, accessor) in read.json["accessors"].as_array().unwrap().iter().enumerate() {
            let Some(low) = accessor["min"].as_array() else { continue };
            let corners = read.vectors(&json!(number));
            for axis in 0..3 {
                let least = corners.iter().map(|corner| corner[axis]).fold(f64::INFINITY, f64::min);
                let most = corners.iter().map(|corner| corner[axis]).fold(f64::NEG_INFINITY, f64::max);
                assert_eq!((low[axis].as_f64(), accessor["max"][axis].as_f64()), (Some(least), Some(most)));
            }
        }
    }

    #[test]
    fn nothing_is_a_file_without_a_buffer() {
        let read = Read::of(&glb(&[]));
        assert_eq!((read.count("nodes"), read.count("scenes"), read.buffer.len()), (0, 1, 0));
    }

    #[test]
    fn the_same_parts_give_the_same_bytes() {
        assert_eq!(glb(&parts()), glb(&parts()));
    }
}
