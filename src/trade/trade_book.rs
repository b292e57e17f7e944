//! The whole trade book, parsed once, with its lookups.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::sync::LazyLock;

use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::model::photo::Stage;
use crate::trade::cue::Cue;
use crate::trade::form::Form;
use crate::trade::form::PartChoice;
use crate::trade::hazard::Hazard;
use crate::trade::kind::PartKind;
use crate::trade::method::Method;
use crate::trade::tag::Tag;
use crate::trade::view::View;
use crate::trade::view::ViewSet;

/// Everything the program knows of the trade.
#[derive(Debug)]
pub struct TradeBook {
    /// Forms of furniture.
    pub forms: Vec<Form>,
    /// Views, in walking order.
    pub views: Vec<View>,
    /// Which views a complete record has at each stage.
    pub sets: Vec<ViewSet>,
    /// Kinds of parts.
    pub kinds: Vec<PartKind>,
    /// Faults.
    pub tags: Vec<Tag>,
    /// Observations that are no faults.
    pub cues: Vec<Cue>,
    /// Ways to repair.
    pub methods: Vec<Method>,
    /// Dangers and the lines to print about them.
    pub hazards: Vec<Hazard>,
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

static BOOK: LazyLock<TradeBook> = LazyLock::new(|| {
    TradeBook::parse().expect("the book is embedded, and a test parses the same bytes")
});

/// The trade book that is built into the program.
#[must_use]
pub fn book() -> &'static TradeBook {
    &BOOK
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
    view: Vec<View>,
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
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Methods {
    method: Vec<Method>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Hazards {
    hazard: Vec<Hazard>,
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
        let parts: Parts = read("parts.toml", include_str!("parts.toml"))?;
        let forms: Forms = read("forms.toml", include_str!("forms.toml"))?;
        let views: Views = read("views.toml", include_str!("views.toml"))?;
        let tags: Tags = read("tags.toml", include_str!("tags.toml"))?;
        let cues: Cues = read("cues.toml", include_str!("cues.toml"))?;
        let methods: Methods = read("methods.toml", include_str!("methods.toml"))?;
        let hazards: Hazards = read("hazards.toml", include_str!("hazards.toml"))?;
        let mut book = Self {
            forms: forms.form,
            views: views.view,
            sets: views.set,
            kinds: parts.kind,
            tags: tags.tag,
            cues: cues.cue,
            methods: methods.method,
            hazards: hazards.hazard,
            index: Default::default(),
        };
        book.index = book.build_index();
        Ok(book)
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

    /// The hazard of this id.
    #[must_use]
    pub fn hazard(&self, id: &str) -> Option<&Hazard> {
        Some(&self.hazards[self.at(Shelf::Hazard, id)?])
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
        let fits = |view: &&View| {
            asked.contains(view.id.as_str())
                && (view.needs.is_empty()
                    || view.needs.iter().any(|it| kinds.contains(it.as_str())))
        };
        self.views.iter().filter(fits).collect()
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
