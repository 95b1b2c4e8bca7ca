//! A floor of sheet: one panel, in an L two, in a regular outline one cut to it; and the drain holes.

use super::polygon::{inwards, is_slanted, plane};
use super::{Room, between_ends, lean};
use crate::asked::lines::and_option;
use crate::asked::reach::{nearest, reaches};
use crate::asked::spaced::Spaced;
use crate::asked::{Asked, BEYOND, Limit, Planned, of_stock};
use crate::ground::{Ground, Outline, Way};
use crate::laid::{Built, Laid, Number, ROUNDED, Site};
use crate::texts::{Papers, Piece};

/// Square nanometres in a square millimetre.
const SQUARE: i128 = 10_i128.pow(12);
/// How far an area may lie from the referee's, in square millimetres.
const ROUGHLY: i128 = 2;
/// A micrometre, in nanometres.
const TRACE: f64 = 1_000.0;

pub(super) struct Panel {
    sheet: String,
    pub thickness: i128,
    pub fall: i128,
    /// How wide each drain hole is, and the most from one to the next.
    drain: Option<[i128; 2]>,
}

pub(super) fn ask(
    asked: &mut Asked,
    piece: &Piece,
    papers: &Papers,
    room: &Outline,
    [clear, play]: [i128; 2],
) -> Result<Panel, String> {
    let stock = ("sheet", piece.word("sheet", "")?);
    let (thickness, _, sizes) = of_stock(&stock, papers)?;
    let words = sizes.iter().map(|size| size.word.clone()).collect();
    let size = asked.choice(format!("{}.sheet", piece.name), words);
    let within = room.grown(-play);
    let fall = i128::from(piece.length("fall", 0)?);
    for (option, gives) in sizes.iter().enumerate() {
        let when = and_option(&Vec::new(), size, option);
        if !room.is_square() {
            let reaches = reaches(room.count()).ok_or("nobody knows how far such an outline reaches")?;
            let to = reaches[0].side_within(gives.long).min(reaches[1].side_within(gives.high)).min(BEYOND);
            asked.limit_of(Limit { when, value: within.length(0), from: -BEYOND, to, slack: ROUNDED });
            continue;
        }
        let [long, wide] = [within.length(0), within.length(within.count() - 1)];
        let panels = match room.is_rectangle() {
            true => vec![[long, wide]],
            // The right is as long as the front arm is deep, the back as the left arm is wide.
            false => vec![[long, within.length(1)], [wide.plus(&within.length(1), -1), within.length(4)]],
        };
        for [long, wide] in panels {
            asked.comes_out(when.clone(), long, gives.long);
            asked.comes_out(when.clone(), wide, gives.high);
        }
    }
    if fall > 0 {
        // Leaning back by sin = fall / width its front upper arris comes forward by thickness · sin, no further than it keeps off.
        let least = crate::fitting::up(thickness * fall, (clear + play).max(1));
        asked.limit(Vec::new(), within.length(1), least.min(BEYOND).max(fall), BEYOND);
    }
    let drains = piece.has("drain-hole") && piece.has("drain-spacing");
    let drain = [piece.length("drain-hole", 0)?, piece.length("drain-spacing", 0)?].map(i128::from);
    Ok(Panel { sheet: stock.1, thickness, fall, drain: drains.then_some(drain) })
}

impl Panel {
    pub fn lay<'a>(
        &'a self,
        own: &'a Planned,
        (outline, room, play): (&Outline, &Room, i128),
        site: &Site<'a>,
        built: &mut Built<'a>,
    ) -> Option<()> {
        if !outline.is_square() {
            let within = outline.grown(-play);
            return self.lay_cut(own, (&within, &site.ground(&within)), room, site, built);
        }
        match room.arms {
            None => self.lay_whole(own, room, play, built),
            Some(arms) => self.lay_two(own, room, arms, play, built),
        }
        Some(())
    }

    fn put<'a>(&'a self, own: &'a Planned, index: i64, spot: crate::ground::Spot, ways: [Way; 2]) -> Laid<'a> {
        let slot = (own.name.as_str(), "panel", "front", 0, index);
        let mut panel = Laid::new(slot, ("sheet", &self.sheet), spot, ways[0], ways[1]);
        // One that leans is turned about its corner, so that nothing of it is rounded.
        panel.slack = 0;
        panel
    }

    fn up(&self, room: &Room) -> [i128; 2] {
        [room.low, room.low + self.thickness]
    }

    fn lay_whole<'a>(&'a self, own: &'a Planned, room: &Room, play: i128, built: &mut Built<'a>) {
        let size = room.size.map(|size| size - 2 * play);
        let mut spot = room.spot([play; 2], size, self.up(room));
        if self.fall > 0 {
            spot.lean = lean(self.fall, size[1]);
        }
        built.parts.push(self.put(own, 0, spot, [Way::Along, Way::Out]));
        for (what, whole) in ["panel.length", "panel.width"].into_iter().zip(room.size) {
            between_ends(own, what, whole, play, built);
        }
        self.expect_drain(own, "drain", size, built);
    }

    /// One in the front arm, and one from its far edge to the back in the left arm, whose length lies from front to back.
    fn lay_two<'a>(&'a self, own: &'a Planned, room: &Room, [arm, deep]: [i128; 2], play: i128, built: &mut Built<'a>) {
        let (meet, back) = (deep - play, room.size[1] - play);
        let first = [room.size[0] - 2 * play, meet - play];
        let second = [arm - 2 * play, back - meet];
        let spot = room.spot([play; 2], first, self.up(room));
        built.parts.push(self.put(own, 0, spot, [Way::Along, Way::Out]));
        let spot = room.spot([play, meet], second, self.up(room));
        built.parts.push(self.put(own, 1, spot, [Way::Out, Way::Along]));
        between_ends(own, "front.panel-1.length", room.size[0], play, built);
        between_ends(own, "front.panel-1.width", deep, play, built);
        built.number(&own.name, "front.panel-2.length", "slat", "nm", vec![back, meet]);
        between_ends(own, "front.panel-2.width", arm, play, built);
        self.expect_drain(own, "drain-1", first, built);
        self.expect_drain(own, "drain-2", [second[1], second[0]], built);
    }

    /// The box of a regular outline, trimmed by all sides that lie along neither of its own.
    fn lay_cut<'a>(
        &'a self,
        own: &'a Planned,
        (outline, ground): (&Outline, &Ground),
        room: &Room,
        site: &Site<'a>,
        built: &mut Built<'a>,
    ) -> Option<()> {
        let side = site.value(&outline.length(0));
        let reaches = reaches(outline.count())?;
        let size = reaches.map(|reach| reach.of(side));
        let least = |axis: usize| ground.corners.iter().map(|corner| corner[axis]).min().unwrap_or(0);
        let corner = [least(0), least(1)];
        let spot = room.spot([corner[0] - room.corner[0], corner[1] - room.corner[1]], size, self.up(room));
        let mut panel = self.put(own, 0, spot, [Way::Along, Way::Out]);
        let slanted = (0..outline.count()).filter(|&side| is_slanted(ground, side));
        panel.planes = slanted.map(|side| plane(ground, side, 0, panel.spot.corner)).collect();
        // Its reaches are rounded as its sides are, so many times over.
        panel.slack = 4 * ROUNDED;
        built.parts.push(panel);
        for (what, reach) in ["panel.length", "panel.width"].into_iter().zip(reaches) {
            let inputs = vec![side, reach.times, reach.over];
            let number = Number { name: format!("{}.{what}", own.name), rule: "reach", of: "nm", inputs };
            built.near.push(number.within(&[ROUNDED, 0, 0]));
        }
        self.expect_drain_within(own, ground, (corner, size), built);
        Some(())
    }

    fn expect_drain(&self, own: &Planned, called: &str, panel: [i128; 2], built: &mut Built<'_>) {
        let Some([hole, spacing]) = self.drain else { return };
        let mut counts = [0; 2];
        for (at, way) in ["along", "back"].into_iter().enumerate() {
            let spaced = Spaced::over(panel[at], Some(spacing));
            let name = format!("{}.{called}.{way}", own.name);
            spaced.expect(&name, built);
            counts[at] = spaced.bays;
            let inputs = vec![panel[at], spaced.bays];
            built.numbers.push(Number { name: format!("{name}.first"), rule: "first-hole", of: "nm", inputs });
        }
        built.number(&own.name, &format!("{called}.count"), "drain-holes", "count", counts.to_vec());
        let inputs = vec![counts[0] * counts[1], hole, panel[0], panel[1]];
        built.number(&own.name, &format!("{called}.share"), "drain-share", "hundredths of a percent", inputs);
    }

    /// Holes in a panel that is no rectangle: those of the grid that lie a hole's width inside its edges.
    fn expect_drain_within(
        &self,
        own: &Planned,
        ground: &Ground,
        (corner, size): ([i128; 2], [i128; 2]),
        built: &mut Built<'_>,
    ) {
        let Some([hole, spacing]) = self.drain else { return };
        let slack = 4 * ROUNDED;
        let ways = size.map(|size| Spaced::over(size, Some(spacing)));
        let mut expect = |name: &str, rule, of, inputs: Vec<i128>, slack: &[i128]| {
            let number = Number { name: format!("{}.drain.{name}", own.name), rule, of, inputs };
            built.near.push(number.within(slack));
        };
        for (way, spaced) in ["along", "back"].into_iter().zip(ways) {
            let (reach, bays) = (spaced.reach, spaced.bays);
            expect(&format!("{way}.bays"), "as-needed", "count", vec![reach, spacing], &[slack, 0]);
            expect(&format!("{way}.pitch"), "pitch", "nm", vec![reach, bays], &[slack, 0]);
            expect(&format!("{way}.first"), "first-hole", "nm", vec![reach, bays], &[slack, 0]);
        }
        let [along, back] = ways.map(|spaced| spaced.bays);
        let middle = |axis: usize, i: i128| {
            corner[axis] as f64 + size[axis] as f64 * (2 * i + 1) as f64 / (2 * ways[axis].bays) as f64
        };
        let is_near = |x: i128, y: i128| inwards(ground, [middle(0, x), middle(1, y)]) < hole as f64 - TRACE;
        let left_out: usize = (0..along).map(|x| (0..back).filter(|&y| is_near(x, y)).count()).sum();
        let left_out = left_out as i128;
        expect("count", "drain-holes-inside", "count", vec![along, back, left_out], &[0; 3]);
        let area = nearest(ground.double_area(), 2 * SQUARE);
        let inputs = vec![along * back - left_out, hole, area];
        expect("share", "drain-share-of-area", "hundredths of a percent", inputs, &[0, 0, ROUGHLY]);
    }
}
