//! *Will it bulge?* Soil presses on the walls that hold it: how far they bend once it has pressed for years, and how hard.
//!
//! # Formula
//! Pressure at rest at the lower edge of a board, taken over its whole face; the board as a strip from corner to corner, or to a
//! post that is tied across.
//! # Source
//! `handbook::soil`, `handbook::strength`; EN 1995-1-1 or NDS by the plan's region.
//! # Holds for
//! Level fills up to a metre. A panel is taken as a strip too, as if nothing held it at its foot: that is on the safe side.

use super::bend::{self, Wood, metres, most_bend, real, whole};
use super::{Answer, Answers, Case, Question, Verdict};
use handbook::soil;
use handbook::strength::{self, Duration};
use measure::{Length, Pressure, UnitWeight};
use model::part::{Axis, Part};
use model::plan::PieceText;
use model::schema::StockKind;
use model::why::{self, Input, Mark, Of, Quantity, Rule, Value};

#[cfg(test)]
mod tests;

const ASKS: &str = "Will it bulge?";

/// The question.
pub(super) static QUESTION: Question = Question {
    asks: ASKS,
    looks_at: "The walls round each fill: the board that bends most under wet soil at rest, how far once it has pressed for years, how hard it is bent, and how hard while somebody kneels on the soil at its edge; where water may stand, with its pressure",
    formula: "p = K0 × (γ × h + q), or K0 × ((γ - γw) × h + q) + γw × h with standing water; w = 5 p L^4 / (384 E t^3 / 12) × (1 + kdef); σ = (p L^2 / 8) / (t^2 / 6)",
    source: "earth pressure at rest by Jaky; beams by AWC Design Aid 6; strength by EN 338 and EN 1995-1-1, or the NDS in North America; no figures of Australia and New Zealand are known here, and those of Europe are used",
    holds_for: "a level fill up to a metre deep, every board as a strip between its corners and the posts that are tied across, the pressure at its lower edge over its whole face; a panel as if nothing held its foot, which is on the safe side. That corners and posts hold is another question; frost, roots and traffic are left out",
    rules: &[
        &EARTH,
        &bend::STRIP_BEND,
        &bend::STRIP_STRESS,
        &bend::MOST_BEND,
        &bend::SIZE,
        &bend::BEARS_EUROPE,
        &bend::BEARS_NDS,
    ],
    ask: |case, out| ask(case, out),
};

fn ask(case: &Case<'_>, out: &mut Answers) {
    for walls in case.plan.pieces.iter().filter(|piece| piece.schema.name == "walls") {
        let fill = case
            .plan
            .pieces
            .iter()
            .find(|piece| piece.schema.name == "fill" && piece.values.text("in").as_ref() == Some(&walls.name));
        let Some(fill) = fill else {
            let needs = format!("say what goes into {} with a `fill`, so that its pressure is known", walls.name);
            out.answers.push(Answer::cannot_tell(ASKS, walls.name.clone(), needs));
            continue;
        };
        match Wall::of(walls, fill, case) {
            Ok(Some(wall)) => {
                if wall.answer(case, out).is_none() {
                    let needs = "check the sizes: its numbers are too large to be reckoned with".into();
                    out.answers.push(Answer::cannot_tell(ASKS, walls.name.clone(), needs));
                }
            }
            // The fill does not reach up to any board.
            Ok(None) => {}
            Err(needs) => out.answers.push(Answer::cannot_tell(ASKS, walls.name.clone(), needs)),
        }
    }
}

/// The board of some walls that bends most, and what presses on it.
struct Wall<'c> {
    name: &'c str,
    board: &'c Part,
    /// From one support to the next, the widest.
    span: Length,
    /// Soil above its lower edge.
    depth: Length,
    wood: Wood,
    /// What a cubic metre of the soil weighs when wet, and where that is from.
    weight: (UnitWeight, &'static str),
    /// What a cubic metre of the water that may stand in it weighs; nothing if it drains.
    water: UnitWeight,
}

impl<'c> Wall<'c> {
    fn of(walls: &'c PieceText, fill: &PieceText, case: &Case<'c>) -> Result<Option<Wall<'c>>, String> {
        let parts: Vec<&Part> = case.build.parts.iter().filter(|part| is_wall(part, &walls.name)).collect();
        let Some(top) = parts.iter().map(|part| part.far_corner()[2]).max() else { return Ok(None) };
        let top = top - fill.values.length("below-top").unwrap_or(Length::ZERO);
        let posts = tied(case, &walls.name);
        let pressed = parts.iter().copied().filter(|part| part.near_corner()[2] < top);
        // Boards of one wall are of one stock: depth times span to the fourth puts them in order of their bend.
        let bends = |part: &&Part| {
            let [depth, span] = [top - part.near_corner()[2], span(part, &parts, &posts)].map(Length::as_mm);
            depth * span * span * span * span
        };
        let Some(board) = pressed.max_by(|a, b| bends(a).total_cmp(&bends(b))) else { return Ok(None) };
        let wood = Wood::of(board.stock, case.plan)?;
        let stands = fill.values.word("water") == Some("may stand");
        Ok(Some(Wall {
            name: &walls.name,
            board,
            span: span(board, &parts, &posts),
            depth: top - board.near_corner()[2],
            wood,
            weight: weight(fill, case),
            water: if stands { soil::WATER } else { UnitWeight::default() },
        }))
    }

    fn called(&self, what: &str) -> String {
        format!("{}.{what}", why::flat(self.name))
    }

    /// The pressure on the board, with somebody at the edge or without.
    fn pressure(&self, name: &str, people: Pressure) -> Option<Quantity> {
        let inputs = vec![
            Input::new(
                format!("K0 ({}, {})", soil::AT_REST.source, soil::AT_REST.mark),
                Value::factor(soil::AT_REST.share),
            ),
            Input::new(format!("weight of wet soil ({})", self.weight.1), Value::unit_weight(self.weight.0)),
            Input::new("soil above the lower edge of the board", Value::length(self.depth)),
            Input::new("people at its edge (common practice)", Value::pressure(people)),
            Input::new("weight of water that stands in it", Value::unit_weight(self.water)),
        ];
        Quantity::by(self.called(name), "pressure of the soil", Of::Pressure, &EARTH, inputs)
    }

    fn bend(&self, name: &str, pressure: &Quantity, span: Length, thickness: Length) -> Option<Quantity> {
        let inputs = vec![
            Input::new(pressure.name.clone(), pressure.value),
            Input::new("span", Value::length(span)),
            Input::new("thickness", Value::length(thickness)),
            Input::new(format!("modulus of elasticity ({})", self.wood.source), Value::pressure(self.wood.stiffness)),
            Input::new(
                format!("final over first bend ({}, {})", self.wood.creep.source, self.wood.creep.mark),
                Value::factor(self.wood.creep.factor),
            ),
        ];
        Quantity::by(self.called(name), "how far it bends in the end", Of::Length, &bend::STRIP_BEND, inputs)
    }

    fn stress(&self, name: &str, pressure: &Quantity, span: Length, thickness: Length) -> Option<Quantity> {
        let inputs = vec![
            Input::new(pressure.name.clone(), pressure.value),
            Input::new("span", Value::length(span)),
            Input::new("thickness", Value::length(thickness)),
        ];
        Quantity::by(self.called(name), "how hard it is bent", Of::Pressure, &bend::STRIP_STRESS, inputs)
    }

    /// What is compared, value before limit: the bend, the stress of the soil, and the stress with people at the edge.
    fn compared(&self, pressures: &[Quantity; 2], span: Length, thickness: Length) -> Option<[[Quantity; 2]; 3]> {
        let [soil, people] = pressures;
        let limit = |name: &str, duration| self.wood.limit(self.called(name), duration, thickness);
        Some([
            [
                self.bend("bulge", soil, span, thickness)?,
                most_bend(self.called("bulge-limit"), span, &strength::VISIBLE_BULGE)?,
            ],
            [self.stress("bending", soil, span, thickness)?, limit("bending-limit", Duration::Permanent)?],
            [self.stress("bending-people", people, span, thickness)?, limit("bending-people-limit", Duration::Short)?],
        ])
    }

    fn holds(&self, pressures: &[Quantity; 2], span: Length, thickness: Length) -> bool {
        let holds = |[value, limit]: &[Quantity; 2]| value.value.value <= limit.value.value;
        self.compared(pressures, span, thickness).is_some_and(|compared| compared.iter().all(holds))
    }

    /// Gives its answers; `None` if a number is too large to be written.
    fn answer(&self, case: &Case<'_>, out: &mut Answers) -> Option<()> {
        let pressures =
            [self.pressure("pressure", Pressure::default())?, self.pressure("pressure-people", soil::PEOPLE_AT_EDGE)?];
        let thickness = self.board.solid.thickness;
        let compared = self.compared(&pressures, self.span, thickness)?;
        let sag = &strength::VISIBLE_BULGE;
        let about = [
            (format!("{}, once the soil has pressed for years", self.name), format!("{}: {}", sag.source, sag.mark)),
            (format!("{}, how hard its boards are bent", self.name), self.wood.source.clone()),
            (format!("{}, how hard with somebody on the soil at its edge", self.name), self.wood.source.clone()),
        ];
        let fix = (!self.holds(&pressures, self.span, thickness)).then(|| self.fix(&pressures, thickness, case));
        let mut answers = Vec::new();
        for ([value, limit], (about, source)) in compared.iter().zip(about) {
            let mut answer = Answer::compared(ASKS, about, value, limit, source)?;
            if answer.verdict == Verdict::Fails {
                answer.change = fix.clone();
                answer.at = vec![self.board.key.clone()];
            }
            answer.cautions = self.cautions();
            answers.push(answer);
        }
        out.answers.extend(answers);
        out.quantities.extend(pressures.into_iter().chain(compared.into_iter().flatten()));
        Some(())
    }

    /// What would hold: the fewest ties, and the least thickness.
    fn fix(&self, pressures: &[Quantity; 2], thickness: Length, case: &Case<'_>) -> String {
        let parted = |ties: i64| Length::nm(self.span.nanometres().div_euclid(ties + 1));
        let ties = (1..=8).find(|&ties| self.holds(pressures, parted(ties), thickness));
        let step = match case.plan.tape.unit() {
            measure::Unit::Millimetre => Length::mm(1),
            measure::Unit::Inch | measure::Unit::FootInch => Length::inch_64ths(8),
        };
        let thicker = (1..=200).map(|steps| {
            Length::nm(thickness.nanometres().div_euclid(step.nanometres()) * step.nanometres()) + step * steps
        });
        let thicker = thicker.into_iter().find(|&thicker| self.holds(pressures, self.span, thicker));
        let show = |length| case.plan.tape.show_with_unit(length);
        let tied = ties.map(|ties| match ties {
            1 => format!("one post tied across at half of the {}", show(self.span)),
            some => format!("{some} posts tied across, {} apart", case.plan.tape.show_fine(parted(some))),
        });
        let what = if self.board.stock.kind == StockKind::Sheet { "sheet" } else { "boards" };
        let thicker = thicker.map(|thicker| format!("{what} {} thick", show(thicker)));
        match [thicker, tied] {
            [Some(thicker), Some(tied)] => format!("{thicker}, or {tied}, holds"),
            [Some(one), None] | [None, Some(one)] => format!("{one} holds"),
            [None, None] => "make it less deep or shorter, and ask an engineer".into(),
        }
    }

    fn cautions(&self) -> Vec<String> {
        let mut cautions = vec!["This is screening and no certified design".to_owned()];
        if self.depth > soil::ASK_ABOVE {
            cautions.push(
                "It holds back more than a metre of soil: have an engineer look at it, and ask whether it needs leave"
                    .into(),
            );
        }
        cautions
    }
}

/// What a wet cubic metre of the heaviest layer weighs, and where that is from.
fn weight(fill: &PieceText, case: &Case<'_>) -> (UnitWeight, &'static str) {
    let layers = fill.values.list("layers").unwrap_or_default();
    let bags = layers.iter().filter_map(|layer| {
        let bag = layer.text("bag")?;
        case.plan.yard.bags.iter().find(|known| known.name == bag)
    });
    let wet: Option<Vec<u32>> = bags.map(|bag| bag.wet.map(measure::Density::value)).collect();
    let (density, source) = match wet.and_then(|wet| wet.into_iter().max()) {
        Some(wet) => (wet, "the yard's `wet-density`"),
        None => (soil::WET.value(), soil::WET_SOURCE),
    };
    (UnitWeight::newtons_per_m3(i64::from(density) * soil::GRAVITY / 100_000), source)
}

/// Whether a part is a board or panel of these walls.
pub(super) fn is_wall(part: &Part, walls: &str) -> bool {
    part.key.piece == walls && ["board", "panel"].contains(&part.key.role.as_str())
}

/// The upright posts in some walls that a tie holds to the post opposite.
fn tied<'c>(case: &Case<'c>, walls: &str) -> Vec<&'c Part> {
    let within = |part: &&Part| {
        let piece = case.plan.pieces.iter().find(|piece| piece.name == part.key.piece);
        piece.is_some_and(|piece| piece.schema.name == "posts" && piece.values.text("in").as_deref() == Some(walls))
    };
    let own: Vec<&Part> = case.build.parts.iter().filter(within).filter(|part| part.is_box()).collect();
    let ties: Vec<&Part> = own.iter().copied().filter(|part| part.key.role == "tie").collect();
    let held = |post: &&Part| post.key.role == "post" && ties.iter().any(|tie| touch(post, tie));
    own.iter().copied().filter(held).collect()
}

/// Whether two boxes touch or overlap.
fn touch(a: &Part, b: &Part) -> bool {
    let ([a_low, a_high], [b_low, b_high]) = (a.reach(), b.reach());
    (0..3).all(|axis| a_low[axis] <= b_high[axis] && b_low[axis] <= a_high[axis])
}

/// The widest span of a wall's board: between the insides of the walls that it meets, and the middles of the posts that hold it.
/// One that stands at an angle is taken from end to end.
fn span(board: &Part, walls: &[&Part], posts: &[&Part]) -> Length {
    let axis = board.at.along.index();
    if !board.is_box() || board.at.along == Axis::Z || !walls.iter().all(|part| part.is_box()) {
        return board.solid.length;
    }
    let [low, high] = board.reach().map(|corner| corner[axis]);
    let inner_low = walls.iter().map(|part| part.reach()[0][axis] + part.solid.thickness).min().unwrap_or(low);
    let inner_high = walls.iter().map(|part| part.reach()[1][axis] - part.solid.thickness).max().unwrap_or(high);
    let (low, high) = (low.max(inner_low), high.min(inner_high));
    let middle = |post: &&Part| {
        let [from, to] = post.reach().map(|corner| corner[axis]);
        Length::nm((from + to).nanometres().div_euclid(2))
    };
    let mut at: Vec<Length> =
        posts.iter().copied().filter(|post| touch(board, post)).map(|post| middle(&post)).collect();
    at.retain(|&place| low < place && place < high);
    at.extend([low, high]);
    at.sort_unstable();
    at.windows(2).map(|pair| pair[1] - pair[0]).max().unwrap_or(board.solid.length)
}

/// The pressure of soil on a wall.
pub(super) static EARTH: Rule = Rule {
    id: "earth-pressure",
    words: "Soil presses sideways on a wall that cannot give way with a share of what lies above, and people on it with the same share of theirs; where water stands in it the soil is lighter by that of the water, which presses with all of its own",
    formula: "p = K0 × ((γ - γw) × h + q) + γw × h",
    inputs: &["K0", "γ", "h", "q", "γw"],
    source: "earth pressure at rest (Jaky, as coded in an open engineering library), water by its depth",
    mark: Mark::Published,
    compute: |x| match x {
        [share, weight, depth, people, water] => {
            let (soil, h) = ((real(weight) - real(water)).max(0.0), metres(depth).max(0.0));
            whole(real(share) / 1000.0 * (soil * h + real(people)) + real(water) * h)
        }
        _ => None,
    },
    case: why::Case {
        given: &[500, 15_000, 600_000_000, 2_500, 0],
        gives: 5_750,
        source: "0.6 m of 15 kN/m³ and 2.5 kN/m², K0 0.5: 5.75 kN/m², worked outside this project",
    },
};
