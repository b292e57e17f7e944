//! Which pictures are looked at for faces, and how thoroughly: in what was asked and what the sidecars say, out a wish for each.

use crate::assess::faces::flat_faces;
use crate::assess::faces::piece_shape::PieceShape;
use crate::lay::Ways;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;
use crate::work::WorkError;
use crate::work::photos::laid_by_hand::Known;
use crate::work::photos::laid_by_hand::by_hand;

/// Most pictures held at once; one takes about 3 MB, and 20 MB more while faces are laid in it.
const MOST: usize = 200;

/// How a face is looked for in a picture; `None` where a person laid it, or another picture is asked for. Where somebody said that
/// the picture shows it, or asks for that picture, all ways are tried.
pub(super) fn wish(
    photo: &Photo,
    known: &Known,
    asked: Option<u32>,
    shape: &PieceShape,
    parts: &[FormPart],
    book: &TradeBook,
) -> Option<Ways> {
    if by_hand(photo, known) || asked.is_some_and(|no| photo.no != no) {
        return None;
    }
    let sidecar = &photo.sidecar;
    let view = sidecar.view.as_deref().and_then(|it| book.view(it));
    let view = view.filter(|it| it.fixed);
    let in_view = parts
        .iter()
        .filter(|part| view.is_some_and(|it| it.shows_part(part)));
    let named = sidecar.marks.iter().filter_map(|it| it.part.as_ref());
    let named = named.chain(&sidecar.parts).chain(in_view.map(|it| &it.id));
    let mut faces = named.flat_map(|it| flat_faces::of_part(shape, it));
    let said = asked.is_some() || faces.any(|it| it == known.like.face);
    Some(if said { Ways::All } else { Ways::AtFirstSight })
}

/// Which pictures have to be looked at.
pub(super) fn wanted(
    photos: &[Photo],
    known: &[Known],
    asked: Option<u32>,
    stock_no: &StockNo,
) -> Result<Vec<bool>, WorkError> {
    let mut wanted = vec![asked.is_none(); photos.len()];
    if let Some(no) = asked {
        let Some(n) = photos.iter().position(|it| it.no == no) else {
            return Err(WorkError::asked_with(
                format!("there is no picture {no} of piece {stock_no}"),
                format!("`asfound survey {stock_no}` lists its pictures"),
            ));
        };
        wanted[n] = true;
        let missing = known.iter().filter(|it| !by_hand(&photos[n], it));
        missing
            .flat_map(|it| &it.places)
            .for_each(|it| wanted[it.0] = true);
    }
    let count = wanted.iter().filter(|it| **it).count();
    if count > MOST {
        return Err(WorkError::asked_with(
            format!("{count} pictures would have to be held at once; {MOST} can be"),
            "name one picture with `--photo`, and lay faces by hand in few pictures",
        ));
    }
    Ok(wanted)
}
