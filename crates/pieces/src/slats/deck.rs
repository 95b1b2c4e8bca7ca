//! A deck: boards that fill one of its sizes and are as long as the other, on nothing yet; a `frame` carries it.

use super::{key, row_of_boards};
use crate::ask::{Ask, RowAsk, Stand};
use crate::fitted::{Fitted, explain_row};
use crate::place::{Ground, boxed};
use crate::timber::Timber;
use crate::{Piece, rules};
use measure::Length;
use model::affine::Affine;
use model::build::{Build, Step};
use model::outline::Outline;
use model::part::Axis;
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::Wish;

/// A deck as the plan states it.
struct Deck {
    text: PieceText,
    board: Timber,
    gap: Wish,
    along: bool,
    top: Length,
}

pub(super) fn make(text: &PieceText, plan: &Plan) -> Result<Box<dyn Piece>, Problem> {
    let board = Timber::needed(text, plan, "board")?;
    let top = text.need_length("top")?;
    if top < board.thickness {
        let [top, thickness] = [top, board.thickness].map(|length| plan.tape.show_with_unit(length));
        let low = format!("the deck `{}` would lie in the ground: its upper face is {top} up", text.name);
        let place = text.values.place_of("top");
        return Err(Problem::new(low)
            .at(&place)
            .hint(format!("make `top` at least {thickness}, as thick as the board")));
    }
    let along = text.need_word("boards")? == "along";
    Ok(Box::new(Deck { board, gap: text.need_wish("gap")?, along, top, text: text.clone() }))
}

impl Deck {
    /// The face that the row of boards is seen from: boards along the front lie one behind the other.
    fn face(&self) -> &'static str {
        if self.along { "right" } else { "front" }
    }

    /// What the row fills and how long the boards are, of length and width.
    fn turned<T>(&self, [length, width]: [T; 2]) -> [T; 2] {
        if self.along { [width, length] } else { [length, width] }
    }
}

impl Piece for Deck {
    fn ask(&self, ask: &mut Ask<'_>) -> Result<Stand, Problem> {
        let mut size = |key: &str| {
            let wish = self.text.need_wish(key)?;
            Ok(Affine::size(ask.size(&self.text.called(key), wish, self.text.values.place_of(key))))
        };
        let sizes: [Affine; 2] = [size("length")?, size("width")?];
        let gap = ask.gap(&self.text.called("gap"), self.gap, self.text.values.place_of("gap"));
        let [face, long] = self.turned(sizes.clone());
        let (name, pattern) = (&self.text.called(self.face()), &[self.board.width]);
        ask.row(RowAsk { name, when: Vec::new(), face, pattern, more: 0, end_gaps: 0, gap, times: 1 });
        ask.comes_from_stock(&format!("the boards of {}", self.text.name), Vec::new(), &long, self.board.longest);
        let [length, width] = sizes;
        let origin = ask.stand_by_itself(&self.text.name, &length);
        Ok(Stand {
            outline: Outline::rectangle(length, width),
            origin,
            bottom: (self.top - self.board.thickness).into(),
            top: self.top.into(),
            has_faces: false,
            wall: None,
            batter: Length::ZERO,
        })
    }

    fn detail(&self, fitted: &Fitted<'_>, out: &mut Build) -> Result<(), Problem> {
        let stand = fitted.stand(&self.text.name)?;
        let ground = Ground::of(stand, fitted)?;
        let [x, y] = ground.corner(0);
        let sizes = [0, 1].map(|side| stand.outline.sides()[side].length.at(fitted.sizes()));
        let [fills, long] = self.turned(sizes);
        let fit = fitted.need_row(&self.text.called(self.face()))?;
        let row = row_of_boards(&self.text, &self.board, self.face(), fills, fit);
        let bottom = self.top - self.board.thickness;
        let mut parts = Vec::new();
        for (index, start) in row.starts().enumerate() {
            // Members are counted by fit, whose counts stay far below a u32.
            let key = key(&self.text, "board", "front", index as u32);
            let [width, thickness] = [self.board.width, self.board.thickness];
            out.parts.push(match self.along {
                true => boxed(
                    [x, y + start, bottom],
                    [long, width, thickness],
                    [Axis::X, Axis::Y],
                    key.clone(),
                    self.board.stock,
                ),
                false => boxed(
                    [x + start, y, bottom],
                    [width, long, thickness],
                    [Axis::Y, Axis::X],
                    key.clone(),
                    self.board.stock,
                ),
            });
            parts.push(key);
        }
        explain_row(out, row);
        out.quantities.extend(rules::between_ends(
            self.text.called("board.length"),
            "length of the boards",
            long,
            Length::ZERO,
        ));
        out.steps.push(self.step(parts));
        out.outlines.push(ground.drawn(&self.text.name));
        Ok(())
    }
}

impl Deck {
    fn step(&self, parts: Vec<model::part::PartKey>) -> Step {
        let name = &self.text.name;
        let what = format!(
            "Lay the boards of {name} out by the marks of the rod, from one datum, and fix them when all lie right"
        );
        let caution = "Check locally how high a deck may stand above the ground without a guard, and whether it wants a permit; saw with the guard in place and the work held, and wear a mask: the dust of dense hardwoods and of treated wood harms";
        Step { piece: name.clone(), what, caution: Some(caution.into()), parts }
    }
}
