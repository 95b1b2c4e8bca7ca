//! A cap that falls outwards: its lower face turns about the outer upper arris of the walls.

use crate::angles::{explain_compound, half_tan, times_up};
use crate::place::Slope;
use crate::rows::Corners;
use measure::{Angle, Length};
use model::build::Build;
use model::corner::Layer;
use model::outline::Outline;
use model::plan::PieceText;
use model::problem::Problem;

/// How steeply a cap falls.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fall {
    angle: Angle,
}

impl Fall {
    /// What the plan asks; `None` for a level cap.
    pub(super) fn of(text: &PieceText, corners: Corners) -> Result<Option<Fall>, Problem> {
        let degrees = text.values.count("slope").unwrap_or(0);
        if degrees == 0 {
            return Ok(None);
        }
        let place = text.values.place_of("slope");
        if corners != Corners::Mitred {
            let odd = Problem::new("only a mitred cap can fall outwards on all sides").at(&place);
            return Err(odd.hint("add `corners = \"mitred\"`, or leave `slope` out"));
        }
        let angle = Angle::degrees(degrees.into()).map_err(|bad| Problem::new(bad.to_string()).at(&place))?;
        Ok(Some(Fall { angle }))
    }

    /// How the faces lie, for walls whose outer upper arris lies at this height.
    pub(super) fn slope(self, arris: Length) -> Slope {
        Slope { lean: self.angle, base: arris }
    }

    /// How far beyond a corner a board reaches to its long point: that of the outermost arris at an outside corner, of the
    /// innermost at an inside one.
    ///
    /// An arris `o` outwards along the slope and `u` above the lower face lies `o cos s + u sin s` outwards of the walls.
    pub(super) fn reach(self, turn: Angle, strip: Layer, thickness: Length) -> Length {
        let (sin, cos) = self.angle.sin_cos();
        let out = |along: Length, above: Length| along.as_mm() * cos + above.as_mm() * sin;
        let (innermost, outermost) = (out(strip.near(), Length::ZERO), out(strip.far(), thickness));
        let tan = half_tan(turn);
        times_up(Length::mm(1), (innermost * tan).max(outermost * tan))
    }

    /// Puts the two angles at the saw into the build, each with its why: the boards lean by what is left to a right angle.
    pub(super) fn explain(self, text: &PieceText, outline: &Outline, out: &mut Build) {
        let from_plumb = Angle::RIGHT + -self.angle;
        explain_compound(&text.name, outline, ("90° less the slope", from_plumb), out);
    }
}
