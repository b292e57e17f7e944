//! What was changed: repairs with their pairs, other findings then and now, the same views before and after.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::assessment::Likeness;
use crate::assess::assessment::Pair;
use crate::assess::assessment::PairAbout;
use crate::assess::assessment::PairSide;
use crate::assess::findings::outcome::Outcome;
use crate::assess::worked::Worked;
use crate::kit::text::capital;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::photo::left_before;
use crate::model::repair::Repair;
use crate::report::ShotKind;
use crate::report::detail_area;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;
use crate::report::sections::glance::ItemView;
use crate::trade;

/// What was changed.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct ChangedView {
    /// Each repair.
    pub(in crate::report) repairs: Vec<RepairView>,
    /// Findings that are hidden and still there.
    pub(in crate::report) hidden: Vec<ItemView>,
    /// How much of the piece is new, as far as the repairs tell it.
    pub(in crate::report) share: Vec<String>,
    /// Findings seen more than once without a repair of their own.
    pub(in crate::report) others: Vec<PairView>,
    /// The same views of the piece.
    pub(in crate::report) views: Vec<PairView>,
}

/// A repair.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct RepairView {
    /// Its number.
    pub(in crate::report) no: u32,
    /// Name of the method: a heading, not what was done.
    pub(in crate::report) method: String,
    /// The day it was done.
    pub(in crate::report) day: String,
    /// What it was for.
    pub(in crate::report) findings: Vec<ItemView>,
    /// What was done, new material and what is hidden, as told.
    pub(in crate::report) facts: Vec<FactView>,
    /// Its pictures.
    pub(in crate::report) pairs: Vec<PairView>,
}

/// Two pictures.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct PairView {
    /// What they show.
    pub(in crate::report) title: String,
    /// How far they can be compared.
    pub(in crate::report) likeness: String,
    /// The earlier one.
    pub(in crate::report) before: FigureView,
    /// The later one.
    pub(in crate::report) after: FigureView,
    /// `yes` when one may slide over the other, else empty.
    pub(in crate::report) slides: &'static str,
}

impl ChangedView {
    /// Of all repairs and pairs.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let mut told = BTreeSet::new();
        let repairs = sources.assessment.repairs.iter();
        let repairs = repairs
            .map(|it| RepairView::new(sources, it, &mut told))
            .collect();
        let all = sources.assessment.pairs.iter();
        let others = all.clone().filter(|it| match it.about {
            PairAbout::Finding(no) => !told.contains(&no),
            PairAbout::View(_) => false,
        });
        let views = all.filter(|it| matches!(it.about, PairAbout::View(_)));
        let hidden = sources.findings();
        let hidden = hidden.filter(|it| it.outcome == Some(Outcome::Hidden));
        Self {
            repairs,
            hidden: hidden.map(ItemView::new).collect(),
            share: share(sources),
            others: others.filter_map(|it| PairView::new(sources, it)).collect(),
            views: views.filter_map(|it| PairView::new(sources, it)).collect(),
        }
    }
}

impl RepairView {
    fn new(sources: &PageContext<'_>, repair: &Repair, told: &mut BTreeSet<FindingNo>) -> Self {
        let method = sources.method_name(&repair.method);
        let findings = repair.findings.iter().filter_map(|it| sources.finding(*it));
        let mine = repair.findings.iter().filter(|it| told.insert(**it));
        let mine: Vec<_> = mine.copied().collect();
        let pairs = sources.assessment.pairs.iter().filter(|it| match it.about {
            PairAbout::Finding(no) => mine.contains(&no),
            PairAbout::View(_) => false,
        });
        let pairs = pairs.filter_map(|it| PairView::new(sources, it)).collect();
        Self {
            no: repair.no,
            method,
            day: repair.day.spoken(),
            findings: findings
                .map(|it| ItemView::before(it, repair.day))
                .collect(),
            facts: facts(sources, repair),
            pairs,
        }
    }
}

/// Bands of the share of replaced material: below, words (common practice, no source; some rules of trade and customs turn on
/// shares from 35 % on).
const BANDS: [(f64, &str); 3] = [
    (15.0, "under 15 %"),
    (35.0, "15 to 35 %"),
    (f64::INFINITY, "over 35 %"),
];

/// On how many parts new material is recorded, and the shares that the repairs tell.
fn share(sources: &PageContext<'_>) -> Vec<String> {
    let assessment = sources.assessment;
    let with = assessment
        .repairs
        .iter()
        .filter(|it| it.new_material.is_some());
    let with: Vec<&Repair> = with.collect();
    if with.is_empty() {
        return Vec::new();
    }
    let on: Vec<Worked> = with
        .iter()
        .map(|it| Worked::by(it, &assessment.findings))
        .collect();
    let parts: BTreeSet<_> = on
        .iter()
        .flat_map(Worked::parts)
        .map(PartId::whole)
        .collect();
    let all_over = match on.contains(&Worked::WholePiece) {
        true => " and on the piece as a whole",
        false => "",
    };
    let whole = assessment
        .parts
        .iter()
        .filter(|it| !it.part.is_inner())
        .count();
    let mut lines = vec![format!(
        "New material is recorded on {} of {whole} main parts{all_over}, in {}.",
        parts.len(),
        words::count(with.len(), "repair", "repairs")
    )];
    let told = with.iter().filter_map(|it| {
        let percent = percent_in(it.new_material.as_deref()?)?;
        let band = BANDS.iter().find(|band| percent < band.0)?.1;
        Some(format!(
            "Repair {} tells a share of new material: {band}.",
            it.no
        ))
    });
    lines.extend(told);
    if lines.len() == 1 {
        lines.push("The share of replaced material was not measured.".to_owned());
    }
    lines
}

/// The highest number before a percent sign.
fn percent_in(text: &str) -> Option<f64> {
    let mut pieces: Vec<&str> = text.split('%').collect();
    pieces.pop();
    let number = |piece: &str| {
        let plain = piece.trim_end();
        let digit = |it: char| it.is_ascii_digit() || it == '.';
        let start = plain.rfind(|it| !digit(it)).map_or(0, |at| at + 1);
        // What stands before may be no ASCII: the next letter begins at a border.
        plain.get(start..)?.parse::<f64>().ok()
    };
    pieces.into_iter().filter_map(number).reduce(f64::max)
}

fn facts(sources: &PageContext<'_>, repair: &Repair) -> Vec<FactView> {
    let said = |text: &Option<String>, silence: &str| match text {
        Some(text) => words::sentence(&capital(text)),
        None => silence.to_owned(),
    };
    let minds = trade::book().method(&repair.method).into_iter();
    let minds: Vec<String> = minds.flat_map(|it| it.buyer.clone()).collect();
    let minds = (!minds.is_empty()).then(|| FactView {
        name: "To mind".to_owned(),
        lines: minds,
    });
    // The parts of its findings stand with these.
    let parts = repair.parts.iter().map(|it| sources.part_label(it));
    let on = match repair.is_of_whole_piece() {
        true => vec!["The piece as a whole.".to_owned()],
        false => parts.collect(),
    };
    let mut facts = Vec::new();
    if !on.is_empty() {
        facts.push(FactView {
            name: "Done on".to_owned(),
            lines: on,
        });
    }
    if let Some(left) = left_before(&sources.assessment.shoots, repair.day) {
        let (day, stage) = (left.day.spoken(), left.stage);
        facts.push(FactView::new(
            "Day",
            format!("As told it lies after the {stage} of {day}, and no return is on record."),
        ));
    }
    facts.extend([
        FactView::new(
            "What was done",
            said(&repair.note, "Not told beyond the kind of work."),
        ),
        FactView::new("New material", said(&repair.new_material, "None recorded.")),
        FactView::new(
            "Hidden, not cured",
            said(&repair.hides, "Nothing recorded."),
        ),
    ]);
    facts.extend(minds);
    facts
}

/// How close both pictures of a pair are; always the same, so that they show about the same area.
#[derive(Clone, Copy)]
enum Frame {
    /// The surroundings of the mark.
    Close,
    /// The whole photo.
    Whole,
}

/// Said of a picture in which nobody marked the finding that a pair is about.
const MAY_MISS: &str = "It is not marked in this picture, which may not show the place.";

/// How much the widths of two details may differ for one picture to slide over the other.
const SCALE_APART: f64 = 0.25;
/// How much two shapes may differ for one picture to slide over the other.
const SHAPE_APART: f64 = 0.02;

impl PairView {
    /// `None` when the page cannot show what the pair is about.
    pub(in crate::report) fn new(sources: &PageContext<'_>, pair: &Pair) -> Option<Self> {
        let (title, tag) = match &pair.about {
            PairAbout::Finding(no) => {
                let finding = sources.finding(*no)?;
                let what = format!("{}, {}", finding.term, words::place(finding));
                (format!("{no}: {what}"), no.to_string())
            }
            PairAbout::View(view) => (capital(&sources.view_label(view)), String::new()),
        };
        let widths = close_width(sources, pair.before).zip(close_width(sources, pair.after));
        let frame = widths.map_or(Frame::Whole, |_| Frame::Close);
        let mut before = side(sources, pair.before, frame, [&tag, &title, "before"])?;
        let mut after = side(sources, pair.after, frame, [&tag, &title, "after"])?;
        for (figure, side) in [(&mut before, pair.before), (&mut after, pair.after)] {
            let about_finding = matches!(pair.about, PairAbout::Finding(_));
            match side.shown {
                _ if pair.may_miss(side) => figure.notes.push(MAY_MISS.to_owned()),
                Some(shown) if side.mark.is_none() && about_finding => {
                    let known = match side.without {
                        Some(_) => "beside it the part was said to be sound",
                        None => "whether something covers it there nobody wrote",
                    };
                    figure.notes.push(format!(
                        "It is not marked in this picture, in which all of the place lies at {:.1} px per mm; {known}.",
                        shown.px_per_mm()
                    ));
                }
                _ => {}
            }
        }
        let scale = widths.is_none_or(|(a, b)| (a / b - 1.0).abs() < SCALE_APART);
        let slides = pair.likeness == Likeness::SameView && scale && alike(&before, &after);
        Some(Self {
            title,
            likeness: pair.likeness.words().to_owned(),
            before,
            after,
            slides: if slides { "yes" } else { "" },
        })
    }
}

fn side(
    sources: &PageContext<'_>,
    side: PairSide,
    frame: Frame,
    [tag, title, when]: [&str; 3],
) -> Option<FigureView> {
    let photo = sources.photo(side.photo)?;
    let what = format!("{title}, {when}");
    let mut figure = match (side.mark, frame) {
        (Some(mark), Frame::Close) => FigureView::of_mark(sources, photo, mark, tag, &what),
        (Some(mark), Frame::Whole) => FigureView::whole_marked(sources, photo, mark, tag, &what),
        (None, _) => FigureView::whole(sources, photo, ShotKind::Large, &what),
    };
    let words = sources.picture_words(photo);
    figure.caption = format!("{}: {words}", capital(when));
    Some(figure)
}

/// Width of the detail of a side, in percent of its photo; `None` when its mark does not point at anything.
fn close_width(sources: &PageContext<'_>, side: PairSide) -> Option<f64> {
    let photo = sources.photo(side.photo)?;
    let region = photo.sidecar.marks.get(side.mark?)?.region.as_ref()?;
    let [_, _, width, _] = detail_area(region, photo.facts.width, photo.facts.height);
    Some(width)
}

fn alike(before: &FigureView, after: &FigureView) -> bool {
    let shape = |figure: &FigureView| {
        let image = figure.image.as_ref()?;
        Some(f64::from(image.width) / f64::from(image.height.max(1)))
    };
    let shapes = shape(before).zip(shape(after));
    shapes.is_some_and(|(a, b)| (a / b - 1.0).abs() < SHAPE_APART)
}
