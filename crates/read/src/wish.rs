//! Wishes: what is wanted, from where to where, and how much it matters.

use crate::document::{Form, Item, Table};
use crate::values::Reader;
use measure::{Length, Percent};
use model::problem::Problem;
use model::schema::{Kind, Wish, WishOf};

/// How far a size may move either way if the plan does not say (*our own choice*).
pub(crate) const REACH: Percent = Percent::new(10);
const KEYS: [&str; 5] = ["want", "from", "to", "rank", "exactly"];

impl Reader {
    /// Reads a wish between two bounds in millimetres: a length, or a table.
    pub fn wish(&mut self, key: &str, item: &Item, of: WishOf, bounds: (i64, i64)) -> Option<Wish> {
        match &item.form {
            Form::Table(table) => self.wish_table(key, table, of, bounds),
            Form::Truth(_) | Form::Date | Form::List(_) => {
                self.wrong_kind(key, item, &Kind::Wish { of, least: bounds.0, most: bounds.1 })
            }
            Form::Text(_) | Form::Number(_) => {
                let want = self.length(key, item, bounds)?;
                let (from, to) = self.reach(want, of, bounds);
                Some(Wish { want, from, to, rank: usual_rank(of) })
            }
        }
    }

    fn wish_table(&mut self, key: &str, table: &Table, of: WishOf, bounds: (i64, i64)) -> Option<Wish> {
        self.unknown_keys(table, &KEYS, &format!("the wish `{key}`"));
        if let Some(exactly) = table.get("exactly") {
            return self.exact_wish(key, table, exactly, of, bounds);
        }
        let from = table.get("from").map(|item| self.length("from", item, bounds));
        let to = table.get("to").map(|item| self.length("to", item, bounds));
        let rank = match table.get("rank") {
            Some(item) => self.count("rank", item, (1, 9)),
            None => Some(usual_rank(of)),
        };
        let Some(want) = table.get("want") else {
            let problem = Problem::new(format!("the wish `{key}` does not say what is wanted"))
                .expected("expected `want` in here")
                .hint("write `{ want = ..., from = ..., to = ... }`, or `{ exactly = ... }`");
            return self.wrong(&table.bytes, problem);
        };
        let want = self.length("want", want, bounds)?;
        // A range that is written but cannot be read has been reported, and is not replaced by a usual one.
        let (written_from, written_to) = (optional(from)?, optional(to)?);
        let (usual_from, usual_to) = self.reach(want, of, bounds);
        let wish =
            Wish { want, from: written_from.unwrap_or(usual_from), to: written_to.unwrap_or(usual_to), rank: rank? };
        self.hold_range(key, table, wish, written_from.is_some() && written_to.is_some())
    }

    fn exact_wish(&mut self, key: &str, table: &Table, exactly: &Item, of: WishOf, bounds: (i64, i64)) -> Option<Wish> {
        let others: Vec<_> = table.entries.iter().filter(|entry| KEYS[..4].contains(&entry.key.as_str())).collect();
        for other in &others {
            let problem = Problem::new(format!("the wish `{key}` has both `exactly` and `{}`", other.key))
                .expected("expected nothing beside `exactly`")
                .hint("leave out `exactly` for a range, or all the others for one size");
            self.wrong::<()>(&other.bytes, problem);
        }
        let want = self.length("exactly", exactly, bounds)?;
        others.is_empty().then_some(Wish { want, from: want, to: want, rank: usual_rank(of) })
    }

    fn hold_range(&mut self, key: &str, table: &Table, wish: Wish, both: bool) -> Option<Wish> {
        let (want, from, to) = (self.show(wish.want), self.show(wish.from), self.show(wish.to));
        let problem = if both && wish.from > wish.to {
            Problem::new(format!("the range of `{key}` is empty: from {from} to {to}"))
                .expected("`from` is larger than `to`")
                .hint("swap the two")
        } else if wish.want < wish.from {
            Problem::new(format!("`{key}` wants {want}, which is less than its own `from`, {from}"))
                .expected("expected `want` to lie between `from` and `to`")
                .hint(format!("raise `want` to {from}, or lower `from` to {want}"))
        } else if wish.want > wish.to {
            Problem::new(format!("`{key}` wants {want}, which is more than its own `to`, {to}"))
                .expected("expected `want` to lie between `from` and `to`")
                .hint(format!("lower `want` to {to}, or raise `to` to {want}"))
        } else {
            return Some(wish);
        };
        self.wrong(&table.bytes, problem)
    }

    /// The range of a wish without one: a tenth either way for a size, on the grid of the tape and inside the bounds;
    /// none for a gap.
    fn reach(&self, want: Length, of: WishOf, (least, most): (i64, i64)) -> (Length, Length) {
        if of == WishOf::Gap {
            return (want, want);
        }
        let tenth = REACH.of(want);
        // With an unknown unit `want` may lie outside the bounds; the range holds it all the same.
        let from = (want - tenth).round_to(self.step).max(Length::mm(least)).min(want);
        let to = (want + tenth).round_to(self.step).min(Length::mm(most)).max(want);
        (from, to)
    }
}

fn usual_rank(of: WishOf) -> u32 {
    match of {
        WishOf::Size => 1,
        WishOf::Gap => 2,
    }
}

/// Nothing if it was not written; `None` if it was, and was wrong.
fn optional(read: Option<Option<Length>>) -> Option<Option<Length>> {
    match read {
        None => Some(None),
        Some(None) => None,
        Some(length) => Some(length),
    }
}
