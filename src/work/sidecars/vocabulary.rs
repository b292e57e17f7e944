//! The words a sidecar may use, from the trade book and the piece.

use crate::assess::faces::flat_faces;
use crate::assess::faces::piece_shape::PieceShape;
use crate::mark::Hints;
use crate::mark::TradeWords;
use crate::mark::Words;
use crate::model::finding::NumberedFinding;
use crate::model::photo::Stage;
use crate::model::piece::PartChoice;
use crate::model::piece::Piece;
use crate::photo::written_in;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;
use crate::trade::entry::tag::Tag;
use crate::trade::entry::view::View;
use crate::work::WorkError;

/// The parts list of a piece, in walking order; empty for a form this program does not know.
pub(in crate::work) fn parts(book: &TradeBook, piece: &Piece) -> Vec<FormPart> {
    book.parts_of(&piece.form, &piece.choice())
}

/// The same with the parts that it never had: a word of them is understood.
pub(in crate::work) fn all_parts(book: &TradeBook, piece: &Piece) -> Vec<FormPart> {
    let choice = PartChoice {
        never_had: Vec::new(),
        ..piece.choice()
    };
    book.parts_of(&piece.form, &choice)
}

/// The views of a stage that make a complete record of a piece, in walking order.
pub(in crate::work) fn views<'a>(
    book: &'a TradeBook,
    piece: &Piece,
    stage: Stage,
) -> Vec<&'a View> {
    let form = book.form(&piece.form);
    form.map(|it| book.views_for_choice(it, &piece.choice(), stage))
        .unwrap_or_default()
}

/// Why a word names no form.
pub(in crate::work) fn no_form(book: &TradeBook, word: &str) -> WorkError {
    let forms = book.forms.iter().map(|it| it.id.as_str());
    let forms: Vec<&str> = forms.collect();
    WorkError::asked_with(
        format!("`{word}` is not a form of the trade book"),
        format!("the forms are {}", forms.join(", ")),
    )
}

/// The words for the sidecars of one piece.
pub(in crate::work) fn of_piece(
    book: &TradeBook,
    piece: &Piece,
    findings: &[NumberedFinding],
) -> Words {
    let shape = PieceShape::of(book, piece, &parts(book, piece));
    Words {
        parts: all_parts(book, piece)
            .iter()
            .map(|it| it.id.to_string())
            .collect(),
        faces: flat_faces::names(&shape),
        findings: findings.to_vec(),
        optional: optional(book, piece),
        ..of_the_trade(book)
    }
}

/// Parts that such a piece may have and this one is not said to have, each with its kind.
fn optional(book: &TradeBook, piece: &Piece) -> Vec<(String, String)> {
    let Some(form) = book.form(&piece.form) else {
        return Vec::new();
    };
    let choice = PartChoice {
        with: form.choices().into_iter().map(str::to_owned).collect(),
        ..piece.choice()
    };
    let listed = all_parts(book, piece);
    let all = book.parts_of(&piece.form, &choice).into_iter();
    let new = all.filter(|it| !it.inner && !listed.iter().any(|known| known.id == it.id));
    new.map(|it| (it.id.to_string(), it.kind)).collect()
}

/// The words that are the same for every piece.
pub(in crate::work) fn of_the_trade(book: &TradeBook) -> Words {
    Words {
        views: book.views.iter().map(|it| it.id.clone()).collect(),
        parts: Vec::new(),
        faces: Vec::new(),
        faults: book.tags.iter().map(|it| it.id.clone()).collect(),
        absences: book
            .tags
            .iter()
            .filter(|it| it.absence)
            .map(|it| it.id.clone())
            .collect(),
        few_levels: book
            .tags
            .iter()
            .filter(|it| it.levels.contains(&None))
            .map(|it| (it.id.clone(), levels(it)))
            .collect(),
        observations: book.cues.iter().map(|it| it.id.clone()).collect(),
        findings: Vec::new(),
        optional: Vec::new(),
        synonyms: book.tag_words(),
    }
}

/// The levels that a fault has, each with what makes it.
fn levels(tag: &Tag) -> Vec<(u8, String)> {
    let all = (1..).zip(&tag.levels);
    all.filter_map(|(level, makes)| Some((level, makes.clone()?)))
        .collect()
}

/// The words of the trade book that the settings may name.
pub(in crate::work) fn of_settings(book: &TradeBook) -> TradeWords {
    TradeWords {
        methods: book.methods.iter().map(|it| it.id.clone()).collect(),
        channels: book.offer.channels.iter().map(|it| it.id.clone()).collect(),
    }
}

/// What a fresh sidecar of a shoot may suggest: the views this stage needs, the piece's main parts, and what another program wrote into
/// the photo.
pub(in crate::work) fn hints(
    book: &TradeBook,
    piece: &Piece,
    stage: Stage,
    written: Vec<String>,
) -> Hints {
    Hints {
        views: views(book, piece, stage)
            .into_iter()
            .map(|it| (it.id.clone(), it.label.clone()))
            .collect(),
        parts: parts(book, piece)
            .iter()
            .filter(|it| !it.inner)
            .map(|it| it.id.to_string())
            .collect(),
        written,
    }
}

/// The longest caption that stands beside a photo whole, characters: what a record of news agencies holds (IPTC-IIM 4, data set 2:120).
const CAPTION: usize = 2000;

fn shortened(caption: &str) -> String {
    match caption.char_indices().nth(CAPTION) {
        Some((end, _)) => format!("{} ... (the rest stands in the photo)", &caption[..end]),
        None => caption.to_owned(),
    }
}

/// What another program wrote into a photo, a line each; places are told where the picture is stored upright, as only there both mean
/// the same.
pub(in crate::work) fn written_lines(bytes: &[u8], orientation: Option<u16>) -> Vec<String> {
    let written = written_in(bytes);
    let upright = orientation.is_none_or(|it| it == 1);
    let mut lines = Vec::new();
    if !written.keywords.is_empty() {
        lines.push(format!("keywords: {}", written.keywords.join("; ")));
    }
    let captions = written.captions.iter();
    lines.extend(captions.map(|it| format!("caption: {}", shortened(it))));
    lines.extend(written.regions.iter().map(|it| {
        let name = match it.name.as_str() {
            "" => "without a name",
            name => name,
        };
        match it.area.filter(|_| upright) {
            Some(area) => format!("region: {name}; box = {area:?}"),
            None => format!("region: {name}; where, is not told in a way that can be taken over"),
        }
    }));
    lines
}
