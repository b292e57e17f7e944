//! One reading of all that was said of parts, from which everything else is told.
//!
//! A statement about the narrower part beats one about the wider, whatever came later; the newer beats the older only at the
//! same part, and that nobody looked beats nothing: it takes no look away. A wider "sound" covers only inner parts that were not spoken of otherwise and that a look at the whole, or the view
//! of the picture beside which it is written, can see.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::findings::from_marks::numbers::Numbers;
use crate::assess::part_list::PartList;
use crate::assess::part_list::belongs;
use crate::assess::piece_record::PieceRecord;
use crate::assess::statements::statement::Lost;
use crate::assess::statements::statement::Missed;
use crate::assess::statements::statement::NotLooked;
use crate::assess::statements::statement::SoundSeen;
use crate::assess::statements::statement::Statement;
use crate::assess::timeline::DatedMark;
use crate::assess::timeline::Timeline;
use crate::model::ids::PartId;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::model::piece::LackTold;
use crate::model::piece::ToldOn;
use crate::trade::TradeBook;

/// All that was said of parts.
#[derive(Debug)]
pub(crate) struct Statements<'a> {
    list: &'a PartList,
    /// Statements by the part that they name, in the order of time.
    told: BTreeMap<PartId, Vec<Statement>>,
    /// Marks of faults by the part that they are about, in the order of time.
    faults: BTreeMap<PartId, Vec<FaultMark>>,
    /// Inner parts that the view of a photo shows beside which their whole is called sound, such as a drawer's bottom.
    in_view: BTreeSet<(u32, PartId)>,
}

/// A mark of a fault.
#[derive(Clone, Copy, Debug)]
struct FaultMark {
    rank: usize,
    is_there: bool,
    /// Whether it stands beside a picture of the delivery: what its buyer complains of is no look at the rest.
    is_complaint: bool,
}

impl<'a> Statements<'a> {
    /// Reads the record.
    pub(crate) fn of(
        case: &PieceRecord,
        book: &TradeBook,
        time: &Timeline<'_>,
        list: &'a PartList,
    ) -> Self {
        let numbers = Numbers::of(&case.findings);
        let mut it = Self {
            list,
            told: BTreeMap::new(),
            faults: BTreeMap::new(),
            in_view: BTreeSet::new(),
        };
        // What was told of the piece by a later line than that of its intake is a later word than what stands beside the pictures of before.
        let intake = { case.lacks_told.first() }
            .filter(|it| it.at == case.piece.taken_in)
            .map(|it| it.line);
        let later = |told: &ToldOn| Some(told.line) != intake;
        let mut absent: Vec<(&PartId, Option<ToldOn>)> = { case.piece.absent.iter() }
            .map(|it| (it, LackTold::absent_since(&case.lacks_told, it)))
            .collect();
        absent.sort_by_key(|(_, told)| told.filter(later).map(|it| (it.on, it.line)));
        let mut absent = absent.into_iter().peekable();
        let missed = |told| Missed {
            wider: None,
            at: None,
            told,
            lost: None,
            rank: None,
        };
        for said in time.marks() {
            let is_told =
                |told: Option<ToldOn>| told.filter(later).is_none_or(|it| it.on < said.day());
            while let Some((part, told)) = absent.next_if(|it| is_told(it.1)) {
                it.tell_lack(part, missed(told));
            }
            match (statement(&said), &said.mark.part) {
                (Some(Statement::Absent(missed)), Some(part)) => {
                    let lost = it.lost(part, &said);
                    it.tell(part, Statement::Absent(Missed { lost, ..missed }));
                }
                (Some(statement), Some(part)) => {
                    if matches!(statement, Statement::Sound(_)) {
                        it.see(part, said.photo, book);
                    }
                    it.tell(part, statement);
                }
                _ => it.fault(&said, &numbers, book),
            }
        }
        for (part, told) in absent {
            it.tell_lack(part, missed(told));
        }
        it
    }

    /// What was told before of a part that is now absent: that it was sound. A later word that it is absent adds nothing to the first.
    fn lost(&self, part: &PartId, now: &DatedMark<'_>) -> Option<Lost> {
        match self.told(part).last()? {
            Statement::Absent(it) => it.lost.clone(),
            Statement::Sound(was) => Some(Lost {
                was: was.clone(),
                photo: now.photo.no,
                day: now.day(),
                since_left: now.shoot.stage.after_sale(),
            }),
            Statement::NotExamined(_) => {
                let was = self.sound(part).pop()?;
                Some(Lost {
                    was,
                    photo: now.photo.no,
                    day: now.day(),
                    since_left: now.shoot.stage.after_sale(),
                })
            }
        }
    }

    /// Takes note of the inner parts of a part that a photo's view shows.
    fn see(&mut self, whole: &PartId, photo: &Photo, book: &TradeBook) {
        let view = photo.sidecar.view.as_deref().and_then(|it| book.view(it));
        let list = self.list;
        let inner = list.parts.iter().filter(|it| it.id.is_inner());
        let inner = inner.filter(|it| it.id.whole() == *whole);
        let shown = inner.filter(|it| view.is_some_and(|view| view.shows_part(it)));
        self.in_view
            .extend(shown.map(|it| (photo.no, it.id.clone())));
    }

    /// Whether a word that the whole is sound covers this inner part.
    fn covers(&self, sound: &SoundSeen, part: &PartId) -> bool {
        let in_view = || self.in_view.contains(&(sound.photo(), part.clone()));
        self.list.shows_with_whole(part) || in_view()
    }

    fn tell(&mut self, part: &PartId, statement: Statement) {
        self.told.entry(part.clone()).or_default().push(statement);
    }

    /// That the piece was told to lack a part. Where a mark said so before, that stays the word on it: since when it is absent.
    fn tell_lack(&mut self, part: &PartId, missed: Missed) {
        let told = self.told.entry(part.clone()).or_default();
        let last = told.len().saturating_sub(1);
        let at = match told.last() {
            Some(Statement::Absent(_)) => last,
            _ => told.len(),
        };
        told.insert(at, Statement::Absent(missed));
    }

    fn fault(&mut self, said: &DatedMark<'_>, numbers: &Numbers<'_>, book: &TradeBook) {
        let no = numbers.of_mark(said.mark, book);
        let part = match no.and_then(|it| numbers.key(it)) {
            Some(key) => Some(&key.part),
            None => {
                let tag = said.mark.tag.as_deref();
                let is_fault = tag.is_some_and(|it| book.tag(it).is_some());
                said.mark.part.as_ref().filter(|_| is_fault)
            }
        };
        if let Some(part) = part {
            let mark = FaultMark {
                rank: said.rank,
                is_there: said.mark.state.is_there(),
                is_complaint: said.shoot.stage == Stage::Delivery,
            };
            self.faults.entry(part.clone()).or_default().push(mark);
        }
    }

    /// What was said of a part; `None` when nothing was, or when only faults on it were told.
    pub(crate) fn said(&self, part: &PartId) -> Option<Statement> {
        self.word(part, Self::newest)
    }

    /// The same, where that nobody looked counts as any other word.
    pub(crate) fn last_said(&self, part: &PartId) -> Option<Statement> {
        self.word(part, |it, part| it.told.get(part)?.last())
    }

    fn word<'s>(
        &'s self,
        part: &PartId,
        newest: impl Fn(&'s Self, &PartId) -> Option<&'s Statement>,
    ) -> Option<Statement> {
        let own = newest(self, part);
        if !part.is_inner() {
            return own.cloned();
        }
        let whole = part.whole();
        let wider = newest(self, &whole);
        // A mark on the whole, of the same day or later, says that it is there: nothing is said of its parts then.
        let back = |it: &&Statement| {
            let marked = self.last_fault_within(&whole);
            matches!(it, Statement::Absent(_)) && marked.is_some() && marked >= it.rank()
        };
        let wider = wider.filter(|it| !back(it)).cloned();
        let wider = wider.map(|it| it.of_inner(&self.list.label(&whole)));
        let is_spoken_of = self.spoken_of(part).next().is_some();
        match (own, wider) {
            (Some(own), _) => Some(own.clone()),
            (None, _) if is_spoken_of => None,
            (None, Some(Statement::Sound(ref it))) if !self.covers(it, part) => None,
            (None, wider) => wider,
        }
    }

    /// Statements that a part was looked at for faults and none was found, in the order of time: those about itself, and those
    /// about its whole that cover it. Where the same shoot shows a fault on what the statement is about, it does not count.
    pub(crate) fn sound(&self, part: &PartId) -> Vec<SoundSeen> {
        let sound = |it: &Statement| match it {
            Statement::Sound(it) => Some(it.clone()),
            Statement::Absent(_) | Statement::NotExamined(_) => None,
        };
        let own = self.told(part).filter_map(sound);
        let mut all: Vec<SoundSeen> = own
            .filter(|it| !self.faulty_at(it.rank, |fault| belongs(fault, part)))
            .collect();
        let whole = part.whole();
        if part.is_inner() {
            let otherwise = |rank: usize| self.spoken_of(part).any(|it| it <= Some(rank));
            let label = self.list.label(&whole);
            let wider = self.told(&whole).filter_map(sound);
            let wider = wider.filter(|it| self.covers(it, part));
            let wider = wider.filter(|it| !otherwise(it.rank));
            let wider = wider.filter(|it| !self.faulty_at(it.rank, |fault| *fault == whole));
            all.extend(wider.map(|it| SoundSeen {
                wider: Some(label.clone()),
                ..it
            }));
            all.sort_by_key(|it| (it.rank, it.at));
        }
        all
    }

    /// Whether it is written in the shoot of this rank that the part, or the whole to which it belongs, was not examined or is
    /// absent: its photos may have it in their frame, and something before it, or nobody looked.
    pub(crate) fn is_unseen_at(&self, rank: usize, part: &PartId) -> bool {
        self.is_absent_at(rank, part) || self.not_examined_at(rank, part)
    }

    /// Whether it is written in the shoot of this rank that the part, or the whole to which it belongs, was not examined.
    pub(crate) fn not_examined_at(&self, rank: usize, part: &PartId) -> bool {
        let said = |it: &Statement| matches!(it, Statement::NotExamined(_));
        self.says_at(rank, part, said)
    }

    /// Whether it is written in the shoot of this rank that the part, or the whole to which it belongs, is absent.
    pub(crate) fn is_absent_at(&self, rank: usize, part: &PartId) -> bool {
        self.says_at(rank, part, |it| matches!(it, Statement::Absent(_)))
    }

    fn says_at(&self, rank: usize, part: &PartId, what: impl Fn(&Statement) -> bool) -> bool {
        let whole = part.whole();
        let mut said = self.told(part).chain(self.told(&whole));
        said.any(|it| it.rank() == Some(rank) && what(it))
    }

    /// Where the newest mark of a fault on this part itself stands in time that says that somebody looked at it.
    pub(crate) fn last_look_with_fault(&self, part: &PartId) -> Option<usize> {
        let looks = self.fault_marks(part).filter(|it| !it.is_complaint);
        looks.map(|it| it.rank).max()
    }

    /// Where the newest mark of a fault on this part or a part of it stands in time.
    pub(crate) fn last_fault_within(&self, part: &PartId) -> Option<usize> {
        let within = self.faults.iter().filter(|(it, _)| belongs(it, part));
        within.flat_map(|it| it.1).map(|it| it.rank).max()
    }

    /// The newest word on this very part; that nobody looked counts where there is no other.
    fn newest<'s>(&'s self, part: &PartId) -> Option<&'s Statement> {
        let looked = |it: &&Statement| !matches!(it, Statement::NotExamined(_));
        let own = self.told.get(part).map_or(&[][..], Vec::as_slice);
        own.iter().rev().find(looked).or(own.last())
    }

    /// Every statement on this very part, in the order of time.
    pub(crate) fn told(&self, part: &PartId) -> impl Iterator<Item = &Statement> {
        self.told.get(part).into_iter().flatten()
    }

    fn fault_marks(&self, part: &PartId) -> impl Iterator<Item = &FaultMark> {
        self.faults.get(part).into_iter().flatten()
    }

    /// When anything was said of this very part, a fault or a statement.
    fn spoken_of(&self, part: &PartId) -> impl Iterator<Item = Option<usize>> {
        let told = self.told(part).map(Statement::rank);
        told.chain(self.fault_marks(part).map(|it| Some(it.rank)))
    }

    /// Whether a shoot shows a fault on one of these parts.
    fn faulty_at(&self, rank: usize, on: impl Fn(&PartId) -> bool) -> bool {
        let mut faults = self.faults.iter().filter(|(it, _)| on(it));
        faults.any(|(_, marks)| marks.iter().any(|it| it.rank == rank && it.is_there))
    }
}

/// The statement that a mark makes; `None` for faults and observations.
fn statement(said: &DatedMark<'_>) -> Option<Statement> {
    let (at, rank) = (said.at(), said.rank);
    match said.mark.tag.as_deref()? {
        "absent" => Some(Statement::Absent(Missed {
            wider: None,
            at: Some(at),
            told: None,
            lost: None,
            rank: Some(rank),
        })),
        "not_examined" => Some(Statement::NotExamined(NotLooked {
            wider: None,
            at,
            why: said.mark.note.clone(),
            rank,
        })),
        "sound" => Some(Statement::Sound(SoundSeen {
            wider: None,
            at,
            day: said.day(),
            rank,
        })),
        _ => None,
    }
}
