//! One page of dates, each with whose word it is.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::worked::Worked;
use crate::kit::clock::Day;
use crate::kit::text::capital;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::report::dossier::cover_order::CoverRequest;
use crate::report::dossier::cover_order::Retold;
use crate::report::dossier::cover_order::TakenOut;
use crate::report::dossier::in_book::all_later;
use crate::report::dossier::lines::line_told::InBook;
use crate::report::dossier::lines::line_told::LackEntered;
use crate::report::dossier::lines::line_told::SaleTold;
use crate::report::page::context::PageContext;
use crate::report::page::words;

/// A date.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct DateView {
    day: String,
    what: String,
    whose: &'static str,
}

const CAMERA: &str = "the camera's claim";
const OWNER: &str = "the owner's statement";
const MACHINE: &str = "the clock of the owner's computer";
const AUTHORITY: &str = "not later than, by a time-stamp authority";

impl DateView {
    /// All dates, by day. On one day, what no line of the ledger dates stands first, as it comes in a piece's life; then what lines
    /// and seals tell, in their order.
    pub(in crate::report) fn all(sources: &PageContext<'_>, cover: &CoverRequest) -> Vec<Self> {
        let it = sources.assessment;
        let mut rows: Vec<Row> = Vec::new();
        let taken_in = it.piece.taken_in.local_day();
        rows.push((taken_in, ENTERED, "Entered in the book".to_owned(), MACHINE));
        for (stage, entered) in entered(sources, cover) {
            rows.extend(shoot_rows(stage, &entered));
        }
        for it in &cover.taken_out {
            let what = format!(
                "Picture {} ({}) taken out of the record",
                it.photo, it.stage
            );
            rows.push((it.out, after_line(it.line), what, MACHINE));
        }
        rows.extend(put_right(cover));
        for it in &cover.papers {
            let what = format!("Paper or message kept: “{}”", it.name);
            rows.push((it.on, after_line(it.line), what, MACHINE));
        }
        for repair in &it.repairs {
            let name = sources.method_name(&repair.method);
            let on = Worked::by(repair, &it.findings);
            let on = on.labels(|it| small(&sources.part_label(it))).join("; ");
            let what = format!("Repair {}: {name} ({on})", repair.no);
            let entered = cover.repairs.get(&repair.no);
            rows.push((repair.day, NO_LINE, what + &entered_on(entered), OWNER));
        }
        for edition in &cover.editions {
            let what = format!(
                "Condition report for the {}, edition {}",
                edition.reader, edition.no
            );
            rows.push((edition.made, after_line(edition.line), what, MACHINE));
        }
        rows.extend(lacks(sources, cover));
        for (n, sale) in cover.sales.iter().enumerate() {
            let (former, later) = (&cover.sales[..n], &cover.sales[n + 1..]);
            let what = match (sale.taken_back, later.is_empty()) {
                (Some(it), _) => format!("Told as sold; taken back on {}", it.on.spoken()),
                (None, true) => "Sold, as told by the owner".to_owned(),
                (None, false) => "Told as the day of the sale, put right later".to_owned(),
            };
            // Said again, to put right something else, it is no other day.
            let again = |it: &SaleTold| it.says(sale);
            if later.is_empty() || !(former.iter().any(again) || later.last().is_some_and(again)) {
                let what = what.to_owned() + &entered_on(sale.entered.as_ref());
                rows.push((sale.day, NO_LINE, what, OWNER));
            }
        }
        rows.extend(taken_back(cover));
        rows.extend(cover.retold.iter().map(|it| {
            let place = after_line(it.line);
            (it.day, place, retold(sources, it), MACHINE)
        }));
        let later = all_later(sources, cover).into_iter();
        rows.extend(later.map(|(day, line, what)| (day, after_line(line), what, MACHINE)));
        rows.extend(seal_rows(cover));
        rows.sort_by_key(|it| (it.0, it.1));
        let view = |(day, _, what, whose): Row| Self {
            day: day.spoken(),
            what,
            whose,
        };
        rows.into_iter().map(view).collect()
    }
}

/// Which parts the piece was told to lack, change by change.
fn lacks(sources: &PageContext<'_>, cover: &CoverRequest) -> Vec<Row> {
    let label = |it: &PartId| Some(sources.assessment.label(it));
    let row = |it: &LackEntered| {
        let what = format!("Told of the piece, beside no picture: {}", it.clause(label));
        let (on, line) = (it.entered.day, after_line(it.entered.line));
        (on, line, what + &entered_on(Some(&it.entered)), MACHINE)
    };
    cover.lacks.iter().map(row).collect()
}

/// The sales that did not come about: one row for all days that were told of one.
fn taken_back(cover: &CoverRequest) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for sale in &cover.sales {
        let Some(it) = sale.taken_back else { continue };
        let what = format!(
            "Sale taken back, as told by the owner{}",
            entered_on(Some(&it.entered))
        );
        let row = (it.on, NO_LINE, what, OWNER);
        if !rows.contains(&row) {
            rows.push(row);
        }
    }
    rows
}

/// What was put right of shoots, of photos, and of the piece as a whole.
fn put_right(cover: &CoverRequest) -> Vec<Row> {
    let shoots = cover.shoot_changes.iter();
    let shoots = shoots.map(|it| (it.on, it.line, it.clause()));
    let moves = cover.moves.iter();
    let moves = moves.map(|it| (it.on, it.line, it.clause()));
    let pieces = cover.withdrawals.iter();
    let pieces = pieces.map(|it| (it.on, it.line, it.clause()));
    let row = |(on, line, what)| (on, after_line(line), what, MACHINE);
    shoots.chain(moves).chain(pieces).map(row).collect()
}

/// Day, place in the order of the ledger, what, whose word.
type Row = (Day, u64, String, &'static str);

/// `; entered on 14 April 2026 (line 66, seal 4)`, of what the owner gave a day.
fn entered_on(it: Option<&InBook>) -> String {
    it.map_or_else(String::new, |it| format!("; entered on {}", it.words()))
}

/// The place of what no line dates, and of what stood in the book before all lines.
const NO_LINE: u64 = 0;
const ENTERED: u64 = 1;

/// The place of what a line tells; lines are counted from 0.
fn after_line(line: u64) -> u64 {
    2 * line + 3
}

/// The place of a seal over so many lines: after the last of them.
fn after_lines(size: u64) -> u64 {
    2 * size + 2
}

/// What a sealed text beside a picture said that the one in its place does not.
fn retold(sources: &PageContext<'_>, it: &Retold) -> String {
    let said = it.was.iter().map(|mark| {
        let finding = sources.assessment.findings.iter().find(|finding| {
            let which = mark.which.as_deref().unwrap_or_default();
            let same = mark.tag.as_deref() == Some(&finding.tag)
                && mark.part.as_ref() == Some(&finding.part)
                && which == finding.numbered_as;
            same || mark.finding == Some(finding.no)
        });
        let tag = mark.tag.clone().unwrap_or_default();
        let part = mark.part.as_ref();
        let part = part.map_or_else(String::new, |it| small(&sources.part_label(it)));
        match finding {
            Some(finding) => {
                let measure = words::measured_then(mark.state, mark.size.as_deref(), mark.level);
                format!(
                    "{} {}, {}: {}{}",
                    finding.no,
                    finding.term,
                    finding.placed(),
                    mark.state.said(),
                    measure.map_or_else(String::new, |it| format!(", {it}"))
                )
            }
            None => {
                let which = mark.which.as_ref();
                let which = which.map_or_else(String::new, |it| format!(", {it}"));
                format!("{}, {part}{which}", tag.replace('_', " "))
            }
        }
    });
    let said = said.collect::<Vec<String>>().join("; ");
    words::sentence(&format!(
        "The text beside picture {} changed (line {}). Until seal {} it said: {said}",
        it.photo, it.line, it.seal
    ))
}

/// Seals with their time stamps, and who confirmed them.
fn seal_rows(cover: &CoverRequest) -> Vec<Row> {
    let mut rows = Vec::new();
    for seal in &cover.seals {
        let what = format!("Seal {} over the first {} lines", seal.no, seal.size);
        let place = after_lines(seal.size);
        rows.push((seal.at.local_day(), place, what, MACHINE));
        if let Some(at) = seal.stamped {
            let what = format!("Seal {} and all of its lines were there ({at})", seal.no);
            rows.push((at.local_day(), place, what, AUTHORITY));
        }
    }
    for it in &cover.confirmed {
        let names = it.seal.map_or_else(
            || "the key, and no seal".to_owned(),
            |no| format!("seal {no}"),
        );
        let what = format!(
            "Paper or message of the {} about {names} entered (line {})",
            it.by, it.line
        );
        rows.push((it.day, after_line(it.line), what, MACHINE));
    }
    rows
}

/// A picture that was entered, whether it is in the record still or not.
struct Entered {
    taken: Option<Day>,
    corrected: bool,
    imported: Day,
    /// The occasion with which it was taken in, where it was put elsewhere since.
    taken_in_as: Option<Stage>,
    /// The line that enters it.
    line: u64,
    /// Whether it was taken out since.
    is_out: bool,
}

/// The pictures of each shoot; also of one whose pictures were all taken out.
fn entered(sources: &PageContext<'_>, cover: &CoverRequest) -> Vec<(Stage, Vec<Entered>)> {
    let it = sources.assessment;
    let mut shoots: Vec<(u32, Stage)> = it.shoots.iter().map(|it| (it.no, it.stage)).collect();
    for it in &cover.taken_out {
        if !shoots.iter().any(|shoot| shoot.0 == it.shoot) {
            shoots.push((it.shoot, it.stage));
        }
    }
    let here = |it: &Photo| Entered {
        taken: it.taken().map(|it| it.day()),
        corrected: it.clock_off.seconds != 0,
        imported: it.imported.local_day(),
        taken_in_as: it.moved.as_ref().and_then(|it| it.steps.first()?.stage),
        line: cover.proofs.get(&it.no).map_or(NO_LINE, |it| it.line),
        is_out: false,
    };
    let out = |it: &TakenOut| Entered {
        taken: it.taken,
        corrected: it.corrected,
        imported: it.imported,
        taken_in_as: it.taken_in_as,
        line: it.entered,
        is_out: true,
    };
    let of = |(no, stage)| {
        let photos = it.photos.iter().filter(|it| it.shoot == no).map(here);
        let gone = cover.taken_out.iter().filter(|it| it.shoot == no).map(out);
        (stage, photos.chain(gone).collect())
    };
    shoots.into_iter().map(of).collect()
}

/// How many of these are no longer in the record, as the end of a sentence; empty when all are.
fn out_of<'a>(photos: impl Iterator<Item = &'a Entered>) -> String {
    match photos.filter(|it| it.is_out).count() {
        0 => String::new(),
        out => format!(", {out} of which taken out of the record later"),
    }
}

/// When a shoot was taken, by the cameras, and when it came into the book.
fn shoot_rows(of: Stage, photos: &[Entered]) -> Vec<Row> {
    let stage = capital(of.word());
    let mut rows = Vec::new();
    let mut days: Vec<(Day, usize)> = Vec::new();
    for day in photos.iter().filter_map(|it| it.taken) {
        match days.iter_mut().find(|it| it.0 == day) {
            Some((_, n)) => *n += 1,
            None => days.push((day, 1)),
        }
    }
    let corrected = |day: Day| {
        let of = photos
            .iter()
            .filter(|it| it.corrected && it.taken == Some(day));
        of.count()
    };
    for (day, n) in days {
        let mut what = format!(
            "{stage}: {} taken{}",
            words::count(n, "picture", "pictures"),
            out_of(photos.iter().filter(|it| it.taken == Some(day)))
        );
        if corrected(day) > 0 {
            what += &format!(
                "; the clock of {} put right by the owner",
                words::count(corrected(day), "of them was", "of them were")
            );
        }
        rows.push((day, NO_LINE, what, CAMERA));
    }
    let entered = |it: &Entered| (it.imported, it.taken_in_as.unwrap_or(of));
    let imports: BTreeSet<(Day, Stage)> = photos.iter().map(entered).collect();
    for (day, then) in imports {
        let these = || photos.iter().filter(|it| entered(it) == (day, then));
        let since = match then == of {
            true => String::new(),
            false => format!("; put with the {of} pictures since"),
        };
        let what = format!(
            "{}: {} taken into the book{}{since}",
            capital(then.word()),
            words::count(these().count(), "picture", "pictures"),
            out_of(these())
        );
        let last = these().map(|it| after_line(it.line)).max();
        rows.push((day, last.unwrap_or(NO_LINE), what, MACHINE));
    }
    rows
}
