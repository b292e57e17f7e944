//! Forms of furniture, and the parts of one piece.

use serde::Deserialize;
use serde::Serialize;

use crate::model::ids::PartId;
use crate::trade::entry::kind::Face;

/// The figure that is drawn for a form; of a form that is not known, a case.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Figure {
    #[default]
    Case,
    Table,
    Seat,
    Bed,
    Box,
}

/// A form of furniture.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Form {
    /// Its id, such as `chest_of_drawers`.
    pub id: String,
    /// Its name, such as `Chest of drawers`.
    pub label: String,
    /// What it is, in one line.
    pub plain: String,
    /// The figure drawn for it.
    pub figure: Figure,
    /// Whether it may fall forward on somebody, so that it wants fastening to the wall.
    pub tip_over: bool,
    /// Whether it hangs on a wall, and so does not tip over.
    #[serde(default)]
    pub hangs: bool,
    /// Kinds of parts with which such a piece stands all the same.
    #[serde(default)]
    pub stands_with: Vec<String>,
    /// Kinds of parts with which such a piece hangs on a wall.
    #[serde(default)]
    pub hangs_with: Vec<String>,
    /// What is done with the whole before it is carried, in a sentence; empty where there is nothing.
    #[serde(default)]
    pub carry: String,
    /// Its usual drawers, row by row from the top; empty when it usually has none.
    #[serde(default)]
    pub drawers: Vec<u8>,
    /// Views it needs at purchase and sale besides the usual ones.
    #[serde(default)]
    pub more_views: Vec<String>,
    /// Its parts in walking order.
    pub parts: Vec<FormItem>,
}

/// One line of a form's parts list.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FormItem {
    /// The kind of part.
    pub kind: String,
    /// Whether it is there only when the owner names it.
    #[serde(default)]
    pub optional: bool,
    /// Whether a piece may be without it, though such pieces usually have it.
    #[serde(default)]
    pub usual: bool,
    /// Whether it is often gilded, so that gilding is not ruled out before somebody tells its coat.
    #[serde(default)]
    pub often_gilded: bool,
    /// A group of which a piece has one, such as what it stands on. The first of a group is the usual one; naming
    /// others replaces it.
    pub one_of: Option<String>,
    /// How many, for kinds that are numbered; 1 also makes a door a single door.
    pub count: Option<u8>,
    /// The places, when not all of the kind's.
    #[serde(default)]
    pub at: Vec<String>,
}

impl Form {
    /// Whether a piece of these parts hangs on a wall.
    #[must_use]
    pub fn is_hung(&self, parts: &[FormPart]) -> bool {
        let stands = |it: &FormPart| self.stands_with.contains(&it.kind);
        let hangs = |it: &FormPart| self.hangs_with.contains(&it.kind);
        (self.hangs || parts.iter().any(hangs)) && !parts.iter().any(stands)
    }

    /// Whether its part of this kind is often gilded.
    #[must_use]
    pub fn is_often_gilded(&self, kind: &str) -> bool {
        self.parts
            .iter()
            .any(|it| it.often_gilded && it.kind == kind)
    }

    /// Whether such a piece may have no drawer at all.
    #[must_use]
    pub fn may_lack_drawers(&self) -> bool {
        let mut drawers = self.parts.iter().filter(|it| it.kind == "drawer");
        drawers.all(|it| it.optional || it.usual)
    }

    /// The kinds an owner may name for this form, in walking order.
    #[must_use]
    pub fn choices(&self) -> Vec<&str> {
        let open = |it: &&FormItem| it.optional || it.one_of.is_some();
        let items = self.parts.iter().filter(open);
        items.map(|it| it.kind.as_str()).collect()
    }
}

/// One part of a piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FormPart {
    /// Its id, such as `drawer-2/bottom`.
    pub id: PartId,
    /// Its label, such as `Drawer 2, bottom`.
    pub label: String,
    /// Its kind, such as `drawer_bottom`.
    pub kind: String,
    /// Whether a statement about it is asked for.
    pub required: bool,
    /// Whether it is a part of a part.
    pub inner: bool,
    /// Where it lies on the unfolded drawing.
    pub face: Face,
    /// Of a part of a part: whether a look at the closed whole from outside sees it.
    pub seen_with_whole: bool,
}
