//! Problems as a maker reads them: what, where, the text underlined, what was expected, what to do.

use crate::limits::LIMITS;
use crate::sources::{Source, Sources};
use annotate_snippets::{AnnotationKind, Element, Group, Level, Renderer, Snippet};
use model::problem::{Place, Problem};
use std::ops::Range;

/// The longest underline, in characters.
const UNDERLINE: usize = 60;

/// Prints problems with the texts they lie in, in colour or as plain text that says the same. After the fiftieth the
/// rest is counted.
pub fn render(problems: &[Problem], sources: &Sources, colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let renderer = renderer.term_width(120);
    let mut blocks: Vec<String> =
        problems.iter().take(LIMITS.problems).map(|problem| block(problem, sources, &renderer)).collect();
    if problems.len() > LIMITS.problems {
        blocks.push(format!("and {} more", problems.len() - LIMITS.problems));
    }
    blocks.iter().map(|block| format!("{}\n", block.trim_end())).collect::<Vec<_>>().join("\n")
}

fn block(problem: &Problem, sources: &Sources, renderer: &Renderer) -> String {
    let mut group = Group::with_title(Level::ERROR.primary_title(problem.message.as_str()));
    let snippet = problem.place.as_ref().and_then(|place| snippet(problem, place, sources.get(place.file)?));
    let bare = snippet.is_none();
    let hint = problem.hint.as_ref().map(|hint| Group::with_title(Level::HELP.secondary_title(hint.as_str())));
    group = group.elements(snippet.map(Element::from));
    match hint {
        // Joined to a title without a text, the hint would hang on an empty margin.
        Some(hint) if bare => format!("{}\n{}", renderer.render(&[group]), renderer.render(&[hint])),
        hint => renderer.render(&std::iter::once(group).chain(hint).collect::<Vec<_>>()),
    }
}

/// The first line of a place with the place underlined. Only that line is handed on, so that fifty problems in a file of
/// a megabyte cost no more than fifty lines.
fn snippet<'a>(
    problem: &'a Problem,
    place: &Place,
    source: &'a Source,
) -> Option<Snippet<'a, annotate_snippets::Annotation<'a>>> {
    let before = source.text.get(..place.bytes.start)?;
    let start = before.rfind('\n').map_or(0, |at| at + 1);
    let rest = &source.text[start..];
    let line = rest[..rest.find('\n').unwrap_or(rest.len())].trim_end_matches('\r');
    let span = within(place.bytes.start - start..place.bytes.end.max(place.bytes.start) - start, line);
    let annotation = AnnotationKind::Primary.span(span).label(problem.expected.as_deref());
    let number = before.matches('\n').count() + 1;
    Some(Snippet::source(line).line_start(number).path(source.name.as_str()).annotation(annotation))
}

/// A range held within a line, on its characters.
fn within(bytes: Range<usize>, line: &str) -> Range<usize> {
    let start = line.floor_char_boundary(bytes.start.min(line.len()));
    let end = line.ceil_char_boundary(bytes.end.min(line.len()).max(start));
    // An underline that is longer than a page is wide says no more than its beginning.
    let shown = line[start..end].char_indices().nth(UNDERLINE).map_or(end, |(at, _)| start + at);
    start..shown
}
