//! A floor in walls: slats with gaps, or sheet cut to the walls, in a rectangle with bearers under it or a fall.

mod panel;
mod polygon;
mod slats;

use super::spaced::Spaced;
use super::{Asked, BEYOND, Form, Planned, Stand, of_board};
use crate::ground::{Outline, Spot, Sum, Way, nearest};
use crate::laid::{Built, Laid, ROUNDED, Site};
use crate::texts::{Papers, Piece};
use panel::Panel;
use slats::Slats;

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
    Slats(Slats),
    Panel(Panel),
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
    if !inside.is_rectangle() && (piece.has("fall") || piece.has("bearer")) {
        return Err(format!("`{}` lies in no rectangle", piece.name));
    }
    let [clear, play] = ["clear", "play"].map(|key| piece.length(key, 0).map(i128::from));
    let (clear, play) = (clear?, play?);
    let room = inside.grown(-clear);
    if !inside.is_rectangle() && clear + play > 0 {
        let (times, slack) = if inside.is_square() { (2, 0) } else { (4, ROUNDED) };
        for side in 0..room.count() {
            asked.is_there_within(Vec::new(), room.length(side).and(-times * play), slack);
        }
    }
    let low = host.bottom.and(piece.length("height", 0)?.into());
    let made = match piece.has("board") {
        true => Made::Slats(slats::ask(asked, piece, papers, &room, play)?),
        false => Made::Panel(panel::ask(asked, piece, papers, &room, [clear, play])?),
    };
    let bearer = bearer(asked, piece, papers, &room, &made)?;
    if let Some(bearer) = &bearer {
        asked.limit(Vec::new(), low.clone(), bearer.thickness, BEYOND);
    }
    let rise = match &made {
        Made::Slats(slats) => slats.thickness,
        Made::Panel(panel) => panel.thickness + panel.fall,
    };
    let top = low.and(rise);
    asked.is_there(Vec::new(), host.top.plus(&top, -1));
    let stand = Stand::plain(inside, low.clone(), top);
    let form = Floor { made, bearer, room, play, low };
    Ok(Planned { around: Some(around), ..Planned::new(piece, "floor", stand, Box::new(form)) })
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
    let along = matches!(made, Made::Slats(slats) if slats.across);
    let (long, over) = if along { (0, 1) } else { (1, 0) };
    asked.comes_out(Vec::new(), room.length(long), longest);
    asked.is_there(Vec::new(), room.length(over).and(-2 * width));
    let spacing = piece.has("spacing").then(|| piece.length("spacing", 0).map(i128::from)).transpose()?;
    Ok(Some(Bearer { board, thickness, width, spacing, along }))
}

/// A floor's room for given sizes: where it begins, and of a rectangle or an L how far it reaches along x and y.
struct Room {
    corner: [i128; 2],
    size: [i128; 2],
    /// Of an L, how wide its left arm is and how deep its front one.
    arms: Option<[i128; 2]>,
    low: i128,
}

impl Room {
    fn of(outline: &Outline, low: i128, site: &Site<'_>) -> Room {
        let ground = site.ground(outline);
        let least = |axis: usize| ground.corners.iter().map(|corner| corner[axis]).min().unwrap_or(0);
        let lengths = &ground.lengths;
        Room {
            corner: [least(0), least(1)],
            size: [lengths[0], lengths[lengths.len() - 1]],
            arms: (outline.is_square() && !outline.is_rectangle()).then(|| [lengths[4], lengths[1]]),
            low,
        }
    }

    /// A box in the room: from where and how far along x and y, and its heights.
    fn spot(&self, from: [i128; 2], size: [i128; 2], up: [i128; 2]) -> Spot {
        let [x, y] = [0, 1].map(|axis| self.corner[axis] + from[axis]);
        Spot::of([x, y, up[0]], [x + size[0], y + size[1], up[1]])
    }
}

fn between_ends(own: &Planned, what: &str, whole: i128, off: i128, built: &mut Built<'_>) {
    built.number(&own.name, what, "between-ends", "nm", vec![whole, off]);
}

impl Floor {
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
        between_ends(own, "bearer.length", room.size[long], 0, built);
    }
}

/// The lean of a panel that rises by so much over its width, to the millionth of a degree.
fn lean(fall: i128, width: i128) -> i64 {
    let radians = libm::asin(fall as f64 / width as f64);
    nearest(radians * (180e6 / std::f64::consts::PI)) as i64
}

impl Form for Floor {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let room = Room::of(&self.room, site.value(&self.low), site);
        self.lay_bearers(own, &room, built);
        match &self.made {
            Made::Slats(slats) => slats.lay(own, (&self.room, &room, self.play), site, built),
            Made::Panel(panel) => panel.lay(own, (&self.room, &room, self.play), site, built),
        }
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
