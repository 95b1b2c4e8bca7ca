//! The windows of each size, point by point: where every row that hangs on this size alone closes under the chosen options.

use crate::claims::{Notch, Record};
use crate::fitting::{counts, exists};
use crate::ledger::{Ledger, Mm};

/// Points of a size's grid beyond which its windows are not looked at.
const MOST_POINTS: i128 = 200_000;

/// Holds the windows.
pub(super) fn hold(record: &Record, ledger: &mut Ledger) {
    let fit = &record.fit;
    let named: Vec<&String> = record.windows.iter().map(|windows| &windows.size).collect();
    let sizes: Vec<&String> = fit.sizes.iter().map(|size| &size.wish.name).collect();
    if !ledger.same("the sizes that have windows", &named, &sizes) {
        return;
    }
    for (size, windows) in record.windows.iter().enumerate() {
        match own_notches(record, size) {
            Some(own) => {
                let claimed: Vec<[Mm; 3]> = windows.notches.iter().map(|notch| ends(notch).map(Mm::of)).collect();
                let own = own.into_iter().map(|ends| ends.map(Mm::of)).collect();
                ledger.same(&format!("the notches of {}", windows.size), claimed, own);
            }
            None => ledger.leave(format!("the notches of {}: its grid has too many points", windows.size)),
        }
    }
}

fn ends(notch: &Notch) -> [i64; 3] {
    [notch.from, notch.to, notch.best]
}

/// First, last and best point of each longest stretch of points at which all rows close.
fn own_notches(record: &Record, size: usize) -> Option<Vec<[i64; 3]>> {
    let fit = &record.fit;
    let (asked, chosen) = (&fit.sizes[size], &record.ways[record.chosen].closing.choices);
    let wish = &asked.wish;
    let first = wish.from + (asked.origin - wish.from).rem_euclid(asked.step);
    let points = (i128::from(wish.to) - i128::from(first)).div_euclid(asked.step.into()) + 1;
    if points > MOST_POINTS {
        return None;
    }
    let alone = |run: &&crate::claims::Run| {
        exists(&run.when, chosen) && !run.terms.is_empty() && run.terms.iter().all(|term| term.0 == size)
    };
    let runs: Vec<_> = fit.runs.iter().filter(alone).collect();
    let open = |value: i64| {
        runs.iter().all(|run| {
            let factor: i128 = run.terms.iter().map(|term| i128::from(term.1)).sum();
            let (fewest, most) = counts(fit, run, factor * i128::from(value) + i128::from(run.constant));
            fewest <= most
        })
    };
    let mut notches: Vec<[i64; 3]> = Vec::new();
    let mut before = false;
    for value in (0..points).map(|point| first + point as i64 * asked.step) {
        let here = open(value);
        match notches.last_mut() {
            Some(notch) if here && before => {
                notch[1] = value;
                if (value - wish.want).abs() < (notch[2] - wish.want).abs() {
                    notch[2] = value;
                }
            }
            _ if here => notches.push([value; 3]),
            _ => {}
        }
        before = here;
    }
    Some(notches)
}
