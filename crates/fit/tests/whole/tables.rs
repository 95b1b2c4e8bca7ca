//! The closing rules of the trade (our trade reference, "Ring round a rectangle" and "Cladding runs"; common practice), each as the engine's run
//! and as the rule stands in the table, over many lengths. A row's `n u + (n-1) j` and the like are
//! the rules; the engine sees only faces, members and end gaps.

use super::builders::*;
use fit::*;

/// Lengths (mm) in 200 to 2600 at which the engine's run comes out, with counts.
fn comes_out(face: Affine, member: i64, end_gaps: i64, gap: (i64, i64)) -> Vec<(i64, i64)> {
    let problem = Problem {
        sizes: vec![size("length", 1, wish(1000, 0, 3000, 0))],
        gaps: vec![self::gap("gap", wish(gap.0, gap.0, gap.1, 1))],
        runs: vec![run("row", face, member, end_gaps, 0)],
        ..Problem::default()
    };
    let list = windows(&problem, 0, &[], (200, 2600)).expect("a sound problem");
    let each = list.iter().flat_map(|w| w.from..=w.to);
    each.map(|x| {
        let at = windows(&problem, 0, &[], (x, x)).expect("a sound problem");
        (x, at[0].counts[0].1)
    })
    .collect()
}

/// The same from a rule: the length at which `n` with an exact gap closes.
fn by_rule(gap: i64, rule: impl Fn(i64, i64) -> i64) -> Vec<(i64, i64)> {
    let all = (1..200).map(|n| (rule(n, gap), n));
    all.filter(|&(x, _)| (200..=2600).contains(&x)).collect()
}

/// Units 200 x 100 with a joint of 10.
#[test]
fn rings() {
    let (u, w, j) = (200, 100, 10);
    type Rule = fn(i64, i64, i64, i64) -> i64;
    // Name, face = opening + allowance, end gaps, and the rule solved for the opening A.
    let rows: [(&str, i64, i64, Rule); 7] = [
        ("pinwheel: n (u+j) = A + w", w, 0, |n, u, w, j| n * (u + j) - w),
        ("butt, long: n (u+j) = A + 2w + j", 2 * w, -1, |n, u, w, j| n * (u + j) - 2 * w - j),
        ("butt, short: m (u+j) = B - j", 0, 1, |n, u, _, j| n * (u + j) + j),
        ("open: n u + (n-1) j = A", 0, -1, |n, u, _, j| n * u + (n - 1) * j),
        ("mitre, by the outer edge: n u + (n-1) j = A + 2w", 2 * w, -1, |n, u, w, j| n * u + (n - 1) * j - 2 * w),
        ("square units, n counts both: A = (n-2) u + (n-1) j", 2 * u, -1, |n, u, _, j| (n - 2) * u + (n - 1) * j),
        ("corner squares: n u + (n+1) j = A", 0, 1, |n, u, _, j| n * u + (n + 1) * j),
    ];
    for (name, allowance, ends, rule) in rows {
        let engine = comes_out(affine(&[(0, 1)], allowance), u, ends, (j, j));
        assert!(engine.len() >= 10, "{name}");
        assert_eq!(engine, by_rule(j, |n, j| rule(n, u, w, j)), "{name}");
    }
}

/// Runs of bricks between faces: `co-`, `co`, `co+` (brickwork dimension, common practice) with 215 + 10.
#[test]
fn brick_dimensions() {
    for (ends, name) in [(-1, "co-"), (0, "co"), (1, "co+")] {
        let engine = comes_out(affine(&[(0, 1)], 0), 215, ends, (10, 10));
        let expected = by_rule(10, |n, j| n * 215 + (n + ends) * j);
        assert_eq!(engine, expected, "{name}");
    }
}

/// Cladding: `n b + (n - 1 + e) g + m t = F`.
#[test]
fn cladding_faces() {
    let (b, g, t) = (95, 6, 20);
    type Rule = fn(i64, i64, i64, i64) -> i64;
    // Name, e, m and the closing rule solved for F, as the table prints it.
    let rows: [(&str, i64, i64, Rule); 6] = [
        ("both ends flush: n (b+g) = F + g", 0, 0, |n, b, g, _| n * (b + g) - g),
        ("gap at both ends: n (b+g) = F - g", 2, 0, |n, b, g, _| n * (b + g) + g),
        ("gap at one end: n (b+g) = F", 1, 0, |n, b, g, _| n * (b + g)),
        ("pinwheel: n (b+g) = F - t", 1, 1, |n, b, g, t| n * (b + g) + t),
        ("owned by the neighbours: n (b+g) = F - 2t - g", 2, 2, |n, b, g, t| n * (b + g) + 2 * t + g),
        ("owns both corners: n (b+g) = F + g", 0, 0, |n, b, g, _| n * (b + g) - g),
    ];
    for (name, e, m, rule) in rows {
        let engine = comes_out(affine(&[(0, 1)], -m * t), b, e - 1, (g, g));
        assert_eq!(engine, by_rule(g, |n, g| rule(n, b, g, t)), "{name}");
    }
}

/// `n = ceil((F - gmax) / (b + gmax))` is the least count for gaps at both ends (railing rule of the same section).
#[test]
fn railing_rule() {
    let (b, most) = (40, 99);
    for face in 300..1500 {
        let problem = Problem {
            gaps: vec![gap("gap", wish(most, 20, most, 0))],
            runs: vec![run("balusters", affine(&[], face), b, 1, 0)],
            ..Problem::default()
        };
        let answer = fits(&problem, Ranking::FewestMembers, &Limits::default());
        let rule = (face - most + b + most - 1) / (b + most);
        assert_eq!(answer.closings[0].counts, [Some(rule)], "{face}");
    }
}

/// A pattern of three members (90-45-90) as one repeat with three gaps: `n (U + p g) + e g` (fit's own definition of a pattern).
#[test]
fn a_pattern_is_one_run() {
    let face = affine(&[(0, 1)], 0);
    let problem = Problem {
        sizes: vec![size("length", 1, wish(1000, 0, 3000, 0))],
        gaps: vec![gap("gap", wish(8, 8, 8, 1))],
        runs: vec![Run { gaps_per_member: 3, ..run("pattern", face, 225, -1, 0) }],
        ..Problem::default()
    };
    let list = windows(&problem, 0, &[], (200, 2600)).expect("a sound problem");
    let got: Vec<_> = list.iter().map(|w| (w.from, w.counts[0].1)).collect();
    assert_eq!(got, by_rule(8, |n, g| n * (225 + 3 * g) - g));
}

/// At 120 degrees an end gap measured square to the line takes 1 / sin 60 = 1.1547 of a gap width of the run: "10 takes 11.55".
#[test]
fn an_end_gap_at_another_angle() {
    let problem = Problem {
        sizes: vec![size("length", 1, wish(0, 0, 30_000_000, 0))],
        gaps: vec![gap("gap", wish(10_000, 10_000, 10_000, 1))],
        runs: vec![Run {
            // Two ends: n - 1 + 2 * 1.1547 places, in ten thousandths.
            end_gaps: -10_000 + 2 * 11_547,
            gap_scale: 10_000,
            ..run("boards", affine(&[(0, 1)], 0), 95_000, 0, 0)
        }],
        ..Problem::default()
    };
    let list = windows(&problem, 0, &[], (1, 1_000_000)).expect("a sound problem");
    let got: Vec<_> = list.iter().map(|w| (w.from, w.to)).collect();
    let expected: Vec<_> = (1..=9).map(|n| n * 95_000 + (n - 1) * 10_000 + 23_094).collect();
    assert_eq!(got, expected.into_iter().map(|x| (x, x)).collect::<Vec<_>>());
}
