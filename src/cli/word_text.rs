//! The words of the trade book, printed.

use crate::cli::args::WordKind;
use crate::cli::jobs::Done;
use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::json;
use crate::cli::say::talk;
use crate::work::word_list;
use crate::work::word_list::Word;

/// Prints the words of a kind that contain a text.
pub(super) fn print(kind: WordKind, containing: Option<&str>, as_json: bool) -> Done {
    let mut words = match kind {
        WordKind::Faults => word_list::faults(),
        WordKind::Observations => word_list::observations(),
        WordKind::Views => word_list::views(),
        WordKind::Parts => word_list::parts(),
        WordKind::Forms => word_list::forms(),
        WordKind::Methods => word_list::methods(),
    };
    if let Some(text) = containing {
        let text = text.to_lowercase();
        let has = |it: &Word| {
            [&it.id, &it.label, &it.plain]
                .iter()
                .any(|it| it.to_lowercase().contains(&text))
        };
        words.retain(has);
    }
    if as_json {
        json(&words);
        return Done::Well;
    }
    if words.is_empty() {
        talk("no such word; leave the text away to see all");
    }
    for it in &words {
        data(&format!("{}  {}", heading(&it.id), it.label));
        data(&format!("    {}", it.plain));
        for more in &it.more {
            data(&format!("    {more}"));
        }
    }
    Done::Well
}
