//! Which texts beside the photos a dossier encloses: the newest, and where that could not be read, the one in force.

use crate::evidence::ledger::entry::SidecarRead;
use crate::kit::digest::Digest;
use crate::mark::own_comments;
use crate::mark::written;
use crate::model::mark::Sidecar;
use crate::work::dossier::desk::Desk;
use crate::work::dossier::disclosure::CopyTold;
use crate::work::dossier::files::COPIES;
use crate::work::dossier::files::From;
use crate::work::dossier::files::Plan;
use crate::work::dossier::files::ToCopy;
use crate::work::dossier::left_out::WhyNot;

impl Plan {
    /// Puts a text beside a photo in where it is the newest, or the one in force; else says why not.
    pub(in crate::work::dossier) fn sidecar(&mut self, desk: &Desk, no: u64, it: &SidecarRead) {
        let what = format!("the sidecar of photo {}", it.photo);
        if desk.removed.iter().any(|(photo, _)| *photo == it.photo) {
            return self.leave(no, it.sha256, WhyNot::Removed, what);
        }
        let digest = |text: &str| Digest::of(text.as_bytes());
        let in_force = desk.in_force.get(&it.photo);
        let newest = desk.newest.get(&it.photo);
        let text = match newest {
            Some((newest, _)) if *newest == no => desk.texts.get(&it.photo),
            // The same text was written again later: its file is there.
            Some((_, same)) if *same == it.sha256 => {
                let text = desk.texts.get(&it.photo);
                if is_private(desk, text) {
                    self.leave(no, it.sha256, WhyNot::Private, what);
                }
                return;
            }
            _ if in_force.is_some_and(|of| digest(&of.0) == it.sha256) => in_force,
            _ => return self.leave(no, it.sha256, WhyNot::Replaced, what),
        };
        let is_refused = text.is_some_and(|it| it.1.is_none());
        let not_in = |why: &str| format!("not enclosed: {why} (line {no}, SHA-256 {})", it.sha256);
        let beside = match text.filter(|of| digest(&of.0) == it.sha256) {
            Some(_) if is_refused && !desk.shown.private => {
                self.leave(no, it.sha256, WhyNot::Refused, what);
                not_in("a newer text, not in force as it could not be read")
            }
            Some((_, says)) if is_private(desk, text) => {
                self.leave(no, it.sha256, WhyNot::Private, what.clone());
                let noted = says.as_ref().is_some_and(|it| it.private_note.is_some());
                let told = not_in(match noted {
                    true => "it holds a private note",
                    false => "it may hold a private note",
                });
                self.told_with_copy(desk, (no, it), told, (what, says.as_ref()))
            }
            Some((text, Some(says))) if desk.shown.copies && has_comments(desk, it, text) => {
                self.leave(no, it.sha256, WhyNot::Words, what.clone());
                let told = not_in("it holds a comment");
                self.told_with_copy(desk, (no, it), told, (what, Some(says)))
            }
            Some((text, _)) => match self.place_beside(it.photo) {
                Some(place) => {
                    let name = desk.photos.get(&it.photo).map_or("", |it| it.name.as_str());
                    self.discloses.comments(no, &what, own_comments(name, text));
                    self.put(place.clone(), it.sha256, From::Text(text.clone()));
                    match is_refused {
                        true => format!(
                            "{place} (line {no}), newer, not in force: it could not be read"
                        ),
                        false if in_force.is_some() => format!("{place} (line {no}), in force"),
                        false => place,
                    }
                }
                // The same text is in already, for an earlier line.
                None => return,
            },
            None => {
                self.leave(no, it.sha256, WhyNot::Lost, what);
                not_in("it is lost")
            }
        };
        let told = self.beside.entry(it.photo).or_default();
        if !told.is_empty() {
            told.push_str("; ");
        }
        told.push_str(&beside);
    }

    /// That a text is not in, with where its copy lies, if what it says can be read.
    fn told_with_copy(
        &mut self,
        desk: &Desk,
        of: (u64, &SidecarRead),
        told: String,
        (what, says): (String, Option<&Sidecar>),
    ) -> String {
        match says.and_then(|says| self.copy_of_text(desk, of, what, says)) {
            Some(place) => format!("{told}; a copy without it: {place}"),
            None => told,
        }
    }

    /// Puts in what a text says without its private note and without comments, which may be about it; says where.
    fn copy_of_text(
        &mut self,
        desk: &Desk,
        (no, it): (u64, &SidecarRead),
        what: String,
        says: &Sidecar,
    ) -> Option<String> {
        let name = desk.photos.get(&it.photo).map_or("", |it| it.name.as_str());
        let mut open = says.clone();
        open.private_note = None;
        let told = CopyTold {
            line: no,
            what,
            place: format!(
                "{COPIES}/{}.copy.toml",
                self.places.get(&it.photo)?.first()?
            ),
            original: it.sha256.to_string(),
            without: "private note and comments".to_owned(),
        };
        let place = told.place.clone();
        self.discloses.copies.push(told.clone());
        self.copies.push(ToCopy {
            told,
            sha256: it.sha256,
            from: From::Text(written(name, &open)),
        });
        Some(place)
    }

    /// Where a text beside a photo goes: beside the photo, or by its number, where a text lies there; `None` where both are taken.
    fn place_beside(&self, photo: u32) -> Option<String> {
        let places = self.places.get(&photo)?;
        let mut places = places.iter().map(|it| format!("sidecars/{it}.toml"));
        places.find(|place| !self.files.iter().any(|it| it.place == *place))
    }
}

/// Whether a text has comments of its own: there stand the words that other programs wrote into the picture.
fn has_comments(desk: &Desk, it: &SidecarRead, text: &str) -> bool {
    let name = desk.photos.get(&it.photo).map_or("", |it| it.name.as_str());
    !own_comments(name, text).is_empty()
}

/// Whether a text holds, or may hold, what is nobody else's business. What a text that cannot be read says, nobody knows.
fn is_private(desk: &Desk, text: Option<&(String, Option<Sidecar>)>) -> bool {
    let open = |(text, read): &(String, Option<Sidecar>)| {
        let told = read.as_ref().is_some_and(|it| it.private_note.is_none());
        told && !text.contains("private_note")
    };
    !desk.shown.private && !text.is_some_and(open)
}
