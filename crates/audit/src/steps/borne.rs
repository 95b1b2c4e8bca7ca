//! What stands in the air has to be told: walls without feet, floors that nothing carries, gaps through which soil falls
//! (`docs/pieces.md`, "What stands in the air").

use super::near::{Near, TOUCH};
use crate::claims::Record;
use crate::ledger::Ledger;
use crate::texts::{Papers, Piece};
use std::collections::BTreeSet;

/// What a note on what nothing carries begins with.
const NOTHING: &str = "Nothing in this plan carries ";
/// What a note on a gap at the walls says.
const TURNED_UP: &str = "turned up at the walls";
/// Soil falls through a gap that is wider, in nanometres.
const GAP: i64 = 10_000_000;

/// The parts of a record, and where they lie.
pub(super) struct Borne<'r> {
    pub record: &'r Record,
    pub papers: &'r Papers,
    pub near: &'r Near,
}

impl<'r> Borne<'r> {
    /// Holds that what stands in the air is told, and that nothing else is said to.
    pub fn hold(&self, ledger: &mut Ledger) {
        let mut told_of_walls = BTreeSet::new();
        for walls in self.papers.pieces.iter().filter(|piece| piece.is == "walls") {
            let air = self.in_the_air(walls);
            let names: Vec<&str> = air.iter().copied().collect();
            self.hold_note(&walls.name, &names, ledger);
            if !air.is_empty() {
                told_of_walls.insert(walls.name.as_str());
            }
        }
        for floor in self.papers.pieces.iter().filter(|piece| piece.is == "floor") {
            let with_walls =
                floor.named("in").iter().any(|host| told_of_walls.contains(host)) && self.bears(&floor.name);
            let names = if self.is_carried(floor) || with_walls { Vec::new() } else { vec![floor.name.as_str()] };
            self.hold_note(&floor.name, &names, ledger);
            self.hold_gap(floor, ledger);
        }
    }

    /// A note of a piece names all that nothing carries; there is none where nothing is to be named.
    fn hold_note(&self, piece: &str, names: &[&str], ledger: &mut Ledger) {
        let own = self.record.notes.iter().filter(|note| note.piece == piece);
        let told: Vec<&str> = own.filter_map(|note| note.text.strip_prefix(NOTHING)).collect();
        let named = |text: &&str| {
            let listed = text.split(": ").next().unwrap_or_default();
            let listed: BTreeSet<&str> = listed.split(", ").flat_map(|some| some.split(" and ")).collect();
            listed == names.iter().copied().collect()
        };
        let right = if names.is_empty() { told.is_empty() } else { told.len() == 1 && told.iter().all(named) };
        ledger.hold(right, || match names {
            [] => format!("`{piece}` is said to be carried by nothing, and it is"),
            _ => format!("nothing carries {}, and no note of `{piece}` says just that", names.join(", ")),
        });
    }

    fn own(&self, piece: &str) -> impl Iterator<Item = usize> {
        let parts = self.record.parts.iter().enumerate();
        parts.filter(move |(_, part)| part.piece == piece).map(|(at, _)| at)
    }

    fn on_ground(&self, part: usize) -> bool {
        self.near.reaches[part].is_some_and(|reach| reach.from[2] <= TOUCH)
    }

    fn rests(&self, upper: usize, lower: usize) -> bool {
        let [over, under] = [upper, lower].map(|at| self.near.reaches[at]);
        self.record.parts[upper].piece != self.record.parts[lower].piece
            && over
                .zip(under)
                .is_some_and(|(over, under)| (over.from[2] - under.to[2]).abs() <= TOUCH && over.is_over(&under))
    }

    /// The pieces that a part rests on.
    fn under(&self, part: usize) -> BTreeSet<&'r str> {
        let lower = self.near.around(part).filter(|&lower| self.rests(part, lower));
        lower.map(|lower| self.record.parts[lower].piece.as_str()).collect()
    }

    fn bears(&self, piece: &str) -> bool {
        self.own(piece).any(|lower| self.near.around(lower).any(|upper| self.rests(upper, lower)))
    }

    /// All that stands in the air together with some walls, and is told with them.
    fn in_the_air(&self, walls: &'r Piece) -> BTreeSet<&'r str> {
        let naming = |is: &'static str, key: &'static str| {
            let of_kind = self.papers.pieces.iter().filter(move |piece| piece.is == is);
            of_kind.filter(move |piece| piece.named(key).contains(&walls.name.as_str()))
        };
        let tied = naming("posts", "in").chain(naming("cladding", "on")).map(|piece| piece.name.as_str());
        let mut open: Vec<&str> = tied.chain([walls.name.as_str()]).collect();
        let mut found = BTreeSet::new();
        while let Some(piece) = open.pop() {
            if found.insert(piece) {
                if self.own(piece).any(|part| self.on_ground(part)) {
                    return BTreeSet::new();
                }
                open.extend(self.own(piece).flat_map(|part| self.under(part)));
            }
        }
        let carried = found.iter().any(|piece| self.papers.is_done(piece, "carries"));
        if walls.has("in") || carried { BTreeSet::new() } else { found }
    }

    fn is_carried(&self, floor: &Piece) -> bool {
        let bears = |part: &usize| !floor.has("bearer") || self.record.parts[*part].role == "bearer";
        let mut lowest = self.own(&floor.name).filter(bears);
        self.papers.is_done(&floor.name, "carries")
            || !floor.has("fall") && lowest.all(|part| self.on_ground(part) || !self.under(part).is_empty())
    }

    /// A floor that soil lies on and that ends short of the walls.
    fn hold_gap(&self, floor: &Piece, ledger: &mut Ledger) {
        let filled =
            self.papers.pieces.iter().any(|fill| fill.is == "fill" && fill.named("on").contains(&floor.name.as_str()));
        let gap = ["clear", "play"].iter().filter_map(|key| floor.length(key, 0).ok()).sum::<i64>();
        let told = self.record.notes.iter().any(|note| note.piece == floor.name && note.text.contains(TURNED_UP));
        ledger.hold(told == (filled && gap > GAP), || match told {
            true => format!("soil is said to fall through beside `{}`, and there is no such gap", floor.name),
            false => format!("soil falls through beside `{}`, and no note says so", floor.name),
        });
    }
}
