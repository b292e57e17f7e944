//! The first page of a dossier, and the statement for whoever took the pictures.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::assessment::PictureIssue;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::kit::text::capital;
use crate::model::photo::Photo;
use crate::model::picture::SmallPicture;
use crate::report::Crop;
use crate::report::DrawingInput;
use crate::report::Packing;
use crate::report::Reader;
use crate::report::ReportError;
use crate::report::ReportRequest;
use crate::report::dossier::claim::ClaimView;
use crate::report::dossier::concerned::concerned;
use crate::report::dossier::cover_order::CoverRequest;
use crate::report::dossier::cover_order::TakenOut;
use crate::report::dossier::dates::DateView;
use crate::report::dossier::exhibits::ExhibitView;
use crate::report::images::album::Album;
use crate::report::page::claimed;
use crate::report::page::context::PageContext;
use crate::report::page::policy;
use crate::report::page::shop::ShopView;
use crate::report::page::templates;
use crate::report::page::templates::style_of;
use crate::report::page::words;
use crate::report::sections::findings::withdrawn;
use crate::report::sections::head::not_in_force;
use crate::report::sections::living::dangers;
use crate::report::sections::pictures::grouped;
use crate::report::sections::remarks::GroupView;

/// Everything that the first page prints.
#[derive(Clone, Debug, Serialize)]
struct CoverView {
    title: String,
    policy: String,
    style: String,
    stock_no: String,
    piece: String,
    shop: ShopView,
    made: String,
    fingerprint: String,
    signed: &'static str,
    stamp: String,
    newest: String,
    taken_out: Vec<String>,
    not_in: Vec<String>,
    confirmed: Vec<String>,
    key_changes: Vec<String>,
    contradictions: Vec<String>,
    previews: Vec<String>,
    counted: Vec<String>,
    dangers: Vec<String>,
    built_later: &'static str,
    enclosed: &'static str,
    originals: &'static str,
    dates: Vec<DateView>,
    exhibits: Vec<ExhibitView>,
    /// Whether an exhibit shows a picture.
    pictured: &'static str,
    remarks: Vec<GroupView>,
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

/// A page for buyers that is no edition.
pub(in crate::report) fn order(made_on: Day) -> ReportRequest {
    ReportRequest {
        reader: Reader::Buyer,
        draft: false,
        edition: None,
        made_on,
        packing: Packing::OneFile,
        is_copy: false,
        since: None,
        seal: None,
        code: None,
        sale: None,
        fallen: Vec::new(),
        late: None,
    }
}

/// Tells which pictures the first page needs: sorted, each once.
#[must_use]
pub fn cover_shots(assessment: &Assessment, cover: &CoverRequest) -> Vec<Crop> {
    let (scene, pictures) = (DrawingInput::default(), BTreeMap::new());
    let album = Album::new(&pictures, Packing::OneFile);
    let order = order(cover.made_on);
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
    scene: &DrawingInput,
    cover: &CoverRequest,
    pictures: &BTreeMap<Crop, SmallPicture>,
) -> Result<String, ReportError> {
    let album = Album::new(pictures, Packing::OneFile);
    let order = order(cover.made_on);
    let assessment = &claimed::marked(assessment);
    let sources = PageContext::new(assessment, scene, &order, &album);
    let mut exhibits = ExhibitView::all(&sources, cover);
    let claim = ClaimView::new(&sources, cover, &mut exhibits);
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
        shop: ShopView::of(scene),
        made: cover.made_on.spoken(),
        fingerprint: cover.fingerprint.clone(),
        signed: yes(cover.signed),
        stamp: stamps.join("; "),
        newest: newest.map_or_else(String::new, |it| {
            format!("seal {} over {} lines", it.no, it.size)
        }),
        taken_out: cover.taken_out.iter().map(TakenOut::sentence).collect(),
        not_in: cover.not_in.clone(),
        confirmed: cover
            .confirmed
            .iter()
            .map(|it| it.sentence.clone())
            .collect(),
        key_changes: cover.key_changes.clone(),
        contradictions: contradictions(assessment, cover),
        previews: grouped(&sources, PictureIssue::RawPreview),
        counted: {
            let mut lines = counted(assessment);
            lines.extend(beside(assessment, cover));
            lines.extend(not_in_force(&sources));
            lines
        },
        dangers: sources.all_said(&dangers(&sources)),
        built_later: yes(cover.built_later),
        enclosed: cover.photo_files.enclosed(),
        originals: cover.photo_files.named(),
        dates: DateView::all(&sources, cover),
        claim,
        pictured: yes(exhibits.iter().any(|it| !it.pictures.is_empty())),
        exhibits,
        remarks: GroupView::all(&sources),
        contact: scene.contact.clone(),
    };
    Ok(templates::fill("cover.html", &view)?)
}

/// What a template takes for true.
fn yes(is_so: bool) -> &'static str {
    if is_so { "yes" } else { "" }
}

/// Which pictures were put into another shoot, and where the camera facts of a picture do not fit together, of all or of those of the
/// claim; and where a seal is dated before the one before it.
fn contradictions(assessment: &Assessment, cover: &CoverRequest) -> Vec<String> {
    let of = |code: PictureIssue| {
        let asked = |no: u32| cover.photos.is_empty() || cover.photos.contains(&no);
        let notes = assessment.picture_notes.iter();
        notes.filter(move |it| it.code == code && asked(it.photo))
    };
    let these = of(PictureIssue::OtherShoot).chain(of(PictureIssue::Contradiction));
    let pictures = these.map(|it| words::sentence(&format!("Picture {}: {}", it.photo, it.text)));
    let back = cover.seals.windows(2).filter(|it| it[1].at < it[0].at);
    let seals = back.map(|it| {
        let (before, seal) = (&it[0], &it[1]);
        format!(
            "Seal {} says {}, seal {} before it says {}: the maker's clock was set back between them.",
            seal.no, seal.at, before.no, before.at
        )
    });
    pictures.chain(seals).collect()
}

/// What the record counts, in the words of the report.
pub(in crate::report) fn counted(assessment: &Assessment) -> Vec<String> {
    let counts = &assessment.counts;
    let mut lines = vec![words::sentence(&capital(&counts.findings.text()))];
    lines.extend(assessment.not_there().map(|it| it.to_string()));
    lines.extend(told_absent(assessment));
    lines.extend(once(assessment));
    lines.extend(withdrawn::findings(assessment).map(|it| it.to_string()));
    lines.push(format!("Not examined: {}.", counts.lacks.text()));
    lines
}

/// Of the parts that are not there those that were told so of the piece, with the line of each; `None` without one.
fn told_absent(assessment: &Assessment) -> Option<String> {
    let parts = assessment.parts.iter();
    let told = parts.filter_map(|it| {
        let on = it.missed_itself()?.told()?;
        let (label, day) = (&it.label, on.on.spoken());
        Some(format!("{label} on {day} (line {})", on.line))
    });
    let told: Vec<String> = told.collect();
    let says = || {
        format!(
            "Of these as told of the piece, beside no picture: {}.",
            told.join("; ")
        )
    };
    (!told.is_empty()).then(says)
}

/// The findings of which one look alone says that they are there, by number; `None` without one.
fn once(assessment: &Assessment) -> Option<String> {
    let once = assessment
        .findings
        .iter()
        .filter(|it| it.rests_on_one_look());
    let once: Vec<String> = once.map(|it| it.no.to_string()).collect();
    (!once.is_empty()).then(|| {
        format!(
            "Of those that are still there, one look alone saw these: {}.",
            once.join(", ")
        )
    })
}

/// The findings on record that no exhibit is about, by name; `None` where each has one.
fn beside(assessment: &Assessment, cover: &CoverRequest) -> Option<String> {
    let about = concerned(assessment, cover);
    let rest = assessment.findings.iter();
    let rest = rest.filter(|it| it.outcome.is_some() && !about.iter().any(|of| of.no == it.no));
    let rest: Vec<String> = rest
        .map(|it| format!("{} {}, {}", it.no, it.term, it.placed()))
        .collect();
    (!rest.is_empty()).then(|| {
        let rest = rest.join("; ");
        words::sentence(&format!("On record, and in no exhibit of its own: {rest}"))
    })
}

/// The day of a picture by its camera, or that it tells none; and that the owner put it into another shoot than it came in with.
fn taken_on(photo: &Photo) -> String {
    let day = match photo.taken() {
        Some(it) if photo.clock_off == ClockOff::default() => it.day().spoken(),
        Some(it) => format!("{}, by a clock that the owner put right", it.day().spoken()),
        None => "no camera time".to_owned(),
    };
    match &photo.moved {
        Some(it) => format!("{day}; {}", it.words()),
        None if photo.taken().is_some() => day,
        None => {
            let came = photo.imported.local_day().spoken();
            format!("{day}; taken into the book on {came}")
        }
    }
}

/// Makes the statement.
///
/// # Errors
/// When the template fails.
pub fn statement_page(
    assessment: &Assessment,
    cover: &CoverRequest,
) -> Result<String, ReportError> {
    let (style, piece) = (
        style_of(&["palette.css", "style.css", "cover.css"]),
        &assessment.piece,
    );
    let shoots = assessment.shoots.iter().flat_map(|shoot| {
        let photos = assessment.photos.iter().filter(|it| it.shoot == shoot.no);
        let mut days: Vec<(String, Vec<u32>)> = Vec::new();
        for photo in photos {
            let day = taken_on(photo);
            match days.iter_mut().find(|it| it.0 == day) {
                Some((_, numbers)) => numbers.push(photo.no),
                None => days.push((day, vec![photo.no])),
            }
        }
        days.into_iter().map(|(day, numbers)| ShootLine {
            stage: shoot.stage.word(),
            day,
            count: numbers.len(),
            pictures: words::runs(&numbers).to_string(),
        })
    });
    let assessment = &claimed::marked(assessment);
    let newest = cover.seals.last();
    let view = StatementView {
        title: format!("Statement about the pictures of {}", piece.stock_no),
        policy: policy::text("data:", &style, ""),
        style,
        stock_no: piece.stock_no.to_string(),
        piece: assessment.piece.title.clone(),
        seal: newest.map_or_else(String::new, |it| it.no.to_string()),
        root: cover.root.clone(),
        shoots: shoots.collect(),
    };
    Ok(templates::fill("statement.html", &view)?)
}
