//! What is sold in packs: units, screws by the box, bags, tins.

use super::{hold_distinct, label};
use crate::plan::Named;
use crate::suggest::quote;
use crate::values::Reader;
use measure::{Density, Length, Mass};
use model::problem::Problem;
use model::schema::Values;
use model::stock::{Bag, Finish, Fitting, Metal, Pack, Screw, ScrewLength};

/// A thousandth of a litre, and a hundredth, in cubic millimetres.
const MILLILITRE: u64 = 1_000;
const CENTILITRE: u64 = 10_000;

/// How many screws are in a box if the yard does not say (*common practice*).
const USUAL_BOX: u32 = 100;

/// One by itself, if it is sold so, and the packs.
pub(super) fn unit_packs(reader: &mut Reader, values: &Values) -> Option<Vec<Pack>> {
    let listed = counted(reader, values, "packs")?;
    let alone = Pack { holds: 1, price: values.money("price"), stock: values.count("stock") };
    let sold_alone = listed.is_empty() || alone.price.is_some();
    if sold_alone && listed.iter().any(|pack| pack.holds == 1) {
        let problem = Problem::new("`packs` has a pack of one, and `price` is for one too")
            .expected("expected one price for one")
            .hint("leave out the one that is not so");
        reader.problems.push(problem.at(&values.place_of("packs")));
    }
    Some(sold_alone.then_some(alone).into_iter().chain(listed).collect())
}

/// The packs of a list with `count`, in the order of the text; none if it is left out.
fn counted(reader: &mut Reader, values: &Values, key: &str) -> Option<Vec<Pack>> {
    let Some(list) = values.list(key) else { return (!values.has(key)).then(Vec::new) };
    hold_distinct_packs(reader, &list, key, |entry| entry.count("count").map(u64::from));
    list.iter().map(|entry| pack(entry, entry.count("count").map(u64::from))).collect()
}

fn pack(entry: &Values, holds: Option<u64>) -> Option<Pack> {
    Some(Pack { holds: holds?, price: entry.money("price"), stock: entry.count("stock") })
}

/// Reports each size of pack that stands twice: two prices for one thing.
fn hold_distinct_packs(reader: &mut Reader, list: &[Values], key: &str, holds: impl Fn(&Values) -> Option<u64>) {
    for (at, entry) in list.iter().enumerate() {
        let Some(own) = holds(entry) else { continue };
        if list[..at].iter().any(|earlier| holds(earlier) == Some(own)) {
            let problem = Problem::new(format!("`{key}` has packs of one size twice"))
                .expected("expected each size once")
                .hint("keep the entry with the right price");
            reader.problems.push(problem.at(&entry.place));
        }
    }
}

/// Reports a key that stands beside the list that replaces it.
fn hold_instead(reader: &mut Reader, values: &Values, list: &str, keys: &[&str]) {
    for key in keys.iter().filter(|key| values.has(key) && values.has(list)) {
        let problem = Problem::new(format!("`{key}` stands beside `{list}`"))
            .expected("expected one of the two")
            .hint(format!("write it into an entry of `{list}`, or leave the list out"));
        reader.problems.push(problem.at(&values.place_of(key)));
    }
}

pub(super) fn screw(reader: &mut Reader, named: &Named<'_>, values: &Values) -> Option<Screw> {
    let list = values.list("lengths")?;
    hold_distinct(reader, &list, "lengths", |entry| entry.length("length").map(|length| (length, Length::ZERO)));
    let mut lengths = Vec::new();
    for entry in &list {
        hold_instead(reader, entry, "boxes", &["box", "price"]);
        let mut boxes = counted(reader, entry, "boxes")?;
        if boxes.is_empty() {
            let holds = entry.count("box").unwrap_or(USUAL_BOX).into();
            boxes.push(Pack { holds, price: entry.money("price"), stock: None });
        }
        lengths.push(ScrewLength { length: entry.length("length")?, boxes });
    }
    lengths.sort_by_key(|length| length.length);
    Some(Screw {
        name: named.name.to_owned(),
        label: label(named, values),
        diameter: values.length("diameter")?,
        metal: values.word("metal").and_then(Metal::of_word),
        lengths,
        place: named.place.clone(),
    })
}

pub(super) fn bag(reader: &mut Reader, named: &Named<'_>, values: &Values) -> Option<Bag> {
    hold_instead(reader, values, "sizes", &["litres", "price", "mass"]);
    let bag = |sizes: Vec<(Pack, Option<Mass>)>| Bag {
        name: named.name.to_owned(),
        label: label(named, values),
        sizes: sizes.iter().map(|size| size.0).collect(),
        masses: sizes.into_iter().map(|size| size.1).collect(),
        wet: values.density("wet-density"),
        place: named.place.clone(),
    };
    if let Some(litres) = values.count("litres") {
        let holds = u64::from(litres) * 1_000 * MILLILITRE;
        return Some(bag(vec![(Pack { holds, price: values.money("price"), stock: None }, values.mass("mass"))]));
    }
    let Some(list) = values.list("sizes") else {
        if !values.has("sizes") && !values.has("litres") && reader.problems.is_empty() {
            let problem = Problem::new(format!("the bag `{}` lacks the key `litres`", quote(named.name)))
                .expected("expected `litres` or `sizes` in here")
                .hint("`litres`: what a bag yields, as printed on it; `sizes`: bags of several sizes");
            reader.problems.push(problem.at(&values.place));
        }
        return None;
    };
    let loose = values.density("loose-density");
    let yields: Vec<Option<u64>> = list.iter().map(|entry| yielded(reader, entry, loose)).collect();
    let at = |entry: &Values| list.iter().position(|other| other == entry).and_then(|place| yields[place]);
    hold_distinct_packs(reader, &list, "sizes", at);
    let size = |(entry, holds): (&Values, &Option<u64>)| {
        Some((pack(entry, *holds)?, entry.mass("mass").or_else(|| entry.mass("kilograms"))))
    };
    list.iter().zip(&yields).map(size).collect::<Option<Vec<_>>>().map(bag)
}

/// What a bag of one size yields, in cubic millimetres. By mass it is a volume by the loose density, to the hundredth of a litre
/// below: a density is not known better.
fn yielded(reader: &mut Reader, entry: &Values, loose: Option<Density>) -> Option<u64> {
    const KEYS: [&str; 3] = ["litres", "yields", "kilograms"];
    let there: Vec<&str> = KEYS.into_iter().filter(|key| entry.has(key)).collect();
    let [key] = there.as_slice() else {
        let problem = Problem::new(match there.as_slice() {
            [] => "a bag does not say what it yields".to_owned(),
            [one, other, ..] => format!("a bag has both `{one}` and `{other}`"),
            [_] => return None,
        })
        .expected("expected one of `litres`, `yields`, `kilograms`")
        .hint("keep the one that is printed on it");
        reader.problems.push(problem.at(&entry.place));
        return None;
    };
    let litres = || entry.decimal(key).map(|thousandths| u64::from(thousandths) * MILLILITRE);
    let Some(mass) = entry.mass(key).filter(|_| *key == "kilograms") else { return litres() };
    let Some(loose) = loose else {
        let problem = Problem::new("a bag in `kilograms` has no volume")
            .expected("expected `loose-density` beside `sizes`")
            .hint("`loose-density`: what a cubic metre of it weighs as it comes out of the bag, in kg/m³");
        reader.problems.push(problem.at(&entry.place_of(key)));
        return None;
    };
    // A milligram at a kilogram for the cubic metre is a thousand cubic millimetres.
    let volume = u64::try_from(mass.value()).ok()?.checked_mul(1_000)? / u64::from(loose.value());
    Some((volume / CENTILITRE * CENTILITRE).max(CENTILITRE))
}

pub(super) fn fitting(reader: &mut Reader, named: &Named<'_>, values: &Values) -> Option<Fitting> {
    Some(Fitting {
        name: named.name.to_owned(),
        label: label(named, values),
        packs: unit_packs(reader, values)?,
        place: named.place.clone(),
    })
}

pub(super) fn finish(reader: &mut Reader, named: &Named<'_>, values: &Values) -> Option<Finish> {
    let list = values.list("tins")?;
    let holds = |entry: &Values| entry.decimal("litres").map(|thousandths| u64::from(thousandths) * MILLILITRE);
    hold_distinct_packs(reader, &list, "tins", holds);
    let first = values.decimal("first")?;
    Some(Finish {
        name: named.name.to_owned(),
        label: label(named, values),
        first,
        later: values.decimal("later").unwrap_or(first),
        tins: list.iter().map(|entry| pack(entry, holds(entry))).collect::<Option<Vec<Pack>>>()?,
        place: named.place.clone(),
    })
}
