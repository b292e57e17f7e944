//! Checks of what an offer rests on, and of the woods.

use std::collections::BTreeMap;

use crate::trade::check::faults::Check;
use crate::trade::check::faults::Known;
use crate::trade::check::faults::at;
use crate::trade::check::faults::forms;
use crate::trade::check::faults::kinds;
use crate::trade::entry::offer::Question;

/// Reasons to stop of which the program itself knows when they hold.
const KNOWN_STOPS: [&str; 8] = [
    "crib",
    "preservative_and_child",
    "too_big",
    "not_shown",
    "asks_too_much",
    "asks_into_margin",
    "marriage",
    "unsafe_left",
];

/// Checks the offer and the woods.
pub(in crate::trade) fn check(it: &mut Check<'_>) {
    terms(it);
    thumbs(it);
    stops(it);
    woods(it);
}

fn terms(it: &mut Check<'_>) {
    let book = it.book;
    for channel in &book.offer.channels {
        let place = at("channel", &channel.id, "share");
        it.ascending(&place, channel.share);
        let says = "a share is at most 100 percent";
        if channel.share[2] > 100.0 {
            it.say(&place, says);
        }
    }
    for work in &book.offer.base_work {
        it.ascending(&at("base_work", &work.id, "hours"), work.hours);
        let each = Known::of("thing that hours count for", ["piece", "drawer"]);
        it.named(&at("base_work", &work.id, "each"), [&work.each], &each);
    }
    for surface in &book.offer.surfaces {
        let place = at("surface", &surface.form, "form");
        it.named(&place, [&surface.form], &forms(book));
        let fits = surface.m2 > 0.0 && surface.m2 < 100.0;
        let says = "`m2` must be above 0 and below 100";
        if !fits {
            it.say(&at("surface", &surface.form, "m2"), says);
        }
    }
    for question in &book.offer.questions {
        let id = question.id.as_str();
        it.ascending(&at("question", id, "aside"), question.aside);
        it.questions(&at("question", id, "when"), &question.when);
        let own = Question::of(id) == Question::Own;
        if own && question.when.is_empty() {
            let says = "a question of your own says in `when` of which parts it is asked";
            it.say(&at("question", id, "when"), says);
        }
        if !own && !question.when.is_empty() {
            let says =
                "the program itself knows when it asks this; another `when` needs another id";
            it.say(&at("question", id, "when"), says);
        }
    }
    let usual = &book.offer.usual;
    let channels = book.offer.channels.iter().map(|it| it.id.as_str());
    let channels = Known::of("channel of the trade book", channels);
    let place = at("usual", "", "channel");
    it.named(&place, [&usual.channel], &channels);
    let shares = [
        usual.margin,
        usual.risk,
        usual.discount,
        usual.aside_at_most,
    ];
    let shares = shares.iter().chain(&usual.first_bid).chain(&usual.donor);
    let in_bounds = shares.copied().all(|it| (0.0..=100.0).contains(&it));
    let says = "a share lies between 0 and 100 percent";
    if !in_bounds {
        it.say(&at("usual", "", ""), says);
    }
}

fn thumbs(it: &mut Check<'_>) {
    let book = it.book;
    for thumb in &book.offer.thumbs {
        let id = thumb.id.as_str();
        it.named(&at("thumb", id, "forms"), &thumb.forms, &forms(book));
        let [from, to] = thumb.share;
        let fits = 0.0 <= from && from <= to && to <= 100.0;
        if !fits {
            let says = "`share` is from and to, in percent of the price: 0 to 100";
            it.say(&at("thumb", id, "share"), says);
        }
        let says = "a rule of thumb says what it is about, and for which paths it holds";
        if thumb.label.trim().is_empty() || thumb.leaves.is_empty() {
            it.say(&at("thumb", id, "leaves"), says);
        }
    }
}

fn stops(it: &mut Check<'_>) {
    let book = it.book;
    for stop in &book.offer.stops {
        let id = stop.id.as_str();
        it.questions(&at("stop", id, "when"), &stop.when);
        it.named(&at("stop", id, "kinds"), &stop.kinds, &kinds(book));
        let others = book.offer.stops.iter().map(|it| it.id.as_str());
        let others = Known::of("reason to stop", others.filter(|it| *it != id));
        it.named(&at("stop", id, "instead_of"), &stop.instead_of, &others);
        let asks = !stop.when.is_empty() || KNOWN_STOPS.contains(&id);
        let says = "a reason to stop must ask something";
        if !asks {
            it.say(&at("stop", id, "when"), says);
        }
        let says = "`places` must be 1 or more";
        if stop.places == 0 {
            it.say(&at("stop", id, "places"), says);
        }
        for (key, text) in [
            ("what", &stop.what),
            ("why", &stop.why),
            ("unless", &stop.unless),
        ] {
            let says = format!("`{key}` is empty");
            if text.trim().is_empty() {
                it.say(&at("stop", id, key), says);
            }
        }
    }
}

/// Boards move more along the growth rings than across them, and a word means one wood.
fn woods(it: &mut Check<'_>) {
    let book = it.book;
    let mut meant: BTreeMap<String, &str> = BTreeMap::new();
    for wood in &book.woods {
        let id = wood.id.as_str();
        if let Some([radial, tangential]) = wood.shrinkage {
            let fits = 0.0 < radial && radial < tangential && tangential < 30.0;
            let says = "`shrinkage` is radial, then tangential, in percent: above 0, the second larger, below 30";
            if !fits {
                it.say(&at("wood", id, "shrinkage"), says);
            }
        }
        if let Some(movement) = wood.movement {
            let fits = 0.0 < movement.radial
                && movement.radial < movement.tangential
                && movement.tangential < 0.02;
            let says = "`movement` is a share of the width for 1 % of moisture: above 0, `tangential` the larger one, below 0.02";
            if !fits {
                it.say(&at("wood", id, "movement"), says);
            }
        }
        let figures = wood.shrinkage.is_some() || wood.movement.is_some();
        let says = "a wood needs `shrinkage` or `movement`, and its `source`";
        let sourced = figures && !wood.source.trim().is_empty();
        if !sourced {
            it.say(&at("wood", id, ""), says);
        }
        let own = [wood.id.replace('_', " "), wood.label.to_lowercase()];
        for word in wood.synonyms.iter().cloned().chain(own) {
            let Some(other) = meant.insert(word.clone(), id) else {
                continue;
            };
            if other != id {
                let says = format!("`{word}` already means `{other}`");
                it.say(&at("wood", id, "synonyms"), says);
                let says = format!("`{word}` already means `{id}`");
                it.say(&at("wood", other, "synonyms"), says);
            }
        }
    }
}
