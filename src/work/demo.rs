//! The worked example: a book built from the demo photos, as its owner would have built it.

use std::path::Path;
use std::path::PathBuf;

use serde::Serialize;

use crate::kit::clock::ClockOff;
use crate::kit::clock::Moment;
use crate::kit::files::read;
use crate::kit::files::write_whole;
use crate::kit::money::Currency;
use crate::mark::Story;
use crate::mark::StoryPiece;
use crate::mark::StoryRepair;
use crate::mark::StorySale;
use crate::mark::story;
use crate::model::ids::StockNo;
use crate::model::market::Market;
use crate::model::market::Sold;
use crate::model::piece::Size;
use crate::work::WorkError;
use crate::work::import::ImportOrder;
use crate::work::import::WhichShoot;
use crate::work::import::import;
use crate::work::intake::Told;
use crate::work::intake::intake;
use crate::work::proof::dossier::DossierOrder;
use crate::work::proof::dossier::Shown;
use crate::work::proof::dossier::Wrap;
use crate::work::proof::dossier::dossier;

use crate::work::open_book::OpenBook;
use crate::work::progress::Progress;
use crate::work::proof::seal::SealOrder;
use crate::work::proof::seal::seal;
use crate::work::repair::RepairTold;
use crate::work::repair::repair;
use crate::work::report::Finish;
use crate::work::report::Packing;
use crate::work::report::Reader;
use crate::work::report::ReportOrder;
use crate::work::report::Reported;
use crate::work::report::report;
use crate::work::sold::SaleTold;
use crate::work::sold::sold;

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
    if into.read_dir().is_ok_and(|mut it| it.next().is_some()) {
        return Err(WorkError::NotEmpty(into.to_owned()));
    }
    let from = folder()?;
    let text = String::from_utf8_lossy(&read(&from.join("demo.toml"))?).into_owned();
    let story = story(&text).map_err(|error| WorkError::asked(format!("demo.toml: {error}")))?;
    let mut book = OpenBook::make(into, now)?;
    write_whole(&into.join("book.toml"), &read(&from.join("book.toml"))?)?;
    let currency = book.settings()?.currency;
    let stock_no = intake(&mut book, None, told(&story, currency)?)?.stock_no;
    let mut photos = 0;
    for shoot in &story.shoots {
        let off = shoot.clock_off.as_deref().map(str::parse::<ClockOff>);
        let order = ImportOrder {
            stock_no: stock_no.clone(),
            stage: shoot
                .stage
                .parse()
                .map_err(|it| WorkError::asked(format!("{it}")))?,
            paths: vec![from.join("photos").join(&shoot.folder)],
            clock_off: off.transpose()?.unwrap_or_default(),
            shoot: WhichShoot::JoinOrStart,
        };
        photos += import(&mut book, &order, progress)?.taken;
        for told in story.repairs.iter().filter(|it| it.after == shoot.folder) {
            repair(&mut book, &stock_no, repair_told(told, currency)?)?;
        }
    }
    let sale = sale_told(&story.sale, currency)?;
    // On a machine whose clock stands before the story, the sale has not been yet.
    if sale.day.is_none_or(|it| it <= book.now.local_day()) {
        sold(&mut book, &stock_no, sale)?;
    }
    let mut made = |reader| -> Result<String, WorkError> {
        let done = report(&mut book, &order_for(&stock_no, reader), progress)?;
        path_of(done)
    };
    let (buyer, owner) = (made(Reader::Buyer)?, made(Reader::Owner)?);
    seal(&mut book, &SealOrder::default())?;
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

fn told(story: &Story, currency: Currency) -> Result<Told, WorkError> {
    let it = &story.piece;
    Ok(Told {
        title: Some(it.title.clone()),
        form: Some(it.form.clone()),
        size: Some(Size {
            height_mm: it.height_mm,
            width_mm: it.width_mm,
            depth_mm: it.depth_mm,
        }),
        drawer_rows: it.drawer_rows.clone(),
        with: it.with.clone(),
        absent: Vec::new(),
        about: Some(it.about.clone()),
        examined_by: Some(it.examined_by.clone()),
        weight: Some(it.weight.clone()),
        bought_for: Some(currency.amount(&it.bought_for)?),
        bought_on: Some(it.bought_on.parse()?),
        asking: Some(currency.amount(&it.asking)?),
        private_note: Some(it.private_note.clone()),
        market: market(it, currency)?,
    })
}

fn market(it: &StoryPiece, currency: Currency) -> Result<Market, WorkError> {
    let mut sold = Vec::new();
    for line in &it.sold {
        for price in &line.prices {
            sold.push(Sold {
                path: line.path.clone(),
                price: currency.amount(price)?,
            });
        }
    }
    Ok(Market {
        worth: Some(it.worth.parse().map_err(WorkError::asked)?),
        sold,
        ..Market::default()
    })
}

fn repair_told(it: &StoryRepair, currency: Currency) -> Result<RepairTold, WorkError> {
    let findings = it.findings.iter().map(|no| no.parse());
    Ok(RepairTold {
        again: None,
        findings: findings
            .collect::<Result<_, _>>()
            .map_err(|error: crate::model::ids::IdError| WorkError::asked(error.to_string()))?,
        method: Some(it.method.clone()),
        day: Some(it.day.parse()?),
        new_material: it.new_material.clone(),
        hides: it.hides.clone(),
        note: it.note.clone(),
        minutes: Some(it.minutes),
        cost: Some(currency.amount(&it.cost)?),
        private_note: it.private_note.clone(),
    })
}

fn sale_told(it: &StorySale, currency: Currency) -> Result<SaleTold, WorkError> {
    Ok(SaleTold {
        day: Some(it.on.parse()?),
        price: Some(currency.amount(&it.price)?),
        to: Some(it.to.clone()),
        note: None,
    })
}

fn order_for(stock_no: &StockNo, reader: Reader) -> ReportOrder {
    ReportOrder {
        stock_no: stock_no.clone(),
        reader,
        finish: Finish::Final,
        packing: Packing::OneFile,
        out: None,
    }
}

fn dossier_order(stock_no: &StockNo) -> DossierOrder {
    DossierOrder {
        stock_no: stock_no.clone(),
        claim: Some("transit_break".to_owned()),
        photos: Vec::new(),
        shown: Shown::default(),
        wrap: Wrap::Folder,
        out: None,
        passphrase: None,
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
