//! The first page of a dossier, and the statement for whoever took the pictures.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::text::capital;
use crate::report::Crop;
use crate::report::Image;
use crate::report::Packing;
use crate::report::Reader;
use crate::report::ReportError;
use crate::report::ReportRequest;
use crate::report::Scene;
use crate::report::dossier::claim::ClaimView;
use crate::report::dossier::dates::DateView;
use crate::report::dossier::exhibits::ExhibitView;
use crate::report::images::album::Album;
use crate::report::page::context::PageContext;
use crate::report::page::policy;
use crate::report::page::templates;
use crate::report::page::templates::style_of;
use crate::report::page::words;
use crate::trade::entry::claim_kind::ClaimKind;

/// What the first page is made of beside the assessment.
#[derive(Clone, Debug)]
pub struct CoverOrder {
    /// The day it is made.
    pub made_on: Day,
    /// The claim it is for.
    pub claim: Option<&'static ClaimKind>,
    /// The pictures of the claim; empty for all that the record has.
    pub photos: Vec<u32>,
    /// What the ledger says of each picture.
    pub proofs: BTreeMap<u32, PhotoProof>,
    /// Editions of the report, in the order of their lines.
    pub editions: Vec<EditionLine>,
    /// Days on which the piece was sold, in the order in which they were told; the last is in force.
    pub sales: Vec<Day>,
    /// The seals, by number.
    pub seals: Vec<SealLine>,
    /// Root of the newest seal, 64 hex digits.
    pub root: String,
    /// The key's fingerprint.
    pub fingerprint: String,
    /// Whether the set of files as a whole is signed.
    pub signed: bool,
    /// What is not enclosed, a sentence each.
    pub not_in: Vec<String>,
    /// Whether the ledger is younger than what its first lines tell.
    pub built_later: bool,
}

/// What the ledger says of a picture.
#[derive(Clone, Debug)]
pub struct PhotoProof {
    /// Its line.
    pub line: u64,
    /// Where it lies in the dossier; `None` when it is not enclosed.
    pub place: Option<String>,
    /// The first seal that covers its line.
    pub seal: Option<u32>,
    /// The earliest time stamp that covers its line, with its seal.
    pub stamped: Option<(u32, Moment)>,
}

/// An edition of the report.
#[derive(Clone, Debug)]
pub struct EditionLine {
    /// For whom.
    pub reader: String,
    /// Its number.
    pub no: u32,
    /// The day printed on it.
    pub made: Day,
}

/// A seal.
#[derive(Clone, Debug)]
pub struct SealLine {
    /// Its number.
    pub no: u32,
    /// How many lines it covers.
    pub size: u64,
    /// When, by the maker's clock.
    pub at: Moment,
    /// Not later than this, by an authority.
    pub stamped: Option<Moment>,
}

/// Everything that the first page prints.
#[derive(Clone, Debug, Serialize)]
struct CoverView {
    title: String,
    policy: String,
    style: String,
    stock_no: String,
    piece: String,
    seller: String,
    made: String,
    fingerprint: String,
    signed: &'static str,
    stamp: String,
    newest: String,
    not_in: Vec<String>,
    counted: Vec<String>,
    built_later: &'static str,
    dates: Vec<DateView>,
    exhibits: Vec<ExhibitView>,
    claim: Option<ClaimView>,
    contact: String,
}

/// Everything that the statement prints.
#[derive(Clone, Debug, Serialize)]
struct StatementView {
    title: String,
    policy: String,
    style: String,
    stock_no: String,
    piece: String,
    seal: String,
    root: String,
    shoots: Vec<ShootLine>,
}

#[derive(Clone, Debug, Serialize)]
struct ShootLine {
    stage: &'static str,
    day: String,
    pictures: String,
    count: usize,
}

fn order(cover: &CoverOrder) -> ReportRequest {
    ReportRequest {
        reader: Reader::Buyer,
        draft: false,
        edition: 0,
        made_on: cover.made_on,
        packing: Packing::OneFile,
        since: None,
        seal: None,
        sale: None,
    }
}

/// Tells which pictures the first page needs: sorted, each once.
#[must_use]
pub fn cover_shots(assessment: &Assessment, cover: &CoverOrder) -> Vec<Crop> {
    let (scene, pictures) = (Scene::default(), BTreeMap::new());
    let album = Album::new(&pictures, Packing::OneFile);
    let order = order(cover);
    let sources = PageContext::new(assessment, &scene, &order, &album);
    // Laid out for what it asks of the album.
    let _ = ExhibitView::all(&sources, cover);
    album.asked()
}

/// Makes the first page.
///
/// # Errors
/// When the template fails.
pub fn cover_page(
    assessment: &Assessment,
    scene: &Scene,
    cover: &CoverOrder,
    pictures: &BTreeMap<Crop, Image>,
) -> Result<String, ReportError> {
    let album = Album::new(pictures, Packing::OneFile);
    let order = order(cover);
    let sources = PageContext::new(assessment, scene, &order, &album);
    let exhibits = ExhibitView::all(&sources, cover);
    let (style, piece) = (
        style_of(&["palette.css", "style.css", "cover.css"]),
        &assessment.piece,
    );
    let newest = cover.seals.last();
    let stamps = cover
        .seals
        .iter()
        .filter_map(|it| Some(format!("seal {}: not later than {}", it.no, it.stamped?)));
    let stamps: Vec<String> = stamps.collect();
    let view = CoverView {
        title: format!("Dossier {}: {}", piece.stock_no, piece.title),
        policy: policy::text("data:", &style, ""),
        style,
        stock_no: piece.stock_no.to_string(),
        piece: capital(&piece.title),
        seller: scene.trading_name.clone(),
        made: cover.made_on.spoken(),
        fingerprint: cover.fingerprint.clone(),
        signed: match cover.signed {
            true => "yes",
            false => "",
        },
        stamp: stamps.join("; "),
        newest: newest.map_or_else(String::new, |it| {
            format!("seal {} over {} lines", it.no, it.size)
        }),
        not_in: cover.not_in.clone(),
        counted: counted(assessment),
        built_later: match cover.built_later {
            true => "yes",
            false => "",
        },
        dates: DateView::all(&sources, cover),
        claim: ClaimView::new(&sources, cover, &exhibits),
        exhibits,
        contact: scene.contact.clone(),
    };
    Ok(templates::fill("cover.html", &view)?)
}

/// What the record counts, in the words of the report.
fn counted(assessment: &Assessment) -> Vec<String> {
    let counts = &assessment.counts;
    vec![
        words::sentence(&capital(&counts.findings.text())),
        format!("Not examined: {}.", counts.lacks.text()),
    ]
}

/// Makes the statement.
///
/// # Errors
/// When the template fails.
pub fn statement_page(assessment: &Assessment, cover: &CoverOrder) -> Result<String, ReportError> {
    let (style, piece) = (
        style_of(&["palette.css", "style.css", "cover.css"]),
        &assessment.piece,
    );
    let shoots = assessment.shoots.iter().map(|shoot| {
        let photos = assessment.photos.iter().filter(|it| it.shoot == shoot.no);
        let numbers: Vec<u32> = photos.map(|it| it.no).collect();
        ShootLine {
            stage: shoot.stage.word(),
            day: shoot.day.spoken(),
            count: numbers.len(),
            pictures: words::runs(&numbers),
        }
    });
    let newest = cover.seals.last();
    let view = StatementView {
        title: format!("Statement about the pictures of {}", piece.stock_no),
        policy: policy::text("data:", &style, ""),
        style,
        stock_no: piece.stock_no.to_string(),
        piece: piece.title.clone(),
        seal: newest.map_or_else(String::new, |it| it.no.to_string()),
        root: cover.root.clone(),
        shoots: shoots.collect(),
    };
    Ok(templates::fill("statement.html", &view)?)
}
