//! What other programs read of a piece.

use std::path::PathBuf;

use clap::Args;
use serde_json::Value;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::bar::Bar;
use crate::cli::output::csv::table;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::raw;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::hung;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::exchange::annotations::annotations;
use crate::work::exchange::finding_rows::FindingRow;
use crate::work::exchange::finding_rows::finding_rows;
use crate::work::exchange::photo_copies::PhotoCopies;
use crate::work::exchange::photo_copies::photo_copies;
use crate::work::out;

/// Give a piece to other programs: findings as a table, marks as web annotations, photos with their marks; nothing private
#[derive(Args, Debug)]
pub(in crate::cli) struct ExportArgs {
    /// Stock number
    no: StockNo,
    #[command(flatten)]
    what: What,
    /// With --photos: a picture to give, by number [default: all but those taken at other people's homes: doorstep, handover,
    /// delivery, return]
    #[arg(
        long,
        value_name = "NUMBER",
        requires = "photos",
        value_delimiter = ','
    )]
    photo: Vec<u32>,
    /// Where to write it [default: standard output]
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// What is given.
#[derive(Args, Debug)]
#[group(required = true, multiple = false)]
struct What {
    /// The findings, one a row, as comma-separated values
    #[arg(long)]
    findings: bool,
    /// The marks in all pictures, as W3C Web Annotations (JSON-LD)
    #[arg(long)]
    marks: bool,
    /// Copies of the photos, upright and without what the camera wrote, into this new folder: the marks are in them as IPTC image
    /// regions and keywords (XMP)
    #[arg(long, value_name = "DIR", conflicts_with = "out")]
    photos: Option<PathBuf>,
}

pub(in crate::cli) fn run(context: &Context, args: &ExportArgs) -> Result<Exit, WorkError> {
    let to = args.out.as_deref().filter(|it| it.as_os_str() != "-");
    to.map_or(Ok(()), |it| out::free(it, None))?;
    let mut book = context.open_to_read_of(&args.no)?;
    if let Some(folder) = &args.what.photos {
        let done = photo_copies(&mut book, &args.no, folder, &args.photo, &Bar::default())?;
        return Ok(print(context, &done));
    }
    let text = if args.what.findings {
        let rows = finding_rows(&mut book, &args.no)?;
        if context.json && args.out.is_none() {
            json(&rows);
            return Ok(Exit::Done);
        }
        table(&COLUMNS, rows.iter().map(fields)) + "\r\n"
    } else {
        let all = annotations(&mut book, &args.no)?;
        serde_json::to_string_pretty(&all).unwrap_or_default() + "\n"
    };
    match to {
        Some(path) => out::write_new(path, text.as_bytes())?,
        None => raw(&text),
    }
    Ok(Exit::Done)
}

fn print(context: &Context, done: &PhotoCopies) -> Exit {
    match context.json {
        true => json(done),
        false => {
            data(&done.folder);
            talk(&count(done.photos.len(), "photo"));
            if !done.not_asked.is_empty() {
                let numbers: Vec<String> = done.not_asked.iter().map(u32::to_string).collect();
                talk(&format!(
                    "left out, they may show other people's homes: {}; --photo NUMBER gives one",
                    numbers.join(", ")
                ));
            }
            for it in &done.left_out {
                data(&hung(
                    "  NOT ",
                    &format!("{} ({}): {}", it.photo, it.name, it.why),
                ));
            }
        }
    }
    Exit::clean(done.left_out.is_empty())
}

/// As the findings are called under `--json`.
const COLUMNS: [&str; 24] = [
    "stock_no",
    "id",
    "term",
    "which",
    "part",
    "part_label",
    "level",
    "state",
    "outcome",
    "first_seen",
    "last_seen",
    "size",
    "face",
    "left_mm",
    "top_mm",
    "width_mm",
    "height_mm",
    "uncertainty_mm",
    "repairs",
    "photos",
    "origin",
    "note",
    "withdrawn_on",
    "measured_on",
];

/// The values of a row as `--json` gives them; lists with blanks between.
fn fields(row: &FindingRow) -> Vec<String> {
    let row = serde_json::to_value(row).unwrap_or_default();
    COLUMNS.iter().map(|it| plain(&row[*it])).collect()
}

fn plain(it: &Value) -> String {
    match it {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        Value::Array(all) => all.iter().map(plain).collect::<Vec<_>>().join(" "),
        other => other.to_string(),
    }
}
