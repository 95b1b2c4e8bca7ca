//! The texts that were read, kept so that a later problem can be shown in them.

use model::problem::{File, Place};

/// One text and its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The name as it was asked for.
    pub name: String,
    /// The whole text. Bytes that are not UTF-8 are shown as `�`; a file that is too long has no text.
    pub text: String,
}

/// The texts of a plan, as far as they could be read.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Sources {
    /// The plan.
    pub plan: Option<Source>,
    /// The yard.
    pub yard: Option<Source>,
    /// The shed.
    pub shed: Option<Source>,
    /// The day book, if there is one. No place lies in it.
    pub daybook: Option<Source>,
}

impl Sources {
    /// The text that places of this file lie in.
    pub fn get(&self, file: File) -> Option<&Source> {
        match file {
            File::Plan => self.plan.as_ref(),
            File::Yard => self.yard.as_ref(),
            File::Shed => self.shed.as_ref(),
        }
    }

    /// The name of the file, line and column where a place begins, both counted from 1, the column in characters.
    /// This looks through the text from its beginning.
    pub fn line_and_column(&self, place: &Place) -> Option<(&str, usize, usize)> {
        let source = self.get(place.file)?;
        let before = source.text.get(..place.bytes.start)?;
        let line = before.matches('\n').count() + 1;
        let start = before.rfind('\n').map_or(0, |at| at + 1);
        Some((&source.name, line, before[start..].chars().count() + 1))
    }

    pub(crate) fn put(&mut self, file: File, source: Source) {
        let slot = match file {
            File::Plan => &mut self.plan,
            File::Yard => &mut self.yard,
            File::Shed => &mut self.shed,
        };
        *slot = Some(source);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_from_one() {
        let mut sources = Sources::default();
        sources.put(File::Yard, Source { name: "y".into(), text: "ä\n bc".into() });
        let place = |start| Place { file: File::Yard, bytes: start..start };
        assert_eq!(sources.line_and_column(&place(0)), Some(("y", 1, 1)));
        assert_eq!(sources.line_and_column(&place(2)), Some(("y", 1, 2)));
        assert_eq!(sources.line_and_column(&place(4)), Some(("y", 2, 2)));
        assert_eq!(sources.line_and_column(&Place { file: File::Plan, bytes: 0..0 }), None);
    }
}
