//! `fill`: what is filled into walls, in layers from below, round everything that stands in them.
//!
//! A fill has no parts. It is counted after all pieces are laid out, since posts, floors and ties take room from it
//! (`fill/room.rs`), and asks for bags with what settles added.

pub(crate) mod room;

use crate::Piece;
use crate::ask::{Ask, Stand};
use crate::fitted::Fitted;
use crate::named::stock;
use crate::within::{Host, Within, floor_behind};
use measure::{Density, Length, Percent, Tape};
use model::affine::Affine;
use model::build::{Bedded, Build, Going, Need, Needed, Note, Step, With};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, Schema, StockKind, Values};
use model::stock::StockRef;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};
use room::{Room, Tier, cubic_millimetres};

/// The keys of `fill`.
pub(crate) static SCHEMA: Schema = Schema {
    name: "fill",
    doc: "What walls are filled with, in layers from below: soil, compost, gravel. It goes round posts and whatever else stands in them.",
    fields: &[
        Field { key: "in", doc: "The walls that are filled.", kind: Kind::Piece, default: Default::Required },
        Field {
            key: "on",
            doc: "The floor that it lies on; the lower edge of the walls if left out.",
            kind: Kind::Piece,
            default: Default::Absent,
        },
        Field {
            key: "below-top",
            doc: "How far it ends below the top of the walls: 30 to 50 mm keep water and soil in (*common practice*).",
            kind: Kind::Length { least: 0, most: 2_000 },
            default: Default::Text("40 mm"),
        },
        Field {
            key: "water",
            doc: "What becomes of the water in it: whether the holes below can clog, or it stands on what does not drain.",
            kind: Kind::Word(&[
                ("drains", "it runs off below"),
                ("may stand", "it may stand to the top after heavy rain"),
            ]),
            default: Default::Text("drains"),
        },
        Field {
            key: "layers",
            doc: "The layers, from below. One of them takes the rest.",
            kind: Kind::List(&LAYER),
            default: Default::Required,
        },
    ],
};

/// The keys of a layer.
static LAYER: Schema = Schema {
    name: "layer",
    doc: "One layer of a fill.",
    fields: &[
        Field { key: "what", doc: "What it is.", kind: Kind::Text, default: Default::Required },
        Field {
            key: "bag",
            doc: "The bag that it comes in.",
            kind: Kind::Stock(StockKind::Bag),
            default: Default::Required,
        },
        Field {
            key: "depth",
            doc: "How deep it is. Either this or `rest`.",
            kind: Kind::Length { least: 5, most: 5_000 },
            default: Default::Absent,
        },
        Field {
            key: "rest",
            doc: "Whether it takes what the other layers leave.",
            kind: Kind::Word(&[("true", "it takes the rest"), ("false", "it has a `depth`")]),
            default: Default::Text("false"),
        },
        Field {
            key: "settles",
            doc: "How much of its volume it loses in the first season: 10 % to 20 % for soil, up to 30 % with much compost (*common practice*).",
            kind: Kind::Percent { most: 60 },
            default: Default::Text("0"),
        },
        Field {
            key: "drains",
            doc: "Whether it is there to drain, as a layer of gravel or stones: it is laid, with the objection to it.",
            kind: Kind::Word(&[("true", "it should drain"), ("false", "it is there for itself")]),
            default: Default::Text("false"),
        },
    ],
};

/// A fill as the plan states it.
struct Fill {
    text: PieceText,
    host: String,
    on: Option<String>,
    /// How far the floor's highest edge lies above the middle of its upper face.
    half_fall: Length,
    below_top: Length,
    layers: Vec<Layer>,
    tape: Tape,
}

/// One layer.
struct Layer {
    what: String,
    bag: StockRef,
    /// `None` for the rest.
    depth: Option<Length>,
    settles: Percent,
    drains: bool,
    /// What it weighs wet, if the yard says.
    wet: Option<Density>,
}

pub(crate) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let layers = text.values.list("layers").unwrap_or_default();
    let layers: Vec<Layer> =
        layers.iter().map(|values| Layer::of(values, text, plan)).collect::<Result<_, Problem>>()?;
    if layers.iter().filter(|layer| layer.depth.is_none()).count() != 1 {
        let rests = Problem::new(format!("one layer of `{}`, and only one, takes the rest", text.name));
        return Err(rests
            .at(&text.values.place_of("layers"))
            .hint("give each other one a `depth`, and one `rest = true`"));
    }
    Ok(Box::new(Fill {
        host: text.need_text("in")?,
        on: text.values.text("on"),
        half_fall: half_fall(text, plan)?,
        below_top: text.need_length("below-top")?,
        layers,
        tape: plan.tape,
        text: text.clone(),
    }))
}

/// Half of what the floor under it falls.
fn half_fall(text: &PieceText, plan: &Plan) -> Result<Length, Problem> {
    let fall = floor_behind(text, plan, "on")?.and_then(|floor| floor.values.length("fall"));
    Ok(Length::nm(fall.unwrap_or(Length::ZERO).nanometres().div_euclid(2)))
}

impl Layer {
    fn of(values: &Values, text: &PieceText, plan: &Plan) -> Result<Layer, Problem> {
        let what = values.text("what").unwrap_or_default();
        let name = values.text("bag").unwrap_or_default();
        let bag = stock(plan, StockKind::Bag, &name, &values.place_of("bag"))?;
        let is_true = |key: &str| values.word(key) == Some("true");
        let depth = values.length("depth");
        if is_true("rest") == depth.is_some() {
            let either = match depth {
                Some(_) => format!("the layer `{what}` of `{}` has a depth and takes the rest", text.name),
                None => format!("nothing says how deep the layer `{what}` of `{}` is", text.name),
            };
            return Err(Problem::new(either).at(&values.place).hint("write `depth = …` or `rest = true`"));
        }
        let settles = values.percent("settles").unwrap_or_default();
        Ok(Layer { what, bag, depth, settles, drains: is_true("drains"), wet: plan.yard.bags[bag.place].wet })
    }
}

impl Fill {
    /// What the layers that have a depth come to.
    fn measured(&self) -> Length {
        self.layers.iter().filter_map(|layer| layer.depth).sum()
    }

    /// Where it begins.
    fn low(&self, ask: &Ask<'_>, host: &Host) -> Result<Affine, Problem> {
        match &self.on {
            Some(_) => Ok(host.holds(ask, &self.text, "on")?.top + -self.half_fall),
            None => Ok(host.stand.bottom.clone()),
        }
    }
}

impl Piece for Fill {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let host = Host::of(ask, &self.text)?;
        let low = self.low(ask, &host)?;
        let top = host.stand.top.clone() + -self.below_top;
        let rest = top.clone() - low.clone() + -self.measured();
        // Walls that lean are lower than their slope is long, by less than they lean.
        let rest = rest + -host.stand.batter.abs();
        let what = format!("what is left for the rest of {}", self.text.name);
        ask.is_there(&what, Vec::new(), &rest);
        let takes = Within { clear: Length::ZERO, deep: None, bottom: low.clone(), top: top.clone(), loose: true };
        ask.stands_in(&self.host, &self.text.name, takes, &self.text.values.place_of("in"))?;
        Ok(Stand { bottom: low, top, has_faces: false, wall: None, ..host.inside })
    }

    fn detail(&self, _fitted: &Fitted<'_>, _out: &mut Build) -> Result<(), Problem> {
        Ok(())
    }

    fn after(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        out.with.push(With { piece: self.text.name.clone(), to: self.host.clone(), going: Going::Fills });
        let (host, own) = (fitted.stand(&self.host)?, fitted.stand(&self.text.name)?);
        let tiers = self.tiers(fitted, out)?;
        let room = Room::of(&self.host, host, self.on.as_deref(), tiers, fitted)?;
        let mut low = own.bottom.at(fitted.sizes());
        let top = room.top() - self.below_top;
        let rest = top - low - self.measured();
        for (index, layer) in self.layers.iter().enumerate() {
            let high = low + layer.depth.unwrap_or(rest);
            self.fill(index, layer, [low, high], &room, out)?;
            low = high;
        }
        Ok(())
    }
}

impl Fill {
    /// The walls that stand in the same piece.
    fn tiers(&self, fitted: &Fitted<'_>, out: &Build) -> Result<Vec<Tier>, Problem> {
        let stands = out.with.iter().filter(|one| one.to == self.host && one.going == Going::Stands);
        let tiers = stands.map(|one| Tier::of(&one.piece, fitted));
        tiers.filter_map(Result::transpose).collect()
    }

    /// A step for the layer; where walls stand on it part of the way up, one up to there and one for what goes round them.
    fn lay(&self, layer: &Layer, up: [Length; 2], room: &Room, out: &mut Build) {
        let mut low = up[0];
        for high in room.rests(up).into_iter().chain([up[1]]) {
            let stands: Vec<&str> = room.standing_on(high).collect();
            out.steps.push(self.step(layer, high - low, low > up[0], &stands));
            let on = out.steps.len() - 1;
            out.bedded.extend(stands.into_iter().map(|piece| Bedded { piece: piece.to_owned(), on }));
            low = high;
        }
    }

    /// Counts one layer between two heights: its volume, what is ordered, what it weighs wet.
    fn fill(&self, index: usize, layer: &Layer, up: [Length; 2], room: &Room, out: &mut Build) -> Result<(), Problem> {
        let name = |what: &str| self.text.called(&format!("layer-{}.{what}", index + 1));
        let too_much = || Problem::new(format!("the layer `{}` of `{}` is too large", layer.what, self.text.name));
        let whole = room.explain(name("room"), up)?.ok_or_else(too_much)?;
        let mut inputs = vec![Input::new(name("room"), whole.value)];
        for (piece, taken) in room.taken(up, out) {
            inputs.push(Input::new(format!("parts of {piece} in it"), volume(cubic_millimetres(taken))));
        }
        for (tier, enclosed) in room.enclosed(up) {
            inputs.push(Input::new(format!("inside of {tier}"), volume(cubic_millimetres(enclosed))));
        }
        let of = |what: &str| format!("{what}: {}", layer.what);
        let fill = Quantity::by(name("volume"), of("to fill"), Of::Volume, &FILL, inputs).ok_or_else(too_much)?;
        let settles = Value { of: Of::Percent, value: layer.settles.value().into() };
        let inputs = vec![Input::new(name("volume"), fill.value), Input::new("settles by", settles)];
        let order = Quantity::by(name("order"), of("to order"), Of::Volume, &ORDER, inputs).ok_or_else(too_much)?;
        let wet = layer.wet.and_then(|density| {
            let density = Value { of: Of::Density, value: density.value().into() };
            let inputs = vec![Input::new(name("volume"), fill.value), Input::new("wet density of the bag", density)];
            Quantity::by(name("wet"), of("wet, in place"), Of::Mass, &WET, inputs)
        });
        out.needs.push(Need {
            piece: self.text.name.clone(),
            what: layer.what.clone(),
            of: Needed::Filled { bag: layer.bag, volume: room::cubic_nanometres(order.value.value) },
        });
        out.notes.extend(self.notes(layer));
        self.lay(layer, up, room, out);
        out.quantities.extend([whole, fill, order].into_iter().chain(wet));
        Ok(())
    }

    fn notes(&self, layer: &Layer) -> Vec<Note> {
        let mut notes = Vec::new();
        if layer.settles > Percent::default() {
            notes.push(format!(
                "{} settles by {}: what is ordered has that added, so heap it or keep some to top up after the first season.",
                capital(&layer.what),
                layer.settles
            ));
        }
        if layer.drains {
            notes.push(format!(
                "A layer of {} under soil does not drain it: water stays in the fine soil above until that is soaked, so the layer raises the wet zone towards the roots (common practice). Holes in the floor, fabric over them and the same soil all the way down drain better.",
                layer.what
            ));
        }
        notes.into_iter().map(|text| Note { piece: self.text.name.clone(), text }).collect()
    }

    fn step(&self, layer: &Layer, depth: Length, goes_on: bool, stands: &[&str]) -> Step {
        let deep = self.tape.show_with_unit(depth);
        let more = if goes_on { " more" } else { "" };
        let mut what =
            format!("Fill {deep}{more} of {} into {}, evenly all round, and water it in", layer.what, self.host);
        if !stands.is_empty() {
            what += &format!("; firm it and rake it level, since {} stands on it", stands.join(" and "));
        }
        let caution = "Lift bags with your knees or share them; damp dry soil and compost before you pour them, wear gloves and do not breathe the dust";
        Step { piece: self.text.name.clone(), what, caution: Some(caution.into()), parts: Vec::new() }
    }
}

fn volume(cubic_millimetres: i128) -> Value {
    Value { of: Of::Volume, value: cubic_millimetres }
}

/// A sentence's first letter.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// What a layer takes.
pub(crate) static FILL: Rule = Rule {
    id: "fill",
    words: "A fill takes the inside of the walls less everything that stands in it, each post for itself, and less the inside of walls that stand in them",
    formula: "fill = room - parts in it - insides of tiers in it",
    inputs: &["room", "parts of each piece in it…", "inside of each tier in it…"],
    source: "inside of the boards less floor and posts, each post for itself",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [room, parts @ ..] => Some(room - parts.iter().sum::<i128>()),
        _ => None,
    },
    case: Case {
        given: &[268_128_000, 6_715_360],
        gives: 261_412_640,
        source: "eight posts of 47 in 1470 × 480 × 380 leave 261.4 L, worked outside this project",
    },
};

/// What of a layer is ordered.
pub(crate) static ORDER: Rule = Rule {
    id: "settling",
    words: "What settles by a share s is ordered so that it fills the room once it has settled",
    formula: "order = fill / (1 - s), rounded up",
    inputs: &["fill", "s"],
    source: "order = fill / (1 - s)",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [fill, settles] if (0..WHOLE).contains(settles) => {
            Some((fill.checked_mul(WHOLE)? + (WHOLE - settles) - 1).div_euclid(WHOLE - settles))
        }
        _ => None,
    },
    case: Case {
        given: &[261_412_640, 1_500],
        gives: 307_544_283,
        source: "261.4 L that settle by 15 % are 307.5 L to order, worked outside this project",
    },
};

/// All of it, in hundredths of a percent.
const WHOLE: i128 = 10_000;

/// What a layer weighs once it is wet.
pub(crate) static WET: Rule = Rule {
    id: "wet-mass",
    words: "What is filled in weighs its volume times its density when wet",
    formula: "mass = fill × density",
    inputs: &["fill", "density"],
    source: "definition of density; the density is the yard's",
    mark: Mark::Arithmetic,
    compute: |x| match x {
        // 1 mm³ at 1 kg/m³ is a thousandth of a milligram.
        [fill, density] => Some((fill.checked_mul(*density)? + 500).div_euclid(1_000)),
        _ => None,
    },
    case: Case {
        given: &[261_412_640, 1_500],
        gives: 392_118_960,
        source: "261.4 L at 1.5 kg/L are 392 kg, worked outside this project",
    },
};
