//! Rows and parts along the sides of an outline: who has which corner, and where each ends.

use super::{Asked, MOST_MEMBERS, Row, When};
use crate::ground::{End, Ground, Has, Outline, Strip, Sum, Way};
use crate::laid::{ANGLE, Built, Laid, ROUNDED, Site, Slot};

/// Corners of boards where all are right angles.
pub(crate) const BOARD_CORNERS: [&str; 3] = ["front through", "sides through", "pinwheel"];

/// The row or part along one side.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    pub side: usize,
    pub start: End,
    pub finish: End,
    /// How far outwards of the side it lies, from and to.
    pub strip: Strip,
    /// Its row, by its place, if it is one.
    pub row: Option<usize>,
}

impl Line {
    pub fn length(&self) -> Sum {
        self.finish.at.plus(&self.start.at, -1)
    }

    /// How many joints it stops short by.
    pub fn joints(&self) -> i64 {
        i64::from(self.start.joint) + i64::from(self.finish.joint)
    }

    /// The side's length and how far the line reaches beyond its corners.
    pub fn reaches(&self, outline: &Outline, sizes: &[i64]) -> [i128; 3] {
        let side = outline.length(self.side);
        [side.at(sizes), -self.start.at.at(sizes), self.finish.at.plus(&side, -1).at(sizes)]
    }
}

/// A part along a line at a height, its width one way and its ends trimmed where they are mitred.
pub(crate) fn along<'a>(
    line: &Line,
    ground: &Ground,
    site: &Site<'_>,
    up: [i128; 2],
    width: Way,
    slot: Slot<'a>,
    stock: (&'a str, &'a str),
) -> Laid<'a> {
    let [from, to] = [&line.start, &line.finish].map(|end| site.value(&end.at));
    let spot = ground.beside(line.side, [from, to], [line.strip.0, line.strip.1], up);
    let mut part = Laid::new(slot, stock, spot, Way::Along, width);
    for (finish, end) in [(false, &line.start), (true, &line.finish)] {
        if let Some(mitre) = &end.mitre {
            let [inner, outer] = mitre.each_ref().map(|at| site.value(at));
            let cut = ground.mitre(line.side, &part.spot, finish, [inner, line.strip.0], [outer, line.strip.1]);
            part.planes.push(cut);
        }
    }
    part
}

/// The why of mitres, if there are any: half of what the corners turn.
pub(crate) fn mitre_number(piece: &str, base: &Outline, lines: &[Line], built: &mut Built<'_>) {
    if lines.iter().any(|line| line.start.mitre.is_some() || line.finish.mitre.is_some()) {
        built.number(piece, "mitre", "mitre", ANGLE, vec![base.turn(0).into()]);
    }
}

/// The words for corners that a plan leaves open.
pub(crate) fn corner_words(word: &str, all: &[&'static str]) -> Result<Vec<&'static str>, String> {
    if word == "any" {
        return Ok(all.to_vec());
    }
    let known = all.iter().find(|known| **known == word);
    known.map(|word| vec![*word]).ok_or_else(|| format!("unknown corners `{word}`"))
}

/// Who has the corner at one end of a side; `turned` in courses of a pinwheel that go the other way.
fn has(word: &str, side: usize, finish: bool, turned: bool) -> Has {
    let through = match word {
        "open" => return Has::Nobody,
        "square" => return Has::Unit,
        "mitred" => return Has::Both,
        "front through" => side.is_multiple_of(2),
        "sides through" => !side.is_multiple_of(2),
        _ => finish != turned,
    };
    if through { Has::This } else { Has::Other }
}

/// The line of each side that has a strip, its row not yet asked.
pub(crate) fn lines(base: &Outline, strips: &[Option<Strip>], word: &str, turned: bool) -> Vec<Line> {
    let line = |side: usize| {
        let own = strips[side]?;
        let end =
            |finish: bool, other: usize| base.end(side, finish, own, strips[other], has(word, side, finish, turned));
        Some(Line {
            side,
            start: end(false, base.before(side)),
            finish: end(true, base.after(side)),
            strip: own,
            row: None,
        })
    };
    (0..base.count()).filter_map(line).collect()
}

/// How far lengths along the sides of an outline may lie from the referee's.
pub(crate) fn slack(base: &Outline) -> i128 {
    if base.is_square() { 0 } else { ROUNDED }
}

/// Members that are repeated along a row.
#[derive(Clone, Debug)]
pub(crate) struct Pattern {
    pub widths: Vec<i128>,
    /// Whether the first one stands once more at the end.
    pub and_first: bool,
}

impl Pattern {
    pub fn of_one(member: i128) -> Pattern {
        Pattern { widths: vec![member], and_first: false }
    }
}

impl Asked {
    /// Asks for a row of a pattern and tells its place: `joints` more gaps than there are between members.
    pub fn row_of_pattern(
        &mut self,
        when: When,
        length: Sum,
        pattern: &Pattern,
        joints: i64,
        gap: usize,
        slack: i128,
    ) -> usize {
        let (more, first) = if pattern.and_first { (1, pattern.widths[0]) } else { (0, 0) };
        self.row_of(Row {
            when,
            length: length.and(-first),
            member: pattern.widths.iter().sum(),
            // A pattern is a list in a text of limited length.
            gaps_per_member: pattern.widths.len() as i64,
            end_gaps: joints - 1 + more,
            gap,
            count: (1, MOST_MEMBERS),
            slack,
        })
    }

    /// Each line as a row of the pattern.
    pub fn ask_lines(&mut self, base: &Outline, lines: &mut [Line], when: &When, pattern: &Pattern, gap: usize) {
        for line in lines {
            let row = self.row_of_pattern(when.clone(), line.length(), pattern, line.joints(), gap, slack(base));
            line.row = Some(row);
        }
    }

    /// Each line as one part that comes out of the longest stock.
    pub fn limit_lines(&mut self, base: &Outline, lines: &[Line], when: &When, longest: i128) {
        for line in lines {
            self.comes_out_within(when.clone(), line.length(), longest, slack(base));
        }
    }
}

/// A choice and one of its options as a condition, beside others.
pub(crate) fn and_option(when: &When, choice: Option<usize>, option: usize) -> When {
    let mut when: When = when.iter().copied().chain(choice.map(|choice| (choice, option))).collect();
    when.sort_unstable();
    when
}

pub(crate) fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_string()).collect()
}
