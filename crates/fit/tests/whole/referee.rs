//! A referee for answers: plain recursion over the covering tree, written from the documentation of the proof, sharing no code with the search.
//!
//! Everything is a row `sum(factor * variable) + constant >= 0` over sizes and counts.

use super::brute::{closes, live, vector};
use fit::*;

/// Ranges of the referee: options, then sizes and counts in one list, and the gaps.
#[derive(Clone)]
struct State {
    options: Vec<Vec<usize>>,
    values: Vec<(i128, i128)>,
    gaps: Vec<(i128, i128)>,
}

struct Row {
    factors: Vec<(usize, i128)>,
    constant: i128,
}

struct Referee<'a> {
    p: &'a Problem,
    ranking: Ranking,
    closings: &'a [Closing],
    full: bool,
}

/// Checks every closing and the proof of an answer that claims to be proven.
pub fn check_proof(p: &Problem, ranking: Ranking, keep: usize, answer: &Answer) -> Result<(), String> {
    for closing in &answer.closings {
        check_closing(p, ranking, closing)?;
    }
    for pair in answer.closings.windows(2) {
        if pair[0].vector >= pair[1].vector {
            return Err("closings out of order".into());
        }
        if pair[0].choices == pair[1].choices && pair[0].counts == pair[1].counts {
            return Err("a closing twice".into());
        }
    }
    let proof = answer.proof.as_ref().ok_or("no proof")?;
    if let Proof::Apart(parts) = proof {
        return check_apart(p, ranking, keep, answer, parts);
    }
    let referee = Referee { p, ranking, closings: &answer.closings, full: answer.closings.len() >= keep };
    let sizes = p.sizes.iter().map(|s| (s.wish.from.into(), s.wish.to.into()));
    let counts = p.runs.iter().map(|r| (r.count.0.max(1).into(), r.count.1.into()));
    let state = State {
        options: (p.choices.iter())
            .map(|c| match c.pinned {
                Some(o) => vec![o],
                None => (0..c.options.len()).collect(),
            })
            .collect(),
        values: sizes.chain(counts).collect(),
        gaps: (p.gaps.iter()).map(|g| (g.wish.from.into(), g.wish.to.into())).collect(),
    };
    referee.replay(&state, proof)
}

/// Checks a problem that falls apart: nothing joins the parts, each part's list is proven, and the list of the whole is the best
/// that can be put together. All combinations are tried, so this is for small lists.
fn check_apart(p: &Problem, ranking: Ranking, keep: usize, answer: &Answer, parts: &[Apart]) -> Result<(), String> {
    let part_of = |list: fn(&Apart) -> &Vec<usize>, index: usize| {
        let mut found = parts.iter().enumerate().filter(|(_, part)| list(part).contains(&index)).map(|(at, _)| at);
        let first = found.next().ok_or("a thing in no part")?;
        if found.next().is_some() { Err("a thing in two parts") } else { Ok(first) }
    };
    let joined = |own: usize, when: &[(usize, usize)], terms: &[(usize, i64)]| -> Result<(), String> {
        let choices = when.iter().map(|&(choice, _)| part_of(|part| &part.choices, choice));
        let sizes = terms.iter().map(|&(size, _)| part_of(|part| &part.sizes, size));
        for other in choices.chain(sizes) {
            if other? != own {
                return Err("something joins two parts".into());
            }
        }
        Ok(())
    };
    for (i, run) in p.runs.iter().enumerate() {
        let own = part_of(|part| &part.runs, i)?;
        joined(own, &run.when, &run.face.terms)?;
        if part_of(|part| &part.gaps, run.gap)? != own {
            return Err("a gap joins two parts".into());
        }
    }
    for (i, relation) in p.relations.iter().enumerate() {
        joined(part_of(|part| &part.relations, i)?, &relation.when, &relation.value.terms)?;
    }
    (0..p.choices.len()).try_for_each(|i| part_of(|part| &part.choices, i).map(drop))?;
    (0..p.sizes.len()).try_for_each(|i| part_of(|part| &part.sizes, i).map(drop))?;
    (0..p.gaps.len()).try_for_each(|i| part_of(|part| &part.gaps, i).map(drop))?;
    let mut whole = vec![Loose::new(p)];
    for part in parts {
        let own = cut_out(p, part);
        let local = Answer { closings: part.closings.clone(), proof: Some(part.proof.clone()), ..answer.clone() };
        check_proof(&own, ranking, keep, &local)?;
        whole = whole.iter().flat_map(|loose| part.closings.iter().map(|closing| loose.with(part, closing))).collect();
        if whole.len() > 20_000 {
            return Err("too many combinations for this referee".into());
        }
    }
    let mut best: Vec<Vec<i128>> = whole.iter().map(|l| vector(p, ranking, &l.choices, &l.counts, &l.sizes)).collect();
    best.sort();
    best.truncate(keep);
    let listed: Vec<Vec<i128>> = answer.closings.iter().map(|closing| closing.vector.clone()).collect();
    if listed == best { Ok(()) } else { Err("the parts are not put together to the best list".into()) }
}

/// A closing of the whole as it is put together.
struct Loose {
    choices: Vec<usize>,
    counts: Vec<Option<i64>>,
    sizes: Vec<i64>,
}

impl Loose {
    fn new(p: &Problem) -> Loose {
        Loose { choices: vec![0; p.choices.len()], counts: vec![None; p.runs.len()], sizes: vec![0; p.sizes.len()] }
    }

    fn with(&self, part: &Apart, closing: &Closing) -> Loose {
        let mut with = Loose { choices: self.choices.clone(), counts: self.counts.clone(), sizes: self.sizes.clone() };
        part.choices.iter().zip(&closing.choices).for_each(|(&at, &x)| with.choices[at] = x);
        part.runs.iter().zip(&closing.counts).for_each(|(&at, &x)| with.counts[at] = x);
        part.sizes.iter().zip(&closing.sizes).for_each(|(&at, &x)| with.sizes[at] = x);
        with
    }
}

/// A part as a problem of its own.
fn cut_out(p: &Problem, part: &Apart) -> Problem {
    let at = |list: &[usize], index: usize| list.iter().position(|&i| i == index).unwrap();
    let when = |when: &[(usize, usize)]| when.iter().map(|&(c, o)| (at(&part.choices, c), o)).collect();
    let affine = |a: &Affine| Affine {
        terms: a.terms.iter().map(|&(s, f)| (at(&part.sizes, s), f)).collect(),
        constant: a.constant,
    };
    Problem {
        choices: part.choices.iter().map(|&i| p.choices[i].clone()).collect(),
        sizes: part.sizes.iter().map(|&i| p.sizes[i].clone()).collect(),
        gaps: part.gaps.iter().map(|&i| p.gaps[i].clone()).collect(),
        runs: (part.runs.iter().map(|&i| &p.runs[i]))
            .map(|r| Run { when: when(&r.when), face: affine(&r.face), gap: at(&part.gaps, r.gap), ..r.clone() })
            .collect(),
        relations: (part.relations.iter().map(|&i| &p.relations[i]))
            .map(|r| Relation { when: when(&r.when), value: affine(&r.value), ..r.clone() })
            .collect(),
    }
}

/// Whether a closing satisfies every limit and its vector is right.
pub fn check_closing(p: &Problem, ranking: Ranking, c: &Closing) -> Result<(), String> {
    for (i, (s, &x)) in p.sizes.iter().zip(&c.sizes).enumerate() {
        if x < s.wish.from || x > s.wish.to || (i128::from(x) - i128::from(s.origin)) % i128::from(s.step) != 0 {
            return Err(format!("size {i} is {x}"));
        }
    }
    for (choice, &option) in p.choices.iter().zip(&c.choices) {
        if option >= choice.options.len() || choice.pinned.is_some_and(|o| o != option) {
            return Err(format!("`{}` is {option}", choice.name));
        }
    }
    for (i, (r, n)) in p.runs.iter().zip(&c.counts).enumerate() {
        let gap = p.gaps[r.gap].wish;
        let good = match (live(&r.when, &c.choices), n) {
            (true, &Some(n)) => n >= r.count.0.max(1) && n <= r.count.1 && closes(r, (gap.from, gap.to), &c.sizes, n),
            (false, None) => true,
            _ => false,
        };
        if !good {
            return Err(format!("run {i} does not close with {n:?}"));
        }
    }
    for (i, r) in p.relations.iter().enumerate() {
        let value = r.value.at(&c.sizes).unwrap();
        if live(&r.when, &c.choices) && (value < r.from.into() || value > r.to.into()) {
            return Err(format!("relation {i} is {value}"));
        }
    }
    if c.vector != vector(p, ranking, &c.choices, &c.counts, &c.sizes) {
        return Err(format!("vector {:?}", c.vector));
    }
    Ok(())
}

impl Referee<'_> {
    fn replay(&self, state: &State, proof: &Proof) -> Result<(), String> {
        let mut state = state.clone();
        let empty = !self.propagate(&mut state);
        match proof {
            _ if empty => Ok(()),
            Proof::Empty => Err("said to be empty, and is not".into()),
            Proof::Bound => {
                let last = self.closings.last().ok_or("bound without a list")?;
                let good = self.full && self.at_least(&state, &last.vector);
                good.then_some(()).ok_or("bound does not hold".into())
            }
            Proof::Listed(i) => {
                let listed = self.closings.get(*i).ok_or("no such closing")?;
                let same = self.is_closing(&state, listed);
                let good = same && self.at_least(&state, &listed.vector);
                good.then_some(()).ok_or(format!("closing {i} is not the best of its kind"))
            }
            Proof::Split { on, parts } => self.split(&state, *on, parts),
            Proof::Apart(_) => Err("falls apart below the top".into()),
        }
    }

    fn split(&self, state: &State, on: Variable, parts: &[((i64, i64), Proof)]) -> Result<(), String> {
        if let Variable::Choice(c) = on {
            for &option in &state.options[c] {
                let covers = |part: &&((i64, i64), Proof)| part.0.0 <= option as i64 && option as i64 <= part.0.1;
                let (_, proof) = parts.iter().find(covers).ok_or("an option left out")?;
                let mut child = state.clone();
                child.options[c] = vec![option];
                self.replay(&child, proof)?;
            }
            return Ok(());
        }
        let index = match on {
            Variable::Size(i) => i,
            Variable::Count(i) => self.p.sizes.len() + i,
            Variable::Choice(_) => unreachable!("handled above"),
        };
        let (low, high) = state.values[index];
        let mut next = low;
        for ((from, to), proof) in parts {
            let (from, to) = (i128::from(*from), i128::from(*to));
            if from > next {
                self.must_be_empty(state, index, (next, (from - 1).min(high)))?;
            }
            let range = (from.max(low), to.min(high));
            if range.0 <= range.1 {
                let mut child = state.clone();
                child.values[index] = range;
                self.replay(&child, proof)?;
            }
            next = next.max(to + 1);
        }
        self.must_be_empty(state, index, (next, high))
    }

    fn must_be_empty(&self, state: &State, index: usize, range: (i128, i128)) -> Result<(), String> {
        if range.0 > range.1 {
            return Ok(());
        }
        let mut child = state.clone();
        child.values[index] = range;
        let empty = !self.propagate(&mut child);
        empty.then_some(()).ok_or("a part left uncovered".into())
    }

    fn certain(&self, state: &State, when: &[(usize, usize)]) -> bool {
        when.iter().all(|&(c, o)| state.options[c] == [o])
    }

    fn is_closing(&self, state: &State, closing: &Closing) -> bool {
        let options = state.options.iter().zip(&closing.choices);
        let runs = closing.counts.iter().enumerate().all(|(i, n)| match n {
            None => !self.certain(state, &self.p.runs[i].when),
            Some(n) => {
                let n = i128::from(*n);
                self.certain(state, &self.p.runs[i].when) && state.values[self.p.sizes.len() + i] == (n, n)
            }
        });
        runs && options.into_iter().all(|(open, &o)| *open == [o])
    }

    fn live_runs(&self, state: &State) -> Vec<usize> {
        let all = 0..self.p.runs.len();
        all.filter(|&i| self.certain(state, &self.p.runs[i].when)).collect()
    }

    fn rows(&self, state: &State) -> Vec<Row> {
        let sizes = self.p.sizes.len();
        let mut rows = Vec::new();
        for i in self.live_runs(state) {
            let r = &self.p.runs[i];
            let scale = i128::from(r.gap_scale);
            let (per, ends) = (i128::from(r.gaps_per_member) * scale, i128::from(r.end_gaps));
            let (low, high) = state.gaps[r.gap];
            let face = |sign: i128| -> Vec<(usize, i128)> {
                merged(&r.face).into_iter().map(|(s, f)| (s, f * scale * sign)).collect()
            };
            let member = i128::from(r.member) * scale;
            let constant = i128::from(r.face.constant) * scale;
            let mut below = face(1);
            below.push((sizes + i, -(member + per * low)));
            rows.push(Row { factors: below, constant: constant - ends * low });
            let mut above = face(-1);
            above.push((sizes + i, member + per * high));
            rows.push(Row { factors: above, constant: ends * high - constant });
            rows.push(Row { factors: vec![(sizes + i, per)], constant: ends });
            if low > high {
                rows.push(Row { factors: vec![(sizes + i, -per)], constant: -ends });
            }
        }
        for r in self.p.relations.iter().filter(|r| self.certain(state, &r.when)) {
            let up = merged(&r.value);
            let down = up.iter().map(|&(s, f)| (s, -f)).collect();
            let constant = i128::from(r.value.constant);
            rows.push(Row { factors: up, constant: constant - i128::from(r.from) });
            rows.push(Row { factors: down, constant: i128::from(r.to) - constant });
        }
        rows
    }

    /// False when nothing is left.
    fn propagate(&self, state: &mut State) -> bool {
        let rows = self.rows(state);
        let live = self.live_runs(state);
        for _ in 0..400 {
            let before = state.values.clone();
            for (i, s) in self.p.sizes.iter().enumerate() {
                let (origin, step) = (i128::from(s.origin), i128::from(s.step));
                let (low, high) = state.values[i];
                let low = low + (origin - low).rem_euclid(step);
                state.values[i] = (low, high - (high - origin).rem_euclid(step));
            }
            for row in &rows {
                if !narrow(row, &mut state.values) {
                    return false;
                }
            }
            let sizes = 0..self.p.sizes.len();
            let counts = live.iter().map(|i| self.p.sizes.len() + i);
            if sizes.chain(counts).any(|i| state.values[i].0 > state.values[i].1) {
                return false;
            }
            if state.values == before {
                break;
            }
        }
        true
    }

    /// Wishes by component, or `None` for the sum of counts.
    fn components(&self) -> Vec<Option<Vec<WishRef>>> {
        let late = self.ranking == Ranking::SizesFirst;
        let mut ranked: Vec<((bool, u32), WishRef)> = Vec::new();
        for (i, s) in self.p.sizes.iter().enumerate() {
            ranked.push(((false, s.wish.rank), WishRef::Size(i)));
        }
        for (i, g) in self.p.gaps.iter().enumerate() {
            ranked.push(((late, g.wish.rank), WishRef::Gap(i)));
        }
        ranked.sort();
        let mut out = Vec::new();
        if self.ranking == Ranking::FewestMembers {
            out.push(None);
        }
        let mut last = None;
        for (rank, wish) in ranked {
            if last != Some(rank) {
                out.push(Some(Vec::new()));
                last = Some(rank);
            }
            if let Some(Some(group)) = out.last_mut() {
                group.push(wish);
            }
        }
        out
    }

    /// Whether nothing in the ranges is less than the target.
    fn at_least(&self, state: &State, target: &[i128]) -> bool {
        let mut tight = state.clone();
        let components = self.components();
        for (component, &value) in components.iter().zip(target) {
            if self.held(&mut tight.clone(), component, value - 1) {
                return false;
            }
            if !self.held(&mut tight, component, value) {
                return true;
            }
        }
        let sizes = self.p.sizes.len();
        let mut tail = vec![self.spread(&tight)];
        tail.extend(tight.options.iter().map(|o| o[0] as i128));
        tail.extend(tight.values[..sizes].iter().map(|v| v.0));
        let live = self.live_runs(&tight);
        for i in 0..self.p.runs.len() {
            tail.push(if live.contains(&i) { tight.values[sizes + i].0 } else { 0 });
        }
        tail[..] >= target[components.len()..]
    }

    /// Holds a component to a value; false when nothing is left.
    fn held(&self, tight: &mut State, component: &Option<Vec<WishRef>>, value: i128) -> bool {
        let Some(wishes) = component else {
            let sizes = self.p.sizes.len();
            let live = self.live_runs(tight);
            let total: i128 = live.iter().map(|i| tight.values[sizes + i].0).sum();
            for i in live {
                let most = tight.values[sizes + i].0 + value - total;
                tight.values[sizes + i].1 = tight.values[sizes + i].1.min(most);
            }
            return total <= value && self.propagate(tight);
        };
        let mut known = Vec::new();
        for _ in 0..20 {
            let each: Vec<i128> = wishes.iter().map(|&w| self.off(tight, w)).collect();
            let alone: i128 = each.iter().sum();
            if alone + self.prices(tight, wishes, &each) > value {
                return false;
            }
            if each == known {
                break;
            }
            for (&wish, part) in wishes.iter().zip(&each) {
                self.hold(tight, wish, value - (alone - part));
            }
            if !self.propagate(tight) {
                return false;
            }
            known = each;
        }
        true
    }

    fn wish(&self, of: WishRef) -> Wish {
        match of {
            WishRef::Size(i) => self.p.sizes[i].wish,
            WishRef::Gap(i) => self.p.gaps[i].wish,
            _ => unreachable!("only sizes and gaps are ranked"),
        }
    }

    fn hold(&self, state: &mut State, of: WishRef, left: i128) {
        let wish = self.wish(of);
        if wish.weight == 0 {
            return;
        }
        let distance = left.div_euclid(wish.weight.into());
        let range = match of {
            WishRef::Size(i) => &mut state.values[i],
            WishRef::Gap(i) => &mut state.gaps[i],
            _ => return,
        };
        range.0 = range.0.max(i128::from(wish.want) - distance);
        range.1 = range.1.min(i128::from(wish.want) + distance);
    }

    /// Weighted least deviation of one wish.
    fn off(&self, state: &State, of: WishRef) -> i128 {
        let wish = self.wish(of);
        let want = i128::from(wish.want);
        let weight = i128::from(wish.weight);
        match of {
            WishRef::Size(i) => {
                let s = &self.p.sizes[i];
                let (low, high) = state.values[i];
                let aim = want.clamp(low, high);
                let above = aim + (i128::from(s.origin) - aim).rem_euclid(s.step.into());
                let below = aim - (aim - i128::from(s.origin)).rem_euclid(s.step.into());
                weight * (want - below.max(low)).abs().min((above.min(high) - want).abs())
            }
            WishRef::Gap(g) => {
                let live = self.live_runs(state).into_iter().filter(|&i| self.p.runs[i].gap == g);
                weight * live.map(|i| self.gap_off(state, i, want)).max().unwrap_or(0)
            }
            _ => 0,
        }
    }

    /// `face - n * member - places * gap`, least and greatest, in parts.
    fn left_over(&self, state: &State, run: usize, gap: i128) -> (i128, i128) {
        let r = &self.p.runs[run];
        let scale = i128::from(r.gap_scale);
        let n = state.values[self.p.sizes.len() + run];
        let take = scale * (i128::from(r.member) + i128::from(r.gaps_per_member) * gap);
        let fixed = i128::from(r.face.constant) * scale - i128::from(r.end_gaps) * gap;
        let mut range = (fixed, fixed);
        let counted = (-take * n.0, -take * n.1);
        range.0 += counted.0.min(counted.1);
        range.1 += counted.0.max(counted.1);
        for (s, f) in merged(&r.face) {
            let (a, b) = (f * scale * state.values[s].0, f * scale * state.values[s].1);
            range.0 += a.min(b);
            range.1 += a.max(b);
        }
        range
    }

    fn places(&self, state: &State, run: usize) -> (i128, i128) {
        let r = &self.p.runs[run];
        let per = i128::from(r.gaps_per_member) * i128::from(r.gap_scale);
        let n = state.values[self.p.sizes.len() + run];
        (n.0 * per + i128::from(r.end_gaps), n.1 * per + i128::from(r.end_gaps))
    }

    fn gap_off(&self, state: &State, run: usize, want: i128) -> i128 {
        let most = self.places(state, run).1;
        if most <= 0 {
            return 0;
        }
        let (low, high) = self.left_over(state, run, want);
        let least = low.max(-high).max(0);
        least.div_euclid(most) + i128::from(least.rem_euclid(most) != 0)
    }

    fn spread(&self, state: &State) -> i128 {
        let mut total = 0;
        for g in 0..self.p.gaps.len() {
            let mut intervals = Vec::new();
            for i in self.live_runs(state) {
                let (few, many) = self.places(state, i);
                if self.p.runs[i].gap != g || few <= 0 {
                    continue;
                }
                let (low, high) = state.gaps[g];
                if few == many {
                    let (a, b) = self.left_over(state, i, 0);
                    let top = b.div_euclid(few).min(high);
                    intervals.push((a.div_euclid(few).max(low), top));
                } else {
                    intervals.push((low, high));
                }
            }
            let low = intervals.iter().map(|i| i.0).max();
            let high = intervals.iter().map(|i| i.1).min();
            if let (Some(low), Some(high)) = (low, high) {
                total += (low - high).max(0);
            }
        }
        total
    }

    fn prices(&self, state: &State, wishes: &[WishRef], each: &[i128]) -> i128 {
        let priced = |v: usize| {
            let at = wishes.iter().position(|&w| w == WishRef::Size(v))?;
            let wish = self.p.sizes[v].wish;
            (wish.weight > 0).then_some((wish, each[at]))
        };
        let mut gains: Vec<(i128, Vec<usize>)> = Vec::new();
        for row in self.rows(state) {
            let (mut most, mut charged) = (row.constant, 0);
            let mut members = Vec::new();
            let mut cost: Option<i128> = None;
            for &(v, f) in &row.factors {
                let (low, high) = state.values[v];
                match if v < self.p.sizes.len() { priced(v) } else { None } {
                    None => most += (f * low).max(f * high),
                    Some((wish, part)) => {
                        let want = i128::from(wish.want);
                        let at = want.clamp(low, high);
                        most += f * at;
                        charged += part - i128::from(wish.weight) * (want - at).abs();
                        members.push(v);
                    }
                }
            }
            for &v in &members {
                let factor = row.factors.iter().find(|t| t.0 == v).map_or(1, |t| t.1.abs());
                let weight = i128::from(self.p.sizes[v].wish.weight);
                let paid = (-most).max(0) * weight;
                let here = paid.div_euclid(factor) + i128::from(paid.rem_euclid(factor) != 0);
                cost = Some(cost.map_or(here, |c| c.min(here)));
            }
            let gain = cost.unwrap_or(0) - charged;
            if most < 0 && gain > 0 {
                gains.push((gain, members));
            }
        }
        gains.sort_by_key(|g| -g.0);
        let mut used: Vec<usize> = Vec::new();
        let mut total = 0;
        for (gain, members) in gains {
            if members.iter().all(|v| !used.contains(v)) {
                used.extend(members);
                total += gain;
            }
        }
        total
    }
}

/// Each size once.
fn merged(value: &Affine) -> Vec<(usize, i128)> {
    let mut out = std::collections::BTreeMap::new();
    for &(s, f) in &value.terms {
        *out.entry(s).or_insert(0) += i128::from(f);
    }
    out.into_iter().filter(|&(_, f)| f != 0).collect()
}

/// False when the row cannot hold; otherwise moves the ends of its variables.
fn narrow(row: &Row, values: &mut [(i128, i128)]) -> bool {
    let best = |&(v, f): &(usize, i128), values: &[(i128, i128)]| (f * values[v].0).max(f * values[v].1);
    let most: i128 = row.constant + row.factors.iter().map(|t| best(t, values)).sum::<i128>();
    if most < 0 {
        return false;
    }
    for term in &row.factors {
        let (v, f) = *term;
        let rest = most - best(term, values);
        // f * x >= -rest
        if f > 0 {
            let least = -(rest.div_euclid(f));
            values[v].0 = values[v].0.max(least);
        } else if f < 0 {
            values[v].1 = values[v].1.min(rest.div_euclid(-f));
        }
    }
    true
}
