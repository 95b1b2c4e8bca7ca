//! How boards lean that lap.

use super::whys::{self, LAPPED_DEPTH, LAPPED_LEAN, LEFT, SCREW_LINE, SLANT, STAND_OFF, STARTER};
use crate::timber::Timber;
use measure::{Angle, Length};
use model::build::Build;
use model::why::{Input, Of, Quantity, Rule, Value};

/// How far above the board below the screws stand: clear of its upper edge (*our own choice*).
pub(super) const ABOVE: Length = Length::mm(10);

/// Boards that lap, by their measures.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lapping {
    pub board: Timber,
    /// The thickness of the upper edge.
    pub edge: Length,
    /// From the upper front arris to the lower back arris.
    pub slant: Length,
}

/// The same at a cover.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lean {
    pub of: Lapping,
    pub cover: Length,
    /// From plumb, without its sense: the boards lean outwards at the foot.
    pub angle: Angle,
    /// How far out the lower front arrises lie.
    pub depth: Length,
}

impl Lapping {
    /// `None` only for boards beyond any that can be read.
    pub(super) fn new(board: Timber, edge: Length) -> Option<Lapping> {
        Some(Lapping { board, edge, slant: whys::length(&SLANT, &numbers([board.width, edge]))? })
    }

    /// How the boards lean at a cover; `None` if that is too little for their thickness.
    pub(super) fn at(self, cover: Length) -> Option<Lean> {
        let Timber { width, thickness, .. } = self.board;
        let lean = (LAPPED_LEAN.compute)(&numbers([width, thickness, self.edge, cover]))?;
        let depth = whys::length(&LAPPED_DEPTH, &[nm(width), nm(thickness), lean])?;
        let angle = Angle::from_millionths(i64::try_from(lean).ok()?).ok()?;
        Some(Lean { of: self, cover, angle, depth })
    }
}

impl Lean {
    /// How high above the lowest arris the strip behind the lowest board ends; `None` where the boards do not lean.
    pub(super) fn starter(self, strip: Length) -> Option<Length> {
        whys::length(&STARTER, &[nm(self.of.board.width), nm(strip), self.angle.millionths().into()])
    }

    /// How far below the upper back arris of the lowest board the strip behind it ends, plumb.
    fn above_starter(self, strip: Length) -> Option<Length> {
        Some(self.rise() - self.starter(strip)?)
    }

    /// How far from the lower edge of a board its screws stand at least: clear of the board below, and of the lowest one clear of
    /// the strip too.
    pub(super) fn screw_lines(self, strip: Length) -> Option<[Length; 2]> {
        let line = |plumb: Length| {
            let given = [nm(self.of.board.width), nm(plumb), self.angle.millionths().into(), nm(ABOVE)];
            whys::length(&SCREW_LINE, &given)
        };
        Some([line(self.cover)?, line(self.cover.min(self.above_starter(strip)?))?])
    }

    /// How far above its lower back arris the upper back arris of a board lies, to the nearest nanometre.
    pub(super) fn rise(self) -> Length {
        let (_, cos) = self.angle.sin_cos();
        Length::nm(libm::round(self.of.board.width.nanometres() as f64 * cos) as i64)
    }

    /// The thickest strip that ends so high, in a maker's words only.
    pub(super) fn strip_below(self, end: Length) -> Length {
        let (sin, cos) = self.angle.sin_cos();
        let width = self.of.board.width.as_mm();
        model::part::from_mm(((width * cos - end.as_mm()) * sin / cos).max(0.0))
    }

    /// Puts what the cover makes of the boards into the build, each number with its why. `height` is that of the cladding,
    /// `boards` how many courses it has.
    pub(super) fn explain(
        self,
        called: impl Fn(&str) -> String,
        height: Length,
        boards: u32,
        strip: Length,
        out: &mut Build,
    ) {
        let Lapping { board, edge, slant } = self.of;
        let length = |what: &str, length: Length| Input::new(what, Value::length(length));
        let (width, thickness) = (length("width of a board", board.width), length("its thickness", board.thickness));
        let (upper, lean) = (length("its upper edge", edge), Input::new(called("lean"), Value::angle(self.angle)));
        let (slant, cover) = (length(&called("slant"), slant), length(&called("cover"), self.cover));
        let courses = Input::new("boards", Value::count(boards));
        let above = length("above the edge of the board below", ABOVE);
        let mut put = |name: &str, what: &str, of: Of, rule: &'static Rule, inputs: &[&Input]| {
            let inputs = inputs.iter().map(|&input| input.clone()).collect();
            out.quantities.extend(Quantity::by(called(name), what, of, rule, inputs));
        };
        put("slant", "most height of a board that leans", Of::Length, &SLANT, &[&width, &upper]);
        let high = length("height that is clad", height);
        put("cover", "from lower edge to lower edge", Of::Length, &whys::COVER, &[&high, &slant, &courses]);
        put("lap", "lap of the boards", Of::Length, &whys::LAP, &[&width, &cover]);
        put(
            "lean",
            "lean from plumb, outwards at the foot",
            Of::Angle,
            &LAPPED_LEAN,
            &[&width, &thickness, &upper, &cover],
        );
        put("stand-off", "how far lower edges stand off the face", Of::Length, &STAND_OFF, &[&width, &lean]);
        put("depth", "how far out the boards reach", Of::Length, &LAPPED_DEPTH, &[&width, &thickness, &lean]);
        put("left", "what stays free above the top board", Of::Length, &LEFT, &[&slant, &width, &upper, &lean]);
        let strip_thick = strip;
        let strip = length("thickness of the starter", strip);
        put(
            "starter.top",
            "upper edge of the starter above the lower edge of the boards",
            Of::Length,
            &STARTER,
            &[&width, &strip, &lean],
        );
        put(
            "screw-line",
            "screws from the lower edge of a board",
            Of::Length,
            &SCREW_LINE,
            &[&width, &cover, &lean, &above],
        );
        let Some(plumb) = self.above_starter(strip_thick) else { return };
        let plumb = length("from the upper back arris down to the starter", self.cover.min(plumb));
        put(
            "starter.screw-line",
            "screws from the lower edge of the lowest boards",
            Of::Length,
            &SCREW_LINE,
            &[&width, &plumb, &lean, &above],
        );
    }
}

fn nm(length: Length) -> i128 {
    length.nanometres().into()
}

fn numbers<const N: usize>(lengths: [Length; N]) -> [i128; N] {
    lengths.map(nm)
}
