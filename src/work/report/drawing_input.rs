//! What the report needs beyond the assessment: the shape of the piece, words of the trade book, and whose report it is.

use crate::assess::faces::piece_shape::PieceShape;
use crate::kit::files::read;
use crate::model::piece::Piece;
use crate::model::settings::Settings;
use crate::photo::Limits;
use crate::photo::PhotoProcessor;
use crate::report::DrawingInput;
use crate::tongue::Tongue;
use crate::work::book::open_book::OpenBook;
use crate::work::sidecars::vocabulary;

/// Names that the logo may have, beside `book.toml`; the first that is there is taken.
const LOGOS: [&str; 3] = ["logo.png", "logo.jpg", "logo.jpeg"];
/// Long side of the logo as it is printed, pixels.
const LOGO_SIDE: u32 = 320;

/// The scene of a piece, for a paper in English.
pub(in crate::work) fn scene(book: &OpenBook, piece: &Piece, settings: &Settings) -> DrawingInput {
    let trade = &book.trade;
    DrawingInput {
        tongue: Tongue::ENGLISH,
        shape: PieceShape::of(trade, piece, &vocabulary::parts(trade, piece)),
        methods: trade
            .methods
            .iter()
            .map(|it| (it.id.clone(), it.name.clone()))
            .collect(),
        views: trade
            .views
            .iter()
            .map(|it| (it.id.clone(), it.label.clone()))
            .collect(),
        movement: Vec::new(),
        trading_name: settings.trading_name.clone(),
        contact: settings.contact.clone(),
        address: settings.address.clone(),
        phone: settings.phone.clone(),
        logo: logo(book),
        country: settings.country.clone(),
        examined_by: settings.examined_by.clone(),
    }
}

/// The logo, made small and without what a camera or program wrote into it; empty where there is none that can be read.
fn logo(book: &OpenBook) -> Vec<u8> {
    let mut files = LOGOS.iter().map(|it| book.root.join(it));
    let bytes = files.find_map(|it| read(&it).ok());
    let mut processor = PhotoProcessor::new(Limits::default());
    let small = bytes.and_then(|it| processor.shrink(&it, LOGO_SIDE, 88).ok());
    small.map_or_else(Vec::new, |it| it.jpeg)
}
