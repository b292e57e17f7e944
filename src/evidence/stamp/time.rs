//! The time in a stamp: GeneralizedTime with fractions of a second (RFC 3161, section 2.4.2), and how far off it may be.

use der::Any;
use der::Tag;
use der::Tagged as _;

use crate::kit::clock::Moment;

/// When an authority says it stamped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StampTime {
    /// The whole second, in UTC.
    pub second: Moment,
    /// Billionths of a second after it; finer digits are left out.
    pub nanos: u32,
}

/// How far the true time may lie from the stated one, either way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Accuracy {
    /// Seconds.
    pub seconds: u64,
    /// Millionths of a second, 0 to 999 999.
    pub micros: u32,
}

impl StampTime {
    /// Reads a GeneralizedTime: `YYYYMMDDhhmmss`, at will a point and digits, `Z`; `None` for anything else.
    pub(crate) fn read(any: &Any) -> Option<Self> {
        if any.tag() != Tag::GeneralizedTime || any.value().len() > 64 {
            return None;
        }
        let text = std::str::from_utf8(any.value()).ok()?.strip_suffix('Z')?;
        let (whole, fraction) = match text.split_once('.') {
            Some((whole, fraction)) if !fraction.is_empty() => (whole, fraction),
            Some(_) => return None,
            None => (text, ""),
        };
        let digits = |it: &str| it.bytes().all(|it| it.is_ascii_digit());
        if whole.len() != 14 || !digits(whole) || !digits(fraction) || &whole[12..] > "59" {
            return None;
        }
        let at = |from: usize| &whole[from..from + 2];
        let spelled = format!(
            "{}-{}-{}T{}:{}:{}Z",
            &whole[..4],
            at(4),
            at(6),
            at(8),
            at(10),
            at(12)
        );
        let nanos: String = fraction.chars().take(9).collect();
        Some(Self {
            second: spelled.parse().ok()?,
            nanos: format!("{nanos:0<9}").parse().ok()?,
        })
    }

    /// The first whole second that is surely not before the true time; `None` when that is beyond the calendar.
    ///
    /// This is what a stamp proves: what was stamped was there no later than this.
    #[must_use]
    pub fn at_latest(&self, accuracy: Option<Accuracy>) -> Option<Moment> {
        let off = accuracy.unwrap_or(Accuracy {
            seconds: 0,
            micros: 0,
        });
        let nanos = u64::from(self.nanos) + u64::from(off.micros) * 1000;
        let more = off.seconds.checked_add(nanos.div_ceil(1_000_000_000))?;
        self.second.later(i64::try_from(more).ok()?)
    }
}

impl Accuracy {
    /// From the parts of RFC 3161, of which thousandths and millionths go from 1 to 999.
    pub(crate) fn read(it: &x509_tsp::Accuracy) -> Option<Self> {
        let part = |it: Option<i16>| match it {
            None => Some(0),
            Some(it) => u32::try_from(it).ok().filter(|it| (1..=999).contains(it)),
        };
        Some(Self {
            seconds: it.seconds.unwrap_or(0),
            micros: part(it.millis)? * 1000 + part(it.micros)?,
        })
    }
}

#[cfg(test)]
mod tests {
    use der::Any;
    use der::Tag;

    use super::Accuracy;
    use super::StampTime;

    fn read(text: &str) -> Option<StampTime> {
        StampTime::read(&Any::new(Tag::GeneralizedTime, text.as_bytes()).unwrap())
    }

    /// The examples of RFC 3161, section 2.4.2, and spellings of ISO 8601 that it forbids.
    #[test]
    fn times_are_read_with_their_fractions() {
        let time = read("19990609001326.34352Z").unwrap();
        assert_eq!(time.second.to_string(), "1999-06-09T00:13:26Z");
        assert_eq!(time.nanos, 343_520_000);
        let bare = read("20260621180000Z").unwrap();
        assert_eq!(
            (bare.second.to_string(), bare.nanos),
            ("2026-06-21T18:00:00Z".to_owned(), 0)
        );
        assert_eq!(
            read("20260621180000.1234567891234Z").unwrap().nanos,
            123_456_789
        );
        for wrong in [
            "",
            "Z",
            "20260621180000",
            "20260621180000.Z",
            "20260621180000,5Z",
            "20260621180000.5+0100",
            "202606211800Z",
            "20261321180000Z",
            "20260230180000Z",
            "20260621250000Z",
            "20260621180060Z",
            "2026062118000éZ",
            "20260621180000.-1Z",
            "+0260621180000Z",
        ] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
        let utc = Any::new(Tag::UtcTime, b"260621180000Z".as_slice()).unwrap();
        assert_eq!(StampTime::read(&utc), None);
    }

    #[test]
    fn the_latest_time_is_never_too_early() {
        let time = read("20260621180000.5Z").unwrap();
        let off = |seconds, micros| Some(Accuracy { seconds, micros });
        for (off, want) in [
            (None, "2026-06-21T18:00:01Z"),
            (off(0, 500_000), "2026-06-21T18:00:01Z"),
            (off(0, 500_001), "2026-06-21T18:00:02Z"),
            (off(59, 600_000), "2026-06-21T18:01:01Z"),
        ] {
            assert_eq!(time.at_latest(off).unwrap().to_string(), want);
        }
        let whole = read("20260621180000Z").unwrap();
        assert_eq!(whole.at_latest(None), Some(whole.second));
        assert_eq!(whole.at_latest(off(u64::MAX, 0)), None);
        assert_eq!(whole.at_latest(off(1 << 60, 0)), None);
    }
}
