//! A method that answers a fault, and when it is the right one.

use serde::Deserialize;
use serde::Deserializer;
use serde::Serialize;
use serde::Serializer;

use crate::trade::entry::condition::Condition;

/// A method that answers a fault: in the book its id alone, or a table that says when it is the right one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self", deny_unknown_fields)]
pub struct Fix {
    /// The method.
    pub method: String,
    /// The lowest level at which it is the right one.
    #[serde(default = "lowest")]
    pub from: u8,
    /// The highest.
    #[serde(default = "highest")]
    pub to: u8,
    /// Whether it is done at lower levels as well where the work opens a joint of the part: what was driven through it comes out first.
    #[serde(default)]
    pub opened: bool,
    /// What must be so of the part, all of it.
    #[serde(default)]
    pub when: Vec<Condition>,
    /// What rules it out where one of it is surely so of the part.
    #[serde(default)]
    pub unless: Vec<Condition>,
    /// Whether it is right on no part that carries.
    #[serde(default)]
    pub bears_nothing: bool,
    /// Kinds of parts for which it is the right one; empty means any.
    #[serde(default)]
    pub kinds: Vec<String>,
}

impl Fix {
    /// The right one at any level, on any part.
    fn always(method: String) -> Self {
        Self {
            method,
            from: lowest(),
            to: highest(),
            opened: false,
            when: Vec::new(),
            unless: Vec::new(),
            bears_nothing: false,
            kinds: Vec::new(),
        }
    }

    /// Whether it is the right one at this level, on a part of this kind.
    #[must_use]
    pub fn suits(&self, level: u8, kind: &str) -> bool {
        let level = (self.from..=self.to).contains(&level);
        level && (self.kinds.is_empty() || self.kinds.iter().any(|it| it == kind))
    }
}

fn lowest() -> u8 {
    1
}

fn highest() -> u8 {
    4
}

/// As it stands in the text.
#[derive(Deserialize)]
#[serde(untagged)]
enum Written {
    Id(String),
    Table(#[serde(with = "Fix")] Fix),
}

impl<'de> Deserialize<'de> for Fix {
    fn deserialize<D: Deserializer<'de>>(text: D) -> Result<Self, D::Error> {
        Ok(match <Written as Deserialize>::deserialize(text)? {
            Written::Id(method) => Self::always(method),
            Written::Table(fix) => fix,
        })
    }
}

impl Serialize for Fix {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        if *self == Self::always(self.method.clone()) {
            out.serialize_str(&self.method)
        } else {
            Self::serialize(self, out)
        }
    }
}
