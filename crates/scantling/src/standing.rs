//! The plan as its day book has it.

use daybook::Book;
use model::plan::Plan;
use model::problem::Problem;
use read::{Source, Sources, World};

/// The name of the day book of a plan: `x.daybook.jsonl` beside `x.plan.toml`.
pub fn daybook_name(plan: &str) -> String {
    let stem = [".plan.toml", ".toml"].iter().find_map(|ending| plan.strip_suffix(ending)).unwrap_or(plan);
    format!("{stem}.daybook.jsonl")
}

/// Brings a plan to where its day book has it, if it has one.
pub(crate) fn go_by_the_book(
    name: &str,
    world: &dyn World,
    plan: &mut Plan,
    sources: &mut Sources,
) -> Result<(), Vec<Problem>> {
    let name = daybook_name(name);
    let bytes = world.file_if_there(&name).map_err(|missing| {
        let problem = Problem::new(format!("the day book `{name}` cannot be read: {}", missing.reason));
        vec![problem.hint("a plan is not fitted as if nothing had been read and cut: make the file readable")]
    })?;
    let Some(bytes) = bytes else { return Ok(()) };
    let book = Book::read(&bytes).map_err(|bad| {
        vec![
            Problem::new(format!("`{name}`: {bad}"))
                .hint("put the line back as it was written; entries are undone by `scantling note PLAN undo`"),
        ]
    })?;
    // What is no text was cut off, and the book has left it out.
    sources.daybook = Some(Source { name, text: String::from_utf8_lossy(&bytes).into_owned() });
    let digest = sources.plan.as_ref().map_or_else(String::new, |source| daybook::digest(&source.text));
    daybook::stand(&book, &digest, plan)
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_day_book_stands_beside_the_plan() {
        for (plan, book) in
            [("x.plan.toml", "x.daybook.jsonl"), ("plan.toml", "plan.daybook.jsonl"), ("p", "p.daybook.jsonl")]
        {
            assert_eq!(super::daybook_name(plan), book);
        }
    }
}
