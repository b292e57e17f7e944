//! A backup, checked as a book is checked, and with it all that its runs name.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::path::Path;

use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::source::Contents;
use crate::evidence::verify::source::FileState;
use crate::evidence::verify::source::NamedFile;
use crate::evidence::verify::source::Scope;
use crate::evidence::verify::source::Source;
use crate::evidence::verify::verdict::Judgement;
use crate::evidence::verify::verify;
use crate::kit::clock::Moment;
use crate::kit::copies;
use crate::kit::digest::Digest;
use crate::work::WorkError;
use crate::work::backup::book_files::recorded;
use crate::work::backup::lay_out::How;
use crate::work::backup::lay_out::Scratch;
use crate::work::backup::lay_out::lay_out;
use crate::work::backup::run::Amiss;
use crate::work::backup::run::Object;
use crate::work::backup::run::Run;
use crate::work::backup::store::Store;
use crate::work::backup::store::object;
use crate::work::book::open_book::OpenBook;
use crate::work::progress::Progress;
use crate::work::proof::book_source::BookSource;
use crate::work::proof::book_source::Lost;
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
    path: &Path,
    given: &GivenToJudge,
    heal_from: Option<&Path>,
    now: Moment,
    progress: &dyn Progress,
) -> Result<Verified, WorkError> {
    let judge = Judge::new(given, heal_from)?;
    let store = Store::open(path)?;
    let (found, lost) = of_backup(&store, &judge, now, progress)?;
    let healed = match heal_from {
        Some(folder) if !lost.is_empty() => heal(&lost, folder)?,
        _ => Vec::new(),
    };
    match healed.is_empty() {
        true => Ok(told(found, &healed)),
        false => Ok(told(of_backup(&store, &judge, now, progress)?.0, &healed)),
    }
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
    let amiss = lay_out(store, &newest, &root, How::Shown, progress)?;
    runs.faults.extend(amiss.into_iter().map(Fault::of));
    let mut book = OpenBook::open_to_read(&root, now)?;
    runs.of_book(&book, &newest)?;
    let by_engine = recorded(&book)?;
    let lost = runs.objects(store, &by_engine, progress);
    let texts = sync_all(&mut book)?;
    let plain = judge.without_letters();
    let mut source = BackupSource {
        book: BookSource::open(&book, &texts, &plain, progress)?,
        runs,
    };
    let found = verify(&mut source, judge);
    let at_place = source.book.lost.into_iter().map(|it| Lost {
        path: object(&store.root, it.digest),
        ..it
    });
    Ok((found, lost.into_iter().chain(at_place).collect()))
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
            match file.read() {
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

    /// Whether the database is that of the run.
    fn of_book(&mut self, book: &OpenBook, run: &Run) -> Result<(), WorkError> {
        let leaves = book.record.leaves()?;
        if leaves.first() != Some(&run.book) || leaves.len() as u64 != run.lines {
            self.wrong(format!(
                "the database of run {} has another ledger than the run tells",
                run.run
            ));
        }
        Ok(())
    }

    /// Compares all that the runs name, but for what the check of the newest book looks at; gives what is lost.
    fn objects(
        &mut self,
        store: &Store,
        by_engine: &BTreeMap<String, Digest>,
        progress: &dyn Progress,
    ) -> Vec<Lost> {
        let named = self.named(store);
        let newest = self.whole.last().map(|it| it.run);
        let looked_at: BTreeSet<Digest> = named
            .values()
            .filter(|it| {
                newest == Some(it.run) && by_engine.get(&it.file) == Some(&it.object.sha256)
            })
            .map(|it| it.object.sha256)
            .collect();
        let mut lost = Vec::new();
        progress.begin("checking the backup", named.len());
        for (sha256, it) in named {
            progress.step();
            if looked_at.contains(&sha256) {
                continue;
            }
            self.compared += 1;
            let path = object(&store.root, sha256);
            let found = copies::sum(&path).ok().map(Object::from);
            if found == Some(it.object) {
                continue;
            }
            let what = match found {
                Some(_) => "has other bytes than were stored",
                None => "is not there, or cannot be read",
            };
            self.faults.push(Fault {
                contradicts: found.is_some(),
                about: format!("`{}` of run {} {what}", it.file, it.run),
            });
            lost.push(Lost {
                path,
                digest: sha256,
                bytes: Some(it.object.bytes),
            });
        }
        progress.end();
        lost
    }

    /// All that the runs name, each once, as the newest run names it.
    fn named(&mut self, store: &Store) -> BTreeMap<Digest, Named> {
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
                for file in store.files(it).unwrap_or_default() {
                    name(file.path, file.object);
                }
            }
        }
        named
    }

    fn tell(&self, notes: &mut Notes) {
        for it in &self.faults {
            match it.contradicts {
                true => notes.wrong(CODE, &it.about),
                false => notes.missing(CODE, &it.about),
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

/// A file that a run names.
struct Named {
    file: String,
    object: Object,
    run: u32,
}

/// The book of the newest run, and the runs.
struct BackupSource<'a> {
    book: BookSource<'a>,
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
        self.book.find(it)
    }

    fn rest(&mut self, notes: &mut Notes) -> Vec<String> {
        self.runs.tell(notes);
        self.book.rest(notes)
    }
}
