//! *Can you carry it?* What is asked beside parts and pieces: whole sheets and bags, and what a filled piece weighs wet.

use super::Of;
use crate::solid::Solid;
use crate::texts::{Material, Sold};
use crate::whys::Book;
use std::collections::BTreeSet;

/// A lift off the ground, in mm, degrees and thousandths (common practice).
const OFF_THE_GROUND: [i128; 6] = [300, 200, 600, 0, 1000, 950];
/// The boxes of leaning parts are told to the nanometre, and here in floats: so much of an area in square millimetres.
const AREA_SLACK: i128 = 2;

/// What must be asked about, and by which number.
pub(crate) fn demanded(of: &Of<'_>) -> Vec<(String, String)> {
    let sheets =
        sheets(of).into_iter().map(|name| (format!("a whole sheet of `{name}`"), format!("carry.sheet.{name}")));
    let bags = bags(of).into_iter().map(|name| (format!("a bag of `{name}`"), format!("carry.bag.{name}")));
    sheets.chain(bags).collect()
}

/// The sheets that are used and can be weighed.
fn sheets<'r>(of: &Of<'r>) -> BTreeSet<&'r str> {
    let used = of.record.parts.iter().filter(|part| part.kind == "sheet").map(|part| part.stock.as_str());
    let known = |name: &&str| {
        let sheet = of.papers.sheet(name);
        sheet.is_some_and(|sheet| sheet.material != Material::Unknown && sheet.sizes.iter().any(|size| !size.shed))
    };
    used.filter(known).collect()
}

/// The bags that are filled in and whose mass the yard tells, dry or wet.
fn bags<'r>(of: &Of<'r>) -> BTreeSet<&'r str> {
    let used = of.record.needs.iter().filter(|need| need.kind == "bag").map(|need| need.stock.as_str());
    let known = |name: &&str| {
        let bag = of.papers.bag(name);
        bag.is_some_and(|bag| bag.wet_density.is_some() || bag.masses.iter().any(Option::is_some))
    };
    used.filter(known).collect()
}

/// Takes up their numbers.
pub(super) fn expect(of: &Of<'_>, book: &mut Book<'_, '_>) {
    sheets(of).into_iter().for_each(|name| sheet(name, of, book));
    bags(of).into_iter().for_each(|name| bag(name, of, book));
    book.expect("carry.suits", "lifting-equation", "mg", OFF_THE_GROUND.into());
    for piece in of.asked.pieces.iter().filter(|piece| piece.is == "fill") {
        if let Some(host) = piece.around {
            full(&piece.name, &of.asked.pieces[host].name, of, book);
        }
    }
}

fn sheet(name: &str, of: &Of<'_>, book: &mut Book<'_, '_>) {
    let Some(sheet) = of.papers.sheet(name) else { return };
    let number = format!("carry.sheet.{name}");
    let claimed = book.claimed(&number).map(|known| known.1).unwrap_or_default();
    let density = match (&sheet.material, claimed.last()) {
        (Material::Stated(density), _) => i128::from(*density),
        // The handbook's figure travels with the record.
        (_, Some(claimed)) => *claimed,
        (_, None) => 0,
    };
    let area = |size: &Sold| i128::from(size.length) * i128::from(size.width);
    let on_sale: Vec<&Sold> = sheet.sizes.iter().filter(|size| !size.shed).collect();
    let most = on_sale.iter().map(|size| area(size)).max();
    let inputs = |size: &Sold| vec![size.length.into(), size.width.into(), sheet.thickness.into(), density];
    let largest: Vec<Vec<i128>> =
        on_sale.iter().filter(|size| Some(area(size)) == most).map(|size| inputs(size)).collect();
    let own = largest.iter().find(|inputs| **inputs == claimed).or(largest.first()).cloned();
    book.expect(&number, "mass", "mg", own.unwrap_or_default());
}

fn bag(name: &str, of: &Of<'_>, book: &mut Book<'_, '_>) {
    let Some(bag) = of.papers.bag(name) else { return };
    let number = format!("carry.bag.{name}");
    match (bag.masses.iter().copied().flatten().max(), bag.wet_density) {
        (Some(mass), _) => book.expect(&number, "stated-mass", "mg", vec![mass.into()]),
        (None, wet) => {
            let bulk = bag.sizes.iter().map(|size| size.holds).max().unwrap_or_default();
            book.expect(&number, "mass-of-volume", "mg", vec![bulk, wet.unwrap_or_default().into()])
        }
    };
}

/// What a filled piece weighs wet, with all that is fixed to it, and what it presses on the box that it stands over.
fn full(fill: &str, host: &str, of: &Of<'_>, book: &mut Book<'_, '_>) {
    let value =
        |name: &str| of.record.quantities.iter().find(|quantity| quantity.name == name).map(|known| known.value);
    let layers = (1..).map_while(|layer| {
        value(&format!("{fill}.layer-{layer}.volume"))?;
        Some(value(&format!("{fill}.layer-{layer}.wet")))
    });
    let wet: Vec<i64> = layers.flatten().collect();
    let Some(empty) = value(&format!("{host}.lifted")).filter(|_| !wet.is_empty()) else { return };
    let inputs: Vec<i128> = [empty].into_iter().chain(wet).flat_map(|mass| [1, mass.into()]).collect();
    let whole = book.expect(&format!("carry.{host}.full"), "sum-of-masses", "mg", inputs).map_or(0, |own| own.value);
    let solids = of.record.parts.iter().filter(|part| part.piece == host).filter_map(Solid::of);
    let bounds = solids.map(|solid| solid.bounds());
    let [near, far] = bounds.fold([[f64::MAX; 2], [f64::MIN; 2]], |[near, far], [low, high]| {
        [[0, 1].map(|axis| near[axis].min(low[axis])), [0, 1].map(|axis| far[axis].max(high[axis]))]
    });
    let area = ((far[0] - near[0]) * (far[1] - near[1])).floor() as i128;
    book.expect_near(&format!("carry.{host}.on-floor"), "on-floor", "Pa", &[whole.into(), area], AREA_SLACK);
}
