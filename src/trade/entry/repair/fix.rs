//! A method that answers a fault, and when it is the right one.

use serde::Deserialize;
use serde::Serialize;

use crate::trade::entry::condition::Condition;

/// A method that answers a fault: in the book its id alone, or a table that says when it is the right one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(from = "Written", into = "Written")]
pub struct Fix {
    /// The method.
    pub method: String,
    /// The lowest level at which it is the right one.
    pub from: u8,
    /// The highest.
    pub to: u8,
    /// What must be so of the part, all of it.
    pub when: Vec<Condition>,
    /// What rules it out where one of it is surely so of the part.
    pub unless: Vec<Condition>,
    /// Kinds of parts for which it is the right one; empty means any.
    pub kinds: Vec<String>,
}

impl Fix {
    /// Whether it is the right one at this level, on a part of this kind.
    #[must_use]
    pub fn suits(&self, level: u8, kind: &str) -> bool {
        let level = (self.from..=self.to).contains(&level);
        level && (self.kinds.is_empty() || self.kinds.iter().any(|it| it == kind))
    }
}

/// As it stands in the text.
#[derive(Serialize, Deserialize)]
#[serde(untagged)]
enum Written {
    Id(String),
    Table(Table),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    method: String,
    #[serde(default = "lowest")]
    from: u8,
    #[serde(default = "highest")]
    to: u8,
    #[serde(default)]
    when: Vec<Condition>,
    #[serde(default)]
    unless: Vec<Condition>,
    #[serde(default)]
    kinds: Vec<String>,
}

fn lowest() -> u8 {
    1
}

fn highest() -> u8 {
    4
}

impl From<Written> for Fix {
    fn from(it: Written) -> Self {
        let it = match it {
            Written::Table(it) => it,
            Written::Id(method) => Table {
                method,
                from: lowest(),
                to: highest(),
                when: Vec::new(),
                unless: Vec::new(),
                kinds: Vec::new(),
            },
        };
        Self {
            method: it.method,
            from: it.from,
            to: it.to,
            when: it.when,
            unless: it.unless,
            kinds: it.kinds,
        }
    }
}

impl From<Fix> for Written {
    fn from(it: Fix) -> Self {
        let always = it.from == lowest() && it.to == highest();
        let asks = !it.when.is_empty() || !it.unless.is_empty();
        if always && !asks && it.kinds.is_empty() {
            return Self::Id(it.method);
        }
        Self::Table(Table {
            method: it.method,
            from: it.from,
            to: it.to,
            when: it.when,
            unless: it.unless,
            kinds: it.kinds,
        })
    }
}
