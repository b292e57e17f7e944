//! A book or a dossier into a verdict; nothing is fetched, nothing else is known.
//!
//! In: a `Source` (a book, a dossier in a folder or a zip) and the judge's `Tools`. Out: a `Judgement`. Every check has a code that
//! stays, and says in plain words what it found. It says no more than the source shows: whose key it is, who held the camera and
//! whether something was never entered lie outside.

mod bag;
mod clock;
pub mod enclosed;
pub mod files;
mod lines;
pub mod notes;
mod numbers;
pub mod package;
mod record;
pub mod sealed;
pub mod source;
mod tree;
mod unsealed;
pub mod verdict;

use std::io;

use crate::evidence::dossier::bag::FileSource;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::package::Package;
use crate::evidence::verify::sealed::countersigned;
use crate::evidence::verify::sealed::keys::Keys;
use crate::evidence::verify::sealed::letter;
use crate::evidence::verify::sealed::letter::Answer;
use crate::evidence::verify::sealed::letter::Held;
use crate::evidence::verify::sealed::seals;
use crate::evidence::verify::sealed::stamps;
use crate::evidence::verify::source::Scope;
use crate::evidence::verify::source::Source;
use crate::evidence::verify::source::Tools;
use crate::evidence::verify::verdict::Judgement;
use crate::evidence::verify::verdict::Verdict;

/// Judges a dossier by its files alone.
///
/// # Errors
/// When its files cannot even be listed.
pub fn verify_files(files: &mut dyn FileSource, tools: &dyn Tools) -> io::Result<Judgement> {
    let mut package = Package::open(files, tools.page())?;
    Ok(verify(&mut package, tools))
}

/// Judges.
pub fn verify(source: &mut dyn Source, tools: &dyn Tools) -> Judgement {
    let mut notes = Notes::default();
    let scope = source.scope();
    let contents = source.read(&mut notes);
    let key = seals::key(contents.key.as_ref(), &mut notes);
    if scope == Scope::Piece {
        seals::set(contents.set.as_ref(), key.as_ref(), &mut notes);
    }
    let lines = lines::read(scope, &contents, &mut notes);
    if !lines.is_empty() {
        lines::private(scope, &contents.private, &lines, &mut notes);
    }
    let keys = key.map(|it| Keys::read(it, &lines, &mut notes));
    let seals = seals::read(scope, &contents.seals, keys.as_ref(), &lines, &mut notes);
    clock::check(&lines, &seals, &mut notes);
    tree::check(&contents, &lines, &seals, &mut notes);
    let stamps = stamps::check(scope, &seals, &lines, tools, &mut notes);
    let held = Held {
        contents: &contents,
        keys: keys.as_ref(),
        lines: &lines,
        seals: &seals,
    };
    let letters = letter::check(tools.letters(), &held, &mut notes);
    let mut enclosed = Vec::new();
    if lines.is_empty() {
        notes.missing("photos", "without lines no file can be compared");
    } else {
        enclosed = files::compare(source, &lines, &contents.left_out, &mut notes);
        countersigned::check(&lines, &seals, &contents.left_out, &mut notes);
        numbers::running(scope, &lines, &contents.left_out, &mut notes);
        numbers::gaps(&lines, &contents.left_out, &mut notes);
    }
    if let Some(record) = &contents.record {
        record::check(record, &lines, &contents.private, &mut notes);
    }
    let presented = source.rest(&mut notes);
    let covered = stamps.covering(&lines);
    let verdict = Verdict::of(&notes, covered.as_ref(), &stamps, &letters);
    // Where something is wrong, that a letter fits is not what is read first.
    let (fits, others): (Vec<&Answer>, Vec<&Answer>) = letters
        .iter()
        .partition(|it| matches!(it, Answer::Same(_)) && notes.sound().is_none());
    let mut beside: Vec<String> = others.into_iter().map(Answer::sentence).collect();
    beside.extend(enclosed.iter().map(|it| format!("{}.", it.sentence(scope))));
    if !presented.is_empty() {
        beside.push(format!(
            "No seal covers these {} files: {}.",
            presented.len(),
            presented.join(", ")
        ));
    }
    beside.extend(unsealed::swapped(&lines, &mut notes));
    beside.extend(letters.iter().filter_map(|it| held.came_after(it)));
    let told = ["unsealed", "key", "clock"].iter();
    let told = told.flat_map(|it| notes.told_of(it));
    beside.extend(told.map(|it| format!("{it}.")));
    beside.extend(fits.into_iter().map(Answer::sentence));
    Judgement {
        verdict,
        beside,
        checks: notes.checks(),
        fingerprint: key.map(|it| it.fingerprint()),
        stamps: stamps.good,
        letters,
        enclosed,
        presented,
    }
}
