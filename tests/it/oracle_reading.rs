//! A naive reading of the raw statements of a record: what is true of each part and each fault.
//!
//! It was written from the words of the record alone, without the rules of the program, and says for each question which answers
//! would be true; where the statements leave it open there are several.
//!
//! **Parts.** A statement about a part itself beats one about the part it belongs to, whatever came later; of two about the same
//! part the newer counts, and that nobody looked counts only where there is no other. What is said of a whole part goes for an inner part that nobody spoke of: "absent" and "not examined"
//! do; "sound" only where the picture can show the inner part. It shows what the trade data says the view shows (`front_whole`
//! shows the front of a drawer, `drawer_inside` its bottom). A picture of another view, or of none, cannot show what lies inside
//! (lock, bottom, runner, stop) or on another face than the whole. For the rest (a pull in a `part_whole` picture) both answers
//! pass. A drawer that was taken away takes no word about its front along: what was seen of it stays, with the day on which it was
//! seen, and the drawer itself is told as absent. A fault of the whole part says nothing of its inner parts: what was said of the
//! whole before it may still be told of them. Faults on a part are told as faults; faults on inner parts alone say nothing of the
//! rest of it, and a clean test says nothing of any other fault. Within one shoot no picture is
//! newer than another: a part with a fault of which the same shoot says that nobody looked at it is told as both, with a fault and
//! otherwise not examined, since a buyer who hears only of the fault would think that the rest was looked at.
//!
//! **Faults.** The last shoot that spoke of a fault counts, and repairs by their day. There: open. `gone`: gone, or repaired where a
//! repair came before; `gone` where nobody ever saw it and nothing was done for it: not found, and no fault of the piece. `not_visible`, `not_examined`: they say nothing of what became of it; where the shoot before said that it is
//! there, it was last seen there, and not since; where none said anything, not settled. So too where a later shoot has a picture of
//! its part, or says that nobody examined the part, and no word of the fault: nothing then says that it is still there; and where
//! pictures came after the piece had left, and none is of its part. `repaired`: repaired, seen so;
//! with a level or a measure it can still be seen. A test that found nothing is told as that, whatever was pictured since. A repair after the last picture is a repair that no picture shows. A later
//! "sound" on the same part may settle it too.
//!
//! **Without it.** A picture bears that a fault was not there only when it shows the whole part: a view from a fixed place that
//! shows the part, or the front on which it sits, or `part_whole` with the part named; for an inner part also another view that shows its kind, with the part
//! named. A picture of a fault, and a close-up, never does.
//!
//! **Pairs.** A side that carries no mark of the fault should be a whole view too. Where there is none, a picture that names the part
//! is better for a buyer than no picture, if the page says that it may not show the place; a close-up of elsewhere and the wrapped
//! piece show nothing of it.

use std::collections::BTreeSet;

use crate::oracle_record::Key;
use crate::oracle_record::Part;
use crate::oracle_record::Photo;
use crate::oracle_record::Record;
use crate::oracle_record::Say;
use crate::oracle_record::Trade;
use crate::oracle_record::What;

/// Answers that would be true.
pub(crate) type Allowed = BTreeSet<&'static str>;

/// Whether a picture can show something.
#[derive(Clone, Copy, PartialEq)]
enum Shown {
    Yes,
    Perhaps,
    No,
}

pub(crate) struct Reading<'a> {
    pub(crate) record: &'a Record,
    pub(crate) trade: &'a Trade,
}

/// Faults whose level tells of a test, and the level that says that it found nothing (the words of the trade book for that level).
const CLEAN_TESTS: [(&str, u8); 2] = [("lead_paint", 1), ("tip_risk", 1)];

/// The only work after which lead in a coat may be gone: the coat is taken off wet, or the part is made new. Common practice, no source.
const ENDS_LEAD: [&str; 17] = [
    "strip",
    "replace_panel",
    "part_remake",
    "runner",
    "drawer_edge",
    "drawer_bottom_new",
    "metal_slide",
    "hinge",
    "cane",
    "upholster",
    "upholster_fixed",
    "cast",
    "hardware_match",
    "lock",
    "glass",
    "mirror_replace",
    "leather",
];

/// Methods that deal with a danger or a doubt, after which the fault is as it was.
const TREATS: [&str; 7] = [
    "quarantine",
    "insect_freeze",
    "insect_local",
    "lead_safe",
    "wiring",
    "silicone",
    "anchor",
];

/// Dangers that live in the wood: nobody sees at one look that they are gone.
const LIVING: [&str; 2] = ["worm_active", "bed_bugs"];

/// What insects left behind: it is there until work ends it, and a watch tells of the insects alone.
const TRACE: &str = "worm_old";

fn is_there(state: &str) -> bool {
    matches!(state, "present" | "better" | "worse")
}

impl Reading<'_> {
    fn part(&self, id: &str) -> &Part {
        let mut parts = self.record.parts.iter();
        parts.find(|it| it.id == id).expect("a part of the list")
    }

    /// What was said last of this part itself; observations say nothing of its state. `None` for the photo: told at intake.
    fn last(&self, part: &str) -> Option<(&'static str, Option<(u32, &Photo)>)> {
        let says = self.record.says().into_iter();
        let not_found = |it: &Say| it.key().is_some_and(|key| self.tells_of_no_fault(&key));
        let own = says.filter(|it| it.3.part == part && !matches!(it.3.what, What::Cue(_)));
        let own = own.filter(|it| !not_found(it.3));
        let told: Vec<_> = own
            .map(|(_, no, photo, say)| (state_of(say), Some((no, photo))))
            .collect();
        let absent = self.record.absent.iter().any(|it| it == part);
        let absent = absent.then_some(("absent", None));
        let Some(last) = told.last().copied().filter(|it| it.0 == "not_examined") else {
            return told.last().copied().or(absent);
        };
        let mut before = told.iter().rev().copied();
        let looked = before.find(|it| ["sound", "absent"].contains(&it.0));
        looked.or(absent).or(Some(last))
    }

    /// The faults of a part and of its inner parts.
    pub(crate) fn faults_on(&self, part: &str) -> Vec<Key> {
        let within = format!("{part}/");
        let mut keys = self.record.keys();
        keys.retain(|it| it.0 == part || it.0.starts_with(&within));
        keys
    }

    /// The states of a part that would be true, and the pictures in which it may be called sound.
    pub(crate) fn state(&self, part: &str) -> (Allowed, BTreeSet<u32>) {
        let mut sound_in = BTreeSet::new();
        let mut allowed = match (self.last(part), part.split_once('/')) {
            (Some((state, photo)), _) => {
                sound_in.extend(photo.map(|it| it.0));
                Allowed::from([state])
            }
            (None, None) => Allowed::from(["silent"]),
            (None, Some((whole, _))) => match self.last(whole) {
                None => Allowed::from(["silent"]),
                Some(("sound", Some((no, photo)))) => {
                    sound_in.insert(no);
                    match self.shows_inner(photo, part, whole) {
                        Shown::Yes => Allowed::from(["sound"]),
                        Shown::Perhaps => Allowed::from(["sound", "silent"]),
                        Shown::No => Allowed::from(["silent"]),
                    }
                }
                Some(("absent", _)) => Allowed::from(["absent", "silent"]),
                Some(("not_examined", _)) => Allowed::from(["not_examined", "silent"]),
                Some(_) => self.before_a_fault_of(whole, part, &mut sound_in),
            },
        };
        let mut faults = self.faults_on(part);
        // What a test or a look for one thing did not find says nothing of other faults.
        faults.retain(|it| !self.tells_of_no_fault(it));
        let front = format!("{part}/front");
        let only_within = faults.iter().all(|it| it.0 != part && it.0 != front);
        if !faults.is_empty() && only_within && self.last(part).is_none() {
            // Faults of inner parts: of the rest of it nobody said anything.
            return (Allowed::from(["silent"]), sound_in);
        }
        let all_gone = faults.iter().all(|it| self.group(it).contains("gone"));
        if !faults.is_empty() {
            // Said of the part itself after its faults: both are true.
            let both = allowed
                .iter()
                .any(|it| ["absent", "not_examined"].contains(it));
            let own_sound = allowed.contains("sound") && all_gone;
            if !both && !own_sound {
                allowed.clear();
            }
            allowed.insert("faults");
        }
        (allowed, sound_in)
    }

    /// Whether the shoot that spoke last of this part itself says that nobody looked at it.
    pub(crate) fn unseen_that_day(&self, part: &str) -> bool {
        let says = self.record.says();
        let about = || {
            let own = says.iter().filter(|it| it.3.part == part);
            own.filter(|it| !matches!(it.3.what, What::Cue(_)))
        };
        let last = about().next_back().map(|it| it.0);
        about().any(|it| Some(it.0) == last && it.3.what == What::NotExamined)
    }

    /// After a fault was marked on the whole: it says nothing of the inner parts, so that what was said of the whole before may
    /// still be told of them.
    fn before_a_fault_of(&self, whole: &str, part: &str, sound_in: &mut BTreeSet<u32>) -> Allowed {
        let mut allowed = Allowed::from(["silent"]);
        let says = self.record.says().into_iter();
        let before = says.filter(|it| it.3.part == whole && state_of(it.3) != "faults");
        let before: Vec<_> = before.collect();
        let looked = { before.iter().rev() }.find(|it| it.3.what != What::NotExamined);
        match looked.or(before.last()).copied() {
            Some((_, no, photo, say))
                if say.what == What::Sound && self.shows_inner(photo, part, whole) != Shown::No =>
            {
                sound_in.insert(no);
                allowed.insert("sound");
            }
            Some((_, _, _, say)) if say.what == What::NotExamined => {
                allowed.insert("not_examined");
            }
            _ => {}
        }
        allowed
    }

    fn shows_inner(&self, photo: &Photo, part: &str, whole: &str) -> Shown {
        let (inner, whole) = (self.part(part), self.part(whole));
        if self.view_shows(photo, inner) {
            return Shown::Yes;
        }
        match inner.face == "inside" || inner.face != whole.face {
            true => Shown::No,
            false => Shown::Perhaps,
        }
    }

    fn view_shows(&self, photo: &Photo, part: &Part) -> bool {
        let view = photo.view.as_deref().and_then(|it| self.trade.view(it));
        view.is_some_and(|it| it.shows.contains(&part.kind) || it.shows.contains(&part.id))
    }

    /// The groups in which a fault may be counted: `open`, `since` (there when last seen, and not seen since), `repaired`, `gone`,
    /// `unseen` (a repair that no picture shows) and `unsettled`.
    pub(crate) fn group(&self, key: &Key) -> Allowed {
        let says = self.record.says();
        let about: Vec<_> = says
            .iter()
            .filter(|it| it.3.key().as_ref() == Some(key))
            .collect();
        let repairs = self.record.repairs.iter();
        let repairs: Vec<usize> = repairs
            .filter(|it| it.keys.contains(key) && !TREATS.contains(&it.method.as_str()))
            .filter(|it| key.1 != "lead_paint" || ENDS_LEAD.contains(&it.method.as_str()))
            .map(|it| it.after)
            .collect();
        let mut allowed = Allowed::new();
        // From the last shoot back to one in which somebody looked.
        let mut blind = false;
        for (shoot, _, _, say) in about.iter().rev() {
            let repaired_before = repairs.iter().any(|it| it < shoot);
            let repaired_after = repairs.iter().any(|it| it >= shoot);
            match say.state() {
                "not_examined" | "not_visible" => {
                    blind = true;
                    continue;
                }
                "gone" | "repaired" if self.is_unproven(key, *shoot, repaired_before) => {
                    allowed.insert("since");
                    // Of what was only suspected, two looks with time between them may be enough.
                    allowed.insert("gone")
                }
                "gone" if repaired_before => {
                    allowed.insert("repaired");
                    allowed.insert("gone")
                }
                "gone" if self.is_never_seen(key) => allowed.insert("not_found"),
                "gone" if key.1 == TRACE => allowed.insert("since"),
                "gone" => allowed.insert("gone"),
                "repaired" if !repaired_after => allowed.insert("repaired"),
                "repaired" => false,
                // At the last look nobody examined it, or it cannot be told: that it is still there is not known.
                _ if !repaired_after && blind => allowed.insert("since"),
                _ if !repaired_after => match self.passed_over(key) {
                    (Shown::Yes, _) => allowed.insert("since"),
                    (Shown::No, _) => allowed.insert("open"),
                    (Shown::Perhaps, _) => allowed.insert("since") | allowed.insert("open"),
                },
                _ => false,
            };
            if repaired_after {
                allowed.insert("unseen");
            }
            break;
        }
        // What a test found stays found: a clean one is no fault that is there, nor one that was not seen since.
        let there = ["open", "since"].into_iter().any(|it| allowed.contains(it));
        match self.is_clean(key) {
            Shown::Yes if there => {
                allowed.retain(|it| !["open", "since"].contains(it));
                allowed.insert("cleared");
            }
            // A later word without a level leaves it open whether the test still stands.
            Shown::Perhaps if there => {
                allowed.insert("cleared");
            }
            _ => {}
        }
        // Nobody ever saw it, though it was named.
        if allowed.is_empty() {
            allowed.insert("unsettled");
            allowed.extend(repairs.first().map(|_| "unseen"));
        }
        self.settled_by_others(
            key,
            about.last().map_or(0, |it| it.1),
            &repairs,
            &mut allowed,
        );
        allowed
    }

    /// Whether all that is told of it is that a test or a look did not find it: it says nothing of any other fault.
    fn tells_of_no_fault(&self, key: &Key) -> bool {
        self.is_not_found(key) || self.group(key) == Allowed::from(["cleared"])
    }

    /// Whether it was looked for and not found, and never seen: no fault.
    fn is_not_found(&self, key: &Key) -> bool {
        let says = self.record.says();
        let mut about = says.iter().filter(|it| it.3.key().as_ref() == Some(key));
        about.any(|it| it.3.state() == "gone") && self.is_never_seen(key)
    }

    /// Whether no word says that the fault was ever there, and nothing was done for it.
    fn is_never_seen(&self, key: &Key) -> bool {
        let says = self.record.says();
        let mut about = says.iter().filter(|it| it.3.key().as_ref() == Some(key));
        let told = about.any(|it| is_there(it.3.state()) || it.3.state() == "repaired");
        let worked = self.record.repairs.iter().any(|it| it.keys.contains(key));
        !told && !worked
    }

    /// Whether a fault is said to be there by a test that found nothing: in the last shoot that says so, or perhaps before.
    fn is_clean(&self, key: &Key) -> Shown {
        let says = self.record.says();
        let about = says.iter().filter(|it| it.3.key().as_ref() == Some(key));
        let there: Vec<_> = about.filter(|it| is_there(it.3.state())).collect();
        let last = there.last().map(|it| it.0);
        let level = |say: &Say| match say.what {
            What::Fault { level, .. } => level,
            _ => None,
        };
        let told = there.iter().filter_map(|it| Some((it.0, level(it.3)?)));
        let Some(newest) = told.clone().map(|it| it.0).max() else {
            return Shown::No;
        };
        let worst = told.filter(|it| it.0 == newest).map(|it| it.1).max();
        let clean = worst.is_some_and(|it| CLEAN_TESTS.contains(&(key.1.as_str(), it)));
        match clean {
            true if last == Some(newest) => Shown::Yes,
            true => Shown::Perhaps,
            false => Shown::No,
        }
    }

    /// Whether a word of this shoot that a living danger is repaired or gone rests on no work since it was last there.
    fn is_unproven(&self, key: &Key, shoot: usize, repaired_before: bool) -> bool {
        let says = self.record.says();
        let mut before = says.iter().filter(|it| it.0 < shoot);
        let was_there = before.any(|it| it.3.key().as_ref() == Some(key) && is_there(it.3.state()));
        LIVING.contains(&key.1.as_str()) && was_there && !repaired_before
    }

    /// The day of the last shoot that says of a fault that it is there, and the days of the shoots after it that speak of it.
    pub(crate) fn last_there(&self, key: &Key) -> Option<(String, Vec<String>)> {
        let day = |shoot: usize| spoken(&self.record.shoots[shoot].day);
        let says = self.record.says();
        let about = says.iter().filter(|it| it.3.key().as_ref() == Some(key));
        let about: Vec<_> = about.map(|it| (it.0, it.3.state())).collect();
        let there = about.iter().rposition(|it| is_there(it.1))?;
        let seen = about[there].0;
        let later = about[there..].iter().filter(|it| it.0 != seen);
        let passed_over = match self.passed_over(key) {
            (Shown::Yes, shoot) => shoot,
            _ => None,
        };
        let later = later.map(|it| it.0).chain(passed_over);
        Some((day(seen), later.map(day).collect()))
    }

    /// Whether a shoot after the last one that spoke of a fault looks at its part and says nothing of it, and the newest such.
    /// Whether it does is open where the part is only seen with its whole, where a mark alone names it, and where the part was
    /// called sound or absent since: that may be taken for a word on the fault.
    fn passed_over(&self, key: &Key) -> (Shown, Option<usize>) {
        let says = self.record.says();
        let about = says.iter().filter(|it| it.3.key().as_ref() == Some(key));
        let Some(last) = about.map(|it| it.0).max() else {
            return (Shown::No, None);
        };
        let whole = key.0.split('/').next().unwrap_or(&key.0);
        let mut newest = None;
        let mut perhaps = false;
        for (shoot, _, photo) in self.record.photos() {
            if shoot <= last {
                continue;
            }
            match self.looks_at(photo, &key.0) {
                Shown::Yes => newest = newest.max(Some(shoot)),
                Shown::Perhaps => perhaps = true,
                Shown::No => {}
            }
            for say in photo
                .says
                .iter()
                .filter(|it| it.part == key.0 || it.part == whole)
            {
                match say.what {
                    What::Sound | What::Absent => perhaps = true,
                    What::NotExamined if say.part == key.0 => newest = newest.max(Some(shoot)),
                    What::NotExamined => perhaps = true,
                    What::Fault { .. } | What::Cue(_) => {}
                }
            }
        }
        // Pictures that came after the piece had left, of which none is of the part, do not show that it is still there.
        let away = |it: &str| matches!(it, "delivery" | "return");
        let late = self.record.photos().into_iter().map(|it| it.0);
        let late = late.filter(|it| *it > last && away(&self.record.shoots[*it].stage));
        let newest = newest.or(late.max());
        match (perhaps, newest) {
            (true, _) => (Shown::Perhaps, newest),
            (false, Some(_)) => (Shown::Yes, newest),
            (false, None) => (Shown::No, None),
        }
    }

    /// Whether a picture is one of this part.
    fn looks_at(&self, photo: &Photo, part: &str) -> Shown {
        let view = photo.view.as_deref().and_then(|it| self.trade.view(it));
        if view.is_some_and(|it| it.of_no_part) {
            return Shown::No;
        }
        let whole = part.split('/').next().unwrap_or(part);
        let named = |id: &str| photo.parts.iter().any(|it| it == id);
        let marked = photo
            .says
            .iter()
            .any(|it| it.part == part || it.part == whole);
        let of_fixed = view.filter(|it| it.fixed);
        let shown = of_fixed.is_some_and(|_| self.view_shows(photo, self.part(part)));
        match of_fixed {
            // A view of a whole side that does not show the part, whatever is named beside it.
            Some(_) if !shown && part == whole => Shown::No,
            Some(_) if shown && (named(part) || photo.parts.is_empty()) => Shown::Yes,
            None if named(part) => Shown::Yes,
            _ if part != whole || marked => Shown::Perhaps,
            _ => Shown::No,
        }
    }

    /// A later word about the whole part, that it is sound or no longer there, may settle its faults too.
    fn settled_by_others(&self, key: &Key, last: u32, repairs: &[usize], allowed: &mut Allowed) {
        for (shoot, no, _, say) in self.record.says() {
            let later = no > last && say.part == key.0;
            if later && matches!(say.what, What::Sound | What::Absent) {
                allowed.insert("gone");
                if repairs.iter().any(|it| *it < shoot) {
                    allowed.insert("repaired");
                }
            }
        }
    }

    /// Whether somebody said what remains of a repaired fault when it was seen last.
    pub(crate) fn leaves_traces(&self, key: &Key) -> bool {
        let says = self.record.says();
        let blind = |it: &Say| matches!(it.state(), "not_examined" | "not_visible");
        let about = || {
            let about = says.iter().filter(|it| it.3.key().as_ref() == Some(key));
            about.filter(|it| !blind(it.3))
        };
        let last = about().next_back().map(|it| it.0);
        let mut of_last = about().filter(|it| Some(it.0) == last);
        of_last.any(|it| {
            let level = matches!(it.3.what, What::Fault { level: Some(_), .. });
            it.3.state() == "repaired" && (level || it.3.size.is_some())
        })
    }

    /// Whether this picture names the part, or the whole on which it is seen, and is no close-up and not of the wrapped piece.
    pub(crate) fn may_show(&self, no: u32, part: &str) -> bool {
        let photos = self.record.photos();
        let Some((_, _, photo)) = photos.iter().find(|it| it.1 == no) else {
            return false;
        };
        let view = photo.view.as_deref().and_then(|it| self.trade.view(it));
        let whole = part.split('/').next().unwrap_or(part);
        let mut named = photo.parts.iter();
        let named = named.any(|it| it == part || it == whole);
        named && !view.is_some_and(|it| it.of_no_part)
    }

    /// Whether this picture bears that a fault was not on this part.
    pub(crate) fn shows_whole(&self, no: u32, part: &str) -> bool {
        let photos = self.record.photos();
        let Some((_, _, photo)) = photos.iter().find(|it| it.1 == no) else {
            return false;
        };
        let Some(view) = photo.view.as_deref().and_then(|it| self.trade.view(it)) else {
            return false;
        };
        let named =
            photo.parts.iter().any(|it| it == part) || photo.says.iter().any(|it| it.part == part);
        let shown = self.view_shows(photo, self.part(part));
        let inner = part.contains('/') && shown && named;
        // A pull on the front of a drawer is there to be seen where the whole front is.
        let own = self.part(part);
        let on_front = part.split_once('/').is_some_and(|(whole, _)| {
            let whole = self.part(whole);
            own.face != "inside" && own.face == whole.face && self.view_shows(photo, whole)
        });
        (view.fixed && (shown || on_front)) || (view.id == "part_whole" && named) || inner
    }
}

impl Say {
    /// What it says of its fault.
    fn state(&self) -> &str {
        match &self.what {
            What::Fault { state, .. } => state,
            _ => "",
        }
    }
}

/// `2026-03-09` as a reader sees it: `9 March 2026`.
fn spoken(day: &str) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let numbers: Vec<usize> = day.split('-').filter_map(|it| it.parse().ok()).collect();
    let [year, month, day] = numbers[..] else {
        panic!("no day: {day}");
    };
    format!("{day} {} {year}", MONTHS[month - 1])
}

fn state_of(say: &Say) -> &'static str {
    match say.what {
        What::Sound => "sound",
        What::Absent => "absent",
        What::NotExamined => "not_examined",
        What::Fault { .. } | What::Cue(_) => "faults",
    }
}
