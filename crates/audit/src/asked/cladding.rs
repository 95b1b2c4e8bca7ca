//! Cladding: boards on the faces of another piece, upright in rows, level in courses, or lapped.

mod lapped;
mod shaped;

use super::cap::hold_unheld;
use super::lines::{self, BOARD_CORNERS, Line, Pattern, and_option, corner_words, owned, slack};
use super::{Asked, Form, Load, Planned, Stand, of_board};
use crate::claims::Part;
use crate::geometry::{Case, hold_gaps, meet, parts_of};
use crate::ground::{Ground, Outline, Sum, Way};
use crate::laid::{Built, Laid, LaidRow, RowOf, Site};
use crate::ledger::Ledger;
use crate::texts::{Papers, Piece};
use shaped::Shaped;

/// A cladding as it is planned.
struct Cladding {
    /// The boards in turn.
    boards: Vec<String>,
    pattern: Pattern,
    thickness: i128,
    laid: Boards,
    /// The outline of what it clads.
    base: Outline,
    /// The lower edge of what it clads, and the length from there to its own.
    below: Sum,
    raised: i128,
    courses: Option<usize>,
    choice: Option<usize>,
    options: Vec<Vec<Line>>,
    shaped: Option<Shaped>,
    screwed: bool,
}

/// How boards are laid.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Boards {
    Upright,
    /// In two layers, the outer one over the gaps of the inner one.
    OnBoard,
    Level,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    if piece.word("boards", "upright")? == "lapped" {
        return lapped::ask(asked, piece, papers);
    }
    let around = asked.find(&piece.word("on", "")?)?;
    let boards = if piece.has("pattern") { piece.names("pattern")? } else { vec![piece.word("board", "")?] };
    let each = boards.iter().map(|board| of_board(board, papers)).collect::<Result<Vec<_>, String>>()?;
    let thickness = each.first().ok_or_else(|| format!("`{}` is of no boards", piece.name))?[0];
    let longest = each.iter().map(|board| board[2]).min().unwrap_or(0);
    let and_first = piece.has("pattern") && piece.word("pattern-ends", "same")? == "same";
    let pattern = Pattern { widths: each.iter().map(|board| board[1]).collect(), and_first };
    let laid = match piece.word("boards", "upright")?.as_str() {
        "upright" => Boards::Upright,
        "board on board" => Boards::OnBoard,
        "level" => Boards::Level,
        other => return Err(format!("no boards are laid `{other}`")),
    };
    let on = &asked.pieces[around].stand;
    if !on.faces {
        return Err(format!("`{}` is fixed to a piece that has no faces", piece.name));
    }
    let (base, below, top) = (on.outline.clone(), on.bottom.clone(), on.top.clone());
    let clad = clad_faces(piece, &base)?;
    let raised = i128::from(piece.length("off-ground", 0)?);
    let bottom = below.and(raised);
    let height = top.plus(&bottom, -1);
    let gap = asked.gap(piece, "gap", None)?;
    let usual = match (base.is_square(), laid) {
        (true, _) => "front through",
        (false, Boards::Level) => "mitred",
        (false, _) => "open",
    };
    let word = piece.word("corners", usual)?;
    let words = match word.as_str() {
        "mitred" | "open" => vec![word.as_str()],
        "any" if !base.is_square() => vec![usual],
        "any" if laid == Boards::OnBoard => BOARD_CORNERS[..2].to_vec(),
        _ => corner_words(&word, &BOARD_CORNERS)?,
    };
    let deep = if laid == Boards::OnBoard { 2 * thickness } else { thickness };
    let strips: Vec<_> = clad.iter().map(|&clad| clad.then_some((0, deep))).collect();
    let mut options: Vec<Vec<Line>> = words.iter().map(|word| lines::lines(&base, &strips, word, false)).collect();
    let choice = asked.choice(format!("{}.corners", piece.name), owned(&words));
    let mut courses = None;
    if laid == Boards::Level {
        courses = Some(asked.row(Vec::new(), height.clone(), pattern.widths[0], 0, gap));
    } else {
        asked.comes_out(Vec::new(), height.clone(), longest);
    }
    let shaped = Shaped::read(piece)?;
    if let Some(shaped) = &shaped {
        asked.is_there(Vec::new(), height.and(-shaped.rise()));
    }
    for (option, lines) in options.iter_mut().enumerate() {
        let when = and_option(&Vec::new(), choice, option);
        if laid == Boards::Level {
            asked.limit_lines(&base, lines, &when, longest);
            continue;
        }
        if laid == Boards::OnBoard {
            // Both ends are flush: what stops behind a neighbour stops there hard.
            lines.iter_mut().for_each(|line| (line.start.joint, line.finish.joint) = (false, false));
        }
        asked.ask_lines(&base, lines, &when, &pattern, gap);
    }
    let by: Vec<i128> = clad.iter().map(|&clad| if clad { deep } else { 0 }).collect();
    let stand = Stand { faces: true, ..Stand::plain(base.moved(&by), bottom, top) };
    let screwed = piece.has("screw");
    let form =
        Cladding { boards, pattern, thickness, laid, base, below, raised, courses, choice, options, shaped, screwed };
    let mut planned = Planned::new(piece, "cladding", stand, Box::new(form));
    if piece.has("screw") {
        let (screw, clad) = (piece.word("screw", "")?, piece.word("on", "")?);
        // What is clad has parts in some of these roles; in the others there is nothing to touch.
        for role in ["board", "panel", "post", "cover"] {
            planned.fix((&piece.name, "board"), (&clad, role), &screw).load = Load::Own;
        }
    }
    Ok(Planned { around: Some(around), fixed: true, ..planned })
}

fn clad_faces(piece: &Piece, base: &Outline) -> Result<Vec<bool>, String> {
    let Some(names) = piece.faces("faces")? else { return Ok(vec![true; base.count()]) };
    let mut clad = vec![false; base.count()];
    for name in names {
        clad[base.side(&name).ok_or_else(|| format!("no face is called `{name}`"))?] = true;
    }
    Ok(clad)
}

impl Cladding {
    /// Members side by side along each side.
    fn upright<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let up = own.up(site);
        built.uprights.insert(format!("{}.length", own.name), [up[1], site.value(&self.below), self.raised]);
        if let Some(shaped) = &self.shaped {
            shaped.numbers(&own.name, up[1] - up[0], &self.pattern.widths, built);
        }
        let ground = site.ground(&self.base);
        for line in self.options.get(site.option(self.choice)?)? {
            let face = self.base.name(line.side);
            let row_of = RowOf {
                piece: &own.name,
                face,
                pattern: self.pattern.widths.clone(),
                and_first: self.pattern.and_first,
                starts_with_gap: line.start.joint,
                up: false,
            };
            let row = site.row(&row_of, line.row?)?;
            let start = site.value(&line.start.at);
            for i in 0..row.count {
                let index = i64::try_from(i).ok()?;
                let along = row.reach(i).map(|at| start + at);
                let board = &self.boards[(i % self.boards.len() as i128) as usize];
                let slot = (own.name.as_str(), "board", face, 0, index);
                built.parts.push(self.stands(line.side, &ground, along, [0, self.thickness], up, board, slot));
            }
            if self.laid == Boards::OnBoard {
                let gap = if row.gaps > 0 { row.total.div_euclid(row.gaps) } else { 0 };
                let name = format!("{}.overlap", face.replace(' ', "-"));
                built.number(&own.name, &name, "overlap", "nm", vec![row.member(0), gap]);
                self.covers(own, &ground, line.side, start, &row, up, built)?;
            }
            built.rows.push(row);
        }
        Some(())
    }

    /// A board of the outer layer over each gap of the inner one, centred on it.
    #[allow(clippy::too_many_arguments)]
    fn covers<'a>(
        &'a self,
        own: &'a Planned,
        ground: &Ground,
        side: usize,
        start: i128,
        row: &LaidRow,
        up: [i128; 2],
        built: &mut Built<'a>,
    ) -> Option<()> {
        let width = row.member(0);
        for i in 0..row.count - 1 {
            // The middle of the gap less half a board, all over twice the number of gaps.
            let doubled = 2 * row.gaps * (width * (i + 1)) - row.gaps * width + row.total * (2 * i + 1);
            let left = start + doubled.div_euclid(2 * row.gaps.max(1));
            let out = [self.thickness, 2 * self.thickness];
            let slot = (own.name.as_str(), "cover", self.base.name(side), 0, i64::try_from(i).ok()?);
            built.parts.push(self.stands(side, ground, [left, left + width], out, up, &self.boards[0], slot));
        }
        Some(())
    }

    /// One upright board.
    #[allow(clippy::too_many_arguments)]
    fn stands<'a>(
        &'a self,
        side: usize,
        ground: &Ground,
        along: [i128; 2],
        out: [i128; 2],
        up: [i128; 2],
        board: &'a str,
        slot: crate::laid::Slot<'a>,
    ) -> Laid<'a> {
        let spot = ground.beside(side, along, out, up);
        let mut part = Laid::new(slot, ("board", board), spot, Way::Up, Way::Along);
        if let Some(shaped) = &self.shaped {
            part.planes = shaped.planes(&part.spot);
        }
        part
    }

    /// One board along each side in each course.
    fn level<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let bottom = own.up(site)[0];
        let row = site.row(&RowOf::courses(&own.name, self.pattern.widths[0]), self.courses?)?;
        let ground = site.ground(&self.base);
        for line in self.options.get(site.option(self.choice)?)? {
            let face = self.base.name(line.side);
            let reaches = (line.reaches(&self.base, &site.sizes), slack(&self.base));
            built.lengths.insert(format!("{}.length", own.called(face)), reaches);
            for i in 0..row.count {
                let up = row.reach(i).map(|at| bottom + at);
                let slot = (own.name.as_str(), "board", face, i64::try_from(i).ok()?, 0);
                let stock = ("board", self.boards[0].as_str());
                built.parts.push(lines::along(line, &ground, site, up, Way::Up, slot, stock));
            }
        }
        built.rows.push(row);
        lines::mitre_number(&own.name, &self.base, self.options.get(site.option(self.choice)?)?, built);
        Some(())
    }

    /// Each board lies with its whole thickness before a wall and touches it, and each cover so before a board.
    fn hold_flush(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        let on = own.around.map(|around| &case.site.asked.pieces[around]);
        let Some(on) = on.filter(|on| on.is == "walls" && on.stand.batter == 0) else { return };
        let walls = parts_of(case.record, &on.name);
        let top = walls.iter().map(|wall| wall.far()[2]).max().unwrap_or(0);
        let low = walls.iter().map(|wall| wall.corner[2]).min().unwrap_or(0);
        let (covers, boards): (Vec<&Part>, Vec<&Part>) =
            parts_of(case.record, &own.name).into_iter().partition(|part| part.role == "cover");
        for (layer, behind) in [(&boards, &walls), (&covers, &boards)] {
            for part in layer {
                let lies = behind.iter().any(|wall| self.lies_on(part, wall));
                ledger.hold(lies, || format!("{} does not lie on {}", part.slot(), on.name));
                let within = i128::from(part.corner[2]) >= i128::from(low) + self.raised && part.far()[2] <= top;
                ledger.hold(within, || format!("{} does not stay between the edges of {}", part.slot(), on.name));
            }
        }
    }

    fn lies_on(&self, part: &Part, wall: &Part) -> bool {
        [0, 1].into_iter().any(|axis| {
            let face = part.far()[axis] == wall.corner[axis] || wall.far()[axis] == part.corner[axis];
            let thin = i128::from(part.extent()[axis]) == self.thickness;
            face && thin && meet(part, wall, 1 - axis) && meet(part, wall, 2)
        })
    }
}

impl Form for Cladding {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        if self.laid == Boards::Level { self.level(own, site, built) } else { self.upright(own, site, built) }
    }

    fn hold(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        hold_unheld(self.screwed, own, "", case, ledger);
        if self.base.is_square() {
            self.hold_flush(own, case, ledger);
        }
        if let Some(lines) = case.site.option(self.choice).and_then(|option| self.options.get(option)) {
            hold_gaps(own, &self.base, lines, case, ledger);
        }
    }
}
