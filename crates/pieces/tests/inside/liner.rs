//! Liners: the size of the sheet and what it takes of a roll.

use crate::workshop::{built, needs, notes, told, value};
use measure::Length;
use model::build::Needed;

fn trough(liner: &str) -> String {
    format!(
        "[piece.trough]\nis = \"walls\"\nlength = {{ exactly = 1510 }}\nwidth = {{ exactly = 520 }}\nheight = {{ exactly = 451 }}\nboard = \"larch-145\"\ngap = 8\n\
         [piece.floor]\nis = \"floor\"\nin = \"trough\"\nboard = \"pine-90\"\ngap = {{ want = 10, from = 2, to = 20 }}\nheight = 19\n\
         [piece.liner]\nis = \"liner\"\nin = \"trough\"\n{liner}"
    )
}

fn off_roll(text: &str) -> Length {
    let needs = needs(&built(text), "liner");
    let [(_, Needed::LaidOut { length, .. })] = needs.as_slice() else { panic!("{needs:?}") };
    *length
}

/// Sheet = inside + 2 h + 2 × 100 (*common practice*): on a floor whose top lies 51 up in walls of 451, 400 high.
#[test]
fn a_sheet_in_a_trough() {
    let text = trough("on = \"floor\"\nroll = \"pond\"\n");
    let build = built(&text);
    assert_eq!(value(&build, "liner.length"), i128::from(Length::mm(1470 + 800 + 200).nanometres()));
    assert_eq!(value(&build, "liner.width"), i128::from(Length::mm(480 + 800 + 200).nanometres()));
    // 1480 lies across a roll of 2000, so 2470 off it; across one of 1000 it takes two strips that lap by 150: 1850.
    assert_eq!(off_roll(&text), Length::mm(2470));
    assert_eq!(off_roll(&text.replace("\"pond\"", "\"narrow\"")), Length::mm(2 * 2470));
    assert!(notes(&build, "liner").contains("open over every drain hole"));
    // Without a floor it goes down to the lower edge; without a fold it ends at the top.
    let bare = built(&trough("roll = \"pond\"\nfold = 0\n"));
    assert_eq!(value(&bare, "liner.length"), i128::from(Length::mm(1470 + 902).nanometres()));
}

/// A sheet that the roll is wide enough for both ways is cut across the roll by its shorter side.
#[test]
fn the_shorter_way_off_a_wide_roll() {
    let text = trough("roll = \"pond\"\nfold = 50\n").replace("exactly = 1510", "exactly = 900");
    // 860 + 902 + 100 = 1862 by 480 + 902 + 100 = 1482.
    assert_eq!(off_roll(&text), Length::mm(1482));
}

/// Strips that cover at least what they should, and one fewer would not: by laying them out.
#[test]
fn strips_cover_the_sheet() {
    let (lap, roll) = (150_i64, 1_000_i64);
    for shorter in (1_001..6_000).step_by(37) {
        let longer = 6_000;
        let given = [longer, shorter, roll, lap].map(|mm| i128::from(mm) * 1_000_000);
        let rule = pieces::rules::ALL.iter().find(|rule| rule.id == "off-roll").expect("the rule");
        let strips = (rule.compute)(&given).expect("a length") / given[0];
        let covered = |strips: i128| strips * i128::from(roll) - (strips - 1) * i128::from(lap);
        assert!(covered(strips) >= i128::from(shorter) && covered(strips - 1) < i128::from(shorter), "{shorter}");
    }
}

#[test]
fn an_ell_is_lined_as_its_whole_length_and_width() {
    let build = built(
        "[piece.bed]\nis = \"walls\"\noutline = \"L\"\nlength = { exactly = 2440 }\nwidth = { exactly = 1840 }\nfront-arm = { exactly = 640 }\n\
         left-arm = { exactly = 740 }\nheight = { exactly = 435 }\nboard = \"larch-145\"\n[piece.liner]\nis = \"liner\"\nin = \"bed\"\nroll = \"pond\"\n",
    );
    assert_eq!(value(&build, "liner.length"), i128::from(Length::mm(2400 + 870 + 200).nanometres()));
    assert_eq!(value(&build, "liner.width"), i128::from(Length::mm(1800 + 870 + 200).nanometres()));
    // 2870 of strips of 2000 that lap by 150: two of 3470.
    assert_eq!(value(&build, "liner.off-roll"), i128::from(Length::mm(2 * 3470).nanometres()));
}

#[test]
fn what_no_liner_can_be_is_told() {
    let cases = [
        ("roll = \"tape\"\n", "a roll 200 mm wide is little more than the laps of its strips"),
        ("roll = \"pondd\"\n", "no roll called `pondd` in the yard: it has `pond`, `narrow` and `tape`"),
        ("roll = \"pond\"\non = \"trough\"\n", "`trough` is no floor"),
        ("roll = \"pond\"\nfolds = 10\n", "unknown key `folds`"),
        ("roll = \"pond\"\nfold = 1001\n", "`fold` is too large: 1001 mm"),
    ];
    for (keys, message) in cases {
        assert_eq!(told(&trough(keys)), message, "{keys}");
    }
    let twice = trough("roll = \"pond\"\n") + "[piece.second]\nis = \"liner\"\nin = \"trough\"\nroll = \"narrow\"\n";
    assert_eq!(told(&twice), "`second` and `liner` both line `trough`");
    let elsewhere = trough("roll = \"pond\"\non = \"other-floor\"\n")
        + "[piece.other]\nis = \"walls\"\nlength = { exactly = 900 }\nwidth = { exactly = 500 }\nheight = { exactly = 435 }\nboard = \"larch-145\"\n\
           [piece.other-floor]\nis = \"floor\"\nin = \"other\"\nboard = \"pine-90\"\ngap = { want = 10, from = 2, to = 20 }\n";
    assert_eq!(told(&elsewhere), "`other-floor` is no floor in `trough`");
}

/// A cap closes the walls: in the order of making it comes after the liner that is turned over them, wherever the plan has it.
#[test]
fn a_liner_is_laid_before_the_cap() {
    let cap = "[piece.cap]\nis = \"cap\"\non = \"trough\"\nboard = \"pine-90\"\noversail = 15\n";
    let text = trough("roll = \"pond\"\n");
    let (before, liner) = text.split_at(text.find("[piece.liner]").expect("a liner"));
    let build = built(&format!("{before}{cap}{liner}"));
    let place = |name: &str| build.steps.iter().position(|step| step.piece == name).expect("a step");
    assert!(place("liner") < place("cap"));
}
