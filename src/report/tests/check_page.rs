//! The check page says in every language what it says in English.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::model::photo::Stage;
use crate::report::check_page;

/// What the page says in other languages, by language and its English.
type Said = BTreeMap<String, BTreeMap<String, String>>;

/// Of the page itself.
fn said() -> Said {
    let data = between(check_page(), "const SAID = ", ";\n\n// ---- said so far");
    serde_json::from_str(data).unwrap()
}

/// Of what its checks find.
fn found() -> Said {
    let data = between(check_page(), "const FOUND = ", ";\n\n// ---- found so far");
    serde_json::from_str(data).unwrap()
}

fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let text = text.split_once(from).unwrap().1;
    text.split_once(to).unwrap().0
}

/// What stands between double quotes behind each of these.
fn quoted(text: &str, behind: &str) -> Vec<String> {
    let all = text.split(behind).skip(1);
    let all = all.map(|it| it.split('"').next().unwrap().to_owned());
    all.collect()
}

/// Everything that the page says in the reader's language, by its English.
fn wanted() -> BTreeSet<String> {
    let page = check_page();
    let mut all = BTreeSet::new();
    for it in page.split(" data-say>").skip(1) {
        let closed = [
            "</p>",
            "</li>",
            "</label>",
            "</h",
            "</a>",
            "</title>",
            "</footer>",
        ];
        let ends = closed.iter().filter_map(|end| it.find(end));
        let text = &it[..ends.min().unwrap()];
        all.insert(text.replace("<code>", "`").replace("</code>", "`"));
    }
    for it in page.split(" data-say-label").collect::<Vec<_>>().windows(2) {
        if let Some((_, label)) = it[0].rsplit_once("aria-label=\"") {
            all.extend(label.strip_suffix('"').map(str::to_owned));
        }
    }
    all.extend(quoted(page, "say(\""));
    for name in ["LABELS", "HOW", "MEANING"] {
        let table = between(page, &format!("const {name} = {{"), "};");
        all.extend(quoted(table, ": \""));
    }
    // The verdicts are the names of their meanings; two meanings are chosen by a letter.
    let verdicts = [
        "intact, not time-stamped",
        "intact, time stamp not judged",
        "incomplete",
        "altered",
    ];
    all.extend(verdicts.map(str::to_owned));
    for heads in page
        .split(".map((it) => say(it))")
        .map(|it| it.rsplit('[').next().unwrap())
    {
        if heads.ends_with(']') {
            all.extend(heads.split('"').skip(1).step_by(2).map(str::to_owned));
        }
    }
    all.insert("Now choose the dossier.".to_owned());
    all.extend(Stage::ALL.map(|it| it.0.word().to_owned()));
    all.extend(["here", "not here", "removed"].map(str::to_owned));
    for why in because(page) {
        all.insert(format!("left out ({why})"));
    }
    all
}

/// What its checks find: every text behind the tag `t`, with what it puts in as `{1}`, `{2}` ...
fn told(page: &str) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for (at, _) in page.match_indices("t`") {
        let before = page[..at].chars().next_back();
        if before.is_some_and(|it| it.is_alphanumeric() || it == '_') {
            continue;
        }
        let (mut said, mut puts, mut depth) = (String::new(), 0, 0);
        let mut rest = page[at + 2..].chars().peekable();
        while let Some(it) = rest.next() {
            match (it, depth) {
                ('`', 0) => break,
                ('$', 0) if rest.next_if_eq(&'{').is_some() => {
                    (puts, depth) = (puts + 1, 1);
                    said.push_str(&format!("{{{puts}}}"));
                }
                ('{', 1..) => depth += 1,
                ('}', 1..) => depth -= 1,
                (it, 0) => said.push(it),
                _ => {}
            }
        }
        all.insert(said);
    }
    all
}

/// Why a line or file may be left out.
fn because(page: &str) -> Vec<String> {
    told(between(page, "const WHY = {", "};"))
        .into_iter()
        .collect()
}

/// Both languages have just these, with the same numbers and code in each, and none is left in English.
fn whole(said: Said, wanted: &BTreeSet<String>) {
    assert_eq!(said.keys().collect::<Vec<_>>(), ["de", "fr"]);
    for (language, said) in said {
        let there: BTreeSet<String> = said.keys().cloned().collect();
        let lacks: Vec<_> = wanted.difference(&there).collect();
        let left_over: Vec<_> = there.difference(wanted).collect();
        assert!(
            lacks.is_empty() && left_over.is_empty(),
            "{language}: lacks {lacks:#?}; left over {left_over:#?}"
        );
        for (english, other) in said {
            let french = ["Photo", "Photos", "Occasion", "photo"];
            let same = language == "fr" && french.contains(&&*english)
                || ["{1}.", "{1}: {2}"].contains(&&*english);
            assert!(english != other || same, "{language}: {english}");
            let puts =
                |text: &str| [1, 2, 3, 4, 5].map(|n| text.matches(&format!("{{{n}}}")).count());
            assert_eq!(puts(&english), puts(&other), "{language}: {english}");
            let codes = |text: &str| -> Vec<String> {
                let codes = text.split('`').skip(1).step_by(2);
                codes.map(str::to_owned).collect()
            };
            assert_eq!(codes(&english), codes(&other), "{language}: {english}");
        }
    }
}

#[test]
fn the_page_says_everything_in_every_language_and_nothing_else() {
    let wanted = wanted();
    assert!(wanted.len() > 80, "{wanted:?}");
    whole(said(), &wanted);
}

#[test]
fn what_its_checks_find_is_told_in_every_language() {
    let wanted = told(check_page());
    assert!(wanted.len() > 150, "{wanted:?}");
    whole(found(), &wanted);
    // All that is noted is such a text.
    for how in ["told", "wrong", "missing", "unchecked", "close"] {
        for note in check_page().split(&format!("notes.{how}(")).skip(1) {
            let about = note.split_once(", ").unwrap().1;
            assert!(!about.starts_with(['"', '`']), "{about:.80}");
        }
    }
}
