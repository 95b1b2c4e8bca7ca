//! The screw itself: how long it is, and the holes it wants. All by [`crate::rules`].

use crate::rules;
use handbook::fasteners;
use handbook::materials;
use measure::{Length, Unit};
use model::joint::NoScrew;
use model::part::Part;
use model::plan::Plan;
use model::stock::{Material, Screw};
use model::why::Rule;

/// What a screw goes through and into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Room {
    /// How thick the held part is along the screw.
    pub held: Length,
    /// How deep the base is.
    pub base: Length,
    /// Whether the screw runs along the grain of the base.
    pub end_grain: bool,
    /// Whether the screw comes from below, into what lies on the part that its head is in.
    pub from_below: bool,
    /// How much air it crosses between them.
    pub air: Length,
}

impl Room {
    /// The rule of the least length, and what goes into it.
    pub fn least_rule(&self) -> (&'static Rule, Vec<i128>) {
        let nm = |length: Length| i128::from(length.nanometres());
        if self.from_below {
            return (&rules::LEAST_FROM_BELOW, vec![nm(self.held), nm(self.base)]);
        }
        let more = if self.end_grain { fasteners::END_GRAIN_MORE } else { Length::ZERO };
        (&rules::LEAST, vec![nm(self.held), fasteners::GRIP_TENTHS.into(), nm(more + self.air)])
    }

    /// What the screw crosses before it comes to the base.
    pub fn before_base(&self) -> Length {
        self.held + self.air
    }

    /// The least length that holds.
    fn least(&self) -> Option<Length> {
        let (rule, given) = self.least_rule();
        by(rule, &given)
    }

    /// The greatest length whose tip stays inside.
    fn most(&self) -> Option<Length> {
        let given = [self.before_base(), self.base, fasteners::TIP_SHORT].map(|length| length.nanometres().into());
        by(&rules::MOST, &given)
    }

    /// The least depth of a base for a screw of this length.
    fn base_for(&self, length: Length) -> Length {
        length - self.before_base() + fasteners::TIP_SHORT
    }
}

/// The shortest length on sale that holds and stays inside.
///
/// # Errors
/// What would be needed, if there is none.
pub(crate) fn choose(screw: &Screw, room: &Room) -> Result<Length, NoScrew> {
    let (Some(least), Some(most)) = (room.least(), room.most()) else { return Err(NoScrew::NoRoom) };
    if least > most {
        return Err(NoScrew::TooThin { least, most, base: room.base_for(least) });
    }
    let fits = screw.lengths.iter().map(|on_sale| on_sale.length).filter(|&length| least <= length && length <= most);
    fits.min().ok_or(NoScrew::NotOnSale { least, most })
}

/// The step that drill bits come in: half a millimetre, or 1/64 in.
pub(crate) fn bits(unit: Unit) -> Length {
    match unit {
        Unit::Millimetre => Length::nm(500_000),
        Unit::Inch | Unit::FootInch => Length::inch_64ths(1),
    }
}

/// The hole for the thread.
pub(crate) fn pilot(diameter: Length, dense: bool, bits: Length) -> Option<Length> {
    by(&rules::PILOT, &pilot_given(diameter, dense, bits))
}

/// What goes into the rule of the pilot.
pub(crate) fn pilot_given(diameter: Length, dense: bool, bits: Length) -> [i128; 4] {
    let row = if dense { &fasteners::PILOT_IN_DENSE_WOOD } else { &fasteners::PILOT_IN_LIGHT_WOOD };
    let share = [0, 1].map(|part| i128::from(row.share[part] * fasteners::ROOT.share[part]));
    [diameter.nanometres().into(), share[0], share[1], bits.nanometres().into()]
}

/// The hole in which the screw turns freely.
pub(crate) fn clearance(diameter: Length, bits: Length) -> Option<Length> {
    by(&rules::CLEARANCE, &[diameter, bits].map(|length| length.nanometres().into()))
}

/// So many diameters.
pub(crate) fn distance(diameter: Length, times: i64) -> Length {
    diameter * times
}

/// Whether a part is of dense wood; wood of unknown density counts as light, so its pilot is the smaller one.
pub(crate) fn is_dense(part: &Part, plan: &Plan) -> bool {
    let density = plan.yard.density(part.stock).and_then(|material| match material {
        Material::Stated(density) => Some(*density),
        Material::Named(name) => materials::find(name).map(|row| row.density),
    });
    density.is_some_and(|density| density.value() > fasteners::DENSE_FROM)
}

/// A length by a rule.
pub(crate) fn by(rule: &Rule, given: &[i128]) -> Option<Length> {
    (rule.compute)(given).and_then(|value| i64::try_from(value).ok()).map(Length::nm)
}
