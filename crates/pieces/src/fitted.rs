//! What came out, under the names by which it was asked.

use crate::ask::{Asked, Chosen, Stand};
use crate::rules;
use fit::Closing;
use measure::{Length, Share};
use model::build::{Build, Row};
use model::problem::Problem;
use model::why::{Input, Of, Quantity, Value};

/// The sizes, choices and rows of one closing.
pub struct Fitted<'a> {
    asked: &'a Asked,
    closing: &'a Closing,
    sizes: Vec<Length>,
}

/// A row that closes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RowFit {
    /// How many members.
    pub count: u32,
    /// All gaps together and how many, if there are any.
    pub gaps: Option<Share>,
}

impl<'a> Fitted<'a> {
    pub(crate) fn new(asked: &'a Asked, closing: &'a Closing) -> Fitted<'a> {
        let sizes = closing.sizes.iter().map(|&size| Length::nm(size)).collect();
        Fitted { asked, closing, sizes }
    }

    /// All sizes by their ids.
    pub fn sizes(&self) -> &[Length] {
        &self.sizes
    }

    /// Where a piece stands.
    ///
    /// # Errors
    /// If there is no such piece.
    pub fn stand(&self, piece: &str) -> Result<&Stand, Problem> {
        self.asked.stands.get(piece).ok_or_else(|| Problem::new(format!("nothing says where `{piece}` stands")))
    }

    /// Which option was chosen.
    ///
    /// # Errors
    /// If there is no such choice.
    pub fn choice(&self, name: &str) -> Result<&str, Problem> {
        self.chosen(name).ok_or_else(|| Problem::new(format!("nothing was chosen for `{name}`")))
    }

    fn chosen(&self, name: &str) -> Option<&str> {
        match self.asked.choices.get(name)? {
            Chosen::Only(option) => Some(option),
            Chosen::Among(at) => {
                let option = *self.closing.choices.get(*at)?;
                self.asked.problem.choices.get(*at)?.options.get(option).map(String::as_str)
            }
        }
    }

    /// How the row of this name closes.
    ///
    /// # Errors
    /// If there is none under the options that were chosen.
    pub fn need_row(&self, name: &str) -> Result<RowFit, Problem> {
        self.row(name).ok_or_else(|| Problem::new(format!("nothing says how many members `{name}` has")))
    }

    /// How the row of this name closes; `None` if it does not exist under the options that were chosen.
    pub fn row(&self, name: &str) -> Option<RowFit> {
        let places = self.asked.rows.get(name)?;
        let repeats = places.iter().find(|repeats| self.closing.counts[repeats.run].is_some())?;
        let run = repeats.run;
        let members = usize::try_from(self.closing.counts[run]?).ok()?.checked_mul(repeats.each)?;
        let count = u32::try_from(members.checked_add(repeats.more)?).ok()?;
        let gaps = self.asked.gaps(run, &self.closing.gaps[run]?);
        Some(RowFit { count, gaps })
    }

    /// Puts each size into the build with its why: it is what fit has proven.
    pub(crate) fn explain_sizes(&self, out: &mut Build) {
        for (size, &length) in self.asked.problem.sizes.iter().zip(&self.sizes) {
            let wanted = Input::new(format!("{} as wished", size.name), Value::length(Length::nm(size.wish.want)));
            let moved = Input::new("what it had to move", Value::length(length - Length::nm(size.wish.want)));
            let inputs = vec![wanted, moved];
            out.quantities.extend(Quantity::by(
                size.name.clone(),
                "size that comes out",
                Of::Length,
                &rules::FITTED,
                inputs,
            ));
        }
    }
}

/// Puts a row and the why of its gap into the build.
pub(crate) fn explain_row(out: &mut Build, row: Row) {
    let name = format!("{}.{}", row.piece, row.face.replace(' ', "-"));
    let face = Input::new("what members and gaps fill", Value::length(row.length));
    if let Some(gaps) = row.gaps {
        let places = Input::new("gaps", Value::count(gaps.places()));
        let (rule, members) = match row.pattern.as_slice() {
            [member] => {
                let members = Input::new("members", Value::count(row.count));
                (&rules::GAP, vec![members, Input::new("one member", Value::length(*member))])
            }
            _ => (&rules::PATTERN_GAP, vec![Input::new("all members together", Value::length(row.members()))]),
        };
        let inputs = [vec![face], members, vec![places]].concat();
        let name = format!("{name}.gap");
        out.quantities.extend(Quantity::by(name, "gap or joint, each", Of::Length, rule, inputs));
    }
    out.rows.push(row);
}
