//! The seals: their numbers, their statements, their signatures, and that they are of this book and this key.

use crate::evidence::key::pair::PublicKey;
use crate::evidence::seal::statement::Statement;
use crate::evidence::seal::statement::StatementError;
use crate::evidence::verify::lines::FoundLine;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::sealed::keys::Keys;
use crate::evidence::verify::source::RawSeal;
use crate::evidence::verify::source::Scope;
use crate::evidence::verify::source::SignedSet;
use crate::evidence::verify::source::seal_part;
use crate::kit::digest::Digest;

/// A seal that could be read.
pub(in crate::evidence::verify) struct FoundSeal<'a> {
    /// Its number.
    pub(in crate::evidence::verify) no: u32,
    /// As it lies there.
    pub(in crate::evidence::verify) raw: &'a RawSeal,
    /// To the byte what was signed.
    pub(in crate::evidence::verify) text: &'a str,
    /// What it says.
    pub(in crate::evidence::verify) statement: Statement,
}

/// The key that is there.
pub(in crate::evidence::verify) fn key(
    pem: Option<&(String, String)>,
    notes: &mut Notes,
) -> Option<PublicKey> {
    let (pem, name) = pem?;
    let key = match PublicKey::read_pem(pem) {
        // Another spelling of the same key is not the file that was made.
        Ok(key) if key.pem() == *pem => key,
        Ok(_) => {
            notes.wrong("key", format!("{name} is not in its plain spelling"));
            return None;
        }
        Err(why) => {
            notes.wrong("key", format!("{name}: {why}"));
            return None;
        }
    };
    let about = format!(
        "The key that is here has the fingerprint {}. Compare it with the invoice or another paper of the seller: nothing in \
         here can show whose key it is.",
        key.fingerprint()
    );
    notes.close("key", about);
    Some(key)
}

/// The key's signature over a whole set of files.
pub(in crate::evidence::verify) fn set(
    set: Option<&SignedSet>,
    key: Option<&PublicKey>,
    notes: &mut Notes,
) {
    const CODE: &str = "set_signature";
    match (set, key) {
        (Some(set), Some(key)) => {
            if let Err(why) = key.verify(&set.list, &set.signature) {
                let (list, signature) = &set.names;
                notes.wrong(CODE, format!("{signature} for {list}: {why}"));
            }
        }
        (Some(_), None) => notes.missing(CODE, "without a key no signature can be checked"),
        (None, _) => {}
    }
    notes.close(
        CODE,
        "The set of files as a whole is signed with the enclosed key.",
    );
}

/// Reads the seals and checks their signatures.
pub(in crate::evidence::verify) fn read<'a>(
    scope: Scope,
    raw: &'a [RawSeal],
    keys: Option<&Keys>,
    lines: &[FoundLine],
    notes: &mut Notes,
) -> Vec<FoundSeal<'a>> {
    if raw.is_empty() {
        let about = match scope {
            Scope::Book => "there is no seal yet: `asfound seal` makes one",
            Scope::Piece => "there is no seal",
        };
        notes.missing("seals", about);
    }
    let mut found = Vec::new();
    let mut before = 0;
    for it in raw {
        if it.no > before + 1 {
            let about = format!("seal {} is not here, but seal {} is", before + 1, it.no);
            notes.missing("seals", about);
        }
        before = it.no;
        found.extend(one(scope, it, keys, notes));
    }
    let begun = lines.iter().find(|it| it.line.no == 0).map(|it| it.leaf);
    for it in &found {
        belongs(notes, it, keys, begun.as_ref());
    }
    let n = found.len();
    if raw.is_empty() {
        return found;
    }
    notes.close(
        "seals",
        format!("Every seal is of this book and its keys ({n})."),
    );
    notes.close(
        "signatures",
        format!("Every seal is signed with the key that was the book's when it was made ({n})."),
    );
    found
}

fn one<'a>(
    scope: Scope,
    it: &'a RawSeal,
    keys: Option<&Keys>,
    notes: &mut Notes,
) -> Option<FoundSeal<'a>> {
    let name = seal_part(scope, it.no, "json");
    let text = it.statement.as_deref()?;
    let statement = Statement::read(text);
    let size = statement.as_ref().ok().map(|it| it.size);
    let signed = signature(scope, it, (text, size), keys, notes);
    match statement {
        // The same moment or digest in another spelling would be another statement.
        Ok(statement) if statement.text() == text => Some(FoundSeal {
            no: it.no,
            raw: it,
            text,
            statement,
        }),
        Err(StatementError::Version(version)) if signed => {
            let about = format!("{name} is of version {version}, which this program does not know");
            notes.missing("seals", about);
            None
        }
        Err(why) => {
            notes.wrong("seals", format!("{name}: {why}"));
            None
        }
        Ok(_) => {
            notes.wrong("seals", format!("{name} is not in its canonical spelling"));
            None
        }
    }
}

fn signature(
    scope: Scope,
    it: &RawSeal,
    (text, size): (&str, Option<u64>),
    keys: Option<&Keys>,
    notes: &mut Notes,
) -> bool {
    const CODE: &str = "signatures";
    let Some(bytes) = &it.signature else {
        return false;
    };
    let Some(keys) = keys else {
        notes.missing(CODE, "without a key no signature can be checked");
        return false;
    };
    let text = text.as_bytes();
    // What cannot be read may be by any of them.
    let key = size.map_or(keys.newest(), |it| keys.of_size(it));
    if size.is_none() && keys.any_signed(text, bytes) {
        return true;
    }
    let good = key.verify(text, bytes);
    if let Err(why) = &good {
        let name = seal_part(scope, it.no, "sig");
        notes.wrong(CODE, format!("{name} for seal {}: {why}", it.no));
    }
    good.is_ok()
}

fn belongs(notes: &mut Notes, seal: &FoundSeal, keys: Option<&Keys>, begun: Option<&Digest>) {
    let (no, it) = (seal.no, &seal.statement);
    if let Some(keys) = keys {
        if keys.of_size(it.size).digest() != it.key {
            let about = match keys.has(&it.key) {
                true => format!("seal {no} names another key than the book's at that time"),
                false => format!("seal {no} names another key"),
            };
            notes.wrong("seals", about);
        }
        keys.trust(no, &it.key, notes);
    }
    if begun.is_some_and(|it| *it != seal.statement.book) {
        notes.wrong("seals", format!("seal {no} is of another book"));
    }
}
