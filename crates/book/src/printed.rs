//! The drawings as sheets to print: each in a frame with a title block, one file for each.

use crate::page::pictures;
use advise::Settled;
use drawing::{Paper, Svg, TitleBlock};

/// A drawing to print.
pub struct DrawingSheet {
    /// The name of its file: `03-side.svg`.
    pub name: String,
    /// The drawing, as a whole SVG file.
    pub svg: String,
}

/// Every drawing of a settled plan on A4, in the order in which they are used: views, section, where posts
/// and joists go, exploded view, parts that are not square, build-up, joints, hole templates.
pub fn drawings(settled: &Settled) -> Vec<DrawingSheet> {
    let (build, joints, tape) = (&settled.build, &settled.joints, settled.plan.tape);
    let paper = Paper::A4Portrait;
    let mut sheets: Vec<(&str, Svg)> = vec![
        ("plan", drawing::plan(build, tape, paper)),
        ("front", drawing::front(build, tape, paper)),
        ("side", drawing::side(build, tape, paper)),
        ("section", drawing::section(build, None, tape, paper)),
    ];
    sheets.extend(drawing::set_out_in_pages(build, tape, paper).into_iter().map(|svg| ("set-out", svg)));
    sheets.push(("exploded", drawing::exploded(build, paper)));
    sheets.extend(drawing::parts_in_pages(build, tape, paper).into_iter().map(|svg| ("parts", svg)));
    let (steps, captions) = pictures::stages_of(settled);
    let built_up = drawing::build_up_in_pages(build, &steps, &captions, paper);
    sheets.extend(built_up.into_iter().map(|svg| ("build-up", svg)));
    if !joints.made.is_empty() {
        let details = drawing::details_in_pages(build, joints, &pictures::screws(settled), tape, paper);
        sheets.extend(details.into_iter().map(|svg| ("joints", svg)));
        let templates = drawing::templates_in_pages(build, joints, tape, paper);
        sheets.extend(templates.into_iter().map(|svg| ("holes", svg)));
    }
    // There are few sheets, far fewer than a u32 counts.
    let of = sheets.len() as u32;
    let framed = |(place, (name, svg)): (usize, (&str, Svg))| {
        let sheet = place as u32 + 1;
        let block = TitleBlock { project: &settled.plan.title, tape, sheet, of };
        let svg = drawing::framed(&svg, &block, paper);
        DrawingSheet { name: format!("{sheet:02}-{name}.svg"), svg: svg.standalone() }
    };
    sheets.into_iter().enumerate().map(framed).collect()
}
