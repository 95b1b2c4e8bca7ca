//! Rows that hold for whole boards only: of three lengths, each in two patterns at a half, the halves cover all three; whole boards do not.
//!
//! Half the sum of three rows, with all fractions rounded up: no whole number of boards falls short of it, since both sides are whole
//! (Chvátal and Gomory's rounding; for three rows known as subset-row inequalities).

use crate::simplex::Program;
use std::collections::BTreeMap;

/// Most rows that are added at once.
const MOST: usize = 15;
/// By how much a row has to be broken to be added.
const BROKEN: f64 = 0.05;

/// Three lengths by their rows.
pub(crate) type Triple = [usize; 3];

/// Adds a row for each triple behind the others; `asked` is what is asked before any board is cut.
pub(crate) fn add(program: &mut Program, asked: &mut Vec<i64>, triples: &[Triple]) {
    let first = program.rows;
    for column in &mut program.columns {
        let rounded = |triple: &Triple| {
            let sum: i64 = column.entries.iter().filter(|e| triple.contains(&e.0)).map(|e| e.1).sum();
            (sum + 1) / 2
        };
        let entries: Vec<(usize, i64)> =
            triples.iter().enumerate().map(|(place, triple)| (first + place, rounded(triple))).collect();
        column.entries.extend(entries.into_iter().filter(|e| e.1 > 0));
    }
    let more: Vec<i64> = triples.iter().map(|triple| wanted(triple, asked)).collect();
    asked.extend(more);
    program.rows += triples.len();
}

fn wanted(triple: &Triple, asked: &[i64]) -> i64 {
    (triple.iter().map(|&row| asked[row]).sum::<i64>() + 1) / 2
}

/// The triples, at most `most`, whose row a mix breaks worst.
pub(crate) fn broken(
    program: &Program,
    mix: &[(usize, f64)],
    asked: &[i64],
    lengths: usize,
    most: usize,
) -> Vec<Triple> {
    let rows = |column: usize| program.columns[column].entries.iter().filter(|e| e.0 < lengths).copied();
    let mut holders: Vec<Vec<(usize, i64)>> = vec![Vec::new(); lengths];
    let mut met: Vec<Vec<usize>> = vec![Vec::new(); lengths];
    for (place, &(column, amount)) in mix.iter().enumerate() {
        rows(column).for_each(|(row, entry)| holders[row].push((place, entry)));
        // Only what is not whole breaks anything.
        if (amount - amount.round()).abs() > BROKEN / 2.0 {
            rows(column).for_each(|(a, _)| met[a].extend(rows(column).map(|e| e.0).filter(|&b| b != a)));
        }
    }
    met.iter_mut().for_each(|list| {
        list.sort_unstable();
        list.dedup();
    });
    let mut lacks: BTreeMap<Triple, f64> = BTreeMap::new();
    let mut sums = vec![0i64; mix.len()];
    // At least two of the three pairs stand on one board somewhere; the length in the middle is in both.
    for (middle, others) in met.iter().enumerate() {
        for (place, &a) in others.iter().enumerate() {
            for &b in &others[place + 1..] {
                let mut triple = [middle, a, b];
                triple.sort_unstable();
                let odd = triple.iter().map(|&row| asked[row]).sum::<i64>() % 2 != 0;
                if odd && !lacks.contains_key(&triple) {
                    lacks.insert(triple, lack(&triple, asked, mix, &holders, &mut sums));
                }
            }
        }
    }
    let mut worst: Vec<(Triple, f64)> = lacks.into_iter().filter(|t| t.1 > BROKEN).collect();
    worst.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    worst.truncate(most.min(MOST));
    worst.into_iter().map(|t| t.0).collect()
}

/// By how much the mix falls short of the row of three lengths. `sums` is all zero before and after.
fn lack(triple: &Triple, asked: &[i64], mix: &[(usize, f64)], holders: &[Vec<(usize, i64)>], sums: &mut [i64]) -> f64 {
    let held = || triple.iter().flat_map(|&row| holders[row].iter());
    held().for_each(|&(place, entry)| sums[place] += entry);
    let mut reached = 0.0;
    for &(place, _) in held() {
        reached += ((sums[place] + 1) / 2) as f64 * mix[place].1;
        sums[place] = 0;
    }
    wanted(triple, asked) as f64 - reached
}
