//! How values are read out of a record: each into a range, and every key known.

use crate::json::Json;
use crate::ledger::Ledger;
use std::ops::RangeInclusive;

/// Lengths in nanometres: 17 km either way.
const LENGTH: RangeInclusive<i64> = -(1 << 44)..=1 << 44;
const COUNT: RangeInclusive<i64> = 0..=1 << 30;
/// How often a size or a gap counts: a row may be asked ten thousand times over.
const SMALL: RangeInclusive<i64> = -100_000..=100_000;
const INDEX: RangeInclusive<i64> = 0..=1 << 20;
const MONEY: RangeInclusive<i64> = -(1 << 53)..=1 << 53;
const ANY: RangeInclusive<i64> = i64::MIN..=i64::MAX;

pub(super) struct Reader<'l> {
    pub ledger: &'l mut Ledger,
}

/// An object whose keys are those that were expected, and where it stands.
pub(super) struct Object<'j> {
    json: &'j Json,
    path: String,
}

impl Object<'_> {
    /// Whether a key that may be left out is written.
    pub fn has(&self, key: &str) -> bool {
        self.json.get(key).is_some()
    }
}

pub(super) type Read<'j, 'l, T> = fn(&mut Reader<'l>, &'j Json, &str) -> Option<T>;

impl<'l> Reader<'l> {
    pub(super) fn wrong<T>(&mut self, path: &str, what: &str) -> Option<T> {
        self.ledger.find(format!("{path}: {what}"));
        None
    }

    pub(super) fn object<'j>(&mut self, json: &'j Json, path: &str, keys: &[&str]) -> Option<Object<'j>> {
        self.object_with(json, path, keys, &[])
    }

    /// An object with these keys, and some that may be left out.
    pub(super) fn object_with<'j>(
        &mut self,
        json: &'j Json,
        path: &str,
        keys: &[&str],
        more: &[&str],
    ) -> Option<Object<'j>> {
        let Json::Object(entries) = json else { return self.wrong(path, "an object was expected") };
        for (key, _) in entries {
            let known = keys.contains(&key.as_str()) || more.contains(&key.as_str());
            self.ledger.hold(known, || format!("{path}: unknown field `{key}`"));
        }
        for key in keys {
            self.ledger.hold(json.get(key).is_some(), || format!("{path}: the field `{key}` is missing"));
        }
        Some(Object { json, path: path.into() })
    }

    pub(super) fn field<'j, T>(&mut self, object: &Object<'j>, key: &str, read: Read<'j, 'l, T>) -> Option<T> {
        read(self, object.json.get(key)?, &format!("{}.{key}", object.path))
    }

    pub(super) fn maybe<'j, T>(&mut self, object: &Object<'j>, key: &str, read: Read<'j, 'l, T>) -> Option<Option<T>> {
        match object.json.get(key)? {
            Json::Null => Some(None),
            json => read(self, json, &format!("{}.{key}", object.path)).map(Some),
        }
    }

    pub(super) fn list<'j, T>(&mut self, object: &Object<'j>, key: &str, read: Read<'j, 'l, T>) -> Option<Vec<T>> {
        let path = format!("{}.{key}", object.path);
        let json = object.json.get(key)?;
        self.items(json, &path, read)
    }

    pub(super) fn items<'j, T>(&mut self, json: &'j Json, path: &str, read: Read<'j, 'l, T>) -> Option<Vec<T>> {
        let Json::List(items) = json else { return self.wrong(path, "a list was expected") };
        let mut read_items = Vec::with_capacity(items.len());
        for (at, item) in items.iter().enumerate() {
            read_items.push(read(self, item, &format!("{path}.{at}"))?);
        }
        Some(read_items)
    }

    pub(super) fn whole(&mut self, json: &Json, path: &str, range: RangeInclusive<i64>) -> Option<i64> {
        match json {
            Json::Whole(whole) if range.contains(whole) => Some(*whole),
            Json::Whole(whole) => self.wrong(path, &format!("{whole} is out of all measure")),
            _ => self.wrong(path, "a whole number was expected"),
        }
    }

    pub(super) fn length(&mut self, json: &Json, path: &str) -> Option<i64> {
        self.whole(json, path, LENGTH)
    }

    pub(super) fn count(&mut self, json: &Json, path: &str) -> Option<i64> {
        self.whole(json, path, COUNT)
    }

    pub(super) fn small(&mut self, json: &Json, path: &str) -> Option<i64> {
        self.whole(json, path, SMALL)
    }

    pub(super) fn index(&mut self, json: &Json, path: &str) -> Option<usize> {
        // An index of the range is not negative and below 2^20.
        self.whole(json, path, INDEX).map(|index| index as usize)
    }

    pub(super) fn money(&mut self, json: &Json, path: &str) -> Option<i64> {
        self.whole(json, path, MONEY)
    }

    pub(super) fn any(&mut self, json: &Json, path: &str) -> Option<i64> {
        self.whole(json, path, ANY)
    }

    pub(super) fn truth(&mut self, json: &Json, path: &str) -> Option<bool> {
        match json {
            Json::Truth(truth) => Some(*truth),
            _ => self.wrong(path, "true or false was expected"),
        }
    }

    pub(super) fn text(&mut self, json: &Json, path: &str) -> Option<String> {
        match json {
            Json::Text(text) => Some(text.clone()),
            _ => self.wrong(path, "a text was expected"),
        }
    }

    pub(super) fn axis(&mut self, json: &Json, path: &str) -> Option<usize> {
        let Json::Text(text) = json else { return self.wrong(path, "`x`, `y` or `z` was expected") };
        let axis = ["x", "y", "z"].iter().position(|axis| axis == text);
        if axis.is_none() { self.wrong(path, "`x`, `y` or `z` was expected") } else { axis }
    }

    pub(super) fn pair<'j, A, B>(
        &mut self,
        json: &'j Json,
        path: &str,
        first: Read<'j, 'l, A>,
        second: Read<'j, 'l, B>,
    ) -> Option<(A, B)> {
        match json {
            Json::List(two) if two.len() == 2 => {
                Some((first(self, &two[0], &format!("{path}.0"))?, second(self, &two[1], &format!("{path}.1"))?))
            }
            _ => self.wrong(path, "a pair was expected"),
        }
    }

    /// Three lengths along three axes.
    pub(super) fn point(&mut self, json: &Json, path: &str) -> Option<[i64; 3]> {
        match self.items(json, path, Self::length)?.try_into() {
            Ok(point) => Some(point),
            Err(_) => self.wrong(path, "a point has three lengths"),
        }
    }
}
