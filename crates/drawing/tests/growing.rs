//! How large drawings grow with the parts; how long they take is measured by `benchmarks -- exploded`.

mod common;

use common::angled::around_a_tree;
use drawing::{Paper, exploded, front, section};
use measure::{Tape, Unit};

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
