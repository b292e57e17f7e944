//! What an observation or a fault tells of what a part is made of.

use crate::trade::entry::cue::Cue;
use crate::trade::entry::tag::Tag;

/// The weight of a strong sign: direct, and hard to fake.
pub(crate) const STRONG: u8 = 3;

/// What an observation or a fault tells of a material.
#[derive(Clone, Copy)]
pub(crate) struct Sign<'a> {
    pub(crate) id: &'a str,
    pub(crate) term: &'a str,
    /// The class of face it speaks for.
    pub(crate) supports: Option<&'a str>,
    /// The class it speaks against.
    pub(crate) against: Option<&'a str>,
    /// What it shows to lie below the face.
    pub(crate) core: Option<&'a str>,
    pub(crate) weight: u8,
    pub(crate) view: Option<&'a str>,
    /// Whether it settles its class alone.
    pub(crate) decides: bool,
}

impl<'a> Sign<'a> {
    pub(crate) fn of_cue(cue: &'a Cue) -> Option<Self> {
        let of_material = cue.supports.is_some() || cue.against.is_some() || cue.core.is_some();
        (cue.weight > 0 && of_material).then(|| Self {
            id: &cue.id,
            term: &cue.term,
            supports: cue.supports.as_deref(),
            against: cue.against.as_deref(),
            core: cue.core.as_deref(),
            weight: cue.weight,
            view: cue.view.as_deref(),
            decides: cue.decides,
        })
    }

    /// Of a fault that can happen to one kind of face alone.
    pub(crate) fn of_fault(tag: &'a Tag) -> Option<Self> {
        let class = tag.settles.as_deref()?;
        Some(Self {
            id: &tag.id,
            term: &tag.term,
            supports: Some(class),
            against: None,
            core: None,
            weight: STRONG,
            view: None,
            decides: true,
        })
    }

    /// Whether it tells what lies below the face, and of the face no more than that it is not the same wood throughout.
    pub(crate) fn is_of_core(&self) -> bool {
        self.core.is_some() && self.core == self.supports
    }
}
