//! How long a screw must be and may be, worked out again.

use super::touch::{Touch, Way};
use crate::laid::ROUNDED;
use crate::texts::Screw;

/// Thread in the base for each part of thickness held, in tenths: 1.5 times as much, the longer of two habits (*common
/// practice*).
pub(super) const GRIP_TENTHS: i128 = 15;
/// How much longer a screw is that goes into end grain, where it does not count in withdrawal (NDS 12.5.2, from memory): 12 mm
/// (*common practice*).
pub(super) const END_GRAIN_MORE: i128 = 12_000_000;
/// How far short of the far face a tip ends: 5 mm (*common practice*).
pub(super) const TIP_SHORT: i128 = 5_000_000;

/// The limits of a screw's length, in nanometres.
#[derive(Clone, Debug)]
pub(super) struct Lengths {
    pub least: i128,
    pub most: i128,
    /// How far either may lie off where parts are at angles.
    pub slack: i128,
    /// What is crossed before the base.
    held: i128,
    on_sale: Vec<i128>,
}

/// A reason why a joint is unmade: its word; least, most and the least base; how far these may lie off.
type Reason = (&'static str, [i128; 3], i128);

impl Lengths {
    pub fn of(touch: &Touch, screw: &Screw) -> Lengths {
        let (held, base) = (touch.before_base(), touch.base);
        Lengths {
            least: least(touch),
            most: held + base - TIP_SHORT,
            slack: slack(touch),
            held,
            on_sale: screw.lengths.iter().map(|sold| sold.length.into()).collect(),
        }
    }

    /// The shortest on sale that holds and stays inside.
    pub fn chosen(&self) -> Option<i128> {
        self.on_sale.iter().copied().filter(|&length| self.least <= length && length <= self.most).min()
    }

    /// Whether nothing on sale that surely does is shorter.
    pub fn shortest(&self, length: i128) -> bool {
        !self.on_sale.iter().any(|&other| self.least + self.slack <= other && other < length)
    }

    /// Why the joint may be unmade: one reason, or two where rounding decides between them.
    pub fn reasons(&self, touch: &Touch) -> Vec<Reason> {
        let none = ("no room", [0; 3], 0);
        if touch.way == Way::EndOn {
            return vec![none];
        }
        let meets = ("would meet", [0; 3], 0);
        let thin = ("too thin", [self.least, self.most, self.least - self.held + TIP_SHORT], 2 * self.slack);
        let not_on_sale = ("not on sale", [self.least, self.most, 0], 2 * self.slack);
        let mut reasons = Vec::new();
        if self.least > self.most - self.slack {
            reasons.push(thin);
        }
        if self.least <= self.most + self.slack {
            let inside = |slack: i128| {
                self.on_sale.iter().any(|&length| self.least + slack <= length && length <= self.most - slack)
            };
            reasons.extend((!inside(self.slack)).then_some(not_on_sale));
            reasons.extend(inside(-self.slack).then_some([none, meets]).into_iter().flatten());
        }
        reasons
    }
}

/// How far thickness and depth may lie off: not at all in boxes; at angles they are told to the micrometre.
pub(super) fn slack(touch: &Touch) -> i128 {
    match (touch.plain, &touch.air) {
        (true, _) => 0,
        (false, None) => MICROMETRE + 4 * ROUNDED,
        // Thickness, a grip half as much again, and the air are told to the micrometre each.
        (false, Some(_)) => 4 * (MICROMETRE + 4 * ROUNDED),
    }
}

const MICROMETRE: i128 = 1000;

/// The least length that holds: from below, into what lies on top, half of that; else by the grip.
fn least(touch: &Touch) -> i128 {
    if touch.points_up() {
        return touch.held + (touch.base + 1).div_euclid(2);
    }
    let more = if touch.way == Way::OnEndGrain { END_GRAIN_MORE } else { 0 };
    touch.before_base() + (touch.held * GRIP_TENTHS + 9).div_euclid(10) + more
}
