//! Hands out pictures to the views and writes down which were asked for.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::collections::BTreeSet;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use crate::model::picture::SmallPicture;
use crate::report::Crop;
use crate::report::Packing;
use crate::report::ShotKind;

/// The pictures of a page.
pub(in crate::report) struct Album<'a> {
    pictures: &'a BTreeMap<Crop, SmallPicture>,
    packing: Packing,
    asked: RefCell<BTreeSet<Crop>>,
}

/// A picture ready for the page.
pub(in crate::report) struct Print {
    /// What goes into `src`; safe to print as it is.
    pub(in crate::report) src: String,
    /// Width, pixels.
    pub(in crate::report) width: u32,
    /// Height, pixels.
    pub(in crate::report) height: u32,
    /// The full-size picture, where there is one to open.
    pub(in crate::report) opens: Option<String>,
}

impl<'a> Album<'a> {
    /// Over pictures, none of them asked for yet.
    pub(in crate::report) fn new(
        pictures: &'a BTreeMap<Crop, SmallPicture>,
        packing: Packing,
    ) -> Self {
        let asked = RefCell::default();
        Self {
            pictures,
            packing,
            asked,
        }
    }

    /// The picture, if there is one.
    pub(in crate::report) fn print(&self, shot: Crop) -> Option<Print> {
        let full = Crop {
            photo: shot.photo,
            kind: ShotKind::Large,
        };
        let mut asked = self.asked.borrow_mut();
        if self.packing == Packing::Folder {
            asked.insert(full.clone());
        }
        asked.insert(shot.clone());
        let taken = self.pictures.get(&shot)?;
        let (src, opens) = match self.packing {
            Packing::OneFile => (as_data(&taken.jpeg), None),
            Packing::Folder => (shot.file_name(), Some(full.file_name())),
        };
        Some(Print {
            src,
            width: taken.width,
            height: taken.height,
            opens,
        })
    }

    /// What was asked for, sorted.
    pub(in crate::report) fn asked(&self) -> Vec<Crop> {
        self.asked.borrow().iter().cloned().collect()
    }
}

/// A picture inside the page.
pub(in crate::report) fn as_data(jpeg: &[u8]) -> String {
    format!("data:image/jpeg;base64,{}", STANDARD.encode(jpeg))
}
