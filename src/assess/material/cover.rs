//! Parts over which cloth, leather, cane or a pad lies.

use crate::assess::claims::cited::cited;
use crate::assess::part_report::Evidence;
use crate::assess::part_report::Material;
use crate::assess::timeline::DatedMark;
use crate::assess::timeline::Timeline;
use crate::model::ids::PartId;
use crate::trade::TradeBook;

/// What a part under a cover is made of: only the cover is seen. `None` where none is.
pub(crate) fn covered<'a>(
    book: &'a TradeBook,
    time: &Timeline<'a>,
    part: &PartId,
) -> Option<Material> {
    let covers = covers(book, time, part);
    (!covers.is_empty()).then(|| of_covered(book, &covers))
}

/// Observations and faults that show a cover over a part.
fn covers<'a>(
    book: &'a TradeBook,
    time: &Timeline<'a>,
    part: &PartId,
) -> Vec<(&'a str, DatedMark<'a>)> {
    let shows = |said: DatedMark<'a>| {
        let word = said.mark.tag.as_deref()?;
        let cue = || book.cue(word).filter(|it| it.covers).map(|it| &it.term);
        let tag = || book.tag(word).filter(|it| it.covers).map(|it| &it.term);
        let term = cue().or_else(tag)?;
        let here = said.mark.part.as_ref() == Some(part) && said.mark.state.is_there();
        here.then_some((term.as_str(), said))
    };
    time.marks().filter_map(shows).collect()
}

fn of_covered(book: &TradeBook, covers: &[(&str, DatedMark<'_>)]) -> Material {
    let is_web = |word: &str| {
        book.cue(word).is_some_and(|it| it.web) || book.tag(word).is_some_and(|it| it.web)
    };
    let mut words = covers.iter().map(|(_, said)| said.mark.tag.as_deref());
    let woven = words.all(|it| it.is_some_and(is_web));
    let told = covers.iter().map(|(term, said)| (*term, said.photo.no));
    let evidence = covers.iter().map(|(term, said)| Evidence {
        photo: said.photo.no,
        mark: said.index,
        text: (*term).to_owned(),
    });
    let what = match woven {
        true => "Woven: neither wood nor a pad",
        false => "Covered: what lies below the cover was not seen",
    };
    let text = format!("{what}. Seen: {}.", cited(told));
    Material {
        covered: true,
        woven,
        ..Material::not_settled(text, evidence.collect())
    }
}
