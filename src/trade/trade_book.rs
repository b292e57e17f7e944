//! The whole trade book, parsed once, with its lookups.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::sync::Arc;
use std::sync::LazyLock;

use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::model::photo::Stage;
use crate::model::piece::PartChoice;
use crate::trade::claims::claim::ClaimFile;
use crate::trade::claims::claim::Claims;
use crate::trade::claims::known_words;
use crate::trade::embedded;
use crate::trade::entry::cue::Cue;
use crate::trade::entry::cue::CueGroup;
use crate::trade::entry::form::Form;
use crate::trade::entry::hazard::Hazard;
use crate::trade::entry::hazard::Hazards;
use crate::trade::entry::hazard::LeadLaw;
use crate::trade::entry::kind::PartKind;
use crate::trade::entry::offer::OfferBook;
use crate::trade::entry::path::FaceBand;
use crate::trade::entry::path::GritRun;
use crate::trade::entry::path::Path;
use crate::trade::entry::path::Paths;
use crate::trade::entry::path::Rule;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::repair::order::OrderRule;
use crate::trade::entry::repair::order::Orders;
use crate::trade::entry::tag::Tag;
use crate::trade::entry::tap::Doorstep;
use crate::trade::entry::tap::Tap;
use crate::trade::entry::view::Stop;
use crate::trade::entry::view::View;
use crate::trade::entry::view::ViewSet;
use crate::trade::entry::wood::Wood;
use crate::trade::entry::wood::Woods;

/// Everything the program knows of the trade.
#[derive(Clone, Debug)]
pub struct TradeBook {
    /// Forms of furniture.
    pub forms: Vec<Form>,
    /// Views, in walking order.
    pub views: Vec<View>,
    /// The walk round a piece.
    pub stops: Vec<Stop>,
    /// Which views a complete record has at each stage.
    pub sets: Vec<ViewSet>,
    /// Kinds of parts.
    pub kinds: Vec<PartKind>,
    /// Faults.
    pub tags: Vec<Tag>,
    /// Observations that are no faults.
    pub cues: Vec<Cue>,
    /// Headings of their groups, in the order in which they are told.
    pub cue_groups: Vec<CueGroup>,
    /// Ways to repair.
    pub methods: Vec<Method>,
    /// Dangers and the lines to print about them.
    pub hazards: Vec<Hazard>,
    /// When countries took lead out of paint.
    pub lead_laws: Vec<LeadLaw>,
    /// Ways to refinish a part, from the gentlest on.
    pub paths: Vec<Path>,
    /// Rules that open and shut them.
    pub rules: Vec<Rule>,
    /// Thicknesses of face wood and what they bear, thin to thick.
    pub face_bands: Vec<FaceBand>,
    /// Runs of grits, coarse to fine.
    pub grit_runs: Vec<GritRun>,
    /// What must come before what.
    pub orders: Vec<OrderRule>,
    /// What an offer rests on.
    pub offer: OfferBook,
    /// What is tried at the door, in walking order.
    pub taps: Vec<Tap>,
    /// Woods and how they move.
    pub woods: Vec<Wood>,
    /// Words that claim something.
    pub claims: Claims,
    index: [BTreeMap<String, usize>; SHELVES],
}

/// A file of the embedded book does not read.
#[derive(Debug, thiserror::Error)]
#[error("the trade book's `{file}` does not read")]
pub struct TradeError {
    file: &'static str,
    source: toml::de::Error,
}

/// Which list an id belongs to.
#[derive(Clone, Copy, Debug)]
enum Shelf {
    Form,
    View,
    Kind,
    Tag,
    Cue,
    Method,
    Hazard,
}

/// How many lists there are.
const SHELVES: usize = Shelf::Hazard as usize + 1;

static BOOK: LazyLock<Arc<TradeBook>> = LazyLock::new(|| {
    let book = TradeBook::parse();
    Arc::new(book.expect("the book is embedded, and a test parses the same bytes"))
});

/// The trade book that is built into the program.
#[must_use]
pub fn book() -> &'static TradeBook {
    &BOOK
}

/// The same, to be kept where a book with the user's words may stand as well.
#[must_use]
pub fn shared() -> Arc<TradeBook> {
    Arc::clone(&BOOK)
}

// Each file of the book is a list under the name of its entries.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Parts {
    kind: Vec<PartKind>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Forms {
    form: Vec<Form>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Views {
    set: Vec<ViewSet>,
    stop: Vec<Stop>,
    view: Vec<View>,
}

impl Views {
    /// The views in the order of the walk.
    fn walked(&mut self) -> Vec<View> {
        let walk = self.stop.iter().flat_map(|it| it.views.clone());
        let places: BTreeMap<String, usize> = walk.zip(0..).collect();
        let place = |it: &View| places.get(&it.id).copied().unwrap_or(usize::MAX);
        let mut views = std::mem::take(&mut self.view);
        views.sort_by_key(place);
        views
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Tags {
    tag: Vec<Tag>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Cues {
    cue: Vec<Cue>,
    cue_group: Vec<CueGroup>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Methods {
    method: Vec<Method>,
}

fn read<T: DeserializeOwned>(file: &'static str, text: &str) -> Result<T, TradeError> {
    toml::from_str(text).map_err(|source| TradeError { file, source })
}

impl TradeBook {
    /// Reads the embedded files.
    ///
    /// # Errors
    /// When a file is no TOML of the expected shape.
    pub fn parse() -> Result<Self, TradeError> {
        let parts: Parts = read("parts.toml", embedded::PARTS)?;
        let forms: Forms = read("forms.toml", embedded::FORMS)?;
        let mut views: Views = read("views.toml", embedded::VIEWS)?;
        let tags: Tags = read("tags.toml", embedded::TAGS)?;
        let cues: Cues = read("cues.toml", embedded::CUES)?;
        let methods: Methods = read("methods.toml", embedded::METHODS)?;
        let hazards: Hazards = read("hazards.toml", embedded::HAZARDS)?;
        let paths: Paths = read("paths.toml", embedded::PATHS)?;
        let orders: Orders = read("order.toml", embedded::ORDER)?;
        let offer: OfferBook = read("offer.toml", embedded::OFFER)?;
        let woods: Woods = read("woods.toml", embedded::WOODS)?;
        let doorstep: Doorstep = read("doorstep.toml", embedded::DOORSTEP)?;
        let claims: ClaimFile = read("claims.toml", embedded::CLAIMS)?;
        let claims = Claims::new(
            claims,
            known_words::woods(&woods.wood),
            known_words::faults(&tags.tag),
            known_words::forms(&forms.form),
        );
        let mut book = Self {
            forms: forms.form,
            views: views.walked(),
            sets: views.set,
            stops: views.stop,
            kinds: parts.kind,
            tags: tags.tag,
            cues: cues.cue,
            cue_groups: cues.cue_group,
            methods: methods.method,
            hazards: hazards.hazard,
            lead_laws: hazards.lead_law,
            paths: paths.path,
            rules: paths.rule,
            face_bands: paths.face_band,
            grit_runs: paths.grit_run,
            orders: orders.order,
            offer,
            claims,
            taps: doorstep.tap,
            woods: woods.wood,
            index: Default::default(),
        };
        book.index_again();
        Ok(book)
    }

    /// Makes the look-ups fit the lists again.
    pub(in crate::trade) fn index_again(&mut self) {
        self.index = self.build_index();
    }

    /// Makes the claims fit the lists again.
    pub(in crate::trade) fn claims_again(&mut self) {
        self.claims = self.claims.again(
            known_words::woods(&self.woods),
            known_words::faults(&self.tags),
            known_words::forms(&self.forms),
        );
    }

    fn build_index(&self) -> [BTreeMap<String, usize>; SHELVES] {
        fn shelf<'a>(ids: impl Iterator<Item = &'a String>) -> BTreeMap<String, usize> {
            ids.enumerate().map(|(at, id)| (id.clone(), at)).collect()
        }
        // In the order of `Shelf`.
        [
            shelf(self.forms.iter().map(|it| &it.id)),
            shelf(self.views.iter().map(|it| &it.id)),
            shelf(self.kinds.iter().map(|it| &it.id)),
            shelf(self.tags.iter().map(|it| &it.id)),
            shelf(self.cues.iter().map(|it| &it.id)),
            shelf(self.methods.iter().map(|it| &it.id)),
            shelf(self.hazards.iter().map(|it| &it.id)),
        ]
    }

    fn at(&self, shelf: Shelf, id: &str) -> Option<usize> {
        self.index[shelf as usize].get(id).copied()
    }

    /// The form of this id.
    #[must_use]
    pub fn form(&self, id: &str) -> Option<&Form> {
        Some(&self.forms[self.at(Shelf::Form, id)?])
    }

    /// The view of this id.
    #[must_use]
    pub fn view(&self, id: &str) -> Option<&View> {
        Some(&self.views[self.at(Shelf::View, id)?])
    }

    /// The kind of part of this id.
    #[must_use]
    pub fn kind(&self, id: &str) -> Option<&PartKind> {
        Some(&self.kinds[self.at(Shelf::Kind, id)?])
    }

    /// The fault of this id.
    #[must_use]
    pub fn tag(&self, id: &str) -> Option<&Tag> {
        Some(&self.tags[self.at(Shelf::Tag, id)?])
    }

    /// The observation of this id.
    #[must_use]
    pub fn cue(&self, id: &str) -> Option<&Cue> {
        Some(&self.cues[self.at(Shelf::Cue, id)?])
    }

    /// The method of this id.
    #[must_use]
    pub fn method(&self, id: &str) -> Option<&Method> {
        Some(&self.methods[self.at(Shelf::Method, id)?])
    }

    /// The ids of all work: methods, then what is done besides.
    #[must_use]
    pub fn work_ids(&self) -> Vec<&str> {
        let base = self.offer.base_work.iter().map(|it| it.id.as_str());
        let methods = self.methods.iter().map(|it| it.id.as_str());
        methods.chain(base).collect()
    }

    /// The hazard of this id.
    #[must_use]
    pub fn hazard(&self, id: &str) -> Option<&Hazard> {
        Some(&self.hazards[self.at(Shelf::Hazard, id)?])
    }

    /// The law on lead in paint of a country; `None` where the book knows none.
    #[must_use]
    pub fn lead_law(&self, country: &str) -> Option<&LeadLaw> {
        self.lead_laws.iter().find(|it| it.country == country)
    }

    /// The refinish path of this id.
    #[must_use]
    pub fn path(&self, id: &str) -> Option<&Path> {
        self.paths.iter().find(|it| it.id == id)
    }

    /// The wood of this id, name or synonym, whatever its case.
    #[must_use]
    pub fn wood(&self, word: &str) -> Option<&Wood> {
        let word = word.trim().to_lowercase();
        let is = |it: &&Wood| {
            let named = it.id == word.replace(' ', "_") || it.label.to_lowercase() == word;
            named || it.synonyms.contains(&word)
        };
        self.woods.iter().find(is)
    }

    /// The views that make a complete record of a form at a stage, in walking order; only those whose parts the form
    /// usually has.
    #[must_use]
    pub fn views_for(&self, form: &Form, stage: Stage) -> Vec<&View> {
        self.views_for_choice(form, &PartChoice::default(), stage)
    }

    /// The same for a piece whose drawers and optional parts are known.
    #[must_use]
    pub fn views_for_choice(&self, form: &Form, choice: &PartChoice, stage: Stage) -> Vec<&View> {
        let parts = self.parts(form, choice);
        let kinds: BTreeSet<&str> = parts.iter().map(|it| it.kind.as_str()).collect();
        let Some(set) = self.sets.iter().find(|it| it.stage == stage) else {
            return Vec::new();
        };
        let more = form.more_views.iter().filter(|_| set.with_form_views);
        let asked: BTreeSet<&str> = set.views.iter().chain(more).map(String::as_str).collect();
        let fits = |view: &&View| asked.contains(view.id.as_str()) && view.suits(&parts);
        let named = choice.with.iter().filter(|_| set.with_form_views);
        let mut wanted: BTreeSet<&str> = self
            .views
            .iter()
            .filter(fits)
            .map(|it| it.id.as_str())
            .collect();
        for kind in named.filter(|it| kinds.contains(it.as_str())) {
            // A part that the owner named, and that no view of the list is taken for, wants one of its own.
            let mut views = self
                .views
                .iter()
                .filter(|it| wanted.contains(it.id.as_str()));
            if !views.any(|it| it.needs.contains(kind)) {
                let of_it = self.views.iter().filter(|it| it.needs.contains(kind));
                wanted.extend(of_it.map(|it| it.id.as_str()));
            }
        }
        let views = self.views.iter();
        views.filter(|it| wanted.contains(it.id.as_str())).collect()
    }

    /// Every word people may type for a fault, in lower case, with the fault's id; sorted.
    #[must_use]
    pub fn tag_words(&self) -> Vec<(String, String)> {
        let mut words = BTreeSet::new();
        for tag in &self.tags {
            let own = [tag.id.replace('_', " "), tag.term.to_lowercase()];
            let others = tag.synonyms.iter().map(|it| it.to_lowercase());
            for word in own.into_iter().chain(others) {
                words.insert((word, tag.id.clone()));
            }
        }
        words.into_iter().collect()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use crate::trade::entry::repair::method::Cures;
    use crate::trade::entry::tag::Ease;
    use crate::trade::trade_book::TradeBook;

    #[test]
    fn it_parses_and_is_as_long_as_planned() {
        let book = TradeBook::parse().unwrap();
        let counts = [
            ("forms", book.forms.len(), 12),
            ("kinds", book.kinds.len(), 60),
            ("views", book.views.len(), 41),
            ("tags", book.tags.len(), 95),
            ("cues", book.cues.len(), 75),
            ("methods", book.methods.len(), 85),
            ("hazards", book.hazards.len(), 14),
        ];
        for (what, count, least) in counts {
            assert!(count >= least, "{what}: {count} of {least}");
        }
    }

    #[test]
    fn ids_are_unique_and_found() {
        let book = TradeBook::parse().unwrap();
        let lists: [Vec<&String>; 7] = [
            book.forms.iter().map(|it| &it.id).collect(),
            book.views.iter().map(|it| &it.id).collect(),
            book.kinds.iter().map(|it| &it.id).collect(),
            book.tags.iter().map(|it| &it.id).collect(),
            book.cues.iter().map(|it| &it.id).collect(),
            book.methods.iter().map(|it| &it.id).collect(),
            book.hazards.iter().map(|it| &it.id).collect(),
        ];
        for list in &lists {
            let unique: BTreeSet<_> = list.iter().collect();
            assert_eq!(unique.len(), list.len());
            for id in list {
                let plain = |it: u8| it.is_ascii_lowercase() || it.is_ascii_digit() || it == b'_';
                assert!(id.bytes().all(plain), "{id}");
            }
        }
        // A mark names a tag or a cue in the same place.
        let (tags, cues) = (&lists[3], &lists[4]);
        assert!(tags.iter().all(|it| !cues.contains(it)));
        for special in ["sound", "absent", "not_examined"] {
            assert!(book.tag(special).is_none() && book.cue(special).is_none());
        }
        for tag in &book.tags {
            assert_eq!(book.tag(&tag.id).map(|it| &it.term), Some(&tag.term));
        }
        assert!(book.tag("front_whole").is_none());
        assert!(book.view("front_whole").is_some());
    }

    #[test]
    fn no_line_promises_more_than_anybody_can_know() {
        let book = TradeBook::parse().unwrap();
        let mut lines: Vec<(&str, &str)> = Vec::new();
        lines.extend(
            book.forms
                .iter()
                .map(|it| (it.id.as_str(), it.plain.as_str())),
        );
        lines.extend(
            book.kinds
                .iter()
                .map(|it| (it.id.as_str(), it.plain.as_str())),
        );
        lines.extend(
            book.tags
                .iter()
                .map(|it| (it.id.as_str(), it.plain.as_str())),
        );
        lines.extend(
            book.cues
                .iter()
                .map(|it| (it.id.as_str(), it.plain.as_str())),
        );
        lines.extend(
            book.methods
                .iter()
                .map(|it| (it.id.as_str(), it.plain.as_str())),
        );
        for hazard in &book.hazards {
            lines.extend(
                hazard
                    .buyer
                    .iter()
                    .map(|it| (hazard.id.as_str(), it.as_str())),
            );
        }
        for (id, line) in lines {
            let lower = line.to_lowercase();
            for word in ["genuine", "perfect", "mint", "guarantee", "certified"] {
                let whole = lower.split(|c: char| !c.is_alphabetic());
                assert!(
                    !whole.into_iter().any(|it| it.starts_with(word)),
                    "{word} in {id}"
                );
            }
            assert!(line.ends_with(['.', '?']), "{id}: {line}");
            assert!(
                line.chars().next().is_some_and(|c| !c.is_lowercase()),
                "{id}: {line}"
            );
        }
    }

    /// Common practice, no source, but for the inch.
    #[test]
    fn facts_of_the_trade_are_right() {
        let book = TradeBook::parse().unwrap();
        let ease = |id: &str| book.tag(id).unwrap().ease;
        // Easy: a loose dovetail, missing stops and guide strips, a broken caster. Hard, but no stop: a loose or cracked leg.
        for id in ["drawer_joint", "guide_missing", "caster_fault"] {
            assert_eq!(ease(id), Ease::Easy, "{id}");
        }
        for id in ["leg_loose", "leg_split", "broken_member"] {
            assert_eq!(ease(id), Ease::Hard, "{id}");
        }
        // Rings, a peeling coat and wax spills are faults of the finish.
        for id in ["white_mark", "flaking", "residue"] {
            assert_eq!(book.tag(id).unwrap().group, "finish", "{id}");
        }
        // Not faults: veneer, two hands for a wide drawer, a guide replaced by a fitting strip, patina left on hardware.
        for id in [
            "layer_line",
            "wide_drawer_two_hands",
            "old_repair_sound",
            "patina_hardware",
        ] {
            assert!(book.cue(id).is_some() && book.tag(id).is_none(), "{id}");
        }
        for level in book.tag("drawer_stick").unwrap().levels.iter().flatten() {
            assert!(!level.contains("two hands"), "{level}");
        }
        let line = book.cue("layer_line").unwrap();
        assert!(line.decides && line.supports.as_deref() == Some("veneer"));
        // A broken caster may be the whole cause of rocking.
        assert!(
            book.tag("rocks_short_leg")
                .unwrap()
                .note
                .as_deref()
                .unwrap()
                .contains("caster")
        );
        // 1/4 in is 6.35 mm (international inch of 25.4 mm).
        let bottom = book.method("drawer_bottom_new").unwrap();
        assert!(bottom.adds.as_deref().unwrap().contains("6.35 mm"));
        for (id, cures) in [
            ("veneer_patch", Cures::Cures),
            ("touch_up", Cures::Hides),
            ("wax_fill", Cures::Hides),
            ("paint", Cures::Hides),
            ("quarantine", Cures::Watches),
            ("insect_freeze", Cures::Treats),
            ("lead_test", Cures::Tests),
            ("lead_safe", Cures::Handles),
            ("anchor", Cures::Handles),
            ("reglue_joint", Cures::Cures),
        ] {
            assert_eq!(book.method(id).unwrap().cures, cures, "{id}");
        }
    }
}
