//! The corner law against the tables of the trade.

use super::*;

fn mm(value: i64) -> Length {
    Length::mm(value)
}

fn layer(near: i64, far: i64) -> Layer {
    Layer::new(mm(near), mm(far)).expect("a strip has depth")
}

/// The allowance of a row end: how much longer or shorter the row gets than the side, and how many joints it loses.
fn allowance(turn: Turn, own: Layer, neighbour: Option<Layer>, owner: Owner) -> (i64, f64) {
    let end = row_end(turn, neighbour, owner).expect("a right angle");
    let reach = end.reach(turn, own, own.near());
    (reach.fixed.nanometres() / 1_000_000, reach.joints)
}

/// `Any outline`, rows w deep outside it: own an outside corner +w, not own it -j; own an inside corner 0, not own it
/// -w - j (*common practice*, paving).
#[test]
fn rows_round_any_outline() {
    let ring = layer(0, 100);
    assert_eq!(allowance(Turn::Outside, ring, Some(ring), Owner::Own), (100, 0.0));
    assert_eq!(allowance(Turn::Outside, ring, Some(ring), Owner::Neighbour), (0, 1.0));
    assert_eq!(allowance(Turn::Inside, ring, Some(ring), Owner::Own), (0, 0.0));
    assert_eq!(allowance(Turn::Inside, ring, Some(ring), Owner::Neighbour), (-100, 1.0));
}

/// A joint at 120 degrees inside angle takes 11.55 of the row for 10 square to the line: 10 / sin 60°.
#[test]
fn a_joint_at_120_degrees() {
    let turn = Turn::by(measure::Angle::degrees(60.0).expect("an angle")).expect("a turn");
    let end = row_end(turn, Some(layer(0, 100)), Owner::Neighbour).expect("not in line");
    let reach = end.reach(turn, layer(0, 100), Length::ZERO);
    assert!((reach.joints * 10.0 - 11.547).abs() < 0.001, "{reach:?}");
}

#[test]
fn nearly_in_line_only_a_mitre() {
    let turn = Turn::by(measure::Angle::degrees(29.0).expect("an angle")).expect("a turn");
    assert_eq!(row_end(turn, Some(layer(0, 100)), Owner::Own), Err(OnlyMitre));
    assert!(row_end(turn, Some(layer(0, 100)), Owner::Mitre).is_ok());
}
