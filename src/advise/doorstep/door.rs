//! All that a page for the door holds: what is tried, the table, and what turns its counts into an estimate.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::advise::doorstep::counts::MAY;
use crate::advise::doorstep::counts::PLAN;
use crate::advise::doorstep::counts::PRICED;
use crate::advise::doorstep::rates::Rates;
use crate::advise::doorstep::rates::rates;
use crate::advise::doorstep::rows::Row;
use crate::advise::doorstep::table::Table;
use crate::advise::doorstep::table::TooTangled;
use crate::advise::doorstep::tabulate::AtTheDoor;
use crate::advise::price::options::MENDED;
use crate::advise::price::path_label::label;
use crate::advise::price::wish::MEND;
use crate::assess::assessment::Assessment;
use crate::kit::text::small;
use crate::tongue::Saying;
use crate::trade::TradeBook;
use crate::trade::entry::hazard::Hazard;
use crate::trade::entry::tap::TapChoice;

/// All that the page holds.
#[derive(Clone, Debug, Serialize)]
pub struct Door {
    /// The form.
    pub form: String,
    /// What is tried, in walking order.
    pub rows: Vec<DoorRow>,
    /// The table.
    pub table: Table,
    /// What turns its counts into an estimate.
    pub rates: Rates,
    /// Where a fault may be tapped, in small letters, in walking order.
    pub labels: Vec<String>,
    /// What is said where somebody may come to harm.
    pub harm: Harm,
    /// Of which ways a price may be told, with their names.
    pub prices: Vec<DoorPrice>,
}

/// One row to tap.
#[derive(Clone, Debug, Serialize)]
pub struct DoorRow {
    /// Its id.
    pub id: String,
    /// The tap's id.
    pub group: String,
    /// The tap's name.
    pub tap: String,
    /// The part, where there is one row a part.
    pub label: String,
    /// Its parts, by id.
    pub parts: Vec<String>,
    /// Whether an answer tells of what they are made.
    pub material: bool,
    /// The answers.
    pub choices: Vec<DoorChoice>,
}

/// One answer.
#[derive(Clone, Debug, Serialize)]
pub struct DoorChoice {
    /// Its id.
    pub id: String,
    /// Its words.
    pub label: String,
    /// How hard the fault is: `Easy`, `Hard`, `Stop`.
    pub effort: Option<String>,
    /// What an observation speaks for.
    pub plain: Option<String>,
    /// The reasons to stop that it brings by itself.
    pub stops: Vec<String>,
    /// The dangers of the fault.
    pub dangers: Vec<String>,
    /// What is not to be done until the fault is repaired.
    pub until: Vec<String>,
}

/// What is said where somebody may come to harm.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Harm {
    /// A heading.
    pub title: String,
    /// What is not to be done until it is repaired, in the order in which it is said.
    pub until: Vec<String>,
    /// What is said behind that.
    pub then: Vec<String>,
}

/// A price that may be told.
#[derive(Clone, Debug, Serialize)]
pub struct DoorPrice {
    /// The path.
    pub path: String,
    /// Its name.
    pub label: String,
}

impl Door {
    /// Of a piece at the door.
    ///
    /// # Errors
    /// When the answers bear on each other in too many ways.
    pub fn of(at: &AtTheDoor<'_>) -> Result<Self, TooTangled> {
        let table = at.table()?;
        let tasks = tasks(&table);
        let parts = at.book.parts_of(&at.piece.form, &at.piece.choice());
        let drawers = parts
            .iter()
            .filter(|it| !it.inner && it.kind == "drawer")
            .count();
        let mut found: Vec<String> = Vec::new();
        let rows = at.rows.iter().enumerate();
        let rows: Vec<DoorRow> = rows
            .map(|(n, row)| door_row(at, (n, row), &table, &mut found))
            .collect();
        let price = |path: &str, label: String| DoorPrice {
            path: path.to_owned(),
            label,
        };
        let mut prices: Vec<DoorPrice> = PRICED
            .iter()
            .map(|it| price(it, label(at.book, it)))
            .collect();
        prices.push(price(MEND, MENDED.to_owned()));
        Ok(Self {
            form: at.piece.form.clone(),
            rates: rates(at.settings, at.book, &at.piece.market, drawers, &tasks),
            rows,
            labels: found,
            harm: failing(at.book).map_or_else(Harm::default, |it| Harm {
                title: it.title.clone(),
                until: it.until.iter().map(|it| it.say.clone()).collect(),
                then: it.buyer.clone(),
            }),
            prices,
            table,
        })
    }
}

/// What is not to be done with a piece until it is repaired, of the cautions of its record.
#[must_use]
pub fn until_repaired(it: &Assessment, book: &TradeBook) -> Vec<String> {
    let Some(hazard) = failing(book) else {
        return Vec::new();
    };
    let told = it.cautions.iter().filter(|it| it.hazard == hazard.id);
    let lines = told.flat_map(|it| &it.lines);
    let until = lines.filter(|line| {
        hazard
            .until
            .iter()
            .any(|it| Saying::caution(&it.say) == **line)
    });
    until.map(ToString::to_string).collect()
}

/// The danger of what is failing.
fn failing(book: &TradeBook) -> Option<&Hazard> {
    book.hazards.iter().find(|it| it.applies.failing)
}

/// The tasks that a table names.
fn tasks(table: &Table) -> BTreeSet<&str> {
    let named = table.names.iter().filter_map(|it| {
        let mut cut = it.split('|');
        let (_, which, task) = (cut.next()?, cut.next()?, cut.next()?);
        [PLAN, MAY].contains(&which).then_some(task)
    });
    named.collect()
}

fn door_row(
    at: &AtTheDoor<'_>,
    (n, row): (usize, &Row<'_>),
    table: &Table,
    found: &mut Vec<String>,
) -> DoorRow {
    let tells = |it: &TapChoice| {
        let mut cues = it.cues.iter().filter_map(|it| at.book.cue(it));
        cues.any(|it| it.supports.is_some() || it.core.is_some())
    };
    let choices = row.tap.choices.iter().enumerate();
    DoorRow {
        id: row.id.clone(),
        group: row.tap.id.clone(),
        tap: row.tap.label.clone(),
        label: row.label.clone(),
        parts: row.parts.iter().map(ToString::to_string).collect(),
        material: row.tap.choices.iter().any(tells),
        choices: choices
            .map(|(choice, it)| door_choice(at, (n, choice, it), table, found))
            .collect(),
    }
}

fn door_choice(
    at: &AtTheDoor<'_>,
    (row, choice, it): (usize, usize, &TapChoice),
    table: &Table,
    found: &mut Vec<String>,
) -> DoorChoice {
    let mut answers = vec![None; at.questions()];
    answers[row] = Some(choice);
    let mut effort = None;
    let mut until = Vec::new();
    if it.fault.is_some() {
        let made = at.assessed(&answers);
        for finding in &made.findings {
            let place = small(&finding.placed().to_string());
            if !found.contains(&place) {
                found.push(place);
            }
            effort = finding.effort.map(|it| format!("{it:?}"));
        }
        until = until_repaired(&made, at.book);
    }
    let counts = table.counts(&answers);
    let stops = counts
        .keys()
        .filter_map(|it| it.strip_prefix("leave|stop|"));
    // A reason has a count for each part on which it stands.
    let stops: BTreeSet<String> = stops
        .filter_map(|it| it.split('|').next())
        .map(str::to_owned)
        .collect();
    let cue = it.cues.first().and_then(|it| at.book.cue(it));
    let tag = it.fault.as_ref().and_then(|it| at.book.tag(&it.tag));
    let hazards = tag.into_iter().flat_map(|it| &it.hazards);
    let dangers = hazards.filter_map(|it| at.book.hazard(it));
    DoorChoice {
        id: it.id.clone(),
        label: it.label.clone(),
        effort,
        plain: cue
            .map(|it| it.plain.clone())
            .filter(|_| it.fault.is_none()),
        stops: stops.into_iter().collect(),
        dangers: dangers.map(|it| format!("{}.", it.title)).collect(),
        until,
    }
}
