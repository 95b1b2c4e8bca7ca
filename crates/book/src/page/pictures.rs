//! The drawings of the page.

use advise::Settled;
use drawing::{Body, BodyPart, Group, Notch, Paper, RodView, Svg};
use measure::{Length, Tape};
use model::build::{Build, Step};
use model::part::Part;
use stages::make::Work;
use std::collections::BTreeMap;

/// The rod of each size that can move: where it comes out, and what the plan costs there.
pub(super) fn rods(settled: &Settled) -> String {
    let chosen = &settled.ways[settled.chosen].closing;
    let mut text = String::from(
        "<p>Each ruler is notched where everything that hangs on that size comes out; the figure at a notch is what all boards, sheets and units cost there.</p>\n",
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

/// From above, from the front, from the side, cut through, and taken apart: each group of pieces that stand together by
/// itself.
pub(super) fn views(settled: &Settled) -> String {
    drawing::groups(&settled.build).iter().map(|group| views_of(group, settled.plan.tape)).collect()
}

fn views_of(group: &Group, tape: Tape) -> String {
    let views: [fn(&Group, Tape, Paper) -> Svg; 3] = [Group::plan, Group::front, Group::side];
    let views: String = views.iter().map(|view| figure(|paper| view(group, tape, paper))).collect();
    // A large build is drawn once for page and phone: the phone has little use for thousands of parts.
    if group.build.parts.len() > MOST_BUILT_UP {
        let once = [group.section(tape, Paper::Page), group.exploded(Paper::Page)];
        return views + &once.map(|svg| plain(&svg.inline())).concat();
    }
    views + &figure(|paper| group.section(tape, paper)) + &figure(|paper| group.exploded(paper))
}

/// Beyond so many parts the pictures of the steps show less than the exploded view, and take their time.
const MOST_BUILT_UP: usize = 2_000;
/// So many pictures of steps can still be followed on a page; with more steps each picture shows what a piece adds.
const MOST_PICTURES: usize = 24;

/// How it is built up, a picture for each step that puts parts in place, or for each piece where steps are many; empty for a
/// large build.
pub(super) fn build_up(settled: &Settled) -> String {
    let build = &settled.build;
    if build.parts.len() > MOST_BUILT_UP {
        return String::new();
    }
    let (steps, captions) = stages_of(settled);
    let pages = drawing::build_up_in_pages(build, &steps, &captions, Paper::Page);
    pages.iter().map(|svg| plain(&svg.inline())).collect()
}

/// The same, each picture by itself with its caption.
pub(super) fn one_by_one(settled: &Settled) -> Vec<(String, String)> {
    if settled.build.parts.len() > MOST_BUILT_UP {
        return Vec::new();
    }
    let (steps, captions) = stages_of(settled);
    let pictures = drawing::build_up_one_by_one(&settled.build, &steps, &captions, Paper::Phone);
    captions.into_iter().zip(pictures.iter().map(|svg| svg.inline())).collect()
}

/// The build as a body to turn, with the same steps.
pub(super) fn body(settled: &Settled) -> Option<Body> {
    let build = &settled.build;
    if build.parts.len() > MOST_BUILT_UP {
        return None;
    }
    let part = |(at, part): (usize, &Part)| {
        let of = part.stock.kind.word().to_owned();
        Some((at, BodyPart { id: part.id.clone(), of, solid: part.shape()? }))
    };
    let shaped = build.parts.iter().enumerate().filter(|(_, part)| part.extent().iter().all(|size| size.as_mm() > 0.0));
    let (places, parts): (Vec<usize>, Vec<BodyPart>) = shaped.filter_map(part).unzip();
    let step = |step: Vec<usize>| step.iter().filter_map(|part| places.binary_search(part).ok()).collect();
    let (steps, _) = stages_of(settled);
    Some(Body { parts, steps: steps.into_iter().map(step).collect() })
}

/// The parts that each picture adds, and what is written below it: the numbers of its steps, the piece and, if it is
/// one, the course.
pub(crate) fn stages_of(settled: &Settled) -> (Vec<Vec<usize>>, Vec<String>) {
    let places: BTreeMap<_, usize> = settled.build.parts.iter().enumerate().map(|(at, part)| (&part.key, at)).collect();
    let placed = settled.making.steps.iter().enumerate();
    let placed: Vec<(usize, &Step)> = placed
        .filter(|(_, ordered)| ordered.work == Work::Place && !ordered.step.parts.is_empty())
        .map(|(number, ordered)| (number + 1, &ordered.step))
        .collect();
    let by_piece = placed.len() > MOST_PICTURES;
    let mut pictures: Vec<(Vec<usize>, Vec<usize>, &str)> = Vec::new();
    for (number, step) in placed {
        let parts = step.parts.iter().filter_map(|key| places.get(key).copied());
        match pictures.last_mut().filter(|last| by_piece && last.2 == step.piece) {
            Some(last) => {
                last.0.extend(parts);
                last.1.push(number);
            }
            None => pictures.push((parts.collect(), vec![number], &step.piece)),
        }
    }
    let caption = |(parts, numbers, piece): &(Vec<usize>, Vec<usize>, &str)| {
        let course = course(&settled.build, parts).map_or(String::new(), |course| format!(", course {course}"));
        match numbers.as_slice() {
            [first, .., last] => format!("{first}\u{2013}{last} {piece}{course}"),
            _ => format!("{} {piece}{course}", numbers[0]),
        }
    };
    let captions = pictures.iter().map(caption).collect();
    (pictures.into_iter().map(|(parts, _, _)| parts).collect(), captions)
}

/// The course that parts make, from 1; `None` if they are of several, or if their face of the piece has no other.
fn course(build: &Build, parts: &[usize]) -> Option<u32> {
    let key = &build.parts[*parts.first()?].key;
    let alone = parts.iter().all(|&part| build.parts[part].key.course == key.course);
    let beside = |other: &model::part::PartKey| {
        (&other.piece, &other.role, &other.face) == (&key.piece, &key.role, &key.face) && other.course != key.course
    };
    let others = build.parts.iter().any(|part| beside(&part.key));
    (alone && others).then_some(key.course + 1)
}

/// How to mark out and cut each kind of part that is not square; empty where all are.
pub(super) fn parts(settled: &Settled) -> String {
    let (build, tape) = (&settled.build, settled.plan.tape);
    if drawing::parts_in_pages(build, tape, Paper::Page).is_empty() {
        return String::new();
    }
    let heading = "<h3>Parts that are not square</h3>\n";
    heading.to_owned() + &figure(|paper| drawing::parts(build, tape, paper))
}

/// How each kind of joint is made, and where the holes go; empty where nothing is screwed.
pub(super) fn joints(settled: &Settled) -> String {
    let (build, joints, tape) = (&settled.build, &settled.joints, settled.plan.tape);
    if joints.made.is_empty() {
        return String::new();
    }
    let screws = screws(settled);
    let large = build.parts.len() > MOST_BUILT_UP;
    let details = figures(large, |paper| drawing::details_in_pages(build, joints, &screws, tape, paper));
    let templates = figures(large, |paper| drawing::templates_in_pages(build, joints, tape, paper));
    format!("<h3>How each joint is made</h3>\n{details}<h3>Where the holes go</h3>\n{templates}")
}

/// The screws by their names in the shop, in the order of the shelf.
pub(crate) fn screws(settled: &Settled) -> Vec<String> {
    settled.plan.yard.screws.iter().map(|screw| screw.label.clone()).collect()
}

/// A drawing that is the same on a page and on a phone, where it can be pushed sideways.
fn plain(svg: &str) -> String {
    format!("<figure class=\"plain\" tabindex=\"0\">\n{svg}\n</figure>\n")
}

/// A drawing in several pages, once for a page and once for a phone, of which the style sheet shows one; once for both of a large
/// build.
fn figures(large: bool, draw: impl Fn(Paper) -> Vec<Svg>) -> String {
    let one =
        |class: &str, svg: &Svg| format!("<figure class=\"{class}\" tabindex=\"0\">\n{}\n</figure>\n", svg.inline());
    let all = |class: &str, paper: Paper| draw(paper).iter().map(|svg| one(class, svg)).collect::<String>();
    if large {
        return all("plain", Paper::Page);
    }
    all("wide", Paper::Page) + &all("narrow", Paper::Phone)
}

/// The marks of each row, each different row once, and where posts, rails, joists and their like go.
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
    text + &figures(false, |paper| drawing::set_out_in_pages(&settled.build, settled.plan.tape, paper))
}

/// A drawing, once for a page and once for a phone, of which the style sheet shows one. It carries its own title.
pub(super) fn figure(draw: impl Fn(Paper) -> Svg) -> String {
    let (wide, narrow) = (draw(Paper::Page).inline(), draw(Paper::Phone).inline());
    format!(
        "<figure class=\"wide\" tabindex=\"0\">\n{wide}\n</figure>\n<figure class=\"narrow\" tabindex=\"0\">\n{narrow}\n</figure>\n"
    )
}
