//! Loads that push the wood towards an end or an edge: screws keep further off it.

mod common;

use common::{build, fixing, judge, mm, part, plan};
use joints::join;
use measure::{Length, Unit};
use model::build::Load;
use model::joint::NoScrew;
use model::part::Part;

/// A bearer of 45 × 95 from 300 up before a leg of 70.
fn bearer() -> Part {
    part("a", "held", "front", (0, 0), [[0.0, 1000.0], [-45.0, 0.0], [300.0, 395.0]])
}

fn leg(up: [f64; 2]) -> Part {
    part("b", "base", "front", (0, 0), [[200.0, 270.0], [0.0, 90.0], up])
}

/// How high the screws stand, or why there are none.
fn heights(diameter: f64, load: Load, parts: Vec<Part>) -> Result<Vec<Length>, NoScrew> {
    let mut fixing = fixing(("a", "held"), ("b", "base"));
    fixing.load = load;
    let build = build(parts, vec![fixing]);
    let joined = join(&build, &plan(diameter, &[80.0, 100.0, 120.0], None, Unit::Millimetre));
    judge(&build, &joined.joints.made, diameter, None);
    match joined.joints.made.first() {
        Some(joint) => Ok(joint.heads.iter().map(|head| head[2]).collect()),
        None => Err(joined.joints.unmade[0].why),
    }
}

fn at(heights: [f64; 2]) -> Result<Vec<Length>, NoScrew> {
    Ok(heights.map(mm).into())
}

/// LVL Handbook 2025 Table 5.1, pre-drilled: a4,t at 90° is 7 d from 5 mm on and 5 d below; a4,c is 3 d. The quarter points of
/// 95 are 23.75 and 71.25: a bearer that is borne keeps 35 from its upper edge, one that bears 35 from its lower edge.
#[test]
fn a_loaded_edge_is_kept_off_further() {
    let whole = || vec![bearer(), leg([0.0, 900.0])];
    assert_eq!(heights(5.0, Load::Outwards, whole()), at([324.0, 371.0]));
    assert_eq!(heights(5.0, Load::Down, whole()), at([324.0, 360.0]));
    assert_eq!(heights(5.0, Load::DownOnBase, whole()), at([335.0, 371.0]));
    // 5 × 4.5 = 22.5 leaves 72.5.
    assert_eq!(heights(4.5, Load::Down, whole()), at([324.0, 371.0]));
}

/// a3,t at 0° is 12 d, a3,c 7 d: a leg that bears is pushed towards its foot, one that is borne towards its head.
#[test]
fn a_loaded_end_is_kept_off_further() {
    // The foot at 290: 325 with 7 d, 350 with 12 d. 350 and 360 are too near one another: one, in the middle of the bearer.
    let cut = || vec![bearer(), leg([290.0, 900.0])];
    assert_eq!(heights(5.0, Load::Outwards, cut()), at([325.0, 371.0]));
    assert_eq!(heights(5.0, Load::Down, cut()), Ok(vec![mm(350.0)]));
    let low = || vec![bearer(), leg([0.0, 430.0])];
    assert_eq!(heights(5.0, Load::Outwards, low()), at([324.0, 371.0]));
    assert_eq!(heights(5.0, Load::DownOnBase, low()), at([335.0, 370.0]));
    // A foot at 310 leaves nothing: 370 with 12 d, and 360 below the loaded edge.
    assert_eq!(heights(5.0, Load::Down, vec![bearer(), leg([310.0, 900.0])]), Err(NoScrew::NoRoom));
}

/// What lies on top presses, and no screw pushes the wood sideways: all loads are alike.
#[test]
fn a_load_along_the_screws_changes_nothing() {
    let on_top = || {
        let slat = part("a", "held", "front", (0, 0), [[0.0, 1000.0], [0.0, 95.0], [400.0, 428.0]]);
        vec![slat, part("b", "base", "front", (0, 0), [[100.0, 145.0], [-20.0, 400.0], [300.0, 400.0]])]
    };
    let plain = heights(5.0, Load::Outwards, on_top());
    assert!(plain.as_ref().is_ok_and(|heads| heads.len() == 2));
    assert_eq!(heights(5.0, Load::Down, on_top()), plain);
    assert_eq!(heights(5.0, Load::DownOnBase, on_top()), plain);
}

/// The numbers are told where they count: 12 × 5, and 7 × 5 or 5 × 4.5.
#[test]
fn loaded_distances_have_their_why() {
    for (diameter, edge) in [(5.0, 35.0), (4.5, 22.5)] {
        for (load, told) in [(Load::Down, true), (Load::Outwards, false)] {
            let mut fixing = fixing(("a", "held"), ("b", "base"));
            fixing.load = load;
            let build = build(vec![bearer(), leg([0.0, 900.0])], vec![fixing]);
            let joined = join(&build, &plan(diameter, &[120.0], None, Unit::Millimetre));
            let value = |name: &str| {
                let found = joined.quantities.iter().find(|quantity| quantity.name == format!("screw.csk.{name}"));
                found.map(|quantity| quantity.value.value)
            };
            let wanted = |far: f64| told.then(|| mm(far).nanometres().into());
            assert_eq!(value("from-loaded-end"), wanted(12.0 * diameter));
            assert_eq!(value("from-loaded-edge"), wanted(edge));
        }
    }
}
