//! The drag lane and the whole flow on the example builds.

use crate::{builds, median_and_p95};
use advise::Effort;
use drawing::Paper;
use measure::Length;
use model::plan::Plan;
use model::schema::{Kind, Value, WishOf};
use std::hint::black_box;
use std::time::Instant;

/// How many places of the finger are timed for each example.
const PLACES: i64 = 200;

/// The drag lane: the wish of one size moves along its range, and each time the plan is fitted, detailed and drawn.
pub fn run() -> Result<(), String> {
    for example in builds::all()? {
        let (plan, _) =
            scantling::read_plan(&example.plan, &example).map_err(|_| format!("{} is refused", example.name))?;
        let times: Vec<f64> = (0..PLACES).map(|place| drag(&dragged(&plan, place))).collect();
        let (median, p95) = median_and_p95(times);
        println!("{{\"build\": \"{}\", \"median_ms\": {median:.3}, \"p95_ms\": {p95:.3}}}", example.name);
    }
    Ok(())
}

/// The plan with its first size wished elsewhere in its range.
fn dragged(plan: &Plan, place: i64) -> Plan {
    let mut plan = plan.clone();
    let step = plan.tape.step();
    'pieces: for piece in &mut plan.pieces {
        for field in piece.schema.fields {
            if let (Kind::Wish { of: WishOf::Size, .. }, Some(mut wish)) = (&field.kind, piece.values.wish(field.key)) {
                let span = (wish.to - wish.from).nanometres();
                wish.want = (wish.from + Length::nm(span / PLACES * place)).round_to(step);
                let at = piece.values.place_of(field.key);
                piece.values.insert(field.key, Value::Wish(wish), at);
                break 'pieces;
            }
        }
    }
    plan
}

fn drag(plan: &Plan) -> f64 {
    let start = Instant::now();
    if let Ok(dragged) = advise::drag(plan, &Effort::dragging(), &|| false) {
        black_box(drawing::plan(&dragged.build, plan.tape, Paper::Page));
        black_box(drawing::front(&dragged.build, plan.tape, Paper::Page));
    }
    start.elapsed().as_secs_f64() * 1e3
}

/// The whole flow, text to page.
pub fn pages() -> Result<(), String> {
    for example in builds::all()? {
        let time = || {
            let start = Instant::now();
            let page = scantling::run(&example.plan, &example, &Effort::default(), &|| false).map(|done| done.page());
            let milliseconds = start.elapsed().as_secs_f64() * 1e3;
            page.map(|page| (milliseconds, page.len())).map_err(|_| format!("{} is refused", example.name))
        };
        let runs: Vec<(f64, usize)> = (0..15).map(|_| time()).collect::<Result<_, String>>()?;
        let bytes = runs[0].1;
        let (median, p95) = median_and_p95(runs.into_iter().map(|(milliseconds, _)| milliseconds).collect());
        println!(
            "{{\"build\": \"{}\", \"median_ms\": {median:.1}, \"p95_ms\": {p95:.1}, \"page_bytes\": {bytes}}}",
            example.name
        );
    }
    Ok(())
}
