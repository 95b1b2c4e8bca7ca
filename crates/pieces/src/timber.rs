//! A board of the yard with its measures.

use crate::named::stock;
use measure::Length;
use model::plan::{PieceText, Plan};
use model::problem::{Place, Problem};
use model::schema::StockKind;
use model::stock::StockRef;

/// A board by its measures.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Timber {
    pub stock: StockRef,
    pub width: Length,
    pub thickness: Length,
    /// The longest part that comes out of it.
    pub longest: Length,
}

impl Timber {
    /// The board of this name; `place` is where the plan names it.
    ///
    /// # Errors
    /// If there is none in the yard, no length of it is on sale, or it tapers.
    pub(crate) fn named(plan: &Plan, name: &str, place: &Place) -> Result<Timber, Problem> {
        let timber = Timber::lapped(plan, name, place)?;
        is_square(plan, timber.stock, place)?;
        Ok(timber)
    }

    /// The board of this name, which may have a thin edge.
    ///
    /// # Errors
    /// If there is none in the yard, or no length of it is on sale.
    pub(crate) fn lapped(plan: &Plan, name: &str, place: &Place) -> Result<Timber, Problem> {
        let stock = stock(plan, StockKind::Board, name, place)?;
        let unsold = || Problem::new(format!("no length of `{name}` is on sale")).at(place);
        let longest = plan.longest(stock).ok_or_else(unsold)?;
        let board = &plan.yard.boards[stock.place];
        Ok(Timber { stock, width: board.width, thickness: board.thickness, longest })
    }

    /// The board behind a key that the piece cannot do without.
    ///
    /// # Errors
    /// If it was left out; as [`Timber::named`].
    pub(crate) fn needed(text: &PieceText, plan: &Plan, key: &str) -> Result<Timber, Problem> {
        Timber::named(plan, &text.need_text(key)?, &text.values.place_of(key))
    }

    /// The board behind a key, if it is there.
    ///
    /// # Errors
    /// As [`Timber::named`].
    pub(crate) fn behind(text: &PieceText, plan: &Plan, key: &str) -> Result<Option<Timber>, Problem> {
        text.values.has(key).then(|| Timber::needed(text, plan, key)).transpose()
    }
}

/// Holds that the edges of a board are alike: one that tapers fills no box.
///
/// # Errors
/// If it has a thin edge.
pub(crate) fn is_square(plan: &Plan, stock: StockRef, place: &Place) -> Result<(), Problem> {
    let board = &plan.yard.boards[stock.place];
    if board.thin_edge.is_none() {
        return Ok(());
    }
    let tapers =
        Problem::new(format!("`{}` tapers to a thin edge, so only boards that lap are made of it", board.name));
    Err(tapers.at(place).hint("take a square-edged board, or a cladding with `boards = \"lapped\"`"))
}
