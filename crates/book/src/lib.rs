//! The plan in words and pages: for the terminal, and as one self-contained HTML file.
//!
//! Nothing is computed here that another stage should know. [`words`] puts what was decided into the sentences that both the
//! terminal and the page print; each number comes from a quantity and leads back to its why.
#![forbid(unsafe_code)]

pub mod words;
mod asked;
mod cards;
mod fixings;
mod lists;
mod model;
mod printed;
mod sawn;
mod sheets;
mod sides;
mod standing;

pub use standing::take_back;
mod terminal;
mod whatif;
mod whys;
mod page;
mod reference;

pub use drawing::{Body, Paper, Side};
pub use lists::{List, lists};
pub use model::model;
pub use page::{Place, Section, body, build_up, cards_of, drawn_views, page, places, whys_by_name};
pub use printed::{DrawingSheet, drawings};
pub use reference::{questions_reference, rules_reference};
pub use terminal::text;
pub use whys::why;
