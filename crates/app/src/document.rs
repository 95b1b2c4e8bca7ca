//! Where the values of a text stand.

use crate::request::Step;
use std::ops::Range;
use toml_edit::{Document, Item, Table, Value};

/// Something on the way through a text: a table with its keys, or a value.
#[derive(Clone, Copy)]
pub(crate) enum Node<'d> {
    /// A table under a header, or one that dotted keys make.
    Table(&'d Table),
    /// Any other value, also an inline table.
    Value(&'d Value),
}

/// Parses a text.
pub(crate) fn parse(text: &str) -> Result<Document<&str>, String> {
    Document::parse(text).map_err(|error| format!("the text is no TOML: {}", error.message()))
}

impl<'d> Node<'d> {
    /// What stands behind a step.
    pub fn step(self, step: &Step) -> Option<Node<'d>> {
        let of = |item: &'d Item| match item {
            Item::Table(table) => Some(Node::Table(table)),
            Item::Value(value) => Some(Node::Value(value)),
            Item::None | Item::ArrayOfTables(_) => None,
        };
        match (self, step) {
            (Node::Table(table), Step::Key(key)) => of(table.get(key)?),
            (Node::Value(Value::InlineTable(table)), Step::Key(key)) => table.get(key).map(Node::Value),
            (Node::Value(Value::Array(array)), Step::At(at)) => array.get(*at).map(Node::Value),
            _ => None,
        }
    }

    /// What stands at the end of a way.
    pub fn at(self, path: &[Step]) -> Option<Node<'d>> {
        path.iter().try_fold(self, |node, step| node.step(step))
    }

    /// The bytes of a value.
    pub fn span(self) -> Option<Range<usize>> {
        match self {
            Node::Table(table) => table.span(),
            Node::Value(value) => value.span(),
        }
    }

    /// What stands right below, with the step to it.
    pub fn below(self) -> Vec<(Step, Node<'d>)> {
        let key = |key: &str| Step::Key(key.to_owned());
        match self {
            Node::Table(table) => {
                let below = table.iter().map(|(name, _)| key(name));
                below.filter_map(|step| Some((step.clone(), self.step(&step)?))).collect()
            }
            Node::Value(Value::InlineTable(table)) => {
                table.iter().map(|(name, value)| (key(name), Node::Value(value))).collect()
            }
            Node::Value(Value::Array(array)) => {
                array.iter().enumerate().map(|(at, value)| (Step::At(at), Node::Value(value))).collect()
            }
            Node::Value(_) => Vec::new(),
        }
    }

    /// The way to the value that these bytes are.
    pub fn way_to(self, bytes: &Range<usize>) -> Option<Vec<Step>> {
        if self.span().as_ref() == Some(bytes) {
            return Some(Vec::new());
        }
        self.below().into_iter().find_map(|(step, node)| {
            let rest = node.way_to(bytes)?;
            Some(std::iter::once(step).chain(rest).collect())
        })
    }
}
