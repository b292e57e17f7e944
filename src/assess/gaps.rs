//! What keeps a final report from being printed, and what to do about it.

use crate::assess::assessment::Case;
use crate::assess::assessment::Finding;
use crate::assess::assessment::FindingState;
use crate::assess::assessment::Gap;
use crate::assess::assessment::PartReport;
use crate::assess::assessment::PartState;
use crate::assess::claims::Claimed;
use crate::assess::order::Timeline;
use crate::assess::parts;
use crate::model::photo::Photo;

/// The lowest level at which a wobble needs a number.
const WOBBLE_NEEDS_SIZE: u8 = 2;

/// Every gap, in a fixed order.
pub(crate) fn gaps(
    case: &Case,
    time: &Timeline<'_>,
    parts: &[PartReport],
    findings: &[Finding],
    claims: &[Claimed],
) -> Vec<Gap> {
    let mut gaps = Vec::new();
    gaps.extend(unread(case));
    gaps.extend(days(time));
    gaps.extend(piece(case));
    gaps.extend(photos(time));
    gaps.extend(silent(parts));
    gaps.extend(findings.iter().filter_map(wobble));
    gaps.extend(findings.iter().filter_map(repair_unseen));
    gaps.extend(claims.iter().filter_map(unproven));
    gaps.dedup();
    gaps
}

fn gap(code: &str, message: String, remedy: String) -> Gap {
    Gap {
        code: code.to_owned(),
        message,
        remedy,
    }
}

/// Sidecars whose newest text is not in force.
fn unread(case: &Case) -> Vec<Gap> {
    let mut complaints: Vec<_> = case.complaints.iter().collect();
    complaints.sort_by_key(|it| (&it.file, it.line, it.column));
    let one = |it: &&crate::model::complaint::Complaint| {
        let place = format!("line {}, column {}", it.line, it.column);
        gap(
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
        gap(
            "days_out_of_order",
            "the days of the shoots contradict their stages; the order of import was used"
                .to_owned(),
            "a camera's clock was probably off: give its correction for that shoot".to_owned(),
        )
    })
}

/// What the owner has not told of the piece.
fn piece(case: &Case) -> Vec<Gap> {
    let mut gaps = Vec::new();
    let stock_no = &case.piece.stock_no;
    if case.piece.size.is_none() {
        gaps.push(gap(
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
        gaps.push(gap(
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
        gaps.push(gap(
            "no_front",
            "no photo shows the whole front".to_owned(),
            "write `view = \"front_whole\"` beside the photo that does".to_owned(),
        ));
    }
    if !has("identity_mark") && !has("label_mark") {
        gaps.push(gap(
            "no_identity",
            "no photo shows a mark that is only on this piece, and none a label".to_owned(),
            "photograph a knot, a spot or a label, and write `view = \"identity_mark\"` or `view = \"label_mark\"` beside it"
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
        gaps.push(gap(
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

/// Required parts of which nothing was said, with the lines ready to be written.
fn silent(parts: &[PartReport]) -> Option<Gap> {
    let silent = parts
        .iter()
        .filter(|it| it.required && it.state == PartState::Silent);
    let silent: Vec<&PartReport> = silent.collect();
    if silent.is_empty() {
        return None;
    }
    let labels: Vec<&str> = silent.iter().map(|it| it.label.as_str()).collect();
    let ids: Vec<String> = silent.iter().map(|it| format!("\"{}\"", it.part)).collect();
    let ids = ids.join(", ");
    Some(gap(
        "part_without_statement",
        format!("nothing is said of: {}", labels.join(", ")),
        format!(
            "beside a photo that shows them write, for each as it is, `sound = [{ids}]`, `absent = [...]`, `not_examined = [...]`, or a mark"
        ),
    ))
}

fn wobble(finding: &Finding) -> Option<Gap> {
    let asks = finding.tag == "wobble"
        && finding.disclose
        && parts::is_open(finding.state)
        && finding.level.is_some_and(|it| it >= WOBBLE_NEEDS_SIZE)
        && finding.size.is_none();
    let (no, part) = (finding.no, &finding.part_label);
    asks.then(|| {
        gap(
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
        gap(
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

fn repair_unseen(finding: &Finding) -> Option<Gap> {
    let unseen = finding.state == FindingState::RepairUnseen;
    let (no, term, part) = (finding.no, &finding.term, &finding.part_label);
    unseen.then(|| {
        gap(
            "repair_without_picture",
            format!("{no} ({term}, {part}) was repaired, and no picture shows it since"),
            format!(
                "photograph it and write a mark with `finding = \"{no}\"` and `state = \"repaired\"`"
            ),
        )
    })
}
