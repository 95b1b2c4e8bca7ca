//! The frame of a printed drawing with its title block.
//!
//! 180 mm wide on a standing A4 sheet (ISO 7200, ISO 5457; *from memory*). It tells project, drawing, scale, units, general
//! tolerance, projection and sheet. It has no date: the core reads no clock.

use crate::lettering::{LARGE, SMALL, shorten};
use crate::paper::Paper;
use crate::pen::{Hold, Line, Path, Pen};
use crate::svg::{Svg, TextBox};
use measure::{Tape, Unit};

/// What the title block says beside what the drawing itself knows.
#[derive(Clone, Copy, Debug)]
pub struct TitleBlock<'a> {
    /// What is built.
    pub project: &'a str,
    /// The tape: units, tolerance, and projection as is usual where it is used.
    pub tape: Tape,
    /// Which sheet it is, from 1.
    pub sheet: u32,
    /// How many sheets there are.
    pub of: u32,
}

/// Between the frame and the drawing, in mm.
const MARGIN: f64 = 5.0;
/// How high a row of the block is: a word and what it says below it.
const ROW: f64 = 11.0;
/// How wide the fields of the second row are, as shares of the block: scale, units, tolerance, projection, sheet.
const FIELDS: [f64; 5] = [0.17, 0.13, 0.38, 0.19, 0.13];
/// The same on a phone, where tolerance and units share a field of their own row.
const NARROW: [f64; 3] = [0.36, 0.36, 0.28];

/// A drawing in a frame, with its title block below.
pub fn framed(drawing: &Svg, block: &TitleBlock, paper: Paper) -> Svg {
    let inner = drawing.width_mm.max(paper.width());
    let wide = inner + 2.0 * MARGIN;
    let top = drawing.height_mm + 2.0 * MARGIN;
    let rows = rows(drawing, block, paper);
    let high = top + ROW * rows.len() as f64;
    let mut pen = Pen::new();
    let mut frame = Path::default();
    frame.rectangle([EDGE, EDGE], [wide - 2.0 * EDGE, high - 2.0 * EDGE]);
    let mut lines = Path::default();
    for (place, row) in rows.iter().enumerate() {
        fields(&mut pen, row, [wide, top + ROW * place as f64], &mut lines);
    }
    pen.draw(&frame, Line::Wide);
    pen.draw(&lines, Line::Narrow);
    let around = pen.finish([wide, high], drawing.title.clone(), drawing.description.clone());
    let moved = |text: &TextBox| TextBox { x: text.x + MARGIN, y: text.y + MARGIN, ..text.clone() };
    let body = format!("<g transform=\"translate({MARGIN} {MARGIN})\">{}</g>{}", drawing.body, around.body);
    let texts = drawing.texts.iter().map(moved).chain(around.texts).collect();
    Svg { body, texts, scale: drawing.scale.clone(), ..around }
}

/// Half the width of the frame's line, so that it lies inside the drawing.
const EDGE: f64 = 0.25;

/// A field: its share of the width, what it is called, and what it says.
type Field = (f64, &'static str, Says);

enum Says {
    Text(String),
    ThirdAngle(bool),
}

fn rows(drawing: &Svg, block: &TitleBlock, paper: Paper) -> Vec<Vec<Field>> {
    let inches = block.tape.unit() != Unit::Millimetre;
    let text = |text: &str| Says::Text(text.to_owned());
    let scale = drawing.scale.as_deref().unwrap_or("as stated");
    let tolerance = format!("worked to the nearest {}", block.tape.show_with_unit(block.tape.step()));
    let sheet = format!("{} of {}", block.sheet, block.of);
    let name = name(drawing);
    let [scale, units, tolerance, projection, sheet] = [
        ("Scale", text(scale)),
        ("Units", text(block.tape.unit_name())),
        ("General tolerance", text(&tolerance)),
        (if inches { "Third angle" } else { "First angle" }, Says::ThirdAngle(inches)),
        ("Sheet", text(&sheet)),
    ];
    let wide = |share: f64, (word, says): (&'static str, Says)| (share, word, says);
    if paper == Paper::Phone {
        return vec![
            vec![wide(1.0, ("Project", text(block.project)))],
            vec![wide(1.0, ("Drawing", text(name)))],
            vec![wide(1.0 - NARROW[2], tolerance), wide(NARROW[2], units)],
            vec![wide(NARROW[0], scale), wide(NARROW[1], projection), wide(NARROW[2], sheet)],
        ];
    }
    let second = [scale, units, tolerance, projection, sheet].into_iter().zip(FIELDS);
    vec![
        vec![wide(0.5, ("Project", text(block.project))), wide(0.5, ("Drawing", text(name)))],
        second.map(|(field, share)| wide(share, field)).collect(),
    ]
}

/// What a drawing is called, without its scale and what follows.
fn name(drawing: &Svg) -> &str {
    let end = drawing.scale.as_ref().and_then(|scale| drawing.title.find(&format!(", {scale}")));
    &drawing.title[..end.unwrap_or(drawing.title.len())]
}

/// Draws a row of fields, the lines above it and between them.
fn fields(pen: &mut Pen, row: &[Field], [wide, y]: [f64; 2], lines: &mut Path) {
    lines.stroke([0.0, y], [wide, y]);
    let mut x = 0.0;
    for (share, word, says) in row {
        let room = share * wide;
        if x > 0.0 {
            lines.stroke([x, y], [x, y + ROW]);
        }
        pen.text(&shorten(word, SMALL, room - 2.5), [x + 1.5, y + SMALL + 1.0], SMALL, Hold::Start);
        match says {
            Says::Text(text) => {
                let fits = shorten(text, LARGE, room - 2.5) == *text;
                let letters = if fits { LARGE } else { SMALL };
                pen.text(&shorten(text, letters, room - 2.5), [x + 1.5, y + ROW - 2.0], letters, Hold::Start);
            }
            Says::ThirdAngle(third) => symbol(pen, [x + room - SYMBOL, y + ROW - 3.4], *third),
        }
        x += room;
    }
}

/// How wide the symbol of the projection is with the room right of it, in mm.
const SYMBOL: f64 = 19.0;
/// The radii of the ends of its cone, and its length.
const CONE: [f64; 3] = [1.3, 2.6, 5.2];

/// The symbol of the projection (ISO 5456-2, *from memory*): a cone with its small end to the left; the view from the left,
/// which shows both ends, is drawn on the left in third angle and on the right in first angle.
fn symbol(pen: &mut Pen, [left, y]: [f64; 2], third: bool) {
    let [small, large, long] = CONE;
    let apart = 2.0;
    let (circles, cone) =
        if third { (left + large, left + 2.0 * large + apart) } else { (left + long + apart + large, left) };
    let (mut path, mut axis) = (Path::default(), Path::default());
    path.stadium([circles, y], small, 0.0).stadium([circles, y], large, 0.0);
    path.polygon(&[[cone, y - small], [cone + long, y - large], [cone + long, y + large], [cone, y + small]]);
    axis.stroke([left - 1.0, y], [left + 2.0 * large + apart + long + 1.0, y]);
    axis.stroke([circles, y - large - 0.6], [circles, y + large + 0.6]);
    pen.wide = 0.35;
    pen.draw(&path, Line::Wide);
    pen.draw(&axis, Line::Centre);
    pen.wide = 0.5;
}
