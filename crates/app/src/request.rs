//! A request and what stands in it.

use crate::refused;
use scantling::{Done, Effort, Length, Missing, World};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// What is answered, or why nothing is.
pub(crate) type Answer = Result<Value, Not>;

/// Why there is no answer.
#[derive(Debug)]
pub(crate) enum Not {
    /// The plan does not come out: the refusal as JSON.
    Out(Value),
    /// The request is no request: why, in words.
    Asked(String),
}

/// A step on the way to a value of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Step {
    /// The key of a table.
    Key(String),
    /// The place in a list, from 0.
    At(usize),
}

/// A request.
#[derive(Clone, Copy)]
pub(crate) struct Request<'r> {
    /// What is asked.
    pub value: &'r Value,
    /// Whether nobody waits for the answer any more.
    pub stop: &'r dyn Fn() -> bool,
}

impl<'r> Request<'r> {
    /// A text that must be there.
    pub fn text(&self, key: &str) -> Result<&'r str, Not> {
        self.value.get(key).and_then(Value::as_str).ok_or_else(|| lacks(key, "a text"))
    }

    /// A text, or null.
    pub fn text_or_null(&self, key: &str) -> Result<Option<&'r str>, Not> {
        match self.value.get(key) {
            None | Some(Value::Null) => Ok(None),
            Some(_) => self.text(key).map(Some),
        }
    }

    /// An object; none at all if it is left out.
    pub fn object(&self, key: &str) -> Result<Option<&'r Map<String, Value>>, Not> {
        match self.value.get(key) {
            None | Some(Value::Null) => Ok(None),
            Some(Value::Object(object)) => Ok(Some(object)),
            Some(_) => Err(lacks(key, "an object")),
        }
    }

    /// The way to a value of a file.
    pub fn path(&self, key: &str) -> Result<Vec<Step>, Not> {
        let step = |step: &Value| match step {
            Value::String(key) => Some(Step::Key(key.clone())),
            Value::Number(at) => at.as_u64().and_then(|at| usize::try_from(at).ok()).map(Step::At),
            _ => None,
        };
        let steps = self.value.get(key).and_then(Value::as_array);
        let steps = steps.and_then(|steps| steps.iter().map(step).collect::<Option<Vec<Step>>>());
        steps.filter(|steps| !steps.is_empty()).ok_or_else(|| lacks(key, "a list of keys and places"))
    }

    /// Yes or no; no if it is left out.
    pub fn flag(&self, key: &str) -> Result<bool, Not> {
        match self.value.get(key) {
            None | Some(Value::Null) => Ok(false),
            Some(value) => value.as_bool().ok_or_else(|| lacks(key, "`true` or `false`")),
        }
    }

    /// A small whole number, if it is there.
    pub fn small(&self, key: &str) -> Result<Option<i32>, Not> {
        match self.value.get(key) {
            None | Some(Value::Null) => Ok(None),
            Some(value) => {
                let number = value.as_i64().and_then(|number| i32::try_from(number).ok());
                number.map(Some).ok_or_else(|| lacks(key, "a whole number"))
            }
        }
    }

    /// Lengths by names, in whole nanometres.
    pub fn lengths(&self, key: &str) -> Result<BTreeMap<String, Length>, Not> {
        let object = self.object(key)?;
        let all = object.into_iter().flatten();
        let length = |(name, value): (&String, &Value)| {
            let limit = Length::READ_LIMIT.nanometres();
            let whole = value.as_i64().filter(|nanometres| (-limit..=limit).contains(nanometres));
            Some((name.clone(), Length::nm(whole?)))
        };
        all.map(length).collect::<Option<_>>().ok_or_else(|| lacks(key, "an object of whole nanometres"))
    }

    /// The texts.
    pub fn files(&self) -> Result<Files<'r>, Not> {
        let files = self.object("files")?.ok_or_else(|| lacks("files", "an object of texts"))?;
        Ok(Files(files))
    }

    /// The plan of the request, settled.
    pub fn settle(&self) -> Result<Done, Not> {
        let done = scantling::run(self.text("plan")?, &self.files()?, &Effort::default(), self.stop);
        done.map_err(|refused| Not::Out(refused::refused(&refused)))
    }
}

fn lacks(key: &str, what: &str) -> Not {
    Not::Asked(format!("the request lacks `{key}`, {what}"))
}

/// The texts of a request, by their names.
pub(crate) struct Files<'r>(pub &'r Map<String, Value>);

impl<'r> Files<'r> {
    /// One of the texts.
    pub fn text(&self, name: &str) -> Option<&'r str> {
        self.0.get(name).and_then(Value::as_str)
    }
}

impl World for Files<'_> {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let missing = || Missing { reason: "there is no such file".into() };
        self.text(name).map(|text| text.as_bytes().to_vec()).ok_or_else(missing)
    }

    fn file_if_there(&self, name: &str) -> Result<Option<Vec<u8>>, Missing> {
        Ok(self.text(name).map(|text| text.as_bytes().to_vec()))
    }
}
