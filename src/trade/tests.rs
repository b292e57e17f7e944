//! The embedded book is right, and what is wrong with a book is found.

mod own_lists;
mod printed;

use crate::trade::book;
use crate::trade::check::whole::faults_of;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::path::Role;
use crate::trade::trade_book::TradeBook;

#[test]
fn nothing_is_wrong_with_the_embedded_book() {
    assert_eq!(faults_of(book()), []);
    let counts = [
        ("paths", book().paths.len(), 14),
        ("rules", book().rules.len(), 46),
        ("orders", book().orders.len(), 27),
        ("stops", book().offer.stops.len(), 18),
        ("woods", book().woods.len(), 40),
    ];
    for (what, count, least) in counts {
        assert!(count >= least, "{what}: {count} of {least}");
    }
}

/// What a change of the book is found to break, as `list id key`.
fn broken(change: impl FnOnce(&mut TradeBook)) -> Vec<String> {
    let mut book = TradeBook::parse().unwrap();
    change(&mut book);
    let faults = faults_of(&book);
    let place = |it: &crate::trade::check::faults::Fault| {
        format!("{} {} {}", it.place.list, it.place.id, it.place.key)
    };
    faults.iter().map(place).collect()
}

#[test]
fn a_word_that_names_nothing_is_found_wherever_it_stands() {
    let no = || "nothing_like_it".to_owned();
    let one = |found: Vec<String>, place: &str| assert_eq!(found, [place], "{place}");
    one(
        broken(|it| it.tags[0].fix[0].method = no()),
        "tag veneer_lift fix",
    );
    one(
        broken(|it| it.tags[0].views.push(no())),
        "tag veneer_lift views",
    );
    one(
        broken(|it| it.tags[0].parts.push(no())),
        "tag veneer_lift parts",
    );
    one(
        broken(|it| it.tags[0].hazards.push(no())),
        "tag veneer_lift hazards",
    );
    one(
        broken(|it| it.tags[0].only_on.push(no())),
        "tag veneer_lift only_on",
    );
    one(
        broken(|it| it.cues[0].view = Some(no())),
        "cue looks_like_wood view",
    );
    one(
        broken(|it| it.cues[0].against = Some(no())),
        "cue looks_like_wood against",
    );
    one(
        broken(|it| it.methods[0].hazards.push(no())),
        "method quarantine hazards",
    );
    one(
        broken(|it| it.views[0].shows.push(no())),
        "view front_whole shows",
    );
    one(
        broken(|it| it.sets[0].views.push(no())),
        "set doorstep views",
    );
    one(
        broken(|it| it.hazards[0].applies.marks.push(no())),
        "hazard failing applies",
    );
    one(
        broken(|it| it.paths[1].hides.push(no())),
        "path clean_wax hides",
    );
    one(
        broken(|it| it.paths[1].steps[0].method = no()),
        "path clean_wax steps",
    );
    one(
        broken(|it| it.rules[0].shuts.push(no())),
        "rule picture_of_wood shuts",
    );
    one(
        broken(|it| it.orders[0].then.methods.push(no())),
        "order latch_and_wire_first then",
    );
    one(
        broken(|it| it.offer.stops[0].kinds.push(no())),
        "stop live_beetle kinds",
    );
    one(
        broken(|it| it.offer.base_work[0].each = no()),
        "base_work collect each",
    );
    one(broken(|it| it.offer.usual.channel = no()), "usual  channel");
    for question in [
        "fault.nothing >= 1",
        "group.nothing >= 1",
        "cue.nothing",
        "material = wool",
    ] {
        let atom: Condition = question.parse().unwrap();
        let found = broken(|it| it.rules[0].when[0].push(atom));
        one(found, "rule picture_of_wood when");
    }
}

#[test]
fn a_word_that_is_nearly_right_is_put_right() {
    let mut book = TradeBook::parse().unwrap();
    book.tags[0].fix[0].method = "veneer_patsh".to_owned();
    let fault = faults_of(&book).remove(0);
    assert_eq!(
        fault.message,
        "`veneer_patsh` is not a method of the trade book"
    );
    assert_eq!(fault.help.unwrap(), "did you mean `veneer_patch`?");
}

#[test]
fn figures_out_of_order_are_found() {
    let one = |found: Vec<String>, place: &str| assert_eq!(found, [place], "{place}");
    one(
        broken(|it| it.methods[0].hours = [2.0, 1.0, 3.0]),
        "method quarantine hours",
    );
    one(
        broken(|it| it.methods[0].hours[0] = 0.0),
        "method quarantine hours",
    );
    one(
        broken(|it| it.methods[0].wait_hours[0] = -1.0),
        "method quarantine wait_hours",
    );
    one(
        broken(|it| it.methods[0].cost[2] = f64::NAN),
        "method quarantine cost",
    );
    one(
        broken(|it| it.paths[1].materials.reverse()),
        "path clean_wax materials",
    );
    one(
        broken(|it| it.offer.channels[1].share[2] = 150.0),
        "channel marketplace share",
    );
    one(broken(|it| it.offer.usual.margin = 400.0), "usual  ");
    one(
        broken(|it| it.face_bands[1].from_mm = 0.6),
        "face_band 0.6 from_mm",
    );
    one(
        broken(|it| it.face_bands.truncate(3)),
        "face_band 0.9 below_mm",
    );
    one(
        broken(|it| it.grit_runs[0].grits.reverse()),
        "grit_run 180-150-120 takes_mm",
    );
    one(
        broken(|it| it.grit_runs.swap(0, 1)),
        "grit_run 120-150-180 takes_mm",
    );
    one(
        broken(|it| it.woods[0].shrinkage = Some([7.3, 4.4])),
        "wood red_alder shrinkage",
    );
    one(
        broken(|it| it.tags[0].disclose_from = 5),
        "tag veneer_lift disclose_from",
    );
    one(
        broken(|it| it.tags[0].levels[3] = None),
        "tag veneer_lift levels",
    );
    one(
        broken(|it| it.cues[0].weight = 4),
        "cue looks_like_wood weight",
    );
}

#[test]
fn what_contradicts_itself_is_found() {
    let has = |found: Vec<String>, place: &str| {
        assert!(found.iter().any(|it| it == place), "{place}: {found:?}");
    };
    has(
        broken(|it| it.cues[0].id = "white_mark".to_owned()),
        "cue white_mark id",
    );
    has(
        broken(|it| it.tags[0].id = "sound".to_owned()),
        "tag sound id",
    );
    has(
        broken(|it| it.tags[0].id = "Lift".to_owned()),
        "tag Lift id",
    );
    has(
        broken(|it| it.tags[1].synonyms.push("scratch".to_owned())),
        "tag veneer_blister synonyms",
    );
    has(
        broken(|it| it.paths[1].hides.push("grime".to_owned())),
        "path clean_wax hides",
    );
    has(
        broken(|it| it.paths[1].steps.swap(1, 2)),
        "path clean_wax steps",
    );
    has(
        broken(|it| it.rules[0].opens.clear()),
        "rule picture_of_wood opens",
    );
    has(
        broken(|it| it.rules[0].look = None),
        "rule picture_of_wood look",
    );
    has(
        broken(|it| it.rules[0].when.clear()),
        "rule picture_of_wood when",
    );
    has(
        broken(|it| {
            let gate = it.rules.iter_mut().find(|it| it.role == Role::Gate);
            gate.unwrap().opened_by = None;
        }),
        "rule coat_not_tested opened_by",
    );
    has(
        broken(|it| it.offer.stops[0].when.clear()),
        "stop live_beetle when",
    );
    has(broken(|it| it.offer.surfaces.clear()), "form desk ");
    // Paint before its own primer and after it.
    has(
        broken(|it| {
            let mut turned = it
                .orders
                .iter()
                .find(|it| it.id == "prime_before_paint")
                .unwrap()
                .clone();
            turned.id = "turned".to_owned();
            std::mem::swap(&mut turned.first, &mut turned.then);
            it.orders.push(turned);
        }),
        "order turned ",
    );
}
