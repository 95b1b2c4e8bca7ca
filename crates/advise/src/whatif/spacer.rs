//! One spacer for several rows of a piece: how near a block on the tape's steps comes to the gaps of all of them.

use crate::Settled;
use measure::{Length, Share};

/// The spacer that comes nearest to the gaps of all rows of a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spacer {
    /// The piece.
    pub piece: String,
    /// How thick it is, on the tape's steps.
    pub spacer: Length,
    /// Its rows.
    pub rows: Vec<SpacerRow>,
    /// Whether it is right for all of them, within half a step of the tape.
    pub does: bool,
}

/// What a row lacks or has too much when it is set out with the spacer alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpacerRow {
    /// The face.
    pub face: String,
    /// How many gaps.
    pub places: u32,
    /// What is left at the end: above nothing, the row ends short by so much; below, it runs over.
    pub off: Length,
}

pub(super) fn all(settled: &Settled) -> Vec<Spacer> {
    let step = settled.plan.tape.step();
    let mut names: Vec<&str> = Vec::new();
    for row in &settled.build.rows {
        if !names.contains(&row.piece.as_str()) {
            names.push(&row.piece);
        }
    }
    let of = |piece: &str| {
        // Rows of marks have covers, which are no gaps.
        let has_members = |row: &&model::build::Row| row.pattern.iter().any(|member| *member > Length::ZERO);
        let rows = settled.build.rows.iter().filter(|row| row.piece == piece).filter(has_members);
        let gaps: Vec<(&str, Share)> = rows
            .filter_map(|row| Some((row.face.as_str(), row.gaps?)))
            .filter(|(_, gaps)| gaps.total() > Length::ZERO)
            .collect();
        spacer(piece, &gaps, step)
    };
    names.into_iter().filter_map(of).collect()
}

fn spacer(piece: &str, gaps: &[(&str, Share)], step: Length) -> Option<Spacer> {
    let off = |share: Share, spacer: Length| share.total() - spacer * i64::from(share.places());
    let worst = |spacer: Length| gaps.iter().map(|(_, share)| off(*share, spacer).abs()).max();
    // The nearest steps below and above each row's own gap: between them the worst row only gets worse.
    let each = gaps.iter().map(|(_, share)| share.total().nanometres().div_euclid(i64::from(share.places())));
    let (least, most) = (each.clone().min()?, each.max()?);
    let steps = least.div_euclid(step.nanometres())..=most.div_euclid(step.nanometres()) + 1;
    let spacer =
        steps.map(|steps| step * steps).filter(|spacer| *spacer > Length::ZERO).min_by_key(|s| (worst(*s), *s))?;
    if worst(spacer)? == Length::ZERO {
        return None;
    }
    let row = |&(face, share): &(&str, Share)| SpacerRow {
        face: face.to_owned(),
        places: share.places(),
        off: off(share, spacer),
    };
    let does = worst(spacer)? + worst(spacer)? <= step;
    Some(Spacer { piece: piece.to_owned(), spacer, rows: gaps.iter().map(row).collect(), does })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sixteenths(count: i64) -> Length {
        Length::nm(1_587_500 * count)
    }

    /// Eleven slats of 3-1/2 in 46-1/4: ten gaps share 7-3/4, which is 0.775 each. A spacer of 3/4 leaves the last slat 1/4
    /// low (worked by hand; a screen of slats in inches).
    #[test]
    fn a_spacer_of_three_quarters_leaves_a_quarter() {
        let gaps = [("front", Share::new(sixteenths(124), 10).expect("ten places"))];
        let spacer = spacer("screen", &gaps, sixteenths(1)).expect("it is off");
        assert_eq!((spacer.spacer, spacer.rows[0].off, spacer.does), (sixteenths(12), sixteenths(4), false));
    }

    /// Rows of 10 and 11 millimetres shared by two gaps each: 5 does for the one, and leaves one millimetre in the other.
    #[test]
    fn one_spacer_is_as_near_as_it_can_be_to_all_rows() {
        let share = |total| Share::new(Length::nm(total), 2).expect("two places");
        let gaps = [("front", share(10_000_000)), ("right", share(10_400_000))];
        let spacer = spacer("ring", &gaps, Length::mm(1)).expect("it is off");
        assert_eq!((spacer.spacer, spacer.does), (Length::mm(5), true));
        assert_eq!(spacer.rows[1].off, Length::nm(400_000));
    }

    #[test]
    fn gaps_on_the_tape_need_no_word() {
        let gaps = [("front", Share::new(Length::mm(16), 2).expect("two places"))];
        assert_eq!(spacer("ring", &gaps, Length::mm(1)), None);
    }
}
