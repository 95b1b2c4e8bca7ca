//! The question that was answered, its closings and what they rest on.

use super::reader::{Object, Read, Reader};
use crate::json::Json;

/// A pair of a choice and an option.
pub(crate) type When = Vec<(usize, usize)>;

pub(crate) struct Fit {
    pub choices: Vec<(String, Vec<String>)>,
    pub sizes: Vec<Size>,
    pub gaps: Vec<Wish>,
    pub runs: Vec<Run>,
    pub relations: Vec<Relation>,
    pub status: String,
    pub closings: Vec<Closing>,
    pub found: i64,
    pub found_more: bool,
    pub proof: Option<Proof>,
}

#[derive(Clone)]
pub(crate) struct Size {
    pub origin: i64,
    pub step: i64,
    pub wish: Wish,
}

#[derive(Clone)]
pub(crate) struct Wish {
    pub name: String,
    pub want: i64,
    pub from: i64,
    pub to: i64,
    pub rank: i64,
}

#[derive(Clone)]
pub(crate) struct Run {
    pub name: String,
    pub when: When,
    pub terms: Vec<(usize, i64)>,
    pub constant: i64,
    pub member: i64,
    pub gaps_per_member: i64,
    pub end_gaps: i64,
    pub gap: usize,
    pub count: (i64, i64),
}

#[derive(Clone)]
pub(crate) struct Relation {
    pub name: String,
    pub when: When,
    pub terms: Vec<(usize, i64)>,
    pub constant: i64,
    pub from: i64,
    pub to: i64,
}

#[derive(Clone, PartialEq)]
pub(crate) struct Closing {
    pub choices: Vec<usize>,
    pub counts: Vec<Option<i64>>,
    pub sizes: Vec<i64>,
    pub gaps: Vec<Option<(i64, i64)>>,
    pub vector: Vec<i64>,
}

impl Closing {
    /// Whether it has an option, a size, a count and a gap for each that there is, and each option is one.
    pub(super) fn belongs_to(&self, lists: &Lists, fit: &Fit) -> bool {
        let is_option =
            |(&option, &choice): (&usize, &usize)| fit.choices.get(choice).is_some_and(|of| option < of.1.len());
        self.choices.len() == lists.choices.len()
            && self.choices.iter().zip(&lists.choices).all(is_option)
            && self.sizes.len() == lists.sizes.len()
            && self.counts.len() == lists.runs.len()
            && self.gaps.len() == lists.runs.len()
    }
}

/// What the list of closings rests on.
pub(crate) enum Proof {
    /// One tree that covers everything.
    Whole(Tree),
    /// Parts that nothing joins, each with its own list and tree.
    Apart(Vec<Apart>),
}

/// A part of the question; closings and tree are numbered by the places in its lists.
pub(crate) struct Apart {
    pub lists: Lists,
    pub closings: Vec<Closing>,
    pub tree: Tree,
}

/// What a part of the question consists of, by places in the whole.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Lists {
    pub choices: Vec<usize>,
    pub sizes: Vec<usize>,
    pub gaps: Vec<usize>,
    pub runs: Vec<usize>,
    pub relations: Vec<usize>,
}

impl Lists {
    pub(super) fn lie_in(&self, fit: &Fit) -> bool {
        let within = |list: &[usize], count: usize| list.iter().all(|&at| at < count);
        within(&self.choices, fit.choices.len())
            && within(&self.sizes, fit.sizes.len())
            && within(&self.gaps, fit.gaps.len())
            && within(&self.runs, fit.runs.len())
            && within(&self.relations, fit.relations.len())
    }
}

pub(crate) enum Tree {
    Empty,
    Bound,
    Listed(usize),
    Split { kind: Kind, index: usize, parts: Vec<(i64, i64, Tree)> },
}

#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Kind {
    Choice,
    Count,
    Size,
}

impl<'l> Reader<'l> {
    pub(super) fn fit(&mut self, json: &Json, path: &str) -> Option<Fit> {
        const KEYS: [&str; 10] =
            ["choices", "sizes", "gaps", "runs", "relations", "status", "closings", "found", "found_more", "proof"];
        let fit = self.object(json, path, &KEYS)?;
        Some(Fit {
            choices: self.list(&fit, "choices", Self::choice)?,
            sizes: self.list(&fit, "sizes", Self::size)?,
            gaps: self.list(&fit, "gaps", Self::gap)?,
            runs: self.list(&fit, "runs", Self::run)?,
            relations: self.list(&fit, "relations", Self::relation)?,
            status: self.field(&fit, "status", Self::text)?,
            closings: self.list(&fit, "closings", Self::plain_closing)?,
            found: self.field(&fit, "found", Self::count)?,
            found_more: self.field(&fit, "found_more", Self::truth)?,
            proof: self.maybe(&fit, "proof", Self::proof)?,
        })
    }

    pub(super) fn choice(&mut self, json: &Json, path: &str) -> Option<(String, Vec<String>)> {
        let choice = self.object(json, path, &["name", "options"])?;
        Some((self.field(&choice, "name", Self::text)?, self.list(&choice, "options", Self::text)?))
    }

    pub(super) fn size(&mut self, json: &Json, path: &str) -> Option<Size> {
        let size = self.object(json, path, &["origin", "step", "name", "want", "from", "to", "rank"])?;
        let step = self.field(&size, "step", Self::length)?;
        if step < 1 {
            return self.wrong(path, "a step that is longer than nothing was expected");
        }
        Some(Size { origin: self.field(&size, "origin", Self::length)?, step, wish: self.wish(&size)? })
    }

    pub(super) fn gap(&mut self, json: &Json, path: &str) -> Option<Wish> {
        let gap = self.object(json, path, &["name", "want", "from", "to", "rank"])?;
        self.wish(&gap)
    }

    pub(super) fn wish(&mut self, object: &Object<'_>) -> Option<Wish> {
        Some(Wish {
            name: self.field(object, "name", Self::text)?,
            want: self.field(object, "want", Self::length)?,
            from: self.field(object, "from", Self::length)?,
            to: self.field(object, "to", Self::length)?,
            rank: self.field(object, "rank", Self::count)?,
        })
    }

    pub(super) fn pairs(&mut self, json: &Json, path: &str) -> Option<(usize, usize)> {
        self.pair(json, path, Self::index, Self::index)
    }

    pub(super) fn term(&mut self, json: &Json, path: &str) -> Option<(usize, i64)> {
        self.pair(json, path, Self::index, Self::small)
    }

    pub(super) fn range(&mut self, json: &Json, path: &str) -> Option<(i64, i64)> {
        self.pair(json, path, Self::count, Self::count)
    }

    pub(super) fn run(&mut self, json: &Json, path: &str) -> Option<Run> {
        const KEYS: [&str; 9] =
            ["name", "when", "terms", "constant", "member", "gaps_per_member", "end_gaps", "gap", "count"];
        let run = self.object(json, path, &KEYS)?;
        Some(Run {
            name: self.field(&run, "name", Self::text)?,
            when: self.list(&run, "when", Self::pairs)?,
            terms: self.list(&run, "terms", Self::term)?,
            constant: self.field(&run, "constant", Self::length)?,
            member: self.field(&run, "member", Self::length)?,
            gaps_per_member: self.field(&run, "gaps_per_member", Self::small)?,
            end_gaps: self.field(&run, "end_gaps", Self::small)?,
            gap: self.field(&run, "gap", Self::index)?,
            count: self.field(&run, "count", Self::range)?,
        })
    }

    pub(super) fn relation(&mut self, json: &Json, path: &str) -> Option<Relation> {
        let relation = self.object(json, path, &["name", "when", "terms", "constant", "from", "to"])?;
        Some(Relation {
            name: self.field(&relation, "name", Self::text)?,
            when: self.list(&relation, "when", Self::pairs)?,
            terms: self.list(&relation, "terms", Self::term)?,
            constant: self.field(&relation, "constant", Self::length)?,
            from: self.field(&relation, "from", Self::length)?,
            to: self.field(&relation, "to", Self::length)?,
        })
    }

    pub(super) fn plain_closing(&mut self, json: &Json, path: &str) -> Option<Closing> {
        let closing = self.object(json, path, &["choices", "counts", "sizes", "gaps", "vector"])?;
        self.closing(&closing)
    }

    pub(super) fn closing(&mut self, closing: &Object<'_>) -> Option<Closing> {
        Some(Closing {
            choices: self.list(closing, "choices", Self::index)?,
            counts: self.list(closing, "counts", |reader, json, path| reader.or_null(json, path, Self::count))?,
            sizes: self.list(closing, "sizes", Self::length)?,
            gaps: self.list(closing, "gaps", |reader, json, path| reader.or_null(json, path, Self::share))?,
            vector: self.list(closing, "vector", Self::any)?,
        })
    }

    pub(super) fn or_null<'j, T>(&mut self, json: &'j Json, path: &str, read: Read<'j, 'l, T>) -> Option<Option<T>> {
        if *json == Json::Null { Some(None) } else { read(self, json, path).map(Some) }
    }

    pub(super) fn share(&mut self, json: &Json, path: &str) -> Option<(i64, i64)> {
        self.pair(json, path, Self::length, Self::count)
    }

    /// Only at the top can a proof fall apart.
    pub(super) fn proof(&mut self, json: &Json, path: &str) -> Option<Proof> {
        match json {
            Json::List(items) if matches!(items.as_slice(), [Json::Text(word), _] if word == "apart") => {
                self.items(&items[1], &format!("{path}.1"), Self::apart).map(Proof::Apart)
            }
            _ => self.tree(json, path).map(Proof::Whole),
        }
    }

    pub(super) fn apart(&mut self, json: &Json, path: &str) -> Option<Apart> {
        let keys = ["choices", "sizes", "gaps", "runs", "relations", "closings", "proof"];
        let part = self.object(json, path, &keys)?;
        let lists = Lists {
            choices: self.list(&part, "choices", Self::index)?,
            sizes: self.list(&part, "sizes", Self::index)?,
            gaps: self.list(&part, "gaps", Self::index)?,
            runs: self.list(&part, "runs", Self::index)?,
            relations: self.list(&part, "relations", Self::index)?,
        };
        Some(Apart {
            lists,
            closings: self.list(&part, "closings", Self::plain_closing)?,
            tree: self.field(&part, "proof", Self::tree)?,
        })
    }

    /// The reader of the text has limited how deep a tree can be.
    pub(super) fn tree(&mut self, json: &Json, path: &str) -> Option<Tree> {
        let Json::List(items) = json else { return self.wrong(path, "a tree was expected") };
        let words: Vec<Option<&str>> = items
            .iter()
            .take(2)
            .map(|item| if let Json::Text(text) = item { Some(text.as_str()) } else { None })
            .collect();
        match (words.as_slice(), items.len()) {
            ([Some("empty")], 1) => Some(Tree::Empty),
            ([Some("bound")], 1) => Some(Tree::Bound),
            ([Some("listed"), None], 2) => self.index(&items[1], path).map(Tree::Listed),
            ([Some("split"), Some(kind)], 4) => self.split(kind, items, path),
            _ => self.wrong(path, "a tree was expected"),
        }
    }

    pub(super) fn split(&mut self, kind: &str, items: &[Json], path: &str) -> Option<Tree> {
        let kind = match kind {
            "choice" => Kind::Choice,
            "count" => Kind::Count,
            "size" => Kind::Size,
            _ => return self.wrong(path, "a split of a choice, a count or a size was expected"),
        };
        let index = self.index(&items[2], path)?;
        let Json::List(branches) = &items[3] else { return self.wrong(path, "a list of branches was expected") };
        let mut parts = Vec::with_capacity(branches.len());
        for branch in branches {
            let Json::List(three) = branch else { return self.wrong(path, "a branch was expected") };
            let [from, to, below] = three.as_slice() else { return self.wrong(path, "a branch was expected") };
            parts.push((self.length(from, path)?, self.length(to, path)?, self.tree(below, path)?));
        }
        Some(Tree::Split { kind, index, parts })
    }
}
