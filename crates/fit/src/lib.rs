//! Engine: chooses all counts and sizes at once so that everything comes out whole. Integers only; knows no timber.
//!
//! In reading order:
//! - [`problem`]: what is asked and what is answered;
//! - `system`: the problem checked and laid out;
//! - `bounds`: what the limits leave, and the least the objective can still be;
//! - `search`: the best closings, best first;
//! - `tally`: how many closings there are, and the room inside one;
//! - [`proof`]: the covering tree for a referee;
//! - [`windows`](mod@windows): the notches on the rod;
//! - [`collide`]: why nothing comes out, and what would free it;
//! - `answer`: all of it for what hangs together;
//! - `split`: a problem that falls apart, part by part, in one call: [`solve`], or the best alone: [`nearest`].
//!
//! No clock, no randomness, no input or output: work is counted in steps, and the same problem gives the same answer everywhere.
//!
//! # Example
//! A trough about 1500 long, 20 clear of a ring of setts 100 long with a joint of 10 (8 to 12), a square sett in each corner: the
//! opening is `n - 2` setts and `n - 1` joints, so 1510 comes out with 16 setts. (Scenario of our own; here in tenths of a millimetre.)
//! ```
//! use fit::*;
//! let wish = |want, from, to, rank| Wish { want, from, to, rank, weight: 1, reach: (from, to) };
//! let problem = Problem {
//!     sizes: vec![Size { name: "length".into(), origin: 0, step: 10, wish: wish(15_000, 13_500, 16_500, 1) }],
//!     gaps: vec![Gap { name: "joint".into(), wish: wish(100, 80, 120, 0) }],
//!     runs: vec![Run {
//!         name: "long side of the ring".into(),
//!         when: vec![],
//!         // Clearance twice, and the two corner setts counted in.
//!         face: Affine { terms: vec![(0, 1)], constant: 2 * 200 + 2 * 1_000 },
//!         member: 1_000,
//!         gaps_per_member: 1,
//!         end_gaps: -1,
//!         gap_scale: 1,
//!         gap: 0,
//!         count: (3, 200),
//!     }],
//!     ..Problem::default()
//! };
//! let Outcome::Fits(answer) = solve(&problem, Ranking::AsWished, &Limits::default(), &|| false)? else {
//!     panic!("it comes out");
//! };
//! assert_eq!(answer.status, Status::Proven);
//! assert_eq!((answer.closings[0].sizes[0], answer.closings[0].counts[0]), (15_100, Some(16)));
//! # Ok::<(), Fault>(())
//! ```
#![deny(missing_docs)]
#![forbid(unsafe_code)]

mod answer;
mod bounds;
pub mod collide;
pub mod problem;
pub mod proof;
mod search;
mod split;
mod system;
mod tally;
pub mod windows;

pub use collide::explain;
pub use problem::*;
pub use split::{nearest, solve};
pub use windows::{MOST_WINDOWS, windows};
