//! Where walls stand and how large they are: by themselves, as large as others, beside others, in others.

use crate::ask::Ask;
use crate::within::Within;
use measure::Length;
use model::affine::{Affine, SizeId};
use model::outline::{Outline, Side};
use model::plan::{PieceText, Plan};
use model::problem::Problem;

/// The piece that walls take their size from, that they stand beside, that they stand in.
pub(super) struct Stance {
    like: Option<String>,
    beside: Option<String>,
    within: Option<String>,
}

/// The outline of walls, where it begins, and their height.
pub(super) struct Placed {
    pub outline: Outline,
    pub origin: [Affine; 2],
    pub bottom: Affine,
    pub height: Affine,
}

/// The regular outlines: the word, how many sides, and how many sides further than the front they reach, to the left and to the
/// right, rounded up: (across the corners − side) / 2.
const REGULAR: [(&str, u32, i64); 6] = [
    ("triangle", 3, 0),
    ("pentagon", 5, 1),
    ("hexagon", 6, 1),
    ("octagon", 8, 1),
    ("decagon", 10, 2),
    ("dodecagon", 12, 2),
];

/// The keys of the sizes that an outline can have.
const SIZES: [&str; 5] = ["outline", "length", "width", "front-arm", "left-arm"];

impl Stance {
    pub(super) fn of(text: &PieceText, plan: &Plan) -> Result<Stance, Problem> {
        let like = walls_behind("like", text, plan)?;
        let beside = walls_behind("beside", text, plan)?;
        let within = text.values.text("in");
        let (like_it, beside_it, within_it) = (like.is_some(), beside.is_some(), within.is_some());
        if let Some(other) = beside.filter(|other| other.values.has("in")) {
            let inner = format!("`{}` stands in another piece, and nothing stands beside it", other.name);
            return Err(Problem::new(inner).at(&text.values.place_of("beside")));
        }
        let allowed = [
            (
                within_it && (like_it || beside_it),
                "in",
                "walls that stand in a piece take their size and place from it",
            ),
            (
                !within_it && text.values.has("setback"),
                "setback",
                "only walls that stand `in` a piece have a `setback`",
            ),
            (!beside_it && text.values.has("apart"), "apart", "only walls `beside` others stand `apart` from them"),
            (
                !beside_it && text.values.has("overall"),
                "overall",
                "only walls `beside` others have an `overall` length",
            ),
            (like_it && text.values.has("height"), "height", "the height is that of the walls that these are `like`"),
        ];
        for (wrong, key, why) in allowed {
            if wrong {
                return Err(Problem::new(why).at(&text.values.place_of(key)).hint("leave one of the two out"));
            }
        }
        let foreign = SIZES.iter().filter(|_| like_it || within_it).find(|key| text.values.has(key));
        if let Some(key) = foreign {
            let from = if like_it { "the walls that these are `like`" } else { "the piece that they stand `in`" };
            let twice = Problem::new(format!("the outline of `{}` is that of {from}, so it has no `{key}`", text.name));
            return Err(twice.at(&text.values.place_of(key)).hint("leave it out"));
        }
        let name = |other: &PieceText| other.name.clone();
        Ok(Stance { like: like.map(name), beside: beside.map(name), within })
    }

    /// Whether the walls stand in another piece.
    pub(super) fn is_tier(&self) -> bool {
        self.within.is_some()
    }

    /// The piece that the walls stand in.
    pub(super) fn host(&self) -> Option<&str> {
        self.within.as_deref()
    }

    /// Declares the sizes and finds the place.
    pub(super) fn ask(&self, ask: &mut Ask<'_>, text: &PieceText, thickness: Length) -> Result<Placed, Problem> {
        let off_ground = text.need_length("off-ground")?;
        if let Some(within) = &self.within {
            return tier(ask, text, within, off_ground);
        }
        let (outline, height) = match &self.like {
            Some(like) => {
                let other = ask.stand(like, &text.values.place_of("like"))?;
                (other.outline, other.top - other.bottom)
            }
            None => {
                let outline = own_outline(ask, text, thickness)?;
                (outline, Affine::size(size(ask, text, "height")?))
            }
        };
        let origin = match &self.beside {
            Some(other) => beside(ask, text, other, &outline)?,
            None => by_itself(ask, &text.name, &outline),
        };
        Ok(Placed { outline, origin, bottom: off_ground.into(), height })
    }
}

/// The walls that a key names.
fn walls_behind<'p>(key: &str, text: &PieceText, plan: &'p Plan) -> Result<Option<&'p PieceText>, Problem> {
    let Some(name) = text.values.text(key) else { return Ok(None) };
    match plan.pieces.iter().find(|piece| piece.name == name && piece.schema.name == "walls") {
        Some(walls) => Ok(Some(walls)),
        None => {
            let none = Problem::new(format!("`{}` can only be `{key}` other walls, and `{name}` is none", text.name));
            Err(none.at(&text.values.place_of(key)).hint("name a piece that `is = \"walls\"`"))
        }
    }
}

/// Declares one size of the piece.
fn size(ask: &mut Ask<'_>, text: &PieceText, key: &'static str) -> Result<SizeId, Problem> {
    let wish = text.need_wish(key)?;
    Ok(ask.size(&text.called(key), wish, text.values.place_of(key)))
}

fn own_outline(ask: &mut Ask<'_>, text: &PieceText, thickness: Length) -> Result<Outline, Problem> {
    let word = text.values.word("outline").unwrap_or("rectangle");
    let length = Affine::size(size(ask, text, "length")?);
    if let Some((_, count, _)) = REGULAR.iter().find(|(name, _, _)| *name == word) {
        refuse(text, &["width", "front-arm", "left-arm"], word)?;
        return Outline::regular(*count, length).map_err(|bad| Problem::new(bad.to_string()).at(&text.place));
    }
    if word == "L" {
        let width = Affine::size(size(ask, text, "width")?);
        let front_arm = Affine::size(size(ask, text, "front-arm")?);
        let left_arm = Affine::size(size(ask, text, "left-arm")?);
        for (name, arm) in [("front", &front_arm), ("left", &left_arm)] {
            let inside = arm.clone() + thickness * -2;
            ask.is_there(&format!("the inside of the {name} arm of {}", text.name), Vec::new(), &inside);
        }
        return Ok(Outline::ell(length, width, front_arm, left_arm));
    }
    refuse(text, &["front-arm", "left-arm"], word)?;
    let width = if text.values.has("width") { Affine::size(size(ask, text, "width")?) } else { length.clone() };
    Ok(Outline::rectangle(length, width))
}

/// Refuses sizes that an outline does not have.
fn refuse(text: &PieceText, keys: &[&str], outline: &str) -> Result<(), Problem> {
    let Some(key) = keys.iter().find(|key| text.values.has(key)) else { return Ok(()) };
    let lone = Problem::new(format!("a {outline} has no `{key}`")).at(&text.values.place_of(key));
    Err(lone.hint(match outline {
        "rectangle" => "add `outline = \"L\"`, or leave this out",
        _ => "its sides are all as long as `length`: leave this out",
    }))
}

/// A regular outline reaches further than its front on both sides; that much is kept free.
fn by_itself(ask: &mut Ask<'_>, name: &str, outline: &Outline) -> [Affine; 2] {
    let front = outline.sides()[0].length.clone();
    // A square and what is not regular reach no further than their front.
    let count = if outline.is_right_angled() { 4 } else { outline.count() as u32 };
    let further = REGULAR.iter().find(|(_, sides, _)| *sides == count).map_or(0, |(_, _, further)| *further);
    let [x, y] = ask.stand_by_itself(name, &(front.clone() * (1 + 2 * further)));
    [x + front * further, y]
}

fn beside(ask: &mut Ask<'_>, text: &PieceText, name: &str, outline: &Outline) -> Result<[Affine; 2], Problem> {
    let place = text.values.place_of("beside");
    let other = ask.stand(name, &place)?;
    if !outline.is_rectangle() || !other.outline.is_rectangle() {
        let round =
            Problem::new(format!("`{}` and `{name}` must be rectangles to stand beside one another", text.name));
        return Err(round.at(&place));
    }
    if other.batter < Length::ZERO {
        let wide = Problem::new(format!("`{name}` is wider at its foot than at its top, and nothing stands beside it"));
        return Err(wide.at(&place));
    }
    let (length, others) = (outline.sides()[0].length.clone(), other.outline.sides()[0].length.clone());
    let apart = match (text.values.has("apart"), text.values.has("overall")) {
        (true, false) => Affine::size(size(ask, text, "apart")?),
        (false, true) => Affine::size(size(ask, text, "overall")?) - others.clone() - length.clone(),
        _ => {
            let which = format!("`{}` stands beside `{name}`, and one of two must say how far away", text.name);
            return Err(Problem::new(which)
                .at(&place)
                .hint("add `apart = …` between the two, or `overall = …` over both"));
        }
    };
    ask.is_there(&format!("the clear distance between {name} and {}", text.name), Vec::new(), &apart);
    let x = other.origin[0].clone() + others + apart;
    ask.stand_beside(&other, x.clone() + length, &text.name, &place)?;
    Ok([x, other.origin[1].clone()])
}

/// A tier: the inside of another piece, moved inwards by a setback.
fn tier(ask: &mut Ask<'_>, text: &PieceText, name: &str, off_ground: Length) -> Result<Placed, Problem> {
    let place = text.values.place_of("in");
    let other = ask.stand(name, &place)?;
    let inside = other.inside().ok_or_else(|| {
        let none = Problem::new(format!("`{name}` has no inside that walls could stand in")).at(&place);
        none.hint("name walls")
    })?;
    if !inside.outline.is_right_angled() || other.batter != Length::ZERO {
        let odd = Problem::new(format!("`{name}` is not plumb and square, and a tier in it would not be either"));
        return Err(odd.at(&place).hint("tiers stand in plumb rectangles and Ls"));
    }
    let setback = Affine::size(size(ask, text, "setback")?);
    let height = Affine::size(size(ask, text, "height")?);
    let origin = [0, 1].map(|axis| inside.origin[axis].clone() + setback.clone());
    let outline = moved_in(&inside.outline, &setback)?;
    let bottom = other.bottom + off_ground;
    // No less than the least that will do comes out, so that is kept off the walls round it.
    let clear = text.need_wish("setback")?.from;
    let top = bottom.clone() + height.clone();
    ask.stands_in(name, &text.name, Within { clear, deep: None, bottom: bottom.clone(), top, loose: false }, &place)?;
    Ok(Placed { outline, origin, bottom, height })
}

/// A right-angled outline moved inwards by a size: a side loses it at an outside corner and gains it at an inside one.
fn moved_in(outline: &Outline, by: &Affine) -> Result<Outline, Problem> {
    let gain = |corner: usize| if outline.turn_after(corner).is_outside() { -1 } else { 1 };
    let moved = |(place, side): (usize, &Side)| {
        let times = gain(outline.before(place)) + gain(place);
        Side { length: side.length.clone() + by.clone() * times, ..side.clone() }
    };
    let sides = outline.sides().iter().enumerate().map(moved).collect();
    Outline::new(sides).map_err(|bad| Problem::new(bad.to_string()))
}
