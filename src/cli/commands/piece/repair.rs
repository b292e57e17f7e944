//! Recording a repair.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::amount::amount;
use crate::cli::input::number::whole;
use crate::cli::input::or::Or;
use crate::cli::input::or::Taken;
use crate::cli::input::suggested::suggested;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::mark;
use crate::kit::clock::Day;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::repair::RepairInput;
use crate::work::WorkError;
use crate::work::advice::glossary::Kind;
use crate::work::piece::repair::Repaired;
use crate::work::piece::repair::repair;

/// Record a repair
#[derive(Args, Debug)]
pub(in crate::cli) struct RepairArgs {
    /// Stock number
    no: StockNo,
    /// The findings it is for, such as F3 F4
    findings: Vec<FindingNo>,
    /// Parts it was done on, where no finding tells that: work from before the first mark, such as frame,back
    #[arg(long, value_name = "PARTS", value_delimiter = ',')]
    on: Vec<PartId>,
    /// It was done on the piece as a whole, for no finding and no part alone
    #[arg(long, conflicts_with_all = ["findings", "on"])]
    whole_piece: bool,
    /// The method, such as veneer_patch; `asfound words methods` lists them
    #[arg(long, required_unless_present = "again", value_parser = suggested(Kind::Methods), hide_possible_values = true)]
    method: Option<String>,
    /// Put right what was told of the repair of this number; what is not given stays
    #[arg(long, value_name = "NUMBER", value_parser = whole)]
    again: Option<u32>,
    /// The day [default: today]
    #[arg(long, value_name = "DAY")]
    day: Option<Day>,
    /// New material that is now part of the piece, as the buyer should read it
    #[arg(long, value_name = "TEXT")]
    new_material: Option<String>,
    /// What of the fault is hidden rather than cured, as the buyer should read it
    #[arg(long, value_name = "TEXT")]
    hides: Option<String>,
    /// A note for the report
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// Private: minutes of work
    #[arg(long, value_name = "MINUTES", value_parser = whole)]
    minutes: Option<u32>,
    /// Private: cost of materials, in the book's currency; what others take is told once, by `asfound amend NO --bill`; `none` takes it back
    #[arg(long, value_name = "AMOUNT")]
    cost: Option<Or<String>>,
    /// Private: a note for yourself
    #[arg(long, value_name = "TEXT")]
    private_note: Option<String>,
}

pub(in crate::cli) fn run(context: &Context, args: RepairArgs) -> Result<Exit, WorkError> {
    let on_nothing = args.findings.is_empty() && args.on.is_empty() && !args.whole_piece;
    if on_nothing && args.again.is_none() {
        return Err(WorkError::Asked {
            what: "nothing says what the repair was done on".to_owned(),
            hint: Some(
                "name its findings, such as F3 F4, or the parts with `--on PARTS`; for the piece as a whole give `--whole-piece`".to_owned(),
            ),
        });
    }
    let mut book = context.open()?;
    let mut gone = Taken::default();
    let cost = gone.or((), args.cost);
    let told = RepairInput {
        again: args.again,
        findings: args.findings,
        parts: args.on,
        whole_piece: args.whole_piece,
        method: args.method,
        day: args.day,
        new_material: args.new_material,
        hides: args.hides,
        note: args.note,
        minutes: args.minutes,
        cost: amount(&book, "--cost", cost)?,
        no_cost: !gone.facts.is_empty(),
        private_note: args.private_note,
    };
    let done = repair(&mut book, &args.no, told)?;
    let end = Exit::clean(done.odd.is_empty());
    if context.json {
        json(&done);
        return Ok(end);
    }
    data(&format!(
        "repair {} of {}: {}, {}, {}",
        done.repair,
        args.no,
        done.method,
        done.day,
        subject(&done)
    ));
    if done.already {
        talk("this very repair is on record already; nothing was entered");
        return Ok(Exit::Done);
    }
    for it in &done.odd {
        talk(&format!("{} {it}", mark("look:")));
    }
    for it in &done.cautions {
        talk(&format!("{} {it}", mark("mind:")));
    }
    talk(&done.then);
    Ok(end)
}

/// What it was done on.
fn subject(done: &Repaired) -> String {
    if done.whole_piece {
        return "on the piece as a whole".to_owned();
    }
    let parts: Vec<&str> = done.parts.iter().map(|it| it.label.as_str()).collect();
    let all = [("for", done.findings.join("; ")), ("on", parts.join("; "))];
    let told = all.into_iter().filter(|it| !it.1.is_empty());
    let told: Vec<String> = told.map(|(word, it)| format!("{word} {it}")).collect();
    told.join("; ")
}
