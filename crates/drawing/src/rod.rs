//! The setting-out rod of one size: a ruler, notched where everything comes out.

use crate::lettering::{LARGE, SMALL, shorten, width, wrap};
use crate::paper::{Paper, figures, graduation};
use crate::pen::{Hold, LEADING, Line, Path, Pen};
use crate::readings::{UPRIGHT, spread};
use crate::svg::Svg;
use measure::{Length, Tape};

/// What a rod shows.
#[derive(Clone, Debug)]
pub struct RodView<'a> {
    /// Which size it is: `trough, length`.
    pub title: &'a str,
    /// The tape that its readings are in.
    pub tape: Tape,
    /// Where it begins.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// What is wished for.
    pub wish: Length,
    /// What is chosen.
    pub chosen: Length,
    /// Where everything comes out, in any order.
    pub notches: &'a [Notch],
    /// What it is drawn on.
    pub paper: Paper,
}

/// A stretch, or a point, at which everything comes out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notch {
    /// Where it begins.
    pub from: Length,
    /// Where it ends; the same for a point.
    pub to: Length,
    /// The best size in it: what its reading is.
    pub best: Length,
    /// What the build costs there, as it is written, if known.
    pub price: Option<String>,
    /// Whether the chosen size lies in it.
    pub chosen: bool,
}

/// How high the batten is, and how deep its notches.
const BATTEN: f64 = 11.0;
const NOTCH: f64 = 4.0;
/// How high the leaders of upright labels slant, and the longest such label.
const SLANT: f64 = 8.0;
const LONGEST: f64 = 45.0;
/// What the frame round the chosen label takes.
const FRAME: f64 = 1.6;
/// The most rows of level labels above it.
const ROWS: usize = 5;
/// The most notches that are considered for a label, those nearest to the wish.
const MOST: usize = 120;

/// The rod: readings and prices stand above the notches, the graduation and the wish below. Labels never overlap: they
/// stand in rows with leaders, and where there is no room the least interesting (not chosen, far from the wish) go without,
/// and it is said how many.
pub fn rod(view: &RodView<'_>) -> Svg {
    let wide = view.paper.width();
    let ruler = Ruler::of(view);
    let mut pen = Pen::new();
    let heading = wrap(&format!("{}{}", view.title, figures(view.tape)), LARGE, wide, 2);
    let y = pen.lines(&heading, [0.0, LARGE + 0.5], LARGE);
    let (labels, left_out) = labels(view, &ruler);
    let (upright, upright_left_out) = upright(view, &ruler);
    let y = y - SMALL;
    let top = if upright_left_out < left_out {
        let y = count_left_out(&mut pen, upright_left_out, y);
        write_upright(&mut pen, view, &ruler, &upright, y)
    } else {
        let y = count_left_out(&mut pen, left_out, y);
        let lines = if view.notches.iter().any(|notch| notch.price.is_some()) { 2 } else { 1 };
        let rows = labels.iter().map(|label| label.row + 1).max().unwrap_or(0);
        let top = y + rows as f64 * row_height(lines) + 2.0;
        write_labels(&mut pen, &labels, top, lines);
        top
    };
    batten(&mut pen, view, &ruler, top);
    let bottom = below(&mut pen, view, &ruler, top + BATTEN);
    let shown = view.tape.show_with_unit(view.chosen);
    let wish = view.tape.show_with_unit(view.wish);
    let description = format!("{} notches; wished {wish}, chosen {shown}.", view.notches.len());
    pen.finish([wide, bottom], view.title.to_owned(), description)
}

/// Where lengths lie on the paper.
struct Ruler {
    from: Length,
    to: Length,
    left: f64,
    factor: f64,
}

impl Ruler {
    fn of(view: &RodView<'_>) -> Ruler {
        let marks = [view.from, view.to, view.wish, view.chosen];
        let (mut from, mut to) = marks.iter().fold((view.from, view.from), |(a, b), &mark| (a.min(mark), b.max(mark)));
        if from == to {
            (from, to) = (from - Length::mm(10), to + Length::mm(10));
        }
        let left = 6.0;
        Ruler { from, to, left, factor: (view.paper.width() - 2.0 * left) / (to - from).as_mm() }
    }

    fn x(&self, at: Length) -> f64 {
        self.left + (at - self.from).as_mm() * self.factor
    }

    fn holds(&self, notch: &Notch) -> bool {
        notch.to >= self.from && notch.from <= self.to
    }

    /// The stretch of a notch that lies on the rod.
    fn stretch(&self, notch: &Notch) -> [f64; 2] {
        [self.x(notch.from.max(self.from)), self.x(notch.to.min(self.to))]
    }

    /// Where a notch's label belongs.
    fn place(&self, notch: &Notch) -> f64 {
        self.x(notch.best.max(self.from).min(self.to))
    }

    /// The whole multiples of a step on the rod.
    fn steps(&self, step: Length) -> impl Iterator<Item = Length> {
        let first = self.from.nanometres().div_euclid(step.nanometres());
        let (from, to) = (self.from, self.to);
        (first..).map(move |count| step * count).skip_while(move |at| *at < from).take_while(move |at| *at <= to)
    }
}

/// A label in its place: `left` and `right` edges, its leader's place and its row from below.
struct Label<'a> {
    notch: &'a Notch,
    reading: String,
    at: f64,
    left: f64,
    right: f64,
    row: usize,
}

fn row_height(lines: usize) -> f64 {
    lines as f64 * SMALL * LEADING + 1.8
}

/// The notches on the rod: the chosen, then those nearest to the wish.
fn by_interest<'a>(view: &RodView<'a>, ruler: &Ruler) -> Vec<&'a Notch> {
    let mut notches: Vec<&Notch> = view.notches.iter().filter(|notch| ruler.holds(notch)).collect();
    notches.sort_by_key(|notch| (!notch.chosen, (notch.best - view.wish).abs(), notch.best));
    notches
}

/// Which notches get a label in level rows and where, the chosen first, then those nearest to the wish; and how many get none.
fn labels<'a>(view: &RodView<'a>, ruler: &Ruler) -> (Vec<Label<'a>>, usize) {
    let notches = by_interest(view, ruler);
    let mut placed: Vec<Label<'_>> = Vec::new();
    for notch in notches.iter().take(MOST) {
        placed.extend(place(view, ruler, notch, &placed));
    }
    let left_out = view.notches.len() - placed.len();
    (placed, left_out)
}

/// How many notches go without a label, if any; where the labels begin.
fn count_left_out(pen: &mut Pen, count: usize, y: f64) -> f64 {
    let words = if count == 1 { "notch" } else { "notches" };
    match count {
        0 => y,
        count => pen.lines(&[format!("+{count} more {words}, not written")], [0.0, y + SMALL], SMALL) - SMALL,
    }
}

/// As many notches as upright labels have room for, the most interesting, in order along the rod; and how many get none.
fn upright<'a>(view: &RodView<'a>, ruler: &Ruler) -> (Vec<&'a Notch>, usize) {
    let mut room = view.paper.width() - 1.0;
    let mut notches = by_interest(view, ruler);
    notches.retain(|notch| {
        room -= if notch.chosen { UPRIGHT + FRAME } else { UPRIGHT };
        room >= 0.0
    });
    notches.sort_by_key(|notch| (notch.best, notch.from, !notch.chosen));
    let left_out = view.notches.len() - notches.len();
    (notches, left_out)
}

/// Upright labels side by side, with leaders to their notches; where the batten begins.
fn write_upright(pen: &mut Pen, view: &RodView<'_>, ruler: &Ruler, notches: &[&Notch], y: f64) -> f64 {
    let text = |notch: &&Notch| {
        let price = notch.price.as_deref().map_or(String::new(), |price| format!(", {price}"));
        shorten(&format!("{}{price}", view.tape.show(notch.best)), SMALL, LONGEST)
    };
    let texts: Vec<String> = notches.iter().map(text).collect();
    let longest = texts.iter().map(|text| width(text, SMALL)).fold(0.0, f64::max);
    let wanted: Vec<f64> = notches.iter().map(|notch| ruler.place(notch)).collect();
    let limits = [0.5, view.paper.width() - 0.5];
    let widths: Vec<f64> = notches.iter().map(|notch| if notch.chosen { UPRIGHT + FRAME } else { UPRIGHT }).collect();
    let Some(middles) = spread(&wanted, &widths, limits) else { return y };
    let foot = y + longest + 2.0;
    let top = foot + SLANT;
    let (mut leaders, mut frames) = (Path::default(), Path::default());
    for (((notch, text), at), middle) in notches.iter().zip(&texts).zip(wanted).zip(middles) {
        leaders.stroke([at, top + NOTCH], [at, top - 1.0]).stroke([at, top - 1.0], [middle, foot]);
        pen.text_up(text, [middle + SMALL / 2.0, foot - 0.8], SMALL, Hold::Start);
        if notch.chosen {
            let long = width(text, SMALL) + 1.6;
            let wide = UPRIGHT + FRAME - 0.8;
            frames.rectangle([middle - wide / 2.0 + 0.2, foot - long], [wide, long]);
        }
    }
    pen.draw(&leaders, Line::Narrow);
    pen.draw(&frames, Line::Wide);
    top
}

/// The lowest row in which the label of a notch is clear of all others and of their leaders, and its leader of them.
fn place<'a>(view: &RodView<'a>, ruler: &Ruler, notch: &'a Notch, placed: &[Label<'_>]) -> Option<Label<'a>> {
    let reading = view.tape.show(notch.best);
    let price = notch.price.as_deref().map_or(0.0, |price| width(price, SMALL));
    let wide = width(&reading, SMALL).max(price);
    let at = ruler.place(notch);
    let lefts = [at - wide / 2.0, at - 1.2, at - wide + 1.2, at - wide / 4.0, at - wide * 3.0 / 4.0];
    for row in 0..ROWS {
        for left in lefts.map(|left| left.min(view.paper.width() - 1.0 - wide).max(1.0)) {
            let label = Label { notch, reading: reading.clone(), at, left, right: left + wide, row };
            if placed.iter().all(|other| clear(&label, other)) {
                return Some(label);
            }
        }
    }
    None
}

fn clear(a: &Label<'_>, b: &Label<'_>) -> bool {
    let over = |label: &Label<'_>, at: f64| label.left - 0.7 < at && at < label.right + 0.7;
    match a.row.cmp(&b.row) {
        std::cmp::Ordering::Equal => a.right + 2.0 <= b.left || b.right + 2.0 <= a.left,
        std::cmp::Ordering::Less => !over(a, b.at),
        std::cmp::Ordering::Greater => !over(b, a.at),
    }
}

fn write_labels(pen: &mut Pen, labels: &[Label<'_>], top: f64, lines: usize) {
    let (mut leaders, mut frames) = (Path::default(), Path::default());
    for label in labels {
        let foot = top - 2.0 - label.row as f64 * row_height(lines);
        let middle = (label.left + label.right) / 2.0;
        leaders.stroke([label.at, top + NOTCH], [label.at, foot]);
        let reading = foot - 1.2 - if label.notch.price.is_some() { SMALL * LEADING } else { 0.0 };
        pen.text(&label.reading, [middle, reading], SMALL, Hold::Middle);
        if let Some(price) = &label.notch.price {
            pen.text(price, [middle, foot - 1.2], SMALL, Hold::Middle);
        }
        if label.notch.chosen {
            let high = foot - reading + SMALL + 0.9;
            frames.rectangle([label.left - 0.9, foot - high], [label.right - label.left + 1.8, high]);
        }
    }
    pen.draw(&leaders, Line::Narrow);
    pen.draw(&frames, Line::Wide);
}

/// The batten with its notches and graduation.
fn batten(pen: &mut Pen, view: &RodView<'_>, ruler: &Ruler, top: f64) {
    let mut outline = Path::default();
    outline.rectangle([0.0 + 0.25, top], [view.paper.width() - 0.5, BATTEN]);
    pen.draw(&outline, Line::Wide);
    let (mut open, mut walls, mut best) = (Path::default(), Path::default(), Path::default());
    for [from, to] in stretches(view, ruler) {
        if to - from < 1.0 {
            let middle = (from + to) / 2.0;
            let (from, to) = (middle - 0.8, middle + 0.8);
            open.polygon(&[[from, top - 0.5], [to, top - 0.5], [to, top], [middle, top + NOTCH], [from, top]]);
            walls.stroke([from, top], [middle, top + NOTCH]).stroke([middle, top + NOTCH], [to, top]);
        } else {
            open.rectangle([from, top - 0.5], [to - from, NOTCH + 0.5]);
            walls.stroke([from, top], [from, top + NOTCH]).stroke([from, top + NOTCH], [to, top + NOTCH]);
            walls.stroke([to, top + NOTCH], [to, top]);
        }
    }
    for notch in view.notches.iter().filter(|notch| notch.from < notch.to && ruler.holds(notch)) {
        let at = ruler.place(notch);
        best.stroke([at, top + NOTCH - 1.5], [at, top + NOTCH]);
    }
    pen.draw(&open, Line::Cover);
    pen.draw(&walls, Line::Wide);
    pen.draw(&best, Line::Narrow);
    let mut ticks = Path::default();
    let (fine, coarse) = (graduation(view.tape, ruler.factor, 1.0), label_step(view, ruler));
    for at in ruler.steps(fine) {
        let long = if at.is_on(coarse) { 4.0 } else { 2.0 };
        ticks.stroke([ruler.x(at), top + BATTEN - long], [ruler.x(at), top + BATTEN]);
    }
    pen.draw(&ticks, Line::Narrow);
}

/// The stretches of all notches on paper, those that touch taken together.
fn stretches(view: &RodView<'_>, ruler: &Ruler) -> Vec<[f64; 2]> {
    let mut all: Vec<[f64; 2]> =
        view.notches.iter().filter(|notch| ruler.holds(notch)).map(|notch| ruler.stretch(notch)).collect();
    all.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let mut merged: Vec<[f64; 2]> = Vec::new();
    for [from, to] in all {
        match merged.last_mut() {
            Some(last) if from <= last[1] => last[1] = last[1].max(to),
            _ => merged.push([from, to]),
        }
    }
    merged
}

/// How far the figures of the graduation stand apart.
fn label_step(view: &RodView<'_>, ruler: &Ruler) -> Length {
    let widest = width(&view.tape.show(ruler.to), SMALL).max(width(&view.tape.show(ruler.from), SMALL));
    graduation(view.tape, ruler.factor, widest.max(6.0) + 4.0)
}

/// The figures of the graduation, and what is wished and chosen; where the drawing ends.
fn below(pen: &mut Pen, view: &RodView<'_>, ruler: &Ruler, bottom: f64) -> f64 {
    let (wish, chosen) = (ruler.x(view.wish), ruler.x(view.chosen));
    for at in ruler.steps(label_step(view, ruler)) {
        let (text, x) = (view.tape.show(at), ruler.x(at));
        let half = width(&text, SMALL) / 2.0;
        let free = [wish, chosen].iter().all(|mark| (x - mark).abs() > half + 1.5);
        if free && x - half >= 0.0 && x + half <= view.paper.width() {
            pen.text(&text, [x, bottom + SMALL + 1.5], SMALL, Hold::Middle);
        }
    }
    let wished = view.tape.show(view.wish);
    if view.wish == view.chosen {
        return mark(pen, chosen, bottom, 0, &format!("wished and chosen {wished}"), true, view.paper);
    }
    mark(pen, wish, bottom, 0, &format!("wished {wished}"), false, view.paper);
    mark(pen, chosen, bottom, 1, &format!("chosen {}", view.tape.show(view.chosen)), true, view.paper)
}

/// A triangle that points at the rod from below, with words in a row of their own; where that row ends.
fn mark(pen: &mut Pen, x: f64, bottom: f64, row: usize, words: &str, solid: bool, paper: Paper) -> f64 {
    let base = bottom + 7.5 + row as f64 * 5.0;
    let (mut stem, mut point) = (Path::default(), Path::default());
    stem.stroke([x, bottom + 2.0], [x, base]);
    point.polygon(&[[x, bottom + 0.2], [x + 1.3, bottom + 2.8], [x - 1.3, bottom + 2.8]]);
    pen.draw(&stem, if solid { Line::Wide } else { Line::Narrow });
    pen.draw(&point, if solid { Line::Solid } else { Line::FineOutline });
    let half = width(words, SMALL) / 2.0;
    let middle = x.min(paper.width() - half).max(half);
    pen.text(words, [middle, base + SMALL], SMALL, Hold::Middle);
    base + SMALL + 1.5
}
