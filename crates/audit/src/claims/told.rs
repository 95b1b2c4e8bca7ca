//! What is told: questions and answers, steps, numbers and their rules, notes.

use super::reader::Reader;
use crate::json::Json;

pub(crate) struct Question {
    pub question: String,
    pub about: String,
    pub verdict: String,
    pub value: Option<String>,
    pub limit: Option<String>,
    pub source: String,
    /// What would have to be known.
    pub needs: Option<String>,
    /// The ids of the parts where it bites.
    pub at: Vec<String>,
}

pub(crate) struct Step {
    /// The steps that come before it, by their places.
    pub after: Vec<usize>,
    pub piece: String,
    /// `place` if it puts its parts in place; `treat` and `measure` are about parts that do not stand yet, `wait` about what
    /// hardens or dries.
    pub work: String,
    /// Of a wait the least hours.
    pub hours: Option<i64>,
    pub parts: Vec<String>,
}

impl Step {
    /// Whether it puts its parts in place.
    pub fn places(&self) -> bool {
        self.work == "place"
    }
}

pub(crate) struct Quantity {
    pub name: String,
    pub of: String,
    pub value: i64,
    pub rule: String,
    pub inputs: Vec<Input>,
}

pub(crate) struct Input {
    pub what: String,
    pub of: String,
    pub value: i64,
}

/// Something that a maker should know of a piece.
pub(crate) struct Note {
    pub piece: String,
    pub text: String,
}

impl<'l> Reader<'l> {
    pub(super) fn question(&mut self, json: &Json, path: &str) -> Option<Question> {
        let keys = ["question", "about", "verdict", "value", "limit", "source", "change"];
        let question = self.object_with(json, path, &keys, &["needs", "cautions", "at"])?;
        self.maybe(&question, "change", Self::text)?;
        let needs = if question.has("needs") { self.maybe(&question, "needs", Self::text)? } else { None };
        if question.has("cautions") {
            self.list(&question, "cautions", Self::text)?;
        }
        let at = if question.has("at") { self.list(&question, "at", Self::text)? } else { Vec::new() };
        Some(Question {
            question: self.field(&question, "question", Self::text)?,
            about: self.field(&question, "about", Self::text)?,
            verdict: self.field(&question, "verdict", Self::text)?,
            value: self.maybe(&question, "value", Self::text)?,
            limit: self.maybe(&question, "limit", Self::text)?,
            source: self.field(&question, "source", Self::text)?,
            needs,
            at,
        })
    }

    pub(super) fn step(&mut self, json: &Json, path: &str) -> Option<Step> {
        let step =
            self.object_with(json, path, &["piece", "what", "caution", "parts"], &["work", "hours", "after", "tools"])?;
        self.field(&step, "what", Self::text)?;
        self.maybe(&step, "caution", Self::text)?;
        if step.has("tools") {
            self.list(&step, "tools", Self::text)?;
        }
        let after = if step.has("after") { self.list(&step, "after", Self::index)? } else { Vec::new() };
        let work = if step.has("work") { self.field(&step, "work", Self::text)? } else { "place".to_owned() };
        if !["place", "treat", "measure", "wait"].contains(&work.as_str()) {
            return self.wrong(path, &format!("`{work}` is no work of a step"));
        }
        let hours = if step.has("hours") { Some(self.field(&step, "hours", Self::count)?) } else { None };
        Some(Step {
            after,
            work,
            hours,
            piece: self.field(&step, "piece", Self::text)?,
            parts: self.list(&step, "parts", Self::text)?,
        })
    }

    pub(super) fn quantity(&mut self, json: &Json, path: &str) -> Option<Quantity> {
        let quantity = self.object(json, path, &["name", "what", "of", "value", "rule", "inputs"])?;
        self.field(&quantity, "what", Self::text)?;
        Some(Quantity {
            name: self.field(&quantity, "name", Self::text)?,
            of: self.field(&quantity, "of", Self::text)?,
            value: self.field(&quantity, "value", Self::any)?,
            rule: self.field(&quantity, "rule", Self::text)?,
            inputs: self.list(&quantity, "inputs", Self::input)?,
        })
    }

    pub(super) fn input(&mut self, json: &Json, path: &str) -> Option<Input> {
        let input = self.object(json, path, &["what", "of", "value"])?;
        Some(Input {
            what: self.field(&input, "what", Self::text)?,
            of: self.field(&input, "of", Self::text)?,
            value: self.field(&input, "value", Self::any)?,
        })
    }

    pub(super) fn rule(&mut self, json: &Json, path: &str) -> Option<String> {
        let rule = self.object(json, path, &["id", "words", "formula", "source", "mark"])?;
        for key in ["words", "formula", "source", "mark"] {
            self.field(&rule, key, Self::text)?;
        }
        self.field(&rule, "id", Self::text)
    }

    pub(super) fn note(&mut self, json: &Json, path: &str) -> Option<Note> {
        let note = self.object(json, path, &["piece", "text"])?;
        Some(Note { piece: self.field(&note, "piece", Self::text)?, text: self.field(&note, "text", Self::text)? })
    }
}
