//! What was done: the repairs, how much is new, and the same views before and after.

use serde::Serialize;

use crate::assess::assessment::Pair;
use crate::assess::assessment::PairAbout;
use crate::assess::assessment::PairSide;
use crate::assess::findings::outcome::Outcome;
use crate::assess::places::straight::Side;
use crate::assess::places::straight::Straight;
use crate::kit::text::capital;
use crate::model::photo::Photo;
use crate::model::photo::left_before;
use crate::model::repair::Repair;
use crate::report::ShotKind;
use crate::report::detail_area;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;
use crate::report::sections::glance::ItemView;
use crate::report::sections::work::new_material;
use crate::tongue::say;
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
    /// Whether the earlier one is from before the piece left, and the later from afterwards.
    #[serde(skip)]
    over_the_way: bool,
}

impl ChangedView {
    /// Of all repairs and pairs.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let repairs = sources.assessment.repairs.iter();
        let repairs = repairs.map(|it| RepairView::new(sources, it)).collect();
        let all = sources.assessment.pairs.iter();
        let views = all.filter(|it| matches!(it.about, PairAbout::View(_)));
        let hidden = sources.findings();
        let hidden = hidden.filter(|it| it.outcome == Some(Outcome::Hidden));
        Self {
            repairs,
            hidden: hidden.map(|it| ItemView::new(sources, it)).collect(),
            share: new_material::share(sources),
            views: views.filter_map(|it| PairView::new(sources, it)).collect(),
        }
    }
}

impl RepairView {
    fn new(sources: &PageContext<'_>, repair: &Repair) -> Self {
        let method = sources.method_name(&repair.method);
        let findings = repair.findings.iter().filter_map(|it| sources.finding(*it));
        Self {
            no: repair.no,
            method,
            day: repair.day.spoken(),
            findings: findings.map(|it| ItemView::new(sources, it)).collect(),
            facts: facts(sources, repair),
        }
    }
}

fn facts(sources: &PageContext<'_>, repair: &Repair) -> Vec<FactView> {
    let said = |text: &String| words::sentence(&capital(text));
    let told = |name: &str, text: &Option<String>| {
        let text = text.iter().map(|it| FactView::new(name, said(it)));
        text.collect::<Vec<_>>()
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
    let withdrawn = sources.assessment.withdrawn();
    let withdrawn = withdrawn.filter(|it| repair.findings.contains(&it.no));
    let gone: Vec<String> = withdrawn
        .map(|it| {
            let place = it.placed();
            format!(
                "{} {}, {place}; withdrawn: no mark names it any more.",
                it.no, it.term
            )
        })
        .collect();
    if !gone.is_empty() {
        facts.push(FactView {
            name: "For".to_owned(),
            lines: gone,
        });
    }
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
    let done = repair.note.as_ref().map(said);
    facts.extend(done.map(|it| FactView::new("What was done", it)));
    facts.extend(told("New material", &repair.new_material));
    facts.extend(told(&say::hides().to_string(), &repair.hides));
    facts.extend(minds);
    facts
}

/// How close both pictures of a pair are; always the same, so that they show about the same area.
#[derive(Clone, Copy)]
enum HowClose {
    /// The surroundings of the mark.
    Close,
    /// The whole photo.
    Whole,
}

/// Said of a picture in which nobody marked the finding that a pair is about.
const MAY_MISS: &str = "It is not marked in this picture, which may not show the place.";

impl PairView {
    /// Whether the earlier picture is from before the piece left, and the later from afterwards.
    pub(in crate::report) fn is_over_the_way(&self) -> bool {
        self.over_the_way
    }

    /// `None` when the page cannot show what the pair is about.
    pub(in crate::report) fn new(sources: &PageContext<'_>, pair: &Pair) -> Option<Self> {
        let (title, tag) = match &pair.about {
            PairAbout::Finding(no) => {
                let finding = sources.finding(*no)?;
                let what = format!("{}, {}", finding.term, finding.placed());
                (format!("{no}: {what}"), no.to_string())
            }
            PairAbout::View(view) => (capital(&sources.view_label(view)), String::new()),
        };
        let (mut before, mut after) = sides(sources, pair, &tag, &title)?;
        for (figure, side) in [(&mut before, pair.before), (&mut after, pair.after)] {
            let about_finding = matches!(pair.about, PairAbout::Finding(_));
            match side.shown {
                _ if pair.may_miss(side) => figure.notes.push(MAY_MISS.to_owned()),
                Some(shown) if side.mark.is_none() && about_finding => {
                    let known = match side.without {
                        Some(_) => "the part was said to be sound",
                        None => "no more is known",
                    };
                    figure.notes.push(format!(
                        "Not marked; all of the place lies in it, {:.1} px per mm; {known}.",
                        shown.px_per_mm()
                    ));
                }
                _ => {}
            }
        }
        let straight = pair.straight.as_ref();
        let slides = straight.is_some_and(Straight::slides);
        let likeness = match straight {
            Some(it) => set_straight(it),
            None => pair.likeness.words().to_owned(),
        };
        let after_sale = |no: u32| {
            let shoot = sources.photo(no).and_then(|it| sources.shoot_of(it));
            shoot.is_some_and(|it| it.stage.after_sale())
        };
        let [was, is] = [pair.before.photo, pair.after.photo].map(after_sale);
        Some(Self {
            title,
            likeness,
            before,
            after,
            slides: if slides { "yes" } else { "" },
            over_the_way: !was && is,
        })
    }
}

/// `set straight, 240 × 180 mm; at most 3 mm apart`, both pictures the same of it.
fn set_straight(it: &Straight) -> String {
    let [_, _, w, h] = it.frame.rect_mm;
    let apart = it.apart_mm.ceil();
    format!("set straight, {w:.0} \u{d7} {h:.0} mm; at most {apart:.0} mm apart")
}

/// Both pictures: set straight where the face is laid in both; else both close, or both whole.
fn sides(
    sources: &PageContext<'_>,
    pair: &Pair,
    tag: &str,
    title: &str,
) -> Option<(FigureView, FigureView)> {
    let widths = close_width(sources, pair.before).zip(close_width(sources, pair.after));
    let frame = widths.map_or(HowClose::Whole, |_| HowClose::Close);
    let of = |it: PairSide, cut: Option<&Side>, when: &str| {
        let photo = sources.photo(it.photo)?;
        let what = format!("{title}, {when}");
        let mut figure = match (&pair.straight, cut) {
            (Some(straight), Some(cut)) => {
                FigureView::straight(sources, photo, &straight.frame, cut, (it.mark, tag), &what)
            }
            _ => side(sources, photo, it.mark, frame, [tag, &what]),
        };
        figure.caption = format!("{}: {}", capital(when), sources.picture_words(photo));
        Some(figure)
    };
    let cut = |pick: fn(&Straight) -> &Side| pair.straight.as_ref().map(pick);
    Some((
        of(pair.before, cut(|it| &it.before), "before")?,
        of(pair.after, cut(|it| &it.after), "after")?,
    ))
}

fn side(
    sources: &PageContext<'_>,
    photo: &Photo,
    mark: Option<usize>,
    frame: HowClose,
    [tag, what]: [&str; 2],
) -> FigureView {
    match (mark, frame) {
        (Some(mark), HowClose::Close) => FigureView::of_mark(sources, photo, mark, tag, what),
        (Some(mark), HowClose::Whole) => FigureView::whole_marked(sources, photo, mark, tag, what),
        (None, _) => FigureView::whole(sources, photo, ShotKind::Large, what),
    }
}

/// Width of the detail of a side, in percent of its photo; `None` when its mark does not point at anything.
fn close_width(sources: &PageContext<'_>, side: PairSide) -> Option<f64> {
    let photo = sources.photo(side.photo)?;
    let region = photo.sidecar.marks.get(side.mark?)?.region.as_ref()?;
    let [_, _, width, _] = detail_area(region, photo.facts.width, photo.facts.height);
    Some(width)
}
