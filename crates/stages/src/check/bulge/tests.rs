//! Walls round soil: against worked examples, on both sides of the limit, and changed one way at a time.

use super::super::plans::{asked, number, to};
use super::*;

/// A box of larch planks, so long, so thick, the soil so deep below its rim; what else stands in the fill and in the plan.
fn bed(length: i64, thickness: &str, below_top: i64, fill: &str, more: &str) -> Answers {
    bed_of("larch", length, thickness, below_top, fill, more)
}

fn bed_of(material: &str, length: i64, thickness: &str, below_top: i64, fill: &str, more: &str) -> Answers {
    let pieces = format!(
        "[piece.bed]\nis = \"walls\"\nlength = {{ exactly = {length} }}\nwidth = {{ exactly = 1140 }}\nheight = {{ exactly = 600 }}\nboard = \"plank\"\ngap = 0\ncorners = \"front through\"\n\
         [piece.soil]\nis = \"fill\"\nin = \"bed\"\nbelow-top = {below_top}\n{fill}layers = [{{ what = \"soil\", bag = \"soil\", rest = true }}]\n{more}"
    );
    let yard = format!(
        "[board.plank]\nthickness = {thickness}\nwidth = 200\nmaterial = \"{material}\"\nlengths = [{{ length = 6000 }}]\n\
         [board.post]\nthickness = 70\nwidth = 70\nmaterial = \"larch\"\nlengths = [{{ length = 6000 }}]\n\
         [screw.long]\ndiameter = 6\nlengths = [{{ length = 100, boxes = [{{ count = 100 }}] }}]\n\
         [bag.soil]\nsizes = [{{ litres = 1000 }}]\n"
    );
    asked("", &pieces, &yard)
}

fn verdicts(answers: &Answers) -> Vec<Verdict> {
    to(answers, ASKS).map(|answer| answer.verdict).collect()
}

fn pascals(share: i64, weight: i64, depth: i64, people: i64, water: i64) -> i128 {
    (EARTH.compute)(&[share, weight, depth * 1_000_000, people, water].map(i128::from)).expect("a pressure")
}

/// A wall of 7.5 m, soil of 2000 kg/m³, φ = 30° (K0 0.5 by Jaky): 275.812 kN/m in all, a test of an open engineering library; our
/// pressure at the foot over half the height, within 0.01 %. A planter of 0.6 m full of water, 0.5 on 9.2 buoyant and the water:
/// 8.65 kN/m² (worked outside this project), within the rounding of 19.01.
#[test]
fn pressures_are_those_of_worked_examples() {
    let whole = pascals(500, 19_613, 7500, 0, 0) as f64 * 7.5 / 2.0;
    assert!((whole - 275_812.0).abs() < 30.0, "{whole}");
    assert_eq!(pascals(500, 15_000, 600, 0, 0), 4_500);
    assert!((pascals(500, 19_010, 600, 0, 9_810) - 8_650).abs() <= 10);
}

/// A bed of planks 40 × 200 that are 2110 inside, soil of 18 kN/m³ (the handbook's) 500 deep: 4.5 kN/m² at the foot; the plank bends
/// 27.2 mm at once and 81.7 after creep against 10.6, its stress is 9.4 N/mm² against 5.9; with one mid-post 1.7, in the end 5.1
/// against 5.3, and 2.3 N/mm². Worked outside this project for the same bed, within its rounding.
#[test]
fn planks_of_a_bed_are_those_of_the_worked_bed() {
    let answers = bed(2190, "40", 100, "", "");
    assert_eq!(verdicts(&answers), [Verdict::Fails; 3]);
    let tenths = |name: &str| (number(&answers, name) as f64 / 1e5).round() as i64;
    assert_eq!(tenths("bed.bulge"), 816, "81.7 with 18.000 and not 17.995 kN/m³");
    assert_eq!(tenths("bed.bulge-limit"), 106);
    assert_eq!([tenths("bed.bending"), tenths("bed.bending-limit")], [94, 59]);
    let half = |x: &[i128]| (bend::STRIP_BEND.compute)(x).expect("a bend") as f64 / 1e6;
    let [at_once, finally] = [1000, 3000].map(|creep| half(&[4_500, 1_055_000_000, 40_000_000, 8_000_000_000, creep]));
    assert!((at_once - 1.7).abs() < 0.05 && (finally - 5.1).abs() < 0.05, "{at_once} {finally}");
}

/// What is said to hold does, when it is put in: thicker boards, and one thinner by a millimetre does not.
#[test]
fn the_solved_thickness_holds_and_a_millimetre_less_does_not() {
    let answers = bed(2190, "40", 100, "", "");
    let change = to(&answers, ASKS).find_map(|answer| answer.change.clone()).expect("a change");
    let thick: i64 = change
        .split("boards ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next())
        .and_then(|mm| mm.parse().ok())
        .expect("a thickness");
    // The inside is shorter where planks are thicker; the outside follows, so that the span stays 2110.
    let of = |thick: i64| bed(2110 + 2 * thick, &thick.to_string(), 100, "", "");
    assert!(!verdicts(&of(thick)).contains(&Verdict::Fails), "{change}");
    assert!(verdicts(&of(thick - 1)).contains(&Verdict::Fails), "{change}");
    assert!(change.contains("post tied across") || change.contains("posts tied across"), "{change}");
}

/// Posts that are tied across are what parts the span; posts alone do not.
#[test]
fn posts_hold_only_where_they_are_tied() {
    let posts = "[piece.posts]\nis = \"posts\"\nin = \"bed\"\nboard = \"post\"\nspacing = 1200\nalong = [\"front\", \"back\"]\nscrew = \"long\"\n";
    let loose = bed(2190, "40", 100, "", posts);
    let tied = bed(2190, "40", 100, "", &format!("{posts}tie = \"post\"\n"));
    assert_eq!(number(&loose, "bed.bulge"), number(&bed(2190, "40", 100, "", ""), "bed.bulge"));
    assert!(number(&tied, "bed.bulge") * 10 < number(&loose, "bed.bulge"));
    assert!(!verdicts(&tied).contains(&Verdict::Fails), "{:?}", verdicts(&tied));
}

#[test]
fn thicker_is_never_worse_and_deeper_never_better() {
    let value = |thickness: i64, below: i64| {
        let answers = bed(1800, &thickness.to_string(), below, "", "");
        ["bed.bulge", "bed.bending", "bed.bending-people"].map(|name| number(&answers, name))
    };
    for thickness in [20, 28, 45] {
        let (thin, thick) = (value(thickness, 100), value(thickness + 5, 100));
        assert!(thin.iter().zip(&thick).all(|(thin, thick)| thick < thin), "{thickness}");
        let deeper = value(thickness, 50);
        assert!(deeper.iter().zip(&thin).all(|(deeper, shallow)| deeper > shallow), "{thickness}");
    }
    let wet = bed(1800, "40", 100, "water = \"may stand\"\n", "");
    assert!(number(&wet, "bed.bulge") > value(40, 100)[0], "water is never better");
}

/// In North America western red cedar goes by the NDS: Fb 700 lb/in² × 0.9 × 0.85, wet and for good (from memory): 535.5 lb/in² =
/// 3.692 N/mm².
#[test]
fn the_region_chooses_the_code() {
    let head = |region: &str| {
        let pieces = "[piece.bed]\nis = \"walls\"\nlength = { exactly = 1000 }\nheight = { exactly = 400 }\nboard = \"plank\"\ngap = 0\ncorners = \"pinwheel\"\n[piece.soil]\nis = \"fill\"\nin = \"bed\"\nlayers = [{ what = \"soil\", bag = \"soil\", rest = true }]\n";
        let yard = "[board.plank]\nthickness = 38\nwidth = 200\nmaterial = \"western-red-cedar\"\nlengths = [{ length = 6000 }]\n[bag.soil]\nsizes = [{ litres = 50 }]\nwet-density = 1600\n";
        asked(&format!("region = \"{region}\""), pieces, yard)
    };
    let (eu, na) = (head("eu"), head("na"));
    assert!((number(&na, "bed.bending-limit") - 3_692_000).abs() < 1_000);
    // EN 338 C14: 14 × 1.3 × 0.5 / (1.3 × 1.35), by hand.
    assert!((number(&eu, "bed.bending-limit") - 5_185_185).abs() <= 1);
    assert_eq!(number(&eu, "bed.pressure"), number(&na, "bed.pressure"));
}

#[test]
fn what_is_not_known_is_asked_for() {
    let pieces = "[piece.bed]\nis = \"walls\"\nlength = { exactly = 1000 }\nheight = { exactly = 400 }\nboard = \"plank\"\ngap = 0\n";
    let yard = "[board.plank]\nthickness = 38\nwidth = 200\nmaterial = \"larch\"\nlengths = [{ length = 6000 }]\n";
    let answers = asked("", pieces, yard);
    let needs: Vec<_> = to(&answers, ASKS).map(|answer| (answer.verdict, answer.needs.clone())).collect();
    assert_eq!(
        needs,
        [(Verdict::CannotTell, Some("say what goes into bed with a `fill`, so that its pressure is known".to_owned()))]
    );
}
