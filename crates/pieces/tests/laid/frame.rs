//! Frames under decks, on ground that falls.

use crate::workshop::{build, built, holds, is_sound, lengths, mm, parts, places, quantity, told, touching};
use measure::Length;
use model::build::Needed;

const YARD: &str = "[board.ipe]\nthickness = 21\nwidth = 145\nlengths = [{ length = 2450 }]\n\
    [board.joist]\nthickness = 45\nwidth = 95\nlengths = [{ length = 3600 }]\n\
    [board.post]\nthickness = 95\nwidth = 95\nlengths = [{ length = 2400 }]\n\
    [board.two-by-six]\nthickness = \"1-1/2 in\"\nwidth = \"5-1/2 in\"\nlengths = [{ length = \"12 ft\" }]\n\
    [screw.deck]\ndiameter = 5\nlengths = [{ length = 60 }]\n";

fn deck(boards: &str) -> String {
    format!(
        "[piece.deck]\nis = \"slats\"\nboard = \"ipe\"\ntop = 400\nlength = {{ exactly = 2400 }}\nwidth = {{ want = 1200, from = 1150, to = 1250 }}\ngap = {{ want = 6, from = 6, to = 6, rank = 1 }}\n{boards}\n"
    )
}

fn frame(keys: &str) -> String {
    deck("") + &format!("[piece.frame]\nis = \"frame\"\nunder = \"deck\"\nboard = \"joist\"\nspacing = 450\n{keys}\n")
}

const LEGS: &str =
    "leg = \"post\"\nleg-spacing = 1300\npad = 50\nground = [0, -24, -47, -8, -31, -56]\nscrew = \"deck\"";

/// A platform of 2400 × 1202 on ground that falls two ways. Frame 2360 × 1162, seven joists of 1072 at 385.8, their middles at
/// 22.5, 408.3, 794.2, 1180.0, 1565.8, 1951.7 and 2337.5, legs of 234 to 290; 56 crossings, so 112 screws. Worked outside this
/// project.
#[test]
fn a_platform_on_ground_that_falls() {
    let build = built(&frame(LEGS), YARD);
    assert_eq!(lengths(&build, "frame", "rim"), mm([2360; 2]));
    assert_eq!(places(&build, "frame", "rim", 1), mm([20, 1137]));
    assert_eq!(quantity(&build, "frame.width"), 1_162_000_000);
    assert_eq!(lengths(&build, "frame", "joist"), mm([1072; 7]));
    let tenth = Length::nm(100_000);
    let middle = |left: &Length| (*left + Length::nm(22_500_000 - 20_000_000)).round_to(tenth);
    let middles: Vec<Length> = places(&build, "frame", "joist", 0).iter().map(middle).collect();
    assert_eq!(middles, [225, 4_083, 7_942, 11_800, 15_658, 19_517, 23_375].map(|tenths| tenth * tenths));
    assert_eq!(quantity(&build, "frame.joist.bays"), 6);
    assert_eq!(quantity(&build, "frame.joist.pitch"), 385_833_333);
    assert_eq!(lengths(&build, "frame", "leg"), mm([234, 258, 281, 242, 265, 290]));
    assert_eq!(quantity(&build, "frame.back.leg-3.length"), 290_000_000);
    assert_eq!(
        places(&build, "frame", "leg", 0),
        [20_000_000, 1_152_500_000, 2_285_000_000, 20_000_000, 1_152_500_000, 2_285_000_000].map(Length::nm)
    );
    assert_eq!(places(&build, "frame", "leg", 1), mm([20, 20, 20, 1087, 1087, 1087]));
    // The tops of the legs are the underside of the frame, the joists' tops that of the boards.
    assert!(parts(&build, "frame", "leg").iter().all(|leg| leg.far_corner()[2] == Length::mm(284)));
    assert_eq!(touching(&build, ["deck", "board"], ["frame", "joist"]), 56);
}

/// Legs that run up inside the frame are 95 longer, and twelve bolts hold them; worked outside this project.
#[test]
fn legs_inside_the_frame() {
    let build = built(&frame(&format!("{LEGS}\nlegs = \"inside\"")), YARD);
    assert_eq!(lengths(&build, "frame", "leg"), mm([329, 353, 376, 337, 360, 385]));
    assert_eq!(quantity(&build, "frame.bolts"), 12);
    // Behind the rims; right of the first joist and of the middle one, left of the last: 2335 - 95, by hand.
    assert_eq!(places(&build, "frame", "leg", 1), mm([65, 65, 65, 1042, 1042, 1042]));
    let starts = [65_000_000, 1_222_500_000, 2_240_000_000].map(Length::nm);
    assert_eq!(places(&build, "frame", "leg", 0)[..3], starts);
    assert_eq!(touching(&build, ["frame", "leg"], ["frame", "joist"]), 6);
    assert_eq!(touching(&build, ["frame", "leg"], ["frame", "rim"]), 6);
}

/// Two legs to each rim and level ground, where the plan says no more; none at all without `leg`.
#[test]
fn legs_as_few_as_can_be() {
    let build = built(&frame("leg = \"post\""), YARD);
    assert_eq!(lengths(&build, "frame", "leg"), mm([284; 4]));
    assert!(parts(&built(&frame(""), YARD), "frame", "leg").is_empty());
}

#[test]
fn a_frame_in_inches() {
    // 94 - 1-1/2 = 92-1/2 in over joists at most 16 in apart: six bays of 15.417 in, by hand.
    let plan = "[piece.deck]\nis = \"slats\"\nboard = \"two-by-six\"\ntop = \"18 in\"\nlength = { exactly = \"96 in\" }\nwidth = { exactly = \"28-1/2 in\" }\ngap = \"1/4 in\"\n[piece.frame]\nis = \"frame\"\nunder = \"deck\"\ninset = \"1 in\"\nboard = \"two-by-six\"\nspacing = \"16 in\"\n";
    let build = built(plan, YARD);
    assert_eq!(parts(&build, "deck", "board").len(), 5);
    assert_eq!(parts(&build, "frame", "joist").len(), 7);
    // 28-1/2 less two times 1 and two times 1-1/2.
    assert_eq!(lengths(&build, "frame", "joist"), vec![Length::inch_64ths(64 * 47 / 2); 7]);
    assert_eq!(quantity(&build, "frame.joist.pitch"), 391_583_333);
}

/// The heights of the ground say how many legs there are, and hold the sizes to as many.
#[test]
fn the_ground_has_a_height_for_each_leg() {
    let five = LEGS.replace(", -56", "");
    holds(&told(&frame(&five), YARD), "`ground` has 5 heights for the legs of `frame`");
    let four = LEGS.replace(", -31, -56", "");
    let limit =
        "from the first leg of frame to the last, where `ground` has heights for 4 legs, must be at most 1300 mm";
    holds(&told(&frame(&four), YARD), limit);
    let eight = LEGS.replace("-56", "-56, -56, -56");
    let limit =
        "from the first leg of frame to the last, where `ground` has heights for 8 legs, must be more than 2600 mm";
    holds(&told(&frame(&eight), YARD), limit);
    let six = LEGS.replace("leg-spacing = 1300\n", "");
    holds(&told(&frame(&six), YARD), "`ground` has 6 heights");
}

#[test]
fn what_is_no_frame_is_told() {
    let lies = deck("boards = \"across\"")
        + "[piece.frame]\nis = \"frame\"\nunder = \"deck\"\nboard = \"joist\"\nspacing = 450\n";
    holds(&told(&lies, YARD), "lie from front to back, as the joists of `frame` do");
    let walls = "[piece.deck]\nis = \"walls\"\nlength = 900\nwidth = 600\nheight = 290\nboard = \"ipe\"\n[piece.frame]\nis = \"frame\"\nunder = \"deck\"\nboard = \"joist\"\nspacing = 450\n";
    assert_eq!(told(walls, YARD), "`deck` is no deck, and a frame carries one");
    let second = "[piece.other]\nis = \"frame\"\nunder = \"deck\"\nboard = \"joist\"\nspacing = 450\n";
    holds(&told(&(frame("") + second), YARD), "are both under `deck`");
    holds(&told(&frame("").replace("450", "180"), YARD), "could stand less than 50 mm clear");
    holds(&told(&frame("").replace("400", "100"), YARD), "the lower edge of `frame` would be -16 mm up");
    assert_eq!(told(&frame("pad = 50"), YARD), "`frame` has no legs for `pad`");
    assert_eq!(told(&frame("legs = \"inside\""), YARD), "`frame` has no legs for `legs`");
    let high = LEGS.replace("[0,", "[200,");
    holds(&told(&frame(&high), YARD), "leg 1 of `frame` would be 34 mm long");
    let deep = LEGS.replace("[0,", "[-2500,");
    holds(&told(&frame(&deep), YARD), "leg 1 of `frame` would be 2734 mm long");
    let close = "leg = \"post\"\nlegs = \"inside\"\nleg-spacing = 330";
    holds(&told(&frame(close), YARD), "two legs of `frame` would stand in one another between two joists");
    holds(&told(&frame("leg = \"pots\""), YARD), "no board called `pots`");
    // Joists begin at 0, 771.7, 1543.3 and 2315, so three legs do at 45, 1588.3 and 2220: 1543 apart, by hand.
    let far = frame("leg = \"post\"\nlegs = \"inside\"\nleg-spacing = 1300").replace("spacing = 450", "spacing = 800");
    holds(&told(&far, YARD), "two legs would stand further apart than `leg-spacing`");
}

/// Whatever the sizes, parts do not stand in one another, joists and legs are no further apart than asked, and where legs cannot
/// go it is told.
#[test]
fn no_two_parts_of_a_frame_meet() {
    let mut inside = 0;
    for long in (900..2400).step_by(97) {
        for spacing in (200..650).step_by(61) {
            for legs in [300, 470, 800, 1500] {
                for stand in ["under", "inside"] {
                    let keys = format!("leg = \"post\"\nleg-spacing = {legs}\nlegs = \"{stand}\"");
                    let plan = frame(&keys).replace("exactly = 2400", &format!("exactly = {long}"));
                    let plan = plan.replace("spacing = 450", &format!("spacing = {spacing}"));
                    let build = match build(&plan, YARD) {
                        Ok(build) => build,
                        Err(told) => {
                            let told = told.join("; ");
                            let close = "two legs of `frame` would stand in one another between two joists";
                            let far =
                                "beside the joists of `frame` two legs would stand further apart than `leg-spacing`";
                            assert!(told == close || told == far, "{told}");
                            continue;
                        }
                    };
                    is_sound(&build);
                    inside += usize::from(stand == "inside");
                    let joists = places(&build, "frame", "joist", 0);
                    assert!(joists.windows(2).all(|pair| pair[1] - pair[0] <= Length::mm(spacing) + Length::nm(1)));
                    let feet = places(&build, "frame", "leg", 0);
                    let front = &feet[..feet.len() / 2];
                    assert!(front.windows(2).all(|pair| pair[1] - pair[0] <= Length::mm(legs) + Length::nm(1)));
                    let rims = parts(&build, "frame", "rim");
                    assert_eq!(joists.last().map(|last| *last + Length::mm(45)), Some(rims[0].far_corner()[0]));
                }
            }
        }
    }
    assert!(inside > 50, "{inside}");
}

/// Seven joists hang at both ends, six legs inside take two bolts each, six under the rims one bracket each: 14, 12 and 6, counted
/// by hand. What holds nothing is refused.
#[test]
fn hangers_brackets_and_bolts() {
    let yard = YARD.to_owned()
        + "[fitting.hanger]\nlabel = \"joist hanger\"\nprice = 2\n[fitting.coach]\npacks = [{ count = 4, price = 6 }]\n[fitting.angle]\n";
    let needs = |keys: &str| -> Vec<(String, u32)> {
        let build = built(&frame(&format!("{LEGS}\n{keys}")), &yard);
        let fitted = build.needs.iter().map(|need| match need.of {
            Needed::Fitted { count, .. } => (need.what.clone(), count),
            _ => panic!("{need:?}"),
        });
        fitted.collect()
    };
    let mut inside = needs("legs = \"inside\"\nhanger = \"hanger\"\nbolt = \"coach\"");
    inside.sort();
    assert_eq!(inside, [("joist".into(), 14), ("leg".into(), 12)]);
    assert_eq!(needs("bracket = \"angle\""), [("leg".into(), 6)]);
    assert_eq!(needs(""), []);
    for keys in ["bolt = \"coach\"", "legs = \"inside\"\nbracket = \"angle\""] {
        let message = told(&frame(&format!("{LEGS}\n{keys}")), &yard);
        assert!(message.contains("has nothing that"), "{message}");
    }
}
