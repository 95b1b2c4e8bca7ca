//! Cards worked by hand, and what holds of every one.

use super::*;
use crate::cut::{self, SheetCut, Sheets, Strip};
use measure::{Density, Money, Tape, Unit};
use model::part::{At, Axis, Frame, Part, PartKey, Plane, Solid, UNIT};
use model::plan::Prefer;
use model::problem::{File, Place};
use model::schema::StockKind;
use model::stock::{Board, BoardLength, Material, SawLimits, Shed, Sheet, SheetSize, Yard};
use std::collections::BTreeSet;

const DEAL: StockRef = StockRef { kind: StockKind::Board, place: 0 };
const BATTEN: StockRef = StockRef { kind: StockKind::Board, place: 1 };
const PLY: StockRef = StockRef { kind: StockKind::Sheet, place: 0 };

/// A yard of our own: two boards in 3600, a sheet of 2500 × 1250; kerf 3, trim 10.
fn plan() -> Plan {
    let place = Place { file: File::Yard, bytes: 0..0 };
    let lengths = vec![BoardLength::on_sale(Length::mm(3600), Some(Money::hundredths(1000)))];
    let board = |name: &str, width: i64| Board {
        name: name.to_owned(),
        label: name.to_owned(),
        thickness: Length::mm(20),
        width: Length::mm(width),
        thin_edge: None,
        density: None,
        treated: None,
        lengths: lengths.clone(),
        place: place.clone(),
    };
    let size = SheetSize::on_sale(Length::mm(2500), Length::mm(1250), None);
    let density = Some(Material::Stated(Density::kg_per_m3(600)));
    let ply = Sheet {
        name: "ply".to_owned(),
        label: "ply".to_owned(),
        thickness: Length::mm(18),
        density,
        treated: None,
        sizes: vec![size],
        place: place.clone(),
    };
    Plan {
        standing: model::standing::Standing::default(),
        title: String::new(),
        tape: Tape::usual(Unit::Millimetre),
        prefer: Prefer::Closest,
        site: model::plan::Site::default(),
        pieces: Vec::new(),
        yard: Yard {
            currency: "EUR".into(),
            boards: vec![board("deal", 145), board("batten", 45)],
            sheets: vec![ply],
            ..Yard::default()
        },
        shed: Shed {
            kerf: Length::mm(3),
            trim: Length::mm(10),
            reserve_per_cut: Length::nm(500_000),
            reserve_per_board: Length::mm(2),
            people: 1,
            ..Shed::default()
        },
    }
}

fn part(at: usize, stock: StockRef, length: Length, width: i64) -> Part {
    let key = PartKey { piece: "p".into(), role: "board".into(), face: "front".into(), course: 0, index: at as u32 };
    let at_place = At { frame: Frame::BUILD, corner: [Length::ZERO; 3], along: Axis::X, across: Axis::Y };
    let solid = Solid::square(length, Length::mm(width), Length::mm(20));
    Part { key, id: format!("A{}", at + 1), stock, solid, at: at_place }
}

fn boards(lengths: &[(StockRef, i64)]) -> Vec<Part> {
    lengths.iter().enumerate().map(|(at, &(stock, mm))| part(at, stock, Length::mm(mm), 145)).collect()
}

fn sawn(parts: Vec<Part>) -> (Sawing, Build) {
    let plan = plan();
    let build = Build { parts, ..Build::default() };
    let cutting = cut::cut(&build.parts, &plan, cut::STEPS, &|| false).expect("a cutting plan");
    (saw(&build, &cutting, &plan), build)
}

fn mm(lengths: impl Iterator<Item = Length>) -> Vec<i64> {
    lengths.map(|length| length.nanometres() / 1_000_000).collect()
}

/// Twenty-four of 445 out of 3600s, kerf 3, trim 10: three boards of eight. Worked by hand: 5 off the first end leave 3595, and
/// each part takes 448 with its cut; eight take 8 · 445 + 7 · 3 = 3581, and so on down.
#[test]
fn twenty_four_alike() {
    let (sawing, _) = sawn(boards(&[(DEAL, 445); 24]));
    let [card] = sawing.cards.as_slice() else { panic!("{:#?}", sawing.cards) };
    assert_eq!((card.stop, card.cuts().count(), card.lots.len()), (Length::mm(445), 24, 3));
    assert_eq!((card.rows().len(), card.stop_stays, card.short), (1, false, false));
    assert_eq!((card.flip, card.reads, card.check), (Flip::None, Reads::EndToEnd, Length::nm(500_000)));
    let lot = &card.lots[0];
    assert_eq!((lot.start, lot.from.to_string().as_str()), (Length::mm(3595), "1"));
    assert_eq!(mm(lot.cuts.iter().map(|cut| cut.rest)), [3147, 2699, 2251, 1803, 1355, 907, 459, 11]);
    assert_eq!(mm(lot.cuts.iter().map(|cut| cut.least)), [3581, 3133, 2685, 2237, 1789, 1341, 893, 445]);
    let number = |name: &str| sawing.quantities.iter().find(|quantity| quantity.name == name).map(|q| q.value.value);
    assert_eq!((number("card.1.count"), number("card.1.rest")), (Some(24), Some(11_000_000)));
}

/// A bench of our own. From each of two deals 1700, 1200, 640; from one of battens 1200 three times less one: longest first in
/// each kind, and the second kind's 1200 does not follow the first's, so the stop moves; 640 and then 640 would stay.
#[test]
fn settings_come_once_and_in_order() {
    let deals = [(DEAL, 640), (DEAL, 1700), (DEAL, 1200), (DEAL, 1700), (DEAL, 640), (DEAL, 1200)];
    let battens = [(BATTEN, 640), (BATTEN, 200), (BATTEN, 200)];
    let (sawing, _) = sawn(boards(&[deals.as_slice(), battens.as_slice()].concat()));
    let told: Vec<(StockRef, i64, bool, u32)> = sawing
        .cards
        .iter()
        .map(|card| (card.stock, card.stop.nanometres() / 1_000_000, card.stop_stays, card.set_up))
        .collect();
    let own = [
        (DEAL, 1700, false, 1),
        (DEAL, 1200, false, 2),
        (DEAL, 640, false, 3),
        (BATTEN, 640, true, 4),
        (BATTEN, 200, false, 5),
    ];
    assert_eq!(told, own);
    assert_eq!(sawing.set_ups(), 5);
    // On a deal: 3595 - 1703 = 1892, and 1200 + 3 + 640 = 1843 are still to come out of it; 1892 - 1203 = 689.
    let second = &sawing.cards[1].lots[0];
    assert_eq!((second.start, second.cuts[0].least), (Length::mm(1892), Length::mm(1843)));
    assert_eq!(mm(sawing.cards[2].lots[0].cuts.iter().map(|cut| cut.rest)), [46]);
    // The battens of 200 hang on a long rest: 3595 - 643 = 2952, then 2749 and 2546.
    let short = &sawing.cards[4];
    assert!(short.short && short.clamped().next().is_none());
    assert_eq!(mm(short.lots[0].cuts.iter().map(|cut| cut.rest)), [2749, 2546]);
}

/// Short parts to the end of a board: seventeen of 208 take 17 · 208 + 16 · 3 = 3584 of 3590. After the sixteenth the rest reads
/// 3595 - 16 · 211 = 219, after the last 8: the last two are clamped.
#[test]
fn short_parts_with_a_short_rest_are_clamped() {
    let (sawing, build) = sawn(boards(&[(DEAL, 208); 17]));
    let card = &sawing.cards[0];
    let ids: Vec<&str> = card.clamped().map(|part| build.parts[part].id.as_str()).collect();
    assert_eq!((card.short, ids), (true, vec!["A16", "A17"]));
}

/// A card has room for twenty-four: thirty of 445 take two, the second with the stop where it was, from the rest of a board.
#[test]
fn what_has_no_room_goes_on() {
    let (sawing, _) = sawn(boards(&[(DEAL, 445); 30]));
    let [first, second] = sawing.cards.as_slice() else { panic!("{:#?}", sawing.cards) };
    assert_eq!((first.cuts().count(), second.cuts().count()), (24, 6));
    assert_eq!((first.set_up, second.set_up, second.stop_stays), (1, 1, true));
    let (last, next) = (&first.lots[first.lots.len() - 1], &second.lots[0]);
    if last.from == next.from {
        assert_eq!(last.cuts.last().map(|cut| cut.rest), Some(next.start));
    }
}

/// A board of 500 × 145 whose ends are trimmed by planes through the corners given.
fn slanted(at: usize, planes: [Option<([f64; 3], [i64; 3])>; 2]) -> Part {
    let mut part = part(at, DEAL, Length::mm(500), 145);
    let plane = |(normal, through): ([f64; 3], [i64; 3])| Plane {
        normal: normal.map(|part| libm::round(part * UNIT as f64) as i64),
        through: through.map(Length::mm),
    };
    part.solid.ends = planes.map(|plane_of| plane_of.map(plane).into_iter().collect());
    part
}

/// A trapezium is flipped, a parallelogram is not and its edge is 500 - 145 = 355 (tan 45° = 1), a single slanted end takes the
/// saw back to square; all are told apart from the square one, which comes first.
#[test]
fn slanted_ends() {
    let half = std::f64::consts::FRAC_1_SQRT_2;
    let first = Some(([-half, half, 0.0], [0, 0, 0]));
    let trapezium = slanted(0, [first, Some(([half, half, 0.0], [500, 0, 0]))]);
    let parallel = slanted(1, [first, Some(([half, -half, 0.0], [500, 145, 0]))]);
    let one = slanted(2, [None, Some(([half, half, 0.0], [500, 0, 0]))]);
    let square = part(3, DEAL, Length::mm(500), 145);
    // Tilted 30° over its thickness: a mitred box on edge.
    let tilted = slanted(4, [Some(([-0.866_025_403_784, 0.0, 0.5], [0, 0, 0])), None]);
    let (sawing, _) = sawn(vec![trapezium, parallel, one, square, tilted]);
    let told: Vec<_> = sawing.cards.iter().map(|card| (card.flip, card.reads, card.stop)).collect();
    let whole = Length::mm(500);
    assert_eq!(told[0], (Flip::None, Reads::EndToEnd, whole));
    assert!(told.contains(&(Flip::EverySecond, Reads::LongToLong, whole)));
    assert!(told.contains(&(Flip::Stays, Reads::LongToShort, Length::mm(355))));
    assert_eq!(told.iter().filter(|card| card.0 == Flip::OneEnd).count(), 2);
    let tilts: Vec<i32> = sawing.cards.iter().flat_map(|card| card.ends.0.map(|end| end.tilt)).collect();
    assert!(tilts.contains(&-300) && !tilts.contains(&300), "{tilts:?}");
}

/// However a part lies in the build, it is cut at the same set-up: turned half round about any of its three directions.
#[test]
fn half_turns_are_one_setting() {
    let (a, w, t) = (0.8, 0.48, 0.36);
    let at = |planes| Ends::of(&slanted(0, planes));
    let whole = at([Some(([-a, w, t], [0, 0, 0])), None]);
    let about_length = at([Some(([-a, -w, -t], [0, 0, 0])), None]);
    let about_width = at([None, Some(([a, w, -t], [500, 0, 0]))]);
    let about_thickness = at([None, Some(([a, -w, t], [500, 0, 0]))]);
    assert_eq!([about_length, about_width, about_thickness], [whole; 3]);
    // Its mirror is the other hand.
    assert_ne!(at([Some(([-a, w, -t], [0, 0, 0])), None]), whole);
    assert_eq!(whole.0.map(|end| (end.mitre.abs(), end.tilt.abs())), [(310, 211), (0, 0)]);
}

/// Ends with several planes are cut square and shaped after, and a plane along a part is no crosscut.
#[test]
fn what_is_shaped_is_cut_square() {
    let mut pointed = slanted(0, [None, Some(([0.8, 0.6, 0.0], [500, 145, 0]))]);
    let second = Plane { normal: [UNIT / 10 * 8, -UNIT / 10 * 6, 0], through: [500, 0, 0].map(Length::mm) };
    pointed.solid.ends[1].push(second);
    let planed = slanted(1, [Some(([0.0, 0.6, 0.8], [0, 0, 0])), None]);
    let (sawing, _) = sawn(vec![pointed, planed, part(2, DEAL, Length::mm(500), 145)]);
    let [card] = sawing.cards.as_slice() else { panic!("{:#?}", sawing.cards) };
    assert_eq!((card.flip, card.stop, card.shaped.as_slice()), (Flip::None, Length::mm(500), [0, 1].as_slice()));
}

/// A sheet of 2500 × 1250 by hand: 5 off the edge leaves 1245; 451 wide takes 454: 791, 337; 300 wide takes 303: 34. Two strips
/// of 451 with panels of 1200 and 800, one of 300 with a panel of 1200: the stop at 1200 serves strips of both widths.
fn ripped() -> (Sawing, Cutting) {
    let panels = [(1200, 451), (800, 451), (1200, 451), (1200, 300)];
    let panel = |(at, &(length, width)): (usize, &(i64, i64))| part(at, PLY, Length::mm(length), width);
    let build = Build { parts: panels.iter().enumerate().map(panel).collect(), ..Build::default() };
    let strip = |width: i64, parts: &[usize]| Strip {
        width: Length::mm(width),
        parts: parts.to_vec(),
        slack: Length::ZERO,
        comfortable: true,
    };
    let sheet = SheetCut {
        size: 0,
        measures: [Length::mm(2500), Length::mm(1250)],
        strips: vec![strip(300, &[3]), strip(451, &[0, 1]), strip(451, &[2])],
        slack: Length::ZERO,
        comfortable: true,
    };
    let sheets = Sheets {
        stock: PLY,
        sheets: vec![sheet],
        kerf: Length::mm(3),
        priced: false,
        cost: 0,
        exact: true,
        bound: 0,
        proven: true,
    };
    let cutting = Cutting { sheets: vec![sheets], ..Cutting::default() };
    (saw(&build, &cutting, &plan()), cutting)
}

#[test]
fn a_sheet_is_ripped_and_then_crosscut() {
    let (sawing, _) = ripped();
    let told: Vec<_> = sawing.cards.iter().map(|card| (card.work, card.stop.nanometres() / 1_000_000)).collect();
    assert_eq!(told, [(Work::Rip, 451), (Work::Rip, 300), (Work::Crosscut, 1200), (Work::Crosscut, 800)]);
    let [wide, narrow, long, short] = sawing.cards.as_slice() else { panic!("four cards") };
    assert_eq!((wide.lots[0].length, wide.lots[0].start), (Length::mm(1250), Length::mm(1245)));
    assert_eq!(mm(wide.cuts().map(|cut| cut.rest)), [791, 337]);
    assert_eq!(mm(narrow.cuts().map(|cut| cut.rest)), [34]);
    let strips: Vec<Makes> = wide.cuts().chain(narrow.cuts()).map(|cut| cut.makes).collect();
    assert_eq!(strips, [2, 3, 1].map(|strip| Makes::Strip(Which::strip(1, strip))));
    let from: Vec<String> = long.lots.iter().map(|lot| lot.from.to_string()).collect();
    assert_eq!(from, ["1.1", "1.2", "1.3"]);
    // Along a strip: 2495 - 1203 = 1292, then 1292 - 803 = 489.
    assert_eq!((short.lots[0].start, short.lots[0].cuts[0].rest), (Length::mm(1292), Length::mm(489)));
    assert!(!narrow.stop_stays && !long.stop_stays);
}

/// What lies on the saw: 2.5 × 1.245 × 0.018 m at 600 kg/m³ is 33.615 kg, and once both wide strips are off 2.5 × 0.337 × 0.018
/// is 9.099 kg. Worked by hand.
#[test]
fn the_sheet_grows_lighter() {
    let (sawing, _) = ripped();
    let mass = |name: &str| sawing.quantities.iter().find(|quantity| quantity.name == name).map(|q| q.value.value);
    assert_eq!((mass("card.1.mass"), mass("card.2.mass")), (Some(33_615_000), Some(9_099_000)));
    assert_eq!(mass("card.3.mass"), None);
}

/// A small generator (Knuth's constants), so that a failing case can be had again.
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }
}

/// Sixty jobs of our own making: every part is on one card; before each cut the rest reads what is needed at least; readings run
/// down; a set-up comes once; no card has more than its room.
#[test]
fn every_part_is_on_one_card_and_comes_out() {
    for job in 0..60 {
        let mut dice = Dice(job);
        let kinds: Vec<i64> = (0..1 + dice.below(6)).map(|_| 60 + dice.below(1600) as i64).collect();
        let count = 1 + dice.below(50);
        let lengths: Vec<(StockRef, i64)> = (0..count)
            .map(|_| {
                let stock = if dice.below(3) == 0 { BATTEN } else { DEAL };
                (stock, kinds[dice.below(kinds.len() as u64) as usize])
            })
            .collect();
        let (sawing, build) = sawn(boards(&lengths));
        let mut made: Vec<usize> = sawing.cards.iter().flat_map(Card::parts).collect();
        made.sort_unstable();
        assert_eq!(made, (0..build.parts.len()).collect::<Vec<_>>(), "job {job}");
        let mut settings = BTreeSet::new();
        for cards in sawing.cards.chunk_by(|one, next| one.set_up == next.set_up) {
            assert!(settings.insert((cards[0].stock, cards[0].stop, cards[0].ends)), "job {job}: a setting twice");
            assert!(cards[1..].iter().all(|card| card.stop_stays), "job {job}");
        }
        for card in &sawing.cards {
            assert!(card.cuts().count() <= 24 && card.rows().len() <= 4 && card.cuts().count() > 0, "job {job}");
            for lot in &card.lots {
                let mut reads = lot.start;
                for cut in &lot.cuts {
                    assert!(reads >= cut.least, "job {job}: {reads:?} for {:?}", cut.least);
                    assert!(cut.least >= card.length && cut.rest < reads, "job {job}");
                    reads = cut.rest;
                }
            }
        }
    }
}

/// A shed whose saw turns 20°, leans 25°, cuts 140 across and rips 400: the slanted board of 145 turns 31.0° and leans 21.1°
/// (as above); what the shed does not say is not asked.
#[test]
fn what_the_saw_does_not_do_is_told() {
    let mut plan = plan();
    let parts = vec![slanted(0, [Some(([-0.8, 0.48, 0.36], [0, 0, 0])), None]), part(1, DEAL, Length::mm(900), 145)];
    let build = Build { parts, ..Build::default() };
    let cutting = cut::cut(&build.parts, &plan, cut::STEPS, &|| false).expect("a cutting plan");
    let sawing = saw(&build, &cutting, &plan);
    assert_eq!(notes(&sawing, &build, &plan), Vec::<String>::new());
    plan.shed.limits.mitre = Some(20);
    plan.shed.limits.tilt = Some(25);
    let told = notes(&sawing, &build, &plan);
    assert!(
        matches!(told.as_slice(), [one] if one.starts_with("set-up 2: ") && one.ends_with("turns 20° at most, and 31° is asked")),
        "{told:?}"
    );
    plan.shed.limits = SawLimits { mitre: Some(31), tilt: Some(21), crosscut: Some(Length::mm(145)), rip: None };
    let told = notes(&sawing, &build, &plan);
    assert!(matches!(told.as_slice(), [one] if one.ends_with("leans 21° at most, and 21.1° is asked")), "{told:?}");
    plan.shed.limits = SawLimits { crosscut: Some(Length::mm(140)), ..SawLimits::default() };
    let told = notes(&sawing, &build, &plan);
    assert_eq!(told.len(), 2, "both set-ups are of a board of 145: {told:?}");
    assert!(told[0].ends_with("cuts 140 mm across at most, and 145 mm is asked"), "{told:?}");
}

/// The sheet above: 451 wide leaves 791 and then 337 beside it, 300 leaves 34. A fence that goes to 400 does the second of 451
/// off the other edge and not the first; one that goes to 800 does all; another saw for sheets is not asked.
#[test]
fn a_panel_too_wide_for_the_fence_off_both_edges() {
    let (sawing, _) = ripped();
    let parts = [(1200, 451), (800, 451), (1200, 451), (1200, 300)];
    let panel = |(at, &(length, width)): (usize, &(i64, i64))| part(at, PLY, Length::mm(length), width);
    let build = Build { parts: parts.iter().enumerate().map(panel).collect(), ..Build::default() };
    let mut plan = plan();
    plan.shed.limits.rip = Some(Length::mm(400));
    let told = notes(&sawing, &build, &plan);
    assert!(
        matches!(told.as_slice(), [one] if one.starts_with("set-up 1: ") && one.contains("fence goes to 400 mm at most, and 451 mm is asked")),
        "{told:?}"
    );
    plan.shed.sheet_saw = Some(model::stock::Saw { kerf: Length::mm(3), trim: Length::mm(10) });
    assert_eq!(notes(&sawing, &build, &plan), Vec::<String>::new());
    plan.shed.sheet_saw = None;
    plan.shed.limits.rip = Some(Length::mm(800));
    assert_eq!(notes(&sawing, &build, &plan), Vec::<String>::new());
}
