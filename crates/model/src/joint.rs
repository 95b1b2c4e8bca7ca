//! Joints: two parts that touch, and the screws that hold one to the other.

use measure::Length;

/// A held part, what it is screwed to, and the screws, all of one kind and length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Joint {
    /// The part that the heads lie in, by its place in the build's list.
    pub held: usize,
    /// The part that the threads grip, by its place in the build's list.
    pub base: usize,
    /// Which screw of the yard, by its place on the shelf.
    pub screw: usize,
    /// How long the screws are.
    pub length: Length,
    /// The hole for the thread in the base, across.
    pub pilot: Length,
    /// The hole through the held part, in which the screw turns freely, across.
    pub clearance: Length,
    /// The way of the screws, of unit length, in [`UNIT`](crate::part::UNIT)s, along the build's axes.
    pub direction: [i64; 3],
    /// Where the heads lie: points on the outer face of the held part, in the build.
    pub heads: Vec<[Length; 3]>,
    /// The heads whose screws stand in slots, in the order of the heads; the others have round clearance holes.
    pub slots: Vec<Slot>,
}

/// A slot in a held part, as wide as its clearance hole, in the middle of which a screw stands, so that the wood can move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Slot {
    /// Which head, by its place among the heads.
    pub head: usize,
    /// From end to end.
    pub length: Length,
    /// The way it runs, across the grain of the held part, of unit length, in [`UNIT`](crate::part::UNIT)s, along the build's
    /// axes.
    pub direction: [i64; 3],
}

/// A place where a held part touches its base and no screw of the yard will do, with the reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unmade {
    /// The part that should be held, by its place in the build's list.
    pub held: usize,
    /// What it should be screwed to, by its place in the build's list.
    pub base: usize,
    /// Which screw was asked for, by its place on the shelf.
    pub screw: usize,
    /// Why it does not do.
    pub why: NoScrew,
}

/// Why no screw will do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoScrew {
    /// The base is too thin for any screw that holds: `least` would hold, `most` stays inside, and a base from `base` on
    /// takes the shortest that holds.
    TooThin {
        /// The least length that holds.
        least: Length,
        /// The greatest length whose tip stays inside.
        most: Length,
        /// The least depth of a base that takes it.
        base: Length,
    },
    /// No length on sale lies between the least that holds and the most that stays inside.
    NotOnSale {
        /// The least length that holds.
        least: Length,
        /// The greatest length whose tip stays inside.
        most: Length,
    },
    /// Where the two touch there is no room for a screw with its distances from ends and edges.
    NoRoom,
    /// There is room, but a screw anywhere in it would meet those of other joints, which cannot give way.
    Meets,
}

/// All joints of a build.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Joints {
    /// The joints that are made.
    pub made: Vec<Joint>,
    /// Those that cannot be made.
    pub unmade: Vec<Unmade>,
}
