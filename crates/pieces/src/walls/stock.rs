//! What walls are made of, and what the stock gives.

use crate::ask::{Ask, When};
use measure::{Length, Tape};
use model::affine::Affine;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::{Sheet, SheetSize, StockRef};

/// Boards in courses, or panels of sheet.
pub(super) struct Made {
    pub stock: StockRef,
    pub thickness: Length,
    /// The width of a board; `None` for sheet.
    pub board: Option<Length>,
    /// What the parts may come from: the longest board, or one of the sizes of a sheet.
    pub reaches: Vec<Reach>,
}

/// What one size of stock gives.
pub(super) struct Reach {
    /// What the size is called.
    pub word: String,
    /// How long a part can be.
    pub long: Length,
    /// How high.
    pub high: Length,
}

impl Made {
    pub(super) fn of(text: &PieceText, plan: &Plan) -> Result<Made, Problem> {
        let (kind, name) = named(text)?;
        let stock = plan.yard.find(kind, &name).ok_or_else(|| {
            Problem::new(format!("no {} called `{name}` in the yard", kind.word())).at(&text.values.place)
        })?;
        if kind == StockKind::Sheet && text.values.wish("gap").is_some_and(|gap| gap.want != Length::ZERO) {
            let idle = Problem::new("panels of sheet have no courses, so there is no gap between them");
            return Err(idle.at(&text.values.place_of("gap")).hint("leave `gap` out, or build the walls of boards"));
        }
        let trim = plan.shed.trim;
        if kind == StockKind::Board {
            let board = &plan.yard.boards[stock.place];
            let none = || Problem::new(format!("no length of `{name}` is on sale")).at(&board.place);
            let long = plan.yard.longest(stock, trim).ok_or_else(none)?;
            let reaches = vec![Reach { word: name, long, high: board.width }];
            return Ok(Made { stock, thickness: board.thickness, board: Some(board.width), reaches });
        }
        let sheet = &plan.yard.sheets[stock.place];
        let reaches = reaches(sheet, trim, plan.tape);
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

    /// Under which condition each of the sizes of stock is taken: sizes of sheet are chosen among.
    pub(super) fn sizes_of_sheet(&self, ask: &mut Ask<'_>, text: &PieceText) -> Vec<When> {
        if self.reaches.len() < 2 {
            return vec![When::new()];
        }
        let words: Vec<String> = self.reaches.iter().map(|reach| reach.word.clone()).collect();
        ask.choice(&text.called("sheet"), &words)
    }

    /// Panels are no higher than their sheet is wide, and higher than every narrower one, from which they would come otherwise.
    pub(super) fn ask_height_of_panels(&self, ask: &mut Ask<'_>, piece: &str, height: &Affine, sizes: &[When]) {
        let what = format!("the height of the panels of {piece}");
        for (reach, when) in self.reaches.iter().zip(sizes) {
            ask.comes_from_stock(&what, when.clone(), height, reach.high);
            let narrower = self.reaches.iter().filter(|other| other.high < reach.high);
            if let Some(narrower) = narrower.max_by_key(|other| other.high) {
                let what = format!("{what}, which come from {} only if not from {}", reach.word, narrower.word);
                ask.is_more(&what, when.clone(), height, narrower.high);
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

/// What each size of a sheet gives that another size does not: those that are nowhere larger than another one are left out.
///
/// The panels of a box are all of one height, and of the sizes that are as wide as that the narrowest is the longest and so
/// gives all that the others give: nothing is lost by taking all panels to come from that one.
fn reaches(sheet: &Sheet, trim: Length, tape: Tape) -> Vec<Reach> {
    let within = |small: &SheetSize, large: &SheetSize| small.length <= large.length && small.width <= large.width;
    let sizes = &sheet.sizes;
    let idle = |at: usize| {
        let covers = |(other, size): (usize, &SheetSize)| {
            other != at && within(&sizes[at], size) && (other < at || !within(size, &sizes[at]))
        };
        sizes.iter().enumerate().any(covers)
    };
    let kept = (0..sizes.len()).filter(|&at| !idle(at)).map(|at| &sizes[at]);
    kept.map(|size| Reach {
        word: format!("{} × {}", tape.show(size.length), tape.show(size.width)),
        long: size.length - trim,
        high: size.width - trim,
    })
    .collect()
}
