//! What is against a place of a face, in words.

use crate::lay::Reason;

/// The words of a reason.
pub(super) fn words(why: Reason) -> &'static str {
    match why {
        Reason::FewSpots => "few spots of the two pictures agree",
        Reason::Steep => "one of the pictures shows it at more than 80 degrees",
        Reason::Follows => "it does not look alike there; its place follows from other faces",
        Reason::NotAlike => "nothing there looks like it",
        Reason::Edges => "it looks alike there, but its edges do not lie on each other",
        Reason::NotHeld => "its place is not held well enough",
        Reason::NotShown => "the picture would see it from behind",
    }
}
