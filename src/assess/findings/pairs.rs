//! Before/after pairs: the best two photos of a finding or of a view, and how far they can be compared.

use std::cmp::Reverse;

use crate::assess::assessment::Likeness;
use crate::assess::assessment::Pair;
use crate::assess::assessment::PairAbout;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::pair_side::Side;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::assess::places::other_marks::is_as_large;
use crate::assess::places::place::Place;
use crate::assess::places::sight::Share;
use crate::assess::places::sight::Sight;
use crate::assess::places::straight::Straight;
use crate::assess::statements::looking::Looking;
use crate::assess::statements::looking::Shows;
use crate::model::ids::PartId;
use crate::model::photo::Photo;
use crate::model::photo::Stage;

/// What pairing needs to look at.
pub(crate) struct Pairing<'a> {
    /// The record and the trade book.
    pub(crate) looking: &'a Looking<'a>,
}

/// What a pair is to show.
#[derive(Clone, Copy)]
enum About<'a> {
    /// A finding.
    Finding(&'a Finding),
    /// A fixed view, by its id.
    View(&'a str),
}

/// How a photo sees the place of a finding.
fn sight_of<'f>(finding: &'f Finding, photo: &Photo) -> Option<&'f Sight> {
    finding.sights.iter().find(|it| it.photo == photo.no)
}

/// Every pair: findings by number, then views in walking order.
pub(crate) fn pairs(pairing: &Pairing<'_>, findings: &[Finding]) -> Vec<Pair> {
    let of_findings = findings.iter().flat_map(|finding| {
        let after_work = pairing.after_work(finding, findings);
        after_work
            .into_iter()
            .chain(pairing.after_sale(finding, findings))
    });
    let fixed = pairing.looking.book.views.iter().filter(|it| it.fixed);
    let of_views = fixed.flat_map(|view| pairing.views(&view.id, findings));
    of_findings.chain(of_views).collect()
}

impl Pairing<'_> {
    /// Before the work -> the sale, or the last shoot before the handover that says something.
    fn after_work(&self, finding: &Finding, all: &[Finding]) -> Option<Pair> {
        let history = &finding.history;
        let first = history
            .iter()
            .position(|it| it.stage.before_work() && it.state.is_there())?;
        let later = history[first..]
            .iter()
            .take_while(|it| !it.stage.after_sale());
        let later = later.filter(|it| !it.stage.before_work() && it.state.tells());
        let shown = |it: &&Sighting| self.marked(finding, &[*it]).next().is_some();
        let later: Vec<&Sighting> = later.filter(shown).collect();
        let at_sale = later.iter().rev().find(|it| it.stage == Stage::Sale);
        let after = at_sale.or(later.last())?;
        let before = history.iter().take_while(|it| it.shoot != after.shoot);
        let before = before.filter(|it| it.stage.before_work() && it.state.is_there());
        let before: Vec<Side<'_>> = self.marked(finding, &before.collect::<Vec<_>>()).collect();
        let after: Vec<Side<'_>> = self.marked(finding, &[*after]).collect();
        self.best(About::Finding(finding), all, before, after)
    }

    /// The handover or the sale -> the delivery, for what is said of the finding there; where no picture of these was looked at for
    /// it, the newest look that saw it there.
    fn after_sale(&self, finding: &Finding, all: &[Finding]) -> Option<Pair> {
        let told = |it: &&Sighting| it.stage.after_sale() && it.state.tells();
        let sighting = finding.history.iter().find(told)?;
        let rank = self.looking.time.rank(sighting.shoot);
        let after: Vec<Side<'_>> = self.marked(finding, &[sighting]).collect();
        let before = self
            .sold(rank)
            .filter(|photo| self.was_looked_for(finding, photo))
            .filter_map(|photo| self.shows(finding, photo));
        let mut before: Vec<Side<'_>> = before.collect();
        if before.is_empty() && self.sold(rank).next().is_some() {
            let there = finding.history.iter().rev();
            let mut there = there.filter(|it| it.state.is_there());
            if let Some(last) = there.find(|it| self.looking.time.rank(it.shoot) < rank) {
                before.extend(self.marked(finding, &[last]));
            }
        }
        let before = self.since_turn(finding, rank, before);
        let before = self.nearest_without(before);
        self.best(About::Finding(finding), all, before, after)
    }

    /// Of sides before this rank those since the fault was first seen as it was seen last: one that came back before the piece left
    /// is not shown gone.
    fn since_turn<'s>(
        &self,
        finding: &Finding,
        rank: usize,
        sides: Vec<Side<'s>>,
    ) -> Vec<Side<'s>> {
        let looks = finding.history.iter().rev();
        let mut looks = looks
            .filter(|it| it.state.tells() && self.looking.time.rank(it.shoot) < rank)
            .peekable();
        let Some(is_there) = looks.peek().map(|it| it.state.is_there()) else {
            return sides;
        };
        let alike = looks.take_while(|it| it.state.is_there() == is_there);
        let turn = alike.map(|it| self.looking.time.rank(it.shoot)).min();
        let since = |it: &Side<'s>| Some(it.rank) >= turn;
        match sides.iter().any(since) {
            true => sides.into_iter().filter(since).collect(),
            false => sides,
        }
    }

    /// Of sides of which none carries a mark of the fault, those that say most of it: that the part was sound, else that all of the place
    /// lies in them; and of these the newest shoot, the last before the piece left.
    fn nearest_without<'s>(&self, sides: Vec<Side<'s>>) -> Vec<Side<'s>> {
        if sides.iter().any(|it| it.mark.is_some()) {
            return sides;
        }
        let sides = self.usable(sides);
        let best = sides.iter().map(|it| (it.says(), it.rank)).max();
        let fits = |it: &Side<'s>| Some((it.says(), it.rank)) == best;
        sides.into_iter().filter(fits).collect()
    }

    /// Whether nothing is written in the photo's shoot of the fault or its part having been out of sight: what was not looked at shows
    /// nothing of before.
    fn was_looked_for(&self, finding: &Finding, photo: &Photo) -> bool {
        let rank = self.looking.time.rank(photo.shoot);
        let mut seen = finding.history.iter().filter(|it| it.shoot == photo.shoot);
        match seen.next() {
            Some(it) => it.state.tells(),
            None => !self.looking.statements.is_unseen_at(rank, &finding.part),
        }
    }

    /// Photos of the sale and the handover before this rank.
    fn sold(&self, rank: usize) -> impl Iterator<Item = &Photo> {
        let photos = self.looking.time.photos.iter().copied();
        photos.filter(move |it| {
            let stage = self.looking.time.shoot_of(it).stage;
            matches!(stage, Stage::Sale | Stage::Handover)
                && self.looking.time.rank(it.shoot) < rank
        })
    }

    /// The photo as a side, if it carries a mark of the finding, or shows more of its part than one other place.
    fn shows<'s>(&'s self, finding: &'s Finding, photo: &'s Photo) -> Option<Side<'s>> {
        let mut marks = finding.history.iter().flat_map(|it| &it.marks);
        let at = marks.find(|it| it.photo == photo.no);
        let mark = at.and_then(|it| Some((it.mark, self.looking.time.mark(*it)?)));
        let sight = sight_of(finding, photo);
        let of_part = || self.looking.shows(photo, &finding.part);
        // Where the face is laid, how the place is seen decides, and not the view.
        let unmarked = match sight.map(|it| (it.seen, it.whole())) {
            None => of_part(),
            Some((_, Some(_))) => Some(Shows::Whole),
            Some((Share::None, None)) => None,
            Some((_, None)) => Some(Shows::Some),
        };
        let rank = self.looking.time.rank(photo.shoot);
        (unmarked.is_some() || mark.is_some()).then_some(Side {
            photo,
            mark,
            unmarked,
            says_sound: self.says_sound(photo, &finding.part),
            sight,
            rank,
        })
    }

    /// Whether somebody wrote beside a photo that the part was sound.
    fn says_sound(&self, photo: &Photo, part: &PartId) -> bool {
        let said = self.looking.statements.sound(part);
        said.iter().any(|it| it.photo() == photo.no)
    }

    /// The marks of these sightings that say something of the fault, as sides.
    /// A whole view of another side, where the mark points at nothing, shows nothing of it.
    fn marked<'s>(
        &'s self,
        finding: &'s Finding,
        sightings: &[&'s Sighting],
    ) -> impl Iterator<Item = Side<'s>> {
        let marks: Vec<MarkAt> = sightings.iter().flat_map(|it| it.marks.clone()).collect();
        let part = finding.part.clone();
        marks.into_iter().filter_map(move |at| {
            let photo = self.looking.time.photo(at.photo)?;
            let mark = self.looking.time.mark(at).filter(|it| it.state.tells())?;
            if mark.region.is_none() && self.looking.is_of_another_side(photo, &part) {
                return None;
            }
            let rank = self.looking.time.rank(photo.shoot);
            Some(Side {
                photo,
                mark: Some((at.mark, mark)),
                unmarked: None,
                says_sound: false,
                sight: sight_of(finding, photo),
                rank,
            })
        })
    }

    /// The same fixed view before the work and at the sale, and at the sale or handover and after the delivery; without that, at the
    /// sale and at the handover where a fault was first seen.
    fn views(&self, view: &str, all: &[Finding]) -> Vec<Pair> {
        let of = |fits: fn(Stage) -> bool| {
            let photos = self.looking.time.photos.iter().copied();
            let fits = move |it: &&Photo| {
                it.sidecar.view.as_deref() == Some(view)
                    && fits(self.looking.time.shoot_of(it).stage)
            };
            let side = |photo| Side {
                photo,
                mark: None,
                unmarked: None,
                says_sound: false,
                sight: None,
                rank: self.looking.time.rank(photo.shoot),
            };
            photos.filter(fits).map(side).collect::<Vec<Side<'_>>>()
        };
        let bought = of(Stage::before_work);
        let finished = of(|it| it == Stage::Sale);
        let left = of(|it| matches!(it, Stage::Sale | Stage::Handover));
        let arrived = of(Stage::after_sale);
        let mut at_van = of(|it| it == Stage::Handover);
        at_van.retain(|it| self.first_seen_in(it.photo, all));
        let best = |before, after| self.best(About::View(view), all, before, after);
        let later = best(left, arrived).or_else(|| best(finished.clone(), at_van));
        best(bought, finished).into_iter().chain(later).collect()
    }

    /// Whether on a part in the photo a fault was first seen in its shoot.
    fn first_seen_in(&self, photo: &Photo, all: &[Finding]) -> bool {
        let mut new = all
            .iter()
            .filter(|it| it.first_shoot() == Some(photo.shoot));
        new.any(|it| self.looking.shows(photo, &it.part).is_some())
    }

    /// The two photos that compare best, the later after the earlier.
    fn best(
        &self,
        about: About<'_>,
        all: &[Finding],
        before: Vec<Side<'_>>,
        after: Vec<Side<'_>>,
    ) -> Option<Pair> {
        let (before, after) = (self.usable(before), self.usable(after));
        let both = before
            .iter()
            .flat_map(|b| after.iter().map(move |a| (b, a)));
        let later = both.filter(|(b, a)| b.rank < a.rank && b.photo.no != a.photo.no);
        let (b, a) = later.min_by_key(|(b, a)| self.order(b, a))?;
        let carrier = &self.looking.carrier;
        let (about, straight) = match about {
            About::Finding(finding) => {
                let sides = [b, a].map(|it| (it.photo, it.mark.map(|it| it.1)));
                let straight = Straight::of_finding(carrier, finding, sides);
                (PairAbout::Finding(finding.no), straight)
            }
            About::View(view) => {
                let straight = Straight::of_view(carrier, b.photo, a.photo);
                (PairAbout::View(view.to_owned()), straight)
            }
        };
        let straight = straight.map(|it| {
            let marks = self.marks_apart(&it.frame.face, [b, a].map(|it| it.photo.no), all);
            it.at_least(marks)
        });
        Some(Pair {
            about,
            before: b.told(),
            after: a.told(),
            likeness: self.likeness(b.photo, a.photo),
            straight,
        })
    }

    /// How far the marks of one finding lie apart that are drawn as large on this face in both photos, mm: of the worst. A face that is laid
    /// wrong in one of them shows in this, whatever its corners are taken to be.
    fn marks_apart(&self, face: &PartId, photos: [u32; 2], all: &[Finding]) -> f64 {
        let drawn = |finding: &Finding, no: u32| -> Vec<Place> {
            let marks = finding.history.iter().flat_map(|it| &it.marks);
            let here = marks.filter(|it| it.photo == no).filter_map(|at| {
                // What is gone is outlined from memory.
                let mark = self
                    .looking
                    .time
                    .mark(*at)
                    .filter(|it| it.state.is_there())?;
                let place = self.looking.carrier.of_mark(*at, mark, &finding.part)?;
                (place.face == *face).then_some(place)
            });
            here.collect()
        };
        let apart = all.iter().flat_map(|finding| {
            let [first, second] = photos.map(|it| drawn(finding, it));
            let nearest = |a: &Place| {
                let alike = second.iter().filter(|b| is_as_large(a, b));
                let far = alike.map(|b| a.middles_apart(b));
                far.reduce(f64::min)
            };
            first.iter().filter_map(nearest).collect::<Vec<f64>>()
        });
        apart.fold(0.0, f64::max)
    }

    /// Without the dark and blurred ones, if others are left.
    fn usable<'s>(&self, sides: Vec<Side<'s>>) -> Vec<Side<'s>> {
        let good = |it: &Side<'_>| !self.looking.dim.contains(&it.photo.no);
        match sides.iter().any(good) {
            true => sides.into_iter().filter(good).collect(),
            false => sides,
        }
    }

    /// Sorts the best pair first: the place marked on both sides; else whole views of the part; the same fixed view; the same kind
    /// of view (raking light beside raking light); close; large in the picture; the newest state before; then by number.
    fn order(&self, before: &Side<'_>, after: &Side<'_>) -> impl Ord {
        let fixed = self.likeness(before.photo, after.photo) == Likeness::SameView;
        let view = |it: &Side<'_>| it.photo.sidecar.view.clone();
        let alike = view(before).is_some() && view(before) == view(after);
        let unsure = |it: &Side<'_>| it.mark.is_none() as u8;
        let part_only =
            |it: &Side<'_>| (it.mark.is_none() && it.unmarked != Some(Shows::Whole)) as u8;
        let close = self.is_close(before) as u8 + self.is_close(after) as u8;
        (
            (
                unsure(before) + unsure(after),
                part_only(before) + part_only(after),
            ),
            // Both faces laid: the more pixels on the place in the poorer of the two, the better.
            Reverse(before.pixels().min(after.pixels())),
            (!fixed, !alike, Reverse(close)),
            Reverse(before.area() + after.area()),
            Reverse(before.rank),
            (before.photo.no, after.photo.no),
            (before.mark.map(|it| it.0), after.mark.map(|it| it.0)),
        )
    }

    /// Whether the view shows one place from near.
    fn is_close(&self, side: &Side<'_>) -> bool {
        let view = side.photo.sidecar.view.as_deref();
        let view = view.and_then(|it| self.looking.book.view(it));
        view.is_some_and(|it| it.of_place)
    }

    /// The same view only where both photos say so and the view is one that is taken from a fixed place.
    fn likeness(&self, before: &Photo, after: &Photo) -> Likeness {
        let views = before
            .sidecar
            .view
            .as_deref()
            .zip(after.sidecar.view.as_deref());
        let same = views.filter(|(before, after)| before == after);
        let fixed =
            same.is_some_and(|(id, _)| self.looking.book.view(id).is_some_and(|it| it.fixed));
        match fixed {
            true => Likeness::SameView,
            false => Likeness::DifferentAngle,
        }
    }
}
