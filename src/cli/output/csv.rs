//! Tables as comma-separated values (RFC 4180).

use std::borrow::Cow;

use crate::cli::output::data;

/// How a cell begins that a spreadsheet may run: as OWASP's page "CSV Injection" lists it, with the wide forms of the first four.
const FORMULA: [char; 11] = [
    '=', '+', '-', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
];

/// Prints a table: the names of its columns, and its rows.
pub(in crate::cli) fn csv(names: &[&str], rows: impl Iterator<Item = Vec<String>>) {
    data(&table(names, rows));
}

/// The text of a table, its last line without an end.
pub(in crate::cli) fn table(names: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let names = names.iter().map(ToString::to_string).collect();
    let lines: Vec<String> = std::iter::once(names)
        .chain(rows)
        .map(|it| line(&it))
        .collect();
    lines.join("\r\n")
}

fn line(fields: &[String]) -> String {
    let fields: Vec<String> = fields.iter().map(|it| quoted(it)).collect();
    fields.join(",")
}

fn quoted(field: &str) -> String {
    let field = guarded(field);
    match field.contains([',', '"', '\n', '\r', '\t']) {
        true => format!("\"{}\"", field.replace('"', "\"\"")),
        false => field.into_owned(),
    }
}

/// A field that a spreadsheet would take for a formula, with an apostrophe before it, which makes it text there; a plain number stays.
fn guarded(field: &str) -> Cow<'_, str> {
    let is_number = || {
        let digits = field.strip_prefix('-').unwrap_or(field);
        let of_number = |it: char| it.is_ascii_digit() || it == '.';
        digits.starts_with(|it: char| it.is_ascii_digit())
            && digits.chars().all(of_number)
            && digits.parse::<f64>().is_ok()
    };
    match field.starts_with(FORMULA) && !is_number() {
        true => Cow::Owned(format!("'{field}")),
        false => Cow::Borrowed(field),
    }
}

#[cfg(test)]
mod tests {
    use super::line;

    /// OWASP Community, "CSV Injection": cells that begin with one of `= + - @`, tab, carriage return or line feed, or a wide form of the
    /// first four, get an apostrophe before them, and stand in quotes where they have a separator or quote.
    #[test]
    fn what_a_spreadsheet_would_run_is_text() {
        for (said, is) in [
            ("=1+1", "'=1+1"),
            (
                "=HYPERLINK(\"http://x.invalid\")",
                "\"'=HYPERLINK(\"\"http://x.invalid\"\")\"",
            ),
            ("+1+1", "'+1+1"),
            ("-1+1", "'-1+1"),
            ("--1", "'--1"),
            ("-", "'-"),
            ("@SUM(1,2)", "\"'@SUM(1,2)\""),
            ("\t=1", "\"'\t=1\""),
            ("\r=1", "\"'\r=1\""),
            ("\n=1", "\"'\n=1\""),
            ("\u{ff1d}1", "'\u{ff1d}1"),
            ("-12.50", "-12.50"),
            ("12", "12"),
            ("a=b", "a=b"),
            ("'tis", "'tis"),
            ("", ""),
        ] {
            assert_eq!(line(&[said.to_owned()]), is);
        }
    }

    /// RFC 4180, section 2, rules 5 to 7.
    #[test]
    fn fields_are_quoted_where_they_must_be() {
        let fields = ["chest", "oak, \"good\"", "two\nlines", ""].map(str::to_owned);
        assert_eq!(line(&fields), "chest,\"oak, \"\"good\"\"\",\"two\nlines\",");
    }
}
