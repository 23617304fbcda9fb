//! What was typed into the fields of a move, and what is said about an answer that cannot be read.

use std::collections::BTreeMap;
use std::fmt;

use crate::domain::measured::Measured;

/// Answers by field name, as typed. A field without an answer was not stated; that is never the same as "none".
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Answers {
    typed: BTreeMap<String, Vec<String>>,
    /// What the traces that were named amount to, by the field that named each: read by whoever may read files, since nothing
    /// here does.
    measured: BTreeMap<&'static str, Measured>,
}

impl Answers {
    pub fn new() -> Self {
        Self::default()
    }

    /// The first answer of a field, trimmed. None: not stated.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.all(name).first().map(String::as_str)
    }

    /// Every answer of a field, in the order given.
    pub fn all(&self, name: &str) -> &[String] {
        self.typed.get(name).map_or(&[], Vec::as_slice)
    }

    /// Answers a field anew. Blank answers are dropped; without any left the field is not stated.
    pub fn set(&mut self, name: &str, values: impl IntoIterator<Item = impl Into<String>>) {
        let kept: Vec<String> =
            values.into_iter().map(|it| it.into().trim().to_owned()).filter(|it| !it.is_empty()).collect();
        if kept.is_empty() {
            self.typed.remove(name);
        } else {
            self.typed.insert(name.to_owned(), kept);
        }
    }

    /// The same with one answer, for chaining.
    #[must_use]
    pub fn with(mut self, name: &str, value: &str) -> Self {
        let mut values = self.all(name).to_vec();
        values.push(value.to_owned());
        self.set(name, values);
        self
    }

    pub fn add(&mut self, name: &str, value: &str) {
        let mut values = self.all(name).to_vec();
        values.push(value.to_owned());
        self.set(name, values);
    }

    pub fn is_empty(&self) -> bool {
        self.typed.is_empty()
    }

    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.typed.keys().map(String::as_str)
    }

    pub fn attach(&mut self, field: &'static str, measured: Measured) {
        self.measured.insert(field, measured);
    }

    pub fn measured(&self, field: &str) -> Option<&Measured> {
        self.measured.get(field)
    }
}

/// One answer that cannot be read. `field` is a field's name, or `target`.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FieldError {
    pub field: &'static str,
    /// What was wrong, and what to type.
    pub message: String,
}

impl fmt::Display for FieldError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.field, self.message)
    }
}
impl std::error::Error for FieldError {}
