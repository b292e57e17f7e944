//! What holds for every case.

use std::collections::BTreeSet;

use proptest::prelude::*;
use proptest::sample::Index;
use proptest::sample::subsequence;

use crate::advise::part::context::set;
use crate::advise::part::facts::Facts;
use crate::advise::part::span::Span;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::paths::judge;
use crate::advise::tests::words::chest;
use crate::advise::tests::words::facts;
use crate::assess::assessment::Assessment;
use crate::assess::material::dating::LATER;
use crate::trade;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::condition::Op;
use crate::trade::entry::path::Rule;

/// Words of cases; those with a colon are faults.
pub(super) const POOL: [&str; 62] = [
    "crazing:3",
    "veneer_sand_through:1",
    "veneer_sheet_loose:2",
    "veneer_lift:2",
    "ink_dye_stain:2",
    "gouge:3",
    "dent:2",
    "burn:4",
    "lead_paint:4",
    "wobble:3",
    "silicone_suspected:2",
    "inlay_loss:2",
    "chips_seen",
    "fin_paint",
    "fin_bare",
    "hidden_decoration",
    "ply_layers=0.4_mm",
    "worn_through:2",
    "layer_line",
    "layer_line=0.45_mm",
    "veneer_thin=0.7_mm",
    "veneer_thick",
    "end_grain_runs",
    "figure_both_sides",
    "book_match",
    "ply_layers",
    "chips_seen",
    "dots_or_no_pores",
    "chip_shows_paper",
    "painted_grain",
    "marks_veneer_saw",
    "fin_alcohol",
    "fin_thinner",
    "fin_neither",
    "fin_soaks",
    "patina_kept",
    "refin_clean_corners",
    "refin_drips_hidden",
    "worth=fine",
    "worth=good",
    "worth=ordinary",
    "wish=lighter",
    "drawer-1!dovetail_machine",
    "drawer-1!pin_and_cove",
    "drawer-1!screw_hand",
    "drawer-1!cam_locks",
    "crazing:2",
    "flaking:3",
    "white_mark:2",
    "dark_stain:2",
    "overpaint:2",
    "lead_paint:1",
    "lead_paint:2",
    "veneer_missing:3",
    "veneer_blister:4",
    "veneer_chip:3",
    "sticky_finish:3",
    "loose_joint:3",
    "drawer-5!worm_active:1",
    "mould_growth:2",
    "grime:1",
    "veneer_sand_through:3",
];

fn a_case() -> impl Strategy<Value = String> {
    subsequence(POOL.to_vec(), 0..10).prop_map(|words| words.join(" "))
}

fn rules() -> Vec<&'static Rule> {
    trade::book().rules.iter().collect()
}

fn judged(facts: &Facts, it: &Assessment) -> PartAdvice {
    judge(facts, &it.findings, trade::book(), &rules())
}

fn open(advice: &PartAdvice) -> BTreeSet<String> {
    let open = advice.paths.iter().filter(|it| it.verdict == Verdict::Open);
    open.map(|it| it.path.clone()).collect()
}

/// Tags of which a rule asks that they are low, so that more of them may open what was shut; `overpaint` tells besides that
/// the coat is not the first one, some tell what the face is, and some that a clue to the time is not the piece's own: where clues
/// contradicted each other, the others are then believed.
fn asked_to_be_low() -> BTreeSet<&'static str> {
    let atoms = trade::book()
        .rules
        .iter()
        .flat_map(|it| it.when.iter().flatten());
    let low = atoms.filter_map(|it| match it {
        Condition::Fault {
            tag,
            op: Op::Less | Op::AtMost | Op::Equal,
            ..
        } => Some(tag.as_str()),
        _ => None,
    });
    let tells = trade::book().tags.iter().filter(|it| it.settles.is_some());
    let later = LATER.iter().map(|it| it.0);
    low.chain(["overpaint"])
        .chain(later)
        .chain(tells.map(|it| it.id.as_str()))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_not_open_says_why(words in a_case()) {
        let told = chest(&words).assess();
        for part in crate::advise::refinish::paths::paths(&told, trade::book()) {
            prop_assert_eq!(part.paths.len(), trade::book().paths.len());
            for path in &part.paths {
                match path.verdict {
                    Verdict::Open => {}
                    Verdict::AfterWork => prop_assert!(!path.opened_by.is_empty(), "{}", path.path),
                    Verdict::Waiting => prop_assert!(!path.look.is_empty(), "{}", path.path),
                    Verdict::Shut => {}
                }
                prop_assert!(path.verdict == Verdict::Open || !path.reasons.is_empty(), "{}", path.path);
                prop_assert!(path.reasons.iter().all(|it| !it.why.is_empty()));
                let all = path.removes.len() + path.hides.len() + path.leaves.len();
                prop_assert!(path.tell.iter().all(|it| !path.removes.contains(it)) && path.tell.len() <= all);
            }
        }
    }

    #[test]
    fn the_order_of_the_rules_changes_nothing(words in a_case(), mixed in Just(rules()).prop_shuffle()) {
        let told = chest(&words).assess();
        let facts = facts(&told, "top");
        prop_assert_eq!(judged(&facts, &told), judge(&facts, &told.findings, trade::book(), &mixed));
    }

    /// Unknown is never better than the worse case: what is open while something is not known is open whatever it turns out to be.
    #[test]
    fn nothing_is_open_that_a_closer_look_could_shut(
        words in a_case(),
        choice in prop::collection::vec(any::<Index>(), 12),
        face in 0.0..3.0f64,
        year in 1700i16..2020,
        which in prop::collection::vec(any::<bool>(), 12),
    ) {
        let told = chest(&words).assess();
        let unknown = facts(&told, "top");
        let mut known = unknown.clone();
        for ((words, at), take) in known.words.values_mut().zip(&choice).zip(&which) {
            let list: Vec<String> = words.iter().cloned().collect();
            if *take {
                *words = set(&[&list[at.index(list.len())]]);
            }
        }
        if which[10] && unknown.face.holds(face) {
            known.face = Span::exactly(face);
        }
        if which[11] && unknown.made.holds(f64::from(year)) {
            known.made = Span::exactly(f64::from(year));
        }
        let (before, after) = (open(&judged(&unknown, &told)), open(&judged(&known, &told)));
        prop_assert!(before.is_subset(&after), "{words}: {:?} of {before:?}", before.difference(&after));
    }

    #[test]
    fn a_fault_more_opens_nothing(words in a_case(), tag in any::<Index>(), level in 1u8..=4) {
        let book = trade::book();
        let low = asked_to_be_low();
        // Faults of the finish make a coat less worth keeping, as a rule on the worst of them says.
        let tags = book.tags.iter().filter(|it| !low.contains(it.id.as_str()) && it.group != "finish");
        let tags: Vec<&str> = tags.map(|it| it.id.as_str()).collect();
        let tag = tags[tag.index(tags.len())];
        let (less, more) = (chest(&words).assess(), chest(&format!("{words} {tag}:{level}")).assess());
        let (before, after) = (facts(&less, "top"), facts(&more, "top"));
        let (before, after) = (open(&judged(&before, &less)), open(&judged(&after, &more)));
        prop_assert!(after.is_subset(&before), "{words} and {tag}:{level}: {:?}", after.difference(&before));
    }
}
