//! A screen: posts in holes, level or upright slats on them, and a return round a corner, on ground that may fall.

use super::frame::keep_count;
use super::slats::{Timber, boxed};
use super::spaced::Spaced;
use super::{Asked, BEYOND, Form, Load, Planned, SHORTEST, Stand, Standing};
use crate::fitting::up;
use crate::geometry::Case;
use crate::ground::{Outline, Sum, Way};
use crate::laid::{Built, Laid, Number, RowOf, Site, Slot};
use crate::needs::{Of, Want, Wanted};
use crate::texts::{Papers, Piece};
use crate::whys::formula;

/// All of it, in hundredths of a percent.
const WHOLE: i128 = 10_000;
/// What is usual for the posts, in millimetres and in hundredths of a percent.
const USUAL_BURY: i64 = 5_000;
const USUAL_LEAST: i64 = 600;
const USUAL_STEP: i64 = 10;
const USUAL_GRAVEL: i64 = 100;
const USUAL_WASTE: i64 = 1_000;
/// How far the rails lie in from the ends of upright slats, in millimetres.
const USUAL_RAIL_IN: i64 = 150;

/// What the concrete is called.
const CONCRETE: &str = "concrete round the posts";

/// A screen as it is planned.
struct Screen {
    length: Sum,
    back: Option<Sum>,
    height: Sum,
    top: i128,
    slat: Timber,
    slats: Slats,
    post: Timber,
    spacing: i128,
    ground: Vec<i128>,
    buried: Buried,
    hole: Option<Hole>,
}

enum Slats {
    /// In courses.
    Level {
        courses: usize,
    },
    Upright {
        front: usize,
        back: Option<usize>,
        rail: Timber,
        rail_in: i128,
    },
}

/// How deep posts stand.
struct Buried {
    share: i128,
    step: i128,
    least: i128,
}

struct Hole {
    across: i128,
    gravel: i128,
    concrete: Option<String>,
    waste: i128,
}

/// A post of the screen: which side it is counted on and its place there.
struct Post {
    face: &'static str,
    index: i64,
    x: i128,
    y: i128,
    ground: i128,
    buried: i128,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let slat = Timber::read("board", piece, papers)?;
    let post = Timber::read("post", piece, papers)?;
    let length = asked.size(piece, "length")?;
    let back = piece.has("return").then(|| asked.size(piece, "return")).transpose()?;
    let height = asked.size(piece, "height")?;
    let gap = asked.gap(piece, "gap", None)?;
    let beyond = if back.is_some() { slat.thickness } else { 0 };
    let slats = if piece.word("boards", "level")? == "level" {
        Slats::Level { courses: asked.row(Vec::new(), height.clone(), slat.width, 0, gap) }
    } else {
        Slats::Upright {
            front: asked.row(Vec::new(), length.and(beyond), slat.width, 0, gap),
            back: back.clone().map(|back| asked.row(Vec::new(), back, slat.width, 0, gap)),
            rail: Timber::read("rail", piece, papers)?,
            rail_in: piece.length("rail-in", USUAL_RAIL_IN)?.into(),
        }
    };
    let top = i128::from(piece.length("top", 0)?);
    let screen = Screen {
        length,
        back,
        height,
        top,
        slat,
        slats,
        post,
        spacing: piece.length("spacing", 0)?.into(),
        ground: piece.lengths("ground")?.into_iter().map(i128::from).collect(),
        buried: Buried {
            share: piece.percent("bury", USUAL_BURY)?.into(),
            step: piece.length("bury-step", USUAL_STEP)?.into(),
            least: piece.length("bury-least", USUAL_LEAST)?.into(),
        },
        hole: hole(piece)?,
    };
    screen.ask(asked, piece)?;
    screen.refuse()?;
    let outline = screen.outline(asked);
    let stand = Stand::plain(outline, Sum::fixed(top).plus(&screen.height, -1), Sum::fixed(top));
    let base = if matches!(screen.slats, Slats::Level { .. }) { "post" } else { "rail" };
    let mut planned = Planned::new(piece, "screen", stand, Box::new(screen));
    planned.fit(piece, "bracket", "rail", 2, base == "rail")?;
    if piece.has("screw") {
        let screw = piece.word("screw", "")?;
        planned.fix((&piece.name, "slat"), (&piece.name, base), &screw).load = Load::Own;
    }
    Ok(Planned { standing: Standing::Alone, ..planned })
}

fn hole(piece: &Piece) -> Result<Option<Hole>, String> {
    if !piece.has("hole") {
        return Ok(None);
    }
    Ok(Some(Hole {
        across: piece.length("hole", 0)?.into(),
        gravel: piece.length("gravel", USUAL_GRAVEL)?.into(),
        concrete: piece.has("concrete").then(|| piece.word("concrete", "")).transpose()?,
        waste: piece.percent("waste", USUAL_WASTE)?.into(),
    }))
}

impl Screen {
    /// How far the front's slats run beyond its last post, over the ends of the return's.
    fn beyond(&self) -> i128 {
        if self.back.is_some() { self.slat.thickness } else { 0 }
    }

    /// Slats before the posts, and beside the return's.
    fn outline(&self, asked: &mut Asked) -> Outline {
        let length = self.length.and(self.beyond());
        let begins = asked.stands_alone(&length);
        let depth = self.back.clone().unwrap_or_else(|| Sum::fixed(self.post.thickness));
        Outline::rectangle(length, depth).from(&begins).moved(&[self.slat.thickness, 0, 0, 0])
    }

    fn ask(&self, asked: &mut Asked, piece: &Piece) -> Result<(), String> {
        let none = Vec::new;
        asked.is_there(none(), self.length.and(-2 * self.post.width));
        let mut sides = vec![("length", &self.length, self.post.width)];
        if let Some(back) = &self.back {
            asked.is_there(none(), back.and(-2 * self.post.thickness));
            sides.push(("return", back, self.post.thickness));
        }
        for (key, side, post) in sides.iter().filter(|_| !self.ground.is_empty()) {
            let wished = Spaced::over(i128::from(piece.size(key)?.want) - post, Some(self.spacing));
            keep_count(asked, &side.and(-post), wished.bays + 1, self.spacing);
        }
        let highest = self.ground.iter().copied().max().unwrap_or(0);
        asked.limit(none(), self.height.clone(), -BEYOND, self.top - highest);
        match &self.slats {
            Slats::Level { .. } => {
                asked.comes_out(none(), self.length.and(self.beyond()), self.slat.longest);
                if let Some(back) = &self.back {
                    asked.comes_out(none(), back.clone(), self.slat.longest);
                }
            }
            Slats::Upright { rail, rail_in, .. } => {
                asked.comes_out(none(), self.height.clone(), self.slat.longest);
                asked.is_there(none(), self.height.and(-2 * rail_in - 2 * rail.width));
            }
        }
        Ok(())
    }

    /// What no size can mend: posts or rails too close or too long, a post that hardly shows, a hole that it does not go into.
    fn refuse(&self) -> Result<(), String> {
        self.refuse_spacing()?;
        let (least, most) = (self.ground.iter().min(), self.ground.iter().max());
        let [shows, deepest] = [most, least].map(|ground| self.top - ground.copied().unwrap_or(0));
        if shows < SHORTEST || deepest + self.buried.depth(deepest) > self.post.longest {
            return Err("a post hardly shows, or does not come out of its board".into());
        }
        let square = |length: i128| length * length;
        let narrow = |hole: &Hole| square(hole.across) <= square(self.post.width) + square(self.post.thickness);
        if self.hole.as_ref().is_some_and(narrow) {
            return Err("a post does not go into its hole".into());
        }
        Ok(())
    }

    fn refuse_spacing(&self) -> Result<(), String> {
        let (wide, thick) = (self.post.width, self.post.thickness);
        let widest = if self.back.is_some() { wide.max(thick) } else { wide };
        let misfit = |rail: &Timber| rail.thickness > wide.min(thick) || self.spacing - wide.min(thick) > rail.longest;
        let rail = matches!(&self.slats, Slats::Upright { rail, .. } if misfit(rail));
        if rail || self.spacing < 2 * (widest + SHORTEST) {
            return Err("posts could stand in one another, or a rail does not fit between them".into());
        }
        Ok(())
    }

    /// Where the posts stand along the front and along the return, each side from its first.
    fn spaced(&self, site: &Site<'_>) -> (Spaced, Option<Spaced>) {
        let over = |side: &Sum, post: i128| Spaced::over(site.value(side) - post, Some(self.spacing));
        (over(&self.length, self.post.width), self.back.as_ref().map(|back| over(back, self.post.thickness)))
    }

    /// All posts: along the front from the left, the one in the corner last, then along the return.
    fn posts(&self, site: &Site<'_>, [x, y]: [i128; 2]) -> Option<Vec<Post>> {
        let (front, back) = self.spaced(site);
        let last = x + front.reach;
        let in_front = (0..=front.bays).map(|i| ("front", i, x + front.start(i), y));
        let in_return =
            back.iter().flat_map(|back| (1..=back.bays).map(move |i| ("right", i - 1, last, y + back.start(i))));
        let all: Vec<_> = in_front.chain(in_return).collect();
        let post = |(place, &(face, index, x, y)): (usize, &(&'static str, i128, i128, i128))| {
            let ground = if self.ground.is_empty() { 0 } else { *self.ground.get(place)? };
            let buried = self.buried.depth(self.top - ground);
            Some(Post { face, index: i64::try_from(index).ok()?, x, y, ground, buried })
        };
        all.iter().enumerate().map(post).collect()
    }

    fn lay_posts<'a>(
        &'a self,
        own: &'a Planned,
        site: &Site<'a>,
        corner: [i128; 2],
        built: &mut Built<'a>,
    ) -> Option<()> {
        let (front, back) = self.spaced(site);
        front.expect(&format!("{}.front.post", own.name), built);
        if let Some(back) = &back {
            back.expect(&format!("{}.right.post", own.name), built);
        }
        for post in self.posts(site, corner)? {
            let name = format!("{}.{}.post-{}", own.name, post.face, post.index + 1);
            let mut expect = |what: &str, rule, inputs| {
                built.numbers.push(Number { name: format!("{name}.{what}"), rule, of: "nm", inputs });
            };
            let Buried { share, step, least } = self.buried;
            expect("buried", "buried", vec![self.top - post.ground, share, step, least]);
            expect("length", "post", vec![self.top, post.ground, post.buried]);
            if let Some(hole) = &self.hole {
                expect("hole", "hole", vec![post.buried, hole.gravel]);
            }
            let Post { x, y, ground, buried, .. } = post;
            let spot = boxed([[x, x + self.post.width], [y, y + self.post.thickness], [ground - buried, self.top]]);
            let slot = (own.name.as_str(), "post", post.face, 0, post.index);
            built.parts.push(Laid::new(slot, self.post.stock(), spot, Way::Up, Way::Along));
        }
        Some(())
    }

    /// The sides that are slatted: the name, from where to where slats reach along it, and the two ways across and along.
    fn sides(&self, site: &Site<'_>, [x, y]: [i128; 2]) -> Vec<Side> {
        let (length, thick) = (site.value(&self.length), self.slat.thickness);
        let front =
            Side { face: "front", along: [x, x + length + self.beyond()], out: [y - thick, y], way: Way::Along };
        let back = self.back.as_ref().map(|back| Side {
            face: "right",
            along: [y, y + site.value(back)],
            out: [x + length, x + length + thick],
            way: Way::Out,
        });
        [Some(front), back].into_iter().flatten().collect()
    }

    fn lay_level<'a>(
        &'a self,
        own: &'a Planned,
        site: &Site<'a>,
        sides: &[Side],
        courses: usize,
        built: &mut Built<'a>,
    ) -> Option<()> {
        let bottom = own.up(site)[0];
        let row = site.row(&RowOf::courses(&own.name, self.slat.width), courses)?;
        for side in sides {
            for i in 0..row.count {
                let up = row.reach(i).map(|at| bottom + at);
                let slot = (own.name.as_str(), "slat", side.face, i64::try_from(i).ok()?, 0);
                built.parts.push(Laid::new(
                    slot,
                    self.slat.stock(),
                    side.spot(side.along, side.out, up),
                    side.way,
                    Way::Up,
                ));
            }
            let beyond = if side.face == "front" { self.beyond() } else { 0 };
            let name = format!("{}.{}.slat.length", own.name, side.face);
            let inputs = vec![side.along[1] - side.along[0] - beyond, 0, beyond];
            built.numbers.push(Number { name, rule: "row-length", of: "nm", inputs });
        }
        built.rows.push(row);
        Some(())
    }

    fn lay_upright<'a>(
        &'a self,
        own: &'a Planned,
        site: &Site<'a>,
        side: &Side,
        row: usize,
        built: &mut Built<'a>,
    ) -> Option<()> {
        let row_of = RowOf {
            piece: &own.name,
            face: side.face,
            pattern: vec![self.slat.width],
            and_first: false,
            starts_with_gap: false,
            up: false,
        };
        let row = site.row(&row_of, row)?;
        for i in 0..row.count {
            let along = row.reach(i).map(|at| side.along[0] + at);
            let slot = (own.name.as_str(), "slat", side.face, 0, i64::try_from(i).ok()?);
            let spot = side.spot(along, side.out, own.up(site));
            built.parts.push(Laid::new(slot, self.slat.stock(), spot, Way::Up, side.way));
        }
        built.rows.push(row);
        Some(())
    }

    /// Two rails in each bay of a side, against what the slats lie against; each from a post to the next.
    fn lay_rails<'a>(
        &'a self,
        own: &'a Planned,
        site: &Site<'a>,
        side: &Side,
        of: (&Spaced, i128),
        rail: (&'a Timber, i128),
        built: &mut Built<'a>,
    ) {
        let ((spaced, post), (rail, inwards)) = (of, rail);
        let [bottom, top] = own.up(site);
        let heights = [bottom + inwards, top - inwards - rail.width];
        // Behind the front's slats is up y, behind the return's down x.
        let out = match side.way {
            Way::Out => [side.out[0] - rail.thickness, side.out[0]],
            _ => [side.out[1], side.out[1] + rail.thickness],
        };
        for bay in 0..spaced.bays {
            let [from, to] = [spaced.start(bay) + post, spaced.start(bay + 1)];
            let name = format!("{}.{}.rail-{}.length", own.name, side.face, bay + 1);
            built.numbers.push(Number { name, rule: "rail", of: "nm", inputs: vec![to, from] });
            let along = [from, to].map(|at| side.along[0] + at);
            for (course, low) in heights.into_iter().enumerate() {
                let spot = side.spot(along, out, [low, low + rail.width]);
                let slot: Slot<'a> = (&own.name, "rail", side.face, course as i64, bay as i64);
                built.parts.push(Laid::new(slot, rail.stock(), spot, side.way, Way::Up));
            }
        }
    }

    /// All posts together stand so deep.
    fn all_buried(&self, site: &Site<'_>) -> i128 {
        self.posts(site, [0, 0]).map_or(0, |posts| posts.iter().map(|post| post.buried).sum())
    }
}

/// A slatted side: the return's is walked away from the front.
struct Side {
    face: &'static str,
    along: [i128; 2],
    out: [i128; 2],
    way: Way,
}

impl Side {
    fn spot(&self, along: [i128; 2], out: [i128; 2], up: [i128; 2]) -> crate::ground::Spot {
        boxed(if self.way == Way::Along { [along, out, up] } else { [out, along, up] })
    }
}

impl Buried {
    /// A share of what shows, up to the next whole step, and no less than the least.
    fn depth(&self, shows: i128) -> i128 {
        (up(shows * self.share, WHOLE * self.step.max(1)) * self.step).max(self.least)
    }
}

impl Form for Screen {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let [x, y] = site.ground(&own.stand.outline).corners[0];
        let corner = [x, y + self.slat.thickness];
        self.lay_posts(own, site, corner, built)?;
        let sides = self.sides(site, corner);
        match &self.slats {
            Slats::Level { courses } => self.lay_level(own, site, &sides, *courses, built),
            Slats::Upright { front, back, rail, rail_in } => {
                let (along, behind) = self.spaced(site);
                let inputs = vec![site.value(&self.height), 0];
                built.numbers.push(Number {
                    name: format!("{}.slat.length", own.name),
                    rule: "between-ends",
                    of: "nm",
                    inputs,
                });
                self.lay_upright(own, site, &sides[0], *front, built)?;
                self.lay_rails(own, site, &sides[0], (&along, self.post.width), (rail, *rail_in), built);
                if let (Some(row), Some(behind)) = (back, &behind) {
                    self.lay_upright(own, site, &sides[1], *row, built)?;
                    self.lay_rails(own, site, &sides[1], (behind, self.post.thickness), (rail, *rail_in), built);
                }
                Some(())
            }
        }
    }

    fn needs(&self, own: &Planned, case: &Case<'_>, wanted: &mut Wanted) {
        let Some(hole) = &self.hole else { return };
        let Some(bag) = &hole.concrete else { return };
        let inputs = vec![hole.across, self.post.width, self.post.thickness, self.all_buried(case.site), hole.waste];
        let volume = formula("concrete", &inputs).unwrap_or(0);
        wanted.numbers.push(Number { name: format!("{}.concrete", own.name), rule: "concrete", of: "mm3", inputs });
        wanted.needs.push(Want { piece: own.name.clone(), what: CONCRETE.into(), of: Of::Bag(bag.clone(), volume) });
    }
}

#[cfg(test)]
mod tests {
    use super::super::slats::tests::{MM, asked};
    use super::*;

    /// An inch in nanometres.
    const INCH: i128 = 25_400_000;

    /// Worked outside this project (a slatted bin screen): half of 48, 49-1/4, 50-1/2 and 51 inches up to whole inches and no
    /// less than 18 is 24, 25, 26 and 26; the posts are 72, 74-1/4, 76-1/2 and 77 long.
    #[test]
    fn posts_are_buried_by_half_of_what_shows() {
        let buried = Buried { share: 5_000, step: INCH, least: 18 * INCH };
        let quarters = [192, 197, 202, 204];
        let depths = quarters.map(|quarters| buried.depth(quarters * INCH / 4) / INCH);
        assert_eq!(depths, [24, 25, 26, 26]);
        let lengths = [0, 1, 2, 3].map(|i| quarters[i] + 4 * depths[i]);
        assert_eq!(lengths, [4 * 72, 4 * 74 + 1, 4 * 76 + 2, 4 * 77]);
        assert_eq!(Buried { least: 30 * INCH, ..buried }.depth(48 * INCH), 30 * INCH);
    }

    const SCREEN: &str = "[piece.screen]\nis = \"screen\"\nlength = 1000\nreturn = 500\ntop = 900\nheight = 800\nboard = \"slat\"\n\
        gap = 20\npost = \"post\"\nspacing = 600\n";

    fn limits(asked: &Asked, value: &Sum) -> Vec<(i128, i128)> {
        asked.limits.iter().filter(|limit| limit.value == *value).map(|limit| (limit.from, limit.to)).collect()
    }

    /// By hand: the slats of the front run 32 beyond the corner post and lie before the posts; two bays along the front at 1000
    /// and one along the return, to which heights of the ground keep it.
    #[test]
    fn a_screen_round_a_corner() {
        let level = asked(SCREEN).expect("a screen");
        let outline = &level.pieces[0].stand.outline;
        let ground = outline.at(&level.sizes.iter().map(|size| size.1.want).collect::<Vec<_>>());
        assert_eq!(ground.corners[0], [0, -32 * MM]);
        assert_eq!(ground.lengths[..2], [1_032 * MM, 532 * MM]);
        assert!(limits(&level, &Sum::size(0).and(-70 * MM)).is_empty());
        assert_eq!(limits(&level, &Sum::size(2)), [(-BEYOND, 900 * MM)]);
        let falling = asked(&format!("{SCREEN}ground = [0, -30, 20, 10]\n")).expect("a screen");
        assert_eq!(limits(&falling, &Sum::size(0).and(-70 * MM)), [(-BEYOND, 1_200 * MM), (600 * MM + 1, BEYOND)]);
        assert_eq!(limits(&falling, &Sum::size(1).and(-70 * MM)), [(-BEYOND, 600 * MM)]);
        assert_eq!(limits(&falling, &Sum::size(2)), [(-BEYOND, 880 * MM)]);
    }

    /// A post of 70 by 70 has a diagonal of 98.99 and goes into a hole of 99; 900 above the ground and 600 in it come out of a
    /// board of 2990, of 2090 above it no less than half of that in it do not.
    #[test]
    fn posts_that_cannot_be() {
        let with = |more: &str| asked(&format!("{SCREEN}{more}\n")).is_ok();
        assert_eq!([with("hole = 99"), with("hole = 98.9")], [true, false]);
        let at = |ground: i64| with(&format!("ground = [0, {ground}, 0, 0]"));
        // As many as needed can come to half the spacing, and half of 240 leaves 50 between posts of 70.
        let spaced = |spacing: i64| asked(&SCREEN.replace("spacing = 600", &format!("spacing = {spacing}"))).is_ok();
        assert_eq!([spaced(240), spaced(239)], [true, false]);
        assert_eq!([at(850), at(851), at(-1_090), at(-1_190)], [true, false, true, false]);
    }
}
