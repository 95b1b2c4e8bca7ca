//! What is said when a plan does not come out.

use crate::Refused;
use advise::clash::Clash;
use model::problem::Problem;
use read::Sources;

/// The message of a refusal, for standard error.
pub fn refused(refused: &Refused, colour: bool) -> String {
    match refused {
        Refused::Problems { problems, sources } => read::render(problems, sources, colour),
        Refused::Clash { clash: told, sources } => clash(told, sources, colour),
        Refused::Unfinished { steps } => {
            format!(
                "error: the search was stopped after {steps} steps before anything came out\nhelp: narrow the ranges of the wishes, or name one pattern of corners instead of `any`\n"
            )
        }
    }
}

/// A collision of wishes: the first of them underlined in the plan, the others and the ways out beneath.
fn clash(clash: &Clash, sources: &Sources, colour: bool) -> String {
    let place = clash.wishes.iter().find_map(|wish| wish.place.clone());
    let mut problem = Problem::new("nothing comes out: these wishes collide");
    if let Some(place) = &place {
        problem = problem.at(place).expected("this wish is one of them");
    }
    let mut text = read::render(&[problem], sources, colour);
    let mut say = |line: String| text.push_str(&line);
    for wish in &clash.wishes {
        say(format!("  - {}\n", wish.words));
    }
    if !clash.over.is_empty() {
        say(format!("  over: {}\n", clash.over.join("; ")));
    }
    if clash.ways_out.is_empty() {
        say("help: no single one of them frees the plan within three times its range; change two, or another board or unit\n".into());
    } else {
        say("help: any one of these frees it, the smallest change first:\n".into());
    }
    for way in &clash.ways_out {
        say(format!("  - {}: then {}\n", way.words, way.sizes.join(" × ")));
    }
    if !clash.minimal {
        say("note: the search for the smallest set was stopped at its limit, so fewer wishes may collide\n".into());
    }
    text
}
