//! Checks of the words: forms, kinds of parts, views, faults, observations, hazards.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::model::piece::PartChoice;
use crate::trade::check::faults::Check;
use crate::trade::check::faults::Known;
use crate::trade::check::faults::at;
use crate::trade::check::faults::coats;
use crate::trade::check::faults::forms;
use crate::trade::check::faults::hazards;
use crate::trade::check::faults::kinds;
use crate::trade::check::faults::methods;
use crate::trade::check::faults::tags;
use crate::trade::check::faults::views;
use crate::trade::entry::hazard::HazardRule;
use crate::trade::entry::material::CLASSES;
use crate::trade::entry::material::MATERIALS;
use crate::trade::entry::tag::Tag;

/// Words with a meaning of their own in a sidecar.
const KEPT: [&str; 3] = ["sound", "absent", "not_examined"];

/// Checks the words.
pub(in crate::trade) fn check(it: &mut Check<'_>) {
    ids(it);
    parts(it);
    photos(it);
    for tag in &it.book.tags {
        fault(it, tag);
    }
    synonyms(it);
    observations(it);
    dangers(it);
}

/// Every id, with the list it stands in.
fn every_id<'a>(it: &Check<'a>) -> Vec<(&'static str, &'a str)> {
    let mut ids: Vec<(&'static str, &'a str)> = Vec::new();
    macro_rules! list {
        ($name:literal, $list:expr) => {
            ids.extend($list.iter().map(|it| ($name, it.id.as_str())));
        };
    }
    list!("form", it.book.forms);
    list!("kind", it.book.kinds);
    list!("view", it.book.views);
    list!("tag", it.book.tags);
    list!("cue", it.book.cues);
    list!("method", it.book.methods);
    list!("hazard", it.book.hazards);
    list!("path", it.book.paths);
    list!("rule", it.book.rules);
    list!("order", it.book.orders);
    list!("channel", it.book.offer.channels);
    list!("base_work", it.book.offer.base_work);
    list!("stop", it.book.offer.stops);
    list!("wood", it.book.woods);
    let questions = it.book.offer.questions.iter();
    ids.extend(questions.map(|it| ("question", it.id.as_str())));
    ids
}

fn ids(it: &mut Check<'_>) {
    let mut seen = BTreeSet::new();
    for (list, id) in every_id(it) {
        let plain = |it: u8| it.is_ascii_lowercase() || it.is_ascii_digit() || it == b'_';
        let help = "an id is one word of a to z, 0 to 9 and _, such as `lamp_burn`";
        if id.is_empty() || !id.bytes().all(plain) {
            it.advise(&at(list, id, "id"), format!("`{id}` is not an id"), help);
        }
        if !seen.insert((list, id)) {
            it.say(&at(list, id, "id"), format!("`{id}` stands there twice"));
        }
        if matches!(list, "tag" | "cue") && KEPT.contains(&id) {
            let says = format!("`{id}` has a meaning of its own");
            it.say(&at(list, id, "id"), says);
        }
    }
    // A mark names a fault or an observation in the same place.
    for cue in &it.book.cues {
        if it.book.tag(&cue.id).is_some() {
            let says = format!(
                "`{}` is both a fault and an observation; a mark could mean either",
                cue.id
            );
            it.advise(&at("cue", &cue.id, "id"), &says, "choose another id");
            it.advise(&at("tag", &cue.id, "id"), &says, "choose another id");
        }
    }
}

fn parts(it: &mut Check<'_>) {
    let book = it.book;
    for kind in &book.kinds {
        it.named(&at("kind", &kind.id, "holds"), &kind.holds, &kinds(book));
        it.named(&at("kind", &kind.id, "set_in"), &kind.set_in, &kinds(book));
        let inner = kind.inner.iter().map(|it| &it.kind);
        it.named(&at("kind", &kind.id, "inner"), inner, &kinds(book));
        let named = !kind.name.trim().is_empty();
        if !named {
            it.say(&at("kind", &kind.id, "name"), "`name` is empty");
        }
    }
    for form in &book.forms {
        let parts = form.parts.iter().map(|it| &it.kind);
        it.named(&at("form", &form.id, "parts"), parts, &kinds(book));
        let more = &form.more_views;
        it.named(&at("form", &form.id, "more_views"), more, &views(book));
        if !book.offer.surfaces.iter().any(|it| it.form == form.id) {
            let says = format!("`{}` has no show surface", form.id);
            let help = "add `[[surface]]` with its `form` and its `m2`";
            it.advise(&at("form", &form.id, ""), says, help);
        }
    }
}

fn photos(it: &mut Check<'_>) {
    let book = it.book;
    // Kinds, and ids of parts that some form has.
    let mut shown: BTreeSet<String> = book.kinds.iter().map(|it| it.id.clone()).collect();
    for form in &book.forms {
        let with = form.parts.iter().map(|it| it.kind.clone()).collect();
        let choice = PartChoice {
            drawer_rows: vec![2, 1],
            with,
            ..PartChoice::default()
        };
        let parts = book.parts(form, &choice);
        shown.extend(parts.iter().map(|it| it.id.to_string()));
    }
    let shown = Known::of("kind of part", shown.iter().map(String::as_str));
    for view in &book.views {
        it.named(&at("view", &view.id, "needs"), &view.needs, &kinds(book));
        it.named(&at("view", &view.id, "shows"), &view.shows, &shown);
    }
    for set in &book.sets {
        let stage = set.stage.word();
        it.named(&at("set", stage, "views"), &set.views, &views(book));
    }
}

fn fault(it: &mut Check<'_>, tag: &Tag) {
    let book = it.book;
    let id = tag.id.as_str();
    let materials = Known::of("material", MATERIALS);
    it.named(&at("tag", id, "parts"), &tag.parts, &kinds(book));
    it.named(&at("tag", id, "views"), &tag.views, &views(book));
    it.named(&at("tag", id, "hazards"), &tag.hazards, &hazards(book));
    it.named(&at("tag", id, "fix"), tag.fixes(), &methods(book));
    for fix in &tag.fix {
        it.named(&at("tag", id, "fix"), &fix.kinds, &kinds(book));
        it.questions(
            &at("tag", id, "fix"),
            &[fix.when.clone()][..usize::from(!fix.when.is_empty())],
        );
        let unless = &[fix.unless.clone()][..usize::from(!fix.unless.is_empty())];
        it.questions(&at("tag", id, "fix"), unless);
        let fits = (1..=4).contains(&fix.from) && fix.from <= fix.to && fix.to <= 4;
        if !fits {
            let says = format!("the levels of `{}` must be from 1 to 4", fix.method);
            it.say(&at("tag", id, "fix"), says);
        }
    }
    it.named(&at("tag", id, "only_on"), &tag.only_on, &materials);
    it.named(&at("tag", id, "trace_of"), &tag.trace_of, &tags(book));
    let watch = tag.clear.iter().filter_map(|it| it.watch.as_ref());
    it.named(&at("tag", id, "clear"), watch, &methods(book));
    let in_bounds = (1..=4).contains(&tag.disclose_from);
    let says = "`disclose_from` must be 1, 2, 3 or 4";
    if !in_bounds {
        it.say(&at("tag", id, "disclose_from"), says);
    }
    let touches = !tag.affects.is_empty();
    if !touches {
        it.say(&at("tag", id, "affects"), "`affects` is empty");
    }
    let texts: [(&'static str, &str); 7] = [
        ("group", &tag.group),
        ("term", &tag.term),
        ("plain", &tag.plain),
        ("recognise", &tag.recognise),
        ("measure_what", &tag.measure_what),
        ("measure_unit", &tag.measure_unit),
        ("measure_how", &tag.measure_how),
    ];
    for (key, text) in texts {
        let says = format!("`{key}` is empty");
        if text.trim().is_empty() {
            it.say(&at("tag", id, key), says);
        }
    }
    let levels: Vec<&String> = tag.levels.iter().flatten().collect();
    let unique: BTreeSet<_> = levels.iter().map(|it| it.trim()).collect();
    let levels_at = &at("tag", id, "levels");
    let help = "say what makes it fail; `-` stands for a level that is not used";
    if tag.levels[3].is_none() {
        it.advise(levels_at, "level 4 is not told", help);
    }
    if unique.contains("") {
        it.advise(levels_at, "a level is empty", help);
    }
    let differ = unique.len() == levels.len();
    if !differ {
        it.say(levels_at, "two levels say the same");
    }
}

/// A word people type means one fault.
fn synonyms(it: &mut Check<'_>) {
    let mut meant: BTreeMap<String, String> = BTreeMap::new();
    for (word, tag) in it.book.tag_words() {
        let Some(other) = meant.insert(word.clone(), tag.clone()) else {
            continue;
        };
        for (id, other) in [(&tag, &other), (&other, &tag)] {
            let says = format!("`{word}` already means `{other}`");
            it.say(&at("tag", id, "synonyms"), says);
        }
    }
}

fn observations(it: &mut Check<'_>) {
    let book = it.book;
    let classes = Known::of("material", MATERIALS.into_iter().take(CLASSES));
    for cue in &book.cues {
        let id = cue.id.as_str();
        it.named(&at("cue", id, "view"), &cue.view, &views(book));
        it.named(&at("cue", id, "supports"), &cue.supports, &classes);
        it.named(&at("cue", id, "against"), &cue.against, &classes);
        it.named(&at("cue", id, "coat"), &cue.coat, &coats());
        let says = "`weight` must be 0, 1, 2 or 3";
        if cue.weight > 3 {
            it.say(&at("cue", id, "weight"), says);
        }
        for (key, text) in [("term", &cue.term), ("plain", &cue.plain)] {
            let says = format!("`{key}` is empty");
            if text.trim().is_empty() {
                it.say(&at("cue", id, key), says);
            }
        }
        let tells = cue.supports.is_some() || cue.against.is_some();
        let says = "only the group `material` speaks for or against a material";
        if tells && cue.group != "material" {
            it.say(&at("cue", id, "group"), says);
        }
        let says = "what decides must say what it speaks for in `supports`";
        let decides = !cue.decides || cue.supports.is_some();
        if !decides {
            it.say(&at("cue", id, "decides"), says);
        }
        if let (Some(from), Some(to)) = (cue.not_before, cue.not_after) {
            let says = "`not_before` must lie before `not_after`";
            if from >= to {
                it.say(&at("cue", id, "not_before"), says);
            }
        }
    }
}

fn dangers(it: &mut Check<'_>) {
    let book = it.book;
    let marks = book.tags.iter().map(|it| it.id.as_str());
    let marks = marks.chain(book.cues.iter().map(|it| it.id.as_str()));
    let marks = Known::of("fault or observation", marks);
    for hazard in &book.hazards {
        let place = at("hazard", &hazard.id, "applies");
        it.named(&place, &hazard.applies.kinds, &kinds(book));
        it.named(&place, &hazard.applies.forms, &forms(book));
        it.named(&place, &hazard.applies.marks, &marks);
        let says = "`worker` is empty";
        let spoken = !hazard.worker.is_empty() || !hazard.worker_with.is_empty();
        if !spoken {
            it.say(&at("hazard", &hazard.id, "worker"), says);
        }
        let tags = book.tags.iter().map(|it| &it.hazards);
        let mut named = tags.chain(book.methods.iter().map(|it| &it.hazards));
        let never = hazard.applies == HazardRule::default();
        if never && hazard.on_the_spot.is_none() && !named.any(|it| it.contains(&hazard.id)) {
            let help = "name it in `hazards` of a fault or of a method, or say in `applies` when it is there";
            it.advise(
                &at("hazard", &hazard.id, ""),
                "nothing calls for this hazard, so nobody would read it",
                help,
            );
        }
        let buyer = hazard.buyer_with.iter().map(|it| ("buyer_with", it));
        let worker = hazard.worker_with.iter().map(|it| ("worker_with", it));
        for (list, line) in buyer.chain(worker) {
            let place = at("hazard", &hazard.id, list);
            it.named(&place, &line.kinds, &kinds(book));
            it.named(&place, &line.marks, &marks);
        }
        for line in &hazard.until {
            let place = at("hazard", &hazard.id, "until");
            it.named(&place, line.marks.iter().chain(&line.except), &marks);
        }
        let says = "lines for the buyer need a case in `applies`, and a case needs lines";
        let fits = never != hazard.speaks_to_buyer();
        if !fits {
            it.say(&at("hazard", &hazard.id, "buyer"), says);
        }
    }
}
