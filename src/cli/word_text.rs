//! The words of the trade book, printed.

use clap::ValueEnum;

use crate::cli::jobs::Call;
use crate::cli::jobs::Done;
use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::json;
use crate::cli::say::talk;
use crate::work::WorkError;
use crate::work::advice::glossary;
use crate::work::advice::glossary::Kind;
use crate::work::advice::glossary::Word;

/// Kinds of words.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum WordKind {
    /// Faults, with their four levels
    Faults,
    /// Observations that are no faults
    Observations,
    /// Views of a complete record
    Views,
    /// Kinds of parts
    Parts,
    /// Forms of furniture
    Forms,
    /// Repair methods
    Methods,
    /// Ways to refinish a part
    Paths,
    /// Woods, with how they move
    Woods,
    /// Channels by which pieces are sold
    Channels,
    /// Who asks when a piece is disputed, what each wants, and what to do when
    Askers,
    /// Questions that a dossier can answer
    Claims,
}

/// Prints the words of a kind that contain a text.
pub(super) fn print(
    call: &Call,
    kind: WordKind,
    containing: Option<&str>,
) -> Result<Done, WorkError> {
    let book = call.open_if_any()?;
    let mut words = glossary::words(kind.kind(), book.as_ref())?;
    if let Some(text) = containing {
        let text = text.to_lowercase();
        let has = |it: &Word| {
            [&it.id, &it.label, &it.plain]
                .iter()
                .any(|it| it.to_lowercase().contains(&text))
        };
        words.retain(has);
    }
    if call.json {
        json(&words);
        return Ok(Done::Well);
    }
    if words.is_empty() {
        talk("no such word; leave the text away to see all");
    }
    for it in &words {
        data(&format!("{}  {}", heading(&it.id), it.label));
        data(&format!("    {}", it.plain));
        for more in &it.more {
            data(&format!("    {more}"));
        }
    }
    Ok(Done::Well)
}

impl WordKind {
    fn kind(self) -> Kind {
        match self {
            Self::Faults => Kind::Faults,
            Self::Observations => Kind::Observations,
            Self::Views => Kind::Views,
            Self::Parts => Kind::Parts,
            Self::Forms => Kind::Forms,
            Self::Methods => Kind::Methods,
            Self::Paths => Kind::Paths,
            Self::Woods => Kind::Woods,
            Self::Channels => Kind::Channels,
            Self::Askers => Kind::Askers,
            Self::Claims => Kind::Claims,
        }
    }
}
