//! The question to fit and its answer, as the referee needs them to repeat the proof.

use crate::small;
use advise::Settled;
use fit::{Affine, Closing, Proof, Status, Variable};
use serde::Serialize;

/// What was asked of fit, and what came out.
#[derive(Debug, Serialize)]
pub struct FitRecord {
    /// Choices between ways of building.
    pub choices: Vec<ChoiceRecord>,
    /// The sizes that were decided.
    pub sizes: Vec<SizeRecord>,
    /// The gaps and joints.
    pub gaps: Vec<WishRecord>,
    /// The rows that had to close.
    pub runs: Vec<RunRecord>,
    /// Limits that had to hold.
    pub relations: Vec<RelationRecord>,
    /// `proven`, `step limit` or `cancelled`.
    pub status: &'static str,
    /// The closings nearest to the wishes, best first.
    pub closings: Vec<ClosingRecord>,
    /// How many closings there are in all; as far as they were counted if `found_more`.
    pub found: u64,
    /// Whether there may be more than `found`.
    pub found_more: bool,
    /// The covering tree of the search: `["split", kind, index, [[from, to, tree], …]]`, `["empty"]`, `["bound"]` or
    /// `["listed", closing]`; for a question that falls apart `["apart", [part, …]]` at the top. Null if the search did not end.
    pub proof: Option<Tree>,
}

/// A choice.
#[derive(Debug, Serialize)]
pub struct ChoiceRecord {
    /// Its name.
    pub name: String,
    /// Its options.
    pub options: Vec<String>,
}

/// A size.
#[derive(Debug, Serialize)]
pub struct SizeRecord {
    /// Its grid: `origin + k · step`.
    pub origin: i64,
    /// The grid's step.
    pub step: i64,
    /// What was wished.
    #[serde(flatten)]
    pub wish: WishRecord,
}

/// A wish.
#[derive(Debug, Serialize)]
pub struct WishRecord {
    /// Its name.
    pub name: String,
    /// What was wanted.
    pub want: i64,
    /// The least that will do.
    pub from: i64,
    /// The most that will do.
    pub to: i64,
    /// Its rank, 1 first.
    pub rank: u32,
}

/// A row that had to close.
#[derive(Debug, Serialize)]
pub struct RunRecord {
    /// Its name.
    pub name: String,
    /// Choice and option, all of which must be chosen for it to exist.
    pub when: Vec<(usize, usize)>,
    /// What it fills: size and how often it counts.
    pub terms: Vec<(usize, i64)>,
    /// The fixed part of what it fills.
    pub constant: i64,
    /// One member.
    pub member: i64,
    /// Gaps for each member.
    pub gaps_per_member: i64,
    /// Gaps more or less than that.
    pub end_gaps: i64,
    /// Which gap.
    pub gap: usize,
    /// The fewest and the most members it may have.
    pub count: (i64, i64),
}

/// A limit that had to hold.
#[derive(Debug, Serialize)]
pub struct RelationRecord {
    /// What it says.
    pub name: String,
    /// Choice and option, all of which must be chosen for it to hold.
    pub when: Vec<(usize, usize)>,
    /// Size and how often it counts.
    pub terms: Vec<(usize, i64)>,
    /// The fixed part.
    pub constant: i64,
    /// The least.
    pub from: i64,
    /// The most.
    pub to: i64,
}

/// A closing.
#[derive(Debug, Serialize)]
pub struct ClosingRecord {
    /// The option of each choice.
    pub choices: Vec<usize>,
    /// The count of each run; null where the run does not exist.
    pub counts: Vec<Option<i64>>,
    /// The sizes.
    pub sizes: Vec<i64>,
    /// For each run all gaps together and how many; null where the run does not exist.
    pub gaps: Vec<Option<(i64, i64)>>,
    /// The objective, compared from the first entry on.
    pub vector: Vec<i64>,
}

/// A covering tree.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub enum Tree {
    /// `["empty"]` or `["bound"]`.
    Leaf([&'static str; 1]),
    /// `["listed", closing]`.
    Listed(&'static str, usize),
    /// `["apart", parts]`, only at the top.
    Apart(&'static str, Vec<ApartRecord>),
    /// `["split", kind, index, parts]`.
    Split(&'static str, &'static str, usize, Vec<(i64, i64, Tree)>),
}

/// A part of a question that falls apart, by index into the whole; its closings and its tree are numbered by their places in
/// these lists.
#[derive(Debug, Serialize)]
pub struct ApartRecord {
    /// Its choices.
    pub choices: Vec<usize>,
    /// Its sizes.
    pub sizes: Vec<usize>,
    /// Its gaps.
    pub gaps: Vec<usize>,
    /// Its runs.
    pub runs: Vec<usize>,
    /// Its relations.
    pub relations: Vec<usize>,
    /// Its best closings.
    pub closings: Vec<ClosingRecord>,
    /// The covering tree of its own list.
    pub proof: Tree,
}

pub(crate) fn fit(settled: &Settled) -> FitRecord {
    let (problem, answer) = (&settled.asked.problem, &settled.answer);
    FitRecord {
        choices: problem
            .choices
            .iter()
            .map(|choice| ChoiceRecord { name: choice.name.clone(), options: choice.options.clone() })
            .collect(),
        sizes: problem
            .sizes
            .iter()
            .map(|size| SizeRecord { origin: size.origin, step: size.step, wish: wish(&size.name, &size.wish) })
            .collect(),
        gaps: problem.gaps.iter().map(|gap| wish(&gap.name, &gap.wish)).collect(),
        runs: problem.runs.iter().map(run).collect(),
        relations: problem.relations.iter().map(relation).collect(),
        status: match answer.status {
            Status::Proven => "proven",
            Status::StepLimit => "step limit",
            Status::Cancelled => "cancelled",
        },
        closings: answer.closings.iter().map(closing).collect(),
        found: answer.found.count,
        found_more: answer.found.capped,
        proof: answer.proof.as_ref().map(tree),
    }
}

fn wish(name: &str, wish: &fit::Wish) -> WishRecord {
    WishRecord { name: name.into(), want: wish.want, from: wish.from, to: wish.to, rank: wish.rank }
}

fn terms(affine: &Affine) -> Vec<(usize, i64)> {
    affine.terms.clone()
}

fn run(run: &fit::Run) -> RunRecord {
    RunRecord {
        name: run.name.clone(),
        when: run.when.clone(),
        terms: terms(&run.face),
        constant: run.face.constant,
        member: run.member,
        gaps_per_member: run.gaps_per_member,
        end_gaps: run.end_gaps,
        gap: run.gap,
        count: run.count,
    }
}

fn relation(relation: &fit::Relation) -> RelationRecord {
    RelationRecord {
        name: relation.name.clone(),
        when: relation.when.clone(),
        terms: terms(&relation.value),
        constant: relation.value.constant,
        from: relation.from,
        to: relation.to,
    }
}

pub(crate) fn closing(closing: &Closing) -> ClosingRecord {
    let share = |gap: &Option<fit::GapShare>| gap.as_ref().map(|gap| (small(gap.total), small(gap.places)));
    ClosingRecord {
        choices: closing.choices.clone(),
        counts: closing.counts.clone(),
        sizes: closing.sizes.clone(),
        gaps: closing.gaps.iter().map(share).collect(),
        vector: closing.vector.iter().map(|&entry| small(entry)).collect(),
    }
}

fn tree(proof: &Proof) -> Tree {
    match proof {
        Proof::Empty => Tree::Leaf(["empty"]),
        Proof::Bound => Tree::Leaf(["bound"]),
        Proof::Listed(closing) => Tree::Listed("listed", *closing),
        Proof::Apart(parts) => Tree::Apart("apart", parts.iter().map(apart).collect()),
        Proof::Split { on, parts } => {
            let (kind, index) = match on {
                Variable::Choice(at) => ("choice", *at),
                Variable::Count(at) => ("count", *at),
                Variable::Size(at) => ("size", *at),
            };
            let parts = parts.iter().map(|((from, to), part)| (*from, *to, tree(part))).collect();
            Tree::Split("split", kind, index, parts)
        }
    }
}

fn apart(part: &fit::Apart) -> ApartRecord {
    ApartRecord {
        choices: part.choices.clone(),
        sizes: part.sizes.clone(),
        gaps: part.gaps.clone(),
        runs: part.runs.clone(),
        relations: part.relations.clone(),
        closings: part.closings.iter().map(closing).collect(),
        proof: tree(&part.proof),
    }
}
