//! Sentences of the page: numbers first, and no more than the record shows.

use crate::assess::assessment::Finding;
use crate::assess::assessment::FindingState;
use crate::assess::assessment::Origin;
use crate::assess::assessment::PartState;
use crate::kit::measure::Length;
use crate::model::mark::MarkState;
use crate::model::mark::Scale;

/// In which of three groups a finding is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::report) enum Group {
    /// Still there.
    There,
    /// Out of sight under work that hides and does not cure.
    Hidden,
    /// Repaired, or looked for and gone.
    Closed,
    /// The record does not settle it.
    Unsettled,
}

/// The group of a state; withdrawn findings have none.
pub(in crate::report) fn group(state: FindingState) -> Option<Group> {
    match state {
        FindingState::Open
        | FindingState::Worse
        | FindingState::Better
        | FindingState::Reopened => Some(Group::There),
        FindingState::Repaired | FindingState::Gone => Some(Group::Closed),
        FindingState::RepairUnseen | FindingState::NotVisible => Some(Group::Unsettled),
        FindingState::Withdrawn => None,
    }
}

/// What became of a finding, in words.
pub(in crate::report) fn state(state: FindingState) -> &'static str {
    match state {
        FindingState::Open => "still there",
        FindingState::Worse => "still there, and more than at first",
        FindingState::Better => "still there, and less than at first",
        FindingState::Repaired => "repaired, and seen so afterwards",
        FindingState::RepairUnseen => "a repair is recorded, but no picture shows it yet",
        FindingState::Reopened => "was repaired or gone, and is there again",
        FindingState::Gone => "looked for and no longer there; no repair is on record",
        FindingState::NotVisible => "not settled: the last picture of the place cannot show it",
        FindingState::Withdrawn => "withdrawn: no mark names it any more",
    }
}

/// Where a finding came from, in words.
pub(in crate::report) fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Found => "there when the piece came in",
        Origin::ByWork => "came with the work",
        Origin::AfterSale => "first seen after the piece had left",
        Origin::Unknown => "the record does not show when it came",
    }
}

/// What one shoot says of a finding, in words.
pub(in crate::report) fn seen(state: MarkState) -> &'static str {
    match state {
        MarkState::Present => "there",
        MarkState::Repaired => "repaired",
        MarkState::Better => "there, less than before",
        MarkState::Worse => "there, more than before",
        MarkState::Gone => "looked for, no longer there",
        MarkState::NotVisible => "cannot be told from the picture",
        MarkState::NotExamined => "not examined",
    }
}

/// The name of a level.
pub(in crate::report) fn level(level: u8) -> &'static str {
    match level {
        1 => "trace",
        2 => "visible",
        3 => "heavy",
        _ => "failing",
    }
}

/// `70 mm, level 2 (visible)`; the number of millimetres goes first, and stands for itself when nobody took it.
pub(in crate::report) fn measured(size: Option<&str>, number: Option<u8>) -> String {
    let size = size.unwrap_or("not measured");
    match number {
        Some(number) => format!("{size}, level {number} ({})", level(number)),
        None => format!("{size}, no level"),
    }
}

/// `2, visible`.
pub(in crate::report) fn level_named(number: u8) -> String {
    format!("{number}, {}", level(number))
}

/// What was said of a part, in one sentence; the three silences keep three different ones.
pub(in crate::report) fn part_state(state: &PartState) -> String {
    match state {
        PartState::Absent { photo: Some(photo) } => {
            format!("Absent: the part is not there (written beside picture {photo}).")
        }
        PartState::Absent { photo: None } => {
            "Absent: the part is not there, as told when the piece came in.".to_owned()
        }
        PartState::NotExamined { why: Some(why) } => format!("Not examined: {}", sentence(why)),
        PartState::NotExamined { why: None } => "Not examined.".to_owned(),
        PartState::Silent => "No statement: the record says nothing about this part.".to_owned(),
        PartState::Sound { photo, day } => {
            format!(
                "Looked for faults on {}, found none (picture {photo}).",
                day.spoken()
            )
        }
        PartState::Faults { open, closed } => counted([*open, 0, *closed, 0]),
    }
}

/// How many findings a part has, by what became of them.
pub(in crate::report) fn counted([there, hidden, closed, unsettled]: [usize; 4]) -> String {
    let all = count(there + hidden + closed + unsettled, "finding", "findings");
    let groups = [
        (there, "still there"),
        (hidden, "hidden, still there"),
        (closed, "repaired or gone"),
        (unsettled, "not settled"),
    ];
    let kinds: Vec<_> = groups.iter().filter(|(number, _)| *number > 0).collect();
    match kinds.as_slice() {
        [(_, kind)] => format!("{all}, {kind}."),
        kinds => {
            let kinds: Vec<_> = kinds
                .iter()
                .map(|(n, kind)| format!("{n} {kind}"))
                .collect();
            format!("{all}: {}.", listed(&kinds))
        }
    }
}

/// `Top, back right corner`.
pub(in crate::report) fn place(finding: &Finding) -> String {
    match finding.which.is_empty() {
        true => finding.part_label.clone(),
        false => format!("{}, {}", finding.part_label, finding.which),
    }
}

/// `1 finding`, `3 findings`.
pub(in crate::report) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// `1 is`, `3 are`.
pub(in crate::report) fn are(number: usize) -> String {
    count(number, "is", "are")
}

/// `a, b and c`.
pub(in crate::report) fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
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
    let text = text.trim();
    match text.chars().last() {
        None => String::new(),
        Some('.' | '!' | '?' | '…') => text.to_owned(),
        Some(_) => format!("{text}."),
    }
}

/// Numbers with runs drawn together: `1 to 4, 7`.
pub(in crate::report) fn runs(numbers: &[u32]) -> String {
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
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first} to {last}"),
    });
    shown.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::listed;
    use super::part_state;
    use super::runs;
    use super::sentence;
    use crate::assess::assessment::PartState;

    #[test]
    fn lists_read_as_people_say_them() {
        assert_eq!(runs(&[9, 1, 2, 3, 5, 6, 3]), "1 to 3, 5, 6, 9");
        let words: Vec<String> = ["a", "b", "c"].iter().map(|it| (*it).to_owned()).collect();
        assert_eq!(listed(&words), "a, b and c");
        assert_eq!(sentence(" locked "), "locked.");
        assert_eq!(sentence("why?"), "why?");
    }

    #[test]
    fn the_three_silences_are_three_sentences() {
        let said = [
            part_state(&PartState::Absent { photo: None }),
            part_state(&PartState::NotExamined { why: None }),
            part_state(&PartState::Silent),
        ];
        assert!(said[0].starts_with("Absent"));
        assert!(said[1].starts_with("Not examined"));
        assert!(said[2].starts_with("No statement"));
    }
}
