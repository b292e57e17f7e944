//! What a condition record holds, item by item, and where the report of the demo says it.
//!
//! Sources: EN 16095:2012, its public scope (essential contents of a condition report; the list itself is not public, so what is named after it is
//! from memory and says so); Spectrum 5, Condition checking and technical assessment, and its units of information, Collections Trust;
//! AIC, Commentaries to the Guidelines for Practice 24 and 25 (documentation of examination), read 2026 from their public pages.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use crate::demo::demo;
use crate::oracle_page::unlinked;

/// No field of a record holds: who did each repair and the light of each picture (a note or a view may say it), the day of the next
/// check (Spectrum: condition check due date), the air at the time of the check (AIC 25: environment). The table is not complete.
///
/// An item, its source, the section (`header` for the head of the page) and what stands there.
const ITEMS: [(&str, &str, &str, &str); 26] = [
    (
        "number of the object",
        "Spectrum: object number",
        "header",
        "<b>26-001</b>",
    ),
    (
        "short description",
        "Spectrum: brief description; AIC 24 B",
        "header",
        "<h1",
    ),
    (
        "dimensions",
        "AIC 25: data by direct observation",
        "header",
        "900 mm",
    ),
    (
        "date of the check",
        "Spectrum: condition check date",
        "header",
        "14 March 2026, purchase",
    ),
    (
        "who examined",
        "Spectrum: condition checker; AIC 24 B",
        "header",
        "Examined by",
    ),
    (
        "reason for the check",
        "Spectrum: reason; AIC 25: purposes and circumstances",
        "header",
        "Made for",
    ),
    (
        "date of the record",
        "AIC 24 B: date",
        "header",
        "made on 26 May 2026",
    ),
    (
        "summary of the condition",
        "Spectrum: condition",
        "glance",
        "Still there (F11, F12 seen once): 2",
    ),
    (
        "fitness for use and moving",
        "Spectrum: recommendation for use; EN 16095 from memory",
        "glance",
        "May it be used?",
    ),
    (
        "packing and handling",
        "Spectrum: handling recommendation",
        "glance",
        "To pack and carry",
    ),
    (
        "location of each fault",
        "EN 16095 from memory: location; AIC 25: annotated pictures",
        "drawn",
        "<svg class=\"plan wide\"",
    ),
    (
        "extent of each fault",
        "EN 16095 from memory: extent",
        "state",
        "<dt>Measure</dt>",
    ),
    (
        "severity of each fault",
        "EN 16095 from memory: severity",
        "state",
        "<dt>Level</dt>",
    ),
    (
        "kind of each fault",
        "EN 16095 from memory: type of damage",
        "state",
        "Wood is torn or cut away",
    ),
    (
        "change through time",
        "Spectrum: audit trail of changes",
        "state",
        "<b>24 May 2026, delivery</b>",
    ),
    (
        "past treatment",
        "AIC 25: evidence of past treatment",
        "changed",
        "Repair 4: ",
    ),
    (
        "material added by treatment",
        "AIC 25: materials of treatment, from memory",
        "changed",
        "New material",
    ),
    (
        "comparable pictures",
        "AIC 25: annotated photographs",
        "views",
        "<p class=\"about\">",
    ),
    (
        "materials and technique",
        "AIC 25: materials, structure",
        "made",
        "Veneered",
    ),
    (
        "observation apart from interpretation",
        "AIC 25: distinguish both",
        "seen",
        "Note: ",
    ),
    (
        "what was not examined",
        "EN 16095 from memory: limits of the examination",
        "unexamined",
        "Not pulled out",
    ),
    (
        "tests not made",
        "AIC 25: methods of testing",
        "unexamined",
        "Not tested",
    ),
    (
        "methods of examination",
        "AIC 25: methods; Spectrum: method",
        "method",
        "Low side light",
    ),
    (
        "completeness, part by part",
        "Spectrum: completeness",
        "parts",
        "Schedule of parts",
    ),
    (
        "environment and care",
        "Spectrum: environmental recommendation",
        "safety",
        "relative humidity",
    ),
    (
        "pictures with date and identity",
        "Spectrum: reproduction; AIC 24 B",
        "pictures",
        "54ea8d2c617426f5067cc726139c20b5f637e587a670095194eaa51305293959",
    ),
];

#[test]
fn the_report_holds_what_a_condition_record_holds() {
    let page = unlinked(&std::fs::read_to_string(&demo().report).unwrap());
    let section = |id: &str| {
        let (from, to) = match id {
            "header" => ("<header>".to_owned(), "</header>"),
            _ => (format!("<section id=\"{id}\""), "</section>"),
        };
        let rest = page
            .split_once(&from)
            .unwrap_or_else(|| panic!("no {id}"))
            .1;
        rest.split_once(to).unwrap().0
    };
    for (item, source, id, text) in ITEMS {
        assert!(
            section(id).contains(text),
            "{item} ({source}) is not in {id}"
        );
    }
}
