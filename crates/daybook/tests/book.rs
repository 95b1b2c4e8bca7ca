//! The file as it is on the disk: every line once, in turn, and at most the last one lost.

use daybook::{Along, Book, Holds, Out, Shelf, What, digest};
use measure::{Length, Unit};
use proptest::prelude::*;

const PLAN: &str = "title = \"a weekend\"";

fn one_of_each() -> Vec<What> {
    let (wall, mm) = (|| "wall \"ä\"".to_owned(), Length::mm);
    let holds = Holds::from([("bed.length".to_owned(), mm(476)), ("bed.width".to_owned(), Length::nm(1))]);
    let slots = vec!["bed.board.front.0.0".to_owned(), "bed.board.inner-back.1.0".to_owned()];
    vec![
        What::Only { board: wall(), length: mm(3600), left: 0 },
        What::Bought { board: wall(), length: mm(1800), count: 6 },
        What::Width { board: wall(), over: 6, reads: mm(828) },
        What::Thickness { shelf: Shelf::Sheet, name: "ply".into(), reads: Length::nm(17_800_000) },
        What::Thickness { shelf: Shelf::Board, name: wall(), reads: mm(32) },
        What::TrueLength { board: wall(), length: mm(1800), reads: vec![mm(1803), Length::inch_64ths(4545)] },
        What::Kerf { reads: Length::nm(3_200_000) },
        What::Units { unit: "paver".into(), over: 10, joint: mm(3), along: Along::Length, reads: mm(2031) },
        What::Cut { parts: slots.clone(), from: vec![1, 2], length: mm(444), holds: holds.clone() },
        What::Cut { parts: slots.clone(), from: Vec::new(), length: mm(444), holds: Holds::new() },
        What::Wrong { part: slots[0].clone(), from: Some(3), length: mm(439), holds: holds.clone() },
        What::Took { entry: 11, way: Out::Follow, parts: slots, length: Some(mm(439)), holds },
        What::Took { entry: 11, way: Out::CarryOn, parts: Vec::new(), length: None, holds: Holds::new() },
        What::Undo { entry: 12 },
    ]
}

fn append(file: &mut Vec<u8>, what: What, unit: Unit) {
    let book = Book::read(file).expect("what was written is read");
    let (_, text) = book.next(&digest(PLAN), what, unit).expect("it can be written");
    file.extend(text.bytes());
}

fn whole(unit: Unit) -> Vec<u8> {
    let mut file = Vec::new();
    one_of_each().into_iter().for_each(|what| append(&mut file, what, unit));
    file
}

#[test]
fn what_is_written_is_read_again() {
    for unit in [Unit::Millimetre, Unit::Inch, Unit::FootInch] {
        let book = Book::read(&whole(unit)).expect("a whole book");
        let read: Vec<What> = book.entries().iter().map(|entry| entry.what.clone()).collect();
        assert_eq!(read, one_of_each());
        assert!(book.notice().is_none());
        assert!(book.entries().iter().zip(1..).all(|(entry, n)| entry.number == n && entry.plan == digest(PLAN)));
    }
}

/// Cut off at every byte the file loses at most its last line, and says so; and it goes on from there, even if the next writer is
/// stopped too.
#[test]
fn a_file_that_is_cut_off_loses_at_most_its_last_line() {
    let file = whole(Unit::Millimetre);
    let all = one_of_each();
    for end in 0..=file.len() {
        let left = &file[..end];
        let ended = left.iter().filter(|&&byte| byte == b'\n').count();
        let book = Book::read(left).unwrap_or_else(|bad| panic!("cut at {end}: {bad}"));
        let entries = book.entries().len();
        let half = left.last().is_some_and(|&byte| byte != b'\n');
        // A last line that lacks its line feed alone is whole.
        let lacks_feed = half && file[end] == b'\n';
        assert_eq!(entries, ended + usize::from(lacks_feed), "cut at {end}");
        assert_eq!(book.notice().is_some(), half && !lacks_feed, "cut at {end}");
        assert!(book.entries().iter().zip(&all).all(|(entry, what)| entry.what == *what));
        let mut again = left.to_vec();
        let kerf = || What::Kerf { reads: Length::mm(3) };
        append(&mut again, kerf(), Unit::Millimetre);
        for stopped in [end, end + 1, end + 7, again.len() - 1, again.len()] {
            let mut twice = again[..stopped].to_vec();
            append(&mut twice, kerf(), Unit::Millimetre);
            let book = Book::read(&twice).unwrap_or_else(|bad| panic!("cut at {end}, then at {stopped}: {bad}"));
            let (last, before) = book.entries().split_last().expect("an entry");
            assert_eq!(last.what, kerf());
            assert!(before.len() == entries + usize::from(stopped + 1 >= again.len()), "cut at {end}, {stopped}");
        }
    }
}

#[test]
fn a_broken_line_with_whole_lines_behind_it_is_refused() {
    let file = String::from_utf8(whole(Unit::Millimetre)).expect("text");
    let lines: Vec<&str> = file.lines().collect();
    for at in 0..lines.len() - 1 {
        let mut broken = lines.clone();
        broken[at] = &lines[at][..lines[at].len() - 3];
        let bad = Book::read((broken.join("\n") + "\n").as_bytes()).expect_err("a broken line");
        assert_eq!(bad.line, Some(at + 1), "{bad}");
        let mut without = lines.clone();
        without.remove(at);
        let bad = Book::read(without.join("\n").as_bytes()).expect_err("numbers out of turn");
        assert_eq!(bad.line, Some(at + 1), "{bad}");
    }
}

#[test]
fn lines_that_say_what_cannot_be_are_refused() {
    let refused = |line: &str| match Book::read(line.as_bytes()) {
        Err(bad) => bad.to_string(),
        Ok(book) => panic!("{line} is read as {book:?}"),
    };
    let line = |what: &str| format!("{{\"n\":1,\"plan\":\"0123456789abcdef\",{what}}}\n");
    for (what, says) in [
        ("\"what\":\"sawn\"", "`sawn` is no kind of entry"),
        ("\"what\":\"kerf\"", "lacks `reads`"),
        ("\"what\":\"kerf\",\"reads\":3", "no length with its unit"),
        ("\"what\":\"kerf\",\"reads\":\"3\"", "`reads` has no unit"),
        ("\"what\":\"kerf\",\"reads\":\"-3 mm\"", "not longer than nothing"),
        ("\"what\":\"kerf\",\"reads\":\"3 mm\",\"of\":1", "has a key `of`"),
        ("\"what\":\"width\",\"board\":\"b\",\"over\":0,\"reads\":\"3 mm\"", "`over` is no whole number from 1"),
        ("\"what\":\"cut\",\"parts\":[],\"length\":\"3 mm\",\"holds\":{}", "`parts` lists none"),
        ("\"what\":\"cut\",\"parts\":[\"a\"],\"from\":[1,1],\"length\":\"3 mm\",\"holds\":{}", "a board for each part"),
        (
            "\"what\":\"units\",\"unit\":\"u\",\"over\":2,\"along\":\"width\",\"joint\":\"3 mm\",\"reads\":\"3 mm\"",
            "no more than its joints take",
        ),
        ("\"what\":\"undo\",\"entry\":1", "no entry 1 to undo"),
        ("\"what\":\"took\",\"entry\":2,\"way\":\"follow\"", "no entry 2 before it"),
        ("\"what\":\"took\",\"entry\":2,\"way\":\"away\"", "`away` is no way out"),
    ] {
        let bad = refused(&line(what));
        assert!(bad.contains(says) && bad.contains("line 1"), "{what}: {bad}");
    }
    assert!(refused("{\"n\":1,\"what\":\"kerf\",\"plan\":\"xyz\",\"reads\":\"3 mm\"}").contains("digest"));
    assert!(refused("[]\n").contains("no object"));
    let behind = refused("{\"n\":1\n{\"n\":2}\n");
    assert!(behind.contains("line 1") && behind.contains("no whole JSON"), "{behind}");
}

#[test]
fn what_is_undone_counts_no_longer() {
    let mut file = Vec::new();
    let kerf = |tenths: i64| What::Kerf { reads: Length::nm(tenths * 100_000) };
    for what in [kerf(32), kerf(33), What::Undo { entry: 1 }, kerf(34), What::Undo { entry: 4 }] {
        append(&mut file, what, Unit::Millimetre);
    }
    let book = Book::read(&file).expect("a book");
    let counting: Vec<u32> = book.counting().map(|entry| entry.number).collect();
    assert_eq!(counting, [2]);
    let refused = |entry: u32| book.next(&digest(PLAN), What::Undo { entry }, Unit::Millimetre).expect_err("no undo");
    assert!(refused(1).contains("undone before"));
    assert!(refused(3).contains("is an undo"));
    assert!(refused(9).contains("no entry 9"));
}

/// A way out of what was undone goes with it.
#[test]
fn a_way_out_of_what_was_undone_is_undone_too() {
    let mut file = whole(Unit::Millimetre);
    append(&mut file, What::Undo { entry: 11 }, Unit::Millimetre);
    let book = Book::read(&file).expect("a book");
    assert!(book.counting().all(|entry| !matches!(entry.what, What::Took { .. } | What::Wrong { .. })));
}

#[test]
fn a_book_has_its_limits() {
    assert!(Book::read(&vec![b'\n'; daybook::MOST_BYTES + 1]).is_err());
    assert!(Book::read(&vec![b'\n'; daybook::MOST_LINES + 1]).is_err());
}

proptest! {
    #[test]
    fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        let _ = Book::read(&bytes);
    }

    /// Whole lines with bytes changed: refused, or read as something that can be written again.
    #[test]
    fn no_changed_byte_makes_it_panic(changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..4)) {
        let mut file = whole(Unit::Inch);
        for (at, byte) in changes {
            let at = at.index(file.len());
            file[at] = byte;
        }
        if let Ok(book) = Book::read(&file) {
            let (_, text) = book.next(&digest(PLAN), What::Kerf { reads: Length::mm(3) }, Unit::Inch).expect("one more");
            file.extend(text.bytes());
            prop_assert_eq!(Book::read(&file).map(|again| again.entries().len()), Ok(book.entries().len() + 1));
        }
    }
}
