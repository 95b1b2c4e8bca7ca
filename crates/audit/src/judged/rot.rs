//! *Will it rot?* The referee holds that every timber and every screw is asked about, that tags of the yard decide where there are any,
//! and that limits are those of the standards. The zone of a timber is judgement, and the class of a species the handbook's: both
//! are taken as they come, within what they can be.

use super::Of;
use crate::claims::Question;
use crate::whys::Book;
use std::collections::BTreeMap;

/// The question.
pub(crate) const ASKS: &str = "Will it rot?";

/// The poorest class of EN 350 that is enough in each zone (EN 460, from memory).
const ZONES: [(&str, i128); 3] = [("rot.above", 3), ("rot.near", 3), ("rot.soil", 2)];
/// The share of a filled floor that drains, in hundredths of a percent (common practice).
const DRAINS: i128 = 100;

/// What it must be asked about.
pub(crate) fn demanded(of: &Of<'_>) -> Vec<String> {
    let parts = of.record.parts.iter().filter(|part| part.kind != "unit");
    let mut about: Vec<String> = parts.map(|part| format!("the timber `{}`", part.stock)).collect();
    about.extend(of.record.joints.iter().map(|joint| format!("the screws `{}`", joint.screw)));
    about.sort();
    about.dedup();
    about
}

/// Takes up the numbers of its answers.
pub(super) fn expect(of: &Of<'_>, book: &mut Book<'_, '_>) {
    let mut limits: BTreeMap<&str, &Question> = BTreeMap::new();
    for answer in of.record.questions.iter().filter(|answer| answer.question == ASKS) {
        let (Some(value), Some(limit)) = (answer.value.as_deref(), answer.limit.as_deref()) else {
            hold_open(answer, of, book);
            continue;
        };
        if let Some(stock) = value.strip_prefix("rot.").and_then(|name| name.strip_suffix(".class")) {
            let classes: Vec<i128> = match tag(stock, of) {
                Some(tag) if tag > 0 => [1, 5].into(),
                _ => (1..=5).collect(),
            };
            book.expect_one_of(value, "by-the-book", "count", &classes);
            limits.insert(limit, answer);
        } else if let Some(screw) = value.strip_prefix("rot.").and_then(|name| name.strip_suffix(".asked")) {
            let metal = of.papers.screw(screw).and_then(|screw| screw.metal).unwrap_or(0);
            book.expect_one_of(value, "by-the-book", "count", &(least(screw, of)..=5).collect::<Vec<_>>());
            book.expect_one_of(limit, "by-the-book", "count", &[metal.into()]);
        } else if value == "rot.drains-least" {
            book.expect_one_of(value, "by-the-book", "hundredths of a percent", &[DRAINS]);
            if limit.starts_with("rot.") {
                book.expect_one_of(limit, "by-the-book", "hundredths of a percent", &[0]);
            }
        }
    }
    for name in limits.into_keys() {
        let poorest: Vec<i128> = ZONES.iter().filter(|zone| zone.0 == name).map(|zone| zone.1).collect();
        book.expect_one_of(name, "by-the-book", "count", &poorest);
    }
}

/// Nobody may say that they cannot tell where the yard has a tag.
fn hold_open(answer: &Question, of: &Of<'_>, book: &mut Book<'_, '_>) {
    let named = |before: &str| answer.about.strip_prefix(before).and_then(|rest| rest.strip_suffix('`'));
    let told = named("the timber `").is_some_and(|stock| tag(stock, of).is_some_and(|tag| tag > 0))
        || named("the screws `").and_then(|name| of.papers.screw(name)).is_some_and(|screw| screw.metal.is_some());
    book.hold(!told, || format!("the yard says what {} is made of, and the record cannot tell", answer.about));
}

/// What a stock was treated for.
fn tag(stock: &str, of: &Of<'_>) -> Option<i64> {
    let board = of.papers.board(stock).and_then(|board| board.treated);
    board.or_else(|| of.papers.sheet(stock).and_then(|sheet| sheet.treated))
}

/// The least that is asked of a screw: coated outdoors, hot-dip in treated wood.
fn least(screw: &str, of: &Of<'_>) -> i128 {
    let joined = of.record.joints.iter().filter(|joint| joint.screw == screw);
    let mut parts = joined.flat_map(|joint| [&joint.held, &joint.base]);
    let stock = |id: &str| of.record.parts.iter().find(|part| part.id == id).map(|part| part.stock.as_str());
    let treated = parts.any(|id| stock(id).and_then(|stock| tag(stock, of)).is_some_and(|tag| tag > 0));
    if treated { 3 } else { 2 }
}
