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
use crate::tongue::Saying;
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
        let hidden = sources.findings();
        let hidden = hidden.filter(|it| it.outcome == Some(Outcome::Hidden));
        Self {
            repairs,
            hidden: hidden.map(|it| ItemView::new(sources, it)).collect(),
            share: sources.all_said(&new_material::share(sources)),
        }
    }
}

/// The same views of the piece.
pub(in crate::report) fn views(sources: &PageContext<'_>) -> Vec<PairView> {
    let all = sources.assessment.pairs.iter();
    let views = all.filter(|it| matches!(it.about, PairAbout::View(_)));
    views.filter_map(|it| PairView::new(sources, it)).collect()
}

impl RepairView {
    fn new(sources: &PageContext<'_>, repair: &Repair) -> Self {
        let method = sources.said(&sources.method(&repair.method));
        let findings = repair.findings.iter().filter_map(|it| sources.finding(*it));
        Self {
            no: repair.no,
            method,
            day: sources.said(&say::day(repair.day)),
            findings: findings.map(|it| ItemView::new(sources, it)).collect(),
            facts: facts(sources, repair),
        }
    }
}

fn facts(sources: &PageContext<'_>, repair: &Repair) -> Vec<FactView> {
    let own = |text: &String| Saying::Own(words::sentence(&capital(text)));
    let told = |name: Saying, text: &Option<String>| (name, text.iter().map(own).collect());
    let minds = trade::book().method(&repair.method).into_iter();
    let minds = minds.flat_map(|it| it.buyer.iter().map(|it| Saying::caution(it)));
    // The parts of its findings stand with these.
    let on = match repair.is_of_whole_piece() {
        true => vec![say::work_whole()],
        false => repair.parts.iter().map(|it| sources.part(it)).collect(),
    };
    let withdrawn = sources.assessment.withdrawn();
    let withdrawn = withdrawn.filter(|it| repair.findings.contains(&it.no));
    let gone = withdrawn.map(|it| {
        let no = it.no.to_string();
        say::work_withdrawn(say::finding_named(no, Saying::fault(&it.term), it.placed()))
    });
    let left = left_before(&sources.assessment.shoots, repair.day);
    let late = left.map(|it| say::work_day_late(it.stage.saying(), it.day));
    let facts: [(Saying, Vec<Saying>); 7] = [
        (say::work_for(), gone.collect()),
        (say::work_on_parts(), on),
        (say::work_day(), late.into_iter().collect()),
        told(say::work_done(), &repair.note),
        told(say::work_new(), &repair.new_material),
        told(say::hides(), &repair.hides),
        (say::work_mind(), minds.collect()),
    ];
    let facts = facts.into_iter().filter(|it| !it.1.is_empty());
    let facts = facts.map(|(name, lines)| FactView {
        name: sources.said(&name),
        lines: sources.all_said(&lines),
    });
    facts.collect()
}

/// How close both pictures of a pair are; always the same, so that they show about the same area.
#[derive(Clone, Copy)]
enum HowClose {
    /// The surroundings of the mark.
    Close,
    /// The whole photo.
    Whole,
}

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
                let what = say::finding_at(Saying::fault(&finding.term), finding.placed());
                let title = say::part_inner(no.to_string(), what);
                (sources.said(&title), no.to_string())
            }
            PairAbout::View(view) => (sources.said(&sources.view(view).capital()), String::new()),
        };
        let (mut before, mut after) = sides(sources, pair, &tag, &title)?;
        for (figure, side) in [(&mut before, pair.before), (&mut after, pair.after)] {
            let about_finding = matches!(pair.about, PairAbout::Finding(_));
            match side.shown {
                _ if pair.may_miss(side) => {
                    figure.notes.push(sources.said(&say::pair_not_marked()))
                }
                Some(shown) if side.mark.is_none() && about_finding => {
                    let known = match side.without {
                        Some(_) => say::pair_said_sound(),
                        None => say::pair_no_more(),
                    };
                    let px = sources.tongue().decimal(shown.px_per_mm(), 1);
                    figure.notes.push(sources.said(&say::pair_lies(px, known)));
                }
                _ => {}
            }
        }
        let straight = pair.straight.as_ref();
        let slides = straight.is_some_and(Straight::slides);
        let likeness = match straight {
            Some(it) => set_straight(it),
            None => pair.likeness.words(),
        };
        let after_sale = |no: u32| {
            let shoot = sources.photo(no).and_then(|it| sources.shoot_of(it));
            shoot.is_some_and(|it| it.stage.after_sale())
        };
        let [was, is] = [pair.before.photo, pair.after.photo].map(after_sale);
        Some(Self {
            title,
            likeness: sources.said(&likeness),
            before,
            after,
            slides: if slides { "yes" } else { "" },
            over_the_way: !was && is,
        })
    }
}

/// `set straight, 240 × 180 mm; at most 3 mm apart`, both pictures the same of it.
fn set_straight(it: &Straight) -> Saying {
    let [_, _, w, h] = it.frame.rect_mm;
    let whole = |mm: f64| format!("{mm:.0}");
    say::pair_straight(whole(w), whole(h), whole(it.apart_mm.ceil()))
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
    let of = |it: PairSide, cut: Option<&Side>, when: Saying| {
        let photo = sources.photo(it.photo)?;
        let what = format!("{title}, {}", sources.said(&when));
        let mut figure = match (&pair.straight, cut) {
            (Some(straight), Some(cut)) => {
                FigureView::straight(sources, photo, &straight.frame, cut, (it.mark, tag), &what)
            }
            _ => side(sources, photo, it.mark, frame, [tag, &what]),
        };
        figure.caption = sources.said(&say::at_once(when.capital(), sources.picture_words(photo)));
        Some(figure)
    };
    let cut = |pick: fn(&Straight) -> &Side| pair.straight.as_ref().map(pick);
    Some((
        of(pair.before, cut(|it| &it.before), say::pair_before())?,
        of(pair.after, cut(|it| &it.after), say::pair_after())?,
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
