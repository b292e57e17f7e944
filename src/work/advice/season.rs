//! What the seasons do to a piece, or to a board of some wood.

use serde::Serialize;

use crate::advise::air::movement;
use crate::kit::text::suggest::near;
use crate::model::ids::StockNo;
use crate::model::settings::Season;
use crate::tongue::Saying;
use crate::trade;
use crate::trade::TradeBook;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::recorded::assessment;
use crate::work::sidecars::sync_sidecars::sync_piece;

pub use crate::advise::air::moisture::Grain;
pub use crate::advise::air::moved::PartMovement;
pub use crate::advise::air::moved::Swing;
pub use crate::advise::air::movement::Air;
pub use crate::advise::air::movement::Year;

/// Air that the user tells for one question; what is `None` is as in the settings.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AirTold {
    /// Relative humidity in winter, percent.
    pub winter: Option<f64>,
    /// In summer.
    pub summer: Option<f64>,
    /// Now.
    pub now: Option<f64>,
    /// Temperature, degrees Celsius.
    pub celsius: Option<f64>,
}

/// What the seasons do to a piece.
#[derive(Clone, Debug, Serialize)]
pub struct PieceSeason {
    /// The piece.
    pub stock_no: StockNo,
    /// Its title.
    pub title: String,
    /// The air.
    pub air: Year,
    /// Its parts whose wood is recorded.
    pub parts: Vec<PartMovement>,
}

/// What the seasons do to a board.
#[derive(Clone, Debug, Serialize)]
pub struct BoardSeason {
    /// The wood.
    pub wood: String,
    /// Its name.
    pub label: String,
    /// Width across the grain, mm.
    pub width_mm: f64,
    /// How it was cut.
    pub grain: Grain,
    /// The air.
    pub air: Year,
    /// How much it changes.
    pub swing: Swing,
    /// The same in a sentence.
    pub text: Saying,
    /// Where the figures of the wood are from.
    pub source: String,
}

/// What the seasons do to the parts of a piece.
///
/// # Errors
/// When there is no such piece, the air cannot be, or the book cannot be read or written.
pub fn of_piece(
    book: &mut OpenBook,
    stock_no: &StockNo,
    told: AirTold,
) -> Result<PieceSeason, WorkError> {
    let season = season(book.settings()?.season, told)?;
    sync_piece(book, stock_no)?;
    let it = assessment(book, stock_no)?;
    Ok(PieceSeason {
        stock_no: stock_no.clone(),
        title: it.piece.title.clone(),
        air: movement::year(&season),
        parts: movement::movement(&it, &book.trade, &season),
    })
}

/// What the seasons do to a board of a wood; the settings are those of `book`, where there is one.
///
/// # Errors
/// When the wood or its figures are not known, the air or the width cannot be, or the settings have mistakes.
pub fn of_board(
    book: Option<&OpenBook>,
    wood: &str,
    width_mm: f64,
    grain: Grain,
    told: AirTold,
) -> Result<BoardSeason, WorkError> {
    let (usual, trade) = match book {
        Some(book) => (book.settings()?.season, book.trade()?),
        None => (Season::default(), trade::book()),
    };
    let season = season(usual, told)?;
    if !(1.0..=3000.0).contains(&width_mm) {
        return Err(WorkError::asked(
            "a width across the grain lies between 1 mm and 3 m",
        ));
    }
    let no_wood = || no_wood(trade, wood);
    let known = trade.wood(wood).ok_or_else(no_wood)?;
    let swing = movement::swing(known, grain, width_mm, &season).ok_or_else(no_wood)?;
    Ok(BoardSeason {
        wood: known.id.clone(),
        label: known.label.clone(),
        width_mm,
        grain,
        air: movement::year(&season),
        text: movement::in_words(&swing, &season),
        swing,
        source: known.source.clone(),
    })
}

fn no_wood(book: &TradeBook, word: &str) -> WorkError {
    let woods = &book.woods;
    let ids: Vec<&str> = woods.iter().map(|it| it.id.as_str()).collect();
    let others = woods.iter().flat_map(|wood| {
        let names = wood.synonyms.iter().chain([&wood.label]);
        names.map(|it| (it.to_lowercase(), wood.id.clone()))
    });
    let others: Vec<(String, String)> = others.collect();
    let near = near(word, &ids, &others);
    let hint = match near.is_empty() {
        true => format!("the woods are {}", ids.join(", ")),
        false => format!("did you mean {}?", near.join(" or ")),
    };
    WorkError::asked_with(format!("there are no figures for the wood `{word}`"), hint)
}

fn season(usual: Season, told: AirTold) -> Result<Season, WorkError> {
    let season = Season {
        winter: told.winter.unwrap_or(usual.winter),
        summer: told.summer.unwrap_or(usual.summer),
        now: told.now.or(usual.now),
        celsius: told.celsius.unwrap_or(usual.celsius),
    };
    let humidity = |it: f64| (1.0..=95.0).contains(&it);
    let all = [Some(season.winter), Some(season.summer), season.now];
    if !all.into_iter().flatten().all(humidity) || !(-1.0..=55.0).contains(&season.celsius) {
        // The equation was fitted between 30 and 130 F, and the table ends at 95 %.
        return Err(WorkError::asked(
            "humidity lies between 1 and 95 %, and temperature between -1 and 55 degrees Celsius",
        ));
    }
    Ok(season)
}
