//! Findings as the marking page shows them.

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::report::state_words;

/// A finding and where it is to be seen.
#[derive(Clone, Debug, Serialize)]
pub struct FindingOnWalk {
    pub id: FindingNo,
    pub part: PartId,
    pub part_label: String,
    pub tag: String,
    pub term: String,
    pub which: String,
    /// What it was called when it got its number: a mark without a number that says so is of this finding.
    pub numbered_as: String,
    pub plain: String,
    pub state: FindingState,
    pub state_words: String,
    pub level: Option<u8>,
    pub level_words: Option<String>,
    pub size: Option<String>,
    pub marks: Vec<MarkOnWalk>,
}

/// A mark in its photo and shoot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct MarkOnWalk {
    pub photo: u32,
    pub mark: usize,
    pub shoot: u32,
}

/// Every finding that is not withdrawn, by number.
pub(super) fn findings(it: &Assessment) -> Vec<FindingOnWalk> {
    let kept = it.findings.iter();
    let kept = kept.filter(|it| it.state != FindingState::Withdrawn);
    kept.map(line).collect()
}

fn line(it: &Finding) -> FindingOnWalk {
    let marks = it.history.iter().flat_map(|seen| {
        seen.marks.iter().map(|at| MarkOnWalk {
            photo: at.photo,
            mark: at.mark,
            shoot: seen.shoot,
        })
    });
    FindingOnWalk {
        id: it.no,
        part: it.part.clone(),
        part_label: it.part_label.clone(),
        tag: it.tag.clone(),
        term: it.term.clone(),
        which: it.which.clone(),
        numbered_as: it.numbered_as.clone(),
        plain: it.plain.clone(),
        state: it.state,
        state_words: state_words(it).to_owned(),
        level: it.level,
        level_words: it.level_words.clone(),
        size: it.size.clone(),
        marks: marks.collect(),
    }
}
