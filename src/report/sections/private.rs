//! The owner's part: everything that a buyer's copy may not hold. Nothing private is read outside this file.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::findings::finding::FindingState;
use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::model::facts::Place;
use crate::model::photo::Photo;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;

/// For the owner only.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct PrivateView {
    /// Purchase, price, notes, totals.
    pub(in crate::report) facts: Vec<FactView>,
    /// Time, cost and note of each repair.
    pub(in crate::report) repairs: Vec<PrivateRepairView>,
    /// Pictures with something private about them.
    pub(in crate::report) pictures: Vec<PrivatePictureView>,
    /// Withdrawn findings.
    pub(in crate::report) withdrawn: Vec<String>,
    /// Sidecars whose newest text is not in force.
    pub(in crate::report) complaints: Vec<String>,
}

/// What a repair took.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct PrivateRepairView {
    /// Its number.
    pub(in crate::report) no: u32,
    /// Hands-on time.
    pub(in crate::report) time: String,
    /// Cost of materials.
    pub(in crate::report) cost: String,
    /// The note.
    pub(in crate::report) note: String,
}

/// What is private about a picture.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct PrivatePictureView {
    /// Its number.
    pub(in crate::report) no: u32,
    /// Where the camera says it was.
    pub(in crate::report) place: String,
    /// The camera and its serial number.
    pub(in crate::report) camera: String,
    /// The note.
    pub(in crate::report) note: String,
}

impl PrivateView {
    /// `None` in a buyer's copy.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Option<Self> {
        if !sources.for_owner() {
            return None;
        }
        let assessment = sources.assessment;
        let withdrawn = assessment.findings.iter();
        let withdrawn = withdrawn.filter(|it| it.state == FindingState::Withdrawn);
        let complaints = assessment.complaints.iter();
        let pictures = assessment.photos.iter();
        Some(Self {
            facts: facts(sources),
            repairs: repairs(sources),
            pictures: pictures.filter_map(PrivatePictureView::new).collect(),
            withdrawn: withdrawn
                .map(|it| format!("{}: {}, {}", it.no, it.term, it.part_label))
                .collect(),
            complaints: complaints
                .map(|it| {
                    format!(
                        "{}, line {}, column {}: {}",
                        it.file, it.line, it.column, it.message
                    )
                })
                .collect(),
        })
    }
}

fn facts(sources: &PageContext<'_>) -> Vec<FactView> {
    let piece = &sources.assessment.piece;
    let unknown = || "not recorded".to_owned();
    let money = |it: Option<Money>| it.map_or_else(unknown, |it| it.to_string());
    let bought_on = piece.bought_on.map_or_else(unknown, |it| it.spoken());
    let mut facts = vec![
        FactView::new("Bought for", money(piece.bought_for)),
        FactView::new("Bought on", bought_on),
        FactView::new("Asking", money(piece.asking)),
    ];
    if let Some(sale) = &sources.order.sale {
        facts.push(FactView::new("Sold on", sale.day.spoken()));
        facts.push(FactView::new("Sold for", money(sale.price)));
        let to = sale.to.clone().unwrap_or_else(unknown);
        facts.push(FactView::new("Sold to", to));
        let note = sale.note.clone();
        facts.extend(note.map(|it| FactView::new("Note on the sale", it)));
    }
    facts.extend({ sources.order.fallen.iter() }.map(|it| {
        let words: Vec<String> = it.why.iter().cloned().chain(it.private()).collect();
        let words = match words.is_empty() {
            true => String::new(),
            false => format!(": {}", words.join(", ")),
        };
        let (day, back) = (it.day.spoken(), it.taken_back.spoken());
        FactView::new(
            "A sale fell through",
            format!("told for {day}, taken back on {back}{words}"),
        )
    }));
    facts.extend(
        piece
            .private_note
            .clone()
            .map(|it| FactView::new("Private note", it)),
    );
    let repairs = &sources.assessment.repairs;
    let timed: Vec<u32> = repairs.iter().filter_map(|it| it.minutes).collect();
    if !timed.is_empty() {
        let sum = hours(timed.iter().sum());
        let over = format!("{sum} (of {} of {} repairs)", timed.len(), repairs.len());
        facts.push(FactView::new("Hands-on time", over));
    }
    let bill = piece.market.bill;
    facts.extend(bill.map(|it| FactView::new("Others, for their part", it.to_string())));
    let mut costs: BTreeMap<Currency, i64> = BTreeMap::new();
    for cost in repairs.iter().filter_map(|it| it.cost) {
        let sum = costs.entry(cost.currency).or_default();
        *sum = sum.saturating_add(cost.minor);
    }
    if !costs.is_empty() {
        let lines = costs
            .into_iter()
            .map(|(currency, minor)| Money { minor, currency }.to_string());
        facts.push(FactView {
            name: "Materials".to_owned(),
            lines: lines.collect(),
        });
    }
    facts
}

fn repairs(sources: &PageContext<'_>) -> Vec<PrivateRepairView> {
    let repairs = sources.assessment.repairs.iter();
    let views = repairs.map(|it| PrivateRepairView {
        no: it.no,
        time: it.minutes.map_or_else(|| "not recorded".to_owned(), hours),
        cost: it
            .cost
            .map_or_else(|| "not recorded".to_owned(), |it| it.to_string()),
        note: it.private_note.clone().unwrap_or_default(),
    });
    views.collect()
}

fn hours(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

impl PrivatePictureView {
    fn new(photo: &Photo) -> Option<Self> {
        let facts = &photo.facts;
        let camera: Vec<_> = [&facts.camera, &facts.serial]
            .into_iter()
            .flatten()
            .cloned()
            .collect();
        let view = Self {
            no: photo.no,
            place: facts.place.map_or_else(String::new, spoken),
            camera: camera.join(", "),
            note: photo.sidecar.private_note.clone().unwrap_or_default(),
        };
        let something = [&view.place, &view.camera, &view.note]
            .iter()
            .any(|it| !it.is_empty());
        something.then_some(view)
    }
}

fn spoken(place: Place) -> String {
    let side = |degrees: f64, plus, minus| {
        let side = if degrees < 0.0 { minus } else { plus };
        format!("{:.5}° {side}", degrees.abs())
    };
    let flat = format!(
        "{}, {}",
        side(place.latitude, "N", "S"),
        side(place.longitude, "E", "W")
    );
    match place.altitude {
        Some(metres) => format!("{flat}, {metres:.0} m"),
        None => flat,
    }
}
