//! The colours of a picture, as its own profile says, in sRGB (IEC 61966-2-1).
//!
//! A profile is applied after shrinking: a small picture has few pixels, and averaging before the conversion differs
//! from averaging after it by less than an eye sees.

use std::sync::Arc;
use std::sync::LazyLock;

use heifer::heifer_isobmff::HeifFile;
use heifer::heifer_isobmff::boxes::ColorInfo;
use heifer::heifer_isobmff::boxes::Property;
use moxcms::ColorProfile;
use moxcms::DataColorSpace;
use moxcms::Layout;
use moxcms::Transform8BitExecutor;
use moxcms::TransformOptions;

use crate::upright::Rgb;

/// In which colours a decoded picture is written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) enum Colours {
    /// sRGB, or nothing that is known otherwise.
    #[default]
    Standard,
    /// An ICC profile (ICC.1).
    Profile(Vec<u8>),
    /// The primaries of Display P3 or ITU-R BT.2020 by their code point (ITU-T H.273, table 2).
    Primaries(u16),
    /// Adobe RGB (1998), which the DCF option file states by a word beside the picture (JEITA CP-3461).
    Adobe,
}

/// H.273: Display P3.
const P3: u16 = 12;
/// H.273: BT.2020.
const BT_2020: u16 = 9;
/// H.273: light beyond white (PQ and HLG), which has no place in a small picture.
const HIGH_RANGE: [u16; 2] = [16, 18];

/// What a HEIF says of its colours. A profile stands before code points; on the transfer curves that video
/// streams state, viewers and libheif do nothing.
pub(crate) fn of_heif(bytes: &[u8]) -> Colours {
    let Ok(file) = HeifFile::parse(bytes) else {
        return Colours::Standard;
    };
    if let Ok(Some(profile)) = file.icc_profile(file.primary_id) {
        return Colours::Profile(profile.to_vec());
    }
    let Ok(mut properties) = file.item_properties(file.primary_id) else {
        return Colours::Standard;
    };
    let stated = properties.find_map(|it| match it {
        Property::Color(ColorInfo::Nclx {
            primaries,
            transfer,
            ..
        }) if !HIGH_RANGE.contains(transfer) => Some(*primaries),
        _ => None,
    });
    match stated {
        Some(primaries @ (P3 | BT_2020)) => Colours::Primaries(primaries),
        _ => Colours::Standard,
    }
}

impl Colours {
    /// Of a profile that may be missing.
    pub(crate) fn of(profile: Option<Vec<u8>>) -> Self {
        profile.map_or(Self::Standard, Self::Profile)
    }

    /// What Exif states counts where the picture itself says nothing.
    pub(crate) fn unless_told(&mut self, adobe_rgb: bool) {
        if adobe_rgb && *self == Self::Standard {
            *self = Self::Adobe;
        }
    }

    /// Turns a picture written in these colours into sRGB. What cannot be read, or is not of light (CMYK), is left
    /// as it is: a profile must not cost the picture.
    pub(crate) fn to_srgb(&self, picture: &mut Rgb) {
        let Some((layout, transform)) = self.transform() else {
            return;
        };
        let done = if layout == Layout::Gray {
            let grey: Vec<u8> = picture.pixels.iter().step_by(3).copied().collect();
            transform.transform(&grey, &mut picture.pixels)
        } else {
            let from = picture.pixels.clone();
            transform.transform(&from, &mut picture.pixels)
        };
        debug_assert!(done.is_ok(), "both hold whole pixels");
    }

    /// The way into sRGB; `None` where there is nothing to do.
    fn transform(&self) -> Option<(Layout, Arc<Transform8BitExecutor>)> {
        let profile = match self {
            Self::Standard => return None,
            Self::Profile(bytes) => ColorProfile::new_from_slice(bytes).ok()?,
            Self::Primaries(P3) => ColorProfile::new_display_p3(),
            Self::Primaries(_) => ColorProfile::new_bt2020(),
            Self::Adobe => ColorProfile::new_adobe_rgb(),
        };
        let layout = match profile.color_space {
            DataColorSpace::Rgb => Layout::Rgb,
            DataColorSpace::Gray => Layout::Gray,
            _ => return None,
        };
        let (srgb, options) = (ColorProfile::new_srgb(), TransformOptions::default());
        let transform = profile
            .create_transform_8bit(layout, &srgb, Layout::Rgb, options)
            .ok()?;
        Some((layout, transform))
    }
}

/// The profile that says sRGB of a picture; empty when it cannot be written, which leaves the same meaning: what has
/// none is sRGB (CSS Color 4).
pub(crate) fn srgb() -> &'static [u8] {
    static SRGB: LazyLock<Vec<u8>> = LazyLock::new(|| {
        let mut profile = ColorProfile::new_srgb().encode().unwrap_or_default();
        // The date of its making (ICC.1, table 17) is that of the run; the same bytes are wanted, whenever made.
        if let Some(date) = profile.get_mut(24..36) {
            date.copy_from_slice(&[7, 208, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0]);
        }
        profile
    });
    &SRGB
}

#[cfg(test)]
mod tests {
    use super::Colours;
    use super::srgb;
    use crate::upright::Rgb;

    fn turned(colours: &Colours, pixel: [u8; 3]) -> Vec<u8> {
        let mut picture = Rgb {
            width: 1,
            height: 1,
            pixels: pixel.to_vec(),
        };
        colours.to_srgb(&mut picture);
        picture.pixels
    }

    #[test]
    fn standard_colours_and_unreadable_profiles_change_nothing() {
        let brown = [139, 90, 43];
        for same in [
            Colours::Standard,
            Colours::Profile(b"no profile".to_vec()),
            Colours::Profile(srgb().to_vec()),
        ] {
            assert_eq!(turned(&same, brown), brown, "{same:?}");
        }
    }

    /// The same colour has smaller numbers in a wider space; white stays white.
    #[test]
    fn wide_colours_are_turned() {
        for code in [9, 12] {
            let wide = Colours::Primaries(code);
            let red = turned(&wide, [200, 100, 50]);
            assert!(red[0] > 205 && red[1] < 98, "{code}: {red:?}");
            assert_eq!(turned(&wide, [255, 255, 255]), [255, 255, 255]);
        }
    }
}
