//! Planters and raised beds.

use super::tell::{Either, In, Plan, Tell, either, quoted};

const HOW: &[In] = &[("level", "in level courses"), ("upright", "standing upright on a sheet box")];
const CORNERS: &[In] =
    &[("posts", "on inside posts"), ("pinwheel", "in a pinwheel"), ("front through", "with the front running through")];
const ON: &[In] = &[("feet", "feet"), ("ground", "the open ground")];
const RING: &[In] = &[("none", "no ring"), ("sett", "a ring of setts"), ("paver", "a ring of pavers")];
const FILLED: &[In] = &[("soil", "filled with soil"), ("none", "not filled")];
/// What courses can be of.
const COURSES: Either<&[In]> = either(
    &[
        ("larch-145", "boards 20 × 145"),
        ("larch-95", "boards 20 × 95"),
        ("pine-120", "boards 28 × 120"),
        ("sleeper-200", "sleepers 100 × 200"),
    ],
    &[
        ("cedar-1x6", "1×6 boards"),
        ("cedar-1x4", "1×4 boards"),
        ("deck-54x6", "5/4×6 boards"),
        ("fir-2x6", "2×6 boards"),
    ],
);
/// What can stand before a box.
const UPRIGHT: Either<&[In]> = either(
    &[("larch-95", "boards 20 × 95"), ("larch-145", "boards 20 × 145")],
    &[("cedar-1x4", "1×4 boards"), ("cedar-1x6", "1×6 boards")],
);

/// What was said of a box.
struct Said {
    sizes: [String; 3],
    upright: bool,
    board: &'static str,
    corners: &'static str,
    feet: bool,
    ring: &'static str,
    filled: bool,
}

/// Tells the rest of the sentence of a planter or a raised bed, and writes its plan.
pub(super) fn planter(tell: &mut Tell<'_>, make: &str) -> Plan {
    let bed = make == "bed";
    let usual = if bed {
        [either(2400, 96), either(1200, 48), either(450, 18)]
    } else {
        [either(1200, 48), either(400, 16), either(450, 18)]
    };
    tell.say(" about ");
    let length = tell.length("length", usual[0], either((300, 6000), (12, 240)));
    tell.say(" × ");
    let width = tell.length("width", usual[1], either((200, 3000), (8, 120)));
    tell.say(" × ");
    let height = tell.length("height", usual[2], either((150, 1200), (6, 48)));
    let upright = tell.picked("how", HOW) == "upright";
    tell.say(", sides of ");
    let board = tell.choose("board", if upright { tell.of(UPRIGHT) } else { tell.of(COURSES) });
    tell.say(" ");
    tell.choose("how", HOW);
    tell.say(", corners ");
    let corners = tell.choose("corners", CORNERS);
    tell.say(", on ");
    let feet = tell.choose("on", ON) == "feet";
    tell.say(", with ");
    let ring = tell.choose("ring", RING);
    tell.say(" round it, ");
    let filled = tell.choose("filled", FILLED) == "soil";
    let sizes = [length, width, height].map(|size| tell.toml(size));
    let plan = Plan::new(&format!(
        "A {}: each size may move a tenth either way, so that everything comes out.",
        if bed { "raised bed" } else { "planter" }
    ));
    write(tell, plan, &Said { sizes, upright, board, corners, feet, ring, filled })
}

fn write(tell: &Tell<'_>, mut plan: Plan, said: &Said) -> Plan {
    let sheet = quoted(tell.of(either("ply-18", "ply-34")));
    let post = quoted(tell.of(either("post-70", "post-4x4")));
    let board = quoted(said.board);
    // Whole setts and pavers come first: their joint is kept, and the sizes follow it.
    let size =
        |size: &str| if said.ring == "none" { size.to_owned() } else { format!("{{ want = {size}, rank = 2 }}") };
    let [length, width, height] = [0, 1, 2].map(|at| size(&said.sizes[at]));
    let corners = quoted(if said.corners == "pinwheel" { "pinwheel" } else { "front through" });
    let gap = tell.of(either(
        "{ want = 5, from = 0, to = 10, rank = 3 }",
        "{ want = \"1/4\", from = 0, to = \"3/8\", rank = 3 }",
    ));
    let foot = tell.of(either("20", "\"3/4\""));
    let off_ground = if said.feet { foot } else { "" };
    let of = if said.upright { ("sheet", sheet.as_str()) } else { ("board", board.as_str()) };
    let between = if said.upright { "" } else { gap };
    plan.piece(
        "box",
        "walls",
        &[
            ("length", &length),
            ("width", &width),
            ("height", &height),
            of,
            ("gap", between),
            ("corners", &corners),
            ("off-ground", off_ground),
        ],
    );
    if said.feet {
        floor(tell, &mut plan, said, &sheet);
    }
    if said.corners == "posts" {
        let from = if said.feet { "\"floor\"" } else { "" };
        let screw = if said.board == "sleeper-200" { "\"sleeper\"" } else { "\"deck\"" };
        plan.piece("posts", "posts", &[("in", "\"box\""), ("board", &post), ("from", from), ("screw", screw)]);
    }
    if said.upright {
        let gap = tell.of(either(
            "{ want = 8, from = 4, to = 16, rank = 3 }",
            "{ want = \"3/8\", from = \"1/8\", to = \"5/8\", rank = 3 }",
        ));
        let skin = if said.corners == "posts" { quoted("any") } else { corners };
        let clear = tell.of(either("15", "\"1/2\""));
        // No screw through boards as thick as these holds in the sheet without poking through it.
        plan.remark(
            "Its boards are held from inside: bore the sheet, glue, and drive short screws through it into them.",
        );
        plan.piece(
            "skin",
            "cladding",
            &[
                ("on", "\"box\""),
                ("board", &board),
                ("boards", "\"upright\""),
                ("gap", gap),
                ("corners", &skin),
                ("off-ground", clear),
            ],
        );
    }
    if said.ring != "none" {
        ring(tell, &mut plan, said);
    }
    if said.filled {
        let on = if said.feet { "\"floor\"" } else { "" };
        if said.feet {
            plan.piece("liner", "liner", &[("in", "\"box\""), ("on", on), ("roll", "\"liner\"")]);
        }
        let layers = "[{ what = \"potting soil\", bag = \"soil\", rest = true, settles = \"15 %\" }]";
        plan.piece("soil", "fill", &[("in", "\"box\""), ("on", on), ("layers", layers)]);
    }
    if said.feet {
        plan.remark("One under each corner.");
        let what = tell.of(either("\"plastic foot 20 high\"", "\"plastic foot 3/4 high\""));
        plan.piece(
            "feet",
            "extra",
            &[("of", "\"box\""), ("does", "\"carries\""), ("what", what), ("count", "4"), ("fitted", "\"before\"")],
        );
    }
    plan
}

fn floor(tell: &Tell<'_>, plan: &mut Plan, said: &Said, sheet: &str) {
    if said.upright {
        let [height, play, bearer, spacing, hole, apart] = tell.of(either(
            ["45", "2", "\"batten-45\"", "400", "25", "200"],
            ["\"1-1/2\"", "\"1/8\"", "\"fir-2x2\"", "16", "1", "8"],
        ));
        plan.piece(
            "floor",
            "floor",
            &[
                ("in", "\"box\""),
                ("sheet", sheet),
                ("height", height),
                ("play", play),
                ("bearer", bearer),
                ("spacing", spacing),
                ("drain-hole", hole),
                ("drain-spacing", apart),
            ],
        );
    } else {
        let [board, gap, play] = tell.of(either(
            ["\"larch-95\"", "{ want = 10, from = 5, to = 15, rank = 4 }", "3"],
            ["\"cedar-1x4\"", "{ want = \"3/8\", from = \"3/16\", to = \"5/8\", rank = 4 }", "\"1/8\""],
        ));
        plan.piece("floor", "floor", &[("in", "\"box\""), ("board", board), ("gap", gap), ("play", play)]);
    }
}

fn ring(tell: &Tell<'_>, plan: &mut Plan, said: &Said) {
    let (joint, corners) = match said.ring {
        "sett" => (
            tell.of(either(
                "{ want = 10, from = 8, to = 12, rank = 1 }",
                "{ want = \"3/8\", from = \"5/16\", to = \"1/2\", rank = 1 }",
            )),
            "square",
        ),
        _ => (
            tell.of(either(
                "{ want = 5, from = 3, to = 8, rank = 1 }",
                "{ want = \"1/4\", from = \"1/8\", to = \"3/8\", rank = 1 }",
            )),
            "any",
        ),
    };
    // Pavers lie along or across, whichever comes out nearer to the wishes.
    let laid = if said.ring == "paver" { "\"any\"" } else { "" };
    let around = if said.upright { "\"skin\"" } else { "\"box\"" };
    plan.remark("None of them is cut.");
    plan.piece(
        "ring",
        "edging",
        &[
            ("around", around),
            ("unit", &quoted(said.ring)),
            ("laid", laid),
            ("joint", joint),
            ("corners", &quoted(corners)),
            ("clearance", tell.of(either("20", "\"3/4\""))),
        ],
    );
}
