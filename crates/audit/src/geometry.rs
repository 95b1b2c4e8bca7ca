//! Rule `geometry`: parts lie where the plan's wishes and the chosen sizes put them, and nothing is missing.
//!
//! The referee lays the plan out once more from its own outlines (see [`crate::ground`]) and holds every part, row and tape
//! mark against that, to the nanometre. Beside it, from the parts as they are claimed alone: walls fill their outline course
//! by course and reach from end to end of the piece's sizes, cladding lies flush on the wall, a ring keeps its clearance, each
//! gap between neighbours is its row's share and within its wish.

use crate::asked::{APART, Asked, Kind, Lay, Line, Planned};
use crate::claims::{Closing, Part, Record};
use crate::ledger::{Ledger, Mm};
use crate::stock::own_row;
use crate::texts::Papers;
use std::collections::BTreeMap;

const RULE: &str = "geometry";

/// A slot: piece, role, face, course, index.
type Slot<'a> = (&'a str, &'a str, &'a str, i64, i64);

/// The shape of a part: kind, stock, length, width, thickness.
pub(crate) type Shape = (String, String, i128, i128, i128);

/// The plan laid out for a closing.
#[derive(Default)]
pub(crate) struct Built<'a> {
    parts: Vec<Laid<'a>>,
    pub rows: Vec<LaidRow>,
    /// Side and reach at either end of the parts along a side, by the name of their length.
    pub lengths: BTreeMap<String, [i128; 3]>,
    /// Top, lower edge of what is clad and how far above that upright boards begin, by the name of their length.
    pub uprights: BTreeMap<String, [i128; 3]>,
}

/// A part as the referee lays it.
struct Laid<'a> {
    slot: Slot<'a>,
    stock: (&'a str, &'a str),
    from: [i128; 3],
    to: [i128; 3],
    along: usize,
    across: usize,
}

impl Laid<'_> {
    fn extent(&self, axis: usize) -> i128 {
        self.to[axis] - self.from[axis]
    }

    fn shape(&self) -> Shape {
        let third = 3 - self.along - self.across;
        let [length, width, thickness] = [self.along, self.across, third].map(|axis| self.extent(axis));
        (self.stock.0.into(), self.stock.1.into(), length, width, thickness)
    }
}

/// A row as the referee lays it.
#[derive(Clone)]
pub(crate) struct LaidRow {
    pub piece: String,
    pub face: String,
    /// The name that its quantities begin with.
    pub called: String,
    pub length: i128,
    pub member: i128,
    pub count: i128,
    pub total: i128,
    pub gaps: i128,
    pub starts_with_gap: bool,
    /// Whether it is counted from the bottom up.
    pub up: bool,
}

impl LaidRow {
    /// Where member `i` starts, down to the nanometre below.
    fn start(&self, i: i128) -> i128 {
        let before = i + i128::from(self.starts_with_gap);
        self.member * i + if self.gaps > 0 { (self.total * before).div_euclid(self.gaps) } else { 0 }
    }

    /// The mark of a tape nearest to where member `i` starts, halves away from zero.
    fn mark(&self, i: i128, step: i128) -> i128 {
        let before = i + i128::from(self.starts_with_gap);
        let places = self.gaps.max(1);
        let exact = self.member * i * places + if self.gaps > 0 { self.total * before } else { 0 };
        let unit = places * step.max(1);
        let away = (2 * exact.abs() + unit) / (2 * unit);
        exact.signum() * away * step.max(1)
    }
}

/// How many parts of each shape a closing has; `None` if it cannot be laid out.
pub(crate) fn shapes(record: &Record, asked: &Asked, closing: &Closing) -> Option<BTreeMap<Shape, i128>> {
    let built = lay_out(record, asked, closing)?;
    let mut shapes = BTreeMap::new();
    for part in &built.parts {
        *shapes.entry(part.shape()).or_insert(0) += 1;
    }
    Some(shapes)
}

/// Holds parts and rows; gives the plan as the referee laid it out, if it can be.
pub(crate) fn hold<'a>(record: &Record, papers: &Papers, asked: &'a Asked, ledger: &mut Ledger) -> Option<Built<'a>> {
    ledger.turn_to(RULE);
    hold_ids(record, ledger);
    let closing = &record.ways[record.chosen].closing;
    let Some(built) = lay_out(record, asked, closing) else {
        ledger.find("the chosen way cannot be laid out".into());
        return None;
    };
    hold_parts(record, &built, ledger);
    hold_beside(record, asked, ledger);
    hold_rows(record, &built, papers, ledger);
    for (at, piece) in asked.pieces.iter().enumerate() {
        match piece.kind {
            Kind::Walls => hold_walls(record, piece, closing, ledger),
            Kind::Upright | Kind::Level => hold_flush(record, asked, piece, ledger),
            Kind::Ring => hold_clearance(record, asked, at, ledger),
        }
        hold_gaps(record, asked, piece, closing, ledger);
    }
    Some(built)
}

/// Ids are different; parts that are alike share the letters and no others do; numbers run from 1.
fn hold_ids(record: &Record, ledger: &mut Ledger) {
    let mut kinds: BTreeMap<&str, (_, Vec<i64>)> = BTreeMap::new();
    let mut letters_of = BTreeMap::new();
    for part in &record.parts {
        let letters = part.letters();
        let shape = (&part.piece, &part.kind, &part.stock, part.length, part.width, part.thickness);
        let number = part.id[letters.len()..].parse().unwrap_or(0);
        let sound = !letters.is_empty() && letters.bytes().all(|b| b.is_ascii_uppercase());
        ledger.hold(sound && part.id == format!("{letters}{number}"), || format!("`{}` is no id", part.id));
        let entry = kinds.entry(letters).or_insert_with(|| (shape, Vec::new()));
        ledger.hold(entry.0 == shape, || format!("{} is not like the other parts {letters}", part.slot()));
        entry.1.push(number);
        let own = *letters_of.entry(shape).or_insert(letters);
        ledger.hold(own == letters, || format!("{} is like the parts {own}", part.slot()));
    }
    for (letters, (_, numbers)) in &mut kinds {
        numbers.sort_unstable();
        let running = numbers.iter().zip(1..).all(|(&number, place)| number == place);
        ledger.hold(running, || format!("the parts {letters} are not numbered 1 to {}", numbers.len()));
    }
}

fn hold_parts(record: &Record, built: &Built<'_>, ledger: &mut Ledger) {
    let mut claimed: BTreeMap<Slot<'_>, &Part> = BTreeMap::new();
    for part in &record.parts {
        let slot = (part.piece.as_str(), part.role.as_str(), part.face.as_str(), part.course, part.index);
        let alone = claimed.insert(slot, part).is_none();
        ledger.hold(alone, || format!("{} fills a slot that is filled", part.slot()));
    }
    for laid in &built.parts {
        let Some(part) = claimed.remove(&laid.slot) else {
            ledger.find(format!("nothing fills the slot {:?}", laid.slot));
            continue;
        };
        ledger.hold((part.kind.as_str(), part.stock.as_str()) == laid.stock, || {
            format!("{} is of {} `{}`, and the plan says {:?}", part.slot(), part.kind, part.stock, laid.stock)
        });
        let place = (part.corner.map(i128::from), part.far().map(i128::from));
        ledger.hold(place == (laid.from, laid.to), || {
            let [from, to, own_from, own_to] = [place.0, place.1, laid.from, laid.to].map(|corner| corner.map(Mm));
            format!("{} reaches from {from:?} to {to:?}, and belongs from {own_from:?} to {own_to:?}", part.slot())
        });
        ledger.hold((part.along, part.across) == (laid.along, laid.across), || {
            format!("{} lies another way", part.slot())
        });
    }
    for part in claimed.values() {
        ledger.find(format!("{} fills a slot that the plan does not have", part.slot()));
    }
}

fn hold_rows(record: &Record, built: &Built<'_>, papers: &Papers, ledger: &mut Ledger) {
    let mut claimed: BTreeMap<(&str, &str), _> = BTreeMap::new();
    for row in &record.rows {
        let alone = claimed.insert((row.piece.as_str(), row.face.as_str()), row).is_none();
        ledger.hold(alone, || format!("the row {} of {} stands twice", row.face, row.piece));
    }
    let step = papers.tape.step().nanometres();
    for laid in &built.rows {
        let name = format!("the row {} of {}", laid.face, laid.piece);
        let Some(row) = claimed.remove(&(laid.piece.as_str(), laid.face.as_str())) else {
            ledger.find(format!("{name} is missing"));
            continue;
        };
        ledger.same(&format!("the length of {name}"), Mm::of(row.length), Mm(laid.length));
        ledger.same(&format!("the member of {name}"), Mm::of(row.member), Mm(laid.member));
        ledger.same(&format!("the count of {name}"), i128::from(row.count), laid.count);
        ledger.same(&format!("the gaps of {name}"), i128::from(row.gaps), laid.gaps);
        ledger.same(&format!("all gaps of {name} together"), Mm::of(row.gaps_total), Mm(laid.total));
        ledger.same(&format!("whether {name} starts with a gap"), row.starts_with_gap, laid.starts_with_gap);
        ledger.same(&format!("whether {name} is counted from the bottom up"), row.up, laid.up);
        let marks: Vec<Mm> = (0..laid.count).map(|i| Mm(laid.mark(i, step.into()))).collect();
        let own: Vec<Mm> = row.marks.iter().map(|&mark| Mm::of(mark)).collect();
        ledger.hold(own == marks, || format!("the marks of {name} are {own:?}, and belong at {marks:?}"));
    }
    for (piece, face) in claimed.keys() {
        ledger.find(format!("the plan has no row {face} of {piece}"));
    }
}

/// Lays every piece out for a closing; `None` if a row has no count under its choices.
fn lay_out<'a>(record: &Record, asked: &'a Asked, closing: &Closing) -> Option<Built<'a>> {
    let mut runs = BTreeMap::new();
    for (at, run) in record.fit.runs.iter().enumerate() {
        runs.insert(own_row(run), at);
    }
    let layer = Layer { asked, runs, closing };
    let mut built = Built::default();
    for piece in &asked.pieces {
        layer.lay(piece, &mut built)?;
    }
    Some(built)
}

struct Layer<'a, 'c> {
    asked: &'a Asked,
    runs: BTreeMap<crate::asked::Row, usize>,
    closing: &'c Closing,
}

impl<'a> Layer<'a, '_> {
    fn lay(&self, piece: &'a Planned, built: &mut Built<'a>) -> Option<()> {
        let sizes = &self.closing.sizes;
        let lay = piece.lay(&self.closing.choices)?;
        let (bottom, top) = (piece.bottom.at(sizes), piece.top.at(sizes));
        if piece.kind == Kind::Upright {
            let below = piece.around.map_or(0, |around| self.asked.pieces[around].bottom.at(sizes));
            built.uprights.insert(format!("{}.length", piece.name), [top, below, piece.raised]);
        }
        match piece.kind {
            Kind::Walls | Kind::Level => self.courses(piece, lay, [bottom, top], built),
            Kind::Upright | Kind::Ring => self.stand(piece, lay, [bottom, top], built),
        }
    }

    fn row(&self, piece: &Planned, row: usize, face: &str, starts_with_gap: bool) -> Option<LaidRow> {
        let asked = &self.asked.rows[row];
        let run = *self.runs.get(asked)?;
        let (count, (total, gaps)) = (self.closing.counts[run]?, self.closing.gaps[run]?);
        Some(LaidRow {
            piece: piece.name.clone(),
            face: face.into(),
            called: piece.called(face),
            length: asked.length.at(&self.closing.sizes),
            member: asked.member,
            count: count.into(),
            total: total.into(),
            gaps: gaps.into(),
            starts_with_gap,
            up: piece.courses == Some(row),
        })
    }

    /// One part along each side in each course.
    fn courses(&self, piece: &'a Planned, lay: &'a Lay, up: [i128; 2], built: &mut Built<'a>) -> Option<()> {
        let mut heights = vec![up];
        if let Some(row) = piece.courses {
            let row = self.row(piece, row, "courses", false)?;
            let low = |i| up[0] + row.start(i);
            heights = (0..row.count).map(|i| [low(i), low(i) + piece.width]).collect();
            built.rows.push(row);
        }
        let role = if piece.stock.0 == "board" { "board" } else { "panel" };
        let sizes = &self.closing.sizes;
        for line in &lay.lines {
            let (before, after) = (piece.base.before(line.side), piece.base.after(line.side));
            let length = |from, to| piece.base.length_between(line.side, from, to).at(sizes);
            let (corner, next) = (&piece.base.sides[before].line, &piece.base.sides[after].line);
            let parts = [length(corner, next), length(&line.start.at, corner), length(next, &line.finish.at)];
            built.lengths.insert(format!("{}.length", piece.called(piece.base.sides[line.side].name)), parts);
            let along = [line.start.at.at(sizes), line.finish.at.at(sizes)];
            for (course, &up) in heights.iter().enumerate() {
                let slot = (role, course as i64, 0);
                let lie = |along: usize, _: usize| (along, 2);
                built.parts.push(self.part(piece, line, slot, &piece.stock.1, along, up, lie));
            }
        }
        Some(())
    }

    /// Members side by side along each side.
    fn stand(&self, piece: &'a Planned, lay: &'a Lay, up: [i128; 2], built: &mut Built<'a>) -> Option<()> {
        let sizes = &self.closing.sizes;
        for line in &lay.lines {
            let row = self.row(piece, line.row?, piece.base.sides[line.side].name, line.start.joint)?;
            let (start, way) = (line.start.at.at(sizes), piece.base.along(line.side));
            let role = if piece.kind == Kind::Ring { "unit" } else { "board" };
            let lie = |along: usize, out: usize| match (piece.kind, lay.lengthwise) {
                (Kind::Upright, _) => (2, along),
                (_, true) => (along, out),
                (_, false) => (out, along),
            };
            for i in 0..row.count {
                let from = start + way * row.start(i);
                let along = [from, from + way * row.member];
                let slot = (role, 0, i64::try_from(i).ok()?);
                built.parts.push(self.part(piece, line, slot, &piece.stock.1, along, up, lie));
            }
            built.rows.push(row);
            if let (true, Some((name, thickness))) = (lay.square, &piece.corner) {
                let next = piece.base.after(line.side);
                let along = [line.strip.0, line.strip.1].map(|out| piece.base.line(next, out).at(sizes));
                let up = [up[1] - thickness, up[1]];
                built.parts.push(self.part(piece, line, ("corner", 0, 0), name, along, up, |along, out| (along, out)));
            }
        }
        Some(())
    }

    #[allow(clippy::too_many_arguments)]
    fn part(
        &self,
        piece: &'a Planned,
        line: &Line,
        slot: (&'a str, i64, i64),
        stock: &'a str,
        along: [i128; 2],
        up: [i128; 2],
        lie: impl Fn(usize, usize) -> (usize, usize),
    ) -> Laid<'a> {
        let out = [line.strip.0, line.strip.1].map(|out| piece.base.line(line.side, out).at(&self.closing.sizes));
        let axis = if piece.base.is_level(line.side) { 0 } else { 1 };
        let (mut from, mut to) = ([0; 3], [0; 3]);
        for (axis, [a, b]) in [(axis, along), (1 - axis, out), (2, up)] {
            (from[axis], to[axis]) = (a.min(b), a.max(b));
        }
        let (lengthwise, across) = lie(axis, 1 - axis);
        let slot = (piece.name.as_str(), slot.0, piece.base.sides[line.side].name, slot.1, slot.2);
        Laid { slot, stock: (piece.stock.0, stock), from, to, along: lengthwise, across }
    }
}

fn parts_of<'r>(record: &'r Record, piece: &str) -> Vec<&'r Part> {
    record.parts.iter().filter(|part| part.piece == piece).collect()
}

/// Walls reach from end to end of the sizes, and each course has the area between the outline and its inside.
fn hold_walls(record: &Record, piece: &Planned, closing: &Closing, ledger: &mut Ledger) {
    let parts = parts_of(record, &piece.name);
    let size = |what: &str| {
        let name = format!("{}.{what}", piece.name);
        record.fit.sizes.iter().position(|size| size.wish.name == name).map(|at| closing.sizes[at])
    };
    let wished = ["length", "width", "height"].map(|what| size(what).unwrap_or(0));
    let least = [0, 1, 2].map(|axis| parts.iter().map(|part| part.corner[axis]).min().unwrap_or(0));
    let most = [0, 1, 2].map(|axis| parts.iter().map(|part| part.far()[axis]).max().unwrap_or(0));
    let reach = [most[0] - least[0], most[1], most[2]];
    ledger.hold(least[1..] == [0; 2] && reach == wished, || {
        let [least, most, wished] = [least, most, wished].map(|corner| corner.map(Mm::of));
        format!("{} reaches from {least:?} to {most:?}, and its sizes are {wished:?}", piece.name)
    });
    let inside = piece.base.moved(&vec![-piece.thickness; piece.base.count()]);
    let ring = piece.base.double_area(&closing.sizes) - inside.double_area(&closing.sizes);
    let mut courses: BTreeMap<i64, i128> = BTreeMap::new();
    for part in &parts {
        let extent = part.extent();
        *courses.entry(part.course).or_default() += 2 * i128::from(extent[0]) * i128::from(extent[1]);
    }
    for (course, area) in courses {
        ledger.hold(area == ring, || {
            format!(
                "course {} of {} covers {area} and its walls {ring}, in half square nanometres",
                course + 1,
                piece.name
            )
        });
    }
}

/// Pieces that stand by themselves do so along the front, the first where the build begins, each of the others three metres
/// behind the end of the one before.
fn hold_beside(record: &Record, asked: &Asked, ledger: &mut Ledger) {
    let mut begins = 0;
    for piece in asked.pieces.iter().filter(|piece| piece.around.is_none()) {
        let parts = parts_of(record, &piece.name);
        let least = parts.iter().map(|part| i128::from(part.corner[0])).min().unwrap_or(0);
        ledger.same(&format!("where {} begins along the front", piece.name), Mm(least), Mm(begins));
        begins = parts.iter().map(|part| i128::from(part.far()[0])).max().unwrap_or(0) + APART;
    }
}

fn meet(a: &Part, b: &Part, axis: usize) -> bool {
    a.corner[axis] < b.far()[axis] && b.corner[axis] < a.far()[axis]
}

/// Each board of a cladding lies with its whole thickness before a wall and touches it.
fn hold_flush(record: &Record, asked: &Asked, piece: &Planned, ledger: &mut Ledger) {
    let Some(on) = piece.around.map(|around| &asked.pieces[around]).filter(|on| on.kind == Kind::Walls) else { return };
    let walls = parts_of(record, &on.name);
    let top = walls.iter().map(|wall| wall.far()[2]).max().unwrap_or(0);
    let low = walls.iter().map(|wall| wall.corner[2]).min().unwrap_or(0);
    for part in parts_of(record, &piece.name) {
        let touches = walls.iter().any(|wall| {
            [0, 1].into_iter().any(|axis| {
                let face = part.far()[axis] == wall.corner[axis] || wall.far()[axis] == part.corner[axis];
                let thin = i128::from(part.extent()[axis]) == piece.thickness;
                face && thin && meet(part, wall, 1 - axis) && meet(part, wall, 2)
            })
        });
        ledger.hold(touches, || format!("{} does not lie on {}", part.slot(), on.name));
        let within = i128::from(part.corner[2]) >= i128::from(low) + piece.raised && part.far()[2] <= top;
        ledger.hold(within, || format!("{} does not stay between the edges of {}", part.slot(), on.name));
    }
}

/// No unit comes nearer than the clearance to what its ring goes round, and one comes as near.
fn hold_clearance(record: &Record, asked: &Asked, at: usize, ledger: &mut Ledger) {
    let piece = &asked.pieces[at];
    let mut inner: Vec<&Part> = Vec::new();
    let mut around = piece.around;
    let mut ring = false;
    while let Some(place) = around {
        inner.extend(parts_of(record, &asked.pieces[place].name));
        ring |= asked.pieces[place].kind == Kind::Ring;
        around = asked.pieces[place].around;
    }
    let boxes = footprints(&inner);
    let mut nearest = None;
    for unit in parts_of(record, &piece.name) {
        let own = [0, 1].map(|axis| (unit.corner[axis], unit.far()[axis]));
        let apart = |of: &[(i64, i64); 2]| {
            [0, 1].map(|axis| (of[axis].0 - own[axis].1).max(own[axis].0 - of[axis].1)).into_iter().max().unwrap_or(0)
        };
        let least = boxes.iter().map(apart).min().unwrap_or(0);
        nearest = Some(nearest.map_or(least, |nearest: i64| nearest.min(least)));
        ledger.hold(i128::from(least) >= piece.clearance, || {
            let (least, clearance) = (Mm::of(least), Mm(piece.clearance));
            format!("{} is {least} from what the ring goes round, not {clearance}", unit.slot())
        });
    }
    // Where a ring goes round a ring that could be deeper, it keeps clear of the deeper one.
    if let Some(nearest) = nearest.filter(|_| !ring) {
        ledger.same(&format!("the clearance of {}", piece.name), Mm::of(nearest), Mm(piece.clearance));
    }
}

/// What parts cover of the ground: the boxes of courses that lie over one another are one.
fn footprints(parts: &[&Part]) -> Vec<[(i64, i64); 2]> {
    let mut boxes: Vec<[(i64, i64); 2]> =
        parts.iter().map(|part| [0, 1].map(|axis| (part.corner[axis], part.far()[axis]))).collect();
    boxes.sort_unstable();
    boxes.dedup();
    boxes
}

/// Between neighbours of a row lies its share, to the nanometre, and within what is wished.
fn hold_gaps(record: &Record, asked: &Asked, piece: &Planned, closing: &Closing, ledger: &mut Ledger) {
    let Some(lay) = piece.lay(&closing.choices).filter(|_| matches!(piece.kind, Kind::Upright | Kind::Ring)) else {
        return;
    };
    let mut rows: BTreeMap<&str, Vec<&Part>> = BTreeMap::new();
    for part in record.parts.iter().filter(|part| part.piece == piece.name && part.role != "corner") {
        rows.entry(part.face.as_str()).or_default().push(part);
    }
    for line in &lay.lines {
        let Some(wish) = line.row.map(|row| &asked.gaps[asked.rows[row].gap].1) else { continue };
        let Some(row) = rows.get_mut(piece.base.sides[line.side].name) else { continue };
        let axis = if piece.base.is_level(line.side) { 0 } else { 1 };
        row.sort_by_key(|part| part.corner[axis]);
        let mut gaps = row.windows(2).map(|pair| pair[1].corner[axis] - pair[0].far()[axis]).peekable();
        let first = gaps.peek().copied().unwrap_or(0);
        for (gap, pair) in gaps.zip(row.windows(2)) {
            ledger.hold((wish.from - 1..=wish.to + 1).contains(&gap), || {
                format!("between {} and {} is a gap of {}", pair[0].slot(), pair[1].slot(), Mm::of(gap))
            });
            ledger.hold((gap - first).abs() <= 2, || {
                let (gap, first) = (Mm::of(gap), Mm::of(first));
                format!("between {} and {} is {gap}, elsewhere in the row {first}", pair[0].slot(), pair[1].slot())
            });
        }
    }
}
