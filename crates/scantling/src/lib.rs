//! The whole house in one call: texts in; a settled plan, its record, the referee's verdict and the page out.
//!
//! Nothing here decides anything. It wires the crates in the order of the flow, so that the command, the browser and the
//! benchmarks all run the same one. It does no I/O: files come in through [`World`].
#![forbid(unsafe_code)]

/// The longest day book that is read, in bytes.
pub const MOST_OF_A_BOOK: usize = daybook::MOST_BYTES;

mod drag;
mod forms;
mod keep;
mod largest;
mod messages;
mod note;
mod ways;
mod sides;
mod standing;

pub use advise::clash::{Clash, WayOut as ClashWayOut, Widened};
pub use advise::largest::{Aim, Which};
pub use advise::waysout::{Rates, WayOut};
pub use advise::windows::Notch;
pub use advise::{Change, Effort, Settled};
pub use audit::{Finding, Verdict};
pub use book::{Body, List, Paper, Place, Section, Side, words};
pub use drag::{Dragged, drag};
pub use forms::{FileForm, TableForm, forms};
pub use keep::{Before, Kept, Mark, Opened, Poured, Rest, kept};
pub use largest::{Largest, largest};
pub use messages::refused;
pub use note::{Note, Noted, Unnoted, note};
pub use read::{Missing, Source, Sources, WayNames, World};
pub use sides::run_by;
pub use standing::daybook_name;
pub use ways::ways_out;

use advise::Unsettled;
pub use fit::Size;
pub use measure::{Length, Tape, Unit, parse as parse_length};
pub use model::problem::{File, Place as TextPlace, Problem};
pub use model::schema;
pub use model::standing::Standing;

use model::plan::Plan;
use read::{Report, Vocabulary};
use std::collections::BTreeMap;

/// A plan that came out, with everything that leaves the house.
pub struct Done {
    /// The settled plan.
    pub settled: Settled,
    /// The texts it was read from.
    pub sources: Sources,
    /// Its record, as JSON.
    pub record: String,
    /// What the referee says of the record.
    pub verdict: Verdict,
}

/// Why a plan did not come out.
pub enum Refused {
    /// Something is wrong in the files.
    Problems {
        /// What.
        problems: Vec<Problem>,
        /// The texts, to show it in.
        sources: Box<Sources>,
    },
    /// Nothing comes out within the wishes.
    Clash {
        /// What collides and what would free it.
        clash: advise::clash::Clash,
        /// The texts, to show it in.
        sources: Box<Sources>,
    },
    /// The caller stopped it while it was asked what a few millimetres and an empty shelf do: what was found is left.
    Cancelled,
    /// The search was stopped before anything was found.
    Unfinished {
        /// Steps taken.
        steps: u64,
    },
}

/// Reads a plan with its yard, its shed and its day book.
///
/// # Errors
/// Everything that is wrong in any of them.
pub fn read_plan(name: &str, world: &dyn World) -> Result<(Plan, Sources), Refused> {
    let (mut plan, mut sources) = read_files(name, world)?;
    match standing::go_by_the_book(name, world, &mut plan, &mut sources) {
        Ok(()) => Ok((plan, sources)),
        Err(problems) => Err(Refused::Problems { problems, sources: Box::new(sources) }),
    }
}

/// Where each wish of a plan stands in its text, by its name, without deciding anything.
///
/// # Errors
/// Everything that is wrong with the files, or with what the pieces ask.
pub fn wish_places(name: &str, world: &dyn World) -> Result<(BTreeMap<String, TextPlace>, Sources), Refused> {
    let (plan, sources) = read_plan(name, world)?;
    match pieces::ask(&plan) {
        Ok(asked) => Ok((asked.places, sources)),
        Err(problems) => Err(Refused::Problems { problems, sources: Box::new(sources) }),
    }
}

/// Reads a plan with its yard and its shed, as if there were no day book.
fn read_files(name: &str, world: &dyn World) -> Result<(Plan, Sources), Refused> {
    read_way(name, None, world).map(|(plan, sources, _)| (plan, sources))
}

/// The same as one of the plan's ways has it: the one of this name, or else the one that is built.
fn read_way(name: &str, way: Option<&str>, world: &dyn World) -> Result<(Plan, Sources, WayNames), Refused> {
    let schemas = pieces::schemas();
    let materials = handbook::materials::names();
    let vocabulary = Vocabulary { pieces: &schemas, materials: &materials };
    match read::plan_by(name, way, world, &vocabulary) {
        Ok(read) => Ok((read.plan, read.sources, read.ways)),
        Err(Report { problems, sources }) => Err(Refused::Problems { problems, sources: Box::new(sources) }),
    }
}

/// Reads, settles, records and referees a plan.
///
/// # Errors
/// [`Refused`] says why it does not come out. A plan that the referee does not pass is not an error here: its verdict says so.
pub fn run(name: &str, world: &dyn World, effort: &Effort, cancel: &dyn Fn() -> bool) -> Result<Done, Refused> {
    run_by(name, None, world, effort, cancel)
}

/// Why there is no settled plan, with the texts to show it in.
fn unsettled(unsettled: Unsettled, sources: Sources) -> Refused {
    let sources = Box::new(sources);
    match unsettled {
        Unsettled::Problems(problems) => Refused::Problems { problems, sources },
        Unsettled::Clash(clash) => Refused::Clash { clash, sources },
        Unsettled::Unfinished { steps } => Refused::Unfinished { steps },
    }
}

/// What the referee says of a record, given the texts it claims to come from.
pub fn referee(sources: &Sources, record: &str) -> Verdict {
    referee_beside(sources, record, &[])
}

/// The same, with the records of the plan's other ways.
fn referee_beside(sources: &Sources, record: &str, others: &[String]) -> Verdict {
    let text = |source: &Option<read::Source>| source.as_ref().map_or_else(String::new, |source| source.text.clone());
    let (plan, yard, shed) = (text(&sources.plan), text(&sources.yard), text(&sources.shed));
    let daybook = text(&sources.daybook);
    let texts = audit::Texts { plan: &plan, yard: &yard, shed: &shed, daybook: &daybook };
    audit::audit_beside(&texts, record, others)
}

impl Done {
    /// The page: one self-contained HTML file.
    pub fn page(&self) -> String {
        book::page(&self.settled, &self.verdict)
    }

    /// The build as a three-dimensional model: one binary glTF file, true to size.
    pub fn model(&self) -> Vec<u8> {
        book::model(&self.settled)
    }

    /// Every drawing of it as a sheet to print on A4.
    pub fn drawings(&self) -> Vec<book::DrawingSheet> {
        book::drawings(&self.settled)
    }

    /// Every list of it as CSV (RFC 4180).
    pub fn lists(&self) -> Vec<book::List> {
        book::lists(&self.settled)
    }

    /// The places of the page with their sections, as they stand on it.
    pub fn places(&self) -> Vec<book::Place> {
        book::places(&self.settled, &self.verdict)
    }

    /// A picture for each step, growing: its caption, and an SVG.
    pub fn build_up(&self) -> Vec<(String, String)> {
        book::build_up(&self.settled)
    }

    /// The build as a body to turn, growing by the same steps; `None` for a large build.
    pub fn body(&self) -> Option<Body> {
        book::body(&self.settled)
    }

    /// The card of each setting of the saw, as HTML.
    pub fn cards(&self) -> Vec<String> {
        book::cards_of(&self.settled)
    }

    /// The why of each number by its name as links write it, as HTML.
    pub fn whys(&self) -> Vec<(String, String)> {
        book::whys_by_name(&self.settled)
    }

    /// The plan in words for a terminal.
    pub fn text(&self) -> String {
        book::text(&self.settled, &self.verdict)
    }

    /// The why of a number in words; all names that can be asked if there is none of this name.
    ///
    /// # Errors
    /// The message for the maker.
    pub fn why(&self, name: &str) -> Result<String, String> {
        book::why(&self.settled, name)
    }
}

/// Every kind of piece: its name in a plan, and what it is.
pub fn kinds() -> Vec<(&'static str, &'static str)> {
    pieces::schemas().into_iter().map(|schema| (schema.name, schema.doc)).collect()
}

/// The reference page of the three files, made from the tables that read them.
pub fn plan_files_reference() -> String {
    let line = |material: &handbook::materials::Material| read::MaterialLine {
        name: material.name,
        also: material.also,
        density: format!("{} kg/m³", material.density.value()),
        source: format!("{} ({})", material.source, material.mark),
    };
    let materials: Vec<read::MaterialLine> = handbook::materials::MATERIALS.iter().map(line).collect();
    read::reference(&pieces::schemas(), &materials)
}

/// The JSON Schema of a `plan`, a `yard` or a `shed` for editors, from the same tables; `None` if there is no such file.
pub fn plan_files_schema(file: &str) -> Option<String> {
    read::json_schema(file, &pieces::schemas()).map(|schema| format!("{schema:#}\n"))
}

/// The reference page of the questions: what each looks at, by which formula, and what it holds for.
pub fn questions_reference() -> String {
    book::questions_reference(stages::check::QUESTIONS)
}

/// The reference page of the rules: every formula with its source, mark and worked case.
pub fn rules_reference() -> String {
    let rules: Vec<&model::why::Rule> = {
        let all = [pieces::rules::ALL, joints::rules::ALL].into_iter().flatten().copied();
        all.chain(stages::rules::all()).collect()
    };
    book::rules_reference(&rules)
}
