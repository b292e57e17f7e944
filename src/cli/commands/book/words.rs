//! The words of the trade book.

use clap::Args;
use clap::ValueEnum;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::heading;
use crate::work::WorkError;
use crate::work::advice::glossary;
use crate::work::advice::glossary::Kind;
use crate::work::advice::glossary::Word;

/// List the words that sidecars and options may use, with their meaning
#[derive(Args, Debug)]
pub(in crate::cli) struct WordsArgs {
    /// Which words
    kind: WordKind,
    /// Only those that have this in their name or meaning
    containing: Option<String>,
}

/// Kinds of words.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum WordKind {
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
    /// Occasions of a shoot, from the doorstep to a return
    Stages,
    /// What a mark says of its fault: still there, repaired, gone ...
    States,
    /// The four levels of a fault
    Levels,
    /// Channels by which pieces are sold
    Channels,
    /// Who asks when a piece is disputed, what each wants, and what to do when
    Askers,
    /// Questions that a dossier can answer
    Claims,
}

pub(in crate::cli) fn run(context: &Context, args: &WordsArgs) -> Result<Exit, WorkError> {
    let book = context.open_if_any()?;
    let mut words = glossary::words(args.kind.kind(), book.as_ref())?;
    if let Some(text) = &args.containing {
        let text = text.to_lowercase();
        let has = |it: &Word| {
            [&it.id, &it.label, &it.plain]
                .iter()
                .any(|it| it.to_lowercase().contains(&text))
        };
        words.retain(has);
    }
    if context.json {
        json(&words);
        return Ok(Exit::Done);
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
    Ok(Exit::Done)
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
            Self::Stages => Kind::Stages,
            Self::States => Kind::States,
            Self::Levels => Kind::Levels,
            Self::Channels => Kind::Channels,
            Self::Askers => Kind::Askers,
            Self::Claims => Kind::Claims,
        }
    }
}
