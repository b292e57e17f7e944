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

/// The date in a profile that is written here (ICC.1, table 17): the same bytes are wanted, whenever made.
const DATE: [u8; 12] = [7, 208, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0];

/// A profile (ICC.1) written anew from the numbers of its curves and colourants, without names, texts, dates and devices. `None` where
/// it cannot be read, or rests on tables.
pub(crate) fn numbers_alone(profile: &[u8]) -> Option<Vec<u8>> {
    let read = ColorProfile::new_from_slice(profile).ok()?;
    let tables = [
        &read.lut_a_to_b_perceptual,
        &read.lut_a_to_b_colorimetric,
        &read.lut_a_to_b_saturation,
    ];
    let light = matches!(read.color_space, DataColorSpace::Rgb | DataColorSpace::Gray);
    if !light || tables.iter().any(|it| it.is_some()) {
        return None;
    }
    let mut bare = ColorProfile::default();
    bare.red_colorant = read.red_colorant;
    bare.green_colorant = read.green_colorant;
    bare.blue_colorant = read.blue_colorant;
    bare.white_point = read.white_point;
    bare.media_white_point = read.media_white_point;
    bare.chromatic_adaptation = read.chromatic_adaptation;
    bare.red_trc = read.red_trc;
    bare.green_trc = read.green_trc;
    bare.blue_trc = read.blue_trc;
    bare.gray_trc = read.gray_trc;
    bare.cicp = read.cicp;
    bare.pcs = read.pcs;
    bare.color_space = read.color_space;
    bare.profile_class = read.profile_class;
    bare.rendering_intent = read.rendering_intent;
    written(&bare)
}

fn written(profile: &ColorProfile) -> Option<Vec<u8>> {
    let mut bytes = profile.encode().ok()?;
    bytes.get_mut(24..36)?.copy_from_slice(&DATE);
    Some(bytes)
}

/// The profile that says sRGB of a picture; empty when it cannot be written, which leaves the same meaning: what has
/// none is sRGB (CSS Color 4).
pub(crate) fn srgb() -> &'static [u8] {
    static SRGB: LazyLock<Vec<u8>> =
        LazyLock::new(|| written(&ColorProfile::new_srgb()).unwrap_or_default());
    &SRGB
}

#[cfg(test)]
mod tests {
    use moxcms::ColorProfile;
    use moxcms::ProfileText;

    use super::Colours;
    use super::numbers_alone;
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

    /// What a profile is called may name its owner's screen; its colours stay.
    #[test]
    fn a_profile_keeps_its_numbers_and_loses_its_words() {
        let mut named = ColorProfile::new_display_p3();
        named.description = Some(ProfileText::PlainString("Ann Ohm's screen".to_owned()));
        let named = named.encode().unwrap();
        let holds = |it: &[u8]| {
            it.windows(2).any(|it| it == b"nn") || it.windows(4).any(|it| it == b"\0n\0n")
        };
        assert!(holds(&named));
        let bare = numbers_alone(&named).unwrap();
        assert!(!holds(&bare));
        for pixel in [[139, 90, 43], [250, 3, 128], [0, 255, 0]] {
            let of = |it: &Vec<u8>| turned(&Colours::Profile(it.clone()), pixel);
            assert_eq!(of(&bare), of(&named));
        }
        assert_eq!(numbers_alone(&bare).as_ref(), Some(&bare));
        assert_eq!(numbers_alone(b"no profile"), None);
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
