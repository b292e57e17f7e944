//! Every word of the trade that the code names stands in the data.
//!
//! A rule that hangs on an id goes silent when the id is misspelled or renamed in the data. So every literal of one word
//! in the rooms whose rules read the trade book must stand in it, or on the list of words here that are none of its ids.

use std::collections::BTreeSet;

use crate::tidy::code_of;
use crate::tidy::files;
use crate::tidy::is_test;
use crate::tidy::read;

/// Words in the rooms of rules that are no ids: values of facts, codes of gaps, units, words of sentences.
const NO_IDS: &str = "
    about anybody below bleeds body both brought_part_absent calm centre child chosen claim_without_evidence cot danger daylight
    days_out_of_order ended_without_work evidence fault_without_picture finding fine flash flat ft gilt here hourly_rate inner lamp
    later level_unlike_its_place level_unlike_its_size looks_at_odds lower made material_without_picture mend_text middle mm2 no_examiner no_front no_identity no_size
    no_tip_over_line not_examined not_for_this_part not_looked_at note nothing_unexamined now odour_ ordinary
    part_absent_after_repair part_without_statement parts patina photo_without_view places_in_conflict plain plan plinth polyurethane possible post
    quarter reasons repair_before_its_fault repair_before_purchase repair_on_absent_part repair_without_picture report ruled_out sanding
    sawn say_part say_view show show_repair sidecar_not_in_force size_unlike_its_place still summer take_views tell_buyer tell_damage tell_result waits
    told_as_one too underside unknown upper which why window winter wobble_without_number worsens yes";

/// The same in rooms that name ids only now and then: words with an underscore.
const NO_IDS_ELSEWHERE: &str = "common_practice defect_ no_finding no_scripts not_examined not_kept private_note seal_holds seen_besides taken_back three_quarter to_whom wrong_now";

/// Words in quotes of their own in a line, such as `"veneer_patch"`.
fn quoted(line: &str) -> Vec<String> {
    let plain = |it: &&str| {
        let first = it.starts_with(|c: char| c.is_ascii_lowercase());
        let rest = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
        first && it.chars().all(rest)
    };
    let mut words = Vec::new();
    let pieces: Vec<&str> = line.split('"').collect();
    // A piece between two quotes; where quotes are escaped, text between two texts is taken too, which does no harm.
    for piece in pieces.iter().skip(1).take(pieces.len().saturating_sub(2)) {
        words.extend(Some(*piece).filter(plain).map(str::to_owned));
    }
    words
}

/// The words that the data names.
fn data() -> BTreeSet<String> {
    let texts = files("src/trade", "toml").into_iter().map(read);
    let words = texts.flat_map(|it| it.lines().flat_map(quoted).collect::<Vec<_>>());
    words.collect()
}

/// The words of one kind in the code of a room, each with the file that names it.
fn named(room: &str, counts: impl Fn(&str) -> bool) -> BTreeSet<(String, String)> {
    let mut named = BTreeSet::new();
    for path in files(&format!("src/{room}"), "rs") {
        if is_test(&path) {
            continue;
        }
        let text = read(&path);
        for line in code_of(&text).lines() {
            let line = line.split("//").next().unwrap();
            // An attribute names fields of an answer and the functions that write them.
            let line = if line.trim_start().starts_with("#[") {
                ""
            } else {
                line
            };
            let words = quoted(line).into_iter().filter(|it| counts(it));
            named.extend(words.map(|it| (it, path.display().to_string())));
        }
    }
    named
}

fn check(rooms: &[&str], no_ids: &str, counts: impl Fn(&str) -> bool) {
    let data = data();
    let mut spare: BTreeSet<&str> = no_ids.split_whitespace().collect();
    let no_ids = spare.clone();
    let mut unknown = Vec::new();
    for room in rooms {
        for (word, path) in named(room, &counts) {
            if data.contains(&word) {
                continue;
            }
            spare.remove(word.as_str());
            if !no_ids.contains(word.as_str()) {
                unknown.push(format!("{path}: \"{word}\""));
            }
        }
    }
    assert!(
        unknown.is_empty(),
        "no entry of the trade book:\n{}\n",
        unknown.join("\n")
    );
    assert!(spare.is_empty(), "no longer in the code: {spare:?}");
}

#[test]
fn every_word_that_a_rule_names_stands_in_the_trade_book() {
    check(&["assess", "advise"], NO_IDS, |_| true);
}

#[test]
fn every_long_word_that_other_rooms_name_stands_in_the_trade_book() {
    let rooms = ["compare", "report", "work"];
    check(&rooms, NO_IDS_ELSEWHERE, |it| it.contains('_'));
}

#[test]
fn words_are_taken_out_of_a_line() {
    assert_eq!(quoted("(\"pull_odd\", 1, \"a text\"),"), ["pull_odd"]);
    assert_eq!(quoted("Some(\"solid\") => \"wood\""), ["solid", "wood"]);
    assert_eq!(quoted("no word at all"), Vec::<String>::new());
}
