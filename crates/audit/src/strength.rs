//! What presses and what bends, found anew from the parts in place and the texts: the numbers behind *Will it bulge?*.
//!
//! The strength and the stiffness of a material travel with the record, as densities do, and are held to be of a wood at all;
//! pressure, depth, span and every factor that the house takes are the referee's own (`docs/questions.md`).

pub(crate) mod formulas;
pub(crate) mod sag;

use crate::claims::{Part, Record};
use crate::solid::Solid;
use crate::texts::{Material, Papers, Piece};
use crate::whys::Book;

/// The share of soil at rest, people at its edge in Pa, water and wet soil in N/m³ (1835 kg/m³ at 9.80665 m/s²).
const AT_REST: i128 = 500;
const PEOPLE: i128 = 2_500;
const WATER: i128 = 9_810;
const WET: i128 = 1_835;
/// The most that a wall may bulge: span over so much, in thousandths.
const BULGE: i128 = 200_000;
/// `kmod`, the partial factor of the load, and `CD`: for good, for a person.
const FOR_GOOD: [i128; 3] = [500, 1350, 900];
const A_PERSON: [i128; 3] = [700, 1500, 1250];
/// `CM` in bending.
const WET_BENDING: i128 = 850;
/// What a wood bears, and how stiff it is, in Pa: below and above nothing is one.
const BEARING: std::ops::RangeInclusive<i128> = 3_000_000..=80_000_000;
const STIFF: std::ops::RangeInclusive<i128> = 2_000_000_000..=25_000_000_000;
/// How far a depth may lie off where a wall leans, in nm.
const LEANING: i128 = 10;
/// Materials that no strength is known of.
const MASONRY: [&str; 3] = ["granite", "clay-brick", "concrete"];

/// A wall round a fill, or what is not known of it.
pub(crate) enum Pressed<'r> {
    /// Nothing says what it is filled with, or nobody knows its wood.
    Unknown,
    /// Its board that bends most.
    By(Bent<'r>),
}

/// A board that soil presses on.
pub(crate) struct Bent<'r> {
    board: &'r Part,
    span: i128,
    depth: i128,
    /// N/m³ of the soil and of the water that stands in it.
    weight: i128,
    water: i128,
}

/// The walls that are asked about, by name.
pub(crate) fn walls<'r>(record: &'r Record, papers: &'r Papers) -> Vec<(&'r str, Pressed<'r>)> {
    let named = papers.pieces.iter().filter(|piece| piece.is == "walls");
    named.filter_map(|piece| Some((piece.name.as_str(), pressed(&piece.name, record, papers)?))).collect()
}

fn pressed<'r>(walls: &str, record: &'r Record, papers: &Papers) -> Option<Pressed<'r>> {
    let Some(fill) = papers.pieces.iter().find(|piece| piece.is == "fill" && piece.named("in") == [walls]) else {
        return Some(Pressed::Unknown);
    };
    let is_wall = |part: &&Part| part.piece == walls && ["board", "panel"].contains(&part.role.as_str());
    let parts: Vec<&Part> = record.parts.iter().filter(is_wall).collect();
    let top = parts.iter().map(|part| up(part)[1]).max()? - i128::from(fill.length("below-top", 40).ok()?);
    let posts = tied(walls, record, papers);
    let (mut most, mut bent) = (0.0, None);
    for &board in parts.iter().filter(|part| up(part)[0] < top) {
        let (depth, span) = (top - up(board)[0], span(board, &parts, &posts));
        let bends = depth as f64 * (span as f64).powi(4);
        if bends >= most {
            (most, bent) = (bends, Some((board, span, depth)));
        }
    }
    let (board, span, depth) = bent?;
    if !is_known(board, papers) {
        return Some(Pressed::Unknown);
    }
    let water = if fill.word("water", "drains").is_ok_and(|word| word == "may stand") { WATER } else { 0 };
    Some(Pressed::By(Bent { board, span, depth, weight: weight(fill, papers), water }))
}

fn is_known(part: &Part, papers: &Papers) -> bool {
    let material = match part.kind.as_str() {
        "board" => papers.board(&part.stock).map(|board| &board.material),
        _ => papers.sheet(&part.stock).map(|sheet| &sheet.material),
    };
    matches!(material, Some(Material::Named(name)) if !MASONRY.contains(&name.as_str()))
}

/// The heaviest layer, if the yard says of all what they weigh.
fn weight(fill: &Piece, papers: &Papers) -> i128 {
    let layers = fill.tables("layers").unwrap_or_default();
    let wet = layers.iter().filter_map(|layer| papers.bag(layer.named("bag").first()?)).map(|bag| bag.wet_density);
    let all: Option<Vec<i64>> = wet.collect();
    let heaviest = all.and_then(|all| all.into_iter().max()).map_or(WET, i128::from);
    heaviest * 980_665 / 100_000
}

/// From where to where it reaches in height.
fn up(part: &Part) -> [i128; 2] {
    if part.is_plain() {
        return [part.corner[2].into(), part.far()[2].into()];
    }
    let bounds = Solid::of(part).map(|solid| solid.bounds());
    bounds.map_or([part.corner[2].into(); 2], |bounds| bounds.map(|corner| (corner[2] * 1e6).round() as i128))
}

/// The posts in some walls that touch a tie of theirs.
fn tied<'r>(walls: &str, record: &'r Record, papers: &Papers) -> Vec<&'r Part> {
    let within = papers.pieces.iter().filter(|piece| piece.is == "posts" && piece.named("in") == [walls]);
    let names: Vec<&str> = within.map(|piece| piece.name.as_str()).collect();
    let own = |role: &'static str| {
        let names = &names;
        record
            .parts
            .iter()
            .filter(move |part| part.role == role && names.contains(&part.piece.as_str()) && part.is_plain())
    };
    own("post").filter(|post| own("tie").any(|tie| touch(post, tie))).collect()
}

fn touch(a: &Part, b: &Part) -> bool {
    (0..3).all(|axis| a.corner[axis] <= b.far()[axis] && b.corner[axis] <= a.far()[axis])
}

/// The widest stretch of a board that nothing holds.
fn span(board: &Part, walls: &[&Part], posts: &[&Part]) -> i128 {
    if !board.is_plain() || board.along == 2 || !walls.iter().all(|part| part.is_plain()) {
        return board.length.into();
    }
    let axis = board.along;
    let inner = [
        walls.iter().map(|part| part.corner[axis] + part.thickness).min().unwrap_or(i64::MIN),
        walls.iter().map(|part| part.far()[axis] - part.thickness).max().unwrap_or(i64::MAX),
    ];
    let (low, high) = (board.corner[axis].max(inner[0]), board.far()[axis].min(inner[1]));
    let (mut from, mut widest) = (low, 0);
    let held =
        posts.iter().filter(|post| touch(board, post)).map(|post| (post.corner[axis] + post.far()[axis]).div_euclid(2));
    let mut places: Vec<i64> = held.filter(|place| (low + 1..high).contains(place)).chain([high]).collect();
    places.sort_unstable();
    for place in places {
        widest = widest.max(place - from);
        from = place;
    }
    widest.into()
}

/// Expects every number of every wall that is pressed.
pub(crate) fn expect(record: &Record, papers: &Papers, book: &mut Book<'_, '_>) {
    for (name, pressed) in walls(record, papers) {
        if let Pressed::By(bent) = pressed {
            bent.expect(name, book);
        }
    }
}

impl Bent<'_> {
    fn expect(&self, name: &str, book: &mut Book<'_, '_>) {
        let called = |what: &str| format!("{name}.{what}");
        let slack = if self.board.is_plain() { 0 } else { LEANING };
        let mut press = |what: &str, people: i128| {
            let inputs = [AT_REST, self.weight, self.depth, people, self.water];
            let found = book.expect_within(&called(what), "earth-pressure", "Pa", &inputs, &[0, 0, slack, 0, 0]);
            found.map_or(0, |quantity| quantity.value.into())
        };
        let (soil, people) = (press("pressure", 0), press("pressure-people", PEOPLE));
        let thickness = i128::from(self.board.thickness);
        book.expect_wood(&called("bulge"), "strip-bend", &[soil, self.span, thickness], &[&STIFF, &(1000..=4000)]);
        book.expect(&called("bulge-limit"), "most-bend", "nm", vec![self.span, BULGE]);
        for (what, pressure, factors) in [("bending", soil, FOR_GOOD), ("bending-people", people, A_PERSON)] {
            book.expect(&called(what), "strip-stress", "Pa", vec![pressure, self.span, thickness]);
            bears(&called(&format!("{what}-limit")), thickness, factors, book);
        }
    }
}

/// Whether a table has such a strength: in tenths of a newton on a square millimetre, or in steps of 25 pounds on a square inch.
fn is_tabled(rule: &str, strength: i128) -> bool {
    match rule {
        // A pound on a square inch is 6894.757 Pa, and what is left of a pascal is dropped.
        "bears-nds" => (0..200).any(|steps| steps * 25 * 6_894_757 / 1000 == strength),
        _ => strength % 100_000 == 0,
    }
}

/// What a wood bears: the strength and its partial factor are claimed, all else is known.
pub(crate) fn bears(name: &str, depth: i128, [kmod, load, duration]: [i128; 3], book: &mut Book<'_, '_>) {
    let Some((rule, claimed)) = book.claimed(name) else {
        book.expect(name, "bears-ec5", "Pa", Vec::new());
        return;
    };
    let first = claimed.first().copied().unwrap_or(0);
    book.hold(BEARING.contains(&first) && is_tabled(rule, first), || format!("`{name}`: no wood bears {first} Pa"));
    if rule == "bears-nds" {
        book.expect(name, "bears-nds", "Pa", vec![first, duration, WET_BENDING]);
        return;
    }
    // Solid timber by 1.3, plywood by 1.2 and never by its size.
    let gamma = claimed.get(3).copied().unwrap_or(0);
    let size = match gamma {
        1200 => 1000,
        _ => formulas::formula("size-factor", &[depth]).unwrap_or(1000),
    };
    book.hold([1200, 1300].contains(&gamma), || format!("`{name}`: no partial factor of wood is {gamma}"));
    book.expect(name, "bears-ec5", "Pa", vec![first, size, kmod, gamma, load]);
}
