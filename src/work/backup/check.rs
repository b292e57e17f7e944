//! A backup, checked as a book is checked, and with it all that its runs name.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::source::Contents;
use crate::evidence::verify::source::FileKind;
use crate::evidence::verify::source::FileState;
use crate::evidence::verify::source::NamedFile;
use crate::evidence::verify::source::Scope;
use crate::evidence::verify::source::Source;
use crate::evidence::verify::verdict::Judgement;
use crate::evidence::verify::verify;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::kit::files::FileError;
use crate::work::WorkError;
use crate::work::backup::book_files::recorded;
use crate::work::backup::lay_out::How;
use crate::work::backup::lay_out::Laying;
use crate::work::backup::other_copy::other_copy;
use crate::work::backup::place::Place;
use crate::work::backup::run::Amiss;
use crate::work::backup::run::Object;
use crate::work::backup::run::Run;
use crate::work::backup::scratch::Scratch;
use crate::work::backup::store::Lies;
use crate::work::backup::store::Store;
use crate::work::book::open_book::OpenBook;
use crate::work::progress::Progress;
use crate::work::proof::book_source::BookSource;
use crate::work::proof::book_source::Lost;
use crate::work::proof::heal::HealFrom;
use crate::work::proof::heal::heal;
use crate::work::proof::verify::GivenToJudge;
use crate::work::proof::verify::Judge;
use crate::work::proof::verify::Verified;
use crate::work::proof::verify::told;
use crate::work::sidecars::all_sidecars::sync_all;

/// The code of what only a backup has.
const CODE: &str = "backup";

/// Checks the book of the newest run by what the caller trusts and holds, and the bytes of all runs; what is lost or rotten is put back
/// from `heal_from`, a book or another backup, where that has the same bytes.
///
/// # Errors
/// When it is no backup, or the database of its newest run cannot be read.
pub fn verify_backup(
    place: &Place,
    given: &GivenToJudge,
    heal_from: Option<&Place>,
    now: Moment,
    progress: &dyn Progress,
) -> Result<Verified, WorkError> {
    let judge = Judge::new(given, heal_from)?;
    let passphrase = given.passphrase.as_deref();
    let store = Store::open(place, passphrase)?;
    let (found, lost) = of_backup(&store, &judge, now, progress)?;
    let Some(from) = heal_from.filter(|_| !lost.is_empty()) else {
        return Ok(told(found, &[], &lost));
    };
    let _lock = store.lock(progress)?;
    let put = |_: &Lost, bytes: &[u8]| Ok(store.put_bytes(bytes).map(|_| None)?);
    let healed = heal(&lost, &HealFrom::open(from, passphrase)?, put)?;
    let (found, lost) = match healed.is_empty() {
        true => (found, lost),
        false => of_backup(&store, &judge, now, progress)?,
    };
    Ok(told(found, &healed, &lost))
}

fn of_backup(
    store: &Store,
    judge: &Judge,
    now: Moment,
    progress: &dyn Progress,
) -> Result<(Judgement, Vec<Lost>), WorkError> {
    let mut runs = Runs::read(store)?;
    let Some(newest) = runs.whole.last().cloned() else {
        return Err(WorkError::asked_with(
            "the backup has no run that is whole",
            "run `asfound backup` again",
        ));
    };
    let scratch = Scratch::new()?;
    let root = scratch.0.join(&store.marker.name);
    let laying = Laying {
        store,
        run: &newest,
        folder: &root,
        how: How::Shown,
        progress,
    };
    // The files at the top are read when the book is opened; those that the record names are looked at where they lie.
    let mut amiss = laying.begin()?;
    amiss.extend(laying.files(&|it| !it.contains('/') || it == "/")?);
    let mut book = OpenBook::open_to_read(&root, now)?;
    let recorded = recorded(&book)?;
    amiss.extend(laying.files(&|it| it.contains('/') && it != "/" && !recorded.contains_key(it))?);
    runs.faults.extend(amiss.into_iter().map(Fault::of));
    runs.of_book(store, &book, &newest)?;
    let (files, lost) = runs.objects(store, &recorded, progress)?;
    let texts = sync_all(&mut book)?;
    let plain = judge.without_letters();
    let mut source = BackupSource {
        book: BookSource::open(&book, &texts, &plain, progress)?,
        files,
        runs,
    };
    Ok((verify(&mut source, judge), lost))
}

/// The runs, and what is wrong with what they name.
struct Runs {
    whole: Vec<Run>,
    faults: Vec<Fault>,
    /// How many files beside those of the newest book were compared.
    compared: usize,
}

struct Fault {
    contradicts: bool,
    about: String,
}

impl Fault {
    fn of(it: Amiss) -> Self {
        Self {
            contradicts: false,
            about: format!("`{}` {}", it.file, it.why),
        }
    }
}

impl Runs {
    fn read(store: &Store) -> Result<Self, WorkError> {
        let mut it = Self {
            whole: Vec::new(),
            faults: Vec::new(),
            compared: 0,
        };
        for file in store.runs()? {
            match store.run(&file)? {
                Some(run) if run.book == store.marker.book => it.whole.push(run),
                Some(_) => it.wrong(format!("run {} is of another book", file.no)),
                None => it.wrong(format!(
                    "the list of run {} has other bytes than were written",
                    file.no
                )),
            }
        }
        Ok(it)
    }

    fn wrong(&mut self, about: String) {
        self.faults.push(Fault {
            contradicts: true,
            about,
        });
    }

    /// Whether the database is that of the run, and goes on from those of the runs before.
    fn of_book(&mut self, store: &Store, book: &OpenBook, run: &Run) -> Result<(), WorkError> {
        let leaves = book.record.leaves()?;
        if leaves.first() != Some(&run.book) || leaves.len() as u64 != run.lines {
            self.wrong(format!(
                "the database of run {} has another ledger than the run tells",
                run.run
            ));
        }
        let other = other_copy(store, self.whole.iter(), None, (run.run, &leaves), book.now)?;
        if let Some(other) = other {
            self.faults.push(Fault {
                contradicts: false,
                about: other.told(&format!("the newest, run {},", run.run)),
            });
        }
        Ok(())
    }

    /// Compares all that the runs name; gives what was found of the files of the newest book that its record names, by path, and what
    /// is lost. What is wrong with the former is told by the check of that book.
    fn objects(
        &mut self,
        store: &Store,
        recorded: &BTreeMap<String, Digest>,
        progress: &dyn Progress,
    ) -> Result<(Found, Vec<Lost>), FileError> {
        let named = self.named(store)?;
        let newest = self.whole.last().map(|it| it.run);
        let (mut files, mut lost) = (BTreeMap::new(), Vec::new());
        progress.begin("checking the backup", named.len());
        let mut states = BTreeMap::new();
        for (sha256, it) in &named {
            progress.step();
            let lies = store.lies(it.object.into())?;
            states.insert(*sha256, lies);
            if lies != Lies::Right {
                lost.push(Lost {
                    path: store.shown_object(*sha256),
                    digest: *sha256,
                    bytes: Some(it.object.bytes),
                });
            }
        }
        progress.end();
        for (path, it) in self.newest_files(store)? {
            if recorded.contains_key(&path) {
                let lies = states.get(&it.sha256).copied().unwrap_or(Lies::Nothing);
                files.insert(path, (it, lies));
            }
        }
        for (sha256, it) in named {
            if newest == Some(it.run) && files.contains_key(&it.file) {
                continue;
            }
            self.compared += 1;
            let what = match states.get(&sha256) {
                Some(Lies::Right) => continue,
                Some(Lies::Other) => "has other bytes than were stored",
                _ => "is not there, or cannot be read",
            };
            self.faults.push(Fault {
                contradicts: states.get(&sha256) == Some(&Lies::Other),
                about: format!("`{}` of run {} {what}", it.file, it.run),
            });
        }
        Ok((files, lost))
    }

    /// The files of the newest run.
    fn newest_files(&self, store: &Store) -> Result<Vec<(String, Object)>, FileError> {
        let mut all = Vec::new();
        for folder in self.whole.last().into_iter().flat_map(|it| &it.folders) {
            let files = store.files(folder)?.unwrap_or_default();
            all.extend(files.into_iter().map(|it| (it.path, it.object)));
        }
        Ok(all)
    }

    /// All that the runs name, each once, as the newest run names it.
    fn named(&mut self, store: &Store) -> Result<BTreeMap<Digest, Named>, FileError> {
        let mut named = BTreeMap::new();
        let mut lists = BTreeSet::new();
        for run in self.whole.iter().rev() {
            let mut name = |file: String, object: Object| {
                let run = run.run;
                named
                    .entry(object.sha256)
                    .or_insert(Named { file, object, run });
            };
            name("the database".to_owned(), run.database);
            for it in &run.folders {
                name(format!("the list of {}", it.name), it.list);
                if !lists.insert(it.list.sha256) {
                    continue;
                }
                for file in store.files(it)?.unwrap_or_default() {
                    name(file.path, file.object);
                }
            }
        }
        Ok(named)
    }

    fn tell(&self, notes: &mut Notes) {
        for it in &self.faults {
            match it.contradicts {
                true => notes.wrong(CODE, &it.about),
                false => notes.missing(CODE, &it.about),
            }
        }
        for it in &self.whole {
            if let Some(no) = it.set_aside {
                let about = format!(
                    "Run {no} is of another copy of the book, which was set aside by run {} of {}: `asfound restore BACKUP DIR --run {no}` gives it back.",
                    it.run, it.at
                );
                notes.told(CODE, about);
            }
        }
        if let (Some(first), Some(last)) = (self.whole.first(), self.whole.last()) {
            let about = format!(
                "This is run {} of {}; the backup goes back to {}, and {} more files of its runs have the bytes that were stored.",
                last.run, last.at, first.at, self.compared
            );
            notes.close(CODE, about);
        }
    }
}

/// What was found of files, by their paths.
type Found = BTreeMap<String, (Object, Lies)>;

/// A file that a run names.
struct Named {
    file: String,
    object: Object,
    run: u32,
}

/// The book of the newest run, and the runs.
struct BackupSource<'a> {
    book: BookSource<'a>,
    files: Found,
    runs: Runs,
}

impl Source for BackupSource<'_> {
    fn scope(&self) -> Scope {
        self.book.scope()
    }

    fn read(&mut self, notes: &mut Notes) -> Contents {
        self.book.read(notes)
    }

    fn bound(&mut self) -> Vec<(String, Digest)> {
        self.book.bound()
    }

    fn find(&mut self, it: &NamedFile) -> FileState {
        if it.kind == FileKind::Sidecar {
            return self.book.find(it);
        }
        let Some(inside) = self.book.inside(it) else {
            return FileState::Gone(None);
        };
        match self.files.get(&inside) {
            Some((_, Lies::Nothing)) | None => FileState::Gone(Some(inside)),
            Some((named, Lies::Right)) if named.sha256 == it.sha256 => FileState::Here,
            Some(_) => FileState::Other(inside),
        }
    }

    fn rest(&mut self, notes: &mut Notes) -> Vec<String> {
        self.runs.tell(notes);
        self.book.rest(notes)
    }
}
