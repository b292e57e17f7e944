//! Where what a camera wrote does not fit together; facts, not accusations.

use exif::Tag;

use crate::kit::clock::CameraTime;
use crate::model::facts::Oddity;
use crate::photo::block::Block;
use crate::photo::block::CHANGED;
use crate::photo::block::STORED;

/// Seconds of a day.
const DAY: i64 = 86_400;

/// Taken and stored are one moment for a camera; a slow one takes up to a minute.
const STORING: i64 = 60;

/// The editions of the Exif standard with the year in which each came out (CIPA DC-008 and its forerunners; years from
/// memory).
const EDITIONS: [(&str, &str, i16); 6] = [
    ("0220", "2.2", 2002),
    ("0221", "2.21", 2003),
    ("0230", "2.3", 2010),
    ("0231", "2.31", 2016),
    ("0232", "2.32", 2019),
    ("0300", "3.0", 2023),
];

impl Block<'_> {
    /// What does not fit the time at which the picture is said to be taken.
    pub(in crate::photo) fn contradictions(&self, taken: CameraTime) -> Vec<Oddity> {
        let stored = self.moment(STORED);
        let changed = self.moment(CHANGED);
        let satellite = self.satellite_time();
        let edition = self.text(Tag::ExifVersion);
        let edition = edition.and_then(|it| EDITIONS.into_iter().find(|known| known.0 == it));
        [
            satellite
                .filter(|it| taken.apart_at_least(*it) > DAY)
                .map(|satellite| Oddity::SatelliteDate {
                    camera: taken,
                    satellite,
                }),
            stored
                .filter(|it| later(taken, *it).abs() > STORING)
                .map(|stored| Oddity::StoredAtOtherTime { taken, stored }),
            changed
                .filter(|it| later(taken, *it) > DAY)
                .map(|changed| Oddity::ChangedLater { taken, changed }),
            edition
                .filter(|it| taken.day().year() < it.2)
                .map(|(_, edition, year)| Oddity::BeforeItsStandard {
                    taken,
                    edition: edition.to_owned(),
                    year,
                }),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    /// The satellites' date and time, UTC; where they give no time, noon, which is at most half a day wrong.
    fn satellite_time(&self) -> Option<CameraTime> {
        let day = self.text(Tag::GPSDateStamp)?.replace('-', ":");
        let time = self.rationals(Tag::GPSTimeStamp).unwrap_or_default();
        let time = match time[..] {
            [hours, minutes, seconds] => {
                format!("{hours:02.0}:{minutes:02.0}:{:02}", seconds.floor())
            }
            _ => "12:00:00".to_owned(),
        };
        CameraTime::from_exif(&format!("{day} {time}"), None, Some("+00:00"))
    }
}

/// By how much a time lies after another of the same clock, seconds.
fn later(before: CameraTime, after: CameraTime) -> i64 {
    let local = (after.sort_key() - before.sort_key()) / 1000;
    match before.knows_offset() && after.knows_offset() {
        true => before.apart_at_least(after) * local.signum(),
        false => local,
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::clock::CameraTime;
    use crate::model::facts::Format;
    use crate::model::facts::Oddity;
    use crate::photo::camera::read;
    use samples::Exif;

    fn told(exif: Exif) -> Vec<Oddity> {
        read(&samples::jpeg(16, 9, &exif), Format::Jpeg).oddities
    }

    fn taken() -> Exif {
        Exif::taken("2026:05:03 10:02:11")
    }

    fn at(text: &str) -> CameraTime {
        text.parse().unwrap()
    }

    #[test]
    fn the_satellites_date_is_compared_as_far_as_offsets_are_known() {
        let with = |day: &str, hour: u32, offset: Option<&str>| {
            told(Exif {
                satellite: Some((day.to_owned(), [hour, 2, 11])),
                offset: offset.map(str::to_owned),
                ..taken()
            })
        };
        assert_eq!(with("2026:05:03", 8, Some("+02:00")), []);
        assert_eq!(with("2026:05:02", 8, Some("+02:00")), []);
        // Without an offset a day and the farthest clock may lie between.
        assert_eq!(with("2026:05:04", 22, None), []);
        let odd = with("2026:05:04", 23, None);
        assert!(
            matches!(&odd[..], [Oddity::SatelliteDate { .. }]),
            "{odd:?}"
        );
        assert_eq!(
            with("2026:05:01", 8, Some("+02:00")),
            [Oddity::SatelliteDate {
                camera: at("2026-05-03T10:02:11+02:00"),
                satellite: at("2026-05-01T08:02:11+00:00"),
            }]
        );
    }

    #[test]
    fn three_dates_that_differ_are_told() {
        let stored = |text: &str| {
            told(Exif {
                stored: Some(text.to_owned()),
                ..taken()
            })
        };
        assert_eq!(stored("2026:05:03 10:03:11"), []);
        assert_eq!(
            stored("2026:05:03 10:03:12"),
            [Oddity::StoredAtOtherTime {
                taken: at("2026-05-03T10:02:11"),
                stored: at("2026-05-03T10:03:12"),
            }]
        );
        let changed = |text: &str| {
            told(Exif {
                changed: Some(text.to_owned()),
                ..taken()
            })
        };
        assert_eq!(changed("2026:05:04 10:02:11"), []);
        assert_eq!(
            changed("2026:05:06 10:02:11"),
            [Oddity::ChangedLater {
                taken: at("2026-05-03T10:02:11"),
                changed: at("2026-05-06T10:02:11"),
            }]
        );
    }

    #[test]
    fn a_date_before_the_standard_it_is_written_in_is_told() {
        let with = |time: &str, edition: &str| {
            told(Exif {
                edition: Some(edition.to_owned()),
                ..Exif::taken(time)
            })
        };
        assert_eq!(with("2016:01:01 00:00:00", "0231"), []);
        assert_eq!(with("2015:12:31 23:59:59", "0230"), []);
        assert_eq!(with("2015:12:31 23:59:59", "9999"), []);
        assert_eq!(
            with("2015:12:31 23:59:59", "0231"),
            [Oddity::BeforeItsStandard {
                taken: at("2015-12-31T23:59:59"),
                edition: "2.31".to_owned(),
                year: 2016,
            }]
        );
    }
}
