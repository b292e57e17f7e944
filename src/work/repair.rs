//! Recording a repair.

use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::money::Money;
use crate::kit::near::near;
use crate::model::ids::FindingNo;
use crate::model::ids::StockNo;
use crate::model::repair::Repair;
use crate::trade;
use crate::work::WorkError;
use crate::work::absorb::absorb;
use crate::work::open_book::OpenBook;

/// What the user tells of a repair.
#[derive(Clone, Debug, PartialEq)]
pub struct RepairTold {
    /// The findings it is for.
    pub findings: Vec<FindingNo>,
    /// Method of the trade book.
    pub method: String,
    /// The day; today when not told.
    pub day: Option<Day>,
    /// New material in the piece, for the buyer.
    pub new_material: Option<String>,
    /// What is hidden rather than cured, for the buyer.
    pub hides: Option<String>,
    /// A note for the report.
    pub note: Option<String>,
    /// Private: hands-on minutes.
    pub minutes: Option<u32>,
    /// Private: cost of materials.
    pub cost: Option<Money>,
    /// Private note.
    pub private_note: Option<String>,
}

/// A repair recorded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Repaired {
    /// Its number within the piece.
    pub repair: u32,
    /// The findings it is for: number, part and fault in words.
    pub findings: Vec<String>,
    /// The method in words.
    pub method: String,
    /// The day.
    pub day: Day,
    /// Cautions for whoever does such work.
    pub cautions: Vec<String>,
}

/// Records a repair.
///
/// # Errors
/// When there is no such piece, finding or method, or the book cannot be written.
pub fn repair(
    book: &mut OpenBook,
    stock_no: &StockNo,
    told: RepairTold,
) -> Result<Repaired, WorkError> {
    absorb(book, stock_no)?;
    let known = book.record.findings(stock_no)?;
    let name = trade::book();
    let mut findings = Vec::new();
    for no in &told.findings {
        let found = known.iter().find(|it| it.no == *no).ok_or_else(|| {
            WorkError::asked_with(
                format!("{stock_no} has no finding {no}"),
                format!("`asfound survey {stock_no}` lists its findings"),
            )
        })?;
        let term = name
            .tag(&found.key.tag)
            .map_or(found.key.tag.as_str(), |it| it.term.as_str());
        findings.push(format!(
            "{no} {} on {}",
            term.to_lowercase(),
            found.key.part
        ));
    }
    let method = name
        .method(&told.method)
        .ok_or_else(|| unknown_method(&told.method))?;
    let day = told.day.unwrap_or_else(|| book.now.local_day());
    let repair = Repair {
        no: 0,
        findings: told.findings,
        method: told.method,
        day,
        new_material: told.new_material,
        hides: told.hides,
        note: told.note,
        minutes: told.minutes,
        cost: told.cost,
        private_note: told.private_note,
    };
    Ok(Repaired {
        repair: book.record.add_repair(stock_no, &repair)?,
        findings,
        method: method.name.clone(),
        day,
        cautions: method.cautions.clone(),
    })
}

fn unknown_method(method: &str) -> WorkError {
    let known: Vec<&str> = trade::book()
        .methods
        .iter()
        .map(|it| it.id.as_str())
        .collect();
    let meant = near(method, &known, &[])
        .first()
        .map_or_else(String::new, |it| format!("did you mean `{it}`? "));
    WorkError::asked_with(
        format!("`{method}` is not a method of the trade book"),
        format!("{meant}`asfound words methods` lists all"),
    )
}
