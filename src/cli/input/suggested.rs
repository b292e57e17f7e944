//! Words that a shell completes, and that may be others: the user's own words are read by the book alone.

use clap::Arg;
use clap::Command;
use clap::builder::PossibleValue;
use clap::builder::StringValueParser;
use clap::builder::TypedValueParser;

use crate::model::photo::Stage;
use crate::work::advice::glossary::Kind;
use crate::work::advice::glossary::words;

/// Reads as `own` does, and lets shells complete the program's own words of a kind.
#[derive(Clone, Debug)]
pub(in crate::cli) struct Suggested<P> {
    own: P,
    kind: Kind,
}

/// Any text, with words of a kind to complete.
pub(in crate::cli) fn suggested(kind: Kind) -> Suggested<StringValueParser> {
    let own = StringValueParser::new();
    Suggested { own, kind }
}

/// The occasion of a shoot.
pub(in crate::cli) fn stages() -> impl TypedValueParser<Value = Stage> {
    let own = |text: &str| text.parse::<Stage>();
    Suggested {
        own,
        kind: Kind::Stages,
    }
}

impl<P: TypedValueParser> TypedValueParser for Suggested<P> {
    type Value = P::Value;

    fn parse_ref(
        &self,
        command: &Command,
        arg: Option<&Arg>,
        value: &std::ffi::OsStr,
    ) -> Result<P::Value, clap::Error> {
        self.own.parse_ref(command, arg, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        let words = words(self.kind, None).unwrap_or_default();
        let words = words.into_iter().map(|it| PossibleValue::new(it.id));
        Some(Box::new(words))
    }
}
