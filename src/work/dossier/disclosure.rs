//! What a dossier tells beside what its pictures show: places, people, things of which the owner may not think.

use serde::Serialize;

use crate::photo::Disclosed;

/// What a dossier tells beside what its pictures show. Each list names the lines whose files or words are enclosed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Disclosure {
    /// Files that tell, or may tell, a place, and in what.
    pub places: Vec<Told>,
    /// Files with names of the owner, the photographer, whoever holds the rights, or is in the picture.
    pub names: Vec<Told>,
    /// Files with keywords, titles, captions or named regions.
    pub words: Vec<Told>,
    /// Files with serial numbers of body or lens.
    pub serials: Vec<Told>,
    /// Sidecars with comments of their own.
    pub comments: Vec<Told>,
    /// Why photos were taken out of the book.
    pub removals: Vec<Told>,
    /// Why the piece was withdrawn from stock.
    pub withdrawals: Vec<Told>,
    /// Papers and messages that were put by, with all that is in them.
    pub kept: Vec<Told>,
    /// Reports that were made of it before.
    pub reports: Vec<Told>,
    /// Lines whose private part is enclosed.
    pub private_parts: Vec<u64>,
    /// Lines whose private part is kept back.
    pub private_kept_back: Vec<u64>,
    /// Copies in the place of what is left out: of photos the picture alone, of sidecars without their private note.
    pub copies: Vec<CopyTold>,
}

/// What one file or line tells.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Told {
    /// Number of the line that names it.
    pub line: u64,
    /// What it is.
    pub what: String,
    /// What it tells, as written.
    pub says: Vec<String>,
}

/// A copy without what is not shown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CopyTold {
    /// Number of the line that names the original.
    pub line: u64,
    /// What the original is.
    pub what: String,
    /// Where the copy lies in the dossier.
    pub place: String,
    /// SHA-256 of the original.
    pub original: String,
    /// What it is without.
    pub without: String,
}

impl CopyTold {
    /// In one sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        format!(
            "{}: a copy of {}, without {}; no line vouches for it. The SHA-256 of the original is {} and stands in line {}.",
            self.place, self.what, self.without, self.original, self.line
        )
    }
}

impl Disclosure {
    /// Adds what an enclosed file tells.
    pub(in crate::work) fn file(&mut self, line: u64, what: &str, it: &Disclosed) {
        let texts = |all: &mut dyn Iterator<Item = &str>| all.map(str::to_owned).collect();
        let places = texts(&mut it.places.iter().chain(&it.unread).copied());
        tell(&mut self.places, line, what, places);
        tell(
            &mut self.names,
            line,
            what,
            texts(&mut it.names.iter().map(String::as_str)),
        );
        tell(
            &mut self.words,
            line,
            what,
            texts(&mut it.words.iter().map(String::as_str)),
        );
        tell(
            &mut self.serials,
            line,
            what,
            texts(&mut it.serials.iter().map(String::as_str)),
        );
    }

    /// Adds the comments of an enclosed sidecar.
    pub(in crate::work) fn comments(&mut self, line: u64, what: &str, comments: Vec<String>) {
        tell(&mut self.comments, line, what, comments);
    }

    /// Adds why a photo was taken out.
    pub(in crate::work) fn removal(&mut self, line: u64, photo: u32, why: &str) {
        tell(
            &mut self.removals,
            line,
            &format!("photo {photo}"),
            vec![why.to_owned()],
        );
    }

    /// Adds why the piece was withdrawn.
    pub(in crate::work) fn withdrawal(&mut self, line: u64, why: &str) {
        tell(
            &mut self.withdrawals,
            line,
            "the piece",
            vec![why.to_owned()],
        );
    }

    /// Adds a paper by its name in the dossier.
    pub(in crate::work) fn paper(&mut self, line: u64, name: &str, place: &str) {
        tell(&mut self.kept, line, name, vec![place.to_owned()]);
    }

    /// Adds a report by its name in the dossier.
    pub(in crate::work) fn report(&mut self, line: u64, what: &str, place: &str) {
        tell(&mut self.reports, line, what, vec![place.to_owned()]);
    }

    /// Everything in sentences, each list under its words.
    #[must_use]
    pub fn sentences(&self) -> Vec<String> {
        let lists = [
            ("places, or what may tell one, in", &self.places),
            (
                "names of people (owner, photographer, holder of rights, or who is in the picture) in",
                &self.names,
            ),
            (
                "keywords, titles, captions or named regions in",
                &self.words,
            ),
            ("serial numbers in", &self.serials),
            ("comments in", &self.comments),
            ("why was taken out", &self.removals),
            ("why was withdrawn from stock", &self.withdrawals),
            ("with every word in them, the kept papers", &self.kept),
            ("earlier reports:", &self.reports),
        ];
        let mut all: Vec<String> = Vec::new();
        for (words, list) in lists {
            let these = list
                .iter()
                .map(|it| format!("{} ({})", it.what, it.says.join("; ")));
            let these: Vec<String> = these.collect();
            if !these.is_empty() {
                all.push(format!("{words} {}", these.join(", ")));
            }
        }
        let (shown, kept) = (self.private_parts.len(), self.private_kept_back.len());
        all.push(format!(
            "private parts of lines: {shown} enclosed, {kept} kept back"
        ));
        all
    }
}

fn tell(list: &mut Vec<Told>, line: u64, what: &str, says: Vec<String>) {
    if !says.is_empty() {
        list.push(Told {
            line,
            what: what.to_owned(),
            says,
        });
    }
}
