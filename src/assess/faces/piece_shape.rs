//! What the form of a piece and the sizes told say of its shape.

use std::collections::BTreeSet;

use crate::model::ids::PartId;
use crate::model::piece::Piece;
use crate::model::piece::Size;
use crate::trade::TradeBook;
use crate::trade::entry::form::Figure;
use crate::trade::entry::form::FormPart;
use crate::trade::entry::kind::Face;

/// The shape of a piece, as far as its form and its owner tell it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PieceShape {
    /// The parts to be found on the drawing.
    pub parts: Vec<PartShape>,
    /// Parts that somebody saw: only of these are pulls, keyholes and locks drawn.
    pub seen: BTreeSet<PartId>,
    /// Parts that are not there: none of these is drawn.
    pub absent: BTreeSet<PartId>,
    /// Outer size; `None` draws in plain proportions and says so.
    pub size: Option<Size>,
    /// How it is drawn.
    pub figure: Figure,
    /// Drawers in each row from the top.
    pub drawer_rows: Vec<u8>,
    /// `leg`, `foot` or `base`.
    pub stands_on: String,
}

/// A part and the face it is seen on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartShape {
    /// The part.
    pub part: PartId,
    /// Its label.
    pub label: String,
    /// The face that shows it.
    pub face: Face,
}

impl PieceShape {
    /// The shape of a piece with these parts.
    #[must_use]
    pub fn of(book: &TradeBook, piece: &Piece, parts: &[FormPart]) -> Self {
        let form = book.form(&piece.form);
        let on = |kind: &str| parts.iter().any(|it| it.kind == kind);
        let stands_on = ["leg", "foot"]
            .into_iter()
            .find(|it| on(it))
            .unwrap_or("base");
        let usual = || form.map(|it| it.drawers.clone()).unwrap_or_default();
        let rows = &piece.drawer_rows;
        let parts = parts.iter().map(|it| PartShape {
            part: it.id.clone(),
            label: it.label.clone(),
            face: it.face,
        });
        Self {
            parts: parts.collect(),
            seen: BTreeSet::new(),
            absent: BTreeSet::new(),
            size: piece.size,
            figure: form.map(|it| it.figure).unwrap_or_default(),
            drawer_rows: if rows.is_empty() {
                usual()
            } else {
                rows.clone()
            },
            stands_on: stands_on.to_owned(),
        }
    }

    /// Whether a part of this id was seen.
    pub(crate) fn has_seen(&self, part: &str) -> bool {
        self.seen.iter().any(|it| it.as_str() == part)
    }

    /// Whether a part of this id is said not to be there.
    pub(crate) fn lacks(&self, part: &str) -> bool {
        self.absent.iter().any(|it| it.as_str() == part)
    }

    /// The size, if every side of it can be drawn.
    pub(crate) fn drawable_size(&self) -> Option<Size> {
        let drawable = |mm: f64| mm.is_finite() && (10.0..=20_000.0).contains(&mm);
        let fits = |it: &Size| {
            [it.height_mm, it.width_mm, it.depth_mm]
                .into_iter()
                .all(drawable)
        };
        self.size.filter(fits)
    }
}
