//! The drawings of the page.

use advise::Settled;
use drawing::{Notch, Paper, RodView, Svg};
use measure::{Length, Tape};
use model::build::Build;

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
        let title = size.name.replace('.', " ");
        let view = |paper: Paper| RodView {
            title: &title,
            tape: settled.plan.tape,
            from: Length::nm(size.wish.from),
            to: Length::nm(size.wish.to),
            wish: Length::nm(size.wish.want),
            chosen: Length::nm(at),
            notches: &notches,
            paper,
        };
        text += &figure(|paper| drawing::rod(&view(paper)));
    }
    text
}

/// From above, from the front, from the side.
pub(super) fn views(settled: &Settled) -> String {
    let (build, tape) = (&settled.build, settled.plan.tape);
    let views: [fn(&Build, Tape, Paper) -> Svg; 3] = [drawing::plan, drawing::front, drawing::side];
    views.iter().map(|view| figure(|paper| view(build, tape, paper))).collect()
}

/// The marks of each row, each different row once.
pub(super) fn marks(settled: &Settled) -> String {
    let mut drawn: Vec<&model::build::Row> = Vec::new();
    let mut text = String::from(
        "<p>Measure each mark from the same end. A spacer that is a little off adds up; marks from one datum do not.</p>\n",
    );
    for row in &settled.build.rows {
        let same = |other: &&&model::build::Row| {
            (other.length, &other.pattern, other.count, other.gaps, other.starts_with_gap)
                == (row.length, &row.pattern, row.count, row.gaps, row.starts_with_gap)
        };
        if drawn.iter().find(same).is_none() && row.count > 1 {
            text += &figure(|paper| drawing::marks_on(row, settled.plan.tape, paper));
            drawn.push(row);
        }
    }
    text
}

/// A drawing, once for a page and once for a phone, of which the style sheet shows one. It carries its own title.
pub(super) fn figure(draw: impl Fn(Paper) -> Svg) -> String {
    let (wide, narrow) = (draw(Paper::Page).inline(), draw(Paper::Phone).inline());
    format!(
        "<figure class=\"wide\" tabindex=\"0\">\n{wide}\n</figure>\n<figure class=\"narrow\" tabindex=\"0\">\n{narrow}\n</figure>\n"
    )
}
