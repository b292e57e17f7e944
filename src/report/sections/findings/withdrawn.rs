//! What the record had once and has no more: findings that no mark names, and pictures that were taken out.

use crate::assess::assessment::Assessment;
use crate::assess::findings::taken_out::TakenOutPhoto;
use crate::report::page::words;

/// Findings that are counted nowhere any more, in a sentence; `None` without one.
pub(in crate::report) fn findings(assessment: &Assessment) -> Option<String> {
    let gone = assessment.withdrawn();
    let gone: Vec<String> = gone
        .map(|it| format!("{} {}, {}", it.no, it.term, it.placed()))
        .collect();
    let (are, them) = match gone.len() {
        0 => return None,
        1 => (
            "1 finding is withdrawn and counted no more".to_owned(),
            "it",
        ),
        many => (
            format!("{many} findings are withdrawn and counted no more"),
            "them",
        ),
    };
    let gone = gone.join("; ");
    Some(words::sentence(&format!(
        "{are}, since nothing in the record names {them} any more: {gone}"
    )))
}

/// The pictures that were taken out, a sentence each; the reason is the owner's own.
pub(in crate::report) fn pictures(assessment: &Assessment, for_owner: bool) -> Vec<String> {
    let one = |it: &TakenOutPhoto| {
        let mut text = format!(
            "Picture {} ({}, {}) was taken out of the record on {}",
            it.photo,
            it.stage,
            it.day.spoken(),
            it.out.spoken()
        );
        if let Some(with) = it.told() {
            text.push_str(&format!("; {with}"));
        }
        if for_owner {
            text.push_str(&format!("; the reason given: {}", it.why));
        }
        words::sentence(&text)
    };
    assessment.taken_out.iter().map(one).collect()
}
