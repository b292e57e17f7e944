//! The page for the doorstep: one question on the screen, what each tap means, and the bid.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::advise::door::answer::WAYS;
use crate::advise::door::sheet::DoorSheet;
use crate::advise::door::sheet::names;
use crate::advise::price::terms::Terms;
use crate::kit::money::Currency;
use crate::report::ReportError;
use crate::report::page::policy;
use crate::report::page::templates;
use crate::report::page::templates::style_of;
use crate::report::page::templates::text_of;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Fact;

/// What the page is made of.
#[derive(Clone, Copy, Debug)]
pub struct DoorHead<'a> {
    /// What is asked, and all answers.
    pub sheet: &'a DoorSheet,
    /// The terms of the offer.
    pub terms: &'a Terms,
    /// The currency of every amount.
    pub currency: Currency,
    /// What to mind before anything is touched.
    pub mind: &'a [String],
    /// The trade book.
    pub book: &'a TradeBook,
}

/// Everything the page prints.
#[derive(Debug, Serialize)]
struct DoorPage {
    title: String,
    policy: String,
    style: String,
    script: &'static str,
    data: String,
    key: String,
    heading: String,
    count: String,
    mind: Vec<String>,
}

/// What its script reads.
#[derive(Debug, Serialize)]
struct Data<'a> {
    form: &'a str,
    taps: Vec<TapView<'a>>,
    ways: Vec<WayView>,
    materials: Vec<&'a str>,
    stops: BTreeMap<&'a str, &'a str>,
    asks: BTreeMap<&'static str, String>,
    money: MoneyView<'a>,
    names: Vec<String>,
    /// Taps that act together, and by their answers which numbers to add: name, number, name, number ...
    terms: Vec<(Vec<usize>, BTreeMap<String, Vec<i64>>)>,
}

#[derive(Debug, Serialize)]
struct TapView<'a> {
    id: &'a str,
    ask: &'a str,
    how: &'a str,
    shot: &'a Option<String>,
    leans: bool,
    answers: Vec<AnswerView<'a>>,
}

#[derive(Debug, Serialize)]
struct AnswerView<'a> {
    id: &'a str,
    label: &'a str,
    gate: &'a str,
    means: &'a str,
    cautions: &'a [String],
}

#[derive(Debug, Serialize)]
struct WayView {
    id: &'static str,
    label: String,
}

#[derive(Debug, Serialize)]
struct MoneyView<'a> {
    currency: String,
    decimals: u32,
    storage: i64,
    #[serde(flatten)]
    terms: &'a Terms,
}

/// Makes the page.
///
/// # Errors
/// When the template fails.
pub fn door_page(head: &DoorHead<'_>) -> Result<String, ReportError> {
    let (style, script) = (
        style_of(&["palette.css", "doorstep.css"]),
        text_of("doorstep.js").trim(),
    );
    let data = serde_json::to_string(&data(head)).unwrap_or_default();
    let label = &head.sheet.label;
    let page = DoorPage {
        title: format!("At the door: {label}"),
        policy: policy::text("'none'", &style, script),
        style,
        script,
        // Within a script element nothing may look like its end.
        data: data.replace('<', "\\u003c"),
        key: head.sheet.form.clone(),
        heading: format!("At the door: {}", label.to_lowercase()),
        count: format!("{} steps", head.sheet.taps.len() + 2),
        mind: head.mind.to_vec(),
    };
    Ok(templates::fill("doorstep.html", &page)?)
}

fn data<'a>(head: &DoorHead<'a>) -> Data<'a> {
    let (sheet, book) = (head.sheet, head.book);
    let names = names(&sheet.table);
    let place: BTreeMap<&str, i64> = names.iter().map(String::as_str).zip(0..).collect();
    let terms = sheet.table.terms.iter().filter(|it| !it.1.is_empty());
    let terms = terms.map(|(set, cells)| {
        let cells = cells.iter().map(|(choice, told)| {
            let key: Vec<String> = choice.iter().map(ToString::to_string).collect();
            let pairs = told
                .iter()
                .filter_map(|it| Some([*place.get(it.0.as_str())?, *it.1]));
            (key.join(" "), pairs.flatten().collect())
        });
        (set.clone(), cells.collect())
    });
    let taps = sheet.taps.iter().map(|tap| TapView {
        id: &tap.id,
        ask: &tap.ask,
        how: &tap.how,
        shot: &tap.shot,
        leans: tap.leans,
        answers: tap
            .answers
            .iter()
            .map(|it| AnswerView {
                id: &it.id,
                label: &it.label,
                gate: it.gate,
                means: &it.means,
                cautions: &it.cautions,
            })
            .collect(),
    });
    Data {
        form: &sheet.form,
        taps: taps.collect(),
        ways: ways(book),
        materials: Fact::Material.values().to_vec(),
        stops: book
            .offer
            .stops
            .iter()
            .map(|it| (it.id.as_str(), it.what.as_str()))
            .collect(),
        asks: book
            .offer
            .questions
            .iter()
            .map(|it| (it.id.word(), format!("{} {}", it.question, it.look)))
            .collect(),
        money: MoneyView {
            currency: head.currency.to_string(),
            decimals: head.currency.decimals(),
            storage: head.terms.storage_week.saturating_mul(head.terms.weeks),
            terms: head.terms,
        },
        terms: terms.collect(),
        names,
    }
}

/// The ways, the usual one for an old piece first.
fn ways(book: &TradeBook) -> Vec<WayView> {
    let mut ways: Vec<WayView> = WAYS
        .iter()
        .map(|id| WayView {
            id,
            label: book
                .path(id)
                .map_or_else(|| (*id).to_owned(), |it| it.label.clone()),
        })
        .collect();
    ways.rotate_left(1);
    ways
}
