//! The largest piece out of the shed, or within a sum.

use scantling::{Aim, Effort, Largest, Missing, World, largest};

struct Texts;

impl World for Texts {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = match name {
            "yard.toml" => {
                "format = 1\ncurrency = \"EUR\"\n[board.larch]\nthickness = 20\nwidth = 145\nlengths = [{ length = 3000, price = 14 }]\n"
            }
            "shed.toml" => {
                "format = 1\n[saw]\nkerf = 3\ntrim = 10\n[offcut.a]\nof = \"larch\"\nlength = 1560\ncount = 2\n[offcut.b]\nof = \"larch\"\nlength = 560\ncount = 3\n"
            }
            _ => {
                "format = 1\ntitle = \"A box of offcuts\"\nyard = \"yard.toml\"\nshed = \"shed.toml\"\n[piece.box]\nis = \"walls\"\nlength = { want = 780, from = 740, to = 800 }\nwidth = { exactly = 300 }\nheight = { exactly = 290 }\nboard = \"larch\"\n"
            }
        };
        Ok(text.as_bytes().to_vec())
    }
}

fn found(aim: Aim, size: Option<&str>) -> Result<Largest, Vec<String>> {
    match largest(("p", None), &Texts, (aim, size), &Effort::default(), &|| false) {
        Ok(found) => found,
        Err(refused) => Err(vec![scantling::refused(&refused, false)]),
    }
}

/// Four fronts out of two offcuts of 1560: two each, (1560 - 10 - 3) / 2 = 773.5; four ends of 260 out of two of 560 (by hand).
#[test]
fn the_largest_box_out_of_the_shed() {
    let Ok(found) = found(Aim::Shed, None) else { panic!("773 does") };
    assert!(found.done.verdict.passed(), "{}", found.done.verdict.text());
    assert!(found.done.settled.buying.lines.is_empty());
    let told = found.told.join("\n");
    assert!(told.contains("773 mm is the largest that was found"), "{told}");
    assert!(told.contains("was 780 mm, to pay 14.00; is 773 mm, to pay 0.00 EUR"), "{told}");
    assert!(told.contains("write `{ exactly = \"773 mm\" }` for box.length"), "{told}");
    assert!(told.contains("61 of 61 places of box.length were asked"), "{told}");
}

/// For nothing it is the same box; 14.00 buy one board, and with it the box is as long as its wish goes.
#[test]
fn the_largest_box_within_a_sum() {
    let within = |sum: &str| found(Aim::within(sum).expect("a sum"), Some("box.length"));
    let Ok(free) = within("0") else { panic!("773 costs nothing") };
    assert!(free.told[0].contains("773 mm"), "{:?}", free.told);
    let Ok(one) = within("14") else { panic!("one board does") };
    assert!(one.told[0].contains("800 mm"), "{:?}", one.told);
    assert!(one.done.verdict.passed(), "{}", one.done.verdict.text());
    let Err(told) = found(Aim::Shed, Some("box.depth")) else { panic!("no such size") };
    assert!(told[0].contains("no size called `box.depth`") && told[0].contains("box.length"), "{told:?}");
    assert!(Aim::within("much").is_none());
}
