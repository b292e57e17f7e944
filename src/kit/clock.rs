//! Time: the moment now (which tests fix), days, what a camera claims, and by how much its clock was off.

use std::fmt;
use std::str::FromStr;

use jiff::SignedDuration;
use jiff::Span;
use jiff::SpanRelativeTo;
use jiff::SpanRound;
use jiff::Timestamp;
use jiff::Unit;
use jiff::civil::Date;
use jiff::civil::DateTime;
use jiff::fmt::friendly::Designator;
use jiff::fmt::friendly::Direction;
use jiff::fmt::friendly::Spacing;
use jiff::fmt::friendly::SpanPrinter;
use jiff::tz::Offset;
use jiff::tz::TimeZone;
use serde::Deserialize;
use serde::Serialize;

/// A moment on the world's clock; prints as RFC 3339 in UTC, to the second.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Moment(Timestamp);

/// A day of the civil calendar; prints as `2026-05-03`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Day(Date);

/// What a camera claims: its local time, and its offset from UTC where it says so.
///
/// Prints as `2026-05-03T10:02:11+01:00`, or without the offset when the camera gave none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct CameraTime {
    local: DateTime,
    offset: Option<Offset>,
}

/// How much must be added to a camera's clock, in seconds; written `+1d1h`, `-2h30m`.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct ClockOff {
    /// Seconds to add; negative when the clock was ahead.
    pub seconds: i64,
}

/// The clocks farthest from UTC, seconds: +14:00 and -12:00 (time zone database).
const FARTHEST_EAST: i64 = 14 * 3600;
const FARTHEST_WEST: i64 = 12 * 3600;

/// Why a text is no time.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum ClockError {
    /// Not an RFC 3339 moment.
    #[error("`{0}` is not a moment like `2026-05-03T10:02:11Z`")]
    Moment(String),
    /// Not a day.
    #[error("`{0}` is not a day like `2026-05-03`")]
    Day(String),
    /// Written as a day, but the calendar has none such.
    #[error("there is no day `{0}`: that month has fewer")]
    NoSuchDay(String),
    /// Not what a camera writes.
    #[error("`{0}` is not a camera time")]
    Camera(String),
    /// Not a correction.
    #[error("`{0}` is not a clock correction; write what to add, such as `+1d1h` or `-2h30m`")]
    Off(String),
}

impl Moment {
    /// The moment now, by this machine's clock.
    #[must_use]
    pub fn now() -> Self {
        Self::from_timestamp(Timestamp::now())
    }

    fn from_timestamp(time: Timestamp) -> Self {
        Self(Timestamp::from_second(time.as_second()).unwrap_or(time))
    }

    /// Its day in UTC.
    #[must_use]
    pub fn day(self) -> Day {
        Day(self.0.to_zoned_datetime(TimeZone::UTC).date())
    }

    /// Its day on this machine's calendar.
    #[must_use]
    pub fn local_day(self) -> Day {
        Day(self.0.to_zoned_datetime(TimeZone::system()).date())
    }

    /// Seconds since 1970.
    #[must_use]
    pub fn unix(self) -> i64 {
        self.0.as_second()
    }

    /// So many seconds later; `None` beyond the calendar.
    #[must_use]
    pub fn later(self, seconds: i64) -> Option<Self> {
        let time = Timestamp::from_second(self.unix().checked_add(seconds)?);
        time.ok().map(Self)
    }
}

impl Day {
    /// Its year.
    #[must_use]
    pub fn year(self) -> i16 {
        self.0.year()
    }

    /// Its month, 1 to 12.
    #[must_use]
    pub fn month(self) -> i8 {
        self.0.month()
    }

    /// Its day of the month, 1 to 31.
    #[must_use]
    pub fn of_month(self) -> i8 {
        self.0.day()
    }

    /// Whole days from `self` to `other`.
    #[must_use]
    pub fn days_to(self, other: Self) -> i64 {
        other.0.duration_since(self.0).as_hours() / 24
    }

    /// So many days later; the last day there is, where that lies beyond it.
    #[must_use]
    pub fn later(self, days: i64) -> Self {
        let span = jiff::Span::new().try_days(days);
        span.map_or(self, |it| Self(self.0.saturating_add(it)))
    }

    /// For people: `3 May 2026`.
    #[must_use]
    pub fn spoken(self) -> String {
        self.0.strftime("%-d %B %-Y").to_string()
    }
}

impl CameraTime {
    /// From Exif text: `YYYY:MM:DD HH:MM:SS`, fraction digits, `±HH:MM`.
    ///
    /// `None` for blanks, for the year 0 and for anything that is no date (Exif 2.31, DateTimeOriginal).
    #[must_use]
    pub fn from_exif(text: &str, fraction: Option<&str>, offset: Option<&str>) -> Option<Self> {
        let text = text.trim_end_matches('\0').trim();
        let (day, time) = text.split_once(' ')?;
        let local: DateTime = format!("{}T{}", day.replace(':', "-"), time.trim())
            .parse()
            .ok()?;
        if local.year() < 1 {
            return None;
        }
        let digits: String = fraction.unwrap_or("").trim().chars().take(9).collect();
        let nanos = format!("{digits:0<9}").parse().unwrap_or(0);
        let local = local.with().subsec_nanosecond(nanos).build().ok()?;
        Some(Self {
            local,
            offset: offset.and_then(exif_offset),
        })
    }

    /// This time with the correction added.
    #[must_use]
    pub fn corrected(self, off: ClockOff) -> Self {
        let local = self
            .local
            .saturating_add(SignedDuration::from_secs(off.seconds));
        Self { local, ..self }
    }

    /// The day on the camera's own calendar.
    #[must_use]
    pub fn day(self) -> Day {
        Day(self.local.date())
    }

    /// A number that sorts by the camera's local clock, in milliseconds.
    #[must_use]
    pub fn sort_key(self) -> i64 {
        let utc = self.local.to_zoned_datetime(TimeZone::UTC);
        utc.map_or(i64::MIN, |it| it.timestamp().as_millisecond())
    }

    /// The instant, in milliseconds since 1970; `None` when the camera does not say its offset from UTC.
    #[must_use]
    pub fn instant(self) -> Option<i64> {
        let offset = i64::from(self.offset?.seconds());
        Some(self.sort_key() - offset * 1000)
    }

    /// Whether the claim lies later than `now` by more than a day, whatever the offset.
    #[must_use]
    pub fn is_after(self, now: Moment) -> bool {
        self.sort_key() / 1000 > now.unix() + 86_400
    }

    /// Whether the camera said its offset from UTC.
    #[must_use]
    pub fn knows_offset(self) -> bool {
        self.offset.is_some()
    }

    /// The least that can lie between two camera times, seconds: of one without an offset, any offset on earth may be meant.
    #[must_use]
    pub fn apart_at_least(self, other: Self) -> i64 {
        let span = |it: Self| {
            let local = it.sort_key() / 1000;
            match it.offset {
                Some(offset) => [local - i64::from(offset.seconds()); 2],
                None => [local - FARTHEST_EAST, local + FARTHEST_WEST],
            }
        };
        let ([from, to], [other_from, other_to]) = (span(self), span(other));
        (from - other_to).max(other_from - to).max(0)
    }

    /// Its hour and minute, by the camera's local clock.
    #[must_use]
    pub fn clock(self) -> (i8, i8) {
        let time = self.local.time();
        (time.hour(), time.minute())
    }

    /// For people: `3 May 2026, 10:02`.
    #[must_use]
    pub fn spoken(self) -> String {
        let (day, time) = (Day(self.local.date()), self.local.time());
        format!("{}, {:02}:{:02}", day.spoken(), time.hour(), time.minute())
    }
}

fn exif_offset(text: &str) -> Option<Offset> {
    let text = text.trim_end_matches('\0').trim();
    let sign = match text.as_bytes().first()? {
        b'+' => 1,
        b'-' => -1,
        _ => return None,
    };
    let (hours, minutes) = text[1..].split_once(':')?;
    let (hours, minutes): (i32, i32) = (hours.parse().ok()?, minutes.parse().ok()?);
    Offset::from_seconds(sign * (hours * 3600 + minutes * 60)).ok()
}

impl FromStr for Moment {
    type Err = ClockError;

    fn from_str(text: &str) -> Result<Self, ClockError> {
        let time: Result<Timestamp, _> = text.parse();
        time.map(Self::from_timestamp)
            .map_err(|_| ClockError::Moment(text.to_owned()))
    }
}

impl FromStr for Day {
    type Err = ClockError;

    fn from_str(text: &str) -> Result<Self, ClockError> {
        let day: Result<Date, _> = text.parse();
        day.map(Self).map_err(|_| match is_of_the_calendar(text) {
            true => ClockError::NoSuchDay(text.to_owned()),
            false => ClockError::Day(text.to_owned()),
        })
    }
}

/// Whether a text is a year, a month of it, and a number that some month has as a day.
fn is_of_the_calendar(text: &str) -> bool {
    let parts: Vec<Option<u16>> = text.split('-').map(|it| it.parse().ok()).collect();
    let lengths: Vec<usize> = text.split('-').map(str::len).collect();
    lengths == [4, 2, 2] && matches!(parts[..], [Some(_), Some(1..=12), Some(1..=31)])
}

impl FromStr for CameraTime {
    type Err = ClockError;

    fn from_str(text: &str) -> Result<Self, ClockError> {
        let wrong = || ClockError::Camera(text.to_owned());
        let zone_at = text.rfind(['+', '-', 'Z']).filter(|at| *at > 10);
        let (local, offset) = text.split_at(zone_at.unwrap_or(text.len()));
        let offset = match offset {
            "" => None,
            "Z" => Some(Offset::UTC),
            other => Some(exif_offset(other).ok_or_else(wrong)?),
        };
        let local = local.parse().map_err(|_| wrong())?;
        Ok(Self { local, offset })
    }
}

impl FromStr for ClockOff {
    type Err = ClockError;

    fn from_str(text: &str) -> Result<Self, ClockError> {
        let wrong = || ClockError::Off(text.to_owned());
        let plain = text.trim();
        // Of what jiff reads, only the short form and units of fixed length: no months, no `ago`.
        let fixed = |it: u8| it.is_ascii_digit() || b"dhms".contains(&it);
        if !plain.starts_with(['+', '-']) || !plain.bytes().skip(1).all(fixed) {
            return Err(wrong());
        }
        let span: Span = plain.parse().map_err(|_| wrong())?;
        let time = span.to_duration(SpanRelativeTo::days_are_24_hours());
        let time = time.map_err(|_| wrong())?;
        // A correction of more than a century is a slip of the finger.
        if time.subsec_nanos() != 0 || time.as_secs().abs() > 100 * 366 * 86_400 {
            return Err(wrong());
        }
        Ok(Self {
            seconds: time.as_secs(),
        })
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Display for CameraTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.local.fmt(f)?;
        let Some(offset) = self.offset else {
            return Ok(());
        };
        let minutes = offset.seconds() / 60;
        let sign = if minutes < 0 { '-' } else { '+' };
        write!(
            f,
            "{sign}{:02}:{:02}",
            minutes.abs() / 60,
            minutes.abs() % 60
        )
    }
}

/// Prints `+1d1h`; `+0s` for no correction.
impl fmt::Display for ClockOff {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let whole = SpanRound::new().largest(Unit::Day).days_are_24_hours();
        let span = Span::new().try_seconds(self.seconds);
        let span = span.and_then(|it| it.round(whole)).unwrap_or_default();
        let printer = SpanPrinter::new()
            .designator(Designator::Compact)
            .spacing(Spacing::None)
            .direction(Direction::ForceSign);
        f.write_str(&printer.span_to_string(&span))
    }
}

/// Serde reads and writes each of these as its printed text.
macro_rules! as_text {
    ($($kind:ty),*) => {$(
        impl TryFrom<String> for $kind {
            type Error = ClockError;

            fn try_from(text: String) -> Result<Self, ClockError> {
                text.parse()
            }
        }

        impl From<$kind> for String {
            fn from(it: $kind) -> Self {
                it.to_string()
            }
        }
    )*};
}

as_text!(Moment, Day, CameraTime);

#[cfg(test)]
mod tests {
    use super::CameraTime;
    use super::ClockOff;
    use super::Day;
    use super::Moment;

    #[test]
    fn what_lies_between_two_times_at_least() {
        let at = |text: &str, offset: Option<&str>| {
            super::CameraTime::from_exif(text, None, offset).unwrap()
        };
        let satellite = at("2026:05:03 10:00:00", Some("+00:00"));
        for (text, offset, least) in [
            ("2026:05:03 12:00:00", Some("+02:00"), 0),
            ("2026:05:03 12:00:00", None, 0),
            ("2026:05:04 00:00:00", None, 0),
            ("2026:05:05 00:00:00", None, 24 * 3600),
            ("2026:05:01 21:00:00", None, 25 * 3600),
            ("2026:05:05 10:00:00", Some("-02:00"), 50 * 3600),
        ] {
            let it = at(text, offset);
            assert_eq!(it.apart_at_least(satellite), least, "{text} {offset:?}");
            assert_eq!(satellite.apart_at_least(it), least, "{text} {offset:?}");
        }
    }

    #[test]
    fn camera_times_are_read_as_claimed() {
        let time = CameraTime::from_exif("2023:02:21 14:33:08\0", Some("302"), Some("+03:00"));
        assert_eq!(time.unwrap().to_string(), "2023-02-21T14:33:08.302+03:00");
        let bare = CameraTime::from_exif("2018:07:31 14:52:07", None, None).unwrap();
        assert_eq!(bare.to_string(), "2018-07-31T14:52:07");
        assert!(!bare.knows_offset());
        for wrong in [
            "    :  :     :  :  ",
            "0000:00:00 00:00:00",
            "",
            "yesterday",
            "2023:13:40 99:00:00",
        ] {
            assert_eq!(CameraTime::from_exif(wrong, None, None), None, "{wrong}");
        }
        for text in [
            "2023-02-21T14:33:08.302+03:00",
            "2018-07-31T14:52:07",
            "2020-01-01T00:00:00-06:30",
        ] {
            assert_eq!(text.parse::<CameraTime>().unwrap().to_string(), text);
        }
    }

    #[test]
    fn a_correction_is_added_and_prints_as_written() {
        let claimed: CameraTime = "2026-05-01T17:28:20+02:00".parse().unwrap();
        let off: ClockOff = "+1d1h".parse().unwrap();
        assert_eq!(
            claimed.corrected(off).to_string(),
            "2026-05-02T18:28:20+02:00"
        );
        assert_eq!(off.to_string(), "+1d1h");
        assert_eq!("-2h30m".parse::<ClockOff>().unwrap().seconds, -9000);
        for (seconds, text) in [
            (0, "+0s"),
            (-9_000, "-2h30m"),
            (59, "+59s"),
            (400 * 86_400 + 61, "+400d1m1s"),
            (-36_500 * 86_400, "-36500d"),
        ] {
            assert_eq!(ClockOff { seconds }.to_string(), text);
            assert_eq!(text.parse(), Ok(ClockOff { seconds }));
        }
        for wrong in [
            "",
            "+",
            "1d",
            "+1",
            "+d",
            "+1y",
            "+99999999999d",
            "+1d1",
            "+36601d",
            "+1mo",
            "+1w",
            "+1.5h",
            "+1ms",
            "+P1D",
            "+1d ago",
        ] {
            assert!(wrong.parse::<ClockOff>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn days_and_moments() {
        let (a, b): (Day, Day) = ("2026-05-03".parse().unwrap(), "2026-06-01".parse().unwrap());
        assert_eq!((a.days_to(b), a.spoken()), (29, "3 May 2026".to_owned()));
        assert_eq!((a.later(29), a.later(0)), (b, a));
        let now: Moment = "2026-05-03T10:02:11.5Z".parse().unwrap();
        assert_eq!(now.to_string(), "2026-05-03T10:02:11Z");
        let late: CameraTime = "2027-01-01T00:00:00".parse().unwrap();
        assert!(late.is_after(now));
    }
}
