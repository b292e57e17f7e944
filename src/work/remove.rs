//! Taking a photo out of the book: its file is set aside, and the ledger says that it was there, and why it went.

use std::path::Path;
use std::path::PathBuf;

use serde::Serialize;

use crate::assess;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::outcome::Outcome;
use crate::assess::findings::taken_out::TakenOutPhoto;
use crate::assess::statements::statement::SoundSeen;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::line::LedgerLine;
use crate::kit::clock::Day;
use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::model::ids::FindingNo;
use crate::model::ids::StockNo;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::piece::Piece;
use crate::report;
use crate::vault;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::recorded::piece_record;

/// Name of the folder in a piece's folder.
pub(in crate::work) const FOLDER: &str = "removed";

/// What was taken out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Removed {
    /// The photo's number, which is never given again.
    pub photo: u32,
    /// SHA-256 of the original.
    pub sha256: Digest,
    /// Where the original lies now; `None` when it was not to be found.
    pub path: Option<String>,
    /// The findings that no picture names any more, by number, since it is out.
    pub withdrawn: Vec<FindingNo>,
    /// The findings of which something else is the last word since what was written beside the picture no longer counts.
    pub recounted: Vec<Recounted>,
    /// The withdrawn ones in a clause, for whoever takes it out; `None` without one.
    #[serde(skip)]
    pub went_with_it: Option<String>,
    /// The numbers of the reports that were made before: they may hold it still.
    pub editions: Vec<u32>,
}

/// A finding of which something else is the last word, or that is counted otherwise, since a picture is out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Recounted {
    /// Its number.
    #[serde(rename = "id")]
    pub no: FindingNo,
    /// Its name and part: `Dent, Seat`.
    pub name: String,
    /// Its group before.
    pub was: Outcome,
    /// Its group now.
    pub is: Outcome,
    /// When it was last told before, and what was said then; `None` where no picture told it.
    pub was_told: Option<LastTold>,
    /// The same now.
    pub is_told: Option<LastTold>,
    /// The last day on which its part was said to be sound, where that is another day now, or none.
    pub sound_was: Option<Day>,
    /// Where it came from and since when, where that is told otherwise now.
    pub came: Option<CameOtherwise>,
}

/// What was told of where a finding came from, and what is told now, each with the first day on which it was there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CameOtherwise {
    /// Before.
    pub was: String,
    /// Now.
    pub is: String,
}

impl CameOtherwise {
    fn between(was: &Finding, is: &Finding) -> Option<Self> {
        let told = |it: &Finding| {
            let first = it.history.iter().find(|it| it.state.is_there());
            let first = first.map(|it| format!("First there on {}.", it.day.spoken()));
            let came = std::iter::once(report::came(it));
            came.chain(first).collect::<Vec<String>>().join(" ")
        };
        let (was, is) = (told(was), told(is));
        (was != is).then_some(Self { was, is })
    }
}

/// The last look that told what became of a finding.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LastTold {
    /// Its day.
    pub day: Day,
    /// What it said.
    pub state: MarkState,
    /// The level.
    pub level: Option<u8>,
    /// The measure as written.
    pub size: Option<String>,
}

impl LastTold {
    fn of(finding: &Finding) -> Option<Self> {
        finding.last_told().map(|it| Self {
            day: it.day,
            state: it.state,
            level: it.level,
            size: it.size.clone(),
        })
    }

    /// ` (there on 1 July 2026, level 2, 40 mm)`.
    fn text(&self) -> String {
        let level = self.level.map(|it| format!(", level {it}"));
        let size = self.size.as_ref().map(|it| format!(", {it}"));
        format!(
            " ({} on {}{}{})",
            self.state.said(),
            self.day.spoken(),
            level.unwrap_or_default(),
            size.unwrap_or_default()
        )
    }
}

impl Recounted {
    /// `F3 Dent, Seat: was “gone” (repaired on 1 July 2026), is now “still there” (there on 1 June 2026, level 2)`.
    #[must_use]
    pub fn text(&self) -> String {
        let on = |it: &Option<LastTold>| it.as_ref().map_or_else(String::new, LastTold::text);
        let sound = self.sound_was.map_or_else(String::new, |day| {
            format!(
                "; that its part was sound on {} counts no more",
                day.spoken()
            )
        });
        let came = self.came.as_ref().map_or_else(String::new, |it| {
            format!("; where it came from: was “{}”, is now “{}”", it.was, it.is)
        });
        format!(
            "{} {}: was “{}”{}, is now “{}”{}{sound}{came}",
            self.no,
            self.name,
            self.was.words(),
            on(&self.was_told),
            self.is.words(),
            on(&self.is_told)
        )
    }

    /// Those of two readings of one piece; withdrawn ones are told apart.
    pub(in crate::work) fn between(was: &Assessment, is: &Assessment) -> Vec<Self> {
        let one = |now: &Finding| {
            let before = was.findings.iter().find(|it| it.no == now.no)?;
            let (was, is) = before.outcome.zip(now.outcome)?;
            let [was_told, is_told] = [before, now].map(LastTold::of);
            let [sound_was, sound_is] =
                [before, now].map(|it| it.said_sound.last().map(SoundSeen::day));
            let sound_was = sound_was.filter(|it| Some(*it) != sound_is);
            let came = CameOtherwise::between(before, now);
            let other = was != is || was_told != is_told || sound_was.is_some() || came.is_some();
            other.then(|| Self {
                no: now.no,
                name: format!("{}, {}", now.term, now.placed()),
                was,
                is,
                was_told,
                is_told,
                sound_was,
                came,
            })
        };
        is.findings.iter().filter_map(one).collect()
    }
}

/// Takes a photo out; its original and sidecar are moved into the piece's `removed` folder, where the owner may delete them.
///
/// # Errors
/// When there is no such piece or photo, no reason is given, or a file cannot be moved.
pub fn remove(
    book: &mut OpenBook,
    stock_no: &StockNo,
    photo: u32,
    why: &str,
) -> Result<Removed, WorkError> {
    if why.trim().is_empty() {
        return Err(WorkError::asked(
            "say why, so that the record tells it later",
        ));
    }
    let piece = book.piece(stock_no)?;
    let photos = book.record.photos(stock_no)?;
    // A mistake in the settings keeps nobody from taking a picture out.
    let (settings, _) = book.settings_or_usual()?;
    let before = assess::assess(
        &piece_record(book, stock_no, settings.clone())?,
        &book.trade,
    );
    let found = match photos.iter().find(|it| it.no == photo) {
        Some(found) => {
            // The row first: a picture that is out and still lies there harms nothing.
            book.record.remove_photo(stock_no, found, why.trim())?;
            found.clone()
        }
        None => cut_off(book, &piece, photo)?,
    };
    let original = book.original(&piece, &found);
    let folder = book.piece_folder(&piece).join(FOLDER);
    let aside = |path: &Path, name: &str| -> Result<Option<PathBuf>, WorkError> {
        let there = path.exists();
        let name = format!("{photo:04} {name}");
        Ok(there
            .then(|| vault::set_aside(path, &folder, &name))
            .transpose()?)
    };
    let sidecar = found.sidecar_name();
    let path = aside(&original, &found.name)?;
    aside(&original.with_file_name(&sidecar), &sidecar)?;
    let it = assess::assess(&piece_record(book, stock_no, settings)?, &book.trade);
    let gone = it.taken_out.iter().find(|it| it.photo == photo);
    let mut editions: Vec<u32> = editions_since(book, stock_no, photo)?;
    editions.sort_unstable();
    editions.dedup();
    Ok(Removed {
        editions,
        recounted: Recounted::between(&before, &it),
        withdrawn: gone.map_or_else(Vec::new, |it| it.withdrawn.clone()),
        went_with_it: gone
            .and_then(TakenOutPhoto::went_with_it)
            .map(|it| it.to_string()),
        photo,
        sha256: found.digest,
        path: path.map(|it| it.display().to_string()),
    })
}

/// The reports that were made while a photo was in, by the lines.
pub(in crate::work) fn editions_since(
    book: &OpenBook,
    stock_no: &StockNo,
    photo: u32,
) -> Result<Vec<u32>, WorkError> {
    // A book that is older than its ledger has the lines of what it held then in no order of time.
    let first = book.record.first_line()?;
    let first = first.and_then(|it| LedgerLine::read(&it.text).ok());
    let first = first.and_then(|it| Entry::read(&it).ok());
    let mut is_in = matches!(first, Some(Entry::Known(EntryKind::Begun(it))) if it.built_later);
    let mut editions = Vec::new();
    for line in book.record.lines_of(stock_no)? {
        let line = LedgerLine::read(&line.text).ok();
        match line.and_then(|it| Entry::read(&it).ok()) {
            Some(Entry::Known(EntryKind::Photo(it))) if it.photo == photo => is_in = true,
            Some(Entry::Known(EntryKind::Returned(it))) if it.photo == photo => is_in = true,
            Some(Entry::Known(EntryKind::Removed(it))) if it.photo == photo => is_in = false,
            Some(Entry::Known(EntryKind::Edition(it))) if is_in => editions.push(it.no),
            _ => {}
        }
    }
    Ok(editions)
}

/// A photo whose removal is on record and whose files were not set aside any more: the program died in between.
fn cut_off(book: &OpenBook, piece: &Piece, photo: u32) -> Result<Photo, WorkError> {
    let stock_no = &piece.stock_no;
    let out = book.record.taken_out(stock_no)?;
    let Some(out) = out.into_iter().find(|it| it.photo.no == photo) else {
        let all = book.record.photos(stock_no)?.into_iter().map(|it| it.no);
        let gone = book.record.removed_photos(stock_no)?;
        return Err(WorkError::no_picture(&gone, stock_no, photo, all));
    };
    let original = book.original(piece, &out.photo);
    let is_its = |path: &Path| read(path).is_ok_and(|it| Digest::of(&it) == out.photo.digest);
    let beside = original.with_file_name(out.photo.sidecar_name());
    // What lies under its name may be another picture's by now.
    let photos = book.record.photos(stock_no)?;
    let named = |it: &Photo| book.original(piece, it) == original;
    let is_left = is_its(&original) || (!original.exists() && beside.exists());
    if photos.iter().any(named) || !is_left {
        return Err(WorkError::asked_with(
            format!("picture {photo} is out of {stock_no} already"),
            format!("`asfound put-back {stock_no} --photo {photo}` brings it back"),
        ));
    }
    Ok(out.photo)
}
