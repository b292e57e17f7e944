//! Names that every file system takes.

use std::ffi::OsStr;

/// Longest name of a stored original, bytes: leaves room for ` (1000)` and `.toml` within 255.
const NAME_MAX: usize = 200;

/// A name for an original or a folder that any file system takes: no separators, no control characters, none of
/// `<>:"|?*\`, no leading dot, no dot or space at the end, at most 200 bytes with its ending kept.
#[must_use]
pub fn safe(raw: &OsStr) -> String {
    let raw = raw.to_string_lossy();
    let plain: String = raw
        .chars()
        .map(|c| match c {
            '/' | '\\' | '<' | '>' | ':' | '"' | '|' | '?' | '*' | '\u{fffd}' => '_',
            c if c.is_control() => '_',
            c => c,
        })
        .collect();
    let plain = plain.trim_matches(|c: char| c == '.' || c.is_whitespace());
    let plain = if plain.is_empty() { "photo" } else { plain };
    if plain.len() <= NAME_MAX {
        return plain.to_owned();
    }
    let (stem, ending) = split(plain);
    let ending = if ending.len() <= 12 { ending } else { "" };
    let mut end = NAME_MAX - ending.len();
    while !stem.is_char_boundary(end.min(stem.len())) {
        end -= 1;
    }
    format!("{}{ending}", &stem[..end.min(stem.len())])
}

/// The `turn`-th variant of a name: itself, then `name (2).jpg` ...
#[must_use]
pub fn numbered(name: &str, turn: u32) -> String {
    if turn <= 1 {
        return name.to_owned();
    }
    let (stem, ending) = split(name);
    format!("{stem} ({turn}){ending}")
}

fn split(name: &str) -> (&str, &str) {
    match name.rfind('.') {
        Some(at) if at > 0 => name.split_at(at),
        _ => (name, ""),
    }
}

#[cfg(test)]
mod tests {
    use std::ffi::OsStr;

    use proptest::prelude::*;

    use super::numbered;
    use super::safe;

    #[test]
    fn odd_names_become_plain_ones() {
        for (raw, want) in [
            ("IMG_0412.HEIC", "IMG_0412.HEIC"),
            ("aunt's \"best\" chest?.jpg", "aunt's _best_ chest_.jpg"),
            ("line\nbreak.jpg", "line_break.jpg"),
            ("..", "photo"),
            (".hidden.jpg", "hidden.jpg"),
            ("../../etc/passwd", "_.._etc_passwd"),
            ("größe 1,5.jpg", "größe 1,5.jpg"),
        ] {
            assert_eq!(safe(OsStr::new(raw)), want);
        }
        assert_eq!(numbered("a.b.jpg", 2), "a.b (2).jpg");
        assert_eq!(numbered("noend", 3), "noend (3)");
    }

    proptest! {
        #[test]
        fn any_name_becomes_storable(raw in "\\PC{0,300}|.{0,300}") {
            let name = safe(OsStr::new(&raw));
            prop_assert!(!name.is_empty() && name.len() <= 200);
            prop_assert!(!name.contains(['/', '\\', '\0', '\n']));
            prop_assert!(name != "." && name != ".." && !name.starts_with('.'));
        }
    }
}
