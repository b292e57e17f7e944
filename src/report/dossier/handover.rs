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
use crate::assess::gaps::silence;
use crate::assess::gaps::silence::Silence;
use crate::assess::gaps::silence::Unexamined;
use crate::kit::clock::Day;
use crate::model::mark::MarkState;
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
use crate::tongue::Saying;
use crate::tongue::Tongue;
use crate::tongue::say;

/// Everything that the sheet prints.
#[derive(Clone, Debug, Serialize)]
struct HandoverView {
    language: &'static str,
    say: BTreeMap<&'static str, String>,
    title: String,
    policy: String,
    style: String,
    piece: String,
    shop: ShopView,
    drawing: DrawingView,
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
    /// What quotation marks on it say; `None` where there are none.
    quoted: Option<String>,
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
    let title = title(assessment);
    let assessment = &claimed::marked(assessment);
    let piece = &assessment.piece;
    let no = piece.stock_no.to_string();
    let tongue = scene.tongue;
    // What is gone, or was not found, is not drawn.
    let mut now = assessment.clone();
    now.findings.retain(|it| !it.outcome.is_some_and(is_named));
    let (pictures, order) = (BTreeMap::new(), order(made_on));
    let album = Album::new(&pictures, Packing::OneFile);
    let drawing = DrawingView::new(&PageContext::new(&now, scene, &order, &album));
    let sources = PageContext::new(assessment, scene, &order, &album);
    // Every sheet of paper says of which piece and seal it is, and has room for both sides' initials.
    let seal_named = seal.named.said(tongue);
    let initials = format!(
        "{} ________  ________",
        say::colon(say::sheet_initials()).said(tongue)
    );
    let running = [no.as_str(), &seal_named, &initials];
    let style = format!(
        "{}\n{}",
        style_of(&["palette.css", "style.css", "cover.css", "handover.css"]),
        paper::running(scene.country.as_deref(), &running, None)
    );
    let withdrawn = withdrawn::findings(assessment).map(|it| it.said(tongue));
    let view = HandoverView {
        language: tongue.language.code(),
        say: words_of(&no, made_on, tongue),
        title: say::sheet_title(no.as_str()).said(tongue),
        policy: policy::text("data:", &style, ""),
        style,
        piece: sources.said(&title),
        shop: ShopView::of(scene),
        drawing,
        groups: GroupView::all(&sources),
        repairs: all_repairs(&sources),
        not_there: assessment.not_there().map(|it| sources.said(&it)),
        not_in_force: not_in_force(&sources),
        withdrawn,
        taken_out: sources.all_said(&withdrawn::pictures(assessment, false)),
        journey: journey(&sources),
        unexamined: unexamined(&sources),
        fit: FitView::new(&sources, Beside::Nothing),
        seal: seal.line.clone(),
        fingerprint: seal.fingerprint.clone(),
        code: code(&seal.line, tongue),
        quoted: None,
    };
    Ok(templates::fill("handover.html", &view.explained(tongue))?)
}

impl HandoverView {
    /// With what quotation marks say, once, where there are some.
    fn explained(mut self, tongue: Tongue) -> Self {
        let [open, _] = tongue.quotes();
        let groups = self.groups.iter();
        let faults = groups.flat_map(|it| it.faults.iter().map(|it| &it.line).chain([&it.named]));
        let besides = self.repairs.iter().chain([&self.piece, &self.unexamined]);
        let quotes = faults.chain(besides).any(|it| it.contains(&open));
        self.quoted = quotes.then(|| say::sheet_quoted().said(tongue));
        self
    }
}

/// The title as it was typed; what it claims and the record does not bear out is told behind the whole of it.
fn title(assessment: &Assessment) -> Saying {
    let typed = Saying::Own(assessment.piece.title.clone());
    match claimed::unborne_title(assessment).is_empty() {
        true => typed,
        false => say::title_unshown(typed),
    }
}

/// What the sheet says of itself, by the names that its template has for it.
fn words_of(no: &str, made_on: Day, tongue: Tongue) -> BTreeMap<&'static str, String> {
    let all = [
        ("printed", say::sheet_printed(made_on)),
        ("wrong_now", say::sheet_wrong_now()),
        ("use", say::sheet_use()),
        ("carry", say::sheet_carry()),
        ("common_practice", say::sheet_common_practice()),
        ("numbered", say::sheet_numbered()),
        ("no_finding", say::sheet_no_finding()),
        ("repairs", say::sheet_repairs()),
        ("not_examined", say::sheet_not_examined()),
        ("seen_besides", say::sheet_seen_besides()),
        ("seal", say::sheet_seal(no)),
        ("seal_holds", say::sheet_seal_holds()),
        ("key", say::sheet_key()),
        ("signing", say::sheet_signing()),
        ("by", say::sheet_by()),
        ("to", say::sheet_to()),
        ("to_whom", say::sheet_to_whom()),
        ("name", say::sheet_name()),
        ("place", say::sheet_place()),
        ("day", say::sheet_day()),
        ("signature", say::sheet_signature()),
        ("copies", say::sheet_copies()),
        ("line", say::sheet_line()),
    ];
    all.map(|(name, it)| (name, it.said(tongue))).into()
}

/// The handover and the delivery that are on record already: what is listed is not of the day of printing alone.
fn journey(sources: &PageContext<'_>) -> String {
    let shoots = sources.assessment.shoots.iter();
    let shoots = shoots.filter(|it| it.stage >= Stage::Handover);
    let told = shoots.map(|it| say::stage_on(it.stage.saying(), it.day));
    let told: Vec<Saying> = told.collect();
    match told.is_empty() {
        true => String::new(),
        false => sources.said(&say::on_record_already(told).sentence()),
    }
}

/// The parts that nobody examined, or judged, by name and with the reason that was written, and the tests that nobody made, with how much
/// else was not: as many are named as are counted.
fn unexamined(sources: &PageContext<'_>) -> String {
    let assessment = sources.assessment;
    let of = |silences: &[Silence]| {
        let lines = assessment.not_examined.iter();
        let lines = lines.filter(|it| silences.contains(&it.silence));
        lines.collect::<Vec<&Unexamined>>()
    };
    let parts = of(&[Silence::NotExamined, Silence::Nothing, Silence::NotJudged]);
    let counted = assessment.counts.lacks.text();
    let parts = match parts.is_empty() {
        true => counted,
        false => say::lacks_and_parts(counted, by_reason(sources, &parts)),
    };
    let tests = of(&[Silence::NotTested, Silence::TestedInPart]);
    let named = tests.iter().filter(|it| it.silence == Silence::NotTested);
    let named = named.map(|it| say::within(Saying::test(&it.what)));
    let named: Vec<Saying> = named.collect();
    let partly = tests.iter().filter_map(|it| {
        let told = it.tested.clone()?;
        Some(say::sheet_part_tested(Saying::test(&it.what), told))
    });
    let all = [parts.sentence()].into_iter();
    let all = all.chain((!named.is_empty()).then(|| say::sheet_tests(Saying::Parted(named))));
    sources.said(&Saying::Beside(all.chain(partly).collect()))
}

/// Why nobody looked, as it was typed, and the picture beside which it was.
type Reason<'a> = (&'a str, u32);

/// Parts by the reason for which nobody looked, as the seller wrote it of them, or beside the picture that says so.
fn by_reason(sources: &PageContext<'_>, lines: &[&Unexamined]) -> Saying {
    let parts = &sources.assessment.parts;
    let reason = |line: &Unexamined| {
        let what = line.what.as_str();
        let part = parts.iter().find(|it| silence::is_of(what, &it.label))?;
        let looked = part
            .not_looked()
            .filter(|_| line.silence == Silence::NotExamined)?;
        let note = || sources.photo(looked.photo())?.sidecar.note.as_deref();
        Some((looked.why().or_else(note)?, looked.photo()))
    };
    let mut reasons: Vec<(Option<Reason<'_>>, Vec<&str>)> = Vec::new();
    for line in lines {
        let why = reason(line);
        match reasons.iter_mut().find(|it| it.0 == why) {
            Some((_, things)) => things.push(&line.what),
            None => reasons.push((why, vec![&line.what])),
        }
    }
    let told = reasons.into_iter().map(|(why, things)| {
        let things = names::folded_in(parts, &things, sources.tongue());
        let things = sources.tongue().parted(&things);
        match why {
            Some((why, photo)) => say::sheet_parts_why(things, Saying::quoted(why), photo),
            None => Saying::Plain(things),
        }
    });
    Saying::Parted(told.collect())
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
            let title = say::group_counted(heading(outcome, &all), all.len());
            let gone = is_named(outcome);
            let names: Vec<Saying> = all.iter().map(|it| it.named()).collect();
            let line = |it: &Finding| FaultView::new(sources, it);
            (!all.is_empty()).then(|| Self {
                title: sources.said(&title),
                faults: match gone {
                    true => Vec::new(),
                    false => all.into_iter().map(line).collect(),
                },
                named: match gone {
                    true => sources.said(&Saying::Parted(names).sentence()),
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
        let (no, term, state) = (
            it.no.to_string(),
            Saying::fault(&it.term),
            sources.state(it),
        );
        let measured = measure(it);
        let line = match measured == Saying::nothing() {
            true => say::fault_line(no, term, it.placed(), state),
            false => say::fault_line_measured(no, term, it.placed(), measured, state),
        };
        let origin = match it.origin {
            Origin::ByWork | Origin::BetweenLooks | Origin::AfterSale => words::came(it),
            Origin::Found | Origin::Unknown => Vec::new(),
        };
        let shows = it.history.iter().rev().find(|it| it.state.is_there());
        let pictures = shows.iter().flat_map(|it| it.marks.iter());
        let pictures: Vec<u32> = pictures.map(|it| it.photo).collect();
        let at = (!pictures.is_empty()).then(|| words::pictures(&pictures));
        let all = { std::iter::once(line).chain(origin).chain(at) }.chain(notes(it));
        let mut all: Vec<Saying> = all.collect();
        // The last ends without a stop of ours, as the lines of a list do.
        let last = all.pop();
        let all = all.into_iter().map(Saying::sentence).chain(last);
        Self {
            anchor: anchor(it),
            line: sources.said(&Saying::Beside(all.collect())),
        }
    }
}

/// What was written of it, each once, the oldest first, each with its day. What was written before it was gone or repaired tells nothing
/// of now, and of what is past the look from before tells nothing either.
fn notes(it: &Finding) -> Vec<Saying> {
    let there = it.history.iter().rposition(|it| it.state.is_there());
    let ended = |it: &Sighting| matches!(it.state, MarkState::Gone | MarkState::Repaired);
    let from = match (there, is_past(it)) {
        (Some(at), true) => at + 1,
        (Some(at), false) => { it.history[..at].iter().rposition(ended) }.map_or(0, |it| it + 1),
        (None, _) => 0,
    };
    let mut told = BTreeSet::new();
    let looks = it.history[from..].iter();
    let all = looks.flat_map(|look| look.quoted().into_iter().map(|it| (look.day, it)));
    let each = all.filter(|it| told.insert(it.1.to_string()));
    each.map(|(day, it)| say::dated_note(day, words::note(it)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::Assessment;
    use super::Finding;
    use super::Outcome;
    use super::Sighting;
    use super::handover_page;
    use super::words;
    use crate::assess::findings::finding::FindingState;
    use crate::assess::findings::sighting::Note;
    use crate::model::mark::MarkState;
    use crate::report::SealCode;
    use crate::report::fixture;
    use crate::report::sections::glance::anchor;

    fn sheet(it: &Assessment) -> String {
        let seal = SealCode {
            fingerprint: "0123 4567".to_owned(),
            line: "seal 3, 12 lines".to_owned(),
            named: crate::tongue::Saying::Plain("seal 3".to_owned()),
        };
        let day = "2026-05-20".parse().unwrap();
        handover_page(it, &fixture::scene(), day, &seal).unwrap()
    }

    fn note(text: &str) -> Note {
        let text = text.to_owned();
        Note { text, day: None }
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
        assert!(html.contains("[not shown by the record]</bdi>"));
        let unread = "The newest notes beside 1 picture could not be read";
        assert!(html.contains(unread));
        it.complaints.clear();
        assert!(!sheet(&it).contains(unread));
    }

    /// A fault of the record that was there when it was last looked at.
    fn fault_there(it: &mut Assessment, outcome: Outcome) -> &mut Finding {
        let is_there = |it: &Sighting| it.state.is_there();
        let mut findings = it.findings.iter_mut();
        let finding = findings.find(|it| it.history.iter().any(is_there)).unwrap();
        (finding.outcome, finding.state) = (Some(outcome), FindingState::Open);
        let last = finding.history.iter().rposition(is_there).unwrap();
        finding.history.truncate(last + 1);
        finding
    }

    /// Adds a later look with these notes.
    fn look_later<'a>(finding: &'a mut Finding, notes: &[&str]) -> &'a mut Sighting {
        let mut look = finding.history.last().unwrap().clone();
        look.notes = notes.iter().map(|it| note(it)).collect();
        look.day = "2026-05-19".parse().unwrap();
        finding.history.push(look);
        finding.history.last_mut().unwrap()
    }

    /// What is still there is told with its notes and by the pictures that show it; what is past, by what became of it.
    #[test]
    fn what_is_there_stands_with_its_notes_and_pictures() {
        let mut it = fixture::assessment();
        let last = fault_there(&mut it, Outcome::Open).history.last_mut();
        let last = last.unwrap();
        last.notes = vec![note("drops when let go")];
        let photos: Vec<u32> = last.marks.iter().map(|it| it.photo).collect();
        let html = sheet(&it);
        assert!(html.contains("Note: “drops when let go”"), "{html}");
        let named = words::pictures(&photos).to_string();
        assert!(html.contains(&named), "{named}: {html}");
    }

    /// What was written of a fault since it was last seen there stands with its day, the oldest first.
    #[test]
    fn the_newest_notes_are_on_the_sheet_and_the_older_too() {
        let mut it = fixture::assessment();
        let finding = fault_there(&mut it, Outcome::NotSeenSince);
        finding.history.last_mut().unwrap().notes = vec![note("older words")];
        look_later(finding, &["newest words"]).state = MarkState::NotExamined;
        let html = sheet(&it);
        let newest = html.find("19 May 2026: Note: “newest words”").unwrap();
        assert!(html.find("Note: “older words”").unwrap() < newest);
    }

    /// A note of an earlier look is on the sheet too, though a later one says nothing; once, though two say the same.
    #[test]
    fn a_note_of_an_earlier_look_stays_on_the_sheet() {
        let mut it = fixture::assessment();
        let finding = fault_there(&mut it, Outcome::Open);
        let words = "in the green coat below";
        finding.history.last_mut().unwrap().notes = vec![note(words)];
        look_later(finding, &[words]);
        look_later(finding, &[]);
        let html = sheet(&it);
        assert_eq!(html.matches("“in the green coat below”").count(), 1);
    }

    /// Whoever takes it over reads what was repaired, and what the work hides.
    #[test]
    fn a_sheet_names_the_repairs_and_what_they_hide() {
        let mut it = fixture::assessment();
        it.repairs[0].hides = Some("a dowel stub stays in the joint".to_owned());
        let html = sheet(&it);
        assert!(html.contains("Hidden, or still visible: “a dowel stub stays in the joint”."));
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
