//! Ways out of a part that came out at another length.

use super::butts::{butts, is_out_of_sight, stands};
use super::{Mishap, WayOut, ranked};
use crate::{hangs_on, settle};
use measure::{Length, Money};
use model::part::Part;
use model::plan::Plan;
use model::schema::StockKind;
use model::standing::{Assigned, Held, Object, Out, is_near};
use model::stock::{BoardLength, From};
use std::collections::{BTreeMap, BTreeSet};

/// The widest gap that is closed with a strip or packed up.
const WIDEST_GAP: Length = Length::mm(10);

/// The ways out of an entry `wrong`, the cheapest first; none if the entry is no such one, or its slot is not in the plan.
pub fn after_wrong(mishap: &Mishap<'_>, cancel: &dyn Fn() -> bool) -> Vec<WayOut> {
    let Some(sawn) = Sawn::of(mishap, cancel) else { return Vec::new() };
    let ways = [sawn.carry_on(), sawn.at_home(), sawn.shortened(), sawn.strip(), sawn.pack(), sawn.buy()];
    let mut ways: Vec<WayOut> = ways.into_iter().flatten().collect();
    if !sawn.is_placed() {
        ways.extend(sawn.elsewhere());
        ways.extend(sawn.follow());
    }
    ranked(ways, &mishap.rates)
}

/// A part that came out wrong.
struct Sawn<'m> {
    mishap: &'m Mishap<'m>,
    cancel: &'m dyn Fn() -> bool,
    /// Its place among the objects.
    at: usize,
    object: &'m Object,
    /// The slot it was meant for, by its place among the parts.
    place: usize,
    part: &'m Part,
    assigned: Assigned,
}

impl<'m> Sawn<'m> {
    fn of(mishap: &'m Mishap<'m>, cancel: &'m dyn Fn() -> bool) -> Option<Sawn<'m>> {
        let objects = &mishap.plan.standing.objects;
        let at = objects.iter().position(|object| object.entry == mishap.entry && object.wrong)?;
        let object = &objects[at];
        let parts = mishap.parts();
        let place = parts.iter().position(|part| part.key.slot() == object.slot)?;
        let assigned = mishap.plan.standing.assign(parts, mishap.plan.tape.step());
        Some(Sawn { mishap, cancel, at, object, place, part: &parts[place], assigned })
    }

    /// Whether the object fills a slot as it is.
    fn is_placed(&self) -> bool {
        self.assigned.filled.values().any(|&object| object == self.at)
    }

    fn show(&self, length: Length) -> String {
        self.mishap.plan.tape.show_exact(length)
    }

    /// Whether what is left to cut of this kind comes out with these slots filled too.
    fn rest_comes_out(&self, filled: &[usize]) -> bool {
        let mut done = self.assigned.done();
        done.extend(filled);
        self.mishap.comes_out(self.part.stock, &done, self.mishap.plan, self.cancel)
    }

    /// The minutes of a cut at the set-up of the slot: the stop has to be set again if another set-up was begun since.
    fn again(&self) -> u32 {
        let rates = &self.mishap.rates;
        let last = self.mishap.plan.standing.objects.last();
        let slot = last.and_then(|last| self.mishap.parts().iter().find(|part| part.key.slot() == last.slot));
        let stands =
            slot.is_none_or(|slot| (slot.stock, slot.solid.length) == (self.part.stock, self.part.solid.length));
        rates.cut_minutes + if stands { 0 } else { rates.stop_minutes }
    }

    fn carry_on(&self) -> Option<WayOut> {
        let fits = self.is_placed() && self.rest_comes_out(&[]);
        fits.then(|| {
            let does = format!(
                "carry on: {} is what the plan wants, and everything comes out as it is",
                self.show(self.object.length)
            );
            WayOut::new(Out::CarryOn, does, Some(Money::hundredths(0)), 0)
        })
    }

    /// Whether the kind is at home: then nothing is bought in the plan.
    fn is_home(&self) -> bool {
        self.mishap.plan.standing.is_home(self.part.stock)
    }

    fn at_home(&self) -> Option<WayOut> {
        if self.is_placed() || !self.is_home() {
            return None;
        }
        let plan = self.with_left_over();
        let comes = self.mishap.comes_out(self.part.stock, &self.assigned.done(), &plan, self.cancel);
        comes.then(|| {
            let (should, left) = (self.show(self.part.solid.length), self.show(self.object.length));
            let does = format!("cut {should} again from what is at home; {left} is left over");
            let mut way = WayOut::new(Out::AtHome, does, Some(Money::hundredths(0)), self.again());
            way.parts = self.left_over();
            way
        })
    }

    /// The slot of the object if parts can be cut from it: as a board of its kind with square ends.
    fn left_over(&self) -> Vec<String> {
        let (part, plan) = (self.part, self.mishap.plan);
        let came = self.object.from.and_then(|from| plan.standing.home.get(from.checked_sub(1)?));
        let kind = Some(part.stock).filter(|stock| stock.kind == StockKind::Board);
        let kind = kind.and_then(|stock| plan.yard.boards.get(stock.place));
        let is_whole_section = kind.is_some_and(|kind| {
            (kind.width, kind.thickness, kind.thin_edge) == (part.solid.width, part.solid.thickness, None)
        });
        let serves = part.solid.ends.iter().all(Vec::is_empty)
            && is_whole_section
            && came.is_some_and(|board| board.stock == part.stock);
        if serves { vec![self.object.slot.clone()] } else { Vec::new() }
    }

    /// The plan with the object as a board at home, if parts can be cut from it.
    fn with_left_over(&self) -> Plan {
        let mut plan = self.mishap.plan.clone();
        if !self.left_over().is_empty() && self.object.length > plan.shed.trim {
            let lot = BoardLength::on_sale(self.object.length, Some(Money::hundredths(0)));
            plan.yard.boards[self.part.stock.place].lengths.push(BoardLength { stock: Some(1), ..lot });
        }
        plan
    }

    /// Too long: one cut makes it right.
    fn shortened(&self) -> Option<WayOut> {
        let long =
            !self.is_placed() && self.object.length > self.part.solid.length && self.rest_comes_out(&[self.place]);
        long.then(|| {
            let should = self.show(self.part.solid.length);
            let does = format!("cut it down to {should}");
            let mut way = WayOut::new(Out::Elsewhere, does, Some(Money::hundredths(0)), self.mishap.rates.cut_minutes);
            (way.parts, way.length) = (vec![self.object.slot.clone()], Some(self.part.solid.length));
            way
        })
    }

    /// In a slot that wants a shorter part; the slot it was meant for is cut again. One way for each length.
    fn elsewhere(&self) -> Vec<WayOut> {
        let mut ways = Vec::new();
        let mut seen = BTreeSet::new();
        for (place, other) in self.mishap.parts().iter().enumerate() {
            let like = other.stock == self.part.stock && other.solid.ends == self.part.solid.ends;
            let free = !self.assigned.filled.contains_key(&place) && other.solid.length != self.part.solid.length;
            let shorter = other.solid.length < self.object.length;
            if like
                && free
                && shorter
                && self.is_home()
                && seen.insert(other.solid.length)
                && self.rest_comes_out(&[place])
            {
                let (is, should) = (self.show(other.solid.length), self.show(self.part.solid.length));
                let does = format!(
                    "cut it down to {is} for {} ({}), and {should} again from what is at home",
                    other.id, other.key
                );
                let minutes = self.mishap.rates.cut_minutes + self.again();
                let mut way = WayOut::new(Out::Elsewhere, does, Some(Money::hundredths(0)), minutes);
                (way.parts, way.length) = (vec![other.key.slot()], Some(other.solid.length));
                ways.push(way);
            }
        }
        ways
    }

    /// Short by a little: where it butts the gap takes a strip, best where nobody looks.
    fn strip(&self) -> Option<WayOut> {
        let short = self.part.solid.length - self.object.length;
        // A strip under what stands would carry it: that is packed up.
        if self.is_placed() || short <= Length::ZERO || short > WIDEST_GAP || self.is_standing() {
            return None;
        }
        let parts = self.mishap.parts();
        let like = |place: &usize| {
            let other = &parts[*place];
            let alike = other.stock == self.part.stock && other.solid == self.part.solid;
            let closed =
                self.assigned.filled.get(place).is_some_and(|&at| self.mishap.plan.standing.objects[at].closed);
            alike && !closed && butts(parts, *place)
        };
        let hidden = (0..parts.len()).filter(like).find(|&place| is_out_of_sight(&parts[place]));
        let place = hidden.or_else(|| like(&self.place).then_some(self.place))?;
        // What is cut for that slot takes the one this was meant for; either way there is one less to cut.
        let filled = if self.assigned.filled.contains_key(&place) { self.place } else { place };
        self.rest_comes_out(&[filled]).then(|| {
            let (slot, gap) = (&parts[place], self.show(short));
            let does = format!("take it for {} ({}), the {gap} closed with a strip where it butts", slot.id, slot.key);
            let money = Some(Money::hundredths(0));
            let mut way = WayOut::new(Out::Strip, does, money, self.mishap.rates.strip_minutes);
            way.parts = vec![slot.key.slot()];
            way
        })
    }

    fn is_standing(&self) -> bool {
        stands(self.mishap.parts(), self.place)
    }

    /// Short by a little and standing: what is missing is packed up under its foot.
    fn pack(&self) -> Option<WayOut> {
        let short = self.part.solid.length - self.object.length;
        let little = short > Length::ZERO && short <= WIDEST_GAP;
        if self.is_placed() || !little || !self.is_standing() || !self.rest_comes_out(&[self.place]) {
            return None;
        }
        let (part, rates) = (self.part, &self.mishap.rates);
        let does = format!("take it for {} ({}) and pack it up by {}", part.id, part.key, self.show(short));
        let mut way = WayOut::new(Out::Pack, does, rates.packers, rates.packers_minutes);
        way.parts = vec![self.object.slot.clone()];
        Some(way)
    }

    /// One board more: the cheapest that gives the part.
    fn buy(&self) -> Option<WayOut> {
        if self.is_placed() || self.part.stock.kind != StockKind::Board {
            return None;
        }
        let plan = self.mishap.plan;
        let kind = &plan.yard.boards[self.part.stock.place];
        let on_sale = plan.standing.on_sale.get(&self.part.stock).unwrap_or(&kind.lengths);
        let [trim, kerf] = [plan.shed.trim, plan.shed.kerf];
        let is_sold = |sold: &BoardLength| sold.from == From::Yard && sold.stock != Some(0);
        let gives = |sold: &&BoardLength| is_sold(sold) && sold.gives(trim, kerf) >= self.part.solid.length;
        let sold = on_sale.iter().filter(gives).min_by_key(|sold| (sold.price.is_none(), sold.price, sold.length))?;
        let mut done = self.assigned.done();
        done.insert(self.place);
        if !self.mishap.comes_out(self.part.stock, &done, &self.with_left_over(), self.cancel) {
            return None;
        }
        let rates = &self.mishap.rates;
        let money = sold.price.zip(rates.trip).map(|(price, trip)| price + trip);
        let does = format!("fetch one more {} of {} and cut it again", kind.name, self.show(sold.length));
        let mut way = WayOut::new(Out::Buy, does, money, rates.trip_minutes + rates.cut_minutes);
        way.parts = self.left_over();
        Some(way)
    }

    /// The sizes that the slot hangs on move, one at a time, until the object is right.
    fn follow(&self) -> Vec<WayOut> {
        let sizes = hangs_on(self.mishap.before, &[self.place]);
        sizes.iter().filter_map(|(name, &value)| self.follow_by(name, value)).collect()
    }

    fn follow_by(&self, name: &str, value: Length) -> Option<WayOut> {
        let to = self.moved_to(name, value)?;
        let mut plan = self.mishap.plan.clone();
        plan.standing.held.remove(name);
        if !is_wished(&plan, name, to) {
            return None;
        }
        plan.standing.held.insert(name.to_owned(), Held { value: to, entry: self.mishap.entry });
        let shortened = self.shorten(&mut plan, name, value, to)?;
        let was = self.mishap.before.buying.total;
        let settled = settle(plan, &self.mishap.effort, self.cancel).ok()?;
        let own = settled.build.parts.iter().find(|part| part.key == self.part.key)?;
        if !is_near(own.solid.length, self.object.length, self.mishap.plan.tape.step()) {
            return None;
        }
        let rates = &self.mishap.rates;
        let count = shortened.len() as u32;
        let minutes = count * rates.cut_minutes + if count > 0 { rates.stop_minutes } else { 0 };
        let more = Money::hundredths((settled.buying.total.value() - was.value()).max(0));
        let cut = if count > 0 { format!("; {count} that are cut are shortened") } else { String::new() };
        let does = format!("let everything follow it: {name} {} and not {}{cut}", self.show(to), self.show(value));
        let mut way = WayOut::new(Out::Follow, does, Some(more), minutes);
        way.parts = shortened.into_iter().chain([self.object.slot.clone()]).collect();
        way.length = Some(self.object.length);
        way.holds = BTreeMap::from([(name.to_owned(), to)]);
        Some(way)
    }

    /// Where a size has to go for the slot to have the length of the object: lengths follow sizes in straight proportion.
    fn moved_to(&self, name: &str, value: Length) -> Option<Length> {
        let step = self.mishap.plan.tape.step();
        let by = self.slope(self.place, name, step)?;
        let wanted =
            i128::from((self.object.length - self.part.solid.length).nanometres()) * i128::from(step.nanometres());
        if by == 0 || wanted % i128::from(by) != 0 {
            return None;
        }
        let moved = i64::try_from(wanted / i128::from(by)).ok()?;
        (moved % step.nanometres() == 0).then(|| value + Length::nm(moved))
    }

    /// How much a part's length changes, in nanometres, if a size moves by a step.
    fn slope(&self, place: usize, name: &str, step: Length) -> Option<i64> {
        let before = self.mishap.before;
        let at = before.asked.problem.sizes.iter().position(|size| size.name == name)?;
        let mut closing = before.ways[before.chosen].closing.clone();
        closing.sizes[at] += step.nanometres();
        let moved = pieces::parts(&before.asked, &closing).ok()?;
        let (was, is) = (self.mishap.parts().get(place)?, moved.get(place)?);
        (was.key == is.key).then(|| (is.solid.length - was.solid.length).nanometres())
    }

    /// Shortens what is cut to what its slots want then, if that is the object's length; `None` if something that is cut would
    /// have to be longer, or would have another length. The slots of what is shortened.
    fn shorten(&self, plan: &mut Plan, name: &str, value: Length, to: Length) -> Option<Vec<String>> {
        let before = self.mishap.before;
        let at = before.asked.problem.sizes.iter().position(|size| size.name == name)?;
        let mut closing = before.ways[before.chosen].closing.clone();
        closing.sizes[at] += (to - value).nanometres();
        let moved = pieces::parts(&before.asked, &closing).ok()?;
        let step = plan.tape.step();
        let mut slots = Vec::new();
        for (&place, &object) in &self.assigned.filled {
            let key = &self.mishap.parts()[place].key;
            let wants = moved.iter().find(|part| part.key == *key)?.solid.length;
            let object = &mut plan.standing.objects[object];
            if object.closed || is_near(wants, object.length, step) {
                continue;
            }
            if wants > object.length || !is_near(wants, self.object.length, step) {
                return None;
            }
            object.length = self.object.length;
            slots.push(object.slot.clone());
        }
        Some(slots)
    }
}

/// Whether a size may have a value by the wish of the plan, which no pin widens.
fn is_wished(plan: &Plan, name: &str, value: Length) -> bool {
    let Ok(asked) = pieces::ask(plan) else { return false };
    let wish = asked.problem.sizes.iter().find(|size| size.name == name).map(|size| size.wish);
    wish.is_some_and(|wish| (wish.from..=wish.to).contains(&value.nanometres()))
}
