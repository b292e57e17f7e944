//! What the bytes of a photo say about it.

use std::fmt;

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::CameraTime;

pub use crate::pixels::Format;

/// Where the camera says it was; private, never in a buyer's report.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Place {
    /// Degrees, north positive.
    pub latitude: f64,
    /// Degrees, east positive.
    pub longitude: f64,
    /// Metres above sea level.
    pub altitude: Option<f64>,
}

/// Something odd about the file that people should know.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "code", content = "about")]
pub enum Oddity {
    /// Orientation 0 or above 8: taken as 1.
    OrientationOdd(u16),
    /// No camera facts at all: a copy from a messenger, a screenshot or a web page.
    NoExif,
    /// The Exif block could not be read, and why.
    ExifUnreadable(String),
    /// More than one Exif block; the first was used.
    SeveralExif,
    /// The date field is there but holds no date.
    NoDate(String),
    /// The file ends before the picture does; the lower part may be grey.
    CutOff,
    /// The coded data of the picture do not fit together, and how; a part of it may show something that was never there.
    Damaged(String),
    /// A program that is no camera's is named in it.
    Edited(String),
    /// The satellites' date lies more than a day from the camera's.
    SatelliteDate {
        /// The camera's date.
        camera: CameraTime,
        /// The satellites' date, UTC.
        satellite: CameraTime,
    },
    /// The picture was stored at another time than it was taken.
    StoredAtOtherTime {
        /// When it was taken.
        taken: CameraTime,
        /// When it was stored, or scanned.
        stored: CameraTime,
    },
    /// The file was changed days after the picture was taken.
    ChangedLater {
        /// When it was taken.
        taken: CameraTime,
        /// When it was changed.
        changed: CameraTime,
    },
    /// The small picture inside the camera's facts shows something else; in how many of 64 bits their looks differ.
    OtherThumbnail(u32),
    /// The date lies before the edition of the standard in which it is written.
    BeforeItsStandard {
        /// When it was taken, as claimed.
        taken: CameraTime,
        /// The edition, such as `2.31`.
        edition: String,
        /// The year in which that came out.
        year: i16,
    },
    /// Anything else worth a word, such as a picture the decoder had to approximate.
    Other(String),
}

/// The facts of one photo.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Facts {
    /// The coding.
    pub format: Format,
    /// Width of the upright picture, pixels.
    pub width: u32,
    /// Height of the upright picture, pixels.
    pub height: u32,
    /// Exif Orientation as written, if any.
    pub orientation: Option<u16>,
    /// The camera's own time, as claimed.
    pub camera_time: Option<CameraTime>,
    /// Maker and model, as written.
    pub camera: Option<String>,
    /// Serial number of the body or lens; private.
    pub serial: Option<String>,
    /// Position; private.
    pub place: Option<Place>,
    /// Focal length as on 35 mm film, mm.
    pub focal_35mm: Option<u32>,
    /// Variance of the 4-neighbour Laplacian of the grey picture at the working size `sharpness_width`.
    pub sharpness: f64,
    /// Long side of the picture in which sharpness was measured, pixels.
    pub sharpness_width: u32,
    /// Mean grey, 0 to 255.
    pub brightness: f64,
    /// Share of pixels darker than 16 of 255, 0 to 1.
    pub black_share: f64,
    /// 64-bit difference hash of the upright picture; near pictures differ in few bits.
    pub look: u64,
    /// The picture in few greys; `None` of a photo that came in before they were kept.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub greys: Option<Greys>,
    /// What is odd about the file.
    pub oddities: Vec<Oddity>,
}

/// An upright picture averaged to 16 by 16 greys: what tells two pictures of one scene apart whose looks are alike. Written as 512 hex
/// digits.
#[derive(Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Greys(pub [u8; 256]);

impl Greys {
    /// By how many steps of 255 the greys of two pictures differ, all 256 together.
    #[must_use]
    pub fn apart(&self, other: &Self) -> u32 {
        let both = self.0.iter().zip(other.0);
        both.map(|(a, b)| u32::from(a.abs_diff(b))).sum()
    }
}

impl fmt::Display for Greys {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|it| write!(f, "{it:02x}"))
    }
}

impl fmt::Debug for Greys {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

impl From<Greys> for String {
    fn from(it: Greys) -> Self {
        it.to_string()
    }
}

impl TryFrom<String> for Greys {
    type Error = &'static str;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        let digits = |n: usize| u8::from_str_radix(text.get(2 * n..2 * n + 2)?, 16).ok();
        let greys: Option<Vec<u8>> = (0..256).map(digits).collect();
        let greys = greys.filter(|_| text.len() == 512);
        let greys = greys.and_then(|it| it.try_into().ok());
        greys.map(Self).ok_or("greys are 512 hex digits")
    }
}

impl Facts {
    /// Of a picture that was not taken: they bear on nothing.
    #[must_use]
    pub fn of_no_picture() -> Self {
        Self {
            format: Format::Jpeg,
            width: 4032,
            height: 3024,
            orientation: None,
            camera_time: None,
            camera: None,
            serial: None,
            place: None,
            focal_35mm: None,
            sharpness: 150.0,
            sharpness_width: 1024,
            brightness: 140.0,
            black_share: 0.01,
            look: 0,
            greys: None,
            oddities: Vec::new(),
        }
    }

    /// The longer side, pixels.
    #[must_use]
    pub fn long_side(&self) -> u32 {
        self.width.max(self.height)
    }

    /// In how many of 64 bits the looks of two pictures differ.
    #[must_use]
    pub fn look_distance(&self, other: &Self) -> u32 {
        (self.look ^ other.look).count_ones()
    }
}
