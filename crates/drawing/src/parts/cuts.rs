//! What is cut at each end and along the edges of a part, in the words of the saw.

use super::face::Face;
use crate::paper::exact;
use measure::{Length, Tape};
use model::part::{Part, UNIT, from_mm};
use shape::vector::{Vector, dot};

/// An angle below this, in degrees, is square: no saw is set so finely.
const SQUARE: f64 = 0.02;
/// So near to a circle, in mm, planes touch it.
const TOUCHES: f64 = 0.01;
/// So many planes round an end; fewer slope or point it.
const ROUND: usize = 3;

/// A plane as the face is drawn: its normal to the right, upwards and towards the viewer, and how far it lies along that
/// from the lower left corner of the face.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cut {
    normal: Vector,
    offset: f64,
}

impl Cut {
    /// The mitre on the face: how far its trace lies off square across, in degrees.
    pub(super) fn saw(&self) -> f64 {
        degrees(libm::atan2(self.normal[1].abs(), self.normal[0].abs()))
    }

    /// How far the blade is tilted from upright as the part lies on its face, in degrees.
    pub(super) fn tilt(&self) -> f64 {
        degrees(libm::asin(self.normal[2].abs().min(1.0)))
    }

    /// How far its trace on the edge lies off square there, in degrees: the tilt, unless it is a compound cut.
    fn on_edge(&self) -> f64 {
        degrees(libm::atan2(self.normal[2].abs(), self.normal[0].abs()))
    }

    /// How far a plane along the grain lies off square to the face, in degrees.
    fn bevel(&self) -> f64 {
        degrees(libm::atan2(self.normal[2].abs(), self.normal[1].abs()))
    }

    /// Whether it is the tapered face of a feather-edge board, which is bought so. Boards that lap are at least four times as wide
    /// as thick, so it lies within 15° of the face; an edge is never planed so far off square.
    fn is_taper(&self) -> bool {
        self.is_planed() && self.bevel() > 75.0
    }

    /// Whether it runs along the grain: a plane to be planed or ripped.
    fn is_planed(&self) -> bool {
        self.normal[0].abs() < 1e-9
    }
}

fn degrees(radians: f64) -> f64 {
    radians * 180.0 / std::f64::consts::PI
}

/// Degrees to a tenth.
pub(super) fn shown(degrees: f64) -> String {
    format!("{degrees:.1}°")
}

/// The circle that rounds an end.
#[derive(Clone, Copy, Debug)]
pub(super) struct Round {
    pub(super) centre: [f64; 2],
    pub(super) radius: f64,
}

/// All cuts of a part.
pub(super) struct Cuts {
    /// At the left end and at the right end.
    pub(super) ends: [Vec<Cut>; 2],
    /// Along the grain.
    planed: Vec<Cut>,
    pub(super) rounds: [Option<Round>; 2],
}

impl Cuts {
    pub(super) fn of(part: &Part, face: &Face) -> Cuts {
        let axes = part.at.frame.axes();
        let corner = part.at.corner.map(Length::as_mm);
        let mut cuts = Cuts { ends: [Vec::new(), Vec::new()], planed: Vec::new(), rounds: [None; 2] };
        for plane in part.solid.ends.iter().flatten() {
            let turned = |own: Vector| [0, 1, 2].map(|i| (0..3).map(|axis| own[axis] * axes[axis][i]).sum::<f64>());
            let normal = turned(plane.normal.map(|part| part as f64 / UNIT as f64));
            let through = turned(plane.through.map(Length::as_mm));
            let point = face.seen([0, 1, 2].map(|i| corner[i] + through[i]));
            let normal = face.turned(normal);
            let cut = Cut { normal, offset: dot(normal, point) };
            if cut.is_planed() {
                cuts.planed.push(cut);
            } else {
                cuts.ends[usize::from(normal[0] > 0.0)].push(cut);
            }
        }
        for end in 0..2 {
            // From the lower edge to the upper one.
            cuts.ends[end].sort_by(|a, b| a.normal[1].total_cmp(&b.normal[1]));
            cuts.rounds[end] = circle(&cuts.ends[end]);
        }
        cuts
    }

    /// Whether a plane is not square to the face.
    pub(super) fn show_edge(&self) -> bool {
        self.ends.iter().flatten().any(|cut| cut.tilt() > SQUARE)
    }

    /// Whether the end has to be shown.
    pub(super) fn show_end(&self) -> bool {
        !self.planed.is_empty()
    }

    /// What is written beside an end of the face.
    pub(super) fn on_face(&self, end: usize) -> String {
        match (self.rounds[end], self.ends[end].as_slice()) {
            (None, [cut, ..]) if cut.saw() > SQUARE => shown(cut.saw()),
            _ => String::new(),
        }
    }

    /// What is written beside an end of the edge: how its trace lies off square there.
    pub(super) fn on_edge(&self, end: usize) -> String {
        match self.ends[end].as_slice() {
            [cut] if cut.tilt() > SQUARE => shown(cut.on_edge()),
            _ => String::new(),
        }
    }

    /// What is written beside the lower and the upper edge where the end is shown.
    pub(super) fn on_end(&self) -> [String; 2] {
        [false, true].map(|upper| {
            let cut = self.planed.iter().find(|cut| (cut.normal[1] > 0.0) == upper);
            let off = |cut: &Cut| if cut.is_taper() { 90.0 - cut.bevel() } else { cut.bevel() };
            cut.map_or(String::new(), |cut| shown(off(cut)))
        })
    }

    /// What is cut, end by end, or both at once.
    pub(super) fn words(&self, face: &Face, tape: Tape) -> Vec<String> {
        let [left, right] = [0, 1].map(|end| self.end(end, face, tape));
        let mut words = if left == right {
            vec![format!("Both ends {left}")]
        } else {
            let names =
                if face.upright { ["Lower end (left)", "Upper end (right)"] } else { ["Left end", "Right end"] };
            vec![format!("{} {left}", names[0]), format!("{} {right}", names[1])]
        };
        words.extend(self.planed.iter().map(|cut| planed(cut, face, tape)));
        words
    }

    /// The same in a few words, for a list.
    pub(super) fn in_short(&self) -> String {
        let [left, right] = [0, 1].map(|end| self.end_in_short(end));
        let mut words = vec![match (left.as_str(), right.as_str()) {
            (left, right) if left == right => left.to_owned(),
            ("square", other) | (other, "square") => format!("one end {other}, the other square"),
            (left, right) => format!("one end {left}, the other {right}"),
        }];
        words.extend(self.planed.iter().map(|cut| format!("an edge bevelled {}", shown(cut.bevel()))));
        words.join("; ")
    }

    fn end_in_short(&self, end: usize) -> String {
        match (self.rounds[end], self.ends[end].as_slice()) {
            (Some(_), _) => "rounded".to_owned(),
            (None, []) => "square".to_owned(),
            (None, [cut]) => match (cut.saw() > SQUARE, cut.tilt() > SQUARE) {
                (false, false) => "square".to_owned(),
                (true, false) => format!("mitred {}", shown(cut.saw())),
                (false, true) => format!("bevelled {}", shown(cut.tilt())),
                (true, true) => format!("compound, mitre {}, tilt {}", shown(cut.saw()), shown(cut.tilt())),
            },
            (None, _) => "pointed".to_owned(),
        }
    }

    fn end(&self, end: usize, face: &Face, tape: Tape) -> String {
        let read = |mm: f64| exact(tape, from_mm(mm).round_to(tape.step()));
        let cuts = &self.ends[end];
        if let Some(round) = self.rounds[end] {
            return format!("rounded, radius {}, rise {}", read(round.radius), read(face.rise(end)));
        }
        match cuts.as_slice() {
            [] => "square".to_owned(),
            [cut] => single(cut),
            [first, .., last] => {
                let sides = if (first.saw() - last.saw()).abs() < SQUARE {
                    format!("each side {} from square", shown(first.saw()))
                } else {
                    format!("sides {} and {} from square", shown(first.saw()), shown(last.saw()))
                };
                format!("pointed, flat {}, rise {}, {sides}", read(face.flat_top(end)), read(face.rise(end)))
            }
        }
    }
}

/// One cut across an end.
fn single(cut: &Cut) -> String {
    let (saw, tilt) = (cut.saw(), cut.tilt());
    let side = if cut.normal[2] < 0.0 { "longer" } else { "shorter" };
    match (saw > SQUARE, tilt > SQUARE) {
        (false, false) => "square".to_owned(),
        (true, false) => format!("mitred {} on the face", shown(saw)),
        (false, true) => format!("bevelled: saw square across, blade tilted {}, this face the {side}", shown(tilt)),
        (true, true) => {
            let edge = shown(cut.on_edge());
            format!(
                "cut compound: saw {} on the face, blade tilted {} (a bevel gauge on the edge shows {edge}), this face the {side}",
                shown(saw),
                shown(tilt)
            )
        }
    }
}

/// A plane along the grain.
fn planed(cut: &Cut, face: &Face, tape: Tape) -> String {
    let edge = if cut.normal[1] > 0.0 { "upper" } else { "lower" };
    if cut.is_taper() {
        return format!(
            "Feather-edged as it is bought: the {edge} edge is the thin one, the faces run together by {}",
            shown(90.0 - cut.bevel())
        );
    }
    let side = if cut.normal[2] < 0.0 { "wider" } else { "narrower" };
    let [near, far] = face.widths().map(|mm| exact(tape, from_mm(mm).round_to(tape.step())));
    format!(
        "The {edge} edge planed or ripped along its length, {} off square, this face the {side}: {near} here, {far} on the other face",
        shown(cut.bevel())
    )
}

/// The circle that all planes of an end touch, square to the face; `None` where there is none.
///
/// A plane with normal n at distance d touches a circle about c with radius r where n · c + r = d: three of them give c and
/// r, the others must agree.
fn circle(cuts: &[Cut]) -> Option<Round> {
    if cuts.len() < ROUND || cuts.iter().any(|cut| cut.tilt() > SQUARE) {
        return None;
    }
    let three = [cuts[0], cuts[cuts.len() / 2], cuts[cuts.len() - 1]];
    // Differences from the first take the radius out; two equations in two unknowns are left.
    let row = |cut: &Cut| {
        let first = &three[0];
        [cut.normal[0] - first.normal[0], cut.normal[1] - first.normal[1], cut.offset - first.offset]
    };
    let ([a, b, e], [c, d, f]) = (row(&three[1]), row(&three[2]));
    let determinant = a * d - b * c;
    if determinant.abs() < 1e-9 {
        return None;
    }
    let centre = [(e * d - b * f) / determinant, (a * f - e * c) / determinant];
    let reach = |cut: &Cut| cut.offset - cut.normal[0] * centre[0] - cut.normal[1] * centre[1];
    let radius = reach(&three[0]);
    (radius > 0.0 && cuts.iter().all(|cut| (reach(cut) - radius).abs() < TOUCHES)).then_some(Round { centre, radius })
}
