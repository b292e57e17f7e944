//! The sheet that the other side signs when the piece is handed over.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::Origin;
use crate::assess::findings::last_seen::heading;
use crate::assess::findings::outcome::Outcome;
use crate::assess::findings::sighting::Sighting;
use crate::assess::gaps::silence::Silence;
use crate::kit::clock::Day;
use crate::kit::text::capital;
use crate::kit::text::joined;
use crate::model::photo::Stage;
use crate::report::DrawingInput;
use crate::report::Packing;
use crate::report::ReportError;
use crate::report::SealCode;
use crate::report::dossier::cover::order;
use crate::report::dossier::repairs_told::all_repairs;
use crate::report::drawing::view::DrawingView;
use crate::report::images::album::Album;
use crate::report::page::claimed;
use crate::report::page::code::code;
use crate::report::page::context::PageContext;
use crate::report::page::names;
use crate::report::page::paper;
use crate::report::page::policy;
use crate::report::page::shop::ShopView;
use crate::report::page::templates;
use crate::report::page::templates::style_of;
use crate::report::page::words;
use crate::report::sections::findings::withdrawn;
use crate::report::sections::glance::anchor;
use crate::report::sections::glance::is_past;
use crate::report::sections::glance::measure;
use crate::report::sections::head::not_in_force;
use crate::report::sections::living::Beside;
use crate::report::sections::living::FitView;

/// Everything that the sheet prints.
#[derive(Clone, Debug, Serialize)]
struct HandoverView {
    title: String,
    policy: String,
    style: String,
    stock_no: String,
    piece: String,
    shop: ShopView,
    drawing: DrawingView,
    made: String,
    groups: Vec<GroupView>,
    repairs: Vec<String>,
    not_there: Option<String>,
    not_in_force: Option<String>,
    withdrawn: Option<String>,
    taken_out: Vec<String>,
    journey: String,
    unexamined: String,
    fit: FitView,
    seal: String,
    fingerprint: String,
    code: String,
}

/// The findings of which the same became: their number is that of those listed.
#[derive(Clone, Debug, Serialize)]
struct GroupView {
    title: String,
    faults: Vec<FaultView>,
    /// Those of which nothing is left to see: named, not drawn.
    named: String,
}

/// Makes the sheet: what is wrong with the piece now, and the seal that is confirmed.
///
/// # Errors
/// When the template fails.
pub fn handover_page(
    assessment: &Assessment,
    scene: &DrawingInput,
    made_on: Day,
    seal: &SealCode,
) -> Result<String, ReportError> {
    let assessment = &claimed::marked(assessment);
    let piece = &assessment.piece;
    let no = piece.stock_no.to_string();
    // What is gone, or was not found, is not drawn.
    let mut now = assessment.clone();
    now.findings.retain(|it| !it.outcome.is_some_and(is_named));
    let (pictures, order) = (BTreeMap::new(), order(made_on));
    let album = Album::new(&pictures, Packing::OneFile);
    let drawing = DrawingView::new(&PageContext::new(&now, scene, &order, &album));
    let sources = PageContext::new(assessment, scene, &order, &album);
    // Every sheet of paper says of which piece and seal it is, and has room for both sides' initials.
    let short = seal.line.split(',').next().unwrap_or_default();
    let running = [no.as_str(), short, "initials: ________  ________"];
    let style = format!(
        "{}\n{}",
        style_of(&["palette.css", "style.css", "cover.css", "handover.css"]),
        paper::running(scene.country.as_deref(), &running, false)
    );
    let view = HandoverView {
        title: format!("Handover of {no}"),
        policy: policy::text("data:", &style, ""),
        style,
        stock_no: no,
        piece: capital(&piece.title),
        shop: ShopView::of(scene),
        drawing,
        made: made_on.spoken(),
        groups: GroupView::all(&sources),
        repairs: all_repairs(&sources),
        not_there: assessment.not_there(),
        not_in_force: not_in_force(&sources),
        withdrawn: withdrawn::findings(assessment),
        taken_out: withdrawn::pictures(assessment, false),
        journey: journey(assessment),
        unexamined: unexamined(&sources),
        fit: FitView::new(&sources, Beside::Nothing),
        seal: seal.line.clone(),
        fingerprint: seal.fingerprint.clone(),
        code: code(&seal.line),
    };
    Ok(templates::fill("handover.html", &view)?)
}

/// The handover and the delivery that are on record already: what is listed is not of the day of printing alone.
fn journey(assessment: &Assessment) -> String {
    let shoots = assessment.shoots.iter();
    let shoots = shoots.filter(|it| it.stage >= Stage::Handover);
    let told = shoots.map(|it| format!("{} on {}", it.stage, it.day.spoken()));
    let told: Vec<String> = told.collect();
    match told.is_empty() {
        true => String::new(),
        false => words::sentence(&format!("Already on record: {}", joined(&told))),
    }
}

/// The parts that nobody examined, by name, with how much else was not.
fn unexamined(sources: &PageContext<'_>) -> String {
    let assessment = sources.assessment;
    let lines = assessment.not_examined.iter();
    let parts = lines.filter(|it| matches!(it.silence, Silence::NotExamined | Silence::Nothing));
    let parts: Vec<&str> = parts.map(|it| it.what.as_str()).collect();
    let parts = names::folded(&assessment.parts, &parts).join("; ");
    let counted = assessment.counts.lacks.text();
    match parts.is_empty() {
        true => words::sentence(&counted),
        false => words::sentence(&format!("{counted}. The parts: {parts}")),
    }
}

/// Whether nothing of it is to be seen: such findings are named, and not listed.
fn is_named(outcome: Outcome) -> bool {
    matches!(outcome, Outcome::Gone | Outcome::NotFound)
}

impl GroupView {
    /// Every finding that is not withdrawn, in the order in which outcomes are told.
    fn all(sources: &PageContext<'_>) -> Vec<Self> {
        let of = |outcome: Outcome| {
            let all = sources.findings();
            let all: Vec<&Finding> = all.filter(|it| it.outcome == Some(outcome)).collect();
            let title = format!("{}: {}", heading(outcome, &all), all.len());
            let gone = is_named(outcome);
            let names: Vec<String> = all.iter().map(|it| it.named()).collect();
            let line = |it: &Finding| FaultView::new(sources, it);
            (!all.is_empty()).then(|| Self {
                title,
                faults: match gone {
                    true => Vec::new(),
                    false => all.into_iter().map(line).collect(),
                },
                named: match gone {
                    true => words::sentence(&names.join("; ")),
                    false => String::new(),
                },
            })
        };
        Outcome::ALL.into_iter().filter_map(of).collect()
    }
}

/// A fault in one line.
#[derive(Clone, Debug, Serialize)]
struct FaultView {
    /// Where it stands on the sheet.
    anchor: String,
    /// With what became of it.
    line: String,
}

impl FaultView {
    fn new(sources: &PageContext<'_>, it: &Finding) -> Self {
        let measured = measure(it);
        let measured = match measured.is_empty() {
            true => measured,
            false => format!(", {measured}"),
        };
        let origin = match it.origin {
            Origin::ByWork | Origin::BetweenLooks | Origin::AfterSale => {
                format!(". {}", words::came(it).join(" ").trim_end_matches('.'))
            }
            Origin::Found | Origin::Unknown => String::new(),
        };
        let shows = it.history.iter().rev().find(|it| it.state.is_there());
        let pictures: Vec<u32> = { shows.iter() }
            .flat_map(|it| it.marks.iter().map(|it| it.photo))
            .collect::<BTreeSet<u32>>()
            .into_iter()
            .collect();
        let at = match pictures.as_slice() {
            [] => String::new(),
            [one] => format!(". Picture {one}"),
            many => format!(". Pictures {}", words::runs(many)),
        };
        let notes = newest_notes(it);
        let line = format!(
            "{} {}, {}{measured}: {}{origin}{at}",
            it.no,
            it.term,
            it.placed(),
            sources.state(it)
        );
        Self {
            anchor: anchor(it),
            line: match notes.is_empty() {
                true => line,
                false => format!("{line}. {}", notes.join(" ")),
            },
        }
    }
}

/// What was written of it since it was last seen there, the oldest first, each with its day. Of what is past the look from before tells
/// nothing of now.
fn newest_notes(it: &Finding) -> Vec<String> {
    let there = it.history.iter().rposition(|it| it.state.is_there());
    let from = match (there, is_past(it)) {
        (Some(at), true) => at + 1,
        (at, _) => at.unwrap_or(0),
    };
    let of_look = |look: &Sighting| {
        let note = |text: &String| format!("{}: {}", look.day.spoken(), words::noted(text));
        look.words().iter().map(note).collect::<Vec<String>>()
    };
    it.history[from..].iter().flat_map(of_look).collect()
}

#[cfg(test)]
mod tests {
    use super::handover_page;
    use crate::assess::findings::finding::FindingState;
    use crate::assess::findings::outcome::Outcome;
    use crate::model::mark::MarkState;
    use crate::report::SealCode;
    use crate::report::fixture;
    use crate::report::sections::glance::anchor;

    fn sheet(it: &crate::assess::assessment::Assessment) -> String {
        let seal = SealCode {
            fingerprint: "0123 4567".to_owned(),
            line: "seal 3, 12 lines".to_owned(),
        };
        let day = "2026-05-20".parse().unwrap();
        handover_page(it, &fixture::scene(), day, &seal).unwrap()
    }

    #[test]
    fn every_finding_is_on_the_sheet_whatever_became_of_it() {
        let mut it = fixture::assessment();
        for outcome in Outcome::ALL {
            it.findings[0].outcome = Some(outcome);
            it.findings[0].state = FindingState::Open;
            let html = sheet(&it);
            let told = it.findings.iter().filter(|it| it.outcome.is_some());
            for finding in told.filter(|it| it.state != FindingState::Withdrawn) {
                let listed = html.contains(&format!("<li id=\"{}\"", anchor(finding)));
                let gone = finding.outcome.is_some_and(super::is_named);
                assert_eq!(listed, !gone, "{} {outcome:?}", finding.no);
                assert!(html.contains(&finding.no.to_string()));
            }
        }
    }

    #[test]
    fn a_sheet_marks_what_nothing_bears_and_says_what_could_not_be_read() {
        let mut it = fixture::assessment();
        fixture::claim_solid(&mut it, None);
        let html = sheet(&it);
        assert!(html.contains("Solid [claims what the record does not show] oak chest"));
        let unread = "The newest notes beside 1 picture could not be read";
        assert!(html.contains(unread));
        it.complaints.clear();
        assert!(!sheet(&it).contains(unread));
    }

    /// What is still there is told with its notes and by the pictures that show it; what is past, by what became of it.
    #[test]
    fn what_is_there_stands_with_its_notes_and_pictures() {
        let mut it = fixture::assessment();
        let there = |it: &super::Finding| it.history.iter().any(|it| it.state.is_there());
        let at = it.findings.iter().position(there).unwrap();
        it.findings[at].outcome = Some(Outcome::Open);
        it.findings[at].state = FindingState::Open;
        let last = { it.findings[at].history.iter_mut() }.rfind(|it| it.state.is_there());
        let last = last.unwrap();
        last.notes = vec!["drops when let go".to_owned()];
        let photo = last.marks[0].photo;
        let html = sheet(&it);
        assert!(html.contains("Note: Drops when let go."), "{html}");
        assert!(
            html.contains(&format!("Picture {photo}")) || html.contains("Pictures "),
            "{html}"
        );
    }

    /// What was written of a fault since it was last seen there stands with its day, the oldest first.
    #[test]
    fn the_newest_notes_are_on_the_sheet_and_the_older_too() {
        let mut it = fixture::assessment();
        let there = |it: &super::Finding| it.history.iter().any(|it| it.state.is_there());
        let at = it.findings.iter().position(there).unwrap();
        let finding = &mut it.findings[at];
        finding.outcome = Some(Outcome::NotSeenSince);
        finding.state = FindingState::Open;
        let last = { finding.history.iter() }.rposition(|it| it.state.is_there());
        finding.history.truncate(last.unwrap() + 1);
        let mut look = finding.history[last.unwrap()].clone();
        finding.history[last.unwrap()].notes = vec!["older words".to_owned()];
        look.notes = vec!["newest words".to_owned()];
        look.state = MarkState::NotExamined;
        look.day = "2026-05-19".parse().unwrap();
        finding.history.push(look);
        let html = sheet(&it);
        let newest = html.find("19 May 2026: Note: Newest words.").unwrap();
        assert!(html.find("Note: Older words.").unwrap() < newest);
    }

    /// Whoever takes it over reads what was repaired, and what the work hides.
    #[test]
    fn a_sheet_names_the_repairs_and_what_they_hide() {
        let mut it = fixture::assessment();
        it.repairs[0].hides = Some("a dowel stub stays in the joint".to_owned());
        let html = sheet(&it);
        assert!(html.contains("Hidden, not cured: a dowel stub stays in the joint."));
        for repair in &it.repairs {
            assert!(html.contains(&format!("Repair {}, ", repair.no)));
        }
    }

    /// The sheet has no section to point at: it says itself that a heavy piece takes more hands.
    #[test]
    fn a_sheet_asks_for_more_than_two_where_the_piece_is_heavy() {
        let mut it = fixture::assessment();
        assert!(sheet(&it).contains("Two people; lift"));
        "heavy_lift".clone_into(&mut it.cautions[0].hazard);
        assert!(sheet(&it).contains("Two people or more; lift"));
    }

    #[test]
    fn a_sheet_says_that_insects_may_live_in_it() {
        let mut it = fixture::assessment();
        assert!(!sheet(&it).contains("Insects may live"));
        it.findings[0].tag = "worm_active".to_owned();
        it.findings[0].outcome = Some(Outcome::NotSeenSince);
        let (html, no) = (sheet(&it), it.findings[0].no);
        assert!(html.contains(&format!("Insects may live in it: {no}.")));
        assert!(html.contains(&format!("load nothing of wood or cloth beside it ({no}).")));
    }

    #[test]
    fn every_sheet_of_paper_names_the_piece_and_the_seal() {
        let html = sheet(&fixture::assessment());
        assert!(html.contains(
            "@page{size:A4;@bottom-left{content:\"26\\00002d 014 \\0000b7  seal 3 \\0000b7  initials"
        ));
    }
}
