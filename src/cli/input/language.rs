//! The language of a paper.

use clap::Args;

use crate::cli::output::talk;
use crate::tongue::Language;
use crate::tongue::Tongue;
use crate::work::book::open_book::OpenBook;

/// In what language a paper is written.
#[derive(Args, Clone, Copy, Debug)]
pub(in crate::cli) struct LanguageArg {
    /// Language of the paper: en, de or fr [default: that of the book]
    #[arg(long, value_name = "LANGUAGE")]
    pub(in crate::cli) language: Option<Language>,
}

impl LanguageArg {
    /// The language of a paper: what was asked for, else that of the book. What is wrong with the settings the command itself says.
    pub(in crate::cli) fn tongue(self, book: Option<&OpenBook>) -> Tongue {
        let of_book = book.and_then(|it| it.settings().ok());
        let writer = of_book.map(|it| it.language).unwrap_or_default();
        Tongue {
            language: self.language.unwrap_or(writer),
            writer,
        }
    }

    /// Says of a paper that has no translation yet, in one line, that it is written in English, where another language was meant: without
    /// a book only what was asked for. What is wrong with the settings the command itself says.
    pub(in crate::cli) fn mind_english(self, book: Option<&OpenBook>, paper: &str) {
        let language = self.tongue(book).language;
        if language != Language::English {
            let name = language.name();
            talk(&format!(
                "{paper} is not there in {name} yet: it is written in English"
            ));
        }
    }
}
