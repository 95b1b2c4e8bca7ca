//! What bears what: whether pieces stand on the ground, on other pieces, or in the air.

use measure::{Length, Tape};
use model::build::{Build, Note};
use model::part::Part;
use model::plan::Plan;
use std::collections::BTreeSet;

/// Heights that differ by less are one: nothing is built to a micrometre.
const TOUCH: Length = Length::nm(1000);

/// What ties walls to what may stand for them.
pub(crate) struct Ties {
    /// The posts in the walls and the claddings on them.
    tied: Vec<String>,
    /// The pieces that an `extra` carries.
    carried: BTreeSet<String>,
    /// Whether they stand in other walls, on what is filled in or built there.
    is_tier: bool,
    tape: Tape,
}

impl Ties {
    /// As the plan has it.
    pub fn of(walls: &str, plan: &Plan) -> Ties {
        let names = |is: &str, key: &str| {
            let of_kind = plan.pieces.iter().filter(|piece| piece.schema.name == is);
            let named = of_kind.filter_map(|piece| Some((piece.name.clone(), piece.values.text(key)?)));
            named.collect::<Vec<(String, String)>>()
        };
        let tied = [names("posts", "in"), names("cladding", "on")].concat();
        Ties {
            tied: tied.into_iter().filter(|(_, to)| to == walls).map(|(name, _)| name).collect(),
            carried: crate::extra::doing(plan, "carries").collect(),
            is_tier: names("walls", "in").iter().any(|(name, _)| name == walls),
            tape: plan.tape,
        }
    }

    /// The note on walls that stand in the air with all that stands for them; none on a tier, and none where an extra
    /// carries one of these pieces.
    pub fn note(&self, walls: &str, build: &Build) -> Option<Note> {
        let air = self.in_the_air(walls, &build.parts)?;
        if self.is_tier || air.iter().any(|piece| self.is_carried(piece)) {
            return None;
        }
        let lowest = build.parts.iter().filter(|part| air.contains(&part.key.piece.as_str())).map(low).min()?;
        let (high, all) = (self.tape.show_with_unit(lowest), if air.len() > 1 { "all of it" } else { "it" });
        let text = format!(
            "Nothing in this plan carries {}: {all} hovers {high} above the ground. Feet or blocks have to carry it, an `extra` of it that `does = \"carries\"`, or posts with a `foot`.",
            model::build::and(&air)
        );
        Some(Note { piece: walls.into(), text })
    }

    /// Whether an extra carries a piece.
    pub fn is_carried(&self, piece: &str) -> bool {
        self.carried.contains(piece)
    }

    /// The walls, what is tied to them and what all these rest on, and so on, if none of it reaches the ground.
    fn in_the_air<'b>(&self, walls: &str, parts: &'b [Part]) -> Option<Vec<&'b str>> {
        let named = |name: &str| parts.iter().map(|part| part.key.piece.as_str()).find(|piece| *piece == name);
        let mut found: Vec<&str> = named(walls).into_iter().collect();
        found.extend(self.tied.iter().filter_map(|name| named(name)));
        let parts = reaching(parts);
        let mut looked_at = 0;
        while looked_at < found.len() {
            let own: Vec<&Reaching> = parts.iter().filter(|one| one.piece == found[looked_at]).collect();
            if own.iter().any(|one| one.is_on_ground()) {
                return None;
            }
            let further: BTreeSet<&str> = own.iter().flat_map(|one| one.bearing(&parts)).collect();
            found.extend(further.into_iter().filter(|piece| !found.contains(piece)).collect::<Vec<_>>());
            looked_at += 1;
        }
        (!found.is_empty()).then_some(found)
    }
}

fn low(part: &Part) -> Length {
    part.near_corner()[2]
}

/// The piece of a part, and what the part reaches over: its shape is asked for once, however many parts it is held against.
pub(crate) struct Reaching<'p> {
    piece: &'p str,
    near: [Length; 3],
    far: [Length; 3],
}

/// All parts with what they reach over, in their order.
pub(crate) fn reaching(parts: &[Part]) -> Vec<Reaching<'_>> {
    let one = |part| {
        let [near, far] = Part::reach(part);
        Reaching { piece: &part.key.piece, near, far }
    };
    parts.iter().map(one).collect()
}

impl<'p> Reaching<'p> {
    /// Whether it is a part of this piece.
    pub fn is_of(&self, piece: &str) -> bool {
        self.piece == piece
    }

    /// Whether it reaches down to the ground.
    pub fn is_on_ground(&self) -> bool {
        self.near[2] <= TOUCH
    }

    /// Whether it begins at the height at which another ends, over it.
    fn rests_on(&self, lower: &Reaching<'_>) -> bool {
        let height = self.near[2] - lower.far[2];
        if height > TOUCH || -height > TOUCH {
            return false;
        }
        (0..2).all(|axis| self.near[axis] + TOUCH < lower.far[axis] && lower.near[axis] + TOUCH < self.far[axis])
    }

    /// The other pieces that it rests on.
    pub fn bearing(&self, all: &[Reaching<'p>]) -> impl Iterator<Item = &'p str> {
        let others = all.iter().filter(|other| other.piece != self.piece);
        others.filter(|lower| self.rests_on(lower)).map(|lower| lower.piece)
    }
}

/// Whether a part of another piece rests on one of a piece.
pub(crate) fn bears(piece: &str, all: &[Reaching<'_>]) -> bool {
    let own = || all.iter().filter(|one| one.is_of(piece));
    let mut others = all.iter().filter(|one| !one.is_of(piece));
    others.any(|upper| own().any(|lower| upper.rests_on(lower)))
}
