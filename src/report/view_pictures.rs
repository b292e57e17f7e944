//! The list of pictures.

use serde::Serialize;

use crate::kit::text::capital;
use crate::model::photo::Photo;
use crate::report::ShotKind;
use crate::report::sources::Sources;
use crate::report::view_figure::FigureView;
use crate::report::words;

/// The pictures of one shoot.
#[derive(Clone, Debug, Serialize)]
pub(super) struct ShootView {
    /// Occasion and day.
    pub(super) title: String,
    /// Its pictures, by corrected camera time.
    pub(super) pictures: Vec<PictureView>,
}

/// One picture.
#[derive(Clone, Debug, Serialize)]
pub(super) struct PictureView {
    /// Its number.
    pub(super) no: u32,
    /// What view it is.
    pub(super) view: String,
    /// Camera time, as claimed and as corrected.
    pub(super) time: String,
    /// What was written beside it, and what is wrong with it as evidence.
    pub(super) notes: Vec<String>,
    /// Name of the original.
    pub(super) name: String,
    /// SHA-256 of the original.
    pub(super) digest: String,
    /// A small picture.
    pub(super) thumb: FigureView,
}

impl ShootView {
    /// Of all shoots.
    pub(super) fn all(sources: &Sources<'_>) -> Vec<Self> {
        let shoots = sources.assessment.shoots.iter().map(|shoot| {
            let photos = sources.assessment.photos.iter();
            let photos = photos.filter(|it| it.shoot == shoot.no);
            Self {
                title: format!("{}, {}", capital(shoot.stage.word()), shoot.day.spoken()),
                pictures: photos.map(|it| PictureView::new(sources, it)).collect(),
            }
        });
        shoots.filter(|it| !it.pictures.is_empty()).collect()
    }
}

impl PictureView {
    fn new(sources: &Sources<'_>, photo: &Photo) -> Self {
        let view = photo.sidecar.view.as_deref();
        let view = view.map_or_else(
            || "view not named".to_owned(),
            |it| capital(&sources.view_label(it)),
        );
        let issues = sources.assessment.picture_notes.iter();
        let issues = issues.filter(|it| it.photo == photo.no).map(|it| &it.text);
        let scale = photo.sidecar.scale.as_ref().map(words::scale);
        let notes = photo.sidecar.note.iter().chain(&scale).chain(issues);
        let alt = format!("Picture {}: {view}", photo.no);
        Self {
            no: photo.no,
            time: time(photo),
            notes: notes.map(|it| words::sentence(&capital(it))).collect(),
            name: photo.name.clone(),
            digest: photo.digest.to_string(),
            thumb: FigureView::whole(sources, photo, ShotKind::Thumb, &alt),
            view,
        }
    }
}

fn time(photo: &Photo) -> String {
    let (Some(claimed), Some(taken)) = (photo.facts.camera_time, photo.taken()) else {
        return "no camera time".to_owned();
    };
    let zone = match claimed.knows_offset() {
        true => "",
        false => "; the camera names no time zone",
    };
    if photo.clock_off.seconds == 0 {
        return format!("{}{zone}", taken.spoken());
    }
    format!(
        "{}, corrected by {} by the one who examined it (the camera said {}){zone}",
        taken.spoken(),
        photo.clock_off,
        claimed.spoken()
    )
}
