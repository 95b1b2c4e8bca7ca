//! The ways to build a plan, side by side: a line for each number, a column for each way.

use advise::Settled;
use advise::sides::{Column, Side};

/// The names of the ways, the one that is built marked.
pub(crate) fn heads(settled: &Settled) -> Vec<String> {
    let head = |side: &Side| if side.built { format!("{} (this one)", side.label) } else { side.label.clone() };
    settled.sides.iter().map(head).collect()
}

/// A line for each number: what it is, and what each way has of it. None where the plan states one way only.
pub(crate) fn lines(settled: &Settled) -> Vec<(String, Vec<String>)> {
    let sides = &settled.sides;
    if sides.len() < 2 {
        return Vec::new();
    }
    let mut lines: Vec<(String, Vec<String>)> = Vec::new();
    for name in size_names(sides) {
        let size = |column: &Column| {
            let of = column.sizes.iter().find(|(own, _)| *own == name);
            of.map_or_else(|| "–".to_owned(), |(_, size)| settled.plan.tape.show_exact(*size))
        };
        lines.push((name.replace('.', " "), each(sides, size)));
    }
    let currency = &settled.plan.yard.currency;
    let pay = |column: &Column| format!("{}{}", column.pay, crate::words::without(column.unpriced));
    lines.push((format!("to pay, {currency}"), each(sides, pay)));
    lines.push(("hours".to_owned(), each(sides, |column| hours(column.work.minutes.value.value))));
    lines.push((
        "cuts, at settings".to_owned(),
        each(sides, |column| format!("{}, at {}", column.work.cuts, column.work.set_ups)),
    ));
    type Count = fn(&Column) -> u64;
    let counts: [(&str, Count); 5] = [
        ("boards", |column| column.work.boards),
        ("sheets", |column| column.work.sheets),
        ("units", |column| column.work.units),
        ("screws", |column| column.work.screws),
        ("boards only possible if measured", |column| column.tight),
    ];
    let some =
        |count: &Count| sides.iter().filter_map(|side| side.column.as_ref().ok()).any(|column| count(column) > 0);
    for (what, count) in counts.iter().filter(|(_, count)| some(count)) {
        lines.push(((*what).to_owned(), each(sides, |column| count(column).to_string())));
    }
    let tape = settled.plan.tape;
    let lift = |column: &Column| match (&column.heaviest, column.unweighed) {
        (Some((_, mass)), 0) => mass.show(tape.unit()),
        (Some((_, mass)), _) => format!("{} or more", mass.show(tape.unit())),
        (None, _) => "nobody knows".to_owned(),
    };
    lines.push(("heaviest to lift as bought".to_owned(), each(sides, lift)));
    lines
}

/// What goes with the table: why ways do not come out, and by which rates the hours are told.
pub(crate) fn notes(settled: &Settled) -> Vec<String> {
    if settled.sides.len() < 2 {
        return Vec::new();
    }
    let none = settled
        .sides
        .iter()
        .filter_map(|side| side.column.as_ref().err().map(|why| format!("{} does not come out: {why}", side.label)));
    let rates = &settled.plan.shed.rates;
    let told = format!(
        "hours by the rates of the shed: {} min a cut, {} a setting of the saw, {} a board measured, {} a screw, {} a unit; filling, brushing and clearing up are not in them",
        rates.cut_minutes, rates.stop_minutes, rates.measure_minutes, rates.screw_minutes, rates.unit_minutes
    );
    none.chain([told]).collect()
}

fn each(sides: &[Side], tell: impl Fn(&Column) -> String) -> Vec<String> {
    sides.iter().map(|side| side.column.as_ref().map_or_else(|_| "–".to_owned(), &tell)).collect()
}

fn size_names(sides: &[Side]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for (name, _) in sides.iter().filter_map(|side| side.column.as_ref().ok()).flat_map(|column| &column.sizes) {
        if !names.contains(name) {
            names.push(name.clone());
        }
    }
    names
}

/// Minutes as hours, to the next quarter.
fn hours(minutes: i128) -> String {
    let quarters = (minutes + 14).div_euclid(15);
    let part = ["", "¼", "½", "¾"][usize::try_from(quarters.rem_euclid(4)).unwrap_or(0)];
    match quarters.div_euclid(4) {
        0 if !part.is_empty() => part.to_owned(),
        whole => format!("{whole}{part}"),
    }
}

#[cfg(test)]
mod tests {
    /// By hand: 101 minutes are 1 h 41, so 1¾ h; an hour stays one.
    #[test]
    fn hours_go_up_to_the_next_quarter() {
        assert_eq!([101, 60, 61, 5, 0].map(super::hours), ["1¾", "1", "1¼", "¼", "0"]);
    }
}
