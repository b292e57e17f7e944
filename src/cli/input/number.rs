//! Numbers as typed on the command line. What is none is told in words, with an example.

use std::ops::RangeInclusive;

/// Reads a whole number, such as that of a photo.
pub(in crate::cli) fn whole(text: &str) -> Result<u32, String> {
    let wrong = |_| format!("`{text}` is not a whole number from 0 up, such as `3`");
    text.trim().parse().map_err(wrong)
}

/// Reads a number of percent or degrees.
pub(in crate::cli) fn decimal(text: &str) -> Result<f64, String> {
    let number: Option<f64> = text.trim().parse().ok();
    let number = number.filter(|it| it.is_finite());
    number.ok_or_else(|| format!("`{text}` is not a number, such as `45` or `7.5`"))
}

/// Reads how many drawers lie in a row; 0 alone says that there is none.
pub(in crate::cli) fn drawers(text: &str) -> Result<u8, String> {
    const DRAWERS: RangeInclusive<u8> = 0..=12;
    let number = text.trim().parse().ok().filter(|it| DRAWERS.contains(it));
    number.ok_or_else(|| {
        format!(
            "`{text}` is not a number of drawers in a row, from 1 to 12; two over three is `2,1,1,1`"
        )
    })
}

/// Reads a port.
pub(in crate::cli) fn port(text: &str) -> Result<u16, String> {
    let number = text.trim().parse().ok().filter(|it| *it > 0);
    number.ok_or_else(|| format!("`{text}` is not a port, a number from 1 to 65535"))
}

#[cfg(test)]
mod tests {
    use super::decimal;
    use super::drawers;
    use super::port;
    use super::whole;

    #[test]
    fn numbers_are_read_and_others_named() {
        assert_eq!(whole(" 3"), Ok(3));
        assert_eq!(decimal("-7.5"), Ok(-7.5));
        assert_eq!((drawers("12"), port("65535")), (Ok(12), Ok(65535)));
        for text in ["", "x", "-1", "3.5", "4294967296"] {
            let said = whole(text).unwrap_err();
            assert_eq!(
                said,
                format!("`{text}` is not a whole number from 0 up, such as `3`")
            );
        }
        for text in ["", "warm", "nan", "inf", "7,5"] {
            assert!(decimal(text).is_err(), "{text}");
        }
        assert_eq!(drawers("0"), Ok(0));
        for text in ["-1", "13", "300"] {
            assert!(drawers(text).is_err(), "{text}");
        }
        for text in ["0", "65536", "x"] {
            assert!(port(text).is_err(), "{text}");
        }
    }
}
