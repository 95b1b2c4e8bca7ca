//! A cut or a rip that closes rows where no whole member does: offered with its money and minutes, never taken.
//!
//! `docs/buying.md`, *When nothing comes out*, says which part is cut, and to what.

use crate::Effort;
use fit::{Collision, LimitRef, Outcome, Problem, Ranking, Run};
use measure::{Length, Money};
use model::plan::{PieceText, Plan};
use model::stock::{Material, Unit};
use pieces::Asked;

/// A cut or rip after which a set no longer collides.
#[derive(Clone, Debug)]
pub struct Priced {
    /// In words: `cut units of ring: 2, each to 63 mm, in ring.front, ring.back`.
    pub words: String,
    /// The sizes that come out then, if nothing else stands in the way, as the tape shows them.
    pub sizes: Vec<String>,
    /// How long it takes by the rates of the shed.
    pub minutes: u64,
    /// Whether it takes a blade of its own.
    pub blade: bool,
    /// What that costs, if the shed says.
    pub money: Option<Money>,
    /// What to look out for.
    pub caution: Option<&'static str>,
}

/// What is cut.
enum Member<'a> {
    Unit(&'a Unit),
    Board,
}

/// How the rows of one piece are closed.
struct Ask<'a> {
    plan: &'a Plan,
    asked: &'a Asked,
    /// The rows that are closed by it, by their runs.
    open: Vec<usize>,
    piece: &'a str,
    member: Member<'a>,
}

/// Of a set, every piece whose rows it collides over. `free` is the question with all other sets let go.
pub(super) fn all(
    (plan, asked): (&Plan, &Asked),
    collision: &Collision,
    free: &Problem,
    effort: &Effort,
    cancel: &dyn Fn() -> bool,
) -> Vec<Priced> {
    let mut names: Vec<&str> = runs(asked, collision).filter_map(|(_, run)| run.name.split('.').next()).collect();
    names.sort_unstable();
    names.dedup();
    let of = |name: &&str| {
        let piece = plan.pieces.iter().find(|piece| piece.name == **name)?;
        let own = format!("{}.", piece.name);
        let open = runs(asked, collision).filter(|(_, run)| run.name.starts_with(&own)).map(|(at, _)| at).collect();
        let ask = Ask { plan, asked, open, piece: &piece.name, member: member(piece, plan)? };
        ask.priced(free, effort, cancel)
    };
    names.iter().filter_map(of).collect()
}

fn runs<'a>(asked: &'a Asked, collision: &'a Collision) -> impl Iterator<Item = (usize, &'a Run)> {
    collision.limits.iter().filter_map(|limit| match *limit {
        LimitRef::Run(at) => asked.problem.runs.get(at).map(|run| (at, run)),
        LimitRef::Relation(_) => None,
    })
}

/// What the rows of a piece are of, if that can be cut: units of a ring, boards of a cladding that are all alike and do not lap.
fn member<'p>(piece: &PieceText, plan: &'p Plan) -> Option<Member<'p>> {
    match piece.schema.name {
        "edging" => {
            let name = piece.values.text("unit")?;
            plan.yard.units.iter().find(|unit| unit.name == name).map(Member::Unit)
        }
        "cladding" if piece.values.has("board") && piece.values.word("boards") != Some("lapped") => Some(Member::Board),
        _ => None,
    }
}

impl Ask<'_> {
    fn priced(&self, free: &Problem, effort: &Effort, cancel: &dyn Fn() -> bool) -> Option<Priced> {
        let mut problem = free.clone();
        let mut at = 0..;
        problem.runs.retain(|_| at.next().is_none_or(|at| !self.open.contains(&at)));
        let limits = fit::Limits { keep: 1, count_cap: 0, ..effort.fit };
        let Ok(Outcome::Fits(answer)) = fit::solve(&problem, Ranking::AsWished, &limits, cancel) else { return None };
        let closing = answer.closings.first()?;
        let mut count = 0;
        let mut each: Vec<String> = Vec::new();
        for &run in &self.open {
            let of = &self.asked.problem.runs[run];
            if of.when.iter().any(|&(choice, option)| closing.choices.get(choice) != Some(&option)) {
                continue;
            }
            let (parts, to) = self.closes(run, &closing.sizes)?;
            let rows: Vec<&str> = self.asked.rows_in(run).collect();
            let cuts = parts * rows.len() as u64;
            count += cuts;
            each.push(format!("{cuts}, each to {}, in {}", self.asked.tape.show_with_unit(to), rows.join(", ")));
        }
        (count > 0).then(|| self.told(count, &each.join("; "), super::sizes(self.asked, closing)))
    }

    fn told(&self, count: u64, each: &str, sizes: Vec<String>) -> Priced {
        let rates = &self.plan.shed.rates;
        let minutes = count * u64::from(rates.cut_minutes) + u64::from(rates.stop_minutes);
        match self.member {
            Member::Unit(unit) => Priced {
                words: format!("cut units of {}: {each}", self.piece),
                sizes,
                minutes: minutes + u64::from(rates.blade_minutes),
                blade: true,
                money: rates.blade,
                caution: caution(unit),
            },
            Member::Board => Priced {
                words: format!("rip the end boards of {}: {each}", self.piece),
                sizes,
                minutes,
                blade: false,
                money: Some(Money::hundredths(0)),
                caution: Some(RIP),
            },
        }
    }

    /// How many parts of a row are cut, and to what, so that it closes with the gap as wished.
    fn closes(&self, run: usize, sizes: &[i64]) -> Option<(u64, Length)> {
        let (of, face) = (&self.asked.problem.runs[run], self.asked.face(run, sizes)?);
        let member = i128::from(self.asked.member(run).nanometres());
        let gap = self.asked.problem.gaps.get(of.gap)?.wish.want;
        if of.gap_scale != 1 || of.gaps_per_member != 1 || member <= 0 {
            return None;
        }
        let part = rest(face.nanometres().into(), member, gap.into(), of.end_gaps.into())?;
        let (count, to) = match self.member {
            Member::Unit(_) if part * 3 >= member => (1, part),
            _ => (2, (part + member).div_euclid(2)),
        };
        let step = i128::from(self.asked.tape.step().nanometres());
        let to = i64::try_from(to.div_euclid(step) * step).ok()?;
        (to > 0).then_some((count, Length::nm(to)))
    }
}

/// The one part of a row that is no whole member, if all gaps are as wished; it may be nothing or less.
fn rest(face: i128, member: i128, gap: i128, end_gaps: i128) -> Option<i128> {
    let (room, pitch) = (face - end_gaps * gap, member + gap);
    let members = -(-room).div_euclid(pitch);
    (members > 1).then_some(room - members * pitch + member)
}

/// How a board is ripped (*common practice*).
const RIP: &str = "rip along the fence with guard and riving knife in place, and feed the end of a narrow strip through with a push stick, never by hand";

/// What the dust of a unit holds; of one that nobody knows it may be stone.
fn caution(unit: &Unit) -> Option<&'static str> {
    const DUST: &str =
        "the dust of stone, brick and concrete holds silica: cut wet or with extraction, and wear a mask for fine dust";
    match &unit.density {
        Some(Material::Named(name)) if !["granite", "clay-brick", "concrete"].contains(&name.as_str()) => None,
        _ => Some(DUST),
    }
}

#[cfg(test)]
mod tests {
    use super::rest;

    /// By hand: a joint at both ends, four of 100, one of 90 and six joints of 10 are 550.
    #[test]
    fn one_part_closes_a_row() {
        assert_eq!(rest(550, 100, 10, 1), Some(90));
        assert_eq!(rest(560, 100, 10, 1), Some(100), "a whole one");
        assert_eq!(rest(470, 100, 10, 1), Some(10), "a sliver");
        // Flush at both ends: 3 · 100 + 50 + 3 · 10 = 380.
        assert_eq!(rest(380, 100, 10, -1), Some(50));
        assert_eq!(rest(100, 100, 10, -1), None, "one member is no row to cut");
    }
}
