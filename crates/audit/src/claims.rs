//! The record as it was claimed: its form is held here, and nothing else.
//!
//! Every number is read into a range in which sums and products of the checks stay far inside an `i128`: lengths to 17 km,
//! counts to a thousand million.

use crate::json::Json;
use crate::ledger::Ledger;
use std::ops::RangeInclusive;

/// The version of the record that is read.
const VERSION: i64 = 1;

/// Lengths in nanometres: 17 km either way.
const LENGTH: RangeInclusive<i64> = -(1 << 44)..=1 << 44;
const COUNT: RangeInclusive<i64> = 0..=1 << 30;
const SMALL: RangeInclusive<i64> = -1_000..=1_000;
const INDEX: RangeInclusive<i64> = 0..=1 << 20;
const MONEY: RangeInclusive<i64> = -(1 << 53)..=1 << 53;
const ANY: RangeInclusive<i64> = i64::MIN..=i64::MAX;

/// A pair of a choice and an option.
pub(crate) type When = Vec<(usize, usize)>;

pub(crate) struct Record {
    pub title: String,
    pub unit: String,
    pub step: i64,
    pub currency: String,
    pub fit: Fit,
    pub ways: Vec<Way>,
    pub chosen: usize,
    pub cheapest_proven: bool,
    pub windows: Vec<Windows>,
    pub parts: Vec<Part>,
    pub rows: Vec<Row>,
    pub cutting: Cutting,
    pub buying: Buying,
    pub questions: Vec<Question>,
    pub steps: Vec<Step>,
    pub quantities: Vec<Quantity>,
    pub rules: Vec<String>,
}

pub(crate) struct Fit {
    pub choices: Vec<(String, Vec<String>)>,
    pub sizes: Vec<Size>,
    pub gaps: Vec<Wish>,
    pub runs: Vec<Run>,
    pub relations: Vec<Relation>,
    pub status: String,
    pub closings: Vec<Closing>,
    pub found: i64,
    pub found_more: bool,
    pub proof: Option<Proof>,
}

#[derive(Clone)]
pub(crate) struct Size {
    pub origin: i64,
    pub step: i64,
    pub wish: Wish,
}

#[derive(Clone)]
pub(crate) struct Wish {
    pub name: String,
    pub want: i64,
    pub from: i64,
    pub to: i64,
    pub rank: i64,
}

#[derive(Clone)]
pub(crate) struct Run {
    pub name: String,
    pub when: When,
    pub terms: Vec<(usize, i64)>,
    pub constant: i64,
    pub member: i64,
    pub gaps_per_member: i64,
    pub end_gaps: i64,
    pub gap: usize,
    pub count: (i64, i64),
}

#[derive(Clone)]
pub(crate) struct Relation {
    pub name: String,
    pub when: When,
    pub terms: Vec<(usize, i64)>,
    pub constant: i64,
    pub from: i64,
    pub to: i64,
}

#[derive(Clone, PartialEq)]
pub(crate) struct Closing {
    pub choices: Vec<usize>,
    pub counts: Vec<Option<i64>>,
    pub sizes: Vec<i64>,
    pub gaps: Vec<Option<(i64, i64)>>,
    pub vector: Vec<i64>,
}

/// What the list of closings rests on.
pub(crate) enum Proof {
    /// One tree that covers everything.
    Whole(Tree),
    /// Parts that nothing joins, each with its own list and tree.
    Apart(Vec<Apart>),
}

/// A part of the question; closings and tree are numbered by the places in its lists.
pub(crate) struct Apart {
    pub lists: Lists,
    pub closings: Vec<Closing>,
    pub tree: Tree,
}

/// What a part of the question consists of, by places in the whole.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Lists {
    pub choices: Vec<usize>,
    pub sizes: Vec<usize>,
    pub gaps: Vec<usize>,
    pub runs: Vec<usize>,
    pub relations: Vec<usize>,
}

impl Lists {
    fn lie_in(&self, fit: &Fit) -> bool {
        let within = |list: &[usize], count: usize| list.iter().all(|&at| at < count);
        within(&self.choices, fit.choices.len())
            && within(&self.sizes, fit.sizes.len())
            && within(&self.gaps, fit.gaps.len())
            && within(&self.runs, fit.runs.len())
            && within(&self.relations, fit.relations.len())
    }
}

impl Closing {
    /// Whether it has an option, a size, a count and a gap for each that there is, and each option is one.
    fn belongs_to(&self, lists: &Lists, fit: &Fit) -> bool {
        let is_option =
            |(&option, &choice): (&usize, &usize)| fit.choices.get(choice).is_some_and(|of| option < of.1.len());
        self.choices.len() == lists.choices.len()
            && self.choices.iter().zip(&lists.choices).all(is_option)
            && self.sizes.len() == lists.sizes.len()
            && self.counts.len() == lists.runs.len()
            && self.gaps.len() == lists.runs.len()
    }
}

pub(crate) enum Tree {
    Empty,
    Bound,
    Listed(usize),
    Split { kind: Kind, index: usize, parts: Vec<(i64, i64, Tree)> },
}

#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Kind {
    Choice,
    Count,
    Size,
}

pub(crate) struct Way {
    pub closing: Closing,
    pub price: Option<Price>,
    pub because: String,
    pub size: Option<usize>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Price {
    pub total: i64,
    pub complete: bool,
    pub tight: i64,
    pub proven: bool,
}

pub(crate) struct Windows {
    pub size: String,
    pub notches: Vec<Notch>,
}

pub(crate) struct Notch {
    pub from: i64,
    pub to: i64,
    pub best: i64,
    pub price: Option<Price>,
}

#[derive(Clone)]
pub(crate) struct Part {
    pub id: String,
    pub piece: String,
    pub role: String,
    pub face: String,
    pub course: i64,
    pub index: i64,
    pub kind: String,
    pub stock: String,
    pub length: i64,
    pub width: i64,
    pub thickness: i64,
    pub along: usize,
    pub across: usize,
    pub corner: [i64; 3],
}

impl Part {
    /// The slot, for a message.
    pub fn slot(&self) -> String {
        format!("{} ({} {} {} {}.{})", self.id, self.piece, self.face, self.role, self.course + 1, self.index + 1)
    }

    /// How far it reaches along each axis.
    pub fn extent(&self) -> [i64; 3] {
        let mut extent = [self.thickness; 3];
        extent[self.along] = self.length;
        extent[self.across] = self.width;
        extent
    }

    /// The corner with the greatest x, y and z.
    pub fn far(&self) -> [i64; 3] {
        let extent = self.extent();
        [0, 1, 2].map(|axis| self.corner[axis] + extent[axis])
    }

    /// The letters of its id, without the number.
    pub fn letters(&self) -> &str {
        self.id.trim_end_matches(|c: char| c.is_ascii_digit())
    }
}

pub(crate) struct Row {
    pub piece: String,
    pub face: String,
    pub length: i64,
    pub member: i64,
    pub count: i64,
    pub gaps_total: i64,
    pub gaps: i64,
    pub starts_with_gap: bool,
    pub up: bool,
    pub marks: Vec<i64>,
}

pub(crate) struct Cutting {
    pub kerf: i64,
    pub trim: i64,
    pub reserve_per_cut: i64,
    pub reserve_per_board: i64,
    pub boards: Vec<Section>,
    pub sheets: Vec<Sheets>,
}

pub(crate) struct Section {
    pub board: String,
    pub priced: bool,
    pub cost: i64,
    pub status: String,
    pub bound: i64,
    pub ties_exact: bool,
    pub certificate: Certificate,
    pub cuts: Vec<Cut>,
}

pub(crate) struct Certificate {
    pub scale: i64,
    pub lengths: Vec<i64>,
    pub duals: Vec<i64>,
    pub supply_duals: Vec<i64>,
    pub bound: i64,
    pub kind: String,
}

pub(crate) struct Cut {
    pub stock: i64,
    pub lengths: Vec<i64>,
    pub slack: i64,
    pub kerf_room: i64,
    pub cuts: i64,
    pub comfortable: bool,
    pub boards: Vec<Vec<String>>,
}

pub(crate) struct Sheets {
    pub sheet: String,
    pub priced: bool,
    pub cost: i64,
    pub exact: bool,
    pub bound: i64,
    pub proven: bool,
    pub sheets: Vec<Sheet>,
}

pub(crate) struct Sheet {
    pub length: i64,
    pub width: i64,
    pub slack: i64,
    pub comfortable: bool,
    pub strips: Vec<Strip>,
}

pub(crate) struct Strip {
    pub width: i64,
    pub slack: i64,
    pub parts: Vec<String>,
}

pub(crate) struct Buying {
    pub lines: Vec<Line>,
    pub total: i64,
    pub unpriced: i64,
}

pub(crate) struct Line {
    pub kind: String,
    pub name: String,
    pub size: Vec<i64>,
    pub used: i64,
    pub count: i64,
    pub price: Option<i64>,
    pub amount: Option<i64>,
}

pub(crate) struct Question {
    pub question: String,
    pub about: String,
    pub verdict: String,
    pub value: Option<String>,
    pub limit: Option<String>,
    pub source: String,
}

pub(crate) struct Step {
    pub piece: String,
    pub parts: Vec<String>,
}

pub(crate) struct Quantity {
    pub name: String,
    pub of: String,
    pub value: i64,
    pub rule: String,
    pub inputs: Vec<Input>,
}

pub(crate) struct Input {
    pub what: String,
    pub of: String,
    pub value: i64,
}

/// Reads a record; `None` if its form is broken, with findings.
pub(crate) fn read(text: &str, ledger: &mut Ledger) -> Option<Record> {
    let json = match Json::read(text) {
        Ok(json) => json,
        Err(wrong) => {
            ledger.find(format!("the record is no JSON: {wrong}"));
            return None;
        }
    };
    let mut reader = Reader { ledger };
    let record = reader.record(&json);
    if record.is_none() {
        reader.ledger.hold(!reader.ledger.clean(), || "the record cannot be read".into());
    }
    record
}

struct Reader<'l> {
    ledger: &'l mut Ledger,
}

/// An object whose keys are those that were expected, and where it stands.
struct Object<'j> {
    json: &'j Json,
    path: String,
}

type Read<'j, 'l, T> = fn(&mut Reader<'l>, &'j Json, &str) -> Option<T>;

impl<'l> Reader<'l> {
    fn wrong<T>(&mut self, path: &str, what: &str) -> Option<T> {
        self.ledger.find(format!("{path}: {what}"));
        None
    }

    fn object<'j>(&mut self, json: &'j Json, path: &str, keys: &[&str]) -> Option<Object<'j>> {
        let Json::Object(entries) = json else { return self.wrong(path, "an object was expected") };
        for (key, _) in entries {
            self.ledger.hold(keys.contains(&key.as_str()), || format!("{path}: unknown field `{key}`"));
        }
        for key in keys {
            self.ledger.hold(json.get(key).is_some(), || format!("{path}: the field `{key}` is missing"));
        }
        Some(Object { json, path: path.into() })
    }

    fn field<'j, T>(&mut self, object: &Object<'j>, key: &str, read: Read<'j, 'l, T>) -> Option<T> {
        read(self, object.json.get(key)?, &format!("{}.{key}", object.path))
    }

    fn maybe<'j, T>(&mut self, object: &Object<'j>, key: &str, read: Read<'j, 'l, T>) -> Option<Option<T>> {
        match object.json.get(key)? {
            Json::Null => Some(None),
            json => read(self, json, &format!("{}.{key}", object.path)).map(Some),
        }
    }

    fn list<'j, T>(&mut self, object: &Object<'j>, key: &str, read: Read<'j, 'l, T>) -> Option<Vec<T>> {
        let path = format!("{}.{key}", object.path);
        let json = object.json.get(key)?;
        self.items(json, &path, read)
    }

    fn items<'j, T>(&mut self, json: &'j Json, path: &str, read: Read<'j, 'l, T>) -> Option<Vec<T>> {
        let Json::List(items) = json else { return self.wrong(path, "a list was expected") };
        let mut read_items = Vec::with_capacity(items.len());
        for (at, item) in items.iter().enumerate() {
            read_items.push(read(self, item, &format!("{path}.{at}"))?);
        }
        Some(read_items)
    }

    fn whole(&mut self, json: &Json, path: &str, range: RangeInclusive<i64>) -> Option<i64> {
        match json {
            Json::Whole(whole) if range.contains(whole) => Some(*whole),
            Json::Whole(whole) => self.wrong(path, &format!("{whole} is out of all measure")),
            _ => self.wrong(path, "a whole number was expected"),
        }
    }

    fn length(&mut self, json: &Json, path: &str) -> Option<i64> {
        self.whole(json, path, LENGTH)
    }

    fn count(&mut self, json: &Json, path: &str) -> Option<i64> {
        self.whole(json, path, COUNT)
    }

    fn small(&mut self, json: &Json, path: &str) -> Option<i64> {
        self.whole(json, path, SMALL)
    }

    fn index(&mut self, json: &Json, path: &str) -> Option<usize> {
        // An index of the range is not negative and below 2^20.
        self.whole(json, path, INDEX).map(|index| index as usize)
    }

    fn money(&mut self, json: &Json, path: &str) -> Option<i64> {
        self.whole(json, path, MONEY)
    }

    fn any(&mut self, json: &Json, path: &str) -> Option<i64> {
        self.whole(json, path, ANY)
    }

    fn truth(&mut self, json: &Json, path: &str) -> Option<bool> {
        match json {
            Json::Truth(truth) => Some(*truth),
            _ => self.wrong(path, "true or false was expected"),
        }
    }

    fn text(&mut self, json: &Json, path: &str) -> Option<String> {
        match json {
            Json::Text(text) => Some(text.clone()),
            _ => self.wrong(path, "a text was expected"),
        }
    }

    fn axis(&mut self, json: &Json, path: &str) -> Option<usize> {
        let Json::Text(text) = json else { return self.wrong(path, "`x`, `y` or `z` was expected") };
        let axis = ["x", "y", "z"].iter().position(|axis| axis == text);
        if axis.is_none() { self.wrong(path, "`x`, `y` or `z` was expected") } else { axis }
    }

    fn pair<'j, A, B>(
        &mut self,
        json: &'j Json,
        path: &str,
        first: Read<'j, 'l, A>,
        second: Read<'j, 'l, B>,
    ) -> Option<(A, B)> {
        match json {
            Json::List(two) if two.len() == 2 => {
                Some((first(self, &two[0], &format!("{path}.0"))?, second(self, &two[1], &format!("{path}.1"))?))
            }
            _ => self.wrong(path, "a pair was expected"),
        }
    }

    fn record(&mut self, json: &Json) -> Option<Record> {
        const KEYS: [&str; 19] = [
            "format",
            "version",
            "title",
            "unit",
            "step",
            "currency",
            "fit",
            "ways",
            "chosen",
            "cheapest_proven",
            "windows",
            "parts",
            "rows",
            "cutting",
            "buying",
            "questions",
            "steps",
            "quantities",
            "rules",
        ];
        let top = self.object(json, "record", &KEYS)?;
        let format = self.field(&top, "format", Self::text)?;
        let version = self.field(&top, "version", Self::any)?;
        self.ledger.same("the format", format.as_str(), "scantling-record");
        if !self.ledger.same("the version", version, VERSION) {
            return None;
        }
        let record = Record {
            title: self.field(&top, "title", Self::text)?,
            unit: self.field(&top, "unit", Self::text)?,
            step: self.field(&top, "step", Self::length)?,
            currency: self.field(&top, "currency", Self::text)?,
            fit: self.field(&top, "fit", Self::fit)?,
            ways: self.list(&top, "ways", Self::way)?,
            chosen: self.field(&top, "chosen", Self::index)?,
            cheapest_proven: self.field(&top, "cheapest_proven", Self::truth)?,
            windows: self.list(&top, "windows", Self::windows)?,
            parts: self.list(&top, "parts", Self::part)?,
            rows: self.list(&top, "rows", Self::row)?,
            cutting: self.field(&top, "cutting", Self::cutting)?,
            buying: self.field(&top, "buying", Self::buying)?,
            questions: self.list(&top, "questions", Self::question)?,
            steps: self.list(&top, "steps", Self::step)?,
            quantities: self.list(&top, "quantities", Self::quantity)?,
            rules: self.list(&top, "rules", Self::rule)?,
        };
        self.hold_indices(&record).then_some(record)
    }

    fn fit(&mut self, json: &Json, path: &str) -> Option<Fit> {
        const KEYS: [&str; 10] =
            ["choices", "sizes", "gaps", "runs", "relations", "status", "closings", "found", "found_more", "proof"];
        let fit = self.object(json, path, &KEYS)?;
        Some(Fit {
            choices: self.list(&fit, "choices", Self::choice)?,
            sizes: self.list(&fit, "sizes", Self::size)?,
            gaps: self.list(&fit, "gaps", Self::gap)?,
            runs: self.list(&fit, "runs", Self::run)?,
            relations: self.list(&fit, "relations", Self::relation)?,
            status: self.field(&fit, "status", Self::text)?,
            closings: self.list(&fit, "closings", Self::plain_closing)?,
            found: self.field(&fit, "found", Self::count)?,
            found_more: self.field(&fit, "found_more", Self::truth)?,
            proof: self.maybe(&fit, "proof", Self::proof)?,
        })
    }

    fn choice(&mut self, json: &Json, path: &str) -> Option<(String, Vec<String>)> {
        let choice = self.object(json, path, &["name", "options"])?;
        Some((self.field(&choice, "name", Self::text)?, self.list(&choice, "options", Self::text)?))
    }

    fn size(&mut self, json: &Json, path: &str) -> Option<Size> {
        let size = self.object(json, path, &["origin", "step", "name", "want", "from", "to", "rank"])?;
        let step = self.field(&size, "step", Self::length)?;
        if step < 1 {
            return self.wrong(path, "a step that is longer than nothing was expected");
        }
        Some(Size { origin: self.field(&size, "origin", Self::length)?, step, wish: self.wish(&size)? })
    }

    fn gap(&mut self, json: &Json, path: &str) -> Option<Wish> {
        let gap = self.object(json, path, &["name", "want", "from", "to", "rank"])?;
        self.wish(&gap)
    }

    fn wish(&mut self, object: &Object<'_>) -> Option<Wish> {
        Some(Wish {
            name: self.field(object, "name", Self::text)?,
            want: self.field(object, "want", Self::length)?,
            from: self.field(object, "from", Self::length)?,
            to: self.field(object, "to", Self::length)?,
            rank: self.field(object, "rank", Self::count)?,
        })
    }

    fn pairs(&mut self, json: &Json, path: &str) -> Option<(usize, usize)> {
        self.pair(json, path, Self::index, Self::index)
    }

    fn term(&mut self, json: &Json, path: &str) -> Option<(usize, i64)> {
        self.pair(json, path, Self::index, Self::small)
    }

    fn range(&mut self, json: &Json, path: &str) -> Option<(i64, i64)> {
        self.pair(json, path, Self::count, Self::count)
    }

    fn run(&mut self, json: &Json, path: &str) -> Option<Run> {
        const KEYS: [&str; 9] =
            ["name", "when", "terms", "constant", "member", "gaps_per_member", "end_gaps", "gap", "count"];
        let run = self.object(json, path, &KEYS)?;
        Some(Run {
            name: self.field(&run, "name", Self::text)?,
            when: self.list(&run, "when", Self::pairs)?,
            terms: self.list(&run, "terms", Self::term)?,
            constant: self.field(&run, "constant", Self::length)?,
            member: self.field(&run, "member", Self::length)?,
            gaps_per_member: self.field(&run, "gaps_per_member", Self::small)?,
            end_gaps: self.field(&run, "end_gaps", Self::small)?,
            gap: self.field(&run, "gap", Self::index)?,
            count: self.field(&run, "count", Self::range)?,
        })
    }

    fn relation(&mut self, json: &Json, path: &str) -> Option<Relation> {
        let relation = self.object(json, path, &["name", "when", "terms", "constant", "from", "to"])?;
        Some(Relation {
            name: self.field(&relation, "name", Self::text)?,
            when: self.list(&relation, "when", Self::pairs)?,
            terms: self.list(&relation, "terms", Self::term)?,
            constant: self.field(&relation, "constant", Self::length)?,
            from: self.field(&relation, "from", Self::length)?,
            to: self.field(&relation, "to", Self::length)?,
        })
    }

    fn plain_closing(&mut self, json: &Json, path: &str) -> Option<Closing> {
        let closing = self.object(json, path, &["choices", "counts", "sizes", "gaps", "vector"])?;
        self.closing(&closing)
    }

    fn closing(&mut self, closing: &Object<'_>) -> Option<Closing> {
        Some(Closing {
            choices: self.list(closing, "choices", Self::index)?,
            counts: self.list(closing, "counts", |reader, json, path| reader.or_null(json, path, Self::count))?,
            sizes: self.list(closing, "sizes", Self::length)?,
            gaps: self.list(closing, "gaps", |reader, json, path| reader.or_null(json, path, Self::share))?,
            vector: self.list(closing, "vector", Self::any)?,
        })
    }

    fn or_null<'j, T>(&mut self, json: &'j Json, path: &str, read: Read<'j, 'l, T>) -> Option<Option<T>> {
        if *json == Json::Null { Some(None) } else { read(self, json, path).map(Some) }
    }

    fn share(&mut self, json: &Json, path: &str) -> Option<(i64, i64)> {
        self.pair(json, path, Self::length, Self::count)
    }

    /// Only at the top can a proof fall apart.
    fn proof(&mut self, json: &Json, path: &str) -> Option<Proof> {
        match json {
            Json::List(items) if matches!(items.as_slice(), [Json::Text(word), _] if word == "apart") => {
                self.items(&items[1], &format!("{path}.1"), Self::apart).map(Proof::Apart)
            }
            _ => self.tree(json, path).map(Proof::Whole),
        }
    }

    fn apart(&mut self, json: &Json, path: &str) -> Option<Apart> {
        let keys = ["choices", "sizes", "gaps", "runs", "relations", "closings", "proof"];
        let part = self.object(json, path, &keys)?;
        let lists = Lists {
            choices: self.list(&part, "choices", Self::index)?,
            sizes: self.list(&part, "sizes", Self::index)?,
            gaps: self.list(&part, "gaps", Self::index)?,
            runs: self.list(&part, "runs", Self::index)?,
            relations: self.list(&part, "relations", Self::index)?,
        };
        Some(Apart {
            lists,
            closings: self.list(&part, "closings", Self::plain_closing)?,
            tree: self.field(&part, "proof", Self::tree)?,
        })
    }

    /// The reader of the text has limited how deep a tree can be.
    fn tree(&mut self, json: &Json, path: &str) -> Option<Tree> {
        let Json::List(items) = json else { return self.wrong(path, "a tree was expected") };
        let words: Vec<Option<&str>> = items
            .iter()
            .take(2)
            .map(|item| if let Json::Text(text) = item { Some(text.as_str()) } else { None })
            .collect();
        match (words.as_slice(), items.len()) {
            ([Some("empty")], 1) => Some(Tree::Empty),
            ([Some("bound")], 1) => Some(Tree::Bound),
            ([Some("listed"), None], 2) => self.index(&items[1], path).map(Tree::Listed),
            ([Some("split"), Some(kind)], 4) => self.split(kind, items, path),
            _ => self.wrong(path, "a tree was expected"),
        }
    }

    fn split(&mut self, kind: &str, items: &[Json], path: &str) -> Option<Tree> {
        let kind = match kind {
            "choice" => Kind::Choice,
            "count" => Kind::Count,
            "size" => Kind::Size,
            _ => return self.wrong(path, "a split of a choice, a count or a size was expected"),
        };
        let index = self.index(&items[2], path)?;
        let Json::List(branches) = &items[3] else { return self.wrong(path, "a list of branches was expected") };
        let mut parts = Vec::with_capacity(branches.len());
        for branch in branches {
            let Json::List(three) = branch else { return self.wrong(path, "a branch was expected") };
            let [from, to, below] = three.as_slice() else { return self.wrong(path, "a branch was expected") };
            parts.push((self.length(from, path)?, self.length(to, path)?, self.tree(below, path)?));
        }
        Some(Tree::Split { kind, index, parts })
    }

    fn way(&mut self, json: &Json, path: &str) -> Option<Way> {
        let keys = ["choices", "counts", "sizes", "gaps", "vector", "price", "because", "size"];
        let way = self.object(json, path, &keys)?;
        Some(Way {
            closing: self.closing(&way)?,
            price: self.maybe(&way, "price", Self::price)?,
            because: self.field(&way, "because", Self::text)?,
            size: self.maybe(&way, "size", Self::index)?,
        })
    }

    fn price(&mut self, json: &Json, path: &str) -> Option<Price> {
        let price = self.object(json, path, &["total", "complete", "tight", "proven"])?;
        Some(Price {
            total: self.field(&price, "total", Self::money)?,
            complete: self.field(&price, "complete", Self::truth)?,
            tight: self.field(&price, "tight", Self::count)?,
            proven: self.field(&price, "proven", Self::truth)?,
        })
    }

    fn windows(&mut self, json: &Json, path: &str) -> Option<Windows> {
        let windows = self.object(json, path, &["size", "notches"])?;
        Some(Windows {
            size: self.field(&windows, "size", Self::text)?,
            notches: self.list(&windows, "notches", Self::notch)?,
        })
    }

    fn notch(&mut self, json: &Json, path: &str) -> Option<Notch> {
        let notch = self.object(json, path, &["from", "to", "best", "price"])?;
        Some(Notch {
            from: self.field(&notch, "from", Self::length)?,
            to: self.field(&notch, "to", Self::length)?,
            best: self.field(&notch, "best", Self::length)?,
            price: self.maybe(&notch, "price", Self::price)?,
        })
    }

    fn part(&mut self, json: &Json, path: &str) -> Option<Part> {
        const KEYS: [&str; 14] = [
            "id",
            "piece",
            "role",
            "face",
            "course",
            "index",
            "kind",
            "stock",
            "length",
            "width",
            "thickness",
            "along",
            "across",
            "corner",
        ];
        let part = self.object(json, path, &KEYS)?;
        let corner: [i64; 3] = match self.list(&part, "corner", Self::length)?.try_into() {
            Ok(corner) => corner,
            Err(_) => return self.wrong(path, "a corner has three lengths"),
        };
        let (along, across) = (self.field(&part, "along", Self::axis)?, self.field(&part, "across", Self::axis)?);
        if along == across {
            return self.wrong(path, "length and width lie the same way");
        }
        Some(Part {
            id: self.field(&part, "id", Self::text)?,
            piece: self.field(&part, "piece", Self::text)?,
            role: self.field(&part, "role", Self::text)?,
            face: self.field(&part, "face", Self::text)?,
            course: self.field(&part, "course", Self::count)?,
            index: self.field(&part, "index", Self::count)?,
            kind: self.field(&part, "kind", Self::text)?,
            stock: self.field(&part, "stock", Self::text)?,
            length: self.field(&part, "length", Self::length)?,
            width: self.field(&part, "width", Self::length)?,
            thickness: self.field(&part, "thickness", Self::length)?,
            along,
            across,
            corner,
        })
    }

    fn row(&mut self, json: &Json, path: &str) -> Option<Row> {
        const KEYS: [&str; 10] =
            ["piece", "face", "length", "member", "count", "gaps_total", "gaps", "starts_with_gap", "up", "marks"];
        let row = self.object(json, path, &KEYS)?;
        Some(Row {
            piece: self.field(&row, "piece", Self::text)?,
            face: self.field(&row, "face", Self::text)?,
            length: self.field(&row, "length", Self::length)?,
            member: self.field(&row, "member", Self::length)?,
            count: self.field(&row, "count", Self::count)?,
            gaps_total: self.field(&row, "gaps_total", Self::length)?,
            gaps: self.field(&row, "gaps", Self::count)?,
            starts_with_gap: self.field(&row, "starts_with_gap", Self::truth)?,
            up: self.field(&row, "up", Self::truth)?,
            marks: self.list(&row, "marks", Self::length)?,
        })
    }

    fn cutting(&mut self, json: &Json, path: &str) -> Option<Cutting> {
        let keys = ["kerf", "trim", "reserve_per_cut", "reserve_per_board", "boards", "sheets"];
        let cutting = self.object(json, path, &keys)?;
        Some(Cutting {
            kerf: self.field(&cutting, "kerf", Self::length)?,
            trim: self.field(&cutting, "trim", Self::length)?,
            reserve_per_cut: self.field(&cutting, "reserve_per_cut", Self::length)?,
            reserve_per_board: self.field(&cutting, "reserve_per_board", Self::length)?,
            boards: self.list(&cutting, "boards", Self::section)?,
            sheets: self.list(&cutting, "sheets", Self::sheets)?,
        })
    }

    fn section(&mut self, json: &Json, path: &str) -> Option<Section> {
        let keys = ["board", "priced", "cost", "status", "bound", "ties_exact", "certificate", "cuts"];
        let section = self.object(json, path, &keys)?;
        Some(Section {
            board: self.field(&section, "board", Self::text)?,
            priced: self.field(&section, "priced", Self::truth)?,
            cost: self.field(&section, "cost", Self::money)?,
            status: self.field(&section, "status", Self::text)?,
            bound: self.field(&section, "bound", Self::money)?,
            ties_exact: self.field(&section, "ties_exact", Self::truth)?,
            certificate: self.field(&section, "certificate", Self::certificate)?,
            cuts: self.list(&section, "cuts", Self::cut)?,
        })
    }

    fn certificate(&mut self, json: &Json, path: &str) -> Option<Certificate> {
        let certificate = self.object(json, path, &["scale", "lengths", "duals", "supply_duals", "bound", "kind"])?;
        Some(Certificate {
            scale: self.field(&certificate, "scale", Self::any)?,
            lengths: self.list(&certificate, "lengths", Self::length)?,
            duals: self.list(&certificate, "duals", Self::any)?,
            supply_duals: self.list(&certificate, "supply_duals", Self::any)?,
            bound: self.field(&certificate, "bound", Self::money)?,
            kind: self.field(&certificate, "kind", Self::text)?,
        })
    }

    fn cut(&mut self, json: &Json, path: &str) -> Option<Cut> {
        let keys = ["stock", "lengths", "slack", "kerf_room", "cuts", "comfortable", "boards"];
        let cut = self.object(json, path, &keys)?;
        Some(Cut {
            stock: self.field(&cut, "stock", Self::length)?,
            lengths: self.list(&cut, "lengths", Self::length)?,
            slack: self.field(&cut, "slack", Self::length)?,
            kerf_room: self.field(&cut, "kerf_room", Self::length)?,
            cuts: self.field(&cut, "cuts", Self::count)?,
            comfortable: self.field(&cut, "comfortable", Self::truth)?,
            boards: self.list(&cut, "boards", |reader, json, path| reader.items(json, path, Self::text))?,
        })
    }

    fn sheets(&mut self, json: &Json, path: &str) -> Option<Sheets> {
        let sheets = self.object(json, path, &["sheet", "priced", "cost", "exact", "bound", "proven", "sheets"])?;
        Some(Sheets {
            sheet: self.field(&sheets, "sheet", Self::text)?,
            priced: self.field(&sheets, "priced", Self::truth)?,
            cost: self.field(&sheets, "cost", Self::money)?,
            exact: self.field(&sheets, "exact", Self::truth)?,
            bound: self.field(&sheets, "bound", Self::money)?,
            proven: self.field(&sheets, "proven", Self::truth)?,
            sheets: self.list(&sheets, "sheets", Self::sheet)?,
        })
    }

    fn sheet(&mut self, json: &Json, path: &str) -> Option<Sheet> {
        let sheet = self.object(json, path, &["length", "width", "slack", "comfortable", "strips"])?;
        Some(Sheet {
            length: self.field(&sheet, "length", Self::length)?,
            width: self.field(&sheet, "width", Self::length)?,
            slack: self.field(&sheet, "slack", Self::length)?,
            comfortable: self.field(&sheet, "comfortable", Self::truth)?,
            strips: self.list(&sheet, "strips", Self::strip)?,
        })
    }

    fn strip(&mut self, json: &Json, path: &str) -> Option<Strip> {
        let strip = self.object(json, path, &["width", "slack", "parts"])?;
        Some(Strip {
            width: self.field(&strip, "width", Self::length)?,
            slack: self.field(&strip, "slack", Self::length)?,
            parts: self.list(&strip, "parts", Self::text)?,
        })
    }

    fn buying(&mut self, json: &Json, path: &str) -> Option<Buying> {
        let buying = self.object(json, path, &["lines", "total", "unpriced"])?;
        Some(Buying {
            lines: self.list(&buying, "lines", Self::line)?,
            total: self.field(&buying, "total", Self::money)?,
            unpriced: self.field(&buying, "unpriced", Self::count)?,
        })
    }

    fn line(&mut self, json: &Json, path: &str) -> Option<Line> {
        let line = self.object(json, path, &["kind", "name", "size", "used", "count", "price", "amount"])?;
        Some(Line {
            kind: self.field(&line, "kind", Self::text)?,
            name: self.field(&line, "name", Self::text)?,
            size: self.list(&line, "size", Self::length)?,
            used: self.field(&line, "used", Self::count)?,
            count: self.field(&line, "count", Self::count)?,
            price: self.maybe(&line, "price", Self::money)?,
            amount: self.maybe(&line, "amount", Self::money)?,
        })
    }

    fn question(&mut self, json: &Json, path: &str) -> Option<Question> {
        let keys = ["question", "about", "verdict", "value", "limit", "source", "change"];
        let question = self.object(json, path, &keys)?;
        self.maybe(&question, "change", Self::text)?;
        Some(Question {
            question: self.field(&question, "question", Self::text)?,
            about: self.field(&question, "about", Self::text)?,
            verdict: self.field(&question, "verdict", Self::text)?,
            value: self.maybe(&question, "value", Self::text)?,
            limit: self.maybe(&question, "limit", Self::text)?,
            source: self.field(&question, "source", Self::text)?,
        })
    }

    fn step(&mut self, json: &Json, path: &str) -> Option<Step> {
        let step = self.object(json, path, &["piece", "what", "caution", "parts"])?;
        self.field(&step, "what", Self::text)?;
        self.maybe(&step, "caution", Self::text)?;
        Some(Step { piece: self.field(&step, "piece", Self::text)?, parts: self.list(&step, "parts", Self::text)? })
    }

    fn quantity(&mut self, json: &Json, path: &str) -> Option<Quantity> {
        let quantity = self.object(json, path, &["name", "what", "of", "value", "rule", "inputs"])?;
        self.field(&quantity, "what", Self::text)?;
        Some(Quantity {
            name: self.field(&quantity, "name", Self::text)?,
            of: self.field(&quantity, "of", Self::text)?,
            value: self.field(&quantity, "value", Self::any)?,
            rule: self.field(&quantity, "rule", Self::text)?,
            inputs: self.list(&quantity, "inputs", Self::input)?,
        })
    }

    fn input(&mut self, json: &Json, path: &str) -> Option<Input> {
        let input = self.object(json, path, &["what", "of", "value"])?;
        Some(Input {
            what: self.field(&input, "what", Self::text)?,
            of: self.field(&input, "of", Self::text)?,
            value: self.field(&input, "value", Self::any)?,
        })
    }

    fn rule(&mut self, json: &Json, path: &str) -> Option<String> {
        let rule = self.object(json, path, &["id", "words", "formula", "source", "mark"])?;
        for key in ["words", "formula", "source", "mark"] {
            self.field(&rule, key, Self::text)?;
        }
        self.field(&rule, "id", Self::text)
    }

    /// Every index points at something, and every list that belongs to another is as long.
    fn hold_indices(&mut self, record: &Record) -> bool {
        let fit = &record.fit;
        let (sizes, gaps, runs) = (fit.sizes.len(), fit.gaps.len(), fit.runs.len());
        let choice = |&(choice, option): &(usize, usize)| fit.choices.get(choice).is_some_and(|of| option < of.1.len());
        let mut sound = true;
        let mut hold =
            |holds: bool, what: &str| sound &= self.ledger.hold(holds, || format!("record.{what} points nowhere"));
        for (at, run) in fit.runs.iter().enumerate() {
            let terms = run.terms.iter().all(|term| term.0 < sizes);
            let gap = run.gap < gaps && run.gaps_per_member >= 0 && run.member >= 0;
            hold(terms && gap && run.when.iter().all(choice), &format!("fit.runs.{at}"));
        }
        for (at, relation) in fit.relations.iter().enumerate() {
            let terms = relation.terms.iter().all(|term| term.0 < sizes);
            hold(terms && relation.when.iter().all(choice), &format!("fit.relations.{at}"));
        }
        let all = |count: usize| (0..count).collect();
        let (choices, relations) = (all(fit.choices.len()), all(fit.relations.len()));
        let whole = Lists { choices, sizes: all(sizes), gaps: all(gaps), runs: all(runs), relations };
        let shaped = |closing: &Closing| closing.belongs_to(&whole, fit);
        if let Some(Proof::Apart(parts)) = &fit.proof {
            for (at, part) in parts.iter().enumerate() {
                let own = part.closings.iter().all(|closing| closing.belongs_to(&part.lists, fit));
                hold(part.lists.lie_in(fit) && own, &format!("fit.proof.1.{at}"));
            }
        }
        for (at, closing) in fit.closings.iter().enumerate() {
            hold(shaped(closing), &format!("fit.closings.{at}"));
        }
        for (at, way) in record.ways.iter().enumerate() {
            let size = way.size.is_none_or(|size| size < sizes);
            hold(size && shaped(&way.closing), &format!("ways.{at}"));
        }
        hold(record.chosen < record.ways.len(), "chosen");
        sound
    }
}
