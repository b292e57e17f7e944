//! The sections of a report in order, and which of them are told in the reader's language.

use serde::Serialize;

use crate::report::page::context::PageContext;
use crate::tongue::Language;
use crate::tongue::Saying;
use crate::tongue::say;

/// A section of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::report) enum Section {
    Glance,
    Drawn,
    State,
    Changed,
    Views,
    Made,
    Seen,
    Unexamined,
    Safety,
    Method,
    What,
    Check,
    Parts,
    Pictures,
    Owner,
}

impl Section {
    /// All of them, with their anchors and whether they are told in every language; else they are English, and the page says so.
    const ALL: [(Self, &'static str, bool); 15] = [
        (Self::Glance, "glance", true),
        (Self::Drawn, "drawn", true),
        (Self::State, "state", false),
        (Self::Changed, "changed", true),
        (Self::Views, "views", true),
        (Self::Made, "made", false),
        (Self::Seen, "seen", false),
        (Self::Unexamined, "unexamined", false),
        (Self::Safety, "safety", false),
        (Self::Method, "method", true),
        (Self::What, "what", false),
        (Self::Check, "check", false),
        (Self::Parts, "parts", false),
        (Self::Pictures, "pictures", false),
        (Self::Owner, "owner", false),
    ];

    fn label(self) -> Saying {
        match self {
            Self::Glance => say::section_glance(),
            Self::Drawn => say::section_drawn(),
            Self::State => say::section_state(),
            Self::Changed => say::section_changed(),
            Self::Views => say::section_views(),
            Self::Made => say::section_made(),
            Self::Seen => say::section_seen(),
            Self::Unexamined => say::section_unexamined(),
            Self::Safety => say::section_safety(),
            Self::Method => say::section_method(),
            Self::What => say::section_what(),
            Self::Check => say::section_check(),
            Self::Parts => say::section_parts(),
            Self::Pictures => say::section_pictures(),
            Self::Owner => say::section_owner(),
        }
    }

    fn is_told(self) -> bool {
        Self::ALL.iter().any(|it| it.0 == self && it.2)
    }
}

/// The whole of a report in the reader's language, and the same in English for the sections that are not told in it.
#[derive(Clone, Copy)]
pub(in crate::report) struct Sections<'a, 'b> {
    /// In the language of the paper.
    pub(in crate::report) own: &'b PageContext<'a>,
    /// In English.
    pub(in crate::report) english: &'b PageContext<'a>,
}

impl<'a, 'b> Sections<'a, 'b> {
    /// That from which a section is made.
    pub(in crate::report) fn of(self, section: Section) -> &'b PageContext<'a> {
        match section.is_told() {
            true => self.own,
            false => self.english,
        }
    }

    /// What the page says of its sections.
    pub(in crate::report) fn views(self, has_owner: bool) -> Vec<SectionView> {
        let language = self.own.tongue().language;
        let all = Section::ALL.iter();
        let all = all.filter(|it| it.0 != Section::Owner || has_owner);
        let views = all.map(|(section, id, is_told)| {
            let is_english = !is_told && language != Language::English;
            let lang = |it: Language| match is_english {
                true => format!(" lang=\"{it}\""),
                false => String::new(),
            };
            SectionView {
                id,
                label: self.own.said(&section.label()),
                lang: lang(Language::English),
                label_lang: lang(language),
            }
        });
        views.collect()
    }

    /// Which sections are in English, where the paper is not.
    pub(in crate::report) fn in_english(self, views: &[SectionView]) -> Option<String> {
        let english = views.iter().zip(1_u32..).filter(|it| !it.0.lang.is_empty());
        let numbers: Vec<u32> = english.map(|it| it.1).collect();
        let said = || say::report_english(Saying::numbers(&numbers));
        (!numbers.is_empty()).then(|| self.own.said(&said()))
    }
}

/// A section, in the list of contents and over its text.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct SectionView {
    id: &'static str,
    label: String,
    /// The attribute that says that its text is English; empty where it is in the language of the page.
    lang: String,
    /// The same of its heading, which is never English alone.
    label_lang: String,
}
