//! Walls: boards in courses or sheet, one part along each side.

use super::lines::{BOARD_CORNERS, Line, Pattern, and_option, corner_words, lines, owned};
use super::{Asked, BEYOND, Form, Planned, Reach, Stand, Standing, When, of_stock};
use crate::geometry::{Case, parts_of};
use crate::ground::{Outline, Sum, Way};
use crate::laid::{Built, Laid, RowOf, Site};
use crate::ledger::{Ledger, Mm};
use crate::texts::{Papers, Piece};
use std::collections::BTreeMap;

/// Walls as they are planned.
struct Walls {
    /// `board` or `sheet`, and its name.
    stock: (&'static str, String),
    thickness: i128,
    width: i128,
    /// The courses of boards, by the row's place.
    courses: Option<usize>,
    choice: Option<usize>,
    options: Vec<Vec<Line>>,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let stock = match (piece.has("board"), piece.has("sheet")) {
        (true, false) => ("board", piece.word("board", "")?),
        (false, true) => ("sheet", piece.word("sheet", "")?),
        _ => return Err(format!("`{}` is of boards or of sheet", piece.name)),
    };
    let (thickness, width, reaches) = of_stock(&stock, papers)?;
    let (base, along_front) = outline(asked, piece, thickness)?;
    let base = base.from(&asked.stands_alone(&along_front));
    let height = asked.size(piece, "height")?;
    let sizes = reaches.iter().map(|reach| reach.word.clone()).collect();
    let size = asked.choice(format!("{}.sheet", piece.name), sizes);
    let reaches: Vec<(When, &Reach)> =
        reaches.iter().enumerate().map(|(option, reach)| (and_option(&Vec::new(), size, option), reach)).collect();
    let courses = if stock.0 == "board" {
        let gap = asked.gap(piece, "gap", Some(0))?;
        Some(asked.row(Vec::new(), height.clone(), width, 0, gap))
    } else {
        panels_come_out(asked, &reaches, &height);
        None
    };
    let words = corner_words(&piece.word("corners", "front through")?, &BOARD_CORNERS)?;
    let choice = asked.choice(format!("{}.corners", piece.name), owned(&words));
    let strips = vec![Some((-thickness, 0)); base.count()];
    let options: Vec<Vec<Line>> = words.iter().map(|word| lines(&base, &strips, word, false)).collect();
    for (when, reach) in &reaches {
        for (option, lines) in options.iter().enumerate() {
            asked.limit_lines(&base, lines, &and_option(when, choice, option), reach.long);
        }
    }
    let stand = Stand { wall: Some(thickness), faces: true, ..Stand::plain(base, Sum::default(), height) };
    let form = Walls { stock, thickness, width, courses, choice, options };
    Ok(Planned { standing: Standing::Alone, ..Planned::new(piece, "walls", stand, Box::new(form)) })
}

/// A panel of each size is high enough, and a size is only taken for what is too high for every narrower one.
fn panels_come_out(asked: &mut Asked, reaches: &[(When, &Reach)], height: &Sum) {
    for (when, reach) in reaches {
        asked.comes_out(when.clone(), height.clone(), reach.high);
        let narrower = reaches.iter().map(|(_, other)| other.high).filter(|&high| high < reach.high).max();
        if let Some(high) = narrower {
            asked.limit(when.clone(), height.clone(), high + 1, BEYOND);
        }
    }
}

/// The outline as if nothing stood beside it, and how far it reaches along the front.
fn outline(asked: &mut Asked, piece: &Piece, thickness: i128) -> Result<(Outline, Sum), String> {
    let (length, width) = (asked.size(piece, "length")?, asked.size(piece, "width")?);
    let along_front = length.clone();
    let outline = match piece.word("outline", "rectangle")?.as_str() {
        "rectangle" => Outline::rectangle(length, width),
        "L" => {
            let (front, left) = (asked.size(piece, "front-arm")?, asked.size(piece, "left-arm")?);
            for arm in [&front, &left] {
                asked.is_there(Vec::new(), arm.and(-2 * thickness));
            }
            Outline::ell(length, width, front, left)
        }
        other => return Err(format!("unknown outline `{other}`")),
    };
    Ok((outline, along_front))
}

impl Form for Walls {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let base = &own.stand.outline;
        let up = own.up(site);
        let mut heights = vec![up];
        if let Some(row) = self.courses {
            let pattern = Pattern::of_one(self.width).widths;
            let row_of = RowOf { piece: &own.name, face: "courses", pattern, and_first: false, starts_with_gap: false, up: true };
            let row = site.row(&row_of, row)?;
            heights = (0..row.count).map(|i| row.reach(i).map(|at| up[0] + at)).collect();
            built.rows.push(row);
        }
        let role = if self.stock.0 == "board" { "board" } else { "panel" };
        let ground = site.ground(base);
        for line in self.options.get(site.option(self.choice)?)? {
            let face = base.name(line.side);
            built.lengths.insert(format!("{}.length", own.called(face)), line.reaches(base, &site.sizes));
            let along = [&line.start.at, &line.finish.at].map(|at| site.value(at));
            for (course, &up) in heights.iter().enumerate() {
                let spot = ground.beside(line.side, along, [line.strip.0, line.strip.1], up);
                let slot = (own.name.as_str(), role, face, course as i64, 0);
                built.parts.push(Laid::new(slot, (self.stock.0, &self.stock.1), spot, Way::Along, Way::Up));
            }
        }
        Some(())
    }

    /// Walls reach from end to end of the sizes, and each course has the area between the outline and its inside.
    fn hold(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        let (record, site) = (case.record, case.site);
        let parts = parts_of(record, &own.name);
        let size = |what: &str| {
            let name = format!("{}.{what}", own.name);
            site.asked.sizes.iter().position(|size| size.0 == name).map(|at| site.sizes[at])
        };
        let wished = ["length", "width", "height"].map(|what| size(what).unwrap_or(0));
        let least = [0, 1, 2].map(|axis| parts.iter().map(|part| part.corner[axis]).min().unwrap_or(0));
        let most = [0, 1, 2].map(|axis| parts.iter().map(|part| part.far()[axis]).max().unwrap_or(0));
        let reach = [most[0] - least[0], most[1], most[2]];
        ledger.hold(least[1..] == [0; 2] && reach == wished, || {
            let [least, most, wished] = [least, most, wished].map(|corner| corner.map(Mm::of));
            format!("{} reaches from {least:?} to {most:?}, and its sizes are {wished:?}", own.name)
        });
        let base = &own.stand.outline;
        let ring = site.ground(base).double_area() - site.ground(&base.grown(-self.thickness)).double_area();
        let mut courses: BTreeMap<i64, i128> = BTreeMap::new();
        for part in &parts {
            let extent = part.extent();
            *courses.entry(part.course).or_default() += 2 * i128::from(extent[0]) * i128::from(extent[1]);
        }
        for (course, area) in courses {
            ledger.hold(area == ring, || {
                let (course, name) = (course + 1, &own.name);
                format!("course {course} of {name} covers {area} and its walls {ring}, in half square nanometres")
            });
        }
    }
}
