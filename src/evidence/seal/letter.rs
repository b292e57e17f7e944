//! The letter: a seal's numbers in a message to the buyer, who can hold the record to them later.
//!
//! It comes back as a mail program gives it: quoted, wrapped, in capitals, with spaces, between the words of others. All that is no
//! digit, letter or comma is passed over, so that the same can be done with `tr` and `grep` (`CHECK.txt`).

use crate::evidence::key::pair::FINGERPRINT_DIGITS;
use crate::evidence::key::pair::PublicKey;
use crate::evidence::seal::statement::Statement;
use crate::kit::clock::Day;
use crate::kit::digest::Digest;
use crate::model::ids::StockNo;
use crate::tongue::Arg;
use crate::tongue::Saying;
use crate::tongue::Tongue;
use crate::tongue::plain;
use crate::tongue::say;

/// Hex digits of a root.
const ROOT_DIGITS: usize = 64;

/// From so many digits on a root was meant, and is cut off.
const MEANT: usize = 16;

/// What stands after the pieces that a letter names; whatever comes between is no piece.
const AFTER_PIECES: &str = "as named above";

/// A piece that a letter names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedPiece {
    /// Its stock number.
    pub stock_no: StockNo,
    /// Its short description.
    pub title: Saying,
    /// Whether it was handed over already; `None` where it was sold and no handover is on record.
    pub has_left: Option<bool>,
}

/// What a letter names. All but the root may be lost on the way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Letter {
    /// Number of the seal and how many lines it covers.
    pub seal: Option<(u32, u64)>,
    /// The day that the letter gives the seal.
    pub day: Option<Day>,
    /// Root of the tree over those lines.
    pub root: Digest,
    /// Fingerprint of the key, 20 small hex digits.
    pub key: Option<String>,
    /// Stock numbers of the pieces that it is about, as [`flattened`] spells them; empty where it names none.
    pub pieces: Vec<String>,
}

/// Why no letter can be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LetterError {
    /// There is no text.
    #[error("it is empty: there is no letter in it")]
    Empty,
    /// Nothing in the text is a root.
    #[error("no letter can be read in it: nowhere stands the word `root` and 64 digits after it")]
    NoRoot,
    /// A root that was cut off.
    #[error("the root in it has {0} digits, not 64: a part of the letter is missing")]
    Short(usize),
}

impl Letter {
    /// Of a seal.
    #[must_use]
    pub fn of(no: u32, it: &Statement, key: &PublicKey) -> Self {
        Self {
            seal: Some((no, it.size)),
            day: Some(it.at.day()),
            root: it.root,
            key: Some(key.fingerprint().replace(' ', "")),
            pieces: Vec::new(),
        }
    }

    /// Reads all letters in a text, each once, in the order in which they stand.
    ///
    /// # Errors
    /// When there is none.
    pub fn read(text: &str) -> Result<Vec<Self>, LetterError> {
        if text.trim().is_empty() {
            return Err(LetterError::Empty);
        }
        let flat = flattened(text);
        let mut found: Vec<Self> = Vec::new();
        let mut short = 0;
        let roots: Vec<(usize, &str)> = flat
            .match_indices("root")
            .map(|(at, _)| (at, hex(&flat[at + 4..], ROOT_DIGITS)))
            .filter(|(_, it)| {
                short = short.max(it.len() % ROOT_DIGITS);
                it.len() == ROOT_DIGITS
            })
            .collect();
        let mut from = 0;
        for (n, (at, digits)) in roots.iter().enumerate() {
            let end = at + 4 + ROOT_DIGITS;
            let next = roots.get(n + 1).map_or(flat.len(), |it| it.0);
            let Ok(root) = digits.parse() else { continue };
            let told = seal_in(&flat[from..*at]);
            let it = Self {
                seal: told.map(|it| it.0),
                day: told.and_then(|it| it.1),
                root,
                key: key_in(&flat[end..next]),
                pieces: pieces_in(&flat[end..next]),
            };
            if !found.contains(&it) {
                found.push(it);
            }
            from = end;
        }
        match (found.is_empty(), short >= MEANT) {
            (false, _) => Ok(found),
            (true, true) => Err(LetterError::Short(short)),
            (true, false) => Err(LetterError::NoRoot),
        }
    }

    /// Its numbers in one line, as a code to scan holds them.
    #[must_use]
    pub fn line(&self) -> String {
        self.spelled(" ")
    }

    /// What to write to the buyer, of these pieces. Its numbers, and the words between them, are the same in every language: by them it
    /// is read back.
    #[must_use]
    pub fn text(&self, about: &[NamedPiece], tongue: Tongue) -> String {
        let all = |left: bool| about.iter().all(|it| it.has_left == Some(left));
        let named = |it: &NamedPiece| {
            let title = it.title.said(tongue);
            let title = title.split_whitespace().collect::<Vec<_>>().join(" ");
            say::letter_piece(it.stock_no.to_string(), title)
        };
        let record = match about {
            [] => say::letter_record(),
            _ => say::letter_record_of(Saying::Commas(about.iter().map(named).collect())),
        };
        let number = about.len().max(1);
        let told = match about {
            [] => say::letter_now(record),
            _ if all(false) => say::letter_before(number, record),
            _ if all(true) => say::letter_after(number, record),
            _ => say::letter_now(record),
        };
        let numbers: Vec<String> = about
            .iter()
            .map(|it| format!("{}, ", it.stock_no))
            .collect();
        let pieces = match about.is_empty() {
            true => String::new(),
            false => format!("\npieces {}{AFTER_PIECES}", numbers.concat()),
        };
        let keep = say::letter_keep(number).said(tongue);
        let told = told.said(tongue);
        let day = self.day.map_or(Arg::from(""), Arg::from);
        let lines = self.seal.map(|(no, size)| say::letter_lines(no, day, size));
        let lines = lines.map_or_else(String::new, |it| it.said(tongue));
        let numbers = self.spelled("\n");
        plain(&format!("{told} {lines}\n{numbers}{pieces}\n{keep}"))
    }

    fn spelled(&self, between: &str) -> String {
        let day = self.day.map_or(String::new(), |it| format!(" of {it}"));
        let seal = self.seal.map_or(String::new(), |(no, size)| {
            format!("Seal {no}{day}, {size} lines,{between}")
        });
        let key = self
            .key
            .as_ref()
            .map_or(String::new(), |it| format!("{between}key {}", grouped(it)));
        format!("{seal}root {}{key}", self.root)
    }

    /// What a message names of the seal of this letter; of several letters in it, one that names the seal is enough.
    #[must_use]
    pub fn named_in(&self, message: &str) -> Named {
        let key = self.key.as_deref().unwrap_or_default();
        if key.is_empty() || !flattened(message).contains(key) {
            return Named::Nothing;
        }
        let letters = match Self::read(message) {
            Ok(letters) => letters,
            Err(why @ LetterError::Short(_)) => return Named::Other(why.to_string()),
            Err(LetterError::Empty | LetterError::NoRoot) => return Named::Key,
        };
        let whys: Vec<String> = letters.iter().filter_map(|it| self.differs(it)).collect();
        match whys.len() < letters.len() {
            true => Named::Seal,
            false => Named::Other(whys.join("; ")),
        }
    }

    /// Why another letter is not of the same seal, in a clause; `None` where it is.
    fn differs(&self, it: &Self) -> Option<String> {
        let spoken = |it: Option<(u32, u64)>| {
            it.map_or_else(
                || "no seal by number".to_owned(),
                |(no, size)| format!("seal {no} with {size} lines"),
            )
        };
        if it.seal != self.seal {
            let (told, own) = (spoken(it.seal), spoken(self.seal));
            return Some(format!("it names {told}, not {own}"));
        }
        if it.root != self.root {
            return Some("its root is not the root of that seal".to_owned());
        }
        if it.day.is_some() && it.day != self.day {
            return Some("its day is not the day of that seal".to_owned());
        }
        (it.key.is_some() && it.key != self.key)
            .then(|| "its key is not the key of that seal".to_owned())
    }

    /// How it is called in a sentence.
    #[must_use]
    pub fn name(&self) -> String {
        match self.day {
            Some(day) => format!("the letter of {day}"),
            None => "the letter".to_owned(),
        }
    }
}

/// Digits in groups of four.
fn grouped(digits: &str) -> String {
    let digits: Vec<char> = digits.chars().collect();
    let groups: Vec<String> = digits.chunks(4).map(|it| it.iter().collect()).collect();
    groups.join(" ")
}

/// As letters and records spell a word when they are compared: small letters, digits and commas alone; line ends that a mail program put in, tags and entities are taken out first.
#[must_use]
pub fn flattened(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for line in text.lines() {
        let line = line.trim_end_matches('\r');
        let cut = line.strip_suffix("=20").or_else(|| line.strip_suffix('='));
        plain.push_str(cut.unwrap_or(line));
    }
    let small = without_tags(&plain).to_ascii_lowercase();
    let kept = |c: &char| c.is_ascii_alphanumeric() || *c == ',';
    small.chars().filter(kept).collect()
}

/// Without `<p>`, `</p>`, `&gt;` and their like.
fn without_tags(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(['<', '&']) {
        out.push_str(&rest[..at]);
        let body = &rest[at + 1..];
        let end = match rest.as_bytes()[at] {
            b'<' if body.starts_with(|c: char| c.is_ascii_alphabetic() || c == '/') => body
                .find(['<', '>'])
                .filter(|it| body[*it..].starts_with('>')),
            b'&' => body
                .find(|c: char| !c.is_ascii_alphabetic())
                .filter(|it| body[*it..].starts_with(';')),
            _ => None,
        };
        rest = end.map_or(body, |it| &body[it + 1..]);
    }
    out.push_str(rest);
    out
}

/// The hex digits that a text begins with, at most so many.
fn hex(text: &str, most: usize) -> &str {
    let end = text.bytes().take(most);
    let end = end.take_while(u8::is_ascii_hexdigit).count();
    &text[..end]
}

/// Number, size and day of the last seal that a flat text names.
fn seal_in(text: &str) -> Option<((u32, u64), Option<Day>)> {
    let mut all = text.rmatch_indices("seal");
    all.find_map(|(at, word)| {
        let (no, rest) = number(&text[at + word.len()..])?;
        let (day, rest) = match rest.strip_prefix("of") {
            Some(rest) => {
                let digits = rest.get(..8)?;
                let parts = (digits.get(..4)?, digits.get(4..6)?, digits.get(6..)?);
                let day = format!("{}-{}-{}", parts.0, parts.1, parts.2);
                (day.parse().ok(), &rest[8..])
            }
            None => (None, rest),
        };
        let (size, rest) = number(rest.strip_prefix(',')?)?;
        let told = (u32::try_from(no).ok()?, size);
        rest.starts_with("lines").then_some((told, day))
    })
}

fn number(text: &str) -> Option<(u64, &str)> {
    let end = text.bytes().take_while(u8::is_ascii_digit).count();
    Some((text[..end].parse().ok()?, &text[end..]))
}

/// The first fingerprint in a flat text.
fn key_in(text: &str) -> Option<String> {
    let mut all = text.match_indices("key");
    all.find_map(|(at, word)| {
        let digits = hex(&text[at + word.len()..], FINGERPRINT_DIGITS);
        (digits.len() == FINGERPRINT_DIGITS).then(|| digits.to_owned())
    })
}

/// The stock numbers in a flat text, up to the words that end them; none without these.
fn pieces_in(text: &str) -> Vec<String> {
    let end = text.find(&flattened(AFTER_PIECES));
    let named = end.and_then(|end| text[..end].split_once("pieces"));
    let all = named.map_or("", |it| it.1).split(',');
    all.filter(|it| !it.is_empty()).map(str::to_owned).collect()
}

/// What a message names of a seal. Only what was compared in full names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Named {
    /// The seal: its number, lines, root and key.
    Seal,
    /// The key, and no seal.
    Key,
    /// Another seal, or none that is whole; why, in a clause.
    Other(String),
    /// Not even the key.
    Nothing,
}

#[cfg(test)]
mod tests {
    use super::Letter;
    use super::LetterError;
    use super::Named;
    use super::NamedPiece;
    use crate::evidence::key::pair::Key;
    use crate::evidence::ledger::merkle::Tree;
    use crate::evidence::seal::statement::Statement;
    use crate::kit::digest::Digest;
    use crate::tongue::Language;
    use crate::tongue::Saying;
    use crate::tongue::Tongue;

    fn letter() -> Letter {
        let tree = Tree {
            size: 41,
            root: Digest::of(b"root"),
        };
        let key = Key::from_seed(&[3; 32]).public();
        let at = "2026-06-21T18:00:00Z".parse().unwrap();
        let it = Statement::new(Digest::of(b"book"), &tree, at, key.digest());
        let mut letter = Letter::of(3, &it, &key);
        letter.pieces = vec!["26001".to_owned(), "26007".to_owned()];
        letter
    }

    fn piece(no: &str, title: &str, has_left: Option<bool>) -> NamedPiece {
        NamedPiece {
            stock_no: no.parse().unwrap(),
            title: Saying::Own(title.to_owned()),
            has_left,
        }
    }

    fn pieces() -> [NamedPiece; 2] {
        [
            piece("26-001", "oak table, round", Some(false)),
            piece("26-007", "stool from the old root cellar", Some(true)),
        ]
    }

    #[test]
    fn a_letter_names_its_pieces_and_opens_as_its_time_wants() {
        let [table, stool] = pieces();
        let sold = piece("26-009", "bench", None);
        for (about, begins) in [
            (
                vec![sold.clone()],
                "For your records: the photographic record of 26-009 (bench) is sealed",
            ),
            (
                vec![table.clone(), sold],
                "For your records: the photographic record of 26-001 (oak table, round), 26-009 (bench) is sealed",
            ),
            (
                vec![table.clone()],
                "For your records, before the piece leaves: the photographic record of 26-001 (oak table, round) is sealed",
            ),
            (
                vec![stool.clone()],
                "For your records, after the piece was handed over: the photographic record of 26-007 (",
            ),
            (
                vec![table, stool],
                "For your records: the photographic record of 26-001 (oak table, round), 26-007 (stool",
            ),
            (
                Vec::new(),
                "For your records: the photographic record is sealed",
            ),
        ] {
            let text = letter().text(&about, Tongue::ENGLISH);
            assert!(text.starts_with(begins), "{text}");
        }
    }

    /// Whatever the language, its numbers are read back, and no other word of it is taken for one.
    #[test]
    fn a_letter_in_another_language_is_read_back() {
        for language in Language::ALL {
            let tongue = Tongue {
                language,
                writer: Language::English,
            };
            let text = letter().text(&pieces(), tongue);
            assert_eq!(Letter::read(&text), Ok(vec![letter()]), "{text}");
            assert_eq!(letter().named_in(&text), Named::Seal);
            assert!(text.contains("oak table, round"), "{text}");
        }
    }

    fn wrapped(text: &str, width: usize) -> String {
        let chars: Vec<char> = text.chars().collect();
        let rows: Vec<String> = chars.chunks(width).map(|it| it.iter().collect()).collect();
        rows.join("\n")
    }

    #[test]
    fn a_letter_comes_back_from_any_mail() {
        let it = letter();
        let text = it.text(&pieces(), Tongue::ENGLISH);
        let spaced = text.replace(&it.root.to_string(), &{
            let digits = it.root.to_string();
            digits
                .as_bytes()
                .chunks(8)
                .map(|it| String::from_utf8_lossy(it).to_uppercase())
                .collect::<Vec<_>>()
                .join(" ")
        });
        let quoted = |text: &str| {
            text.lines()
                .map(|it| format!("> {it}\r\n"))
                .collect::<String>()
        };
        for (name, mail) in [
            ("as it was", text.clone()),
            ("capitals", text.to_uppercase()),
            ("spaces", spaced.clone()),
            (
                "quoted",
                format!("On Sunday you wrote:\n{}\nThanks, a bed", quoted(&text)),
            ),
            ("quoted twice", quoted(&quoted(&spaced))),
            ("wrapped", wrapped(&text, 31)),
            ("quoted and wrapped", quoted(&wrapped(&text, 50))),
            (
                "soft line ends",
                text.replace(
                    &it.root.to_string()[..20],
                    &format!("{}=\r\n", &it.root.to_string()[..20]),
                ),
            ),
            (
                "a page",
                format!(
                    "<div>{}</div>",
                    text.replace('\n', "<br>\n").replace(' ', "&nbsp;")
                ),
            ),
            ("hard spaces", text.replace(' ', "\u{a0}")),
        ] {
            assert_eq!(Letter::read(&mail), Ok(vec![it.clone()]), "{name}: {mail}");
        }
    }

    #[test]
    fn a_line_names_the_numbers_alone() {
        let mut it = letter();
        it.pieces.clear();
        assert_eq!(Letter::read(&it.line()), Ok(vec![it]));
    }

    #[test]
    fn several_letters_are_several_and_what_is_lost_is_lost() {
        let it = letter();
        let mut other = it.clone();
        (other.root, other.seal) = (Digest::of(b"other"), Some((4, 50)));
        let both = format!(
            "{}\n\n> {}",
            it.text(&pieces(), Tongue::ENGLISH),
            other.text(&pieces(), Tongue::ENGLISH)
        );
        assert_eq!(Letter::read(&both), Ok(vec![it.clone(), other]));
        let bare = format!("the root is {}", it.root);
        assert_eq!(
            Letter::read(&bare),
            Err(LetterError::NoRoot),
            "not after the word"
        );
        let bare = Letter::read(&format!("root: {}.", it.root)).unwrap();
        assert_eq!(
            (bare[0].seal, bare[0].day, &bare[0].key),
            (None, None, &None)
        );
        // As it was written before it had a day.
        let older = it.text(&[], Tongue::ENGLISH).replace(" of 2026-06-21", "");
        let older = Letter::read(&older).unwrap();
        assert_eq!((older[0].seal, older[0].day), (Some((3, 41)), None));
        assert_eq!(Letter::read(" \n"), Err(LetterError::Empty));
        for nothing in ["how is the table?", "the root of the tree: fade", "<"] {
            assert_eq!(Letter::read(nothing), Err(LetterError::NoRoot), "{nothing}");
        }
        let text = it.text(&[], Tongue::ENGLISH);
        let cut = &text[..text.find("root").unwrap() + 45];
        assert_eq!(Letter::read(cut), Err(LetterError::Short(40)));
    }

    #[test]
    fn a_message_names_a_seal_by_all_of_its_numbers_and_the_key_alone_is_less() {
        let it = letter();
        let text = it.text(&pieces(), Tongue::ENGLISH);
        let key = it.key.clone().unwrap();
        let other = |from: &str, to: &str| match it.named_in(&text.replace(from, to)) {
            Named::Other(why) => why,
            named => panic!("{from}: {named:?}"),
        };
        assert_eq!(
            it.named_in(&format!("> {text}\nI have read it")),
            Named::Seal
        );
        assert_eq!(it.named_in(&it.line()), Named::Seal);
        let spaced = it.spelled("\n").to_uppercase();
        assert_eq!(it.named_in(&spaced), Named::Seal);
        assert_eq!(it.named_in(&format!("I refuse, key {key}")), Named::Key);
        assert_eq!(it.named_in(&key[..18]), Named::Nothing);
        assert_eq!(
            it.named_in(&text.replace(&key[..4], "0000")),
            Named::Nothing
        );
        let root = it.root.to_string();
        let false_root = format!("{}0", &root[..63]);
        assert_ne!(root, false_root);
        assert!(other(&root, &false_root).contains("root"));
        assert!(other(&root, &root[..40]).contains("40 digits"));
        assert!(other("Seal 3", "Seal 4").contains("seal 4 with 41 lines, not seal 3"));
        assert!(other("41 lines", "42 lines").contains("42 lines"));
        assert!(other("2026-06-21", "2026-06-20").contains("day"));
        assert!(other("41 lines", "lines").contains("no seal by number"));
        // A thread with the letters of two seals names both.
        let both = format!("{}\n{text}", text.replace("Seal 3", "Seal 2"));
        assert_eq!(it.named_in(&both), Named::Seal);
    }
}
