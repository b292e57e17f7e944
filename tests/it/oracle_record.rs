//! Random records: what somebody might say beside the pictures of a piece over years, and the repairs between the shoots.
//!
//! A record is plain words, as they stand in sidecars and on the command line, so that no rule of the program is in it.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use asfound::trade;

/// A part of the form's list, as the trade data names it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Part {
    pub(crate) id: String,
    pub(crate) label: String,
    pub(crate) kind: String,
    pub(crate) face: String,
}

/// A view, as the trade data tells it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct View {
    pub(crate) id: String,
    /// Taken again from the same place by anybody: a view of the whole.
    pub(crate) fixed: bool,
    /// Kinds or ids of parts that it shows.
    pub(crate) shows: Vec<String>,
    /// A picture of one place from near, or of the wrapped piece: it shows no part.
    pub(crate) of_no_part: bool,
}

/// What the trade data offers.
pub(crate) struct Trade {
    /// Each form with its optional parts.
    pub(crate) forms: Vec<(String, Vec<String>)>,
    pub(crate) views: Vec<View>,
    pub(crate) tags: Vec<String>,
    pub(crate) cues: Vec<String>,
    /// Methods that cure.
    pub(crate) methods: Vec<String>,
}

impl Trade {
    pub(crate) fn view(&self, id: &str) -> Option<&View> {
        self.views.iter().find(|it| it.id == id)
    }
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Record {
    pub(crate) form: String,
    pub(crate) rows: Vec<u8>,
    pub(crate) with: Vec<String>,
    /// The parts that the piece has by these.
    pub(crate) parts: Vec<Part>,
    /// Not there, as told when the piece came in.
    pub(crate) absent: Vec<String>,
    pub(crate) shoots: Vec<Shoot>,
    pub(crate) repairs: Vec<Repair>,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Shoot {
    pub(crate) stage: String,
    pub(crate) day: String,
    pub(crate) photos: Vec<Photo>,
}

#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Photo {
    pub(crate) view: Option<String>,
    pub(crate) parts: Vec<String>,
    pub(crate) note: Option<String>,
    pub(crate) private_note: Option<String>,
    pub(crate) says: Vec<Say>,
}

/// One statement about one part.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Say {
    pub(crate) part: String,
    pub(crate) what: What,
    pub(crate) which: Option<String>,
    pub(crate) size: Option<String>,
    pub(crate) note: Option<String>,
    /// Whether it points at a place in the picture.
    pub(crate) boxed: bool,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum What {
    Sound,
    Absent,
    NotExamined,
    Fault {
        tag: String,
        state: String,
        level: Option<u8>,
    },
    Cue(String),
}

/// What makes a fault the same fault: part, tag, and the words that tell two apart.
pub(crate) type Key = (String, String, String);

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Repair {
    /// Index of the shoot after which it was done, before the next.
    pub(crate) after: usize,
    pub(crate) day: String,
    pub(crate) keys: Vec<Key>,
    /// Parts that it was done on besides; with neither, the piece as a whole.
    pub(crate) parts: Vec<String>,
    pub(crate) method: String,
    pub(crate) note: Option<String>,
    pub(crate) new_material: Option<String>,
    pub(crate) private_note: Option<String>,
}

impl Say {
    /// The fault it is about.
    pub(crate) fn key(&self) -> Option<Key> {
        match &self.what {
            What::Fault { tag, .. } => {
                let which = self.which.clone().unwrap_or_default();
                Some((self.part.clone(), tag.clone(), which))
            }
            _ => None,
        }
    }

    /// Whether a list such as `sound = [...]` says the same in fewer words.
    pub(crate) fn fits_a_list(&self) -> bool {
        self.note.is_none() && !matches!(self.what, What::Fault { .. } | What::Cue(_))
    }

    /// The word of the sidecar.
    pub(crate) fn tag(&self) -> &str {
        match &self.what {
            What::Sound => "sound",
            What::Absent => "absent",
            What::NotExamined => "not_examined",
            What::Fault { tag, .. } => tag,
            What::Cue(cue) => cue,
        }
    }
}

impl Record {
    /// Every statement in the order of the pictures, with its shoot, the number of its picture from 1, and the picture.
    pub(crate) fn says(&self) -> Vec<(usize, u32, &Photo, &Say)> {
        let mut all = Vec::new();
        let mut no = 0;
        for (shoot, it) in self.shoots.iter().enumerate() {
            for photo in &it.photos {
                no += 1;
                all.extend(photo.says.iter().map(|say| (shoot, no, photo, say)));
            }
        }
        all
    }

    /// Every picture with its shoot and its number.
    pub(crate) fn photos(&self) -> Vec<(usize, u32, &Photo)> {
        let of = |(n, it): (usize, &Shoot)| (n, it.photos.len());
        let shoots: Vec<_> = self.shoots.iter().enumerate().map(of).collect();
        let each = shoots.iter().flat_map(|(n, count)| vec![*n; *count]);
        let all = self.shoots.iter().flat_map(|it| &it.photos);
        let numbered = each.zip(all).zip(1..);
        numbered.map(|((shoot, it), no)| (shoot, no, it)).collect()
    }

    /// The faults in the order in which they were first named: the first is `F1`.
    pub(crate) fn keys(&self) -> Vec<Key> {
        let mut keys: Vec<Key> = Vec::new();
        for key in self.says().iter().filter_map(|it| it.3.key()) {
            if !keys.contains(&key) {
                keys.push(key);
            }
        }
        keys
    }

    /// Every word that was typed: where, the word, whether it is for the owner alone.
    pub(crate) fn words(&self) -> Vec<(String, String, bool)> {
        let mut all = Vec::new();
        let mut add = |at: String, text: &Option<String>, private: bool| {
            if let Some(text) = text {
                all.push((at, text.clone(), private));
            }
        };
        for (_, no, photo) in self.photos() {
            add(format!("note of picture {no}"), &photo.note, false);
            add(
                format!("private note of picture {no}"),
                &photo.private_note,
                true,
            );
        }
        for (_, no, _, say) in self.says() {
            let at = |what: &str| format!("{what} of {} on {}, picture {no}", say.tag(), say.part);
            add(at("which"), &say.which, false);
            add(at("size"), &say.size, false);
            add(at("note"), &say.note, false);
        }
        for (no, it) in (1..).zip(&self.repairs) {
            add(format!("note of repair {no}"), &it.note, false);
            add(
                format!("new material of repair {no}"),
                &it.new_material,
                false,
            );
            add(
                format!("private note of repair {no}"),
                &it.private_note,
                true,
            );
        }
        all
    }

    /// The record without one of its words, statements, pictures or repairs: every way to make it smaller by one step.
    pub(crate) fn smaller(&self) -> Vec<Self> {
        let mut all = Vec::new();
        let mut add = |change: &dyn Fn(&mut Self)| {
            let mut it = self.clone();
            change(&mut it);
            if it != *self {
                all.push(it);
            }
        };
        for n in 0..self.repairs.len() {
            add(&|it| it.repairs[n].parts.clear());
            add(&|it| drop(it.repairs.remove(n)));
        }
        add(&|it| it.absent.clear());
        for (s, shoot) in self.shoots.iter().enumerate() {
            for (p, photo) in shoot.photos.iter().enumerate() {
                add(&|it| drop(it.shoots[s].photos.remove(p)));
                for n in 0..photo.says.len() {
                    add(&|it| drop(it.shoots[s].photos[p].says.remove(n)));
                    add(&|it| it.shoots[s].photos[p].says[n].size = None);
                    add(&|it| it.shoots[s].photos[p].says[n].note = None);
                }
                add(&|it| it.shoots[s].photos[p].parts.clear());
                add(&|it| it.shoots[s].photos[p].note = None);
                add(&|it| it.shoots[s].photos[p].private_note = None);
            }
        }
        all.retain(Self::holds_together);
        all
    }

    /// Whether every repair is for a fault that was named before it.
    fn holds_together(&self) -> bool {
        let says = self.says();
        let named = |key: &Key, until: usize| {
            let mut before = says.iter().filter(|it| it.0 <= until);
            before.any(|it| it.3.key().as_ref() == Some(key))
        };
        let mut repairs = self.repairs.iter();
        repairs.all(|it| it.keys.iter().all(|key| named(key, it.after)))
    }
}

impl Photo {
    /// Whether what is said of it cannot be true at once, or leaves open whether two faults are one: a part is sound or absent and
    /// has a fault, two states are said of it, two faults of a kind on it are told apart by no word, or what is absent is shown.
    pub(crate) fn contradicts(&self) -> bool {
        let shown = |it: &Say| it.tag() == "absent" && self.parts.contains(&it.part);
        if self.says.iter().any(shown) {
            return true;
        }
        let mut rest = self.says.as_slice();
        while let Some((one, others)) = rest.split_first() {
            if others.iter().any(|it| one.contradicts(it)) {
                return true;
            }
            rest = others;
        }
        false
    }

    /// The text of its sidecar.
    pub(crate) fn toml(&self) -> String {
        let mut text = String::new();
        let quoted = |all: &[String]| {
            let each: Vec<_> = all.iter().map(|it| format!("\"{it}\"")).collect();
            each.join(", ")
        };
        let mut line = |name: &str, value: &Option<String>| {
            if let Some(value) = value {
                writeln!(text, "{name} = \"{value}\"").unwrap();
            }
        };
        line("view", &self.view);
        line("note", &self.note);
        line("private_note", &self.private_note);
        if !self.parts.is_empty() {
            writeln!(text, "parts = [{}]", quoted(&self.parts)).unwrap();
        }
        for list in ["sound", "absent", "not_examined"] {
            let listed = self.says.iter();
            let listed = listed.filter(|it| it.fits_a_list() && it.tag() == list);
            let parts: Vec<_> = listed.map(|it| it.part.clone()).collect();
            if !parts.is_empty() {
                writeln!(text, "{list} = [{}]", quoted(&parts)).unwrap();
            }
        }
        for say in self.says.iter().filter(|it| !it.fits_a_list()) {
            text.push_str(&say.toml());
        }
        text
    }
}

/// Faults that say that the part itself is not there.
const ABSENCES: [&str; 4] = [
    "blocks_missing",
    "part_missing",
    "guide_missing",
    "pull_missing",
];

impl Say {
    fn contradicts(&self, other: &Self) -> bool {
        if self.part != other.part {
            return false;
        }
        match (&self.what, &other.what) {
            (What::Cue(_), _) | (_, What::Cue(_)) => false,
            (What::Fault { tag, .. }, What::Fault { tag: of, .. }) => {
                tag == of && self.which == other.which && self.which.is_none()
            }
            (What::Fault { tag, state, .. }, stated) | (stated, What::Fault { tag, state, .. }) => {
                let there = ["present", "better", "worse"].contains(&state.as_str());
                let missing = ABSENCES.contains(&tag.as_str());
                there && (*stated == What::Sound || (*stated == What::Absent && !missing))
            }
            (one, of) => one != of || (self.fits_a_list() && other.fits_a_list()),
        }
    }

    fn toml(&self) -> String {
        let mut text = format!(
            "[[mark]]\ntag = \"{}\"\npart = \"{}\"\n",
            self.tag(),
            self.part
        );
        if let What::Fault { state, level, .. } = &self.what {
            if state != "present" {
                writeln!(text, "state = \"{state}\"").unwrap();
            }
            if let Some(level) = level {
                writeln!(text, "level = {level}").unwrap();
            }
        }
        for (name, value) in [
            ("which", &self.which),
            ("size", &self.size),
            ("note", &self.note),
        ] {
            if let Some(value) = value {
                writeln!(text, "{name} = \"{value}\"").unwrap();
            }
        }
        if self.boxed {
            text.push_str("box = [20.0, 20.0, 10.0, 10.0]\n");
        }
        text
    }
}

/// As sidecars, shoot by shoot.
impl std::fmt::Display for Record {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self {
            form, rows, with, ..
        } = self;
        writeln!(
            to,
            "  {form}, drawers {rows:?}, with {with:?}, absent {:?}",
            self.absent
        )?;
        for (n, shoot) in self.shoots.iter().enumerate() {
            if !shoot.photos.is_empty() {
                writeln!(to, "  -- {} {}", shoot.stage, shoot.day)?;
            }
            for (_, no, photo) in self.photos().into_iter().filter(|it| it.0 == n) {
                let text = photo.toml().trim_end().replace('\n', "\n       ");
                writeln!(to, "    {no}: {text}")?;
            }
            for it in self.repairs.iter().filter(|it| it.after == n) {
                writeln!(
                    to,
                    "  -- repair of {:?} on {:?}, {} by {}",
                    it.keys, it.parts, it.day, it.method
                )?;
            }
        }
        Ok(())
    }
}

/// Numbers from a seed (splitmix64, Steele, Lea and Flood 2014).
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut it = self.0;
        it = (it ^ (it >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        it = (it ^ (it >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        it ^ (it >> 31)
    }

    fn below(&mut self, end: usize) -> usize {
        (self.next() % end as u64) as usize
    }

    fn percent(&mut self, share: u64) -> bool {
        self.next() % 100 < share
    }

    fn of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }
}

/// Gives the parts of a form with these drawers and optional parts.
pub(crate) type PartsOf<'a> = &'a dyn Fn(&str, &[u8], &[String]) -> Vec<Part>;

/// Makes one record.
pub(crate) struct Maker<'a> {
    pub(crate) trade: &'a Trade,
    pub(crate) parts: PartsOf<'a>,
    dice: Dice,
    words: u32,
    /// What was said of a fault in a shoot: one thing, so that no shoot contradicts itself.
    said: BTreeMap<(usize, Key), String>,
}

const STAGES: [&str; 7] = [
    "doorstep", "purchase", "work", "sale", "handover", "delivery", "return",
];

impl<'a> Maker<'a> {
    pub(crate) fn new(trade: &'a Trade, parts: PartsOf<'a>, seed: u64) -> Self {
        Self {
            trade,
            parts,
            dice: Dice::new(seed),
            words: 0,
            said: BTreeMap::new(),
        }
    }

    /// A word that stands nowhere else.
    fn word(&mut self, share: u64) -> Option<String> {
        self.words += 1;
        let no = self.words;
        self.dice.percent(share).then(|| format!("wo{no:03}rd"))
    }

    pub(crate) fn record(mut self) -> Record {
        let (form, choices) = self.dice.of(&self.trade.forms).clone();
        let rows = self.dice.of(&[vec![], vec![2, 1], vec![1]]).clone();
        let mut with = choices;
        with.retain(|_| self.dice.percent(30));
        let parts = (self.parts)(&form, &rows, &with);
        // A kind that has no place on this piece, such as a lock without a door, cannot be told.
        with.retain(|kind| parts.iter().any(|it| it.kind == *kind));
        let focus = self.focus(&parts);
        let mut record = Record {
            form,
            rows,
            with,
            parts,
            absent: Vec::new(),
            shoots: Vec::new(),
            repairs: Vec::new(),
        };
        if self.dice.percent(10) {
            record.absent.push(self.dice.of(&focus).clone());
        }
        let stages = STAGES.iter();
        let stages: Vec<_> = stages
            .filter(|it| **it == "purchase" || self.dice.percent(45))
            .collect();
        for (n, stage) in stages.into_iter().enumerate() {
            record.shoots.push(Shoot {
                stage: (*stage).to_owned(),
                day: format!("2026-{:02}-03", n + 3),
                photos: Vec::new(),
            });
            for _ in 0..=self.dice.below(3) {
                let photo = self.photo(n, &focus, &record);
                record.shoots[n].photos.push(photo);
            }
            self.repair(n, &mut record);
        }
        record
    }

    /// Statements about few parts beside one picture, which may contradict each other; with all parts of the piece.
    pub(crate) fn beside_one_picture(mut self) -> (Vec<String>, Photo) {
        let record = Maker::new(self.trade, self.parts, self.dice.next()).record();
        let few = [
            self.dice.of(&record.parts).id.clone(),
            self.dice.of(&record.parts).id.clone(),
        ];
        let mut photo = Photo::default();
        for _ in 0..2 + self.dice.below(3) {
            let part = self.dice.of(&few).clone();
            let shoot = self.dice.below(9);
            photo.says.extend(self.say(shoot, &part, &record));
        }
        let tag = self.dice.of(&["part_missing", "scratch_finish"]);
        for say in &mut photo.says {
            if let What::Fault { tag: of, .. } = &mut say.what
                && self.dice.percent(70)
            {
                (*tag).clone_into(of);
            }
        }
        let parts = record.parts.iter().map(|it| it.id.clone()).collect();
        (parts, photo)
    }

    /// A few parts to speak of, so that statements meet: a part with some of its inner parts, and others.
    fn focus(&mut self, parts: &[Part]) -> Vec<String> {
        let ids = parts.iter().map(|it| it.id.clone());
        let (inner, outer): (Vec<_>, Vec<_>) = ids.partition(|it| it.contains('/'));
        let mut focus = vec![self.dice.of(&outer).clone(), self.dice.of(&outer).clone()];
        if !inner.is_empty() {
            let one = self.dice.of(&inner).clone();
            let whole = one.split('/').next().unwrap().to_owned();
            let mut kin = inner;
            kin.retain(|it| it.starts_with(&format!("{whole}/")));
            focus.extend([whole, one, self.dice.of(&kin).clone()]);
        }
        focus.sort();
        focus.dedup();
        focus
    }

    fn photo(&mut self, shoot: usize, focus: &[String], record: &Record) -> Photo {
        let shows = |it: &&View| {
            let of = |part: &&Part| it.shows.contains(&part.kind) || it.shows.contains(&part.id);
            let spoken = |part: &&Part| focus.contains(&part.id);
            record.parts.iter().filter(spoken).any(|it| of(&it))
        };
        let fitting: Vec<_> = self.trade.views.iter().filter(shows).collect();
        let view = match self.dice.below(10) {
            0 => None,
            1..=3 if !fitting.is_empty() => Some(self.dice.of(&fitting).id.clone()),
            4 => Some("part_whole".to_owned()),
            5 | 6 => Some("defect_close".to_owned()),
            _ => Some(self.dice.of(&self.trade.views).id.clone()),
        };
        let mut photo = Photo {
            view,
            note: self.word(15),
            private_note: self.word(10),
            ..Photo::default()
        };
        for part in focus {
            if self.dice.percent(30) {
                photo.parts.push(part.clone());
            }
            if self.dice.percent(35) {
                let say = self.say(shoot, part, record);
                photo.says.extend(say);
                if photo.contradicts() {
                    photo.says.pop();
                }
            }
            if self.dice.percent(10) {
                let more = self.say(shoot, part, record);
                photo.says.extend(more);
                if photo.contradicts() {
                    photo.says.pop();
                }
            }
        }
        photo
    }

    fn say(&mut self, shoot: usize, part: &str, record: &Record) -> Option<Say> {
        let plain = Say {
            part: part.to_owned(),
            what: What::Sound,
            which: None,
            size: None,
            note: self.word(20),
            boxed: false,
        };
        let what = match self.dice.below(20) {
            0..=5 => What::Sound,
            6 => What::Absent,
            7..=9 => What::NotExamined,
            10 | 11 => What::Cue(self.dice.of(&self.trade.cues).clone()),
            _ => return self.fault(shoot, plain, record),
        };
        let cue = matches!(what, What::Cue(_));
        Some(Say {
            which: self.word(30).filter(|_| cue),
            size: self.size(20).filter(|_| cue),
            what,
            ..plain
        })
    }

    /// A measure that stands nowhere else.
    fn size(&mut self, share: u64) -> Option<String> {
        self.words += 1;
        let no = 1000 + self.words;
        self.dice.percent(share).then(|| format!("{no} mm"))
    }

    fn fault(&mut self, shoot: usize, plain: Say, record: &Record) -> Option<Say> {
        let known = record.keys();
        let known: Vec<_> = known.iter().filter(|it| it.0 == plain.part).collect();
        let level = *self.dice.of(&[None, Some(1), Some(2), Some(3)]);
        let (key, state) = if !known.is_empty() && self.dice.percent(70) {
            let key = (*self.dice.of(&known)).clone();
            let states = [
                "present",
                "present",
                "repaired",
                "repaired",
                "repaired",
                "better",
                "worse",
                "gone",
                "not_visible",
                "not_examined",
            ];
            (key, (*self.dice.of(&states)).to_owned())
        } else {
            let tag = self.dice.of(&self.trade.tags).clone();
            let which = self.word(60).unwrap_or_default();
            let key = (plain.part.clone(), tag, which);
            (key, "present".to_owned())
        };
        let first = self.said.entry((shoot, key.clone())).or_insert(state);
        let state = first.clone();
        let blind = state == "not_examined" || state == "not_visible" || state == "gone";
        let (_, tag, which) = key;
        let has = |level: &u8| {
            let levels = trade::book().tag(&tag).map(|it| &it.levels);
            levels.is_none_or(|it| it[usize::from(*level) - 1].is_some())
        };
        let level = level.filter(|it| !blind && has(it));
        Some(Say {
            what: What::Fault { tag, level, state },
            which: Some(which).filter(|it| !it.is_empty()),
            size: self.size(40).filter(|_| !blind),
            boxed: self.dice.percent(50),
            ..plain
        })
    }

    fn repair(&mut self, shoot: usize, record: &mut Record) {
        if !self.dice.percent(40) {
            return;
        }
        // For faults, on parts, both, or on the piece as a whole; also before anybody marked a fault.
        let known = record.keys();
        let mut keys = Vec::new();
        if !known.is_empty() && self.dice.percent(75) {
            keys.extend([self.dice.of(&known).clone(), self.dice.of(&known).clone()]);
            keys.dedup();
        }
        let mut parts = Vec::new();
        if self.dice.percent(if keys.is_empty() { 75 } else { 15 }) {
            parts.push(self.dice.of(&record.parts).id.clone());
        }
        record.repairs.push(Repair {
            after: shoot,
            day: format!("2026-{:02}-17", shoot + 3),
            keys,
            parts,
            method: self.dice.of(&self.trade.methods).clone(),
            note: self.word(50),
            new_material: self.word(30),
            private_note: self.word(30),
        });
    }
}
