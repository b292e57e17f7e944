//! The words of the trade book, for people.

use serde::Serialize;

use crate::kit::money::Currency;
use crate::kit::text::capital;
use crate::model::mark::MarkState;
use crate::model::photo::Stage;
use crate::trade;
use crate::trade::TradeBook;
use crate::trade::entry::asker::Asker;
use crate::trade::entry::asker::ORIENTATION;
use crate::trade::entry::asker::Procedure;
use crate::trade::entry::asker::askers;
use crate::trade::entry::asker::procedures;
use crate::trade::entry::claim_kind::claim_kinds;
use crate::trade::entry::offer::Channel;
use crate::trade::entry::tag::Tag;
use crate::trade::entry::wood::Wood;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// One word and what it means.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Word {
    /// As written in sidecars and options.
    pub id: String,
    /// Its name.
    pub label: String,
    /// What it means.
    pub plain: String,
    /// For faults the criteria of the four levels; for woods other names and where the figures are from; for who asks what to send
    /// and how soon; for a procedure its steps.
    pub more: Vec<String>,
}

/// What words are asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Faults, with the criteria of their levels.
    Faults,
    /// Observations that are no faults.
    Observations,
    /// Views of a complete record, with how to take them.
    Views,
    /// Kinds of parts.
    Parts,
    /// Forms of furniture.
    Forms,
    /// Repair methods.
    Methods,
    /// Ways to refinish a part.
    Paths,
    /// Woods, with how they move.
    Woods,
    /// Occasions of a shoot.
    Stages,
    /// What a mark says of its fault.
    States,
    /// The four levels of a fault.
    Levels,
    /// Channels by which pieces are sold.
    Channels,
    /// Who asks when a piece is disputed, with what to send; and what to do when.
    Askers,
    /// Questions that a dossier can answer.
    Claims,
}

/// The words of a kind: of a stock book, with the user's own in it, or of the program alone.
///
/// # Errors
/// When the user's own words have mistakes.
pub fn words(kind: Kind, of: Option<&OpenBook>) -> Result<Vec<Word>, WorkError> {
    let book = match of {
        Some(open) => open.trade()?,
        None => trade::book(),
    };
    Ok(listed(kind, book))
}

/// Whether the program's own prices hold in a currency.
#[must_use]
pub fn has_own_figures(currency: Currency) -> bool {
    trade::book().offer.figures_hold(currency)
}

fn listed(kind: Kind, book: &TradeBook) -> Vec<Word> {
    macro_rules! bare {
        ($list:expr, $label:ident, $plain:ident) => {
            $list
                .iter()
                .map(|it| bare(&it.id, &it.$label, &it.$plain))
                .collect()
        };
    }
    match kind {
        Kind::Faults => book.tags.iter().map(fault).collect(),
        Kind::Observations => bare!(book.cues, term, plain),
        Kind::Views => bare!(book.views, label, how),
        Kind::Parts => bare!(book.kinds, label, plain),
        Kind::Forms => bare!(book.forms, label, plain),
        Kind::Methods => bare!(book.methods, name, plain),
        Kind::Paths => bare!(book.paths, label, plain),
        Kind::Woods => book.woods.iter().map(wood).collect(),
        Kind::Stages => Stage::ALL.iter().map(stage).collect(),
        Kind::States => MarkState::ALL.iter().map(state).collect(),
        Kind::Levels => LEVELS.iter().map(|it| bare(it.0, it.1, it.2)).collect(),
        Kind::Channels => book.offer.channels.iter().map(channel).collect(),
        Kind::Askers => {
            let askers = askers().iter().map(asker);
            askers.chain(procedures().iter().map(procedure)).collect()
        }
        Kind::Claims => bare!(claim_kinds(), label, question),
    }
}

/// The levels, each with its name and what it means of any fault.
const LEVELS: [(&str, &str, &str); 4] = [
    ("1", "trace", "Seen by whoever looks for it."),
    ("2", "visible", "Seen at once from a step away."),
    (
        "3",
        "heavy",
        "It takes work, or takes from the value or the use.",
    ),
    (
        "4",
        "failing",
        "The part does not do its work, or will soon not do it.",
    ),
];

fn stage((stage, id): &(Stage, &str)) -> Word {
    let plain = match stage {
        Stage::Doorstep => "Before buying: five minutes at the seller's.",
        Stage::Purchase => "On taking possession, before anything is touched.",
        Stage::Work => "During the work: before, opened, and after.",
        Stage::Sale => "Finished, as it is offered.",
        Stage::Handover => "At the van, as it leaves: packed, with the paper.",
        Stage::Delivery => "At the buyer's, by the carrier or the buyer.",
        Stage::Return => "If it comes back.",
    };
    bare(id, &capital(id), plain)
}

fn state((state, id): &(MarkState, &str)) -> Word {
    let (label, plain) = match state {
        MarkState::Present => (
            "Still there",
            "The fault is there; what a mark says when `state` is left out.",
        ),
        MarkState::Repaired => (
            "Repaired",
            "It was repaired; level, size and note say what can still be seen.",
        ),
        MarkState::Better => ("There, less", "Still there, less than before."),
        MarkState::Worse => ("There, more", "Still there, more than before."),
        MarkState::Gone => ("Gone", "Looked for and no longer there."),
        MarkState::NotVisible => (
            "Cannot be told",
            "The place is in the picture, but it cannot be told from it.",
        ),
        MarkState::NotExamined => ("Nobody looked", "Nobody looked at the place this time."),
    };
    bare(id, label, plain)
}

fn bare(id: &str, label: &str, plain: &str) -> Word {
    Word {
        id: id.to_owned(),
        label: label.to_owned(),
        plain: plain.to_owned(),
        more: Vec::new(),
    }
}

fn fault(it: &Tag) -> Word {
    let levels = it.levels.iter().enumerate();
    let level =
        |(n, it): (usize, &Option<String>)| it.as_ref().map(|it| format!("level {}: {it}", n + 1));
    Word {
        more: levels.filter_map(level).collect(),
        ..bare(&it.id, &it.term, &it.plain)
    }
}

/// A wood: what a change of 1 % in moisture does to its width, else its whole shrinkage.
fn wood(it: &Wood) -> Word {
    let moves = match (it.movement, it.shrinkage) {
        (Some(by), _) => format!(
            "For 1 % of moisture its width changes by {:.2} % (quarter-sawn) to {:.2} % (flat-sawn).",
            by.radial * 100.0,
            by.tangential * 100.0
        ),
        (None, Some([radial, tangential])) => format!(
            "From green to oven-dry it shrinks by {radial:.1} % across the growth rings and {tangential:.1} % along them."
        ),
        (None, None) => "How it moves is not known.".to_owned(),
    };
    let bleeds = match it.bleeds {
        true => " Its colour comes through paint.",
        false => "",
    };
    let mut more = Vec::new();
    if !it.synonyms.is_empty() {
        more.push(format!("also: {}", it.synonyms.join(", ")));
    }
    more.push(format!("source: {}", it.source));
    Word {
        more,
        ..bare(&it.id, &it.label, &format!("{moves}{bleeds}"))
    }
}

fn asker(it: &Asker) -> Word {
    let line = |what: &str, lines: &[String]| format!("{what}: {}", lines.join(" "));
    Word {
        more: vec![
            line("send", &it.send),
            format!("{} {ORIENTATION}", line("time limits", &it.limits)),
        ],
        ..bare(&it.id, &it.label, &it.asks.join(" "))
    }
}

fn procedure(it: &Procedure) -> Word {
    let steps = it.steps.iter().zip(1..);
    Word {
        more: steps.map(|(step, no)| format!("{no}. {step}")).collect(),
        ..bare(
            &it.id,
            &it.label,
            "What to do, in order; general information, no legal advice.",
        )
    }
}

fn channel(it: &Channel) -> Word {
    let [low, likely, high] = it.share;
    let keeps = match high > 0.0 {
        true => format!("Keeps {low} to {high} % of the price, likely {likely} %."),
        false => "Keeps nothing of the price.".to_owned(),
    };
    bare(&it.id, &it.label, &keeps)
}
