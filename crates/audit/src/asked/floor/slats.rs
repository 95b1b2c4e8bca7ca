//! A floor of slats, each as long as the room lets it be.

use super::polygon::{plane, reach_in, trims};
use super::{Room, between_ends};
use crate::asked::reach::{Reach, nearest, reaches};
use crate::asked::{Asked, BEYOND, Limit, MOST_MEMBERS, Planned, Row, SHORTEST, of_board};
use crate::ground::{Outline, Sum, Way};
use crate::laid::{Built, Laid, Number, ROUNDED, RowOf, Site};
use crate::texts::{Papers, Piece};

/// How far the end of a slat that is cut to a slant may lie from the referee's: as far as its start was rounded, at the steepest
/// of slants, and the micrometre to which its length is told.
const SLANTED: i128 = 1_064;
/// A micrometre.
const TOLD: i128 = 1_000;

pub(super) struct Slats {
    board: String,
    pub thickness: i128,
    width: i128,
    /// Whether they run from front to back.
    pub across: bool,
    row: usize,
    /// The reach that the row fills, of a regular room.
    fills: Option<Reach>,
}

pub(super) fn ask(
    asked: &mut Asked,
    piece: &Piece,
    papers: &Papers,
    room: &Outline,
    play: i128,
) -> Result<Slats, String> {
    let board = piece.word("board", "")?;
    let [thickness, width, longest] = of_board(&board, papers)?;
    let across = piece.word("boards", "across")? == "across";
    let gap = asked.gap(piece, "gap", None)?;
    let (run, long) = if across { (0, 1) } else { (1, 0) };
    let slats = Slats { board, thickness, width, across, row: 0, fills: None };
    if room.is_square() {
        let last = room.count() - 1;
        let size = [room.length(0), room.length(last)];
        // A gap at both ends too: two more than there are between slats.
        let row = asked.row(Vec::new(), size[run].clone(), width, 2, gap);
        asked.comes_out(Vec::new(), size[long].and(-2 * play), longest);
        if !room.is_rectangle() {
            // The back is as long as the left arm is wide, the right as long as the front arm is deep.
            let short = [room.length(4), room.length(1)][long].and(-2 * play);
            asked.comes_out(Vec::new(), short, longest);
        }
        return Ok(Slats { row, ..slats });
    }
    let reaches = reaches(room.count()).ok_or("nobody knows how far such an outline reaches")?;
    let (fills, side) = (reaches[run], room.length(0));
    let times = i64::try_from(fills.over).map_err(|_| "a reach is out of measure")?;
    let row = asked.row_of(Row {
        when: Vec::new(),
        length: Sum::default().plus(&side, fills.times),
        member: width * fills.over,
        gaps_per_member: times,
        end_gaps: times,
        gap,
        count: (1, MOST_MEMBERS),
        slack: ROUNDED * fills.times,
    });
    let to = reaches[long].side_within(longest).min(BEYOND);
    asked.limit_of(Limit { when: Vec::new(), value: side, from: -BEYOND, to, slack: ROUNDED });
    Ok(Slats { row, fills: Some(fills), ..slats })
}

/// Where a slat lies in its strip, from where the room begins.
struct Lies<'g> {
    from: i128,
    to: i128,
    /// The room and the sides of it that trim the slat.
    trimmed: Option<(&'g crate::ground::Ground, Vec<usize>)>,
}

impl Slats {
    fn axis(&self) -> usize {
        usize::from(!self.across)
    }

    pub fn lay<'a>(
        &'a self,
        own: &'a Planned,
        (outline, room, play): (&Outline, &Room, i128),
        site: &Site<'a>,
        built: &mut Built<'a>,
    ) -> Option<()> {
        let long = 1 - self.axis();
        let face = if self.across { "front" } else { "right" };
        let pattern = vec![self.width];
        let row_of = RowOf { piece: &own.name, face, pattern, and_first: false, starts_with_gap: true, up: false };
        let row = site.row(&row_of, self.row)?;
        if let Some(Reach { times, over }) = self.fills {
            let inputs = vec![site.value(&outline.length(0)), times, over];
            let number = Number { name: format!("{}.{face}.reach", own.name), rule: "reach", of: "nm", inputs };
            built.near.push(number.within(&[ROUNDED, 0, 0]));
        }
        let cut_room = self.fills.map(|_| site.ground(&self.cut_room(outline, play)));
        for i in 0..row.count {
            let [start, end] = row.reach(i);
            let lies = match &cut_room {
                None => self.square(room, end, play),
                Some(ground) => self.cut(ground, room, [start, end])?,
            };
            if lies.to - lies.from < SHORTEST - SLANTED {
                return None;
            }
            let (mut from, mut size) = ([start; 2], [self.width; 2]);
            (from[long], size[long]) = (lies.from, lies.to - lies.from);
            let spot = room.spot(from, size, [room.low, room.low + self.thickness]);
            let ways = if self.across { [Way::Out, Way::Along] } else { [Way::Along, Way::Out] };
            let slot = (own.name.as_str(), "slat", "front", 0, i64::try_from(i).ok()?);
            let mut slat = Laid::new(slot, ("board", &self.board), spot, ways[0], ways[1]);
            if let Some((ground, sides)) = &lies.trimmed {
                slat.planes = sides.iter().map(|&side| plane(ground, side, long, slat.spot.corner)).collect();
                slat.slack = SLANTED;
            }
            built.parts.push(slat);
            if !outline.is_rectangle() {
                let slack = if lies.trimmed.is_some() { SLANTED } else { 0 };
                let name = format!("{}.front.slat-{}.length", own.name, i + 1);
                let number = Number { name, rule: "slat", of: "nm", inputs: vec![lies.to, lies.from] };
                built.near.push(number.within(&[slack; 2]));
            }
        }
        built.rows.push(row);
        if outline.is_rectangle() {
            between_ends(own, "slat.length", room.size[long], play, built);
        }
        Some(())
    }

    /// The room with what trims slats moved in by the play; what runs along them stays.
    fn cut_room(&self, outline: &Outline, play: i128) -> Outline {
        let moved = |side: usize| {
            let (sin, cos) = crate::ground::sin_cos(outline.heading(side));
            if [cos, sin][self.axis()] == 0.0 { 0 } else { -play }
        };
        outline.moved(&(0..outline.count()).map(moved).collect::<Vec<i128>>())
    }

    /// A slat of a rectangle, or of an L: one that goes beyond the arm that runs along it is as long as the other arm is deep.
    fn square(&self, room: &Room, end: i128, play: i128) -> Lies<'static> {
        let (run, long) = (self.axis(), 1 - self.axis());
        let short = room.arms.filter(|arms| end > arms[run]).map(|arms| arms[long]);
        Lies { from: play, to: short.unwrap_or(room.size[long]) - play, trimmed: None }
    }

    fn cut<'g>(&self, ground: &'g crate::ground::Ground, room: &Room, strip: [i128; 2]) -> Option<Lies<'g>> {
        let (run, long) = (self.axis(), 1 - self.axis());
        let strip = strip.map(|at| room.corner[run] + at);
        let [least, most] = reach_in(ground, run, strip)?.map(crate::ground::nearest);
        let from = least - room.corner[long];
        let to = from + nearest(most - least, TOLD) * TOLD;
        Some(Lies { from, to, trimmed: Some((ground, trims(ground, run, strip))) })
    }
}
