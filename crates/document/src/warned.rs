//! A value together with the warnings that reading or making it gave.

use crate::diagnostic::Diagnostic;

/// A value, and what to warn its user about. Whoever takes the value must pass the warnings on.
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub struct Warned<T> {
    /// The value.
    pub value: T,
    /// The warnings, in the order they were found.
    pub warnings: Vec<Diagnostic>,
}

impl<T> Warned<T> {
    /// A value with these warnings.
    pub fn new(value: T, warnings: Vec<Diagnostic>) -> Self {
        Self { value, warnings }
    }

    /// The same warnings with another value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Warned<U> {
        Warned::new(change(self.value), self.warnings)
    }

    /// The same value; each warning changed.
    pub fn map_warnings(self, change: impl FnMut(Diagnostic) -> Diagnostic) -> Self {
        Self::new(self.value, self.warnings.into_iter().map(change).collect())
    }

    /// The value and its warnings.
    #[must_use]
    pub fn into_parts(self) -> (T, Vec<Diagnostic>) {
        (self.value, self.warnings)
    }

    /// The value, after its warnings have been added to a list.
    #[must_use]
    pub fn into_value(self, warnings: &mut Vec<Diagnostic>) -> T {
        warnings.extend(self.warnings);
        self.value
    }

    /// What was read, if it was; its warnings or errors are added to `problems`.
    pub fn if_read(
        read: Result<Self, Vec<Diagnostic>>,
        problems: &mut Vec<Diagnostic>,
    ) -> Option<T> {
        match read {
            Ok(read) => Some(read.into_value(problems)),
            Err(found) => {
                problems.extend(found);
                None
            }
        }
    }
}

/// A value without warnings.
impl<T> From<T> for Warned<T> {
    fn from(value: T) -> Self {
        Self::new(value, Vec::new())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn warnings_stay_with_their_value_until_they_are_taken() {
        let warned = Warned::new(2, vec![Diagnostic::warning("a", "b")]).map(|two| two + 1);
        let mut all = vec![Diagnostic::warning("c", "d")];
        assert_eq!(warned.into_value(&mut all), 3);
        assert_eq!(all.len(), 2);
        assert_eq!(all[1].found, "b");
        assert!(Warned::from("x").warnings.is_empty());
    }
}
