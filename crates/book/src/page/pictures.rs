//! The drawings of the page.

use advise::Settled;
use drawing::{Notch, Paper, RodView, Svg};
use measure::Length;

/// The rod of each size that can move: where it comes out, and what the plan costs there.
pub(super) fn rods(settled: &Settled) -> String {
    let chosen = &settled.ways[settled.chosen].closing;
    let mut text = String::from(
        "<p>Each ruler is notched where everything that hangs on that size comes out; the figure at a notch is what the whole plan costs there.</p>\n",
    );
    for windows in &settled.windows {
        let size = &settled.asked.problem.sizes[windows.size];
        if size.wish.from == size.wish.to {
            continue;
        }
        let at = chosen.sizes[windows.size];
        let notch = |notch: &advise::windows::Notch| Notch {
            from: Length::nm(notch.from),
            to: Length::nm(notch.to),
            best: Length::nm(notch.best),
            price: notch.price.map(|price| price.total.to_string()),
            chosen: notch.from <= at && at <= notch.to,
        };
        let notches: Vec<Notch> = windows.notches.iter().map(notch).collect();
        let view = RodView {
            title: &size.name.replace('.', " "),
            tape: settled.plan.tape,
            from: Length::nm(size.wish.from),
            to: Length::nm(size.wish.to),
            wish: Length::nm(size.wish.want),
            chosen: Length::nm(at),
            notches: &notches,
            paper: Paper::Page,
        };
        text += &figure(&drawing::rod(&view));
    }
    text
}

/// From above, from the front, from the side.
pub(super) fn views(settled: &Settled) -> String {
    let (build, tape) = (&settled.build, settled.plan.tape);
    let views = [
        drawing::plan(build, tape, Paper::Page),
        drawing::front(build, tape, Paper::Page),
        drawing::side(build, tape, Paper::Page),
    ];
    views.iter().map(figure).collect()
}

/// The marks of each row, each different row once.
pub(super) fn marks(settled: &Settled) -> String {
    let mut drawn: Vec<&model::build::Row> = Vec::new();
    let mut text = String::from(
        "<p>Measure each mark from the same end. A spacer that is a little off adds up; marks from one datum do not.</p>\n",
    );
    for row in &settled.build.rows {
        let same = |other: &&&model::build::Row| {
            (other.length, other.member, other.count, other.gaps, other.starts_with_gap)
                == (row.length, row.member, row.count, row.gaps, row.starts_with_gap)
        };
        if drawn.iter().find(same).is_none() && row.count > 1 {
            text += &figure(&drawing::marks(row, settled.plan.tape));
            drawn.push(row);
        }
    }
    text
}

/// A drawing; it carries its own title.
pub(super) fn figure(svg: &Svg) -> String {
    format!("<figure tabindex=\"0\">\n{}\n</figure>\n", svg.inline())
}
