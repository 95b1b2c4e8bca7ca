//! Joints: what is screwed to what, where, and what could not be joined.

use super::reader::Reader;
use crate::json::Json;

/// One part screwed to another.
pub(crate) struct Joint {
    /// The part under the heads, by its id.
    pub held: String,
    /// The part that the screws bite into.
    pub base: String,
    /// The screw's name in the yard.
    pub screw: String,
    pub length: i64,
    /// Across the hole in the base, and in what is held.
    pub pilot: i64,
    pub clearance: i64,
    /// The way that the screws go, in the build, times 10^12.
    pub direction: [i64; 3],
    /// The middle of each head, in the build.
    pub heads: Vec<[i64; 3]>,
    pub slots: Vec<Slot>,
}

/// A slot in what is held, in place of a round clearance hole.
pub(crate) struct Slot {
    /// Which of the heads.
    pub head: usize,
    /// From end to end.
    pub length: i64,
    /// The way it runs, in the build, times 10^12.
    pub direction: [i64; 3],
}

/// A joint that no screw on sale makes.
pub(crate) struct Unmade {
    pub held: String,
    pub base: String,
    pub screw: String,
    /// `too thin`, `not on sale`, `no room` or `would meet`.
    pub why: String,
    /// The shortest and the longest screw that would do; 0 where it has no sense.
    pub least: i64,
    pub most: i64,
    /// How thick the base would have to be; 0 where it has no sense.
    pub base_least: i64,
}

impl<'l> Reader<'l> {
    pub(super) fn joint(&mut self, json: &Json, path: &str) -> Option<Joint> {
        const KEYS: [&str; 9] =
            ["held", "base", "screw", "length", "pilot", "clearance", "direction", "heads", "slots"];
        let joint = self.object(json, path, &KEYS)?;
        Some(Joint {
            held: self.field(&joint, "held", Self::text)?,
            base: self.field(&joint, "base", Self::text)?,
            screw: self.field(&joint, "screw", Self::text)?,
            length: self.field(&joint, "length", Self::length)?,
            pilot: self.field(&joint, "pilot", Self::length)?,
            clearance: self.field(&joint, "clearance", Self::length)?,
            direction: self.field(&joint, "direction", Self::point)?,
            heads: self.list(&joint, "heads", Self::point)?,
            slots: self.list(&joint, "slots", Self::slot)?,
        })
    }

    fn slot(&mut self, json: &Json, path: &str) -> Option<Slot> {
        let slot = self.object(json, path, &["head", "length", "direction"])?;
        Some(Slot {
            head: self.field(&slot, "head", Self::index)?,
            length: self.field(&slot, "length", Self::length)?,
            direction: self.field(&slot, "direction", Self::point)?,
        })
    }

    pub(super) fn unmade(&mut self, json: &Json, path: &str) -> Option<Unmade> {
        let unmade = self.object(json, path, &["held", "base", "screw", "why", "least", "most", "base_least"])?;
        Some(Unmade {
            held: self.field(&unmade, "held", Self::text)?,
            base: self.field(&unmade, "base", Self::text)?,
            screw: self.field(&unmade, "screw", Self::text)?,
            why: self.field(&unmade, "why", Self::text)?,
            least: self.field(&unmade, "least", Self::length)?,
            most: self.field(&unmade, "most", Self::length)?,
            base_least: self.field(&unmade, "base_least", Self::length)?,
        })
    }
}
