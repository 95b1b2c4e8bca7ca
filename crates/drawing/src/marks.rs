//! The marks of one row on a batten: every member's edge from one datum, to copy from at the bench.

use crate::lettering::{LARGE, SMALL, wrap};
use crate::paper::{Paper, Scale, exact, figures, shared};
use crate::pen::{Line, Path, Pen};
use crate::readings::{self, Labels};
use crate::svg::Svg;
use measure::{Length, Tape};
use model::build::Row;
use model::slant::SlantedRule;

/// How high the batten is.
const BATTEN: f64 = 8.0;
/// How far two readings stand apart on paper, so that each is read for itself.
const APART: f64 = 4.2;
/// The most lines that a batten is broken into.
const MOST_LINES: f64 = 40.0;

/// The batten of a row: members in true width with a cross on each, running readings of where each begins, from one datum
/// with a circle at 0, on the marks of the tape; broken into lines if it is dense. A row of so many members that forty
/// lines do not hold them shows every second, fifth, tenth … and says so.
pub fn marks(row: &Row, tape: Tape) -> Svg {
    marks_on(row, tape, Paper::A4Portrait)
}

/// The same on another paper.
pub fn marks_on(row: &Row, tape: Tape, paper: Paper) -> Svg {
    let mut pen = Pen::new();
    let sheet = Sheet::of(row, tape, paper);
    let title = format!("{}, {}: marks from {}, {}{}", row.piece, row.face, end(row), sheet.scale.name, figures(tape));
    let mut y = pen.lines(&wrap(&title, LARGE, paper.width(), 2), [0.0, LARGE + 0.5], LARGE);
    let words = words(row, &sheet, tape);
    y = pen.lines(&wrap(&words, SMALL, paper.width(), 4), [0.0, y - 1.0], SMALL) - SMALL;
    for line in 0..sheet.lines {
        y = sheet.draw(&mut pen, row, line, y);
    }
    pen.scale = Some(sheet.scale.name);
    pen.finish([paper.width(), y + 1.0], title, words)
}

/// The batten laid out in lines.
struct Sheet {
    scale: Scale,
    marks: Vec<Length>,
    end: Length,
    every: usize,
    lines: usize,
    /// How much of the row one line holds.
    span: Length,
    tape: Tape,
    wide: f64,
}

const LEFT: f64 = 3.0;

impl Sheet {
    fn of(row: &Row, tape: Tape, paper: Paper) -> Sheet {
        let wide = paper.width() - 2.0 * LEFT;
        let marks = row.marks(tape.step());
        let end = row.length.max(row.member(0)).max(Length::mm(1));
        let pitch = end.as_mm() / f64::from(row.count.max(1));
        let one_line = Scale::fitting(end, Length::ZERO, [wide, 1.0], tape);
        // On one line if its readings stand apart, else as many lines as that takes, so far as they are not too many.
        let needed = (APART / pitch).min(1.0);
        let most = Scale::fitting(end, Length::ZERO, [MOST_LINES * wide, 1.0], tape);
        let apart = Scale::at_least(needed, tape);
        let scale = if one_line.factor >= needed { one_line } else { apart };
        let scale = if scale.factor > most.factor { most } else { scale };
        let lines = (scale.of(end) / wide - 1e-9).ceil().max(1.0) as usize;
        let span = Length::nm((wide / scale.factor * 1e6) as i64);
        let least = APART / (pitch * scale.factor);
        let every = [1, 2, 5, 10, 20, 50, 100, 200, 500].into_iter().find(|every| *every as f64 >= least * 0.98);
        Sheet { scale, marks, end, every: every.unwrap_or(1000), lines, span, tape, wide }
    }

    /// Draws one line of the batten below `y`; where it ends.
    fn draw(&self, pen: &mut Pen, row: &Row, line: usize, y: f64) -> f64 {
        let from = self.span * line as i64;
        let to = (from + self.span).min(self.end);
        let x = |at: Length| LEFT + self.scale.of(at.max(from).min(to) - from);
        let mut labels: Vec<(f64, String)> = Vec::new();
        if line == 0 {
            labels.push((x(Length::ZERO), "0".into()));
        }
        let last = line + 1 == self.lines;
        let here = |at: &Length| *at >= from && (*at < to || last);
        let starts = self.marks.iter().step_by(self.every).filter(|at| here(at) && **at > Length::ZERO);
        labels.extend(starts.map(|&at| (x(at), self.tape.show(at))));
        if last {
            labels.push((x(self.end), self.tape.show(row.length)));
        }
        let (labels, layout) = fitting(labels, self.wide + 2.0 * LEFT);
        let top = y + layout.as_ref().map_or(1.0, readings::Layout::depth) + 1.5;
        let mut leaders = Path::default();
        if let Some(layout) = &layout {
            readings::write(pen, &labels, layout, top, true, &mut leaders);
        }
        self.members(pen, row, [from, to], top, &x);
        pen.draw(&leaders, Line::Narrow);
        if line == 0 {
            pen.circle([x(Length::ZERO), top], 0.9);
        }
        top + BATTEN + 2.5
    }

    /// The batten of one line with its members; zigzag where it is broken.
    fn members(&self, pen: &mut Pen, row: &Row, [from, to]: [Length; 2], top: f64, x: &impl Fn(Length) -> f64) {
        let (mut edges, mut crosses, mut batten) = (Path::default(), Path::default(), Path::default());
        for (&start, member) in self.marks.iter().zip((0..).map(|index| row.member(index))) {
            if start >= to || start + member <= from {
                continue;
            }
            let [left, right] = [x(start), x(start + member)];
            edges.stroke([left, top], [left, top + BATTEN]).stroke([right, top], [right, top + BATTEN]);
            // A mark is rounded to the tape, so the last member may seem to end a little beyond the row.
            let ends = start + member;
            if start < from || (ends > to && to < self.end) || ends > self.end + self.tape.step() {
                continue;
            }
            crosses.stroke([left, top], [right, top + BATTEN]).stroke([left, top + BATTEN], [right, top]);
        }
        let [left, right] = [x(from), x(to)];
        batten.stroke([left, top], [right, top]).stroke([left, top + BATTEN], [right, top + BATTEN]);
        for (end, broken) in [(left, from > Length::ZERO), (right, to < self.end)] {
            if broken {
                let [a, b] = [top + 0.4 * BATTEN, top + 0.6 * BATTEN];
                edges.stroke([end, top - 1.0], [end, a]).stroke([end, a], [end - 1.2, a + 0.3 * (b - a)]);
                edges.stroke([end - 1.2, a + 0.3 * (b - a)], [end + 1.2, b - 0.3 * (b - a)]);
                edges.stroke([end + 1.2, b - 0.3 * (b - a)], [end, b]).stroke([end, b], [end, top + BATTEN + 1.0]);
            } else {
                batten.stroke([end, top], [end, top + BATTEN]);
            }
        }
        pen.draw(&crosses, Line::Narrow);
        pen.draw(&edges, Line::Narrow);
        pen.draw(&batten, Line::Wide);
    }
}

/// The labels that fit, with their layout: every second is left out until the rest does. The first and the last stay.
fn fitting(mut labels: Vec<(f64, String)>, wide: f64) -> (Vec<(f64, String)>, Option<readings::Layout>) {
    while let Some(last) = labels.len().checked_sub(1) {
        let all: &Labels = &labels;
        if let Some(layout) = readings::layout(all, [0.0, wide]) {
            return (labels, Some(layout));
        }
        let kept = labels.into_iter().enumerate().filter(|(place, _)| place % 2 == 0 || *place == last);
        labels = kept.map(|(_, label)| label).collect();
    }
    (labels, None)
}

/// The end that marks are measured from.
fn end(row: &Row) -> &'static str {
    if row.up { "the bottom" } else { "the left end, seen from outside" }
}

fn words(row: &Row, sheet: &Sheet, tape: Tape) -> String {
    let gaps = match row.gaps {
        Some(gaps) if gaps.total() > Length::ZERO => {
            format!("{} ({} together)", shared(tape, gaps), exact(tape, gaps.total()))
        }
        _ => "no gaps".into(),
    };
    let every = match sheet.every {
        1 => String::new(),
        every => format!(" Readings for every {every}th member."),
    };
    if row.is_of_marks() {
        let whole = exact(tape, row.length);
        return format!(
            "{} marks for lower edges, {gaps}; from the first to the last {whole}. 0 is the lower edge of the lowest board.{every}",
            row.count
        );
    }
    let zero = match (row.up, row.starts_with_gap) {
        (true, _) => "0 is the lower edge",
        (false, true) => "0 is the face that the row stops at",
        (false, false) => "0 is the outer edge of the first member",
    };
    let slanted = SlantedRule::of_row(row, tape).map_or_else(String::new, |rule| slanted(&rule, tape));
    format!(
        "{} members of {}, {gaps}; in all {}. {zero}; each reading is where a member begins, its cross on the far side.{every}{slanted}",
        row.count,
        members(row, tape),
        exact(tape, row.length)
    )
}

/// The pitch is not on the tape: a rule at a slant has it.
fn slanted(rule: &SlantedRule, tape: Tape) -> String {
    let [every, reads, along] = [rule.every, rule.reads, rule.along].map(|length| exact(tape, length));
    format!(
        " Without reckoning: lay a rule at a slant from where the first begins to where the last does, {} steps of {every} over that width (0 to {reads}, {along} aside), and tick every {every}.",
        rule.parts
    )
}

/// One member, or all kinds of a pattern.
fn members(row: &Row, tape: Tape) -> String {
    let kinds: Vec<String> = row.kinds().iter().map(|(_, member)| exact(tape, *member)).collect();
    kinds.join(" and ")
}
