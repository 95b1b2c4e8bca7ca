//! Boards as they lie at the saw, from the squared end on.

use crate::lettering::{LARGE, SMALL, width, wrap};
use crate::paper::{Paper, exact, figures, graduation};
use crate::pen::{Hold, LEADING, Line, Path, Pen};
use crate::readings;
use crate::svg::Svg;
use measure::{Length, Tape};

/// One way of cutting a board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoardView {
    /// The board under its shop name.
    pub label: String,
    /// The numbers that the cards at the saw call these boards by: `board 3`, `boards 1–2`; empty if they have none.
    pub called: String,
    /// How long it is.
    pub stock: Length,
    /// What is taken off to square it, both ends together, kerfs included. Half of it is drawn at either end.
    pub trim: Length,
    /// What the blade turns to dust.
    pub kerf: Length,
    /// The parts in the order of cutting: what is written on them (`A1`, or `A1 A4` where several boards are cut so), and how long.
    pub parts: Vec<(String, Length)>,
    /// Stretches that no part may contain, from the marked end; none of a sound board.
    pub bad: Vec<[Length; 2]>,
    /// The clear stretches between them; none of a sound board, whose parts follow one another from its squared end on.
    pub stretches: Vec<StretchView>,
    /// How many boards are cut so.
    pub times: u32,
    /// What is left.
    pub left: Length,
    /// Whether it only comes out if the board is measured first.
    pub tight: bool,
    /// What else is to be said, if anything.
    pub note: String,
}

/// A clear stretch of a board with bad ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StretchView {
    /// Where its first part begins, from the marked end of the board.
    pub begins: Length,
    /// How many of the board's parts lie in it, in their order.
    pub parts: usize,
}

/// How high a board is drawn.
const BOARD: f64 = 9.0;
/// The most lines in which parts that have no room on the board are listed.
const MOST_LINES: usize = 40;
/// Longer texts than this are listed below the board.
const LONGEST_CALL: f64 = 34.0;
/// Between two boards.
const BETWEEN: f64 = 5.0;

/// All boards, one below the other, each as long as it is beside the others: parts with their ids from the squared end on,
/// the tape beneath with the running reading of each cut, what is left at the end.
pub fn boards(views: &[BoardView], tape: Tape, paper: Paper) -> Svg {
    let blocks = blocks(views, tape, paper);
    page(blocks, tape, paper)
}

/// The same in as many drawings as it takes for each to be no higher than the paper, so far as a single board is not.
pub fn boards_in_pages(views: &[BoardView], tape: Tape, paper: Paper) -> Vec<Svg> {
    in_pages(blocks(views, tape, paper), paper).into_iter().map(|blocks| page(blocks, tape, paper)).collect()
}

/// A drawing of one board or sheet with its height and what it says.
pub(crate) struct Block {
    pub pen: Pen,
    pub height: f64,
    pub words: String,
}

/// Shares blocks out over pages, in order.
pub(crate) fn in_pages(blocks: Vec<Block>, paper: Paper) -> Vec<Vec<Block>> {
    let room = paper.height() - HEADING;
    let mut pages: Vec<Vec<Block>> = Vec::new();
    let mut used = f64::INFINITY;
    for block in blocks {
        if used + block.height > room {
            pages.push(Vec::new());
            used = 0.0;
        }
        used += block.height + BETWEEN;
        if let Some(page) = pages.last_mut() {
            page.push(block);
        }
    }
    pages
}

/// Lays blocks below a heading.
pub(crate) fn stack(blocks: Vec<Block>, heading: &str, title: &str, paper: Paper) -> Svg {
    let mut pen = Pen::new();
    let mut y = pen.lines(&wrap(heading, SMALL, paper.width(), 2), [0.0, SMALL + 0.5], SMALL) - SMALL + 1.5;
    let mut words = Vec::new();
    for block in blocks {
        pen.lay(block.pen, [0.0, y]);
        y += block.height + BETWEEN;
        words.push(block.words);
    }
    let bottom = (y - BETWEEN + 1.0).max(SMALL + 2.0);
    pen.finish([paper.width(), bottom], title.to_owned(), words.join(" "))
}

const HEADING: f64 = 12.0;

fn page(blocks: Vec<Block>, tape: Tape, paper: Paper) -> Svg {
    let heading = format!("Readings run from the squared end{}", figures(tape));
    stack(blocks, &heading, "Boards as they lie at the saw", paper)
}

fn blocks(views: &[BoardView], tape: Tape, paper: Paper) -> Vec<Block> {
    let longest = views.iter().map(|view| view.stock).max().unwrap_or(Length::ZERO).max(Length::mm(1));
    let factor = (paper.width() - 2.0) / longest.as_mm();
    views.iter().map(|view| block(view, factor, tape, paper)).collect()
}

/// Where things lie along one board, in mm of paper.
struct Lie<'a> {
    view: &'a BoardView,
    factor: f64,
}

impl Lie<'_> {
    /// A reading from the squared end; on a board with bad stretches from the marked one, as those are told.
    fn x(&self, reading: Length) -> f64 {
        let zero = if self.view.stretches.is_empty() { self.squared_off() } else { 0.0 };
        1.0 + zero + reading.as_mm() * self.factor
    }

    /// How wide what is squared off either end is drawn.
    fn squared_off(&self) -> f64 {
        self.view.trim.as_mm() / 2.0 * self.factor
    }

    fn end(&self) -> f64 {
        1.0 + self.view.stock.as_mm() * self.factor
    }

    /// From where to where each part lies, by readings: each begins a kerf after the one before, in a clear stretch the first where
    /// that says.
    fn parts(&self) -> Vec<[Length; 2]> {
        let whole = [StretchView { begins: Length::ZERO, parts: self.view.parts.len() }];
        let stretches = if self.view.stretches.is_empty() { &whole[..] } else { &self.view.stretches };
        let mut lengths = self.view.parts.iter().map(|part| part.1);
        let mut spans = Vec::with_capacity(self.view.parts.len());
        for stretch in stretches {
            let mut start = stretch.begins;
            for length in lengths.by_ref().take(stretch.parts) {
                spans.push([start, start + length]);
                start = start + length + self.view.kerf;
            }
        }
        spans
    }
}

fn block(view: &BoardView, factor: f64, tape: Tape, paper: Paper) -> Block {
    let lie = Lie { view, factor };
    let mut pen = Pen::new();
    let times = if view.times == 1 { String::new() } else { format!("{} × ", view.times) };
    let heading = headed(&view.called, format!("{times}{}", view.label));
    let y = pen.lines(&wrap(&heading, LARGE, paper.width(), 2), [0.0, LARGE + 0.3], LARGE) - LARGE + SMALL - 0.6;
    let spans = lie.parts();
    let last = spans.last().map_or(Length::ZERO, |span| span[1]);
    let left = format!("left {}", tape.show_exact(view.left));
    // What clear stretches leave lies in several places.
    let in_one_place = view.stretches.is_empty();
    let left_fits = in_one_place && lie.end() - lie.x(last + view.kerf) >= width(&left, SMALL) + 2.0;
    let said = said(view, if left_fits { None } else { Some(&left) }, tape);
    let y = pen.lines(&wrap(&said, SMALL, paper.width(), 4), [0.0, y], SMALL) - SMALL;

    let (calls, listed) = calls(&lie, &spans, tape);
    let above = readings::layout(&calls, [0.0, paper.width()]);
    let top = y + above.as_ref().filter(|_| !calls.is_empty()).map_or(1.0, readings::Layout::depth);
    let mut leaders = Path::default();
    if let Some(layout) = &above {
        readings::write(&mut pen, &calls, layout, top, true, &mut leaders);
    }
    draw_board(&mut pen, &lie, &spans, top, tape);
    if left_fits {
        let middle = (lie.x(last + view.kerf) + lie.end()) / 2.0;
        pen.text(&left, [middle, top + (BOARD + SMALL) / 2.0], SMALL, Hold::Middle);
    }
    let cuts: Vec<(f64, String)> = spans.iter().map(|span| (lie.x(span[1]), tape.show_exact(span[1]))).collect();
    let foot = top + BOARD + TAPE;
    let below = readings::layout(&cuts, [0.0, paper.width()]).filter(|_| !cuts.is_empty());
    let mut bottom = foot;
    if let Some(layout) = &below {
        readings::write(&mut pen, &cuts, layout, foot, false, &mut leaders);
        bottom += layout.depth();
    }
    pen.draw(&leaders, Line::Narrow);
    let list = list(view, &spans, listed || above.is_none(), below.is_none() && !cuts.is_empty(), tape);
    let mut height = bottom + 0.5;
    if !list.is_empty() {
        let lines = wrap(&list, SMALL, paper.width(), MOST_LINES);
        height = pen.lines(&lines, [0.0, bottom + SMALL + 1.5], SMALL) - SMALL * (LEADING - 1.0);
    }
    let ids: Vec<String> = view.parts.iter().map(|(id, length)| format!("{id} {}", tape.show_exact(*length))).collect();
    let words = format!("{heading}: {}; {left}.", ids.join(", "));
    Block { pen, height, words }
}

/// A heading behind the numbers that boards or sheets are called by.
pub(crate) fn headed(called: &str, heading: String) -> String {
    if called.is_empty() { heading } else { format!("{called}: {heading}") }
}

/// The line below the heading: what the board is and how far it can be trusted.
fn said(view: &BoardView, left: Option<&str>, tape: Tape) -> String {
    let mut said =
        format!("{} long, trim {}, kerf {}", exact(tape, view.stock), exact(tape, view.trim), exact(tape, view.kerf));
    if !view.bad.is_empty() {
        let bad = view.bad.iter().map(|[from, to]| format!("{} to {}", exact(tape, *from), exact(tape, *to)));
        said.push_str(&format!("; all readings from its marked end; bad from {}", bad.collect::<Vec<_>>().join(", ")));
    }
    let tight = view.tight.then_some("possible, if measured");
    for more in [left, tight, (!view.note.is_empty()).then_some(view.note.as_str())].into_iter().flatten() {
        said.push_str("; ");
        said.push_str(more);
    }
    said
}

/// How high the tape beneath a board is.
const TAPE: f64 = 3.0;

/// The board, its trim hatched, its kerfs, its ids where they fit, and the tape beneath it.
fn draw_board(pen: &mut Pen, lie: &Lie<'_>, spans: &[[Length; 2]], top: f64, tape: Tape) {
    let (mut outline, mut parts, mut fine) = (Path::default(), Path::default(), Path::default());
    outline.rectangle([1.0, top], [lie.end() - 1.0, BOARD]);
    for span in spans {
        let [left, right] = span.map(|reading| lie.x(reading));
        parts.rectangle([left, top], [right - left, BOARD]);
    }
    let squared = 1.0 + lie.squared_off();
    fine.stroke([squared, top], [squared, top + BOARD]);
    let far = lie.end() - lie.squared_off();
    for [from, to] in [[1.0, squared], [far, lie.end()]] {
        waste(&mut fine, [from, to], top);
    }
    for [from, to] in lie.view.bad.iter().map(|bad| bad.map(|at| lie.x(at))) {
        waste(&mut fine, [from, to], top);
        fine.stroke([from, top], [from, top + BOARD]).stroke([to, top], [to, top + BOARD]);
    }
    pen.draw(&outline, Line::FineOutline);
    let thin = spans.iter().map(|span| (span[1] - span[0]).as_mm() * lie.factor).fold(f64::INFINITY, f64::min);
    pen.wide = if thin < 1.5 { 0.25 } else { 0.35 };
    pen.draw(&parts, Line::Wide);
    pen.wide = 0.5;
    pen.draw(&fine, Line::Narrow);
    for ((id, length), span) in lie.view.parts.iter().zip(spans) {
        write_id(pen, id, *length, span.map(|reading| lie.x(reading)), top, tape);
    }
    draw_tape(pen, lie, top + BOARD, tape);
}

/// The slanting strokes of what is cut away.
fn waste(path: &mut Path, [from, to]: [f64; 2], top: f64) {
    let mut y = top + 1.2;
    while y < top + BOARD && to - from > 0.1 {
        path.stroke([from, y], [to, (y - (to - from)).max(top)]);
        y += 1.2;
    }
}

/// The tape: graduated from the squared end, with the circle of a running dimension at 0.
fn draw_tape(pen: &mut Pen, lie: &Lie<'_>, top: f64, tape: Tape) {
    let mut ticks = Path::default();
    let step = graduation(tape, lie.factor, 1.2);
    let length = lie.view.stock;
    let (start, end) = (lie.x(Length::ZERO), lie.end());
    ticks.stroke([start, top + TAPE], [end, top + TAPE]);
    let count = if step > Length::ZERO { length.nanometres() / step.nanometres() } else { 0 };
    for place in 1..=count {
        let at = lie.x(step * place);
        let long = if place % 10 == 0 {
            2.4
        } else if place % 5 == 0 {
            1.6
        } else {
            0.9
        };
        if at < end {
            ticks.stroke([at, top + TAPE], [at, top + TAPE - long]);
        }
    }
    pen.draw(&ticks, Line::Narrow);
    pen.circle([start, top + TAPE], 0.8);
}

/// How an id stands on its part.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Fits {
    WithLength,
    Level,
    Upright,
    /// The id stands above, the length on the part.
    OnlyLength,
    /// Both stand above.
    Not,
}

fn fits(id: &str, length: &str, wide: f64) -> Fits {
    let long = width(id, SMALL);
    if long.max(width(length, SMALL)) + 1.6 <= wide {
        Fits::WithLength
    } else if long + 1.6 <= wide {
        Fits::Level
    } else if SMALL + 1.4 <= wide && long + 1.6 <= BOARD {
        Fits::Upright
    } else if width(length, SMALL) + 1.6 <= wide {
        Fits::OnlyLength
    } else {
        Fits::Not
    }
}

fn write_id(pen: &mut Pen, id: &str, length: Length, [left, right]: [f64; 2], top: f64, tape: Tape) {
    let length = tape.show_exact(length);
    let (x, y) = ((left + right) / 2.0, top + BOARD / 2.0);
    match fits(id, &length, right - left) {
        Fits::WithLength => {
            pen.text(id, [x, y - 0.8], SMALL, Hold::Middle);
            pen.text(&length, [x, y + SMALL + 0.8], SMALL, Hold::Middle);
        }
        Fits::Level => pen.text(id, [x, y + SMALL / 2.0], SMALL, Hold::Middle),
        Fits::Upright => pen.text_up(id, [x + SMALL / 2.0, y], SMALL, Hold::Middle),
        Fits::OnlyLength => pen.text(&length, [x, y + SMALL / 2.0], SMALL, Hold::Middle),
        Fits::Not => {}
    }
}

/// The ids that have no room on their parts and stand above with leaders; and whether some are too long even for that.
fn calls(lie: &Lie<'_>, spans: &[[Length; 2]], tape: Tape) -> (Vec<(f64, String)>, bool) {
    let mut calls = Vec::new();
    let mut too_long = false;
    for ((id, length), span) in lie.view.parts.iter().zip(spans) {
        let [left, right] = span.map(|reading| lie.x(reading));
        let length = tape.show_exact(*length);
        let text = match fits(id, &length, right - left) {
            Fits::OnlyLength => id.clone(),
            Fits::Not => format!("{id}, {length}"),
            Fits::WithLength | Fits::Level | Fits::Upright => continue,
        };
        if width(&text, SMALL) <= LONGEST_CALL {
            calls.push(((left + right) / 2.0, text));
        } else {
            too_long = true;
        }
    }
    (calls, too_long)
}

/// What has no room in the drawing, in words: parts in order with their lengths, readings of the cuts.
fn list(view: &BoardView, spans: &[[Length; 2]], parts: bool, cuts: bool, tape: Tape) -> String {
    let mut list = String::new();
    if parts {
        let each = view.parts.iter().map(|(id, length)| format!("{id} {}", tape.show_exact(*length)));
        list.push_str(&format!("From the squared end: {}. ", each.collect::<Vec<_>>().join(", ")));
    }
    if cuts {
        let each = spans.iter().map(|span| tape.show_exact(span[1]));
        list.push_str(&format!("Cuts at {}.", each.collect::<Vec<_>>().join(", ")));
    }
    list
}
