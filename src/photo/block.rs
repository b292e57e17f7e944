//! The fields of an Exif block, whatever type their writers chose.

use exif::Exif;
use exif::In;
use exif::Tag;
use exif::Value;

use crate::kit::clock::CameraTime;

/// Type 129 of Exif 3.0, UTF-8 text, unknown to the Exif crate (number from memory).
const UTF8_TYPE: u16 = 129;

/// When the picture was taken: date, fraction, offset.
pub(in crate::photo) const TAKEN: [Tag; 3] = [
    Tag::DateTimeOriginal,
    Tag::SubSecTimeOriginal,
    Tag::OffsetTimeOriginal,
];

/// When it was stored, or scanned.
pub(in crate::photo) const STORED: [Tag; 3] = [
    Tag::DateTimeDigitized,
    Tag::SubSecTimeDigitized,
    Tag::OffsetTimeDigitized,
];

/// When the file was changed.
pub(in crate::photo) const CHANGED: [Tag; 3] = [Tag::DateTime, Tag::SubSecTime, Tag::OffsetTime];

/// An Exif block that could be read.
pub(in crate::photo) struct Block<'a>(pub(in crate::photo) &'a Exif);

impl Block<'_> {
    /// A time of date, fraction and offset.
    pub(in crate::photo) fn moment(
        &self,
        [date, fraction, offset]: [Tag; 3],
    ) -> Option<CameraTime> {
        let (fraction, offset) = (self.text(fraction), self.text(offset));
        CameraTime::from_exif(
            &self.raw_text(date)?,
            fraction.as_deref(),
            offset.as_deref(),
        )
    }

    /// The small picture of the second directory.
    pub(in crate::photo) fn thumbnail(&self) -> Option<&[u8]> {
        let number = |tag: Tag| {
            let value = &self.0.get_field(tag, In::THUMBNAIL)?.value;
            usize::try_from(value.get_uint(0)?).ok()
        };
        let start = number(Tag::JPEGInterchangeFormat)?;
        let length = number(Tag::JPEGInterchangeFormatLength)?;
        self.0.buf().get(start..start.checked_add(length)?)
    }

    /// The rationals of a field; none when one of the first three is no number.
    pub(in crate::photo) fn rationals(&self, tag: Tag) -> Option<Vec<f64>> {
        let Value::Rational(parts) = &self.0.get_field(tag, In::PRIMARY)?.value else {
            return None;
        };
        let numbers: Vec<f64> = parts.iter().take(3).map(exif::Rational::to_f64).collect();
        let whole = !numbers.is_empty() && numbers.iter().all(|it| it.is_finite());
        whole.then_some(numbers)
    }

    /// The first number of a field; some writers use the signed types.
    pub(in crate::photo) fn number(&self, tag: Tag) -> Option<u32> {
        let value = &self.0.get_field(tag, In::PRIMARY)?.value;
        let signed = match value {
            Value::SShort(all) => all.first().copied().map(i32::from),
            Value::SLong(all) => all.first().copied(),
            _ => return value.get_uint(0),
        };
        u32::try_from(signed?).ok()
    }

    /// The text of a field without blanks around it; none when nothing is left.
    pub(in crate::photo) fn text(&self, tag: Tag) -> Option<String> {
        self.raw_text(tag).filter(|it| !it.is_empty())
    }

    /// The text of a field without blanks around it, even when nothing is left.
    pub(in crate::photo) fn raw_text(&self, tag: Tag) -> Option<String> {
        let field = self.0.get_field(tag, In::PRIMARY)?;
        let bytes = match &field.value {
            Value::Ascii(lines) => lines.first()?.clone(),
            Value::Byte(bytes) | Value::Undefined(bytes, _) => bytes.clone(),
            Value::Unknown(UTF8_TYPE, count, at) => self.raw(*count, *at)?.to_vec(),
            _ => return None,
        };
        let text = String::from_utf8_lossy(&bytes);
        let blank = |c: char| c == '\0' || c.is_whitespace();
        Some(text.trim_matches(blank).replace(char::is_control, " "))
    }

    /// The bytes of a value of unknown type: inside the entry up to four, else where it points.
    fn raw(&self, count: u32, at: u32) -> Option<&[u8]> {
        let (count, at) = (usize::try_from(count).ok()?, usize::try_from(at).ok()?);
        let block = self.0.buf();
        if count <= 4 {
            return block.get(at..at + count);
        }
        let place = *block.get(at..)?.first_chunk()?;
        let place = if self.0.little_endian() {
            u32::from_le_bytes(place)
        } else {
            u32::from_be_bytes(place)
        };
        let place = usize::try_from(place).ok()?;
        block.get(place..place.checked_add(count)?)
    }
}
