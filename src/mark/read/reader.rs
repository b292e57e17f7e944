//! Reads a sidecar.

use toml::Spanned;
use toml::de::DeTable;
use toml::de::DeValue;

use crate::kit::diagnostic::Span;
use crate::mark::Words;
use crate::mark::keys;
use crate::mark::read::draw::quoted;
use crate::mark::read::read_face;
use crate::mark::read::read_face::FaceDoubt;
use crate::mark::read::read_mark;
use crate::mark::read::read_region;
use crate::mark::read::reading::Reader;
use crate::mark::read::source::Talk;
use crate::mark::read::suggest;
use crate::mark::read::values;
use crate::mark::read::values::Text;
use crate::model::complaint::Complaint;
use crate::model::face::LaidFace;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::Sidecar;

/// Reads a sidecar with the words its piece allows.
///
/// # Errors
/// With everything that is wrong, sorted by place; a text that is no TOML gives only the places where it is none.
pub fn read(file: &str, text: &str, words: &Words) -> Result<Sidecar, Vec<Complaint>> {
    read_with(file, text, words, &|_| None)
}

/// The same, with a further check of each laid face by what knows the piece and the picture.
///
/// # Errors
/// As [`read`], and with what the check finds.
pub fn read_with(
    file: &str,
    text: &str,
    words: &Words,
    check: &dyn Fn(&LaidFace) -> Option<FaceDoubt>,
) -> Result<Sidecar, Vec<Complaint>> {
    let mut talk = Talk::new(file, text);
    let table = talk.table();
    let sidecar = table.map(|table| {
        let mut reader = Reader::new(words, &mut talk);
        reader.sidecar(table.get_ref(), check)
    });
    talk.end(sidecar)
}

impl Reader<'_, '_, '_> {
    fn sidecar(
        &mut self,
        table: &DeTable<'_>,
        check: &dyn Fn(&LaidFace) -> Option<FaceDoubt>,
    ) -> Sidecar {
        values::check_keys(self.talk, table, &keys::TOP, |name| {
            let block = match name {
                _ if keys::MARK.contains(&name) => "mark",
                _ if keys::FACE.contains(&name) => "face",
                _ => return None,
            };
            Some(format!("`{name}` belongs below a `[[{block}]]` line"))
        });
        let view = values::text(self.talk, table, "view");
        let view = view.and_then(|it| self.view(it));
        let parts = self.parts(table, "parts");
        let parts: Vec<_> = parts.into_iter().map(|(part, _)| part).collect();
        self.shows(&parts);
        let note = values::text(self.talk, table, "note");
        let private_note = values::text(self.talk, table, "private_note");
        let scale = table.get("scale");
        let scale = scale.and_then(|it| read_region::scale(self.talk, it));
        let faces = table.get("face");
        let faces = faces.map(|it| read_face::faces(self, it, check));
        let mut marks = self.short_marks(table);
        if let Some(written) = table.get("mark") {
            marks.extend(self.marks(written, &parts));
        }
        self.check_faults();
        Sidecar {
            view,
            parts,
            note: note.map(|it| it.text),
            private_note: private_note.map(|it| it.text),
            scale,
            faces: faces.unwrap_or_default(),
            marks,
        }
    }

    fn view(&mut self, view: Text) -> Option<String> {
        if self.words.views.contains(&view.text) {
            return Some(view.text);
        }
        let known: Vec<_> = self.words.views.iter().map(String::as_str).collect();
        let help = suggest::help(&view.text, "views", &known, &[]);
        let message = format!("{} is not a view of this piece", quoted(&view.text));
        self.talk.add(view.span, message, help);
        None
    }

    /// A list of parts, each known and named once.
    fn parts(&mut self, table: &DeTable<'_>, key: &str) -> Vec<(PartId, Span)> {
        let mut parts: Vec<(PartId, Span)> = Vec::new();
        for text in values::texts(self.talk, table, key) {
            let span = text.span.clone();
            let Some(part) = self.part(&text) else {
                continue;
            };
            if parts.iter().any(|(it, _)| *it == part) {
                let message = format!("`{part}` stands twice in `{key}`");
                self.talk.advise(span, message, "take one of the two away");
                continue;
            }
            parts.push((part, span));
        }
        parts
    }

    /// The marks of the lists `sound`, `absent` and `not_examined`.
    fn short_marks(&mut self, table: &DeTable<'_>) -> Vec<Mark> {
        let mut marks = Vec::new();
        for tag in keys::STATEMENTS {
            for (part, span) in self.parts(table, tag) {
                self.state_once(tag, &part, span);
                marks.push(Mark::plain(tag, part));
            }
        }
        marks
    }

    fn marks(&mut self, written: &Spanned<DeValue<'_>>, parts: &[PartId]) -> Vec<Mark> {
        let Some(list) = written.get_ref().as_array() else {
            let message = format!(
                "`mark` must be a list of marks, not {}",
                values::kind(written)
            );
            let help = "write `[[mark]]`, with two brackets on each side";
            self.talk.advise(written.span(), message, help);
            return Vec::new();
        };
        let mut marks = Vec::new();
        for item in list.iter() {
            match item.get_ref().as_table() {
                Some(table) => marks.push(read_mark::mark(self, table, item.span(), parts)),
                None => {
                    let message = format!("a mark is a table, not {}", values::kind(item));
                    let help = "write each mark below a `[[mark]]` line of its own";
                    self.talk.advise(item.span(), message, help);
                }
            }
        }
        marks
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::read;
    use crate::mark::Words;
    use crate::mark::keys;
    use crate::mark::samples;
    use crate::mark::samples::words;
    use crate::mark::write::writer::written;
    use crate::model::complaint::Complaint;

    /// Every complaint as `line:column message`.
    fn said(text: &str) -> Vec<String> {
        let complaints = read("a.toml", text, &words()).unwrap_err();
        let said = complaints
            .iter()
            .map(|it| format!("{}:{} {}", it.line, it.column, it.message));
        said.collect()
    }

    #[test]
    fn all_that_is_wrong_is_told_at_once_in_order() {
        let text =
            "note = 3\nview = \"roof\"\nparts = [\"Top\", \"top\", \"top\"]\n[[mark]]\nlevel = 9\n";
        assert_eq!(
            said(text),
            [
                "1:8 `note` must be text in quotes, not a number",
                "2:8 `roof` is not a view of this piece",
                "3:10 `Top` is not a part of this piece",
                "3:24 `top` stands twice in `parts`",
                "4:1 this mark does not say what it marks",
                "5:9 `level` must be 1, 2, 3 or 4",
            ]
        );
    }

    #[test]
    fn a_part_that_such_a_piece_may_have_is_told_with_how_to_say_so() {
        let complaints = read("a.toml", "parts = [\"writing-surface\"]\n", &words()).unwrap_err();
        let help = complaints[0].help.clone().unwrap_or_default();
        assert!(help.contains("--with writing_surface"), "{help}");
    }

    #[test]
    fn a_mark_that_names_a_finding_is_about_that_fault_on_that_part() {
        let text = |more: &str| format!("[[mark]]\nfinding = \"F1\"\n{more}");
        assert_eq!(
            said(&text("tag = \"white_mark\"\npart = \"back\"\n")),
            [
                "3:7 F1 is `scratch` on `top`, and this mark says `white_mark`",
                "4:8 F1 is `scratch` on `top`, and this mark is on `back`",
            ]
        );
        for more in ["", "part = \"top\"", "tag = \"scratch\"\npart = \"top\""] {
            assert!(read("a.toml", &text(more), &words()).is_ok(), "{more}");
        }
    }

    #[test]
    fn a_word_where_a_number_should_stand_is_named() {
        let text = "[[face]]\nface = \"top\"\ncorners = [[np.float64(9.3), 1.0], [2.0, 3.0]]\n";
        let complaints = read("a.toml", text, &words()).unwrap_err();
        assert_eq!(complaints[0].message, "`np.float64(9.3)` is no number");
        assert_eq!(complaints[0].help.as_deref(), Some("write `9.3`"));
    }

    #[test]
    fn what_is_absent_is_not_among_what_the_picture_shows() {
        let shows =
            |absent: &str| format!("parts = [\"top\", \"drawer-1/bottom\"]\nabsent = [{absent}]\n");
        assert_eq!(
            said(&shows("\"top\"")),
            [
                "2:11 `top` is said to be `absent`, and `top` stands in `parts`, which names what the picture shows"
            ]
        );
        assert_eq!(
            said(&shows("\"drawer-1\"")),
            [
                "2:11 `drawer-1` is said to be `absent`, and `drawer-1/bottom` stands in `parts`, which names what the picture shows"
            ]
        );
        let text = "parts = [\"top\"]\n[[mark]]\ntag = \"absent\"\npart = \"top\"\n";
        assert_eq!(said(text).len(), 1);
        assert!(read("a.toml", &shows("\"back\""), &words()).is_ok());
    }

    #[test]
    fn what_is_absent_takes_its_parts_with_it() {
        let faulty =
            "absent = [\"drawer-1\"]\n[[mark]]\ntag = \"scratch\"\npart = \"drawer-1/bottom\"\n";
        for (text, wanted) in [
            (
                "sound = [\"drawer-1/bottom\"]\nabsent = [\"drawer-1\"]\n",
                "2:11 `drawer-1/bottom` is said to be `sound`, and `drawer-1` is said to be `absent`",
            ),
            (
                "absent = [\"drawer-1\"]\nnot_examined = [\"drawer-1/bottom\"]\n",
                "2:17 `drawer-1` is said to be `absent`, and `drawer-1/bottom` is said to be `not_examined`",
            ),
            (
                faulty,
                "3:7 `drawer-1` is said to be `absent`, and `scratch` is marked on `drawer-1/bottom`",
            ),
        ] {
            assert_eq!(said(text), [wanted], "{text}");
        }
        let text = "sound = [\"drawer-1\"]\nabsent = [\"drawer-1/bottom\"]\n";
        assert!(read("a.toml", text, &words()).is_ok());
    }

    #[test]
    fn columns_count_characters_behind_wide_ones_and_after_a_byte_order_mark() {
        assert_eq!(said("\u{feff}veiw = 1")[0], "1:1 `veiw` is not a key here");
        let text = "parts = [\"top\", \"größe 🪵\", \"x\"]\r\nview = \"y\"\r\n";
        let places: Vec<_> = said(text)
            .iter()
            .map(|it| it[..it.find(' ').unwrap()].to_owned())
            .collect();
        assert_eq!(places, ["1:17", "1:28", "2:8"]);
    }

    #[test]
    fn a_name_that_tells_one_of_several_apart_is_short() {
        let of = |long: usize| {
            let which = "x".repeat(long);
            format!("[[mark]]\ntag = \"scratch\"\npart = \"top\"\nwhich = \"{which}\"\n")
        };
        assert!(read("", &of(120), &words()).is_ok());
        let told = said(&of(121));
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(
            told[0].contains("`which` is 121 characters long"),
            "{told:?}"
        );
    }

    #[test]
    fn blank_texts_say_nothing() {
        let text = "view = \" \"\nnote = \"\"\nprivate_note = \"\\n\"\n[[mark]]\ntag = \"scratch\"\npart = \"top\"\nwhich = \"\"\nsize = \" \"\nnote = \"\"\nstate = \"\"\n";
        let sidecar = read("", text, &words()).unwrap();
        assert_eq!(
            (sidecar.view, sidecar.note, sidecar.private_note),
            (None, None, None)
        );
        let mark = &sidecar.marks[0];
        assert_eq!((&mark.which, &mark.size, &mark.note), (&None, &None, &None));
    }

    #[test]
    fn things_of_known_size_have_their_standard_size() {
        // ISO/IEC 7810:2019 ID-1; ISO 216 A4; 8.5 x 11 inches of 25.4 mm.
        for (object, width, height) in [
            ("id-1", 85.60, 53.98),
            ("a4", 210.0, 297.0),
            ("us-letter", 8.5 * 25.4, 11.0 * 25.4),
        ] {
            let text = format!(
                "[scale]\nobject = \"{object}\"\ncorners = [[1, 1], [9, 1], [9, 9], [1, 9]]"
            );
            let scale = read("", &text, &words()).unwrap().scale.unwrap();
            assert!((scale.width_mm - width).abs() < 1e-9, "{object}");
            assert!((scale.height_mm.unwrap() - height).abs() < 1e-9, "{object}");
        }
    }

    #[test]
    fn a_large_file_is_refused_and_many_complaints_are_cut_short() {
        let text = "#".repeat(keys::MOST_BYTES + 1);
        assert_eq!(said(&text), ["1:1 the file is larger than 1 MB"]);
        assert!(read("", &text[1..], &words()).is_ok());
        let text = format!("parts = [{}]", "\"x\", ".repeat(50_000));
        let said = said(&text);
        assert_eq!(said.len(), 101);
        assert_eq!(
            said[100],
            "1:505 there is more that is wrong after this place"
        );
    }

    #[test]
    fn names_and_texts_cannot_steer_the_terminal() {
        let text = "parts = [\"\\u001b[31mred\\u202e\"]\nview = \"\u{202e}x\"\n";
        let complaints = read("a\u{1b}[2J\nb\u{202e}.toml", text, &words()).unwrap_err();
        assert_eq!(complaints.len(), 2);
        for it in complaints {
            let plain = anstream::adapter::strip_str(&it.drawn).to_string();
            for text in [&it.message, &plain] {
                let steers = |it: char| it == '\u{1b}' || it == '\u{202e}';
                assert!(!text.contains(steers), "{text:?}");
            }
            assert!(
                !it.drawn.contains("[2J") || it.drawn.contains("\u{fffd}[2J"),
                "{:?}",
                it.drawn
            );
            assert!(
                plain.contains("a\u{fffd}[2J\u{fffd}b\u{fffd}.toml:"),
                "{plain}"
            );
        }
    }

    #[test]
    fn without_words_every_word_is_unknown() {
        let none = Words::default();
        let complaints = read(
            "",
            "view = \"front\"\nsound = [\"top\"]\n[[mark]]\nfinding = \"F1\"",
            &none,
        );
        assert_eq!(complaints.unwrap_err().len(), 3);
    }

    /// Whether a complaint lies inside the text and is drawn with its words.
    fn check(text: &str, it: &Complaint) -> Result<(), TestCaseError> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let line = text.split('\n').nth(it.line - 1);
        prop_assert!(line.is_some(), "line {} of {:?}", it.line, text);
        let letters = line.unwrap().chars().count();
        prop_assert!((1..=letters + 1).contains(&it.column), "{it:?} of {text:?}");
        prop_assert!(it.drawn.contains("a.toml"), "{}", it.drawn);
        prop_assert!(
            !it.message.ends_with('.') && !it.message.contains('\n'),
            "{}",
            it.message
        );
        Ok(())
    }

    fn never_panics(text: &str) -> Result<(), TestCaseError> {
        let mut last = (0, 0);
        for it in read("a.toml", text, &words()).err().into_iter().flatten() {
            check(text, &it)?;
            prop_assert!(last <= (it.line, it.column), "out of order");
            last = (it.line, it.column);
        }
        Ok(())
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        #[test]
        fn any_text_is_read_or_complained_of(text in any::<String>()) {
            never_panics(&text)?;
        }

        #[test]
        fn a_valid_text_with_slips_is_read_or_complained_of(
            sidecar in samples::sidecar(),
            slips in prop::collection::vec((any::<prop::sample::Index>(), 0_usize..4, "[\\[\\]\"'=#,.{}\\\\\n\r\t0-9a-z🪵\u{202e}\u{0}]{0,3}"), 1..6),
        ) {
            let mut letters: Vec<char> = written("a.jpg", &sidecar).chars().collect();
            for (at, gone, new) in slips {
                let at = at.index(letters.len() + 1);
                let end = (at + gone).min(letters.len());
                letters.splice(at..end, new.chars());
            }
            let text: String = letters.into_iter().collect();
            never_panics(&text)?;
        }
    }
}
