//! Commands about photos and their sidecars.

use crate::cli::args::ImportArgs;
use crate::cli::bar::Bar;
use crate::cli::jobs::Call;
use crate::cli::jobs::Done;
use crate::cli::say::count;
use crate::cli::say::data;
use crate::cli::say::json;
use crate::cli::say::mark;
use crate::cli::say::talk;
use crate::cli::survey_text;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::advice::survey::survey;
use crate::work::photos::import::ImportOrder;
use crate::work::photos::import::Imported;
use crate::work::photos::import::WhichShoot;
use crate::work::photos::import::import;
use crate::work::sidecars::put_back::put_back;

pub(super) fn run_import(call: &Call, args: ImportArgs) -> Result<Done, WorkError> {
    let order = &ImportOrder {
        stock_no: args.piece,
        stage: args.stage,
        paths: args.paths,
        clock_off: args.clock_off.unwrap_or_default(),
        shoot: if args.new_shoot {
            WhichShoot::Start
        } else {
            WhichShoot::JoinOrStart
        },
    };
    let mut book = call.open()?;
    let bar = Bar::default();
    let done = import(&mut book, order, &bar)?;
    if call.json {
        json(&done);
    } else {
        print_import(&done, order);
    }
    let clean = done.refused.is_empty() && done.warnings.is_empty();
    Ok(if clean { Done::Well } else { Done::NeedsAHand })
}

fn print_import(done: &Imported, order: &ImportOrder) {
    let to = done
        .shoot
        .as_ref()
        .map_or(String::new(), |it| format!(" to shoot `{}`", it.folder));
    data(&format!(
        "{} taken{to}, {} in the book already, {} kept out",
        count(done.taken, "photo"),
        done.already,
        done.refused.len()
    ));
    for it in &done.refused {
        talk(&format!("{} {}: {}", mark("kept out:"), it.file, it.reason));
    }
    for it in &done.warnings {
        talk(&format!("{} {it}", mark("look:")));
    }
    if done.taken > 0 {
        let no = &order.stock_no;
        talk(
            "now say what they show, on a page or in the .toml file beside each photo; then ask what is missing",
        );
        talk(&format!("  asfound mark {no}"));
        talk(&format!("  asfound survey {no}"));
    }
}

pub(super) fn run_survey(call: &Call, no: &StockNo) -> Result<Done, WorkError> {
    let mut book = call.open()?;
    let it = survey(&mut book, no)?;
    if call.json {
        json(&it);
    } else {
        survey_text::print(&it);
    }
    let clean = it.complaints.is_empty() && it.missing_sidecars.is_empty();
    Ok(if clean { Done::Well } else { Done::NeedsAHand })
}

pub(super) fn run_put_back(call: &Call, no: &StockNo) -> Result<Done, WorkError> {
    let mut book = call.open()?;
    let written = put_back(&mut book, no)?;
    if call.json {
        json(&serde_json::json!({ "written": written }));
        return Ok(Done::Well);
    }
    if written.is_empty() {
        talk("no sidecar is missing");
    }
    for it in &written {
        data(it);
    }
    Ok(Done::Well)
}
