//! Every rule of the book: a case in which it applies, and one close by in which it does not. The cases are the trade's
//! (common practice, no source).

use std::collections::BTreeSet;

use super::rule_cases;
use super::rule_cases_of_work;
use crate::advise::part::truth::Truth;
use crate::advise::refinish::advice::Verdict;
use crate::advise::tests::words::advice;
use crate::advise::tests::words::chest;
use crate::advise::tests::words::facts;
use crate::trade;
use crate::trade::entry::path::Role;

#[test]
fn every_rule_applies_in_its_case_and_does_what_it_says() {
    let book = trade::book();
    let mut met = BTreeSet::new();
    for (id, part, words, other, answer) in
        { rule_cases::CASES.into_iter() }.chain(rule_cases_of_work::CASES)
    {
        let rule = book.rules.iter().find(|it| it.id == id).unwrap();
        met.insert(id);
        let told = chest(words).assess();
        let facts = facts(&told, part);
        assert_eq!(facts.applies(rule), Truth::Yes, "{id}: {words}");
        let near = chest(other).assess();
        let near = crate::advise::tests::words::facts(&near, part);
        assert_eq!(near.applies(rule), answer, "{id}: {other}");
        let advice = advice(&told, part);
        for path in &rule.shuts {
            let path = advice.path(path);
            match rule.role {
                Role::Gate => assert_ne!(path.verdict, Verdict::Open, "{id}: {}", path.path),
                _ => assert!(
                    path.verdict == Verdict::Shut && path.by(id),
                    "{id}: {}",
                    path.path
                ),
            }
        }
        for path in &rule.prefers {
            let path = advice.path(path);
            assert!(
                path.by(id) || path.verdict != Verdict::Open,
                "{id}: {}",
                path.path
            );
        }
        if rule.role == Role::Material {
            let open = advice.with(Verdict::Open);
            let named = |it: &&str| rule.opens.iter().any(|open| open == it);
            let always = |it: &&str| book.path(it).unwrap().always;
            assert!(
                open.iter().all(|it| named(it) || always(it)),
                "{id}: {open:?}"
            );
        }
        assert!(
            rule.never.iter().all(|it| advice.never.contains(it)),
            "{id}"
        );
    }
    let all: BTreeSet<&str> = book.rules.iter().map(|it| it.id.as_str()).collect();
    assert_eq!(met, all, "a rule without a case, or a case without a rule");
}
