//! Brackets, hangers, bolts: fittings of the yard that a piece names, so many to each of its parts.

use crate::named::stock_behind;
use model::build::{Build, Need, Needed};
use model::plan::{PieceText, Plan};
use model::problem::Problem;
use model::schema::{Default, Field, Kind, StockKind};
use model::stock::StockRef;
use model::why::{Case, Input, Mark, Of, Quantity, Rule, Value};

/// How many fittings hold parts.
pub static FITTINGS: Rule = Rule {
    id: "fittings",
    words: "Each part takes as many fittings as it has places that are held by one: two ends, or one foot",
    formula: "fittings = parts × each",
    inputs: &["parts", "each"],
    source: "one hanger or bracket to each end that a screw into end grain would hold badly",
    mark: Mark::CommonPractice,
    compute: |x| match x {
        [parts, each] => parts.checked_mul(*each),
        _ => None,
    },
    case: Case { given: &[5, 2], gives: 10, source: "five joists hung at both ends: ten hangers, counted by hand" },
};

/// A fitting that a piece names, by the key that names it.
#[derive(Clone, Debug)]
pub(crate) struct Fitting {
    stock: StockRef,
    label: String,
}

impl Fitting {
    /// The fitting behind a key, if it is there.
    ///
    /// # Errors
    /// If the yard has none of it.
    pub(crate) fn behind(text: &PieceText, plan: &Plan, key: &str) -> Result<Option<Fitting>, Problem> {
        let stock = stock_behind(text, plan, StockKind::Fitting, key)?;
        Ok(stock.map(|stock| Fitting { stock, label: plan.yard.label(stock).1.to_owned() }))
    }

    /// One of them in words: what the shop calls it, or `a bracket` where the plan names none.
    pub(crate) fn said(named: Option<&Fitting>, otherwise: &str) -> String {
        named.map_or_else(|| otherwise.to_owned(), |fitting| format!("one {}", fitting.label))
    }

    /// So many of them in words.
    pub(crate) fn so_many(named: Option<&Fitting>, count: u32, otherwise: &str) -> String {
        named.map_or_else(|| otherwise.to_owned(), |fitting| format!("{count} × {}", fitting.label))
    }

    /// Needs so many for each of the parts of a role, and says why: `PIECE.ROLE.fittings`.
    pub(crate) fn for_each(&self, text: &PieceText, role: &str, parts: usize, each: u32, out: &mut Build) {
        // A build has at most some ten thousand parts.
        let parts = parts as u32;
        let inputs = vec![Input::new("parts", Value::count(parts)), Input::new("for each of them", Value::count(each))];
        let name = text.called(&format!("{role}.fittings"));
        let what = format!("{} for each {role}, all together", self.label);
        out.quantities.extend(Quantity::by(name, what, Of::Count, &FITTINGS, inputs));
        self.need(text, role, parts * each, out);
    }

    /// Needs so many for the parts of a role.
    pub(crate) fn need(&self, text: &PieceText, role: &str, count: u32, out: &mut Build) {
        if count > 0 {
            let of = Needed::Fitted { fitting: self.stock, count };
            out.needs.push(Need { piece: text.name.clone(), what: role.to_owned(), of });
        }
    }
}

/// Refuses a fitting that holds nothing here.
///
/// # Errors
/// If the key is there and nothing for it to hold.
pub(crate) fn holds(text: &PieceText, key: &str, there: bool, hint: &str) -> Result<(), Problem> {
    if there || !text.values.has(key) {
        return Ok(());
    }
    let idle = Problem::new(format!("`{}` has nothing that `{key}` would hold", text.name));
    Err(idle.at(&text.values.place_of(key)).hint(hint))
}

/// The key of a fitting.
pub(crate) const fn field(key: &'static str, doc: &'static str) -> Field {
    Field { key, doc, kind: Kind::Stock(StockKind::Fitting), default: Default::Absent }
}
