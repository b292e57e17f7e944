//! What the seasons do to the solid parts of a piece: a line for each part whose wood is recorded. Advice, not a measurement.

use serde::Serialize;

use crate::advise::air::moisture::Grain;
use crate::advise::air::moisture::change;
use crate::advise::air::moisture::is_straight;
use crate::advise::air::moisture::moisture;
use crate::advise::air::moved::Moves;
use crate::advise::air::moved::PartMovement;
use crate::advise::air::moved::Swing;
use crate::advise::air::moved::is_of_drawer;
use crate::advise::air::movement_words;
use crate::advise::part::surface::Kinds;
use crate::assess::assessment::Assessment;
use crate::assess::material::clue::Observation;
use crate::assess::part_list::is_face;
use crate::assess::part_report::Material;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::kit::measure::Length;
use crate::model::ids::PartId;
use crate::model::settings::Season;
use crate::trade::TradeBook;
use crate::trade::entry::wood::Wood;

/// The observation that names a wood; its measure is the width across the grain, where one is written.
const NAMES_WOOD: &str = "looks_like_wood";

/// So many rows of drawers fill a front.
const FILLED_BY: f64 = 3.0;

/// The observation whose measure is the gap above a drawer.
const PLAY: &str = "drawer_play";

/// The air of a season and the moisture that wood comes to in it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Air {
    /// Relative humidity, percent.
    pub humidity: f64,
    /// Moisture content, percent, to a tenth.
    pub moisture: f64,
}

/// The air through the year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Year {
    /// In winter.
    pub winter: Air,
    /// In summer.
    pub summer: Air,
    /// Where the piece stands now, if measured.
    pub now: Option<Air>,
    /// Temperature, degrees Celsius.
    pub celsius: f64,
    /// Moisture contents at which the equations are no longer a straight line, in words; empty when all are within.
    pub outside: Vec<String>,
}

/// The air of these settings.
#[must_use]
pub fn year(season: &Season) -> Year {
    let air = |humidity: f64| Air {
        humidity,
        moisture: (moisture(humidity, season.celsius) * 10.0).round() / 10.0,
    };
    let named = [
        ("winter", Some(season.winter)),
        ("summer", Some(season.summer)),
        ("now", season.now),
    ];
    let outside = named.into_iter().filter_map(|(name, humidity)| {
        let content = moisture(humidity?, season.celsius);
        (!is_straight(content)).then(|| movement_words::outside(name, content))
    });
    Year {
        winter: air(season.winter),
        summer: air(season.summer),
        now: season.now.map(air),
        celsius: season.celsius,
        outside: outside.collect(),
    }
}

/// How much a width of this wood changes through the year; `None` where the tables have no figure for the wood.
#[must_use]
pub fn swing(wood: &Wood, grain: Grain, width_mm: f64, season: &Season) -> Option<Swing> {
    let content = |humidity: f64| moisture(humidity, season.celsius);
    let (winter, summer) = (content(season.winter), content(season.summer));
    let by = |from: f64, to: f64| change(wood, grain, width_mm, from, to);
    let (whole, basis) = by(winter, summer)?;
    let from_now = |to: f64| season.now.and_then(|now| Some(by(content(now), to)?.0));
    let dampest = winter.max(summer);
    let growth_mm = from_now(dampest).unwrap_or(whole.abs()).max(0.0);
    Some(Swing {
        winter_to_summer_mm: whole_mm(whole),
        now_to_winter_mm: from_now(winter).map(whole_mm),
        now_to_summer_mm: from_now(summer).map(whole_mm),
        needs_mm: whole_mm(growth_mm.ceil()),
        basis,
        growth_mm,
    })
}

/// How much a width changes through the year, in a sentence.
#[must_use]
pub fn in_words(swing: &Swing, season: &Season) -> String {
    movement_words::sentence(swing, season, false)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a width is far below 2^63 mm"
)]
fn whole_mm(mm: f64) -> i64 {
    mm.round() as i64
}

/// What the seasons do to each part whose wood is recorded, in the form's order. A part of which no wood is recorded is
/// left out: nothing can be said of it.
#[must_use]
pub fn movement(it: &Assessment, book: &TradeBook, season: &Season) -> Vec<PartMovement> {
    let there = |it: &&PartReport| !matches!(it.state, PartState::Absent { .. });
    let parts = it.parts.iter().filter(there);
    parts
        .filter_map(|part| of_part(it, part, book, season))
        .collect()
}

fn of_part(
    it: &Assessment,
    part: &PartReport,
    book: &TradeBook,
    season: &Season,
) -> Option<PartMovement> {
    let named = it
        .observations
        .iter()
        .filter(|it| it.cue == NAMES_WOOD && !it.which.is_empty());
    let named: Vec<&Observation> = named.filter(|it| it.part == part.part).collect();
    let first = named.first()?;
    let kinds = Kinds::of(it, book);
    let kind = kinds.kind(&part.part).to_owned();
    let told = named.iter().filter_map(|it| length(it)).reduce(f64::max);
    let width_mm = told.or_else(|| width(it, &kind, book));
    // Where the same part was taken for two woods, the one that moves more counts.
    let woods = named.iter().map(|it| {
        let (name, grain) = cut(&it.which);
        let found = book.wood(&name);
        let swing = found
            .zip(width_mm)
            .and_then(|(wood, mm)| swing(wood, grain, mm, season));
        (
            found.map_or_else(|| name.clone(), |it| called(&name, &it.label)),
            grain,
            swing,
        )
    });
    let more = |a: &Option<Swing>, b: &Option<Swing>| {
        let size = |it: &Option<Swing>| it.map_or(-1.0, |it| it.growth_mm);
        size(b) > size(a)
    };
    let most = woods.reduce(|a, b| if more(&a.2, &b.2) { b } else { a });
    let (wood, grain, swing) = most.unwrap_or_else(|| (first.which.clone(), Grain::Unknown, None));
    let moves = match (moves(it, part), &swing) {
        (Moves::Hardly, _) => Moves::Hardly,
        (_, None) => Moves::Unknown,
        (moves, Some(_)) => moves,
    };
    let mut moved = PartMovement {
        part: part.part.clone(),
        label: part.label.clone(),
        wood,
        moves,
        grain,
        width_mm,
        swing: swing.filter(|_| moves != Moves::Hardly),
        play_mm: is_of_drawer(&kind).then(|| play(it, &part.part)).flatten(),
        text: String::new(),
    };
    moved.text = movement_words::line(&moved, &kind, told.is_some(), season);
    Some(moved)
}

/// Whether what the part is made of moves. A drawer's front goes with its drawer; its sides go by themselves: veneer on the
/// front tells nothing of them.
fn moves(it: &Assessment, part: &PartReport) -> Moves {
    let with = it
        .parts
        .iter()
        .find(|it| is_face(&part.part, &it.part) && *it != part);
    let told = std::iter::once(part).chain(with).map(|it| &it.material);
    let told: Vec<&Material> = told.collect();
    let settled = told.iter().find_map(|it| it.settled.as_deref());
    let may_be = |class: &str| told[0].possible.iter().any(|it| it == class);
    match settled {
        Some("solid") => Moves::Yes,
        Some(_) => Moves::Hardly,
        None if told[0].possible.is_empty() || may_be("solid") => Moves::IfSolid,
        None => Moves::Hardly,
    }
}

/// The width across the grain by the size of the piece (common practice, no source): a top's grain runs along its longer
/// side, a side's upright, a shelf's and a drawer's from left to right. Where drawers fill the front, the height of one is at most that
/// of the piece by its rows; of fewer drawers, below or above something else, the size of the piece tells nothing.
fn width(it: &Assessment, kind: &str, book: &TradeBook) -> Option<f64> {
    let size = it.piece.size?;
    match kind {
        "top" | "lid" | "writing_surface" => Some(size.depth_mm.min(size.width_mm)),
        "case_side" | "shelf" => Some(size.depth_mm),
        kind if is_of_drawer(kind) => {
            let usual = book.form(&it.piece.form).map_or(&[][..], |it| &it.drawers);
            let rows = match it.piece.drawer_rows.is_empty() {
                true => usual.len(),
                false => it.piece.drawer_rows.len(),
            };
            let rows = f64::from(u32::try_from(rows).ok()?);
            (rows >= FILLED_BY).then(|| (size.height_mm / rows).round())
        }
        _ => None,
    }
}

fn length(it: &Observation) -> Option<f64> {
    let length: Length = it.size.as_deref()?.parse().ok()?;
    Some(length.mm)
}

/// The smallest gap measured above the drawer to which a part belongs.
fn play(it: &Assessment, part: &PartId) -> Option<f64> {
    let seen = it.observations.iter().filter(|it| it.cue == PLAY);
    let own = seen.filter(|it| it.part.whole() == part.whole());
    own.filter_map(length).reduce(f64::min)
}

/// The wood and the cut in what was written, such as `black walnut, quarter-sawn`.
#[must_use]
pub fn cut(text: &str) -> (String, Grain) {
    let mut name = text.to_lowercase();
    let cuts = [
        ("quarter", Grain::Quarter),
        ("flat", Grain::Flat),
        ("plain", Grain::Flat),
    ];
    for (word, grain) in cuts {
        for end in ["-sawn", " sawn", "sawn", "-cut", " cut"] {
            let whole = format!("{word}{end}");
            if name.contains(&whole) {
                name = name.replace(&whole, "");
                let name = name.trim_matches(|it: char| it.is_whitespace() || ",;".contains(it));
                return (name.to_owned(), grain);
            }
        }
    }
    (text.trim().to_owned(), Grain::Unknown)
}

/// The name that the user gave, and the wood of the table whose figures are taken for it.
fn called(name: &str, label: &str) -> String {
    if name.trim().eq_ignore_ascii_case(label) {
        return label.to_owned();
    }
    format!("{} (figures of {label})", name.trim())
}

#[cfg(test)]
mod tests;
