//! What is said when a plan does not come out.

use crate::Refused;
use advise::clash::{Clash, Colliding, Priced};
use model::problem::Problem;
use read::Sources;

/// The message of a refusal, for standard error.
pub fn refused(refused: &Refused, colour: bool) -> String {
    match refused {
        Refused::Problems { problems, sources } => read::render(problems, sources, colour),
        Refused::Clash { clash: told, sources } => clash(told, sources, colour),
        Refused::Cancelled => {
            "error: stopped before everything was asked; nothing is told of a plan that is half asked\n".to_owned()
        }
        Refused::Unfinished { steps } => {
            format!(
                "error: the search was stopped after {steps} steps before anything came out\nhelp: narrow the ranges of the wishes, or name one pattern of corners instead of `any`\n"
            )
        }
    }
}

/// What collides, set by set: the first wish underlined in the plan, all of them and the ways out beneath.
fn clash(clash: &Clash, sources: &Sources, colour: bool) -> String {
    let place = clash.sets.iter().flat_map(|set| &set.wishes).find_map(|wish| wish.place.clone());
    let mut problem = Problem::new(match clash.sets.as_slice() {
        [one] if !one.at_any_size => "nothing comes out: these wishes collide".to_owned(),
        [_] => "nothing comes out, not even with these wishes let go as far as they may".to_owned(),
        several => format!("nothing comes out: {} sets of wishes collide, each for itself", several.len()),
    });
    if let Some(place) = &place {
        problem = problem.at(place).expected("this wish is one of them");
    }
    let mut text = read::render(&[problem], sources, colour);
    for (place, set) in clash.sets.iter().enumerate() {
        if clash.sets.len() > 1 {
            text += &format!("{}.\n", place + 1);
        }
        text += &colliding(set, &clash.size_names);
    }
    text
}

fn colliding(set: &Colliding, size_names: &[String]) -> String {
    let mut text = String::new();
    for wish in &set.wishes {
        text += &format!("  - {}\n", wish.words);
    }
    if !set.over.is_empty() {
        text += &format!("  over: {}\n", set.over.join("; "));
    }
    if !set.fixed.is_empty() {
        text += &format!("  fixed there: {}\n", set.fixed.join("; "));
    }
    let names = size_names.join(" × ");
    if set.ways_out.is_empty() && set.pairs.is_empty() && set.priced.is_empty() {
        text += "help: no single one of them frees it within its reach, three times its range or a tenth of it: change two, or take another board, sheet or unit\n";
    } else if !set.ways_out.is_empty() || !set.pairs.is_empty() {
        text += &format!(
            "help: any one of these frees it, the smallest change first; behind it the sizes then, {names}:\n"
        );
    }
    for way in set.pairs.iter().chain(&set.ways_out) {
        text += &format!("  - {}: {}\n", way.words, way.sizes.join(" × "));
    }
    for way in &set.priced {
        text += &priced(way, &names);
    }
    if !set.minimal {
        text += "note: the search for the smallest set was stopped at its limit, so fewer wishes may collide\n";
    }
    text
}

/// A cut or rip that closes it, with what it takes.
fn priced(way: &Priced, names: &str) -> String {
    let blade = match (way.blade, way.money) {
        (false, _) => String::new(),
        (true, Some(price)) => format!(" and a blade, {price}"),
        (true, None) => " and a blade, whose price the shed does not say".to_owned(),
    };
    let caution = way.caution.map_or_else(String::new, |caution| format!("; {caution}"));
    let (sizes, minutes) = (way.sizes.join(" × "), way.minutes);
    format!("or {}\n    then {names}: {sizes}; {minutes} min{blade}{caution}\n", way.words)
}
