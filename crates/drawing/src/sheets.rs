//! Sheets as they are cut: strips ripped off first, panels crosscut from the strips.

use crate::boards::{Block, headed, in_pages, stack};
use crate::lettering::{LARGE, SMALL, width, wrap};
use crate::paper::{Paper, exact, figures};
use crate::pen::{Hold, LEADING, Line, Path, Pen};
use crate::readings::{UPRIGHT, spread};
use crate::svg::Svg;
use measure::{Length, Tape};

/// One way of cutting a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetView {
    /// The sheet under its shop name.
    pub label: String,
    /// The numbers that the cards at the saw call these sheets by: `sheet 3`, `sheets 1–2`; empty if they have none.
    pub called: String,
    /// Along the grain.
    pub length: Length,
    /// Across it.
    pub width: Length,
    /// What is taken off both ends together, and off both long edges together, kerfs included.
    pub trim: [Length; 2],
    /// What the blade turns to dust.
    pub kerf: Length,
    /// The strips from the first edge on.
    pub strips: Vec<StripView>,
    /// How many sheets are cut so.
    pub times: u32,
    /// What is left of the width.
    pub left: Length,
    /// Whether it only comes out if the sheet is measured first.
    pub tight: bool,
    /// What else is to be said, if anything.
    pub note: String,
}

/// A strip along the length of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StripView {
    /// How wide it is ripped.
    pub width: Length,
    /// Its panels in the order of cutting.
    pub panels: Vec<PanelView>,
    /// What is left of its length.
    pub left: Length,
}

/// A panel in a strip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PanelView {
    /// What is written on it.
    pub id: String,
    /// Along the strip.
    pub length: Length,
    /// Across the strip: the strip's width, or less.
    pub width: Length,
}

/// The room to the right of a sheet for the readings of the rips.
const RIGHT: f64 = 20.0;
/// The highest that a sheet is drawn.
const HIGHEST: f64 = 110.0;
const MOST_LINES: usize = 40;

/// All sheets, one below the other, to one proportion: panels with ids and sizes; on the right the running reading of each
/// rip from the first edge, along each strip the running reading of each crosscut, where there is room.
pub fn sheets(views: &[SheetView], tape: Tape, paper: Paper) -> Svg {
    page(blocks(views, tape, paper), tape, paper)
}

/// The same in as many drawings as it takes for each to be no higher than the paper, so far as a single sheet is not.
pub fn sheets_in_pages(views: &[SheetView], tape: Tape, paper: Paper) -> Vec<Svg> {
    in_pages(blocks(views, tape, paper), paper).into_iter().map(|blocks| page(blocks, tape, paper)).collect()
}

fn page(blocks: Vec<Block>, tape: Tape, paper: Paper) -> Svg {
    let heading = format!(
        "Readings run from the squared upper edge and left end; the face grain runs from left to right{}",
        figures(tape)
    );
    stack(blocks, &heading, "Sheets as they are cut", paper)
}

fn blocks(views: &[SheetView], tape: Tape, paper: Paper) -> Vec<Block> {
    let most = |size: fn(&SheetView) -> Length| views.iter().map(size).max().unwrap_or(Length::ZERO).max(Length::mm(1));
    let (long, wide) = (most(|view| view.length), most(|view| view.width));
    let factor = ((paper.width() - RIGHT) / long.as_mm()).min(HIGHEST / wide.as_mm());
    views.iter().map(|view| block(view, factor, tape, paper)).collect()
}

fn block(view: &SheetView, factor: f64, tape: Tape, paper: Paper) -> Block {
    let mut pen = Pen::new();
    let times = if view.times == 1 { String::new() } else { format!("{} × ", view.times) };
    let heading = headed(&view.called, format!("{times}{}", view.label));
    let y = pen.lines(&wrap(&heading, LARGE, paper.width(), 2), [0.0, LARGE + 0.3], LARGE) - LARGE + SMALL - 0.6;
    let top = pen.lines(&wrap(&said(view, tape), SMALL, paper.width(), 4), [0.0, y], SMALL) - SMALL + 1.0;
    let mut outline = Path::default();
    let [long, wide] = [view.length, view.width].map(|size| size.as_mm() * factor);
    outline.rectangle([0.25, top], [long, wide]);
    pen.draw(&outline, Line::FineOutline);
    let mut from = Length::nm(view.trim[1].nanometres() / 2);
    let (mut rips, mut unwritten) = (Vec::new(), Vec::new());
    let mut reading = Length::ZERO;
    for strip in &view.strips {
        draw_strip(&mut pen, view, strip, [top + from.as_mm() * factor, factor], tape, &mut unwritten);
        reading += strip.width;
        from += strip.width;
        rips.push((top + from.as_mm() * factor, tape.show_exact(reading)));
        reading += view.kerf;
        from += view.kerf;
    }
    let mut list = String::new();
    if !write_rips(&mut pen, &rips, 0.25 + long, [top - 1.0, top + wide + 1.0]) {
        let each: Vec<&str> = rips.iter().map(|(_, text)| text.as_str()).collect();
        list.push_str(&format!("Rips at {}. ", each.join(", ")));
    }
    if !unwritten.is_empty() {
        list.push_str(&format!("From the upper edge, left to right: {}.", unwritten.join(", ")));
    }
    let mut height = top + wide + 2.0;
    if !list.is_empty() {
        let lines = wrap(&list, SMALL, paper.width(), MOST_LINES);
        height = pen.lines(&lines, [0.0, height + SMALL + 1.0], SMALL) - SMALL * (LEADING - 1.0);
    }
    Block { pen, height, words: words(view, &heading, tape) }
}

fn words(view: &SheetView, heading: &str, tape: Tape) -> String {
    let panels = view.strips.iter().flat_map(|strip| &strip.panels);
    let each: Vec<String> = panels
        .map(|panel| format!("{} {} × {}", panel.id, tape.show_exact(panel.length), tape.show_exact(panel.width)))
        .collect();
    format!("{heading}: {}; left {}.", each.join(", "), tape.show_exact(view.left))
}

fn said(view: &SheetView, tape: Tape) -> String {
    let [long, wide] = [view.length, view.width].map(|size| tape.show_exact(size));
    let mut said =
        format!("{long} × {wide}, kerf {}; left of the width {}", exact(tape, view.kerf), tape.show_exact(view.left));
    if view.tight {
        said.push_str("; possible, if measured");
    }
    if !view.note.is_empty() {
        said.push_str("; ");
        said.push_str(&view.note);
    }
    said
}

/// One strip with its panels; those whose id has no room are told in `unwritten`.
fn draw_strip(
    pen: &mut Pen,
    view: &SheetView,
    strip: &StripView,
    [top, factor]: [f64; 2],
    tape: Tape,
    unwritten: &mut Vec<String>,
) {
    let mut rip = Path::default();
    let foot = top + strip.width.as_mm() * factor;
    rip.stroke([0.25, foot], [0.25 + view.length.as_mm() * factor, foot]);
    pen.draw(&rip, Line::Narrow);
    let mut panels = Path::default();
    let mut from = view.trim[0].as_mm() / 2.0;
    let mut reading = Length::ZERO;
    for panel in &strip.panels {
        let corner = [0.25 + from * factor, top];
        let size = [panel.length, panel.width].map(|size| size.as_mm() * factor);
        panels.rectangle(corner, size);
        reading += panel.length;
        let written = write_panel(pen, panel, reading, [corner, size], tape);
        if !written {
            unwritten.push(format!(
                "{} {} × {}",
                panel.id,
                tape.show_exact(panel.length),
                tape.show_exact(panel.width)
            ));
        }
        reading += view.kerf;
        from += (panel.length + view.kerf).as_mm();
    }
    pen.wide = 0.35;
    pen.draw(&panels, Line::Wide);
    pen.wide = 0.5;
}

/// Id, size and the reading of the far cut on a panel, as much of it as fits; false if not even the id does.
fn write_panel(
    pen: &mut Pen,
    panel: &PanelView,
    reading: Length,
    [[x, y], [wide, high]]: [[f64; 2]; 2],
    tape: Tape,
) -> bool {
    let size = format!("{} × {}", tape.show_exact(panel.length), tape.show_exact(panel.width));
    let cut = tape.show_exact(reading);
    let (middle, step) = (x + wide / 2.0, SMALL * LEADING);
    let room = |text: &str| width(text, SMALL) + 1.6 <= wide;
    if room(&size) && room(&panel.id) && high >= 2.0 * step + 1.0 {
        let upper = y + high / 2.0 - 0.8;
        pen.text(&panel.id, [middle, upper], SMALL, Hold::Middle);
        pen.text(&size, [middle, upper + step], SMALL, Hold::Middle);
        let up = width(&cut, SMALL);
        let clear = wide / 2.0 - width(&size, SMALL).max(width(&panel.id, SMALL)) / 2.0;
        if clear >= UPRIGHT + 1.0 && high >= up + 2.0 {
            pen.text_up(&cut, [x + wide - 1.2, y + high / 2.0], SMALL, Hold::Middle);
        }
        true
    } else if let lines =
        [panel.id.clone(), tape.show_exact(panel.length), format!("× {}", tape.show_exact(panel.width))]
        && lines.iter().all(|line| room(line))
        && high >= 3.0 * step + 1.0
    {
        for (place, line) in lines.iter().enumerate() {
            let y = y + (high - 3.0 * step) / 2.0 + SMALL + 0.8 + place as f64 * step;
            pen.text(line, [middle, y], SMALL, Hold::Middle);
        }
        true
    } else if room(&panel.id) && high >= SMALL + 1.4 {
        pen.text(&panel.id, [middle, y + (high + SMALL) / 2.0], SMALL, Hold::Middle);
        room(&size)
    } else if wide >= SMALL + 1.4 && high >= width(&panel.id, SMALL) + 1.6 {
        pen.text_up(&panel.id, [middle + SMALL / 2.0, y + high / 2.0], SMALL, Hold::Middle);
        false
    } else {
        false
    }
}

/// The readings of the rips to the right of the sheet, with leaders; false if they have no room.
fn write_rips(pen: &mut Pen, rips: &[(f64, String)], edge: f64, limits: [f64; 2]) -> bool {
    let wanted: Vec<f64> = rips.iter().map(|(at, _)| *at).collect();
    let limits = [limits[0] + 1.0, limits[1] - 1.0];
    let Some(middles) = spread(&wanted, &vec![UPRIGHT; rips.len()], limits) else { return false };
    if rips.iter().any(|(_, text)| width(text, SMALL) > RIGHT - 6.0) {
        return false;
    }
    let mut leaders = Path::default();
    for ((at, text), middle) in rips.iter().zip(middles) {
        leaders.stroke([edge, *at], [edge + 4.0, middle]);
        pen.text(text, [edge + 5.0, middle + SMALL / 2.0], SMALL, Hold::Start);
    }
    pen.draw(&leaders, Line::Narrow);
    true
}
