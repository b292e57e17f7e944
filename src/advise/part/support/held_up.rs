//! What drops for want of what holds it up: its hinges are sound, and it waits for what is not there.

use crate::advise::part::surface::Kinds;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::missing_support::missing_support;
use crate::kit::text::small;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::kind::PartKind;

/// What holds a part up, and is not there.
pub(in crate::advise) struct Missing {
    /// The part.
    pub(in crate::advise) part: PartId,
    /// The finding that says so; `None` where the part is only told absent.
    pub(in crate::advise) finding: Option<FindingNo>,
    /// What it is called, with that finding.
    named: String,
}

impl Missing {
    /// Why nothing is done about what it holds up before it is there.
    pub(in crate::advise) fn why(&self) -> String {
        format!("it waits for what holds it up: {}", self.named)
    }
}

/// What is not there of what holds up the part that has this fault; `None` where the fault is no want of that.
pub(in crate::advise) fn waits_for(
    it: &Assessment,
    finding: &Finding,
    book: &TradeBook,
) -> Option<Missing> {
    book.tag(&finding.tag).filter(|it| it.held_up)?;
    let kinds = Kinds::of(it, book);
    let held = kinds.kind(&finding.part);
    let holds =
        |kind: Option<&PartKind>| kind.is_some_and(|it| it.holds.iter().any(|it| it == held));
    let mut missing = it.findings.iter().filter(|of| {
        let absent = book.tag(&of.tag).is_some_and(|it| it.absence);
        let kind = book.kind(kinds.kind(&of.part));
        absent && of.is_to_do() && (holds(kind) || holds(book.kind_called(&of.which)))
    });
    let told = missing.next().map(|of| Missing {
        part: of.part.clone(),
        finding: Some(of.no),
        named: of.named().to_string(),
    });
    told.or_else(|| {
        let kind = |of: &PartId| it.kinds.get(of).map(String::as_str);
        let absent = missing_support(&it.parts, kind, &it.findings, book);
        let absent = absent
            .into_iter()
            .find(|of| holds(book.kind(kinds.kind(&of.part))));
        absent.map(|of| Missing {
            part: of.part.clone(),
            finding: None,
            named: small(&of.label),
        })
    })
}
