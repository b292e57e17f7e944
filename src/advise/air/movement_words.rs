//! The words on seasonal movement.

use crate::advise::air::moisture::STRAIGHT;
use crate::advise::air::moved::Moves;
use crate::advise::air::moved::PartMovement;
use crate::advise::air::moved::Swing;
use crate::advise::air::moved::is_of_drawer;
use crate::model::settings::Season;

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
) -> String {
    let head = format!("{}, {} by its look, an opinion", it.label, it.wood);
    let (Some(width), Some(swing)) = (it.width_mm, it.swing) else {
        return format!("{head}: {}", without_figure(it));
    };
    let across = match (measured, is_of_drawer(kind)) {
        (true, _) => format!("{width} mm across the grain as measured"),
        (false, true) => format!("at most {width} mm high"),
        (false, false) => format!("{width} mm across the grain by the size of the piece"),
    };
    let mut text = format!("{head}: {across}, {}. ", it.grain.words());
    if it.moves == Moves::IfSolid {
        text.push_str("If it is solid wood, which is not settled: ");
    }
    text.push_str(&sentence(&swing, season, it.moves == Moves::IfSolid));
    if is_of_drawer(kind) {
        text.push(' ');
        text.push_str(&drawer(&swing, it.play_mm));
    } else if ["top", "lid", "shelf", "writing_surface"].contains(&kind)
        && swing.winter_to_summer_mm != 0
    {
        text.push_str(" It must be free to do so: fixed tight across the grain, it splits.");
    }
    text
}

fn without_figure(it: &PartMovement) -> String {
    if it.moves == Moves::Hardly {
        return "veneered, plywood or pressed board, which hardly moves; a veneer on solid boards moves as they do.".to_owned();
    }
    match it.width_mm {
        None => {
            "it moves across the grain; write that width as the size of the mark to know how much."
                .to_owned()
        }
        Some(_) => {
            "it moves across the grain, but the tables have no figure for a wood of that name."
                .to_owned()
        }
    }
}

/// How much, in a sentence.
pub(in crate::advise) fn sentence(swing: &Swing, season: &Season, goes_on: bool) -> String {
    let whole = swing.winter_to_summer_mm;
    let start = if goes_on { "about" } else { "About" };
    let much = match whole.abs() {
        0 => format!("{} 1 mm", if goes_on { "less than" } else { "Less than" }),
        mm => format!("{start} {mm} mm"),
    };
    let way = if whole < 0 { "narrower" } else { "wider" };
    let mut text = format!(
        "{much} {way} in summer ({} % humidity) than in winter ({} %)",
        season.summer, season.winter
    );
    if let (Some(now), Some(winter), Some(summer)) =
        (season.now, swing.now_to_winter_mm, swing.now_to_summer_mm)
    {
        text.push_str(&format!(
            "; from now ({now} %): winter {}, summer {}",
            signed(winter),
            signed(summer)
        ));
    }
    text + "."
}

fn signed(mm: i64) -> String {
    match mm {
        0 => "less than 1 mm either way".to_owned(),
        mm if mm < 0 => format!("{} mm narrower", -mm),
        mm => format!("{mm} mm wider"),
    }
}

/// Whether a drawer that runs free today may bind.
fn drawer(swing: &Swing, play_mm: Option<f64>) -> String {
    let needs = swing.needs_mm;
    match play_mm {
        _ if needs == 0 => "It will hardly swell from now.".to_owned(),
        None => format!(
            "A drawer that runs free today may bind in damp weather with less than {needs} mm of play above it."
        ),
        Some(play) if swing.growth_mm >= play => format!(
            "With {play} mm of play above it, it may bind in damp weather although it runs free today."
        ),
        Some(play) => {
            format!("With {play} mm of play above it, it should stay free by these figures.")
        }
    }
}
