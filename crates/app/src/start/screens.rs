//! Screens.

use super::tell::{Either, In, Plan, Tell, either, quoted};
use scantling::Length;

const HOW: &[In] = &[("level", "level"), ("upright", "upright on rails")];
const HOLES: &[In] = &[("concrete", "concrete"), ("earth", "rammed earth")];
const BOARDS: Either<&[In]> = either(
    &[("larch-95", "slats 20 × 95"), ("larch-145", "slats 20 × 145")],
    &[("cedar-1x4", "1×4 slats"), ("cedar-1x6", "1×6 slats")],
);

/// A screen on posts.
pub(super) fn screen(tell: &mut Tell<'_>) -> Plan {
    tell.say(" about ");
    let length = tell.length("length", either(3600, 144), either((600, 12_000), (24, 480)));
    tell.say(" long and ");
    let height = tell.length("height", either(1500, 60), either((300, 1900), (12, 75)));
    tell.say(" high, of ");
    let board = tell.choose("board", tell.of(BOARDS));
    tell.say(", ");
    let upright = tell.choose("how", HOW) == "upright";
    tell.say(", its posts in ");
    let concrete = tell.choose("holes", HOLES) == "concrete";
    let above = tell.of(either(Length::mm(50), Length::inch_64ths(2 * 64)));
    let [length, top, height] = [length, height + above, height].map(|size| tell.toml(size));
    let [gap, spacing, post, hole, rail] = tell.of(either(
        ["{ want = 15, from = 8, to = 25 }", "1200", "\"post-95\"", "300", "\"joist-95\""],
        ["{ want = \"5/8\", from = \"5/16\", to = 1 }", "48", "\"post-4x4\"", "10", "\"fir-2x4\""],
    ));
    let mut plan = Plan::new(
        "A screen on posts in the ground, which is taken as level. Look for pipes and cables before you dig.",
    );
    plan.piece(
        "screen",
        "screen",
        &[
            ("length", &length),
            ("height", &height),
            ("top", &top),
            ("board", &quoted(board)),
            ("boards", if upright { "\"upright\"" } else { "\"level\"" }),
            ("gap", gap),
            ("post", post),
            ("spacing", spacing),
            ("rail", if upright { rail } else { "" }),
            ("hole", hole),
            ("concrete", if concrete { "\"concrete\"" } else { "" }),
            ("screw", "\"deck\""),
        ],
    );
    plan
}
