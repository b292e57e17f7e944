//! When what was told entered the book, by the lines, what they put right of shoots, and what the record said before the pictures of a claim came in.

use std::collections::BTreeMap;

use crate::assess;
use crate::assess::assessment::Assessment;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::PhotoTaken;
use crate::evidence::ledger::entry::RepairRecorded;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::ledger::shoots_told::ShootsTold;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::model::mark::Mark;
use crate::model::mark::Sidecar;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::report::CameIn;
use crate::report::InBook;
use crate::report::LackEntered;
use crate::report::LateWords;
use crate::report::PhotosMoved;
use crate::report::SaleTold;
use crate::report::ShootChanged;
use crate::report::WordsInBook;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::dossier::retold::read;
use crate::work::dossier::seals::Sealed;
use crate::work::piece::recorded::piece_record;

/// The lines of a piece as a clock.
pub(in crate::work) struct Written<'a> {
    lines: &'a [LedgerLine],
    sealed: Option<&'a Sealed>,
    /// The texts beside each picture that could be read, each with its line, in the order of these.
    texts: BTreeMap<u32, Vec<(&'a LedgerLine, Sidecar)>>,
    came_in: Option<CameIn>,
    /// When the ledger of an older book began: what the book held then was put into lines in one go, and their order tells nothing.
    in_one_go: Option<Moment>,
}

impl<'a> Written<'a> {
    /// Of the lines of a piece.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub(in crate::work) fn of(
        book: &OpenBook,
        it: &Assessment,
        lines: &'a [LedgerLine],
        sealed: Option<&'a Sealed>,
    ) -> Result<Self, WorkError> {
        let kept = book.record.kept_texts(&it.piece.stock_no)?;
        let mut written = Self {
            lines,
            sealed,
            texts: BTreeMap::new(),
            came_in: None,
            in_one_go: None,
        };
        for line in lines {
            match Entry::read(line) {
                Ok(Entry::Known(EntryKind::Begun(it))) if it.built_later => {
                    written.in_one_go = Some(line.at);
                }
                Ok(Entry::Known(EntryKind::Photo(photo))) => {
                    if written.came_in.is_none()
                        && let Some(stage) = after_sale_once(it, &photo)
                    {
                        written.came_in = Some(CameIn {
                            stage,
                            taken_in_as: photo.stage,
                            day: line.at.local_day(),
                            line: line.no,
                        });
                    }
                }
                Ok(Entry::Known(EntryKind::Sidecar(it))) => {
                    if let Some(text) = read(&kept, &it) {
                        written
                            .texts
                            .entry(it.photo)
                            .or_default()
                            .push((line, text));
                    }
                }
                _ => {}
            }
        }
        Ok(written)
    }

    /// A line, with what came in before it.
    pub(in crate::work) fn at(&self, line: &LedgerLine) -> InBook {
        self.entered(line.no, line.at)
    }

    fn entered(&self, line: u64, at: Moment) -> InBook {
        InBook {
            line,
            day: at.local_day(),
            seal: self.sealed.and_then(|it| it.seal_of(line)),
            after: self.came_in.filter(|_| self.is_after(line, at)),
        }
    }

    fn is_later(&self, line: &LedgerLine) -> bool {
        self.is_after(line.no, line.at)
    }

    fn is_after(&self, line: u64, at: Moment) -> bool {
        let is_after = self.came_in.is_some_and(|it| line > it.line);
        is_after && self.in_one_go != Some(at)
    }

    /// Which parts the piece was told to lack, each change with its line.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub(in crate::work) fn lacks(
        &self,
        book: &OpenBook,
        it: &Assessment,
    ) -> Result<Vec<LackEntered>, WorkError> {
        let told = book.record.lacks_told(&it.piece.stock_no)?.into_iter();
        let entered = told.map(|told| LackEntered {
            entered: self.entered(told.line, told.at),
            told,
        });
        Ok(entered.collect())
    }

    /// The words in force beside a picture: each by the first line since which every text says it.
    pub(in crate::work) fn beside(&self, it: &Assessment, photo: &Photo) -> WordsInBook {
        let texts = self.texts.get(&photo.no).map_or(&[][..], Vec::as_slice);
        let own = is_after_sale(it, photo);
        let since = |says: &dyn Fn(&Sidecar) -> bool| {
            let saying = texts.iter().rev().take_while(|it| says(&it.1));
            let (line, _) = saying.last()?;
            let told = self.at(line);
            let after = told.after.filter(|_| !own);
            Some(InBook { after, ..told })
        };
        let now = &photo.sidecar;
        let marks = now.marks.iter();
        WordsInBook {
            marks: marks
                .map(|mark| since(&|text| text.marks.iter().any(|it| is_same(it, mark))))
                .collect(),
            mark_notes: now
                .marks
                .iter()
                .map(|mark| {
                    let noted = |it: &Mark| is_same(it, mark) && it.note == mark.note;
                    let told = since(&|text| text.marks.iter().any(noted));
                    told.filter(|_| mark.note.is_some())
                })
                .collect(),
            note: since(&|text| text.note == now.note).filter(|_| now.note.is_some()),
            view: since(&|text| text.view == now.view).filter(|_| now.view.is_some()),
        }
    }

    /// A sale that a line tells.
    pub(in crate::work) fn sale(&self, line: &LedgerLine, day: Day) -> SaleTold {
        SaleTold {
            entered: Some(self.at(line)),
            ..SaleTold::on(day)
        }
    }

    /// The repairs, by number: each by the last line that changed what it says.
    pub(in crate::work) fn repairs(&self) -> BTreeMap<u32, InBook> {
        let mut said: BTreeMap<u32, (RepairRecorded, InBook)> = BTreeMap::new();
        for line in self.lines {
            let Ok(Entry::Known(EntryKind::Repair(it))) = Entry::read(line) else {
                continue;
            };
            if said.get(&it.no).is_none_or(|was| was.0 != it) {
                said.insert(it.no, (it, self.at(line)));
            }
        }
        said.into_iter().map(|(no, it)| (no, it.1)).collect()
    }

    /// What the record means by the texts, repairs and lacking parts that were told before the first pictures from after the sale came in, with all
    /// that is told of these themselves; `None` where that is all of it.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub(in crate::work) fn before_claim(
        &self,
        book: &OpenBook,
        it: &Assessment,
    ) -> Result<Option<Assessment>, WorkError> {
        let mut case = piece_record(book, &it.piece.stock_no, book.settings()?)?;
        let mut is_all = true;
        for photo in case.photos.iter_mut().filter(|of| !is_after_sale(it, of)) {
            let Some(texts) = self.texts.get(&photo.no) else {
                continue;
            };
            if texts.last().is_some_and(|it| self.is_later(it.0)) {
                let mut earlier = texts.iter().rev();
                let was = earlier.find(|it| !self.is_later(it.0));
                photo.sidecar = was.map_or_else(Sidecar::default, |it| it.1.clone());
                is_all = false;
            }
        }
        for it in self.lacks(book, it)?.into_iter().rev() {
            if it.entered.after.is_some() {
                it.told.undo(&mut case.piece);
                is_all = false;
            }
        }
        let told = self.repairs();
        case.repairs.retain(|it| {
            let is_later = told.get(&it.no).is_some_and(|it| it.after.is_some());
            is_all &= !is_later;
            !is_later
        });
        Ok((!is_all).then(|| assess::assess(&case, &book.trade)))
    }
}

/// What was told of a piece only after the first pictures from after the sale had come in; `None` where nothing was.
///
/// # Errors
/// When the record cannot be read.
pub(in crate::work) fn late_words(
    book: &OpenBook,
    it: &Assessment,
) -> Result<Option<LateWords>, WorkError> {
    let lines = book.record.lines_of(&it.piece.stock_no)?;
    let lines = lines
        .iter()
        .filter_map(|it| LedgerLine::read(&it.text).ok());
    let lines: Vec<LedgerLine> = lines.collect();
    let written = Written::of(book, it, &lines, None)?;
    let Some(came_in) = written.came_in else {
        return Ok(None);
    };
    let is_late = |entered: &InBook| entered.after.is_some();
    let beside = |photo: &&Photo| {
        let words = written.beside(it, photo);
        let mut all = words.all();
        all.any(is_late)
    };
    let repairs = written.repairs().into_iter().filter(|it| is_late(&it.1));
    let of_piece = |line: &LedgerLine| {
        let entry = Entry::read(line);
        matches!(entry, Ok(Entry::Known(EntryKind::Piece(_)))) && written.is_later(line)
    };
    let late = LateWords {
        came_in,
        pictures: { it.photos.iter() }
            .filter(beside)
            .map(|it| it.no)
            .collect(),
        repairs: repairs.map(|it| it.0).collect(),
        of_piece: lines.iter().any(of_piece),
    };
    let is_any = late.of_piece || !late.pictures.is_empty() || !late.repairs.is_empty();
    Ok(is_any.then_some(late))
}

/// What was put right of shoots: each line about one after its first.
pub(in crate::work::dossier) fn shoot_changes(lines: &[LedgerLine]) -> Vec<ShootChanged> {
    let mut told: BTreeMap<u32, (Stage, Day)> = BTreeMap::new();
    let mut changes = Vec::new();
    for line in lines {
        let Ok(Entry::Known(EntryKind::Shoot(it))) = Entry::read(line) else {
            continue;
        };
        let is = (it.stage, it.day);
        let before = told.insert(it.shoot, is);
        changes.extend(before.filter(|was| *was != is).map(|was| ShootChanged {
            no: it.shoot,
            was,
            is,
            on: line.at.local_day(),
            line: line.no,
        }));
    }
    changes
}

/// The photos that were put into another shoot: a row for those of which one line after the other says the same.
pub(in crate::work::dossier) fn moves(lines: &[LedgerLine]) -> Vec<PhotosMoved> {
    let mut shoots = ShootsTold::default();
    let mut all: Vec<PhotosMoved> = Vec::new();
    for line in lines {
        let Ok(Entry::Known(kind)) = Entry::read(line) else {
            continue;
        };
        let placed = shoots.read(&kind);
        let Some(it) = placed.filter(|_| matches!(kind, EntryKind::Moved(_))) else {
            continue;
        };
        let on = line.at.local_day();
        let same = all.last_mut().filter(|last| {
            (last.was, last.is, last.on, last.line + 1) == (it.was, it.is, on, line.no)
        });
        match same {
            Some(last) => {
                last.photos.push(it.photo);
                last.line = line.no;
            }
            None => all.push(PhotosMoved {
                photos: vec![it.photo],
                was: it.was,
                is: it.is,
                on,
                line: line.no,
            }),
        }
    }
    all
}

/// The occasion after the sale that a photo is or ever was told as of: putting it elsewhere does not undo that it came in then.
fn after_sale_once(it: &Assessment, photo: &PhotoTaken) -> Option<Stage> {
    let own = it.photos.iter().find(|it| it.no == photo.photo);
    let shoot = own.map_or(photo.shoot, |it| it.shoot);
    let shoot = it.shoots.iter().find(|it| it.no == shoot);
    let steps = own.and_then(|it| it.moved.as_ref());
    let steps = steps.map_or(&[][..], |it| it.steps.as_slice());
    let told = steps.iter().rev().filter_map(|it| it.stage);
    let now = shoot.map(|it| it.stage).unwrap_or(photo.stage);
    std::iter::once(now).chain(told).find(|it| it.after_sale())
}

fn is_after_sale(it: &Assessment, photo: &Photo) -> bool {
    let shoot = it.shoots.iter().find(|it| it.no == photo.shoot);
    shoot.is_some_and(|it| it.stage.after_sale())
}

/// Whether two marks say the same; where in the picture is no word, and its note is one of its own.
fn is_same(a: &Mark, b: &Mark) -> bool {
    let at = |it: &Mark| Mark {
        region: None,
        note: None,
        ..it.clone()
    };
    at(a) == at(b)
}
