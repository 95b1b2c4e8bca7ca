//! Text to typed plan, yard and shed; every error with its place and a hint.
//!
//! [`plan()`] asks the [`World`] for the plan, the yard and the shed it names, and reads all three by static tables
//! ([`files`] for the three files' own tables, the [`Vocabulary`] for the pieces). It returns a
//! [`model::plan::Plan`], or a [`Report`] of everything that is wrong in any of the three at once; [`render()`] prints that
//! with the text underlined, and [`reference()`] makes the reference page from the same tables. Whether the faces that a
//! piece names exist, and whether its sizes come out, is for others to say.
#![deny(missing_docs)]
#![forbid(unsafe_code)]

mod open;
mod document;
mod headers;
mod syntax;
pub mod files;
mod values;
mod wish;
mod quantities;
mod plan;
mod ways;
mod yard;
mod shed;
mod joined;
mod check;
mod nominal;
mod suggest;
mod sources;
mod render;
mod reference;
mod editors;
mod limits;

pub use editors::json_schema;
pub use files::{
    BOARD, BOARD_LENGTH, FORMAT, FileTables, HANDS, NamedTable, PLAN, RESERVE, SAW, SHED, SHEET, SHEET_SIZE, UNIT, WAY,
    YARD,
};
pub use limits::{LIMITS, Limits};
pub use open::{Missing, World};
pub use plan::{Read, Report, Vocabulary, plan, plan_by};
pub use reference::{MaterialLine, reference};
pub use render::render;
pub use sources::{Source, Sources};
pub use values::flaws;
pub use ways::{AS_WRITTEN, WayName, WayNames};
