use super::*;

/// EN 460 by the use classes of EN 335 (from memory) with the classes of EN 350 that were read: spruce (4) is not enough anywhere,
/// larch (3-4) just above it, cedar (2, 3) well above it and not in it, and robinia (1-2) just in it.
#[test]
fn species_on_each_side_of_their_limit() {
    let verdict = |name: &str, zone: Zone| {
        let species = durability::of(name).expect("a species");
        Verdict::of(worst(species, zone), use_of(zone).poorest)
    };
    assert_eq!(verdict("spruce", Zone::Above), Verdict::Fails);
    assert_eq!((verdict("larch", Zone::Above), verdict("larch", Zone::Near)), (Verdict::Tight, Verdict::Tight));
    assert_eq!(verdict("larch", Zone::Soil), Verdict::Fails);
    assert_eq!(
        (verdict("western-red-cedar", Zone::Near), verdict("western-red-cedar", Zone::Soil)),
        (Verdict::Holds, Verdict::Fails)
    );
    assert_eq!((verdict("robinia", Zone::Near), verdict("robinia", Zone::Soil)), (Verdict::Holds, Verdict::Tight));
}

/// Nearer the ground nothing does better, and no species has a better class where it is wetter.
#[test]
fn wetter_is_never_better() {
    for species in &durability::SPECIES {
        let all =
            [Zone::Above, Zone::Near, Zone::Soil].map(|zone| 10 * worst(species, zone) - 10 * use_of(zone).poorest);
        assert!(all.windows(2).all(|pair| pair[0] <= pair[1]), "{}", species.name);
    }
}

/// A panel of 1000 × 500 with holes of 20 every 150: 7 × 4 of them are 28 × 314 mm², 1.76 % of it, by hand.
#[test]
fn holes_are_counted_like_the_floor_does() {
    let share = open(Length::mm(1000), Length::mm(500), Length::mm(150));
    assert!((share - 176).abs() <= 1, "{share}");
    let shares: Vec<i64> = (4..60).map(|tens| open(Length::mm(1000), Length::mm(500), Length::mm(10 * tens))).collect();
    assert!(shares.windows(2).all(|pair| pair[0] >= pair[1]));
}
