//! A finished drawing.

use crate::lettering::{font_face_css, number};

/// A drawing: what lies on it in mm of paper, from the upper left corner, x to the right and y down.
#[derive(Clone, Debug, PartialEq)]
pub struct Svg {
    /// How wide it is, in mm.
    pub width_mm: f64,
    /// How high it is, in mm.
    pub height_mm: f64,
    /// What is drawn: SVG elements without the `svg` element round them. Colours are `currentColor` and `var(--paper,#fff)`.
    pub body: String,
    /// Where the texts stand, so that it can be checked that none lies over another.
    pub texts: Vec<TextBox>,
    /// The scale as it is written, if the whole drawing has one; else what is drawn states its own.
    pub scale: Option<String>,
    /// What is drawn, in a few words.
    pub title: String,
    /// What it shows, for one who cannot see it.
    pub description: String,
}

/// A text that was laid, with the box of its ink in mm of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct TextBox {
    /// The text.
    pub text: String,
    /// The left edge of the box.
    pub x: f64,
    /// The upper edge of the box.
    pub y: f64,
    /// How wide the box is.
    pub width: f64,
    /// How high the box is.
    pub height: f64,
    /// How high its capitals stand.
    pub letters: f64,
}

impl TextBox {
    /// True if the two boxes have more than an edge in common.
    pub fn overlaps(&self, other: &TextBox) -> bool {
        self.x < other.x + other.width
            && other.x < self.x + self.width
            && self.y < other.y + other.height
            && other.y < self.y + self.height
    }
}

impl Svg {
    /// The drawing as a file of its own, with its lettering inside, black on white.
    pub fn standalone(&self) -> String {
        let style = format!("<style>{}</style>", font_face_css());
        let paper =
            format!("<rect width=\"{}\" height=\"{}\" fill=\"#fff\"/>", number(self.width_mm), number(self.height_mm));
        let inside = format!("{style}{paper}{}", self.body.replace("var(--paper,#fff)", "#fff"));
        self.wrapped("xmlns=\"http://www.w3.org/2000/svg\" color=\"#000\" ", &inside)
    }

    /// The drawing as an element for a page, which brings the font (`font_face_css`) and the colours.
    pub fn inline(&self) -> String {
        self.wrapped("", &self.body)
    }

    fn wrapped(&self, attributes: &str, inside: &str) -> String {
        let (width, height, name) = (number(self.width_mm), number(self.height_mm), self.name());
        format!(
            "<svg {attributes}role=\"img\" aria-labelledby=\"{name}t {name}d\" width=\"{width}mm\" height=\"{height}mm\" \
             viewBox=\"0 0 {width} {height}\"><title id=\"{name}t\">{}</title><desc id=\"{name}d\">{}</desc>{inside}</svg>",
            escape(&self.title),
            escape(&self.description)
        )
    }

    /// A name for its ids that is the same every time and differs between the drawings of a page: FNV-1a, 64 bit, of its size
    /// and what it shows.
    fn name(&self) -> String {
        // The same picture may stand on papers of two widths.
        let size = [self.width_mm, self.height_mm].map(number).join(" ");
        let bytes = [&size, &self.title, &self.description, &self.body].into_iter().flat_map(|text| text.bytes());
        let hash =
            bytes.fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3));
        format!("d{hash:016x}")
    }
}

/// A text as it stands in XML; control characters, which XML cannot hold, are left out.
pub(crate) fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\u{fffe}' | '\u{ffff}' => {}
            c if c.is_control() => {}
            c => escaped.push(c),
        }
    }
    escaped
}
