//! The posts of a screen and their holes: each post as long as its ground asks.

use super::{Place, Sizes, Wished, key};
use crate::ask::{Ask, SHORTEST};
use crate::bays::Bays;
use crate::named::stock_behind;
use crate::place::boxed;
use crate::timber::Timber;
use measure::{Length, Percent, Volume};
use model::affine::Affine;
use model::build::{Build, GroundAt, Need, Needed, Note, Step, Wait};
use model::part::{Axis, PartKey};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::StockRef;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// How deep a post is buried.
pub static BURIED: Rule = Rule {
    id: "buried",
    words: "A share of what shows, rounded up to whole steps, and never less than the least: half of what shows is a third of the whole post",
    formula: "buried = max(least, ⌈shows × share / step⌉ × step)",
    inputs: &["shows", "share in hundredths of a percent", "step", "least"],
    source: "the trade's rules for posts, of which the local one holds: frost, soil and wind differ",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [shows, share, step, least] if *step > 0 => {
            let steps = -(-shows.checked_mul(*share)?).div_euclid(step.checked_mul(10_000)?);
            Some(steps.checked_mul(*step)?.max(*least))
        }
        _ => None,
    },
    case: Case {
        given: &[1_250_950_000, 5_000, 25_400_000, 457_200_000],
        gives: 635_000_000,
        source: "49-1/4 in shows: half of it, up to whole inches, is 25 in; worked outside this project",
    },
};

/// How long a post is.
pub static POST: Rule = Rule {
    id: "post",
    words: "A post is as long as what shows of it and what is buried",
    formula: "length = top - ground + buried",
    inputs: &["top", "ground", "buried"],
    source: "the plan and the levels of the ground",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        [top, ground, buried] => Some(top - ground + buried),
        _ => None,
    },
    case: Case {
        given: &[1_219_200_000, -31_750_000, 635_000_000],
        gives: 1_885_950_000,
        source: "48 in over ground that is 1-1/4 in lower, 25 in buried: 74-1/4 in, worked outside this project",
    },
};

/// How deep a hole is dug.
pub static HOLE: Rule = Rule {
    id: "hole",
    words: "A hole is as deep as the post is buried and the gravel under it",
    formula: "hole = buried + gravel",
    inputs: &["buried", "gravel"],
    source: "posts on gravel, which lets water drain from under the end grain",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [buried, gravel] => Some(buried + gravel),
        _ => None,
    },
    case: Case {
        given: &[609_600_000, 101_600_000],
        gives: 711_200_000,
        source: "24 in buried on 4 in of gravel: 28 in, worked outside this project",
    },
};

/// How much concrete goes round the posts.
pub static CONCRETE: Rule = Rule {
    id: "concrete",
    words: "Concrete fills the round holes less the posts, as deep as these are buried, and some is spilt; π is taken as 355/113, which is too much by less than a ten-millionth part",
    formula: "concrete = ⌈(355/113 × hole² / 4 - width × thickness) × buried × (1 + waste)⌉",
    inputs: &[
        "hole",
        "width of a post",
        "thickness of a post",
        "buried, all posts together",
        "waste in hundredths of a percent",
    ],
    source: "(hole area - post area) × buried; 355/113 - π = 2.7e-7",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [hole, width, thickness, buried, waste] => {
            // A quarter of 355/113 has the denominator 452; what less than a cubic millimetre is worth nobody can buy.
            let round = hole.checked_mul(*hole)?.checked_mul(355)?;
            let post = width.checked_mul(*thickness)?.checked_mul(452)?;
            let parts = (round - post).checked_mul(*buried)?.checked_mul(waste.checked_add(10_000)?)?;
            Some(-(parts.checked_neg()?).div_euclid(452 * 10_000 * CUBIC_MILLIMETRE))
        }
        _ => None,
    },
    case: Case {
        given: &[254_000_000, 88_900_000, 88_900_000, 2_565_400_000, 1_000],
        gives: CASE_OF_CONCRETE,
        source: "posts of 3-1/2 in in holes of 10 in, 101 in buried in all, 10 % waste: 4.262 ft³, worked outside this project",
    },
};

/// A cubic millimetre in nm³.
/// So many hours concrete hardens before anything hangs on posts in it (*common practice*).
const HARD: u32 = 48;
const CUBIC_MILLIMETRE: i128 = 1_000_000_000_000_000_000;

/// The worked case of [`CONCRETE`] in mm³: 4.2620 ft³ of 304.8³ mm³ each.
const CASE_OF_CONCRETE: i128 = 120_687_439;

/// The posts as the plan states them.
pub(super) struct Posts {
    pub(super) timber: Timber,
    /// The heights of the ground, if they are given, and how many posts they are for along the front and in all.
    ground: Option<(Vec<Length>, [u32; 2])>,
    top: Length,
    bury: Percent,
    step: Length,
    least: Length,
    hole: Option<Length>,
    gravel: Length,
    concrete: Option<StockRef>,
    waste: Percent,
}

impl Posts {
    /// The posts of a plan.
    ///
    /// # Errors
    /// What cannot be, whatever the sizes.
    pub(super) fn of(
        text: &PieceText,
        plan: &Plan,
        timber: Timber,
        sizes: &Wished,
        spacing: Length,
    ) -> Result<Posts, Problem> {
        let concrete = stock_behind(text, plan, StockKind::Bag, "concrete")?;
        let mut posts = Posts {
            timber,
            ground: None,
            top: text.need_length("top")?,
            bury: text.need_percent("bury")?,
            step: text.need_length("bury-step")?,
            least: text.need_length("bury-least")?,
            hole: text.values.length("hole"),
            gravel: text.need_length("gravel")?,
            concrete,
            waste: text.need_percent("waste")?,
        };
        posts.hold_hole(text, plan)?;
        if let Some(ground) = text.values.lengths("ground") {
            let counts = posts.wished(text, sizes, spacing)?;
            hold_count(text, ground.len(), counts)?;
            posts.ground = Some((ground, counts));
        }
        posts.hold_lengths(text, plan)?;
        Ok(posts)
    }

    /// How many posts there are at the wished sizes, along the front and in all.
    fn wished(&self, text: &PieceText, sizes: &Wished, spacing: Length) -> Result<[u32; 2], Problem> {
        let front = self.row(text, sizes.length.want - self.timber.width, spacing)?.count() + 1;
        let back = match sizes.back {
            Some(back) => self.row(text, back.want - self.timber.thickness, spacing)?.count(),
            None => 0,
        };
        Ok([front, front + back])
    }

    /// Posts along one way, of which the last starts so far behind the first.
    pub(super) fn row(&self, text: &PieceText, reach: Length, spacing: Length) -> Result<Bays, Problem> {
        let none = || Problem::new(format!("nothing says how many posts `{}` has", text.name)).at(&text.place);
        Bays::needed(reach, Some(spacing)).ok_or_else(none)
    }

    /// A post goes into its hole, and concrete needs one.
    fn hold_hole(&self, text: &PieceText, plan: &Plan) -> Result<(), Problem> {
        let Some(hole) = self.hole else {
            if self.concrete.is_none() {
                return Ok(());
            }
            let unknown = Problem::new(format!("nothing says how wide the holes of `{}` are", text.name));
            return Err(unknown
                .at(&text.values.place_of("concrete"))
                .hint("add `hole = …`, some three times the post"));
        };
        let square = |length: Length| i128::from(length.nanometres()) * i128::from(length.nanometres());
        let spacing = text.need_length("spacing")?;
        if hole > spacing {
            let [hole, spacing] = [hole, spacing].map(|length| plan.tape.show_with_unit(length));
            let wide = format!("holes {hole} wide run into each other where posts may stand {spacing} apart");
            return Err(Problem::new(wide)
                .at(&text.values.place_of("hole"))
                .hint("make `hole` some three times the post"));
        }
        if square(hole) > square(self.timber.width) + square(self.timber.thickness) {
            return Ok(());
        }
        let narrow =
            format!("the posts of `{}` do not go into holes {} wide", text.name, plan.tape.show_with_unit(hole));
        Err(Problem::new(narrow).at(&text.values.place_of("hole")).hint("make `hole` some three times the post"))
    }

    /// Every post shows something and comes out of its stock.
    fn hold_lengths(&self, text: &PieceText, plan: &Plan) -> Result<(), Problem> {
        for (post, ground) in (0..).zip(self.grounds()) {
            let shows = self.top - ground;
            let long = shows + self.buried(text, ground)?;
            if shows >= SHORTEST && long <= self.timber.longest {
                continue;
            }
            let key = if self.ground.is_some() { "ground" } else { "post" };
            let [shows, long, longest] =
                [shows, long, self.timber.longest].map(|length| plan.tape.show_with_unit(length));
            let bad = format!(
                "post {} of `{}` would show {shows} and be {long} long; its stock gives {longest}",
                post + 1,
                text.name
            );
            return Err(Problem::new(bad)
                .at(&text.values.place_of(key))
                .hint("change `top`, `ground` or how deep posts are buried, or take longer posts"));
        }
        Ok(())
    }

    /// The ground at each post, or the one height of level ground.
    fn grounds(&self) -> Vec<Length> {
        self.ground.as_ref().map_or_else(|| vec![Length::ZERO], |(ground, _)| ground.clone())
    }

    /// The highest ground at a post.
    pub(super) fn highest_ground(&self) -> Length {
        self.grounds().into_iter().max().unwrap_or(Length::ZERO)
    }

    fn buried(&self, text: &PieceText, ground: Length) -> Result<Length, Problem> {
        let buried = (BURIED.compute)(&self.numbers_of_buried(ground));
        let buried = buried.and_then(|buried| i64::try_from(buried).ok());
        let endless =
            || Problem::new(format!("nothing says how deep the posts of `{}` are buried", text.name)).at(&text.place);
        Ok(Length::nm(buried.ok_or_else(endless)?))
    }

    fn numbers_of_buried(&self, ground: Length) -> [i128; 4] {
        let number = |length: Length| i128::from(length.nanometres());
        [number(self.top - ground), self.bury.value().into(), number(self.step), number(self.least)]
    }

    /// What the posts ask of the sizes.
    pub(super) fn ask(&self, text: &PieceText, ask: &mut Ask<'_>, sizes: &Sizes, spacing: Length) {
        let name = &text.name;
        let Timber { width, thickness, .. } = self.timber;
        ask.is_there(&format!("between the posts of {name}"), Vec::new(), &(sizes.length.clone() + width * -2));
        let counts = self.ground.as_ref().map(|(_, counts)| *counts);
        let mut keep = |what: &str, reach: Affine, bays: u32| {
            let what = format!(
                "from the first post of the {what} of {name} to the last, with the posts that `ground` has heights for"
            );
            ask.is_at_most(&format!("{what},"), Vec::new(), &reach, spacing * i64::from(bays));
            if bays > 1 {
                ask.is_more(&what, Vec::new(), &reach, spacing * i64::from(bays - 1));
            }
        };
        if let Some([front, all]) = counts {
            keep("front", sizes.length.clone() + -width, front - 1);
            if let Some(back) = &sizes.back {
                keep("return", back.clone() + -thickness, all - front);
            }
        }
        if let Some(back) = &sizes.back {
            ask.is_there(
                &format!("between the posts of the return of {name}"),
                Vec::new(),
                &(back.clone() + thickness * -2),
            );
        }
    }

    /// Sets the posts.
    pub(super) fn set(&self, text: &PieceText, place: &Place, out: &mut Build) -> Result<(), Problem> {
        self.explain_rows(text, place, out)?;
        let [x, y] = place.corner;
        let front = place.along.iter().map(|&start| ("front", [x + start, y]));
        let at_back = x + place.length - self.timber.width;
        // The corner post is the last of the front.
        let back = place.behind.iter().skip(1).map(|&start| ("right", [at_back, y + start]));
        let mut index = [0_u32; 2];
        let (mut parts, mut buried) = (Vec::new(), Length::ZERO);
        for (post, (face, corner)) in front.chain(back).enumerate() {
            let own = &mut index[usize::from(face == "right")];
            let ground = match &self.ground {
                // The limits keep as many posts as there are heights.
                Some((ground, _)) => *ground.get(post).ok_or_else(|| miscounted(text, ground.len()))?,
                None => Length::ZERO,
            };
            let deep = self.buried(text, ground)?;
            buried += deep;
            let key = key(text, "post", face, 0, *own);
            *own += 1;
            self.explain_post(text, &format!("{face}.post-{own}"), ground, deep, out);
            let extent = [self.timber.width, self.timber.thickness, place.top - ground + deep];
            if self.ground.is_some() {
                out.ground.push(GroundAt::under(key.clone(), corner, [extent[0], extent[1]], ground));
            }
            let corner = [corner[0], corner[1], ground - deep];
            out.parts.push(boxed(corner, extent, [Axis::Z, Axis::X], key.clone(), self.timber.stock));
            parts.push(key);
        }
        self.pour(text, buried, out)?;
        self.tell(text, parts, out);
        Ok(())
    }

    fn explain_rows(&self, text: &PieceText, place: &Place, out: &mut Build) -> Result<(), Problem> {
        let spacing = text.need_length("spacing")?;
        let name = &text.name;
        let front = self.row(text, place.length - self.timber.width, spacing)?;
        front.explain(&text.called("front.post"), &format!("the posts along the front of {name}"), out);
        if let Some(back) = place.back {
            let back = self.row(text, back - self.timber.thickness, spacing)?;
            back.explain(&text.called("right.post"), &format!("the posts along the return of {name}"), out);
        }
        Ok(())
    }

    fn explain_post(&self, text: &PieceText, post: &str, ground: Length, deep: Length, out: &mut Build) {
        let [_, share, ..] = self.numbers_of_buried(ground);
        let buried = text.called(&format!("{post}.buried"));
        let inputs = vec![
            Input::new("what shows", Value::length(self.top - ground)),
            Input::new("share of it", Value { of: Of::Percent, value: share }),
            Input::new("whole steps of", Value::length(self.step)),
            Input::new("the least", Value::length(self.least)),
        ];
        out.quantities.extend(Quantity::by(&buried, "how deep the post is buried", Of::Length, &BURIED, inputs));
        let inputs = vec![
            Input::new("top", Value::length(self.top)),
            Input::new("the ground", Value::length(ground)),
            Input::new(&buried, Value::length(deep)),
        ];
        let name = text.called(&format!("{post}.length"));
        out.quantities.extend(Quantity::by(name, "length of the post", Of::Length, &POST, inputs));
        if self.hole.is_some() {
            let inputs =
                vec![Input::new(buried, Value::length(deep)), Input::new("gravel", Value::length(self.gravel))];
            let name = text.called(&format!("{post}.hole"));
            out.quantities.extend(Quantity::by(name, "how deep the hole is", Of::Length, &HOLE, inputs));
        }
    }

    fn pour(&self, text: &PieceText, buried: Length, out: &mut Build) -> Result<(), Problem> {
        let (Some(bag), Some(hole)) = (self.concrete, self.hole) else { return Ok(()) };
        let inputs = vec![
            Input::new("across a hole", Value::length(hole)),
            Input::new("width of a post", Value::length(self.timber.width)),
            Input::new("thickness of a post", Value::length(self.timber.thickness)),
            Input::new("buried, all posts together", Value::length(buried)),
            Input::new("waste", Value { of: Of::Percent, value: self.waste.value().into() }),
        ];
        let name = text.called("concrete");
        let much = || {
            Problem::new(format!("the holes of `{}` take more concrete than can be counted", text.name)).at(&text.place)
        };
        let concrete =
            Quantity::by(name, "concrete, waste included", Of::Volume, &CONCRETE, inputs).ok_or_else(much)?;
        let volume = Volume::from_cubic_nanometres(concrete.value.value * CUBIC_MILLIMETRE);
        let what = "concrete round the posts".to_owned();
        out.needs.push(Need { piece: text.name.clone(), what, of: Needed::Filled { bag, volume } });
        out.quantities.push(concrete);
        Ok(())
    }

    fn tell(&self, text: &PieceText, parts: Vec<PartKey>, out: &mut Build) {
        let name = &text.name;
        let note = format!(
            "How deep posts stand is settled by frost, soil and wind where you are: check locally before you buy the posts of {name}. Their cut ends are treated and stand in no soil if it can be helped; concrete is domed so that water runs off."
        );
        out.notes.push(Note { piece: name.clone(), text: note });
        let fill = match self.concrete {
            Some(_) => "fill with concrete, domed at the top",
            None => "fill with earth, rammed layer by layer",
        };
        let what = format!(
            "Dig the holes of {name}, each to its own depth, lay the gravel, stand each post in its own hole, plumb both ways, all tops level, {fill}"
        );
        if self.concrete.is_some() {
            let what = format!(
                "Let the concrete round the posts of {name} harden, the posts propped, for two days before anything hangs on them; for twice that below 10 °C (50 °F), and keep frost off it (common practice)"
            );
            out.waits.push(Wait { step: out.steps.len(), what, hours: Some(HARD) });
        }
        let caution = "Have buried services marked by their owners before the first spade, and dig by hand beside the marks; cover open holes. Wet concrete burns: gloves, long sleeves and goggles, and wash it off at once. Lift posts and bags with two people or with your knees";
        out.steps.push(Step { piece: name.clone(), what, caution: Some(caution.into()), parts });
    }
}

/// As many heights as posts.
fn hold_count(text: &PieceText, heights: usize, [front, all]: [u32; 2]) -> Result<(), Problem> {
    // A list in a plan is short.
    if heights == all as usize {
        return Ok(());
    }
    let odd = format!("`ground` has {heights} heights, and at its wished sizes `{}` has {all} posts", text.name);
    let hint = format!(
        "give one height for each post: {front} along the front, the corner post last, and {} more along the return",
        all - front
    );
    Err(Problem::new(odd).at(&text.values.place_of("ground")).hint(hint))
}

fn miscounted(text: &PieceText, heights: usize) -> Problem {
    Problem::new(format!("`{}` has not {heights} posts, and `ground` has as many heights", text.name)).at(&text.place)
}
