//! Boards that lap: each lies over the upper edge of the one below and leans outwards at the foot.
//!
//! Seen from the end, the back of a board runs from the face of the wall at its upper arris down to the outer face of the board
//! below. Up the back that lower arris lies c above the one below, square to it as far out as the board below is thick there,
//! τ(c) = t - c (t - e) / b; and plumb it is a cover p higher: c² + τ(c)² = p². Lean and lap follow from c alone (*arithmetic*).

use super::clad_faces;
use crate::asked::leaning::millionths;
use crate::asked::lines::{self, Line, slack};
use crate::asked::{Asked, Form, Load, Planned, Stand, of_board, of_lapping};
use crate::claims::Part;
use crate::geometry::{Case, parts_of};
use crate::ground::{Ground, Outline, Way, meets, nearest, sin_cos};
use crate::laid::{ANGLE, Built, Cut, Laid, ROUNDED, RowOf, Site};
use crate::ledger::Ledger;
use crate::solid::Solid;
use crate::texts::{Papers, Piece};

/// How far above the edge of the board below the screws stand.
const ABOVE: i128 = 10_000_000;
/// How far parts that touch may lie apart or in one another: a micrometre, in millimetres.
const TOUCHING: f64 = 1e-3;

/// Lapped boards as they are planned.
struct Lapped {
    board: String,
    measures: Measures,
    starter: String,
    /// Thickness and width of the strip behind the lowest boards.
    strip: [i128; 2],
    base: Outline,
    clad: Vec<bool>,
    row: usize,
    /// The strips' lines along the clad sides.
    lines: Vec<Line>,
}

/// The section of a board: how wide, and how thick at its lower and at its upper edge.
#[derive(Clone, Copy)]
struct Measures {
    wide: i128,
    thick: i128,
    edge: i128,
}

/// How boards lean at a cover.
struct Lean {
    /// In millionths of a degree, outwards at the foot.
    angle: i64,
    /// How far out and how far up the back of a board its lower arris lies from its upper one.
    out: f64,
    up: f64,
    /// How far out the lower front arris lies.
    depth: i128,
}

impl Measures {
    /// The diagonal from the lower back arris to the upper front one, rounded up.
    fn slant(self) -> i128 {
        let square = self.wide * self.wide + self.edge * self.edge;
        let root = square.isqrt();
        if root * root == square { root } else { root + 1 }
    }

    fn lean(self, cover: i128) -> Option<Lean> {
        let [wide, thick, edge, cover] = [self.wide, self.thick, self.edge, cover].map(|length| length as f64);
        let taper = (thick - edge) / wide;
        let root = thick * thick * taper * taper + (1.0 + taper * taper) * (cover * cover - thick * thick);
        let along = (root >= 0.0).then(|| (thick * taper + libm::sqrt(root)) / (1.0 + taper * taper))?;
        let angle = millionths(libm::atan2(thick - taper * along, along));
        let (sin, cos) = sin_cos(angle);
        Some(Lean { angle, out: wide * sin, up: wide * cos, depth: nearest(wide * sin + thick * cos) })
    }
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    for key in ["gap", "pattern", "pattern-ends", "top", "rise", "flat"] {
        if piece.has(key) {
            return Err(format!("`{}` laps and has no `{key}`", piece.name));
        }
    }
    if !["mitred", "any"].contains(&piece.word("corners", "mitred")?.as_str()) {
        return Err(format!("`{}` laps and is not mitred", piece.name));
    }
    let around = asked.find(&piece.word("on", "")?)?;
    let on = asked.pieces[around].stand.clone();
    if !on.faces || on.batter != 0 {
        return Err(format!("`{}` laps on a piece without plumb faces", piece.name));
    }
    let (board, starter) = (piece.word("board", "")?, piece.word("starter", "")?);
    let ([thick, edge, wide, longest], [strip, high, strip_longest]) =
        (of_lapping(&board, papers)?, of_board(&starter, papers)?);
    let measures = Measures { wide, thick, edge };
    if 4 * thick > wide {
        return Err(format!("the boards of `{}` are too thick to lap", piece.name));
    }
    let cover = asked.gap(piece, "cover", None)?;
    let wish = &asked.gaps[cover].1;
    let (least, most) = (i128::from(wish.from), i128::from(wish.to));
    if 2 * least < wide || most >= wide {
        return Err(format!("the boards of `{}` lap by more than half or not at all", piece.name));
    }
    let lean = |cover| measures.lean(cover).ok_or_else(|| format!("the boards of `{}` do not lap", piece.name));
    let furthest = lean(least)?;
    for lean in [&furthest, &lean(most)?] {
        let end = lean.starter(strip).unwrap_or(0);
        if end < high || 2 * end > wide {
            return Err(format!("the starter of `{}` does not tip its lowest board", piece.name));
        }
    }
    let (base, bottom) = (on.outline.clone(), on.bottom.and(i128::from(piece.length("off-ground", 0)?)));
    let clad = clad_faces(piece, &base)?;
    let filled = on.top.plus(&bottom, -1).and(-measures.slant());
    asked.is_there(Vec::new(), filled.clone());
    let row = asked.row(Vec::new(), filled, 0, 0, cover);
    let strips: Vec<_> = clad.iter().map(|&clad| clad.then_some((0, strip))).collect();
    let lines = lines::lines(&base, &strips, "mitred", false);
    for line in &lines {
        let side = base.length(line.side);
        let [start, finish] = ends(&base, &clad, line.side).map(|turn| beyond(furthest.depth, turn));
        let long = side.and(start.max(0) + finish.max(0));
        asked.comes_out_within(Vec::new(), long, longest, slack(&base));
        let lost = start.min(0) + finish.min(0);
        if lost < 0 {
            asked.is_there_within(Vec::new(), side.and(lost), slack(&base));
        }
    }
    asked.limit_lines(&base, &lines, &Vec::new(), strip_longest);
    let by: Vec<i128> = clad.iter().map(|&clad| if clad { furthest.depth } else { 0 }).collect();
    let stand = Stand::plain(base.moved(&by), bottom, on.top);
    let form = Lapped { board, measures, starter, strip: [strip, high], base, clad, row, lines };
    let mut planned = Planned::new(piece, "cladding", stand, Box::new(form));
    if piece.has("screw") {
        let (screw, clad) = (piece.word("screw", "")?, piece.word("on", "")?);
        for role in ["board", "panel", "post", "cover"] {
            let fixing = planned.fix((&piece.name, "board"), (&clad, role), &screw);
            (fixing.load, fixing.leans) = (Load::Own, true);
        }
    }
    Ok(Planned { around: Some(around), fixed: true, ..planned })
}

/// The turns at both ends of a side, where its neighbour is clad too.
fn ends(base: &Outline, clad: &[bool], side: usize) -> [Option<i64>; 2] {
    let (before, after) = (base.before(side), base.after(side));
    [clad[before].then(|| base.turn(before)), clad[after].then(|| base.turn(side))]
}

/// How far what lies so far out of a side reaches beyond a corner, away from nothing; less than nothing at an inside corner.
fn beyond(out: i128, turn: Option<i64>) -> i128 {
    let Some(turn) = turn else { return 0 };
    let reach = libm::ceil(out as f64 * half(turn.abs())) as i128;
    reach * i128::from(turn.signum())
}

/// The tangent of half a turn.
fn half(turn: i64) -> f64 {
    meets(turn, 1_000_000_000, 1_000_000_000) / 1e9
}

impl Lean {
    /// Where the strip behind the lowest board ends above the board's lower arris.
    fn starter(&self, strip: i128) -> Option<i128> {
        (self.out > 0.0).then(|| libm::floor(self.up - strip as f64 * self.up / self.out) as i128)
    }
}

impl Lapped {
    /// The board of a side whose lower back arris lies at a height.
    fn board<'a>(
        &'a self,
        own: &'a Planned,
        ground: &Ground,
        side: usize,
        course: i64,
        low: i128,
        lean: &Lean,
    ) -> Laid<'a> {
        let Measures { wide, thick, edge } = self.measures;
        let turns = ends(&self.base, &self.clad, side);
        let [start, finish] = turns.map(|turn| beyond(lean.depth, turn).max(0));
        let length = ground.lengths[side] + start + finish;
        let mut spot = ground.beside(side, [0, length], [0, 0], [0, 0]).in_frame();
        let (heading, corner) = (self.base.heading(side), ground.corners[side]);
        let ((turned, level), (sin, cos)) = (sin_cos(heading), sin_cos(lean.angle));
        // The upper back arris lies on the side; the corner of the box is the lower front arris.
        let upper = low + nearest(lean.up);
        let (out, up) = (lean.out + thick as f64 * cos, upper as f64 - lean.up + thick as f64 * sin);
        let behind = -(start as f64);
        spot.corner = [
            corner[0] + nearest(behind * level + out * turned),
            corner[1] + nearest(behind * turned - out * level),
            nearest(up),
        ];
        (spot.heading, spot.lean, spot.extent) = (heading, -lean.angle, [length, thick, wide]);
        let slot = (own.name.as_str(), "board", self.base.name(side), course, 0);
        let mut part = Laid { slack: ROUNDED, ..Laid::new(slot, ("board", &self.board), spot, Way::Along, Way::Up) };
        if edge < thick {
            let (taper, long) = ((thick - edge) as f64, libm::hypot(wide as f64, (thick - edge) as f64));
            part.planes.push(Cut { end: 0, normal: [0.0, -(wide as f64) / long, taper / long], through: [0.0; 3] });
        }
        for (end, turn) in turns.iter().enumerate() {
            let Some(turn) = *turn else { continue };
            let (across, ahead) = sin_cos(turn / 2);
            let (way, at) = if end == 0 { (-1.0, 0.0) } else { (1.0, ground.lengths[side] as f64) };
            // The frame leans inwards by the angle: its y goes inwards and down, its z inwards and up.
            let normal = [way * ahead, across * cos, across * sin];
            part.planes.push(Cut { end, normal, through: [at + way * out * half(turn) - behind, 0.0, 0.0] });
        }
        part
    }

    /// The numbers that have a why.
    fn numbers(&self, own: &Planned, height: i128, count: i128, cover: i128, angle: i64, built: &mut Built<'_>) {
        let Measures { wide, thick, edge } = self.measures;
        let (slant, lean) = (self.measures.slant(), i128::from(angle));
        let mut put = |name: &str, rule, of, inputs: &[i128]| built.number(&own.name, name, rule, of, inputs.to_vec());
        put("slant", "slant", "nm", &[wide, edge]);
        put("cover", "cover", "nm", &[height, slant, count]);
        put("lap", "lap", "nm", &[wide, cover]);
        put("lean", "lapped-lean", ANGLE, &[wide, thick, edge, cover]);
        put("stand-off", "stand-off", "nm", &[wide, lean]);
        put("depth", "lapped-depth", "nm", &[wide, thick, lean]);
        put("left", "left", "nm", &[slant, wide, edge, lean]);
        put("starter.top", "starter", "nm", &[wide, self.strip[0], lean]);
        put("screw-line", "screw-line", "nm", &[wide, cover, lean, ABOVE]);
        // The strip ends so far below the upper back arris of the lowest board.
        let plumb = self.measures.lean(cover).and_then(|own| Some(nearest(own.up) - own.starter(self.strip[0])?));
        if let Some(plumb) = plumb {
            put("starter.screw-line", "screw-line", "nm", &[wide, cover.min(plumb), lean, ABOVE]);
        }
        if (0..self.base.count()).any(|side| self.clad[side] && self.clad[self.base.after(side)]) {
            let turn = i128::from(self.base.turn(0));
            put("mitre", "mitre", ANGLE, &[turn]);
            put("saw", "compound-saw", ANGLE, &[turn, lean]);
            put("tilt", "compound-tilt", ANGLE, &[turn, lean]);
        }
    }

    /// Each board touches the one below it, the lowest one the strip, and none enters what it touches.
    fn hold_touching(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        let all = parts_of(case.record, &own.name);
        for side in (0..self.base.count()).filter(|&side| self.clad[side]) {
            let mut row: Vec<&Part> = all.iter().copied().filter(|part| part.face == self.base.name(side)).collect();
            row.sort_by_key(|part| (part.role != "starter", part.course));
            for pair in row.windows(2) {
                let [below, above] = [pair[0], pair[1]].map(Solid::of);
                let gap = below.zip(above).map(|(below, above)| below.gap(&above));
                let touches = gap.is_some_and(|gap| gap.abs() <= TOUCHING);
                ledger.hold(touches, || format!("{} does not lie on {}: {gap:?} mm", pair[1].slot(), pair[0].slot()));
            }
        }
    }
}

impl Form for Lapped {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let up = own.up(site);
        let row = site.row(&RowOf::courses(&own.name, 0), self.row)?;
        let cover = (row.gaps > 0).then(|| row.total.div_euclid(row.gaps))?;
        let lean = self.measures.lean(cover)?;
        self.numbers(own, up[1] - up[0], row.count, cover, lean.angle, built);
        let ground = site.ground(&self.base);
        for line in &self.lines {
            let (side, face) = (line.side, self.base.name(line.side));
            let top = up[0] + lean.starter(self.strip[0])?;
            let slot = (own.name.as_str(), "starter", face, 0, 0);
            let stock = ("board", self.starter.as_str());
            built.parts.push(lines::along(line, &ground, site, [top - self.strip[1], top], Way::Up, slot, stock));
            let called = own.called(face);
            let reaches = (line.reaches(&self.base, &site.sizes), slack(&self.base));
            built.lengths.insert(format!("{called}.starter.length"), reaches);
            let [start, finish] = ends(&self.base, &self.clad, side).map(|turn| beyond(lean.depth, turn).max(0));
            built
                .lengths
                .insert(format!("{called}.length"), ([ground.lengths[side], start, finish], slack(&self.base)));
            for i in 0..row.count {
                let course = i64::try_from(i).ok()?;
                built.parts.push(self.board(own, &ground, side, course, up[0] + row.start(i), &lean));
            }
        }
        built.rows.push(row);
        Some(())
    }

    fn hold(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        self.hold_touching(own, case, ledger);
    }
}
