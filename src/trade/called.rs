//! The part, or the place, that the words of a mark name, where it is not the part on which the mark stands.

use crate::trade::TradeBook;
use crate::trade::entry::kind::PartKind;

/// Where a thing stands: words behind its name, and before what it stands on.
const PLACES: [&str; 18] = [
    "at", "of", "on", "by", "near", "under", "below", "above", "beside", "behind", "between", "in",
    "inside", "from", "with", "to", "for", "over",
];

/// Words that tell one of several apart, before or behind its name.
const SIDES: [&str; 12] = [
    "left", "right", "upper", "lower", "top", "bottom", "front", "back", "middle", "inner",
    "outer", "centre",
];

impl TradeBook {
    /// Whether these words of a mark are those of a tap at the door that is about more than the part of the mark.
    #[must_use]
    pub fn is_tapped_place(&self, which: &str) -> bool {
        !which.is_empty() && self.taps.iter().any(|it| it.place == which)
    }

    /// The kind of part, not of wood or with other names of its own, that `which` of a mark names, such as `hanging plate` or `left stay`; `None` where
    /// the words name another, or only a place (`split at the hinge`).
    #[must_use]
    pub fn kind_called(&self, which: &str) -> Option<&PartKind> {
        let lower = which.to_lowercase();
        let head = lower.split([',', ';', ':', '(']).next().unwrap_or_default();
        let mut words: Vec<&str> = { head.split_whitespace() }
            .take_while(|it| !PLACES.contains(it))
            .collect();
        let tells_apart =
            |it: &&str| SIDES.contains(it) || it.chars().all(|it| it.is_ascii_digit());
        while words.last().is_some_and(tells_apart) {
            words.pop();
        }
        let ends = |name: &str| {
            let name: Vec<&str> = name.split_whitespace().collect();
            let Some(at) = words.len().checked_sub(name.len()) else {
                return false;
            };
            !name.is_empty() && { words[at..].iter().zip(&name) }
                .all(|(said, it)| is_form_of(said, it))
        };
        let named = |it: &&PartKind| it.not_wood || !it.called.is_empty();
        let fitting = self.kinds.iter().filter(named);
        let fitting = fitting.filter_map(|it| {
            let label = it.label.to_lowercase();
            let names = std::iter::once(label.as_str()).chain(it.called.iter().map(String::as_str));
            names
                .filter(|it| ends(it))
                .map(str::len)
                .max()
                .map(|length| (length, it))
        });
        fitting.max_by_key(|it| it.0).map(|it| it.1)
    }
}

/// Whether a word is this one, or its plural.
fn is_form_of(said: &str, word: &str) -> bool {
    said == word || said.strip_suffix('s') == Some(word)
}

#[cfg(test)]
mod tests {
    use crate::trade::book;

    #[test]
    fn the_words_of_a_mark_name_a_part_by_its_noun() {
        let cases = [
            ("hanging plate", Some("wall_fixing")),
            ("Hanging plate, left", Some("wall_fixing")),
            ("the wall plates", Some("wall_fixing")),
            ("left stay", Some("lid_stay")),
            ("stay left", Some("lid_stay")),
            ("right loper", Some("loper")),
            ("upper hinge of the door", Some("hinge")),
            ("hinge 2", Some("hinge")),
            ("lock", Some("lock")),
            ("split at the hinge", None),
            ("hinge stile", None),
            ("front edge", None),
            ("left", None),
            ("", None),
        ];
        for (which, kind) in cases {
            let called = book().kind_called(which).map(|it| it.id.as_str());
            assert_eq!(called, kind, "{which}");
        }
    }
}
