//! Posts in the corners of a piece with an inside and along its faces, with rails between them and ties across.

use super::spaced::Spaced;
use super::{Asked, BEYOND, Form, Limit, Planned, SHORTEST, Stand, of_board};
use crate::ground::{Outline, Sum, Way, nearest, sin_cos};
use crate::laid::{Built, Cut, Laid, Number, ROUNDED, Site};
use crate::texts::{Papers, Piece};

/// The front of a rectangle, and its back.
const FRONT: usize = 0;
const BACK: usize = 2;

/// A board by its name, its thickness, its width and the longest part that comes out of it.
type Timber = (String, [i128; 3]);

/// Posts as they are planned.
struct Posts {
    board: String,
    /// What a post takes along the face, and away from it.
    wide: i128,
    deep: i128,
    rail: Option<Timber>,
    tie: Option<Timber>,
    outside: bool,
    spacing: Option<i128>,
    /// Whether each side has middle posts.
    middle: Vec<bool>,
    /// What they stand against: the inside outline or the outline.
    line: Outline,
    /// The top of what they hold.
    top: Sum,
    below_top: i128,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let around = asked.find(&piece.word("in", "")?)?;
    let board = piece.word("board", "")?;
    let [deep, wide, longest] = of_board(&board, papers)?;
    let (host, stand) = (asked.pieces[around].name.clone(), asked.pieces[around].stand.clone());
    let outside = piece.word("stand", "inside")? == "outside";
    let line = if outside { stand.outline.clone() } else { stand.inside()? };
    let below_top = i128::from(piece.length("below-top", 0)?);
    let spacing = piece.has("spacing").then(|| piece.length("spacing", 0).map(i128::from)).transpose()?;
    let posts = Posts {
        wide,
        deep,
        rail: timber("rail", piece, papers)?,
        tie: timber("tie", piece, papers)?,
        outside,
        spacing,
        middle: with_middle_posts(piece, &line, spacing.is_some())?,
        top: stand.top.clone(),
        below_top,
        board,
        line,
    };
    let (bottom, top) = (begin(asked, piece, &stand)?, stand.top.and(-below_top));
    let length = top.plus(&bottom, -1);
    asked.comes_out(Vec::new(), length.clone(), longest);
    if posts.line.is_square() {
        posts.ask_square(asked, &stand, length);
    } else {
        posts.ask_planed(asked);
    }
    let around_outside = if outside { posts.line.moved(&[deep, 0, deep, 0]) } else { posts.line.clone() };
    let own = Stand::plain(around_outside, bottom, top);
    let has_rail = posts.rail.is_some();
    let tied = posts.tie.is_some();
    let mut planned = Planned::new(piece, "posts", own, Box::new(posts));
    planned.fit(piece, "bracket", "tie", 2, tied)?;
    if piece.has("screw") {
        let screw = piece.word("screw", "")?;
        for base in ["post", "rail"].into_iter().filter(|base| *base == "post" || has_rail) {
            for held in ["board", "panel"] {
                planned.fix((&host, held), (&piece.name, base), &screw);
            }
        }
    }
    Ok(Planned { around: Some(around), fixed: true, ..planned })
}

fn timber(key: &str, piece: &Piece, papers: &Papers) -> Result<Option<Timber>, String> {
    if !piece.has(key) {
        return Ok(None);
    }
    let name = piece.word(key, "")?;
    let measures = of_board(&name, papers)?;
    Ok(Some((name, measures)))
}

fn with_middle_posts(piece: &Piece, line: &Outline, spaced: bool) -> Result<Vec<bool>, String> {
    let Some(names) = piece.faces("along")? else { return Ok(vec![spaced; line.count()]) };
    let mut middle = vec![false; line.count()];
    for name in names {
        middle[line.side(&name).ok_or_else(|| format!("no face is called `{name}`"))?] = spaced;
    }
    Ok(middle)
}

/// Where they begin: on a floor, as feet, or above the lower edge.
fn begin(asked: &Asked, piece: &Piece, host: &Stand) -> Result<Sum, String> {
    if piece.has("from") {
        let floor = asked.find(&piece.word("from", "")?)?;
        return Ok(asked.pieces[floor].stand.top.clone());
    }
    if piece.has("foot") {
        return Ok(host.bottom.and(-i128::from(piece.length("foot", 0)?)));
    }
    Ok(host.bottom.and(piece.length("above-bottom", 0)?.into()))
}

impl Posts {
    fn sides(&self) -> Vec<usize> {
        if self.outside { vec![FRONT, BACK] } else { (0..self.line.count()).collect() }
    }

    /// Whether the post at the end of a side stands against that side; else it is the first one of the next side.
    fn has_last(&self, side: usize) -> bool {
        self.outside || self.line.turn(side) < 0
    }

    /// What the post at the end of a side takes of it.
    fn at_end(&self, side: usize) -> i128 {
        if self.has_last(side) { self.wide } else { self.deep }
    }

    fn ask_square(&self, asked: &mut Asked, host: &Stand, length: Sum) {
        for side in self.sides() {
            let face = self.line.length(side);
            let clear = face.and(-self.at_end(side) - self.wide);
            asked.is_there(Vec::new(), clear.clone());
            if let Some((_, [_, _, longest])) = self.rail.as_ref().filter(|_| !self.middle[side]) {
                asked.comes_out(Vec::new(), clear, *longest);
            }
            let straight = self.line.turn(self.line.before(side)) > 0 && self.line.turn(side) > 0;
            if !self.outside && straight {
                asked.is_there(Vec::new(), face.and(-2 * self.deep));
            }
        }
        if let Some((_, [_, width, _])) = &self.rail {
            asked.limit(Vec::new(), host.top.plus(&host.bottom, -1), *width, BEYOND);
        }
        if let Some((_, [thickness, _, longest])) = &self.tie {
            asked.comes_out(Vec::new(), self.line.length(1).and(-2 * self.deep), *longest);
            asked.limit(Vec::new(), length, *thickness, BEYOND);
        }
    }

    /// At the turn τ the face before leads away from the corner towards (-cos τ, sin τ): how far along its own face the back of
    /// a post lies there, and how much of that other face it takes.
    fn turned(&self, side: usize) -> [i128; 2] {
        let (sin, cos) = sin_cos(self.line.turn(self.line.before(side)));
        [nearest(-(self.deep as f64) * cos / sin), nearest(self.deep as f64 / sin)]
    }

    fn ask_planed(&self, asked: &mut Asked) {
        for side in 0..self.line.count() {
            let before = (-self.turned(side)[0]).max(0);
            let taken = self.turned(self.line.after(side))[1];
            let value = self.line.length(side).and(before - self.wide - taken);
            asked.limit_of(Limit { when: Vec::new(), value, from: SHORTEST, to: BEYOND, slack: ROUNDED });
        }
    }

    /// How far outwards of its face something lies that is so deep.
    fn out(&self, deep: i128) -> [i128; 2] {
        if self.outside { [0, deep] } else { [-deep, 0] }
    }

    fn lay_square<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) {
        let (ground, up) = (site.ground(&self.line), own.up(site));
        let top = site.value(&self.top);
        for side in self.sides() {
            let face = self.line.name(side);
            let spaced = self.spaced(side, ground.lengths[side]);
            spaced.expect(&own.called(face), built);
            for i in 0..spaced.bays + i128::from(self.has_last(side)) {
                let along = [spaced.start(i), spaced.start(i) + self.wide];
                let spot = ground.beside(side, along, self.out(self.deep), up);
                let slot = (own.name.as_str(), "post", face, 0, i as i64);
                built.parts.push(Laid::new(slot, ("board", &self.board), spot, Way::Up, Way::Along));
            }
            let Some((rail, [thickness, width, _])) = &self.rail else { continue };
            let name = format!("{}.length", own.called(face));
            let inputs = vec![spaced.pitch(), self.wide];
            built.numbers.push(Number { name, rule: "rail-length", of: "nm", inputs });
            for i in 0..spaced.bays {
                // All rails of a face are as long as its shortest bay.
                let from = spaced.start(i) + self.wide;
                let along = [from, from + spaced.pitch() - self.wide];
                let spot = ground.beside(side, along, self.out(*thickness), [top - width, top]);
                let slot = (own.name.as_str(), "rail", face, 0, i as i64);
                built.parts.push(Laid::new(slot, ("board", rail), spot, Way::Along, Way::Up));
            }
        }
        self.lay_ties(own, site, built);
    }

    fn spaced(&self, side: usize, length: i128) -> Spaced {
        Spaced::over(length - self.at_end(side), self.spacing.filter(|_| self.middle[side]))
    }

    fn lay_ties<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) {
        let Some((tie, [thickness, width, _])) = &self.tie else { return };
        let (ground, top) = (site.ground(&self.line), own.up(site)[1]);
        let spaced = self.spaced(FRONT, ground.lengths[FRONT]);
        for i in 1..spaced.bays {
            let from = spaced.start(i) + (self.wide - width).div_euclid(2);
            let out = [self.deep - ground.lengths[1], -self.deep];
            let spot = ground.beside(FRONT, [from, from + width], out, [top - thickness, top]);
            let slot = (own.name.as_str(), "tie", "front", 0, i as i64 - 1);
            built.parts.push(Laid::new(slot, ("board", tie), spot, Way::Out, Way::Along));
        }
    }

    fn lay_planed<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) {
        let (ground, up) = (site.ground(&self.line), own.up(site));
        let turn = self.line.turn(0);
        let name = format!("{}.bevel", own.name);
        let inputs = vec![turn.into()];
        built.numbers.push(Number { name, rule: "post-bevel", of: "millionths of a degree", inputs });
        for side in 0..self.line.count() {
            let at_back = self.turned(side)[0];
            let before = (-at_back).max(0);
            let spot = ground.beside(side, [-before, self.wide - before], [-self.deep, 0], up);
            let slot = (own.name.as_str(), "post", self.line.name(side), 0, 0);
            let mut post = Laid::new(slot, ("board", &self.board), spot, Way::Up, Way::Along);
            // The face before goes from the corner, which lies `before` along the post's outer face, to where it lies at its back.
            let [along, inwards] = [at_back, self.deep].map(|length| length as f64);
            let long = libm::sqrt(along * along + inwards * inwards);
            let normal = [-inwards / long, along / long, 0.0];
            post.planes.push(Cut { end: 0, normal, through: [before as f64, 0.0, 0.0] });
            post.slack = ROUNDED;
            built.parts.push(post);
        }
    }
}

impl Form for Posts {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let name = format!("{}.length", own.name);
        let inputs = vec![site.value(&self.top), self.below_top, own.up(site)[0]];
        built.numbers.push(Number { name, rule: "post-length", of: "nm", inputs });
        if self.line.is_square() {
            self.lay_square(own, site, built);
        } else {
            self.lay_planed(own, site, built);
        }
        Some(())
    }
}
