//! What every view of the page looks things up in.

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::assess::assessment::PictureIssue;
use crate::assess::assessment::PictureNote;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::hidden::Hidden;
use crate::assess::findings::outcome::Outcome;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::assess::worked::Worked;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::report::DrawingInput;
use crate::report::Reader;
use crate::report::ReportRequest;
use crate::report::images::album::Album;
use crate::report::page::became;
use crate::report::page::words;
use crate::tongue::Saying;
use crate::tongue::Tongue;
use crate::tongue::say;

/// The assessment with its order, and ways to find things in it.
pub(in crate::report) struct PageContext<'a> {
    /// What the record means.
    pub(in crate::report) assessment: &'a Assessment,
    /// What the assessment does not hold.
    pub(in crate::report) scene: &'a DrawingInput,
    /// What page is wanted.
    pub(in crate::report) order: &'a ReportRequest,
    /// The pictures.
    pub(in crate::report) album: &'a Album<'a>,
    photos: BTreeMap<u32, &'a Photo>,
    shoots: BTreeMap<u32, &'a Shoot>,
    findings: BTreeMap<FindingNo, &'a Finding>,
    hidden: BTreeMap<FindingNo, &'a Hidden>,
}

impl<'a> PageContext<'a> {
    /// Over an assessment.
    pub(in crate::report) fn new(
        assessment: &'a Assessment,
        scene: &'a DrawingInput,
        order: &'a ReportRequest,
        album: &'a Album<'a>,
    ) -> Self {
        let shown = |it: &&Finding| it.state != FindingState::Withdrawn;
        let findings = assessment.findings.iter().filter(shown);
        Self {
            assessment,
            scene,
            order,
            album,
            photos: assessment.photos.iter().map(|it| (it.no, it)).collect(),
            shoots: assessment.shoots.iter().map(|it| (it.no, it)).collect(),
            findings: findings.map(|it| (it.no, it)).collect(),
            hidden: assessment.hidden.iter().map(|it| (it.no, it)).collect(),
        }
    }

    /// Every finding but the withdrawn ones, by number.
    pub(in crate::report) fn findings(&self) -> impl Iterator<Item = &'a Finding> {
        self.findings.values().copied()
    }

    /// A finding that is not withdrawn.
    pub(in crate::report) fn finding(&self, no: FindingNo) -> Option<&'a Finding> {
        self.findings.get(&no).copied()
    }

    /// What is hidden of a finding, when work that hides lies over it.
    pub(in crate::report) fn hidden(&self, no: FindingNo) -> Option<&'a Hidden> {
        self.hidden.get(&no).copied()
    }

    /// What became of a finding, in words.
    pub(in crate::report) fn state(&self, finding: &Finding) -> Saying {
        let all = std::iter::once(self.became(finding));
        Saying::Parted(all.chain(became::treated(finding)).collect())
    }

    /// Of a fault that is gone without a repair of its own: the work on its part since it was last there, by number.
    fn work_around(&self, finding: &Finding) -> Vec<u32> {
        let there = { finding.history.iter().rev() }.find(|it| it.state.is_there());
        let (Some(there), Some(gone)) = (there, finding.last_told()) else {
            return Vec::new();
        };
        let findings = &self.assessment.findings;
        let done = self.assessment.repairs.iter().filter(|it| {
            let between = there.day <= it.day && it.day <= gone.day;
            between && Worked::by(it, findings).reaches(&finding.part)
        });
        done.map(|it| it.no).collect()
    }

    fn became(&self, finding: &Finding) -> Saying {
        let Some(hidden) = self.hidden(finding.no) else {
            let state = match finding.outcome {
                Some(Outcome::Repaired) => say::group_repaired(),
                _ => became::state(finding, &self.work_around(finding)),
            };
            let closed = finding.outcome.is_some_and(Outcome::is_closed);
            let seen =
                finding.outcome == Some(Outcome::RepairUnseen) && finding.seen_cured().is_some();
            let by = finding.closed_by.filter(|_| closed || seen);
            let by = by.and_then(|it| self.photo(it.photo));
            // That all of its place lies in a later picture stands beside the pictures of the finding.
            let beside = finding.quiet_since.is_some_and(|it| it.of_place.is_some());
            let since = finding.not_told_since().filter(|_| closed && !beside);
            let state = match by {
                Some(it) => say::with_picture(state, it.no),
                None => state,
            };
            return Saying::Parted(std::iter::once(state).chain(since).collect());
        };
        let (number, by) = (hidden.by.len(), words::runs(&hidden.by));
        match finding.remains.is_some() {
            true => say::covered_seen(number, by),
            false => say::covered_by(number, by),
        }
    }

    /// The language of the paper.
    pub(in crate::report) fn tongue(&self) -> Tongue {
        self.scene.tongue
    }

    /// In the language of the paper.
    pub(in crate::report) fn said(&self, it: &Saying) -> String {
        it.said(self.scene.tongue)
    }

    /// Each in the language of the paper.
    pub(in crate::report) fn all_said(&self, all: &[Saying]) -> Vec<String> {
        all.iter().map(|it| self.said(it)).collect()
    }

    /// Findings by number, as a list in a sentence.
    pub(in crate::report) fn numbers(&self, all: &[FindingNo]) -> String {
        let all: Vec<String> = all.iter().map(ToString::to_string).collect();
        self.tongue().listed(&all)
    }

    /// A photo.
    pub(in crate::report) fn photo(&self, no: u32) -> Option<&'a Photo> {
        self.photos.get(&no).copied()
    }

    /// The shoot of a photo.
    pub(in crate::report) fn shoot_of(&self, photo: &Photo) -> Option<&'a Shoot> {
        self.shoots.get(&photo.shoot).copied()
    }

    /// A mark in its photo.
    pub(in crate::report) fn mark(&self, at: MarkAt) -> Option<&'a Mark> {
        self.photo(at.photo)?.sidecar.marks.get(at.mark)
    }

    /// The mark that covers most of its picture, in pictures without a weakness if there are any.
    pub(in crate::report) fn best_mark(&self, sighting: &Sighting) -> Option<MarkAt> {
        let cover = |at: &MarkAt| {
            let [_, _, w, h] = self.mark(*at)?.region.as_ref()?.bounds();
            Some(w.max(h))
        };
        let sound = |at: &MarkAt| self.weak(at.photo).next().is_none();
        let marks = sighting.marks.iter();
        let marks = marks.filter_map(|at| Some((*at, cover(at)?)));
        let best = marks.reduce(|a, b| {
            let better = (sound(&b.0), b.1) > (sound(&a.0), a.1);
            if better { b } else { a }
        });
        best.map(|(at, _)| at)
    }

    /// `Picture 9: there, more than before. Picture 5: repaired.`, where of the pictures of one shoot some say that a fault is there and some
    /// that it is not; `None` where they agree.
    pub(in crate::report) fn said_apart(&self, sighting: &Sighting) -> Option<String> {
        let mut said: Vec<(MarkState, Vec<u32>)> = Vec::new();
        for at in &sighting.marks {
            let Some(state) = self.mark(*at).map(|it| it.state).filter(|it| it.tells()) else {
                continue;
            };
            match said.iter_mut().find(|it| it.0 == state) {
                Some((_, photos)) => photos.push(at.photo),
                None => said.push((state, vec![at.photo])),
            }
        }
        let is_there = |it: &(MarkState, Vec<u32>)| it.0.is_there();
        let apart = said.iter().any(is_there) && !said.iter().all(is_there);
        let line = |(state, photos): (MarkState, Vec<u32>)| {
            format!("{}: {}.", words::pictures(&photos), state.said())
        };
        apart.then(|| said.into_iter().map(line).collect::<Vec<_>>().join(" "))
    }

    /// Label of a part; its name where the list has none.
    pub(in crate::report) fn part_label(&self, part: &PartId) -> String {
        self.assessment.label(part)
    }

    /// A part, in a sentence of any language.
    pub(in crate::report) fn part(&self, part: &PartId) -> Saying {
        Saying::part(&self.part_label(part))
    }

    /// A method, in a sentence of any language.
    pub(in crate::report) fn method(&self, method: &str) -> Saying {
        Saying::method(&self.method_name(method))
    }

    /// A view, in a sentence of any language.
    pub(in crate::report) fn view(&self, view: &str) -> Saying {
        Saying::view(&self.view_label(view))
    }

    /// Label of a view; the word of the sidecar in plain letters when there is none.
    pub(in crate::report) fn view_label(&self, view: &str) -> String {
        let label = self.scene.views.get(view).cloned();
        label.unwrap_or_else(|| view.replace('_', " "))
    }

    /// Name of a method; its word in plain letters when there is none.
    pub(in crate::report) fn method_name(&self, method: &str) -> String {
        let name = self.scene.methods.get(method).cloned();
        name.unwrap_or_else(|| method.replace('_', " "))
    }

    /// The day of a photo, or the day of its shoot, said as such.
    pub(in crate::report) fn day_of(&self, photo: &Photo) -> Saying {
        match (photo.taken(), self.shoot_of(photo)) {
            (Some(taken), _) => say::day(taken.day()),
            (None, Some(shoot)) => say::no_time_shoot(shoot.day),
            (None, None) => say::no_time(),
        }
    }

    /// `picture 5, purchase, 14 March 2026`.
    pub(in crate::report) fn picture_words(&self, photo: &Photo) -> Saying {
        let stage = self.shoot_of(photo);
        let stage = stage.map_or_else(Saying::nothing, |it| it.stage.saying());
        say::picture_words(photo.no, stage, self.day_of(photo))
    }

    /// What makes a photo weak as a picture of a fault, in words, in English. That it is small stands once with the list of pictures, where
    /// a page has one: a page that is no edition and no draft has none.
    pub(in crate::report) fn weaknesses(&self, photo: u32) -> Vec<String> {
        let notes = self.weak(photo);
        let listed = self.order.edition.is_some() || self.order.draft;
        let notes = notes.filter(|it| !listed || it.code != PictureIssue::Small);
        let notes = notes.map(|it| Saying::English(words::sentence(&it.text)));
        notes.map(|it| self.said(&it)).collect()
    }

    /// What the user wrote, as a note.
    pub(in crate::report) fn noted(&self, text: &str) -> String {
        self.said(&words::note(Saying::Own(text.to_owned())))
    }

    fn weak(&self, photo: u32) -> impl Iterator<Item = &'a PictureNote> {
        let weak = |code| {
            matches!(
                code,
                PictureIssue::Dark
                    | PictureIssue::Blurred
                    | PictureIssue::Small
                    | PictureIssue::CutOff
                    | PictureIssue::Damaged
            )
        };
        let notes = self.assessment.picture_notes.iter();
        notes.filter(move |it| it.photo == photo && weak(it.code))
    }

    /// Whether the page is for the owner.
    pub(in crate::report) fn for_owner(&self) -> bool {
        self.order.reader == Reader::Owner
    }
}
