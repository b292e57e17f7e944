//! JSON in its one canonical spelling (RFC 8785), so that the same facts always give the same bytes.

use serde::Serialize;

/// A value that has no JSON.
#[derive(Debug, thiserror::Error)]
#[error("a value has no canonical JSON")]
pub struct CanonError(#[source] serde_json::Error);

/// The canonical JSON of a value, UTF-8, without a line end.
///
/// # Errors
/// When the value has no JSON, such as a number that is not finite.
pub fn canonical(value: &impl Serialize) -> Result<String, CanonError> {
    serde_json_canonicalizer::to_string(value).map_err(CanonError)
}

/// Whether a text is exactly the canonical spelling of what it says.
#[must_use]
pub fn is_canonical(text: &str) -> bool {
    let value: Result<serde_json::Value, _> = serde_json::from_str(text);
    value.is_ok_and(|it| canonical(&it).is_ok_and(|it| it == text))
}

#[cfg(test)]
mod tests {
    use serde_json::Value;

    use super::canonical;
    use super::is_canonical;

    /// Cases of the open test data of RFC 8785 (cyberphone/json-canonicalization), as restated in our table of check values.
    #[test]
    fn agrees_with_the_open_test_data() {
        for (text, want) in [
            (
                r#"[ 56, {"d": true, "10": null, "1": []} ]"#,
                r#"[56,{"1":[],"10":null,"d":true}]"#,
            ),
            (
                r#"{"1":{"f":{"f":"hi","F":5},"\n":56.0},"10":{},"":"empty","a":{},"111":[{"e":"yes","E":"no"}],"A":{}}"#,
                r#"{"":"empty","1":{"\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{"E":"no","e":"yes"}],"A":{},"a":{}}"#,
            ),
            (
                r#"{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],"string":"\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/","literals":[null,true,false]}"#,
                r#"{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}"#,
            ),
        ] {
            let value: Value = serde_json::from_str(text).unwrap();
            assert_eq!(canonical(&value).unwrap(), want);
            assert!(is_canonical(want) && !is_canonical(text));
        }
        assert!(!is_canonical("{") && !is_canonical(" 1") && is_canonical("1"));
    }
}
