//! The repairs that an exhibit names.

use crate::assess::findings::finding::Finding;
use crate::assess::worked::Worked;
use crate::model::repair::Repair;
use crate::report::page::context::PageContext;
use crate::report::page::words;

/// The repairs for this fault, then the others on its part and those on the piece as a whole, a line each.
pub(in crate::report) fn repairs(sources: &PageContext<'_>, finding: &Finding) -> Vec<String> {
    let assessment = sources.assessment;
    let others = assessment.repairs.iter();
    let others = others.filter(|it| !finding.repairs.contains(&it.no));
    let on = |it: &&Repair| Worked::by(it, &assessment.findings);
    let (whole, rest): (Vec<&Repair>, Vec<&Repair>) = others.partition(|it| it.is_of_whole_piece());
    let part = finding.part.whole();
    let rest = rest
        .into_iter()
        .filter(|it| on(it).parts().iter().any(|it| it.whole() == part));
    let numbers = |all: Vec<&Repair>| -> Vec<u32> { all.iter().map(|it| it.no).collect() };
    let lines = [
        ("For this fault", finding.repairs.clone()),
        (
            "Not for this fault, on the same part",
            numbers(rest.collect()),
        ),
        ("On the piece as a whole", numbers(whole)),
    ];
    let told = lines.into_iter().filter(|it| !it.1.is_empty());
    told.map(|(of, numbers)| {
        let word = match numbers.len() {
            1 => "repair",
            _ => "repairs",
        };
        format!("{of}: {word} {}.", words::runs(&numbers))
    })
    .collect()
}
