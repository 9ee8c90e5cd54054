//! The range of a number in a file, with its unit: checked by readers, printed in messages, schemas and the reference page.

use serde_json::{Map, Value, json};

use crate::words::with_commas;

/// The range of a number. Both ends are in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    least: f64,
    most: f64,
    unit: &'static str,
}

impl Range {
    /// From `least` to `most`, both included.
    #[must_use]
    pub const fn new(least: f64, most: f64) -> Self {
        Self {
            least,
            most,
            unit: "",
        }
    }

    /// The same range with a unit, such as "mm".
    #[must_use]
    pub const fn unit(self, unit: &'static str) -> Self {
        Self { unit, ..self }
    }

    /// The lower end.
    #[must_use]
    pub const fn least(&self) -> f64 {
        self.least
    }

    /// The upper end.
    #[must_use]
    pub const fn most(&self) -> f64 {
        self.most
    }

    /// Whether a number is in the range. Neither infinity nor "not a number" ever is.
    #[must_use]
    pub fn contains(&self, number: f64) -> bool {
        (self.least..=self.most).contains(&number)
    }

    /// `from 0 to 20 mm`.
    #[must_use]
    pub fn words(&self) -> String {
        let (least, most) = (in_words(self.least), in_words(self.most));
        let gap = if self.unit.is_empty() { "" } else { " " };
        format!("from {least} to {most}{gap}{}", self.unit)
    }

    /// The keywords of JSON Schema for it.
    pub(crate) fn schema(&self) -> Map<String, Value> {
        let ends = [("minimum", self.least), ("maximum", self.most)];
        ends.map(|(keyword, end)| (keyword.to_owned(), json_number(end)))
            .into_iter()
            .collect()
    }
}

/// A number as JSON, without a decimal point if it is whole.
pub(crate) fn json_number(number: f64) -> Value {
    match whole(number) {
        Some(whole) => json!(whole),
        None => json!(number),
    }
}

/// A number as people write it: 0.5, 1000, 100,000.
fn in_words(number: f64) -> String {
    match whole(number).map(usize::try_from) {
        Some(Ok(whole)) if whole >= 10_000 => with_commas(whole),
        _ => number.to_string(),
    }
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "checked to be whole and small just before"
)]
fn whole(number: f64) -> Option<i64> {
    (number.fract() == 0.0 && number.abs() < 1e15).then_some(number as i64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_ends_where_it_says() {
        let range = Range::new(-2.5, 1000.0).unit("mm");
        assert!(range.contains(-2.5) && range.contains(1000.0));
        assert!(!range.contains(-2.6) && !range.contains(1000.5));
        for wrong in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(!range.contains(wrong), "{wrong}");
        }
        assert_eq!(range.words(), "from -2.5 to 1000 mm");
        assert_eq!(
            Range::new(0.000_001, 1e6).words(),
            "from 0.000001 to 1,000,000"
        );
        assert_eq!(
            Value::from(range.schema()),
            json!({"minimum": -2.5, "maximum": 1000})
        );
    }
}
