//! How many of the files that lines name are here.

use crate::evidence::verify::source::FileKind;
use crate::evidence::verify::source::Scope;

/// How many of the files of a kind that lines name are here, and why the others are not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Enclosed {
    /// Of which kind.
    pub kind: FileKind,
    /// How many the lines name; of the texts beside one photo the newest alone.
    pub named: usize,
    /// How many are here, with the bytes that their lines name.
    pub here: usize,
    /// How many are here beside these: texts that a later one replaced, where that is not in force.
    pub older: usize,
    /// How many are kept back.
    pub private: usize,
    /// How many are lost, as the maker says.
    pub lost: usize,
    /// How many were taken out of the book, as a line says.
    pub removed: usize,
}

impl Enclosed {
    /// In one sentence without a full stop, such as `29 of 34 originals enclosed, 5 kept back`.
    #[must_use]
    pub fn sentence(&self, scope: Scope) -> String {
        let what = self.kind.words();
        let how = match scope {
            Scope::Book => "in their places",
            Scope::Piece => "enclosed",
        };
        let mut text = format!("{} of {} {what} {how}", self.here, self.named);
        let other = self.named - self.here - self.private - self.lost - self.removed;
        for (n, why) in [
            (self.private, "kept back"),
            (self.lost, "lost"),
            (self.removed, "taken out of the book"),
            (other, "not here or changed"),
        ] {
            if n > 0 {
                text.push_str(&format!(", {n} {why}"));
            }
        }
        if self.older > 0 {
            text.push_str(&format!("; {} older beside these", self.older));
        }
        text
    }
}
