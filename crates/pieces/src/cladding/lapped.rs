//! Boards that lap: level ones, each over the upper edge of the one below, like the weatherboards of a house.
//!
//! The trade's gauge, the *cover*, is what closes: so many equal covers and one board on the slant fill the height. All boards
//! lean alike, because a strip behind the lowest one tips it as far as the others lie on one another; so their ends meet round
//! corners as those of walls that lean do.

mod lean;
pub(crate) mod whys;

use super::boards::roles;
use super::covers::LEAST;
use super::sides;
use crate::Piece;
use crate::angles::{explain_compound, explain_mitre, half_tan, times_up};
use crate::ask::{Ask, RowAsk, Stand};
use crate::fitted::{Fitted, RowFit};
use crate::named::stock_behind;
use crate::place::{Ground, Slope, Spans, Way};
use crate::rows::{Corners, RowLine, row_line};
use crate::rules;
use crate::timber::Timber;
use crate::walls::explain_length;
use lean::{Lapping, Lean};
use measure::{Length, Tape};
use model::affine::Affine;
use model::build::{Air, Build, Fixed, Fixing, Load, Note, Roles, Row, Step};
use model::corner::Layer;
use model::outline::Outline;
use model::part::{Part, PartKey, Plane, UNIT};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{StockKind, Wish};
use model::stock::StockRef;
use model::why::{Input, Of, Quantity, Value};

/// Lapped boards as the plan states them.
struct Lapped {
    text: PieceText,
    on: String,
    boards: Lapping,
    cover: Wish,
    /// The boards at the least cover: no other leans or reaches out further.
    furthest: Lean,
    starter: Timber,
    off_ground: Length,
    screw: Option<StockRef>,
    /// The roles of the parts of what is clad.
    clad_roles: Vec<&'static str>,
}

/// Boards are so many times as wide as they are thick at least: thicker ones would lean by more than thirty degrees.
const SLENDER: i64 = 4;

pub(super) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    check_keys(text)?;
    let place = text.values.place_of("board");
    let board = Timber::lapped(plan, &text.need_text("board")?, &place)?;
    let edge = plan.yard.boards[board.stock.place].thin_edge.unwrap_or(board.thickness);
    let starter = Timber::needed(text, plan, "starter")?;
    if board.thickness * SLENDER > board.width {
        let thick = Problem::new("boards that lap are at least four times as wide as they are thick").at(&place);
        return Err(thick.hint("take wider or thinner boards"));
    }
    let cover = text.need_wish("cover")?;
    check_cover(text, board.width, cover, plan.tape)?;
    let beyond = || Problem::new("boards of these measures do not lap").at(&place);
    let boards = Lapping::new(board, edge).ok_or_else(beyond)?;
    let ends = [cover.to, cover.from].map(|cover| boards.at(cover).ok_or_else(beyond));
    let [nearest, furthest] = ends;
    let (nearest, furthest) = (nearest?, furthest?);
    for lean in [nearest, furthest] {
        check_starter(text, starter, lean, plan.tape)?;
    }
    let (on, off_ground) = (text.need_text("on")?, text.need_length("off-ground")?);
    let screw = stock_behind(text, plan, StockKind::Screw, "screw")?;
    let (text, clad_roles) = (text.clone(), roles(plan, &on));
    Ok(Box::new(Lapped { text, on, boards, cover, furthest, starter, off_ground, screw, clad_roles }))
}

/// Refuses what has no meaning for boards that lap.
fn check_keys(text: &PieceText) -> Result<(), Problem> {
    sides::without(text, &["gap"], "boards that lap have no gap: say how much of each shows", "cover = …")?;
    sides::without(text, &["pattern", "pattern-ends"], "boards that lap come in no pattern", "board = …")?;
    let square = "boards that lap have no upper ends that could be shaped";
    sides::without(text, &["top", "rise", "flat"], square, "boards = \"upright\"")?;
    if text.values.word("corners").is_some_and(|word| !matches!(word, "mitred" | "any")) {
        let gaping = Problem::new("boards that lap are mitred: a square end would leave a gap behind its neighbour");
        return Err(gaping.at(&text.values.place_of("corners")).hint("leave `corners` out"));
    }
    Ok(())
}

/// Holds that each board lies over the one below and over no other.
fn check_cover(text: &PieceText, width: Length, cover: Wish, tape: Tape) -> Result<(), Problem> {
    let place = text.values.place_of("cover");
    let [from, to, board] = [cover.from, cover.to, width].map(|length| tape.show_with_unit(length));
    if cover.to >= width {
        let bare = Problem::new(format!("boards {board} wide do not lap at a cover of {to}")).at(&place);
        return Err(bare.hint("cover is the board's width less the lap"));
    }
    if cover.from * 2 < width {
        let twice = format!("at a cover of {from} more than half of boards {board} wide is covered");
        return Err(Problem::new(twice).at(&place).hint("let `cover` range from half the width"));
    }
    Ok(())
}

/// Holds that the strip fits behind the lowest board, in its lower half.
fn check_starter(text: &PieceText, starter: Timber, lean: Lean, tape: Tape) -> Result<(), Problem> {
    let half = Length::nm(lean.of.board.width.nanometres() / 2);
    let end = lean.starter(starter.thickness);
    if end.is_some_and(|end| starter.width <= end && end <= half) {
        return Ok(());
    }
    let [thin, thick] = [half, starter.width].map(|end| tape.show_with_unit(lean.strip_below(end)));
    let [strip, wide, cover] = [starter.thickness, starter.width, lean.cover].map(|length| tape.show_with_unit(length));
    let odd = format!(
        "a starter {strip} thick and {wide} wide does not tip the lowest board like the others at a cover of {cover}"
    );
    let hint = match starter.width > half {
        true => "take a strip at most half as wide as the boards".to_owned(),
        false => format!("between {thin} and {thick} thick it would; a narrower strip may be thicker"),
    };
    Err(Problem::new(odd).at(&text.values.place_of("starter")).hint(hint))
}

impl Lapped {
    fn height(&self, stand: &Stand) -> Affine {
        stand.top.clone() - stand.bottom.clone() + -self.off_ground
    }

    /// The row of the strip behind the lowest boards of a side.
    fn strip_line(&self, outline: &Outline, clad: &[bool], side: usize) -> Result<RowLine, Problem> {
        let layers: Vec<Option<Layer>> = clad.iter().map(|&clad| clad.then(|| self.strip())).collect();
        row_line(outline, self.strip(), &layers, Corners::Mitred, side, &self.text.values.place_of("corners"))
    }

    fn strip(&self) -> Layer {
        // A board has a thickness: the yard's schema says so.
        Layer::new(Length::ZERO, self.starter.thickness).expect("a board has a thickness")
    }

    fn ask_lengths(&self, ask: &mut Ask<'_>, outline: &Outline, clad: &[bool]) -> Result<(), Problem> {
        let name = &self.text.name;
        for side in (0..outline.count()).filter(|&side| clad[side]) {
            let face = &outline.sides()[side];
            let ends = ends(outline, clad, side);
            let reach = ends.map(|end| end.map_or(Length::ZERO, |half| times_up(self.furthest.depth, half.max(0.0))));
            let lost = ends.map(|end| end.map_or(Length::ZERO, |half| times_up(self.furthest.depth, (-half).max(0.0))));
            let longest = self.boards.board.longest;
            let what = format!("the {} of {name}", face.name);
            ask.comes_from_stock(&what, Vec::new(), &(face.length.clone() + reach[0] + reach[1]), longest);
            if lost != [Length::ZERO; 2] {
                let what = format!("{what} where its boards are shortest");
                ask.is_there(&what, Vec::new(), &(face.length.clone() + -(lost[0] + lost[1])));
            }
            let strip = self.strip_line(outline, clad, side)?.face;
            ask.comes_from_stock(&format!("the starter of {what}"), Vec::new(), &strip, self.starter.longest);
        }
        Ok(())
    }

    /// Says what the boards are screwed to, through the air behind them.
    fn fix(&self, laid: &Laid<'_>, out: &mut Build) {
        let (Some(screw), Some(lines)) = (self.screw, laid.lean.screw_lines(self.starter.thickness)) else { return };
        let half = Length::nm(self.boards.board.width.nanometres() / 2);
        let [others, lowest] = lines.map(|line| [line, half.max(line + lean::ABOVE)]);
        let roles = |piece: &str, role: &str| Roles { piece: piece.to_owned(), role: role.to_owned() };
        for role in &self.clad_roles {
            let (held, base) = (roles(&self.text.name, "board"), roles(&self.on, role));
            let air = Some(Air { lowest, others });
            out.fixings.push(Fixing { held, base, screw, each: None, load: Load::Own, air });
        }
    }

    fn key(&self, role: &str, face: &str, course: u32) -> PartKey {
        PartKey { piece: self.text.name.clone(), role: role.into(), face: face.into(), course, index: 0 }
    }

    fn step(&self, what: String, first: usize, out: &mut Build) {
        let parts = out.parts[first..].iter().map(|part| part.key.clone()).collect();
        out.steps.push(Step { piece: self.text.name.clone(), what, caution: None, parts });
    }

    fn notes(&self, cover: Length, out: &mut Build) {
        let name = &self.text.name;
        let mut note = |text: String| out.notes.push(Note { piece: name.clone(), text });
        note(match self.screw {
            Some(_) => format!(
                "The screws of {name} stand square to the board: bore each board square to its back, on the line given under {name}.screw-line or as far above it as its template says, the lowest ones by {name}.starter.screw-line, and drive them the same way. They cross the air behind, so drive them no further than the board lies still: each board is held once, and the one below stays free (common practice)."
            ),
            None => format!(
                "The boards of {name} touch the face behind them along their upper edge only; without `screw` nothing is placed or counted that holds them. Fix each board once, by one row of screws through its own lower part on the line given under {name}.screw-line, never through the board below, so that both can move (common practice); they cross the air behind, {name}.stand-off deep at the lower edge."
            ),
        });
        if self.boards.board.width - cover < LEAST {
            note(format!(
                "The boards of {name} lap by less than 25 mm (common practice): less `cover` keeps rain out as they dry."
            ));
        }
    }
}

/// For each end of a side whose neighbour is clad too, the tangent of half the turn there; less than nothing at an inside corner.
fn ends(outline: &Outline, clad: &[bool], side: usize) -> [Option<f64>; 2] {
    let (before, after) = (outline.before(side), outline.after(side));
    let half = |corner: usize| half_tan(outline.turn_after(corner).angle());
    [clad[before].then(|| half(before)), clad[after].then(|| half(side))]
}

impl Piece for Lapped {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let place = self.text.values.place_of("on");
        let on = ask.stand(&self.on, &place)?;
        sides::can_be_clad(&self.text, &on)?;
        let clad = sides::clad(&self.text, &on.outline)?;
        ask.is_not_overhung(&self.on, &self.text.name, &place)?;
        for side in (0..clad.len()).filter(|&side| clad[side]) {
            ask.take(&self.on, side, &self.text.name, &place)?;
        }
        let floor = Length::nm(self.boards.board.width.nanometres() / 2);
        let gap = ask.cover(&self.text.called("cover"), self.cover, floor, self.text.values.place_of("cover"));
        let face = self.height(&on) + -self.boards.slant;
        ask.is_there(&format!("the height of {} above one board", self.text.name), Vec::new(), &face);
        let (name, pattern) = (&self.text.called("courses"), &[Length::ZERO]);
        ask.row(RowAsk { name, when: Vec::new(), face, pattern, more: 0, end_gaps: 0, gap, times: 1 });
        self.ask_lengths(ask, &on.outline, &clad)?;
        let by: Vec<Length> = clad.iter().map(|&clad| if clad { self.furthest.depth } else { Length::ZERO }).collect();
        let bottom = on.bottom.clone() + self.off_ground;
        Ok(Stand { bottom, has_faces: false, wall: None, ..on.moved_out(&by) })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let (on, own) = (fitted.stand(&self.on)?, fitted.stand(&self.text.name)?);
        let ground = Ground::of(on, fitted)?;
        let clad = sides::clad(&self.text, &on.outline)?;
        let [bottom, top] = [&own.bottom, &own.top].map(|height| height.at(fitted.sizes()));
        let row = self.row(top - bottom - self.boards.slant, fitted.need_row(&self.text.called("courses"))?);
        let laid = Laid::new(self, &ground, &row, bottom)?;
        let strip = self.starter.thickness;
        laid.lean.explain(|what| self.text.called(what), top - bottom, row.count, strip, out);
        let mut mitred = false;
        for side in (0..on.outline.count()).filter(|&side| clad[side]) {
            let length = on.outline.sides()[side].length.at(fitted.sizes());
            let ends = ends(&on.outline, &clad, side);
            mitred |= ends.iter().any(Option::is_some);
            laid.starter(&self.strip_line(&on.outline, &clad, side)?, length, out);
            laid.boards(side, length, ends, &row, out);
        }
        if mitred {
            explain_mitre(&self.text.name, &on.outline, out);
            explain_compound(&self.text.name, &on.outline, (&self.text.called("lean"), laid.lean.angle), out);
        }
        self.fix(&laid, out);
        self.notes(laid.lean.cover, out);
        out.rows.push(row);
        out.fixed.push(Fixed { piece: self.text.name.clone(), to: self.on.clone() });
        out.outlines.push(Ground::of(own, fitted)?.drawn(&self.text.name));
        Ok(())
    }
}

impl Lapped {
    /// The marks of the lower edges.
    fn row(&self, length: Length, fit: RowFit) -> Row {
        Row {
            piece: self.text.name.clone(),
            face: "courses".into(),
            length,
            pattern: vec![Length::ZERO],
            count: fit.count,
            gaps: fit.gaps,
            starts_with_gap: false,
            up: true,
        }
    }
}

/// Boards that lap, for the sizes that came out.
struct Laid<'a> {
    of: &'a Lapped,
    ground: &'a Ground,
    lean: Lean,
    bottom: Length,
    /// Where the strip behind the lowest boards ends.
    starter: Length,
}

impl<'a> Laid<'a> {
    fn new(of: &'a Lapped, ground: &'a Ground, row: &Row, bottom: Length) -> Result<Laid<'a>, Problem> {
        let flat = || Problem::new(format!("the boards of `{}` do not lap", of.text.name)).at(&of.text.place);
        let cover = row.gaps.ok_or_else(flat)?.first(1);
        let lean = of.boards.at(cover).ok_or_else(flat)?;
        let end = lean.starter(of.starter.thickness).filter(|&end| end >= of.starter.width).ok_or_else(flat)?;
        Ok(Laid { of, ground, lean, bottom, starter: bottom + end })
    }

    /// The strip behind the lowest boards of a side.
    fn starter(&self, line: &RowLine, length: Length, out: &mut Build) {
        let (name, face, timber) = (&self.of.text.name, self.ground.name(line.side), self.of.starter);
        let spans = Spans {
            along: [-line.reach[0], length + line.reach[1]],
            out: [Length::ZERO, timber.thickness],
            up: [self.starter - timber.width, self.starter],
        };
        let mut part =
            self.ground.part(line.side, spans, [Way::Along, Way::Up], self.of.key("starter", face, 0), timber.stock);
        (0..2).for_each(|end| self.ground.mitre(&mut part, end, line, self.of.strip(), length));
        let inputs = vec![
            Input::new(format!("the {face} of the outline"), Value::length(length)),
            Input::new("reach at its start", Value::length(line.reach[0])),
            Input::new("reach at its end", Value::length(line.reach[1])),
        ];
        let (called, what) = (format!("{face}.starter.length"), format!("length of the starter along the {face}"));
        out.quantities.extend(Quantity::by(self.of.text.called(&called), what, Of::Length, &rules::ROW_LENGTH, inputs));
        let first = out.parts.len();
        out.parts.push(part);
        let what = format!("Fix the starter of {name} level on the {face} of {}", self.of.on);
        self.of.step(what, first, out);
    }

    /// The boards of a side, from below.
    fn boards(&self, side: usize, length: Length, ends: [Option<f64>; 2], row: &Row, out: &mut Build) {
        let (name, face) = (&self.of.text.name, self.ground.name(side));
        let reach = ends.map(|end| end.map_or(Length::ZERO, |half| times_up(self.lean.depth, half.max(0.0))));
        out.quantities.extend(explain_length(name, face, length, reach));
        let first = out.parts.len();
        for (course, start) in (0..).zip(row.starts()) {
            let along = [-reach[0], length + reach[1]];
            let mut part = self.board(side, along, start, self.of.key("board", face, course));
            for end in (0..2).filter(|&end| ends[end].is_some()) {
                self.ground.halve(&mut part, end, side);
            }
            out.parts.push(part);
        }
        let what = format!(
            "Fix the boards of {name} on the {face} of {} from below, each with its lower edge on its mark and its upper edge against the face, by screws just above the board below",
            self.of.on
        );
        self.of.step(what, first, out);
    }

    /// One board whose lower back arris lies `start` above the lowest.
    fn board(&self, side: usize, along: [Length; 2], start: Length, key: PartKey) -> Part {
        let Lapping { board, edge, .. } = self.of.boards;
        let slope = Slope { lean: -self.lean.angle, base: self.bottom + start + self.lean.rise() };
        let spans = Spans { along, out: [Length::ZERO, board.thickness], up: [-board.width, Length::ZERO] };
        let mut part = self.ground.leaning(side, slope, spans, [Way::Along, Way::Up], key, board.stock);
        if edge < board.thickness {
            let (wide, taper) = (board.width.as_mm(), (board.thickness - edge).as_mm());
            let long = libm::sqrt(wide * wide + taper * taper);
            // A share of a unit times UNIT is far below 2⁵³.
            let unit = |share: f64| libm::round(share / long * UNIT as f64) as i64;
            part.solid.ends[0].push(Plane { normal: [0, unit(-wide), unit(taper)], through: [Length::ZERO; 3] });
        }
        part
    }
}
