//! A settled plan as JSON.

use crate::buy;
use scantling::{Done, Length, words};
use serde_json::{Map, Value, json};

/// Everything that the app shows of a settled plan.
pub(crate) fn settled(done: &Done) -> Value {
    let settled = &done.settled;
    let tape = settled.plan.tape;
    let finding = |finding: &scantling::Finding| json!({ "rule": finding.rule, "message": finding.message });
    let whys: Map<String, Value> = done.whys().into_iter().map(|(name, html)| (name, html.into())).collect();
    let picture = |(caption, svg): (String, String)| json!({ "caption": caption, "svg": svg });
    json!({
        "title": settled.plan.title,
        "line": words::one_line(settled),
        "proven": words::proven(settled),
        "currency": settled.plan.yard.currency,
        "unit": tape.unit_name(),
        "step": tape.step().nanometres(),
        "passed": done.verdict.passed(),
        "findings": done.verdict.findings.iter().map(finding).collect::<Vec<Value>>(),
        "open": settled.joints.unmade.len(),
        "sizes": sizes(done),
        "ways": (0..settled.ways.len()).map(|place| way(done, place)).collect::<Vec<Value>>(),
        "places": done.places().into_iter().map(place).collect::<Vec<Value>>(),
        "build_up": done.build_up().into_iter().map(picture).collect::<Vec<Value>>(),
        "body": done.body().map(|body| body.written()),
        "buy": buy::lines(done),
        "cards": done.cards(),
        "whys": whys,
    })
}

/// Each size with its notches on the rod.
fn sizes(done: &Done) -> Vec<Value> {
    let settled = &done.settled;
    let closing = &settled.ways[settled.chosen].closing;
    let size = |(at, size): (usize, &scantling::Size)| {
        let (tape, is) = (settled.plan.tape, closing.sizes[at]);
        let notch = |notch: &scantling::Notch| {
            json!({
                "from": notch.from,
                "to": notch.to,
                "best": notch.best,
                "shown": tape.show_exact(Length::nm(notch.best)),
                "price": notch.price.map(|price| price.total.to_string()),
                "chosen": notch.from <= is && is <= notch.to,
            })
        };
        let windows = settled.windows.iter().find(|windows| windows.size == at);
        let notches: Vec<Value> = windows.iter().flat_map(|windows| &windows.notches).map(notch).collect();
        json!({
            "name": size.name,
            "at": is,
            "shown": tape.show_exact(Length::nm(is)),
            "want": size.wish.want,
            "from": size.wish.from,
            "to": size.wish.to,
            "step": size.step,
            "notches": notches,
        })
    };
    settled.asked.problem.sizes.iter().enumerate().map(size).collect()
}

fn way(done: &Done, place: usize) -> Value {
    let settled = &done.settled;
    let way = &settled.ways[place];
    let names = settled.asked.problem.sizes.iter().map(|size| size.name.clone());
    let sizes: Map<String, Value> = names.zip(way.closing.sizes.iter().map(|&size| size.into())).collect();
    let price = way.price.ok().filter(|price| price.complete).map(|price| price.total.to_string());
    json!({
        "sizes": sizes,
        "shown": words::sizes(settled, &way.closing.sizes),
        "gaps": words::gaps(settled, &way.closing),
        "price": price,
        "because": words::because(settled, place),
        "chosen": place == settled.chosen,
    })
}

fn place(place: scantling::Place) -> Value {
    let section =
        |section: scantling::Section| json!({ "name": section.name, "title": section.title, "html": section.html });
    let sections: Vec<Value> = place.sections.into_iter().map(section).collect();
    json!({ "name": place.name, "title": place.title, "what": place.what, "sections": sections })
}
