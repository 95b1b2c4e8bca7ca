//! Corners on posts: a post stands in each corner of a rectangle, and the walls end at it.

use super::Walls;
use crate::place::{Ground, Spans, Way};
use crate::timber::Timber;
use measure::Length;
use model::build::Build;
use model::part::PartKey;

impl Walls {
    /// How far the walls of a side stop short of its corners: a post is as wide along the front and the back as its width, and
    /// along the other two as its thickness.
    pub(super) fn beside_posts(post: Timber, side: usize) -> Length {
        if side.is_multiple_of(2) { post.width } else { post.thickness }
    }

    /// Lays the four posts: two at the ends of the front and two at those of the back.
    pub(super) fn lay_posts(&self, ground: &Ground, front: Length, up: [Length; 2], out: &mut Build) -> Vec<PartKey> {
        let Some(post) = self.post else { return Vec::new() };
        let starts = [Length::ZERO, front - post.width];
        let places =
            [0, 2].into_iter().flat_map(|side| (0..).zip(starts).map(move |(index, start)| (side, index, start)));
        let lay = |(side, index, start): (usize, u32, Length)| {
            let spans = Spans { along: [start, start + post.width], out: [-post.thickness, Length::ZERO], up };
            ground.part(side, spans, [Way::Up, Way::Along], self.key("post", ground.name(side), 0, index), post.stock)
        };
        let posts: Vec<_> = places.map(lay).collect();
        let keys = posts.iter().map(|part| part.key.clone()).collect();
        out.parts.extend(posts);
        keys
    }
}
