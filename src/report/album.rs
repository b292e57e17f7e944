//! Hands out pictures to the views and writes down which were asked for.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::collections::BTreeSet;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use crate::model::picture::SmallPicture;
use crate::report::Packing;
use crate::report::Shot;
use crate::report::ShotKind;

/// The pictures of a page.
pub(super) struct Album<'a> {
    pictures: &'a BTreeMap<Shot, SmallPicture>,
    packing: Packing,
    asked: RefCell<BTreeSet<Shot>>,
}

/// A picture ready for the page.
pub(super) struct Print {
    /// What goes into `src`; safe to print as it is.
    pub(super) src: String,
    /// Width, pixels.
    pub(super) width: u32,
    /// Height, pixels.
    pub(super) height: u32,
    /// The full-size picture, where there is one to open.
    pub(super) opens: Option<String>,
}

impl<'a> Album<'a> {
    /// Over pictures, none of them asked for yet.
    pub(super) fn new(pictures: &'a BTreeMap<Shot, SmallPicture>, packing: Packing) -> Self {
        let asked = RefCell::default();
        Self {
            pictures,
            packing,
            asked,
        }
    }

    /// The picture, if there is one.
    pub(super) fn print(&self, shot: Shot) -> Option<Print> {
        let full = Shot {
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
    pub(super) fn asked(&self) -> Vec<Shot> {
        self.asked.borrow().iter().cloned().collect()
    }
}

fn as_data(jpeg: &[u8]) -> String {
    format!("data:image/jpeg;base64,{}", STANDARD.encode(jpeg))
}
