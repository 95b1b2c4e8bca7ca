//! The questions on the builds of the house: what a maker who knows the trade would say of them, and that what an answer says
//! to change holds once it is put in.

mod asked;

use asked::Texts;
use stages::check::Verdict;

const BUILDS: [&str; 8] = [
    "balcony-box",
    "bin-screen",
    "corner-bed",
    "halfway-seat",
    "kitchen-trough",
    "picket-box",
    "tapered-tub",
    "tree-hexagon",
];

#[test]
fn every_number_follows_from_its_rule_and_stands_once() {
    for name in BUILDS {
        let asked = Texts::of(name).asked();
        let mut names: Vec<&str> = asked.answers.quantities.iter().map(|quantity| quantity.name.as_str()).collect();
        for quantity in &asked.answers.quantities {
            let given: Vec<i128> = quantity.inputs.iter().map(|input| input.value.value).collect();
            assert_eq!((quantity.rule.compute)(&given), Some(quantity.value.value), "{name}: {}", quantity.name);
        }
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count, "{name}");
        for answer in &asked.answers.answers {
            let open = answer.verdict == Verdict::CannotTell;
            assert_eq!(open, answer.needs.is_some(), "{name}: {answer:?}");
            assert!(answer.verdict != Verdict::Fails || answer.change.is_some(), "{name}: {answer:?}");
        }
        if std::env::var_os("TOLD").is_some() {
            eprintln!("== {name}\n{}", asked.told());
        }
    }
}

const SCREWS: &str = "Do the screws fit?";

/// With a box of too short screws alone the posts of a planter are not held: the length that the answer names is put into the
/// yard, and every place has its screws.
#[test]
fn the_length_that_is_named_fits() {
    let texts = Texts::of("halfway-seat");
    let yard = texts.text("yard").to_owned();
    let start = yard.find("[screw.deck-45]").expect("its screw");
    let lengths = yard[start..].find("lengths = [").map(|at| start + at).expect("its lengths");
    let end = yard[lengths..].find(']').map(|at| lengths + at + 1).expect("their end");
    let old = &yard[lengths..end];
    let with = |length: u32| texts.clone().with("yard", old, &format!("lengths = [{{ length = {length} }}]")).asked();
    let short = with(20);
    let about = "the places for the screws of left";
    let answer = short.about(SCREWS, about);
    assert_eq!(answer.verdict, Verdict::Fails);
    let change = answer.change.as_deref().expect("a change");
    let length = change.strip_prefix("a length of ").and_then(|rest| rest.split(' ').next()).expect("a length");
    let put_in = with(length.parse().expect("whole millimetres"));
    assert_eq!(put_in.about(SCREWS, about).verdict, Verdict::Holds, "{change}");
    assert_eq!(put_in.number("fit.left.open"), 0);
}
