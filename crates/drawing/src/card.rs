//! One setting of the saw, seen from above: fence, blade and stop, the part between them, and the rest that stays in the hand.
//! Not to scale: what counts are the sides and the figures.

use crate::lettering::{LARGE, SMALL};
use crate::paper::{Paper, exact};
use crate::pen::{Hold, Line, Path, Pen};
use crate::svg::Svg;
use measure::{Length, Tape};

/// What lies at the saw at one setting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardView {
    /// The card's number.
    pub number: usize,
    /// The part that is cut first, or the strip.
    pub part: String,
    /// Where stop or fence stands.
    pub stop: Length,
    /// What the rest reads once that is cut.
    pub rest: Length,
    /// How the saw is set.
    pub way: Setting,
}

/// How the saw is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// A strip is ripped off along the fence.
    Rip,
    /// A part is cut off at the stop. Mitre and tilt of both ends, in tenths of a degree.
    Crosscut([[i32; 2]; 2]),
}

/// How wide the drawing is: it fits a phone.
const WIDE: f64 = 90.0;
/// From where to where the part lies, and how high it is drawn.
const PART: [f64; 2] = [43.0, 80.0];
const HIGH: f64 = 13.0;
/// The gap that the blade makes.
const KERF: f64 = 1.6;
/// The most that a slanted end leans on paper.
const LEAN: f64 = 12.0;

/// One setting: the stop to the right of the blade, the rest to its left; of a rip the fence below.
pub fn card(view: &CardView, tape: Tape) -> Svg {
    let mut pen = Pen::new();
    let (said, high) = match view.way {
        Setting::Crosscut(ends) => crosscut(&mut pen, view, ends, tape),
        Setting::Rip => rip(&mut pen, view, tape),
    };
    let title = format!("Card {} at the saw", view.number);
    pen.finish([WIDE.min(Paper::Phone.width()), high], title, said)
}

fn crosscut(pen: &mut Pen, view: &CardView, ends: [[i32; 2]; 2], tape: Tape) -> (String, f64) {
    let top = 9.0;
    let foot = top + HIGH;
    let [left, right] = leans(ends);
    let [from, to] = PART;
    let part = [[from, top], [to, top], [to + right, foot], [from + left, foot]];
    let mut wide = Path::default();
    wide.polygon(&part).stroke([2.0, top - 1.2], [WIDE - 2.0, top - 1.2]);
    // The rest is thin and broken: how long it is, is told.
    let end = [from - KERF, from - KERF + left];
    let mut rest = Path::default();
    rest.stroke([end[0], top], [2.0, top]).stroke([end[1], foot], [2.0, foot]).stroke([end[0], top], [end[1], foot]);
    zigzag(&mut rest, 2.0, [top, foot]);
    pen.draw(&wide, Line::Wide);
    pen.draw(&rest, Line::Narrow);
    let middle = from - KERF / 2.0;
    let slope = left / HIGH;
    let mut blade = Path::default();
    blade.stroke([middle - 4.0 * slope, top - 4.0], [middle + left + 3.0 * slope, foot + 3.0]);
    pen.draw(&blade, Line::Centre);
    stop(pen, to, top);
    let y = top + (HIGH + SMALL) / 2.0;
    pen.text(&view.part, [(from + to) / 2.0 + (left + right) / 2.0, top + (HIGH + LARGE) / 2.0], LARGE, Hold::Middle);
    let reads = exact(tape, view.rest);
    pen.text(&format!("rest {reads}"), [20.0, y], SMALL, Hold::Middle);
    pen.text("fence", [2.0, top - 3.2], SMALL, Hold::Start);
    pen.text("blade", [middle - 1.0, top - 5.2], SMALL, Hold::Middle);
    pen.text("stop", [to + 4.5, top - 5.2], SMALL, Hold::Middle);
    let below = dimension(pen, view.stop, foot, tape);
    let said = format!(
        "The fence runs along the back, the stop stands {} to the right of the blade, {} lies between them, and the rest to the left reads {reads} after the cut.",
        exact(tape, view.stop),
        view.part
    );
    (said, below)
}

/// How far the foot of each end lies to the right of its head at the fence: the long point of a trapezium is at the fence.
fn leans(ends: [[i32; 2]; 2]) -> [f64; 2] {
    let lean = |mitre: i32| {
        // A saw turns by less than a right angle.
        let radians = f64::from(mitre.abs().min(890)) * (std::f64::consts::PI / 1800.0);
        (HIGH * libm::tan(radians)).min(LEAN)
    };
    let [first, last] = ends.map(|end| end[0]);
    match (first, last) {
        (0, last) => [lean(last), 0.0],
        (first, last) if i64::from(first) * i64::from(last) < 0 => [lean(first), lean(last)],
        (first, last) => [lean(first), -lean(last)],
    }
}

/// The stop: a block against the far end of the part.
fn stop(pen: &mut Pen, x: f64, top: f64) {
    let (wide, from, to) = (7.0, top - 3.0, top + 6.0);
    let mut block = Path::default();
    block.rectangle([x, from], [wide, to - from]);
    let mut hatch = Path::default();
    let mut y = from + 1.5;
    while y < to + wide {
        // Each stroke rises to the right, from the block's left or lower edge to its upper or right one.
        let below = (y - to).max(0.0);
        let above = wide.min(y - from);
        hatch.stroke([x + below, y - below], [x + above, y - above]);
        y += 1.5;
    }
    pen.draw(&hatch, Line::Narrow);
    pen.draw(&block, Line::Wide);
}

fn zigzag(path: &mut Path, x: f64, [top, foot]: [f64; 2]) {
    let points = [[x, top], [x, top + 4.5], [x - 1.2, top + 5.5], [x + 1.2, foot - 5.5], [x, foot - 4.5], [x, foot]];
    for pair in points.windows(2) {
        path.stroke(pair[0], pair[1]);
    }
}

/// The distance from blade to stop along the fence, below; where the drawing ends.
fn dimension(pen: &mut Pen, stop: Length, foot: f64, tape: Tape) -> f64 {
    let line = foot + 7.0;
    let [from, to] = PART;
    let (mut thin, mut ends) = (Path::default(), Path::default());
    thin.stroke([from, line], [to, line]);
    for x in [from, to] {
        thin.stroke([x, foot + 1.0], [x, line + 1.0]);
        ends.stroke([x - 1.0, line + 1.0], [x + 1.0, line - 1.0]);
    }
    pen.draw(&thin, Line::Narrow);
    pen.draw(&ends, Line::Wide);
    pen.text(&exact(tape, stop), [(from + to) / 2.0, line + LARGE + 1.5], LARGE, Hold::Middle);
    line + LARGE + 3.0
}

fn rip(pen: &mut Pen, view: &CardView, tape: Tape) -> (String, f64) {
    let [left, right] = [2.0, 66.0];
    let (top, blade, fence) = (1.5, 14.0, 25.0);
    let mut rest = Path::default();
    rest.stroke([left, blade - KERF], [right, blade - KERF]).stroke([right, blade - KERF], [right, top + 2.0]);
    rest.stroke([left, blade - KERF], [left, top + 2.0]);
    let steps = [
        [left, top + 2.0],
        [30.0, top + 2.0],
        [31.0, top + 0.5],
        [37.0, top + 3.5],
        [38.0, top + 2.0],
        [right, top + 2.0],
    ];
    steps.windows(2).for_each(|two| {
        rest.stroke(two[0], two[1]);
    });
    let mut strip = Path::default();
    strip.rectangle([left, blade], [right - left, fence - blade]);
    strip.stroke([left, fence + 1.2], [WIDE - 2.0, fence + 1.2]);
    let mut cut = Path::default();
    cut.stroke([left, blade - KERF / 2.0], [right + 5.0, blade - KERF / 2.0]);
    pen.draw(&rest, Line::Narrow);
    pen.draw(&cut, Line::Centre);
    pen.draw(&strip, Line::Wide);
    let (middle, reads) = ((left + right) / 2.0, exact(tape, view.rest));
    pen.text(&format!("rest {reads}"), [middle, 10.0], SMALL, Hold::Middle);
    pen.text(&view.part, [middle, (blade + fence + LARGE) / 2.0], LARGE, Hold::Middle);
    pen.text("fence", [WIDE - 2.0, fence + 5.2], SMALL, Hold::End);
    pen.text("blade", [WIDE - 2.0, blade - KERF / 2.0 + SMALL / 2.0], SMALL, Hold::End);
    let (mut thin, mut ends) = (Path::default(), Path::default());
    let x = right + 3.0;
    thin.stroke([x, blade], [x, fence]);
    for y in [blade, fence] {
        ends.stroke([x - 1.0, y + 1.0], [x + 1.0, y - 1.0]);
    }
    pen.draw(&thin, Line::Narrow);
    pen.draw(&ends, Line::Wide);
    pen.text(&exact(tape, view.stop), [x + 1.8, (blade + fence + SMALL) / 2.0], SMALL, Hold::Start);
    let said = format!(
        "Strip {} is ripped {} wide between fence and blade; the rest reads {reads} after it.",
        view.part,
        exact(tape, view.stop)
    );
    (said, fence + 7.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Unit;

    fn view(way: Setting) -> CardView {
        CardView { number: 3, part: "AA24".into(), stop: Length::nm(1_536_500_000), rest: Length::mm(2044), way }
    }

    /// No text lies over another and none beyond the paper, on either tape and at every slant.
    #[test]
    fn texts_keep_clear_of_one_another() {
        let slants = [[[0; 2]; 2], [[-450, 0], [-450, 0]], [[-225, 100], [225, -100]], [[-600, 0], [0, 0]]];
        let ways = slants.into_iter().map(Setting::Crosscut).chain([Setting::Rip]);
        for way in ways {
            for unit in [Unit::Millimetre, Unit::Inch, Unit::FootInch] {
                let svg = card(&view(way), Tape::usual(unit));
                for (place, text) in svg.texts.iter().enumerate() {
                    let inside = text.x >= 0.0 && text.x + text.width <= svg.width_mm + 1e-6 && text.y >= 0.0;
                    assert!(inside && text.y + text.height <= svg.height_mm + 1e-6, "{way:?} {unit:?}: {text:?}");
                    let over = svg.texts[place + 1..].iter().find(|other| text.overlaps(other));
                    assert!(over.is_none(), "{way:?} {unit:?}: {text:?} over {over:?}");
                }
            }
        }
    }

    /// A trapezium has its long point at the fence: its foot is shorter at both ends; a parallelogram leans one way; a single
    /// slanted end is the blade's.
    #[test]
    fn ends_lean_as_they_are_cut() {
        let at_45 = HIGH.min(LEAN);
        let close = |[a, b]: [f64; 2], [c, d]: [f64; 2]| (a - c).abs() < 1e-9 && (b - d).abs() < 1e-9;
        assert!(close(leans([[-450, 0], [-450, 0]]), [at_45, -at_45]));
        assert!(close(leans([[-450, 0], [450, 0]]), [at_45, at_45]));
        assert!(close(leans([[0, 0], [450, 0]]), [at_45, 0.0]));
        assert!(close(leans([[0, 300], [0, 300]]), [0.0, 0.0]));
    }
}
