//! The drawings as sheets to print: each in a frame with a title block, one file for each.

use crate::page::pictures;
use crate::sawn;
use advise::Settled;
use drawing::{Group, Paper, Svg, TitleBlock};
use measure::Tape;

/// A drawing to print.
pub struct DrawingSheet {
    /// The name of its file: `03-side.svg`.
    pub name: String,
    /// The drawing, as a whole SVG file.
    pub svg: String,
}

/// Every drawing of a settled plan on A4, in the order in which they are used: views, section and exploded view of each group
/// of pieces that stand together, where posts and joists go, the parts list, boards and sheets at the saw, parts that are not
/// square, build-up, joints, hole templates.
pub fn drawings(settled: &Settled) -> Vec<DrawingSheet> {
    let (build, joints, tape) = (&settled.build, &settled.joints, settled.plan.tape);
    let paper = Paper::A4Portrait;
    let groups = drawing::groups(build);
    let mut sheets: Vec<(String, Svg)> = groups.iter().flat_map(|group| views(group, tape, paper)).collect();
    let mut add = |name: &str, pages: Vec<Svg>| sheets.extend(pages.into_iter().map(|svg| (name.to_owned(), svg)));
    add("set-out", drawing::set_out_in_pages(build, tape, paper));
    let label = |stock| settled.plan.yard.label(stock).1.to_owned();
    add("parts-list", drawing::parts_list_in_pages(build, joints, &label, tape, paper));
    let boards = settled.cutting.sections.iter().flat_map(|section| sawn::boards(settled, section));
    add("saw", drawing::boards_in_pages(&boards.collect::<Vec<_>>(), tape, paper));
    let panels = settled.cutting.sheets.iter().flat_map(|sheets| sawn::sheets(settled, sheets));
    add("saw", drawing::sheets_in_pages(&panels.collect::<Vec<_>>(), tape, paper));
    add("parts", drawing::parts_in_pages(build, tape, paper));
    let (steps, captions) = pictures::stages_of(settled);
    add("build-up", drawing::build_up_in_pages(build, &steps, &captions, paper));
    if !joints.made.is_empty() {
        add("joints", drawing::details_in_pages(build, joints, &pictures::screws(settled), tape, paper));
        add("holes", drawing::templates_in_pages(build, joints, tape, paper));
    }
    // There are few sheets, far fewer than a u32 counts.
    let of = sheets.len() as u32;
    let framed = |(place, (name, svg)): (usize, (String, Svg))| {
        let sheet = place as u32 + 1;
        let block = TitleBlock { project: &settled.plan.title, tape, sheet, of };
        let svg = drawing::framed(&svg, &block, paper);
        DrawingSheet { name: format!("{sheet:02}-{name}.svg"), svg: svg.standalone() }
    };
    sheets.into_iter().enumerate().map(framed).collect()
}

/// The views of one group: its piece is in the names of their files where there are several.
fn views(group: &Group, tape: Tape, paper: Paper) -> Vec<(String, Svg)> {
    let piece = if group.title.is_empty() { String::new() } else { format!("-{}", group.piece) };
    let views = [
        ("plan", group.plan(tape, paper)),
        ("front", group.front(tape, paper)),
        ("side", group.side(tape, paper)),
        ("section", group.section(tape, paper)),
        ("exploded", group.exploded(paper)),
    ];
    views.into_iter().map(|(name, svg)| (format!("{name}{piece}"), svg)).collect()
}
