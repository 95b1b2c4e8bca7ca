//! The way home: the longest thing, what all of it weighs, and how often the car goes.

use super::{Buying, Line, MaterialKind, line_name, too_large};
use crate::check::density;
use crate::rules;
use measure::{Length, Mass};
use model::plan::Plan;
use model::problem::Problem;
use model::schema::StockKind;
use model::why::{Input, Of, Quantity, Value};

/// What to bring home.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Load {
    /// The longest thing that is bought; `None` if nothing is.
    pub longest: Option<Length>,
    /// What all weighs of which that is known.
    pub mass: Option<Mass>,
    /// The lines that nobody can weigh, by their names in the shop.
    pub unweighed: Vec<String>,
    /// The heaviest of what is lifted as it is bought, by the name of what one of it weighs.
    pub heaviest: Option<(String, Mass)>,
    /// How often the car goes, if its load and a mass are known.
    pub trips: Option<u64>,
}

impl Buying {
    /// Adds up what to bring home.
    pub(super) fn load(&mut self, plan: &Plan) -> Result<(), Problem> {
        let mut masses = Vec::new();
        let mut heaviest: Vec<(String, i128)> = Vec::new();
        let mut unweighed = Vec::new();
        for line in self.lines.clone() {
            match mass_of_one(&line, plan) {
                Some(mass) => {
                    heaviest.push((mass.name.clone(), mass.value.value));
                    masses.push(Input::new("how many", Value::count(line.count)));
                    masses.push(Input::new(mass.name.clone(), mass.value));
                    self.quantities.push(mass);
                }
                None => unweighed.push(label(plan.yard.label(line.stock))),
            }
        }
        let (bags, unknown) = self.bags(plan);
        heaviest.extend(
            bags.iter().filter(|input| input.value.of == Of::Mass).map(|input| (input.what.clone(), input.value.value)),
        );
        masses.extend(bags);
        unweighed.extend(unknown);
        // Of equals the first.
        let heaviest = heaviest.into_iter().rev().max_by_key(|(_, mass)| *mass);
        let heaviest = heaviest.and_then(|(name, mass)| Some((name, Mass::milligrams(i64::try_from(mass).ok()?))));
        let mut load = Load { unweighed, heaviest, ..Load::default() };
        let longest = |line: &Line| longest_side(line, plan);
        let sides: Vec<Input> =
            self.lines.iter().map(|line| Input::new(line_name(line, plan), Value::length(longest(line)))).collect();
        if !sides.is_empty() {
            load.longest = self.lines.iter().map(longest).max();
            self.quantities.extend(Quantity::by(
                "load.longest",
                "the longest thing",
                Of::Length,
                &rules::LONGEST,
                sides,
            ));
        }
        if !masses.is_empty() {
            let mass = Quantity::by("load.mass", "all that is weighed", Of::Mass, &rules::LOAD, masses)
                .ok_or_else(|| too_large("load.mass"))?;
            let own = i64::try_from(mass.value.value).map_err(|_| too_large("load.mass"))?;
            load.mass = Some(Mass::milligrams(own));
            if let Some(most) = plan.shed.car_load {
                let inputs =
                    vec![Input::new("load.mass", mass.value), Input::new("load of the car", Value::mass(most))];
                let trips = Quantity::by("load.trips", "how often the car goes", Of::Count, &rules::TRIPS, inputs)
                    .ok_or_else(|| too_large("load.trips"))?;
                load.trips = u64::try_from(trips.value.value).ok();
                self.quantities.push(mass);
                self.quantities.push(trips);
            } else {
                self.quantities.push(mass);
            }
        }
        self.load = load;
        Ok(())
    }

    /// How many bags of each size and what one weighs; and the sizes that nobody can weigh.
    fn bags(&self, plan: &Plan) -> (Vec<Input>, Vec<String>) {
        let (mut inputs, mut unknown) = (Vec::new(), Vec::new());
        for line in self.materials.iter().filter(|line| line.kind == MaterialKind::Bag) {
            let Some(bag) = plan.yard.bags.iter().find(|bag| bag.name == line.name) else { continue };
            for packs in &line.packs {
                let size = bag.sizes.iter().position(|size| size.holds == packs.holds);
                match size.and_then(|size| bag.masses[size]) {
                    Some(mass) => {
                        inputs.push(Input::new("how many", Value::count(packs.count)));
                        inputs.push(Input::new(format!("a bag of {}", line.name), Value::mass(mass)));
                    }
                    None => unknown.push(label((&bag.name, &bag.label))),
                }
            }
        }
        (inputs, unknown)
    }
}

/// What a thing is called in the shop, or else in the plan.
fn label((name, label): (&str, &str)) -> String {
    if label.is_empty() { name } else { label }.to_owned()
}

/// What the car does not take: of what the yard does not part, the longest.
pub(super) fn too_long(buying: &Buying, plan: &Plan) -> Option<String> {
    let most = plan.shed.car_longest?;
    let is_parted = |line: &&Line| {
        let parted = buying.home.iter().flat_map(|home| &home.parted).filter(|one| one.stock == line.stock);
        let mut own = parted.filter(|one| line.size.last() == Some(&one.stock_length)).peekable();
        own.peek().is_some() && own.all(|one| !one.pieces.is_empty())
    };
    let whole = buying.lines.iter().filter(|line| !is_parted(line));
    let longest = whole.map(|line| longest_side(line, plan)).max().filter(|&longest| longest > most)?;
    let [longest, most] = [longest, most].map(|length| plan.tape.show_with_unit(length));
    let cut = if plan.yard.cuts.is_some() { "" } else { ", or cut in the yard between parts" };
    Some(format!("too long for the car, which takes {most}: {longest}; have it brought{cut}"))
}

fn longest_side(line: &Line, plan: &Plan) -> Length {
    match line.stock.kind {
        StockKind::Unit => plan.yard.units[line.stock.place].length,
        _ => line.size.iter().copied().max().unwrap_or(Length::ZERO),
    }
}

/// What one of a line weighs as it is bought, if somebody knows.
fn mass_of_one(line: &Line, plan: &Plan) -> Option<Quantity> {
    let yard = &plan.yard;
    let name = line_name(line, plan).replacen("buy.", "load.", 1);
    let sides = match (line.stock.kind, line.size.as_slice()) {
        (StockKind::Board, [length]) => {
            let board = &yard.boards[line.stock.place];
            [*length, board.width, board.thickness]
        }
        (StockKind::Sheet, [length, width]) => [*length, *width, yard.sheets[line.stock.place].thickness],
        _ => {
            let unit = &yard.units[line.stock.place];
            if let Some(mass) = unit.mass {
                let inputs = vec![Input::new("mass by the yard", Value::mass(mass))];
                return Quantity::by(name, "what one weighs", Of::Mass, &rules::STATED_MASS, inputs);
            }
            [unit.length, unit.width, unit.thickness]
        }
    };
    let (density, source) = yard.density(line.stock).and_then(density)?;
    let [length, width, thickness] = sides.map(Value::length);
    let inputs = vec![
        Input::new("length", length),
        Input::new("width", width),
        Input::new("thickness", thickness),
        Input::new(format!("density ({source})"), Value { of: Of::Density, value: density.value().into() }),
    ];
    Quantity::by(name, "what one weighs", Of::Mass, &rules::MASS, inputs)
}
