//! The stock list, from the record alone: nobody waits while every sidecar of every piece is looked at.

use crate::kit::words::words;
use crate::model::piece_state::PieceState;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::sidecars::vocabulary::no_form;

pub use crate::record::StockLine;

/// Which pieces are asked for; what is `None` or empty holds for every piece that is not withdrawn.
#[derive(Clone, Debug, Default)]
pub struct StockRequest {
    /// Where they stand.
    pub state: Option<PieceState>,
    /// Their form, by the trade book's word.
    pub form: Option<String>,
    /// Words that all stand in the number, the title, the paragraph for the buyer or the private note, in any letters.
    pub words: Vec<String>,
    /// In which order.
    pub sort: StockOrder,
}

words! {
    /// In which order pieces are listed.
    #[derive(Default)]
    StockOrder {
        /// By stock number.
        #[default]
        Number = "number",
        /// By title.
        Title = "title",
        /// By state, in the order of a piece's life.
        State = "state",
        /// The most findings first.
        Findings = "findings",
        /// The highest price asked first; those without one last.
        Asking = "asking",
    }
}

/// Lists pieces as their sidecars were last read; whatever is done with one piece reads its own.
///
/// # Errors
/// When the book cannot be read, or there is no such form.
pub fn stock(book: &OpenBook, asked: &StockRequest) -> Result<Vec<StockLine>, WorkError> {
    if let Some(form) = asked
        .form
        .as_ref()
        .filter(|it| book.trade.form(it).is_none())
    {
        return Err(no_form(&book.trade, form));
    }
    let mut lines = Vec::new();
    for line in book.record.stock()? {
        let state = asked
            .state
            .map_or(line.state != PieceState::Withdrawn, |it| it == line.state);
        let fits = state && asked.form.as_ref().is_none_or(|it| *it == line.form);
        if fits && has_words(book, &line, &asked.words)? {
            lines.push(line);
        }
    }
    // Each sort keeps the order by number among equals.
    match asked.sort {
        StockOrder::Number => {}
        StockOrder::Title => lines.sort_by_key(|it| it.title.to_lowercase()),
        StockOrder::State => lines.sort_by_key(|it| it.state),
        StockOrder::Findings => lines.sort_by_key(|it| std::cmp::Reverse(it.findings)),
        StockOrder::Asking => {
            lines.sort_by_key(|it| std::cmp::Reverse(it.asking.map(|it| it.minor)));
        }
    }
    Ok(lines)
}

fn has_words(book: &OpenBook, line: &StockLine, words: &[String]) -> Result<bool, WorkError> {
    if words.is_empty() {
        return Ok(true);
    }
    let piece = book.record.piece(&line.stock_no)?;
    let texts = [
        Some(line.stock_no.to_string()),
        Some(piece.title),
        Some(piece.form),
        piece.about,
        piece.private_note,
    ];
    let all: Vec<String> = texts.into_iter().flatten().collect();
    let all = all.join("\n").to_lowercase();
    Ok(words.iter().all(|it| all.contains(&it.to_lowercase())))
}
