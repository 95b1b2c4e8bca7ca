//! A floor in a rectangle with an inside: slats with gaps, or one panel, with bearers under it or drain holes in it.

use super::lines::and_option;
use super::spaced::Spaced;
use super::{Asked, BEYOND, Form, Planned, Stand, of_board, of_stock};
use crate::ground::{Outline, Spot, Sum, Way, nearest};
use crate::laid::{Built, Laid, Number, RowOf, Site};
use crate::texts::{Papers, Piece};

/// A floor as it is planned.
struct Floor {
    made: Made,
    bearer: Option<Bearer>,
    /// The inside, less what the floor keeps clear.
    room: Outline,
    play: i128,
    /// Its lower face.
    low: Sum,
}

enum Made {
    Slats {
        board: String,
        thickness: i128,
        width: i128,
        /// Whether they run from front to back.
        across: bool,
        row: usize,
    },
    Panel {
        sheet: String,
        thickness: i128,
        fall: i128,
        drain: Option<[i128; 2]>,
    },
}

struct Bearer {
    board: String,
    thickness: i128,
    width: i128,
    spacing: Option<i128>,
    /// Whether they run along the front.
    along: bool,
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let around = asked.find(&piece.word("in", "")?)?;
    let host = asked.pieces[around].stand.clone();
    let inside = host.inside()?;
    if !inside.is_rectangle() {
        return Err(format!("`{}` lies in no rectangle", piece.name));
    }
    let [clear, play] = ["clear", "play"].map(|key| piece.length(key, 0).map(i128::from));
    let (clear, play) = (clear?, play?);
    let room = inside.grown(-clear);
    let low = host.bottom.and(piece.length("height", 0)?.into());
    let made = match piece.has("board") {
        true => slats(asked, piece, papers, &room, play)?,
        false => panel(asked, piece, papers, &room, [clear, play])?,
    };
    let bearer = bearer(asked, piece, papers, &room, &made)?;
    if let Some(bearer) = &bearer {
        asked.limit(Vec::new(), low.clone(), bearer.thickness, BEYOND);
    }
    let rise = match &made {
        Made::Slats { thickness, .. } => *thickness,
        Made::Panel { thickness, fall, .. } => thickness + fall,
    };
    let top = low.and(rise);
    asked.is_there(Vec::new(), host.top.plus(&top, -1));
    let stand = Stand::plain(inside, low.clone(), top);
    let form = Floor { made, bearer, room, play, low };
    Ok(Planned { around: Some(around), ..Planned::new(piece, "floor", stand, Box::new(form)) })
}

fn slats(asked: &mut Asked, piece: &Piece, papers: &Papers, room: &Outline, play: i128) -> Result<Made, String> {
    let board = piece.word("board", "")?;
    let [thickness, width, longest] = of_board(&board, papers)?;
    let across = piece.word("boards", "across")? == "across";
    let (run, long) = if across { (0, 1) } else { (1, 0) };
    let gap = asked.gap(piece, "gap", None)?;
    // A gap at both ends too: two more than there are between slats.
    let row = asked.row(Vec::new(), room.length(run), width, 2, gap);
    asked.comes_out(Vec::new(), room.length(long).and(-2 * play), longest);
    Ok(Made::Slats { board, thickness, width, across, row })
}

fn panel(
    asked: &mut Asked,
    piece: &Piece,
    papers: &Papers,
    room: &Outline,
    [clear, play]: [i128; 2],
) -> Result<Made, String> {
    let stock = ("sheet", piece.word("sheet", "")?);
    let (thickness, _, reaches) = of_stock(&stock, papers)?;
    let [long, wide] = [0, 1].map(|side| room.length(side).and(-2 * play));
    let words = reaches.iter().map(|reach| reach.word.clone()).collect();
    let size = asked.choice(format!("{}.sheet", piece.name), words);
    for (option, reach) in reaches.iter().enumerate() {
        let when = and_option(&Vec::new(), size, option);
        asked.comes_out(when.clone(), long.clone(), reach.long);
        asked.comes_out(when, wide.clone(), reach.high);
    }
    let fall = i128::from(piece.length("fall", 0)?);
    if fall > 0 {
        // Leaning back by sin = fall / width its front upper arris comes forward by thickness · sin, no further than it keeps off.
        let off = (clear + play).max(1);
        asked.limit(Vec::new(), wide, crate::fitting::up(thickness * fall, off).min(BEYOND).max(fall), BEYOND);
    }
    let drains = piece.has("drain-hole") && piece.has("drain-spacing");
    let drain = [piece.length("drain-hole", 0)?, piece.length("drain-spacing", 0)?].map(i128::from);
    Ok(Made::Panel { sheet: stock.1, thickness, fall, drain: drains.then_some(drain) })
}

fn bearer(
    asked: &mut Asked,
    piece: &Piece,
    papers: &Papers,
    room: &Outline,
    made: &Made,
) -> Result<Option<Bearer>, String> {
    if !piece.has("bearer") {
        return Ok(None);
    }
    let board = piece.word("bearer", "")?;
    let [thickness, width, longest] = of_board(&board, papers)?;
    let along = matches!(made, Made::Slats { across: true, .. });
    let (long, over) = if along { (0, 1) } else { (1, 0) };
    asked.comes_out(Vec::new(), room.length(long), longest);
    asked.is_there(Vec::new(), room.length(over).and(-2 * width));
    let spacing = piece.has("spacing").then(|| piece.length("spacing", 0).map(i128::from)).transpose()?;
    Ok(Some(Bearer { board, thickness, width, spacing, along }))
}

/// A floor's room for given sizes: its corner at the front left, and how far it reaches along x and y.
struct Room {
    corner: [i128; 2],
    size: [i128; 2],
    low: i128,
}

impl Room {
    /// A box in the room: from where and how far along x and y, and its heights.
    fn spot(&self, from: [i128; 2], size: [i128; 2], up: [i128; 2]) -> Spot {
        let [x, y] = [0, 1].map(|axis| self.corner[axis] + from[axis]);
        Spot::of([x, y, up[0]], [x + size[0], y + size[1], up[1]])
    }
}

impl Floor {
    fn lay_slats<'a>(&'a self, own: &'a Planned, room: &Room, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let Made::Slats { board, thickness, width, across, row } = &self.made else { return Some(()) };
        let (run, long) = if *across { (0, 1) } else { (1, 0) };
        let face = if *across { "front" } else { "right" };
        let row_of =
            RowOf { piece: &own.name, face, pattern: vec![*width], and_first: false, starts_with_gap: true, up: false };
        let row = site.row(&row_of, *row)?;
        for i in 0..row.count {
            let (mut from, mut size) = ([self.play; 2], [*width; 2]);
            from[run] = row.start(i);
            size[long] = room.size[long] - 2 * self.play;
            let spot = room.spot(from, size, [room.low, room.low + thickness]);
            let ways = if *across { [Way::Out, Way::Along] } else { [Way::Along, Way::Out] };
            let slot = (own.name.as_str(), "slat", "front", 0, i64::try_from(i).ok()?);
            built.parts.push(Laid::new(slot, ("board", board), spot, ways[0], ways[1]));
        }
        built.rows.push(row);
        self.expect_length(own, "slat.length", room.size[long], self.play, built);
        Some(())
    }

    fn expect_length(&self, own: &Planned, what: &str, whole: i128, off: i128, built: &mut Built<'_>) {
        let name = format!("{}.{what}", own.name);
        built.numbers.push(Number { name, rule: "between-ends", of: "nm", inputs: vec![whole, off] });
    }

    fn lay_panel<'a>(&'a self, own: &'a Planned, room: &Room, built: &mut Built<'a>) {
        let Made::Panel { sheet, thickness, fall, drain } = &self.made else { return };
        let size = room.size.map(|size| size - 2 * self.play);
        let mut spot = room.spot([self.play; 2], size, [room.low, room.low + thickness]);
        if *fall > 0 {
            spot.lean = lean(*fall, size[1]);
        }
        let slot = (own.name.as_str(), "panel", "front", 0, 0);
        let mut panel = Laid::new(slot, ("sheet", sheet), spot, Way::Along, Way::Out);
        // It is turned about its corner, so that nothing of it is rounded.
        panel.slack = 0;
        built.parts.push(panel);
        for (what, whole) in ["panel.length", "panel.width"].into_iter().zip(room.size) {
            self.expect_length(own, what, whole, self.play, built);
        }
        if let Some([hole, spacing]) = drain {
            expect_drain(own, size, [*hole, *spacing], built);
        }
    }

    fn lay_bearers<'a>(&'a self, own: &'a Planned, room: &Room, built: &mut Built<'a>) {
        let Some(bearer) = &self.bearer else { return };
        let (long, over) = if bearer.along { (0, 1) } else { (1, 0) };
        let spaced = Spaced::over(room.size[over] - bearer.width, bearer.spacing);
        for i in 0..=spaced.bays {
            let (mut from, mut size) = ([0; 2], [bearer.width; 2]);
            from[over] = spaced.start(i);
            size[long] = room.size[long];
            let spot = room.spot(from, size, [room.low - bearer.thickness, room.low]);
            let ways = if bearer.along { [Way::Along, Way::Out] } else { [Way::Out, Way::Along] };
            // Bearers are few: a floor is twenty metres long at most, and they stand a tenth of a metre apart at least.
            let slot = (own.name.as_str(), "bearer", "front", 0, i as i64);
            built.parts.push(Laid::new(slot, ("board", &bearer.board), spot, ways[0], ways[1]));
        }
        spaced.expect(&format!("{}.bearer", own.name), built);
        self.expect_length(own, "bearer.length", room.size[long], 0, built);
    }
}

/// The lean of a panel that rises by so much over its width, to the millionth of a degree.
fn lean(fall: i128, width: i128) -> i64 {
    let radians = libm::asin(fall as f64 / width as f64);
    nearest(radians * (180e6 / std::f64::consts::PI)) as i64
}

fn expect_drain(own: &Planned, panel: [i128; 2], [hole, spacing]: [i128; 2], built: &mut Built<'_>) {
    let mut counts = [0; 2];
    for (at, way) in ["along", "back"].into_iter().enumerate() {
        let spaced = Spaced::over(panel[at], Some(spacing));
        let name = format!("{}.drain.{way}", own.name);
        spaced.expect(&name, built);
        counts[at] = spaced.bays;
        let inputs = vec![panel[at], spaced.bays];
        built.numbers.push(Number { name: format!("{name}.first"), rule: "first-hole", of: "nm", inputs });
    }
    let mut expect = |what: &str, rule, of, inputs| {
        built.numbers.push(Number { name: format!("{}.drain.{what}", own.name), rule, of, inputs });
    };
    expect("count", "drain-holes", "count", counts.to_vec());
    let inputs = vec![counts[0] * counts[1], hole, panel[0], panel[1]];
    expect("share", "drain-share", "hundredths of a percent", inputs);
}

impl Form for Floor {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let ground = site.ground(&self.room);
        let size = [ground.lengths[0], ground.lengths[1]];
        let room = Room { corner: ground.corners[0], size, low: site.value(&self.low) };
        self.lay_bearers(own, &room, built);
        self.lay_slats(own, &room, site, built)?;
        self.lay_panel(own, &room, built);
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ground::sin_cos;

    /// 10 in 500: arcsin 0.02 is 1.145992 degrees (Abramowitz and Stegun 4.4.40: x + x³/6 + 3 x⁵/40 rad = 0.0200013338…).
    #[test]
    fn a_fall_leans() {
        assert_eq!(lean(10, 500), 1_145_992);
        let (sin, _) = sin_cos(lean(10, 500));
        assert!((sin - 0.02).abs() < 1e-8);
    }
}
