//! Lists of a table: numbers, points, paths, and free names with numbers. Each is held against the declaration of its key.
//!
//! Every function panics if the key is declared as something else, so that a file and its documentation cannot differ.

#![allow(clippy::missing_panics_doc, reason = "the head of this file says when")]

use toml::Spanned;
use toml::de::DeValue;

use crate::field::Kind;
use crate::field_value::{number, shown};
use crate::fields::Fields;
use crate::problems::{At, NamedNumbers};

impl<'a> Fields<'a> {
    /// A list of exactly `N` numbers in their declared ranges, with the place of the whole list.
    #[must_use]
    pub fn numbers<const N: usize>(&self, key: &str) -> Option<At<[f64; N]>> {
        let Kind::Numbers(ranges) = self.field(key).kind else {
            panic!("`{key}` is declared as {:?}", self.field(key).kind)
        };
        assert_eq!(ranges.len(), N, "`{key}` is declared with another length");
        let list = self.all_numbers(key)?;
        let Ok(numbers) = <[f64; N]>::try_from(list.value.as_slice()) else {
            self.unfit(
                key,
                &list.at,
                format!("a list of {} numbers", list.value.len()),
            );
            return None;
        };
        let wrong = (0..N).find(|index| !ranges[*index].contains(numbers[*index]));
        if let Some(index) = wrong {
            self.problem(
                &list.at,
                format!("number {} of `{key}` is {}", index + 1, numbers[index]),
                &self.field(key).expected(),
                "",
            );
            return None;
        }
        Some(At {
            value: numbers,
            at: list.at,
        })
    }

    /// A list of any number of numbers, with the place of the whole list. Their range is the caller's to check.
    #[must_use]
    pub fn series(&self, key: &str) -> Option<At<Vec<f64>>> {
        let kind = self.field(key).kind;
        assert!(
            matches!(kind, Kind::Series(_)),
            "`{key}` is declared as {kind:?}"
        );
        self.all_numbers(key)
    }

    /// A value that is no number is an error at its own place.
    fn all_numbers(&self, key: &str) -> Option<At<Vec<f64>>> {
        let list = self.typed(key, |value| value.as_array())?;
        let expected = self.field(key).expected();
        let mut values = Vec::new();
        for (index, one) in list.value.iter().enumerate() {
            match number(one.get_ref()) {
                Some(value) => values.push(value),
                None => self.problem(
                    &one.span(),
                    format!("value {} of `{key}` is {}", index + 1, shown(one.get_ref())),
                    &expected,
                    "write a number there, or remove this value from every list",
                ),
            }
        }
        (values.len() == list.value.len()).then_some(At {
            value: values,
            at: list.at,
        })
    }

    /// Exactly `N` points in their declared range, with the place of the whole list.
    #[must_use]
    pub fn points<const N: usize>(&self, key: &str) -> Option<At<[[f64; 2]; N]>> {
        let Kind::Points(count, range) = self.field(key).kind else {
            panic!("`{key}` is declared as {:?}", self.field(key).kind)
        };
        assert_eq!(count, N, "`{key}` is declared with another length");
        let point = |one: &Spanned<DeValue<'a>>| match one.get_ref().as_array()?.iter().as_slice() {
            [x, y] => Some([number(x.get_ref())?, number(y.get_ref())?]),
            _ => None,
        };
        let points: At<Vec<[f64; 2]>> =
            self.typed(key, |value| value.as_array()?.iter().map(point).collect())?;
        let Ok(all) = <[[f64; 2]; N]>::try_from(points.value.as_slice()) else {
            self.unfit(
                key,
                &points.at,
                format!("a list of {} points", points.value.len()),
            );
            return None;
        };
        let wrong = all.as_flattened().iter().find(|one| !range.contains(**one));
        if let Some(wrong) = wrong {
            let found = format!("a coordinate in `{key}` is {wrong}");
            self.problem(&points.at, found, &self.field(key).expected(), "");
            return None;
        }
        Some(At {
            value: all,
            at: points.at,
        })
    }

    /// A table that maps free names to numbers, with the place of every name and number. It is not empty, and every number
    /// is in the declared range.
    #[must_use]
    pub fn named_numbers(&self, key: &str) -> Option<NamedNumbers> {
        let Kind::NamedNumbers(range) = self.field(key).kind else {
            panic!("`{key}` is declared as {:?}", self.field(key).kind)
        };
        let table = self.typed(key, |value| value.as_table())?;
        let expected = self.field(key).expected();
        if table.value.is_empty() {
            self.problem(&table.at, format!("`{key}` is empty"), &expected, "");
            return None;
        }
        let mut list = Vec::new();
        for (name, value) in table.value {
            let name = At {
                value: name.get_ref().to_string(),
                at: name.span(),
            };
            let at = value.span();
            let printable = self.is_printable(&format!("a name in `{key}`"), &name);
            match number(value.get_ref()) {
                Some(value) if range.contains(value) && printable => {
                    list.push((name, At { value, at }));
                }
                Some(value) if range.contains(value) => {}
                held => {
                    let held = held.map_or_else(|| shown(value.get_ref()), |held| held.to_string());
                    let found = format!("\"{}\" in `{key}` is {held}", name.value);
                    self.problem(&at, found, &expected, "");
                }
            }
        }
        list.sort_by_key(|(name, _)| name.at.start);
        (list.len() == table.value.len()).then_some(list)
    }

    /// A list of paths with the place of each, empty if the key is missing.
    #[must_use]
    pub fn paths(&self, key: &str) -> Vec<At<String>> {
        let kind = self.field(key).kind;
        assert!(
            matches!(kind, Kind::Paths),
            "`{key}` is declared as {kind:?}"
        );
        let list = self.typed(key, |value| value.as_array());
        let mut paths = Vec::new();
        for one in list.iter().flat_map(|list| list.value.iter()) {
            let at = one.span();
            match one.get_ref().as_str() {
                Some(text) if !text.trim().is_empty() => {
                    let path = At {
                        value: text.to_owned(),
                        at,
                    };
                    if self.is_printable(&format!("one of `{key}`"), &path) {
                        paths.push(path);
                    }
                }
                _ => {
                    let found = format!("one of `{key}` is {}", shown(one.get_ref()));
                    self.problem(&at, found, &self.field(key).expected(), "");
                }
            }
        }
        paths
    }
}
