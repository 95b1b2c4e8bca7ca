//! The ways to build a plan, side by side.

use super::reader::Reader;
use crate::json::Json;

/// A way to build the plan.
pub(crate) struct Side {
    pub name: String,
    pub label: String,
    pub column: Option<Column>,
}

/// What a way takes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Column {
    pub sizes: Vec<(String, i64)>,
    pub pay: i64,
    pub unpriced: i64,
    pub tight: i64,
    pub cuts: i64,
    pub set_ups: i64,
    pub boards: i64,
    pub sheets: i64,
    pub screws: i64,
    pub units: i64,
    pub minutes: i64,
    pub heaviest: Option<i64>,
    pub heaviest_is: Option<String>,
    pub unweighed: i64,
}

impl<'l> Reader<'l> {
    pub(super) fn side(&mut self, json: &Json, path: &str) -> Option<Side> {
        let side = self.object(json, path, &["name", "label", "column", "none"])?;
        let column = self.maybe(&side, "column", Self::column)?;
        let none = self.maybe(&side, "none", Self::text)?;
        self.ledger.hold(column.is_some() != none.is_some(), || format!("{path}: it comes out, or there is a reason"));
        Some(Side {
            name: self.field(&side, "name", Self::text)?,
            label: self.field(&side, "label", Self::text)?,
            column,
        })
    }

    fn column(&mut self, json: &Json, path: &str) -> Option<Column> {
        const KEYS: [&str; 14] = [
            "sizes",
            "pay",
            "unpriced",
            "tight",
            "cuts",
            "set_ups",
            "boards",
            "sheets",
            "screws",
            "units",
            "minutes",
            "heaviest",
            "heaviest_is",
            "unweighed",
        ];
        let column = self.object(json, path, &KEYS)?;
        Some(Column {
            sizes: self.list(&column, "sizes", Self::named_length)?,
            pay: self.field(&column, "pay", Self::money)?,
            unpriced: self.field(&column, "unpriced", Self::count)?,
            tight: self.field(&column, "tight", Self::count)?,
            cuts: self.field(&column, "cuts", Self::count)?,
            set_ups: self.field(&column, "set_ups", Self::count)?,
            boards: self.field(&column, "boards", Self::count)?,
            sheets: self.field(&column, "sheets", Self::count)?,
            screws: self.field(&column, "screws", Self::count)?,
            units: self.field(&column, "units", Self::count)?,
            minutes: self.field(&column, "minutes", Self::money)?,
            heaviest: self.maybe(&column, "heaviest", Self::money)?,
            heaviest_is: self.maybe(&column, "heaviest_is", Self::text)?,
            unweighed: self.field(&column, "unweighed", Self::count)?,
        })
    }

    fn named_length(&mut self, json: &Json, path: &str) -> Option<(String, i64)> {
        self.pair(json, path, Self::text, Self::length)
    }
}
