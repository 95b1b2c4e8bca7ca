//! What walls cannot be, seen from the plan alone.

use super::Walls;
use measure::Length;
use model::plan::Plan;
use model::problem::Problem;

impl Walls {
    pub(super) fn refused(&self, key: &str, why: impl Into<String>, hint: &str) -> Problem {
        Problem::new(why).at(&self.text.values.place_of(key)).hint(hint)
    }

    pub(super) fn check_corners(&self, plan: &Plan) -> Result<(), Problem> {
        let corners = self.text.values.word("corners");
        match (corners, self.post) {
            (Some("on posts"), None) => {
                Err(self.refused("corners", "walls on posts need posts", "add `post = …` with a board of the yard"))
            }
            (Some("on posts"), Some(post)) if post.width.min(post.thickness) < self.made.thickness => {
                let [post, wall] = [post.width.min(post.thickness), self.made.thickness]
                    .map(|length| plan.tape.show_with_unit(length));
                let thin = format!("a post of {post} does not cover the ends of walls {wall} thick");
                Err(self.refused("post", thin, "take a post that is at least as thick as the walls"))
            }
            (Some("pinwheel, turned"), _) if self.made.board.is_none() => {
                let idle = "panels of sheet have no second course that could turn the other way";
                Err(self.refused("corners", idle, "take `corners = \"pinwheel\"`"))
            }
            (Some("on posts"), Some(_)) | (_, None) => Ok(()),
            (_, Some(_)) => {
                let idle = "only walls with `corners = \"on posts\"` have posts of their own";
                Err(self.refused("post", idle, "leave `post` out, or add a piece that `is = \"posts\"`"))
            }
        }
    }

    pub(super) fn check_batter(&self) -> Result<(), Problem> {
        if self.batter == Length::ZERO {
            return Ok(());
        }
        if self.text.values.word("corners").is_some_and(|corners| corners != "mitred") {
            return Err(self.refused("corners", "walls that lean can only be mitred", "add `corners = \"mitred\"`"));
        }
        if self.stance.is_tier() {
            return Err(self.refused("batter", "a tier does not lean", "leave `batter` out"));
        }
        if self.batter < Length::ZERO && self.text.values.has("beside") {
            let wide = "walls that are wider at their foot than at their top stand beside nothing";
            return Err(self.refused("batter", wide, "leave `beside` out, or let them be wider at the top"));
        }
        Ok(())
    }

    pub(super) fn check_ribs(&self, plan: &Plan) -> Result<(), Problem> {
        let Some(rib) = self.rib else {
            return match self.text.values.has("join") {
                true => {
                    Err(self.refused("join", "joints need ribs behind them", "add `rib = …` with a board of the yard"))
                }
                false => Ok(()),
            };
        };
        if !self.text.values.has("join") {
            return Err(self.refused("rib", "without joints there are no ribs", "add `join = \"over ribs\"`"));
        }
        if self.made.board.is_none() || self.batter != Length::ZERO {
            let odd = "only plumb courses of boards are joined over ribs";
            return Err(self.refused("join", odd, "leave `join` and `rib` out"));
        }
        // Where a course is just too long, its boards are half as long as the stock gives, and joints a quarter of that apart.
        if rib.width + self.made.thickness * 2 > Length::nm(self.made.longest().nanometres() / 4) {
            let [rib, long] = [rib.width, self.made.longest()].map(|length| plan.tape.show_with_unit(length));
            let close = format!("ribs {rib} wide could meet behind joints of boards that are {long} long at most");
            return Err(self.refused("rib", close, "take narrower ribs or longer boards"));
        }
        Ok(())
    }
}
