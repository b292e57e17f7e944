//! Findings: which mark belongs to which number, and what each shoot says of it.

use std::collections::BTreeMap;

use crate::assess::findings::extent::Extent;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::from_marks::dealt::Dealt;
use crate::assess::findings::from_marks::history;
use crate::assess::findings::from_marks::numbers::Numbers;
use crate::assess::findings::from_marks::origin;
use crate::assess::findings::grouping;
use crate::assess::findings::last_seen;
use crate::assess::findings::sighting::Note;
use crate::assess::findings::sighting::Sighting;
use crate::assess::findings::sighting::WordAt;
use crate::assess::findings::silent_look::QuietLook;
use crate::assess::findings::silent_look::SilentLook;
use crate::assess::findings::silent_look::Unpictured;
use crate::assess::findings::tests_told;
use crate::assess::piece_record::PieceRecord;
use crate::assess::places::conflicts;
use crate::assess::places::other_marks;
use crate::assess::places::sight;
use crate::assess::places::sight::Sight;
use crate::assess::statements::looking::Looking;
use crate::assess::statements::looking::Shows;
use crate::assess::statements::statement::SoundSeen;
use crate::assess::timeline::DatedMark;
use crate::kit::text::capital;
use crate::model::finding::FindingKey;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::repair::Repair;

/// Every numbered finding with its history, by number.
pub(crate) fn findings(case: &PieceRecord, looking: &Looking<'_>) -> Vec<Finding> {
    let numbers = Numbers::of(&case.findings);
    let mut marks: BTreeMap<FindingNo, Vec<DatedMark<'_>>> = BTreeMap::new();
    for said in looking.time.marks() {
        if let Some(no) = numbers.of_mark(said.mark, looking.book) {
            marks.entry(no).or_default().push(said);
        }
    }
    let mut found: Vec<Finding> = numbers
        .all()
        .map(|(no, key)| {
            let own = marks.get(&no).map_or(&[][..], Vec::as_slice);
            let which = called(key, own);
            let history = sightings(&which, own);
            let places = looking.carrier.of_marks(looking.time, &key.part, &history);
            // Marks that lie apart are two findings, or a face is laid wrong: which of them is right nobody knows.
            let conflicts = conflicts::of_finding(no, &places);
            let place = other_marks::with_others(&places).filter(|_| conflicts.is_empty());
            let sights = place
                .as_ref()
                .map(|it| sight::sights(looking, it, &key.part));
            let sights = sights.unwrap_or_default();
            let origin = origin::origin(case, key, &history, &sights, looking);
            let repairs = repairs_of(case, no);
            let it = Finding {
                which,
                ..finding(no, key, history, origin, &repairs, looking)
            };
            let silent = silent(&it, &sights, looking);
            let quiet_since = quiet_since(&it, &silent, looking);
            let unpictured = unpictured(&it, looking).filter(|_| quiet_since.is_none());
            Finding {
                quiet_since,
                unpictured,
                silent,
                place,
                sights,
                ..it
            }
        })
        .collect();
    tests_told::settle(&mut found, &case.repairs, looking.book);
    found
}

/// The repairs made for a finding, by number.
fn repairs_of(case: &PieceRecord, no: FindingNo) -> Vec<&Repair> {
    let mut repairs: Vec<&Repair> = case
        .repairs
        .iter()
        .filter(|it| it.findings.contains(&no))
        .collect();
    repairs.sort_by_key(|it| it.no);
    repairs
}

fn finding(
    no: FindingNo,
    key: &FindingKey,
    history: Vec<Sighting>,
    origin: origin::Told,
    repairs: &[&Repair],
    looking: &Looking<'_>,
) -> Finding {
    let tag = looking.book.tag(&key.tag);
    let dealt = Dealt::of(repairs, tag, looking.book);
    let state = history::state(&history, &dealt);
    let still_after = history::still_after(state, &history, &dealt.mending());
    let treated = dealt.treated();
    let clean_looks = dealt.clean_looks(&history::telling(&history));
    let said_ended = last_seen::is_said_ended(state, &history);
    let said_sound = said_sound(key, &history, looking);
    let criterion = |level: u8| tag?.criterion(level).map(str::to_owned);
    let before = Extent::before(&history, criterion);
    let now = match said_ended {
        true => before.clone(),
        false => Extent::now(&history, criterion),
    };
    let level = now.level;
    let disclose = match state {
        FindingState::Withdrawn | FindingState::NotFound => false,
        FindingState::Repaired | FindingState::RepairUnseen | FindingState::Reopened => true,
        _ if repairs.iter().any(|it| it.hides.is_some()) => true,
        _ => level.is_none_or(|it| it >= tag.map_or(0, |tag| tag.disclose_from)),
    };
    Finding {
        no,
        part: key.part.clone(),
        part_label: part_label(key, looking),
        tag: key.tag.clone(),
        term: tag.map_or_else(|| key.tag.clone(), |it| it.called(level).to_owned()),
        plain: tag.map_or_else(String::new, |it| it.plain.clone()),
        which: key.which.clone(),
        numbered_as: key.which.clone(),
        origin: origin.origin,
        origin_why: origin.why,
        state,
        outcome: None,
        closed_by: grouping::closed_by(&history, |at| Some(looking.time.mark(at)?.state))
            .filter(|_| !said_ended),
        before,
        remains: Extent::remains(&history, criterion).filter(|_| !said_ended),
        level,
        tested: dealt.tested(&history, level, &key.which),
        level_words: now.criterion,
        effort: tag.map(|it| it.effort(level.unwrap_or(4))),
        size: now.size,
        size_of: now.size_of,
        disclose,
        place: None,
        sights: Vec::new(),
        silent: Vec::new(),
        quiet_since: None,
        unpictured: None,
        history,
        repairs: repairs.iter().map(|it| it.no).collect(),
        clean_looks: clean_looks.filter(|it| match state {
            FindingState::Gone => it.are_enough(),
            _ => state.is_open() && (said_ended || !treated.is_empty()),
        }),
        treated,
        still_after,
        said_sound,
    }
}

/// Later shoots that say nothing of a finding, though all of its place lies in one of their pictures.
fn silent(it: &Finding, sights: &[Sight], looking: &Looking<'_>) -> Vec<SilentLook> {
    let Some(first) = it.history.first() else {
        return Vec::new();
    };
    let marked = |rank: usize| {
        let mut seen = it.history.iter();
        seen.any(|it| looking.time.rank(it.shoot) == rank)
    };
    let sound = |rank: usize| it.said_sound.iter().any(|it| it.rank == rank);
    let first = looking.time.rank(first.shoot);
    last_seen::silent(sights, first, |rank| marked(rank) || sound(rank))
}

/// The newest shoot since a finding was last spoken of that looks at its part, and says nothing of it; `None` where nothing was told
/// then. A word that the part is sound or absent speaks of it.
fn quiet_since(it: &Finding, silent: &[SilentLook], looking: &Looking<'_>) -> Option<QuietLook> {
    let (time, statements) = (looking.time, looking.statements);
    let last = it.history.last()?;
    last_seen::last_told(&it.history)?;
    let spoken = |rank: usize| rank <= time.rank(last.shoot) || is_spoken_of(it, rank, looking);
    let shown = |photo: &Photo, not_examined: bool| {
        let clear = !looking.dim.contains(&photo.no);
        let shows = looking.shows(photo, &it.part).filter(|_| clear);
        shows.or(not_examined.then_some(Shows::Some))
    };
    for (rank, shoot) in time.shoots.iter().enumerate().rev() {
        if spoken(rank) {
            return None;
        }
        let not_examined = statements.not_examined_at(rank, &it.part);
        let of_place = silent.iter().find(|it| it.shoot == shoot.no).copied();
        let photos = time.photos_of(shoot.no);
        let seen = photos.filter_map(|photo| Some((shown(photo, not_examined)?, photo.no)));
        let most = seen.min().map(|it| it.1);
        if let Some(photo) = of_place.map(|it| it.lies.photo()).or(most) {
            return Some(QuietLook {
                shoot: shoot.no,
                day: shoot.day,
                photo,
                not_examined,
                of_place,
            });
        }
    }
    None
}

/// Whether a shoot without a mark of the finding says that its part is sound or absent.
fn is_spoken_of(it: &Finding, rank: usize, looking: &Looking<'_>) -> bool {
    let sound = it.said_sound.iter().any(|it| it.rank == rank);
    sound || looking.statements.is_absent_at(rank, &it.part)
}

/// The newest shoot after the piece had left, where the finding was there before, and neither a word nor a picture of it tells of the
/// part. To be asked only where no look at the part is silent.
fn unpictured(it: &Finding, looking: &Looking<'_>) -> Option<Unpictured> {
    let time = looking.time;
    let last = it.history.last()?;
    last_seen::last_told(&it.history).filter(|it| it.state.is_there())?;
    let mut shoots = time.shoots.iter().enumerate();
    let (rank, shoot) = shoots.rfind(|(_, it)| it.stage.after_sale())?;
    let pictured = time.photos_of(shoot.no).next().is_some();
    let unsaid = time
        .photos_of(shoot.no)
        .filter(|it| it.sidecar.says_nothing());
    let late = rank > time.rank(last.shoot) && !is_spoken_of(it, rank, looking);
    (pictured && late).then_some(Unpictured {
        shoot: shoot.no,
        day: shoot.day,
        unsaid: unsaid.map(|it| it.no).collect(),
    })
}

/// The label of its part; where nobody said on which part it is, the place as it was tapped.
fn part_label(key: &FindingKey, looking: &Looking<'_>) -> String {
    match looking.book.is_tapped_place(&key.which) {
        true => capital(&key.which),
        false => looking.list.label(&key.part),
    }
}

/// Statements in shoots after the first that names the fault, and none of it, that the part was sound.
fn said_sound(key: &FindingKey, history: &[Sighting], looking: &Looking<'_>) -> Vec<SoundSeen> {
    let Some(first) = history.first() else {
        return Vec::new();
    };
    let first = looking.time.rank(first.shoot);
    let spoken = |rank: usize| history.iter().any(|it| looking.time.rank(it.shoot) == rank);
    let mut said = looking.statements.sound(&key.part);
    said.retain(|it| it.rank > first && !spoken(it.rank));
    said
}

/// What a finding is called: as the newest mark says that names it by its number; else as when it got the number.
fn called(key: &FindingKey, marks: &[DatedMark<'_>]) -> String {
    let mut named = marks.iter().rev().filter(|it| it.mark.finding.is_some());
    let newest = named.find_map(|it| it.mark.which.clone());
    newest.unwrap_or_else(|| key.which.clone())
}

/// One sighting a shoot, in the order of time.
fn sightings(which: &str, marks: &[DatedMark<'_>]) -> Vec<Sighting> {
    marks
        .chunk_by(|a, b| a.shoot.no == b.shoot.no)
        .filter_map(|it| sighting(which, it))
        .collect()
}

/// What the marks of one shoot say together: never better than the worst of them.
fn sighting(which: &str, marks: &[DatedMark<'_>]) -> Option<Sighting> {
    let shoot = marks.first()?.shoot;
    let state = marks.iter().map(|it| it.mark.state).max_by_key(strength)?;
    // Only marks that say what the shoot says: the level of a mark that cannot show the fault is no level of the fault.
    let agrees = |it: &&Mark| it.state == state || (it.state.is_there() && state.is_there());
    let said = marks.iter().map(|it| it.mark).filter(agrees);
    let level = said.clone().filter_map(|it| it.level).max();
    let mut sized: Vec<&Mark> = said.filter(|it| it.size.is_some()).collect();
    // A stable sort: of two marks with the same level the earlier photo counts.
    sized.sort_by_key(|it| std::cmp::Reverse(it.level));
    let mut notes: Vec<Note> = Vec::new();
    for (text, said) in { marks.iter() }.filter_map(|it| Some((it.mark.note.as_ref()?, it))) {
        if !notes.iter().any(|it| it.text == *text) {
            let taken = said.photo.taken().map(|it| it.day());
            notes.push(Note {
                text: text.clone(),
                day: taken.filter(|it| *it > shoot.day),
            });
        }
    }
    let size = sized.first().and_then(|it| it.size.clone());
    Some(Sighting {
        shoot: shoot.no,
        stage: shoot.stage,
        day: shoot.day,
        state,
        level,
        more: more(marks, which, size.as_ref()),
        size,
        notes,
        marks: marks.iter().map(DatedMark::at).collect(),
    })
}

/// The names and measures in these marks that are neither the finding's name nor the shoot's one measure.
fn more(marks: &[DatedMark<'_>], name: &str, size: Option<&String>) -> Vec<WordAt> {
    let mut more = Vec::new();
    for said in marks {
        let which = said.mark.which.as_ref().filter(|it| *it != name);
        let other = said.mark.size.as_ref().filter(|it| size != Some(it));
        for text in which.into_iter().chain(other).cloned() {
            let it = WordAt {
                photo: said.at().photo,
                text,
            };
            if !more.contains(&it) {
                more.push(it);
            }
        }
    }
    more
}

/// Which of two statements of one shoot is believed: the one that promises less.
fn strength(state: &MarkState) -> u8 {
    match state {
        MarkState::Worse => 6,
        MarkState::Present => 5,
        MarkState::Better => 4,
        MarkState::Repaired => 3,
        MarkState::Gone => 2,
        MarkState::NotVisible => 1,
        MarkState::NotExamined => 0,
    }
}
