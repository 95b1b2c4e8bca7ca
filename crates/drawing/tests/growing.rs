//! How long and how large: the exploded view of some five hundred parts, and the other drawings of many.

mod common;

use common::angled::around_a_tree;
use common::path;
use drawing::{Paper, exploded, front, section};
use measure::{Tape, Unit};

/// A dozen sides of forty courses and a cap: 492 parts. A hundred drawings; the time that the test harness tells, over a
/// hundred, is the time of one. Run with
/// `cargo test --release -p drawing --test growing -- --ignored five_hundred`.
#[test]
#[ignore = "a measurement: run it alone, in release"]
fn five_hundred_parts_taken_apart_a_hundred_times() {
    let build = around_a_tree(12, 40);
    assert_eq!(build.parts.len(), 492);
    for _ in 0..100 {
        assert!(exploded(&build, Paper::Page).body.len() > 1000);
    }
}

/// The same of five hundred boxes.
#[test]
#[ignore = "a measurement: run it alone, in release"]
fn five_hundred_boxes_taken_apart_a_hundred_times() {
    let build = path(25, 20);
    for _ in 0..100 {
        assert!(exploded(&build, Paper::Page).body.len() > 1000);
    }
}

/// Four times the parts take little more than four times the bytes.
#[test]
fn bytes_grow_no_faster_than_parts() {
    let tape = Tape::usual(Unit::Millimetre);
    for draw in [
        |build: &_, _| exploded(build, Paper::Page),
        |build: &_, tape| front(build, tape, Paper::Page),
        |build: &_, tape| section(build, None, tape, Paper::Page),
    ] {
        let few = draw(&around_a_tree(12, 10), tape).body.len();
        let many = draw(&around_a_tree(12, 40), tape).body.len();
        assert!(many < 5 * few + 2000, "{few} {many}");
    }
}
