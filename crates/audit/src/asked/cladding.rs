//! Cladding: boards on the faces of another piece, upright in rows or level in courses.

use super::lines::{BOARD_CORNERS, Line, Pattern, and_option, corner_words, lines, owned};
use super::{Asked, Form, Planned, Stand, of_stock};
use crate::geometry::{Case, hold_gaps, meet, parts_of};
use crate::ground::{Outline, Sum, Way};
use crate::laid::{Built, Laid, RowOf, Site};
use crate::ledger::Ledger;
use crate::texts::{Papers, Piece};

/// A cladding as it is planned.
struct Cladding {
    board: String,
    thickness: i128,
    width: i128,
    upright: bool,
    /// The outline of what it clads.
    base: Outline,
    /// The lower edge of what it clads, and the length from there to its own.
    below: Sum,
    raised: i128,
    courses: Option<usize>,
    choice: Option<usize>,
    options: Vec<Vec<Line>>,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let around = asked.find(&piece.word("on", "")?)?;
    let board = piece.word("board", "")?;
    let (thickness, width, reaches) = of_stock(&("board", board.clone()), papers)?;
    let longest = reaches.iter().map(|reach| reach.long).max().ok_or("nothing of the board is on sale")?;
    let on = &asked.pieces[around].stand;
    let (base, below, top) = (on.outline.clone(), on.bottom.clone(), on.top.clone());
    let clad = clad_faces(piece, &base)?;
    let raised = i128::from(piece.length("off-ground", 0)?);
    let bottom = below.and(raised);
    let height = top.plus(&bottom, -1);
    let gap = asked.gap(piece, "gap", None)?;
    let words = corner_words(&piece.word("corners", "front through")?, &BOARD_CORNERS)?;
    let upright = piece.word("boards", "upright")? == "upright";
    let strips: Vec<_> = clad.iter().map(|&clad| clad.then_some((0, thickness))).collect();
    let mut options: Vec<Vec<Line>> = words.iter().map(|word| lines(&base, &strips, word, false)).collect();
    let choice = asked.choice(format!("{}.corners", piece.name), owned(&words));
    let mut courses = None;
    if upright {
        asked.comes_out(Vec::new(), height, longest);
    } else {
        courses = Some(asked.row(Vec::new(), height, width, 0, gap));
    }
    for (option, lines) in options.iter_mut().enumerate() {
        let when = and_option(&Vec::new(), choice, option);
        if upright {
            asked.ask_lines(&base, lines, &when, &Pattern::of_one(width), gap);
        } else {
            asked.limit_lines(&base, lines, &when, longest);
        }
    }
    let by: Vec<i128> = clad.iter().map(|&clad| if clad { thickness } else { 0 }).collect();
    let stand = Stand { faces: true, ..Stand::plain(base.moved(&by), bottom, top) };
    let form = Cladding { board, thickness, width, upright, base, below, raised, courses, choice, options };
    let planned = Planned::new(piece, "cladding", stand, Box::new(form));
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
        let ground = site.ground(&self.base);
        for line in self.options.get(site.option(self.choice)?)? {
            let face = self.base.name(line.side);
            let pattern = Pattern::of_one(self.width).widths;
            let row_of = RowOf {
                piece: &own.name,
                face,
                pattern,
                and_first: false,
                starts_with_gap: line.start.joint,
                up: false,
            };
            let row = site.row(&row_of, line.row?)?;
            let start = site.value(&line.start.at);
            for i in 0..row.count {
                let along = row.reach(i).map(|at| start + at);
                let spot = ground.beside(line.side, along, [line.strip.0, line.strip.1], up);
                let slot = (own.name.as_str(), "board", face, 0, i64::try_from(i).ok()?);
                built.parts.push(Laid::new(slot, ("board", &self.board), spot, Way::Up, Way::Along));
            }
            built.rows.push(row);
        }
        Some(())
    }

    /// One board along each side in each course.
    fn level<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let bottom = own.up(site)[0];
        let pattern = Pattern::of_one(self.width).widths;
        let row_of = RowOf { piece: &own.name, face: "courses", pattern, and_first: false, starts_with_gap: false, up: true };
        let row = site.row(&row_of, self.courses?)?;
        let ground = site.ground(&self.base);
        for line in self.options.get(site.option(self.choice)?)? {
            let face = self.base.name(line.side);
            built.lengths.insert(format!("{}.length", own.called(face)), line.reaches(&self.base, &site.sizes));
            let along = [&line.start.at, &line.finish.at].map(|at| site.value(at));
            for i in 0..row.count {
                let up = row.reach(i).map(|at| bottom + at);
                let spot = ground.beside(line.side, along, [line.strip.0, line.strip.1], up);
                let slot = (own.name.as_str(), "board", face, i64::try_from(i).ok()?, 0);
                built.parts.push(Laid::new(slot, ("board", &self.board), spot, Way::Along, Way::Up));
            }
        }
        built.rows.push(row);
        Some(())
    }

    /// Each board lies with its whole thickness before a wall and touches it.
    fn hold_flush(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        let Some(on) = own.around.map(|around| &case.site.asked.pieces[around]).filter(|on| on.is == "walls") else {
            return;
        };
        let walls = parts_of(case.record, &on.name);
        let top = walls.iter().map(|wall| wall.far()[2]).max().unwrap_or(0);
        let low = walls.iter().map(|wall| wall.corner[2]).min().unwrap_or(0);
        for part in parts_of(case.record, &own.name) {
            let touches = walls.iter().any(|wall| {
                [0, 1].into_iter().any(|axis| {
                    let face = part.far()[axis] == wall.corner[axis] || wall.far()[axis] == part.corner[axis];
                    let thin = i128::from(part.extent()[axis]) == self.thickness;
                    face && thin && meet(part, wall, 1 - axis) && meet(part, wall, 2)
                })
            });
            ledger.hold(touches, || format!("{} does not lie on {}", part.slot(), on.name));
            let within = i128::from(part.corner[2]) >= i128::from(low) + self.raised && part.far()[2] <= top;
            ledger.hold(within, || format!("{} does not stay between the edges of {}", part.slot(), on.name));
        }
    }
}

impl Form for Cladding {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        if self.upright { self.upright(own, site, built) } else { self.level(own, site, built) }
    }

    fn hold(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        if self.base.is_square() {
            self.hold_flush(own, case, ledger);
        }
        if let Some(lines) = case.site.option(self.choice).and_then(|option| self.options.get(option)) {
            hold_gaps(own, &self.base, lines, case, ledger);
        }
    }
}
