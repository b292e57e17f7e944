//! What is done with parts, and minded of faults, before a piece is carried, as the trade book says it of them.

use crate::assess::assessment::Assessment;
use crate::assess::part_report::PartState;
use crate::trade::TradeBook;

/// The lines, each once: of the form, of the parts that are there, of the faults that are there or may be.
pub(super) fn lines(it: &Assessment, book: &TradeBook) -> Vec<String> {
    let form = book.form(&it.piece.form).map(|it| it.carry.clone());
    let there = it
        .parts
        .iter()
        .filter(|it| !matches!(it.state, PartState::Absent(_)));
    let kinds = there.filter_map(|of| book.kind(it.kinds.get(&of.part)?));
    let parts = kinds.map(|it| it.carry.clone());
    let open = { it.findings.iter() }.filter(|it| it.outcome.is_some_and(|it| !it.is_closed()));
    let faults = open.flat_map(|of| {
        let carry = book.tag(&of.tag).map_or(&[][..], |it| &it.carry);
        // Of a level that nobody told, nobody knows that it is none.
        let fits = |from: u8, to: u8| of.level.is_none_or(|it| (from..=to).contains(&it));
        let said = carry.iter().filter(move |it| fits(it.from, it.to));
        said.map(|it| it.say.clone())
    });
    let mut lines: Vec<String> = Vec::new();
    for line in form.into_iter().chain(parts).chain(faults) {
        if !line.is_empty() && !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines
}
