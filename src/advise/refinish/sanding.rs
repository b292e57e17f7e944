//! What sanding a face of thin wood still bears: the lowest thickness, less what must stay, is what may come off.

use crate::advise::refinish::advice::Fits;
use crate::advise::refinish::advice::GritAdvice;
use crate::advise::refinish::advice::Sanding;
use crate::trade::TradeBook;
use crate::trade::entry::path::FaceBand;
use crate::trade::entry::path::GritRun;

/// What a face bears whose lowest thickness is this, mm; the thinnest is taken when it was not measured.
pub(crate) fn sanding(lowest_mm: Option<f64>, book: &TradeBook) -> Sanding {
    let thickness = lowest_mm.unwrap_or(0.0);
    let band = band(thickness, book);
    let reserve_mm = band.map_or(thickness, |it| it.reserve_mm);
    let most_mm = band.map_or(0.0, |it| it.most_mm);
    let budget_mm = microns((thickness - reserve_mm).clamp(0.0, most_mm));
    let runs = book.grit_runs.iter().map(|it| GritAdvice {
        grits: it.grits.clone(),
        takes_mm: it.takes_mm,
        fits: fits(it, thickness, budget_mm),
    });
    Sanding {
        lowest_mm,
        at_most_mm: None,
        reserve_mm,
        budget_mm,
        bears: band.map_or_else(String::new, |it| it.bears.clone()),
        runs: runs.collect(),
    }
}

/// What must not be done to a face as thick as this.
pub(crate) fn never(lowest_mm: Option<f64>, book: &TradeBook) -> &[String] {
    let band = band(lowest_mm.unwrap_or(0.0), book);
    band.map_or(&[], |it| &it.never)
}

/// Whether any run of grits fits.
pub(crate) fn any_fits(sanding: &Sanding) -> bool {
    sanding.runs.iter().any(|it| it.fits == Fits::Fits)
}

fn band(thickness: f64, book: &TradeBook) -> Option<&FaceBand> {
    let holds = |it: &&FaceBand| it.from_mm <= thickness && thickness < it.below_mm;
    book.face_bands.iter().find(holds)
}

fn fits(run: &GritRun, thickness: f64, budget_mm: f64) -> Fits {
    let [least, most] = run.takes_mm;
    if thickness < run.from_mm {
        return Fits::No;
    }
    match (most <= budget_mm, least <= budget_mm) {
        (true, _) => Fits::Fits,
        (_, true) => Fits::Tight,
        _ => Fits::No,
    }
}

/// Rounded to a thousandth of a millimetre: a difference of two such numbers is no longer one of them.
fn microns(mm: f64) -> f64 {
    (mm * 1000.0).round() / 1000.0
}
