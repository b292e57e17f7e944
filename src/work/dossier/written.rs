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
use crate::model::piece::told::FactTold;
use crate::model::piece::told::LackTold;
use crate::report::CameIn;
use crate::report::FactEntered;
use crate::report::InBook;
use crate::report::LackEntered;
use crate::report::PhotosMoved;
use crate::report::SaleTold;
use crate::report::ShootChanged;
use crate::report::SinceLeft;
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
    pub(in crate::work::dossier) texts: BTreeMap<u32, Vec<(&'a LedgerLine, Sidecar)>>,
    came_in: Option<CameIn>,
    /// The sale in force: the first line that tells it, with the day that it tells.
    sold: Option<(u64, Day)>,
    /// The first day on which a photo of it came into the book.
    begun: Option<Day>,
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
            sold: None,
            begun: None,
            in_one_go: None,
        };
        for line in lines {
            match Entry::read(line) {
                Ok(Entry::Known(EntryKind::Begun(it))) if it.built_later => {
                    written.in_one_go = Some(line.at);
                }
                Ok(Entry::Known(EntryKind::Photo(photo))) => {
                    written.begun.get_or_insert(line.at.local_day());
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
                Ok(Entry::Known(EntryKind::Sale(it))) => {
                    written.sold.get_or_insert((line.no, it.day));
                }
                Ok(Entry::Known(EntryKind::Unsold(_))) => written.sold = None,
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
            after: self.after(line, at),
        }
    }

    pub(in crate::work::dossier) fn is_later(&self, line: &LedgerLine) -> bool {
        self.after(line.no, line.at).is_some()
    }

    /// How it shows that the piece had left before a line: by the first pictures from after the sale, by the line that tells the sale, or by
    /// the day that this tells, whenever it was told.
    pub(in crate::work::dossier) fn after(&self, line: u64, at: Moment) -> Option<SinceLeft> {
        if self.in_one_go == Some(at) {
            return None;
        }
        let came_in = self.came_in.filter(|it| line > it.line);
        // A book that was begun after the sale was not kept in its time; only the order of its lines tells something.
        let in_time = |day: Day| self.begun.is_some_and(|begun| begun <= day);
        let is_late = |day: Day| in_time(day) && at.local_day() > day;
        let sold = self.sold;
        let sold = sold.filter(|(told, day)| line > *told || is_late(*day));
        let sold = sold.map(|(line, day)| SinceLeft::Sold { line, day });
        came_in.map(SinceLeft::CameIn).or(sold)
    }

    /// The first sign that the piece had left, and the day.
    pub(in crate::work::dossier) fn left(&self) -> Option<(SinceLeft, Day)> {
        let came_in = self.came_in.map(|it| (SinceLeft::CameIn(it), it.day));
        let sold = self.sold;
        let sold = sold.map(|(line, day)| (SinceLeft::Sold { line, day }, day));
        [sold, came_in].into_iter().flatten().min_by_key(|it| it.1)
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
        let told = book.record.pieces_told(&it.piece.stock_no)?;
        let told = LackTold::all(&told).into_iter();
        let entered = told.map(|told| LackEntered {
            entered: self.entered(told.line, told.at),
            told,
        });
        Ok(entered.collect())
    }

    /// What its buyer reads of the piece and was told anew after it had been told otherwise or after the piece had left, each with its line.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub(in crate::work) fn facts(
        &self,
        book: &OpenBook,
        it: &Assessment,
    ) -> Result<Vec<FactEntered>, WorkError> {
        let told = book.record.pieces_told(&it.piece.stock_no)?;
        let told = FactTold::all(&told).into_iter();
        let entered = told.map(|told| FactEntered {
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
    fn sale(&self, line: &LedgerLine, day: Day) -> SaleTold {
        SaleTold {
            entered: Some(InBook {
                after: { self.came_in.map(SinceLeft::CameIn) }.filter(|it| line.no > it.line()),
                ..self.at(line)
            }),
            ..SaleTold::on(day)
        }
    }

    /// Adds the sale that a line tells; told again for its price alone it is as old as it was.
    pub(in crate::work) fn tell_sale(
        &self,
        sales: &mut Vec<SaleTold>,
        line: &LedgerLine,
        day: Day,
    ) {
        let sale = self.sale(line, day);
        if !sales.last().is_some_and(|it| it.says(&sale)) {
            sales.push(sale);
        }
    }

    /// The repairs, by number: each by the last line that changed what it says.
    pub(in crate::work) fn repairs(&self) -> BTreeMap<u32, InBook> {
        let told = self.repairs_told().into_iter();
        told.filter_map(|(no, all)| Some((no, all.last()?.1)))
            .collect()
    }

    /// All that was told of each repair, each change by its line.
    pub(in crate::work::dossier) fn repairs_told(
        &self,
    ) -> BTreeMap<u32, Vec<(RepairRecorded, InBook)>> {
        let mut said: BTreeMap<u32, Vec<(RepairRecorded, InBook)>> = BTreeMap::new();
        for line in self.lines {
            let Ok(Entry::Known(EntryKind::Repair(it))) = Entry::read(line) else {
                continue;
            };
            let all = said.entry(it.no).or_default();
            if all.last().is_none_or(|was| was.0 != it) {
                all.push((it, self.at(line)));
            }
        }
        said
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

pub(in crate::work::dossier) fn is_after_sale(it: &Assessment, photo: &Photo) -> bool {
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
