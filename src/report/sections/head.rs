//! What this is, who made it, and the draft's gaps.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::assessment::PictureIssue;
use crate::kit::measure::Length;
use crate::kit::text::capital;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::report::Reader;
use crate::report::ShotKind;
use crate::report::edition::edition_diff::EditionDiff;
use crate::report::page::claimed;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;
use crate::tongue::Language;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade;

/// What this is.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct HeadView {
    /// Stock number.
    pub(in crate::report) stock_no: String,
    /// Short description.
    pub(in crate::report) title: String,
    /// `Edition 2, made on 3 May 2026`.
    pub(in crate::report) edition: String,
    /// The seller's name, if given.
    pub(in crate::report) seller: String,
    /// The owner's words.
    pub(in crate::report) about: Option<String>,
    /// What changed since the edition before.
    pub(in crate::report) since: Option<EditionDiff>,
    /// Words that claim something, and what bears them.
    pub(in crate::report) claims: Vec<FactView>,
    /// Purpose, sizes, weight, people, days.
    pub(in crate::report) facts: Vec<FactView>,
    /// The front.
    pub(in crate::report) cover: Option<FigureView>,
    /// What is only on this piece, and where it bears a label.
    pub(in crate::report) identity: Vec<FigureView>,
    /// What was read on labels, and where one was looked for in vain.
    pub(in crate::report) labels: Vec<String>,
}

/// What a draft says of itself.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct DraftView {
    /// What is missing, and what to do about it.
    pub(in crate::report) gaps: Vec<GapView>,
}

/// How many sidecars have a newest text that is not in force, in a sentence; which ones is the owner's matter.
pub(in crate::report) fn not_in_force(sources: &PageContext<'_>) -> Option<String> {
    let complaints = sources.assessment.complaints.iter();
    let texts: BTreeSet<&str> = complaints.map(|it| it.file.as_str()).collect();
    let number = texts.len();
    (number > 0).then(|| sources.said(&say::notes_unread(number)))
}

/// One gap.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct GapView {
    /// What is missing.
    pub(in crate::report) message: String,
    /// What to do about it.
    pub(in crate::report) remedy: String,
}

impl HeadView {
    /// Of the piece.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let (piece, order) = (&sources.assessment.piece, sources.order);
        let cover = cover(sources).map(|photo| {
            let view = photo.sidecar.view.as_deref().unwrap_or("whole piece");
            let view = sources.view(view);
            let alt = say::part_inner(Saying::Own(piece.title.clone()), view);
            FigureView::whole(sources, photo, ShotKind::Large, &sources.said(&alt))
        });
        Self {
            stock_no: piece.stock_no.to_string(),
            title: sources.said(&Saying::Own(capital(&piece.title))),
            edition: sources.said(&match order.edition {
                Some(no) => say::edition(no, order.made_on),
                None => say::edition_draft(order.made_on),
            }),
            seller: sources.scene.trading_name.clone(),
            about: piece.about.clone(),
            since: order.since.clone(),
            claims: claimed::borne(sources.assessment),
            facts: facts(sources),
            cover,
            identity: identity(sources),
            labels: labels(sources),
        }
    }
}

/// Views that tell this piece from others like it.
const IDENTITY: [&str; 2] = ["identity_mark", "label_mark"];

/// Of each such view the newest picture before the piece left, else the newest.
fn identity(sources: &PageContext<'_>) -> Vec<FigureView> {
    let figures = IDENTITY.iter().filter_map(|view| {
        let photos = sources.assessment.photos.iter();
        let photos = photos.filter(|it| it.sidecar.view.as_deref() == Some(view));
        let left = |photo: &Photo| {
            sources
                .shoot_of(photo)
                .is_some_and(|it| it.stage.after_sale())
        };
        let photo = photos.max_by_key(|it| (!left(it), it.shoot, it.no))?;
        let label = sources.view_label(view);
        let mut figure = FigureView::whole(sources, photo, ShotKind::Large, &label);
        figure.caption = format!("{label}: {}", sources.picture_words(photo));
        let note = photo.sidecar.note.iter();
        figure.notes.extend(note.map(|it| sources.noted(it)));
        Some(figure)
    });
    figures.collect()
}

/// Labels as they were read, and places where none was found.
fn labels(sources: &PageContext<'_>) -> Vec<String> {
    let mut lines = Vec::new();
    for photo in &sources.assessment.photos {
        let marks = photo.sidecar.marks.iter();
        for mark in marks.filter(|it| it.tag.as_deref() == Some("label_text")) {
            let part = mark
                .part
                .as_ref()
                .map_or_else(String::new, |it| sources.part_label(it));
            let day = sources.day_of(photo);
            let note = mark
                .note
                .as_deref()
                .map_or_else(String::new, |it| format!(": {it}"));
            let line = match mark.state.is_there() {
                true => format!("{part}{note} (picture {})", photo.no),
                false => format!(
                    "{part}: looked for a label or stamp on {day}, found none (picture {})",
                    photo.no
                ),
            };
            lines.push(words::sentence(&line));
        }
    }
    lines
}

impl DraftView {
    /// Of a draft; a final page has none.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Option<Self> {
        let gaps = sources.assessment.gaps.iter().map(|it| GapView {
            message: words::sentence(&capital(&it.message)),
            remedy: words::sentence(&capital(&it.remedy)),
        });
        sources.order.draft.then(|| Self {
            gaps: gaps.collect(),
        })
    }
}

fn facts(sources: &PageContext<'_>) -> Vec<FactView> {
    let piece = &sources.assessment.piece;
    let own = |it: &Option<String>| it.clone().map(Saying::Own);
    let made_for = match sources.order.reader {
        Reader::Buyer => say::made_for_buyer(),
        Reader::Owner => say::made_for_owner(),
    };
    let size = piece.size.map(|size| {
        let side = |mm: f64| match sources.tongue().language {
            Language::English => {
                let length = Length::mm(mm);
                format!("{length} ({})", length.inches())
            }
            Language::German | Language::French => {
                format!("{} mm", sources.tongue().length_mm(mm))
            }
        };
        say::size_of(
            side(size.height_mm),
            side(size.width_mm),
            side(size.depth_mm),
        )
    });
    let form_before = piece.form_before.as_ref().map(|id| {
        let form = trade::book().form(id);
        form.map_or_else(|| Saying::Own(id.clone()), |it| Saying::form(&it.label))
    });
    let never_had = { sources.assessment.never_had.iter() }.map(|it| Saying::part(it));
    let never_had = Saying::Parted(never_had.collect());
    let fallback = Some(sources.scene.examined_by.clone()).filter(|it| !it.is_empty());
    let examined = piece.examined_by.clone().or(fallback);
    let told = [
        (say::made_for(), Some(made_for)),
        (
            say::form(),
            Some(Saying::form(&sources.assessment.form_label)),
        ),
        (say::size(), size.or_else(|| Some(say::not_recorded()))),
        (
            say::never_had(),
            Some(never_had).filter(|it| !it.is_nothing()),
        ),
        (say::size_taken(), own(&piece.size_taken)),
        (say::form_bought(), form_before),
        (say::of_a_set(), own(&piece.set)),
        (
            say::weight(),
            own(&piece.weight).or_else(|| Some(say::not_recorded())),
        ),
        (
            say::examined_by(),
            own(&examined).or_else(|| Some(say::not_recorded())),
        ),
        (say::pictures_name(), Some(shoots(sources))),
    ];
    let told = told.into_iter();
    told.filter_map(|(name, it)| Some(FactView::new(&sources.said(&name), sources.said(&it?))))
        .collect()
}

fn shoots(sources: &PageContext<'_>) -> Saying {
    let photos = &sources.assessment.photos;
    let lines = sources.assessment.shoots.iter().map(|shoot| {
        let number = photos.iter().filter(|it| it.shoot == shoot.no).count();
        say::shoot_counted(shoot.day, shoot.stage.saying(), number)
    });
    let lines: Vec<_> = lines.collect();
    match lines.is_empty() {
        true => say::not_yet(),
        false => Saying::Parted(lines),
    }
}

/// The front as last offered: sale first, then the latest before it, then anything.
fn cover<'a>(sources: &PageContext<'a>) -> Option<&'a Photo> {
    let views = ["front_whole", "three_quarter", "front"];
    let dim = |photo: &Photo| {
        let mut notes = sources.assessment.picture_notes.iter();
        notes.any(|it| {
            let weak = matches!(it.code, PictureIssue::Dark | PictureIssue::Blurred);
            it.photo == photo.no && weak
        })
    };
    let rank = |photo: &Photo| {
        let view = photo.sidecar.view.as_deref().unwrap_or("");
        let view = views.iter().position(|it| view.starts_with(it));
        let stage = sources.shoot_of(photo).map(|it| it.stage);
        let stage = match stage {
            Some(Stage::Sale) => 0,
            Some(Stage::Handover) => 1,
            Some(Stage::Work) => 3,
            Some(stage) if stage.after_sale() => 4,
            _ => 2,
        };
        (view.unwrap_or(views.len()), dim(photo), stage, photo.no)
    };
    sources.assessment.photos.iter().min_by_key(|it| rank(it))
}
