//! The pen: lines and letters onto paper, remembered with their boxes.

use crate::lettering::{em, ink, number, push_number, width};
use crate::svg::{Svg, TextBox, escape};

/// How a shape is drawn (ISO 128-2, two widths 1:2; *from memory*).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Line {
    /// An outline that hides what lies behind it: wide, filled with paper.
    Outline,
    /// The same in the narrow width, for shapes too fine for the wide one.
    FineOutline,
    /// Wide, not filled.
    Wide,
    /// Narrow: dimension lines, leaders, hatching, graduations.
    Narrow,
    /// Narrow and dashed: hidden.
    Hidden,
    /// Narrow long-dash dot: centre and setting-out lines.
    Centre,
    /// Filled with ink.
    Solid,
    /// Filled with paper, without an outline.
    Cover,
}

/// Where the given point lies on a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hold {
    Start,
    Middle,
    End,
}

/// A drawing that is being made.
#[derive(Clone, Debug)]
pub(crate) struct Pen {
    body: String,
    letters: String,
    pub(crate) texts: Vec<TextBox>,
    /// The wide line in mm; the narrow one is half of it.
    pub(crate) wide: f64,
    /// The scale, if the whole drawing has one.
    pub(crate) scale: Option<String>,
}

/// A path of straight strokes.
#[derive(Clone, Debug, Default)]
pub(crate) struct Path(String);

impl Path {
    /// A stroke from one point to another.
    pub(crate) fn stroke(&mut self, from: [f64; 2], to: [f64; 2]) -> &mut Path {
        self.point('M', from).point('L', to)
    }

    /// A rectangle by its upper left corner and its size.
    pub(crate) fn rectangle(&mut self, [x, y]: [f64; 2], [wide, high]: [f64; 2]) -> &mut Path {
        self.point('M', [x, y]);
        for (command, value) in [('h', wide), ('v', high), ('h', -wide)] {
            self.0.push(command);
            push_number(&mut self.0, value);
        }
        self.0.push('z');
        self
    }

    /// A closed polygon.
    pub(crate) fn polygon(&mut self, points: &[[f64; 2]]) -> &mut Path {
        for (place, point) in points.iter().enumerate() {
            self.point(if place == 0 { 'M' } else { 'L' }, *point);
        }
        self.0.push('z');
        self
    }

    /// A circle about a point, drawn out sideways by `more` to the left and to the right.
    pub(crate) fn stadium(&mut self, [x, y]: [f64; 2], radius: f64, more: f64) -> &mut Path {
        self.point('M', [x - more, y - radius]);
        for (side, down) in [(2.0 * more, 2.0 * radius), (-2.0 * more, -2.0 * radius)] {
            self.0.push('h');
            push_number(&mut self.0, side);
            let radius = number(radius);
            self.0.push_str(&format!("a{radius} {radius} 0 0 1 0 {}", number(down)));
        }
        self.0.push('z');
        self
    }

    /// A circle about a point, drawn out upwards and downwards by `more`.
    pub(crate) fn slot(&mut self, [x, y]: [f64; 2], radius: f64, more: f64) -> &mut Path {
        self.point('M', [x + radius, y - more]);
        for (side, down) in [(-2.0 * radius, 2.0 * more), (2.0 * radius, -2.0 * more)] {
            self.0.push('v');
            push_number(&mut self.0, down);
            let radius = number(radius);
            self.0.push_str(&format!("a{radius} {radius} 0 0 1 {} 0", number(side)));
        }
        self.0.push('z');
        self
    }

    fn point(&mut self, command: char, [x, y]: [f64; 2]) -> &mut Path {
        self.0.push(command);
        push_number(&mut self.0, x);
        self.0.push(' ');
        push_number(&mut self.0, y);
        self
    }
}

impl Pen {
    /// A pen over an empty paper, with lines of 0.5 and 0.25 mm.
    pub(crate) fn new() -> Pen {
        Pen { body: String::new(), letters: String::new(), texts: Vec::new(), wide: 0.5, scale: None }
    }

    /// Draws a path; an empty one leaves nothing.
    pub(crate) fn draw(&mut self, path: &Path, line: Line) {
        if path.0.is_empty() {
            return;
        }
        let style = self.style(line);
        self.body.push_str(&format!("<path d=\"{}\" {style}/>", path.0));
    }

    /// Begins a group of shapes that are drawn alike.
    pub(crate) fn begin(&mut self, line: Line) {
        let style = self.style(line);
        self.body.push_str(&format!("<g {style}>"));
    }

    /// Draws a path as the group says; an empty one leaves nothing.
    pub(crate) fn shape(&mut self, path: &Path) {
        if !path.0.is_empty() {
            self.body.push_str(&format!("<path d=\"{}\"/>", path.0));
        }
    }

    /// Ends a group.
    pub(crate) fn end(&mut self) {
        self.body.push_str("</g>");
    }

    fn style(&self, line: Line) -> String {
        let (wide, narrow) = (number(self.wide), number(self.wide / 2.0));
        let paper = "fill=\"var(--paper,#fff)\"";
        let ink = "stroke=\"currentColor\"";
        match line {
            Line::Outline => format!("{paper} {ink} stroke-width=\"{wide}\""),
            Line::FineOutline => format!("{paper} {ink} stroke-width=\"{narrow}\""),
            Line::Wide => format!("fill=\"none\" {ink} stroke-width=\"{wide}\""),
            Line::Narrow => format!("fill=\"none\" {ink} stroke-width=\"{narrow}\""),
            Line::Hidden => format!("fill=\"none\" {ink} stroke-width=\"{narrow}\" stroke-dasharray=\"2 1\""),
            Line::Centre => format!("fill=\"none\" {ink} stroke-width=\"{narrow}\" stroke-dasharray=\"6 1 0.5 1\""),
            Line::Solid => "fill=\"currentColor\"".into(),
            Line::Cover => paper.into(),
        }
    }

    /// A circle in the narrow line, filled with paper.
    pub(crate) fn circle(&mut self, [x, y]: [f64; 2], radius: f64) {
        self.body.push_str(&format!(
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"var(--paper,#fff)\" stroke=\"currentColor\" stroke-width=\"{}\"/>",
            number(x),
            number(y),
            number(radius),
            number(self.wide / 2.0)
        ));
    }

    /// A text with its baseline at `y`, in letters `height` high.
    pub(crate) fn text(&mut self, text: &str, [x, y]: [f64; 2], height: f64, hold: Hold) {
        let wide = width(text, height);
        let [below, above] = ink(text, height);
        let left = x - held(wide, hold);
        self.letter(text, format!("x=\"{}\" y=\"{}\"", number(left), number(y)), height);
        self.remember(text, [left, y - above], [wide, above + below], height);
    }

    /// A text that reads upwards, from the right: its baseline stands at `x`, and `y` is where `hold` says.
    pub(crate) fn text_up(&mut self, text: &str, [x, y]: [f64; 2], height: f64, hold: Hold) {
        let long = width(text, height);
        let [below, above] = ink(text, height);
        let foot = y + held(long, hold);
        let place = format!("transform=\"translate({} {}) rotate(-90)\"", number(x), number(foot));
        self.letter(text, place, height);
        self.remember(text, [x - above, foot - long], [above + below, long], height);
    }

    /// The lines of a text one below the other from a first baseline; where the next would stand.
    pub(crate) fn lines(&mut self, lines: &[String], [x, y]: [f64; 2], height: f64) -> f64 {
        for (place, line) in lines.iter().enumerate() {
            self.text(line, [x, y + place as f64 * height * LEADING], height, Hold::Start);
        }
        y + lines.len() as f64 * height * LEADING
    }

    fn letter(&mut self, text: &str, place: String, height: f64) {
        self.letters.push_str(&format!("<text {place} font-size=\"{}\">{}</text>", number(em(height)), escape(text)));
    }

    fn remember(&mut self, text: &str, [x, y]: [f64; 2], [width, height]: [f64; 2], letters: f64) {
        self.texts.push(TextBox { text: text.to_owned(), x, y, width, height, letters });
    }

    /// Lays another drawing onto this one, shifted.
    pub(crate) fn lay(&mut self, other: Pen, [x, y]: [f64; 2]) {
        let group = |inside: &str| format!("<g transform=\"translate({} {})\">{inside}</g>", number(x), number(y));
        self.body.push_str(&group(&other.body));
        self.letters.push_str(&group(&other.letters));
        self.texts.extend(other.texts.into_iter().map(|text| TextBox { x: text.x + x, y: text.y + y, ..text }));
    }

    /// The finished drawing. Letters lie on top, with a rim of paper that keeps lines off them.
    pub(crate) fn finish(self, [width, height]: [f64; 2], title: String, description: String) -> Svg {
        let body = format!(
            "<g stroke-linejoin=\"miter\" stroke-linecap=\"butt\">{}</g><g font-family=\"Scantling, sans-serif\" \
             fill=\"currentColor\" stroke=\"var(--paper,#fff)\" stroke-width=\"0.7\" stroke-linejoin=\"round\" \
             paint-order=\"stroke\">{}</g>",
            self.body, self.letters
        );
        Svg { width_mm: width, height_mm: height, body, texts: self.texts, scale: self.scale, title, description }
    }
}

/// From one baseline to the next, in heights of capitals.
pub(crate) const LEADING: f64 = 1.7;

fn held(length: f64, hold: Hold) -> f64 {
    match hold {
        Hold::Start => 0.0,
        Hold::Middle => length / 2.0,
        Hold::End => length,
    }
}
