//! Pieces that stand together: each group has its own views, so that what stands far off does not make them small.

use crate::exploded::exploded_of;
use crate::paper::Paper;
use crate::section::section_of;
use crate::svg::Svg;
use crate::view::{Look, view};
use measure::{Length, Tape};
use model::build::Build;
use model::outline::Point;
use std::collections::BTreeMap;

/// Pieces with more than this between them, along the front or from front to back, are drawn apart.
const GAP: Length = Length::mm(1_000);
/// A group of more pieces is called by the first of them.
const MOST_NAMES: usize = 3;

/// Pieces that stand no more than a metre from one another.
#[derive(Clone, Debug)]
pub struct Group {
    /// The first of its pieces, in the order of the build.
    pub piece: String,
    /// What its drawings are called by; empty where the whole build is one group.
    pub title: String,
    /// Its parts with their ids, rows, outlines and ground.
    pub build: Build,
}

/// The groups of a build, in the order of their first parts; always at least one. Pieces whose rectangles seen from above
/// lie no more than a metre apart stand together, and so do those that stand with one and the same.
pub fn groups(build: &Build) -> Vec<Group> {
    let reaches = reaches(build);
    let names: Vec<&str> = reaches.iter().map(|(name, _)| *name).collect();
    let of = together(&reaches.iter().map(|(_, reach)| *reach).collect::<Vec<_>>());
    let count = of.iter().max().map_or(0, |last| last + 1);
    if count < 2 {
        return vec![Group {
            piece: names.first().map_or("", |name| name).to_owned(),
            title: String::new(),
            build: build.clone(),
        }];
    }
    let group_of: BTreeMap<&str, usize> = names.iter().copied().zip(of.iter().copied()).collect();
    (0..count).map(|group| part_of(build, &names, &|piece: &str| group_of.get(piece) == Some(&group))).collect()
}

impl Group {
    /// From above, as [`crate::plan`].
    pub fn plan(&self, tape: Tape, paper: Paper) -> Svg {
        view(&self.build, &self.title, Look::Above, tape, paper)
    }

    /// From the front, as [`crate::front`].
    pub fn front(&self, tape: Tape, paper: Paper) -> Svg {
        view(&self.build, &self.title, Look::Front, tape, paper)
    }

    /// From the right, as [`crate::side`].
    pub fn side(&self, tape: Tape, paper: Paper) -> Svg {
        view(&self.build, &self.title, Look::Right, tape, paper)
    }

    /// Cut across its own middle, as [`crate::section()`].
    pub fn section(&self, tape: Tape, paper: Paper) -> Svg {
        section_of(&self.build, &self.title, None, tape, paper)
    }

    /// Taken apart, as [`crate::exploded()`].
    pub fn exploded(&self, paper: Paper) -> Svg {
        exploded_of(&self.build, &self.title, paper)
    }
}

/// What a drawing of a group is called.
pub(crate) fn titled(of: &str, what: &str) -> String {
    let mut letters = what.chars();
    match letters.next().filter(|_| !of.is_empty()) {
        Some(first) => format!("{of}, {}{}", first.to_lowercase(), letters.as_str()),
        None => what.to_owned(),
    }
}

/// What each piece reaches over as seen from above, in the order of their first parts.
fn reaches(build: &Build) -> Vec<(&str, [Point; 2])> {
    let mut order: Vec<(&str, [Point; 2])> = Vec::new();
    let mut places: BTreeMap<&str, usize> = BTreeMap::new();
    let parts = build.parts.iter().map(|part| {
        let level = |[x, y, _]: [Length; 3]| [x, y];
        (part.key.piece.as_str(), part.reach().map(level))
    });
    let corners =
        build.outlines.iter().flat_map(|drawn| drawn.corners.iter().map(|&at| (drawn.piece.as_str(), [at; 2])));
    for (piece, [near, far]) in parts.chain(corners) {
        let place = *places.entry(piece).or_insert(order.len());
        if place == order.len() {
            order.push((piece, [near, far]));
        }
        let all = &mut order[place].1;
        for axis in 0..2 {
            all[0][axis] = all[0][axis].min(near[axis]);
            all[1][axis] = all[1][axis].max(far[axis]);
        }
    }
    order
}

/// The group of each rectangle, numbered in their order.
fn together(reaches: &[[Point; 2]]) -> Vec<usize> {
    let near = |a: &[Point; 2], b: &[Point; 2]| {
        (0..2).all(|axis| a[0][axis] <= b[1][axis] + GAP && b[0][axis] <= a[1][axis] + GAP)
    };
    let mut of: Vec<Option<usize>> = vec![None; reaches.len()];
    let mut count = 0;
    for first in 0..reaches.len() {
        if of[first].is_some() {
            continue;
        }
        let mut open = vec![first];
        of[first] = Some(count);
        while let Some(place) = open.pop() {
            for other in 0..reaches.len() {
                if of[other].is_none() && near(&reaches[place], &reaches[other]) {
                    of[other] = Some(count);
                    open.push(other);
                }
            }
        }
        count += 1;
    }
    of.into_iter().flatten().collect()
}

/// What of a build belongs to some of its pieces.
fn part_of(build: &Build, names: &[&str], belongs: &dyn Fn(&str) -> bool) -> Group {
    let names: Vec<&str> = names.iter().copied().filter(|name| belongs(name)).collect();
    let title = match names.as_slice() {
        [one] => (*one).to_owned(),
        [first @ .., last] if names.len() <= MOST_NAMES => format!("{} and {last}", first.join(", ")),
        [first, ..] => format!("{first} and what stands with it"),
        [] => String::new(),
    };
    let own = Build {
        parts: build.parts.iter().filter(|part| belongs(&part.key.piece)).cloned().collect(),
        rows: build.rows.iter().filter(|row| belongs(&row.piece)).cloned().collect(),
        outlines: build.outlines.iter().filter(|drawn| belongs(&drawn.piece)).cloned().collect(),
        ground: build.ground.iter().filter(|ground| belongs(&ground.part.piece)).cloned().collect(),
        fixed: build.fixed.iter().filter(|fixed| belongs(&fixed.piece)).cloned().collect(),
        ..Build::default()
    };
    Group { piece: names.first().map_or("", |name| name).to_owned(), title, build: own }
}
