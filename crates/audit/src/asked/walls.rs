//! Walls: boards in courses or sheet, one part along each side; upright or leaning, standing by themselves, beside one another
//! or in one another, with posts in their corners or ribs behind their joints.

mod lean;
mod place;
mod ribs;

use super::cap::hold_unheld;
use super::lines::{self, BOARD_CORNERS, Line, and_option, corner_words, owned};
use super::{Asked, BEYOND, Form, Planned, Reach, Stand, When, of_board, of_stock};
use crate::claims::Part;
use crate::geometry::{Case, parts_of};
use crate::ground::{Ground, Outline, Sum, Way};
use crate::laid::{Built, Laid, RowOf, Site, Slot};
use crate::ledger::{Ledger, Mm};
use crate::solid::Solid;
use crate::texts::{Papers, Piece};
pub(super) use place::beyond_front;

use lean::Lean;
use ribs::Ribs;
use std::collections::BTreeMap;

/// How far an area that is had from solids in floating point may lie from the one that is had from outlines, as a share.
const AREA_SLACK: f64 = 1e-6;

/// Walls as they are planned.
struct Walls {
    /// `board` or `sheet`, and its name.
    stock: (&'static str, String),
    thickness: i128,
    width: i128,
    /// The courses of boards, by the row's place.
    courses: Option<usize>,
    choice: Option<usize>,
    options: Vec<Corners>,
    post: Option<Post>,
    lean: Option<Lean>,
    ribs: Option<Ribs>,
}

/// One way of meeting at the corners: the lines of the courses with even numbers, from 0, and of those with odd ones.
struct Corners {
    even: Vec<Line>,
    odd: Vec<Line>,
}

/// What stands in the corners: along the front and away from it.
struct Post {
    board: String,
    width: i128,
    thickness: i128,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let stock = match (piece.has("board"), piece.has("sheet")) {
        (true, false) => ("board", piece.word("board", "")?),
        (false, true) => ("sheet", piece.word("sheet", "")?),
        _ => return Err(format!("`{}` is of boards or of sheet", piece.name)),
    };
    let (thickness, width, reaches) = of_stock(&stock, papers)?;
    let placed = place::place(asked, piece, thickness)?;
    let (base, height) = (&placed.outline, &placed.height);
    let sizes = reaches.iter().map(|reach| reach.word.clone()).collect();
    let size = asked.choice(format!("{}.sheet", piece.name), sizes);
    let reaches: Vec<(When, &Reach)> =
        reaches.iter().enumerate().map(|(option, reach)| (and_option(&Vec::new(), size, option), reach)).collect();
    let courses = if stock.0 == "board" {
        let gap = asked.gap(piece, "gap", Some(0))?;
        Some(asked.row(Vec::new(), height.clone(), width, 0, gap))
    } else {
        panels_come_out(asked, &reaches, height);
        None
    };
    let post = post(asked, piece, papers, height)?;
    let lean = Lean::read(piece, height)?;
    let usual = if base.is_square() && lean.is_none() { "front through" } else { "mitred" };
    let word = piece.word("corners", usual)?;
    let words = match word.as_str() {
        "on posts" | "pinwheel, turned" | "mitred" => vec![word.as_str()],
        "any" if usual == "mitred" => vec![usual],
        _ => corner_words(&word, &BOARD_CORNERS)?,
    };
    if words == ["mitred"] {
        // Inside, what is wider at the top is narrowest at its foot.
        let foot = lean.as_ref().map_or(0, |lean| lean.batter.max(0));
        for inside in [-thickness, -thickness - foot] {
            for side in 0..base.count() {
                asked.is_there_within(Vec::new(), base.grown(inside).length(side), lines::slack(base));
            }
        }
    }
    if let Some(lean) = &lean {
        asked.limit(Vec::new(), height.clone(), lean.least_height(), BEYOND);
    }
    let choice = asked.choice(format!("{}.corners", piece.name), owned(&words));
    let far = lean.as_ref().map_or(0, Lean::furthest);
    let options: Vec<Corners> =
        words.iter().map(|word| Corners::of(&base.grown(far), thickness, word, &post)).collect();
    let ribs = Ribs::ask(asked, piece, papers, height, reaches.first().map_or(0, |reach| reach.1.long))?;
    if far > 0 {
        // What leans inwards is limited where it is shortest and where it is longest.
        let upper = Corners::of(base, thickness, "mitred", &None);
        reaches.iter().for_each(|(when, reach)| asked.limit_lines(base, &upper.even, when, reach.long));
    }
    for (when, reach) in &reaches {
        for (option, corners) in options.iter().enumerate() {
            let when = and_option(when, choice, option);
            match ribs {
                Some(_) => corners.even.iter().for_each(|line| asked.is_there(when.clone(), line.length())),
                None => asked.limit_lines(base, &corners.even, &when, reach.long),
            }
        }
    }
    let top = placed.bottom.plus(height, 1);
    let stand = Stand {
        wall: Some(thickness),
        faces: true,
        batter: lean.as_ref().map_or(0, |lean| lean.batter),
        ..Stand::plain(placed.outline, placed.bottom, top)
    };
    let form = Walls { stock, thickness, width, courses, choice, options, post, lean, ribs };
    let planned = Planned::new(piece, "walls", stand, Box::new(form));
    Ok(Planned { standing: placed.standing, around: placed.around, ..planned })
}

/// The posts in the corners, if the walls stand on posts.
fn post(asked: &mut Asked, piece: &Piece, papers: &Papers, height: &Sum) -> Result<Option<Post>, String> {
    if piece.word("corners", "")? != "on posts" {
        return Ok(None);
    }
    let board = piece.word("post", "")?;
    let [thickness, width, longest] = of_board(&board, papers)?;
    asked.comes_out(Vec::new(), height.clone(), longest);
    Ok(Some(Post { board, width, thickness }))
}

/// A panel of each size is high enough, and a size is only taken for what is too high for every narrower one.
fn panels_come_out(asked: &mut Asked, reaches: &[(When, &Reach)], height: &Sum) {
    for (when, reach) in reaches {
        asked.comes_out(when.clone(), height.clone(), reach.high);
        let narrower = reaches.iter().map(|(_, other)| other.high).filter(|&high| high < reach.high).max();
        if let Some(high) = narrower {
            asked.limit(when.clone(), height.clone(), high + 1, BEYOND);
        }
    }
}

impl Corners {
    fn of(base: &Outline, thickness: i128, word: &str, post: &Option<Post>) -> Corners {
        let strips = vec![Some((-thickness, 0)); base.count()];
        if let Some(post) = post {
            // Between the posts: the front and the back are `width` shorter at each end, right and left `thickness`.
            let mut even = lines::lines(base, &strips, "open", false);
            for line in &mut even {
                let off = if line.side.is_multiple_of(2) { post.width } else { post.thickness };
                line.start.at = Sum::fixed(off);
                line.finish.at = base.length(line.side).and(-off);
            }
            return Corners { odd: even.clone(), even };
        }
        let turned = word == "pinwheel, turned";
        let even = lines::lines(base, &strips, word, false);
        Corners { odd: if turned { lines::lines(base, &strips, word, true) } else { even.clone() }, even }
    }

    fn in_course(&self, course: usize) -> &[Line] {
        if course.is_multiple_of(2) { &self.even } else { &self.odd }
    }
}

impl Walls {
    fn role(&self) -> &'static str {
        if self.stock.0 == "board" { "board" } else { "panel" }
    }

    /// From where to where each course reaches, from the bottom up, along the slope of what leans.
    fn heights(&self, own: &Planned, site: &Site<'_>, built: &mut Built<'_>) -> Option<Vec<[i128; 2]>> {
        let [bottom, top] = own.up(site);
        let Some(row) = self.courses else { return Some(vec![[0, top - bottom]]) };
        let row = site.row(&RowOf::courses(&own.name, self.width), row)?;
        let heights = (0..row.count).map(|i| row.reach(i)).collect();
        built.rows.push(row);
        Some(heights)
    }

    /// The parts of one side in one course.
    #[allow(clippy::too_many_arguments)]
    fn side<'a>(
        &'a self,
        own: &'a Planned,
        ground: &Ground,
        site: &Site<'a>,
        line: &Line,
        course: usize,
        up: [i128; 2],
        built: &mut Built<'a>,
    ) {
        let face = ground.outline.name(line.side);
        // A course is one of at most 20 000.
        let slot: Slot<'a> = (own.name.as_str(), self.role(), face, course as i64, 0);
        let stock = (self.stock.0, self.stock.1.as_str());
        let bottom = own.up(site)[0];
        match (&self.lean, &self.ribs) {
            (Some(lean), _) => {
                built.parts.push(lean.part(ground, site, line.side, self.thickness, bottom, up, slot, stock))
            }
            (None, ribs) => {
                let whole = lines::along(line, ground, site, up.map(|at| bottom + at), Way::Up, slot, stock);
                match ribs {
                    Some(ribs) => built.parts.extend(ribs.cut(whole, course)),
                    None => built.parts.push(whole),
                }
            }
        }
    }

    /// The numbers of plumb walls that have a why.
    fn numbers(&self, own: &Planned, corners: &Corners, site: &Site<'_>, built: &mut Built<'_>) {
        let base = &own.stand.outline;
        for line in &corners.even {
            let face = base.name(line.side);
            let reaches = (line.reaches(base, &site.sizes), lines::slack(base));
            built.lengths.insert(format!("{}.length", own.called(face)), reaches);
            if let Some(ribs) = &self.ribs {
                ribs.numbers(&own.name, face, site.value(&line.length()), built);
            }
        }
        lines::mitre_number(&own.name, base, &corners.even, built);
    }

    fn posts<'a>(&self, post: &'a Post, own: &'a Planned, ground: &Ground, up: [i128; 2], built: &mut Built<'a>) {
        for (side, face) in [(0, "front"), (2, "back")] {
            let length = ground.lengths[side];
            for (index, along) in [[0, post.width], [length - post.width, length]].into_iter().enumerate() {
                let spot = ground.beside(side, along, [-post.thickness, 0], up);
                let slot = (own.name.as_str(), "post", face, 0, index as i64);
                built.parts.push(Laid::new(slot, ("board", &post.board), spot, Way::Up, Way::Along));
            }
        }
    }

    /// Walls reach from end to end of their outline, and from its bottom to its top.
    fn hold_reach(&self, own: &Planned, case: &Case<'_>, parts: &[&Part], ledger: &mut Ledger) {
        let ground = case.site.ground(&own.stand.outline);
        let ends = |axis: usize| {
            let places = ground.corners.iter().map(|corner| corner[axis]);
            [places.clone().min().unwrap_or(0), places.max().unwrap_or(0)]
        };
        let [[left, right], [front, back]] = [ends(0), ends(1)];
        let [bottom, top] = own.up(case.site);
        let own_least = [left, front, bottom];
        let own_most = [right, back, top];
        let least = [0, 1, 2].map(|axis| parts.iter().map(|part| i128::from(part.corner[axis])).min().unwrap_or(0));
        let most = [0, 1, 2].map(|axis| parts.iter().map(|part| i128::from(part.far()[axis])).max().unwrap_or(0));
        ledger.hold((least, most) == (own_least, own_most), || {
            let [least, most, own_least, own_most] = [least, most, own_least, own_most].map(|at| at.map(Mm));
            let name = &own.name;
            format!("{name} reaches from {least:?} to {most:?}, and its sizes are from {own_least:?} to {own_most:?}")
        });
    }

    /// Each course has the area between the outline and its inside.
    fn hold_area(&self, own: &Planned, case: &Case<'_>, parts: &[&Part], ledger: &mut Ledger) {
        let base = &own.stand.outline;
        let [outer, inner] = [0, -self.thickness].map(|out| case.site.ground(&base.grown(out)).double_area());
        // In square millimetres.
        let ring = (outer - inner) as f64 / 2e12;
        let mut courses: BTreeMap<i64, f64> = BTreeMap::new();
        for part in parts.iter().filter(|part| part.role == self.role()) {
            let height = part.width as f64 / 1e6;
            *courses.entry(part.course).or_default() += Solid::of(part).map_or(0.0, |solid| solid.volume()) / height;
        }
        for (course, area) in courses {
            ledger.hold((area / ring - 1.0).abs() <= AREA_SLACK, || {
                let (course, name) = (course + 1, &own.name);
                format!("course {course} of {name} covers {area:.3} mm² and its walls {ring:.3}")
            });
        }
    }
}

impl Form for Walls {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let base = &own.stand.outline;
        let heights = self.heights(own, site, built)?;
        let ground = site.ground(base);
        let corners = self.options.get(site.option(self.choice)?)?;
        match &self.lean {
            Some(lean) => lean.numbers(&own.name, &ground, site, self.thickness, &heights, built),
            None => self.numbers(own, corners, site, built),
        }
        for (course, &up) in heights.iter().enumerate() {
            for line in corners.in_course(course) {
                self.side(own, &ground, site, line, course, up, built);
            }
        }
        let up = own.up(site);
        if let Some(post) = &self.post {
            self.posts(post, own, &ground, up, built);
        }
        if let Some(ribs) = &self.ribs {
            let courses = heights.len().min(2);
            for (even, odd) in corners.even.iter().zip(&corners.odd) {
                ribs.stand(own, &ground, site, &[even, odd][..courses], self.thickness, up, built);
            }
        }
        Some(())
    }

    fn true_top(&self, own: &Planned, site: &Site<'_>) -> i128 {
        let [bottom, top] = own.up(site);
        self.lean.as_ref().map_or(top, |lean| bottom + lean.highest(site, self.thickness))
    }

    fn hold(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        let parts = parts_of(case.record, &own.name);
        let mut fixings = case.site.asked.pieces.iter().flat_map(|piece| &piece.fixings);
        let screwed = fixings.any(|fixing| fixing.held.0 == own.name);
        hold_unheld(screwed, own, " together at its corners", case, ledger);
        if self.lean.is_some() {
            return;
        }
        if own.stand.outline.is_square() {
            self.hold_reach(own, case, &parts, ledger);
        }
        if self.post.is_none() {
            self.hold_area(own, case, &parts, ledger);
        }
    }
}
