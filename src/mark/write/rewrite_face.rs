//! Changes `[[face]]` in the text of a sidecar.

use toml::de::DeTable;

use crate::kit::diagnostic::Span;
use crate::mark::keys;
use crate::mark::write::edits::Edits;
use crate::mark::write::lines::Done;
use crate::mark::write::lines::plain_line;
use crate::mark::write::lines::set_lines;
use crate::mark::write::rewrite_scale::before_marks;
use crate::mark::write::writer;
use crate::model::face::LaidFace;
use crate::model::ids::PartId;

/// Lays a face: in the place of the one of that name, else after the others and before the first mark.
pub(crate) fn lay_face(edits: &mut Edits<'_>, table: &DeTable<'_>, laid: &LaidFace) -> Done {
    match find(table, &laid.face) {
        Some((span, lines)) => {
            let header = edits.header(span.start);
            set_lines(edits, header, lines, &writer::face_pairs(laid), &keys::FACE)
        }
        None => {
            before_marks(edits, table, &writer::face_block(laid));
            Ok(())
        }
    }
}

/// Takes a laid face away; one that is not there is gone already.
pub(crate) fn remove_face(edits: &mut Edits<'_>, table: &DeTable<'_>, face: &PartId) -> Done {
    let Some((span, lines)) = find(table, face) else {
        return Ok(());
    };
    for (key, value) in lines.iter() {
        plain_line(edits, key.get_ref(), key.span(), value)?;
        edits.cut_line(key.span().start..value.span().end);
    }
    edits.cut_block_line(edits.header(span.start));
    Ok(())
}

fn find<'t, 'a>(table: &'t DeTable<'a>, face: &PartId) -> Option<(Span, &'t DeTable<'a>)> {
    let list = table.get("face")?.get_ref().as_array()?;
    list.iter().find_map(|it| {
        let lines = it.get_ref().as_table()?;
        let name = lines.get("face")?.get_ref().as_str()?;
        (name == face.as_str()).then(|| (it.span(), lines))
    })
}

#[cfg(test)]
mod tests {
    use crate::mark::Change;
    use crate::mark::write::rewriter::rewritten;
    use crate::model::face::How;
    use crate::model::face::LaidFace;
    use crate::model::face::Lie;

    fn top(how: How) -> LaidFace {
        LaidFace {
            face: "top".parse().unwrap(),
            lie: Lie::Corners([[10.0, 20.0], [90.0, 20.0], [110.0, 80.0], [-5.0, 80.0]]),
            how,
            size: Some("1050 x 480 mm".parse().unwrap()),
            at: None,
        }
    }

    const BLOCK: &str = "[[face]]\nface = \"top\"\ncorners = [[10.0, 20.0], [90.0, 20.0], [110.0, 80.0], [-5.0, 80.0]]\nhow = \"by hand\"\nsize = \"1050 x 480 mm\"\n";

    #[test]
    fn a_face_comes_before_the_marks_is_changed_in_its_place_and_goes_without_a_trace() {
        let before = "view = \"\"\n\n# the ring\n[[mark]]\ntag = \"a\"\n";
        let with = rewritten(before, &[Change::LayFace(top(How::ByHand))]).unwrap();
        assert_eq!(
            with,
            before.replace("# the ring", &format!("{BLOCK}\n# the ring"))
        );
        let commented = with.replace("\nhow", "   # from the window\nhow");
        let after = rewritten(&commented, &[Change::LayFace(top(How::FromPicture(5)))]).unwrap();
        assert_eq!(after, commented.replace("by hand", "from picture 5"));
        let same = rewritten(&after, &[Change::LayFace(top(How::FromPicture(5)))]).unwrap();
        assert_eq!(same, after);
        let face = || "top".parse().unwrap();
        assert_eq!(
            rewritten(&with, &[Change::RemoveFace(face())]).unwrap(),
            before
        );
        assert_eq!(
            rewritten(before, &[Change::RemoveFace(face())]).unwrap(),
            before
        );
        let gone = rewritten(&after, &[Change::RemoveFace(face())]).unwrap();
        assert!(gone.contains("# from the window"), "{gone}");
    }

    #[test]
    fn faces_on_one_line_become_blocks() {
        let text =
            "face = [{ face = 'front', corners = [[1, 1], [2, 1], [2, 2], [1, 2]] }] # one\n";
        let text = rewritten(text, &[Change::LayFace(top(How::ByHand))]).unwrap();
        let wanted =
            "# one\n\n[[face]]\nface = 'front'\ncorners = [[1, 1], [2, 1], [2, 2], [1, 2]]\n\n";
        assert_eq!(text, format!("{wanted}{BLOCK}"));
    }
}
