//! As many members as needed: posts, joists, bearers no further apart than a spacing, both end ones flush.

use crate::rules;
use measure::{Length, Share};
use model::build::Build;
use model::why::{Input, Of, Quantity, Value};

/// Members that stand no further apart than a spacing, from centre to centre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Bays {
    /// From the start of the first member to the start of the last.
    reach: Length,
    /// The most from one start to the next; `None` for the two end members alone.
    spacing: Option<Length>,
    bays: u32,
}

impl Bays {
    /// What is needed where the last member starts `reach` after the first one (`reach = F - m`): by [`rules::AS_NEEDED`], one
    /// bay at least. `None` if that is no count, which a spacing longer than nothing never gives.
    pub(crate) fn needed(reach: Length, spacing: Option<Length>) -> Option<Bays> {
        let bays = match spacing {
            None => 1,
            Some(spacing) => (rules::AS_NEEDED.compute)(&[reach.nanometres().into(), spacing.nanometres().into()])?,
        };
        Some(Bays { reach, spacing, bays: u32::try_from(bays).ok()? })
    }

    /// How many bays.
    pub(crate) fn count(self) -> u32 {
        self.bays
    }

    /// Where each member starts, the first at nothing: `⌊i · reach / bays⌋`.
    pub(crate) fn starts(self) -> impl Iterator<Item = Length> {
        // There is one bay at least.
        let share = Share::new(self.reach, self.bays);
        (0..=self.bays).map(move |member| share.map_or(Length::ZERO, |share| share.first(member)))
    }

    /// From one start to the next, down to the nanometre below.
    pub(crate) fn pitch(self) -> Length {
        Share::new(self.reach, self.bays).map_or(Length::ZERO, |share| share.first(1))
    }

    /// Puts the bays and the pitch into the build, each with its why, as `NAME.bays` and `NAME.pitch`. `what` is the members in
    /// words: `the posts along the front`. Without a spacing nothing was counted.
    pub(crate) fn explain(self, name: &str, what: &str, out: &mut Build) {
        let Some(spacing) = self.spacing else { return };
        let reach = Input::new("from the first start to the last", Value::length(self.reach));
        let inputs = vec![reach.clone(), Input::new("the most from centre to centre", Value::length(spacing))];
        let bays = format!("{name}.bays");
        let counted = Quantity::by(&bays, format!("bays between {what}"), Of::Count, &rules::AS_NEEDED, inputs);
        out.quantities.extend(counted);
        let inputs = vec![reach, Input::new(bays, Value::count(self.bays))];
        let words = format!("from centre to centre of {what}");
        out.quantities.extend(Quantity::by(format!("{name}.pitch"), words, Of::Length, &rules::PITCH, inputs));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Posts of 47 in 1470, at most 600 apart: 1423 from centre to centre, three bays of 474.3; worked outside this project.
    #[test]
    fn posts_of_a_trough() {
        let bays = Bays::needed(Length::mm(1_423), Some(Length::mm(600))).expect("a count");
        assert_eq!(bays.count(), 3);
        assert_eq!(bays.pitch(), Length::nm(474_333_333));
        let starts: Vec<Length> = bays.starts().collect();
        assert_eq!(starts, [0, 474_333_333, 948_666_666, 1_423_000_000].map(Length::nm));
    }

    /// Exactly the spacing is near enough, a nanometre more is not; and there is always one bay.
    #[test]
    fn the_spacing_is_the_most() {
        let bays = |nm: i64| Bays::needed(Length::nm(nm), Some(Length::mm(400))).expect("a count").count();
        assert_eq!([bays(800_000_000), bays(800_000_001), bays(1), bays(-5)], [2, 3, 1, 1]);
        assert_eq!(Bays::needed(Length::mm(9_000), None).expect("a count").count(), 1);
        assert_eq!(Bays::needed(Length::mm(9_000), Some(Length::ZERO)), None);
    }
}
