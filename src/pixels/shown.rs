//! The small picture of which the other ones are made and the measures are taken.

use crate::PhotoError;
use crate::Small;
use crate::jpeg::ycc::Ycc;
use crate::measure;
use crate::raster;
use crate::upright;
use crate::upright::Rgb;

/// A picture in the colours in which it came.
pub(crate) enum Shown {
    /// In red, green and blue.
    Rgb(Rgb),
    /// In the colours of a JPEG, which it came in and goes into.
    Ycc(Ycc),
}

impl Shown {
    /// Width and height, pixels.
    pub(crate) fn size(&self) -> (u32, u32) {
        match self {
            Self::Rgb(it) => (it.width, it.height),
            Self::Ycc(it) => (it.width, it.height),
        }
    }

    /// Turned upright.
    pub(crate) fn turned(self, orientation: u16) -> Self {
        match self {
            Self::Rgb(it) => Self::Rgb(upright::turn(it, orientation)),
            Self::Ycc(it) => Self::Ycc(it.turned(orientation)),
        }
    }

    /// Made smaller.
    pub(crate) fn smaller(&self, size: (u32, u32)) -> Result<Self, PhotoError> {
        Ok(match self {
            Self::Rgb(it) => Self::Rgb(raster::resize_rgb(it, size)?),
            Self::Ycc(it) => Self::Ycc(it.smaller(size)),
        })
    }

    /// As a JPEG.
    pub(crate) fn small(&self, quality: u8) -> Result<Small, PhotoError> {
        let (width, height) = self.size();
        let jpeg = match self {
            Self::Rgb(it) => raster::encode(it, quality)?,
            Self::Ycc(it) => raster::encode_ycc(it, quality)?,
        };
        Ok(Small {
            jpeg,
            width,
            height,
        })
    }

    /// In grey (ITU-R BT.601).
    pub(crate) fn grey(self) -> Vec<u8> {
        match self {
            Self::Rgb(it) => measure::grey(&it.pixels),
            Self::Ycc(it) => it.luma,
        }
    }
}
