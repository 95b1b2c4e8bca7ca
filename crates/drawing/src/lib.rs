//! Plans drawn to scale as SVG: views from three sides, sections, the build taken apart and step by step, parts that are
//! not square, hole templates and details of joints, the setting-out rod, where posts and joists go, marks of a row, boards and sheets as they lie at the saw.
//!
//! In: parts in place ([`model::build::Build`]), joints, rows, cutting plans as they were found. Out: a [`Svg`], a drawing whose sizes
//! are millimetres on paper. Everything that is a number arrives here and is only scaled: no size, count or price is worked
//! out. Lengths are exact until they are multiplied by the scale.
//!
//! Drawn after the habits of the trade: two line widths, thin dashed for hidden and long-dash dot for centre and setting-out
//! lines (ISO 128-2); each dimension once, its value above its line, read from the bottom or the right, ended by oblique
//! strokes, and running dimensions from one origin with a circle (ISO 129-1); letters at least 2.5 mm high (ISO 3098-1).
//! The three standards are cited *from memory* of their use; what they say was not looked up again.
//!
//! For pictures from any side, solids go in ([`shape::Convex`]) and strokes come out ([`lines()`]: what is seen and what is
//! hidden), or a body to turn: step by step in lines ([`Body`]), or as a file ([`glb`]).
//!
//! The crate knows no HTML. Colours are the page's own: lines and letters take `currentColor`, paper takes `--paper`.
#![deny(missing_docs)]
#![forbid(unsafe_code)]

mod svg;
mod lettering;
mod paper;
mod pen;
mod dimension;
mod hidden;
mod terrain;
mod earth;
mod lines;
mod scene;
mod balloons;
mod exploded;
mod section;
mod plate;
mod template;
mod details;
mod parts;
mod list;
mod build_up;
mod body;
mod levels;
mod set_out;
mod title;
mod view;
mod rod;
mod marks;
mod readings;
mod boards;
mod sheets;
mod symmetry;
mod groups;
mod card;
mod gltf;

pub use boards::{BoardView, StretchView, boards, boards_in_pages};
pub use body::{Body, BodyPart, ROUND, STEP, Side, UPRIGHT};
pub use build_up::{build_up, build_up_in_pages, build_up_one_by_one};
pub use card::{CardView, Setting, card};
pub use details::{details, details_in_pages};
pub use exploded::exploded;
pub use gltf::{GltfPart, glb};
pub use groups::{Group, groups};
pub use lettering::{font_face_css, text_width};
pub use lines::{LineKind, Stroke, View, lines, outline, visible_lines};
pub use list::parts_list_in_pages;
pub use marks::{marks, marks_on};
pub use paper::Paper;
pub use parts::{parts, parts_in_pages};
pub use rod::{Notch, RodView, rod};
pub use section::{Cut, Way, section};
pub use set_out::set_out_in_pages;
pub use sheets::{PanelView, SheetView, StripView, sheets, sheets_in_pages};
pub use svg::{Svg, TextBox};
pub use template::{templates, templates_in_pages};
pub use title::{TitleBlock, framed};
pub use view::{front, plan, side};

/// The TrueType file of the lettering, for pages that embed or set it themselves. See `font/README.md`.
pub const FONT: &[u8] = include_bytes!("../font/scantling.ttf");
