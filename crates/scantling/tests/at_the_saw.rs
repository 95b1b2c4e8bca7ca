//! Cards at the saw and lists of whole builds.

use measure::Length;
use scantling::{Done, Effort, Missing, World};
use stages::saw::{Card, Work};
use std::collections::{BTreeMap, BTreeSet};

/// Texts by name.
struct Texts(BTreeMap<&'static str, String>);

impl World for Texts {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = self.0.get(name).map(|text| text.clone().into_bytes());
        text.ok_or_else(|| Missing { reason: "there is no such file".into() })
    }
}

fn done(texts: &[(&'static str, &str)]) -> Done {
    let texts = Texts(texts.iter().map(|(name, text)| (*name, (*text).to_owned())).collect());
    match scantling::run("p", &texts, &Effort::default(), &|| false) {
        Ok(done) => done,
        Err(refused) => panic!("{}", scantling::refused(&refused, false)),
    }
}

macro_rules! build {
    ($name:literal) => {{
        let plan = include_str!(concat!("../../../builds/", $name, "/", $name, ".plan.toml"));
        let yard = include_str!(concat!("../../../builds/", $name, "/", $name, ".yard.toml"));
        let shed = include_str!(concat!("../../../builds/", $name, "/", $name, ".shed.toml"));
        done(&[("p", plan), (concat!($name, ".yard.toml"), yard), (concat!($name, ".shed.toml"), shed)])
    }};
}

fn mm(length: Length) -> i64 {
    length.nanometres() / 1_000_000
}

/// The seat between two planters, by pencil (builds/halfway-seat/worked.md): 24 boards of 445, one stop; posts and legs are alike,
/// 12 of 388, one stop. From a 3600 with trim 10 and kerf 3 eight of 445 come: 3595, then 3147, 2699, 2251, 1803, 1355, 907, 459, 11.
#[test]
fn the_seat_half_way() {
    let done = build!("halfway-seat");
    assert!(done.verdict.passed(), "{:?}", done.verdict.findings);
    let cards = &done.settled.sawing.cards;
    let of = |length: i64| cards.iter().filter(|card| mm(card.stop) == length).collect::<Vec<&Card>>();
    let count = |cards: &[&Card]| cards.iter().map(|card| card.cuts().count()).sum::<usize>();
    assert_eq!((of(445).len(), count(&of(445)), count(&of(388))), (1, 24, 12));
    let lot =
        of(445)[0].lots.iter().find(|lot| mm(lot.length) == 3600 && lot.cuts.len() == 8).expect("a 3600 of eight");
    let rests: Vec<i64> = lot.cuts.iter().map(|cut| mm(cut.rest)).collect();
    assert_eq!((mm(lot.start), rests), (3595, vec![3147, 2699, 2251, 1803, 1355, 907, 459, 11]));
    let set_ups: BTreeSet<_> = cards.iter().map(|card| (card.stock, card.stop)).collect();
    assert_eq!(set_ups.len() as u32, done.settled.sawing.set_ups());
}

/// Every build: each part of board or sheet is on one card, and the tape reads enough before each cut.
#[test]
fn every_part_of_every_build_is_on_one_card() {
    let builds = [
        build!("balcony-box"),
        build!("bin-screen"),
        build!("corner-bed"),
        build!("kitchen-trough"),
        build!("picket-box"),
        build!("tapered-tub"),
        build!("tree-hexagon"),
    ];
    for done in builds {
        let (settled, title) = (&done.settled, &done.settled.plan.title);
        assert!(done.verdict.passed(), "{title}: {:?}", done.verdict.findings);
        let cut: usize = settled
            .cutting
            .sections
            .iter()
            .flat_map(|section| &section.cuts)
            .flat_map(|cut| &cut.boards)
            .map(Vec::len)
            .sum();
        let strips = settled.cutting.sheets.iter().flat_map(|sheets| &sheets.sheets).flat_map(|sheet| &sheet.strips);
        let panels: usize = strips.map(|strip| strip.parts.len()).sum();
        let made: Vec<usize> = settled.sawing.cards.iter().flat_map(Card::parts).collect();
        let once: BTreeSet<usize> = made.iter().copied().collect();
        assert_eq!((made.len(), once.len()), (cut + panels, cut + panels), "{title}");
        for lot in settled.sawing.cards.iter().flat_map(|card| &card.lots) {
            let mut reads = lot.start;
            for cut in &lot.cuts {
                assert!(reads >= cut.least, "{title}: {reads:?} before {cut:?}");
                reads = cut.rest;
            }
        }
    }
}

/// Forty boxes, each a little longer than the one before: hundreds of cards, some of which end where the next board alone would
/// have had room and its row had not.
#[test]
fn forty_boxes() {
    let piece = |at: usize| {
        let [length, width] = [2000 + 7 * at, 900 + 3 * at];
        format!(
            "[piece.b{at}]\nis = \"walls\"\nlength = {{ exactly = {length} }}\nwidth = {{ exactly = {width} }}\nheight = {{ exactly = 3000 }}\nboard = \"d\"\n"
        )
    };
    let plan = "format = 1\ntitle = \"Forty\"\nyard = \"y\"\nshed = \"s\"\n".to_owned();
    let plan = (0..40).map(piece).fold(plan, |plan, piece| plan + &piece);
    let yard = "format = 1\ncurrency = \"EUR\"\n[board.d]\nthickness = 20\nwidth = 50\nlengths = [{ length = 2400, price = 1 }, { length = 4800, price = 2 }]\n";
    let done = done(&[("p", &plan), ("y", yard), ("s", SHED)]);
    assert!(done.verdict.passed(), "{:?}", done.verdict.findings);
    assert!(done.settled.sawing.cards.len() > 200 && done.settled.sawing.set_ups() == 80);
}

/// Walls that lean: the card's angles are the saw and the tilt that the plan explains, to a tenth of a degree.
#[test]
fn leaning_walls_are_cut_at_their_own_angles() {
    let done = build!("tapered-tub");
    let angle = |end: &str| {
        let mut all = done.settled.build.quantities.iter().filter(|quantity| quantity.name.ends_with(end));
        all.next().map(|quantity| (quantity.value.value as f64 / 100_000.0).round() as i32).expect("an angle")
    };
    let own = (angle(".saw"), angle(".tilt"));
    let cards = done.settled.sawing.cards.iter().filter(|card| card.work == Work::Crosscut);
    let told: BTreeSet<(i32, i32)> =
        cards.flat_map(|card| card.ends.0).map(|end| (end.mitre.abs(), end.tilt.abs())).collect();
    assert!(told.contains(&own), "{told:?} without {own:?}");
}

/// A reader of RFC 4180: records of fields, quotes taken off.
fn read(csv: &str) -> Vec<Vec<String>> {
    let (mut records, mut record, mut field) = (Vec::new(), Vec::new(), String::new());
    let mut chars = csv.chars().peekable();
    let mut quoted = false;
    while let Some(c) = chars.next() {
        match (quoted, c) {
            (true, '"') if chars.peek() == Some(&'"') => {
                chars.next();
                field.push('"');
            }
            (true, '"') => quoted = false,
            (true, c) => field.push(c),
            (false, '"') => {
                assert!(field.is_empty(), "a quote inside a bare field");
                quoted = true;
            }
            (false, ',') => record.push(std::mem::take(&mut field)),
            (false, '\r') => {
                assert_eq!(chars.next(), Some('\n'), "a line ends with CR LF");
                record.push(std::mem::take(&mut field));
                records.push(std::mem::take(&mut record));
            }
            (false, c) => {
                assert_ne!(c, '\n', "a bare line feed");
                field.push(c);
            }
        }
    }
    assert!(field.is_empty() && record.is_empty() && !quoted, "the last line is not ended");
    records
}

const PLAN: &str = "format = 1\ntitle = \"Box\"\nyard = \"y\"\nshed = \"s\"\n[piece.box]\nis = \"walls\"\nlength = { exactly = 900 }\nwidth = { exactly = 600 }\nheight = { exactly = 300 }\nboard = \"deal\"\n[piece.more]\nis = \"extra\"\nof = \"box\"\nwhat = \"-handles, \\\"brass\\\"\"\ncount = 2\n";
const YARD: &str = "format = 1\ncurrency = \"EUR\"\n[board.deal]\nlabel = \"=SUM(1), 150 \\\"planed\\\"\"\nthickness = 20.5\nwidth = 150\nlengths = [{ length = 2400, price = 7.50 }]\n";
const SHED: &str = "format = 1\n[saw]\nkerf = 3\ntrim = 10\n";

/// Every list reads back as a table with one head, units in it, and what a stranger names is no formula.
#[test]
fn lists_read_back() {
    let done = done(&[("p", PLAN), ("y", YARD), ("s", SHED)]);
    let lists = done.lists();
    let names: Vec<&str> = lists.iter().map(|list| list.name).collect();
    assert_eq!(names, ["parts", "cutting", "buying", "materials", "fixings", "cards", "steps"]);
    let mut tables = BTreeMap::new();
    for list in &lists {
        let table = read(&list.csv);
        assert!(table.iter().all(|line| line.len() == table[0].len()), "{}: lines of unequal length", list.name);
        for field in table.iter().flatten() {
            let number = field.parse::<f64>().is_ok();
            assert!(number || !field.starts_with(['=', '+', '-', '@', '\t']), "{}: `{field}`", list.name);
        }
        tables.insert(list.name, table);
    }
    let column = |table: &str, head: &str| {
        let table = &tables[table];
        let at =
            table[0].iter().position(|name| name == head).unwrap_or_else(|| panic!("no `{head}` in {:?}", table[0]));
        table[1..].iter().map(|line| line[at].clone()).collect::<Vec<String>>()
    };
    let parts = &done.settled.build.parts;
    assert_eq!(column("parts", "id").len(), parts.len());
    assert_eq!(column("parts", "thickness [mm]")[0], "20.5");
    assert!(column("parts", "label").iter().all(|label| label == "'=SUM(1), 150 \"planed\""));
    let lengths: Vec<String> = parts.iter().map(|part| mm(part.solid.length).to_string()).collect();
    assert_eq!(column("parts", "length [mm]"), lengths);
    let mut cut = column("cutting", "part");
    let mut made = column("cards", "makes");
    cut.sort();
    made.sort();
    assert_eq!((cut.len(), &cut), (parts.len(), &made));
    assert_eq!(column("buying", "amount [EUR]"), [done.settled.buying.total.to_string()]);
    assert_eq!(column("materials", "label"), ["'-handles, \"brass\""]);
    assert_eq!(column("steps", "step").len(), done.settled.making.steps.len());
    assert_eq!(column("fixings", "screws").len(), 0);
}

/// On an inch tape lengths are decimals of an inch.
#[test]
fn lists_in_inches() {
    let done = build!("corner-bed");
    let parts = done.lists().into_iter().find(|list| list.name == "parts").expect("a list");
    let table = read(&parts.csv);
    let at = table[0].iter().position(|head| head == "length [in]").expect("inches");
    let own = done.settled.build.parts[0].solid.length.nanometres() as f64 / 25_400_000.0;
    let told: f64 = table[1][at].parse().expect("a number");
    assert!((own - told).abs() < 1e-6, "{own} {told}");
}

/// A saw that turns and leans less than leaning walls ask (its shed says 20° of both): terminal and cards say so.
#[test]
fn a_card_says_what_the_saw_does_not_do() {
    let plan = include_str!("../../audit/tests/records/leaning-octagon/plan.toml");
    let yard = include_str!("../../audit/tests/records/leaning-octagon/yard.toml");
    let shed = include_str!("../../audit/tests/records/leaning-octagon/shed.toml");
    let told = done(&[("p", plan), ("yard.toml", yard), ("shed.toml", shed)]);
    assert!(told.verdict.passed(), "{:?}", told.verdict.findings);
    let (page, text) = (told.page(), told.text());
    assert!(page.contains("Not with the saw in the shed: the saw turns 20° at most, and 22.4° is asked."), "{text}");
    assert!(page.contains("Not with the saw in the shed: its blade leans 20° at most, and 22.3° is asked."), "{text}");
    assert_eq!(text.matches("; not with the saw in the shed").count(), 4, "{text}");
}

/// What nobody can weigh is named: boards without a material.
#[test]
fn what_nobody_can_weigh_is_named() {
    let plan = include_str!("../../audit/tests/records/leaning-octagon/plan.toml");
    let yard = include_str!("../../audit/tests/records/leaning-octagon/yard.toml");
    let mut yard = yard.to_owned();
    let from = yard.find("material = ").expect("a material");
    let to = from + yard[from..].find('\n').expect("a line");
    yard.replace_range(from..to, "");
    let shed = include_str!("../../audit/tests/records/leaning-octagon/shed.toml");
    let told = done(&[("p", plan), ("yard.toml", &yard), ("shed.toml", shed)]);
    let load = &told.settled.buying.load;
    assert_eq!(load.unweighed.len(), 1, "{load:?}");
    let said = format!("without one line that nobody can weigh: {}", load.unweighed[0]);
    assert!(told.text().contains(&said), "{}", told.text());
}
