//! The legs of a frame: each as long as the ground under it asks.

use super::{Place, key, uncounted};
use crate::ask::{Ask, SHORTEST};
use crate::bays::Bays;
use crate::fittings::{self, Fitting};
use crate::place::boxed;
use crate::rules;
use crate::spaced::spacing;
use crate::timber::Timber;
use measure::Length;
use model::affine::Affine;
use model::build::{Build, GroundAt, Note, Step};
use model::part::{Axis, PartKey};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// How many bolts hold the legs.
pub static BOLTS: Rule = Rule {
    id: "bolts",
    words: "Two bolts hold each leg to its rim, one above the other: one alone would let it turn",
    formula: "bolts = legs × 2",
    inputs: &["legs"],
    source: "bolted legs of benches and platforms",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [legs] => legs.checked_mul(2),
        _ => None,
    },
    case: Case {
        given: &[6],
        gives: 12,
        source: "six legs bolted through the rims: twelve, worked outside this project",
    },
};

/// The legs as the plan states them.
pub(super) struct Legs {
    timber: Timber,
    inside: bool,
    spacing: Option<Length>,
    ground: Option<Vec<Length>>,
    pad: Length,
    /// What holds each leg: a bracket under the rim, bolts inside.
    fitting: Option<Fitting>,
}

impl Legs {
    /// The legs of a plan, if it has any.
    ///
    /// # Errors
    /// What cannot be, whatever the sizes.
    pub(super) fn of(text: &PieceText, plan: &Plan, joist: &Timber) -> Result<Option<Legs>, Problem> {
        let inside = text.need_word("legs")? == "inside";
        let leg = text.values.has("leg");
        fittings::holds(text, "bracket", leg && !inside, "brackets hold legs `under` the rims: leave it out")?;
        fittings::holds(text, "bolt", leg && inside, "bolts hold legs `inside`: leave it out")?;
        if !text.values.has("leg") {
            let idle = ["leg-spacing", "ground", "pad"].into_iter().find(|key| text.values.has(key));
            let idle = idle.or(inside.then_some("legs"));
            return match idle {
                Some(key) => {
                    let lone = Problem::new(format!("`{}` has no legs for `{key}`", text.name));
                    Err(lone
                        .at(&text.values.place_of(key))
                        .hint("name the board of the legs as `leg`, or leave this out"))
                }
                None => Ok(None),
            };
        }
        let timber = Timber::needed(text, plan, "leg")?;
        let spacing = spacing(text, "leg-spacing", timber.width, plan.tape)?;
        if inside && text.need_length("spacing")? < joist.thickness + timber.width {
            let close = format!("the legs of `{}` do not go in between its joists", text.name);
            let place = text.values.place_of("spacing");
            return Err(Problem::new(close)
                .at(&place)
                .hint("space the joists wider, or let the legs stand `under` the rims"));
        }
        let ground = text.values.lengths("ground");
        let pad = text.values.length("pad").unwrap_or(Length::ZERO);
        let fitting = Fitting::behind(text, plan, if inside { "bolt" } else { "bracket" })?;
        let legs = Legs { timber, inside, spacing, ground, pad, fitting };
        legs.holds_ground(text)?;
        Ok(Some(legs))
    }

    /// Front and back have as many legs, two at least; without a spacing just two.
    fn holds_ground(&self, text: &PieceText) -> Result<(), Problem> {
        let Some(ground) = &self.ground else { return Ok(()) };
        let count = ground.len();
        let fits = count >= 4 && count.is_multiple_of(2) && (count == 4 || self.spacing.is_some());
        if fits {
            return Ok(());
        }
        let hint = match self.spacing {
            Some(_) => "give one height for each leg: as many at the front as at the back, two at least",
            None => "without `leg-spacing` there are four legs: give four heights",
        };
        let odd = Problem::new(format!("`ground` has {count} heights for the legs of `{}`", text.name));
        Err(odd.at(&text.values.place_of("ground")).hint(hint))
    }

    /// The highest ground at a leg.
    pub(super) fn highest_ground(&self) -> Length {
        self.ground.iter().flatten().copied().max().unwrap_or(Length::ZERO)
    }

    /// Where the legs end: under the frame, or at its upper edge.
    fn upper(&self, [lower, upper]: [Length; 2]) -> Length {
        if self.inside { upper } else { lower }
    }

    /// What the legs ask of the frame, whose sizes along the front and from front to back are given, and its heights.
    pub(super) fn ask(
        &self,
        text: &PieceText,
        ask: &mut Ask<'_>,
        [long, wide]: [&Affine; 2],
        heights: [Length; 2],
        rim: Length,
    ) -> Result<(), Problem> {
        self.holds_lengths(text, ask, self.upper(heights))?;
        let name = &text.name;
        let Timber { width, thickness, .. } = self.timber;
        ask.is_there(&format!("between the legs of {name}"), Vec::new(), &(long.clone() + width * -2));
        let rims = if self.inside { rim } else { Length::ZERO };
        let between = wide.clone() + (rims + thickness) * -2;
        ask.is_there(&format!("from the front legs of {name} to those at the back"), Vec::new(), &between);
        if let (Some(ground), Some(spacing)) = (&self.ground, self.spacing) {
            // A list in a plan is short.
            let bays = ground.len() as i64 / 2 - 1;
            let what = format!(
                "from the first leg of {name} to the last, where `ground` has heights for {} legs",
                ground.len()
            );
            let reach = long.clone() + -width;
            ask.is_at_most(&format!("{what},"), Vec::new(), &reach, spacing * bays);
            if bays > 1 {
                ask.is_more(&what, Vec::new(), &reach, spacing * (bays - 1));
            }
        }
        Ok(())
    }

    /// Each leg is long enough to be one, and comes out of its stock.
    fn holds_lengths(&self, text: &PieceText, ask: &Ask<'_>, upper: Length) -> Result<(), Problem> {
        let level = vec![Length::ZERO];
        for (place, &ground) in self.ground.as_ref().unwrap_or(&level).iter().enumerate() {
            let long = upper - ground - self.pad;
            if long >= SHORTEST && long <= self.timber.longest {
                continue;
            }
            let key = if self.ground.is_some() { "ground" } else { "leg" };
            let [long, least, most] =
                [long, SHORTEST, self.timber.longest].map(|length| ask.tape().show_with_unit(length));
            let bad =
                format!("leg {} of `{}` would be {long} long, and legs are {least} to {most}", place + 1, text.name);
            let hint = "change the height of the deck or of the ground, or take another board for the legs";
            return Err(Problem::new(bad).at(&text.values.place_of(key)).hint(hint));
        }
        Ok(())
    }

    /// Stands the legs at a frame whose joists start at `joists`.
    pub(super) fn stand(
        &self,
        text: &PieceText,
        place: &Place,
        joists: &[Length],
        joist: &Timber,
        out: &mut Build,
    ) -> Result<(), Problem> {
        let Timber { width, thickness, stock, .. } = self.timber;
        let bays = Bays::needed(place.long - width, self.spacing).ok_or_else(|| uncounted(text, "legs"))?;
        bays.explain(&text.called("leg"), &format!("the legs of {}", text.name), out);
        let starts = self.starts(text, bays, joists, joist.thickness)?;
        let upper = self.upper([place.corner[2], place.upper]);
        let inwards = if self.inside { joist.thickness } else { Length::ZERO };
        let [x, y, _] = place.corner;
        let mut parts = Vec::new();
        for (row, face, near) in [(0, "front", y + inwards), (1, "back", y + place.wide - inwards - thickness)] {
            for (index, &start) in starts.iter().enumerate() {
                let ground = self.ground_at(text, row * starts.len() + index)?;
                // Bays are counted in a u32.
                let key = key(text, "leg", face, index as u32);
                let bottom = ground + self.pad;
                let extent = [width, thickness, upper - bottom];
                if self.ground.is_some() {
                    out.ground.push(GroundAt::under(key.clone(), [x + start, near], [width, thickness], ground));
                }
                out.parts.push(boxed([x + start, near, bottom], extent, [Axis::Z, Axis::X], key.clone(), stock));
                parts.push(key);
                let name = text.called(&format!("{face}.leg-{}.length", index + 1));
                out.quantities.extend(rules::leg_length(name, upper, ground, self.pad));
            }
        }
        self.tell(text, parts, out);
        Ok(())
    }

    fn ground_at(&self, text: &PieceText, leg: usize) -> Result<Length, Problem> {
        match &self.ground {
            // The limits keep as many legs as there are heights.
            Some(ground) => ground.get(leg).copied().ok_or_else(|| uncounted(text, "legs")),
            None => Ok(Length::ZERO),
        }
    }

    /// Where the legs of a rim start, from the left.
    fn starts(
        &self,
        text: &PieceText,
        bays: Bays,
        joists: &[Length],
        thickness: Length,
    ) -> Result<Vec<Length>, Problem> {
        if !self.inside {
            return Ok(bays.starts().collect());
        }
        let width = self.timber.width;
        // Both counts are far below a u32.
        let (last, bays) = (joists.len().saturating_sub(1), bays.count() as usize);
        let beside = |leg: usize| match leg {
            0 => joists[0] + thickness,
            leg if leg == bays => joists[last] - width,
            leg => joists[(2 * leg * last + bays) / (2 * bays)] + thickness,
        };
        let starts: Vec<Length> = (0..=bays).map(beside).collect();
        let meets = |start: Length| {
            let joist = joists.iter().any(|&joist| joist < start + width && start < joist + thickness);
            joist || starts.iter().filter(|&&other| other < start + width && start < other + width).count() > 1
        };
        if starts.iter().any(|&start| meets(start)) {
            let close = format!("two legs of `{}` would stand in one another between two joists", text.name);
            let hint =
                "make `leg-spacing` wider or the joists' `spacing` narrower, or let the legs stand `under` the rims";
            return Err(Problem::new(close).at(&text.values.place_of("leg")).hint(hint));
        }
        self.holds_spacing(text, &starts)?;
        Ok(starts)
    }

    /// Legs that stand beside joists are not evenly spaced: none is further from the next than was asked.
    fn holds_spacing(&self, text: &PieceText, starts: &[Length]) -> Result<(), Problem> {
        let widest = starts.windows(2).map(|pair| pair[1] - pair[0]).max();
        if widest.zip(self.spacing).is_none_or(|(widest, spacing)| widest <= spacing) {
            return Ok(());
        }
        let far = format!("beside the joists of `{}` two legs would stand further apart than `leg-spacing`", text.name);
        let hint =
            "make the joists' `spacing` narrower or `leg-spacing` smaller, or let the legs stand `under` the rims";
        Err(Problem::new(far).at(&text.values.place_of("leg-spacing")).hint(hint))
    }

    fn tell(&self, text: &PieceText, parts: Vec<PartKey>, out: &mut Build) {
        let name = &text.name;
        let note = match self.inside {
            true => {
                let legs = Input::new("legs", Value::count(parts.len() as u32));
                let bolts =
                    Quantity::by(text.called("bolts"), "bolts through rims and legs", Of::Count, &BOLTS, vec![legs]);
                out.quantities.extend(bolts);
                if let Some(bolt) = &self.fitting {
                    // Legs are counted in a u32.
                    bolt.need(text, "leg", 2 * parts.len() as u32, out);
                }
                let bolts = Fitting::so_many(self.fitting.as_ref(), 2, "two bolts");
                format!(
                    "Bolt each leg of {name} to its rim with {bolts}, one above the other, with washers under head and nut."
                )
            }
            false if self.fitting.is_some() => {
                let bracket = Fitting::said(self.fitting.as_ref(), "a bracket");
                self.fitting.iter().for_each(|fitting| fitting.for_each(text, "leg", parts.len(), 1, out));
                format!(
                    "Fix each leg of {name} to its rim with {bracket}: screws into the leg's end grain do not count."
                )
            }
            false => format!(
                "Nothing holds the legs of {name} under the rims, and screws into their end grain do not count: fix each with a bracket, or let the legs stand `inside` and bolt them."
            ),
        };
        out.notes.push(Note { piece: name.clone(), text: note });
        let what = match self.ground {
            Some(_) => format!(
                "Cut each leg of {name} to its own length, write on it where it stands, and have it ready at its pad"
            ),
            None => format!("Cut the legs of {name} and have them ready where they stand"),
        };
        let caution = "Have buried services marked before you dig for pads; stand the frame up with two people and brace it until it is level; check locally how high it may stand without a guard";
        out.steps.push(Step { piece: name.clone(), what, caution: Some(caution.into()), parts });
    }
}
