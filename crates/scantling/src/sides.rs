//! A run, and beside it every other way that the plan states.

use crate::{Done, Effort, Refused, World, read_way, referee_beside, standing, unsettled};
use advise::Settled;
use advise::sides::{Side, column};
use read::WayNames;

/// Reads, settles, records and referees a plan as one of its ways has it: the one of this name, or else the one that the plan
/// says is built. The others are settled beside it and told in a column each.
///
/// # Errors
/// As [`crate::run`]; if no way is called so; and [`Refused::Cancelled`] if `cancel` says so before all is asked.
pub fn run_by(
    name: &str,
    way: Option<&str>,
    world: &dyn World,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Result<Done, Refused> {
    let (mut plan, mut sources, ways) = read_way(name, way, world)?;
    if let Err(problems) = standing::go_by_the_book(name, world, &mut plan, &mut sources) {
        return Err(Refused::Problems { problems, sources: Box::new(sources) });
    }
    let mut settled = advise::settle(plan, effort, cancel).map_err(|why| unsettled(why, sources.clone()))?;
    let begun = settled.plan.standing.entries > 0;
    if begun {
        // A plan that comes out by its day book alone has nothing to be compared with.
        let without = read_way(name, way, world).ok().and_then(|read| advise::settle(read.0, effort, cancel).ok());
        settled.changes = without.map_or_else(Vec::new, |without| advise::changes(&without, &settled));
    }
    settled.what_ifs = advise::what_ifs(&settled, effort, cancel);
    let mut others = Vec::new();
    if ways.all.len() > 1 {
        settled.work = column(&settled).map(|column| column.work);
        let built = side(&ways, ways.chosen, ways.chosen, &settled);
        for (at, way) in ways.all.iter().enumerate() {
            if at == ways.chosen {
                settled.sides.push(built.clone());
            } else if !begun {
                let (side, record) = beside(name, (&way.name, at), &ways, world, effort, cancel);
                settled.sides.push(side);
                others.extend(record);
            }
        }
    }
    if cancel() {
        // What was not asked by then is left out, and the referee would find it missing.
        return Err(Refused::Cancelled);
    }
    let record = record::json(&record::record(&settled));
    let verdict = referee_beside(&sources, &record, &others);
    Ok(Done { settled, sources, record, verdict })
}

/// Another way, and its record if it comes out.
fn beside(
    name: &str,
    (way, at): (&str, usize),
    ways: &WayNames,
    world: &dyn World,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> (Side, Option<String>) {
    let settled = read_way(name, Some(way), world)
        .and_then(|(plan, sources, _)| advise::settle(plan, effort, cancel).map_err(|why| unsettled(why, sources)));
    let mut settled = match settled {
        Ok(settled) => settled,
        Err(refused) => {
            let named = &ways.all[at];
            let (name, label) = (named.name.clone(), named.label.clone());
            return (Side { name, label, built: false, column: Err(why(&refused)) }, None);
        }
    };
    settled.what_ifs = advise::what_ifs(&settled, effort, cancel);
    settled.work = column(&settled).map(|column| column.work);
    settled.sides = vec![side(ways, at, at, &settled)];
    let record = record::json(&record::record(&settled));
    (side(ways, at, ways.chosen, &settled), Some(record))
}

fn side(ways: &WayNames, at: usize, built: usize, settled: &Settled) -> Side {
    let way = &ways.all[at];
    let column = column(settled).ok_or_else(|| "there is more to do than can be counted".to_owned());
    Side { name: way.name.clone(), label: way.label.clone(), built: at == built, column }
}

/// Why a way does not come out, in one line.
fn why(refused: &Refused) -> String {
    match refused {
        Refused::Problems { problems, .. } => {
            problems.first().map_or_else(|| "something is wrong in it".to_owned(), |problem| problem.message.clone())
        }
        Refused::Clash { clash, .. } => {
            let wishes = clash.sets.iter().flat_map(|set| &set.wishes).map(|wish| wish.words.as_str());
            format!("these wishes collide: {}", wishes.collect::<Vec<&str>>().join("; "))
        }
        Refused::Unfinished { .. } | Refused::Cancelled => "the search was stopped before anything came out".to_owned(),
    }
}
