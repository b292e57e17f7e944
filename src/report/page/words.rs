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
use crate::kit::text::capital;
use crate::model::mark::MarkState;
use crate::model::mark::Scale;
use crate::model::piece::ToldOn;
use crate::tongue::Saying;
use crate::tongue::Tongue;
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
pub(in crate::report) fn level_named(number: u8) -> String {
    format!("{number}, {}", level(number))
}

/// What is said of a part, in sentences; the three silences keep three different ones. Earlier words stay said with their day.
pub(in crate::report) fn part_state(part: &PartReport) -> String {
    let now = part_now(part);
    let before = said_once(part.said_otherwise());
    match before.is_empty() {
        true => now,
        false => format!("{now} Also said: {before}."),
    }
}

/// `absent, 3 May 2026 (picture 4); not examined, 5 May 2026 (picture 9)`; empty of nothing.
pub(in crate::report) fn said_once<'a>(said: impl Iterator<Item = &'a SaidOnce>) -> String {
    let one = |it: &SaidOnce| {
        let word = match it.word {
            SaidWord::Absent => "absent",
            SaidWord::NotExamined => "not examined",
            SaidWord::Sound => "looked for faults, found none",
        };
        match (it.day, it.photo) {
            (Some(day), Some(photo)) => format!("{word}, {} (picture {photo})", day.spoken()),
            _ => format!("{word}, {}", told_of_piece(it.told)),
        }
    };
    said.map(one).collect::<Vec<String>>().join("; ")
}

/// `as told of the piece on 29 November 2026 (line 45), beside no picture`.
pub(in crate::report) fn told_of_piece(it: Option<ToldOn>) -> String {
    let when = it.map_or_else(String::new, |it| {
        format!(" on {} (line {})", it.on.spoken(), it.line)
    });
    format!("as told of the piece{when}, beside no picture")
}

fn part_now(part: &PartReport) -> String {
    let counted = || sentence(&part.counts.text());
    let otherwise = |it: &NotLooked| not_examined("Otherwise not examined", it);
    match &part.state {
        PartState::Absent(it) => {
            let by = match it.photo() {
                Some(photo) => format!(" (written beside picture {photo}{})", of(it.wider())),
                None => format!(", {}{}", told_of_piece(it.told()), of(it.wider())),
            };
            let said = match it.lost() {
                Some(it) => lost(it),
                None => format!("Absent: the part is not there{by}."),
            };
            with_findings(part, said)
        }
        PartState::NotExamined(it) => with_findings(part, not_examined("Not examined", it)),
        PartState::Silent if part.remarked && !part.is_tested_clean() => {
            "No statement on faults; see What else was seen.".to_owned()
        }
        PartState::Silent => {
            let said = "No statement: nobody wrote in what state this part is.";
            with_findings(part, said.to_owned())
        }
        PartState::Sound(it) => with_findings(part, sound(it)),
        PartState::Faults => match &part.otherwise {
            Some(it) => format!("{} {}", counted(), otherwise(it)),
            None => counted(),
        },
    }
}

/// `Absent since 19 April 2026, picture 15; sound on 16 April 2026, picture 10.`
pub(in crate::report) fn lost(it: &Lost) -> String {
    format!(
        "Absent since {}, picture {}; sound on {}, picture {}.",
        it.day.spoken(),
        it.photo,
        it.was.day().spoken(),
        it.was.photo()
    )
}

/// `Looked for faults on 2 May 2026, found none (picture 18).`
fn sound(it: &SoundSeen) -> String {
    let (day, photo) = (it.day().spoken(), it.photo());
    let of = of(it.wider());
    format!("Looked for faults on {day}, found none (picture {photo}{of}).")
}

fn not_examined(word: &str, it: &NotLooked) -> String {
    let of = it
        .wider()
        .map_or_else(String::new, |it| format!(", as written of {it}"));
    match it.why() {
        Some(why) => format!("{word}{of}: {}", sentence(why)),
        None => format!("{word}{of}."),
    }
}

/// `, as written of Drawer 1`, when a statement was made of the wider part.
fn of(wider: Option<&str>) -> String {
    wider.map_or_else(String::new, |it| format!(", as written of {it}"))
}

/// The statement, with the findings from before it.
fn with_findings(part: &PartReport, statement: String) -> String {
    match (part.counts.all(), &part.state) {
        (0, _) => statement,
        (_, PartState::Silent) => format!("{statement} On record: {}.", part.counts.text()),
        _ => format!("{statement} From before: {}.", part.counts.text()),
    }
}

/// `Top: 120–190 mm from left, 40–90 mm from above, ± 5 mm.`, as one looks straight at the face.
pub(in crate::report) fn lies(place: &Place) -> String {
    let [x, y, width, height] = place.bounds();
    let along = |from: f64, long: f64| {
        // Through tenths, as `where` tells it.
        let told = |it: f64| format!("{:.0}", (it.max(0.0) * 10.0).round() / 10.0);
        let [from, to] = [from, from + long].map(told);
        match from == to {
            true => format!("{to} mm"),
            false => format!("{from}\u{2013}{to} mm"),
        }
    };
    format!(
        "{}: {} from left, {} from {}, \u{b1} {:.0} mm{}.",
        capital(&flat_faces::label(&place.face)),
        along(x, width),
        along(y, height),
        match place.face.as_str() {
            "top" => "back",
            _ => "above",
        },
        place.uncertainty_mm.max(1.0),
        match place.is_cut_off() {
            true => "; it may go on beyond the picture",
            false => "",
        }
    )
}

/// `1 finding`, `3 findings`.
pub(in crate::report) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// `a, b and c`; parted by semicolons where one of them has a comma of its own.
pub(in crate::report) fn listed(items: &[String]) -> String {
    Tongue::ENGLISH.listed(items)
}

/// `In it lies a thing of known size: 85.6 mm x 53.98 mm.`
pub(in crate::report) fn scale(scale: &Scale) -> String {
    let width = Length::mm(scale.width_mm);
    match scale.height_mm {
        Some(high) => format!(
            "In it lies a thing of known size: {width} x {}.",
            Length::mm(high)
        ),
        None => format!("In it lies a known length: {width}."),
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
    use super::listed;
    use super::part_state;
    use super::runs;
    use super::sentence;
    use crate::assess::findings::finding_counts::FindingCounts;
    use crate::assess::part_report::PartReport;
    use crate::assess::part_report::PartState;
    use crate::assess::statements::statement::made;
    use crate::report::fixture;

    #[test]
    fn lists_read_as_people_say_them() {
        assert_eq!(runs(&[9, 1, 2, 3, 5, 6, 3]).to_string(), "1 to 3, 5, 6, 9");
        let words: Vec<String> = ["a", "b", "c"].iter().map(|it| (*it).to_owned()).collect();
        assert_eq!(listed(&words), "a, b and c");
        let legs = ["Leg, front left", "Leg, front right"].map(str::to_owned);
        assert_eq!(listed(&legs), "Leg, front left; Leg, front right");
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
