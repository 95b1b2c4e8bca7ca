//! What a piece names of the yard, on any shelf, and what the sizes of a sheet give.

use crate::ask::{Ask, When};
use measure::{Length, Tape};
use model::plan::{PieceText, Plan};
use model::problem::{Place, Problem};
use model::schema::StockKind;
use model::stock::{Sheet, SheetSize, StockRef};

/// The stock of this name; `place` is where the plan names it.
///
/// # Errors
/// If the yard has none of that kind.
pub(crate) fn stock(plan: &Plan, kind: StockKind, name: &str, place: &Place) -> Result<StockRef, Problem> {
    let missing = || Problem::new(format!("no {} called `{name}` in the yard", kind.word())).at(place);
    plan.yard.find(kind, name).ok_or_else(missing)
}

/// The stock behind a key that the piece cannot do without.
///
/// # Errors
/// If it was left out, or the yard has none of it.
pub(crate) fn stock_needed(text: &PieceText, plan: &Plan, kind: StockKind, key: &str) -> Result<StockRef, Problem> {
    stock(plan, kind, &text.need_text(key)?, &text.values.place_of(key))
}

/// The stock behind a key, if it is there.
///
/// # Errors
/// If the yard has none of it.
pub(crate) fn stock_behind(
    text: &PieceText,
    plan: &Plan,
    kind: StockKind,
    key: &str,
) -> Result<Option<StockRef>, Problem> {
    text.values.has(key).then(|| stock_needed(text, plan, kind, key)).transpose()
}

/// What one size of stock gives.
pub(crate) struct Gives {
    /// What the size is called.
    pub(crate) word: String,
    /// How long a part can be.
    pub(crate) long: Length,
    /// How wide.
    pub(crate) wide: Length,
}

/// What each size of a sheet gives that no other size does, in the order of the yard: those that are nowhere larger than another
/// one are left out.
pub(crate) fn sizes_of(sheet: &Sheet, trim: Length, tape: Tape) -> Vec<Gives> {
    let within = |small: &SheetSize, large: &SheetSize| small.length <= large.length && small.width <= large.width;
    let sizes: Vec<&SheetSize> = sheet.sizes.iter().filter(|size| size.stock != Some(0)).collect();
    let idle = |at: usize| {
        let covers = |(other, size): (usize, &&SheetSize)| {
            other != at && within(sizes[at], size) && (other < at || !within(size, sizes[at]))
        };
        sizes.iter().enumerate().any(covers)
    };
    let kept = (0..sizes.len()).filter(|&at| !idle(at)).map(|at| sizes[at]);
    kept.map(|size| Gives {
        word: format!("{} × {}", tape.show(size.length), tape.show(size.width)),
        long: size.length - trim,
        wide: size.width - trim,
    })
    .collect()
}

/// Under which condition each of the sizes is taken; where there is one, there is nothing to choose.
pub(crate) fn choose_size(ask: &mut Ask<'_>, text: &PieceText, sizes: &[Gives]) -> Vec<When> {
    if sizes.len() < 2 {
        return vec![When::new()];
    }
    let words: Vec<String> = sizes.iter().map(|size| size.word.clone()).collect();
    ask.choice(&text.called("sheet"), &words)
}
