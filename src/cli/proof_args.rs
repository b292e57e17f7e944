//! What seals, dossiers and checks are told.

use std::path::PathBuf;

use clap::Args;

use crate::model::ids::StockNo;

/// How to seal.
#[derive(Args, Debug)]
pub(super) struct SealArgs {
    /// A reply of a time-stamp authority (RFC 3161) to the newest request
    #[arg(long, value_name = "FILE", conflicts_with = "authority")]
    pub(super) reply: Option<PathBuf>,
    /// Address of a time-stamp authority to ask
    #[arg(long, value_name = "URL")]
    pub(super) authority: Option<String>,
    /// Root certificate of the authority, as its owner publishes it; can be repeated
    #[arg(long, value_name = "FILE")]
    pub(super) root: Vec<PathBuf>,
    /// Keep the book's key under a passphrase from now on; it is taken from ASFOUND_PASSPHRASE
    #[arg(long)]
    pub(super) lock: bool,
}

/// What dossier to make.
#[derive(Args, Debug)]
pub(super) struct DossierArgs {
    /// Stock number
    pub(super) no: StockNo,
    /// The question it answers, such as transit_break; `asfound words claims` lists them
    #[arg(long, value_name = "KIND")]
    pub(super) claim: Option<String>,
    /// Only what these pictures of the complaint show: a file that was imported, its name, or its number; can be repeated
    #[arg(long, value_name = "FILE")]
    pub(super) photo: Vec<String>,
    /// With prices, private notes, positions and the owner's copies of the report
    #[arg(long)]
    pub(super) with_private: bool,
    /// With the originals into which the camera wrote where it was, but nothing else that is private
    #[arg(long)]
    pub(super) with_places: bool,
    /// A folder instead of a zip
    #[arg(long)]
    pub(super) folder: bool,
    /// Where to write it [default: the piece's dossiers folder]
    #[arg(long, value_name = "PATH")]
    pub(super) out: Option<PathBuf>,
}

/// What to check.
#[derive(Args, Debug)]
pub(super) struct VerifyArgs {
    /// A dossier (folder or zip) or a book's folder [default: the book]
    pub(super) path: Option<PathBuf>,
    /// Root certificate of a time-stamp authority that you trust; can be repeated
    #[arg(long, value_name = "FILE")]
    pub(super) root: Vec<PathBuf>,
    /// Put back originals that are gone or rotten from a folder that has the same bytes
    #[arg(long, value_name = "DIR")]
    pub(super) heal: Option<PathBuf>,
}
