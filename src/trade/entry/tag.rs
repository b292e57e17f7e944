//! Faults: the words for what can be wrong with a part.

use serde::Deserialize;
use serde::Serialize;

use crate::trade::claims::claim_words::words;
use crate::trade::entry::repair::fix::Fix;
use crate::trade::entry::repair::method::Cures;
use crate::trade::entry::repair::method::Method;

/// What a fault touches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Affects {
    /// Strength.
    Structure,
    /// Use.
    Function,
    /// Look.
    Appearance,
    /// Cleanliness and health.
    Hygiene,
    /// Danger to people.
    Safety,
    /// What it is worth.
    Value,
    /// It gets worse by itself.
    Progressive,
}

/// How hard a fault usually is to put right at level 2 or 3.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Ease {
    /// A beginner can.
    Easy,
    /// With care and some practice.
    Moderate,
    /// Long or skilled work, yet no reason to stop.
    Hard,
    /// Somebody trained for it.
    Specialist,
    /// Normally not worth it.
    Stop,
}

/// What a fault of a certain level costs, in one word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Effort {
    /// Some hours, with usual tools.
    Easy,
    /// Long or skilled work, and no reason to stop.
    Hard,
    /// It does not come right.
    Stop,
}

/// Looks that find nothing of a living danger, each so many days after the one before, the first after it was last there or treated.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Clear {
    /// How many looks.
    pub looks: u8,
    /// Days before each.
    pub days: u16,
    /// From which level on it has to be treated first.
    pub treated_from: u8,
    /// The method by which they are made after a treatment; what each showed only a mark tells. `None` where there is none.
    pub watch: Option<String>,
}

/// Words by which a clean test speaks for what lies on top alone, and words by which it speaks for all, in lower case.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartTest {
    /// Words that name a coat, or what lies on top.
    pub says: Vec<String>,
    /// Words for all of it; after a denial they count for nothing.
    pub unless: Vec<String>,
    /// Words that deny what comes after them.
    pub denies: Vec<String>,
}

/// What is minded when a piece with a fault is carried.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarryLine {
    /// The lowest level from which it is minded.
    pub from: u8,
    /// The highest.
    #[serde(default = "highest")]
    pub to: u8,
    /// The line, a sentence.
    pub say: String,
}

fn highest() -> u8 {
    4
}

/// When a fault of a fitting lets fall what it fastens.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LetsGo {
    /// The level.
    pub level: u8,
    /// The kinds of parts that fall.
    pub kinds: Vec<String>,
}

/// A fault of the vocabulary.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tag {
    /// Its id, such as `white_mark`.
    pub id: String,
    /// Its group, such as `finish`.
    pub group: String,
    /// Its name, such as `White ring or haze`.
    pub term: String,
    /// What that means, for a buyer who has never heard it.
    pub plain: String,
    /// How it is told.
    pub recognise: String,
    /// What people also call it, in lower case.
    #[serde(default)]
    pub synonyms: Vec<String>,
    /// What is measured.
    pub measure_what: String,
    /// The unit it is written in.
    pub measure_unit: String,
    /// How it is measured.
    pub measure_how: String,
    /// What makes level 1 to 4; `None` where the fault has no such level.
    #[serde(deserialize_with = "four_levels")]
    pub levels: [Option<String>; 4],
    /// What it is called at level 1 to 4, where that is not its name: a test tells more than a suspicion.
    #[serde(default)]
    pub level_terms: Vec<String>,
    /// The levels that record a test made; the others tell a look, or that nobody tested.
    #[serde(default)]
    pub tested_at: Vec<u8>,
    /// What tells that a clean test was of a part of it alone.
    pub part_test: Option<PartTest>,
    /// What it touches.
    pub affects: Vec<Affects>,
    /// The lowest level of which a buyer must be told; a repaired fault is always told.
    pub disclose_from: u8,
    /// The level from which somebody may come to harm on it, where that is less than heavy.
    #[serde(default)]
    pub harms_from: Option<u8>,
    /// From which level on a part that carries carries less with it, where that is not heavy; 5 where it carries as before.
    #[serde(default)]
    pub gives_from: Option<u8>,
    /// Of a fault of a fitting: when what it fastens can fall; at no other level does anybody come to harm on it.
    #[serde(default)]
    pub lets_go: Option<LetsGo>,
    /// What is minded when the piece is carried, by its level.
    #[serde(default)]
    pub carry: Vec<CarryLine>,
    /// Whether it may be for want of what holds the part up: while that is not there, the part waits for it.
    #[serde(default)]
    pub held_up: bool,
    /// Whether the part on which it is marked is not there, while it is open.
    #[serde(default)]
    pub absence: bool,
    /// How hard it usually is to put right.
    pub ease: Ease,
    /// Materials on which it can exist; empty means any.
    #[serde(default)]
    pub only_on: Vec<String>,
    /// Kinds of parts where it is usually found; empty means any.
    #[serde(default)]
    pub parts: Vec<String>,
    /// Whether it concerns the whole of a part, wherever on it it is, such as a smell: it gets into the room, or into whoever
    /// works on it.
    #[serde(default)]
    pub throughout: bool,
    /// Whether it lies in the coat: whatever was done about it, it is there until the coat is taken off, or it was looked for and not
    /// found.
    #[serde(default)]
    pub in_coat: bool,
    /// Whether what was done about it may have left it there, as what is closed off: it is minded until it was looked for and not found.
    #[serde(default)]
    pub stays: bool,
    /// Views that show it.
    #[serde(default)]
    pub views: Vec<String>,
    /// Methods that answer it, the usual one first.
    #[serde(default)]
    pub fix: Vec<Fix>,
    /// What shows that it is gone, where one look that finds nothing does not; `None` where it does.
    pub clear: Option<Clear>,
    /// The living danger of which it is a trace: a watch looks for that alone, and the trace is there until work ends it.
    #[serde(default)]
    pub trace_of: Option<String>,
    /// Why nothing is done about it at the levels for which no method is named; `None` where there is no more to say.
    pub left: Option<String>,
    /// Whether the part on which it is has no wooden face of its own: cloth, leather or cane covers it.
    #[serde(default)]
    pub covers: bool,
    /// Whether that is a web of cane, rush or cord, under which nothing lies: it has neither cover nor filling.
    #[serde(default)]
    pub web: bool,
    /// Kinds of parts that are not of wood where it is on them, such as a leg that rusts.
    #[serde(default)]
    pub no_wood_on: Vec<String>,
    /// The face that is settled by it, because it can happen to no other: `veneer`.
    pub settles: Option<String>,
    /// What it is taken for by mistake; empty when nothing looks like it.
    #[serde(default)]
    pub look_alikes: String,
    /// Hazards that come with it.
    #[serde(default)]
    pub hazards: Vec<String>,
    /// A word of the trade on it, such as when it is no fault.
    pub note: Option<String>,
}

impl Tag {
    /// Whether people call it by this word, in the singular or the plural.
    #[must_use]
    pub fn is_called(&self, word: &str) -> bool {
        let single = word.strip_suffix('s').unwrap_or(word);
        let mut names = std::iter::once(&self.term).chain(&self.synonyms);
        names.any(|name| {
            let name = name.to_lowercase();
            let mut words = name.split(|it: char| !it.is_alphanumeric());
            words.any(|it| it == word || it.strip_suffix('s').unwrap_or(it) == single)
        })
    }

    /// The methods that answer it at some level, the usual one first.
    pub fn fixes(&self) -> impl Iterator<Item = &String> {
        self.fix.iter().map(|it| &it.method)
    }

    /// What it is called at this level.
    #[must_use]
    pub fn called(&self, level: Option<u8>) -> &str {
        let at = level.and_then(|it| usize::from(it).checked_sub(1));
        let own = at.and_then(|it| self.level_terms.get(it));
        own.unwrap_or(&self.term)
    }

    /// What this level means of it; `None` where it has no criterion of its own.
    #[must_use]
    pub fn criterion(&self, level: u8) -> Option<&str> {
        let at = usize::from(level).checked_sub(1)?;
        self.levels.get(at)?.as_deref()
    }

    /// Whether it is a danger to people or to other pieces at this level; level 1 is a trace, or a danger that a test did not
    /// find. Of a level that nobody told, nobody knows that it is none. Dirt alone is no danger.
    #[must_use]
    pub fn is_danger(&self, level: Option<u8>) -> bool {
        let of_health = self.affects.contains(&Affects::Hygiene) && !self.hazards.is_empty();
        let bad = of_health || self.affects.contains(&Affects::Safety);
        bad && level.is_none_or(|it| it >= 2)
    }

    /// Whether it spreads, or gets into whoever is near, so that what lies over it is no end of it.
    #[must_use]
    pub fn spreads(&self) -> bool {
        let affects = |it: Affects| self.affects.contains(&it);
        affects(Affects::Hygiene) && (affects(Affects::Progressive) || affects(Affects::Safety))
    }

    /// Whether a method may be the end of it. What spreads is as it was below what only covers it; what lies in a coat is there
    /// until the coat comes off without dust, or the part is made new.
    #[must_use]
    pub fn may_end_by(&self, method: &Method) -> bool {
        let own = self.fixes().any(|it| *it == method.id);
        if own || !self.spreads() {
            return method.cures.ends();
        }
        match self.in_coat {
            true => (method.replaces || method.bares()) && !method.makes_dust(),
            false => method.cures.ends() && method.cures != Cures::Hides,
        }
    }

    /// How hard it is at this level. What is failing is never easy, and what a beginner does not see is.
    #[must_use]
    pub fn effort(&self, level: u8) -> Effort {
        match (self.ease, level) {
            (Ease::Stop, 3..) => Effort::Stop,
            (Ease::Stop | Ease::Specialist | Ease::Hard, 2..) | (Ease::Moderate, 4..) => {
                Effort::Hard
            }
            _ => Effort::Easy,
        }
    }

    /// Whether it is a danger that lives, so that only looks over weeks show that it is gone.
    #[must_use]
    pub fn lives(&self) -> bool {
        self.clear.is_some()
    }

    /// Whether a fault said to be of this level was tested; of one without a level nobody knows.
    #[must_use]
    pub fn is_test(&self, level: Option<u8>) -> bool {
        level.is_some_and(|it| self.tested_at.contains(&it))
    }

    /// Whether the test that this level tells of found the fault; `None` of a level that tells of no test.
    #[must_use]
    pub fn test_found(&self, level: Option<u8>) -> Option<bool> {
        self.is_test(level).then(|| self.is_danger(level))
    }

    /// What this text of a clean test says of how far the sample went: through all of it, or that it names a coat and not all of
    /// them; `None` where it says nothing of that.
    #[must_use]
    pub fn tells_all_of_a_test(&self, text: &str) -> Option<bool> {
        let words = words(text, &[]);
        let is_at = |at: usize, phrase: &String| {
            let mut here = words[at..].iter().map(|it| it.text.as_str());
            phrase.split(' ').all(|it| here.next() == Some(it))
        };
        let says = |phrases: &[String], denied: &[String]| {
            (0..words.len()).any(|at| {
                let before = words[..at]
                    .iter()
                    .filter(|it| it.clause == words[at].clause);
                let mut denied = before.filter(|it| denied.contains(&it.text));
                phrases.iter().any(|it| is_at(at, it)) && denied.next().is_none()
            })
        };
        let part = self.part_test.as_ref()?;
        match says(&part.unless, &part.denies) {
            true => Some(true),
            false => says(&part.says, &[]).then_some(false),
        }
    }
}

/// A dash stands for a level that is not used.
fn four_levels<'de, D: serde::Deserializer<'de>>(from: D) -> Result<[Option<String>; 4], D::Error> {
    let texts = <[String; 4]>::deserialize(from)?;
    Ok(texts.map(|it| (it != "-").then_some(it)))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;
    use std::collections::BTreeSet;

    use crate::trade::book;
    use crate::trade::trade_book::TradeBook;

    /// Read one by one: each of these levels tells of a test that was made, and that it found nothing.
    #[test]
    fn a_clean_test_is_called_one() {
        let book = TradeBook::parse().unwrap();
        let levels = |of: u8| {
            book.tags
                .iter()
                .filter(move |it| it.test_found(Some(of)) == Some(false))
        };
        let clean = (1..=4).flat_map(|of| levels(of).filter_map(move |it| it.criterion(of)));
        let clean: Vec<&str> = clean.collect();
        assert_eq!(
            clean,
            [
                "tested, no lead found in that test",
                "stays with all drawers open, empty"
            ]
        );
    }

    #[test]
    fn tags_are_whole() {
        let book = TradeBook::parse().unwrap();
        let mut places = BTreeMap::<&str, usize>::new();
        for tag in &book.tags {
            *places.entry(&tag.group).or_default() += 1;
            let texts = [
                &tag.term,
                &tag.plain,
                &tag.recognise,
                &tag.measure_what,
                &tag.measure_unit,
                &tag.measure_how,
            ];
            assert!(texts.iter().all(|it| !it.trim().is_empty()), "{}", tag.id);
            assert!((1..=4).contains(&tag.disclose_from), "{}", tag.id);
            let levels: Vec<_> = tag.levels.iter().flatten().collect();
            assert!(!levels.is_empty() && tag.levels[3].is_some(), "{}", tag.id);
            assert!(levels.iter().all(|it| !it.trim().is_empty()), "{}", tag.id);
            let unique: BTreeSet<_> = levels.iter().collect();
            assert_eq!(unique.len(), levels.len(), "{}", tag.id);
            assert!(
                !tag.affects.is_empty() && !tag.views.is_empty(),
                "{}",
                tag.id
            );
            assert!(!tag.synonyms.is_empty(), "{} has no other words", tag.id);
            // A level is printed on its own, so it speaks in words.
            let signs = |it: &str| it.contains(['<', '>', '=']) || it.contains("m_");
            let printed = levels.iter().map(|it| it.as_str());
            assert!(
                !printed.chain([tag.plain.as_str()]).any(signs),
                "{}",
                tag.id
            );
        }
        assert!(places.values().all(|it| *it >= 2), "{places:?}");
    }

    #[test]
    fn a_word_means_one_tag() {
        let mut seen = BTreeMap::new();
        for (word, tag) in book().tag_words() {
            assert_eq!(word, word.to_lowercase());
            let before = seen.insert(word.clone(), tag.clone());
            assert!(
                before.is_none_or(|it| it == tag),
                "{word}: {tag} and another"
            );
        }
        for (word, tag) in [
            ("ring", "white_mark"),
            ("heat ring", "white_mark"),
            ("water ring", "white_mark"),
            ("crack", "split_through"),
            ("split", "split_through"),
            ("woodworm", "worm_old"),
            ("missing knob", "pull_missing"),
            ("drying crack", "end_check"),
            ("wax spill", "residue"),
            ("chip", "veneer_chip"),
            ("scratch", "scratch_finish"),
            ("black ring", "dark_stain"),
        ] {
            assert_eq!(seen.get(word).map(String::as_str), Some(tag), "{word}");
        }
    }
}
