use super::*;

fn verdict(value: Length, limit: Length) -> Verdict {
    Verdict::of(value.nanometres(), limit.nanometres())
}

/// Pierce County, after IRC R312.1.1 (read): a deck 30 in above grade needs no guard, a higher one does; 762 mm are 30 in.
#[test]
fn decks_on_both_sides_of_thirty_inches() {
    let guard = guards::guards_of("na").expect("a region");
    assert_eq!(verdict(Length::mm(762), guard.from), Verdict::Tight);
    assert_eq!(verdict(Length::mm(763), guard.from), Verdict::Fails);
    // A platform bench whose top is 456 above its lowest pad, worked outside this project, is tight in none of the regions but eu.
    let bench =
        ["eu", "na", "anz"].map(|region| verdict(Length::mm(456), guards::guards_of(region).expect("a region").from));
    assert_eq!(bench, [Verdict::Holds, Verdict::Holds, Verdict::Holds]);
}

/// ICPI, Construction Tolerances (read): a lip of up to 3 mm where people walk.
#[test]
fn lips_on_both_sides_of_three_millimetres() {
    let limit = guards::LIP.length;
    let all = [0, 2, 3, 4].map(|mm| verdict(Length::mm(mm), limit));
    assert_eq!(all, [Verdict::Holds, Verdict::Holds, Verdict::Tight, Verdict::Fails]);
}
