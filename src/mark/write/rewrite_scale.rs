//! Changes `[scale]` in the text of a sidecar.

use toml::de::DeTable;

use crate::kit::diagnostic::Span;
use crate::mark::keys;
use crate::mark::write::edits::Edits;
use crate::mark::write::lines::Done;
use crate::mark::write::lines::set_lines;
use crate::mark::write::writer;
use crate::model::mark::Scale;

/// Sets the scale, or takes it away.
pub(crate) fn set_scale(edits: &mut Edits<'_>, table: &DeTable<'_>, scale: Option<&Scale>) -> Done {
    let Some((key, value)) = table.get_key_value("scale") else {
        if let Some(scale) = scale {
            before_marks(edits, table, &writer::scale_block(scale));
        }
        return Ok(());
    };
    let Some(lines) = value.get_ref().as_table() else {
        let message = "`scale` must be a table".to_owned();
        return Err((value.span(), message));
    };
    if !edits.is_header(key.span().start) {
        return set_inline(edits, key.span(), value.span(), scale);
    }
    let header = edits.header_of_table(key.span().start);
    let Some(scale) = scale else {
        set_lines(edits, header.clone(), lines, &[], &keys::SCALE)?;
        edits.cut_block_line(header);
        return Ok(());
    };
    set_lines(
        edits,
        header,
        lines,
        &writer::scale_pairs(scale),
        &keys::SCALE,
    )
}

/// A scale written as `scale = { ... }` on one line.
fn set_inline(edits: &mut Edits<'_>, key: Span, value: Span, scale: Option<&Scale>) -> Done {
    if !edits.text[value.clone()].starts_with('{') {
        let message = "write the scale as a `[scale]` of its own, so that it can be changed here";
        return Err((key, message.to_owned()));
    }
    let Some(scale) = scale else {
        edits.cut_line(key.start..value.end);
        return Ok(());
    };
    let pairs = writer::scale_pairs(scale).into_iter();
    let pairs: Vec<_> = pairs
        .map(|(key, value)| format!("{key} = {value}"))
        .collect();
    edits.replace(value, &format!("{{ {} }}", pairs.join(", ")));
    Ok(())
}

/// Puts a block before the first mark, where the marks are looked for last.
pub(crate) fn before_marks(edits: &mut Edits<'_>, table: &DeTable<'_>, block: &str) {
    let marks = table.get("mark").and_then(|it| it.get_ref().as_array());
    let first = marks.and_then(|list| list.iter().next());
    match first {
        Some(mark) => {
            let at = edits.above_comments(mark.span().start);
            edits.insert(at, &format!("{block}\n"));
        }
        None => edits.append(block),
    }
}

#[cfg(test)]
mod tests {
    use crate::mark::Change;
    use crate::mark::write::rewriter::rewritten;
    use crate::model::mark::Scale;

    fn card() -> Scale {
        Scale {
            width_mm: 85.60,
            height_mm: Some(53.98),
            corners: vec![[1.0, 1.0], [9.0, 1.0], [9.0, 6.0], [1.0, 6.0]],
        }
    }

    fn tape() -> Scale {
        Scale {
            width_mm: 300.0,
            height_mm: None,
            corners: vec![[1.0, 1.0], [9.0, 1.0]],
        }
    }

    #[test]
    fn a_scale_comes_before_the_marks_and_goes_without_a_trace() {
        let before = "view = \"\"\n\n# the ring\n[[mark]]\ntag = \"a\"\n";
        let with = rewritten(before, &[Change::Scale(Some(card()))]).unwrap();
        assert_eq!(
            with,
            "view = \"\"\n\n[scale]\nobject = \"id-1\"\ncorners = [[1.0, 1.0], [9.0, 1.0], [9.0, 6.0], [1.0, 6.0]]\n\n# the ring\n[[mark]]\ntag = \"a\"\n"
        );
        let without = rewritten(&with, &[Change::Scale(None)]).unwrap();
        assert_eq!(without.replace("\n\n\n", "\n\n"), before);
    }

    #[test]
    fn another_thing_takes_its_place_and_comments_stay() {
        let before = "# a\n[scale] # lies flat\nobject = \"a4\" # paper\ncorners = [[1, 1], [2, 1], [2, 2], [1, 2]]\n# end\n";
        let after = rewritten(before, &[Change::Scale(Some(tape()))]).unwrap();
        assert_eq!(
            after,
            "# a\n[scale] # lies flat\n# paper\ncorners = [[1.0, 1.0], [9.0, 1.0]]\nlength_mm = 300.0\n# end\n"
        );
        let same = rewritten(&after, &[Change::Scale(Some(tape()))]).unwrap();
        assert_eq!(same, after);
    }

    #[test]
    fn one_line_stays_one_line_and_dotted_keys_are_told() {
        let before = "scale = { length_mm = 3, corners = [[1, 1], [2, 2]] } # x\n";
        let after = rewritten(before, &[Change::Scale(Some(tape()))]).unwrap();
        assert_eq!(
            after,
            "scale = { length_mm = 300.0, corners = [[1.0, 1.0], [9.0, 1.0]] } # x\n"
        );
        let gone = rewritten(before, &[Change::Scale(None)]).unwrap();
        assert_eq!(gone, "# x\n");
        let dotted = "scale.length_mm = 3\nscale.corners = [[1, 1], [2, 2]]\n";
        assert!(rewritten(dotted, &[Change::Scale(None)]).is_err());
    }
}
