//! Low platforms and benches: boards that lie on a frame.

use super::tell::{Either, In, Plan, Tell, either, quoted};
use scantling::Length;

const ON: &[In] = &[("legs", "legs"), ("ground", "what lies there already")];
const BOARDS: Either<&[In]> = either(
    &[("pine-120", "boards 28 × 120"), ("larch-145", "boards 20 × 145"), ("larch-95", "boards 20 × 95")],
    &[("deck-54x6", "5/4×6 boards"), ("cedar-1x6", "1×6 boards"), ("cedar-1x4", "1×4 boards")],
);
/// How high the frame under them is, in millimetres or 64ths of an inch.
const FRAME: Either<i64> = either(95, 3 * 64 + 32);

/// A platform.
pub(super) fn platform(tell: &mut Tell<'_>) -> Plan {
    tell.say(" about ");
    let length = tell.length("length", either(2400, 96), either((600, 4500), (24, 180)));
    tell.say(" × ");
    let width = tell.length("width", either(1800, 72), either((600, 4500), (24, 180)));
    tell.say(", of ");
    let board = tell.choose("board", tell.of(BOARDS));
    tell.say(", on ");
    let legs = tell.choose("on", ON) == "legs";
    let top = if legs {
        tell.say(", its top ");
        let top = tell.length("top", either(300, 12), either((240, 1000), (10, 40)));
        tell.say(" above the ground");
        top
    } else {
        frame(tell) + thickness(board)
    };
    let mut plan = Plan::new("A low platform: boards on a frame. Length and width may move a tenth either way.");
    deck(tell, &mut plan, [length, width, top], board);
    let (leg, apart) =
        if legs { (tell.of(either("post-70", "post-4x4")), tell.of(either("1200", "48"))) } else { ("", "") };
    carried(tell, &mut plan, leg, apart, "");
    plan
}

/// A bench: a narrow deck at the height of a seat, its legs up to the boards.
pub(super) fn bench(tell: &mut Tell<'_>) -> Plan {
    tell.say(" about ");
    let length = tell.length("length", either(1500, 60), either((600, 3000), (24, 120)));
    tell.say(" × ");
    let width = tell.length("width", either(400, 16), either((300, 600), (12, 24)));
    tell.say(", of ");
    let board = tell.choose("board", tell.of(BOARDS));
    tell.say(", its seat ");
    let top = tell.length("top", either(450, 18), either((350, 600), (14, 24)));
    tell.say(" above the ground");
    let mut plan = Plan::new(
        "A bench: boards on a frame, on legs that reach up to the boards. Length and width may move a tenth either way.",
    );
    deck(tell, &mut plan, [length, width, top], board);
    carried(tell, &mut plan, tell.of(either("post-70", "post-4x4")), "", "inside");
    plan
}

fn frame(tell: &Tell<'_>) -> Length {
    tell.of(either(Length::mm(FRAME.mm), Length::inch_64ths(FRAME.inch)))
}

/// How thick a board of the yard is.
fn thickness(board: &str) -> Length {
    match board {
        "pine-120" => Length::mm(28),
        "larch-145" | "larch-95" => Length::mm(20),
        "deck-54x6" => Length::inch_64ths(64),
        _ => Length::inch_64ths(48),
    }
}

fn deck(tell: &Tell<'_>, plan: &mut Plan, sizes: [Length; 3], board: &str) {
    let [length, width, top] = sizes.map(|size| tell.toml(size));
    let gap = tell.of(either("{ want = 6, from = 4, to = 10 }", "{ want = \"1/4\", from = \"3/16\", to = \"3/8\" }"));
    plan.piece(
        "deck",
        "slats",
        &[("length", &length), ("width", &width), ("top", &top), ("board", &quoted(board)), ("gap", gap)],
    );
}

fn carried(tell: &Tell<'_>, plan: &mut Plan, leg: &str, apart: &str, legs: &str) {
    let [board, spacing, inset] = tell.of(either(["\"joist-95\"", "450", "20"], ["\"fir-2x4\"", "16", "\"3/4\""]));
    let in_quotes = |word: &str| if word.is_empty() { String::new() } else { quoted(word) };
    plan.piece(
        "frame",
        "frame",
        &[
            ("under", "\"deck\""),
            ("board", board),
            ("spacing", spacing),
            ("inset", inset),
            ("leg", &in_quotes(leg)),
            ("leg-spacing", apart),
            ("legs", &in_quotes(legs)),
            ("screw", "\"deck\""),
        ],
    );
}
