//! Tables as comma-separated values (RFC 4180).

use crate::cli::output::data;

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
    match field.contains([',', '"', '\n', '\r']) {
        true => format!("\"{}\"", field.replace('"', "\"\"")),
        false => field.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::line;

    /// RFC 4180, section 2, rules 5 to 7.
    #[test]
    fn fields_are_quoted_where_they_must_be() {
        let fields = ["chest", "oak, \"good\"", "two\nlines", ""].map(str::to_owned);
        assert_eq!(line(&fields), "chest,\"oak, \"\"good\"\"\",\"two\nlines\",");
    }
}
