//! A board of the yard that a piece names beside the one it is mainly of: a post, a rib.

use measure::Length;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
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
    /// The board of this name. `key` is where the plan names it.
    ///
    /// # Errors
    /// If there is none in the yard, or no length of it is on sale.
    pub(crate) fn named(name: &str, key: &str, text: &PieceText, plan: &Plan) -> Result<Timber, Problem> {
        let missing = || Problem::new(format!("no board called `{name}` in the yard")).at(&text.values.place_of(key));
        let stock = plan.yard.find(StockKind::Board, name).ok_or_else(missing)?;
        let longest = plan.yard.longest(stock, plan.shed.trim).ok_or_else(missing)?;
        let board = &plan.yard.boards[stock.place];
        Ok(Timber { stock, width: board.width, thickness: board.thickness, longest })
    }

    /// The board behind a key, if it is there.
    ///
    /// # Errors
    /// As [`Timber::named`].
    pub(crate) fn behind(key: &str, text: &PieceText, plan: &Plan) -> Result<Option<Timber>, Problem> {
        text.values.text(key).map(|name| Timber::named(&name, key, text, plan)).transpose()
    }
}
