//! Ways out of mishaps: every one there is and no other, against an enumeration of all ways to cut what is left.

use measure::{Length, Money};
use model::part::Part;
use model::standing::Out;
use scantling::{Effort, Missing, Rates, Settled, WayOut, World};
use std::collections::{BTreeMap, BTreeSet};

struct Texts(BTreeMap<&'static str, String>);

impl World for Texts {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = self.0.get(name).map(|text| text.clone().into_bytes());
        text.ok_or_else(|| Missing { reason: "there is no such file".into() })
    }

    fn file_if_there(&self, name: &str) -> Result<Option<Vec<u8>>, Missing> {
        Ok(self.0.get(name).map(|text| text.clone().into_bytes()))
    }
}

/// A small generator (Knuth's constants), so that a failing case can be had again.
struct Dice(u64);

impl Dice {
    fn between(&mut self, least: i64, most: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        least + ((self.0 >> 33) as i64) % (most - least + 1)
    }
}

const PRICES: [(i64, i64); 3] = [(1500, 1260), (2000, 1680), (2700, 2268)];
const KERF: i64 = 3;
const TRIM: i64 = 10;

/// A box of boards: its sizes as wished, how far they may go, and what has happened to it, in millimetres.
struct Case {
    sizes: [i64; 2],
    range: [i64; 2],
    courses: i64,
    book: Vec<String>,
}

impl Case {
    fn world(&self) -> Texts {
        let [length, width] = [0, 1].map(|at| {
            let (want, range) = (self.sizes[at], self.range[at]);
            format!("{{ want = {want}, from = {}, to = {} }}", want - range, want + range)
        });
        let plan = format!(
            "format = 1\ntitle = \"A box\"\nyard = \"y\"\nshed = \"s\"\n[piece.box]\nis = \"walls\"\nlength = {length}\nwidth = {width}\nheight = {{ exactly = {} }}\nboard = \"wall\"\ncorners = \"pinwheel\"\n",
            140 * self.courses
        );
        let lengths =
            PRICES.map(|(length, price)| format!("{{ length = {length}, price = \"{}\" }}", Money::hundredths(price)));
        let yard = format!(
            "format = 1\ncurrency = \"EUR\"\n[board.wall]\nthickness = 20\nwidth = 140\nlengths = [{}]\n",
            lengths.join(", ")
        );
        let digest = daybook::digest(&plan);
        let line = |(n, what): (usize, &String)| format!("{{\"n\":{},\"plan\":\"{digest}\",{what}}}\n", n + 1);
        let book = self.book.iter().enumerate().map(line).collect();
        let shed = format!("format = 1\n[saw]\nkerf = {KERF}\ntrim = {TRIM}\n");
        Texts(BTreeMap::from([("p", plan), ("y", yard), ("s", shed), ("p.daybook.jsonl", book)]))
    }

    fn settled(&self) -> Settled {
        let plan = match scantling::read_plan("p", &self.world()) {
            Ok((plan, _)) => plan,
            Err(refused) => panic!("{}", scantling::refused(&refused, false)),
        };
        advise::settle(plan, &Effort::default(), &|| false).unwrap_or_else(|unsettled| panic!("{unsettled:?}"))
    }

    fn ways(&self, entry: usize) -> Vec<WayOut> {
        let ways = scantling::ways_out("p", &self.world(), entry as u32, &rates(), &Effort::default(), &|| false);
        ways.unwrap_or_else(|refused| panic!("{}", scantling::refused(&refused, false)))
    }

    /// Notes that parts are cut as the cutting plan has it.
    fn cut(&mut self, settled: &Settled, places: &[usize]) {
        for &place in places {
            let (part, holds) = (&settled.build.parts[place], advise::hangs_on(settled, &[place]));
            let from = advise::comes_off(settled, &[place])[0].expect("it comes off a board at home");
            let holds: Vec<String> =
                holds.iter().map(|(name, value)| format!("\"{name}\":\"{} mm\"", mm(*value))).collect();
            self.book.push(format!(
                "\"what\":\"cut\",\"parts\":[\"{}\"],\"from\":[{from}],\"length\":\"{} mm\",\"holds\":{{{}}}",
                part.key.slot(),
                mm(part.solid.length),
                holds.join(",")
            ));
        }
    }
}

fn rates() -> Rates {
    Rates { minute: Some(Money::hundredths(40)), trip: Some(Money::hundredths(900)), ..Rates::default() }
}

fn mm(length: Length) -> i64 {
    assert_eq!(length.nanometres() % 1_000_000, 0);
    length.nanometres() / 1_000_000
}

/// What a way out is compared by: its kind, money in hundredths, minutes, and what it makes of parts and sizes.
type Told = (Out, Option<i64>, u32, Option<i64>, Vec<(String, i64)>);

fn told(way: &WayOut) -> Told {
    let holds = way.holds.iter().map(|(name, value)| (name.clone(), mm(*value))).collect();
    (way.out, way.money.map(Money::value), way.minutes, way.length.map(mm), holds)
}

/// Whether parts come out of what is left of boards, by trying every board for each part in turn.
fn comes_out(parts: &[i64], boards: &[i64]) -> bool {
    // A part and its kerf; the last part of a board needs none, so each board has one kerf more.
    let mut room: Vec<i64> = boards.iter().map(|board| board - TRIM + KERF).collect();
    let mut parts: Vec<i64> = parts.iter().map(|part| part + KERF).collect();
    parts.sort_unstable_by(|a, b| b.cmp(a));
    place(&parts, &mut room)
}

fn place(parts: &[i64], room: &mut Vec<i64>) -> bool {
    let Some((&part, rest)) = parts.split_first() else { return true };
    let mut tried = BTreeSet::new();
    for at in 0..room.len() {
        if room[at] >= part && tried.insert(room[at]) {
            room[at] -= part;
            if place(rest, room) {
                return true;
            }
            room[at] += part;
        }
    }
    false
}

/// Everything that an independent look needs: what each slot wants, what is cut, what the boards at home have left.
struct Bench {
    /// Each slot: the length it wants, whether it is of the long sides, and how long what is cut for it is.
    slots: Vec<(i64, bool, bool)>,
    boards: Vec<i64>,
    wrong: usize,
    length: i64,
}

impl Bench {
    fn rest(&self, without: Option<usize>) -> Vec<i64> {
        let open = self.slots.iter().enumerate().filter(|(at, slot)| !slot.2 && Some(*at) != without);
        open.map(|(_, slot)| slot.0).collect()
    }

    /// All ways out there are.
    fn ways(&self, case: &Case, last_length: i64) -> BTreeSet<Told> {
        let mut ways = BTreeSet::new();
        let (want, long, _) = self.slots[self.wrong];
        // It fills any slot of its own length that is still open: then nothing is wrong with it.
        let open = |length: i64| self.slots.iter().position(|slot| !slot.2 && slot.0 == length);
        if let Some(filled) = open(self.length) {
            if comes_out(&self.rest(Some(filled)), &self.boards) {
                ways.insert((Out::CarryOn, Some(0), 0, None, Vec::new()));
            }
            return ways;
        }
        let again = if last_length == want { 2 } else { 2 + 5 };
        // What came out wrong is a board too then, of which the trim is taken off.
        let left_over = [self.boards.clone(), vec![self.length]].concat();
        if comes_out(&self.rest(None), &left_over) {
            ways.insert((Out::AtHome, Some(0), again, None, Vec::new()));
        }
        let without = comes_out(&self.rest(Some(self.wrong)), &self.boards);
        if without && self.length > want {
            ways.insert((Out::Elsewhere, Some(0), 2, Some(want), Vec::new()));
        }
        if without && (1..=10).contains(&(want - self.length)) {
            ways.insert((Out::Strip, Some(0), 10, None, Vec::new()));
        }
        for (at, &(other, ..)) in self.slots.iter().enumerate().filter(|(_, slot)| !slot.2) {
            if other < self.length && other != want && comes_out(&self.rest(Some(at)), &self.boards) {
                ways.insert((Out::Elsewhere, Some(0), 2 + again, Some(other), Vec::new()));
            }
        }
        let board = PRICES.iter().find(|(length, _)| length - TRIM >= want);
        let rest = comes_out(&self.rest(Some(self.wrong)), &left_over);
        if let Some((_, price)) = board.filter(|_| rest) {
            ways.insert((Out::Buy, Some(price + 900), 42, None, Vec::new()));
        }
        ways.extend(self.follow(case, want, long));
        ways
    }

    /// All of one side follow: those that are cut are shortened, those that are not are cut to the new length.
    fn follow(&self, case: &Case, want: i64, long: bool) -> Option<Told> {
        let (side, name) = if long { (0, "box.length") } else { (1, "box.width") };
        let by = self.length - want;
        let cut = self.slots.iter().filter(|slot| slot.1 == long && slot.2).count() as u32;
        let in_range = by.abs() <= case.range[side];
        let rest = self.slots.iter().enumerate().filter(|(at, slot)| !slot.2 && *at != self.wrong);
        let rest: Vec<i64> = rest.map(|(_, slot)| if slot.1 == long { self.length } else { slot.0 }).collect();
        if !in_range || by > 0 && cut > 0 || !comes_out(&rest, &self.boards) {
            return None;
        }
        let minutes = if cut > 0 { 2 * cut + 5 } else { 0 };
        Some((Out::Follow, Some(0), minutes, Some(self.length), vec![(name.into(), case.sizes[side] + by)]))
    }
}

/// A mishap: boards as bought, perhaps one or two to spare, some parts cut, one of them wrong.
fn mishap(dice: &mut Dice) -> (Case, BTreeSet<Told>, Vec<WayOut>) {
    let sizes = [dice.between(620, 900), dice.between(380, 600)];
    let range = [dice.between(0, 16), dice.between(0, 16)];
    let mut case = Case { sizes, range, courses: dice.between(1, 3), book: Vec::new() };
    let first = case.settled();
    for line in &first.buying.lines {
        let (length, count) = (mm(line.size[0]), line.count);
        case.book.push(format!("\"what\":\"bought\",\"board\":\"wall\",\"length\":\"{length} mm\",\"count\":{count}"));
    }
    for _ in 0..dice.between(0, 1) {
        let (length, _) = PRICES[dice.between(0, 2) as usize];
        case.book.push(format!("\"what\":\"bought\",\"board\":\"wall\",\"length\":\"{length} mm\",\"count\":1"));
    }
    // Kept where they are: what is not cut yet does not move to better places by what is at home.
    let all = case.settled();
    let parts = all.build.parts.len();
    let cut: BTreeSet<usize> =
        (0..dice.between(0, parts as i64 - 1)).map(|_| dice.between(0, parts as i64 - 1) as usize).collect();
    case.cut(&all, &cut.iter().copied().collect::<Vec<usize>>());
    let before = case.settled();
    let open: Vec<usize> = (0..parts).filter(|place| !before.assigned.filled.contains_key(place)).collect();
    let wrong = open[dice.between(0, open.len() as i64 - 1) as usize];
    let part = &before.build.parts[wrong];
    let length = mm(part.solid.length) + dice.between(-13, 5);
    let from = advise::comes_off(&before, &[wrong])[0].expect("it comes off a board at home");
    let holds: Vec<String> = advise::hangs_on(&before, &[wrong])
        .iter()
        .map(|(name, value)| format!("\"{name}\":\"{} mm\"", mm(*value)))
        .collect();
    case.book.push(format!(
        "\"what\":\"wrong\",\"part\":\"{}\",\"from\":{from},\"length\":\"{length} mm\",\"holds\":{{{}}}",
        part.key.slot(),
        holds.join(",")
    ));
    let slot = |(place, part): (usize, &Part)| {
        let long = ["front", "back"].contains(&part.key.face.as_str());
        (mm(part.solid.length), long, before.assigned.filled.contains_key(&place))
    };
    let slots: Vec<(i64, bool, bool)> = before.build.parts.iter().enumerate().map(slot).collect();
    let mut boards: Vec<i64> = before.plan.standing.home.iter().map(|board| mm(board.left)).collect();
    boards[from as usize - 1] -= length + KERF;
    // The sizes as they came out, which the wishes may not have been.
    let closing = &before.ways[before.chosen].closing;
    assert_eq!(closing.sizes[..2], case.sizes.map(|size| size * 1_000_000), "the box comes out as wished");
    let expected = Bench { slots, boards, wrong, length }.ways(&case, mm(part.solid.length));
    let ways = case.ways(case.book.len());
    (case, expected, ways)
}

#[test]
fn two_hundred_mishaps_have_the_ways_out_that_an_enumeration_finds() {
    let mut dice = Dice(11);
    let mut kinds: BTreeMap<Out, usize> = BTreeMap::new();
    for number in 0..200 {
        let (case, expected, ways) = mishap(&mut dice);
        let found: BTreeSet<Told> = ways.iter().map(told).collect();
        assert_eq!(found, expected, "mishap {number}: {:?} ± {:?}\n{}", case.sizes, case.range, case.book.join("\n"));
        assert_eq!(found.len(), ways.len(), "mishap {number}: a way twice");
        let worth: Vec<i64> =
            ways.iter().map(|way| way.worth(&rates()).expect("all rates are there").value()).collect();
        assert!(worth.is_sorted(), "mishap {number}: {worth:?}");
        for way in &ways {
            *kinds.entry(way.out).or_default() += 1;
        }
    }
    for kind in [Out::CarryOn, Out::AtHome, Out::Elsewhere, Out::Strip, Out::Follow, Out::Buy] {
        assert!(kinds.get(&kind).is_some_and(|&count| count >= 5), "{kind:?}: {kinds:?}");
    }
}
