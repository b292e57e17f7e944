//! Which parts a piece is told to lack now, and what speaks against that.

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::missing_support::MISSING;
use crate::assess::part_report::SaidWord;
use crate::model::ids::PartId;
use crate::model::piece::Piece;
use crate::model::piece::told::BuyerFact;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::recorded::assessment;

/// What was told anew of the parts that a piece lacks.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Lacking {
    /// All that are told not to be there now.
    pub absent: Vec<PartId>,
    /// All that it is told never to have had now.
    pub never_had: Vec<PartId>,
    /// Those that were told to be lacking before, and are no more.
    pub no_more: Vec<PartId>,
    /// What speaks against what was told, in sentences without a full stop.
    pub look: Vec<String>,
}

impl Lacking {
    /// Of a piece as it was told before and is now; `None` where that is the same.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub(in crate::work) fn between(
        book: &OpenBook,
        was: &Piece,
        now: &Piece,
    ) -> Result<Option<Self>, WorkError> {
        let lists = |it: &Piece| [it.absent.clone(), it.never_had.clone()].concat();
        let (before, after) = (lists(was), lists(now));
        let only = |these: &[PartId], others: &[PartId]| -> Vec<PartId> {
            let only = these.iter().filter(|it| !others.contains(it));
            only.cloned().collect()
        };
        let new = [
            only(&now.absent, &was.absent),
            only(&now.never_had, &was.never_had),
        ]
        .concat();
        let no_more = only(&before, &after);
        if new.is_empty() && no_more.is_empty() {
            return Ok(None);
        }
        let all = assessment(book, &now.stock_no)?;
        let mut look: Vec<String> = new.iter().flat_map(|it| against(&all, it)).collect();
        look.extend(told_late(book, now)?);
        Ok(Some(Self {
            absent: now.absent.clone(),
            never_had: now.never_had.clone(),
            no_more,
            look,
        }))
    }
}

/// That what its buyer reads is told anew after it left; `None` where it is as before or told with what it lacks, or where it has not left.
pub(in crate::work::piece) fn facts_late(
    book: &OpenBook,
    was: &Piece,
    now: &Piece,
    lacking: &Option<Lacking>,
) -> Result<Option<String>, WorkError> {
    match lacking.is_some() || BuyerFact::between(was, now).is_empty() {
        true => Ok(None),
        false => told_late(book, now),
    }
}

/// That what is told now of a piece is told after it left; `None` where it has not.
fn told_late(book: &OpenBook, piece: &Piece) -> Result<Option<String>, WorkError> {
    let today = book.now.local_day();
    let sold = book.record.sale(&piece.stock_no)?.map(|it| it.day);
    let sold = sold.filter(|it| *it < today);
    let late = match sold {
        Some(day) => Some(format!("it was sold on {day}")),
        None => {
            let shoots = book.record.shoots(&piece.stock_no)?;
            let left = shoots.into_iter().find(|it| it.stage.after_sale());
            left.map(|it| format!("the {} of {}", it.stage, it.day))
        }
    };
    Ok(late.map(|after| {
        format!("that is told after {after}: pages and dossiers say on which day it was told")
    }))
}

/// What is said in pictures of a part, or of what lies in it, that goes with no part that is not there.
fn against(all: &Assessment, part: &PartId) -> Vec<String> {
    let is_its = |it: &PartId| it == part || it.whole() == *part;
    let sound = all.parts.iter().filter(|it| is_its(&it.part));
    let sound = sound.flat_map(|it| {
        let said = it.said.iter().filter(|it| it.word == SaidWord::Sound);
        said.filter_map(|said| {
            let (photo, day) = (said.photo?, said.day?.spoken());
            let of = &it.part;
            Some(format!(
                "`{part}` is told not to be there, and picture {photo} of {day} says that `{of}` was sound"
            ))
        })
    });
    let marked = all.findings.iter();
    let marked = marked.filter(|it| is_its(&it.part) && it.tag != MISSING);
    let marked = marked.filter_map(|it| {
        let seen = it.history.iter().find(|it| it.state.is_there())?;
        let (no, photo, day) = (it.no, seen.marks.first()?.photo, seen.day.spoken());
        Some(format!(
            "`{part}` is told not to be there, and {no} is marked on it in picture {photo} of {day}"
        ))
    });
    sound.chain(marked).collect()
}
