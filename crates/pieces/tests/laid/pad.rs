//! Pads of whole units.

use crate::workshop::{built, holds, lengths, mm, parts, places, quantity, told};
use measure::Length;

const YARD: &str = "[board.wall]\nthickness = 32\nwidth = 140\nlengths = [{ length = 3600 }]\n\
    [unit.paver]\nlength = 200\nwidth = 100\nthickness = 50\n\
    [unit.slab]\nlength = \"16 in\"\nwidth = \"8 in\"\nthickness = \"2 in\"\n";

fn planter(keys: &str) -> String {
    format!(
        "[piece.left]\nis = \"walls\"\nheight = {{ exactly = 420 }}\nboard = \"wall\"\ncorners = \"pinwheel\"\n{keys}\n"
    )
}

const OPEN: &str = "length = { want = 500, from = 450, to = 550 }\nwidth = { want = 500, from = 450, to = 550 }";

fn pad(under: &str, keys: &str) -> String {
    format!("[piece.pad]\nis = \"pad\"\nunder = [{under}]\nunit = \"paver\"\n{keys}\n")
}

const JOINT: &str = "joint = { exactly = 3 }\nshowing = { want = 70, from = 60, to = 80 }";

/// Two planters as deep as long, 2500 over both wished and 500 deep: 13 × 6 pavers with joints of 3 are 2636 × 615, so that 69
/// shows round 2498 × 477 where the depth is wished at 477. Worked outside this project.
#[test]
fn paving_under_two_planters() {
    let square = "length = { exactly = 477 }\nwidth = { exactly = 477 }";
    let right = "[piece.right]\nis = \"walls\"\nlike = \"left\"\nbeside = \"left\"\noverall = { want = 2500, from = 2400, to = 2600 }\nboard = \"wall\"\ncorners = \"pinwheel\"\n";
    let build = built(&(planter(square) + right + &pad("\"left\", \"right\"", JOINT)), YARD);
    assert_eq!(parts(&build, "pad", "unit").len(), 78);
    assert_eq!(quantity(&build, "pad.units"), 78);
    assert_eq!(quantity(&build, "pad.length"), 2_636_000_000);
    assert_eq!(quantity(&build, "pad.width"), 615_000_000);
    assert_eq!(quantity(&build, "pad.showing"), 69_000_000);
    assert_eq!(quantity(&build, "right.overall"), 2_498_000_000);
    assert_eq!((quantity(&build, "pad.front.gap"), quantity(&build, "pad.right.gap")), (3_000_000, 3_000_000));
    assert_eq!(lengths(&build, "pad", "unit"), vec![Length::mm(200); 78]);
    let pad = parts(&build, "pad", "unit");
    assert_eq!(pad[0].at.corner, [-69, -69, -50].map(Length::mm));
    assert_eq!(pad[77].far_corner(), [2567, 546, 0].map(Length::mm));
    assert_eq!((pad[77].key.course, pad[77].key.index), (5, 12));
}

/// Where the sizes are free they go where both rows close with one showing: all of it whole.
#[test]
fn the_sizes_give_way_to_whole_units() {
    let build = built(&(planter(OPEN) + &pad("\"left\"", JOINT)), YARD);
    let [long, wide, showing] =
        ["left.length", "left.width", "pad.showing"].map(|name| quantity(&build, name) / 1_000_000);
    // n · 200 + (n - 1) · 3 and n · 100 + (n - 1) · 3.
    assert_eq!([(long + 2 * showing + 3) % 203, (wide + 2 * showing + 3) % 103], [0, 0]);
    assert!((60..=80).contains(&showing));
}

#[test]
fn units_lie_across_too() {
    // Three by two of 100 × 200 without joints round 300 - 2 × 20, by hand.
    let keys = "length = { exactly = 260 }\nwidth = { exactly = 360 }";
    let build = built(
        &(planter(keys) + &pad("\"left\"", "laid = \"across\"\njoint = { exactly = 0 }\nshowing = { exactly = 20 }")),
        YARD,
    );
    assert_eq!(places(&build, "pad", "unit", 0), mm([-20, 80, 180, -20, 80, 180]));
    assert_eq!(places(&build, "pad", "unit", 1), mm([-20, -20, -20, 180, 180, 180]));
}

#[test]
fn a_pad_in_inches() {
    // Two by three slabs of 16 × 8 in with joints of 1/4 are 32-1/4 × 24-1/2 in; 2 in show: 28-1/4 × 20-1/2 in, by hand.
    let keys = "length = { exactly = \"28-1/4 in\" }\nwidth = { exactly = \"20-1/2 in\" }";
    let under =
        pad("\"left\"", "joint = { exactly = \"1/4 in\" }\nshowing = { exactly = \"2 in\" }").replace("paver", "slab");
    let build = built(&(planter(keys) + &under), YARD);
    assert_eq!(quantity(&build, "pad.units"), 6);
    assert_eq!(quantity(&build, "pad.length"), 819_150_000);
}

#[test]
fn what_is_no_pad_is_told() {
    let fixed = planter("length = { exactly = 500 }\nwidth = { exactly = 500 }");
    let whole = "joint = { exactly = 3 }\nshowing = { exactly = 70 }";
    holds(&told(&(fixed.clone() + &pad("\"left\"", whole)), YARD), "pad.front");
    assert_eq!(told(&(fixed.clone() + &pad("", JOINT)), YARD), "`under` is an empty list");
    holds(&told(&(fixed.clone() + &pad("\"lift\"", JOINT)), YARD), "no piece called `lift`");
    let ring = "[piece.ring]\nis = \"edging\"\naround = \"left\"\nunit = \"paver\"\njoint = 3\n";
    let both = told(&(planter(OPEN) + ring + &pad("\"left\"", JOINT)), YARD);
    assert_eq!(both, "`pad` and `ring` both lie in the ground round `left`, so they would overlap");
    let sunk = told(&(planter(OPEN) + ring + &pad("\"ring\"", JOINT)), YARD);
    assert_eq!(sunk, "`ring` reaches into the ground");
    let hexagon = planter("outline = \"hexagon\"\nlength = 400").replace("pinwheel", "mitred");
    holds(&told(&(hexagon + &pad("\"left\"", JOINT)), YARD), "`left` is no rectangle that stands plumb");
    let right = "[piece.right]\nis = \"walls\"\nlike = \"left\"\nbeside = \"left\"\napart = 200\nboard = \"wall\"\n";
    let swapped = told(&(fixed + right + &pad("\"right\", \"left\"", JOINT)), YARD);
    assert_eq!(swapped, "`left` does not stand to the right of `right`");
    // As many units as nobody lays: 141 of 200 in a row.
    let vast = planter("length = 20000\nwidth = 15000").replace("wall\"", "wall\"\n");
    let posts = |foot: u32| {
        let posts = format!("[piece.feet]\nis = \"posts\"\nin = \"left\"\nboard = \"wall\"\nfoot = {foot}\n");
        planter(&format!("{OPEN}\noff-ground = 30")) + &posts + &pad("\"left\"", JOINT)
    };
    assert_eq!(told(&posts(50), YARD), "the feet of `feet` would stand 20 mm deep in `pad`");
    assert!(!parts(&built(&posts(30), YARD), "feet", "post").is_empty(), "feet that end on the pad stand");
    let vast = told(&(vast + &pad("\"left\"", JOINT)), YARD);
    assert!(
        vast.contains("so that a row has no more than 141 units, must be at most 14100 mm")
            || vast.contains("longest stock"),
        "{vast}"
    );
}

/// Two fields of 141 × 141 cubes are 39 762 parts, and with their planters of twelve boards 39 786: no plan has so many.
#[test]
fn a_plan_of_too_many_parts_is_told() {
    let square = "length = { exactly = 2700 }\nwidth = { exactly = 2700 }";
    let field = pad("\"left\"", "joint = { exactly = 0 }\nshowing = { exactly = 60 }").replace("paver", "cube");
    let one = |name: &str| (planter(square) + &field).replace("left", name).replace(".pad]", &format!(".pad-{name}]"));
    let yard = YARD.to_owned() + "[unit.cube]\nlength = 20\nwidth = 20\nthickness = 20\n";
    let told = told(&(one("a") + &one("b")), &yard);
    assert_eq!(told, "with this piece the plan has 39786 parts, and no more than 25000 are laid out");
}
