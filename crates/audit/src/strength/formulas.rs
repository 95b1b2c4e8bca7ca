//! The referee's own formulas of what presses, bends and bears.

/// What a rule gives, rounded once, as the page of rules says.
pub(crate) fn formula(rule: &str, x: &[i128]) -> Option<i128> {
    let whole = |value: f64| (value.abs() < 9e18).then(|| value.round() as i128);
    in_real_numbers(rule, x).map_or_else(|| in_whole_numbers(rule, x), whole)
}

/// Metres, pascals and plain numbers in floating point.
fn in_real_numbers(rule: &str, x: &[i128]) -> Option<f64> {
    let real = |at: usize| x.get(at).map_or(f64::NAN, |value| *value as f64);
    let metres = |at: usize| real(at) * 1e-9;
    match (rule, x) {
        ("earth-pressure", [_, _, _, _, _]) => {
            let (share, depth) = (real(0) / 1e3, metres(2).max(0.0));
            let grains = (real(1) - real(4)).max(0.0) * depth;
            Some(share * grains + share * real(3) + real(4) * depth)
        }
        // A strip a metre wide: I = t³/12, W = t²/6.
        ("strip-bend", [_, _, thickness, stiffness, _]) if *thickness > 0 && *stiffness > 0 => {
            let second_moment = metres(2).powi(3) / 12.0;
            Some(5.0 * real(0) * metres(1).powi(4) / (384.0 * real(3) * second_moment) * real(4) * 1e6)
        }
        ("strip-stress", [_, _, thickness]) if *thickness > 0 => {
            let (moment, section) = (real(0) * metres(1).powi(2) / 8.0, metres(2).powi(2) / 6.0);
            Some(moment / section)
        }
        // A flat board: I = b t³/12, W = b t²/6; a joist on edge: I = b h³/12, W = b h²/6.
        ("point-sag", [_, _, width, thickness, stiffness]) if *width > 0 && *thickness > 0 && *stiffness > 0 => {
            let second_moment = metres(2) * metres(3).powi(3) / 12.0;
            Some(real(0) / 1e3 * metres(1).powi(3) / (48.0 * real(4) * second_moment) * 1e9)
        }
        ("point-stress", [_, _, width, thickness]) if *width > 0 && *thickness > 0 => {
            let (moment, section) = (real(0) / 1e3 * metres(1) / 4.0, metres(2) * metres(3).powi(2) / 6.0);
            Some(moment / section)
        }
        ("joist-sag", [_, _, _, width, depth, stiffness]) if *width > 0 && *depth > 0 && *stiffness > 0 => {
            let second_moment = metres(3) * metres(4).powi(3) / 12.0;
            Some(5.0 * real(0) * metres(1) * metres(2).powi(4) / (384.0 * real(5) * second_moment) * 1e9)
        }
        ("joist-stress", [_, _, _, width, depth]) if *width > 0 && *depth > 0 => {
            let moment = real(0) * metres(1) * metres(2).powi(2) / 8.0;
            Some(moment / (metres(3) * metres(4).powi(2) / 6.0))
        }
        _ => None,
    }
}

fn in_whole_numbers(rule: &str, x: &[i128]) -> Option<i128> {
    match (rule, x) {
        ("most-bend", [span, over]) if *over > 0 => Some(span.checked_mul(1000)?.div_euclid(*over)),
        ("size-factor", [depth]) if *depth > 0 => {
            // From below: the first that is too much, less one.
            let too_much =
                |k: &i128| k.pow(5).checked_mul(*depth).is_none_or(|all| all > 150_000_000 * 10_i128.pow(15));
            Some((1001..=1300).find(too_much).map_or(1300, |k| k - 1))
        }
        ("bears-ec5", [f, kh, kmod, gamma, load]) if *gamma > 0 && *load > 0 => {
            Some(f.checked_mul(*kh)?.checked_mul(*kmod)?.div_euclid(gamma.checked_mul(*load)?))
        }
        ("bears-nds", [value, factors @ ..]) => {
            let mut left = *value;
            for factor in factors {
                left = left.checked_mul(*factor)?.div_euclid(1000);
            }
            Some(left)
        }
        _ => None,
    }
}

/// The rules that are held here.
pub(crate) const KNOWN: &[&str] = &[
    "point-sag",
    "point-stress",
    "joist-sag",
    "joist-stress",
    "earth-pressure",
    "strip-bend",
    "strip-stress",
    "most-bend",
    "size-factor",
    "bears-ec5",
    "bears-nds",
];

/// How near to halfway between two whole numbers floating point in another order may round the other way.
const HALFWAY: f64 = 1e-3;

/// How far a number of these rules may lie off: by one where it is halfway.
pub(crate) fn slack(rule: &str, x: &[i128]) -> i128 {
    let off = in_real_numbers(rule, x).map_or(1.0, |value| (value.fract().abs() - 0.5).abs());
    i128::from(off < HALFWAY)
}
