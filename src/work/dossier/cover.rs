//! What the first page of a dossier says beside the assessment.

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::assess::findings::taken_out::TakenOutPhoto;
use crate::evidence::key::pair::PublicKey;
use crate::evidence::ledger::entry::Countersigned;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::Kept;
use crate::evidence::ledger::entry::PhotoTaken;
use crate::evidence::ledger::entry_rows::KeyChanged;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::ledger::shoots_told::ShootsTold;
use crate::evidence::seal::letter::Letter;
use crate::evidence::seal::letter::Named;
use crate::evidence::seal::statement::Statement;
use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::report::Confirmed;
use crate::report::CoverRequest;
use crate::report::EditionLine;
use crate::report::PaperKept;
use crate::report::PhotoFiles;
use crate::report::PhotoProof;
use crate::report::SaleTold;
use crate::report::SealLine;
use crate::report::TakenBack;
use crate::report::TakenOut;
use crate::report::Withdrawal;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::dossier::files::From;
use crate::work::dossier::files::Plan;
use crate::work::dossier::files::ToPut;
use crate::work::dossier::retold::retold;
use crate::work::dossier::seals::Sealed;
use crate::work::dossier::written::Written;
use crate::work::dossier::written::moves;
use crate::work::dossier::written::shoot_changes;
use crate::work::keep::KEY;
use crate::work::keep::MESSAGE;
use crate::work::keep::PAPER;

/// What the first page is made of; claim, pictures and signature are the caller's.
pub(in crate::work) fn cover(
    book: &OpenBook,
    it: &Assessment,
    plan: &Plan,
    sealed: &Sealed,
) -> Result<CoverRequest, WorkError> {
    let written = Written::of(book, it, &plan.lines, Some(sealed))?;
    let mut editions = Vec::new();
    let mut sales = Vec::new();
    let mut confirmed = Vec::new();
    let mut key_changes = Vec::new();
    let mut built_later = false;
    let mut fallen = book.record.fallen_sales(&it.piece.stock_no)?.into_iter();
    for line in &plan.lines {
        match Entry::read(line) {
            Ok(Entry::Known(EntryKind::Begun(it))) => built_later = it.built_later,
            Ok(Entry::Known(EntryKind::Edition(it))) => editions.push(EditionLine {
                reader: it.reader,
                no: it.no,
                made: it.made,
                line: line.no,
            }),
            Ok(Entry::Known(EntryKind::Sale(it))) => written.tell_sale(&mut sales, line, it.day),
            Ok(Entry::Known(EntryKind::Unsold(it))) => {
                // A line from before it told the day to anybody has it in its private half.
                let on = it.on.or(fallen.next().map(|it| it.taken_back));
                let entered = written.at(line);
                let on = on.unwrap_or(entered.day);
                take_back(&mut sales, TakenBack { on, entered });
            }
            Ok(Entry::Known(EntryKind::Key(it))) => key_changes.push(key_change(line, &it)),
            Ok(Entry::Known(EntryKind::Countersigned(it))) => {
                confirmed.extend(confirmation(line, &it, plan, sealed));
            }
            _ => {}
        }
    }
    Ok(CoverRequest {
        made_on: book.now.local_day(),
        claim: None,
        photos: Vec::new(),
        proofs: proofs(it, plan, sealed, &written),
        editions,
        sales,
        repairs: written.repairs(),
        lacks: written.lacks(book, it)?,
        facts: written.facts(book, it)?,
        before_claim: written.before_claim(book, it)?,
        shoot_changes: shoot_changes(&plan.lines),
        moves: moves(&plan.lines),
        withdrawals: withdrawals(plan),
        papers: papers(plan, sealed),
        seals: seal_lines(sealed),
        root: sealed.root().to_string(),
        fingerprint: sealed.fingerprint(),
        signed: false,
        taken_out: taken_out(plan, it),
        photo_files: photo_files(plan),
        not_in: plan.left_out().sentences(),
        confirmed,
        key_changes,
        retold: retold(book, it, &plan.lines, sealed)?,
        built_later,
    })
}

/// What the ledger says of each picture.
fn proofs(
    it: &Assessment,
    plan: &Plan,
    sealed: &Sealed,
    written: &Written<'_>,
) -> BTreeMap<u32, PhotoProof> {
    let proofs = it.photos.iter().filter_map(|photo| {
        let (line, place) = plan.photos.get(&photo.no)?;
        let proof = PhotoProof {
            line: *line,
            file: place
                .clone()
                .unwrap_or_else(|| plan.left_out().file_of(*line)),
            seal: sealed.seal_of(*line),
            stamped: sealed.stamped(*line),
            beside: plan.beside.get(&photo.no).cloned(),
            words: written.beside(it, photo),
        };
        Some((photo.no, proof))
    });
    proofs.collect()
}

/// Which photo files are enclosed.
fn photo_files(plan: &Plan) -> PhotoFiles {
    let mut photos = plan.photos.values();
    match photos.any(|it| it.1.is_some()) {
        true => PhotoFiles::Originals,
        false if plan.has_copies_of_photos() => PhotoFiles::Copies,
        false => PhotoFiles::None,
    }
}

fn seal_lines(sealed: &Sealed) -> Vec<SealLine> {
    let seals = sealed.seals.iter();
    let lines = seals.map(|(seal, statement)| SealLine {
        no: seal.no,
        size: statement.size,
        at: statement.at,
        stamped: seal.stamped,
    });
    lines.collect()
}

/// The sale that was told did not come about: every day told of it since the one before is taken back.
fn take_back(sales: &mut [SaleTold], it: TakenBack) {
    for sale in sales.iter_mut().filter(|it| it.taken_back.is_none()) {
        sale.taken_back = Some(it);
    }
}

/// The papers and messages that were put by.
fn papers(plan: &Plan, sealed: &Sealed) -> Vec<PaperKept> {
    let enclosed = |it: &Kept| {
        let place = format!("kept/{}", it.name);
        let mut files = plan.files.iter();
        let file = files.find(|file| file.place == place && file.sha256 == it.sha256);
        file.map(|file| file.place.clone())
    };
    let paper = |line: &LedgerLine| match Entry::read(line) {
        Ok(Entry::Known(EntryKind::Kept(it))) => Some(PaperKept {
            place: enclosed(&it),
            name: it.name,
            sha256: it.sha256.to_string(),
            seal: sealed.seal_of(line.no),
            on: line.at.local_day(),
            line: line.no,
        }),
        _ => None,
    };
    plan.lines.iter().filter_map(paper).collect()
}

/// When the piece was withdrawn and brought back.
fn withdrawals(plan: &Plan) -> Vec<Withdrawal> {
    let mut all = Vec::new();
    for line in &plan.lines {
        let why = match Entry::read(line) {
            Ok(Entry::Known(EntryKind::Withdrawn(it))) => Some(it.why),
            Ok(Entry::Known(EntryKind::Reinstated(_))) => None,
            _ => continue,
        };
        all.push(Withdrawal {
            why,
            on: line.at.local_day(),
            line: line.no,
        });
    }
    all
}

/// That another key took the place of the one before.
fn key_change(line: &LedgerLine, it: &KeyChanged) -> String {
    let print = |it: &Digest| {
        let key = PublicKey::from_bytes(&it.0);
        key.map_or_else(|why| why.to_string(), |it| it.fingerprint())
    };
    let (what, signed) = match it.signature {
        Some(_) => ("Whose the key before was", "signed for it"),
        None => (
            "That two keys are the same owner's",
            "did not sign for it, since it was lost: compare both with papers of the seller",
        ),
    };
    let distrusted = it.distrust_from.map_or(String::new(), |seal| {
        format!(" From seal {seal} on, no seal of the key before is to be trusted, says the owner.")
    });
    format!(
        "{what}. From line {} of {} on the key is {}; the key before, {}, {signed}.{distrusted}",
        line.no,
        line.at.local_day().spoken(),
        print(&it.new),
        print(&it.old),
    )
}

/// What the other side confirmed; `None` where the seal is no longer the one that was confirmed, or the paper is not enclosed.
fn confirmation(
    line: &LedgerLine,
    it: &Countersigned,
    plan: &Plan,
    sealed: &Sealed,
) -> Option<Confirmed> {
    let same = |statement: &Statement| (statement.size, statement.root) == (it.size, it.root);
    let mut seals = sealed.seals.iter();
    let (_, statement) = seals.find(|(seal, statement)| seal.no == it.seal && same(statement))?;
    let file = plan.files.iter().find(|file| file.sha256 == it.sha256)?;
    let (day, line) = (line.at.local_day(), line.no);
    let (by, seal, size) = (&it.by, it.seal, it.size);
    let (is_whole, told) = match how(it, statement, file) {
        PAPER => (
            true,
            format!("the {by} confirmed seal {seal} with its {size} lines on paper"),
        ),
        MESSAGE => (
            true,
            format!(
                "a message of the {by} that names seal {seal} with its {size} lines, root and key"
            ),
        ),
        KEY => (
            false,
            format!("a message of the {by} that names the key, and no seal"),
        ),
        _ => (
            false,
            format!("a message of the {by} that does not name seal {seal} as it is here"),
        ),
    };
    let means = match is_whole {
        true => {
            "Who signs or answers has been given these numbers; that the record is right does not follow."
        }
        false => "It confirms no seal.",
    };
    Some(Confirmed {
        sentence: format!(
            "As the owner entered it on {}: {told} ({}, line {line}). {means}",
            day.spoken(),
            file.place
        ),
        by: by.clone(),
        seal: is_whole.then_some(seal),
        day,
        line,
    })
}

/// How a paper or message confirms: as its line says, but that a message is read again, since a line may say more than it does.
fn how<'a>(it: &'a Countersigned, statement: &Statement, file: &ToPut) -> &'a str {
    if it.how == PAPER {
        return PAPER;
    }
    let text = match &file.from {
        From::File(path) => read(path).ok().and_then(|it| String::from_utf8(it).ok()),
        From::Text(text) => Some(text.clone()),
    };
    let Ok(key) = PublicKey::from_bytes(&statement.key.0) else {
        return "";
    };
    let seal = Letter::of(it.seal, statement, &key);
    match text.map(|text| seal.named_in(&text)) {
        Some(Named::Seal) => MESSAGE,
        Some(Named::Key) => KEY,
        _ => "",
    }
}

/// The pictures that were entered and are out of the record, by number.
fn taken_out(plan: &Plan, told: &Assessment) -> Vec<TakenOut> {
    let mut entered: BTreeMap<u32, (u64, PhotoTaken)> = BTreeMap::new();
    let mut out: BTreeMap<u32, TakenOut> = BTreeMap::new();
    let mut shoots = ShootsTold::default();
    for line in &plan.lines {
        let Ok(Entry::Known(kind)) = Entry::read(line) else {
            continue;
        };
        shoots.read(&kind);
        match kind {
            EntryKind::Photo(it) => {
                entered.insert(it.photo, (line.no, it));
            }
            EntryKind::Clock(it) => {
                for no in it.photos {
                    if let Some((_, photo)) = entered.get_mut(&no) {
                        photo.clock_off = it.clock_off;
                    }
                }
            }
            EntryKind::Removed(it) => {
                let photo = entered.get(&it.photo);
                let mut known = told.taken_out.iter();
                let known = known.find(|known| known.photo == it.photo);
                out.extend(photo.map(|photo| (it.photo, gone(photo, line, &it.why, known))));
            }
            EntryKind::Returned(it) => {
                out.remove(&it.photo);
            }
            _ => {}
        }
    }
    for it in out.values_mut() {
        let now = shoots.of(it.photo).unwrap_or((it.shoot, None));
        it.taken_in_as = (now.0 != it.shoot).then_some(it.stage);
        (it.shoot, it.stage) = (now.0, now.1.unwrap_or(it.stage));
    }
    for (photo, reports) in &plan.shown_in {
        if let Some(it) = out.get_mut(photo) {
            it.shown_in.clone_from(reports);
        }
    }
    out.into_values().collect()
}

fn gone(
    (entered, it): &(u64, PhotoTaken),
    line: &LedgerLine,
    why: &str,
    known: Option<&TakenOutPhoto>,
) -> TakenOut {
    let taken = it.camera_time.map(|at| at.corrected(it.clock_off).day());
    TakenOut {
        photo: it.photo,
        name: it.name.clone(),
        shoot: it.shoot,
        stage: it.stage,
        taken_in_as: None,
        taken,
        corrected: it.clock_off.seconds != 0,
        imported: it.imported.local_day(),
        out: line.at.local_day(),
        why: why.to_owned(),
        entered: *entered,
        line: line.no,
        view: known.and_then(|it| it.view.clone()),
        with_it: known.and_then(TakenOutPhoto::told).map(|it| it.to_string()),
        shown_in: Vec::new(),
    }
}
