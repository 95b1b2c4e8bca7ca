//! A refusal as JSON: what is wrong with its place, and the ways out with the edits that take them.

use crate::wishes;
use scantling::{Problem, Refused, Sources};
use serde_json::{Value, json};

/// Why a plan does not come out.
pub(crate) fn refused(refused: &Refused) -> Value {
    let text = scantling::refused(refused, false);
    let (problems, ways_out) = match refused {
        Refused::Problems { problems, sources } => {
            (problems.iter().map(|wrong| problem(wrong, sources)).collect(), Vec::new())
        }
        Refused::Clash { clash, sources } => {
            let wishes = clash.sets.iter().flat_map(|set| &set.wishes);
            let clashing = wishes.map(|wish| {
                let wrong = Problem::new(wish.words.clone());
                let wrong = wish.place.iter().fold(wrong, |wrong, place| wrong.at(place));
                problem(&wrong.hint("this wish is one of those that collide"), sources)
            });
            let ways = clash.sets.iter().flat_map(|set| &set.ways_out);
            let way = |way: &scantling::ClashWayOut| {
                let edits: Option<Vec<Vec<Value>>> =
                    way.widened.iter().map(|one| wishes::widened(one, sources)).collect();
                let edits = edits.map(|edits| edits.concat()).filter(|edits| !edits.is_empty())?;
                Some(json!({ "words": way.words, "sizes": way.sizes.join(" × "), "edits": edits }))
            };
            (clashing.collect(), ways.filter_map(way).collect())
        }
        Refused::Unfinished { .. } | Refused::Cancelled => (Vec::new(), Vec::new()),
    };
    let (problems, ways_out): (Vec<Value>, Vec<Value>) = (problems, ways_out);
    json!({ "text": text, "problems": problems, "ways_out": ways_out })
}

fn problem(problem: &Problem, sources: &Sources) -> Value {
    let place = problem.place.as_ref().and_then(|place| Some((place, sources.line_and_column(place)?)));
    let Some((place, (file, line, column))) = place else {
        return json!({ "message": problem.message, "hint": problem.hint });
    };
    let text = sources.get(place.file).and_then(|source| source.text.get(place.bytes.clone())).unwrap_or_default();
    // An underline ends with its line.
    let length = text.lines().next().unwrap_or_default().chars().count();
    let message = match &problem.expected {
        Some(expected) => format!("{}: {expected}", problem.message),
        None => problem.message.clone(),
    };
    json!({
        "message": message,
        "hint": problem.hint,
        "file": file,
        "line": line,
        "column": column,
        "length": length,
    })
}
