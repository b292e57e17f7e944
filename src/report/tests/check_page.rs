//! The check page says in every language what it says in English, but for the single sentences of its checks.

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
    let why = "No letter can be read in it: nowhere stands the word “root” and 64 digits after it.";
    all.extend([why, "Now choose the dossier."].map(str::to_owned));
    all.extend(Stage::ALL.map(|it| it.0.word().to_owned()));
    all.extend(["here", "not here", "removed"].map(str::to_owned));
    for why in quoted(between(page, "const WHY = {", "};"), ": \"") {
        all.insert(format!("left out ({why})"));
    }
    all
}

/// What is told beside what is good.
const BESIDE: [&str; 9] = [
    "No seal is time-stamped.",
    "{1} seals have a time stamp. This page sees that each is for its seal, but does not judge who made it and when; “CHECK.txt”, step 8, says how.",
    "{1} of {2} private parts are kept back; of these there are only digests, which tell nothing",
    "No line vouches for these {1} files; they are the presenter's own words, or were made from the rest: {2}.",
    "There is nothing but what lines vouch for.",
    "No seal covers these {1} files: {2}.",
    "{1} of {2} originals enclosed.",
    "{1} of {2} sidecars enclosed.",
    "line {1}: the sidecar of photo {2} is left out (replaced by a later one)",
];

/// What a check says where all is good, with its numbers as `{1}` and `{2}`.
fn good(page: &str) -> Vec<String> {
    let all = page.split("notes.close(").skip(1);
    let all = all.filter_map(|it| {
        let text = it.split_once(", ")?.1;
        let quote = text.chars().next()?;
        let text = text[1..].split_once(&format!("{quote});"))?.0;
        let mut parts = text.split("${");
        let mut said = parts.next()?.to_owned();
        for (n, part) in parts.enumerate() {
            // An expression may hold braces of its own, but none of these does.
            said.push_str(&format!("{{{}}}{}", n + 1, part.split_once('}')?.1));
        }
        Some(said)
    });
    let all: Vec<String> = all.collect();
    assert!(all.len() > 20, "{all:?}");
    all
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
            let same = language == "fr" && ["Photo", "Photos", "Occasion"].contains(&&*english);
            assert!(english != other || same, "{language}: {english}");
            let puts = |text: &str| ["{1}", "{2}"].map(|it| text.matches(it).count());
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

/// A dossier in which all is good is told in the reader's language alone.
#[test]
fn what_is_good_is_told_in_every_language() {
    let mut wanted: BTreeSet<String> = good(check_page()).into_iter().collect();
    wanted.extend(BESIDE.map(str::to_owned));
    whole(found(), &wanted);
}
