//! The words on seasonal movement.

use crate::advise::air::moisture::STRAIGHT;
use crate::advise::air::moved::Moves;
use crate::advise::air::moved::PartMovement;
use crate::advise::air::moved::Swing;
use crate::advise::air::moved::is_of_drawer;
use crate::model::settings::Season;
use crate::tongue::Saying;
use crate::tongue::say;

/// A moisture content outside the straight range.
pub(in crate::advise) fn outside(name: &str, content: f64) -> String {
    let [low, high] = STRAIGHT;
    format!(
        "the wood comes to {content:.1} % moisture ({name}), outside {low} to {high} %: there the figures are rough"
    )
}

/// One line on a part.
pub(in crate::advise) fn line(
    it: &PartMovement,
    kind: &str,
    measured: bool,
    season: &Season,
) -> Saying {
    let of = |told: Saying| say::air_part(Saying::part(&it.label), it.wood.clone(), told);
    let (Some(width), Some(swing)) = (it.width_mm, it.swing) else {
        return of(without_figure(it));
    };
    let (width, grain) = (Saying::number(width), it.grain.words());
    let across = match (measured, is_of_drawer(kind)) {
        (true, _) => say::air_across_measured(width, grain),
        (false, true) => say::air_high(width, grain),
        (false, false) => say::air_across_size(width, grain),
    };
    let change = change(&swing, season);
    let mut told = vec![
        across,
        match it.moves {
            Moves::IfSolid => say::air_if_solid(change),
            _ => change.sentence(),
        },
    ];
    if is_of_drawer(kind) {
        told.push(drawer(&swing, it.play_mm));
    } else if ["top", "lid", "shelf", "writing_surface"].contains(&kind)
        && swing.winter_to_summer_mm != 0
    {
        told.push(say::air_must_be_free());
    }
    of(Saying::Beside(told))
}

fn without_figure(it: &PartMovement) -> Saying {
    match (it.moves, it.width_mm) {
        (Moves::Hardly, _) => say::air_hardly(),
        (_, None) => say::air_no_width(),
        (_, Some(_)) => say::air_no_figure(),
    }
}

/// How much it changes, within a sentence.
pub(in crate::advise) fn change(swing: &Swing, season: &Season) -> Saying {
    let whole = swing.winter_to_summer_mm;
    let much = match whole.unsigned_abs() {
        0 => say::air_less(),
        mm => say::air_about(mm),
    };
    let [summer, winter] = [season.summer, season.winter].map(Saying::number);
    let year = match whole < 0 {
        true => say::air_narrower(much, summer, winter),
        false => say::air_wider(much, summer, winter),
    };
    let from_now = || {
        let (winter, summer) = (swing.now_to_winter_mm?, swing.now_to_summer_mm?);
        let now = Saying::number(season.now?);
        Some(say::air_from_now(now, signed(winter), signed(summer)))
    };
    Saying::Parted(std::iter::once(year).chain(from_now()).collect())
}

fn signed(mm: i64) -> Saying {
    match mm {
        0 => say::air_either_way(),
        mm if mm < 0 => say::air_mm_narrower(mm.unsigned_abs()),
        mm => say::air_mm_wider(mm.unsigned_abs()),
    }
}

/// Whether a drawer that runs free today may bind.
fn drawer(swing: &Swing, play_mm: Option<f64>) -> Saying {
    match play_mm {
        _ if swing.needs_mm == 0 => say::drawer_hardly(),
        None => say::drawer_needs(swing.needs_mm.unsigned_abs()),
        Some(play) if swing.growth_mm >= play => say::drawer_may_bind(Saying::number(play)),
        Some(play) => say::drawer_stays_free(Saying::number(play)),
    }
}
