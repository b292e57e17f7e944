//! What the page says of counts, criteria and pairs is no more than the record bears.

use crate::assess::assessment::Assessment;
use crate::assess::findings::last_seen::heading;
use crate::assess::findings::outcome::Outcome;
use crate::assess::part_report::PartState;
use crate::assess::statements::statement::made as statements;
use crate::model::mark::MarkState;
use crate::report::EditionSummary;
use crate::report::Reader;
use crate::report::ShotKind;
use crate::report::fixture;
use crate::report::sections::glance::printed;
use crate::report::shots;
use crate::report::tests::made;

fn page(record: &Assessment) -> String {
    made(record, &fixture::scene(), &fixture::order(Reader::Buyer))
}

/// The headline, the lists, the pins and what the edition keeps tell the same number for each group.
#[test]
fn one_thing_has_one_count_everywhere() {
    let record = fixture::assessment();
    let html = page(&record);
    let kept = EditionSummary::of(&record, &fixture::scene(), None).text();
    assert!(kept.contains(&record.counts.findings.text().to_string()));
    let mut all = 0;
    for (outcome, number) in record.counts.findings.groups() {
        let words = outcome.words().english();
        let lead = match outcome {
            Outcome::Open => format!(" {words}: "),
            _ => format!("{number} {words}."),
        };
        assert!(html.contains(&lead), "{lead}");
        let of = { record.findings.iter() }.filter(|it| it.outcome == Some(outcome));
        let title = heading(outcome, &of.collect::<Vec<_>>());
        assert!(
            html.contains(&format!("<h3>{title}: {number}</h3>")),
            "{title}"
        );
        all += number;
    }
    assert_eq!(all, record.counts.findings.all());
    let lacks = record.counts.lacks.text();
    assert!(html.contains(&format!("<h3>Not examined: {lacks}</h3>")));
    assert!(html.contains(&format!("Not examined: {lacks}.")));
}

/// A criterion stands beside each finding that has one; where the measure on record lies outside it, it is not told as met.
#[test]
fn a_criterion_is_told_as_met_only_where_the_measure_does_not_say_otherwise() {
    let mut record = fixture::assessment();
    record.findings.iter_mut().for_each(|it| it.disclose = true);
    fixture::settle(&mut record);
    let with = |record: &Assessment| {
        let html = page(record);
        let told = ["Its criterion: ", "; the level names: "];
        told.iter()
            .map(|it| html.matches(it).count())
            .sum::<usize>()
    };
    let known = record
        .findings
        .iter()
        .filter(|it| it.outcome.is_some() && printed(it).1.is_some());
    assert_eq!(with(&record), known.count());
    let first = &mut record.findings[0];
    first.level_words = None;
    fixture::settle(&mut record);
    assert!(with(&record) < record.counts.findings.all());
    let open = { &mut record.findings }
        .iter_mut()
        .find(|it| it.outcome == Some(Outcome::Open));
    let open = open.unwrap();
    open.level_words = Some("50 to 200 mm long, or less than 1 mm open".to_owned());
    open.size = Some("300 mm".to_owned());
    assert!(page(&record).contains("Measured 300 mm; the level names: 50 to 200 mm long"));
    for finding in &mut record.findings {
        finding.level_words = None;
    }
    fixture::settle(&mut record);
    assert_eq!(with(&record), 0);
}

/// At a glance no picture stands for a fault that cannot be told from it.
#[test]
fn a_picture_that_cannot_show_a_fault_is_not_shown_at_a_glance() {
    let minis = |record: &Assessment| {
        let all = shots(record, &fixture::order(Reader::Buyer));
        let minis = all
            .iter()
            .filter(|it| matches!(it.kind, ShotKind::Mini { .. }));
        minis.count()
    };
    let mut record = fixture::assessment();
    assert!(minis(&record) > 0);
    let looks = record.findings.iter_mut().flat_map(|it| &mut it.history);
    looks.for_each(|it| it.state = MarkState::NotVisible);
    assert_eq!(minis(&record), 0);
}

/// A picture without the finding's mark says so under itself, once for each such side.
#[test]
fn a_side_without_its_mark_says_that_it_may_not_show_the_place() {
    let said = "It is not marked in this picture, which may not show the place.";
    let mut record = fixture::assessment();
    assert!(!page(&record).contains(said));
    record.pairs[0].before.mark = None;
    assert_eq!(page(&record).matches(said).count(), 1);
}

/// A statement about the wider part is told as one, and findings from before it are not dropped.
#[test]
fn a_schedule_line_tells_of_which_part_a_statement_was_made() {
    let mut record = fixture::assessment();
    let part = record
        .parts
        .iter_mut()
        .find(|it| it.state == PartState::Faults);
    let part = part.unwrap();
    part.state = PartState::NotExamined(statements::not_looked(18, Some("locked")));
    let counted = part.counts.text();
    assert!(page(&record).contains(&format!("Not examined: locked. From before: {counted}.")));
}
