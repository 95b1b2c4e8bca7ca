//! The referee's own formulas, one for each rule, written from the page of rules.

use crate::buying::with_spare;
use crate::fitting::up;
use crate::packs::{Bought, cheapest, cost};
use crate::texts::Pack;

/// The referee's own formulas, by the id of the rule: the value of some inputs; `None` if they give none.
pub(crate) fn formula(rule: &str, x: &[i128]) -> Option<i128> {
    let milli = 10_i128.pow(21);
    match (rule, x) {
        ("fitted", [wish, moved]) => wish.checked_add(*moved),
        ("gap", [row, members, member, gaps]) if *gaps > 0 => {
            Some(row.checked_sub(members.checked_mul(*member)?)?.div_euclid(*gaps))
        }
        ("pattern-gap", [row, members, gaps]) if *gaps > 0 => Some(row.checked_sub(*members)?.div_euclid(*gaps)),
        ("row-length", [side, start, finish]) => side.checked_add(*start)?.checked_add(*finish),
        ("upright", [top, bottom, raised]) => top.checked_sub(*bottom)?.checked_sub(*raised),
        ("slack", [stock, trim, parts, cuts, kerf]) => {
            stock.checked_sub(*trim)?.checked_sub(*parts)?.checked_sub(cuts.checked_mul(*kerf)?)
        }
        ("breaks-at", [stock, trim, parts, cuts]) if *cuts > 0 => {
            Some(stock.checked_sub(*trim)?.checked_sub(*parts)?.div_euclid(*cuts))
        }
        ("reserve", [per_cut, cuts, per_board]) => per_cut.checked_mul(*cuts)?.checked_add(*per_board),
        ("rest", [stock, off, sum, parts, kerf]) => {
            let taken = sum.checked_add(parts.checked_mul(*kerf)?)?.checked_add(*off)?;
            Some(stock.checked_sub(taken)?.max(0))
        }
        ("tally", counts) => counts.iter().try_fold(0_i128, |sum, count| sum.checked_add(*count)),
        ("spares", [laid, spare]) if *laid >= 0 && (0..=10_000).contains(spare) => {
            Some(with_spare(*laid, i64::try_from(*spare).ok()?))
        }
        ("amount", [count, price]) => count.checked_mul(*price),
        ("total", amounts) => amounts.iter().try_fold(0_i128, |sum, amount| sum.checked_add(*amount)),
        // A cubic nanometre at a kilogram for the cubic metre is 10⁻²¹ mg; the nearest milligram is taken.
        ("mass", [length, width, thickness, density]) => {
            let product = length.checked_mul(*width)?.checked_mul(*thickness)?.checked_mul(*density)?;
            Some(product.checked_mul(2)?.checked_add(milli)?.div_euclid(2 * milli))
        }
        ("stated-mass" | "by-the-book" | "as-placed", [value]) => Some(*value),
        ("lifting-equation", [out, begins, travels, turns, frequency, grip]) => {
            suits([*out, *begins, *travels, *turns], [*frequency, *grip])
        }
        // Standard gravity, 9.80665 m/s², on square millimetres.
        ("on-floor", [mass, area]) if *area > 0 => {
            Some(mass.checked_mul(980_665)?.div_euclid(area.checked_mul(100_000)?))
        }
        ("moisture-at-rest", [tenths, humidity]) => at_rest(*tenths, *humidity),
        // A hundred-thousandth for each percent, of hundredths of a percent; up to a nanometre.
        ("moves", [width, c, damp, dry]) => {
            Some(up(width.checked_mul(*c)?.checked_mul(damp.checked_sub(*dry)?)?, 10_000_000))
        }
        ("opens", [gap, moves]) => gap.checked_add(*moves),
        ("screw-open", [from, less]) | ("screw-grip", [from, less]) => from.checked_sub(*less),
        ("screw-grip-least", [diameter, times]) => diameter.checked_mul(*times),
        ("screw-left", [way, length, sunk]) => way.checked_sub(length.checked_add(*sunk)?),
        ("screw-end-least", [diameter, times, rule]) => Some(diameter.checked_mul(*times)?.max(*rule)),
        ("sum-of-masses" | "load" | "minutes" | "yard-cuts", pairs) if pairs.len() % 2 == 0 => {
            pairs.chunks(2).try_fold(0_i128, |sum, pair| sum.checked_add(pair[0].checked_mul(pair[1])?))
        }
        // A cubic millimetre at a kilogram for the cubic metre is a thousandth of a milligram.
        ("mass-of-volume", [volume, density]) => Some(volume.checked_mul(*density)?.checked_add(500)?.div_euclid(1000)),
        ("price-by-measure", sides) => crate::texts::by_measure(sides),
        ("packs", [needed, offers @ ..]) if offers.len() % 3 == 0 => {
            let packs = offered(offers)?;
            match cheapest(*needed, &packs) {
                Bought::Packs(counts) => cost(&counts, &packs),
                _ => None,
            }
        }
        ("surface", areas) => areas.iter().try_fold(0_i128, |sum, area| sum.checked_add(*area)),
        ("brushed", [area, first, coats, later]) if *first > 0 && *later > 0 && *coats > 0 => {
            let coats = later.checked_add(first.checked_mul(coats - 1)?)?;
            Some(up(area.checked_mul(coats)?.checked_mul(1000)?, first.checked_mul(*later)?))
        }
        ("taken", [needed, left]) => Some(*left.min(needed)),
        ("less-left", [needed, taken @ ..]) => taken.iter().try_fold(*needed, |rest, taken| rest.checked_sub(*taken)),
        ("yard-fee", [cuts, free, price]) => cuts.checked_sub(*free)?.max(0).checked_mul(*price),
        ("tax", [goods, share]) => nearest(goods.checked_mul(*share)?, WHOLE),
        ("delivery", [_, price]) => Some(*price),
        ("delivery", [goods, price, free]) => Some(if goods < free { *price } else { 0 }),
        ("longest", [first, rest @ ..]) => Some(rest.iter().fold(*first, |longest, side| longest.max(*side))),
        ("trips", [mass, load]) if *load > 0 => Some(up(*mass, *load).max(1)),
        ("whole-packs", [used, each]) if *each > 0 => Some(used.checked_add(each - 1)?.div_euclid(*each)),
        ("as-needed", [reach, spacing]) if *spacing > 0 => {
            Some(reach.checked_add(spacing - 1)?.div_euclid(*spacing).max(1))
        }
        ("pitch", [reach, bays]) if *bays > 0 => Some(reach.div_euclid(*bays)),
        ("between-ends", [whole, off]) => whole.checked_sub(off.checked_mul(2)?),
        ("post-length", [top, below, begin]) => top.checked_sub(*below)?.checked_sub(*begin),
        ("rail-length", [pitch, post]) => pitch.checked_sub(*post),
        ("post-bevel", [turn]) => turn.checked_sub(90_000_000).map(i128::abs),
        ("drain-holes", [along, back]) => along.checked_mul(*back),
        ("drain-holes-inside", [along, back, left_out]) => along.checked_mul(*back)?.checked_sub(*left_out),
        ("slat", [end, begin]) => end.checked_sub(*begin),
        ("reach", [side, times, over]) if *over > 0 => {
            nearest(side.checked_mul(*times)?.checked_mul(2)?, over.checked_mul(2)?)
        }
        ("first-hole", [panel, holes]) if *holes > 0 => Some(panel.div_euclid(holes.checked_mul(2)?)),
        // Holes of π d² / 4 each, in hundredths of a percent of the panel, π to the millionth.
        ("drain-share", [holes, across, length, width]) if *length > 0 && *width > 0 => {
            let circles = holes.checked_mul(*across)?.checked_mul(*across)?.checked_mul(3_141_593 * 10_000)?;
            Some(circles.div_euclid(length.checked_mul(*width)?.checked_mul(4_000_000)?))
        }
        // The same of an area in square millimetres.
        ("drain-share-of-area", [holes, across, area]) if *area > 0 => {
            let circles = holes.checked_mul(*across)?.checked_mul(*across)?.checked_mul(3_141_593 * 10_000)?;
            Some(circles.div_euclid(area.checked_mul(4 * 10_i128.pow(18))?))
        }
        ("room", [length, width, depth]) => nearest(length.checked_mul(*width)?.checked_mul(*depth)?, CUBIC),
        ("room-of-corners", [depth, places @ ..]) if places.len() >= 6 && places.len() % 2 == 0 => {
            nearest(twice_the_area(places)?.checked_mul(*depth)?, 2 * CUBIC)
        }
        // The prismoidal formula: areas in square millimetres, the depth in nanometres.
        ("room-of-areas", [depth, below, middle, above]) => {
            nearest(depth.checked_mul(below.checked_add(middle.checked_mul(4)?)?.checked_add(*above)?)?, 6_000_000)
        }
        ("fill", [room, parts @ ..]) => parts.iter().try_fold(*room, |left, part| left.checked_sub(*part)),
        ("settling", [fill, settles]) => crate::asked::ordered(*fill, *settles),
        ("wet-mass", [fill, density]) => nearest(fill.checked_mul(*density)?, 1_000),
        ("liner", [inside, height, fold]) => {
            inside.checked_add(height.checked_mul(2)?)?.checked_add(fold.checked_mul(2)?)
        }
        ("off-roll", [length, width, roll, lap]) if roll > lap => {
            let small = [length, width, roll, lap].iter().all(|length| length.abs() < 1 << 60);
            small.then(|| crate::asked::off_roll([*length, *width], *roll, *lap))
        }
        // The grip in tenths of what is held, and what end grain wants more.
        ("screw-least", [held, tenths, more]) => {
            held.checked_add(held.checked_mul(*tenths)?.checked_add(9)?.div_euclid(10))?.checked_add(*more)
        }
        ("screw-least-from-below", [held, base]) => held.checked_add(base.checked_add(1)?.div_euclid(2)),
        ("screw-most", [held, base, short]) => held.checked_add(*base)?.checked_sub(*short),
        ("screw-pilot", [diameter, above, below, bits]) if *below > 0 && *bits > 0 => {
            nearest(diameter.checked_mul(*above)?, below.checked_mul(*bits)?)?.checked_mul(*bits)
        }
        ("screw-clearance", [diameter, bits]) if *bits > 0 => {
            diameter.div_euclid(*bits).checked_add(1)?.checked_mul(*bits)
        }
        ("screw-countersink" | "screw-distance", [diameter, times]) => diameter.checked_mul(*times),
        ("screw-cladding-end", [rule, edge]) => Some(*rule.max(edge)),
        ("screw-slot", [clearance, distance, parts, change, bits]) if *bits > 0 => {
            // In hundred-thousandths of a nanometre, up to whole bits.
            let whole = distance.checked_mul(*parts)?.checked_mul(*change)?;
            let whole = clearance.checked_mul(100_000)?.checked_add(whole)?;
            let bit = bits.checked_mul(100_000)?;
            bits.checked_mul(whole.div_euclid(bit).checked_add(i128::from(whole.rem_euclid(bit) != 0))?)
        }
        ("screw-apart", [diameter, wander]) => diameter.checked_mul(2)?.checked_add(*wander),
        ("screws", pairs) if pairs.len() % 2 == 0 => {
            pairs.chunks(2).try_fold(0_i128, |sum, pair| sum.checked_add(pair[0].checked_mul(pair[1])?))
        }
        ("clear", [right, left, length]) => right.checked_sub(*left)?.checked_sub(*length),
        ("leg", [upper, ground, pad]) => upper.checked_sub(*ground)?.checked_sub(*pad),
        ("bolts", [legs]) => legs.checked_mul(2),
        ("fittings", [parts, each]) => parts.checked_mul(*each),
        ("all-round", [standing, showing]) => standing.checked_add(showing.checked_mul(2)?),
        ("field", [in_a_row, rows]) => in_a_row.checked_mul(*rows),
        // A share in hundredths of a percent, up to the next whole step.
        ("buried", [shows, share, step, least]) if *step > 0 => {
            let steps = up(shows.checked_mul(*share)?, step.checked_mul(WHOLE)?);
            Some(steps.checked_mul(*step)?.max(*least))
        }
        ("post", [top, ground, buried]) => top.checked_sub(*ground)?.checked_add(*buried),
        ("hole", [buried, gravel]) => buried.checked_add(*gravel),
        ("rail", [to, from]) => to.checked_sub(*from),
        // A round hole less the post over what is buried, π being 355/113, with the waste; up to the next cubic millimetre.
        ("concrete", [hole, width, thickness, buried, waste]) => {
            let round = hole.checked_mul(*hole)?.checked_mul(355)?;
            let net = round.checked_sub(width.checked_mul(*thickness)?.checked_mul(452)?)?.checked_mul(*buried)?;
            Some(up(net.checked_mul(WHOLE.checked_add(*waste)?)?, CUBIC.checked_mul(452 * WHOLE)?))
        }
        ("team-lift", [one, people, share]) => Some(one.checked_mul(*people)?.checked_mul(*share)?.div_euclid(1000)),
        _ => None,
    }
}

/// The rules that the referee knows.
pub(super) const KNOWN: &[&str] = &[
    "fitted",
    "gap",
    "pattern-gap",
    "row-length",
    "upright",
    "slack",
    "breaks-at",
    "reserve",
    "rest",
    "tally",
    "minutes",
    "yard-cuts",
    "yard-fee",
    "spares",
    "amount",
    "total",
    "mass",
    "stated-mass",
    "sum-of-masses",
    "load",
    "mass-of-volume",
    "whole-packs",
    "price-by-measure",
    "packs",
    "taken",
    "surface",
    "brushed",
    "less-left",
    "tax",
    "delivery",
    "longest",
    "trips",
    "team-lift",
    "as-needed",
    "pitch",
    "between-ends",
    "post-length",
    "rail-length",
    "post-bevel",
    "drain-holes",
    "first-hole",
    "drain-share",
    "drain-holes-inside",
    "drain-share-of-area",
    "slat",
    "reach",
    "room",
    "room-of-corners",
    "room-of-areas",
    "fill",
    "settling",
    "wet-mass",
    "liner",
    "off-roll",
    "screw-least",
    "screw-least-from-below",
    "screw-most",
    "screw-pilot",
    "screw-clearance",
    "screw-countersink",
    "screw-distance",
    "screw-cladding-end",
    "screw-apart",
    "screw-slot",
    "screws",
    "clear",
    "leg",
    "bolts",
    "fittings",
    "all-round",
    "field",
    "buried",
    "post",
    "hole",
    "rail",
    "concrete",
    "by-the-book",
    "as-placed",
    "lifting-equation",
    "on-floor",
    "moisture-at-rest",
    "moves",
    "opens",
    "screw-open",
    "screw-grip",
    "screw-grip-least",
    "screw-left",
    "screw-end-least",
];

/// The packs that a number names: what each holds, its price, and how many there are at most.
fn offered(offers: &[i128]) -> Option<Vec<Pack>> {
    let small = |value: i128| i64::try_from(value).ok();
    let pack =
        |offer: &[i128]| Some(Pack { holds: offer[0], price: Some(small(offer[1])?), stock: Some(small(offer[2])?) });
    offers.chunks(3).map(pack).collect()
}

/// Whether there are more choices of packs than the referee tries.
pub(super) fn too_many_packs(inputs: &[i128]) -> bool {
    let Some((needed, offers)) = inputs.split_first().filter(|(_, offers)| offers.len() % 3 == 0) else { return false };
    offered(offers).is_some_and(|packs| cheapest(*needed, &packs) == Bought::Unknown)
}

/// Cubic nanometres in a cubic millimetre.
const CUBIC: i128 = 10_i128.pow(18);

/// All of it, in hundredths of a percent.
const WHOLE: i128 = 10_000;

/// The lifting equation of NIOSH, DHHS 94-110, in milligrams, from millimetres, degrees and thousandths.
fn suits(lift: [i128; 4], shares: [i128; 2]) -> Option<i128> {
    let [out, begins, travels, turns] = lift.map(|value| value as f64);
    if lift.iter().chain(&shares).any(|value| !(0..=10_000).contains(value)) {
        return None;
    }
    if out > 630.0 || begins > 1750.0 || turns > 135.0 {
        return Some(0);
    }
    let [frequency, grip] = shares.map(|share| share as f64 / 1000.0);
    let travelled = (0.82 + 45.0 / travels.max(250.0)).min(1.0);
    let high = 1.0 - 0.003 * (begins / 10.0 - 75.0).abs();
    let kilograms = 23.0 * (250.0 / out.max(250.0)) * high * travelled * (1.0 - 0.0032 * turns) * frequency * grip;
    Some((kilograms * 1e6).round() as i128)
}

/// The moisture at which wood comes to rest, in hundredths of a percent: Simpson, FPL-RN-0268 (1998), from tenths of a degree
/// Celsius and percent of relative humidity.
fn at_rest(tenths: i128, humidity: i128) -> Option<i128> {
    let (t, h) = (f64::from(i16::try_from(tenths).ok()?) / 10.0, f64::from(i8::try_from(humidity).ok()?) / 100.0);
    let by = |[a, b, c]: [f64; 3]| a + t * (b + t * c);
    let w = by([349.0, 1.29, 0.0135]);
    let k = h * by([0.805, 0.000736, -0.00000273]);
    let (k1, k2) = (by([6.27, -0.00938, -0.000303]), by([1.91, 0.0407, -0.000293]));
    let (one, two) = (k1 * k, k1 * k2 * k * k);
    let percent = 1800.0 / w * (k / (1.0 - k) + (one + 2.0 * two) / (1.0 + one + two));
    percent.is_finite().then(|| (percent * 100.0).round() as i128)
}

/// To the nearest whole number, halves up, of a fraction whose denominator is above nothing.
fn nearest(numerator: i128, denominator: i128) -> Option<i128> {
    Some(numerator.checked_add(denominator / 2)?.div_euclid(denominator))
}

/// Twice the area of a polygon by the x and y of its corners, told from its first one.
fn twice_the_area(places: &[i128]) -> Option<i128> {
    let corners: Vec<&[i128]> = places.chunks(2).collect();
    let from_first = |corner: &[i128], axis: usize| corner[axis].checked_sub(places[axis]);
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).try_fold(0_i128, |sum, (a, b)| {
        let one = from_first(a, 0)?.checked_mul(from_first(b, 1)?)?;
        sum.checked_add(one.checked_sub(from_first(b, 0)?.checked_mul(from_first(a, 1)?)?)?)
    })
}

#[cfg(test)]
mod tests {
    use super::formula;

    /// Worked by hand: a trough's end board, eight posts of 446 on a 3600, a deck board of 2400 × 145 × 21 at 1000 kg/m³.
    #[test]
    fn formulas_give_what_was_worked_by_hand() {
        let mm = 1_000_000;
        assert_eq!(formula("row-length", &[520, -20, -20]), Some(480));
        assert_eq!(formula("slack", &[3600, 10, 3568, 7, 3]), Some(1));
        assert_eq!(formula("breaks-at", &[3600 * mm, 10 * mm, 3568 * mm, 7]), Some(3_142_857));
        // Four of 445 off a 3600 squared by 5, kerf 3; a last part that needs no cut leaves nothing.
        assert_eq!(formula("rest", &[3600, 5, 1780, 4, 3]), Some(1803));
        assert_eq!(formula("rest", &[3600, 0, 3600, 1, 3]), Some(0));
        assert_eq!(formula("tally", &[8, 8, 8]), Some(24));
        assert_eq!(formula("mass", &[2400 * mm, 145 * mm, 21 * mm, 1000]), Some(7_308_000));
        assert_eq!(formula("gap", &[1_174_750_000, 11, 88_900_000, 10]), Some(19_685_000));
        assert_eq!(formula("sum-of-masses", &[8, 7_308_000]), Some(58_464_000));
        assert_eq!(formula("load", &[3, 6_160_000, 4, 14_000_000]), Some(74_480_000));
        assert_eq!(formula("team-lift", &[25 * mm, 2, 666]), Some(33_300_000));
        // Two litres at 550 kg/m³ are 1.1 kg; 307.5 litres are seven bags of 50;
        // of a metre 915 mm are members and ten gaps share 85.
        assert_eq!(formula("mass-of-volume", &[2_000_000, 550]), Some(1_100_000));
        assert_eq!(formula("whole-packs", &[307_500_000, 50_000_000]), Some(7));
        assert_eq!(formula("pattern-gap", &[1_000 * mm, 915 * mm, 10]), Some(8_500_000));
        assert_eq!(formula("stated-mass", &[2_600_000]), Some(2_600_000));
        assert_eq!(formula("stated-mass", &[1, 2_600_000]), None);
        assert_eq!(formula("mass", &[i128::MAX, 2, 2, 2]), None);
        assert_eq!(formula("unheard of", &[1]), None);
    }

    /// By hand: a hexagon of 776.906 is √3 times that across its flats, 1345.641; a slat from 3 to 597 is 594; 5 × 5 holes less 4 at
    /// the corners are 21, and 21 of 20 take 6597 of 780 000 mm², 0.84 %.
    #[test]
    fn formulas_of_floors_cut_to_an_outline() {
        let reach = formula("reach", &[776_906_000, 13_775, 7_953]).expect("a length");
        assert!((reach - 1_345_640_664).abs() < 100, "{reach}");
        assert_eq!(formula("reach", &[1, 2, 0]), None);
        assert_eq!(formula("slat", &[597, 3]), Some(594));
        assert_eq!(formula("drain-holes-inside", &[5, 5, 4]), Some(21));
        assert_eq!(formula("drain-share-of-area", &[21, 20_000_000, 780_000]), Some(84));
    }

    /// Worked outside this project. A slatted bin screen: posts of 3-1/2 inches by 24, 25, 26 and 26 in holes of 10 take 3.875 ft³
    /// of concrete, 4.262 with a tenth more; a cubic foot is 28 316 846.592 mm³ (international yard and pound agreement, 1959).
    /// A seat between two planters: 2498 over both leave 1544, showing 69 makes 2636, 13 by 6 pavers are 78. A platform bench: a
    /// leg under a frame 284 up on a pad of 50 over ground 56 lower is 290 long, and six legs take 12 bolts.
    #[test]
    fn formulas_of_seats_decks_and_screens() {
        let (mm, inch) = (1_000_000, 25_400_000);
        let buried = (24 + 25 + 26 + 26) * inch;
        let feet = |waste: i128| {
            let volume =
                formula("concrete", &[10 * inch, 7 * inch / 2, 7 * inch / 2, buried, waste]).expect("a volume");
            (volume as f64 / 28_316_846.592 * 1000.0).round() / 1000.0
        };
        assert_eq!((feet(0), feet(1000)), (3.875, 4.262));
        assert_eq!(formula("buried", &[197 * inch / 4, 5000, inch, 18 * inch]), Some(25 * inch));
        assert_eq!(formula("buried", &[30 * inch, 5000, inch, 18 * inch]), Some(18 * inch));
        assert_eq!(formula("buried", &[1, 1, 0, 1]), None);
        assert_eq!(formula("post", &[48 * inch, -3 * inch, 26 * inch]), Some(77 * inch));
        assert_eq!(formula("hole", &[26 * inch, 4 * inch]), Some(30 * inch));
        assert_eq!(formula("clear", &[2_021 * mm, 0, 477 * mm]), Some(1_544 * mm));
        assert_eq!(formula("all-round", &[2_498 * mm, 69 * mm]), Some(2_636 * mm));
        assert_eq!(formula("field", &[13, 6]), Some(78));
        assert_eq!(formula("leg", &[284 * mm, -56 * mm, 50 * mm]), Some(290 * mm));
        assert_eq!(formula("bolts", &[6]), Some(12));
        assert_eq!(formula("rail", &[465 * mm, 70 * mm]), Some(395 * mm));
    }
}
