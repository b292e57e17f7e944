//! The shot list as a page for the phone and for one sheet of paper.

use serde::Serialize;

use crate::advise::shots::area_shot::AreaShot;
use crate::advise::shots::shot_list::CARD;
use crate::advise::shots::to_take::FaultShot;
use crate::advise::shots::to_take::ShotLine;
use crate::advise::shots::to_take::ShotList;
use crate::kit::text::capital;
use crate::model::ids::StockNo;
use crate::model::photo::Stage;
use crate::report::ReportError;
use crate::report::page::policy;
use crate::report::page::templates;
use crate::report::page::templates::style_of;
use crate::report::page::templates::text_of;
use crate::report::page::words;

/// What the page is about.
#[derive(Clone, Copy, Debug)]
pub struct ShotHead<'a> {
    /// The piece, once it is in the book.
    pub stock_no: Option<&'a StockNo>,
    /// What the piece is called; the form's name for one that is not in the book.
    pub piece: &'a str,
    /// The occasion.
    pub stage: Stage,
    /// Photos of the occasion that name no view yet.
    pub without_view: usize,
}

/// Everything the page prints.
#[derive(Clone, Debug, Serialize)]
struct ShotPage {
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
    card: &'static str,
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
    name: &'static str,
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
    let stops = stops(list);
    let boxes: usize = stops.iter().map(|it| it.shots.len()).sum();
    let stock_no = head.stock_no.map_or_else(String::new, ToString::to_string);
    let heading = format!("Shot list, {}", head.stage);
    let about = match stock_no.as_str() {
        "" => head.piece,
        no => no,
    };
    let page = ShotPage {
        title: format!("{heading}: {about}"),
        policy: policy::text("'none'", &style, script),
        style,
        script,
        key: format!("{about}, {}", head.stage),
        heading,
        piece: head.piece.to_owned(),
        count: format!("{boxes} to tick"),
        mind: list.mind.clone(),
        stops,
        card: CARD,
        held: held(list),
        unnamed: unnamed(head.without_view),
        stock_no,
    };
    Ok(templates::fill("shotlist.html", &page)?)
}

/// Views by the place they are taken from, then faults, then the rest.
fn stops(list: &ShotList) -> Vec<StopView> {
    let mut stops: Vec<StopView> = Vec::new();
    for line in &list.views {
        let same = stops.last_mut().filter(|it| it.label == line.stop);
        match same {
            Some(stop) => stop.shots.push(ShotView::of_view(line)),
            None => stops.push(StopView {
                label: line.stop.clone(),
                shots: vec![ShotView::of_view(line)],
            }),
        }
    }
    if !list.faults.is_empty() {
        stops.push(StopView {
            label: "Every fault again, repaired or not".to_owned(),
            shots: list.faults.iter().map(ShotView::of_fault).collect(),
        });
    }
    if !list.areas.is_empty() {
        let shots = list.areas.iter().enumerate().map(ShotView::of_area);
        stops.push(StopView {
            label: "Areas that lack a picture".to_owned(),
            shots: shots.collect(),
        });
    }
    if !list.plus.is_empty() {
        stops.push(StopView {
            label: "Besides".to_owned(),
            shots: vec![ShotView {
                id: "besides".to_owned(),
                label: list.plus.clone(),
                how: String::new(),
                facts: Vec::new(),
                drawing: None,
            }],
        });
    }
    stops
}

impl ShotView {
    fn of_view(line: &ShotLine) -> Self {
        let mut facts = vec![fact("Light", &line.light)];
        if let Some(card) = &line.card {
            facts.push(FactView {
                strong: true,
                ..fact("Scale card", card)
            });
        }
        if !line.shows.is_empty() {
            facts.push(fact("Shows", &format!("{}.", line.shows)));
        }
        facts.push(fact("Tells", &line.why));
        Self {
            id: line.view.clone(),
            label: line.label.clone(),
            how: line.how.clone(),
            facts,
            drawing: None,
        }
    }

    fn of_fault(fault: &FaultShot) -> Self {
        Self {
            id: fault.finding.to_string(),
            label: format!("{} {}, {}", fault.finding, fault.term, fault.part_label),
            how: format!("{}{}", fault.first, fault.how),
            facts: vec![
                fact("Light", &fault.light),
                FactView {
                    strong: true,
                    ..fact("Scale card", &fault.card)
                },
            ],
            drawing: None,
        }
    }

    fn of_area((n, area): (usize, &AreaShot)) -> Self {
        let row = |it: &[f64; 4]| {
            let [x, y, w, h] = it.map(f64::round);
            format!("M{x} {y}h{w}v{h}h-{w}z")
        };
        Self {
            id: format!("area-{}", n + 1),
            label: format!("{}.", capital(&area.text)),
            how: area.how.clone(),
            facts: Vec::new(),
            drawing: Some(DrawingView {
                label: area.text.clone(),
                face: area.drawing.face.map(|it| it.round() as i64),
                area: area.drawing.rows.iter().map(row).collect(),
            }),
        }
    }
}

fn fact(name: &'static str, text: &str) -> FactView {
    FactView {
        name,
        text: text.to_owned(),
        strong: false,
    }
}

fn held(list: &ShotList) -> String {
    let out = list.taken_out.iter();
    let out = out.map(|it| format!("{} ({}, taken out since)", it.label, it.pictures_out()));
    let mut parts: Vec<String> = out.collect();
    if !list.held.is_empty() {
        parts.push(words::count(list.held.len(), "view", "views"));
    }
    if !list.faults_held.is_empty() {
        let numbers: Vec<String> = list.faults_held.iter().map(ToString::to_string).collect();
        parts.push(numbers.join(", "));
    }
    parts.join("; ")
}

fn unnamed(photos: usize) -> String {
    match photos {
        0 => String::new(),
        n => format!(
            "{} of this stage without a view: what they show is not counted.",
            words::count(n, "photo", "photos")
        ),
    }
}
