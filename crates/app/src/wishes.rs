//! What is done to wishes on the screen, as edits of the plan's text.

use crate::document::{Node, parse};
use crate::refused;
use crate::request::{Answer, Not, Request, Step};
use crate::written;
use scantling::{Length, Sources, TextPlace, Unit, Widened};
use serde_json::{Value, json};

/// The edits after which a plan wishes other sizes.
pub(crate) fn moved(request: &Request<'_>) -> Answer {
    let (files, sizes) = (request.files()?, request.lengths("sizes")?);
    let (places, sources) = scantling::wish_places(request.text("plan")?, &files)
        .map_err(|refused| Not::Out(refused::refused(&refused)))?;
    let mut edits = Vec::new();
    for (name, length) in &sizes {
        let place = places
            .get(name)
            .ok_or_else(|| Not::Asked(format!("the plan asks no size called `{}`", name.escape_debug())))?;
        let stands = || Not::Asked(format!("`{}` cannot be changed in the text", name.escape_debug()));
        edits.push(moved_one(&sources, name, place, *length).ok_or_else(stands)?);
    }
    Ok(json!({ "edits": edits }))
}

fn moved_one(sources: &Sources, name: &str, place: &TextPlace, to: Length) -> Option<Value> {
    with_wish(sources, name, Some(place), |wish| {
        let to = written::toml(to, wish.unit);
        let key = ["exactly", "want"].into_iter().find(|key| wish.has(key));
        Some(wish.edit(key, &to))
    })
}

/// The edits that widen a range.
pub(crate) fn widened(widened: &Widened, sources: &Sources) -> Option<Vec<Value>> {
    with_wish(sources, &widened.name, widened.place.as_ref(), |wish| {
        let ends = [("from", widened.from), ("to", widened.to)];
        if !wish.is_table() || wish.has("exactly") {
            let want = wish.text_of("exactly").or_else(|| wish.text())?;
            let exactly = wish.has("exactly");
            let end = |(key, end): (&str, Option<Length>)| {
                let end = end.map(|end| written::toml(end, wish.unit));
                // What was exact stays so at the end that does not move.
                let end = end.or_else(|| exactly.then(|| want.to_owned()))?;
                Some(format!(", {key} = {end}"))
            };
            let ends: String = ends.into_iter().filter_map(end).collect();
            return Some(vec![wish.edit(None, &format!("{{ want = {want}{ends} }}"))]);
        }
        let edit = |(key, end): (&str, Option<Length>)| Some(wish.edit(Some(key), &written::toml(end?, wish.unit)));
        Some(ends.into_iter().filter_map(edit).collect())
    })
}

/// A wish as it stands in the plan.
struct Wish<'t> {
    file: &'t str,
    text: &'t str,
    unit: Unit,
    way: Vec<Step>,
    node: Option<Node<'t>>,
}

/// Looks a wish up in the plan's text: where the reader says, or, where it says the table alone because nothing is written, by its
/// name.
fn with_wish<T>(
    sources: &Sources,
    name: &str,
    place: Option<&TextPlace>,
    then: impl FnOnce(&Wish<'_>) -> Option<T>,
) -> Option<T> {
    let plan = sources.plan.as_ref()?;
    let document = parse(&plan.text).ok()?;
    let root = Node::Table(document.as_table());
    let unit = match document.get("units").and_then(toml_edit::Item::as_str) {
        Some("in") => Unit::Inch,
        Some("ft-in") => Unit::FootInch,
        _ => Unit::Millimetre,
    };
    let (piece, key) = name.split_once('.')?;
    let by_name: Vec<Step> = ["piece", piece, key].map(|key| Step::Key(key.to_owned())).to_vec();
    // A place that is a piece's whole table is none of a wish.
    let found = place.and_then(|place| root.way_to(&place.bytes)).filter(|way| way.len() > 2);
    let way = found.unwrap_or(by_name);
    let node = root.at(&way);
    then(&Wish { file: &plan.name, text: &plan.text, unit, way, node })
}

impl Wish<'_> {
    fn is_table(&self) -> bool {
        matches!(self.node, Some(Node::Table(_) | Node::Value(toml_edit::Value::InlineTable(_))))
    }

    fn has(&self, key: &str) -> bool {
        self.text_of(key).is_some()
    }

    /// The value of a key of it, as it is written.
    fn text_of(&self, key: &str) -> Option<&str> {
        self.text.get(self.node?.step(&Step::Key(key.to_owned()))?.span()?)
    }

    /// The whole value, as it is written.
    fn text(&self) -> Option<&str> {
        self.text.get(self.node?.span()?)
    }

    /// The edit of one of its keys, or of all of it.
    fn edit(&self, key: Option<&str>, to: &str) -> Value {
        let step = |step: &Step| match step {
            Step::Key(key) => Value::from(key.as_str()),
            Step::At(at) => Value::from(*at),
        };
        let path: Vec<Value> = self.way.iter().map(step).chain(key.map(Value::from)).collect();
        json!({ "file": self.file, "path": path, "to": to })
    }
}
