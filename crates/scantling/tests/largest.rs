//! The largest piece out of the shed, or within a sum, and the closest to the wish.

use scantling::{Aim, Effort, Largest, Missing, Which, World, largest};

/// A box that is wished so long.
struct Texts(u32);

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
        Ok(text.replace("want = 780", &format!("want = {}", self.0)).into_bytes())
    }
}

fn found(aim: Aim, size: Option<&str>) -> Result<Largest, Vec<String>> {
    wished(780, (aim, Which::Largest, size))
}

fn wished(want: u32, asked: (Aim, Which, Option<&str>)) -> Result<Largest, Vec<String>> {
    match largest(("p", None), &Texts(want), asked, &Effort::default(), &|| false) {
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

/// A box wished 750 long comes out of the shed as it is wished, though 773 does too; one wished 790 comes no nearer than 773, and within
/// the price of a board as it is wished.
#[test]
fn the_closest_box_to_the_wish() {
    let closest = |want: u32, aim: Aim| {
        let found = wished(want, (aim, Which::Closest, None));
        let Ok(found) = found else { panic!("one does") };
        assert!(found.done.verdict.passed(), "{}", found.done.verdict.text());
        found.told
    };
    let told = closest(750, Aim::Shed).join("\n");
    assert!(told.contains("750 mm is the closest to the wish that was found"), "{told}");
    assert!(told.contains("to pay 0.00 EUR") && told.contains("a closer one is not proven away"), "{told}");
    assert!(closest(790, Aim::Shed)[0].contains("773 mm"));
    let told = closest(790, Aim::within("14").expect("a sum")).join("\n");
    assert!(told.contains("790 mm is the closest") && told.contains("is 790 mm, to pay 14.00 EUR"), "{told}");
}
