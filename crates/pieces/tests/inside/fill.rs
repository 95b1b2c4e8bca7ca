//! Fills: what is left of the inside, what is ordered, what it weighs.

use crate::workshop::{build, built, near, needs, notes, told, value};
use measure::Volume;
use model::build::Needed;

/// A trough 1470 × 480 inside and 451 high with eight posts of 47, and a fill.
fn trough(fill: &str) -> String {
    format!(
        "[piece.trough]\nis = \"walls\"\nlength = {{ exactly = 1510 }}\nwidth = {{ exactly = 520 }}\nheight = {{ exactly = 451 }}\nboard = \"larch-145\"\ngap = 8\n\
         [piece.posts]\nis = \"posts\"\nin = \"trough\"\nboard = \"post-47\"\nspacing = 600\nbelow-top = 3\n\
         [piece.soil]\nis = \"fill\"\nin = \"trough\"\n{fill}"
    )
}

const SOIL: &str = "layers = [{ what = \"soil\", bag = \"soil-50\", rest = true, settles = \"15 %\" }]\n";

fn litres(cubic_millimetres: i128) -> f64 {
    cubic_millimetres as f64 / 1e6
}

/// 380 deep round eight posts of 47: 1470 × 480 × 380 less those are 261.4 L, 307.5 to order if it settles by 15 %, seven bags of
/// 50, 392 kg wet; worked outside this project.
#[test]
fn soil_round_eight_posts() {
    let build = built(&trough(&format!("below-top = 71\n{SOIL}")));
    assert_eq!(value(&build, "soil.layer-1.room"), 268_128_000);
    assert_eq!(value(&build, "soil.layer-1.volume"), 261_412_640);
    near(litres(value(&build, "soil.layer-1.order")), 307.5, 0.05);
    near(value(&build, "soil.layer-1.wet") as f64 / 1e6, 392.1, 0.05);
    let needs = needs(&build, "soil");
    let [(what, Needed::Filled { volume, .. })] = needs.as_slice() else { panic!("{needs:?}") };
    assert_eq!(what, "soil");
    assert_eq!(*volume, Volume::from_cubic_nanometres(307_544_283 * 10_i128.pow(18)));
    assert_eq!(volume.cubic_nanometres().div_euclid(Volume::litres(50).cubic_nanometres()) + 1, 7);
    assert!(notes(&build, "soil").contains("Soil settles by 15 %"));
    let step = build.steps.last().expect("a step");
    assert_eq!((step.piece.as_str(), step.parts.len()), ("soil", 0));
    assert!(step.what.starts_with("Fill 380 mm of soil into trough"));
}

/// Two planters of 413 × 413 inside, each with four posts of 70 on a floor 52 up, soil up to 40 below a rim at 440: 105.1 L in both,
/// 123.6 to order, 158 kg wet; worked outside this project. Each is half of that.
#[test]
fn soil_on_a_floor() {
    let build = built(&format!(
        "[piece.box]\nis = \"walls\"\nlength = {{ exactly = 477 }}\nwidth = {{ exactly = 477 }}\nheight = {{ exactly = 420 }}\noff-ground = 20\n\
         board = \"pine-140\"\ncorners = \"pinwheel\"\n[piece.floor]\nis = \"floor\"\nin = \"box\"\nboard = \"pine-90\"\n\
         gap = {{ want = 10, from = 5, to = 15 }}\n[piece.soil]\nis = \"fill\"\nin = \"box\"\non = \"floor\"\n{SOIL}\
         [piece.posts]\nis = \"posts\"\nin = \"box\"\nboard = \"post-70\"\nfrom = \"floor\"\n"
    ));
    near(litres(2 * value(&build, "soil.layer-1.volume")), 105.1, 0.05);
    near(litres(2 * value(&build, "soil.layer-1.order")), 123.6, 0.05);
    near(2.0 * value(&build, "soil.layer-1.wet") as f64 / 1e6, 158.0, 0.5);
    // 413² × 348 and four times 70² × 348, by hand.
    assert_eq!(value(&build, "soil.layer-1.room"), 59_358_012);
    assert_eq!(value(&build, "soil.layer-1.volume"), 59_358_012 - 6_820_800);
}

/// A bed 1160 × 760 inside and 292 high, gravel 50 deep, soil up to 250; on the soil at 200 a tier that keeps 150 off, 145 high.
fn tiered(off_ground: u32) -> String {
    format!(
        "[piece.bed]\nis = \"walls\"\nlength = {{ exactly = 1200 }}\nwidth = {{ exactly = 800 }}\nheight = {{ exactly = 292 }}\nboard = \"larch-145\"\ngap = 2\n\
         [piece.tier]\nis = \"walls\"\nin = \"bed\"\nsetback = {{ exactly = 150 }}\nheight = {{ exactly = 145 }}\nboard = \"larch-145\"\ngap = 0\noff-ground = {off_ground}\n\
         [piece.soil]\nis = \"fill\"\nin = \"bed\"\nbelow-top = 42\n\
         layers = [{{ what = \"gravel\", bag = \"gravel\", depth = 50 }}, {{ what = \"soil\", bag = \"soil-50\", rest = true }}]\n\
         [piece.top]\nis = \"fill\"\nin = \"tier\"\nbelow-top = 25\nlayers = [{{ what = \"soil\", bag = \"soil-50\", rest = true }}]\n"
    )
}

/// By hand: the tier is 860 × 460 outside, 820 × 420 inside. Of the soil, 1160 × 760 × 200, its boards take (395 600 − 344 400) × 50
/// and its inside 344 400 × 50; the gravel below it is whole; in the tier lie 344 400 × 120.
#[test]
fn a_tier_on_soil_has_its_inside_for_itself() {
    let build = built(&tiered(200));
    assert_eq!(value(&build, "soil.layer-1.volume"), 1160 * 760 * 50);
    assert_eq!(value(&build, "soil.layer-2.room"), 176_320_000);
    assert_eq!(value(&build, "soil.layer-2.volume"), 176_320_000 - 2_560_000 - 17_220_000);
    assert_eq!(value(&build, "top.layer-1.volume"), 344_400 * 120);
    let steps = build.steps.iter().filter(|step| step.piece == "soil");
    let told: Vec<&str> = steps.map(|step| step.what.split(" into").next().unwrap_or_default()).collect();
    assert_eq!(told, ["Fill 50 mm of gravel", "Fill 150 mm of soil", "Fill 50 mm more of soil"]);
}

/// By hand: a tier that stands as low as the bed takes its outside, 395 600, of gravel and soil alike, up to its top at 145.
#[test]
fn a_tier_on_the_ground_takes_its_outside() {
    let build = built(&tiered(0));
    assert_eq!(value(&build, "soil.layer-1.volume"), (1160 * 760 - 395_600) * 50);
    assert_eq!(value(&build, "soil.layer-2.volume"), 176_320_000 - 395_600 * 95);
    assert_eq!(value(&build, "top.layer-1.volume"), 344_400 * 120);
    assert_eq!(build.steps.iter().filter(|step| step.piece == "soil").count(), 2);
}

/// A layer of gravel 50 deep under soil: the layers lie one on the other, and together they are the whole.
#[test]
fn layers_from_below() {
    let layers = "layers = [{ what = \"gravel\", bag = \"gravel\", depth = 50, drains = true }, { what = \"soil\", bag = \"soil-50\", rest = true, settles = 10 }]\n";
    let build = built(&trough(&format!("below-top = 71\n{layers}")));
    // 1470 × 480 × 50 less eight times 47² × 50, by hand.
    assert_eq!(value(&build, "soil.layer-1.volume"), 35_280_000 - 883_600);
    assert_eq!(value(&build, "soil.layer-1.order"), value(&build, "soil.layer-1.volume"), "gravel does not settle");
    let whole = value(&build, "soil.layer-1.volume") + value(&build, "soil.layer-2.volume");
    assert_eq!(whole, 261_412_640);
    assert!(
        build.quantities.iter().all(|quantity| quantity.name != "soil.layer-1.wet"),
        "nobody says what gravel weighs"
    );
    assert!(notes(&build, "soil").contains("raises the wet zone"));
    assert!(notes(&build, "soil").contains("common practice"));
    assert_eq!(needs(&build, "soil").len(), 2);
}

/// Ties and rails that reach into the fill take room from it too: two ties of 386 × 45 × 20 and rails of 45 × 20, by hand.
#[test]
fn whatever_stands_in_it_takes_room() {
    let text =
        trough(&format!("below-top = 0\n{SOIL}")).replace("below-top = 3\n", "rail = \"rail-45\"\ntie = \"rail-45\"\n");
    let build = built(&text);
    let posts = 8 * 47 * 47 * 451;
    let rails = 45.0 * 20.0 * (6.0 * 427.333_333 + 2.0 * 386.0);
    let ties = 2 * 386 * 45 * 20;
    let expected = f64::from(1470 * 480 * 451 - posts - ties) - rails;
    near(value(&build, "soil.layer-1.volume") as f64, expected, 1.0);
}

/// An L inside 2400 × 600 and 700 × 1200 more, 300 deep, without anything in it: by hand.
#[test]
fn an_ell() {
    let text = "[piece.bed]\nis = \"walls\"\noutline = \"L\"\nlength = { exactly = 2440 }\nwidth = { exactly = 1840 }\nfront-arm = { exactly = 640 }\n\
                left-arm = { exactly = 740 }\nheight = { exactly = 435 }\nboard = \"larch-145\"\n[piece.soil]\nis = \"fill\"\nin = \"bed\"\nbelow-top = 135\n";
    let build = built(&format!("{text}{SOIL}"));
    let area = 2_400 * 600 + 700 * 1_200;
    assert_eq!(value(&build, "soil.layer-1.volume"), area * 300);
    let posts = format!("{text}{SOIL}[piece.posts]\nis = \"posts\"\nin = \"bed\"\nboard = \"post-47\"\n");
    assert_eq!(value(&built(&posts), "soil.layer-1.volume"), (area - 7 * 47 * 47) * 300);
}

/// A hexagon with sides of 900 outside, walls of 50, so 900 - 2 · 50 / tan 60° = 842.3 inside: area 3√3/2 · s² (Euclid's hexagon of six
/// equal triangles); six planed posts of 70 · 70 - 70² / tan 60° / 2 take from it.
#[test]
fn a_hexagon_with_planed_posts() {
    let text = format!(
        "[piece.bed]\nis = \"walls\"\noutline = \"hexagon\"\nlength = {{ exactly = 900 }}\nheight = {{ exactly = 400 }}\nboard = \"sleeper\"\ncorners = \"mitred\"\n\
         [piece.posts]\nis = \"posts\"\nin = \"bed\"\nboard = \"post-70\"\nbelow-top = 150\n[piece.soil]\nis = \"fill\"\nin = \"bed\"\nbelow-top = 100\n{SOIL}"
    );
    let build = built(&text);
    let (sixty, side) = (std::f64::consts::PI / 3.0, 900.0 - 2.0 * 50.0 / 3.0_f64.sqrt());
    let area = 1.5 * 3.0_f64.sqrt() * side * side;
    near(value(&build, "soil.layer-1.room") as f64, area * 300.0, 10.0);
    let posts = 6.0 * (70.0 * 70.0 - 70.0 * 70.0 / libm::tan(sixty) / 2.0) * 250.0;
    near(value(&build, "soil.layer-1.volume") as f64, area * 300.0 - posts, 20.0);
}

/// Between walls that lean: a cut pyramid, by its closed form h/3 (A + B + √(A B)). Walls of 50 on a slope of 400 with a batter of 80 are
/// √(400² - 80²) high and 50 · 400 / that thick, measured level.
#[test]
fn between_walls_that_lean() {
    for batter in [80.0_f64, -80.0] {
        let build = built(&format!(
            "[piece.tub]\nis = \"walls\"\nlength = {{ exactly = 700 }}\nheight = {{ exactly = 400 }}\nboard = \"sleeper\"\ncorners = \"mitred\"\nbatter = {batter}\n\
             [piece.soil]\nis = \"fill\"\nin = \"tub\"\nbelow-top = 50\n{SOIL}"
        ));
        let high = (400.0_f64 * 400.0 - 80.0 * 80.0).sqrt();
        let level = 50.0 * 400.0 / high;
        let foot = if batter < 0.0 { 50.0 * 80.0 / 400.0 } else { 0.0 };
        let side = |z: f64| 700.0 - 2.0 * (batter * (1.0 - (z - foot) / high) + level);
        let (a, b) = (side(0.0).powi(2), side(high - 50.0).powi(2));
        let expected = (high - 50.0) / 3.0 * (a + b + (a * b).sqrt());
        near(value(&build, "soil.layer-1.volume") as f64, expected, 400.0);
    }
}

/// On a floor with a fall the fill begins at the middle of its upper face: 413² × (420 - 40 - 18 - 4), by hand, to what the lean
/// of the panel makes of its thickness.
#[test]
fn soil_on_a_floor_with_a_fall() {
    let build = built(&format!(
        "[piece.box]\nis = \"walls\"\nlength = {{ exactly = 477 }}\nwidth = {{ exactly = 477 }}\nheight = {{ exactly = 420 }}\nboard = \"pine-140\"\n\
         [piece.floor]\nis = \"floor\"\nin = \"box\"\nsheet = \"ply\"\nplay = 2\nfall = 8\n[piece.soil]\nis = \"fill\"\nin = \"box\"\non = \"floor\"\n{SOIL}"
    ));
    assert_eq!(value(&build, "soil.layer-1.volume"), 413 * 413 * (420 - 40 - 18 - 4));
}

#[test]
fn what_no_fill_can_be_is_told() {
    let layers = |layers: &str| format!("layers = [{layers}]\n");
    let cases = [
        (
            layers("{ what = \"soil\", bag = \"soil-50\", depth = 100 }"),
            "one layer of `soil`, and only one, takes the rest",
        ),
        (
            layers(
                "{ what = \"a\", bag = \"soil-50\", rest = true }, { what = \"b\", bag = \"soil-50\", rest = true }",
            ),
            "one layer of `soil`, and only one, takes the rest",
        ),
        (layers("{ what = \"a\", bag = \"soil-50\" }"), "nothing says how deep the layer `a` of `soil` is"),
        (
            layers("{ what = \"a\", bag = \"soil-50\", rest = true, depth = 10 }"),
            "the layer `a` of `soil` has a depth and takes the rest",
        ),
        (
            layers("{ what = \"a\", bag = \"soil\", rest = true }"),
            "no bag called `soil` in the yard: it has `soil-50` and `gravel`",
        ),
        (layers("{ what = \"a\", bag = \"soil-50\", rest = true, settels = 15 }"), "unknown key `settels`"),
        (
            layers("{ what = \"a\", bag = \"soil-50\", rest = true, settles = \"75 %\" }"),
            "`settles` is too large: `75 %`",
        ),
        (format!("on = \"posts\"\n{SOIL}"), "`posts` is no floor"),
        (format!("below-top = 2001\n{SOIL}"), "`below-top` is too large: 2001 mm"),
    ];
    for (keys, message) in cases {
        assert_eq!(told(&trough(&keys)), message, "{keys}");
    }
    let twice = trough(SOIL) + &format!("[piece.more]\nis = \"fill\"\nin = \"trough\"\n{SOIL}");
    assert_eq!(told(&twice), "`more` and `soil` would overlap in `trough`");
    let deep = "layers = [{ what = \"a\", bag = \"soil-50\", depth = 400 }, { what = \"b\", bag = \"soil-50\", rest = true }]\n";
    let deep = build(&trough(deep)).expect_err("nothing is left for the rest");
    assert!(deep.join("\n").contains("what is left for the rest of soil must be at least 50 mm"), "{deep:?}");
}

#[test]
fn a_fill_in_inches() {
    let build = built(&format!(
        "units = \"in\"\n[piece.box]\nis = \"walls\"\nlength = {{ exactly = 40 }}\nwidth = {{ exactly = 20 }}\nheight = {{ exactly = \"435 mm\" }}\nboard = \"larch-145\"\n\
         [piece.soil]\nis = \"fill\"\nin = \"box\"\nbelow-top = 2\n{SOIL}"
    ));
    // 1016 - 40, 508 - 40 and 435 - 50.8 mm: 976 × 468 × 384.2 = 175 490 265.6, to the nearest.
    assert_eq!(value(&build, "soil.layer-1.volume"), 175_490_266);
}

/// Posts of all sections, rails and sizes, in rectangles and in an L: nothing overlaps (`built` holds that), no bay is wider than the
/// spacing, and the fill is the room less the volumes of the parts themselves, each by its own three sizes.
#[test]
fn the_room_less_the_parts_by_another_route() {
    let outlines = [
        "width = { exactly = 640 }\n",
        "outline = \"L\"\nwidth = { exactly = 1500 }\nfront-arm = { exactly = 600 }\nleft-arm = { exactly = 640 }\n",
    ];
    for (outline, board, length, spacing) in outlines.iter().flat_map(|outline| {
        let boards = ["post-47", "post-70", "flat-post"].into_iter();
        boards.flat_map(move |board| {
            [(1_511, 400), (1_999, 733), (2_400, 1_500)].map(|(length, spacing)| (outline, board, length, spacing))
        })
    }) {
        let build = built(&format!(
            "[piece.bed]\nis = \"walls\"\n{outline}length = {{ exactly = {length} }}\nheight = {{ exactly = 435 }}\nboard = \"larch-145\"\n\
             [piece.posts]\nis = \"posts\"\nin = \"bed\"\nboard = \"{board}\"\nspacing = {spacing}\nrail = \"rail-45\"\n\
             [piece.soil]\nis = \"fill\"\nin = \"bed\"\nbelow-top = 0\n{SOIL}"
        ));
        let parts = build.parts.iter().filter(|part| part.key.piece == "posts");
        let wood: f64 = parts.map(|part| part.solid.volume().expect("small").cubic_nanometres() as f64 / 1e18).sum();
        let left = value(&build, "soil.layer-1.room") as f64 - wood;
        near(value(&build, "soil.layer-1.volume") as f64, left, 1.0);
        let pitches = build.quantities.iter().filter(|quantity| quantity.name.ends_with(".pitch"));
        let widest = pitches.map(|pitch| pitch.value.value).max().expect("a pitch");
        assert!(widest <= spacing * 1_000_000, "{widest}");
    }
}
