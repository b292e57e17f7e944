//! Wishes and a file as it is now -> the changes to its text, or what stands in their way.

use serde::Serialize;

use crate::mark::Change;
use crate::mark::Words;
use crate::model::face::LaidFace;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::Scale;
use crate::model::mark::Sidecar;
use crate::work::marking::edit::Clash;
use crate::work::marking::edit::Edit;
use crate::work::marking::said::same_mark;
use crate::work::marking::said::same_region;
use crate::work::marking::said::same_scale;
use crate::work::marking::said::same_subject;

/// Tags that say one thing of a whole part.
const STATEMENTS: [&str; 3] = ["sound", "absent", "not_examined"];

/// What has to be changed in a file that says `said`, and the wishes that do not fit it.
pub(super) fn fitted(
    said: &Sidecar,
    wishes: &[Edit],
    mine: bool,
    words: &Words,
) -> (Vec<Change>, Vec<Clash>) {
    let mut now = said.clone();
    let (mut changes, mut clashes) = (Vec::new(), Vec::new());
    for wish in wishes {
        match fit(&mut now, wish, mine, words) {
            Ok(some) => changes.extend(some),
            Err((theirs, message)) => clashes.push(Clash {
                change: wish.clone(),
                theirs,
                message: message.to_owned(),
            }),
        }
    }
    (changes, clashes)
}

type Fit = Result<Vec<Change>, (serde_json::Value, &'static str)>;

/// Makes a wish to `now`; the changes to the text that it takes, or what stands in its way.
fn fit(now: &mut Sidecar, wish: &Edit, mine: bool, words: &Words) -> Fit {
    let blank = |it: &Option<String>| it.clone().filter(|it| !it.is_empty());
    match wish {
        Edit::View { was, to } => {
            let change = |to: Option<String>| Change::View(to.unwrap_or_default());
            let message = "which view this is was changed meanwhile";
            value(&mut now.view, &blank(was), blank(to), mine, message)
                .map(|it| it.map(change).into_iter().collect())
        }
        Edit::Note { was, to } => {
            let message = "the note was changed meanwhile";
            value(&mut now.note, &blank(was), blank(to), mine, message)
                .map(|it| it.map(Change::Note).into_iter().collect())
        }
        Edit::PrivateNote { was, to } => {
            let message = "the private note was changed meanwhile";
            value(&mut now.private_note, &blank(was), blank(to), mine, message)
                .map(|it| it.map(Change::PrivateNote).into_iter().collect())
        }
        Edit::Scale { was, to } => fit_scale(now, was.as_ref(), to.as_ref(), mine),
        Edit::Face { was, to } => fit_face(now, was.as_ref(), to.as_ref(), mine),
        Edit::Parts { was, to } => Ok(fit_parts(now, was, to)),
        Edit::Add { mark } => {
            let added = add(now, mark, words);
            Ok(with_parts(now, added, mark))
        }
        Edit::Replace { was, mark } => {
            let changes = replace(now, was, mark, mine, words)?;
            Ok(with_parts(now, changes, mark))
        }
        Edit::Remove { was } => remove(now, was, mine),
    }
}

/// Sets one value that says one thing; `None` when it is so already.
fn value(
    now: &mut Option<String>,
    was: &Option<String>,
    to: Option<String>,
    mine: bool,
    message: &'static str,
) -> Result<Option<Option<String>>, (serde_json::Value, &'static str)> {
    if *now == to {
        return Ok(None);
    }
    if now != was && !mine {
        return Err((json(now), message));
    }
    now.clone_from(&to);
    Ok(Some(to))
}

fn fit_scale(now: &mut Sidecar, was: Option<&Scale>, to: Option<&Scale>, mine: bool) -> Fit {
    if same_scale(now.scale.as_ref(), to) {
        return Ok(Vec::new());
    }
    if !same_scale(now.scale.as_ref(), was) && !mine {
        return Err((json(&now.scale), "the scale was changed meanwhile"));
    }
    now.scale = to.cloned();
    Ok(vec![Change::Scale(to.cloned())])
}

/// A face is laid once in a picture: the one of that name is set, changed or taken away.
fn fit_face(now: &mut Sidecar, was: Option<&LaidFace>, to: Option<&LaidFace>, mine: bool) -> Fit {
    let Some(face) = to.or(was).map(|it| it.face.clone()) else {
        return Ok(Vec::new());
    };
    let place = now.faces.iter().position(|it| it.face == face);
    let theirs = place.map(|it| &now.faces[it]);
    if theirs == to {
        return Ok(Vec::new());
    }
    if theirs != was && !mine {
        return Err((json(&theirs), "this face was laid anew meanwhile"));
    }
    match (to, place) {
        (Some(to), Some(place)) => now.faces[place] = to.clone(),
        (Some(to), None) => now.faces.push(to.clone()),
        (None, Some(place)) => drop(now.faces.remove(place)),
        (None, None) => {}
    }
    Ok(vec![match to {
        Some(to) => Change::LayFace(to.clone()),
        None => Change::RemoveFace(face),
    }])
}

/// Parts are a set: what was added and what was taken away on both sides counts.
fn fit_parts(now: &mut Sidecar, was: &[PartId], to: &[PartId]) -> Vec<Change> {
    let mut parts = now.parts.clone();
    parts.retain(|it| to.contains(it) || !was.contains(it));
    for part in to {
        if !was.contains(part) && !parts.contains(part) {
            parts.push(part.clone());
        }
    }
    if parts == now.parts {
        return Vec::new();
    }
    now.parts.clone_from(&parts);
    vec![Change::Parts(parts)]
}

/// The changes of a mark, and that a part of which it says that it is not there is none that the picture shows.
fn with_parts(now: &mut Sidecar, mut changes: Vec<Change>, mark: &Mark) -> Vec<Change> {
    let absent = mark
        .part
        .as_ref()
        .filter(|_| mark.tag.as_deref() == Some("absent"));
    if let Some(absent) = absent.filter(|_| !changes.is_empty()) {
        let was = now.parts.clone();
        let left = was
            .iter()
            .filter(|it| *it != absent && it.whole() != *absent);
        let left: Vec<PartId> = left.cloned().collect();
        changes.extend(fit_parts(now, &was, &left));
    }
    changes
}

fn add(now: &mut Sidecar, mark: &Mark, words: &Words) -> Vec<Change> {
    let Some(mark) = told_apart(now, mark, words) else {
        return Vec::new();
    };
    now.marks.push(mark.clone());
    vec![Change::AddMark(mark)]
}

/// A further mark as it is written; `None` when it stands there already. One that says nothing to tell it apart from another
/// fault of its kind in the picture is a fault of its own, and its `which` is the next number that no finding of the piece has.
fn told_apart(now: &Sidecar, mark: &Mark, words: &Words) -> Option<Mark> {
    let mut told = mark.clone();
    let named = mark.finding.is_some() || mark.which.is_some();
    for number in 2_u32.. {
        if place(now, &told).is_some() {
            return None;
        }
        let Some(key) = words.key_of(&told).filter(|_| !named) else {
            break;
        };
        let in_picture = now
            .marks
            .iter()
            .any(|it| words.key_of(it).as_ref() == Some(&key));
        if !in_picture && (told.which.is_none() || words.number_of(&key).is_none()) {
            break;
        }
        told.which = Some(number.to_string());
    }
    Some(told)
}

fn replace(now: &mut Sidecar, was: &Mark, mark: &Mark, mine: bool, words: &Words) -> Fit {
    if let Some(index) = place(now, was) {
        return Ok(put(now, index, mark));
    }
    if place(now, mark).is_some() {
        return Ok(Vec::new());
    }
    match kin(now, was) {
        Some(index) if mine => Ok(put(now, index, mark)),
        None if mine => Ok(add(now, mark, words)),
        found => {
            let theirs = found.map(|it| &now.marks[it]);
            Err((json(&theirs), "this mark was changed meanwhile"))
        }
    }
}

/// Puts a mark in the place of another. A statement about a whole part may stand in a list that cannot hold the new one.
fn put(now: &mut Sidecar, index: usize, mark: &Mark) -> Vec<Change> {
    let old = &now.marks[index];
    if same_mark(old, mark) {
        return Vec::new();
    }
    let is_statement = STATEMENTS.iter().any(|it| old.tag.as_deref() == Some(*it));
    if is_statement {
        now.marks.remove(index);
        now.marks.push(mark.clone());
        return vec![Change::RemoveMark(index), Change::AddMark(mark.clone())];
    }
    now.marks[index] = mark.clone();
    let mark = mark.clone();
    vec![Change::ReplaceMark { index, mark }]
}

fn remove(now: &mut Sidecar, was: &Mark, mine: bool) -> Fit {
    let index = match (place(now, was), kin(now, was)) {
        (Some(index), _) => index,
        (None, None) => return Ok(Vec::new()),
        (None, Some(index)) if mine => index,
        (None, Some(index)) => {
            return Err((
                json(&now.marks[index]),
                "the mark to be taken away was changed meanwhile",
            ));
        }
    };
    now.marks.remove(index);
    Ok(vec![Change::RemoveMark(index)])
}

/// Where a mark stands.
fn place(now: &Sidecar, mark: &Mark) -> Option<usize> {
    now.marks.iter().position(|it| same_mark(it, mark))
}

/// Where the mark stands that another became: the same place in the picture, or the same subject.
fn kin(now: &Sidecar, mark: &Mark) -> Option<usize> {
    let there = |it: &Mark| match (&it.region, &mark.region) {
        (Some(a), Some(b)) => same_region(a, b),
        _ => false,
    };
    let marks = || now.marks.iter();
    let same_place = marks().position(there);
    same_place.or_else(|| marks().position(|it| same_subject(it, mark)))
}

fn json(value: &impl Serialize) -> serde_json::Value {
    serde_json::to_value(value).unwrap_or_default()
}

#[cfg(test)]
mod tests;
