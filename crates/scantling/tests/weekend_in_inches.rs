//! A second weekend, in inches: a box of two courses, from an empty shelf to a side cut short. Every number by hand, as it stands
//! beside it.

use measure::Money;
use model::standing::Out;
use scantling::{Done, Effort, Missing, Note, Rates, Unnoted, World};
use std::cell::RefCell;

const PLAN: &str = "format = 1\nunits = \"in\"\ntitle = \"A box\"\nyard = \"y\"\nshed = \"s\"\n[piece.box]\nis = \"walls\"\nlength = { want = 40, from = 39, to = 41 }\nwidth = { want = 19, from = 19, to = 19 }\nheight = { want = 11, from = 10, to = 12 }\nboard = \"fir\"\ncorners = \"pinwheel\"\n";
const YARD: &str = "format = 1\nunits = \"in\"\ncurrency = \"USD\"\n[board.fir]\nthickness = 1\nwidth = \"5 1/2\"\nlengths = [{ length = 96, price = 8.00 }, { length = 120, price = 11.00 }]\n";
const SHED: &str = "format = 1\nunits = \"in\"\n[saw]\nkerf = \"1/8\"\ntrim = \"1/2\"\n";

struct Weekend(RefCell<Vec<u8>>);

impl World for Weekend {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = [("p", PLAN), ("y", YARD), ("s", SHED)].into_iter().find(|(known, _)| *known == name);
        text.map(|(_, text)| text.into()).ok_or_else(|| Missing { reason: "there is no such file".into() })
    }

    fn file_if_there(&self, _: &str) -> Result<Option<Vec<u8>>, Missing> {
        Ok(Some(self.0.borrow().clone()))
    }
}

impl Weekend {
    fn note(&self, note: &Note) -> u32 {
        match scantling::note("p", self, note, &Effort::default(), &|| false) {
            Ok(noted) => {
                self.0.borrow_mut().extend(noted.append.as_bytes());
                noted.number
            }
            Err(Unnoted::Said(says)) => panic!("{says}"),
            Err(Unnoted::Refused(refused)) => panic!("{}", scantling::refused(&refused, false)),
        }
    }

    #[track_caller]
    fn stands(&self) -> Done {
        match scantling::run("p", self, &Effort::default(), &|| false) {
            Ok(done) => {
                assert!(done.verdict.passed(), "{}", done.verdict.text());
                done
            }
            Err(refused) => panic!("{}", scantling::refused(&refused, false)),
        }
    }

    /// The ways out of an entry with their worth at 0.40 a minute, 9.00 a trip and 4.50 for packers, in hundredths.
    fn ways(&self, entry: u32) -> Vec<(Out, i64)> {
        let money = |hundredths: i64| Some(Money::hundredths(hundredths));
        let rates = Rates { minute: money(40), trip: money(900), packers: money(450), ..Rates::default() };
        match scantling::ways_out("p", self, entry, &rates, &Effort::default(), &|| false) {
            Ok(ways) => {
                ways.iter().map(|way| (way.out, way.worth(&rates).expect("all rates are there").value())).collect()
            }
            Err(refused) => panic!("{}", scantling::refused(&refused, false)),
        }
    }
}

/// What is cut from each board, as `96: 39 39`, sorted.
fn patterns(done: &Done) -> Vec<String> {
    let tape = done.settled.plan.tape;
    let told = |cut: &stages::cut::BoardCut| {
        let lengths: Vec<String> = cut.lengths.iter().map(|&length| tape.show_exact(length)).collect();
        vec![format!("{}: {}", tape.show_exact(cut.stock_length), lengths.join(" ")).replace('"', ""); cut.boards.len()]
    };
    let mut all: Vec<String> =
        done.settled.cutting.sections.iter().flat_map(|section| &section.cuts).flat_map(told).collect();
    all.sort();
    all
}

fn cost(done: &Done) -> i64 {
    done.settled.buying.total.value()
}

#[test]
fn a_weekend_in_inches() {
    let weekend = Weekend(RefCell::default());
    // The sides overlap by a thickness of 1: four of 39 and four of 18: 114 and three kerfs of 1/8 leave
    // 5 1/8 of 119 1/2, twice.
    let friday = weekend.stands();
    assert_eq!((patterns(&friday), cost(&friday)), (vec!["120: 39 39 18 18".to_owned(); 2], 2200));

    // No 120 on the shelf: three of 96 for 24.00, or 9.00 and forty minutes to another yard.
    let entry = weekend.note(&Note::Only { board: "fir".into(), length: "120".into(), left: 0 });
    assert_eq!(weekend.ways(entry), [(Out::Lengths, 200), (Out::Yard, 900 + 40 * 40)]);
    assert_eq!(cost(&weekend.stands()), 2400);

    // Four come home where three do: one can go back.
    weekend.note(&Note::Bought { board: "fir".into(), length: "96".into(), count: 4 });
    let back = |done: &Done| -> Vec<(u64, Option<Money>)> {
        done.settled.buying.take_back.iter().map(|back| (back.count, back.amount)).collect()
    };
    let home = weekend.stands();
    assert_eq!((cost(&home), back(&home)), (0, vec![(1, Some(Money::hundredths(800)))]));

    // Four side by side read 21 1/2: 5 3/8 each, two courses of it 10 3/4, lower by 1/4.
    let entry = weekend.note(&Note::Width { board: "fir".into(), over: 4, reads: "21 1/2".into() });
    assert_eq!(weekend.ways(entry), [(Out::CarryOn, 0), (Out::Pack, 450 + 10 * 40), (Out::TakeBack, 900 + 40 * 40)]);
    let height = advise::changes(&home.settled, &weekend.stands().settled);
    let height = height.iter().find(|change| change.what == "box.height").expect("the height changes");
    assert_eq!((height.was.as_str(), height.is.as_str()), ("11\"", "10-3/4\""));

    // The slot reads 3/16; nothing becomes tight.
    let entry = weekend.note(&Note::Kerf { reads: "3/16".into() });
    assert_eq!(weekend.ways(entry), [(Out::CarryOn, 0)]);

    // Two of 39 are cut off the first board; the third comes out 1/4 short, off the second.
    weekend.note(&Note::Cut { parts: vec!["A1".into(), "A2".into()], from: vec![1, 1], length: None });
    let entry = weekend.note(&Note::Wrong { part: "A3".into(), from: Some(2), length: "38 3/4".into() });
    // Again: one cut. Down to 18, and again: two. All of one length: both that are cut are shortened at one new stop. A strip: ten
    // minutes. One board more: 8.00, a trip and a cut.
    assert_eq!(
        weekend.ways(entry),
        [
            (Out::AtHome, 2 * 40),
            (Out::Elsewhere, 4 * 40),
            (Out::Follow, (2 * 2 + 5) * 40),
            (Out::Strip, 10 * 40),
            (Out::Buy, 800 + 900 + 42 * 40),
        ]
    );
    weekend.note(&Note::Took { entry, way: 1 });
    // What is left: two of 39 and four of 18. The second board has 96 - 38 3/4 - 3/16 = 57 1/16: three of 18. What was cut wrong is
    // number 5 and gives the fourth. One whole board is begun for both of 39, one stop to a board; the other can go back.
    let cut_again = weekend.stands();
    assert_eq!(patterns(&cut_again), ["38-3/4: 18", "57-1/16: 18 18 18", "96: 39 39"]);
    assert_eq!((cost(&cut_again), back(&cut_again)), (0, vec![(1, Some(Money::hundredths(800)))]));
    // Both of the first two come off number 5 by the maker's choice.
    weekend.note(&Note::Cut { parts: vec!["B1".into(), "B2".into()], from: vec![5, 5], length: None });
    let done = weekend.stands();
    assert_eq!(patterns(&done), ["57-1/16: 18 18", "96: 39 39"]);
    // 38 3/4 less twice 18 3/16.
    assert_eq!(done.settled.plan.tape.show_exact(done.settled.plan.standing.home[4].left), "2-3/8\"");
}
