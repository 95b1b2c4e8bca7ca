//! References: every name that a piece uses stands for something, and no piece stands on itself.

use crate::plan::{PlanText, is_known};
use crate::suggest::{list, nearest, quote};
use crate::yard::Shelves;
use model::problem::{Place, Problem};
use model::schema::{Kind, Schema, StockKind, Values};

/// Checks the names that pieces use: other pieces, and things of the yard if its shelves are known.
pub(crate) fn references(plan: &mut PlanText, shelves: Option<&Shelves>, problems: &mut Vec<Problem>) {
    let mut graph: Vec<Vec<Edge>> = Vec::new();
    for piece in &plan.pieces {
        let mut names = Vec::new();
        collect(piece.schema, &piece.values, &mut names);
        let mut edges = Vec::new();
        for used in names {
            match used.of {
                Some(kind) => problems.extend(shelves.and_then(|shelves| unknown_stock(&used, kind, shelves))),
                None => match plan.pieces.iter().position(|other| other.name == used.name) {
                    Some(to) => edges.push(Edge { to, place: used.place }),
                    None => problems.extend(unknown_piece(&used, &plan.names)),
                },
            }
        }
        graph.push(edges);
    }
    let names: Vec<&str> = plan.pieces.iter().map(|piece| piece.name.as_str()).collect();
    problems.extend(circles(&graph, &names));
}

/// A name that a piece uses.
struct Used {
    name: String,
    /// A shelf of the yard, or nothing for a piece.
    of: Option<StockKind>,
    place: Place,
}

/// A reference to the piece at a place in the plan's list.
struct Edge {
    to: usize,
    place: Place,
}

fn collect(schema: &'static Schema, values: &Values, into: &mut Vec<Used>) {
    for field in schema.fields {
        let of = match field.kind {
            Kind::Stock(kind) => Some(kind),
            Kind::Piece => None,
            Kind::Pieces | Kind::Stocks(_) => {
                let of = if let Kind::Stocks(kind) = field.kind { Some(kind) } else { None };
                let names = values.names(field.key).unwrap_or_default();
                into.extend(names.into_iter().map(|name| Used { name, of, place: values.place_of(field.key) }));
                continue;
            }
            Kind::List(inner) => {
                values.list(field.key).iter().flatten().for_each(|entry| collect(inner, entry, into));
                continue;
            }
            _ => continue,
        };
        if let Some(name) = values.text(field.key) {
            into.push(Used { name, of, place: values.place_of(field.key) });
        }
    }
}

fn unknown_stock(used: &Used, kind: StockKind, shelves: &Shelves) -> Option<Problem> {
    let none = Vec::new();
    let names = shelves.get(&kind).unwrap_or(&none);
    if is_known(&used.name, names) {
        return None;
    }
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let word = kind.word();
    let has = if names.is_empty() { format!("it has no {word}s") } else { format!("it has {}", list(&names, "and")) };
    let problem = Problem::new(format!("no {word} called `{}` in the yard: {has}", quote(&used.name)))
        .at(&used.place)
        .expected(format!("expected the name of a {word} in the yard"));
    let elsewhere = shelves.iter().find(|(_, names)| names.contains(&used.name)).map(|(kind, _)| kind.word());
    let hint = match (elsewhere, nearest(&used.name, &names)) {
        (Some(other), _) => format!("the yard has a {other} of that name, and a {word} is wanted here"),
        (None, Some(near)) => format!("did you mean `{near}`?"),
        (None, None) => format!("add `[{word}.{}]` to the yard, or name another", quote(&used.name)),
    };
    Some(problem.hint(hint))
}

/// A name of a piece that could not be read is known all the same.
fn unknown_piece(used: &Used, names: &[String]) -> Option<Problem> {
    if is_known(&used.name, names) {
        return None;
    }
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let problem = Problem::new(format!("no piece called `{}` in the plan", quote(&used.name)))
        .at(&used.place)
        .expected("expected the name of another piece");
    Some(match nearest(&used.name, &names) {
        Some(near) => problem.hint(format!("did you mean `{near}`?")),
        None => problem.hint(format!("the plan has {}", list(&names, "and"))),
    })
}

/// One problem for each reference that closes a circle, found by walking on from piece to piece.
fn circles(graph: &[Vec<Edge>], names: &[&str]) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut done = vec![false; graph.len()];
    for start in 0..graph.len() {
        // The way from `start` to where we stand: each piece with the number of its references that were followed.
        let mut way: Vec<(usize, usize)> = if done[start] { Vec::new() } else { vec![(start, 0)] };
        while let Some((piece, followed)) = way.last_mut() {
            let Some(edge) = graph[*piece].get(*followed) else {
                done[*piece] = true;
                way.pop();
                continue;
            };
            *followed += 1;
            if let Some(from) = way.iter().position(|(on_way, _)| *on_way == edge.to) {
                let circle: Vec<&str> = way[from..].iter().map(|(on_way, _)| names[*on_way]).collect();
                problems.push(circle_problem(&circle, &edge.place));
            } else if !done[edge.to] {
                way.push((edge.to, 0));
            }
        }
    }
    problems
}

fn circle_problem(circle: &[&str], place: &Place) -> Problem {
    let [only] = circle else {
        let around: Vec<&str> = circle.iter().chain(circle.first()).copied().collect();
        return Problem::new(format!("pieces refer to each other in a circle: `{}`", around.join(" -> ")))
            .at(place)
            .expected("this closes the circle")
            .hint("one of them has to stand on its own: take one of these references out");
    };
    Problem::new(format!("the piece `{only}` refers to itself: `{only} -> {only}`"))
        .at(place)
        .expected("expected the name of another piece")
        .hint("name the piece that this one is built on")
}
