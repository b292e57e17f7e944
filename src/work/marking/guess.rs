//! What a photo may show, of which that is not said yet: worked out to be confirmed, never written by itself.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::assessment::PictureIssue;
use crate::assess::assessment::PictureNote;
use crate::model::ids::PartId;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::trade::TradeBook;
use crate::trade::entry::view::View;
use crate::work::marking::laid::is_laid;
use crate::work::marking::look_alikes::look_alikes;
use crate::work::sidecars::vocabulary;

/// A shape this large is drawn in a picture taken close: percent of the picture's side (common practice, no source).
const CLOSE: f64 = 12.0;

/// Two photos of one burst are of the same view where they differ in no more of 64 bits (the demo's differ in one).
const BURST: u32 = 4;

/// Sides that are laid in a picture, whole, and the view that this is.
const SIDES: [(&[&str], &str); 6] = [
    (&["front", "left"], "three_quarter_left"),
    (&["front", "right"], "three_quarter_right"),
    (&["front"], "front_whole"),
    (&["back"], "back_whole"),
    (&["left"], "left_whole"),
    (&["right"], "right_whole"),
];

/// The top lies whole in two views: from above, and in low side light.
const TOP: [(&[&str], &str); 1] = [(&["top"], "top_flat")];

/// A view and parts that a photo may show.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Guess {
    pub view: String,
    pub parts: Vec<PartId>,
    /// What it rests on, in a few words.
    pub why: String,
    /// Whether it may be taken together with others; else it is asked for by itself.
    pub sure: bool,
}

/// For each photo that is not laid what it may be; nothing where nothing speaks for anything.
pub(super) fn guesses(it: &Assessment, trade: &TradeBook) -> BTreeMap<u32, Guess> {
    let mut all = BTreeMap::new();
    for shoot in &it.shoots {
        let own = it.photos.iter().filter(|photo| photo.shoot == shoot.no);
        let own: Vec<&Photo> = own.collect();
        if own.iter().any(|photo| !is_laid(trade, photo)) {
            Guesser { it, trade, shoot }.of_shoot(&own, &mut all);
        }
    }
    all
}

/// What guessing in one shoot rests on.
struct Guesser<'a> {
    it: &'a Assessment,
    trade: &'a TradeBook,
    shoot: &'a Shoot,
}

impl Guesser<'_> {
    fn of_shoot(&self, own: &[&Photo], all: &mut BTreeMap<u32, Guess>) {
        let known = look_alikes(self.it, self.trade, self.shoot, own);
        for (n, photo) in own.iter().enumerate() {
            if is_laid(self.trade, photo) {
                continue;
            }
            let before = n.checked_sub(1).map(|it| own[it]);
            let found = self
                .by_burst(photo, before, all)
                .or_else(|| self.by_faces(photo, &SIDES))
                .or_else(|| self.by_earlier(photo, known.get(&photo.no).copied(), true))
                .or_else(|| self.by_faces(photo, &TOP))
                .or_else(|| self.by_marks(photo))
                .or_else(|| self.by_earlier(photo, known.get(&photo.no).copied(), false))
                .or_else(|| self.by_order(own, n));
            if let Some(found) = found.filter(|it| self.agrees(photo, it)) {
                all.insert(photo.no, self.with_said(photo, found));
            }
        }
    }

    /// A view that shows none of the parts that are said of a photo already is no guess of it.
    fn agrees(&self, photo: &Photo, found: &Guess) -> bool {
        let marked = photo.sidecar.marks.iter();
        let marked = marked.filter_map(|it| it.part.as_ref());
        let said: Vec<&PartId> = photo.sidecar.parts.iter().chain(marked).collect();
        let view = self.trade.view(&found.view);
        if said.is_empty() || view.is_none_or(|it| !it.fixed) {
            return true;
        }
        let parts = vocabulary::parts(self.trade, &self.it.piece);
        let mut shown = parts
            .iter()
            .filter(|it| view.is_some_and(|view| view.shows_part(it)));
        shown.any(|it| {
            said.iter()
                .any(|part| **part == it.id || part.whole() == it.id)
        })
    }

    /// What is said already stays.
    fn with_said(&self, photo: &Photo, found: Guess) -> Guess {
        let said = &photo.sidecar;
        let parts = match said.parts.is_empty() {
            true => found.parts,
            false => said.parts.clone(),
        };
        let view = said.view.clone().unwrap_or(found.view);
        Guess {
            view,
            parts,
            ..found
        }
    }

    fn guess(&self, view: &str, why: String, sure: bool) -> Option<Guess> {
        let view = self.trade.view(view)?;
        Some(Guess {
            view: view.id.clone(),
            parts: self.parts_of(view),
            why,
            sure,
        })
    }

    /// The outer parts that a view shows whole; none where it shows one of several.
    fn parts_of(&self, view: &View) -> Vec<PartId> {
        let parts = vocabulary::parts(self.trade, &self.it.piece);
        let shown = parts
            .iter()
            .filter(|it| !it.inner && view.shows_part(it) && !self.it.is_absent(&it.id));
        let shown: Vec<PartId> = shown.map(|it| it.id.clone()).collect();
        match view.fixed || shown.len() == 1 {
            true => shown,
            false => Vec::new(),
        }
    }

    /// The same press of the finger as the photo before.
    fn by_burst(
        &self,
        photo: &Photo,
        before: Option<&Photo>,
        all: &BTreeMap<u32, Guess>,
    ) -> Option<Guess> {
        let before = before?;
        let noted = |it: &PictureNote| it.code == PictureIssue::Burst;
        let is_of = |it: &PictureNote| [before.no, photo.no].contains(&it.photo);
        let burst = self
            .it
            .picture_notes
            .iter()
            .any(|it| noted(it) && is_of(it));
        if !burst || before.facts.look_distance(&photo.facts) > BURST {
            return None;
        }
        let why = format!("taken right after picture {}", before.no);
        match (&before.sidecar.view, all.get(&before.no)) {
            (Some(view), _) => Some(Guess {
                parts: before.sidecar.parts.clone(),
                ..self.guess(view, why, true)?
            }),
            (None, Some(guess)) => Some(Guess {
                why,
                ..guess.clone()
            }),
            (None, None) => None,
        }
    }

    /// Faces that are laid in it: a side that lies whole in the picture, or a corner of several.
    fn by_faces(&self, photo: &Photo, wanted: &[(&[&str], &str)]) -> Option<Guess> {
        let whole = |it: &[f64; 2]| it.iter().all(|it| (0.0..=100.0).contains(it));
        let sides = photo.sidecar.faces.iter();
        let sides = sides.filter(|it| it.lie.in_picture().iter().all(whole));
        let sides: Vec<&str> = sides.map(|it| it.face.as_str()).collect();
        let has = |it: &&str| sides.contains(it);
        let (_, view) = wanted.iter().find(|(faces, _)| faces.iter().all(has))?;
        self.guess(view, format!("its {} is laid", sides.join(" and ")), true)
    }

    /// The photo of an earlier shoot that it looks like, in the same order. A close picture may be of another fault: only a view that
    /// anybody would take again is sure, and only where no other parts were said of the photo than that one shows.
    fn by_earlier(&self, photo: &Photo, earlier: Option<u32>, fixed: bool) -> Option<Guess> {
        let earlier = earlier?;
        let like = self.it.photos.iter().find(|it| it.no == earlier)?;
        let view = self.trade.view(like.sidecar.view.as_deref()?)?;
        let set = |it: &Photo| -> BTreeSet<PartId> { it.sidecar.parts.iter().cloned().collect() };
        let agrees = photo.sidecar.parts.is_empty() || set(photo) == set(like);
        (view.fixed == fixed).then(|| Guess {
            view: view.id.clone(),
            parts: like.sidecar.parts.clone(),
            why: format!("looks like picture {earlier}"),
            sure: fixed && agrees,
        })
    }

    /// A fault that is marked in it, large, or beside a thing of known size.
    fn by_marks(&self, photo: &Photo) -> Option<Guess> {
        let regions = photo.sidecar.marks.iter();
        let regions = regions.filter_map(|it| it.region.as_ref());
        let sizes = regions.map(|it| it.bounds()[2].max(it.bounds()[3]));
        let largest = sizes.reduce(f64::max)?;
        let (view, why) = match () {
            () if photo.sidecar.scale.is_some() => ("defect_scale", "a fault beside a known size"),
            () if largest >= CLOSE => ("defect_close", "a fault fills much of it"),
            () => return None,
        };
        self.guess(view, why.to_owned(), true)
    }

    /// The view that comes next on the walk round the piece, while every picture before is laid: a guess that rests on guesses is none.
    fn by_order(&self, own: &[&Photo], n: usize) -> Option<Guess> {
        if own[..n].iter().any(|it| !is_laid(self.trade, it)) {
            return None;
        }
        let form = self.trade.form(&self.it.piece.form)?;
        let choice = self.it.piece.choice();
        let walk = self
            .trade
            .views_for_choice(form, &choice, self.shoot.stage)
            .into_iter()
            .filter(|it| it.fixed);
        let walk: Vec<&View> = walk.collect();
        let said = own[..n].iter();
        let before: Vec<&str> = said.filter_map(|it| it.sidecar.view.as_deref()).collect();
        let last = before.iter().rev();
        let mut last = last.filter_map(|last| walk.iter().position(|it| it.id == *last));
        let next = last.next().map_or(0, |it| it + 1);
        let is_free = |it: &&&View| !before.contains(&it.id.as_str());
        let view = walk.get(next..)?.iter().find(is_free)?;
        self.guess(&view.id, "next on the way round".to_owned(), false)
    }
}
