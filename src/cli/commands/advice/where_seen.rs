//! Where a finding lies on the piece, and which pictures show that place.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::bar::Bar;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::text::count;
use crate::cli::output::text::heading;
use crate::cli::output::text::hung;
use crate::kit::text::capital;
use crate::kit::text::small;
use crate::model::ids::FindingNo;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::advice::where_seen::Share;
use crate::work::advice::where_seen::SightTold;
use crate::work::advice::where_seen::WhereSeen;
use crate::work::advice::where_seen::where_seen;
use crate::work::advice::where_seen::write_page;

/// Say where on the piece a finding lies, and how every picture of that face sees the place
#[derive(Args, Debug)]
pub(in crate::cli) struct WhereArgs {
    /// Stock number
    no: StockNo,
    /// The finding, such as F3
    finding: FindingNo,
    /// Write the same spot through time as an HTML page [default place: the piece's folder]
    #[arg(long, value_name = "PATH", num_args = 0..=1)]
    page: Option<Option<PathBuf>>,
}

pub(in crate::cli) fn run(context: &Context, args: &WhereArgs) -> Result<Exit, WorkError> {
    let mut book = context.open_to_read_of(&args.no)?;
    let mut it = where_seen(&mut book, &args.no, args.finding)?;
    if let Some(place) = &args.page {
        write_page(&book, &args.no, &mut it, place.as_deref(), &Bar::default())?;
    }
    match (&it.page, context.json) {
        (_, true) => json(&it),
        (Some(page), false) => data(page),
        (None, false) => print(&it),
    }
    Ok(Exit::Done)
}

fn print(it: &WhereSeen) {
    data(&heading(&format!("{}  {}", it.finding, it.title)));
    let low = |n: usize| {
        it.outline_mm
            .iter()
            .map(|at| at[n])
            .fold(f64::INFINITY, f64::min)
    };
    let [width, height] = it.size_mm;
    data(&format!(
        "  on the {}: within {width:.0} x {height:.0} mm, {:.0} mm from the left and {:.0} mm from the top, \u{b1} {:.1} mm (drawn in picture {})",
        it.face,
        low(0),
        low(1),
        it.uncertainty_mm,
        it.from_photo
    ));
    for other in &it.other_marks {
        data(&format!(
            "  another mark of it lies {:.0} mm off (drawn in picture {}): which of the two is right is not known",
            other.off_mm, other.photo
        ));
    }
    for picture in &it.pictures {
        data(&line(picture));
    }
    for (name, said) in &it.turns {
        data(&hung(&format!("  {}: ", small(name)), said));
    }
    if it.pictures.iter().any(SightTold::is_silent) {
        let told = format!(
            "Whether something covers the place where it is not marked is not known; a mark of {} in such a picture with \
             `state = \"not_visible\"` says so.",
            it.finding
        );
        data(&hung("  ", &told));
    }
    for gone in &it.taken_out {
        data(&hung("  ", &format!("{}.", capital(&gone.text()))));
    }
    if it.not_laid > 0 {
        let more = count(it.not_laid, "more picture");
        let told =
            format!("In {more} this face is not laid: whether they show the place is not known.");
        data(&hung("  ", &told));
    }
}

/// `  picture 29  2026-05-20 handover   all   1.5 px/mm  26 deg  nothing marked there`.
fn line(it: &SightTold) -> String {
    let sight = &it.sight;
    let seen = match sight.seen {
        Share::All => "all ",
        Share::Part => "part",
        Share::None => "none",
    };
    let says = it.words();
    let figures = match sight.seen {
        Share::None => " ".repeat(18),
        _ => format!(
            "{:>5.1} px/mm {:>3.0} deg",
            sight.px_per_mm, sight.angle_deg
        ),
    };
    let text = format!(
        "  picture {:>3}  {} {:<9} {seen}  {figures}  {says}",
        sight.photo,
        sight.day,
        sight.stage.word()
    );
    text.trim_end().to_owned()
}
