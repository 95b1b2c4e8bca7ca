//! The plan as its day book has it: the same as a plan whose files say what the book says.

use proptest::prelude::*;
use scantling::{Done, Effort, Missing, Refused, World};
use std::collections::BTreeMap;

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

/// What files say of a bed on a pad of pavers.
#[derive(Clone, Debug)]
struct Says {
    length: String,
    width: String,
    board: String,
    thickness: String,
    lengths: String,
    paver: String,
    kerf: String,
}

fn usual() -> Says {
    Says {
        length: "{ want = 900, from = 800, to = 1000 }".into(),
        width: "{ want = 500, from = 400, to = 600 }".into(),
        board: "140".into(),
        thickness: "32".into(),
        lengths: "{ length = 1800, price = 15.12 }, { length = 2400, price = 20.16 }, { length = 3600, price = 30.24 }"
            .into(),
        paver: "200".into(),
        kerf: "3".into(),
    }
}

impl Says {
    fn texts(&self) -> [(&'static str, String); 3] {
        let plan = format!(
            "format = 1\ntitle = \"A bed\"\nyard = \"y\"\nshed = \"s\"\n[piece.bed]\nis = \"walls\"\nlength = {}\nwidth = {}\nheight = {{ want = 420, from = 390, to = 450 }}\nboard = \"wall\"\ncorners = \"pinwheel\"\n[piece.posts]\nis = \"posts\"\nin = \"bed\"\nboard = \"post\"\n[piece.pad]\nis = \"pad\"\nunder = [\"bed\"]\nunit = \"paver\"\njoint = {{ want = 3, from = 2, to = 6 }}\nshowing = {{ want = 60, from = 20, to = 120 }}\n",
            self.length, self.width
        );
        let yard = format!(
            "format = 1\ncurrency = \"NZD\"\n[board.wall]\nthickness = {}\nwidth = {}\nlengths = [{}]\n[board.post]\nthickness = 70\nwidth = 70\nlengths = [{{ length = 1800, price = 16.38 }}]\n[unit.paver]\nlength = {}\nwidth = 100\nthickness = 50\nprice = 1.1\n",
            self.thickness, self.board, self.lengths, self.paver
        );
        [("p", plan), ("y", yard), ("s", format!("format = 1\n[saw]\nkerf = {}\ntrim = 10\n", self.kerf))]
    }

    fn run(&self, book: &[String]) -> Result<Done, Refused> {
        self.run_after(book, self)
    }

    /// With a book that was written when the files said something else.
    fn run_after(&self, book: &[String], before: &Says) -> Result<Done, Refused> {
        scantling::run("p", &self.world(book, before), &Effort::default(), &|| false)
    }

    fn world(&self, book: &[String], before: &Says) -> Texts {
        let mut texts = BTreeMap::from(self.texts());
        let digest = daybook::digest(&BTreeMap::from(before.texts())["p"]);
        let line = |(n, what): (usize, &String)| format!("{{\"n\":{},\"plan\":\"{digest}\",{what}}}\n", n + 1);
        if !book.is_empty() {
            texts.insert("p.daybook.jsonl", book.iter().enumerate().map(line).collect());
        }
        Texts(texts)
    }
}

fn comes_out(done: Result<Done, Refused>) -> Done {
    let done = done.unwrap_or_else(|refused| panic!("{}", scantling::refused(&refused, false)));
    assert!(done.verdict.passed(), "{}", done.verdict.text());
    done
}

fn refused(done: Result<Done, Refused>) -> String {
    match done {
        Ok(_) => panic!("it comes out"),
        Err(refused) => scantling::refused(&refused, false),
    }
}

/// The record that two runs have in common: a size that is held has the reach of nothing, which no record says.
fn same(one: &Done, other: &Done) {
    assert!(one.record == other.record, "{}", first_difference(&one.record, &other.record));
}

fn first_difference(one: &str, other: &str) -> String {
    let lines = one.lines().zip(other.lines()).enumerate().find(|(_, (a, b))| a != b);
    lines.map_or("one is longer".into(), |(at, (a, b))| format!("line {}: {a} | {b}", at + 1))
}

#[test]
fn readings_are_as_if_the_yard_and_the_shed_said_them() {
    let book = [
        "\"what\":\"width\",\"board\":\"wall\",\"over\":6,\"reads\":\"828 mm\"",
        "\"what\":\"thickness\",\"board\":\"wall\",\"reads\":\"31.5 mm\"",
        "\"what\":\"kerf\",\"reads\":\"3.2 mm\"",
        "\"what\":\"units\",\"unit\":\"paver\",\"over\":10,\"joint\":\"3 mm\",\"along\":\"length\",\"reads\":\"2031 mm\"",
        "\"what\":\"only\",\"board\":\"wall\",\"length\":\"3600 mm\",\"left\":0",
    ];
    let stands = comes_out(usual().run(&book.map(str::to_owned)));
    let lengths = "{ length = 1800, price = 15.12 }, { length = 2400, price = 20.16 }, { length = 3600, price = 30.24, stock = 0 }";
    // 828 / 6 = 138 and (2031 - 9 · 3) / 10 = 200.4, by hand.
    let said = Says {
        board: "138".into(),
        thickness: "31.5".into(),
        kerf: "3.2".into(),
        paver: "200.4".into(),
        lengths: lengths.into(),
        ..usual()
    };
    same(&stands, &comes_out(said.run(&[])));
    assert_eq!(stands.settled.plan.standing.readings.len(), 5);
}

#[test]
fn what_is_at_home_is_the_only_stock_of_its_kind() {
    let book = [
        "\"what\":\"bought\",\"board\":\"wall\",\"length\":\"1800 mm\",\"count\":4",
        "\"what\":\"bought\",\"board\":\"wall\",\"length\":\"2400 mm\",\"count\":5",
        "\"what\":\"true-length\",\"board\":\"wall\",\"length\":\"1800 mm\",\"reads\":[\"1803 mm\",\"1798 mm\"]",
    ];
    let stands = comes_out(usual().run(&book.map(str::to_owned)));
    let lengths = "{ length = 1798, price = 0, stock = 1 }, { length = 1800, price = 0, stock = 2 }, { length = 1803, price = 0, stock = 1 }, { length = 2400, price = 0, stock = 5 }";
    let said = comes_out(Says { lengths: lengths.into(), ..usual() }.run(&[]));
    let parts = |done: &Done| done.settled.build.parts.clone();
    assert_eq!(parts(&stands), parts(&said));
    assert_eq!(stands.settled.buying.total, said.settled.buying.total);
    let standing = &stands.settled.plan.standing;
    let paid: i64 = standing.home.iter().filter_map(|board| board.price).map(|price| price.value()).sum();
    assert_eq!(paid, 4 * 1512 + 5 * 2016, "what was paid, by the yard");
}

/// Two boards of 1800 that gave 3 · 400 each with a kerf of 3 have 1800 - 3 · 403 = 591 left of them; by hand.
#[test]
fn what_was_cut_comes_off_its_board_and_its_sizes_are_held() {
    let first = comes_out(usual().run(&[]));
    let wall = first.settled.plan.yard.find(model::schema::StockKind::Board, "wall").expect("a wall board");
    let front: Vec<_> =
        first.settled.build.parts.iter().filter(|part| part.stock == wall && part.key.face == "left").collect();
    let (length, slots) = (front[0].solid.length, front.iter().map(|part| part.key.slot()).collect::<Vec<_>>());
    assert!(slots.len() == 3 && front.iter().all(|part| part.solid.length == length));
    let mm = length.nanometres() / 1_000_000;
    let size = first.settled.asked.problem.sizes.iter().position(|size| size.name == "bed.width").expect("a width");
    let held = first.settled.ways[first.settled.chosen].closing.sizes[size];
    let book = [
        "\"what\":\"bought\",\"board\":\"wall\",\"length\":\"3600 mm\",\"count\":4".to_owned(),
        format!(
            "\"what\":\"cut\",\"parts\":[\"{}\"],\"from\":[1,1,2],\"length\":\"{mm} mm\",\"holds\":{{\"bed.width\":\"{} mm\"}}",
            slots.join("\",\""),
            held / 1_000_000
        ),
    ];
    let stands = comes_out(usual().run(&book));
    let standing = &stands.settled.plan.standing;
    let left: Vec<i64> = standing.home.iter().map(|board| board.left.nanometres() / 1_000_000).collect();
    assert_eq!(left, [3600 - 2 * (mm + 3), 3600 - (mm + 3), 3600, 3600]);
    assert_eq!(stands.settled.ways[stands.settled.chosen].closing.sizes[size], held);
    let cut: usize = stands.settled.cutting.sections[0].cuts.iter().flat_map(|cut| &cut.boards).map(Vec::len).sum();
    assert_eq!(cut, 12 - 3, "what is cut is not cut again");
    assert_eq!(stands.settled.assigned.filled.len(), 3);
    // 3 · 868 come out of what is left of the first, 3 · 868 + 468 out of the second: one whole board for the last two. By hand.
    let opened = |done: &Done| -> usize {
        let cuts = done.settled.cutting.sections[0].cuts.iter();
        cuts.filter(|cut| cut.stock_length == measure::Length::mm(3600)).map(|cut| cut.boards.len()).sum()
    };
    assert_eq!(opened(&stands), 1, "{:?}", stands.settled.cutting.sections[0].cuts);
    // With another wish the plan would come out otherwise: what is held stays, and what is cut is still of use.
    let other = Says { width: "{ want = 600, from = 400, to = 600 }".into(), ..usual() };
    let chosen = |done: &Done| done.settled.ways[done.settled.chosen].closing.sizes[size];
    assert_ne!(chosen(&comes_out(other.run(&[]))), held);
    let after = comes_out(other.run_after(&book, &usual()));
    assert_eq!((chosen(&after), after.settled.assigned.filled.len()), (held, 3));
}

/// A part that came out wrong and is left over is a board at home: parts come out of it, it fills no slot, and cuts come off it by
/// its number.
#[test]
fn what_is_left_over_is_cut_from() {
    let bought = |length: u32, count: u32| {
        format!("\"what\":\"bought\",\"board\":\"wall\",\"length\":\"{length} mm\",\"count\":{count}")
    };
    let wrong = "\"what\":\"wrong\",\"part\":\"bed.board.front.0.0\",\"from\":1,\"length\":\"954 mm\",\"holds\":{\"bed.length\":\"900 mm\"}";
    let took = "\"what\":\"took\",\"entry\":3,\"way\":\"at-home\",\"parts\":[\"bed.board.front.0.0\"]";
    let book = [bought(1800, 1), bought(2400, 4), wrong.to_owned(), took.to_owned()];
    let stands = comes_out(usual().run(&book));
    let standing = &stands.settled.plan.standing;
    assert_eq!((standing.home.len(), standing.home[5].length), (6, measure::Length::mm(954)));
    assert_eq!((standing.objects[0].left_over, stands.settled.assigned.filled.len()), (Some(6), 0));
    // 1800 less 954 and the kerf gives 843: that is what the first board is then.
    let lengths = "{ length = 843, price = 0, stock = 1 }, { length = 954, price = 0, stock = 1 }, { length = 2400, price = 0, stock = 4 }";
    let length = "{ exactly = 900 }".into();
    let said = comes_out(Says { lengths: lengths.into(), length, ..usual() }.run(&[]));
    assert_eq!(stands.settled.build.parts, said.settled.build.parts);
    let boards = |done: &Done| done.settled.plan.yard.boards[0].lengths.clone();
    let amounts = |done: &Done| boards(done).iter().map(|sold| (sold.length, sold.stock)).collect::<Vec<_>>();
    assert_eq!(amounts(&stands), amounts(&said));
    // 2 · 868 + 468 out of each of three, and the last three of 468 out of what is begun: 2 of 954, 1 of 843; by hand.
    let cuts = &stands.settled.cutting.sections[0].cuts;
    assert!(cuts.iter().any(|cut| cut.stock_length == measure::Length::mm(954) && cut.lengths.len() == 2), "{cuts:?}");
    // Under a book in which the way was not taken the same record has a board that never came home, and is found out.
    let mut sources = stands.sources.clone();
    let book_text = sources.daybook.as_mut().expect("a day book");
    let taken = book_text.text.lines().nth(3).expect("a fourth line").to_owned() + "\n";
    book_text.text = book_text.text.replace(&taken, "");
    assert!(!scantling::referee(&sources, &stands.record).passed());
    // Before it is taken nothing comes out of it.
    let before = comes_out(usual().run(&book[..3]));
    assert_eq!((before.settled.plan.standing.home.len(), before.settled.assigned.offcuts.len()), (5, 1));
    // What is cut off it comes off it, by its number.
    let part = stands.settled.build.parts.iter().find(|part| part.key.face == "left").expect("a left board");
    let mm = part.solid.length.nanometres() / 1_000_000;
    let cut = format!(
        "\"what\":\"cut\",\"parts\":[\"{}\"],\"from\":[6],\"length\":\"{mm} mm\",\"holds\":{{}}",
        part.key.slot()
    );
    let after = comes_out(usual().run(&[book.to_vec(), vec![cut]].concat()));
    assert_eq!(after.settled.plan.standing.home[5].left, measure::Length::mm(954 - mm - 3));
    // It is left over once.
    let twice = [book.to_vec(), vec![took.to_owned()]].concat();
    assert!(refused(usual().run(&twice)).contains("has cut nothing wrong that could be left over"));
}

/// A post stands on its foot: what is too short by a little is packed up, at the price of packers, and takes its slot as it is.
#[test]
fn a_post_that_came_out_short_is_packed_up() {
    let first = comes_out(usual().run(&[]));
    let post = first.settled.build.parts.iter().find(|part| part.key.role == "post").expect("a post");
    let (slot, length) = (post.key.slot(), post.solid.length.nanometres() / 1_000_000);
    let rates = scantling::Rates { packers: Some(measure::Money::hundredths(450)), ..scantling::Rates::default() };
    let by = |short: i64| {
        let book = vec![
            "\"what\":\"bought\",\"board\":\"post\",\"length\":\"1800 mm\",\"count\":2".to_owned(),
            format!(
                "\"what\":\"wrong\",\"part\":\"{slot}\",\"from\":1,\"length\":\"{} mm\",\"holds\":{{}}",
                length - short
            ),
        ];
        let ways = scantling::ways_out("p", &usual().world(&book, &usual()), 2, &rates, &Effort::default(), &|| false);
        let ways = ways.unwrap_or_else(|refused| panic!("{}", scantling::refused(&refused, false)));
        assert!(ways.iter().all(|way| way.out != model::standing::Out::Strip), "{ways:?}");
        let pack = ways.into_iter().find(|way| way.out == model::standing::Out::Pack);
        (book, pack)
    };
    assert_eq!(by(11).1, None);
    let (mut book, pack) = by(10);
    let pack = pack.expect("it stands");
    assert_eq!((pack.money, pack.minutes), (Some(measure::Money::hundredths(450)), 10));
    assert_eq!((&pack.parts, pack.does.ends_with("pack it up by 10")), (&vec![slot.clone()], true), "{}", pack.does);
    book.push(format!("\"what\":\"took\",\"entry\":2,\"way\":\"pack\",\"parts\":[\"{slot}\"]"));
    let packed = comes_out(usual().run(&book));
    assert_eq!((packed.settled.assigned.filled.len(), packed.settled.assigned.offcuts.len()), (1, 0));
    // Under a book in which it is cut again the record does not pass.
    let mut sources = packed.sources.clone();
    let text = &mut sources.daybook.as_mut().expect("a day book").text;
    *text = text.replace("\"pack\",", "\"carry-on\",").replace(&format!(",\"parts\":[\"{slot}\"]}}\n"), "}\n");
    assert!(!scantling::referee(&sources, &packed.record).passed());
}

/// Boards that no part needs can go back: of five of 1800 the posts of 414 take one, four to a board.
#[test]
fn whole_boards_that_no_part_needs_can_be_taken_back() {
    let bought =
        |count: u32| vec![format!("\"what\":\"bought\",\"board\":\"post\",\"length\":\"1800 mm\",\"count\":{count}")];
    assert!(comes_out(usual().run(&bought(1))).settled.buying.take_back.is_empty());
    let done = comes_out(usual().run(&bought(5)));
    let back: Vec<_> = done.settled.buying.take_back.iter().map(|back| (back.label, back.count, back.amount)).collect();
    assert_eq!(back, [(measure::Length::mm(1800), 4, Some(measure::Money::hundredths(4 * 1638)))]);
    let told = "take back 4 × post 1800 (65.52 NZD)";
    assert!(done.text().contains(told) && done.page().contains(told), "{}", done.text());
    let claim = "\"take_back\": [";
    assert!(done.record.contains(claim) || done.record.contains("\"take_back\":["), "it stands in the record");
    for (was, is) in [("6552", "6553"), ("\"take_back\"", "\"taken_back\"")] {
        assert!(done.record.contains(was));
        assert!(!scantling::referee(&done.sources, &done.record.replace(was, is)).passed(), "{was} to {is}");
    }
}

#[test]
fn a_book_that_does_not_belong_to_its_plan_is_refused() {
    let say = |what: &str| refused(usual().run(&[what.to_owned()]));
    for (what, says) in [
        ("\"what\":\"width\",\"board\":\"roof\",\"over\":6,\"reads\":\"828 mm\"", "the yard has no board `roof`"),
        (
            "\"what\":\"width\",\"board\":\"wall\",\"over\":60,\"reads\":\"828 mm\"",
            "would be 13.8, and the files say 140",
        ),
        ("\"what\":\"only\",\"board\":\"wall\",\"length\":\"3601 mm\",\"left\":0", "sells no 3601 mm of `wall`"),
        ("\"what\":\"true-length\",\"board\":\"wall\",\"length\":\"3600 mm\",\"reads\":[\"3603 mm\"]", "are at home"),
        ("\"what\":\"kerf\",\"reads\":\"32 mm\"", "no saw leaves"),
        (
            "\"what\":\"cut\",\"parts\":[\"a.b.c.0.0\"],\"length\":\"400 mm\",\"holds\":{\"bed.depth\":\"1 mm\"}",
            "holds the size `bed.depth`",
        ),
        (
            "\"what\":\"cut\",\"parts\":[\"a.b.c.0.0\"],\"from\":[1],\"length\":\"400 mm\",\"holds\":{}",
            "there is no board 1 at home",
        ),
    ] {
        let told = say(what);
        assert!(told.contains(says) && told.contains("entry 1"), "{what}: {told}");
        assert!(told.contains("undo entry 1"), "{told}");
    }
    let older = "{\"n\":1,\"plan\":\"0123456789abcdef\",\"what\":\"cut\",\"parts\":[\"bed.board.left.0.0\"],\"length\":\"333 mm\",\"holds\":{}}\n";
    let mut texts = BTreeMap::from(usual().texts());
    texts.insert("p.daybook.jsonl", older.into());
    let told = refused(scantling::run("p", &Texts(texts), &Effort::default(), &|| false));
    assert!(told.contains("was cut 333 long, and the plan now wants it"), "{told}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// A refit is a fit from scratch with the same pins: held sizes as the plan's own `exactly`, readings as the yard's own numbers.
    #[test]
    fn a_refit_is_a_fit_from_scratch(length in 800_i64..=1000, reads in 830_i64..=850, kerf in 20_i64..=40, left in 0_u32..6, hold in any::<bool>()) {
        let mut book = vec![
            format!("\"what\":\"width\",\"board\":\"wall\",\"over\":6,\"reads\":\"{reads} mm\""),
            format!("\"what\":\"kerf\",\"reads\":\"{}.{} mm\"", kerf / 10, kerf % 10),
            format!("\"what\":\"only\",\"board\":\"wall\",\"length\":\"2400 mm\",\"left\":{left}"),
        ];
        if hold {
            // What is cut and unknown to the plan holds its sizes all the same.
            book.push(format!("\"what\":\"took\",\"entry\":1,\"way\":\"size\",\"holds\":{{\"bed.length\":\"{length} mm\"}}"));
        }
        let width = (2 * reads * 1_000_000 + 6).div_euclid(12);
        let said = Says {
            board: format!("\"{}.{:06} mm\"", width / 1_000_000, width % 1_000_000),
            kerf: format!("{}.{}", kerf / 10, kerf % 10),
            lengths: format!("{{ length = 1800, price = 15.12 }}, {{ length = 2400, price = 20.16, stock = {left} }}, {{ length = 3600, price = 30.24 }}"),
            length: if hold { format!("{{ exactly = {length} }}") } else { usual().length },
            ..usual()
        };
        match (usual().run(&book), said.run(&[])) {
            (Ok(stands), Ok(said)) => {
                same(&stands, &said);
                prop_assert!(stands.verdict.passed(), "{}", stands.verdict.text());
            }
            // Both collide, over the same wishes.
            (Err(one), Err(other)) => {
                let first = |refused: &Refused| scantling::refused(refused, false).lines().next().map(str::to_owned);
                prop_assert_eq!(first(&one), first(&other));
                prop_assert!(matches!(one, Refused::Clash { .. }), "{}", scantling::refused(&one, false));
            }
            (one, _) => prop_assert!(false, "one comes out and the other does not: {}", one.is_ok()),
        }
    }

    /// The same of what is left over: as if the yard had a board so long, and what is left of the board that it came off.
    #[test]
    fn a_refit_with_what_is_left_over_is_a_fit_from_scratch(length in 200_i64..=1200) {
        let book = [
            "\"what\":\"bought\",\"board\":\"wall\",\"length\":\"1800 mm\",\"count\":1".to_owned(),
            "\"what\":\"bought\",\"board\":\"wall\",\"length\":\"2400 mm\",\"count\":4".to_owned(),
            format!("\"what\":\"wrong\",\"part\":\"bed.board.front.0.0\",\"from\":1,\"length\":\"{length} mm\",\"holds\":{{\"bed.length\":\"900 mm\"}}"),
            "\"what\":\"took\",\"entry\":3,\"way\":\"buy\",\"parts\":[\"bed.board.front.0.0\"]".to_owned(),
        ];
        let mut left = BTreeMap::from([(2400, 4)]);
        for lot in [length, 1800 - length - 3] {
            *left.entry(lot).or_insert(0) += 1;
        }
        let lot = |(length, count): (&i64, &i64)| format!("{{ length = {length}, price = 0, stock = {count} }}");
        let lengths = left.iter().map(lot).collect::<Vec<String>>().join(", ");
        let said = Says { lengths, length: "{ exactly = 900 }".into(), ..usual() };
        let (stands, said) = (comes_out(usual().run(&book)), comes_out(said.run(&[])));
        prop_assert_eq!(&stands.settled.build.parts, &said.settled.build.parts);
        let sums = |done: &Done| {
            let settled = &done.settled;
            let cut: usize = settled.cutting.sections[0].cuts.iter().map(|cut| cut.boards.concat().len()).sum();
            (settled.buying.total, settled.cutting.tight(), cut, settled.cutting.sections[0].engine_cost)
        };
        prop_assert_eq!(sums(&stands), sums(&said));
    }
}
