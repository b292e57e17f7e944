//! The words that the marking page offers: faults, looks, statements, views, states, things of known size.

use serde::Serialize;

use crate::kit::clock::Moment;
use crate::mark;
use crate::model::mark::MarkState;
use crate::trade::TradeBook;
use crate::trade::entry::cue::Cue;
use crate::trade::entry::tag::Tag;
use crate::trade::entry::view::View;
use crate::work::WorkError;
use crate::work::marking::MarkingSession;
use crate::work::marking::laid::needs_part;

/// All words of the page.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct Words {
    pub tags: Vec<TagWord>,
    pub cues: Vec<CueWord>,
    pub statements: Vec<StatementWord>,
    pub views: Vec<ViewWord>,
    pub states: Vec<StateWord>,
    pub objects: Vec<ObjectWord>,
}

/// A fault.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct TagWord {
    pub id: String,
    pub group: String,
    pub term: String,
    pub plain: String,
    pub recognise: String,
    pub synonyms: Vec<String>,
    pub measure_what: String,
    pub measure_unit: String,
    pub measure_how: String,
    pub levels: [Option<String>; 4],
    pub look_alikes: String,
    /// Kinds of parts where it is usually found; empty means any.
    pub kinds: Vec<String>,
    /// `fault`.
    pub kind: &'static str,
}

/// An observation that is no fault.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct CueWord {
    pub id: String,
    pub group: String,
    pub term: String,
    pub plain: String,
    pub trap: String,
    /// `look`.
    pub kind: &'static str,
}

/// A word about a whole part.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct StatementWord {
    pub id: &'static str,
    pub term: &'static str,
    pub plain: &'static str,
}

/// A view.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct ViewWord {
    pub id: String,
    pub label: String,
    pub how: String,
    /// Kinds of parts it shows, or ids of parts.
    pub shows: Vec<String>,
    /// Whether anybody would take it again from the same place.
    pub fixed: bool,
    /// Whether it says nothing unless a part is named beside it.
    pub needs_part: bool,
}

/// What became of a fault.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct StateWord {
    pub id: &'static str,
    pub label: &'static str,
}

/// A thing of known size.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct ObjectWord {
    pub id: &'static str,
    pub label: &'static str,
    pub width_mm: f64,
    pub height_mm: f64,
}

/// The words about a whole part; the three silences stay three.
const STATEMENTS: [StatementWord; 3] = [
    StatementWord {
        id: "sound",
        term: "Looked for, nothing found",
        plain: "Somebody looked at this part for faults and found none.",
    },
    StatementWord {
        id: "not_examined",
        term: "Not examined",
        plain: "Nobody looked at this part, or it could not be reached.",
    },
    StatementWord {
        id: "absent",
        term: "Not there",
        plain: "The part is missing from the piece.",
    },
];

impl MarkingSession {
    /// The words of the page; the user's own among them.
    ///
    /// # Errors
    /// When the book cannot be read, or `words.toml` has mistakes.
    pub fn words(&self, now: Moment) -> Result<Words, WorkError> {
        let book = self.open(now)?;
        Ok(of_trade(book.trade()?))
    }
}

fn of_trade(trade: &TradeBook) -> Words {
    let tag = |it: &Tag| TagWord {
        id: it.id.clone(),
        group: it.group.clone(),
        term: it.term.clone(),
        plain: it.plain.clone(),
        recognise: it.recognise.clone(),
        synonyms: it.synonyms.clone(),
        measure_what: it.measure_what.clone(),
        measure_unit: it.measure_unit.clone(),
        measure_how: it.measure_how.clone(),
        levels: it.levels.clone(),
        look_alikes: it.look_alikes.clone(),
        kinds: it.parts.clone(),
        kind: "fault",
    };
    let cue = |it: &Cue| CueWord {
        id: it.id.clone(),
        group: it.group.clone(),
        term: it.term.clone(),
        plain: it.plain.clone(),
        trap: it.trap.clone(),
        kind: "look",
    };
    let view = |it: &View| ViewWord {
        id: it.id.clone(),
        label: it.label.clone(),
        how: it.how.clone(),
        shows: it.shows.clone(),
        fixed: it.fixed,
        needs_part: needs_part(it),
    };
    Words {
        tags: trade.tags.iter().map(tag).collect(),
        cues: trade.cues.iter().map(cue).collect(),
        statements: STATEMENTS.into(),
        views: trade.views.iter().map(view).collect(),
        states: MarkState::ALL
            .map(|(state, id)| StateWord {
                id,
                label: state_label(state),
            })
            .into(),
        objects: mark::objects()
            .map(|(id, [width_mm, height_mm])| ObjectWord {
                id,
                label: object_label(id),
                width_mm,
                height_mm,
            })
            .collect(),
    }
}

/// What became of a fault, as a button says it.
fn state_label(state: MarkState) -> &'static str {
    match state {
        MarkState::Present => "still there",
        MarkState::Repaired => "repaired",
        MarkState::Better => "there, less",
        MarkState::Worse => "there, more",
        MarkState::Gone => "gone",
        MarkState::NotVisible => "cannot be told from this picture",
        MarkState::NotExamined => "nobody looked",
    }
}

fn object_label(id: &str) -> &'static str {
    match id {
        "a4" => "A4 sheet, 210 x 297 mm",
        "us-letter" => "US letter sheet, 8.5 x 11 in",
        _ => "Bank card (ID-1), 85.60 x 53.98 mm",
    }
}
