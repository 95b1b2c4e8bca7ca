//! The referee's own reader of the day book, and what it makes of plan, yard and shed.

use crate::asked::Asked;
use crate::claims::Part;
use crate::json::Json;
use crate::ledger::{Ledger, Mm};
use crate::texts::{Board, Papers, Sold, Wish};
use measure::{Length, Unit};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};

/// The most boards at home that are told apart.
const MOST_AT_HOME: i64 = 2_000;

/// What the day book says beside what it changes in the yard and the shed.
#[derive(Default)]
pub(crate) struct Standing {
    /// Sizes that are held.
    held: BTreeMap<String, i64>,
    /// Boards at home: name, label, length, and how long a whole board would be that gives what is left of it.
    home: Vec<Home>,
    /// What was cut.
    objects: Vec<Object>,
}

struct Home {
    board: String,
    label: i64,
    length: i64,
    left: i64,
    /// Its name and its bad stretches, where it is a single board that has some.
    single: Option<(String, Vec<[i64; 2]>)>,
    /// Whether it is what was cut wrong and is left over.
    left_over: bool,
    /// What the yard asks for one.
    price: Option<i64>,
}

impl Home {
    /// It as it came: one of its kind that costs nothing. What was marked bad past its true end is not there.
    fn sold(&self) -> Sold {
        let (name, bad) = self.single.clone().unzip();
        let mut bad = bad.unwrap_or_default();
        bad.retain(|bad| bad[0] < self.length);
        bad.iter_mut().for_each(|bad| bad[1] = bad[1].min(self.length));
        Sold { length: self.length, price: Some(0), stock: Some(1), name, bad, ..Sold::default() }
    }

    fn is_begun(&self) -> bool {
        self.left_over || self.left != self.length
    }
}

struct Object {
    entry: i64,
    slot: String,
    length: i64,
    from: Option<i64>,
    /// How long it was when it came off its board.
    sawn: i64,
    wrong: bool,
    closed: bool,
    /// Whether it is a board at home now, and fills no slot.
    left_over: bool,
    /// Whether its entry was written against another text of the plan.
    older: bool,
}

impl Standing {
    /// The longest part that a board of a kind gives that came home, if any did.
    pub fn longest_at_home(&self, board: &str, trim: i64, kerf: i64) -> Option<i64> {
        let own = self.home.iter().filter(|home| home.board == board);
        own.map(|home| home.sold().gives(trim, kerf)).max().map(|gives| i64::try_from(gives).unwrap_or(i64::MAX))
    }

    /// Whether the boards at home of a kind that give so much are whole: nothing was cut off any of them.
    pub fn is_whole(&self, board: &str, left: i64) -> bool {
        let plain = |home: &&Home| home.single.is_none() && home.board == board && home.left == left;
        let mut alike = self.home.iter().filter(plain).peekable();
        alike.peek().is_some() && alike.all(|home| !home.is_begun())
    }

    pub fn is_home(&self, board: &str) -> bool {
        self.home.iter().any(|home| home.board == board)
    }

    /// Whole boards that can be taken back where so many are cut of a kind that give so much: name, label, how many, and what was
    /// paid for them. Of those that give equally much the begun ones are cut first, then those that came first.
    pub fn take_back(&self, cut: &BTreeMap<(String, i64), i64>) -> Vec<(String, i64, i64, Option<i64>)> {
        let mut left = cut.clone();
        let mut back: BTreeMap<(&String, i64), (i64, Option<i64>)> = BTreeMap::new();
        for begun in [true, false] {
            for home in self.home.iter().filter(|home| home.is_begun() == begun && home.single.is_none()) {
                match left.get_mut(&(home.board.clone(), home.left)) {
                    Some(more) if *more > 0 => *more -= 1,
                    _ if begun => {}
                    _ => {
                        let (count, paid) = back.entry((&home.board, home.label)).or_insert((0, Some(0)));
                        *count += 1;
                        *paid = paid.zip(home.price).and_then(|(paid, price)| paid.checked_add(price));
                    }
                }
            }
        }
        back.into_iter().map(|((board, label), (count, paid))| (board.clone(), label, count, paid)).collect()
    }

    /// Whether any board is at home.
    pub fn has_home(&self) -> bool {
        !self.home.is_empty()
    }

    /// Whether anything was cut.
    pub fn has_cut(&self) -> bool {
        !self.objects.is_empty()
    }
}

/// Brings the papers to where the day book has them. `plan` is the plan's text.
///
/// # Errors
/// The first line that cannot be read or speaks of what is not there.
pub(crate) fn stand(text: &str, plan: &str, papers: &mut Papers) -> Result<(), String> {
    let digest = digest(plan);
    let entries = entries(text)?;
    let undone: BTreeSet<i64> = entries.iter().filter(|entry| entry.what == "undo").map(|entry| entry.of).collect();
    let mut standing = Standing::default();
    for entry in &entries {
        let of_undone = entry.what == "took" && undone.contains(&entry.of);
        if entry.what != "undo" && !of_undone && !undone.contains(&entry.number) {
            enter(entry, &digest, papers, &mut standing)
                .map_err(|wrong| format!("entry {} of the day book: {wrong}", entry.number))?;
        }
    }
    bring_home(papers, &mut standing)?;
    papers.standing = standing;
    Ok(())
}

/// The first 16 hexadecimal digits of the SHA-256 (FIPS 180-4) of a text.
fn digest(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

struct Entry {
    /// The digest of the plan that it was written against.
    plan: String,
    number: i64,
    what: String,
    /// The entry that it undoes or is a way out of.
    of: i64,
    says: Json,
}

/// The lines that are whole: broken ones stand at the end, or before a line that counts them.
fn entries(text: &str) -> Result<Vec<Entry>, String> {
    let mut entries: Vec<Entry> = Vec::new();
    let mut broken = 0;
    for (at, line) in text.lines().enumerate() {
        let Ok(says @ Json::Object(_)) = Json::read(line) else {
            broken += 1;
            continue;
        };
        let told = |wrong: String| format!("line {} of the day book: {wrong}", at + 1);
        let number = whole(&says, "n").map_err(told)?;
        let cut_off = if says.get("cut-off").is_some() { whole(&says, "cut-off").map_err(told)? } else { 0 };
        if cut_off != broken || number != entries.len() as i64 + 1 {
            return Err(told("it is out of turn".into()));
        }
        broken = 0;
        let what = word(&says, "what").map_err(told)?;
        let of = if matches!(what.as_str(), "undo" | "took") { whole(&says, "entry").map_err(told)? } else { 0 };
        let plan = word(&says, "plan").map_err(told)?;
        if plan.len() != 16 || !plan.bytes().all(|digit| matches!(digit, b'0'..=b'9' | b'a'..=b'f')) {
            return Err(told("`plan` is no digest".into()));
        }
        entries.push(Entry { plan, number, what, of, says });
    }
    Ok(entries)
}

fn word(says: &Json, key: &str) -> Result<String, String> {
    match says.get(key) {
        Some(Json::Text(text)) => Ok(text.clone()),
        _ => Err(format!("`{key}` is no text")),
    }
}

fn whole(says: &Json, key: &str) -> Result<i64, String> {
    match says.get(key) {
        Some(Json::Whole(number)) if (0..=1_000_000).contains(number) => Ok(*number),
        _ => Err(format!("`{key}` is no count")),
    }
}

fn long(form: Option<&Json>) -> Result<i64, String> {
    let Some(Json::Text(text)) = form else { return Err("a length is missing".into()) };
    measure::parse(text, Unit::Millimetre).map(Length::nanometres).map_err(|wrong| format!("`{text}`: {wrong}"))
}

fn texts(says: &Json, key: &str) -> Result<Vec<String>, String> {
    let Some(Json::List(items)) = says.get(key) else { return Err(format!("`{key}` is no list")) };
    let text = |item: &Json| if let Json::Text(text) = item { Ok(text.clone()) } else { Err(format!("`{key}`")) };
    items.iter().map(text).collect()
}

fn enter(entry: &Entry, digest: &str, papers: &mut Papers, standing: &mut Standing) -> Result<(), String> {
    let says = &entry.says;
    let older = entry.plan != digest;
    if let Some(Json::Object(holds)) = says.get("holds") {
        for (size, value) in holds {
            standing.held.insert(size.clone(), long(Some(value))?);
        }
    }
    match entry.what.as_str() {
        "only" => {
            let (name, length) = (word(says, "board")?, long(says.get("length"))?);
            let board = papers.boards.iter_mut().find(|board| board.name == name);
            let sold = board.and_then(|board| board.lengths.iter_mut().find(|sold| sold.length == length));
            sold.ok_or("the yard has no such length")?.stock = Some(whole(says, "left")?);
        }
        "bought" => {
            let (board, label) = (word(says, "board")?, long(says.get("length"))?);
            let kind = papers.board(&board).ok_or("the yard has no such board")?;
            let price = kind.lengths.iter().find(|sold| sold.length == label).and_then(|sold| sold.price);
            let count = whole(says, "count")?;
            if standing.home.len() as i64 + count > MOST_AT_HOME {
                return Err(format!("no more than {MOST_AT_HOME} boards are told apart"));
            }
            for _ in 0..count {
                let single = single(kind, label, &standing.home);
                let board = board.clone();
                standing.home.push(Home { board, label, length: label, left: label, single, left_over: false, price });
            }
        }
        "true-length" => true_lengths(says, standing)?,
        "cut" => {
            let (parts, length) = (texts(says, "parts")?, long(says.get("length"))?);
            for (at, slot) in parts.into_iter().enumerate() {
                let from = match says.get("from") {
                    None => None,
                    Some(Json::List(from)) => match from.get(at) {
                        Some(Json::Whole(from)) => Some(*from),
                        _ => return Err("`from` does not say a board for each part".into()),
                    },
                    Some(_) => return Err("`from` is no list".into()),
                };
                let entry = entry.number;
                standing.objects.push(Object {
                    entry,
                    slot,
                    length,
                    from,
                    sawn: length,
                    wrong: false,
                    closed: false,
                    left_over: false,
                    older,
                });
            }
        }
        "wrong" => {
            let (slot, length) = (word(says, "part")?, long(says.get("length"))?);
            let from = if says.get("from").is_some() { Some(whole(says, "from")?) } else { None };
            let entry = entry.number;
            standing.objects.push(Object {
                entry,
                slot,
                length,
                from,
                sawn: length,
                wrong: true,
                closed: false,
                left_over: false,
                older,
            });
        }
        "took" => took(entry, standing)?,
        _ => reading(entry, papers)?,
    }
    Ok(())
}

/// The single board with bad stretches that comes home next with such a label, if the yard does not sell that length in numbers.
fn single(kind: &Board, label: i64, home: &[Home]) -> Option<(String, Vec<[i64; 2]>)> {
    let own: Vec<&Sold> = kind.lengths.iter().filter(|sold| !sold.shed && sold.length == label).collect();
    if own.iter().any(|sold| sold.name.is_none()) {
        return None;
    }
    let is_home = |name: &str| {
        home.iter().any(|home| home.board == kind.name && home.single.as_ref().is_some_and(|single| single.0 == name))
    };
    let next =
        own.into_iter().find(|sold| !sold.bad.is_empty() && sold.name.as_deref().is_some_and(|name| !is_home(name)));
    next.and_then(|sold| Some((sold.name.clone()?, sold.bad.clone())))
}

/// What changes a number of the yard or the shed.
fn reading(entry: &Entry, papers: &mut Papers) -> Result<(), String> {
    let says = &entry.says;
    let reads = long(says.get("reads"))?;
    let over = || whole(says, "over").map(|over| i128::from(over.max(1)));
    match entry.what.as_str() {
        "width" => {
            let name = word(says, "board")?;
            let board = papers.boards.iter_mut().find(|board| board.name == name);
            board.ok_or("the yard has no such board")?.width = nearest(reads.into(), over()?)?;
        }
        "thickness" if says.get("sheet").is_some() => {
            let name = word(says, "sheet")?;
            let sheet = papers.sheets.iter_mut().find(|sheet| sheet.name == name);
            sheet.ok_or("the yard has no such sheet")?.thickness = reads;
        }
        "thickness" => {
            let name = word(says, "board")?;
            let board = papers.boards.iter_mut().find(|board| board.name == name);
            board.ok_or("the yard has no such board")?.thickness = reads;
        }
        "kerf" => papers.kerf = reads,
        "units" => {
            let (name, over) = (word(says, "unit")?, over()?);
            let joints = (over - 1) * i128::from(long(says.get("joint"))?);
            let each = nearest(i128::from(reads) - joints, over)?;
            let unit = papers.units.iter_mut().find(|unit| unit.name == name).ok_or("the yard has no such unit")?;
            match word(says, "along")?.as_str() {
                "length" => unit.length = each,
                "width" => unit.width = each,
                _ => return Err("`along` is neither side of a unit".into()),
            }
        }
        other => return Err(format!("no entry is called `{other}`")),
    }
    Ok(())
}

/// A quotient of what is above nothing, to the nearest, halves up.
fn nearest(total: i128, over: i128) -> Result<i64, String> {
    let value = (2 * total + over).div_euclid(2 * over);
    i64::try_from(value).ok().filter(|&value| value > 0).ok_or_else(|| "a reading of nothing".into())
}

fn true_lengths(says: &Json, standing: &mut Standing) -> Result<(), String> {
    let (board, label) = (word(says, "board")?, long(says.get("length"))?);
    let Some(Json::List(reads)) = says.get("reads") else { return Err("`reads` is no list".into()) };
    for read in reads {
        let new =
            |home: &&mut Home| home.board == board && home.label == label && home.length == label && !home.left_over;
        let home = standing.home.iter_mut().find(new).ok_or("not so many are at home")?;
        home.length = long(Some(read))?;
    }
    Ok(())
}

fn took(entry: &Entry, standing: &mut Standing) -> Result<(), String> {
    let says = &entry.says;
    let parts = if says.get("parts").is_some() { texts(says, "parts")? } else { Vec::new() };
    let length = says.get("length").map(|length| long(Some(length))).transpose()?;
    match word(says, "way")?.as_str() {
        way @ ("elsewhere" | "strip" | "pack") if way != "pack" || !parts.is_empty() => {
            let object = standing.objects.iter_mut().find(|object| object.entry == entry.of && object.wrong);
            let object = object.ok_or("nothing was cut wrong there")?;
            object.slot = parts.first().ok_or("it names no part")?.clone();
            object.length = object.length.min(length.unwrap_or(object.length));
            object.closed = way != "elsewhere";
        }
        "follow" => {
            for object in standing.objects.iter_mut().filter(|object| parts.contains(&object.slot)) {
                object.length = object.length.min(length.unwrap_or(object.length));
            }
        }
        "at-home" | "buy" if !parts.is_empty() => {
            let is = |object: &&mut Object| object.entry == entry.of && object.wrong && !object.left_over;
            let object = standing.objects.iter_mut().find(is).ok_or("nothing was cut wrong there")?;
            let from = object.from.and_then(|from| usize::try_from(from - 1).ok());
            let came = from.and_then(|at| standing.home.get(at)).ok_or("it came off no board at home")?;
            let (board, length) = (came.board.clone(), object.length);
            object.left_over = true;
            standing.home.push(Home {
                board,
                label: length,
                length,
                left: length,
                left_over: true,
                price: None,
                single: None,
            });
        }
        _ => {}
    }
    Ok(())
}

/// What is at home becomes the only stock of its kind, less what was cut off it.
fn bring_home(papers: &mut Papers, standing: &mut Standing) -> Result<(), String> {
    standing.home.iter_mut().for_each(|home| home.left = home.length);
    for object in &standing.objects {
        let Some(from) = object.from else { continue };
        let at = usize::try_from(from - 1).ok();
        let home = at.and_then(|at| standing.home.get_mut(at));
        let home = home.ok_or_else(|| format!("{} came off a board that is not at home", object.slot))?;
        if object.sawn > home.left {
            return Err(format!("{} came off a board that has not that much left", object.slot));
        }
        home.left = (home.left - object.sawn - papers.kerf).max(0);
    }
    let kinds: BTreeSet<&String> = standing.home.iter().map(|home| &home.board).collect();
    for name in kinds {
        let mut lots: BTreeMap<i64, i64> = BTreeMap::new();
        let own = || standing.home.iter().filter(|home| home.board == *name);
        for home in own().filter(|home| home.single.is_none() && home.left > papers.trim) {
            *lots.entry(home.left).or_default() += 1;
        }
        // Where the rest of a board with bad stretches lies is not known.
        let begun = |home: &Home| home.left < home.length;
        let singles = own().filter(|home| home.single.is_some() && !begun(home)).map(Home::sold).collect();
        let Some(board) = papers.boards.iter_mut().find(|board| board.name == *name) else { continue };
        board.at_home(lots, singles);
    }
    Ok(())
}

/// Pins the sizes that are held.
pub(crate) fn pin(papers: &Papers, asked: &mut Asked, ledger: &mut Ledger) {
    for (name, &value) in &papers.standing.held {
        let size = asked.sizes.iter_mut().find(|size| size.0 == *name);
        match size {
            Some((_, wish)) => *wish = Wish { want: value, from: value, to: value, ..*wish },
            None => ledger.find(format!("the day book holds `{name}`, which the plan does not ask")),
        }
    }
}

/// The slot of a part as the day book names it.
fn key(part: &Part) -> String {
    format!("{}.{}.{}.{}.{}", part.piece, part.role, part.face, part.course, part.index).replace(' ', "-")
}

/// Holds what was cut by entries that were written against another text of the plan: the slot is still there, at the length that
/// was cut, unless it came out wrong or its gap is closed.
pub(crate) fn hold(parts: &[Part], papers: &Papers, ledger: &mut Ledger) {
    let step = papers.tape.step().nanometres();
    let own: BTreeMap<String, &Part> = parts.iter().map(|part| (key(part), part)).collect();
    for object in papers.standing.objects.iter().filter(|object| object.older) {
        let (entry, slot) = (object.entry, &object.slot);
        let Some(part) = own.get(slot) else {
            ledger.find(format!("entry {entry} was written against another plan, and `{slot}` is no longer there"));
            continue;
        };
        let near = 2 * (part.length - object.length).abs() <= step;
        ledger.hold(near || object.wrong || object.closed, || {
            let (cut, wants) = (Mm::of(object.length), Mm::of(part.length));
            format!(
                "entry {entry} was written against another plan: `{slot}` was cut {cut} long, and {wants} is wanted"
            )
        });
    }
}

/// Marks the parts that have their object: own slots first, then the first that is of the same stock, with the same ends, and as
/// long, within half a step of the tape.
pub(crate) fn mark(parts: &mut [Part], papers: &Papers) {
    let objects = &papers.standing.objects;
    if objects.is_empty() {
        return;
    }
    let step = papers.tape.step().nanometres();
    let near = |part: &Part, object: &Object| 2 * (part.length - object.length).abs() <= step;
    let places: BTreeMap<String, usize> = parts.iter().enumerate().map(|(at, part)| (key(part), at)).collect();
    let mut homeless = Vec::new();
    // Those whose gap is closed take their slots before any other.
    let in_turn =
        [true, false].map(|closed| objects.iter().filter(move |object| object.closed == closed && !object.left_over));
    for object in in_turn.into_iter().flatten() {
        match places.get(&object.slot).map(|&at| &mut parts[at]) {
            Some(part) if !part.done && (object.closed || near(part, object)) => part.done = true,
            _ => homeless.push(object),
        }
    }
    // In the order in which they were cut: the sort keeps those of one entry as they are.
    homeless.sort_by_key(|object| object.entry);
    for object in homeless {
        let Some(&like) = places.get(&object.slot) else { continue };
        let (stock, planes) = ((parts[like].kind.clone(), parts[like].stock.clone()), parts[like].planes.clone());
        let wants = |part: &&mut Part| {
            let alike = part.kind == stock.0 && part.stock == stock.1 && part.planes == planes;
            alike && !part.done && near(part, object)
        };
        if let Some(part) = parts.iter_mut().find(wants) {
            part.done = true;
        }
    }
}
