//! Every what-if: the one place that loops over the flow.
//!
//! The flow itself runs straight: ask → fit → detail → cut, buy, check. What stands here asks it again and again with
//! something changed, and compares: what would each closing cost ([`settle()`]), what would one size cost at each place where it
//! comes out ([`windows`]), how far would a size have to move for a lower price ([`levels`]), what stands in the way when
//! nothing comes out ([`clash`]), what do a few millimetres and an empty shelf do to a plan that is settled ([`whatif`]), what would it be built another way ([`sides`]), how large may it be out of the shed or within a sum ([`largest`]). No stage ever calls back into this crate.
//!
//! Two lanes: [`drag()`] answers while a finger moves and prices nothing; [`settle()`] runs behind it.
#![forbid(unsafe_code)]

mod price;
mod drag;
mod settle;
mod standing;
mod hang;
mod changes;
pub mod clash;
pub mod sides;
pub mod largest;
pub mod levels;
pub mod waysout;
pub mod whatif;
pub mod windows;

pub use changes::{Change, changes};
pub use drag::{Dragged, Drawn, drag, draw};
pub use hang::{comes_off, hangs_on};
pub use price::{Cost, NoPrice, Price, Pricer};
pub use settle::{Because, Settled, Way, settle};
pub use whatif::{WhatIfs, what_ifs};

use clash::Clash;
use model::problem::Problem;

/// How much work may be done, in steps of the engines, so that every machine agrees.
#[derive(Clone, Copy, Debug)]
pub struct Effort {
    /// For fit: nodes looked at.
    pub fit: fit::Limits,
    /// For each cutting plan.
    pub cutting: u64,
    /// How many places of each size are priced, and how many lower prices are looked for inside a closing.
    pub priced: usize,
    /// How many parts are priced in all, over every closing and place that is asked; a small plan never gets there.
    pub parts_priced: u64,
}

impl Effort {
    /// What the drag lane needs: the best closing and nothing about the others.
    pub fn dragging() -> Effort {
        let fit = fit::Limits { steps: 20_000, keep: 1, count_cap: 0 };
        Effort { fit, cutting: 0, priced: 0, parts_priced: 0 }
    }

    /// What each what-if may take of this: they are many, and none of them is what the plan goes by.
    fn for_what_ifs(&self) -> Effort {
        Effort { cutting: self.cutting / 20, parts_priced: self.parts_priced / 4, ..*self }
    }
}

impl Default for Effort {
    fn default() -> Effort {
        let fit = fit::Limits { steps: 20_000, keep: 12, count_cap: 1000 };
        Effort { fit, cutting: stages::cut::STEPS, priced: 12, parts_priced: 200_000 }
    }
}

/// Why there is no settled plan.
#[derive(Debug)]
pub enum Unsettled {
    /// The plan, the yard or the shed ask for something that cannot be.
    Problems(Vec<Problem>),
    /// Nothing comes out: the wishes that collide and what would free them.
    Clash(Clash),
    /// The search was stopped, by its limit of steps or by the caller, before anything was found.
    Unfinished {
        /// Steps taken.
        steps: u64,
    },
}

/// A question to fit that is nonsense, as a problem. The pieces never ask one of a plan that was read within its limits.
pub(crate) fn fault(fault: &fit::Fault) -> Unsettled {
    Unsettled::Problems(vec![Problem::new(format!("the sizes cannot be decided: {fault}"))])
}
