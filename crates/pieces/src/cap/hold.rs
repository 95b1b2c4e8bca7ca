//! What holds a cap: screws up through rails, or down into the ends of posts.

use crate::named::stock_behind;
use model::build::{Build, Fixing, Load, Note, Roles};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::StockKind;
use model::stock::StockRef;

/// Which screws, and where.
pub(super) struct Hold {
    screw: StockRef,
    posts: String,
    from_below: bool,
}

impl Hold {
    /// What the plan asks; `None` if it says nothing of screws.
    pub(super) fn of(text: &PieceText, plan: &Plan) -> Result<Option<Hold>, Problem> {
        let from_below = text.values.text("from-below");
        let into_end_grain = text.values.text("into-end-grain");
        let Some(screw) = stock_behind(text, plan, StockKind::Screw, "screw")? else {
            return match ["from-below", "into-end-grain"].into_iter().find(|key| text.values.has(key)) {
                Some(key) => {
                    let idle = Problem::new(format!("`{key}` says where screws go, and there is no `screw`"));
                    Err(idle.at(&text.values.place_of(key)).hint("add `screw = …` with one of the yard"))
                }
                None => Ok(None),
            };
        };
        let place = text.values.place_of("screw");
        let (posts, from_below) = match (from_below, into_end_grain) {
            (Some(posts), None) => (posts, true),
            (None, Some(posts)) => (posts, false),
            _ => {
                let where_to = Problem::new(format!("one of two must say where the screws of `{}` go", text.name));
                return Err(where_to.at(&place).hint(
                    "add `from-below = …` with posts that have rails; `into-end-grain = …` is possible, but end grain holds badly",
                ));
            }
        };
        check(text, plan, &posts, from_below)?;
        Ok(Some(Hold { screw, posts, from_below }))
    }

    /// What to do, in words.
    pub(super) fn words(&self) -> String {
        match self.from_below {
            true => format!("screw it from below through the rails of {}", self.posts),
            false => format!("screw it down into the ends of the posts of {}", self.posts),
        }
    }

    /// Says what is screwed to what.
    pub(super) fn fix(&self, cap: &str, out: &mut Build) {
        let own = Roles { piece: cap.to_owned(), role: "board".into() };
        let of_posts = |role: &str| Roles { piece: self.posts.clone(), role: role.into() };
        let (held, base) = match self.from_below {
            true => (of_posts("rail"), own),
            false => (own, of_posts("post")),
        };
        let load = if self.from_below { Load::DownOnBase } else { Load::Down };
        out.fixings.push(Fixing { held, base, screw: self.screw, each: None, load, air: None });
        if !self.from_below {
            let text = format!(
                "Screws in the ends of the posts of {} do not count where they are pulled out (NDS 12.5.2, from memory): fix {cap} from below to rails if anybody leans on it.",
                self.posts
            );
            out.notes.push(Note { piece: cap.to_owned(), text });
        }
    }
}

/// Rails are those of posts; ends of posts are those of posts or of walls that stand on posts.
fn check(text: &PieceText, plan: &Plan, name: &str, from_below: bool) -> Result<(), Problem> {
    let named = plan.pieces.iter().find(|piece| piece.name == name);
    let has = |kind: &str, key: &str| named.is_some_and(|piece| piece.schema.name == kind && piece.values.has(key));
    let (key, sound, what) = match from_below {
        true => ("from-below", has("posts", "rail"), "rails"),
        false => ("into-end-grain", has("posts", "board") || has("walls", "post"), "posts"),
    };
    if sound {
        return holds_what_is_capped(text, plan, name, key);
    }
    let none = Problem::new(format!("`{name}` has no {what} that `{}` could be screwed to", text.name));
    Err(none
        .at(&text.values.place_of(key))
        .hint("name a piece that `is = \"posts\"`, with a `rail` if it is from below"))
}

/// The posts hold the walls that the cap lies on, or that what it lies on is fixed to: others do not touch it.
fn holds_what_is_capped(text: &PieceText, plan: &Plan, posts: &str, key: &str) -> Result<(), Problem> {
    let find = |name: &str| plan.pieces.iter().find(|piece| piece.name == name);
    let host = find(posts).and_then(|posts| posts.values.text("in").filter(|_| posts.schema.name == "posts"));
    let host = host.unwrap_or_else(|| posts.to_owned());
    let below = |piece: &&PieceText| piece.values.text("on").and_then(|on| find(&on));
    // No piece lies on itself: the reader has refused circles.
    let capped = std::iter::successors(Some(text), below).skip(1);
    if capped.take(plan.pieces.len()).any(|piece| piece.name == host) {
        return Ok(());
    }
    let on = text.need_text("on")?;
    let apart = Problem::new(format!("`{posts}` holds `{host}`, and `{}` lies on `{on}`", text.name));
    Err(apart.at(&text.values.place_of(key)).hint(format!("name the posts of what is capped as `{key}`")))
}
