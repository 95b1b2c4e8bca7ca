//! How much water wood holds where the air is this warm and this damp, and how damp it gets.
//!
//! # Source
//! USDA FPL-GTR-190 (2010) Eq. 4-5 in degrees Celsius, after Simpson, FPL-RN-0268 (1998), as coded in an open library. The data
//! below it are historic and approximate (FPL-GTR-229 (2014), abstract).

use model::why::Mark;

/// A climate with the driest and the dampest weeks that wood outdoors, under the sky and off the ground, comes to rest in.
#[derive(Debug)]
pub struct Climate {
    /// The word of the region, as a plan names it.
    pub region: &'static str,
    /// Tenths of a degree Celsius and relative humidity in percent, of a dry spell.
    pub dry: [i64; 2],
    /// The same of a damp one.
    pub damp: [i64; 2],
    /// What it stands for.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

const fn climate(region: &'static str, dry: [i64; 2], damp: [i64; 2], source: &'static str) -> Climate {
    Climate { region, dry, damp, source, mark: Mark::CommonPractice }
}

/// The climates of the regions, each a temperate one.
pub static CLIMATES: [Climate; 3] = [
    climate(
        "eu",
        [200, 65],
        [50, 85],
        "means over weeks in a temperate climate: 20 °C and 65 % in a dry summer, 5 °C and 85 % in winter",
    ),
    climate(
        "na",
        [250, 55],
        [50, 85],
        "means over weeks in a temperate climate: 25 °C and 55 % in a dry summer, 5 °C and 85 % in winter",
    ),
    climate(
        "anz",
        [280, 50],
        [120, 80],
        "means over weeks in a temperate climate: 28 °C and 50 % in a dry summer, 12 °C and 80 % in winter",
    ),
];

/// The climate of a region; of a word that is no region none.
pub fn climate_of(region: &str) -> Option<&'static Climate> {
    CLIMATES.iter().find(|climate| climate.region == region)
}

/// The moisture content at which wood comes to rest, in hundredths of a percent, from tenths of a degree Celsius and the
/// relative humidity in percent. `None` outside −10 … 50 °C and 5 … 95 %, for which the equation is not held to its table.
pub fn equilibrium(tenths: i64, humidity: i64) -> Option<i64> {
    if !(-100..=500).contains(&tenths) || !(5..=95).contains(&humidity) {
        return None;
    }
    let percent = at_rest(tenths as f64 / 10.0, humidity as f64 / 100.0);
    // Between 0 and 30 %, and above nothing.
    Some((percent * 100.0 + 0.5) as i64)
}

/// GTR-190 Eq. 4-5: percent, from degrees Celsius and the relative humidity as a fraction.
fn at_rest(t: f64, h: f64) -> f64 {
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000736 * t - 0.00000273 * t * t;
    let k1 = 6.27 - 0.00938 * t - 0.000303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000293 * t * t;
    let (kh, kkh) = (k * h, k * h * k * h);
    1800.0 / w * (kh / (1.0 - kh) + (k1 * kh + 2.0 * k1 * k2 * kkh) / (1.0 + k1 * kh + k1 * k2 * kkh))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// USDA FPL-GTR-190 (2010) Table 4-2 (read in a stored copy): percent of moisture by degrees Fahrenheit, at 20, 30, 40, 50, 60,
    /// 65, 70, 75, 80, 85, 90 and 95 % relative humidity.
    const HUMIDITIES: [i64; 12] = [20, 30, 40, 50, 60, 65, 70, 75, 80, 85, 90, 95];
    const TABLE_4_2: [(f64, [f64; 12]); 8] = [
        (30.0, [4.6, 6.3, 7.9, 9.5, 11.3, 12.4, 13.5, 14.9, 16.5, 18.5, 21.0, 24.3]),
        (40.0, [4.6, 6.3, 7.9, 9.5, 11.3, 12.3, 13.5, 14.9, 16.5, 18.5, 21.0, 24.3]),
        (50.0, [4.6, 6.3, 7.9, 9.5, 11.2, 12.3, 13.4, 14.8, 16.4, 18.4, 20.9, 24.3]),
        (60.0, [4.6, 6.2, 7.8, 9.4, 11.1, 12.1, 13.3, 14.6, 16.2, 18.2, 20.7, 24.1]),
        (70.0, [4.5, 6.2, 7.7, 9.2, 11.0, 12.0, 13.1, 14.4, 16.0, 17.9, 20.5, 23.9]),
        (80.0, [4.4, 6.1, 7.6, 9.1, 10.8, 11.7, 12.9, 14.2, 15.7, 17.7, 20.2, 23.6]),
        (90.0, [4.3, 5.9, 7.4, 8.9, 10.5, 11.5, 12.6, 13.9, 15.4, 17.3, 19.8, 23.3]),
        (100.0, [4.2, 5.8, 7.2, 8.7, 10.3, 11.2, 12.3, 13.6, 15.1, 17.0, 19.5, 22.9]),
    ];

    /// All 96 values of the table within 0.1 %, what it is rounded to.
    #[test]
    fn the_equation_gives_the_table() {
        for (fahrenheit, row) in TABLE_4_2 {
            for (humidity, wanted) in HUMIDITIES.into_iter().zip(row) {
                let own = at_rest((fahrenheit - 32.0) / 1.8, humidity as f64 / 100.0);
                assert!((own - wanted).abs() <= 0.1, "{fahrenheit} °F, {humidity} %: {own}, and {wanted} in the table");
            }
        }
    }

    /// FPL-RN-0268 (as quoted on a page about local moisture contents, read): wood outdoors in Cheyenne rests between 9.7 and 10.8 %;
    /// FPL Technical Note F-13 (read): about 12 % where it is sheltered. Dry spells lie there and damp ones above.
    #[test]
    fn climates_lie_about_published_moisture_contents() {
        for climate in &CLIMATES {
            let [dry, damp] = [climate.dry, climate.damp].map(|[t, h]| equilibrium(t, h).expect("within the table"));
            assert!((900..=1250).contains(&dry), "{} {dry}", climate.region);
            assert!((1500..=1900).contains(&damp), "{} {damp}", climate.region);
        }
    }

    /// The equation's own answer (computed by hand of it): 12.0 % at 20 °C and 65 %; outside its table none.
    #[test]
    fn whole_numbers_in_and_out() {
        assert_eq!(equilibrium(200, 65).map(|value| (value + 5) / 10), Some(120));
        assert_eq!((equilibrium(200, 96), equilibrium(501, 50)), (None, None));
    }

    #[test]
    fn damper_air_is_never_drier_wood() {
        for tenths in (-100..=500).step_by(25) {
            let row: Vec<i64> = (5..=95).filter_map(|humidity| equilibrium(tenths, humidity)).collect();
            assert!(row.len() == 91 && row.windows(2).all(|pair| pair[0] <= pair[1]), "{tenths}");
        }
    }
}
