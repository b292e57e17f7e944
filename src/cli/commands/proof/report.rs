//! The condition report.

use std::path::Path;
use std::path::PathBuf;

use clap::Args;
use clap::ValueEnum;
use serde::Serialize;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::language::LanguageArg;
use crate::cli::output::bar::Bar;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::mark;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::out;
use crate::work::report::edition::EditionRequest;
use crate::work::report::edition::Finish;
use crate::work::report::edition::Gap;
use crate::work::report::edition::Packing;
use crate::work::report::edition::Reader;
use crate::work::report::edition::Reported;
use crate::work::report::edition::report;
use crate::work::report::pdf;

/// Write the condition report
#[derive(Args, Debug)]
pub(in crate::cli) struct ReportArgs {
    /// Stock number
    no: StockNo,
    /// For whom
    #[arg(long = "for", value_name = "READER", default_value = "buyer")]
    reader: ReaderWord,
    /// Print it although something required is missing; the gaps are marked
    #[arg(long)]
    draft: bool,
    /// A folder with full-size pictures instead of one file
    #[arg(long)]
    folder: bool,
    /// Print it as PDF too, beside the page
    #[arg(long)]
    pdf: bool,
    /// Where to write it [default: the piece's reports folder]
    #[arg(long, value_name = "PATH")]
    out: Option<PathBuf>,
    #[command(flatten)]
    language: LanguageArg,
}

/// For whom a report is.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum ReaderWord {
    /// What a buyer should know; nothing private
    Buyer,
    /// The same with prices, hours, private notes and places
    Owner,
}

pub(in crate::cli) fn run(context: &Context, args: ReportArgs) -> Result<Exit, WorkError> {
    let order = &EditionRequest {
        stock_no: args.no,
        reader: match args.reader {
            ReaderWord::Buyer => Reader::Buyer,
            ReaderWord::Owner => Reader::Owner,
        },
        finish: if args.draft {
            Finish::Draft
        } else {
            Finish::Final
        },
        packing: if args.folder {
            Packing::Folder
        } else {
            Packing::OneFile
        },
        out: args.out,
        language: args.language.language,
    };
    if let Some(page) = order.out.as_deref().filter(|it| args.pdf && !it.is_dir())
        && !args.folder
    {
        out::free(&page.with_extension("pdf"), page.parent())?;
    }
    let mut book = context.open()?;
    let bar = Bar::default();
    let done = report(&mut book, order, &bar)?;
    let page = done.path.as_deref().filter(|_| args.pdf);
    let printed = page.map(|it| pdf::print(Path::new(it))).transpose()?;
    let lacks_pdf = printed == Some(None);
    let printed = printed.flatten().map(|it| it.display().to_string());
    if context.json {
        json(&Answer::new(&done, printed.as_deref()));
    } else if let (Some(path), Some(bytes)) = (&done.path, done.bytes) {
        data(path);
        let what = match done.edition {
            None => "draft".to_owned(),
            Some(no) => format!("edition {no}"),
        };
        talk(&format!("{what}, {:.1} MB", bytes as f64 / 1e6));
        if let Some(pdf) = &printed {
            data(pdf);
        }
        if lacks_pdf {
            talk(&format!("{} {}", mark("look:"), pdf::BY_HAND));
        }
        if done.complaints > 0 {
            talk(&format!(
                "{} {} about sidecars: their newest text is not in force, and the report says so; `asfound survey {}` shows the places",
                mark("look:"),
                count(done.complaints, "complaint"),
                order.stock_no
            ));
        }
    } else {
        talk(&format!("{} {BLOCKED}:", mark("could not:")));
        print_gaps(&done.blocked_by);
        talk(&format!("or {DRAFT}"));
    }
    Ok(match (&done.path, done.complaints) {
        (None, _) => Exit::CouldNot,
        (Some(_), 0) if !lacks_pdf => Exit::Done,
        (Some(_), _) => Exit::NeedsAHand,
    })
}

const BLOCKED: &str = "the report cannot be final while this is missing";
const DRAFT: &str = "print it with the gaps marked: --draft";

/// What came of it as `--json` gives it; a report that could not be final names that as other errors do.
#[derive(Serialize)]
struct Answer<'a> {
    #[serde(flatten)]
    done: &'a Reported,
    /// The PDF, where one was printed.
    pdf: Option<&'a str>,
    #[serde(flatten)]
    blocked: Option<Blocked<'a>>,
}

#[derive(Serialize)]
struct Blocked<'a> {
    error: &'static str,
    because: Vec<&'a str>,
    hint: String,
}

impl<'a> Answer<'a> {
    fn new(done: &'a Reported, pdf: Option<&'a str>) -> Self {
        let because = done.blocked_by.iter().map(|it| it.message.as_str());
        let blocked = done.path.is_none().then(|| Blocked {
            error: BLOCKED,
            because: because.collect(),
            hint: format!("mend what `blocked_by` names, or {DRAFT}"),
        });
        Self { done, pdf, blocked }
    }
}

fn print_gaps(gaps: &[Gap]) {
    for it in gaps {
        talk(&format!("  {}\n      {}", it.message, it.remedy));
    }
}
