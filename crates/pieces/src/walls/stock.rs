//! What walls are made of, and what the stock gives.

use crate::ask::{Ask, When};
use crate::named::{Gives, sizes_of, stock};
use crate::timber::is_square;
use measure::Length;
use model::affine::Affine;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::StockRef;

/// Boards in courses, or panels of sheet.
pub(super) struct Made {
    pub stock: StockRef,
    pub thickness: Length,
    /// The width of a board; `None` for sheet.
    pub board: Option<Length>,
    /// What the parts may come from: the longest board, or one of the sizes of a sheet. Panels are all of one height, and of the
    /// sizes that are as wide as that the narrowest is the longest: nothing is lost by taking all panels to come from that one.
    pub reaches: Vec<Gives>,
}

impl Made {
    pub(super) fn of(text: &PieceText, plan: &Plan) -> Result<Made, Problem> {
        let (kind, name) = named(text)?;
        let stock = stock(plan, kind, &name, &text.values.place_of(kind.word()))?;
        if kind == StockKind::Sheet && text.values.wish("gap").is_some_and(|gap| gap.want != Length::ZERO) {
            let idle = Problem::new("panels of sheet have no courses, so there is no gap between them");
            return Err(idle.at(&text.values.place_of("gap")).hint("leave `gap` out, or build the walls of boards"));
        }
        if kind == StockKind::Board {
            is_square(plan, stock, &text.values.place_of("board"))?;
            let board = &plan.yard.boards[stock.place];
            let none = || Problem::new(format!("no length of `{name}` is on sale")).at(&board.place);
            let long = plan.longest(stock).ok_or_else(none)?;
            let reaches = vec![Gives { word: name, long, wide: board.width }];
            return Ok(Made { stock, thickness: board.thickness, board: Some(board.width), reaches });
        }
        let sheet = &plan.yard.sheets[stock.place];
        let reaches = sizes_of(sheet, plan.shed.saw_for_sheets().trim, plan.tape);
        if reaches.is_empty() {
            return Err(Problem::new(format!("no size of `{name}` is on sale")).at(&sheet.place));
        }
        Ok(Made { stock, thickness: sheet.thickness, board: None, reaches })
    }

    /// The role of the parts.
    pub(super) fn role(&self) -> &'static str {
        if self.board.is_some() { "board" } else { "panel" }
    }

    /// How long a board can be; for sheet the longest of its sizes.
    pub(super) fn longest(&self) -> Length {
        self.reaches.iter().map(|reach| reach.long).fold(Length::ZERO, Length::max)
    }

    /// Panels are no higher than their sheet is wide, and higher than every narrower one, from which they would come otherwise.
    pub(super) fn ask_height_of_panels(&self, ask: &mut Ask<'_>, piece: &str, height: &Affine, sizes: &[When]) {
        let what = format!("the height of the panels of {piece}");
        for (reach, when) in self.reaches.iter().zip(sizes) {
            ask.comes_from_stock(&what, when.clone(), height, reach.wide);
            let narrower = self.reaches.iter().filter(|other| other.wide < reach.wide);
            if let Some(narrower) = narrower.max_by_key(|other| other.wide) {
                let what = format!("{what}, which come from {} only if not from {}", reach.word, narrower.word);
                ask.is_more(&what, when.clone(), height, narrower.wide);
            }
        }
    }
}

/// Which stock the plan names.
fn named(text: &PieceText) -> Result<(StockKind, String), Problem> {
    let name = |key| text.values.text(key);
    match (name("board"), name("sheet")) {
        (Some(board), None) => Ok((StockKind::Board, board)),
        (None, Some(sheet)) => Ok((StockKind::Sheet, sheet)),
        (Some(_), Some(_)) => {
            let both = Problem::new("walls are of boards or of sheet, not of both").at(&text.values.place_of("sheet"));
            Err(both.hint("keep `board` or `sheet`"))
        }
        (None, None) => {
            let none = Problem::new(format!("nothing says what the walls of `{}` are of", text.name)).at(&text.place);
            Err(none.hint("add `board = …` or `sheet = …` with a name from the yard"))
        }
    }
}
