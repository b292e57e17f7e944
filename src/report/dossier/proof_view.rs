//! What the ledger says of a picture that stands in an exhibit.

use serde::Serialize;

use crate::assess::assessment::PictureIssue;
use crate::model::photo::Photo;
use crate::report::dossier::cover_order::CoverRequest;
use crate::report::dossier::in_book;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::page::words;

/// What the ledger says of a picture.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct ProofView {
    /// The picture.
    pub(in crate::report) no: u32,
    facts: Vec<FactView>,
    sha256: String,
}

impl ProofView {
    /// Of a picture of an exhibit.
    pub(in crate::report) fn new(
        sources: &PageContext<'_>,
        photo: &Photo,
        cover: &CoverRequest,
    ) -> Self {
        let claimed = photo.facts.camera_time;
        let camera = claimed.map_or_else(
            || "none in the file".to_owned(),
            |it| format!("{}, as the camera claims", it.spoken()),
        );
        let note = photo.sidecar.note.iter();
        let note = note.map(|it| FactView::new("Written beside it", words::sentence(it)));
        let mut facts: Vec<FactView> = note.collect();
        facts.push(FactView::new("Camera time", camera));
        if let (Some(taken), true) = (photo.taken(), photo.clock_off.seconds != 0) {
            let text = format!(
                "{}, put right by the owner by {}",
                taken.spoken(),
                photo.clock_off
            );
            facts.push(FactView::new("Corrected", text));
        }
        let imported = format!("{}, by the owner's computer", photo.imported);
        facts.push(FactView::new("In the book", imported));
        let notes = sources.assessment.picture_notes.iter();
        let elsewhere =
            notes.filter(|it| (it.photo, it.code) == (photo.no, PictureIssue::OtherShoot));
        let elsewhere = elsewhere.map(|it| it.text.clone().sentence().to_string());
        facts.extend(elsewhere.map(|it| FactView::new("Shoot", it)));
        match cover.proofs.get(&photo.no) {
            Some(proof) => {
                let seal = proof
                    .seal
                    .map_or_else(|| "no seal".to_owned(), |it| format!("seal {it}"));
                let stamp = match proof.stamped {
                    Some((seal, at)) => format!("not later than {at} (seal {seal})"),
                    None => "none".to_owned(),
                };
                facts.push(FactView::new(
                    "Ledger",
                    format!("line {}, {seal}", proof.line),
                ));
                facts.push(FactView::new("Time stamp", stamp));
                facts.push(FactView::new("File", proof.file.clone()));
                let beside = proof.beside.iter();
                facts.extend(beside.map(|it| FactView::new("Text beside it", it.clone())));
                let lines = in_book::beside(sources, photo, &proof.words);
                if !lines.is_empty() {
                    let name = "Words entered".to_owned();
                    facts.push(FactView { name, lines });
                }
            }
            None => facts.push(FactView::new("Ledger", "no line names it")),
        }
        Self {
            no: photo.no,
            facts,
            sha256: photo.digest.to_string(),
        }
    }
}
