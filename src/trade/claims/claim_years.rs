//! Years, decades and centuries as people write them.

/// Years that may be one of making; a later one is a day in the life of the record.
const YEARS: std::ops::RangeInclusive<i16> = 1400..=1999;
/// How far `about` reaches to either side, years (common practice, no source).
const ABOUT: i16 = 10;
/// Words for `about`.
const ABOUT_WORDS: [&str; 6] = ["about", "around", "circa", "c", "ca", "um"];
/// Centuries in letters, from the fifteenth on.
const CENTURIES: [&str; 6] = [
    "fifteenth",
    "sixteenth",
    "seventeenth",
    "eighteenth",
    "nineteenth",
    "twentieth",
];

/// The year of a word such as `1880`.
pub(in crate::trade) fn year(word: &str) -> Option<i16> {
    let year: i16 = word.parse().ok()?;
    (word.len() == 4 && YEARS.contains(&year)).then_some(year)
}

/// The first year of a word such as `1880s`.
pub(in crate::trade) fn decade(word: &str) -> Option<i16> {
    let year = year(word.strip_suffix('s')?)?;
    (year % 10 == 0).then_some(year)
}

/// The number of a word such as `19th` or `nineteenth`.
pub(in crate::trade) fn century(word: &str) -> Option<i16> {
    let named = CENTURIES.iter().zip(15..).find(|it| *it.0 == word);
    let number = || word.strip_suffix("th")?.parse::<i16>().ok();
    let number = named.map(|it| it.1).or_else(number)?;
    (15..=20).contains(&number).then_some(number)
}

/// The first and the last year that such words mean; `None` for words without a number.
#[must_use]
pub fn years_meant(text: &str) -> Option<[i16; 2]> {
    let text = text.to_lowercase();
    let words: Vec<&str> = text
        .split(|it: char| !it.is_alphanumeric())
        .filter(|it| !it.is_empty())
        .collect();
    let about = words.iter().any(|it| ABOUT_WORDS.contains(it));
    words.iter().find_map(|word| {
        let year = year(word).map(|it| match about {
            true => [it - ABOUT, it + ABOUT],
            false => [it, it],
        });
        let decade = || {
            let first = decade(word)?;
            Some([first, first + if first % 100 == 0 { 99 } else { 9 }])
        };
        let century = || century(word).map(|it| [(it - 1) * 100 + 1, it * 100]);
        year.or_else(decade).or_else(century)
    })
}

/// The first and the last year that an age such as `140 years old` means, told in this year; `None` without a number of years.
#[must_use]
pub fn years_of_age(text: &str, today: i16) -> Option<[i16; 2]> {
    let text = text.to_lowercase();
    let age = match text.contains("hundred") || text.contains("a century") {
        true => 100,
        false => {
            let mut words = text.split(|it: char| !it.is_ascii_digit());
            words.find_map(|it| it.parse::<i16>().ok())?
        }
    };
    let year = today.checked_sub(age)?;
    Some([year - ABOUT, year + ABOUT])
}

#[cfg(test)]
mod tests {
    use super::years_meant;
    use super::years_of_age;

    #[test]
    fn an_age_is_a_range_of_years_too() {
        for (text, years) in [
            ("140 years old", Some([1876, 1896])),
            ("a hundred years old", Some([1916, 1936])),
            ("years old", None),
        ] {
            assert_eq!(years_of_age(text, 2026), years, "{text}");
        }
    }

    #[test]
    fn years_are_read_as_people_mean_them() {
        for (text, years) in [
            ("made in 1880", Some([1880, 1880])),
            ("c. 1890", Some([1880, 1900])),
            ("About 1880", Some([1870, 1890])),
            ("1920s", Some([1920, 1929])),
            ("1800s", Some([1800, 1899])),
            ("19th century", Some([1801, 1900])),
            ("eighteenth-century", Some([1701, 1800])),
            ("art deco", None),
            ("2026", None),
        ] {
            assert_eq!(years_meant(text), years, "{text}");
        }
    }
}
