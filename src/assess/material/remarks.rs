//! What was said beside the pictures that is no fault, so that a survey and a report tell all of it.
//!
//! Every mark comes out somewhere: a fault in its finding's history, everything else here.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::assess::findings::from_marks::numbers::Numbers;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::part_list::PartList;
use crate::assess::piece_record::PieceRecord;
use crate::assess::statements::looking::Looking;
use crate::assess::timeline::DatedMark;
use crate::assess::worked::Worked;
use crate::kit::clock::Day;
use crate::kit::text::capital;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::repair::Repair;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;
use crate::trade::entry::repair::deed::Deed;

/// Heading of words on parts that say `sound`, `absent` or `not_examined`.
const STATEMENTS: &str = "Said of parts";
/// What such a mark says, by its tag.
const STATED: [(&str, &str); 3] = [
    ("sound", "Looked for faults, found none"),
    ("absent", "Not there"),
    ("not_examined", "Not examined"),
];
/// Where a mark names no part.
const ELSEWHERE: &str = "The piece";

/// Something that was said of a part and is no fault, with every word that was written with it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Remark {
    /// Heading of its group, such as `Earlier repairs`.
    pub group: String,
    /// The word of the sidecar, such as `old_repair_sound`.
    pub tag: String,
    /// Its name: what is seen.
    pub term: String,
    /// What that tells, for a buyer; empty for statements about parts, and where it was not so.
    pub plain: String,
    /// Whether the name says by itself what the state says.
    #[serde(skip)]
    pub named_otherwise: bool,
    /// The part.
    pub part: Option<PartId>,
    /// Its label.
    pub part_label: String,
    /// Whether it was so.
    pub state: MarkState,
    /// What the user added to tell it apart, such as the name of a wood.
    pub which: Option<String>,
    /// The measure as written.
    pub size: Option<String>,
    /// The level.
    pub level: Option<u8>,
    /// The note.
    pub note: Option<String>,
    /// The day of the shoot.
    pub day: Day,
    /// The repair that took off, since, the coat of which it tells.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub taken_off: Option<u32>,
    /// Where it stands; several when the same was said with several pictures of one shoot.
    pub at: Vec<MarkAt>,
}

impl Remark {
    /// What was looked for in vain, or is not so any more, in words; nothing for what was seen.
    #[must_use]
    pub fn unless_seen(&self) -> Saying {
        match self.state {
            _ if self.taken_off.is_some() => say::taken_off_since(),
            _ if self.named_otherwise => Saying::nothing(),
            MarkState::Present => Saying::nothing(),
            MarkState::Better => say::less_than_before(),
            MarkState::Worse => say::more_than_before(),
            MarkState::Repaired => say::no_longer_so(),
            MarkState::Gone => say::mark_gone(),
            MarkState::NotVisible => say::mark_not_visible(),
            MarkState::NotExamined => say::mark_not_examined(),
        }
    }

    /// Every word of the user in it, in order.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let level = self.level.map(|it| format!("level {it}"));
        let said = [&self.which, &self.size, &level, &self.note];
        said.into_iter().flatten().cloned().collect()
    }

    /// Numbers of its photos.
    #[must_use]
    pub fn photos(&self) -> Vec<u32> {
        let mut photos: Vec<u32> = self.at.iter().map(|it| it.photo).collect();
        photos.dedup();
        photos
    }

    /// Whether another says the same of another part or in another picture.
    fn says_as(&self, other: &Self) -> bool {
        let alike = (&self.tag, self.state, self.day) == (&other.tag, other.state, other.day);
        alike && self.words() == other.words()
    }

    /// Whether what was said of another part can be told in the same line.
    #[must_use]
    pub fn tells_as(&self, other: &Self) -> bool {
        self.says_as(other) && self.photos() == other.photos()
    }
}

/// All of it: by group and observation in the order of the book, then in the order of time.
pub(crate) fn remarks(
    case: &PieceRecord,
    looking: &Looking<'_>,
    findings: &[Finding],
) -> Vec<Remark> {
    let (book, time, list) = (looking.book, looking.time, looking.list);
    let numbers = Numbers::of(&case.findings);
    let mut all: Vec<Remark> = Vec::new();
    for said in time.marks() {
        let Some(mut it) = of_mark(book, list, &numbers, said) else {
            continue;
        };
        it.taken_off = taken_off(&it, case, findings, book);
        if it.taken_off.is_some() {
            it.plain.clear();
        }
        let same = |known: &&mut Remark| known.says_as(&it) && known.part == it.part;
        match all.iter_mut().find(same) {
            Some(known) => known.at.extend(it.at),
            None => all.push(it),
        }
    }
    let groups = book.cue_groups.iter().map(|it| it.label.as_str());
    let groups: BTreeMap<&str, usize> = groups.zip(0..).collect();
    let mut first: BTreeMap<String, usize> = BTreeMap::new();
    for (n, it) in all.iter().enumerate() {
        first.entry(it.term.clone()).or_insert(n);
    }
    let cues: BTreeMap<&str, usize> = book.cues.iter().map(|it| it.id.as_str()).zip(0..).collect();
    let last = usize::MAX;
    all.sort_by_key(|it| {
        let group = groups.get(it.group.as_str()).copied().unwrap_or(last);
        let cue = cues.get(it.tag.as_str()).copied().unwrap_or(last);
        let named = first.get(&it.term).copied();
        (group, it.group.clone(), cue, it.tag.clone(), named)
    });
    all
}

/// `None` for a fault, and for a statement about a part without a word of its own: the list of parts says that.
fn of_mark(
    book: &TradeBook,
    list: &PartList,
    numbers: &Numbers<'_>,
    said: DatedMark<'_>,
) -> Option<Remark> {
    let mark = said.mark;
    let tag = mark.tag.as_deref()?;
    if book.tag(tag).is_some() {
        return None;
    }
    let stated = STATED.iter().find(|it| it.0 == tag);
    let worded = mark.note.is_some() || mark.which.is_some() || mark.size.is_some();
    if stated.is_some() && !worded {
        return None;
    }
    let cue = book.cue(tag);
    let group = match (stated, cue) {
        (Some(_), _) => STATEMENTS.to_owned(),
        (None, Some(cue)) => heading(book, &cue.group),
        (None, None) => "Other words".to_owned(),
    };
    let otherwise = cue.and_then(|it| it.otherwise.get(mark.state.word()));
    let of_finding = || Some(numbers.key(mark.finding?)?.part.clone());
    let part = mark.part.clone().or_else(of_finding);
    Some(Remark {
        group,
        tag: tag.to_owned(),
        term: term_of(book, tag, mark.state),
        plain: cue
            .filter(|_| mark.state.is_there() && otherwise.is_none())
            .map_or_else(String::new, |it| it.plain.clone()),
        named_otherwise: otherwise.is_some(),
        part_label: part
            .as_ref()
            .map_or_else(|| ELSEWHERE.to_owned(), |it| list.label(it)),
        part,
        state: mark.state,
        which: mark.which.clone(),
        size: mark.size.clone(),
        level: mark.level,
        note: mark.note.clone(),
        day: said.day(),
        taken_off: None,
        at: vec![said.at()],
    })
}

/// The last repair since that took off the coat of which a remark tells.
fn taken_off(
    it: &Remark,
    case: &PieceRecord,
    findings: &[Finding],
    book: &TradeBook,
) -> Option<u32> {
    let part = it.part.as_ref().filter(|_| it.state.is_there())?;
    book.cue(&it.tag)?.coat.as_ref()?;
    let strips = |repair: &&Repair| {
        let method = book.method(&repair.method);
        method.is_some_and(|it| it.does.contains(&Deed::Strip)) && repair.day >= it.day
    };
    let done = case.repairs.iter().filter(strips);
    let on = done.filter(|it| Worked::by(it, findings).reaches(part));
    on.map(|it| it.no).max()
}

/// What a word of a mark is called, as the mark states it: of a fault or observation its name, of a statement what it says.
#[must_use]
pub fn term_of(book: &TradeBook, tag: &str, state: MarkState) -> String {
    if let Some((_, term)) = STATED.iter().find(|it| it.0 == tag) {
        return (*term).to_owned();
    }
    if let Some(cue) = book.cue(tag) {
        let otherwise = cue.otherwise.get(state.word());
        return otherwise.unwrap_or(&cue.term).clone();
    }
    let fault = book.tag(tag).map(|it| it.term.clone());
    fault.unwrap_or_else(|| capital(&tag.replace('_', " ")))
}

/// Heading of a group of observations; its id in plain letters where the book has none.
fn heading(book: &TradeBook, group: &str) -> String {
    let known = book.cue_groups.iter().find(|it| it.id == group);
    known.map_or_else(|| capital(&group.replace('_', " ")), |it| it.label.clone())
}
