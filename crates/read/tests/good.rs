//! A sound plan with its yard and shed, read to exactly what it says: in millimetres, in inches, and by default.

mod common;

use common::{Files, VOCABULARY, good};
use measure::{Density, Length, Mass, Money, Percent, Tape, Unit, parse};
use model::plan::{Plan, Prefer};
use model::schema::Wish;
use model::stock::{Material, Rates, Shed};
use read::{MaterialLine, Vocabulary, plan, reference, render};

#[track_caller]
fn read(files: &Files) -> Plan {
    match plan("plan.toml", files, &VOCABULARY) {
        Ok(read) => read.plan,
        Err(report) => panic!("{}", render(&report.problems, &report.sources, false)),
    }
}

fn wish(want: i64, from: i64, to: i64, rank: u32) -> Option<Wish> {
    Some(Wish { want: Length::mm(want), from: Length::mm(from), to: Length::mm(to), rank })
}

fn inch(text: &str) -> Length {
    parse(text, Unit::Inch).expect("a length")
}

#[test]
fn the_head_of_the_plan() {
    let plan = read(&good());
    assert_eq!(plan.title, "Trough by the gate");
    assert_eq!(plan.tape, Tape::usual(Unit::Millimetre));
    assert_eq!(plan.prefer, Prefer::Closest);
    let names: Vec<&str> = plan.pieces.iter().map(|piece| piece.name.as_str()).collect();
    assert_eq!(names, ["trough", "ring", "soil"], "in the order of the file");
}

#[test]
fn wishes_words_and_names() {
    let plan = read(&good());
    let trough = &plan.pieces[0].values;
    assert_eq!(plan.pieces[0].schema.name, "trough");
    assert_eq!(trough.wish("length"), wish(1200, 1080, 1320, 1));
    assert_eq!(trough.wish("width"), wish(400, 380, 420, 3));
    assert_eq!(trough.wish("gap"), wish(6, 6, 8, 2), "by default");
    assert_eq!(trough.text("boards").as_deref(), Some("larch-145"));
    assert_eq!(trough.word("corners"), Some("pinwheel"));
    assert_eq!(trough.names("open"), Some(vec!["front".to_owned(), "left".to_owned()]));
    assert_eq!(trough.length("clear"), Some(Length::mm(20)));
    assert_eq!(trough.count("courses"), Some(3));
    assert!(!trough.has("on"), "left out, and without a default");
    let ring = &plan.pieces[1].values;
    let joint = Length::nm(7_500_000);
    assert_eq!(ring.wish("joint"), Some(Wish { want: joint, from: joint, to: joint, rank: 2 }));
    let corners = ring.list("corners").expect("a list");
    assert_eq!(corners.len(), 2);
    assert_eq!(corners[0].count("turn"), Some(1));
    assert_eq!(corners[0].text("unit").as_deref(), Some("sett-100"));
}

#[test]
fn quantities() {
    let plan = read(&good());
    let soil = &plan.pieces[2].values;
    assert_eq!(soil.text("note").as_deref(), Some("Äpfel & \"soil\""));
    assert_eq!(soil.money("price"), Some(Money::hundredths(1128)));
    assert_eq!(soil.mass("mass"), Some(Mass::milligrams(24_947_580)), "55 lb of 0.45359237 kg");
    assert_eq!(soil.density("density"), Some(Density::kg_per_m3(1200)));
    assert_eq!(soil.percent("settles"), Some(Percent::hundredths(1250)));
}

/// Bare numbers of percent that can mean one thing only: none, and more than one.
#[test]
fn shares() {
    for (written, hundredths) in
        [("0", 0), ("0.00", 0), ("1.01", 101), ("2", 200), ("\"0.5 %\"", 50), ("\"1%\"", 100), ("\"12.5\"", 1250)]
    {
        let text = String::from_utf8(good().0["plan.toml"].clone()).expect("text");
        let text = text.replace("settles = 12.5", &format!("settles = {written}"));
        let soil = &read(&good().with("plan.toml", text)).pieces[2].values;
        assert_eq!(soil.percent("settles"), Some(Percent::hundredths(hundredths)), "{written}");
    }
}

/// Feet and inches as they are written on paper; 1 ft = 304.8 mm by the agreement of 1959.
#[test]
fn lengths_as_they_are_spoken() {
    for (written, nanometres) in [("4' 6", 1_371_600_000), ("4 ft 6½", 1_384_300_000), ("47¼ in", 1_200_150_000)] {
        let text = String::from_utf8(good().0["plan.toml"].clone()).expect("text");
        let text = text.replace("length = 1200", &format!("length = \"{written}\""));
        let trough = &read(&good().with("plan.toml", text)).pieces[0].values;
        assert_eq!(trough.wish("length").map(|wish| wish.want), Some(Length::nm(nanometres)), "{written}");
    }
}

#[test]
fn the_yard() {
    let yard = read(&good()).yard;
    assert_eq!(yard.currency, "GBP");
    let board = &yard.boards[0];
    assert_eq!((board.name.as_str(), board.label.as_str()), ("larch-145", "Larch board 20 x 145"));
    assert_eq!((board.thickness, board.width), (Length::mm(20), Length::mm(145)));
    assert_eq!(board.density, Some(Material::Named("larch".to_owned())));
    let lengths: Vec<_> = board.lengths.iter().map(|l| (l.length, l.price.map(Money::value), l.stock)).collect();
    let expected =
        [(Length::mm(2400), Some(1128), None), (Length::mm(3000), Some(1410), Some(6)), (Length::mm(3600), None, None)];
    assert_eq!(lengths, expected);
    assert_eq!(yard.boards[1].label, "larch-120", "the name, for want of a label");
    assert_eq!(yard.boards[1].density, Some(Material::Stated(Density::kg_per_m3(600))));
    let sheet = &yard.sheets[0];
    assert_eq!(sheet.thickness, Length::nm(17_600_000));
    assert_eq!((sheet.sizes[0].length, sheet.sizes[0].width), (Length::mm(2440), Length::mm(1220)));
    assert_eq!(sheet.sizes.iter().map(|size| size.price).collect::<Vec<_>>(), [Some(Money::hundredths(6050)), None]);
    let unit = &yard.units[0];
    assert_eq!((unit.length, unit.width, unit.thickness), (Length::mm(100), Length::mm(100), Length::mm(80)));
    assert_eq!((unit.packs[0].price, unit.mass), (Some(Money::hundredths(95)), Some(Mass::milligrams(2_200_000))));
    assert_eq!(unit.spare, Percent::new(5), "by default");
}

#[test]
fn the_shed_in_inches() {
    let rates = Rates {
        trip_minutes: 40,
        cut_minutes: 2,
        stop_minutes: 5,
        measure_minutes: 1,
        screw_minutes: 1,
        unit_minutes: 3,
        strip_minutes: 10,
        blade_minutes: 10,
        packers_minutes: 10,
        ..Rates::default()
    };
    let expected = Shed {
        kerf: inch("1/8"),
        trim: inch("1/2"),
        reserve_per_cut: Length::nm(500_000),
        reserve_per_board: Length::mm(2),
        lift: Some(Mass::kg(25)),
        people: 2,
        keep: Length::mm(300),
        rates,
        ..Shed::default()
    };
    assert_eq!(read(&good()).shed, expected);
    let short = good().with("shed.toml", "format = 1\n[saw]\nkerf = 2.4\n");
    let shed = read(&short).shed;
    assert_eq!((shed.kerf, shed.trim), (Length::nm(2_400_000), Length::mm(10)));
    assert_eq!((shed.people, shed.lift), (1, None));
}

/// Each file has units of its own, and a default range lies on the sixteenths of the plan's tape: a tenth of 48 in is
/// 4.8 in, so from 43.2 in (43-3/16) to 52.8 in (52-13/16).
#[test]
fn a_plan_in_inches() {
    let text = "format = 1\ntitle = \"t\"\nunits = \"in\"\nprefer = \"cheapest\"\nyard = \"yard.toml\"\nshed = \"shed.toml\"\n\
                [piece.a]\nis = \"trough\"\nlength = 48\nwidth = { want = \"1' 4\\\"\", to = 17.5 }\ngap = 0.25\n\
                clear = 0\nboards = \"larch-120\"\n";
    let plan = read(&good().with("plan.toml", text));
    assert_eq!(plan.tape, Tape::usual(Unit::Inch));
    assert_eq!(plan.prefer, Prefer::Cheapest);
    let values = &plan.pieces[0].values;
    let expected = |want, from, to, rank| Some(Wish { want: inch(want), from: inch(from), to: inch(to), rank });
    assert_eq!(values.wish("length"), expected("48", "43-3/16", "52-13/16", 1));
    assert_eq!(values.wish("width"), expected("16", "14-3/8", "17-1/2", 1));
    assert_eq!(values.wish("gap"), expected("1/4", "1/4", "1/4", 2));
    let finer =
        read(&good().with("plan.toml", text.replace("units = \"in\"", "units = \"ft-in\"\nstep = \"1/32 in\"")));
    assert_eq!(finer.tape, Tape::new(Unit::FootInch, inch("1/32")).expect("a tape"));
    // 14.4 in lies nearest to 14-13/32.
    assert_eq!(finer.pieces[0].values.wish("width"), expected("16", "14-13/32", "17-1/2", 1));
}

/// The usual range never leaves what the schema allows: 100 to 6000 mm for the length of these tests.
#[test]
fn a_default_range_stays_in_bounds() {
    let head = "format = 1\ntitle = \"t\"\nyard = \"yard.toml\"\nshed = \"shed.toml\"\n[piece.a]\nis = \"trough\"\n";
    for (length, expected) in [("105", wish(105, 100, 116, 1)), ("5900", wish(5900, 5310, 6000, 1))] {
        let text = format!("{head}boards = \"larch-145\"\nlength = {length}\n");
        assert_eq!(read(&good().with("plan.toml", text)).pieces[0].values.wish("length"), expected);
    }
}

#[test]
fn places_point_into_the_text() {
    let read = plan("plan.toml", &good(), &VOCABULARY).expect("sound");
    let text = &read.sources.plan.as_ref().expect("the plan").text;
    let trough = &read.plan.pieces[0];
    assert_eq!(&text[trough.place.bytes.clone()], "trough");
    assert_eq!(&text[trough.values.place.bytes.clone()], "[piece.trough]");
    assert_eq!(&text[trough.values.place_of("length").bytes], "1200");
    assert_eq!(&text[trough.values.place_of("gap").bytes], "[piece.trough]", "a default");
    let yard = &read.sources.yard.as_ref().expect("the yard").text;
    assert_eq!(&yard[read.plan.yard.units[0].place.bytes.clone()], "sett-100");
}

/// A yard in feet and inches may name a board by its name if it says that it was measured so.
#[test]
fn a_board_that_really_measures_its_name() {
    let yard = "format = 1\nunits = \"in\"\ncurrency = \"USD\"\n[board.rough]\nthickness = 2\nwidth = 4\nreally = true\n\
                lengths = [{ length = \"8 ft\", price = 6 }]\n[board.dressed]\nthickness = 1.5\nwidth = \"3-1/2\"\n\
                lengths = [{ length = 96 }]\n";
    let plan_text = "format = 1\ntitle = \"t\"\nyard = \"y\"\nshed = \"shed.toml\"\n[piece.a]\nis = \"heap\"\n";
    let yard = read(&good().with("plan.toml", plan_text).with("y", yard)).yard;
    assert_eq!(yard.boards[0].width, inch("4"));
    assert_eq!(yard.boards[0].lengths[0].length, yard.boards[1].lengths[0].length);
}

/// Dotted keys, inline tables and windows line ends are the same plan.
#[test]
fn other_ways_of_writing_it() {
    let text = "format=1\r\ntitle='t'\r\nyard='yard.toml'\r\nshed='shed.toml'\r\n\
                piece.b = { is = 'heap', note = 'x' }\r\npiece.a.is = 'heap'\r\npiece.a.note = 'y'\r\n";
    let plan = read(&good().with("plan.toml", text));
    let notes: Vec<_> = plan.pieces.iter().map(|piece| (piece.name.as_str(), piece.values.text("note"))).collect();
    assert_eq!(notes, [("b", Some("x".to_owned())), ("a", Some("y".to_owned()))]);
}

#[test]
fn the_reference_page_names_every_key() {
    let oak = MaterialLine {
        name: "oak",
        also: "",
        density: "710".to_owned(),
        source: "a book | another, *from memory*".to_owned(),
    };
    let page = reference(VOCABULARY.pieces, &[oak]);
    for schema in [&read::PLAN, &read::YARD, &read::BOARD, &read::BOARD_LENGTH, &read::SHEET, &read::SHEET_SIZE]
        .into_iter()
        .chain([&read::UNIT, &read::SHED, &read::SAW, &read::RESERVE, &read::HANDS])
        .chain(VOCABULARY.pieces.iter().copied())
    {
        assert!(page.contains(schema.doc), "{}", schema.name);
        for field in schema.fields {
            assert!(page.contains(&format!("| `{}` |", field.key)), "{} {}", schema.name, field.key);
            assert!(page.contains(&field.doc.replace('|', "\\|")), "{} {}", schema.name, field.key);
        }
    }
    assert!(page.contains("wish for a size, 100 to 6000 mm") && page.contains("`[board.NAME]`"));
    assert!(page.contains("\n## Materials\n"));
    assert!(page.contains("\n| `oak` | — | 710 | a book \\| another, *from memory* |\n"), "{page}");
    assert!(!reference(VOCABULARY.pieces, &[]).contains("## Materials"));
    assert!(page.contains("`0.5` could be half a percent or half of it"));
    let columns = |line: &str| line.replace("\\|", "").matches('|').count();
    for row in page.lines().filter(|line| line.starts_with('|')) {
        assert_eq!(columns(row), 5, "{row}");
    }
}

#[test]
fn without_a_vocabulary_every_piece_is_unknown() {
    let report = plan("plan.toml", &good(), &Vocabulary { pieces: &[], materials: &[] }).expect_err("no pieces");
    assert_eq!(report.problems.iter().filter(|p| p.message.starts_with("no piece is a")).count(), 3);
    assert_eq!(report.problems.iter().filter(|p| p.message.starts_with("unknown material")).count(), 3);
}
