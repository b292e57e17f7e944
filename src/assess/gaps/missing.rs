//! What keeps a final report from being printed, and what to do about it.

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::claims::claimed::Claimed;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::gaps::alike::alike;
use crate::assess::gaps::alike::at_odds;
use crate::assess::gaps::lacks::Caution;
use crate::assess::gaps::lacks::Gap;
use crate::assess::gaps::repaired;
use crate::assess::gaps::silence::Unexamined;
use crate::assess::part_list;
use crate::assess::part_report::PartReport;
use crate::assess::piece_record::PieceRecord;
use crate::assess::places::all_told::Places;
use crate::assess::places::conflicts::PlaceConflict;
use crate::assess::timeline::Timeline;
use crate::model::mark::Mark;
use crate::model::photo::Photo;

/// The lowest level at which a wobble needs a number.
const WOBBLE_NEEDS_SIZE: u8 = 2;

/// What else was worked out of the same record.
pub(crate) struct Told<'a> {
    /// What was not examined.
    pub(crate) not_examined: &'a [Unexamined],
    /// The cautions that apply.
    pub(crate) cautions: &'a [Caution],
    /// Words that claim something.
    pub(crate) claims: &'a [Claimed],
    /// Marks of one finding that cannot be the same place.
    pub(crate) conflicts: &'a [PlaceConflict],
    /// Sizes that contradict what is drawn.
    pub(crate) sizes: &'a [Gap],
}

impl<'a> Told<'a> {
    /// Of these.
    pub(crate) fn new(
        not_examined: &'a [Unexamined],
        cautions: &'a [Caution],
        claims: &'a [Claimed],
        places: &'a Places,
    ) -> Self {
        Self {
            not_examined,
            cautions,
            claims,
            conflicts: &places.conflicts,
            sizes: &places.sizes,
        }
    }
}

/// Every gap, in a fixed order. None comes from a silence that is owned up to.
pub(crate) fn gaps(ground: &ClaimContext<'_>, told: &Told<'_>) -> Vec<Gap> {
    let (case, time, findings) = (ground.case, ground.time, ground.findings);
    let mut gaps = Vec::new();
    gaps.extend(unread(case));
    gaps.extend(days(time));
    gaps.extend(piece(case));
    gaps.extend(photos(time));
    gaps.extend(silent(ground.parts));
    gaps.extend(ground.parts.iter().filter_map(material_unseen));
    gaps.extend(findings.iter().filter_map(|it| unpictured(ground, it)));
    gaps.extend(findings.iter().filter_map(wobble));
    gaps.extend(alike(ground));
    gaps.extend(at_odds(ground));
    gaps.extend(told.conflicts.iter().map(two_places));
    gaps.extend(told.sizes.iter().cloned());
    gaps.extend(repaired::gaps(ground));
    gaps.extend(told.claims.iter().filter_map(unproven));
    gaps.extend(never_silent(ground, told));
    gaps.dedup();
    gaps
}

/// Sidecars whose newest text is not in force.
fn unread(case: &PieceRecord) -> Vec<Gap> {
    let mut complaints: Vec<_> = case.complaints.iter().collect();
    complaints.sort_by_key(|it| (&it.file, it.line, it.column));
    let one = |it: &&crate::model::complaint::Complaint| {
        let place = format!("line {}, column {}", it.line, it.column);
        Gap::new(
            "sidecar_not_in_force",
            format!(
                "`{}` is not in force as written: {place}: {}",
                it.file, it.message
            ),
            it.help
                .clone()
                .unwrap_or_else(|| "correct that line and save the file".to_owned()),
        )
    };
    complaints.iter().map(one).collect()
}

fn days(time: &Timeline<'_>) -> Option<Gap> {
    time.days_doubtful.then(|| {
        Gap::new(
            "days_out_of_order",
            "the days of the shoots contradict their stages; the order of import was used"
                .to_owned(),
            "a camera's clock was probably off: give its correction for that shoot".to_owned(),
        )
    })
}

/// What the owner has not told of the piece.
fn piece(case: &PieceRecord) -> Vec<Gap> {
    let mut gaps = Vec::new();
    let stock_no = &case.piece.stock_no;
    if case.piece.size.is_none() {
        gaps.push(Gap::new(
            "no_size",
            "the outer size is not known".to_owned(),
            format!("measure height, width and depth: `asfound amend {stock_no} --size HxWxD`"),
        ));
    }
    let named = case
        .piece
        .examined_by
        .as_deref()
        .unwrap_or(&case.settings.examined_by);
    if named.trim().is_empty() {
        gaps.push(Gap::new(
            "no_examiner",
            "nobody is named as the one who examined the piece".to_owned(),
            format!(
                "write `examined_by = \"...\"` in `book.toml`, or `asfound amend {stock_no} --examined-by NAME`"
            ),
        ));
    }
    gaps
}

/// What the photos as a whole lack.
fn photos(time: &Timeline<'_>) -> Vec<Gap> {
    let mut gaps = Vec::new();
    let has = |view: &str| {
        let mut photos = time.photos.iter();
        photos.any(|it| it.sidecar.view.as_deref() == Some(view))
    };
    if !has("front_whole") {
        gaps.push(Gap::new(
            "no_front",
            "no photo shows the whole front".to_owned(),
            "write `view = \"front_whole\"` beside the photo that does".to_owned(),
        ));
    }
    // A label that was looked for and not found is a statement too.
    let label = time.marks().any(|it| part_list::is(it.mark, "label_text"));
    if !has("identity_mark") && !has("label_mark") && !label {
        gaps.push(Gap::new(
            "no_identity",
            "no photo shows a mark that is only on this piece, and none a label".to_owned(),
            "photograph a knot, a spot or a label with `view = \"identity_mark\"` or `view = \"label_mark\"`; if there is none, write a mark with \
             `tag = \"label_text\"`, `part = \"...\"` and `state = \"gone\"` where you looked"
                .to_owned(),
        ));
    }
    let bare: Vec<&&Photo> = time
        .photos
        .iter()
        .filter(|it| it.sidecar.view.is_none())
        .collect();
    if let Some(first) = bare.first() {
        let count = bare.len();
        let photos = if count == 1 {
            "photo has"
        } else {
            "photos have"
        };
        let and_others = if count == 1 { "" } else { " and the others" };
        gaps.push(Gap::new(
            "photo_without_view",
            format!(
                "{count} {photos} no view yet, the first is {} (`{}`)",
                first.no, first.name
            ),
            format!(
                "write `view = \"...\"` in `{}`{and_others}",
                first.sidecar_name()
            ),
        ));
    }
    gaps
}

/// Required parts of which nothing was said, or nothing of faults, with the lines ready to be written.
fn silent(parts: &[PartReport]) -> Vec<Gap> {
    let of = |lacks: &str, is_it: fn(&PartReport) -> bool| {
        let silent = parts.iter().filter(|it| it.required && is_it(it));
        let silent: Vec<&PartReport> = silent.collect();
        let labels: Vec<&str> = silent.iter().map(|it| it.label.as_str()).collect();
        let ids: Vec<String> = silent.iter().map(|it| format!("\"{}\"", it.part)).collect();
        let ids = ids.join(", ");
        (!silent.is_empty()).then(|| {
            Gap::new(
                "part_without_statement",
                format!("{lacks}: {}", labels.join(", ")),
                format!(
                    "beside a photo that shows them write, for each as it is, `sound = [{ids}]`, `absent = [...]`, `not_examined = [...]`, or a mark"
                ),
            )
        })
    };
    let none = of("nothing is said of", PartReport::is_silent);
    let seen = of(
        "something was seen, and nothing is said of faults, of",
        PartReport::is_unjudged,
    );
    none.into_iter().chain(seen).collect()
}

/// A verdict on the material that no picture bears.
fn material_unseen(part: &PartReport) -> Option<Gap> {
    let settled = part.material.settled.as_ref()?;
    part.material.evidence.is_empty().then(|| {
        Gap::new(
            "material_without_picture",
            format!(
                "{} is called {settled}, and no picture shows it",
                part.label
            ),
            format!(
                "write a mark with what is seen on it, `part = \"{}\"`, in a picture that shows it",
                part.part
            ),
        )
    })
}

/// A fault of which a buyer is told, and no picture shows it, nor does a note or a number stand in for one (a smell, the
/// feel of a drawer).
fn unpictured(ground: &ClaimContext<'_>, finding: &Finding) -> Option<Gap> {
    let mut seen = finding.history.iter().flat_map(|it| &it.marks);
    let told = |at: &MarkAt| {
        let photo = ground.time.photo(at.photo);
        let mark = ground.time.mark(*at);
        let shown = |photo: &Photo, mark: &Mark| {
            let with_whole = ground.list.shows_with_whole(&finding.part);
            let whole = finding.part.whole();
            let mut named = photo.sidecar.parts.iter();
            let shows = named.any(|it| *it == finding.part || (with_whole && *it == whole));
            let said = mark.note.is_some() || mark.size.is_some();
            mark.region.is_some() || shows || said
        };
        photo
            .zip(mark)
            .is_some_and(|(photo, mark)| shown(photo, mark))
    };
    let asks = finding.disclose && finding.state.is_open() && !seen.any(told);
    let (no, term, part) = (finding.no, &finding.term, &finding.part_label);
    asks.then(|| {
        Gap::new(
            "fault_without_picture",
            format!("{no} ({term}, {part}) is recorded, and no picture shows where"),
            format!(
                "draw its place in its mark (`box`, `line`, `outline` or `spot`), or name `\"{}\"` in `parts` of the picture that shows it; \
                 what no picture can show needs a `note` that says how it was found",
                finding.part
            ),
        )
    })
}

/// Statements that the program makes by itself, so that these are never missing unless it has a fault.
fn never_silent(ground: &ClaimContext<'_>, told: &Told<'_>) -> Vec<Gap> {
    let mut gaps = Vec::new();
    if told.not_examined.is_empty() {
        gaps.push(Gap::new(
            "nothing_unexamined",
            "the report names nothing that was not examined, and that is never so".to_owned(),
            "write `not_examined = [\"...\"]` beside a photo for what you did not look at"
                .to_owned(),
        ));
    }
    let line = told
        .cautions
        .iter()
        .any(|it| it.hazard == "tip_over" && !it.lines.is_empty());
    if ground.list.may_tip && !line {
        gaps.push(Gap::new(
            "no_tip_over_line",
            "the piece can tip over, and the report has no line on it".to_owned(),
            "write a mark with `tag = \"tip_risk\"` for the test you made".to_owned(),
        ));
    }
    gaps
}

/// Two marks of one finding at two places.
fn two_places(it: &PlaceConflict) -> Gap {
    Gap::new("places_in_conflict", it.text.clone(), it.advice.clone())
}

fn wobble(finding: &Finding) -> Option<Gap> {
    let asks = finding.tag == "wobble"
        && finding.disclose
        && finding.state.is_open()
        && finding.level.is_some_and(|it| it >= WOBBLE_NEEDS_SIZE)
        && finding.size.is_none();
    let (no, part) = (finding.no, &finding.part_label);
    asks.then(|| {
        Gap::new(
            "wobble_without_number",
            format!("{no} ({part}) wobbles, and nobody wrote how far"),
            "measure the play at the top and write `size = \"... mm\"` in its mark".to_owned(),
        )
    })
}

/// A word that claims what the record does not show.
fn unproven(claim: &Claimed) -> Option<Gap> {
    let (word, place, lacks) = (&claim.word, &claim.place, &claim.lacks);
    let (write, told_by, why) = (&claim.write, &claim.told_by, &claim.why);
    let text = shortened(&claim.text);
    claim.rests_on.is_none().then(|| {
        Gap::new(
            "claim_without_evidence",
            format!(
                "`{word}` in {place} (\"{text}\") claims what the record does not show: {lacks}"
            ),
            format!("{write}; it stands in {told_by} ({why})"),
        )
    })
}

/// The beginning of a text, for a message.
fn shortened(text: &str) -> String {
    const MOST: usize = 60;
    let plain = text.split_whitespace().collect::<Vec<_>>().join(" ");
    match plain.char_indices().nth(MOST) {
        Some((at, _)) => format!("{} ...", plain[..at].trim_end()),
        None => plain,
    }
}
