//! Taking the photos of a shoot: read once, looked at, stored, entered; repeatable and interruptible.

use std::collections::BTreeMap;
use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::mpsc;
use std::time::Duration;

use crate::assess::faces::piece_shape::PieceShape;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::kit::digest::Digest;
use crate::kit::files::At as _;
use crate::kit::files::make_folder;
use crate::kit::files::read;
use crate::kit::files::write_whole;
use crate::mark;
use crate::mark::Words;
use crate::model::face::LaidFace;
use crate::model::photo::Shoot;
use crate::model::piece::Piece;
use crate::photo::Limits;
use crate::photo::PhotoProcessor;
use crate::record::NewPhoto;
use crate::record::Previews;
use crate::record::RemovedRow;
use crate::vault;
use crate::vault::names;
use crate::work::WorkError;
use crate::work::advice::survey;
use crate::work::book::open_book::OpenBook;
use crate::work::photos::import_request::ImportRequest;
use crate::work::photos::import_request::WhichShoot;
use crate::work::photos::imported::Imported;
use crate::work::photos::imported::Refusal;
use crate::work::photos::imported::TakenPhoto;
use crate::work::photos::known_photos::Place;
use crate::work::photos::known_photos::Places;
use crate::work::photos::known_photos::clock_untouched;
use crate::work::photos::known_photos::elsewhere;
use crate::work::photos::known_photos::other_cameras;
use crate::work::photos::orphans;
use crate::work::photos::process::Duplicate;
use crate::work::photos::process::Known;
use crate::work::photos::process::Outcome;
use crate::work::photos::process::PHOTO_WORKER;
use crate::work::photos::process::ProcessedPhoto;
use crate::work::photos::process::first_day;
use crate::work::photos::process::process;
use crate::work::photos::scan_sources::Found;
use crate::work::photos::scan_sources::gather;
use crate::work::photos::throttle::Gate;
use crate::work::piece::days::taken_in_late;
use crate::work::piece::shoot::begin_with_the_earliest;
use crate::work::piece::withdraw::in_stock;
use crate::work::progress::Progress;
use crate::work::report::crops::keep_both;
use crate::work::sidecars::face_check;
use crate::work::sidecars::source_sidecars;
use crate::work::sidecars::sync_sidecars;
use crate::work::sidecars::sync_sidecars::ReadText;
use crate::work::sidecars::vocabulary;
use crate::work::sidecars::vocabulary::written_lines;

/// Lies in a shoot's folder while an import goes on and holds what was asked for, so that the same import, broken off
/// and repeated, goes on in the shoot that it began, whatever the days of the photos that are left.
const IMPORT_MARK: &str = ".asfound-import";

/// Takes the photos of a shoot into the book.
///
/// # Errors
/// When there is no such piece, or the book cannot be written; what was taken in until then is whole. A file that
/// cannot be taken in is no error: it is named in the answer.
pub fn import(
    book: &mut OpenBook,
    order: &ImportRequest,
    progress: &dyn Progress,
) -> Result<Imported, WorkError> {
    let piece = in_stock(book, &order.stock_no)?;
    let _lock = book.lock(progress)?;
    let gathered = gather(&order.paths);
    let known = Known::of(book, &order.stock_no)?;
    let strays = orphans::strays(book, &piece, &gathered.files)?;
    let mut entry = Entry::new(book, order, piece, strays)?;
    let named = gathered.refused.into_iter();
    let named = named.map(|(file, reason)| Refusal { file, reason });
    entry.done.refused.extend(named);
    entry.done.beside = gathered.beside;
    let files = gathered.files;
    entry.day = first_day(&files, &known, order).unwrap_or(entry.day);
    progress.begin("photos", files.len());
    let done = run(&files, &known, &mut entry, progress);
    progress.end();
    done?;
    entry.finish()
}

/// Workers develop, the caller's thread enters, in the order of the names.
fn run(
    files: &[Found],
    known: &Known,
    entry: &mut Entry<'_>,
    progress: &dyn Progress,
) -> Result<(), WorkError> {
    let gate = Gate::default();
    let bytes: Vec<u64> = files.iter().map(|it| it.source.bytes).collect();
    let root = entry.book.root.clone();
    let (send, receive) = mpsc::channel();
    let workers = std::thread::available_parallelism().map_or(2, |it| it.get().clamp(2, 8));
    std::thread::scope(|scope| {
        for _ in 0..workers {
            let (send, gate, bytes) = (send.clone(), &gate, &bytes);
            let work = move || {
                let mut processor = PhotoProcessor::new(Limits::default());
                while let Some(n) = gate.next(bytes) {
                    let outcome = process(&files[n], known, gate, &mut processor);
                    if send.send((n, outcome)).is_err() {
                        break;
                    }
                }
            };
            std::thread::Builder::new()
                .name(PHOTO_WORKER.to_owned())
                .spawn_scoped(scope, work)
                .at("start a worker for", &root)?;
        }
        drop(send);
        let mut waiting = BTreeMap::new();
        let mut turn = 0;
        for (n, outcome) in receive {
            waiting.insert(n, outcome);
            while let Some(outcome) = waiting.remove(&turn) {
                let entered = entry.enter(&files[turn], outcome);
                if entered.is_err() {
                    gate.stop();
                    return entered;
                }
                turn += 1;
                gate.entered();
                progress.step();
            }
        }
        Ok(())
    })
}

/// Enters photos one by one, in order.
struct Entry<'a> {
    book: &'a mut OpenBook,
    order: &'a ImportRequest,
    piece: Piece,
    words: Words,
    shape: PieceShape,
    previews: Previews,
    shoot: Option<Shoot>,
    /// Of the shoot: of the first new photo that has a camera time, else today.
    day: Day,
    strays: Vec<PathBuf>,
    /// Photos that were taken out of the piece.
    out: Vec<RemovedRow>,
    twins: Vec<(Found, Digest, Duplicate)>,
    /// Digests of the files that were in the book already.
    twins_settled: Vec<Digest>,
    /// Digests of the files that were taken in.
    taken: HashMap<Digest, String>,
    refused: HashMap<Digest, String>,
    done: Imported,
}

impl<'a> Entry<'a> {
    fn new(
        book: &'a mut OpenBook,
        order: &'a ImportRequest,
        piece: Piece,
        strays: Vec<PathBuf>,
    ) -> Result<Self, WorkError> {
        let findings = book.record.findings(&order.stock_no)?;
        Ok(Self {
            words: vocabulary::of_piece(&book.trade, &piece, &findings),
            shape: PieceShape::of(&book.trade, &piece, &vocabulary::parts(&book.trade, &piece)),
            previews: book.previews()?,
            day: book.now.local_day(),
            out: book.record.removed_photos(&order.stock_no)?,
            book,
            order,
            piece,
            shoot: None,
            strays,
            twins: Vec::new(),
            twins_settled: Vec::new(),
            taken: HashMap::new(),
            refused: HashMap::new(),
            done: Imported::default(),
        })
    }

    fn enter(&mut self, file: &Found, outcome: Outcome) -> Result<(), WorkError> {
        match outcome {
            Outcome::Refused(reason, digest) => {
                self.refused.extend(digest.map(|it| (it, reason.clone())));
                self.done.refused.push(Refusal {
                    file: file.shown.clone(),
                    reason,
                });
            }
            Outcome::Already(digest, twin) => self.twins.push((file.clone(), digest, twin)),
            Outcome::Taken(developed) => self.take(file, *developed)?,
        }
        Ok(())
    }

    fn take(&mut self, file: &Found, developed: ProcessedPhoto) -> Result<(), WorkError> {
        let shoot = self.shoot()?;
        let folder = self.book.piece_folder(&self.piece).join(&shoot.folder);
        // The names of photos that were taken out: they may come back.
        let reserved = self.out.iter().filter(|it| it.folder == shoot.folder);
        let name = vault::keep(
            &folder,
            &names::safe(&file.name),
            &reserved.map(|it| it.name.as_str()).collect(),
            &developed.bytes,
            developed.digest,
        )?;
        let left = orphans::text_beside(&self.strays, &developed.bytes, developed.digest);
        let path = folder.join(format!("{name}.toml"));
        let text = self.sidecar_for(file, left, &shoot, &path, &name, &developed)?;
        let camera = developed.look.facts.camera.as_deref();
        let clock_off = self.order.clock_off_of(camera);
        self.done.clock_put_right += usize::from(clock_off != ClockOff::default());
        let no = self.book.record.add_photo(
            &self.order.stock_no,
            &NewPhoto {
                shoot: shoot.no,
                name: &name,
                source_name: &file.name.to_string_lossy(),
                digest: developed.digest,
                bytes: developed.bytes.len() as u64,
                facts: &developed.look.facts,
                clock_off,
                imported: self.book.now,
                sidecar: text.text(self.book.now),
                source: &file.source,
            },
        )?;
        let (preview, thumb) = (developed.look.preview, developed.look.thumb);
        keep_both(&mut self.previews, developed.digest, preview, thumb)?;
        self.taken.insert(developed.digest, file.shown.clone());
        self.done.taken += 1;
        self.done.photos.push(TakenPhoto {
            no,
            name,
            file: file.shown.clone(),
        });
        Ok(())
    }

    /// The sidecar in the book: the one that is there, else the one that a killed run left, else the one from beside
    /// the photo, else a fresh one.
    fn sidecar_for(
        &mut self,
        file: &Found,
        left: Option<Vec<u8>>,
        shoot: &Shoot,
        path: &std::path::Path,
        name: &str,
        developed: &ProcessedPhoto,
    ) -> Result<ReadText, WorkError> {
        let facts = &developed.look.facts;
        if !path.exists() {
            let brought = file.sidecar().unwrap_or_else(|reason| {
                let what = format!("the sidecar of {} {reason}", file.shown);
                self.done.warnings.push(what);
                None
            });
            let done = &mut self.done;
            let fresh = || {
                let written = written_lines(&developed.bytes, facts.orientation);
                done.written
                    .extend((!written.is_empty()).then(|| name.to_owned()));
                let (book, stage) = (&self.book.trade, self.order.stage);
                let hints = vocabulary::hints(book, &self.piece, stage, written);
                mark::fresh(name, &hints).into_bytes()
            };
            write_whole(path, &left.or(brought).unwrap_or_else(fresh))?;
        }
        let shown = format!("{}/{name}.toml", shoot.folder);
        let check = |laid: &LaidFace| face_check::doubt(&self.shape, facts, laid);
        sync_sidecars::read_text(path, &shown, &self.words, &check)
    }

    /// The shoot the photos go to: joined or started when the first new photo comes.
    fn shoot(&mut self) -> Result<Shoot, WorkError> {
        if let Some(shoot) = &self.shoot {
            return Ok(shoot.clone());
        }
        let shoots = self.book.record.all_shoots(&self.order.stock_no)?;
        let newest = shoots.iter().rev().find(|it| {
            let joins = it.may_hold(self.day) && self.order.shoot == WhichShoot::JoinOrStart;
            it.stage == self.order.stage && (joins || self.broken_off_in(it))
        });
        let shoot = newest.cloned();
        let shoot = shoot.unwrap_or_else(|| Shoot::after(&shoots, self.order.stage, self.day));
        let folder = self.folder_of(&shoot);
        make_folder(&folder)?;
        vault::sweep(&folder, Duration::ZERO)?;
        // The mark before the row: a shoot that an import began says so from its first moment.
        write_whole(&folder.join(IMPORT_MARK), self.order.asked().as_bytes())?;
        if newest.is_none() {
            self.book.record.add_shoot(&self.order.stock_no, &shoot)?;
        }
        self.shoot = Some(shoot.clone());
        Ok(shoot)
    }

    fn folder_of(&self, shoot: &Shoot) -> PathBuf {
        self.book.piece_folder(&self.piece).join(&shoot.folder)
    }

    /// Whether this very import was broken off in the midst of a shoot.
    fn broken_off_in(&self, shoot: &Shoot) -> bool {
        let mark = read(&self.folder_of(shoot).join(IMPORT_MARK));
        mark.is_ok_and(|it| it == self.order.asked().as_bytes())
    }

    /// A file with the bytes of another: in the book already, or refused for the same reason as the other.
    fn settle_twins(&mut self) -> Result<(), WorkError> {
        let mut seen = Vec::new();
        let mut brought = Vec::new();
        let places = Places::of(self.book, &self.order.stock_no)?;
        for (file, digest, twin) in std::mem::take(&mut self.twins) {
            if let Some(reason) = self.refused.get(&digest) {
                self.done.refused.push(Refusal {
                    file: file.shown,
                    reason: reason.clone(),
                });
                continue;
            }
            if twin == Duplicate::Read {
                seen.push((file.source.clone(), digest));
            }
            match places.place(&file.shown, digest) {
                Place::Out(out) => {
                    self.done.removed.push(out);
                    continue;
                }
                Place::Here(known) => self.done.known.extend(known),
            }
            self.done.already += 1;
            self.twins_settled.push(digest);
            brought.push((file, digest, twin));
        }
        if !seen.is_empty() {
            self.book
                .record
                .remember_sources(&self.order.stock_no, &seen)?;
        }
        let differ = source_sidecars::differing(self.book, &self.piece, &brought)?;
        self.done.warnings.extend(differ);
        Ok(())
    }

    fn finish(mut self) -> Result<Imported, WorkError> {
        self.settle_twins()?;
        let elsewhere = elsewhere(self.book, &self.order.stock_no, &self.taken)?;
        self.done.known.extend(elsewhere);
        let untouched = clock_untouched(self.book, self.order, &self.twins_settled)?;
        self.done.warnings.extend(untouched);
        let taken = self.done.taken > 0 && self.done.clock_put_right == 0;
        self.done.warnings.extend(other_cameras(self.order, taken));
        let stay = orphans::clear(self.book, &self.piece, &self.strays)?;
        self.done.warnings.extend(stay);
        sync_sidecars::sync_piece(self.book, &self.order.stock_no)?;
        self.done.refused.sort_by(|a, b| a.file.cmp(&b.file));
        // A run that was killed after its last photo left its mark too.
        let shoots = self.book.record.all_shoots(&self.order.stock_no)?;
        for it in shoots.iter().filter(|it| self.broken_off_in(it)) {
            vault::remove(&self.folder_of(it).join(IMPORT_MARK))?;
        }
        if let Some(shoot) = &mut self.shoot {
            let spread = begin_with_the_earliest(self.book, &self.order.stock_no, shoot)?;
            self.done.warnings.extend(spread);
        }
        self.done.shoot = self.shoot;
        if self.done.taken > 0 {
            let new: Vec<u32> = self.done.photos.iter().map(|it| it.no).collect();
            let late = taken_in_late(self.book, &self.order.stock_no, &new)?;
            self.done.warnings.extend(late);
            self.done
                .warnings
                .extend(survey::warnings(self.book, &self.order.stock_no, &new)?);
        }
        Ok(self.done)
    }
}
