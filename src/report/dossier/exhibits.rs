//! Exhibits: the same place then and now, with what the ledger says of each picture.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::report::dossier::concerned::absent;
use crate::report::dossier::concerned::answering;
use crate::report::dossier::concerned::concerned;
use crate::report::dossier::concerned::lost;
use crate::report::dossier::concerned::shows_a_fault;
use crate::report::dossier::cover_order::CoverRequest;
use crate::report::dossier::exhibit_draft::Draft;
use crate::report::dossier::proof_view::ProofView;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::sections::figure::FigureView;
use crate::report::sections::work::changed::PairView;

/// An exhibit.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct ExhibitView {
    /// Its number, from 1.
    pub(in crate::report) no: usize,
    /// What it is about.
    pub(in crate::report) title: String,
    /// What it says to the question when something came; empty where it only shows.
    pub(in crate::report) answers: Vec<String>,
    /// State and measure.
    pub(in crate::report) facts: Vec<FactView>,
    /// The same spot through time, and what is said of how the pictures were made.
    pub(in crate::report) strip: Vec<FigureView>,
    /// How these were made.
    pub(in crate::report) strip_words: String,
    /// Where its first pair stands, when that is not here.
    pub(in crate::report) above: &'static str,
    /// Pictures side by side.
    pub(in crate::report) pairs: Vec<PairView>,
    /// Pictures alone.
    pub(in crate::report) figures: Vec<FigureView>,
    /// What the ledger says of its pictures.
    pub(in crate::report) pictures: Vec<ProofView>,
    /// SHA-256 of a paper; empty for pictures.
    pub(in crate::report) sha256: String,
}

impl ExhibitView {
    /// All exhibits: findings by number, then parts that are absent since, then views and pictures that were asked for, then
    /// papers.
    pub(in crate::report) fn all(sources: &PageContext<'_>, cover: &CoverRequest) -> Vec<Self> {
        let findings = concerned(sources.assessment, cover);
        let mut drafts: Vec<Draft> = findings
            .iter()
            .filter_map(|it| sources.finding(it.no))
            .map(|it| Draft::of_finding(sources, cover, it))
            .collect();
        let lost = lost(sources.assessment, cover);
        drafts.extend(
            lost.iter()
                .map(|(part, it)| Draft::of_lost(sources, cover, part, it)),
        );
        let absent = absent(sources.assessment, cover).into_iter();
        drafts.extend(absent.map(|(part, missed)| Draft::of_absent(sources, cover, part, missed)));
        let views = cover.claim.iter().flat_map(|it| &it.views);
        for view in views.filter(|it| findings.is_empty() || !shows_a_fault(it)) {
            drafts.extend(Draft::of_view(sources, cover, view));
        }
        let seen = cover.claim.iter().flat_map(|it| {
            let seen = answering(sources.assessment, it);
            seen.flat_map(|it| it.photos())
        });
        let seen: BTreeSet<u32> = seen.collect();
        let named = cover.photos.iter().copied();
        // Where pictures are named, the claim is about these.
        let asked: Vec<u32> = match cover.photos.is_empty() {
            true => seen.into_iter().collect(),
            false => named.collect(),
        };
        let shown: BTreeSet<u32> = drafts.iter().flat_map(|it| it.photos.clone()).collect();
        for photo in asked.into_iter().filter(|it| !shown.contains(it)) {
            drafts.extend(sources.photo(photo).map(|it| Draft::of_photo(sources, it)));
        }
        let papers = cover.papers.iter().map(Draft::of_paper);
        let numbered = drafts.into_iter().chain(papers).enumerate();
        numbered
            .map(|(n, it)| Self {
                no: n + 1,
                pictures: it
                    .photos
                    .iter()
                    .filter_map(|no| Some(ProofView::new(sources, sources.photo(*no)?, cover)))
                    .collect(),
                title: it.title,
                answers: it.answers,
                facts: it.facts,
                strip: it.strip,
                strip_words: it.strip_words,
                above: "",
                pairs: it.pairs,
                figures: it.figures,
                sha256: it.sha256,
            })
            .collect()
    }
}

impl ExhibitView {
    /// Takes its first such pair, to be shown with the question itself.
    pub(in crate::report) fn take_pair(
        &mut self,
        is: impl Fn(&PairView) -> bool,
    ) -> Option<PairView> {
        let at = self.pairs.iter().position(is)?;
        let pair = self.pairs.remove(at);
        self.above = "Its two pictures stand with the question, on top of this page.";
        Some(pair)
    }
}
