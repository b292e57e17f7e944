//! The user's own words, from `words.toml` beside `book.toml`.

use std::path::Path;
use std::sync::Arc;

use crate::mark;
use crate::model::complaint::Complaint;
use crate::trade;
use crate::trade::TradeBook;
use crate::trade::overlay::widened;
use crate::work::WorkError;
use crate::work::book::user_text::read_user_text;

/// The file.
const FILE: &str = "words.toml";

/// The trade book of a stock book.
pub(in crate::work) struct OwnWords {
    /// With the user's own words in it; the embedded one while these have mistakes.
    pub(in crate::work) trade: Arc<TradeBook>,
    /// What is wrong with them.
    pub(in crate::work) mistakes: Vec<Complaint>,
}

/// Reads the user's own words of the book in `root`; none where there is no such file.
///
/// # Errors
/// When the file cannot be read.
pub(in crate::work) fn of(root: &Path) -> Result<OwnWords, WorkError> {
    let Some(text) = read_user_text(root, FILE)? else {
        return Ok(OwnWords {
            trade: trade::shared(),
            mistakes: Vec::new(),
        });
    };
    let wide = text
        .map_err(|it| vec![it])
        .and_then(|text| mark::checked(FILE, &text, widened));
    Ok(match wide {
        Ok(wide) => OwnWords {
            trade: Arc::new(wide),
            mistakes: Vec::new(),
        },
        Err(mistakes) => OwnWords {
            trade: trade::shared(),
            mistakes,
        },
    })
}
