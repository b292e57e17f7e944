//! Values that read as JSON under more names than one.

pub mod canonical;

use serde::Serialize;
use serde::Serializer;
use serde::ser::SerializeMap as _;

/// Gives two names with their values in place of one, for `#[serde(flatten, serialize_with = ...)]`.
///
/// # Errors
/// What the serializer says.
pub fn both<S: Serializer>(
    to: S,
    one: (&str, &(impl Serialize + ?Sized)),
    other: (&str, &(impl Serialize + ?Sized)),
) -> Result<S::Ok, S::Error> {
    let mut names = to.serialize_map(Some(2))?;
    names.serialize_entry(one.0, one.1)?;
    names.serialize_entry(other.0, other.1)?;
    names.end()
}

#[cfg(test)]
mod tests {
    use serde::Serialize;
    use serde::Serializer;

    #[derive(Serialize)]
    struct Line {
        no: u32,
        #[serde(flatten, serialize_with = "words_as_json")]
        words: Vec<String>,
    }

    fn words_as_json<S: Serializer>(words: &[String], to: S) -> Result<S::Ok, S::Error> {
        super::both(to, ("words", words), ("count", &words.len()))
    }

    #[test]
    fn two_names_stand_in_the_place_of_one() {
        let line = Line {
            no: 1,
            words: vec!["a".to_owned(), "b".to_owned()],
        };
        let json = serde_json::to_string(&line).unwrap();
        assert_eq!(json, r#"{"no":1,"words":["a","b"],"count":2}"#);
    }
}
