//! A record against its ledger: every row must be what the newest line about it says.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use serde_json::Value;

use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::seal::proofs::PrivatePart;
use crate::evidence::verify::lines::FoundLine;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::source::Retold;
use crate::kit::clock::Moment;
use crate::kit::json::canonical::canonical;
use crate::model::ids::FindingNo;
use crate::model::piece::Piece;

const CODE: &str = "record";

/// What a line and a row are about, within a piece.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum About {
    Piece,
    Photo(u32),
    Removal(u32),
    Move(u32),
    Repair(u32),
    Sale,
    Withdrawal,
    Edition(String, u32),
    Kept(String),
    Finding(FindingNo),
    Shoot(u32),
    Stamp(u32),
}

impl About {
    /// `None` of what no row is about, or what is checked otherwise.
    fn of(kind: &EntryKind) -> Option<Self> {
        match kind {
            EntryKind::Piece(_) => Some(Self::Piece),
            EntryKind::Photo(it) => Some(Self::Photo(it.photo)),
            EntryKind::Removed(it) => Some(Self::Removal(it.photo)),
            EntryKind::Moved(it) => Some(Self::Move(it.photo)),
            EntryKind::Repair(it) => Some(Self::Repair(it.no)),
            EntryKind::Sale(_) => Some(Self::Sale),
            EntryKind::Withdrawn(_) => Some(Self::Withdrawal),
            EntryKind::Edition(it) => Some(Self::Edition(it.reader.clone(), it.no)),
            EntryKind::Kept(it) => Some(Self::Kept(it.name.clone())),
            EntryKind::Finding(it) => Some(Self::Finding(it.finding)),
            EntryKind::Shoot(it) => Some(Self::Shoot(it.shoot)),
            EntryKind::Stamp(it) => Some(Self::Stamp(it.seal)),
            EntryKind::Begun(_)
            | EntryKind::Sidecar(_)
            | EntryKind::Clock(_)
            | EntryKind::Returned(_)
            | EntryKind::Unsold(_)
            | EntryKind::Reinstated(_)
            | EntryKind::Countersigned(_)
            | EntryKind::Key(_) => None,
        }
    }

    /// For people.
    fn words(&self) -> String {
        match self {
            Self::Piece => "what was told of the piece".to_owned(),
            Self::Photo(no) => format!("picture {no}"),
            Self::Removal(no) => format!("the removal of picture {no}"),
            Self::Move(no) => format!("the shoot that picture {no} was put into"),
            Self::Repair(no) => format!("repair {no}"),
            Self::Sale => "what was told of its sale".to_owned(),
            Self::Withdrawal => "that it was withdrawn".to_owned(),
            Self::Edition(reader, no) => format!("{reader} edition {no}"),
            Self::Kept(name) => format!("the kept paper `{name}`"),
            Self::Finding(no) => format!("finding {no}"),
            Self::Shoot(no) => format!("shoot {no}"),
            Self::Stamp(seal) => format!("the time stamp of seal {seal}"),
        }
    }

    /// How it is said that a row says otherwise.
    fn differs(&self) -> &'static str {
        match self {
            Self::Piece | Self::Sale | Self::Withdrawal => "is not what the ledger says",
            _ => "is not the one in the ledger",
        }
    }

    /// Whether it is of a kind that older programs wrote no lines about.
    fn is_newer(&self) -> bool {
        matches!(self, Self::Finding(_) | Self::Shoot(_) | Self::Stamp(_))
    }
}

/// What is said of something, with what is told privately.
struct Said {
    kind: EntryKind,
    told: Option<Value>,
    /// Whether a private part is named that is not there: then nothing can be compared with it, which is told elsewhere.
    unknown: bool,
    /// When the line was written.
    at: Moment,
}

type All = BTreeMap<(String, About), Said>;

/// Compares them.
pub(super) fn check(
    record: &[Retold],
    lines: &[FoundLine],
    private: &[(String, PrivatePart)],
    notes: &mut Notes,
) {
    let ledger = newest(lines, private);
    let is_covered = |it: &About| matches!(it, About::Shoot(_) | About::Stamp(_));
    let is_covered = ledger.keys().any(|(_, about)| is_covered(about));
    let mut uncovered = false;
    let mut rows = BTreeSet::new();
    for it in record {
        let Some(about) = About::of(&it.kind) else {
            continue;
        };
        if about.is_newer() && !is_covered {
            uncovered = true;
            continue;
        }
        let (piece, words) = (place(&it.piece), about.words());
        let key = (it.piece.clone(), about);
        match ledger.get(&key) {
            Some(said) if said.says(&it.kind) && said.told_as(it) && said.is_entered_as(it) => {}
            Some(said) if said.kind == it.kind && matches!(key.1, About::Edition(..)) => {
                let about = format!("{piece}: what {words} stated is not what the ledger says");
                notes.wrong(CODE, about);
            }
            _ => notes.wrong(CODE, format!("{piece}: {words} {}", key.1.differs())),
        }
        rows.insert(key);
    }
    for key in ledger.keys() {
        let (piece, about) = (place(&key.0), &key.1);
        let out = match about {
            About::Photo(no) => ledger.contains_key(&(key.0.clone(), About::Removal(*no))),
            _ => false,
        };
        if out && rows.contains(key) {
            let words = about.words();
            let about = format!("{piece}: {words} was taken out, as the ledger says, and is there");
            notes.wrong(CODE, about);
        }
        if !out && !rows.contains(key) {
            let words = about.words();
            let how = match about {
                About::Piece | About::Sale | About::Withdrawal => about.differs(),
                _ => "of the ledger is not in the record",
            };
            notes.wrong(CODE, format!("{piece}: {words} {how}"));
        }
    }
    if uncovered {
        let about = "Shoots, findings and time stamps have no lines yet, as an older program wrote this book: the next command that writes \
                     into it gives them theirs.";
        notes.told(CODE, about);
    }
    repaired(record, &ledger, is_covered, notes);
    notes.close(
        CODE,
        "Pieces, shoots, photos, removals, findings, repairs, sales, editions, papers and time stamps of the record are those of the ledger, and no two \
         rows contradict each other.",
    );
}

/// The stock number for people; the book itself has none.
fn place(piece: &str) -> &str {
    match piece {
        "" => "the book",
        piece => piece,
    }
}

/// Every finding that a repair is for has its line.
fn repaired(record: &[Retold], ledger: &All, is_covered: bool, notes: &mut Notes) {
    for row in record.iter().filter(|_| is_covered) {
        let EntryKind::Repair(it) = &row.kind else {
            continue;
        };
        for finding in &it.findings {
            if !ledger.contains_key(&(row.piece.clone(), About::Finding(*finding))) {
                let (piece, no) = (&row.piece, it.no);
                let about = format!(
                    "{piece}: repair {no} is for {finding}, which the ledger does not know"
                );
                notes.wrong(CODE, about);
            }
        }
    }
}

/// The newest line about each thing; a clock or an occasion that was put right later counts.
fn newest(lines: &[FoundLine], private: &[(String, PrivatePart)]) -> All {
    let texts: BTreeMap<u64, &str> = private
        .iter()
        .map(|(_, part)| (part.no, part.text.as_str()))
        .collect();
    let mut all = All::new();
    for it in lines {
        let (piece, Some(kind)) = (&it.line.piece, it.known()) else {
            continue;
        };
        if let EntryKind::Clock(clock) = kind {
            for no in &clock.photos {
                let said = all.get_mut(&(piece.clone(), About::Photo(*no)));
                if let Some(EntryKind::Photo(photo)) = said.map(|it| &mut it.kind) {
                    photo.clock_off = clock.clock_off;
                }
            }
        }
        if let EntryKind::Shoot(shoot) = kind {
            let of_piece = all.iter_mut().filter(|it| it.0.0 == *piece);
            for (_, said) in of_piece {
                if let EntryKind::Photo(photo) = &mut said.kind
                    && photo.shoot == shoot.shoot
                {
                    photo.stage = shoot.stage;
                }
            }
        }
        if let EntryKind::Unsold(_) = kind {
            all.remove(&(piece.clone(), About::Sale));
        }
        if let EntryKind::Reinstated(_) = kind {
            all.remove(&(piece.clone(), About::Withdrawal));
        }
        if let EntryKind::Returned(back) = kind {
            all.remove(&(piece.clone(), About::Removal(back.photo)));
        }
        let Some(about) = About::of(kind) else {
            continue;
        };
        let text = texts.get(&it.line.no);
        let told = text.and_then(|it| serde_json::from_str::<Value>(it).ok());
        let said = Said {
            kind: on_time(kind.clone()),
            told: told.and_then(|it| it.get("told").cloned()),
            unknown: it.line.private.is_some() && text.is_none(),
            at: it.line.at,
        };
        all.insert((piece.clone(), about), said);
    }
    all
}

/// A line that came later than what it tells, as if it had not: a row does not know when its line was written.
fn on_time(mut kind: EntryKind) -> EntryKind {
    match &mut kind {
        EntryKind::Finding(it) => it.later = false,
        EntryKind::Shoot(it) => it.later = false,
        EntryKind::Stamp(it) => it.later = false,
        _ => {}
    }
    kind
}

impl Said {
    /// Whether the line says what a row says.
    fn says(&self, row: &EntryKind) -> bool {
        match (&self.kind, row) {
            (EntryKind::Piece(said), EntryKind::Piece(row)) => said.is_told_by(row),
            (said, row) => said == row,
        }
    }

    /// Whether a row that keeps when it was entered says the moment of its line.
    fn is_entered_as(&self, row: &Retold) -> bool {
        row.at.is_none_or(|it| it == self.at)
    }

    /// Whether a row tells privately what the line's private part tells.
    fn told_as(&self, row: &Retold) -> bool {
        let (Some(said), Some(told)) = (&self.told, &row.told) else {
            return self.unknown || (self.told.is_none() && row.told.is_none());
        };
        match row.kind {
            EntryKind::Photo(_) => facts_agree(said, told),
            // What a newer program asks besides has its usual value in an older line.
            EntryKind::Piece(_) => {
                let piece = |it: &Value| serde_json::from_value::<Piece>(it.clone()).ok();
                piece(said).is_some_and(|it| Some(it) == piece(told))
            }
            _ => spelled(said) == spelled(told),
        }
    }
}

/// In the ledger's spelling, in which a number is a double (RFC 8785).
fn spelled(it: &Value) -> Option<String> {
    canonical(it).ok()
}

/// Whether all that the ledger tells of a photo's facts is so in the record. What a newer program reads besides, an older line
/// cannot tell.
fn facts_agree(told: &Value, facts: &Value) -> bool {
    let null = Value::Null;
    told.as_object().is_some_and(|told| {
        let mut all = told.iter();
        all.all(|(key, value)| spelled(value) == spelled(facts.get(key).unwrap_or(&null)))
    })
}
