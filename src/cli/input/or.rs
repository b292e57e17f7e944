//! An answer as typed, or the word that takes it back: it works alike for all that can be told.

use std::fmt::Display;
use std::str::FromStr;

/// The word that takes back what was told.
pub(in crate::cli) const NONE: &str = "none";

/// What was typed for a fact, or the word that takes it back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::cli) enum Or<T> {
    Is(T),
    Gone,
}

impl<T: FromStr<Err: Display>> FromStr for Or<T> {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        read(text, str::parse)
    }
}

/// A reader of a fact that reads the word that takes it back as well.
pub(in crate::cli) fn or<T>(
    own: impl Fn(&str) -> Result<T, String> + Clone,
) -> impl Fn(&str) -> Result<Or<T>, String> + Clone {
    move |text| read(text, &own)
}

fn read<T, E: Display>(text: &str, own: impl Fn(&str) -> Result<T, E>) -> Result<Or<T>, String> {
    match text.trim() {
        NONE => Ok(Or::Gone),
        _ => own(text).map(Or::Is).map_err(|it| it.to_string()),
    }
}

/// Facts that are taken back, while they are collected.
pub(in crate::cli) struct Taken<F> {
    pub(in crate::cli) facts: Vec<F>,
}

impl<F> Default for Taken<F> {
    fn default() -> Self {
        Self { facts: Vec::new() }
    }
}

impl<F> Taken<F> {
    /// Takes a fact back.
    pub(in crate::cli) fn take_back(&mut self, fact: F) {
        self.facts.push(fact);
    }

    /// What was typed for a fact; `none` takes the fact back.
    pub(in crate::cli) fn or<T>(&mut self, fact: F, told: Option<Or<T>>) -> Option<T> {
        match told? {
            Or::Is(it) => Some(it),
            Or::Gone => {
                self.take_back(fact);
                None
            }
        }
    }

    /// The same of a list: where `none` is in it, all of it is taken back.
    pub(in crate::cli) fn or_all<T>(&mut self, fact: F, told: Vec<Or<T>>) -> Vec<T> {
        let number = told.len();
        let told: Vec<T> = told
            .into_iter()
            .filter_map(|it| match it {
                Or::Is(it) => Some(it),
                Or::Gone => None,
            })
            .collect();
        if told.len() == number {
            return told;
        }
        self.take_back(fact);
        Vec::new()
    }
}
