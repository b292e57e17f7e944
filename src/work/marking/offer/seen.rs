//! A photo as its pixels are looked at: its preview in grey.

use crate::lay::Lens;
use crate::photo::Limits;
use crate::photo::PhotoProcessor;
use crate::work::WorkError;
use crate::work::marking::At;
use crate::work::marking::picture::small;

/// Longer side of a preview, px.
const SIDE: u32 = 1600;

/// The preview of a photo, and its lens.
pub(in crate::work::marking) struct Seen {
    size: [usize; 2],
    values: Vec<u8>,
    /// The lens, in px of the preview.
    pub(in crate::work::marking) lens: Lens,
}

impl Seen {
    /// Looks at a photo; `None` where its preview is no picture.
    pub(in crate::work::marking) fn of(at: &At) -> Result<Option<Self>, WorkError> {
        let jpeg = small(at, "preview")?;
        let grey = PhotoProcessor::new(Limits::default()).grey(&jpeg, SIDE);
        Ok(grey.ok().map(|grey| {
            let [width, height] = [grey.width, grey.height].map(|it| it as usize);
            let focal = at.photo.facts.focal_35mm.map(f64::from);
            let lens = Lens::of_whole(width, height, focal);
            Self {
                size: [width, height],
                values: grey.values,
                lens,
            }
        }))
    }

    pub(in crate::work::marking) fn grey(&self) -> crate::lay::Grey<'_> {
        crate::lay::Grey {
            width: self.size[0],
            height: self.size[1],
            values: &self.values,
        }
    }

    /// px to percent, to a hundredth.
    pub(in crate::work::marking) fn percent(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let [w, h] = self.size.map(|it| it as f64);
        [x / w, y / h].map(|it| (it * 1e4).round() / 1e2)
    }
}
