//! Words that a shell completes, and that may be others: the user's own words are read by the book alone.

use clap::Arg;
use clap::Command;
use clap::builder::PossibleValue;
use clap::builder::PossibleValuesParser;
use clap::builder::StringValueParser;
use clap::builder::TypedValueParser;

use crate::model::photo::Stage;
use crate::work::advice::glossary::Kind;
use crate::work::advice::glossary::words;

/// Takes any text, and lets shells complete the program's own words of a kind.
#[derive(Clone, Copy, Debug)]
pub(in crate::cli) struct Suggested(pub(in crate::cli) Kind);

impl TypedValueParser for Suggested {
    type Value = String;

    fn parse_ref(
        &self,
        command: &Command,
        arg: Option<&Arg>,
        value: &std::ffi::OsStr,
    ) -> Result<String, clap::Error> {
        StringValueParser::new().parse_ref(command, arg, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        let words = words(self.0, None).unwrap_or_default();
        Some(Box::new(
            words.into_iter().map(|it| PossibleValue::new(it.id)),
        ))
    }
}

/// The occasion of a shoot.
pub(in crate::cli) fn stages() -> impl TypedValueParser<Value = Stage> {
    let words = PossibleValuesParser::new(Stage::ALL.map(|it| it.1));
    words.try_map(|it| it.parse::<Stage>())
}
