//! Rule `whys`: every number that can be asked why follows from its inputs by the referee's own formulas, the inputs are what
//! the rest of the record and the texts say, and every number that there should be is there.

mod angles;
mod cards;
mod formulas;
mod load;
mod materials;

use crate::asked::Asked;
use crate::claims::{Part, Quantity, Record};
use crate::clear::{Clear, shared};
use crate::judged;
use crate::laid::{Built, LaidRow};
use crate::ledger::Ledger;
use crate::solid::Solid;
use crate::strength;
use crate::texts::{Material, Papers};
use formulas::KNOWN;
pub(crate) use formulas::formula;
use std::collections::{BTreeMap, BTreeSet};

const RULE: &str = "whys";

/// Figures of the lifting rule, in thousandths of what the people lift one by one: two people two thirds (rounded
/// down, so that no limit is rounded up), three or more half.
///
/// # Source
/// UK Health and Safety Executive, L23, team handling (from memory), as the record itself says.
const TEAM: [i64; 3] = [1000, 666, 500];

/// How far a volume may lie from the referee's, in cubic millimetres and as a share: it is told in whole ones, rounded up, and
/// its planes to the nanometre.
const VOLUME_SLACK: f64 = 2.0;
const VOLUME_SHARE: f64 = 1e-6;

/// Holds all quantities.
pub(crate) fn hold(record: &Record, papers: &Papers, asked: &Asked, built: &Built<'_>, ledger: &mut Ledger) {
    ledger.turn_to(RULE);
    let mut names = BTreeSet::new();
    for quantity in &record.quantities {
        ledger.hold(names.insert(&quantity.name), || format!("`{}` stands twice", quantity.name));
        hold_formula(quantity, ledger);
    }
    hold_rules(record, ledger);
    hold_named_inputs(record, ledger);
    let mut book = Book { left: record.quantities.iter().map(|q| (q.name.as_str(), q)).collect(), ledger };
    book.sizes(record);
    built.rows.iter().for_each(|row| book.row(row));
    for (name, (inputs, slack)) in &built.lengths {
        book.expect_near(name, "row-length", "nm", inputs, *slack);
    }
    for (name, inputs) in &built.uprights {
        book.expect(name, "upright", "nm", inputs.to_vec());
    }
    for number in &built.numbers {
        book.expect(&number.name, number.rule, number.of, number.inputs.clone());
    }
    for (number, slack) in &built.near {
        book.expect_within(&number.name, number.rule, number.of, &number.inputs, slack);
    }
    book.cuts(record);
    cards::expect(record, papers, &mut book);
    materials::expect(record, papers, &mut book);
    materials::lines(record, papers, &mut book);
    materials::pay(record, papers, &mut book);
    let mut densities = Vec::new();
    book.masses(record, papers, asked, &mut densities);
    load::expect(record, papers, &mut densities, &mut book);
    strength::expect(record, papers, &mut book);
    strength::sag::expect(record, papers, &mut book);
    if let Some(home) = crate::home::home(record, papers) {
        let (each, fee) = crate::home::numbers(&home, papers);
        book.expect("home.cuts", "yard-cuts", "count", each);
        book.expect("home.fee", "yard-fee", "hundredths", fee);
    }
    if !papers.ways.is_empty() {
        book.expect("work.minutes", "minutes", "count", crate::sides::work(record, papers));
    }
    judged::expect(record, papers, asked, &mut book);
    let left: Vec<&str> = book.left.keys().copied().collect();
    for name in left {
        book.ledger.find(format!("`{name}` is a number that nothing in the plan asks for"));
    }
}

fn hold_formula(quantity: &Quantity, ledger: &mut Ledger) {
    let name = &quantity.name;
    if !ledger.hold(
        [KNOWN, angles::KNOWN, strength::formulas::KNOWN].iter().any(|known| known.contains(&quantity.rule.as_str())),
        || format!("`{name}` is by the unknown rule `{}`", quantity.rule),
    ) {
        return;
    }
    let inputs: Vec<i128> = quantity.inputs.iter().map(|input| input.value.into()).collect();
    if quantity.rule == "packs" && formulas::too_many_packs(&inputs) {
        return ledger.leave(format!("that `{name}` is the least that packs cost"));
    }
    let own = formula(&quantity.rule, &inputs)
        .or_else(|| angles::formula(&quantity.rule, &inputs))
        .or_else(|| strength::formulas::formula(&quantity.rule, &inputs));
    let claimed = i128::from(quantity.value);
    let near =
        own.filter(|own| (own - claimed).abs() <= strength::formulas::slack(&quantity.rule, &inputs)).map(|_| claimed);
    ledger.same(&format!("`{name}` by the rule `{}`", quantity.rule), Some(claimed), near.or(own));
}

/// Every rule that is used is told, once, and no other.
fn hold_rules(record: &Record, ledger: &mut Ledger) {
    let used: BTreeSet<&String> = record.quantities.iter().map(|quantity| &quantity.rule).collect();
    let told: BTreeSet<&String> = record.rules.iter().collect();
    ledger.same("the rules that are told", &told, &used);
    ledger.same("how many rules are told", record.rules.len(), told.len());
}

/// An input that names another number carries its value.
fn hold_named_inputs(record: &Record, ledger: &mut Ledger) {
    let values: BTreeMap<&str, (&str, i64)> =
        record.quantities.iter().map(|q| (q.name.as_str(), (q.of.as_str(), q.value))).collect();
    for quantity in &record.quantities {
        for input in &quantity.inputs {
            if let Some(&named) = values.get(input.what.as_str()) {
                let what = format!("the input `{}` of `{}`", input.what, quantity.name);
                ledger.same(&what, (input.of.as_str(), input.value), named);
            }
        }
    }
}

/// Whether somebody knows what a part weighs.
pub(crate) fn is_weighed(part: &Part, papers: &Papers) -> bool {
    let known = |material: &Material| *material != Material::Unknown;
    match part.kind.as_str() {
        "board" => papers.board(&part.stock).is_some_and(|board| known(&board.material)),
        "sheet" => papers.sheet(&part.stock).is_some_and(|sheet| known(&sheet.material)),
        _ => papers.unit(&part.stock).is_some_and(|unit| unit.mass.is_some() || known(&unit.material)),
    }
}

/// Whether a piece is joined and lifted whole: units are carried one by one.
pub(crate) fn is_joined(record: &Record, piece: &str) -> bool {
    record.parts.iter().filter(|part| part.piece == piece).all(|part| part.kind != "unit")
}

/// What a cubic metre weighs. The handbook's figure travels with the record; one material has one density throughout.
fn density(material: &Material, claimed: Option<i64>, densities: &mut Vec<(String, i128)>) -> Option<i128> {
    match material {
        Material::Stated(density) => Some(i128::from(*density)),
        Material::Named(name) => match densities.iter().find(|known| known.0 == *name) {
            Some(known) => Some(known.1),
            None => {
                let claimed = claimed.map_or(0, i128::from);
                densities.push((name.clone(), claimed));
                Some(claimed)
            }
        },
        Material::Unknown => None,
    }
}

/// The numbers that have not been asked for yet.
pub(crate) struct Book<'r, 'l> {
    left: BTreeMap<&'r str, &'r Quantity>,
    ledger: &'l mut Ledger,
}

impl<'r> Book<'r, '_> {
    /// There is a number of this name, by this rule, with these inputs. Its value has been held by the formula.
    pub fn expect(&mut self, name: &str, rule: &str, of: &str, inputs: Vec<i128>) -> Option<&'r Quantity> {
        self.expect_near(name, rule, of, &inputs, 0)
    }

    /// The same where inputs were rounded at an angle and may lie so far from these.
    pub fn expect_near(
        &mut self,
        name: &str,
        rule: &str,
        of: &str,
        inputs: &[i128],
        slack: i128,
    ) -> Option<&'r Quantity> {
        self.expect_within(name, rule, of, inputs, &vec![slack; inputs.len()])
    }

    /// The same with how far each of the inputs may lie off.
    pub fn expect_within(
        &mut self,
        name: &str,
        rule: &str,
        of: &str,
        inputs: &[i128],
        slack: &[i128],
    ) -> Option<&'r Quantity> {
        let quantity = self.left.remove(name);
        self.ledger.hold(quantity.is_some(), || format!("`{name}` has no why"));
        let quantity = quantity?;
        self.ledger.same(
            &format!("rule and kind of `{name}`"),
            (quantity.rule.as_str(), quantity.of.as_str()),
            (rule, of),
        );
        let claimed: Vec<i128> = quantity.inputs.iter().map(|input| input.value.into()).collect();
        let near = |((claimed, own), slack): ((&i128, &i128), &i128)| (claimed - own).abs() <= *slack;
        let all = claimed.len() == inputs.len() && claimed.iter().zip(inputs).zip(slack).all(near);
        self.ledger.hold(all, || format!("the inputs of `{name}` are said to be {claimed:?}, and are {inputs:?}"));
        Some(quantity)
    }

    /// There is a number of this name with one input, which is one of these.
    pub fn expect_one_of(&mut self, name: &str, rule: &str, of: &str, choices: &[i128]) {
        let claimed = self.claimed(name).and_then(|(_, inputs)| inputs.first().copied());
        let own = claimed.filter(|claimed| choices.contains(claimed)).or(choices.first().copied());
        self.expect(name, rule, of, own.into_iter().collect());
    }

    /// The rule and the inputs that the record gives a number that is still open.
    pub fn claimed(&self, name: &str) -> Option<(&'r str, Vec<i128>)> {
        let quantity = self.left.get(name)?;
        Some((quantity.rule.as_str(), quantity.inputs.iter().map(|input| input.value.into()).collect()))
    }

    /// Holds a claim about a number.
    pub fn hold(&mut self, holds: bool, message: impl FnOnce() -> String) {
        self.ledger.hold(holds, message);
    }

    /// A bend of wood: after the inputs that are known come those of the material, each within what is possible.
    pub fn expect_wood(
        &mut self,
        name: &str,
        rule: &str,
        known: &[i128],
        possible: &[&std::ops::RangeInclusive<i128>],
    ) -> Option<&'r Quantity> {
        let claimed = self.claimed(name).map(|(_, inputs)| inputs).unwrap_or_default();
        let of_wood: Vec<i128> = claimed.iter().skip(known.len()).copied().collect();
        let fits = of_wood.len() == possible.len()
            && of_wood.iter().zip(possible).all(|(own, possible)| possible.contains(own));
        self.ledger.hold(fits, || format!("`{name}`: no wood is so: {of_wood:?}"));
        self.expect(name, rule, "nm", [known, &of_wood].concat())
    }

    fn sizes(&mut self, record: &Record) {
        for (size, &value) in record.fit.sizes.iter().zip(&record.ways[record.chosen].closing.sizes) {
            let want = i128::from(size.wish.want);
            self.expect(&size.wish.name, "fitted", "nm", vec![want, i128::from(value) - want]);
        }
    }

    fn row(&mut self, row: &LaidRow) {
        // Marks of boards that lap have a number of their own, the cover.
        if row.gaps == 0 || row.pattern == [0] {
            return;
        }
        let name = format!("{}.gap", row.called);
        match row.pattern.as_slice() {
            [member] => self.expect(&name, "gap", "nm", vec![row.length, row.count, *member, row.gaps]),
            _ => self.expect(&name, "pattern-gap", "nm", vec![row.length, row.members_before(row.count), row.gaps]),
        };
    }

    fn cuts(&mut self, record: &Record) {
        for section in &record.cutting.boards {
            for (at, cut) in section.cuts.iter().enumerate() {
                let kerf = section.kerf.unwrap_or(record.cutting.kerf);
                let name = format!("cut.{}.{}", section.board, at + 1);
                if cut.stretches.is_empty() {
                    self.cut(&name, [cut.stock, record.cutting.trim], &cut.lengths, 0, kerf, record);
                    continue;
                }
                let counts: Vec<i64> = cut.stretches.iter().map(|stretch| stretch.parts).collect();
                let rows = shared(&cut.lengths, &counts).unwrap_or_default();
                for (number, (stretch, row)) in (1..).zip(cut.stretches.iter().zip(rows)) {
                    let clear = Clear::of([stretch.from, stretch.to], cut.stock, record.cutting.trim);
                    let stock = [stretch.to - stretch.from, clear.off()];
                    if !row.is_empty() {
                        self.cut(&format!("{name}.{number}"), stock, row, clear.kerfs_at_ends(), kerf, record);
                    }
                }
            }
        }
    }

    /// What a board leaves, or a clear stretch of one, which has a kerf at each end that is bad.
    fn cut(&mut self, name: &str, stock: [i64; 2], lengths: &[i64], bad_ends: i128, kerf: i64, record: &Record) {
        let sum: i128 = lengths.iter().map(|&length| i128::from(length)).sum();
        let cuts = lengths.len() as i128 - 1;
        let of = &record.cutting;
        let board = vec![stock[0].into(), stock[1].into(), sum, cuts + bad_ends];
        self.expect(&format!("{name}.slack"), "slack", "nm", [board.clone(), vec![kerf.into()]].concat());
        let reserve = vec![of.reserve_per_cut.into(), cuts, of.reserve_per_board.into()];
        self.expect(&format!("{name}.reserve"), "reserve", "nm", reserve);
        if cuts + bad_ends > 0 {
            self.expect(&format!("{name}.breaks-at"), "breaks-at", "nm", board);
        }
    }

    /// What a part of each kind weighs, what each piece weighs, and what the people at hand lift.
    fn masses(&mut self, record: &'r Record, papers: &Papers, asked: &Asked, densities: &mut Vec<(String, i128)>) {
        self.team(papers);
        let mut pieces: BTreeMap<&str, Vec<(&Part, i128)>> = BTreeMap::new();
        for part in &record.parts {
            let kinds = pieces.entry(part.piece.as_str()).or_default();
            match kinds.iter_mut().find(|kind| kind.0.letters() == part.letters()) {
                Some(kind) => kind.1 += 1,
                None => kinds.push((part, 1)),
            }
        }
        let mut masses: BTreeMap<&str, i128> = BTreeMap::new();
        // A piece with a part that nobody can weigh is not weighed.
        for (piece, kinds) in
            pieces.into_iter().filter(|(_, kinds)| kinds.iter().all(|kind| is_weighed(kind.0, papers)))
        {
            let each = kinds.iter().filter_map(|(part, count)| Some([*count, self.mass(part, papers, densities)?]));
            let inputs = each.flatten().collect();
            if let Some(mass) = self.expect(&format!("{piece}.mass"), "sum-of-masses", "mg", inputs) {
                masses.insert(piece, mass.value.into());
            }
        }
        for joined in asked.lifted() {
            let each: Option<Vec<i128>> = joined.iter().map(|piece| masses.get(piece).copied()).collect();
            if let Some(each) = each.filter(|_| joined[..1].iter().all(|piece| is_joined(record, piece))) {
                let inputs = each.into_iter().flat_map(|mass| [1, mass]).collect();
                self.expect(&format!("{}.lifted", joined[0]), "sum-of-masses", "mg", inputs);
            }
        }
    }

    fn mass(&mut self, part: &Part, papers: &Papers, densities: &mut Vec<(String, i128)>) -> Option<i128> {
        let name = format!("mass.{}", part.letters());
        let unit = papers.unit(&part.stock).filter(|_| part.kind == "unit");
        if let Some(mass) = unit.and_then(|unit| unit.mass) {
            let stated = self.expect(&name, "stated-mass", "mg", vec![mass.into()])?;
            return Some(stated.value.into());
        }
        let material = match part.kind.as_str() {
            "board" => papers.board(&part.stock).map(|board| &board.material),
            "sheet" => papers.sheet(&part.stock).map(|sheet| &sheet.material),
            _ => unit.map(|unit| &unit.material),
        };
        let claimed = self.left.get(name.as_str()).and_then(|quantity| quantity.inputs.last()).map(|input| input.value);
        let density = density(material?, claimed, densities)?;
        if !part.planes.is_empty() {
            return self.mass_of_volume(&name, part, density);
        }
        let inputs = vec![part.length.into(), part.width.into(), part.thickness.into(), density];
        self.expect(&name, "mass", "mg", inputs).map(|quantity| quantity.value.into())
    }

    /// What is trimmed weighs what its volume does: the referee's own, from the faces that its planes leave.
    fn mass_of_volume(&mut self, name: &str, part: &Part, density: i128) -> Option<i128> {
        let own = Solid::of(part).map_or(0.0, |solid| solid.volume());
        let quantity = self.left.get(name).copied();
        let claimed = quantity.and_then(|quantity| quantity.inputs.first()).map_or(0, |volume| volume.value);
        let near = (claimed as f64 - own).abs() <= VOLUME_SLACK + own * VOLUME_SHARE;
        let slot = part.slot();
        self.ledger.hold(near, || format!("the volume of {slot} is said to be {claimed} mm³, and is {own:.2}"));
        let inputs = vec![claimed.into(), density];
        self.expect(name, "mass-of-volume", "mg", inputs).map(|quantity| quantity.value.into())
    }

    fn team(&mut self, papers: &Papers) {
        let share = TEAM[usize::try_from(papers.people - 1).unwrap_or(0).min(2)];
        let claimed = self.left.get("carry.limit").and_then(|limit| limit.inputs.first()).map(|input| input.value);
        let one = papers.lift.or(claimed).unwrap_or(0);
        self.expect("carry.limit", "team-lift", "mg", vec![one.into(), papers.people.into(), share.into()]);
    }
}
