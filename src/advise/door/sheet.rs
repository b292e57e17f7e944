//! All that a page for the doorstep needs of one form: what is asked, what each answer means, and the table of all answers.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::advise::door::answer::Answer;
use crate::advise::door::answer::Judge;
use crate::advise::door::answer::WAYS;
use crate::advise::door::record::Walk;
use crate::advise::door::table::Table;
use crate::advise::door::table::tabulate;
use crate::model::piece::PartChoice;
use crate::trade::TradeBook;
use crate::trade::entry::door::Tap;
use crate::trade::entry::door::TapAnswer;
use crate::trade::entry::form::Form;
use crate::trade::entry::tag::Effort;

/// The group of observations that tell what a part is made of.
const MATERIAL: &str = "material";

/// What is asked of a form, and all answers.
#[derive(Clone, Debug)]
pub struct DoorSheet {
    /// The form.
    pub form: String,
    /// Its name.
    pub label: String,
    /// What is asked, in walking order.
    pub taps: Vec<SheetTap>,
    /// All answers.
    pub table: Table,
}

/// One question.
#[derive(Clone, Debug)]
pub struct SheetTap {
    /// Its id.
    pub id: String,
    /// What to do or to look at.
    pub ask: String,
    /// How.
    pub how: String,
    /// The picture to take beside it: its name.
    pub shot: Option<String>,
    /// Whether it tells what the piece is made of.
    pub leans: bool,
    /// The answers that the form can have; the first is the fine one.
    pub answers: Vec<SheetAnswer>,
}

/// One answer.
#[derive(Clone, Debug)]
pub struct SheetAnswer {
    /// Its id.
    pub id: String,
    /// What is tapped on.
    pub label: String,
    /// `easy`, `hard` or `stop`; empty where nothing is wrong.
    pub gate: &'static str,
    /// Why.
    pub means: String,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// What is asked of a form and all answers to it; `None` when so many answers act together that they fill no page.
#[must_use]
pub fn sheet(judge: &Judge<'_>, form: &Form) -> Option<DoorSheet> {
    let book = judge.book;
    let asked: Vec<(&Tap, Vec<&TapAnswer>)> = asked(form, book);
    let sizes: Vec<u8> = asked
        .iter()
        .map(|it| u8::try_from(it.1.len() + 1).unwrap_or(u8::MAX))
        .collect();
    let table = tabulate(&sizes, |cell| judge.answer(&walk_of(form, &asked, cell)))?;
    let fine = vec![0; sizes.len()];
    let taps = asked
        .iter()
        .enumerate()
        .map(|(at, (tap, answers))| SheetTap {
            id: tap.id.clone(),
            ask: tap.ask.clone(),
            how: tap.how.clone(),
            shot: tap
                .view
                .as_ref()
                .and_then(|it| book.view(it))
                .map(|it| format!("{}. {}", it.label, it.how)),
            leans: answers.iter().flat_map(|it| &it.marks).any(|it| {
                let cue = book.cue(&it.tag).is_some_and(|it| it.group == MATERIAL);
                cue || book.tag(&it.tag).is_some_and(|it| it.settles.is_some())
            }),
            answers: answers
                .iter()
                .zip(0_u8..)
                .map(|(answer, place)| {
                    let mut cell = fine.clone();
                    cell[at] = place;
                    said(answer, &table.answer(&cell), &table.answer(&fine), book)
                })
                .collect(),
        });
    Some(DoorSheet {
        form: form.id.clone(),
        label: form.label.clone(),
        taps: taps.collect(),
        table,
    })
}

/// The questions that a form can have, with the answers that it can have.
#[must_use]
pub fn asked<'a>(form: &Form, book: &'a TradeBook) -> Vec<(&'a Tap, Vec<&'a TapAnswer>)> {
    let usual = book.parts_of(&form.id, &PartChoice::default());
    let kinds: BTreeSet<&str> = usual
        .iter()
        .map(|it| it.kind.as_str())
        .chain(form.parts.iter().map(|it| it.kind.as_str()))
        .collect();
    let fits = |tap: &Tap, answer: &TapAnswer| {
        let on = tap.kinds(answer);
        on.is_empty() || on.iter().any(|it| kinds.contains(it.as_str()))
    };
    let taps = book.taps.iter().map(|tap| {
        let answers: Vec<&TapAnswer> = tap.answers.iter().filter(|it| fits(tap, it)).collect();
        (tap, answers)
    });
    taps.filter(|it| !it.1.is_empty()).collect()
}

/// The walk of a cell.
#[must_use]
pub fn walk_of(form: &Form, asked: &[(&Tap, Vec<&TapAnswer>)], cell: &[u8]) -> Walk {
    let told = asked.iter().zip(cell).filter_map(|((tap, answers), at)| {
        let answer = answers.get(usize::from(*at))?;
        Some((tap.id.clone(), answer.id.clone()))
    });
    Walk {
        form: form.id.clone(),
        drawer_rows: Vec::new(),
        taps: told.collect(),
    }
}

/// What an answer means by itself, all else being fine.
fn said(answer: &TapAnswer, told: &Answer, fine: &Answer, book: &TradeBook) -> SheetAnswer {
    let faults = answer.marks.iter().filter(|it| !it.gone);
    let faults: Vec<_> = faults
        .filter_map(|it| Some((book.tag(&it.tag)?, it.level?)))
        .collect();
    let effort = faults.iter().map(|it| it.0.effort(it.1)).max();
    let worst = WAYS[0];
    let stop = book.offer.stops.iter().find(|it| {
        told.get(&format!("{worst} stop {}", it.id))
            .copied()
            .unwrap_or(0)
            >= 2
    });
    let work = minutes(told) - minutes(fine);
    let terms: Vec<&str> = faults.iter().map(|it| it.0.term.as_str()).collect();
    let terms = terms.join(", ");
    let (gate, means) = match (stop, effort) {
        (Some(rule), _) => ("stop", format!("{} {}", rule.what, rule.why)),
        (None, None) => ("", String::new()),
        (None, Some(effort)) => {
            let gate = match effort {
                Effort::Easy => "easy",
                Effort::Hard => "hard",
                Effort::Stop => "stop",
            };
            (gate, format!("{terms}: {}.", work_words(work)))
        }
    };
    SheetAnswer {
        id: answer.id.clone(),
        label: answer.label.clone(),
        gate,
        means,
        cautions: cautions(answer, book),
    }
}

/// The minutes of the gentlest way, all tasks together.
fn minutes(it: &Answer) -> i64 {
    let start = format!("{} minutes ", WAYS[0]);
    let of_way = it.iter().filter(|it| it.0.starts_with(&start));
    of_way.map(|it| it.1).sum()
}

fn work_words(minutes: i64) -> String {
    match minutes {
        ..=0 => "no work by itself".to_owned(),
        1..60 => format!("about {minutes} min of work"),
        _ => format!("about {} h {:02} min of work", minutes / 60, minutes % 60),
    }
}

/// The cautions of the dangers that an answer tells of: the line for the spot, and the first for who works on it.
fn cautions(answer: &TapAnswer, book: &TradeBook) -> Vec<String> {
    let mut lines = Vec::new();
    for hazard in &book.hazards {
        let of_mark = |tag: &str| {
            let named = book
                .tag(tag)
                .is_some_and(|it| it.hazards.contains(&hazard.id));
            named || hazard.applies.marks.iter().any(|it| it == tag)
        };
        if !answer.marks.iter().any(|it| !it.gone && of_mark(&it.tag)) {
            continue;
        }
        let spot = hazard.on_the_spot.as_ref().map(|it| it.say.clone());
        let said: Vec<String> = spot
            .into_iter()
            .chain(hazard.worker.first().cloned())
            .collect();
        lines.push(format!("{}. {}", hazard.title, said.join(" ")));
    }
    lines
}

/// Every name of the table's numbers, sorted.
#[must_use]
pub fn names(table: &Table) -> Vec<String> {
    let cells = table.terms.values().flat_map(BTreeMap::values);
    let names: BTreeSet<&String> = cells.flat_map(BTreeMap::keys).collect();
    names.into_iter().cloned().collect()
}
