//! Questions that the record leaves open, and what a bad answer would cost. Money is put aside only where something found on
//! the piece speaks for it; what nobody looked at yet is a look to take before paying, with its price as a note.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::advise::labour::area;
use crate::advise::labour::exact::Quantity;
use crate::advise::labour::exact::Spread;
use crate::advise::labour::exact::half_even;
use crate::advise::labour::exact::milli;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::part::context::is_said_gone;
use crate::advise::part::facts::Facts;
use crate::advise::part::moving::Moving;
use crate::advise::part::truth::Truth;
use crate::advise::price::doubts::lead::awaited;
use crate::advise::price::doubts::lead::lead_found;
use crate::advise::price::doubts::lead::lead_not_tested;
use crate::advise::price::options::Way;
use crate::advise::refinish::permit::has_step;
use crate::advise::shots::not_seen::drawers_not_opened;
use crate::advise::shots::not_seen::view_missing;
use crate::assess::findings::finding::Untold;
use crate::assess::worked::Worked;
use crate::kit::text::joined;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::photo::Stage;
use crate::model::settings::Settings;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::offer::OpenQuestion;
use crate::trade::entry::offer::Question;
use crate::trade::entry::tag::Affects;

/// Observations of the book: the nose was put into it and noticed nothing; the underside was looked at.
const SMELT_NOTHING: &str = "smell_none";
const LOOKED_UNDER: &str = "under_none";

/// A beetle that lives in the wood now.
const ALIVE: &str = "worm_active";

/// An earlier repair that does not hold.
const BAD_REPAIR: &str = "bad_repair";

/// From this level on a live beetle was seen; below it is suspected.
const SEEN_ALIVE: u8 = 2;

/// Kinds of parts behind which a smell stays.
const KINDS_THAT_SHUT: [&str; 4] = ["drawer", "door", "lid", "fall_or_roll"];

/// What is known of every part.
pub type AllFacts = BTreeMap<PartId, Facts>;

/// A question that is open.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Asked {
    /// Which one.
    #[serde(skip)]
    pub id: Question,
    /// Its id.
    #[serde(rename = "id")]
    pub name: String,
    /// The question.
    pub question: String,
    /// How to answer it.
    pub look: String,
    /// The parts it is about, by label; empty for the whole piece.
    pub parts: Vec<String>,
    /// What a bad answer would cost, in minor units; `None` when it cannot be told in the book's currency.
    pub aside: Option<Spread>,
    /// Whether that is put aside in the offer: something found on the piece speaks for it.
    pub counted: bool,
    /// Whether a test that answers all of it is on record, and only its result is not told.
    #[serde(skip)]
    pub(in crate::advise) is_awaited: bool,
}

/// A question that was answered badly. What was put aside for it is a cost now: a bad answer never makes more of a piece than
/// not knowing does.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct BadAnswer {
    /// The id of the question.
    pub id: String,
    /// What was found.
    pub what: String,
    /// The parts it was found on, by label.
    pub parts: Vec<String>,
    /// What it costs, in minor units; `None` when it cannot be told in the book's currency.
    pub cost: Option<Spread>,
}

/// What may be behind a question, and on which parts.
type Found = Option<Vec<String>>;

/// The questions that are open for a way.
#[must_use]
pub fn questions(need: &PlanInput<'_>, way: &Way, facts: &AllFacts) -> Vec<Asked> {
    let moving = Moving::of(need.it, facts, need.book);
    let asked = need.book.offer.questions.iter();
    let asked = asked.filter_map(|it| {
        let id = Question::of(&it.id);
        let parts = match id {
            Question::Own => own(need, facts, it),
            known => open(need, way, facts, known),
        };
        let parts = parts?;
        let told = it.look_at(need.it.hangs);
        Some(Asked {
            id,
            is_awaited: id == Question::LeadNotTested
                && awaited(need, facts).is_some_and(|it| it.1),
            name: it.id.clone(),
            question: it.question.clone(),
            look: match moving.instead() {
                Some(instead) if it.moves => instead,
                _ if it.moves => moving.with_care(&look(need, facts, id, told)),
                _ => look(need, facts, id, told),
            },
            parts,
            aside: aside(it, need.settings, need.book),
            counted: match id {
                Question::Own => facts
                    .values()
                    .any(|facts| facts.holds(&it.when) == Truth::Yes),
                known => known.rests_on_a_find(),
            },
        })
    });
    asked.collect()
}

/// How to answer a question; of drawers that nobody counted, that nobody did.
fn look(need: &PlanInput<'_>, facts: &AllFacts, id: Question, look: &str) -> String {
    let counted = !need.it.piece.drawer_rows.is_empty();
    match id {
        Question::DrawersNotOpened if !counted => format!(
            "{look} Nobody counted them: as many are taken as such a piece usually has, until `--drawers` tells."
        ),
        Question::LeadNotTested => match awaited(need, facts) {
            Some((test, all)) => {
                let (day, no, result) = (test.day, test.no, Untold::of(test).words());
                let tested = format!("t was tested on {day} (repair {no}), and {result}");
                let on = Worked::by(test, &need.it.findings);
                let on = match test.findings.is_empty() {
                    true => on.labels(|it| small(&need.it.label(it))),
                    false => test.findings.iter().map(ToString::to_string).collect(),
                };
                match all {
                    true => format!("I{tested}."),
                    false => format!(
                        "For {} i{tested}; for the rest: {}",
                        joined(&on),
                        small(look)
                    ),
                }
            }
            None => look.to_owned(),
        },
        Question::SmellAfterADay => smell(need, look),
        _ => look.to_owned(),
    }
}

/// Where the inside is smelt: where it opens, and never with the head under a lid.
fn smell(need: &PlanInput<'_>, look: &str) -> String {
    let opens = |of: &str| has_kind(need, of);
    match (opens("drawer"), opens("door"), opens("lid")) {
        (true, true, _) => look.to_owned(),
        (true, false, _) => "Open a drawer and put your nose in.".to_owned(),
        (false, true, _) => "Open a door and put your nose in.".to_owned(),
        (false, false, true) => {
            "Lift the lid by a hand and smell at the gap; keep your head out from under it."
                .to_owned()
        }
        (false, false, false) => "Smell at its back and underside.".to_owned(),
    }
}

/// The questions that were answered badly.
#[must_use]
pub fn bad_answers(need: &PlanInput<'_>) -> Vec<BadAnswer> {
    let asked = need.book.offer.questions.iter();
    let bad = asked.filter_map(|it| {
        let parts = match Question::of(&it.id) {
            Question::LeadNotTested => lead_found(need),
            _ => None,
        };
        Some(BadAnswer {
            id: it.id.clone(),
            what: it.if_bad.clone()?,
            parts: parts?,
            cost: aside(it, need.settings, need.book),
        })
    });
    bad.collect()
}

/// What is put aside: the book's amount, or in another currency as many hours of the user's own rate as it is of the
/// book's usual rate.
pub(in crate::advise) fn aside(
    it: &OpenQuestion,
    settings: &Settings,
    book: &TradeBook,
) -> Option<Spread> {
    let one = Quantity::count(1);
    if book.offer.figures_hold(settings.currency) {
        return Some(Spread::minor(it.aside, one, settings.currency.decimals()));
    }
    let rate = i128::from(settings.hourly_rate?.minor);
    let of = |value: f64| {
        half_even(
            rate * i128::from(milli(value)),
            i128::from(milli(book.offer.usual.hourly).max(1)),
        )
    };
    let [low, likely, high] = it.aside.map(of);
    Some(Spread { low, likely, high })
}

/// Of a question of the user's own: the parts of which it holds, or may hold.
fn own(need: &PlanInput<'_>, facts: &AllFacts, it: &OpenQuestion) -> Found {
    let asked = need.it.parts.iter().filter(|part| {
        let facts = facts.get(&part.part);
        facts.is_some_and(|facts| facts.holds(&it.when) != Truth::No)
    });
    some(asked.map(|it| it.label.clone()).collect())
}

/// Whether a question is open, and the parts it is about.
fn open(need: &PlanInput<'_>, way: &Way, facts: &AllFacts, id: Question) -> Found {
    match id {
        Question::FaceNotMeasured => face_not_measured(need, way),
        Question::CoatNotTested => coat_not_tested(need, way, facts),
        Question::MaterialNotSettled => material_not_settled(need, way, facts),
        Question::SmellAfterADay => when(smell_not_known(need)),
        Question::BeetleAlive => beetle(need),
        Question::UndersideNotSeen => when(
            view_missing(need, "underside_whole", &[]) && !is_remarked(need, LOOKED_UNDER, false),
        ),
        Question::BackNotSeen => {
            when(has_kind(need, "back_panel") && view_missing(need, "back_whole", &["back_panel"]))
        }
        Question::DrawersNotOpened => drawers_not_opened(need),
        Question::LockShut => faults(need, &["lock_fault"], 4),
        Question::UnderOldRepair => under_old_repair(need),
        Question::LeadNotTested => lead_not_tested(need, facts),
        Question::Own => None,
    }
}

fn when(is_so: bool) -> Found {
    is_so.then(Vec::new)
}

fn some(parts: Vec<String>) -> Found {
    (!parts.is_empty()).then_some(parts)
}

/// Labels of the parts of a way whose path has one of these steps.
fn with_step<'a>(
    need: &'a PlanInput<'_>,
    way: &'a Way,
    steps: &'a [&str],
) -> impl Iterator<Item = &'a crate::advise::price::options::WayPart> {
    way.parts.iter().filter(move |part| {
        let path = part.path.as_deref().and_then(|it| need.book.path(it));
        path.is_some_and(|it| steps.iter().any(|step| has_step(it, step)))
    })
}

fn face_not_measured(need: &PlanInput<'_>, way: &Way) -> Found {
    let unmeasured = |part: &PartId| {
        let sanding = need.advice_on(part).and_then(|it| it.sanding.as_ref());
        sanding.is_some_and(|it| it.lowest_mm.is_none())
    };
    let parts = with_step(need, way, &["strip", "sand"]);
    let parts = parts.filter(|it| unmeasured(&it.part));
    some(parts.map(|it| it.label.clone()).collect())
}

fn coat_not_tested(need: &PlanInput<'_>, way: &Way, facts: &AllFacts) -> Found {
    let rule = need
        .book
        .rules
        .iter()
        .find(|it| it.id == "coat_not_tested")?;
    let steps = ["strip", "reamalgamate", "pad_over", "french_polish"];
    let unknown = |part: &PartId| {
        let known = facts.get(part).map(|it| it.holds(&rule.when));
        known != Some(Truth::No)
    };
    let parts = with_step(need, way, &steps).filter(|it| unknown(&it.part));
    some(parts.map(|it| it.label.clone()).collect())
}

fn material_not_settled(need: &PlanInput<'_>, way: &Way, facts: &AllFacts) -> Found {
    let steps = ["strip", "sand", "prime_block", "reamalgamate", "pad_over"];
    let open = |part: &PartId| {
        let facts = facts.get(part);
        facts.is_none_or(|it| it.possible(Fact::Material).len() != 1)
    };
    let parts = with_step(need, way, &steps).filter(|it| open(&it.part));
    some(parts.map(|it| it.label.clone()).collect())
}

/// Asked of what can be shut, until somebody put the nose into it; once it stands at home, what is not written down was not
/// smelt.
fn smell_not_known(need: &PlanInput<'_>) -> bool {
    let piece = &need.it.piece;
    let at_home = need.it.shoots.iter().any(|it| it.stage != Stage::Doorstep);
    let told = need
        .it
        .findings
        .iter()
        .any(|it| it.tag.starts_with("odour_"));
    let smelt = told || is_remarked(need, SMELT_NOTHING, true);
    let shuts = KINDS_THAT_SHUT.iter().any(|it| has_kind(need, it));
    shuts && !(smelt || at_home || piece.is_bought())
}

/// Whether somebody wrote this observation, and, if asked so, that it was so.
fn is_remarked(need: &PlanInput<'_>, cue: &str, so: bool) -> bool {
    let mut marks = need.it.photos.iter().flat_map(|it| &it.sidecar.marks);
    marks.any(|it| {
        let looked = it.state.is_there() || (!so && it.state == MarkState::Gone);
        it.tag.as_deref() == Some(cue) && looked
    })
}

/// Asked of holes and of what is only suspected. A live beetle that was seen answers for the whole piece, and that it was
/// looked for and not found for its part; that it was watched answers nothing.
fn beetle(need: &PlanInput<'_>) -> Found {
    let is_seen = faults(need, &[ALIVE], SEEN_ALIVE).is_some();
    if is_seen {
        return None;
    }
    let open = need.it.findings.iter().filter(|it| {
        let beetle = ["worm_old", ALIVE].contains(&it.tag.as_str());
        beetle && it.is_to_do() && !is_said_gone(need.it, ALIVE, &it.part)
    });
    let mut labels: Vec<String> = open.map(|it| it.part_label.clone()).collect();
    labels.dedup();
    some(labels)
}

/// Labels of the parts with one of these open faults at this level or more, or at a level that nobody told.
fn faults(need: &PlanInput<'_>, tags: &[&str], level: u8) -> Found {
    let is = need.it.findings.iter().filter(|it| {
        it.is_to_do() && tags.contains(&it.tag.as_str()) && it.level.is_none_or(|it| it >= level)
    });
    let mut labels: Vec<String> = is.map(|it| it.part_label.clone()).collect();
    labels.dedup();
    some(labels)
}

/// Parts with an earlier repair that does not hold, where no fault of strength is told beside it: that has its own repair in the plan.
fn under_old_repair(need: &PlanInput<'_>) -> Found {
    let weakens = |tag: &str| {
        let tag = need.book.tag(tag);
        tag.is_some_and(|it| it.affects.contains(&Affects::Structure))
    };
    let told = |label: &String| {
        let on = need.it.findings.iter().filter(|it| it.part_label == *label);
        let mut beside = on.filter(|it| it.is_to_do() && it.tag != BAD_REPAIR);
        beside.any(|it| weakens(&it.tag))
    };
    let bad = faults(need, &[BAD_REPAIR], 3)?;
    some(bad.into_iter().filter(|it| !told(it)).collect())
}

/// Whether the piece has a part of this kind, as far as anybody said.
fn has_kind(need: &PlanInput<'_>, kind: &str) -> bool {
    let list = &need.it.kinds;
    let mut parts = list.iter();
    parts.any(|it| it.1 == kind && area::is_there(need.it, it.0))
}
