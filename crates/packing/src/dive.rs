//! Follows the relaxation down to a plan of a wanted cost: fixes its whole boards, then its largest share, and solves again for what is
//! left; where that can no longer reach the wanted cost it goes back and leaves a pattern out.

use crate::budget::Budget;
use crate::greedy::{self, Choice, repeats, settle, take};
use crate::job::{Cut, cost_of};
use crate::knapsack::Effort;
use crate::master::{Master, Relaxation};
use crate::simplex::Basis;

/// Error of the relaxation's cost, as a share of a cost unit.
const ERROR: f64 = 1e-6;
/// Patterns that a quick dive leaves out along one path at most.
pub(crate) const QUICK: [u32; 1] = [1];
/// The same for a thorough one, attempt after attempt.
pub(crate) const THOROUGH: [u32; 3] = [4, 10, 30];
/// Most decisions on one path: the dive calls itself for each.
const DEEPEST: u32 = 400;
/// Relaxations that one attempt may solve.
const NODES: u32 = 1_000;

/// A plan of at most `target`, if the dive finds one.
pub(crate) fn dive(
    relaxation: &mut Relaxation,
    target: i64,
    attempts: &[u32],
    budget: &mut Budget,
) -> Option<Vec<Cut>> {
    let shop = relaxation.master.shop;
    for &left_out in attempts {
        let basis = relaxation.basis.clone();
        let mut dive =
            Dive { master: &mut relaxation.master, target, nodes: NODES, path: Vec::new(), depth: 0, out: Vec::new() };
        let node = Node { basis, demand: shop.demand.clone(), supply: shop.supply(), spent: 0 };
        let found = dive.go(node, left_out, budget);
        if let Some(found) = found {
            return Some(settle(shop, found));
        }
    }
    None
}

/// What is left to cut.
struct Node {
    basis: Basis,
    demand: Vec<u32>,
    supply: Vec<u32>,
    spent: i64,
}

struct Dive<'d, 'a> {
    master: &'d mut Master<'a>,
    target: i64,
    nodes: u32,
    path: Vec<Cut>,
    depth: u32,
    /// Columns left out on the way here.
    out: Vec<usize>,
}

impl Dive<'_, '_> {
    fn go(&mut self, mut node: Node, spare: u32, budget: &mut Budget) -> Option<Vec<Cut>> {
        self.nodes = self.nodes.checked_sub(1)?;
        if self.depth > DEEPEST {
            return None;
        }
        if !self.solve(&mut node, budget) {
            return None;
        }
        if let Some(rest) = self.finish(&node) {
            return Some(self.path.iter().cloned().chain(rest).collect());
        }
        let mut mix = node.basis.amounts(&self.master.program);
        mix.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let whole: Vec<(usize, u32)> =
            mix.iter().map(|&(column, amount)| (column, (amount + ERROR).floor() as u32)).filter(|w| w.1 > 0).collect();
        if !whole.is_empty() {
            return self.fix(&node, &whole, spare, budget);
        }
        for turn in 0..=spare.min(mix.len() as u32 - 1) {
            let column = mix[turn as usize].0;
            let found = self.fix(&node, &[(column, 1)], spare - turn, budget);
            if found.is_some() || self.nodes == 0 || budget.out() {
                self.out.truncate(self.out.len() - turn as usize);
                return found;
            }
            self.out.push(column);
        }
        self.out.truncate(self.out.len() - (spare.min(mix.len() as u32 - 1) + 1) as usize);
        None
    }

    /// Goes on with some columns fixed.
    fn fix(&mut self, node: &Node, columns: &[(usize, u32)], spare: u32, budget: &mut Budget) -> Option<Vec<Cut>> {
        let (mut demand, mut supply, mut spent) = (node.demand.clone(), node.supply.clone(), node.spent);
        let depth = self.path.len();
        for &(column, most) in columns {
            let cut = &self.master.cuts[column];
            let times = most.min(repeats(cut, &demand, &supply));
            if times > 0 {
                let cut = Cut { times, ..cut.clone() };
                take(&cut, &mut demand, &mut supply);
                spent += self.master.shop.boards[cut.board].cost * i64::from(times);
                self.path.push(cut);
            }
        }
        if self.path.len() == depth {
            return None;
        }
        let mut basis = node.basis.clone();
        basis.ask(&self.master.program, &self.master.asked(&demand, &supply));
        self.depth += 1;
        let found = self.go(Node { basis, demand, supply, spent }, spare, budget);
        self.depth -= 1;
        self.path.truncate(depth);
        found
    }

    /// Solves the relaxation of what is left as far as the target asks; false if the target is out of reach.
    fn solve(&mut self, node: &mut Node, budget: &mut Budget) -> bool {
        let room = (self.target - node.spent) as f64 + ERROR;
        for (column, cut) in self.master.cuts.iter().enumerate() {
            let proper = cut.counts.iter().zip(&node.demand).all(|(n, d)| n <= d) && node.supply[cut.board] > 0;
            node.basis.bar(column, !proper || self.out.contains(&column));
        }
        loop {
            node.basis.dual(&self.master.program, f64::INFINITY, budget);
            node.basis.primal(&self.master.program, budget);
            if budget.out() {
                return false;
            }
            if node.basis.clean(&self.master.program) && node.basis.cost(&self.master.program) <= room {
                return true;
            }
            let duals = node.basis.duals().to_vec();
            let (_, _, patterns) = self.master.price(&duals, &node.demand, &node.supply, Effort::Some, budget);
            if !patterns.iter().any(|p| self.master.take(&node.basis, p)) {
                return false;
            }
        }
    }

    /// The rest of a plan, if it is already whole or quickly found.
    fn finish(&self, node: &Node) -> Option<Vec<Cut>> {
        let shop = self.master.shop;
        let room = self.target - node.spent;
        let choices = [Choice::Cheapest, Choice::Fullest];
        (choices.into_iter())
            .filter_map(|choice| greedy::fill(shop, &node.demand, &node.supply, choice))
            .find(|cuts| cost_of(shop, cuts) <= room)
    }
}
