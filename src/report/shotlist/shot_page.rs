//! The shot list as a page for the phone and for one sheet of paper.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::advise::shots::area_shot::AreaShot;
use crate::advise::shots::to_take::FaultShot;
use crate::advise::shots::to_take::ShotLine;
use crate::advise::shots::to_take::ShotList;
use crate::model::ids::StockNo;
use crate::model::photo::Stage;
use crate::report::ReportError;
use crate::report::page::policy;
use crate::report::page::templates;
use crate::report::page::templates::style_of;
use crate::report::page::templates::text_of;
use crate::tongue::Saying;
use crate::tongue::Tongue;
use crate::tongue::plain;
use crate::tongue::say;

/// What the page is about.
#[derive(Clone, Debug)]
pub struct ShotHead<'a> {
    /// The piece, once it is in the book.
    pub stock_no: Option<&'a StockNo>,
    /// What the piece is called; the form's name for one that is not in the book.
    pub piece: Saying,
    /// The occasion.
    pub stage: Stage,
    /// Photos of the occasion that name no view yet.
    pub without_view: usize,
    /// The language of the page.
    pub tongue: Tongue,
}

/// Everything the page prints.
#[derive(Clone, Debug, Serialize)]
struct ShotPage {
    language: &'static str,
    say: BTreeMap<&'static str, String>,
    title: String,
    policy: String,
    style: String,
    script: &'static str,
    /// Under which the ticks are kept.
    key: String,
    heading: String,
    stock_no: String,
    piece: String,
    count: String,
    mind: Vec<String>,
    stops: Vec<StopView>,
    held: String,
    unnamed: String,
}

/// What is taken from one place.
#[derive(Clone, Debug, Serialize)]
struct StopView {
    label: String,
    shots: Vec<ShotView>,
}

/// One line with its box.
#[derive(Clone, Debug, Serialize)]
struct ShotView {
    id: String,
    label: String,
    how: String,
    facts: Vec<FactView>,
    drawing: Option<DrawingView>,
}

/// Where on a face: the area dark on its outline.
#[derive(Clone, Debug, Serialize)]
struct DrawingView {
    /// What it says to who cannot see it.
    label: String,
    /// Width and height of the face, mm.
    face: [i64; 2],
    /// The squares of the area as an SVG path, mm.
    area: String,
}

/// One thing said of it.
#[derive(Clone, Debug, Serialize)]
struct FactView {
    name: String,
    text: String,
    strong: bool,
}

/// Makes the page.
///
/// # Errors
/// When the template fails.
pub fn shot_page(head: &ShotHead<'_>, list: &ShotList) -> Result<String, ReportError> {
    let (style, script) = (
        style_of(&["palette.css", "shotlist.css"]),
        text_of("shotlist.js").trim(),
    );
    let tongue = head.tongue;
    let stops = stops(list, tongue);
    let boxes: usize = stops.iter().map(|it| it.shots.len()).sum();
    let stock_no = head.stock_no.map_or_else(String::new, ToString::to_string);
    let heading = say::shot_title(head.stage.saying()).said(tongue);
    let piece = head.piece.said(tongue);
    let about = match stock_no.as_str() {
        "" => plain(&piece),
        no => no.to_owned(),
    };
    let page = ShotPage {
        language: tongue.language.code(),
        say: words_of(tongue),
        title: format!("{heading}: {about}"),
        policy: policy::text("'none'", &style, script),
        style,
        script,
        // Ticks are kept whatever language the page is in.
        key: match head.stock_no {
            Some(no) => format!("{no}, {}", head.stage),
            None => format!("{}, {}", head.piece, head.stage),
        },
        heading,
        piece,
        count: say::shot_count(boxes).said(tongue),
        mind: list.mind.iter().map(|it| it.said(tongue)).collect(),
        stops,
        held: held(list).said(tongue),
        unnamed: match head.without_view {
            0 => String::new(),
            number => say::shot_unnamed(number).said(tongue),
        },
        stock_no,
    };
    Ok(templates::fill("shotlist.html", &page)?)
}

/// What the page says of itself, by the names that its template has for it.
fn words_of(tongue: Tongue) -> BTreeMap<&'static str, String> {
    let all = [
        ("mind", say::shot_mind()),
        ("walk", say::shot_walk()),
        ("card", say::shot_card_is()),
        ("sides", say::shot_sides()),
        ("no_scripts", say::shot_no_scripts()),
        ("clear", say::shot_clear()),
        ("kept", say::shot_kept()),
        ("not_kept", say::shot_not_kept()),
        // Its script puts the numbers.
        ("ticked", say::shot_ticked("%1", "%2")),
    ];
    all.map(|(name, it)| (name, it.said(tongue))).into()
}

/// Views by the place they are taken from, then faults, then the rest.
fn stops(list: &ShotList, tongue: Tongue) -> Vec<StopView> {
    let mut stops: Vec<(Saying, Vec<ShotView>)> = Vec::new();
    for line in &list.views {
        let shot = ShotView::of_view(line, tongue);
        match stops.last_mut().filter(|it| it.0 == line.stop) {
            Some(stop) => stop.1.push(shot),
            None => stops.push((line.stop.clone(), vec![shot])),
        }
    }
    if !list.faults.is_empty() {
        let shots = list.faults.iter().map(|it| ShotView::of_fault(it, tongue));
        stops.push((say::shot_again(), shots.collect()));
    }
    if !list.areas.is_empty() {
        let shots = list.areas.iter().enumerate();
        let shots = shots.map(|it| ShotView::of_area(it, tongue));
        stops.push((say::shot_areas(), shots.collect()));
    }
    if !list.plus.is_nothing() {
        let besides = ShotView {
            id: "besides".to_owned(),
            label: list.plus.said(tongue),
            how: String::new(),
            facts: Vec::new(),
            drawing: None,
        };
        stops.push((say::shot_besides(), vec![besides]));
    }
    let stops = stops.into_iter().map(|(label, shots)| StopView {
        label: label.said(tongue),
        shots,
    });
    stops.collect()
}

impl ShotView {
    fn of_view(line: &ShotLine, tongue: Tongue) -> Self {
        let mut facts = vec![fact(say::shot_light(), &line.light, tongue)];
        if let Some(card) = &line.card {
            facts.push(FactView {
                strong: true,
                ..fact(say::shot_card(), card, tongue)
            });
        }
        if !line.shows.is_nothing() {
            let shows = line.shows.clone().sentence();
            facts.push(fact(say::shot_shows(), &shows, tongue));
        }
        facts.push(fact(say::shot_tells(), &line.why, tongue));
        Self {
            id: line.view.clone(),
            label: line.label.said(tongue),
            how: line.how.said(tongue),
            facts,
            drawing: None,
        }
    }

    fn of_fault(fault: &FaultShot, tongue: Tongue) -> Self {
        let part = Saying::part(&fault.part_label);
        let label = say::finding_named(fault.finding.to_string(), fault.term.clone(), part);
        Self {
            id: fault.finding.to_string(),
            label: label.said(tongue),
            how: fault.told().said(tongue),
            facts: vec![
                fact(say::shot_light(), &fault.light, tongue),
                FactView {
                    strong: true,
                    ..fact(say::shot_card(), &fault.card, tongue)
                },
            ],
            drawing: None,
        }
    }

    fn of_area((n, area): (usize, &AreaShot), tongue: Tongue) -> Self {
        let row = |it: &[f64; 4]| {
            let [x, y, w, h] = it.map(f64::round);
            format!("M{x} {y}h{w}v{h}h-{w}z")
        };
        Self {
            id: format!("area-{}", n + 1),
            label: area.text.clone().sentence().said(tongue),
            how: area.how.said(tongue),
            facts: Vec::new(),
            drawing: Some(DrawingView {
                label: plain(&area.text.said(tongue)),
                face: area.drawing.face.map(|it| it.round() as i64),
                area: area.drawing.rows.iter().map(row).collect(),
            }),
        }
    }
}

fn fact(name: Saying, text: &Saying, tongue: Tongue) -> FactView {
    FactView {
        name: name.said(tongue),
        text: text.said(tongue),
        strong: false,
    }
}

/// What the book has of the stage, and what it had.
fn held(list: &ShotList) -> Saying {
    let out = list.taken_out.iter().map(|it| {
        let pictures = say::pictures_listed(it.taken_out.len(), Saying::numbers(&it.taken_out));
        say::shot_taken_out(Saying::view(&it.label), pictures)
    });
    let mut parts: Vec<Saying> = out.collect();
    if !list.held.is_empty() {
        parts.push(say::shot_held_views(list.held.len()));
    }
    if !list.faults_held.is_empty() {
        parts.push(Saying::Commas(Saying::numbers(&list.faults_held)));
    }
    match parts.is_empty() {
        true => Saying::nothing(),
        false => say::shot_held(Saying::Parted(parts)),
    }
}
