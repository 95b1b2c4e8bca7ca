//! What is cut against what the plan wants: a day book that no longer belongs to its plan is refused.

use measure::Tape;
use model::part::Part;
use model::plan::Plan;
use model::problem::Problem;
use model::standing::{Assigned, Object, is_near};

/// Gives what was cut to the slots of a plan that is laid out.
///
/// # Errors
/// Entries that were written against another text of the plan and name parts that it has no longer, or has at another length;
/// parts that came off a board of another kind than they are of.
pub(crate) fn assign(plan: &Plan, parts: &[Part]) -> Result<Assigned, Vec<Problem>> {
    let tape = plan.tape;
    let assigned = plan.standing.assign(parts, tape.step());
    let own = |object: &Object| parts.iter().find(|part| part.key.slot() == object.slot);
    let mut problems = Vec::new();
    for object in &plan.standing.objects {
        let part = own(object);
        if object.older {
            problems.extend(outdated(object, part, tape));
        }
        let came = object.from.and_then(|from| plan.standing.home.get(from.checked_sub(1)?));
        if let (Some(part), Some(board)) = (part, came)
            && part.stock != board.stock
        {
            let [is, of] = [part.stock, board.stock].map(|stock| plan.yard.label(stock).0.to_owned());
            let other =
                format!("entry {} of the day book: {} is of `{is}`, and its board of `{of}`", object.entry, part.key);
            problems.push(Problem::new(other).hint(format!("undo entry {}, and say the right board", object.entry)));
        }
    }
    if problems.is_empty() { Ok(assigned) } else { Err(problems) }
}

/// What an entry that was written against another text says and the plan now does not.
fn outdated(object: &Object, part: Option<&Part>, tape: Tape) -> Option<Problem> {
    let (entry, cut) = (object.entry, tape.show_exact(object.length));
    let now = match part {
        None => "has no such part".to_owned(),
        // What came out wrong or was closed with a strip never had the length of its slot.
        Some(_) if object.wrong || object.closed => return None,
        Some(part) if is_near(part.solid.length, object.length, tape.step()) => return None,
        Some(part) => format!("wants it {} long", tape.show_exact(part.solid.length)),
    };
    let slot = object.slot.escape_debug();
    let told = format!(
        "the plan has changed since entry {entry} of the day book: that says that `{slot}` was cut {cut} long, and the plan now {now}"
    );
    Some(Problem::new(told).hint(format!("undo entry {entry}, or change the plan back")))
}
