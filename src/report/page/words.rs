//! Sentences of the page: numbers first, and no more than the record shows.

use crate::assess::faces::flat_faces;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::Origin;
use crate::assess::findings::outcome::Outcome;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::part_report::SaidOnce;
use crate::assess::part_report::SaidWord;
use crate::assess::places::place::Place;
use crate::assess::statements::statement::Lost;
use crate::assess::statements::statement::NotLooked;
use crate::assess::statements::statement::SoundSeen;
use crate::kit::clock::Day;
use crate::kit::measure::Length;
use crate::model::mark::MarkState;
use crate::model::mark::Scale;
use crate::model::piece::told::ToldOn;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::tongue::stopped;

/// The sign of a group on the page and in the drawing.
pub(in crate::report) fn sign(outcome: Option<Outcome>) -> &'static str {
    match outcome {
        Some(Outcome::Open) => "there",
        Some(Outcome::Hidden) => "hidden",
        Some(Outcome::Traces) => "traces",
        Some(Outcome::Repaired | Outcome::Cleared | Outcome::NotFound) => "closed",
        Some(Outcome::Gone) => "gone",
        Some(
            Outcome::NotSeenSince
            | Outcome::RepairUnseen
            | Outcome::ClearedInPart
            | Outcome::Untold,
        )
        | None => "unsettled",
    }
}

/// When a finding came, a sentence each: what the record shows of it, and why. Of what was there at first, or came after the sale, the
/// reason says so.
pub(in crate::report) fn came(finding: &Finding) -> Vec<Saying> {
    let why = &finding.origin_why;
    let has_why = *why != Saying::nothing();
    let says_so = matches!(finding.origin, Origin::Found | Origin::AfterSale) && has_why;
    let told = (!says_so).then(|| origin(finding.origin).sentence());
    let why = has_why.then(|| why.clone().sentence());
    told.into_iter().chain(why).collect()
}

/// Where a finding came from, in words.
fn origin(origin: Origin) -> Saying {
    match origin {
        Origin::Found => say::origin_found(),
        Origin::ByWork => say::origin_by_work(),
        Origin::BetweenLooks => say::origin_between_looks(),
        Origin::AfterSale => say::origin_after_sale(),
        Origin::Unknown => say::origin_unknown(),
    }
}

/// The name of a level.
pub(in crate::report) fn level(level: u8) -> Saying {
    match level {
        1 => say::level_trace(),
        2 => say::level_visible(),
        3 => say::level_heavy(),
        _ => say::level_failing(),
    }
}

/// `70 mm, level 2 (visible)`; the number of millimetres goes first, and stands for itself when nobody took it.
pub(in crate::report) fn measured(size: Option<Saying>, number: Option<u8>) -> Saying {
    let size = size.unwrap_or_else(say::not_measured);
    match number {
        Some(number) => say::with_level(size, number, level(number)),
        None => say::without_level(size),
    }
}

/// The same of one look; `None` where there was nothing to measure, as it was gone or not seen, and nothing was written.
pub(in crate::report) fn measured_then(
    state: MarkState,
    size: Option<&str>,
    number: Option<u8>,
) -> Option<Saying> {
    let to_see = state.is_there() || state == MarkState::Repaired;
    let is_told = to_see || size.is_some() || number.is_some();
    is_told.then(|| measured(size.map(Saying::size), number))
}

/// `80 mm (measured on 14 March 2026)`: a measure, with its day where the level beside it is of another.
pub(in crate::report) fn dated(size: Option<&str>, of: Option<Day>) -> Option<Saying> {
    let size = size.map(Saying::size)?;
    Some(match of {
        Some(day) => say::measured_on(size, day),
        None => size,
    })
}

/// `2, visible`.
pub(in crate::report) fn level_named(number: u8) -> Saying {
    say::level_named(number, level(number))
}

/// What is said of a part, in sentences; the three silences keep three different ones. Earlier words stay said with their day.
pub(in crate::report) fn part_state(part: &PartReport) -> Saying {
    let (now, before) = (part_now(part), said_once(part.said_otherwise()));
    match before.is_nothing() {
        true => now,
        false => say::also_said(now, before),
    }
}

/// `absent, 3 May 2026 (picture 4); not examined, 5 May 2026 (picture 9)`; nothing of nothing.
pub(in crate::report) fn said_once<'a>(said: impl Iterator<Item = &'a SaidOnce>) -> Saying {
    let one = |it: &SaidOnce| {
        let word = match it.word {
            SaidWord::Absent => say::word_absent(),
            SaidWord::NotExamined => say::word_not_examined(),
            SaidWord::Sound => say::word_sound(),
        };
        match (it.day, it.photo) {
            (Some(day), Some(photo)) => say::said_on(word, day, photo),
            _ => say::said_so(word, told_of_piece(it.told)),
        }
    };
    Saying::Parted(said.map(one).collect())
}

/// `as told of the piece on 29 November 2026 (line 45), beside no picture`.
pub(in crate::report) fn told_of_piece(it: Option<ToldOn>) -> Saying {
    match it {
        Some(it) => say::told_of_piece_on(it.on, it.line),
        None => say::told_of_piece(),
    }
}

fn part_now(part: &PartReport) -> Saying {
    let counted = || part.counts.text().sentence();
    match &part.state {
        PartState::Absent(it) => {
            let wider = it.wider().map(Saying::part);
            let said = match (it.lost(), it.photo(), wider) {
                (Some(it), ..) => lost(it),
                (_, Some(photo), None) => say::absent_beside(photo),
                (_, Some(photo), Some(of)) => say::absent_beside_wider(photo, of),
                (_, None, None) => say::absent_told(told_of_piece(it.told())),
                (_, None, Some(of)) => say::absent_told_wider(told_of_piece(it.told()), of),
            };
            with_findings(part, said)
        }
        PartState::NotExamined(it) => {
            with_findings(part, not_examined(say::part_not_examined(), it))
        }
        PartState::Silent if part.remarked && !part.is_tested_clean() => say::part_unjudged(),
        PartState::Silent => with_findings(part, say::part_silent()),
        PartState::Sound(it) => with_findings(part, sound(it)),
        PartState::Faults => match &part.otherwise {
            Some(it) => {
                let otherwise = not_examined(say::part_otherwise_not_examined(), it);
                Saying::Beside(vec![counted(), otherwise])
            }
            None => counted(),
        },
    }
}

/// `Absent since 19 April 2026, picture 15; sound on 16 April 2026, picture 10.`
pub(in crate::report) fn lost(it: &Lost) -> Saying {
    say::absent_since(it.day, it.photo, it.was.day(), it.was.photo())
}

/// `Looked for faults on 2 May 2026, found none (picture 18).`
fn sound(it: &SoundSeen) -> Saying {
    match it.wider().map(Saying::part) {
        Some(of) => say::sound_on_wider(it.day(), it.photo(), of),
        None => say::sound_on(it.day(), it.photo()),
    }
}

fn not_examined(said: Saying, it: &NotLooked) -> Saying {
    let said = match it.wider().map(Saying::part) {
        Some(of) => say::as_written_of(said, of),
        None => said,
    };
    match it.why() {
        Some(why) => say::part_inner(said, Saying::Own(why.to_owned())).sentence(),
        None => said.sentence(),
    }
}

/// The statement, with the findings from before it.
fn with_findings(part: &PartReport, statement: Saying) -> Saying {
    match (part.counts.all(), &part.state) {
        (0, _) => statement,
        (_, PartState::Silent) => say::on_record(statement, part.counts.text()),
        _ => say::from_before(statement, part.counts.text()),
    }
}

/// `Top: 120–190 mm from left, 40–90 mm from above, ± 5 mm.`, as one looks straight at the face.
pub(in crate::report) fn lies(place: &Place) -> Saying {
    let [x, y, width, height] = place.bounds();
    let along = |from: f64, long: f64| {
        // Through tenths, as `where` tells it.
        let told = |it: f64| format!("{:.0}", (it.max(0.0) * 10.0).round() / 10.0);
        let [from, to] = [from, from + long].map(told);
        match from == to {
            true => say::mm(to),
            false => say::mm_run(from, to),
        }
    };
    let (face, across, down) = (
        flat_faces::said(&place.face),
        along(x, width),
        along(y, height),
    );
    let off = format!("{:.0}", place.uncertainty_mm.max(1.0));
    let lies = match place.face.as_str() {
        "top" => say::lies_back(face, across, down, off),
        _ => say::lies_above(face, across, down, off),
    };
    say::stated(match place.is_cut_off() {
        true => say::lies_beyond(lies),
        false => lies,
    })
}

/// `1 finding`, `3 findings`.
pub(in crate::report) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// `In it lies a thing of known size: 85.6 mm x 53.98 mm.`
pub(in crate::report) fn scale(scale: &Scale) -> Saying {
    let length = |mm: f64| Saying::size(&Length::mm(mm).to_string());
    let width = length(scale.width_mm);
    match scale.height_mm {
        Some(high) => say::scale_thing(width, length(high)),
        None => say::scale_length(width),
    }
}

/// The text with a full stop, unless it ends with a mark already.
pub(in crate::report) fn sentence(text: &str) -> String {
    stopped(text)
}

/// What the user wrote beside a picture or with a mark: in the user's words, and marked as such.
pub(in crate::report) fn noted(text: &str) -> String {
    note(Saying::Own(text.to_owned())).to_string()
}

/// The same of words with what stands beside them.
pub(in crate::report) fn note(words: Saying) -> Saying {
    say::note(words.sentence())
}

/// Repairs by number: `repair 2`, `repairs 1 to 4, 7`; nothing for none.
pub(in crate::report) fn repairs(numbers: &[u32]) -> Saying {
    match numbers {
        [] => Saying::nothing(),
        [one] => say::repair_no(*one),
        _ => say::repairs_no(runs(numbers)),
    }
}

/// Pictures by number, each once: `Picture 2`, `Pictures 1 to 4, 7`; nothing for none.
pub(in crate::report) fn pictures(numbers: &[u32]) -> Saying {
    match numbers {
        [] => Saying::nothing(),
        [first, rest @ ..] if rest.iter().all(|it| it == first) => say::picture(*first),
        _ => say::pictures(runs(numbers)),
    }
}

/// Numbers with runs drawn together: `1 to 4, 7`.
pub(in crate::report) fn runs(numbers: &[u32]) -> Saying {
    let mut sorted = numbers.to_vec();
    sorted.sort_unstable();
    sorted.dedup();
    let mut spans: Vec<(u32, u32)> = Vec::new();
    for number in sorted {
        match spans.last_mut() {
            Some((_, last)) if *last + 1 == number => *last = number,
            _ => spans.push((number, number)),
        }
    }
    let shown = spans.into_iter().map(|(first, last)| match last - first {
        0 => Saying::Plain(first.to_string()),
        1 => Saying::Commas(Saying::numbers(&[first, last])),
        _ => say::run(first, last),
    });
    Saying::Commas(shown.collect())
}

#[cfg(test)]
mod tests {
    use super::part_state;
    use super::runs;
    use super::sentence;
    use crate::assess::findings::finding_counts::FindingCounts;
    use crate::assess::part_report::PartReport;
    use crate::assess::part_report::PartState;
    use crate::assess::statements::statement::made;
    use crate::report::fixture;
    use crate::tongue::Tongue;

    #[test]
    fn lists_read_as_people_say_them() {
        assert_eq!(runs(&[9, 1, 2, 3, 5, 6, 3]).to_string(), "1 to 3, 5, 6, 9");
        let words: Vec<String> = ["a", "b", "c"].iter().map(|it| (*it).to_owned()).collect();
        assert_eq!(Tongue::ENGLISH.listed(&words), "a, b and c");
        let legs = ["Leg, front left", "Leg, front right"].map(str::to_owned);
        assert_eq!(
            Tongue::ENGLISH.listed(&legs),
            "Leg, front left; Leg, front right"
        );
        assert_eq!(sentence(" locked "), "locked.");
        assert_eq!(sentence("why?"), "why?");
    }

    #[test]
    fn the_three_silences_are_three_sentences() {
        let part = fixture::assessment().parts.remove(0);
        let of = |state| {
            part_state(&PartReport {
                state,
                counts: FindingCounts::default(),
                ..part.clone()
            })
            .to_string()
        };
        let said = [
            of(PartState::Absent(made::missed(None))),
            of(PartState::NotExamined(made::not_looked(3, Some("locked")))),
            of(PartState::Silent),
        ];
        assert!(said[0].starts_with("Absent"));
        assert_eq!(said[1], "Not examined: locked.");
        assert!(said[2].starts_with("No statement"));
    }
}
