//! The user's own words: entries that extend the trade book, or override some keys of it.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use serde::Serialize;
use serde::de::DeserializeOwned;
use toml::Spanned;
use toml::de::DeTable;
use toml::de::DeValue;

use crate::kit::diagnostic::Diagnostic;
use crate::kit::diagnostic::Diagnostics;
use crate::kit::diagnostic::Span;
use crate::kit::text::suggest::near;
use crate::trade::check::faults::Fault;
use crate::trade::check::whole::faults_of;
use crate::trade::embedded;
use crate::trade::entry::hazard::LeadLaw;
use crate::trade::entry::offer::OpenQuestion;
use crate::trade::entry::offer::Surface;
use crate::trade::entry::path::FaceBand;
use crate::trade::entry::path::GritRun;
use crate::trade::entry::view::ViewSet;
use crate::trade::own_entry::Entry;
use crate::trade::own_entry::Place;
use crate::trade::own_entry::id_of;
use crate::trade::own_entry::read;
use crate::trade::own_entry::thin_to_thick;
use crate::trade::own_entry::walk_to_the_end;
use crate::trade::plain;
use crate::trade::trade_book::TradeBook;
use crate::trade::trade_book::book;

/// A value with its place.
type Value<'a> = Spanned<DeValue<'a>>;

/// The lists that may be extended.
const LISTS: [&str; 24] = [
    "base_work",
    "channel",
    "claim",
    "cue",
    "cue_group",
    "face_band",
    "form",
    "grit_run",
    "hazard",
    "kind",
    "lead_law",
    "method",
    "order",
    "path",
    "question",
    "rule",
    "set",
    "stop",
    "surface",
    "tag",
    "thumb",
    "view",
    "wood",
    "usual",
];

/// The trade book with the user's own words in it.
///
/// # Errors
/// With everything that is wrong with them.
pub fn widened(text: &str) -> Result<TradeBook, Vec<Diagnostic>> {
    let table = DeTable::parse(text).map_err(|error| {
        let (message, help) = plain::plain("", error.message());
        let place = error.span().unwrap_or(0..0);
        vec![Diagnostic {
            place,
            message,
            help,
        }]
    })?;
    let mut it = Widening {
        text,
        own: table.get_ref(),
        wrongs: Diagnostics::default(),
        places: BTreeMap::new(),
    };
    it.check_lists();
    let mut wide = book().clone();
    it.take(&mut wide);
    walk_to_the_end(&mut wide);
    thin_to_thick(&mut wide);
    wide.index_again();
    wide.claims_again();
    if it.wrongs.all().is_empty() {
        it.tell(&faults_of(&wide));
    }
    match it.wrongs.all().is_empty() {
        true => Ok(wide),
        false => Err(it.wrongs.by_place()),
    }
}

struct Widening<'a> {
    text: &'a str,
    own: &'a DeTable<'a>,
    wrongs: Diagnostics,
    places: BTreeMap<(&'static str, String), Place>,
}

impl<'a> Widening<'a> {
    fn check_lists(&mut self) {
        let own = self.own;
        for (key, value) in own {
            let name = key.get_ref().as_ref();
            if name == "usual" {
                let says = "the usual terms are not words".to_owned();
                let help = "your own terms go under `[terms]` in `book.toml`".to_owned();
                self.wrongs.add(key.span(), says, Some(help));
            } else if !LISTS.contains(&name) {
                let meant = near(name, &LISTS, &[]);
                let help = match meant.first() {
                    Some(it) => format!("did you mean `[[{it}]]`?"),
                    None => format!("the lists are `{}`", LISTS[..LISTS.len() - 1].join("`, `")),
                };
                let says = format!("`{name}` is not a list of the trade book");
                self.wrongs.add(key.span(), says, Some(help));
            } else if value.get_ref().as_array().is_none() {
                let says = format!("`{name}` must be a list of entries");
                let help = format!("write `[[{name}]]`, with two brackets on each side");
                self.wrongs.add(key.span(), says, Some(help));
            }
        }
    }

    /// Takes all the user's entries into the book.
    fn take(&mut self, wide: &mut TradeBook) {
        macro_rules! lists {
            ($($list:expr, $name:literal, $file:ident;)*) => {$(
                self.merge(&mut $list, $name, ("id", |it| it.id.clone()), embedded::$file);
            )*};
        }
        lists! {
            wide.kinds, "kind", PARTS;
            wide.forms, "form", FORMS;
            wide.views, "view", VIEWS;
            wide.tags, "tag", TAGS;
            wide.cues, "cue", CUES;
            wide.methods, "method", METHODS;
            wide.hazards, "hazard", HAZARDS;
            wide.paths, "path", PATHS;
            wide.rules, "rule", PATHS;
            wide.orders, "order", ORDER;
            wide.offer.channels, "channel", OFFER;
            wide.offer.base_work, "base_work", OFFER;
            wide.offer.stops, "stop", OFFER;
            wide.offer.thumbs, "thumb", OFFER;
            wide.woods, "wood", WOODS;
            wide.cue_groups, "cue_group", CUES;
            wide.claims.all, "claim", CLAIMS;
        }
        let question = ("id", (|it| it.id.clone()) as fn(&OpenQuestion) -> String);
        self.merge(
            &mut wide.offer.questions,
            "question",
            question,
            embedded::OFFER,
        );
        let stage = (
            "stage",
            (|it| it.stage.word().to_owned()) as fn(&ViewSet) -> String,
        );
        self.merge(&mut wide.sets, "set", stage, embedded::VIEWS);
        let form = ("form", (|it| it.form.clone()) as fn(&Surface) -> String);
        self.merge(&mut wide.offer.surfaces, "surface", form, embedded::OFFER);
        let band = ("from_mm", FaceBand::id as fn(&FaceBand) -> String);
        self.merge(&mut wide.face_bands, "face_band", band, embedded::PATHS);
        let run = ("grits", GritRun::id as fn(&GritRun) -> String);
        self.merge(&mut wide.grit_runs, "grit_run", run, embedded::PATHS);
        let law = (
            "country",
            (|it| it.country.clone()) as fn(&LeadLaw) -> String,
        );
        self.merge(&mut wide.lead_laws, "lead_law", law, embedded::HAZARDS);
    }

    /// Takes the user's entries of one list into it, which holds those of `file`.
    fn merge<T: DeserializeOwned + Serialize>(
        &mut self,
        entries: &mut Vec<T>,
        list: &'static str,
        (id_key, id_in): (&'static str, fn(&T) -> String),
        file: &'static str,
    ) {
        let Some(own) = self.own.get(list).and_then(|it| it.get_ref().as_array()) else {
            return;
        };
        let base = DeTable::parse(file).map(Spanned::into_inner);
        let base = base.unwrap_or_default();
        let base = base.get(list).and_then(|it| it.get_ref().as_array());
        let base: Vec<&DeTable<'_>> = base
            .into_iter()
            .flat_map(|it| it.iter())
            .filter_map(|it| it.get_ref().as_table())
            .collect();
        let mut seen = BTreeSet::new();
        for item in own.iter() {
            let Some(table) = item.get_ref().as_table() else {
                let says = format!("`{list}` must be a list of entries");
                self.wrongs.add(item.span(), says, None);
                continue;
            };
            let Some(id) = id_of(table, id_key) else {
                let says = format!("this `[[{list}]]` does not say its `{id_key}`");
                self.wrongs.add(item.span(), says, None);
                continue;
            };
            if !seen.insert(id.clone()) {
                let says = format!("`{id}` stands here twice");
                self.wrongs
                    .add(item.span(), says, Some("put them together".to_owned()));
                continue;
            }
            self.remember(list, &id, item.span(), table);
            let known = base
                .iter()
                .position(|it| id_of(it, id_key).as_ref() == Some(&id));
            let sample = known.or((!base.is_empty()).then_some(0));
            let Some(sample) = sample.map(|at| base[at]) else {
                continue;
            };
            let entry = Entry {
                span: item.span(),
                list,
                id: &id,
                table,
                sample,
            };
            let Some(whole) = self.whole(&entry, known.is_some()) else {
                continue;
            };
            match entries.iter_mut().find(|it| id_in(it) == id) {
                Some(old) => *old = whole,
                None => entries.push(whole),
            }
        }
    }

    fn remember(&mut self, list: &'static str, id: &str, span: Span, table: &DeTable<'_>) {
        let keys = table.iter();
        let keys = keys.map(|(key, value)| (key.get_ref().to_string(), value.span()));
        let place = Place {
            entry: span,
            keys: keys.collect(),
        };
        self.places.insert((list, id.to_owned()), place);
    }

    /// The entry as a whole; nothing when something is wrong with it, which then is told.
    fn whole<T: DeserializeOwned + Serialize>(
        &mut self,
        entry: &Entry<'_>,
        known: bool,
    ) -> Option<T> {
        let before = self.wrongs.all().len();
        // Each key is tried by itself in an entry that is right, so that all that is wrong is told at once.
        for (key, value) in entry.table {
            let mut one = entry.sample.clone();
            one.insert(key.clone(), value.clone());
            let key = key.get_ref().as_ref();
            match read::<T>(one, entry.span.clone()) {
                Ok(it) => self.check_length(&it, key, value),
                Err(error) => {
                    let (message, help) = plain::plain(key, error.message());
                    let span = error.span().unwrap_or_else(|| value.span());
                    self.wrongs.add(span, message, help);
                }
            }
        }
        if !known {
            self.check_whole::<T>(entry, before);
        }
        if self.wrongs.all().len() > before {
            return None;
        }
        let mut all = match known {
            true => entry.sample.clone(),
            false => DeTable::new(),
        };
        all.extend(
            entry
                .table
                .iter()
                .map(|(key, value)| (key.clone(), value.clone())),
        );
        let whole = read(all, entry.span.clone());
        whole
            .map_err(|error| {
                let (message, help) = plain::plain(entry.list, error.message());
                self.wrongs.add(entry.span.clone(), message, help);
            })
            .ok()
    }

    /// A list of a fixed length lets more items pass unread.
    fn check_length<T: Serialize>(&mut self, it: &T, key: &str, value: &Value<'_>) {
        let Some(told) = value.get_ref().as_array().map(|it| it.len()) else {
            return;
        };
        let read = serde_json::to_value(it).ok();
        let read = read.and_then(|it| it.get(key)?.as_array().map(Vec::len));
        if let Some(read) = read.filter(|it| *it != told) {
            let says = format!("`{key}` must be a list of {read}, not of {told}");
            self.wrongs.add(value.span(), says, None);
        }
    }

    /// A new entry must have every key without which there is none. `before` is how much was told before this entry.
    fn check_whole<T: DeserializeOwned>(&mut self, entry: &Entry<'_>, before: usize) {
        let has = |key: &str| entry.table.get(key).is_some();
        let needed = |key: &str| {
            let mut less = entry.sample.clone();
            less.remove(key);
            read::<T>(less, entry.span.clone()).is_err()
        };
        let keys = entry.sample.keys().map(|it| it.get_ref().as_ref());
        // What is there under a name with a slip in it was told already.
        let told = |key: &str| {
            let meant = format!("did you mean `{key}`?");
            let mut told = self.wrongs.all()[before..].iter();
            told.any(|it| it.help.as_ref() == Some(&meant))
        };
        let lacks = keys.filter(|it| !has(it) && needed(it) && !told(it));
        let lacks: Vec<&str> = lacks.collect();
        if lacks.is_empty() {
            return;
        }
        let says = format!("`{}` is new, so it must be whole", entry.id);
        let help = format!(
            "add `{}`, or mend the id if another is meant",
            lacks.join("`, `")
        );
        self.wrongs.add(entry.span.clone(), says, Some(help));
    }

    /// Tells what is wrong with the book as a whole; what does not lie in the user's text only where nothing else does.
    fn tell(&mut self, faults: &[Fault]) {
        let located = faults.iter().filter_map(|it| Some((self.place(it)?, it)));
        let mut wrongs: Vec<Diagnostic> = located
            .map(|(place, it)| Diagnostic {
                place,
                message: it.message.clone(),
                help: it.help.clone(),
            })
            .collect();
        if wrongs.is_empty() {
            wrongs.extend(faults.iter().map(|it| Diagnostic {
                place: 0..0,
                message: format!(
                    "with these words, `{}` is not right: {}",
                    it.place.id, it.message
                ),
                help: it.help.clone(),
            }));
        }
        self.wrongs.extend(wrongs);
    }

    fn place(&self, fault: &Fault) -> Option<Span> {
        let place = self
            .places
            .get(&(fault.place.list, fault.place.id.clone()))?;
        let Some(span) = place.keys.get(fault.place.key) else {
            return Some(place.entry.clone());
        };
        // The word itself, where the message begins with one.
        let word = fault
            .message
            .strip_prefix('`')
            .and_then(|it| it.split('`').next());
        let inside = self.text.get(span.clone()).unwrap_or_default();
        let at = word.and_then(|it| Some((inside.find(it)?, it.len())));
        Some(at.map_or(span.clone(), |(at, len)| {
            span.start + at..span.start + at + len
        }))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::widened;
    use crate::trade::book;
    use crate::trade::entry::tag::Ease;

    const WHOLE: &str = r#"
[[tag]]
id = "lamp_burn"
group = "finish"
term = "Lamp's heat mark"
plain = "A pale, blistered patch where a lamp stood too close: the owner's own word, größer als ein Ring."
recognise = "A round patch, dull and rough, no char."
synonyms = ["lamp's mark", "hitzefleck"]
measure_what = "diameter"
measure_unit = "mm"
measure_how = "rule"
levels = ["seen in low light", "under 30 mm", "30 to 80 mm", "over 80 mm, or the wood is brown"]
affects = ["appearance"]
disclose_from = 2
ease = "moderate"
views = ["defect_close"]
fix = ["white_mark", "rub_out", "lamp_draw"]

[[tag]]
id = "white_mark"
ease = "moderate"

[[method]]
id = "lamp_draw"
name = "Draw the lamp's mark"
plain = "The mark was drawn with camphor and spirit."
phase = "coat"
unit = "place"
hours = [0.2, 1, 1.5]
wait_hours = [0, 4, 12]
cost = [0.5, 1, 2]
cures = "cures"
by = "owner"

[[path]]
id = "revive"
removes = ["crazing", "lamp_burn"]

[[rule]]
id = "lamp_first"
role = "steer"
when = [["fault.lamp_burn >= 3"]]
shuts = ["clean_wax"]
why = "Wax seals the mark in."
look = "Look at the mark in low light."
"#;

    #[test]
    fn words_extend_the_book_and_override_the_keys_they_give() {
        let wide = widened(WHOLE).unwrap();
        let own = wide.tag("lamp_burn").unwrap();
        assert_eq!(own.term, "Lamp's heat mark");
        assert!(own.plain.contains("größer"));
        assert_eq!(
            own.levels[3].as_deref(),
            Some("over 80 mm, or the wood is brown")
        );
        let (before, after) = (
            book().tag("white_mark").unwrap(),
            wide.tag("white_mark").unwrap(),
        );
        assert_eq!((before.ease, after.ease), (Ease::Easy, Ease::Moderate));
        assert_eq!((&before.plain, &before.fix), (&after.plain, &after.fix));
        assert_eq!(wide.method("lamp_draw").unwrap().hours, [0.2, 1.0, 1.5]);
        assert_eq!(
            wide.path("revive").unwrap().removes,
            ["crazing", "lamp_burn"]
        );
        assert_eq!(
            wide.path("revive").unwrap().steps.len(),
            book().path("revive").unwrap().steps.len()
        );
        assert_eq!(wide.tags.len(), book().tags.len() + 1);
        assert_eq!(wide.rules.len(), book().rules.len() + 1);
        assert!(
            wide.tag_words()
                .contains(&("hitzefleck".to_owned(), "lamp_burn".to_owned()))
        );
        assert!(widened("").unwrap().tags.len() == book().tags.len());
    }

    /// Every complaint as `the place: message | help`.
    fn said(text: &str) -> Vec<String> {
        let wrongs = widened(text).map(drop).unwrap_err();
        let said = wrongs.iter().map(|it| {
            let place = &text[it.place.clone()];
            let place = place.lines().next().unwrap_or_default();
            let help = it
                .help
                .as_deref()
                .map_or(String::new(), |it| format!(" | {it}"));
            format!("{place}: {}{help}", it.message)
        });
        said.collect()
    }

    #[test]
    fn every_kind_of_mistake_is_told_where_it_stands() {
        let cases: [(&str, &[&str]); 26] = [
            (
                "[[tags]]\nid = \"x\"",
                &["tags: `tags` is not a list of the trade book | did you mean `[[tag]]`?"],
            ),
            (
                "[tag]\nid = \"x\"",
                &[
                    "tag: `tag` must be a list of entries | write `[[tag]]`, with two brackets on each side",
                ],
            ),
            (
                "[usual]\nmargin = 3.0",
                &[
                    "usual: the usual terms are not words | your own terms go under `[terms]` in `book.toml`",
                ],
            ),
            (
                "[[tag]]\nterm = \"x\"",
                &["[[tag]]: this `[[tag]]` does not say its `id`"],
            ),
            (
                "[[tag]]\nid = \"crazing\"\nease = \"simple\"",
                &[
                    "\"simple\": `simple` is not known in `ease` | the words are `easy`, `moderate`, `hard`, `specialist`, `stop`",
                ],
            ),
            (
                "[[tag]]\nid = \"crazing\"\neas = \"easy\"",
                &["eas: `eas` is not a key here | did you mean `ease`?"],
            ),
            (
                "[[tag]]\nid = \"crazing\"\nlevels = [\"a\", \"b\", \"c\"]",
                &["[\"a\", \"b\", \"c\"]: `levels` must be a list of 4, not of 3"],
            ),
            (
                "[[tag]]\nid = \"crazing\"\nlevels = [\"a\", \"b\", \"c\", \"d\", \"e\"]",
                &["[\"a\", \"b\", \"c\", \"d\", \"e\"]: `levels` must be a list of 4, not of 5"],
            ),
            (
                "[[tag]]\nid = \"crazing\"\nlevels = \"bad\"",
                &["\"bad\": `levels` must be a list of 4, not text"],
            ),
            (
                "[[tag]]\nid = \"crazing\"\nterm = 3\ndisclose_from = \"two\"",
                &[
                    "3: `term` must be text in quotes, not `3`",
                    "\"two\": `disclose_from` must be a whole number of 0 or more, not text",
                ],
            ),
            (
                "[[tag]]\nid = \"crazing\"\ndisclose_from = 7",
                &["7: `disclose_from` must be 1, 2, 3 or 4"],
            ),
            (
                "[[tag]]\nid = \"crazing\"\nfix = [\"strip\", \"polsh\"]",
                &["polsh: `polsh` is not a method of the trade book"],
            ),
            (
                "[[tag]]\nid = \"crazing\"\nviews = [\"top_flatt\"]",
                &["top_flatt: `top_flatt` is not a view | did you mean `top_flat`?"],
            ),
            (
                "[[tag]]\nid = \"crazing\"\n[[tag]]\nid = \"crazing\"",
                &["[[tag]]: `crazing` stands here twice | put them together"],
            ),
            (
                "[[cue]]\nid = \"crazing\"\ngroup = \"x\"\nterm = \"x\"\nplain = \"x\"\nweight = 1\ntrap = \"\"",
                &[
                    "crazing: `crazing` is both a fault and an observation; a mark could mean either | choose another id",
                ],
            ),
            (
                "[[cue]]\nid = \"Own Word\"\ngroup = \"x\"\nterm = \"x\"\nplain = \"x\"\nweight = 1\ntrap = \"\"",
                &[
                    "Own Word: `Own Word` is not an id | an id is one word of a to z, 0 to 9 and _, such as `lamp_burn`",
                ],
            ),
            (
                "[[cue]]\nid = \"own\"\nterm = \"x\"",
                &[
                    "[[cue]]: `own` is new, so it must be whole | add `group`, `plain`, `trap`, `weight`, or mend the id if another is meant",
                ],
            ),
            (
                "[[rule]]\nid = \"solid\"\nwhen = [[\"material = wood\"]]",
                &["wood: `wood` is not a value of `material`"],
            ),
            (
                "[[rule]]\nid = \"solid\"\nwhen = [[\"face_mm < thin\"]]",
                &[
                    "[\"face_mm < thin\"]: `face_mm < thin` is no question | write it like `material = veneer`, `face_mm < 0.5`, `fault.crazing >= 2` or `cue.layer_line`",
                ],
            ),
            (
                "[[method]]\nid = \"strip\"\nhours = [3, 2, 1]",
                &["[3, 2, 1]: `hours` must be three numbers of 0 or more: low, likely, high"],
            ),
            (
                "[[order]]\nid = \"turned\"\nfirst = { methods = [\"paint\"] }\nthen = { methods = [\"prime_block\"] }\nreach = \"part\"\nrule = \"x\"\nwhy = \"x\"",
                &["[[order]]: `paint`, `prime_block` would have to come before itself"],
            ),
            (
                "[[procedure]]\nid = \"x\"\ntext = \"x\"",
                &[
                    "procedure: `procedure` is not a list of the trade book | the lists are `base_work`, `channel`, `claim`, `cue`, `cue_group`, `face_band`, `form`, `grit_run`, `hazard`, `kind`, `lead_law`, `method`, `order`, `path`, `question`, `rule`, `set`, `stop`, `surface`, `tag`, `thumb`, `view`, `wood`",
                ],
            ),
            (
                "[[question]]\nid = \"windy\"\nquestion = \"x\"\nlook = \"x\"\naside = [0, 1, 2]",
                &["[[question]]: a question of your own says in `when` of which parts it is asked"],
            ),
            (
                "[[path]]\nid = \"gild\"\nlabel = \"x\"\nplain = \"x\"\nleaves = \"paint\"\nundo = \"never\"\nmaterials = [1, 2, 3]\nhold_hours = [1, 2, 3]",
                &[
                    "[[path]]: no rule opens this path, so nobody would be offered it | name it in `opens` of a rule on a material, or say `always = true`",
                ],
            ),
            (
                "[[hazard]]\nid = \"noise\"\ntitle = \"x\"\nbuyer = []\nworker = [\"x\"]\napplies = {}",
                &[
                    "[[hazard]]: nothing calls for this hazard, so nobody would read it | name it in `hazards` of a fault or of a method, or say in `applies` when it is there",
                ],
            ),
            (
                "[[wood]]\nid = \"black_walnut\"\nmovement = { radial = 0.002 }",
                &["{ radial = 0.002 }: `tangential` is missing in `movement`"],
            ),
        ];
        let differ = cases
            .iter()
            .filter(|(text, expected)| said(text) != *expected);
        let differ: Vec<_> = differ.map(|(text, _)| (text, said(text))).collect();
        assert!(differ.is_empty(), "{differ:#?}");
    }

    /// What the user's words break elsewhere is told too, though it does not stand in the text.
    #[test]
    fn a_change_that_breaks_another_entry_is_told() {
        let said = said("[[tag]]\nid = \"veneer_chip\"\nsynonyms = [\"white ring\"]");
        assert_eq!(said.len(), 1, "{said:?}");
        assert!(
            said[0].ends_with("`white ring` already means `white_mark`"),
            "{said:?}"
        );
        let said = super::widened("[[method]]\nid = \"sand\"\nphase = \"rub\"").unwrap_err();
        assert!(
            said[0].message.starts_with("with these words, `"),
            "{said:?}"
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]
        #[test]
        fn any_slip_is_read_or_told_inside_the_text(at in any::<prop::sample::Index>(), gone in 0_usize..6, new in "[\\[\\]\"=,a-z0-9 \n]{0,3}") {
            let mut letters: Vec<char> = WHOLE.chars().collect();
            let at = at.index(letters.len() + 1);
            let end = (at + gone).min(letters.len());
            letters.splice(at..end, new.chars());
            let text: String = letters.into_iter().collect();
            for it in widened(&text).err().into_iter().flatten() {
                prop_assert!(text.get(it.place.clone()).is_some(), "{it:?}");
                prop_assert!(!it.message.is_empty() && !it.message.ends_with('.'), "{it:?}");
            }
        }
    }
}
