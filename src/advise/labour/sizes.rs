//! A finding's measure, as people write it, in the unit in which a method counts.

use crate::kit::measure::Length;

/// More of one thing than this in one note is a slip of the pen.
const MOST: usize = 50;

/// The longest length in a text such as `70 mm`, `about 7 x 2 cm`, `3 mm at a height of 800 mm`: the first measure
/// alone; mm.
#[must_use]
pub fn length_mm(text: &str) -> Option<f64> {
    let sides = sides_mm(text)?;
    sides.into_iter().reduce(f64::max)
}

/// An area in a text such as `12 cm2`, `0.3 m2`, `300 x 200 mm`; m2.
#[must_use]
pub fn area_m2(text: &str) -> Option<f64> {
    let plain = text.replace('²', "2").to_lowercase();
    for (unit, scale) in [("mm2", 1e-6), ("cm2", 1e-4), ("m2", 1.0)] {
        if let Some((before, _)) = plain.split_once(unit) {
            return number_at_end(before).map(|it| it * scale);
        }
    }
    match sides_mm(text)?[..] {
        [a, b] => Some(a * b / 1e6),
        _ => None,
    }
}

/// A share in a text such as `30 %`; 0 to 1.
#[must_use]
pub fn share(text: &str) -> Option<f64> {
    let (before, _) = text.split_once('%')?;
    let share = number_at_end(before)? / 100.0;
    (0.0..=1.0).contains(&share).then_some(share)
}

/// A count in a text such as `3` or `3 holes`; `None` for a length.
#[must_use]
pub fn count(text: &str) -> Option<usize> {
    let first = text.split([' ', ',', ';']).find(|it| !it.is_empty())?;
    let number: usize = first.parse().ok()?;
    let is_length = sides_mm(text).is_some() || text.contains('%');
    (!is_length && (1..=MOST).contains(&number)).then_some(number)
}

/// The sides of the first measure, mm.
fn sides_mm(text: &str) -> Option<Vec<f64>> {
    let start = text.find(|c: char| c.is_ascii_digit())?;
    let plain = text[start..].replace(['×', 'X'], "x");
    let mut words = Vec::new();
    for word in plain.split([' ', ';', '(']) {
        let measure = |c: char| c.is_ascii_digit() || "x.,/".contains(c);
        let unit = word.trim_start_matches(measure);
        let is_unit = ["mm", "cm", "m", "in", "inch", "inches", "ft", "\"", ""].contains(&unit);
        if !is_unit {
            break;
        }
        words.push(word);
        // A unit ends the measure, unless another side follows.
        if !unit.is_empty()
            && !plain[plain.find(word)? + word.len()..]
                .trim_start()
                .starts_with('x')
        {
            break;
        }
    }
    let measure = words.join(" ");
    let sides: Vec<&str> = measure.split('x').map(str::trim).collect();
    let last = sides.last()?;
    let unit = last.trim_start_matches(|c: char| c.is_ascii_digit() || " .,/".contains(c));
    let mm = |side: &&str| {
        let bare = side
            .chars()
            .all(|c| c.is_ascii_digit() || " .,/".contains(c));
        let text = if bare {
            format!("{side} {unit}")
        } else {
            (*side).to_owned()
        };
        text.parse::<Length>().ok().map(|it| it.mm)
    };
    sides.iter().map(mm).collect()
}

fn number_at_end(text: &str) -> Option<f64> {
    let text = text.trim_end();
    let start = text
        .rfind(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
        .map_or(0, |at| {
            at + text[at..].chars().next().map_or(1, char::len_utf8)
        });
    text[start..].replace(',', ".").parse().ok()
}

/// The length of a unit such as `edge 200 mm` or `100 mm`.
pub(crate) fn step_mm(unit: &str) -> Option<f64> {
    let number = unit.strip_suffix(" mm")?;
    number.trim_start_matches("edge ").parse().ok()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::area_m2;
    use super::count;
    use super::length_mm;
    use super::share;

    #[test]
    fn measures_are_read_as_people_write_them() {
        for (text, mm) in [
            ("70 mm", Some(70.0)),
            ("about 7 cm along the edge", Some(70.0)),
            ("120 x 40 mm", Some(120.0)),
            ("12mm x 4cm", Some(40.0)),
            ("2 3/4 in", Some(69.85)),
            ("3 mm at 800 mm", Some(3.0)),
            ("70 mm (± 3 mm)", Some(70.0)),
            ("2.77 in (± 0.12 in)", Some(70.358)),
            ("56 x 43.4 mm (± 3 x 2.8 mm)", Some(56.0)),
            ("4", None),
            ("long", None),
            ("", None),
        ] {
            let got = length_mm(text);
            let near = got.zip(mm).is_some_and(|(a, b)| (a - b).abs() < 1e-9);
            assert!(near || got == mm, "{text}: {got:?}");
        }
        for (text, m2) in [
            ("12 cm2", 0.0012),
            ("0,3 m²", 0.3),
            ("300 x 200 mm", 0.06),
            ("240 mm2 (± 40 mm2)", 2.4e-4),
            ("56 x 43.4 mm (± 3 x 2.8 mm)", 0.0024304),
        ] {
            assert!((area_m2(text).unwrap() - m2).abs() < 1e-9, "{text}");
        }
        assert_eq!(
            (area_m2("70 mm"), share("about 30 %"), share("300 %")),
            (None, Some(0.3), None)
        );
        assert_eq!(
            (
                count("3"),
                count("3 holes"),
                count("3 mm"),
                count("0"),
                count("30 %")
            ),
            (Some(3), Some(3), None, None, None)
        );
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_not(text in any::<String>(), tail in "[0-9x ./,mcin%2\"×²]{0,12}") {
            for text in [text, tail] {
                let _ = (length_mm(&text), area_m2(&text), share(&text), count(&text));
            }
        }
    }
}
