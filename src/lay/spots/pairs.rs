//! Which spots of two pictures look alike.

use crate::spots::Forest;
use crate::spots::Spot;
use crate::spots::forest::Search;

/// Two spots that look alike, by their places in the two lists.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pair {
    pub(crate) a: usize,
    pub(crate) b: usize,
    /// How much nearer they are than the next: the ratio of the distances of their descriptions (Lowe 2004, 7.1).
    pub(crate) ratio: f32,
}

/// Spots nearer to each other than this, px, are the same place.
const SAME_PLACE: f32 = 4.0;

/// Spots among which others are looked for.
#[derive(Clone, Copy)]
pub(crate) struct Among<'a> {
    pub(crate) spots: &'a [Spot],
    pub(crate) forest: &'a Forest,
}

/// For every spot its nearest among others, where the next that lies elsewhere is so much farther.
pub(crate) fn pairs(spots: &[Spot], among: Among<'_>, ratio: f32) -> Vec<Pair> {
    let mut search = Search::default();
    let one = |(n, spot): (usize, &Spot)| {
        let (b, ratio) = nearest(spot, among, ratio, &mut search)?;
        Some(Pair { a: n, b, ratio })
    };
    spots.iter().enumerate().filter_map(one).collect()
}

/// The spot that is nearest, and the ratio of its distance to that of the next elsewhere.
fn nearest(spot: &Spot, among: Among<'_>, most: f32, search: &mut Search) -> Option<(usize, f32)> {
    among.forest.search(among.spots, spot, search);
    let (distance, best) = *search.found.iter().min()?;
    let best = best as usize;
    let here = &among.spots[best];
    let elsewhere = search
        .found
        .iter()
        .filter(|it| apart(&among.spots[it.1 as usize], here));
    let next = elsewhere.map(|it| it.0).min()?;
    let ratio = (distance as f32 / next.max(1) as f32).sqrt();
    (ratio < most).then_some((best, ratio))
}

fn apart(a: &Spot, b: &Spot) -> bool {
    (a.x - b.x).abs() + (a.y - b.y).abs() > SAME_PLACE
}
