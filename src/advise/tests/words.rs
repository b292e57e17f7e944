//! Cases in a few words.

use crate::advise::part::facts::Facts;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::PathAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::paths::paths;
use crate::assess::assessment::Assessment;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::model::mark::Mark;
use crate::model::photo::Stage;
use crate::trade;

/// A top that is solid, veneered with this thickness, or covered.
pub(crate) const SOLID: &str = "end_grain_runs figure_both_sides";

/// A chest whose top, sides and drawers were looked at; each word is `[part!]tag[:level][=size]` on the top when no part is
/// given, with `_` for a blank, or `worth=fine`, `wish=lighter`, `done=strip` (for the first fault).
pub(crate) fn chest(words: &str) -> Build {
    let mut build = Build::chest().shoot(Stage::Purchase, "2026-03-14");
    let mut marks: Vec<Mark> = ["top", "side-left", "drawer-1", "frame"]
        .map(|it| mark("sound", it))
        .into();
    for word in words.split_whitespace() {
        if let Some(worth) = word.strip_prefix("worth=") {
            build.case.piece.market.worth = Some(worth.parse().unwrap());
        } else if let Some(wish) = word.strip_prefix("wish=") {
            build.case.piece.market.wish = Some(wish.parse().unwrap());
        } else if let Some(method) = word.strip_prefix("done=") {
            build = build.repair("2026-04-01", &[1]);
            method.clone_into(&mut build.case.repairs.last_mut().unwrap().method);
        } else {
            marks.push(a_mark(word));
        }
    }
    build.photo("", &[], marks)
}

fn a_mark(word: &str) -> Mark {
    let (part, rest) = word.split_once('!').unwrap_or(("top", word));
    let (rest, size) = match rest.split_once('=') {
        Some((rest, size)) => (rest, Some(size.replace('_', " "))),
        None => (rest, None),
    };
    let (tag, level) = match rest.split_once(':') {
        Some((tag, level)) => (tag, Some(level.parse().unwrap())),
        None => (rest, None),
    };
    let marked = Mark {
        level,
        size,
        ..mark(tag, part)
    };
    assert!(
        trade::book().tag(tag).is_some() || trade::book().cue(tag).is_some(),
        "{tag}"
    );
    marked.which("")
}

/// The facts of a part.
pub(crate) fn facts(it: &Assessment, part: &str) -> Facts {
    Facts::of(it, &part.parse().unwrap(), trade::book())
}

/// The advice on a part.
pub(crate) fn advice(it: &Assessment, part: &str) -> PartAdvice {
    let advice = paths(it, trade::book());
    let found = advice.into_iter().find(|it| it.part.as_str() == part);
    found.unwrap()
}

/// The advice on the top.
pub(crate) fn top(words: &str) -> PartAdvice {
    advice(&chest(words).assess(), "top")
}

impl PartAdvice {
    /// One path of it.
    pub(crate) fn path(&self, id: &str) -> &PathAdvice {
        let found = self.paths.iter().find(|it| it.path == id);
        found.unwrap()
    }

    /// The paths of one verdict, in the book's order.
    pub(crate) fn with(&self, verdict: Verdict) -> Vec<&str> {
        let order = trade::book().paths.iter().map(|it| it.id.as_str());
        order
            .filter(|it| self.path(it).verdict == verdict)
            .collect()
    }
}

impl PathAdvice {
    /// Whether this rule is among its reasons.
    pub(crate) fn by(&self, rule: &str) -> bool {
        self.reasons.iter().any(|it| it.rule == rule)
    }
}
