//! Pictures for the marking page: small, middle, and with every pixel.

use std::str::FromStr;

use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::facts::Format;
use crate::model::facts::Oddity;
use crate::model::photo::Photo;
use crate::photo::Limits;
use crate::photo::PhotoProcessor;
use crate::work::WorkError;
use crate::work::marking::At;
use crate::work::marking::MarkingSession;
use crate::work::report::crops::keep_both;
use crate::work::report::crops::unchanged;

/// Quality of a full picture that a browser cannot read as it is.
const QUALITY: u8 = 90;

/// How large a picture is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureKind {
    /// 320 pixels on the long side.
    Thumb,
    /// 1600 pixels.
    Middle,
    /// Every pixel.
    Full,
}

/// The word is none of `thumb`, `middle` and `full`.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no kind of picture; the kinds are thumb, middle, full")]
pub struct PictureKindError(String);

impl FromStr for PictureKind {
    type Err = PictureKindError;

    fn from_str(text: &str) -> Result<Self, PictureKindError> {
        match text {
            "thumb" => Ok(Self::Thumb),
            "middle" => Ok(Self::Middle),
            "full" => Ok(Self::Full),
            _ => Err(PictureKindError(text.to_owned())),
        }
    }
}

/// A picture as a browser shows it upright.
#[derive(Clone, Debug)]
pub struct Picture {
    /// A JPEG; that of a full picture may carry its orientation as Exif says it.
    pub bytes: Vec<u8>,
    /// Its media type.
    pub media_type: &'static str,
    /// SHA-256 of the original that it was made from.
    pub digest: Digest,
}

impl MarkingSession {
    /// A picture of a photo.
    ///
    /// # Errors
    /// When there is no such photo, or its original is gone or no longer what was taken in.
    pub fn picture(
        &self,
        now: Moment,
        photo: u32,
        kind: PictureKind,
    ) -> Result<Picture, WorkError> {
        let at = self.at(now, photo)?;
        let bytes = match kind {
            PictureKind::Thumb => small(&at, "thumb")?,
            PictureKind::Middle => small(&at, "preview")?,
            PictureKind::Full => full(&at)?,
        };
        Ok(Picture {
            bytes,
            media_type: "image/jpeg",
            digest: at.photo.digest,
        })
    }
}

/// A kept small picture; made from the original where it is not there.
pub(super) fn small(at: &At, kind: &str) -> Result<Vec<u8>, WorkError> {
    let mut previews = at.book.previews()?;
    if let Some(it) = previews.get(at.photo.digest, kind)? {
        return Ok(it.jpeg);
    }
    let bytes = original(at)?;
    let look = PhotoProcessor::new(Limits::default()).process(&bytes);
    let look = look.map_err(|error| WorkError::asked(error.to_string()))?;
    let [preview, thumb] = keep_both(&mut previews, at.photo.digest, look.preview, look.thumb)?;
    Ok(match kind {
        "preview" => preview.jpeg,
        _ => thumb.jpeg,
    })
}

/// A JPEG that browsers turn upright themselves goes as it is; anything else is made one.
fn full(at: &At) -> Result<Vec<u8>, WorkError> {
    let bytes = original(at)?;
    if is_plain(&at.photo) {
        return Ok(bytes);
    }
    let made = PhotoProcessor::new(Limits::default()).shrink(&bytes, u32::MAX, QUALITY);
    let made = made.map_err(|error| WorkError::asked(error.to_string()))?;
    Ok(made.jpeg)
}

fn is_plain(photo: &Photo) -> bool {
    let doubtful = |it: &Oddity| {
        matches!(
            it,
            Oddity::OrientationOdd(_) | Oddity::SeveralExif | Oddity::ExifUnreadable(_)
        )
    };
    photo.facts.format == Format::Jpeg && !photo.facts.oddities.iter().any(doubtful)
}

fn original(at: &At) -> Result<Vec<u8>, WorkError> {
    unchanged(&at.original(), at.photo.digest).ok_or_else(|| {
        WorkError::asked_with(
            format!(
                "the original of picture {} is gone, or is no longer what was taken in",
                at.photo.no
            ),
            "`asfound verify --heal FOLDER` puts it back from a copy",
        )
    })
}
