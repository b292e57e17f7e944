//! Putting papers and messages by with a piece.

use std::path::PathBuf;

use clap::Args;
use clap::ValueEnum;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::number::whole;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::keep::Signature;
use crate::work::keep::keep;

/// Put papers and messages by with a piece: the listing as it stood, the thread with the buyer, a delivery note
#[derive(Args, Debug)]
pub(in crate::cli) struct KeepArgs {
    /// Stock number
    no: StockNo,
    /// The files; they are copied byte for byte
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// They show that the other side confirmed a seal: a photo of the signed sheet of `asfound handover`, or the reply to the
    /// message with the key, as it came
    #[arg(long, value_name = "ROLE", requires = "seal")]
    signed_by: Option<Role>,
    /// The seal that was confirmed, by the number on the sheet or in the message
    #[arg(long, value_name = "NO", requires = "signed_by", value_parser = whole)]
    seal: Option<u32>,
    /// Who signed; private
    #[arg(long, value_name = "NAME", requires = "signed_by")]
    who: Option<String>,
}

/// As what the other side signs.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Role {
    /// Who bought it
    Buyer,
    /// Who carries it away
    Carrier,
    /// Who acts for one of them
    Agent,
}

impl Role {
    fn word(self) -> &'static str {
        match self {
            Self::Buyer => "buyer",
            Self::Carrier => "carrier",
            Self::Agent => "agent",
        }
    }
}

pub(in crate::cli) fn run(context: &Context, args: &KeepArgs) -> Result<Exit, WorkError> {
    let signature = args.signed_by.zip(args.seal).map(|(by, seal)| Signature {
        by: by.word().to_owned(),
        seal,
        who: args.who.clone(),
    });
    let lines = keep(
        &mut context.open_of(&args.no)?,
        &args.no,
        &args.files,
        signature.as_ref(),
    )?;
    if context.json {
        json(&lines);
        return Ok(Exit::Done);
    }
    for line in &lines {
        let before = if line.already { "  (kept before)" } else { "" };
        data(&format!("{}  {}{before}", line.sha256, line.name));
        if let Some(it) = &line.confirms {
            talk(&format!("it is entered that {}", it.words()));
        }
        if !line.claims.is_empty() {
            let words = line.claims.join("`, `");
            talk(&format!(
                "its name claims `{words}`, and whoever gets a dossier reads it: keep it under another name unless that is borne"
            ));
        }
    }
    talk("these go into every dossier of the piece; seal the book to fix them in time");
    Ok(Exit::Done)
}
