//! What cutting leaves in the shed: the offcuts that are used up, and the rests that are worth keeping.

use crate::Done;
use measure::{Length, Tape};
use std::collections::BTreeMap;

/// How the shed changes once everything is cut.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kept {
    /// Offcuts that are cut, by their names in the shed, and how many of each.
    pub used: Vec<(String, u64)>,
    /// What is left and worth keeping.
    pub rests: Vec<Rest>,
}

/// Rests that are alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rest {
    /// The board or sheet of the yard.
    pub of: String,
    /// Its length, and the width of a sheet, as the plan's tape reads them, with their unit: `397 mm`, `12-3/8"`.
    pub sides: Vec<String>,
    /// How many.
    pub count: u64,
}

/// How the shed changes once everything is cut. A rest is what the pattern leaves less one more kerf, which parts it from the
/// last part, down to a mark of the tape; of a sheet the strip beside the last one and the rest of each strip. It is kept
/// if no side is shorter than the shed's `keep`.
pub fn kept(done: &Done) -> Kept {
    let (plan, cutting) = (&done.settled.plan, &done.settled.cutting);
    let mut rests = Rests { keep: plan.shed.keep, tape: plan.tape, found: BTreeMap::new() };
    for section in &cutting.sections {
        let of = plan.yard.label(section.stock).0;
        for cut in &section.cuts {
            rests.add(of, &[cut.slack - section.kerf], cut.boards.len() as u64);
        }
    }
    for sheets in &cutting.sheets {
        let of = plan.yard.label(sheets.stock).0;
        let trim = plan.shed.saw_for_sheets().trim;
        for sheet in &sheets.sheets {
            rests.add(of, &[sheet.measures[0] - trim, sheet.slack - sheets.kerf], 1);
            for strip in &sheet.strips {
                rests.add(of, &[strip.slack - sheets.kerf, strip.width], 1);
            }
        }
    }
    let used = &done.settled.buying.from_shed;
    Kept { used: used.iter().map(|taken| (taken.name.clone(), taken.count)).collect(), rests: rests.all() }
}

/// Rests by what they are of and their sides.
struct Rests {
    keep: Length,
    tape: Tape,
    found: BTreeMap<(String, Vec<Length>), u64>,
}

impl Rests {
    fn add(&mut self, of: &str, sides: &[Length], count: u64) {
        let step = self.tape.step().nanometres();
        let down = |side: &Length| Length::nm(side.nanometres().div_euclid(step) * step);
        let sides: Vec<Length> = sides.iter().map(down).collect();
        if sides.iter().all(|side| *side >= self.keep) {
            *self.found.entry((of.to_owned(), sides)).or_default() += count;
        }
    }

    fn all(self) -> Vec<Rest> {
        let tape = self.tape;
        let rest = |((of, sides), count): ((String, Vec<Length>), u64)| Rest {
            of,
            sides: sides.into_iter().map(|side| tape.show_with_unit(side)).collect(),
            count,
        };
        self.found.into_iter().map(rest).collect()
    }
}
