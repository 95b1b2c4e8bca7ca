//! What is said of a floor that nothing carries, and of the gap that it leaves at the walls.

use super::{Floor, Made};
use crate::borne::{Reaching, Ties, bears, reaching};
use measure::{Length, Tape};
use model::build::{Build, Note};
use model::part::Part;
use model::plan::{PieceText, Plan};
use model::problem::Problem;

/// Through a wider gap soil falls (*from memory*).
const SOIL_FALLS: Length = Length::mm(10);

/// The walls round a floor as far as they bear on what is said of it.
pub(super) struct Around {
    /// What ties the walls, if they stand by themselves, to what may stand for them.
    ties: Ties,
    /// The gap at the walls, if something is filled in on the floor.
    gap: Option<Length>,
    /// The liner on the floor.
    liner: Option<String>,
    tape: Tape,
}

impl Around {
    /// As the plan has it.
    ///
    /// # Errors
    /// If the floor has no `clear` or `play`, which both have defaults.
    pub fn of(text: &PieceText, plan: &Plan) -> Result<Around, Problem> {
        let on_it = |is: &str| {
            let other = plan.pieces.iter().find(|other| {
                other.schema.name == is && other.values.text("on").as_deref() == Some(text.name.as_str())
            });
            other.map(|other| other.name.clone())
        };
        let gap = text.need_length("clear")? + text.need_length("play")?;
        Ok(Around {
            ties: Ties::of(&text.need_text("in")?, plan),
            gap: on_it("fill").map(|_| gap),
            liner: on_it("liner"),
            tape: plan.tape,
        })
    }

    /// What soil does at the walls.
    pub fn gap_note(&self, name: &str, host: &str) -> Option<String> {
        let gap = self.gap.filter(|gap| *gap > SOIL_FALLS)?;
        let beside = format!("{name} ends {} short of the faces of {host}", self.tape.show_with_unit(gap));
        Some(match &self.liner {
            None => {
                format!(
                    "{beside}: soil falls through there. Lay fabric over the gap before you fill, turned up at the walls."
                )
            }
            Some(liner) => format!(
                "{beside}: soil presses {liner} into that gap and falls through once it tears. Lay strips over the gap where there is room, and under {liner} stout fabric turned up at the walls."
            ),
        })
    }
}

impl Floor {
    /// The note on a floor that rests on nothing; none where that is said of the walls that stand in the air with it.
    pub(super) fn carried_note(&self, out: &Build) -> Option<Note> {
        let name = self.text.name.as_str();
        let all = reaching(&out.parts);
        let own = out.parts.iter().zip(&all).filter(|(_, one)| one.is_of(name));
        let lowest = |(part, _): &(&Part, &Reaching)| self.bearers.is_none() || part.key.role == "bearer";
        let rests = |(_, one): (&Part, &Reaching)| one.is_on_ground() || one.bearing(&all).next().is_some();
        let leans = matches!(&self.made, Made::Panel(panel) if panel.fall.is_some());
        if self.around.ties.is_carried(name) || !leans && own.filter(lowest).all(rests) {
            return None;
        }
        let said = bears(name, &all) && self.around.ties.note(&self.host, out).is_some();
        let text = if self.bearers.is_some() {
            format!(
                "Nothing in this plan carries {name}: its bearers rest on nothing. Feet under them, battens on the walls or brackets have to carry them, an `extra` of it that `does = \"carries\"`."
            )
        } else {
            format!(
                "Nothing in this plan carries {name}: feet, pads or battens on the walls have to, close enough for wet soil, an `extra` of it that `does = \"carries\"`."
            )
        };
        (!said).then(|| self.note(text))
    }
}
