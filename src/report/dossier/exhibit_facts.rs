//! What stands beside the pictures of an exhibit: what was said of a finding, and what is said in a picture.

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::sighting::Sighting;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::statements::statement::Lost;
use crate::kit::clock::Day;
use crate::kit::text::capital;
use crate::kit::text::small;
use crate::report::dossier::cover_order::CoverRequest;
use crate::report::dossier::in_book::later;
use crate::report::dossier::repairs_told::hidden_there;
use crate::report::dossier::repairs_told::repairs;
use crate::report::dossier::repairs_told::since as repairs_since;
use crate::report::dossier::strip::taken_out;
use crate::report::page::claimed;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::page::words;

/// The faults that are marked in a picture, then what else was seen in it; every word of the user in it.
pub(in crate::report) fn in_picture(sources: &PageContext<'_>, photo: u32) -> Vec<String> {
    let it = sources.assessment;
    let of = |finding: &Finding| {
        let marks = finding.history.iter().flat_map(|it| &it.marks);
        let here = marks.filter(|at| at.photo == photo);
        let here = here.filter_map(|at| sources.mark(*at));
        let line = here.map(|mark| {
            let measure = words::measured_then(mark.state, mark.size.as_deref(), mark.level);
            let measure = measure.map_or_else(String::new, |it| format!(", {it}"));
            let note = mark.note.as_deref().map(words::noted);
            let said = format!(
                "{}, {}, {}: {}{measure}.",
                finding.no,
                finding.term,
                finding.placed(),
                mark.state.said()
            );
            let words = std::iter::once(said).chain(note);
            words.collect::<Vec<String>>().join(" ")
        });
        line.collect::<Vec<String>>()
    };
    let faults = it.findings.iter().flat_map(of);
    let seen = it.remarks.iter().filter(|it| it.photos().contains(&photo));
    let seen = seen.map(|it| {
        let so = match it.unless_seen() {
            "" => String::new(),
            so => format!(" ({so})"),
        };
        let words = it
            .words()
            .into_iter()
            .map(|it| format!(" {}", words::sentence(&capital(&it))));
        let words: String = words.collect();
        format!("{}, {}{so}.{words}", it.term, small(&it.part_label))
    });
    faults.chain(seen).collect()
}

/// A number before every other word, shoot by shoot.
pub(in crate::report) fn facts(
    sources: &PageContext<'_>,
    cover: &CoverRequest,
    finding: &Finding,
) -> Vec<FactView> {
    let mut all = FactView::new("Seen", String::new());
    let looks = finding.history.iter();
    let seen_on = looks.map(|it| {
        let apart = sources.said_apart(it);
        let apart = apart.map_or_else(String::new, |it| format!(" {it}"));
        (it.day, capital(&format!("{}.{apart}", seen(it))))
    });
    let silent = finding.silent.iter();
    let silent = silent.map(|it| {
        let said = words::sentence(&capital(&it.text().to_string()));
        (it.lies.day(), said)
    });
    let mut lines: Vec<(Day, String)> = seen_on.chain(silent).collect();
    lines.sort_by_key(|it| it.0);
    all.lines = lines.into_iter().map(|it| it.1).collect();
    let repairs = repairs(sources, cover, finding);
    let repairs = (!repairs.is_empty()).then(|| FactView {
        name: "Repairs".to_owned(),
        lines: repairs,
    });
    let mut origin = FactView {
        name: "Origin".to_owned(),
        lines: sources.all_said(&words::came(finding)),
    };
    let before = cover.before_claim.as_ref().map(|it| {
        let mut then = it.findings.iter();
        then.find(|it| it.no == finding.no).map(words::came)
    });
    if before.is_some_and(|it| it != Some(words::came(finding))) {
        let later = "The record says so only since the pictures of the claim came into the book: see Said later, and Dates.";
        origin.lines.push(later.to_owned());
    }
    let said = said_of_part(sources, finding);
    let said = said.map(|it| FactView::new("Said of the part", it));
    let earlier = earlier_there(sources, finding);
    let earlier = (!earlier.is_empty()).then(|| FactView {
        name: "Earlier there".to_owned(),
        lines: earlier,
    });
    let mut facts = vec![
        all,
        FactView::new(
            "State",
            words::sentence(&capital(&sources.said(&sources.state(finding)))),
        ),
        origin,
    ];
    let told = sources.assessment.places.findings.get(&finding.no);
    let gone = told.and_then(taken_out);
    let later = said_later(sources, cover, finding);
    let later = (!later.is_empty()).then(|| FactView {
        name: "Said later".to_owned(),
        lines: later,
    });
    facts.extend(earlier.into_iter().chain(said).chain(later));
    facts.extend(repairs.into_iter().chain(gone));
    facts
}

/// What answers when it came: that, what was said of its part, and what was on it before. Where the record says so only since the
/// pictures of the claim came in, what it said before comes first, then what was said later, with its time.
pub(in crate::report) fn answers(
    sources: &PageContext<'_>,
    cover: &CoverRequest,
    finding: &Finding,
) -> Vec<String> {
    let now = answers_by(sources, cover, finding);
    let Some(before) = &cover.before_claim else {
        return now;
    };
    let before = claimed::marked(before);
    let before = PageContext::new(&before, sources.scene, sources.order, sources.album);
    let then = before.finding(finding.no);
    let then = then
        .map(|it| answers_by(&before, cover, it))
        .unwrap_or_default();
    if then == now {
        return now;
    }
    let later = said_later(sources, cover, finding);
    let rest = match later.is_empty() {
        // A repair that was told later, or a word that is no more said.
        true => vec![
            "What the record says of it now rests on words that entered the book later: see Dates."
                .to_owned(),
        ],
        false => later,
    };
    let said = match then.is_empty() {
        true => " nothing of it.",
        false => ":",
    };
    let head =
        format!("Before the pictures of the claim came into the book, the record said{said}");
    let then = then.into_iter();
    std::iter::once(head).chain(then).chain(rest).collect()
}

/// That a part was there and is absent; where that it was there was written only since the pictures of the claim came in, that.
pub(in crate::report) fn lost_then(
    sources: &PageContext<'_>,
    cover: &CoverRequest,
    part: &PartReport,
    lost: &Lost,
) -> Vec<String> {
    let same = |before: &Assessment| {
        let mut parts = before.parts.iter();
        let then = parts.find(|it| it.part == part.part);
        then.is_some_and(|it| match &it.state {
            PartState::Absent(missed) => missed.lost() == Some(lost),
            _ => false,
        })
    };
    match cover.before_claim.as_ref().is_none_or(same) {
        true => vec![words::lost(lost)],
        false => later(sources, cover, &part.part, &|_, _| false),
    }
}

/// What was said of a finding and its part later than the pictures of the claim came in, beside earlier pictures.
fn said_later(sources: &PageContext<'_>, cover: &CoverRequest, finding: &Finding) -> Vec<String> {
    later(sources, cover, &finding.part, &|photo, mark| {
        let mut marks = finding.history.iter().flat_map(|it| &it.marks);
        marks.any(|it| (it.photo, it.mark) == (photo, mark))
    })
}

fn answers_by(sources: &PageContext<'_>, cover: &CoverRequest, finding: &Finding) -> Vec<String> {
    let mut lines: Vec<String> = left_as(sources, cover, finding).into_iter().collect();
    lines.extend(sources.all_said(&words::came(finding)));
    lines.extend(said_of_part(sources, finding));
    lines.extend(earlier_there(sources, finding));
    lines
}

/// How it was when it was last seen before the piece left, where that is not how it came in, and how it is since.
fn left_as(sources: &PageContext<'_>, cover: &CoverRequest, finding: &Finding) -> Option<String> {
    let telling = finding.history.iter().filter(|it| it.state.tells());
    let (after, before): (Vec<&Sighting>, Vec<&Sighting>) =
        telling.partition(|it| it.stage.after_sale());
    let last = before.last()?;
    let left = after.first().map(|it| it.day);
    let worked = repairs_since(sources, cover, finding, last, left);
    if before.len() == 1 && after.is_empty() && worked.is_empty() {
        return None;
    }
    // Of work of the same day, that it came first is only known where the look shows it done.
    let is_before = |day: Day| day < last.day || (day == last.day && !last.state.is_there());
    let done = sources.assessment.repairs.iter();
    let done = done.filter(|it| finding.repairs.contains(&it.no) && is_before(it.day));
    let done: Vec<u32> = done.map(|it| it.no).collect();
    let done = match done.is_empty() {
        true => String::new(),
        false => format!(", after {}", sources.said(&words::repairs(&done))),
    };
    let since = after
        .last()
        .map_or_else(String::new, |it| format!(" Since: {}.", seen(it)));
    let worked = match worked.is_empty() {
        true => String::new(),
        false => format!(
            " Then {}, and no look at it before it left.",
            worked.join("; ")
        ),
    };
    Some(format!(
        "Last seen before it left: {}{done}.{worked}{since}",
        seen(last)
    ))
}

/// `5 mm, level 1 (trace): repaired (sale, 1 October 2026)`: what a look tells.
fn seen(it: &Sighting) -> String {
    let measure = words::measured_then(it.state, it.size.as_deref(), it.level);
    let measure = measure.map_or_else(String::new, |it| format!("{it}: "));
    let (said, stage, day) = (it.state.said(), it.stage, it.day.spoken());
    format!("{measure}{said} ({stage}, {day})")
}

/// Sound, absent or not examined, said of the finding's part.
fn said_of_part(sources: &PageContext<'_>, finding: &Finding) -> Option<String> {
    let mut parts = sources.assessment.parts.iter();
    let part = parts.find(|it| it.part == finding.part)?;
    let said = words::said_once(part.said.iter());
    (!said.is_empty()).then(|| words::sentence(&capital(&said)))
}

/// The other faults of the same part that were on record before this one was first seen, each as bad as it was then, and what work on
/// that part hides: who asks when it came, asks for these.
fn earlier_there(sources: &PageContext<'_>, finding: &Finding) -> Vec<String> {
    let first = |it: &Finding| it.history.first().map(|it| it.day);
    let others = sources.findings();
    let others = others.filter(|it| it.part == finding.part && it.no != finding.no);
    let before = others.filter(|it| first(it) < first(finding));
    let line = |(n, it): (usize, &Finding)| {
        let repairs = match it.repairs.is_empty() {
            true => String::new(),
            false => format!("; {}", words::repairs(&it.repairs)),
        };
        let there = it.history.iter().filter(|look| look.state.is_there());
        let worst = there.filter_map(|look| look.level).max();
        let worst = worst.map_or_else(String::new, |it| {
            format!(", level {it} ({}) at worst", words::level(it))
        });
        let state = sources.state(it);
        // Said once, before the first of them.
        let earlier = if n == 0 {
            "Earlier on the same part: "
        } else {
            ""
        };
        words::sentence(&format!(
            "{earlier}{} {}{worst}: {state}{repairs}",
            it.no, it.term
        ))
    };
    before
        .enumerate()
        .map(line)
        .chain(hidden_there(sources, &finding.part))
        .collect()
}
