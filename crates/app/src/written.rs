//! A length as a maker would write it in a file, exactly.

use scantling::{Length, Unit};

const INCH: i64 = 25_400_000;
const MM: i64 = 1_000_000;

/// A length as a TOML value in a file whose bare numbers are of this unit: `1510`, `9.5`, `"59-7/16"`; what no fraction of an inch
/// says exactly is written in millimetres: `"9.33 mm"`.
pub(crate) fn toml(length: Length, unit: Unit) -> String {
    let nanometres = length.nanometres();
    match unit {
        Unit::Millimetre => decimals(nanometres),
        Unit::Inch | Unit::FootInch if nanometres % INCH == 0 => (nanometres / INCH).to_string(),
        Unit::Inch | Unit::FootInch => format!("\"{}\"", inches(nanometres)),
    }
}

fn inches(nanometres: i64) -> String {
    let parts = nanometres.abs() * 64;
    if parts % INCH != 0 {
        return format!("{} mm", decimals(nanometres));
    }
    let (sign, parts) = (if nanometres < 0 { "-" } else { "" }, parts / INCH);
    let (whole, mut over, mut under) = (parts / 64, parts % 64, 64);
    while over % 2 == 0 && over > 0 {
        (over, under) = (over / 2, under / 2);
    }
    if whole == 0 { format!("{sign}{over}/{under}") } else { format!("{sign}{whole}-{over}/{under}") }
}

/// Millimetres in decimals, to the nanometre.
fn decimals(nanometres: i64) -> String {
    let (sign, rest) = (if nanometres < 0 { "-" } else { "" }, nanometres.abs());
    let text = format!("{sign}{}.{:06}", rest / MM, rest % MM);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_plain_as_it_can_be_exact() {
        let sixty_fourths = Length::inch_64ths;
        let written = [
            (toml(Length::mm(1510), Unit::Millimetre), "1510"),
            (toml(Length::nm(9_330_000), Unit::Millimetre), "9.33"),
            (toml(Length::nm(-500_000), Unit::Millimetre), "-0.5"),
            (toml(sixty_fourths(64 * 48), Unit::Inch), "48"),
            (toml(sixty_fourths(64 * 59 + 28), Unit::FootInch), "\"59-7/16\""),
            (toml(sixty_fourths(48), Unit::Inch), "\"3/4\""),
            (toml(sixty_fourths(-65), Unit::Inch), "\"-1-1/64\""),
            (toml(Length::nm(9_330_000), Unit::Inch), "\"9.33 mm\""),
        ];
        for (is, should) in written {
            assert_eq!(is, should);
        }
    }
}
