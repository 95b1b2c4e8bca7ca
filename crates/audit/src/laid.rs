//! The plan as the referee lays it out for a closing: every part in its place, every row, and the lengths that have a why.

use crate::asked::{Asked, Row};
use crate::claims::Closing;
use crate::ground::{Ground, Outline, Spot, Sum, Way};
use std::collections::BTreeMap;

/// A slot: piece, role, face, course, index.
pub(crate) type Slot<'a> = (&'a str, &'a str, &'a str, i64, i64);

/// The shape of a part: kind, stock, length, width, thickness.
pub(crate) type Shape = (String, String, i128, i128, i128);

/// How far a length that was rounded at an angle may lie from the referee's own, in nanometres: a corner is rounded once for
/// each side that is walked to it and once more where the part is put.
pub(crate) const ROUNDED: i128 = 16;

/// The plan laid out for a closing.
#[derive(Default)]
pub(crate) struct Built<'a> {
    pub parts: Vec<Laid<'a>>,
    pub rows: Vec<LaidRow>,
    /// Side and reach at either end of the parts along a side, and how far they may lie from that, by the name of their length.
    pub lengths: BTreeMap<String, ([i128; 3], i128)>,
    /// Top, lower edge of what is clad and how far above that upright boards begin, by the name of their length.
    pub uprights: BTreeMap<String, [i128; 3]>,
    /// Other numbers of the pieces that have a why.
    pub numbers: Vec<Number>,
    /// The same where inputs were rounded at an angle, each with how far it may lie off.
    pub near: Vec<(Number, Vec<i128>)>,
}

/// A number that must have a why.
pub(crate) struct Number {
    pub name: String,
    pub rule: &'static str,
    pub of: &'static str,
    pub inputs: Vec<i128>,
}

/// A part as the referee lays it.
#[derive(Clone, Debug)]
pub(crate) struct Laid<'a> {
    pub slot: Slot<'a>,
    /// `board`, `sheet` or `unit`, and its name.
    pub stock: (&'a str, &'a str),
    pub spot: Spot,
    /// The frame's axes of its length and its width.
    pub along: usize,
    pub across: usize,
    pub planes: Vec<Cut>,
    /// How far it may lie from there: nothing at right angles.
    pub slack: i128,
}

/// A plane that trims a part.
#[derive(Clone, Debug)]
pub(crate) struct Cut {
    /// The end of its length: 0 where it begins as one walks along its side, or the lower one; 1 the other.
    pub end: usize,
    /// Square to it and out of the part, a unit long, in the frame's axes.
    pub normal: [f64; 3],
    /// A point on it, in nanometres from the part's corner.
    pub through: [f64; 3],
}

impl Built<'_> {
    /// A number of a piece that must have a why: its name behind the piece's, and what went into its rule.
    pub fn number(&mut self, piece: &str, name: &str, rule: &'static str, of: &'static str, inputs: Vec<i128>) {
        self.numbers.push(Number { name: format!("{piece}.{name}"), rule, of, inputs });
    }
}

impl Number {
    /// With how far its inputs may lie off, each by its own.
    pub fn within(self, slack: &[i128]) -> (Number, Vec<i128>) {
        (self, slack.to_vec())
    }
}

/// What angles are told in.
pub(crate) const ANGLE: &str = "millionths of a degree";

impl<'a> Laid<'a> {
    /// A part in a slot, of a stock, in a place; its length lies one way and its width another.
    pub fn new(slot: Slot<'a>, stock: (&'a str, &'a str), spot: Spot, length: Way, width: Way) -> Laid<'a> {
        let (along, across) = (spot.axis(length), spot.axis(width));
        let slack = if spot.rounded { ROUNDED } else { 0 };
        Laid { slot, stock, spot, along, across, planes: Vec::new(), slack }
    }

    pub fn shape(&self) -> Shape {
        let third = 3 - self.along - self.across;
        let [length, width, thickness] = [self.along, self.across, third].map(|axis| self.spot.extent[axis]);
        (self.stock.0.into(), self.stock.1.into(), length, width, thickness)
    }
}

/// A row as the referee lays it.
#[derive(Clone, Debug)]
pub(crate) struct LaidRow {
    pub piece: String,
    pub face: String,
    /// The name that its quantities begin with.
    pub called: String,
    pub length: i128,
    /// The members in turn.
    pub pattern: Vec<i128>,
    /// How many members stand in it, of all widths.
    pub count: i128,
    pub total: i128,
    pub gaps: i128,
    pub starts_with_gap: bool,
    /// Whether it is counted from the bottom up.
    pub up: bool,
    /// How far its length may lie from that, where it was rounded at an angle.
    pub slack: i128,
}

impl LaidRow {
    /// The width of member `i`.
    pub fn member(&self, i: i128) -> i128 {
        // A pattern has a member at least, and few enough for an index.
        self.pattern[(i % self.pattern.len() as i128) as usize]
    }

    /// All members before member `i`.
    pub fn members_before(&self, i: i128) -> i128 {
        let each = self.pattern.len() as i128;
        let whole: i128 = self.pattern.iter().sum();
        whole * (i / each) + self.pattern[..(i % each) as usize].iter().sum::<i128>()
    }

    fn gaps_before(&self, i: i128) -> i128 {
        i + i128::from(self.starts_with_gap)
    }

    /// Where member `i` starts, down to the nanometre below.
    pub fn start(&self, i: i128) -> i128 {
        let gaps = if self.gaps > 0 { (self.total * self.gaps_before(i)).div_euclid(self.gaps) } else { 0 };
        self.members_before(i) + gaps
    }

    /// The mark of a tape nearest to where member `i` starts, halves away from zero.
    pub fn mark(&self, i: i128, step: i128) -> i128 {
        let places = self.gaps.max(1);
        let gaps = if self.gaps > 0 { self.total * self.gaps_before(i) } else { 0 };
        let exact = self.members_before(i) * places + gaps;
        let unit = places * step.max(1);
        let away = (2 * exact.abs() + unit) / (2 * unit);
        exact.signum() * away * step.max(1)
    }

    /// From where to where member `i` lies along the row.
    pub fn reach(&self, i: i128) -> [i128; 2] {
        [self.start(i), self.start(i) + self.member(i)]
    }
}

/// A closing as the referee reads it: sizes and choices in its own order, and what fills each of its rows.
pub(crate) struct Site<'a> {
    pub asked: &'a Asked,
    pub sizes: Vec<i64>,
    pub choices: Vec<usize>,
    /// Count, all gaps and how many of each row that exists.
    fills: Vec<Option<(i64, i64, i64)>>,
}

impl<'a> Site<'a> {
    /// Reads a closing of a record whose question has been held.
    pub fn of(asked: &'a Asked, closing: &Closing) -> Site<'a> {
        let places = &asked.places;
        let mut fills = vec![None; asked.rows.len()];
        for ((&own, count), gaps) in places.runs.iter().zip(&closing.counts).zip(&closing.gaps) {
            fills[own] = count.zip(*gaps).map(|(count, (total, gaps))| (count, total, gaps));
        }
        Site { asked, sizes: places.sizes_of(closing), choices: places.choices_of(closing), fills }
    }

    /// A closing of nothing: for tests of what needs no sizes.
    #[cfg(test)]
    pub fn bare(asked: &'a Asked) -> Site<'a> {
        Site { asked, sizes: Vec::new(), choices: Vec::new(), fills: Vec::new() }
    }

    pub fn value(&self, sum: &Sum) -> i128 {
        sum.at(&self.sizes)
    }

    pub fn ground(&self, outline: &Outline) -> Ground {
        outline.at(&self.sizes)
    }

    /// The option that was chosen; the first one where nothing was to be chosen.
    pub fn option(&self, choice: Option<usize>) -> Option<usize> {
        choice.map_or(Some(0), |choice| self.choices.get(choice).copied())
    }

    /// A row of a piece as it is filled. `pattern` are the members in turn, `and_first` whether the first comes once more.
    pub fn row(&self, own: &RowOf<'_>, row: usize) -> Option<LaidRow> {
        let asked: &Row = self.asked.rows.get(row)?;
        let (count, total, gaps) = self.fills.get(row)?.as_ref()?;
        // A record may claim any number: no more is laid than a row may have.
        if i128::from(*count) > i128::from(asked.count.1) {
            return None;
        }
        let each = own.pattern.len() as i128;
        let more = if own.and_first { 1 } else { 0 };
        let first = if own.and_first { own.pattern[0] } else { 0 };
        // How often over it is asked: once, but where it fills what is no whole multiple of a size.
        let times = i128::from(asked.gaps_per_member).div_euclid(each).max(1);
        let (count, total) = (i128::from(*count), (2 * i128::from(*total) + times).div_euclid(2 * times));
        let length = match times {
            1 => self.value(&asked.length) + first,
            _ => total + own.pattern.iter().sum::<i128>() * count + first,
        };
        Some(LaidRow {
            piece: own.piece.into(),
            face: own.face.into(),
            called: format!("{}.{}", own.piece, own.face.replace(' ', "-")),
            length,
            pattern: own.pattern.clone(),
            count: count * each + more,
            total,
            gaps: i128::from(*gaps) / times,
            starts_with_gap: own.starts_with_gap,
            up: own.up,
            slack: asked.slack,
        })
    }
}

/// What a piece says of one of its rows.
pub(crate) struct RowOf<'p> {
    pub piece: &'p str,
    pub face: &'p str,
    pub pattern: Vec<i128>,
    pub and_first: bool,
    pub starts_with_gap: bool,
    pub up: bool,
}

impl<'p> RowOf<'p> {
    /// The courses of boards so wide, from the bottom up.
    pub fn courses(piece: &'p str, width: i128) -> RowOf<'p> {
        RowOf { piece, face: "courses", pattern: vec![width], and_first: false, starts_with_gap: false, up: true }
    }
}

/// Lays every piece out for a closing; `None` if a row has no count under its choices.
pub(crate) fn lay_out<'a>(asked: &'a Asked, closing: &Closing) -> Option<Built<'a>> {
    let site = Site::of(asked, closing);
    let mut built = Built::default();
    for piece in &asked.pieces {
        piece.form.lay(piece, &site, &mut built)?;
    }
    Some(built)
}

/// How many parts of each shape a closing has; `None` if it cannot be laid out.
pub(crate) fn shapes(asked: &Asked, closing: &Closing) -> Option<BTreeMap<Shape, i128>> {
    let built = lay_out(asked, closing)?;
    let mut shapes = BTreeMap::new();
    for part in &built.parts {
        *shapes.entry(part.shape()).or_insert(0) += 1;
    }
    Some(shapes)
}
