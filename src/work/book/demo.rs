//! The worked example: a book built from the demo photos, as its owner would have built it.

use std::path::Path;
use std::path::PathBuf;

use serde::Serialize;

use crate::kit::clock::ClockOff;
use crate::kit::clock::Moment;
use crate::kit::files::is_free;
use crate::kit::files::read;
use crate::kit::files::write_whole;
use crate::mark::story;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::dossier::package::DossierRequest;
use crate::work::dossier::package::Shown;
use crate::work::dossier::package::Wrap;
use crate::work::dossier::package::dossier;
use crate::work::photos::import::import;
use crate::work::photos::import_request::ImportRequest;
use crate::work::photos::import_request::WhichShoot;
use crate::work::piece::intake::intake;

use crate::work::book::open_book::OpenBook;
use crate::work::piece::repair::repair;
use crate::work::piece::sale::sold;
use crate::work::progress::Progress;
use crate::work::proof::seal::SealRequest;
use crate::work::proof::seal::seal;
use crate::work::report::edition::EditionRequest;
use crate::work::report::edition::Finish;
use crate::work::report::edition::Packing;
use crate::work::report::edition::Reader;
use crate::work::report::edition::Reported;
use crate::work::report::edition::report;

/// What the demo made.
#[derive(Clone, Debug, Serialize)]
pub struct Demo {
    /// The book's folder.
    pub book: String,
    /// The buyer's report.
    pub report: String,
    /// The owner's copy.
    pub owners_copy: String,
    /// The dossier for the damage on the way.
    pub dossier: String,
    /// The piece.
    pub stock_no: StockNo,
    /// How many photos it has.
    pub photos: usize,
}

/// Builds the demo book in `into`, which must be empty or not there yet.
///
/// # Errors
/// When the folder is not empty, the demo's files are not there, or the book cannot be written.
pub fn demo(into: &Path, now: Moment, progress: &dyn Progress) -> Result<Demo, WorkError> {
    if !is_free(into)? {
        return Err(WorkError::NotEmpty(into.to_owned()));
    }
    let from = folder()?;
    let text = String::from_utf8_lossy(&read(&from.join("demo.toml"))?).into_owned();
    let story = story(&text).map_err(|error| WorkError::asked(format!("demo.toml: {error}")))?;
    let mut book = OpenBook::make(into, None, now)?;
    write_whole(&into.join("book.toml"), &read(&from.join("book.toml"))?)?;
    let currency = book.settings()?.currency;
    let stock_no = intake(&mut book, None, story.piece.priced(currency)?)?.stock_no;
    let mut photos = 0;
    for shoot in &story.shoots {
        let off = shoot.clock_off.as_deref().map(str::parse::<ClockOff>);
        let order = ImportRequest {
            stock_no: stock_no.clone(),
            stage: shoot
                .stage
                .parse()
                .map_err(|it| WorkError::asked(format!("{it}")))?,
            paths: vec![from.join("photos").join(&shoot.folder)],
            clock_off: off.transpose()?.unwrap_or_default(),
            camera: None,
            shoot: WhichShoot::JoinOrStart,
        };
        photos += import(&mut book, &order, progress)?.taken;
        for it in story.repairs.iter().filter(|it| it.after == shoot.folder) {
            repair(&mut book, &stock_no, it.told.clone().priced(currency)?)?;
        }
    }
    let sale = story.sale.priced(currency)?;
    // On a machine whose clock stands before the story, the sale has not been yet.
    if sale.day.is_none_or(|it| it <= book.now.local_day()) {
        sold(&mut book, &stock_no, sale)?;
    }
    let mut made = |reader| -> Result<String, WorkError> {
        let done = report(&mut book, &order_for(&stock_no, reader), progress)?;
        path_of(done)
    };
    let (buyer, owner) = (made(Reader::Buyer)?, made(Reader::Owner)?);
    seal(&mut book, &SealRequest::default())?;
    let dossier = dossier(&mut book, &dossier_order(&stock_no), progress)?;
    Ok(Demo {
        report: buyer,
        owners_copy: owner,
        dossier: dossier.path,
        book: into.display().to_string(),
        stock_no,
        photos,
    })
}

/// The demo's own files: in the project, or beside the program.
fn folder() -> Result<PathBuf, WorkError> {
    let project = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo");
    let beside = std::env::current_exe()
        .ok()
        .and_then(|it| Some(it.parent()?.join("demo")));
    let places = [Some(project.clone()), beside];
    let found = places
        .into_iter()
        .flatten()
        .find(|it| it.join("demo.toml").is_file());
    found.ok_or(WorkError::NoDemo(project))
}

fn order_for(stock_no: &StockNo, reader: Reader) -> EditionRequest {
    EditionRequest {
        stock_no: stock_no.clone(),
        reader,
        finish: Finish::Final,
        packing: Packing::OneFile,
        out: None,
        language: None,
    }
}

fn dossier_order(stock_no: &StockNo) -> DossierRequest {
    DossierRequest {
        stock_no: stock_no.clone(),
        claim: Some("transit_break".to_owned()),
        photos: Vec::new(),
        shown: Shown::default(),
        wrap: Wrap::Folder,
        out: None,
        passphrase: None,
        language: None,
    }
}

fn path_of(done: Reported) -> Result<String, WorkError> {
    let gaps = || {
        done.blocked_by
            .iter()
            .map(|it| it.message.clone())
            .collect::<Vec<_>>()
    };
    let missing = || {
        WorkError::asked(format!(
            "the demo lacks what a report needs: {}",
            gaps().join("; ")
        ))
    };
    done.path.clone().ok_or_else(missing)
}
