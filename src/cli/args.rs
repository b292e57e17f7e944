//! The command line: commands, options, their words.

use std::path::PathBuf;

use clap::Args;
use clap::Parser;
use clap::Subcommand;
use clap::ValueEnum;

use crate::cli::estimate_args::EstimateArgs;
use crate::cli::estimate_args::MarketArgs;
use crate::cli::proof_args::DossierArgs;
use crate::cli::proof_args::SealArgs;
use crate::cli::proof_args::VerifyArgs;
use crate::cli::size_arg::size;
use crate::cli::sold_args::SoldArgs;
use crate::cli::word_text::WordKind;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::kit::measure::Length;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::photo::Stage;
use crate::model::piece::Size;

/// Keeps the photographic condition record of vintage wooden furniture, from the doorstep to years after the sale.
#[derive(Debug, Parser)]
#[command(
    name = "asfound",
    version,
    max_term_width = 100,
    disable_help_subcommand = true
)]
#[command(
    after_help = "A day's work: new-book, intake, import, mark; survey, repair, report; at the sale sold and seal.\n\
    Exit codes: 0 done; 1 done, but something needs a hand; 2 could not."
)]
pub(super) struct Cli {
    /// The stock book's folder; else ASFOUND_BOOK, else the nearest folder above that holds a book.db
    #[arg(long, global = true, value_name = "DIR", env = "ASFOUND_BOOK")]
    pub(super) book: Option<PathBuf>,
    /// Answer with one JSON object on standard output
    #[arg(long, global = true)]
    pub(super) json: bool,
    #[command(subcommand)]
    pub(super) command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Build a worked example from the demo pictures and write its report
    Demo {
        /// Folder of the new book [default: the first free of asfound-demo, asfound-demo-2 ...]
        #[arg(long, value_name = "DIR")]
        into: Option<PathBuf>,
    },
    /// Start a stock book
    NewBook {
        /// Its folder
        dir: PathBuf,
    },
    /// Take a piece into the book; prints its stock number and the pictures to take
    Intake {
        /// A short description, such as "walnut chest of drawers"
        title: String,
        /// Its form, such as chest_of_drawers; `asfound words forms` lists them
        #[arg(long)]
        form: String,
        /// Its stock number [default: the next of the year]
        #[arg(long, value_name = "NO")]
        number: Option<StockNo>,
        #[command(flatten)]
        told: Told,
    },
    /// Put right what was told of a piece
    Amend {
        /// Stock number
        no: StockNo,
        /// A new short description; the folder keeps its name
        #[arg(long)]
        title: Option<String>,
        /// Its form
        #[arg(long)]
        form: Option<String>,
        #[command(flatten)]
        told: Told,
    },
    /// List the pictures still to take, in walking order: text, or a page for the phone that prints on one sheet
    Shotlist(ShotlistArgs),
    /// Take the photos of a shoot into the book; can be repeated and interrupted
    Import(ImportArgs),
    /// Say what is recorded of a piece, and what is missing
    Survey {
        /// Stock number
        no: StockNo,
    },
    /// Open the marking page of a piece: say on its pictures what they show; it is for this machine alone
    Mark(MarkArgs),
    /// Say how much solid wood moves between winter and summer; advice, not a measurement
    Season(SeasonArgs),
    /// Record a repair
    Repair {
        /// Stock number
        no: StockNo,
        /// The findings it is for, such as F3 F4
        #[arg(required_unless_present = "again")]
        findings: Vec<FindingNo>,
        #[command(flatten)]
        told: RepairTold,
    },
    /// Order of work, hours, cost and days, and what can be paid for a piece
    Estimate(EstimateArgs),
    /// Write the condition report
    Report(ReportArgs),
    /// Tell that a piece was sold; said again, it puts that right
    Sold(SoldArgs),
    /// Put papers and messages by with a piece: the listing as it stood, the thread with the buyer, a delivery note
    Keep {
        /// Stock number
        no: StockNo,
        /// The files; they are copied byte for byte
        #[arg(required = true)]
        files: Vec<PathBuf>,
    },
    /// Take a photo out of a piece; its file is set aside, and the ledger keeps that it was there
    Remove {
        /// Stock number
        no: StockNo,
        /// Number of the photo
        #[arg(long, value_name = "NUMBER")]
        photo: u32,
        /// Why, as the ledger keeps it for good
        #[arg(long, value_name = "TEXT")]
        why: String,
    },
    /// Seal the ledger: sign it as it stands, and take in a time stamp
    Seal(SealArgs),
    /// Put the record of a piece together for a third party: a carrier, a marketplace, a court
    Dossier(DossierArgs),
    /// Check a stock book, or a dossier by itself
    Verify(VerifyArgs),
    /// List the pieces, as their sidecars were last read
    Stock,
    /// Write the sidecars of a piece again that were deleted by accident
    PutBack {
        /// Stock number
        no: StockNo,
    },
    /// List the words that sidecars and options may use, with their meaning
    Words {
        /// Which words
        kind: WordKind,
        /// Only those that have this in their name or meaning
        containing: Option<String>,
    },
    /// Print shell completions, the man page, or the licences of all that is built in
    #[command(hide = true)]
    Install {
        /// bash, zsh, fish, elvish, powershell, man or licences
        what: Installable,
    },
}

/// Which shot list.
#[derive(Args, Debug)]
pub(super) struct ShotlistArgs {
    /// Stock number
    #[arg(required_unless_present = "form", conflicts_with = "form")]
    pub(super) no: Option<StockNo>,
    /// A form, such as chest_of_drawers, before anything is in the book
    #[arg(long)]
    pub(super) form: Option<String>,
    /// doorstep, purchase, work, sale, handover, delivery or return
    #[arg(long)]
    pub(super) stage: Stage,
    /// Write it as an HTML page [default place: the piece's folder; with --form the current one]
    #[arg(long, value_name = "PATH", num_args = 0..=1)]
    pub(super) page: Option<Option<PathBuf>>,
}

/// What to import.
#[derive(Args, Debug)]
pub(super) struct ImportArgs {
    /// Photos, folders, or a zip as a phone shares it
    #[arg(required = true)]
    pub(super) paths: Vec<PathBuf>,
    /// Stock number
    #[arg(long)]
    pub(super) piece: StockNo,
    /// doorstep, purchase, work, sale, handover, delivery or return
    #[arg(long)]
    pub(super) stage: Stage,
    /// What to add to the camera's clock, such as +1d1h or -2h30m
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub(super) clock_off: Option<ClockOff>,
    /// Start a new shoot, even where one of this stage and these days is there
    #[arg(long)]
    pub(super) new_shoot: bool,
}

/// Which marking page.
#[derive(Args, Debug)]
pub(super) struct MarkArgs {
    /// Stock number
    pub(super) no: StockNo,
    /// Number of the photo that it opens at
    #[arg(long, value_name = "NUMBER")]
    pub(super) photo: Option<u32>,
    /// Only print the address; open it in a browser yourself
    #[arg(long)]
    pub(super) no_open: bool,
    /// Port on 127.0.0.1 [default: the one of the last time, else any that is free]
    #[arg(long, value_name = "PORT", value_parser = clap::value_parser!(u16).range(1..))]
    pub(super) port: Option<u16>,
}

/// What to say of the seasons.
#[derive(Args, Debug)]
pub(super) struct SeasonArgs {
    /// Stock number
    #[arg(required_unless_present = "wood", conflicts_with = "wood")]
    pub(super) no: Option<StockNo>,
    /// A wood, such as black_walnut, for a board that is in no book
    #[arg(long, requires = "width")]
    pub(super) wood: Option<String>,
    /// Width of the board across the grain, such as 450mm
    #[arg(long, value_name = "LENGTH", requires = "wood")]
    pub(super) width: Option<Length>,
    /// How it was cut [default: not known, so the larger movement]
    #[arg(long, requires = "wood")]
    pub(super) grain: Option<GrainWord>,
    /// Humidity where it stands now, percent [default: the one in book.toml]
    #[arg(long, value_name = "PERCENT")]
    pub(super) now: Option<f64>,
    /// Humidity in winter, percent [default: the one in book.toml, else 35]
    #[arg(long, value_name = "PERCENT")]
    pub(super) winter: Option<f64>,
    /// Humidity in summer, percent [default: the one in book.toml, else 65]
    #[arg(long, value_name = "PERCENT")]
    pub(super) summer: Option<f64>,
    /// Temperature, degrees Celsius [default: the one in book.toml, else 21]
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    pub(super) celsius: Option<f64>,
}

/// How a board was cut.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum GrainWord {
    /// Growth rings lie along its width
    Flat,
    /// Growth rings stand across its thickness
    Quarter,
}

/// What report to write.
#[derive(Args, Debug)]
pub(super) struct ReportArgs {
    /// Stock number
    pub(super) no: StockNo,
    /// For whom
    #[arg(long = "for", value_name = "READER", default_value = "buyer")]
    pub(super) reader: ReaderWord,
    /// Print it although something required is missing; the gaps are marked
    #[arg(long)]
    pub(super) draft: bool,
    /// A folder with full-size pictures instead of one file
    #[arg(long)]
    pub(super) folder: bool,
    /// Where to write it [default: the piece's reports folder]
    #[arg(long, value_name = "PATH")]
    pub(super) out: Option<PathBuf>,
}

/// What is told of a piece.
#[derive(Args, Debug)]
pub(super) struct Told {
    /// Height x width x depth, such as 900x1050x480mm or "35 x 41 x 19 in"
    #[arg(long, value_name = "HxWxD", value_parser = size)]
    pub(super) size: Option<Size>,
    /// Drawers in each row from the top, such as 2,1,1,1 for two over three
    #[arg(long, value_name = "ROWS", value_delimiter = ',')]
    pub(super) drawers: Vec<u8>,
    /// Optional parts it has, such as leg,lock
    #[arg(long, value_name = "KINDS", value_delimiter = ',')]
    pub(super) with: Vec<String>,
    /// Parts of its list that are not there, such as drawer-2/lock
    #[arg(long, value_name = "PARTS", value_delimiter = ',')]
    pub(super) absent: Vec<PartId>,
    /// A paragraph for the buyer
    #[arg(long, value_name = "TEXT")]
    pub(super) about: Option<String>,
    /// Who examined it [default: the one in book.toml]
    #[arg(long, value_name = "NAME")]
    pub(super) examined_by: Option<String>,
    /// Its weight, such as "about 48 kg"
    #[arg(long, value_name = "TEXT")]
    pub(super) weight: Option<String>,
    /// Private: what was paid, in the book's currency
    #[arg(long, value_name = "AMOUNT")]
    pub(super) bought_for: Option<String>,
    /// Private: the day it was bought
    #[arg(long, value_name = "DAY")]
    pub(super) bought_on: Option<Day>,
    /// Private: what is asked for it
    #[arg(long, value_name = "AMOUNT")]
    pub(super) asking: Option<String>,
    /// Private: where it came from, and anything else
    #[arg(long, value_name = "TEXT")]
    pub(super) private_note: Option<String>,
    #[command(flatten)]
    pub(super) market: MarketArgs,
}

/// What is told of a repair.
#[derive(Args, Debug)]
pub(super) struct RepairTold {
    /// The method, such as veneer_patch; `asfound words methods` lists them
    #[arg(long, required_unless_present = "again")]
    pub(super) method: Option<String>,
    /// Put right what was told of the repair of this number; what is not given stays
    #[arg(long, value_name = "NUMBER")]
    pub(super) again: Option<u32>,
    /// The day [default: today]
    #[arg(long, value_name = "DAY")]
    pub(super) day: Option<Day>,
    /// New material that is now part of the piece, as the buyer should read it
    #[arg(long, value_name = "TEXT")]
    pub(super) new_material: Option<String>,
    /// What of the fault is hidden rather than cured, as the buyer should read it
    #[arg(long, value_name = "TEXT")]
    pub(super) hides: Option<String>,
    /// A note for the report
    #[arg(long, value_name = "TEXT")]
    pub(super) note: Option<String>,
    /// Private: minutes of work
    #[arg(long, value_name = "MINUTES")]
    pub(super) minutes: Option<u32>,
    /// Private: cost of materials, in the book's currency
    #[arg(long, value_name = "AMOUNT")]
    pub(super) cost: Option<String>,
    /// Private: a note for yourself
    #[arg(long, value_name = "TEXT")]
    pub(super) private_note: Option<String>,
}

/// For whom a report is.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum ReaderWord {
    /// What a buyer should know; nothing private
    Buyer,
    /// The same with prices, hours, private notes and places
    Owner,
}

/// What `install` prints.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum Installable {
    Bash,
    Zsh,
    Fish,
    Elvish,
    Powershell,
    Man,
    Licences,
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory as _;

    use super::Cli;

    #[test]
    fn the_command_line_is_sound() {
        Cli::command().debug_assert();
    }
}
