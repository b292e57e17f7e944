//! The keys of a book, each in its time: lines about the book say when one took the place of another, and whether that one signed for it.

use crate::evidence::key::pair::PublicKey;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry_rows::KeyChanged;
use crate::evidence::verify::lines::FoundLine;
use crate::evidence::verify::notes::Notes;
use crate::kit::digest::Digest;

const CODE: &str = "key";

/// A key, and the seals for which it is the right one.
struct InForce {
    key: PublicKey,
    /// Seals that cover more lines than this are made with it, until the next took its place.
    from: u64,
    /// From this seal on the owner says not to trust it.
    distrusted_from: Option<u32>,
}

/// All keys of a book, the first one first; at least one.
pub(in crate::evidence::verify) struct Keys {
    all: Vec<InForce>,
    newest: PublicKey,
}

impl Keys {
    /// Follows the keys up to the one that is here.
    pub(in crate::evidence::verify) fn read(
        newest: PublicKey,
        lines: &[FoundLine],
        notes: &mut Notes,
    ) -> Self {
        let mut keys = Self {
            all: Vec::new(),
            newest,
        };
        let begun = lines.iter().find(|it| it.line.no == 0).map(|it| it.leaf);
        for line in lines {
            if let Some(EntryKind::Key(it)) = line.known() {
                keys.follow(line.line.no, it, begun, notes);
            }
        }
        let Some(last) = keys.all.last() else {
            keys.all.push(InForce {
                key: newest,
                from: 0,
                distrusted_from: None,
            });
            return keys;
        };
        if last.key != newest {
            let (no, before) = (last.from, keys.all.iter().rev().nth(1));
            match before.is_some_and(|it| it.key == newest) {
                true => notes.missing(
                    CODE,
                    format!("the public key that is here is the one before line {no}; the one after it is not here"),
                ),
                false => notes.wrong(
                    CODE,
                    format!("the key that is here is not the one that line {no} names"),
                ),
            }
        }
        keys
    }

    fn follow(&mut self, no: u64, it: &KeyChanged, begun: Option<Digest>, notes: &mut Notes) {
        let (old, new) = (
            PublicKey::from_bytes(&it.old.0),
            PublicKey::from_bytes(&it.new.0),
        );
        let (Ok(old), Ok(new)) = (old, new) else {
            return notes.wrong(CODE, format!("line {no} names a key that is none"));
        };
        if self.all.is_empty() {
            self.all.push(InForce {
                key: old,
                from: 0,
                distrusted_from: None,
            });
        }
        let (was, is) = (old.fingerprint(), new.fingerprint());
        if let Some(before) = self.all.last_mut() {
            before.distrusted_from = it.distrust_from;
            if before.key != old {
                let about = format!(
                    "line {no} says that the key before was {was}, but it was {}",
                    before.key.fingerprint()
                );
                notes.wrong(CODE, about);
            }
        }
        let took = format!("line {no}: the key {is} took the place of the key {was}");
        match (&it.signature, begun) {
            (Some(signature), Some(book)) if it.is_signed(book, &old, signature) => {
                notes.told(CODE, format!("{took}, which signed for it"));
            }
            (Some(_), Some(_)) => notes.wrong(
                CODE,
                format!("{took}, and what stands there is not its signature"),
            ),
            (Some(_), None) => notes.missing(
                CODE,
                format!("{took}; without line 0 its signature cannot be checked"),
            ),
            (None, _) => notes.told(
                CODE,
                format!(
                    "{took}, which did not sign for it: nothing in here shows that both are the same owner's; compare both with papers of the seller"
                ),
            ),
        }
        if let Some(seal) = it.distrust_from {
            let about = format!(
                "line {no}: from seal {seal} on, no seal of the key {was} is to be trusted, says the owner"
            );
            notes.told(CODE, about);
        }
        self.all.push(InForce {
            key: new,
            from: no,
            distrusted_from: None,
        });
    }

    /// The key that is here.
    pub(in crate::evidence::verify) fn newest(&self) -> &PublicKey {
        &self.newest
    }

    /// The key with which a seal of so many lines is made.
    pub(in crate::evidence::verify) fn of_size(&self, size: u64) -> &PublicKey {
        let mut all = self.all.iter().rev();
        let found = all.find(|it| it.from == 0 || size > it.from);
        found.map_or(&self.newest, |it| &it.key)
    }

    /// Whether the key of these bytes is or was the book's.
    pub(in crate::evidence::verify) fn has(&self, key: &Digest) -> bool {
        self.all.iter().any(|it| it.key.digest() == *key)
    }

    /// Whether one of them signed a text.
    pub(in crate::evidence::verify) fn any_signed(&self, text: &[u8], signature: &[u8]) -> bool {
        let mut all = self.all.iter();
        all.any(|it| it.key.verify(text, signature).is_ok())
    }

    /// Whether a fingerprint is that of one of them.
    pub(in crate::evidence::verify) fn is_meant_by(&self, told: &str) -> bool {
        self.all.iter().any(|it| it.key.is_meant_by(told))
    }

    /// Tells a seal of a key that the owner says not to trust any more.
    pub(in crate::evidence::verify) fn trust(&self, seal: u32, key: &Digest, notes: &mut Notes) {
        let mut all = self.all.iter();
        let found = all.find(|it| it.key.digest() == *key);
        let from = found.and_then(|it| it.distrusted_from);
        if let (Some(it), Some(from)) = (found, from.filter(|it| seal >= *it)) {
            let about = format!(
                "seal {seal} is of the key {}, which the owner says not to trust from seal {from} on: it shows only what a later seal shows too",
                it.key.fingerprint()
            );
            notes.told(CODE, about);
        }
    }
}
