//! Words of the user that claim something: what bears them, and wherever they stand but in a final report the mark on those that nothing bears.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::assessment::Assessment;
use crate::assess::claims::claimed::Claimed;
use crate::assess::findings::finding::Finding;
use crate::assess::part_report::PartState;
use crate::model::mark::Mark;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::tongue::Saying;
use crate::tongue::say;

/// What stands behind a word; the word itself stays as typed.
pub(in crate::report) fn mark() -> String {
    format!(" {}", say::claims_unshown())
}

/// What bears the words that are borne, each once.
pub(in crate::report) fn borne(sources: &PageContext<'_>) -> Vec<FactView> {
    let mut told: Vec<(&str, &Saying, Vec<&Saying>)> = Vec::new();
    for claim in &sources.assessment.claims {
        let Some(line) = &claim.rests_on else {
            continue;
        };
        let mut same = told.iter_mut();
        match same.find(|it| (it.0, it.1) == (&claim.word, line)) {
            Some((.., places)) if places.contains(&&claim.place) => {}
            Some((.., places)) => places.push(&claim.place),
            None => told.push((&claim.word, line, vec![&claim.place])),
        }
    }
    let fact = |(word, line, places): (&str, &Saying, Vec<&Saying>)| {
        let also = places[1..].iter();
        let also = also.map(|it| say::claim_also_in((*it).clone()));
        let first = say::claim_in(Saying::quoted(word), places[0].clone());
        let name = Saying::Parted(std::iter::once(first).chain(also).collect());
        FactView::new(&sources.said(&name), sources.said(line))
    };
    told.into_iter().map(fact).collect()
}

/// The title of the piece, with a mark behind every word that nothing bears.
pub(in crate::report) fn title(assessment: &Assessment) -> String {
    let title = &assessment.piece.title;
    let with = marked_texts(&assessment.claims).remove(title.as_str());
    with.unwrap_or_else(|| title.clone())
}

/// What lacks for the words of a text that nothing bears, a sentence each.
pub(in crate::report) fn unborne(assessment: &Assessment) -> Vec<String> {
    lacking(assessment.claims.iter())
}

/// The same of the title alone.
pub(in crate::report) fn unborne_title(assessment: &Assessment) -> Vec<String> {
    let claims = assessment.claims.iter();
    lacking(claims.filter(|it| it.text == assessment.piece.title))
}

fn lacking<'a>(claims: impl Iterator<Item = &'a Claimed>) -> Vec<String> {
    let claims = claims.filter(|it| it.rests_on.is_none());
    let mut lines: Vec<String> = claims
        .map(|it| {
            format!(
                "\u{201c}{}\u{201d}, in {}, claims what the record does not show: {}.",
                it.word, it.place, it.lacks
            )
        })
        .collect();
    let mut told = BTreeSet::new();
    lines.retain(|it| told.insert(it.clone()));
    lines
}

/// The assessment with a mark behind every word that nothing bears.
pub(in crate::report) fn marked(assessment: &Assessment) -> Assessment {
    let mut marked = assessment.clone();
    let texts = marked_texts(&assessment.claims);
    let fix = |text: &mut String| {
        if let Some(with) = texts.get(text.as_str()) {
            text.clone_from(with);
        }
    };
    let fix_all = |list: &mut [&mut Option<String>]| {
        list.iter_mut().filter_map(|it| it.as_mut()).for_each(fix)
    };
    fix(&mut marked.piece.title);
    fix_all(&mut [&mut marked.piece.about, &mut marked.piece.weight]);
    for photo in &mut marked.photos {
        fix_all(&mut [&mut photo.sidecar.note]);
        for Mark {
            note, which, size, ..
        } in &mut photo.sidecar.marks
        {
            fix_all(&mut [note, which, size]);
        }
    }
    for it in &mut marked.repairs {
        fix_all(&mut [&mut it.new_material, &mut it.hides, &mut it.note]);
    }
    for Finding {
        which,
        size,
        history,
        before,
        remains,
        ..
    } in &mut marked.findings
    {
        fix(which);
        fix_all(&mut [size, &mut before.size]);
        fix_all(
            &mut remains
                .iter_mut()
                .map(|it| &mut it.size)
                .collect::<Vec<_>>(),
        );
        for it in history {
            it.notes.iter_mut().for_each(|it| fix(&mut it.text));
            it.more.iter_mut().for_each(|it| fix(&mut it.text));
            fix_all(&mut [&mut it.size]);
        }
    }
    for it in &mut marked.remarks {
        fix_all(&mut [&mut it.note, &mut it.which, &mut it.size]);
    }
    for it in &mut marked.observations {
        fix(&mut it.which);
    }
    for part in &mut marked.parts {
        if let PartState::NotExamined(it) = &mut part.state {
            fix_all(&mut [it.why_mut()]);
        }
        if let Some(it) = &mut part.otherwise {
            fix_all(&mut [it.why_mut()]);
        }
    }
    for it in &mut marked.not_examined {
        it.why.mend_own(&fix);
    }
    marked
}

/// Each text that holds such a word, and the same text with its marks.
fn marked_texts(claims: &[Claimed]) -> BTreeMap<&str, String> {
    let mut ends: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for claim in claims.iter().filter(|it| it.rests_on.is_none()) {
        ends.entry(&claim.text).or_default().push(claim.end);
    }
    let mark = mark();
    let marked = ends.into_iter().map(|(text, mut ends)| {
        ends.sort_unstable();
        ends.dedup();
        let mut with = text.to_owned();
        for end in ends.into_iter().rev() {
            with.insert_str(end, &mark);
        }
        (text, with)
    });
    marked.collect()
}
