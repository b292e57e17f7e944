//! Photos of one shoot and those of an earlier one that look alike, in the same order.

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::trade::TradeBook;
use crate::work::marking::laid::is_laid;

/// Two photos that differ in so many of 64 bits or more are not taken to be alike (two of different things differ in 32 on average;
/// of the demo, the same view of the piece before and after the work in 10 to 23).
const UNLIKE: u32 = 25;

/// For photos of a shoot the one of the last earlier shoot with laid photos that it looks like. Both rows are gone through once, in
/// order, so that what looks alike but was taken out of turn (left and right side) is not mixed up (Needleman and Wunsch, 1970).
pub(super) fn look_alikes(
    it: &Assessment,
    trade: &TradeBook,
    shoot: &Shoot,
    own: &[&Photo],
) -> BTreeMap<u32, u32> {
    let earlier = it.shoots.iter().rev();
    let mut earlier = earlier.filter(|at| (at.day, at.no) < (shoot.day, shoot.no));
    let rows = earlier.find_map(|at| {
        let laid = it.photos.iter().filter(|photo| photo.shoot == at.no);
        let laid: Vec<&Photo> = laid.filter(|photo| is_laid(trade, photo)).collect();
        // A few close pictures of one evening are no walk round the piece.
        let walks = laid.iter().filter(|it| is_fixed(trade, it)).count() > 2;
        walks.then_some(laid)
    });
    rows.map_or_else(BTreeMap::new, |earlier| aligned(own, &earlier))
}

fn is_fixed(trade: &TradeBook, photo: &Photo) -> bool {
    let view = photo.sidecar.view.as_deref().and_then(|it| trade.view(it));
    view.is_some_and(|it| it.fixed)
}

/// How alike two photos are; `None` where they cannot be of the same view.
fn alike(one: &Photo, other: &Photo) -> Option<u32> {
    let upright = |it: &Photo| it.facts.height > it.facts.width;
    let said = one.sidecar.view.is_none() || one.sidecar.view == other.sidecar.view;
    let may = said && upright(one) == upright(other);
    let alike = UNLIKE.checked_sub(one.facts.look_distance(&other.facts));
    alike.filter(|it| may && *it > 0)
}

/// The pairs, none of them crossing another, that are most alike together.
fn aligned(own: &[&Photo], earlier: &[&Photo]) -> BTreeMap<u32, u32> {
    let (rows, columns) = (own.len(), earlier.len());
    let mut best = vec![vec![0_u32; columns + 1]; rows + 1];
    for (n, one) in own.iter().enumerate() {
        for (m, other) in earlier.iter().enumerate() {
            let paired = alike(one, other).map_or(0, |it| best[n][m] + it);
            best[n + 1][m + 1] = paired.max(best[n][m + 1]).max(best[n + 1][m]);
        }
    }
    let mut pairs = BTreeMap::new();
    let (mut n, mut m) = (rows, columns);
    while n > 0 && m > 0 {
        let here = best[n][m];
        if here == best[n - 1][m] {
            n -= 1;
        } else if here == best[n][m - 1] {
            m -= 1;
        } else {
            pairs.insert(own[n - 1].no, earlier[m - 1].no);
            (n, m) = (n - 1, m - 1);
        }
    }
    pairs
}
