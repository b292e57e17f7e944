//! What an edition states, short and canonical, so that the next one can say what changed. Nothing private is in it.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::outcome::Outcome;
use crate::assess::gaps::silence;
use crate::assess::gaps::silence::Silence;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::statements::statement::NotLooked;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::kit::json::canonical::canonical;
use crate::kit::measure::Length;
use crate::kit::text::small;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::report::DrawingInput;
use crate::report::page::became;
use crate::tongue::Saying;

/// Version of the summary's shape.
const VERSION: u32 = 1;

/// What an edition states.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EditionSummary {
    v: u32,
    /// Findings by number; withdrawn ones are no longer stated.
    pub(in crate::report) findings: BTreeMap<FindingNo, FindingStated>,
    /// Digests of the originals, by number of the picture.
    pub(in crate::report) pictures: BTreeMap<u32, Digest>,
    /// What was told of pictures that were put into another shoot, by number.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub(in crate::report) moved: BTreeMap<u32, String>,
    /// Repairs by number.
    pub(in crate::report) repairs: BTreeMap<u32, RepairStated>,
    /// What was said of the parts, by label; a part with findings is told by these.
    pub(in crate::report) parts: BTreeMap<String, String>,
    /// All else that the page states, by name.
    pub(in crate::report) words: BTreeMap<String, String>,
    /// The seal that the page names.
    pub(in crate::report) seal: Option<SealNamed>,
}

/// A finding as stated.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::report) struct FindingStated {
    /// Fault and place.
    pub(in crate::report) what: String,
    /// Its level.
    pub(in crate::report) level: Option<u8>,
    /// Its measure.
    pub(in crate::report) size: Option<String>,
    /// What became of it, in words.
    pub(in crate::report) state: String,
    /// Whether it is repaired or gone.
    pub(in crate::report) closed: bool,
    /// In which group it is counted; `None` in editions from before there were these groups.
    #[serde(default)]
    pub(in crate::report) outcome: Option<Outcome>,
}

/// A repair as stated.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::report) struct RepairStated {
    /// Its method, in words.
    pub(in crate::report) what: String,
    /// The day.
    day: Day,
    findings: Vec<FindingNo>,
    /// Parts that it was done on beside those of its findings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    parts: Vec<PartId>,
    new_material: Option<String>,
    hides: Option<String>,
    note: Option<String>,
}

/// The newest seal that there was when an edition was made, where it covers something of the piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SealNamed {
    /// Its number, from 1.
    pub no: u32,
    /// How many lines of the ledger it covers.
    pub size: u64,
    /// The root of their tree.
    pub root: Digest,
    /// When it was made, by the owner's clock.
    pub at: Moment,
    /// Not later than this, by an authority; `None` without a time stamp.
    pub stamped: Option<Moment>,
    /// How many of the piece's lines it covers.
    pub covers: u64,
    /// How many lines the piece had.
    pub lines: u64,
}

impl EditionSummary {
    /// Of what a page would state.
    #[must_use]
    pub fn of(assessment: &Assessment, scene: &DrawingInput, seal: Option<SealNamed>) -> Self {
        let findings = assessment.findings.iter();
        let findings = findings.filter(|it| it.state != FindingState::Withdrawn);
        let parts = assessment.parts.iter();
        Self {
            v: VERSION,
            findings: findings.map(|it| (it.no, FindingStated::of(it))).collect(),
            pictures: assessment
                .photos
                .iter()
                .map(|it| (it.no, it.digest))
                .collect(),
            moved: assessment
                .photos
                .iter()
                .filter_map(|it| Some((it.no, it.moved.as_ref()?.words())))
                .collect(),
            repairs: assessment
                .repairs
                .iter()
                .map(|it| (it.no, RepairStated::of(it, scene)))
                .collect(),
            parts: parts.map(|it| (it.label.clone(), part(it))).collect(),
            words: stated_words(assessment, scene),
            seal,
        }
    }

    /// Reads one; `None` when the text is none of this version.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let it: Self = serde_json::from_str(text).ok()?;
        (it.v == VERSION).then_some(it)
    }

    /// Its canonical text (RFC 8785).
    #[must_use]
    pub fn text(&self) -> String {
        canonical(self).expect("it holds no number that JSON has not")
    }

    /// The seal that the page names.
    #[must_use]
    pub fn seal(&self) -> Option<&SealNamed> {
        self.seal.as_ref()
    }
}

impl FindingStated {
    fn of(it: &Finding) -> Self {
        Self {
            what: format!("{}, {}", it.term, it.placed()),
            level: it.level,
            size: it.size.clone(),
            state: became::stated(it).to_string(),
            closed: { it.outcome }.is_some_and(|it| it.is_closed() && it.is_fault()),
            outcome: it.outcome,
        }
    }
}

impl RepairStated {
    fn of(it: &Repair, scene: &DrawingInput) -> Self {
        let known = scene.methods.get(&it.method);
        Self {
            what: known.map_or_else(|| it.method.replace('_', " "), Clone::clone),
            day: it.day,
            findings: it.findings.clone(),
            parts: it.parts.clone(),
            new_material: it.new_material.clone(),
            hides: it.hides.clone(),
            note: it.note.clone(),
        }
    }
}

/// What was said of a part, without day and picture; the three silences keep three words.
fn part(part: &PartReport) -> String {
    let not_examined = |word: &str, it: &NotLooked| match it.why() {
        Some(why) => format!("{word} ({why})"),
        None => word.to_owned(),
    };
    let word = match (&part.state, &part.otherwise) {
        (PartState::NotExamined(it), _) => return not_examined("not examined", it),
        (PartState::Faults, Some(it)) => {
            return not_examined("with findings, otherwise not examined", it);
        }
        (PartState::Silent, _) if part.is_tested_clean() => {
            "no statement on faults; tested or looked at for one thing, not found"
        }
        (PartState::Silent, _) if part.remarked => "no statement on faults",
        (state, _) => part_word(state),
    };
    word.to_owned()
}

fn part_word(state: &PartState) -> &'static str {
    match state {
        PartState::Absent { .. } => "absent",
        PartState::NotExamined { .. } => "not examined",
        PartState::Silent => "no statement",
        PartState::Sound { .. } => "looked for faults, found none",
        PartState::Faults => "with findings",
    }
}

/// Whether the statement of a part says by itself that this was not examined.
fn says(part: &PartReport, what: &str) -> bool {
    silence::is_of(what, &part.label)
}

/// What else the page states, by the name under which a change of it is told.
fn stated_words(it: &Assessment, scene: &DrawingInput) -> BTreeMap<String, String> {
    let piece = &it.piece;
    let mut words = BTreeMap::new();
    let mut say = |name: &str, text: String| {
        if !text.is_empty() {
            words.insert(name.to_owned(), text);
        }
    };
    say("Counted", it.counts.findings.text());
    say("Title", piece.title.clone());
    say("Form", it.form_label.clone());
    if let Some(size) = piece.size {
        let sides = [size.height_mm, size.width_mm, size.depth_mm];
        let sides = sides.map(|mm| Length::mm(mm).to_string());
        say("Size", sides.join(" x "));
    }
    say("Never had", it.never_had.join("; "));
    say("Weight", piece.weight.clone().unwrap_or_default());
    let by = piece.examined_by.clone();
    say("Examined by", by.unwrap_or(scene.examined_by.clone()));
    say("Description", piece.about.clone().unwrap_or_default());
    say("Seller", scene.trading_name.clone());
    say("Contact", scene.contact.clone());
    say("Address", scene.address.clone());
    say("Telephone", scene.phone.clone());
    if !scene.logo.is_empty() {
        say("Logo", Digest::of(&scene.logo).short(16));
    }
    for part in &it.parts {
        if !part.material.evidence.is_empty() {
            let name = format!("Made of, {}", part.label);
            say(&name, part.material.text.clone());
        }
    }
    say("When it was made", it.made.text.clone());
    if let Some(hold) = it.hold {
        say("The coat is left alone until", hold.free_from.spoken());
    }
    say("How it moves with the air", scene.movement.join(" "));
    for (name, text) in silences(it).chain(taken_out(it)) {
        say(&name, text);
    }
    for caution in &it.cautions {
        say(
            &format!("Safety, {}", caution.title),
            Saying::Beside(caution.lines.clone()).to_string(),
        );
    }
    for (name, text) in remarks(it) {
        say(&name, text);
    }
    for claim in &it.claims {
        let name = format!(
            "The word \u{201c}{}\u{201d}, in {}",
            claim.word, claim.place
        );
        say(&name, claim.rests_on.clone().unwrap_or_default());
    }
    words
}

/// What the record does not tell, but for what the parts say themselves.
fn silences(it: &Assessment) -> impl Iterator<Item = (String, String)> {
    it.not_examined.iter().filter_map(|line| {
        let silence = match line.silence {
            Silence::Nothing | Silence::NotJudged => return None,
            Silence::NotExamined if it.parts.iter().any(|it| says(it, &line.what)) => return None,
            Silence::NotExamined => "Not examined",
            Silence::NotSettled => "Not settled",
            Silence::NotSeenSince => "Not seen since",
            Silence::NotTested => "Not tested",
            Silence::TestedInPart => "Partly tested",
            Silence::NotPictured => "Not pictured",
            Silence::TakenOut => "Taken out",
        };
        Some((format!("{silence}, {}", line.what), line.why.clone()))
    })
}

/// The pictures that were taken out, with what went with them.
fn taken_out(it: &Assessment) -> impl Iterator<Item = (String, String)> {
    it.taken_out.iter().map(|out| {
        let told = out.told();
        let told = told.map_or_else(String::new, |it| format!("; {it}"));
        let name = format!("Picture {} ({}), taken out", out.photo, out.stage);
        (name, format!("on {}{told}", out.out.spoken()))
    })
}

/// What else was seen, by thing and part; what was said of one more than once stands together.
fn remarks(it: &Assessment) -> BTreeMap<String, String> {
    let mut told: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for remark in &it.remarks {
        let mut name = format!("Seen, {}: {}", remark.part_label, small(&remark.term));
        // What was not so, or is not any more, is another statement than what was seen.
        if !remark.unless_seen().is_empty() {
            name.push_str(&format!(", {}", remark.unless_seen()));
        }
        let mut words = vec![remark.day.spoken()];
        words.extend(remark.words());
        told.entry(name).or_default().push(words.join(", "));
    }
    told.into_iter()
        .map(|(name, words)| (name, words.join("; ")))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::part;
    use crate::assess::part_report::PartState;
    use crate::report::fixture;

    /// A part with a clean test alone has no finding, in the list of changes as in the schedule.
    #[test]
    fn a_part_that_was_tested_clean_is_not_with_findings() {
        let mut it = fixture::assessment().parts.remove(0);
        it.state = PartState::Silent;
        it.remarked = true;
        it.otherwise = None;
        it.counts = serde_json::from_str(r#"{"cleared": 1}"#).unwrap();
        assert_eq!(
            part(&it),
            "no statement on faults; tested or looked at for one thing, not found"
        );
    }
}
