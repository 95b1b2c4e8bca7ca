//! The numbers of the way home: the longest thing, what all of it weighs, how often the car goes.

use super::Book;
use super::formulas::formula;
use crate::buying::line_name;
use crate::claims::{Line, Load, Record};
use crate::texts::Papers;

/// Expects the numbers of the load, and holds what is said of it.
pub(super) fn expect(record: &Record, papers: &Papers, densities: &mut Vec<(String, i128)>, book: &mut Book<'_, '_>) {
    let buying = &record.buying;
    let (mut masses, mut unweighed, mut sides) = (Vec::new(), 0, Vec::new());
    for line in &buying.lines {
        let Some(measures) = measures(line, papers) else { continue };
        sides.push(if line.kind == "sheet" { measures[0].max(measures[1]) } else { measures[0] });
        match mass(line, measures, papers, densities, book) {
            Some(mass) => masses.extend([i128::from(line.count), mass]),
            None => unweighed += 1,
        }
    }
    for line in buying.materials.iter().filter(|line| line.kind == "bag") {
        let Some(bag) = papers.bag(&line.name) else { continue };
        for packs in &line.packs {
            let size = bag.sizes.iter().position(|size| size.holds == i128::from(packs.holds));
            match size.and_then(|size| bag.masses[size]) {
                Some(mass) => masses.extend([i128::from(packs.count), i128::from(mass)]),
                None => unweighed += 1,
            }
        }
    }
    let longest = sides.iter().max().copied();
    if !sides.is_empty() {
        book.expect("load.longest", "longest", "nm", sides);
    }
    let small = |value: i128| i64::try_from(value).unwrap_or(i64::MAX);
    let mut own = Load { longest: longest.map(small), mass: None, unweighed, trips: None };
    if !masses.is_empty() {
        let mass = formula("load", &masses).unwrap_or(0);
        book.expect("load.mass", "load", "mg", masses);
        own.mass = Some(small(mass));
        if let Some(most) = papers.car.1 {
            let inputs = vec![mass, most.into()];
            own.trips = formula("trips", &inputs).map(small);
            book.expect("load.trips", "trips", "count", inputs);
        }
    }
    book.ledger.same("what to bring home", buying.load, own);
}

/// Length, width and thickness of one of a line.
fn measures(line: &Line, papers: &Papers) -> Option<[i128; 3]> {
    let size = |at: usize| line.size.get(at).copied().map(i128::from);
    Some(match line.kind.as_str() {
        "board" => {
            let board = papers.board(&line.name)?;
            [size(0)?, board.width.into(), board.thickness.into()]
        }
        "sheet" => [size(0)?, size(1)?, papers.sheet(&line.name)?.thickness.into()],
        _ => {
            let unit = papers.unit(&line.name)?;
            [unit.length.into(), unit.width.into(), unit.thickness.into()]
        }
    })
}

/// What one weighs as it is bought, if the yard or the handbook knows.
fn mass(
    line: &Line,
    measures: [i128; 3],
    papers: &Papers,
    densities: &mut Vec<(String, i128)>,
    book: &mut Book<'_, '_>,
) -> Option<i128> {
    let name = line_name(line, papers).replacen("buy.", "load.", 1);
    let unit = papers.unit(&line.name).filter(|_| line.kind == "unit");
    if let Some(mass) = unit.and_then(|unit| unit.mass) {
        book.expect(&name, "stated-mass", "mg", vec![mass.into()]);
        return Some(mass.into());
    }
    let material = match line.kind.as_str() {
        "board" => &papers.board(&line.name)?.material,
        "sheet" => &papers.sheet(&line.name)?.material,
        _ => &unit?.material,
    };
    let claimed = book.left.get(name.as_str()).and_then(|quantity| quantity.inputs.last()).map(|input| input.value);
    let density = super::density(material, claimed, densities)?;
    let inputs = [measures.to_vec(), vec![density]].concat();
    let mass = formula("mass", &inputs);
    book.expect(&name, "mass", "mg", inputs);
    mass
}
