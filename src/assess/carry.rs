//! What is done with parts, and minded of faults, before a piece is carried, as the trade book says it of them.

use crate::assess::findings::finding::Finding;
use crate::assess::part_list::PartList;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::trade::TradeBook;

/// The lines, each once: of the form, of the parts that are there, of the faults that are there or may be.
pub(crate) fn lines(
    form: &str,
    list: &PartList,
    parts: &[PartReport],
    findings: &[Finding],
    book: &TradeBook,
) -> Vec<String> {
    let form = book.form(form).map(|it| &it.carry);
    let there = parts
        .iter()
        .filter(|it| !matches!(it.state, PartState::Absent(_)));
    let kinds = there.filter_map(|of| book.kind(&list.get(&of.part)?.kind));
    let own = kinds.map(|it| &it.carry);
    let open = findings
        .iter()
        .filter(|it| it.outcome.is_some_and(|it| !it.is_closed()));
    let faults = open.flat_map(|of| {
        let carry = book.tag(&of.tag).map_or(&[][..], |it| &it.carry);
        // Of a level that nobody told, nobody knows that it is none.
        let fits = |from: u8, to: u8| of.level.is_none_or(|it| (from..=to).contains(&it));
        let said = carry.iter().filter(move |it| fits(it.from, it.to));
        said.map(|it| &it.say)
    });
    let mut lines: Vec<String> = Vec::new();
    for line in form.into_iter().chain(own).chain(faults) {
        if !line.is_empty() && !lines.contains(line) {
            lines.push(line.clone());
        }
    }
    lines
}
