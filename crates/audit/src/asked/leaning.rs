//! Parts that lean beside a side: boxes in the leaning frame of the side, trimmed by the vertical planes that halve the corners.
//!
//! A line that lies o outwards of the side reaches o tan(τ / 2) beyond each corner, τ being the turn there; the frame leans by S
//! outwards, so going up its face by one goes outwards by sin S and up by cos S. All of it is plain trigonometry (*arithmetic*).

use crate::ground::{Ground, Way, meets, nearest, sin_cos};
use crate::laid::{Cut, Laid, ROUNDED, Slot};

/// A box that leans.
pub(crate) struct Leaning {
    /// The lean in millionths of a degree, outwards positive.
    pub lean: i64,
    /// How far outwards of the side and how high its lower outer edge lies.
    pub out: f64,
    pub up: f64,
    /// How far it reaches inwards, square to its face, and up its face.
    pub inwards: i128,
    pub upwards: i128,
}

impl Leaning {
    /// How far outwards its furthest edge lies.
    fn widest(&self) -> f64 {
        let (sin, _) = sin_cos(self.lean);
        self.out + (self.upwards as f64 * sin).max(0.0)
    }

    /// The part beside a side; its length lies along the side, its width inwards ([`Way::Out`]) or up its face.
    pub fn part<'a>(
        &self,
        ground: &Ground,
        side: usize,
        width: Way,
        slot: Slot<'a>,
        stock: (&'a str, &'a str),
    ) -> Laid<'a> {
        let turn = ground.outline.turn(side);
        let half = meets(turn, 1_000_000_000, 1_000_000_000) / 1e9;
        let side_length = ground.lengths[side] as f64;
        let beyond = libm::ceil(self.widest() * half);
        let (start, length) = (-beyond, ground.lengths[side] + 2 * beyond as i128);
        let mut spot = ground.beside(side, [0, length], [0, 0], [0, 0]).in_frame();
        let heading = ground.outline.heading(side);
        let (turned, level) = sin_cos(heading);
        let corner = ground.corners[side];
        spot.corner = [
            corner[0] + nearest(start * level + self.out * turned),
            corner[1] + nearest(start * turned - self.out * level),
            nearest(self.up),
        ];
        (spot.heading, spot.lean) = (heading, self.lean);
        spot.extent = [length, self.inwards, self.upwards];
        let ((across, ahead), (sin, cos)) = (sin_cos(turn / 2), sin_cos(self.lean));
        let cut = |end: usize| {
            let (way, corner) = if end == 0 { (-1.0, 0.0) } else { (1.0, side_length) };
            let normal = [way * ahead, across * cos, -across * sin];
            Cut { end, normal, through: [corner + way * self.out * half - start, 0.0, 0.0] }
        };
        Laid { planes: vec![cut(0), cut(1)], slack: ROUNDED, ..Laid::new(slot, stock, spot, Way::Along, width) }
    }
}

/// An angle in millionths of a degree.
pub(crate) fn millionths(radians: f64) -> i64 {
    libm::round(radians * (180e6 / std::f64::consts::PI)) as i64
}
