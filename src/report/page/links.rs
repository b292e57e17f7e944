//! Numbers of pictures, findings and repairs become links to where these stand.

use std::collections::BTreeSet;

use crate::tongue::Language;

/// Elements in which nothing is linked: what is no text for readers, and what leads somewhere already.
const CLOSED: [&str; 11] = [
    "a", "code", "h1", "h2", "h3", "h4", "head", "script", "style", "summary", "svg",
];
/// The class of a list of bare numbers of pictures.
const NUMBERS: &str = "<span class=\"nos\">";

/// Words before numbers, in small letters, and with what their anchors begin.
const KINDS: [(&str, &str); 4] = [
    ("picture", "picture"),
    ("pictures", "picture"),
    ("repair", "repair"),
    ("repairs", "repair"),
];
const GERMAN: [(&str, &str); 5] = [
    ("bild", "picture"),
    ("bilder", "picture"),
    ("bildern", "picture"),
    ("reparatur", "repair"),
    ("reparaturen", "repair"),
];
const FRENCH: [(&str, &str); 4] = [
    ("image", "picture"),
    ("images", "picture"),
    ("réparation", "repair"),
    ("réparations", "repair"),
];

/// The words of a page in this language, and of its sections in English.
fn kinds(language: Language) -> Vec<(&'static str, &'static str)> {
    let own: &[(&str, &str)] = match language {
        Language::English => &[],
        Language::German => &GERMAN,
        Language::French => &FRENCH,
    };
    [&KINDS, own].concat()
}

/// The page with a link at every number that has its anchor on the page; its words stay as they are.
pub(in crate::report) fn linked(html: &str, language: Language) -> String {
    let kinds = kinds(language);
    let anchors = Anchors::of(html);
    let mut page = String::with_capacity(html.len() + html.len() / 8);
    let mut open: Vec<&str> = Vec::new();
    let mut bare = false;
    let mut rest = html;
    while let Some(at) = rest.find('<') {
        let (text, tag) = rest.split_at(at);
        match (open.is_empty(), bare) {
            (true, true) => numbers(text, "picture", &anchors, &mut page),
            (true, false) => words(text, &kinds, &anchors, &mut page),
            (false, _) => page.push_str(text),
        }
        let end = tag.find('>').map_or(tag.len(), |it| it + 1);
        let (tag, after) = tag.split_at(end);
        page.push_str(tag);
        bare = tag == NUMBERS || (bare && tag != "</span>");
        let name = tag.trim_start_matches(['<', '/']);
        let name = name.split([' ', '>', '\n']).next().unwrap_or_default();
        if let Some(closed) = CLOSED.iter().find(|it| **it == name) {
            match tag.starts_with("</") {
                true if open.last() == Some(closed) => {
                    open.pop();
                }
                true => {}
                false => open.push(closed),
            }
        }
        rest = after;
    }
    page.push_str(rest);
    page
}

/// What stands on the page to be led to.
struct Anchors<'a>(BTreeSet<&'a str>);

impl<'a> Anchors<'a> {
    /// The page is read once: with its pictures inside it is megabytes long.
    fn of(html: &'a str) -> Self {
        let names = html.split(" id=\"").skip(1);
        Self(names.filter_map(|it| it.split('"').next()).collect())
    }
}

/// A text between two tags.
fn words(text: &str, kinds: &[(&str, &str)], anchors: &Anchors<'_>, page: &mut String) {
    let mut rest = text;
    while !rest.is_empty() {
        let end = rest.find(|it: char| !it.is_alphanumeric());
        let (word, after) = rest.split_at(end.unwrap_or(rest.len()));
        if word.is_empty() {
            let letter = rest.chars().next().map_or(0, char::len_utf8);
            page.push_str(&rest[..letter]);
            rest = &rest[letter..];
            continue;
        }
        let lower = word.to_lowercase();
        if let Some((_, kind)) = kinds.iter().find(|it| it.0 == lower)
            && let Some(listed) = list_end(after)
        {
            page.push_str(word);
            numbers(&after[..listed], kind, anchors, page);
            rest = &after[listed..];
            continue;
        }
        match word.strip_prefix('F').filter(|it| is_number(it)) {
            Some(no) => link(&format!("finding-{no}"), word, anchors, page),
            None => page.push_str(word),
        }
        rest = after;
    }
}

fn is_number(text: &str) -> bool {
    !text.is_empty() && text.len() < 6 && text.bytes().all(|it| it.is_ascii_digit())
}

/// Where a list such as ` 4, 5 to 7 and 13` ends; `None` where none begins.
fn list_end(text: &str) -> Option<usize> {
    let mut at = 0;
    let mut end = None;
    let mut joint = " ";
    loop {
        let rest = text[at..].strip_prefix(joint)?;
        let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
        // Of `3.5` or `13th` no digit is a number of ours.
        let next = rest[digits..].chars().next();
        let other = next.is_some_and(char::is_alphanumeric);
        if digits == 0 || other {
            return end;
        }
        at += joint.len() + digits;
        end = Some(at);
        let joints = [", ", " to ", " and ", " bis ", " und ", " à ", " et "];
        match joints.iter().find(|it| {
            let after = text[at..].strip_prefix(**it);
            after.is_some_and(|it| it.starts_with(|it: char| it.is_ascii_digit()))
        }) {
            Some(found) => joint = found,
            None => return end,
        }
    }
}

/// A text in which every number is one of this kind.
fn numbers(text: &str, kind: &str, anchors: &Anchors<'_>, page: &mut String) {
    let mut rest = text;
    while let Some(at) = rest.find(|it: char| it.is_ascii_digit()) {
        page.push_str(&rest[..at]);
        let number = &rest[at..];
        let digits = number.bytes().take_while(u8::is_ascii_digit).count();
        link(
            &format!("{kind}-{}", &number[..digits]),
            &number[..digits],
            anchors,
            page,
        );
        rest = &number[digits..];
    }
    page.push_str(rest);
}

fn link(anchor: &str, word: &str, anchors: &Anchors<'_>, page: &mut String) {
    match anchors.0.contains(anchor) {
        true => page.push_str(&format!("<a href=\"#{anchor}\">{word}</a>")),
        false => page.push_str(word),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::linked;
    use crate::tongue::Language;

    fn on_page(text: &str) -> String {
        let ids: String = [1, 2, 3, 12]
            .iter()
            .map(|it| format!("<i id=\"picture-{it}\"></i>"))
            .collect();
        let ids = format!("{ids}<i id=\"finding-4\"></i><i id=\"repair-2\"></i>");
        let page = linked(&format!("{ids}<p>{text}</p>"), Language::German);
        let (_, text) = page.split_once("<p>").unwrap();
        text.strip_suffix("</p>").unwrap().to_owned()
    }

    #[test]
    fn numbers_that_stand_on_the_page_are_led_to() {
        let to = |anchor: &str, word: &str| format!("<a href=\"#{anchor}\">{word}</a>");
        assert_eq!(
            on_page("Pictures 1, 2 to 3 and 12, 7 mm"),
            format!(
                "Pictures {}, {} to {} and {}, 7 mm",
                to("picture-1", "1"),
                to("picture-2", "2"),
                to("picture-3", "3"),
                to("picture-12", "12")
            )
        );
        assert_eq!(
            on_page("See repair 2."),
            format!("See repair {}.", to("repair-2", "2"))
        );
        assert_eq!(
            on_page("siehe Bilder 1 und 2"),
            format!(
                "siehe Bilder {} und {}",
                to("picture-1", "1"),
                to("picture-2", "2")
            )
        );
        assert_eq!(on_page("(F4)"), format!("({})", to("finding-4", "F4")));
        for same in [
            "picture 99",
            "picture 1st",
            "F99",
            "picturesque 1",
            "F4x",
            "<a href=\"#x\">F4</a>",
            "<h3>Repair 2</h3>",
            "<code>F4</code>",
            "<img alt=\"picture 1\">",
        ] {
            assert_eq!(on_page(same), same);
        }
    }

    proptest! {
        #[test]
        fn no_word_changes(text in "[a-zF0-9 ,.]{0,60}( pictures? [0-9 ,to]{0,12})?") {
            let page = on_page(&text);
            let bare: String = page.split('<').map(|it| it.split_once('>').map_or(it, |it| it.1)).collect();
            prop_assert_eq!(bare, text);
        }
    }
}
