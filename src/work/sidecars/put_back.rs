//! Writing again the sidecars that were deleted by accident.

use crate::kit::files::make_folder;
use crate::kit::files::write_whole;
use crate::mark;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::sidecars::sync_sidecars::sync_piece;

/// Writes every sidecar of a piece that is gone, from its last good text in the record; gives their names in the piece.
///
/// # Errors
/// When there is no such piece, or a file cannot be written.
pub fn put_back(book: &mut OpenBook, stock_no: &StockNo) -> Result<Vec<String>, WorkError> {
    sync_piece(book, stock_no)?;
    let piece = book.record.piece(stock_no)?;
    let folder = book.piece_folder(&piece);
    let photos = book.record.photos(stock_no)?;
    let mut written = Vec::new();
    for row in book.record.sidecars(stock_no)? {
        let name = row.shown();
        let path = folder.join(&row.folder).join(format!("{}.toml", row.name));
        if path.exists() {
            continue;
        }
        let text = match book.record.sidecar_text(stock_no, row.photo)? {
            Some(text) => text,
            None => {
                let photo = photos.iter().find(|it| it.no == row.photo);
                let sidecar = photo.map(|it| it.sidecar.clone()).unwrap_or_default();
                mark::written(&row.name, &sidecar)
            }
        };
        make_folder(&folder.join(&row.folder))?;
        write_whole(&path, text.as_bytes())?;
        written.push(name);
    }
    sync_piece(book, stock_no)?;
    Ok(written)
}
