//! Parts over which cloth, leather, cane or a pad lies.

use crate::assess::claims::cited::cited;
use crate::assess::findings::finding::Finding;
use crate::assess::part_list::belongs;
use crate::assess::part_report::Evidence;
use crate::assess::part_report::Material;
use crate::assess::timeline::DatedMark;
use crate::assess::timeline::Timeline;
use crate::assess::worked::Worked;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::trade::TradeBook;

/// What a part under a cover is made of: only the cover is seen, but where a repair opened it. `None` where none is.
pub(crate) fn covered<'a>(
    book: &'a TradeBook,
    time: &Timeline<'a>,
    part: &PartId,
    opened: Option<&Repair>,
) -> Option<Material> {
    let covers = covers(book, time, part);
    (!covers.is_empty()).then(|| of_covered(book, &covers, opened))
}

/// The last repair that opened the filling of a part.
pub(crate) fn opened<'a>(
    book: &TradeBook,
    repairs: &'a [Repair],
    findings: &[Finding],
    part: &PartId,
) -> Option<&'a Repair> {
    let opens = |it: &&Repair| {
        let method = book.method(&it.method);
        method.is_some_and(|it| it.opens_filling)
            && Worked::by(it, findings).any(|on| belongs(on, part) || belongs(part, on))
    };
    repairs
        .iter()
        .filter(opens)
        .max_by_key(|it| (it.day, it.no))
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

fn of_covered(
    book: &TradeBook,
    covers: &[(&str, DatedMark<'_>)],
    opened: Option<&Repair>,
) -> Material {
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
    let cited = cited(told);
    let text = match (woven, opened) {
        (true, _) => format!("Woven: neither wood nor a pad. Seen: {cited}."),
        (false, None) => {
            format!("Covered: what lies below the cover was not seen. Seen: {cited}.")
        }
        (false, Some(it)) => {
            let new = match it.new_material {
                Some(_) => ", which tells what is new in it",
                None => "",
            };
            let before = covers.iter().all(|(_, said)| said.shoot.day <= it.day);
            let seen = if before { "Seen before that" } else { "Seen" };
            let (day, no) = (it.day.spoken(), it.no);
            format!("Covered; opened on {day} (repair {no}){new}. {seen}: {cited}.")
        }
    };
    Material {
        covered: true,
        woven,
        ..Material::not_settled(text, evidence.collect())
    }
}
