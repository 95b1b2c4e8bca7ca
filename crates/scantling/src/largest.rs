//! The largest piece out of the shed, or within a sum, or the closest to the wish: a run of the plan with one wish written otherwise, refereed as ever.

use crate::{Done, Effort, Missing, Refused, World, read_way, run_by, unsettled};
use advise::largest::{Aim, Which, places};
use measure::{Length, Money};
use model::schema::StockKind;

/// The piece that was found.
pub struct Largest {
    /// The plan with the wish written so, run and refereed.
    pub done: Done,
    /// What was, what is, why, and how far was looked, line by line.
    pub told: Vec<String>,
}

/// How many places are run whole, the best that may do first.
const MOST_RUNS: usize = 8;

/// A world in which the plan says something else.
struct Rewritten<'w> {
    world: &'w dyn World,
    name: &'w str,
    text: String,
}

impl World for Rewritten<'_> {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        if name == self.name { Ok(self.text.clone().into_bytes()) } else { self.world.file(name) }
    }
}

/// The largest place of a size, of the first if none is named, at which a plan does by the aim, or the closest to its wish; what was
/// asked, if none was found.
///
/// # Errors
/// As [`run_by`]; and if there is no such size.
pub fn largest(
    (name, way): (&str, Option<&str>),
    world: &dyn World,
    (aim, which, size): (Aim, Which, Option<&str>),
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Result<Result<Largest, Vec<String>>, Refused> {
    let was = run_by(name, way, world, effort, cancel)?;
    let (plan, sources, _) = read_way(name, way, world)?;
    let text = sources.plan.as_ref().map_or_else(String::new, |plan| plan.text.clone());
    let found = places(&plan, size, (aim, which), effort, cancel).map_err(|why| unsettled(why, sources))?;
    let (tape, currency) = (plan.tape, &plan.yard.currency);
    let (best, better) = match which {
        Which::Largest => ("largest", "larger"),
        Which::Closest => ("closest to the wish", "closer"),
    };
    let limit = format!(
        "{} of {} places of {} were asked, the {best} first, each with everything else as near to the wishes as it comes; at most {MOST_RUNS} of those that may do are run whole; a {better} one is not proven away",
        found.asked, found.of, found.size
    );
    let means = match aim {
        Aim::Shed => "out of the shed, no board or sheet bought".to_owned(),
        Aim::Within(sum) => format!("within {sum} {currency}"),
    };
    // What is bought beside boards, sheets and units, as it was at the place before: where that does not do, none is run.
    let (mut beside, mut runs) = (Money::hundredths(0), 0);
    for &(place, price) in &found.places {
        if runs == MOST_RUNS || matches!(aim, Aim::Within(sum) if price + beside > sum) {
            continue;
        }
        runs += 1;
        let wish = format!("{{ exactly = \"{} mm\" }}", millimetres(place));
        let (Some(before), Some(after)) = (text.get(..found.at.bytes.start), text.get(found.at.bytes.end..)) else {
            break;
        };
        let world = Rewritten { world, name, text: [before, &wish, after].concat() };
        let Ok(done) = run_by(name, way, &world, effort, cancel) else { continue };
        if !does(&done, aim) {
            beside = done.settled.buying.pay.total - price;
            continue;
        }
        let stood = size_of(&was, &found.size).map_or_else(String::new, |size| tape.show_with_unit(size));
        let paid = |done: &Done| done.settled.buying.pay.total;
        let mut told = vec![
            format!("{}, {means}: {} is the {best} that was found", found.size, tape.show_with_unit(place)),
            format!(
                "was {stood}, to pay {}; is {}, to pay {} {currency}",
                paid(&was),
                tape.show_with_unit(place),
                paid(&done)
            ),
            format!(
                "why: at no {better} place that was asked does it come out so, by its boards, sheets and units and what else is bought"
            ),
            format!("to keep it, write `{wish}` for {} into the plan", found.size),
            limit,
        ];
        let changes = advise::changes(&was.settled, &done.settled);
        told.extend(
            changes
                .iter()
                .map(|change| format!("{}: was {}, is {}", change.what, or_none(&change.was), or_none(&change.is))),
        );
        return Ok(Ok(Largest { done, told }));
    }
    Ok(Err(vec![format!("no place of {} was found that does {means}", found.size), limit]))
}

fn or_none(text: &str) -> &str {
    if text.is_empty() { "none" } else { text }
}

/// Whether a plan that was run keeps to the aim, with all that is bought.
fn does(done: &Done, aim: Aim) -> bool {
    let buying = &done.settled.buying;
    match aim {
        Aim::Shed => buying.lines.iter().all(|line| line.stock.kind == StockKind::Unit),
        Aim::Within(sum) => buying.pay.total <= sum && buying.unpriced + buying.materials_unpriced == 0,
    }
}

fn size_of(done: &Done, name: &str) -> Option<Length> {
    let settled = &done.settled;
    let at = settled.asked.problem.sizes.iter().position(|size| size.name == name)?;
    settled.ways.get(settled.chosen)?.closing.sizes.get(at).copied().map(Length::nm)
}

/// A length as a plan can write it, exactly.
fn millimetres(length: Length) -> String {
    let (whole, part) = (length.nanometres() / 1_000_000, length.nanometres() % 1_000_000);
    let decimals = format!("{part:06}");
    match decimals.trim_end_matches('0') {
        "" => whole.to_string(),
        decimals => format!("{whole}.{decimals}"),
    }
}

#[cfg(test)]
mod tests {
    use super::millimetres;
    use measure::Length;

    /// 3/16 in is 4.7625 mm.
    #[test]
    fn lengths_are_written_exactly() {
        assert_eq!(millimetres(Length::mm(1423)), "1423");
        assert_eq!(millimetres(Length::inch_64ths(12)), "4.7625");
    }
}
