//! The list of pictures.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::assessment::PictureIssue;
use crate::model::photo::Photo;
use crate::report::ShotKind;
use crate::report::page::context::PageContext;
use crate::report::page::names;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::tongue::stopped;

/// The pictures of one shoot.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct ShootView {
    /// Occasion and day.
    pub(in crate::report) title: String,
    /// Its pictures, by corrected camera time.
    pub(in crate::report) pictures: Vec<PictureView>,
}

/// One picture.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct PictureView {
    /// Its number.
    pub(in crate::report) no: u32,
    /// What view it is.
    pub(in crate::report) view: String,
    /// The parts that it shows.
    pub(in crate::report) parts: String,
    /// Camera time, as claimed and as corrected.
    pub(in crate::report) time: String,
    /// What was written beside it, and what is wrong with it as evidence.
    pub(in crate::report) notes: Vec<String>,
    /// Name of the original, for the owner alone: it may name people and places, and the digest says which file it is.
    pub(in crate::report) name: Option<String>,
    /// SHA-256 of the original.
    pub(in crate::report) digest: String,
    /// A small picture.
    pub(in crate::report) thumb: FigureView,
}

impl ShootView {
    /// Of all shoots.
    pub(in crate::report) fn all(sources: &PageContext<'_>) -> Vec<Self> {
        let shoots = sources.assessment.shoots.iter().map(|shoot| {
            let photos = sources.assessment.photos.iter();
            let photos: Vec<&Photo> = photos.filter(|it| it.shoot == shoot.no).collect();
            Self {
                title: sources.said(&Saying::Commas(vec![
                    shoot.stage.saying().capital(),
                    say::day(shoot.day),
                ])),
                pictures: { photos }
                    .into_iter()
                    .map(|it| PictureView::new(sources, it))
                    .collect(),
            }
        });
        shoots.filter(|it| !it.pictures.is_empty()).collect()
    }
}

impl PictureView {
    fn new(sources: &PageContext<'_>, photo: &Photo) -> Self {
        let view = photo.sidecar.view.as_deref();
        let view = view.map_or_else(say::view_unnamed, |it| sources.view(it).capital());
        let issues = sources.assessment.picture_notes.iter();
        let issues = issues.filter(|it| it.photo == photo.no && !is_grouped(it.code));
        let issues = issues.map(|it| it.text.clone());
        let scale = photo.sidecar.scale.as_ref().map(words::scale);
        let facts = scale.into_iter().chain(issues);
        let facts = facts.map(|it| sources.said(&it.sentence()));
        let note = photo.sidecar.note.iter().map(|it| sources.noted(it));
        let alt = sources.said(&say::part_inner(say::picture(photo.no), view.clone()));
        Self {
            no: photo.no,
            parts: parts(sources, photo.no),
            time: sources.said(&time(photo)),
            notes: note.chain(facts).collect(),
            name: sources.for_owner().then(|| photo.name.clone()),
            digest: photo.digest.to_string(),
            thumb: FigureView::whole(sources, photo, ShotKind::Thumb, &alt),
            view: sources.said(&view),
        }
    }
}

/// What is said of many pictures at once.
fn is_grouped(code: PictureIssue) -> bool {
    matches!(code, PictureIssue::Small | PictureIssue::RawPreview)
}

/// What is so with several pictures alike, such as those of one small size, in a sentence.
pub(in crate::report) fn grouped(sources: &PageContext<'_>, code: PictureIssue) -> Vec<String> {
    let mut alike: BTreeMap<String, (&Saying, Vec<u32>)> = BTreeMap::new();
    let notes = sources.assessment.picture_notes.iter();
    for it in notes.filter(|it| it.code == code) {
        let known = alike.entry(it.text.english());
        known.or_insert((&it.text, Vec::new())).1.push(it.photo);
    }
    let said = alike.into_values().map(|(text, numbers)| {
        let pictures = match numbers.as_slice() {
            [one] => say::picture_small(*one),
            several => say::pictures_small(words::runs(several)),
        };
        sources.said(&say::part_inner(text.clone(), pictures).sentence())
    });
    said.collect()
}

/// Whether the original of every picture is there.
pub(in crate::report) fn all_kept(sources: &PageContext<'_>) -> bool {
    let notes = &sources.assessment.picture_notes;
    notes.iter().all(|it| it.code != PictureIssue::OriginalGone)
}

/// The parts that a picture shows, drawn together; empty when none is told.
fn parts(sources: &PageContext<'_>, no: u32) -> String {
    let parts = &sources.assessment.parts;
    let shown = parts.iter().filter(|it| it.photos.contains(&no));
    let labels: Vec<&str> = shown.map(|it| it.label.as_str()).collect();
    stopped(&names::line(parts, &labels, sources.tongue()))
}

fn time(photo: &Photo) -> Saying {
    let (Some(claimed), Some(taken)) = (photo.facts.camera_time, photo.taken()) else {
        return say::no_time();
    };
    let zone = (!claimed.knows_offset()).then(say::zone_unknown);
    let (claimed, taken) = (Saying::time(claimed), Saying::time(taken));
    let told = match photo.clock_off.seconds {
        0 => taken,
        _ => say::time_corrected(taken, photo.clock_off.to_string(), claimed),
    };
    Saying::Parted(std::iter::once(told).chain(zone).collect())
}
