//! Seasonal movement of wood.

use clap::Args;
use clap::ValueEnum;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::number::decimal;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::heading;
use crate::cli::output::text::wrapped_text;
use crate::kit::measure::Length;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::advice::season;
use crate::work::advice::season::Air;
use crate::work::advice::season::AirTold;
use crate::work::advice::season::Grain;
use crate::work::advice::season::Year;

/// Say how much solid wood moves between winter and summer; advice, not a measurement
#[derive(Args, Debug)]
pub(in crate::cli) struct SeasonArgs {
    /// Stock number
    #[arg(required_unless_present = "wood", conflicts_with = "wood")]
    no: Option<StockNo>,
    /// A wood, such as black_walnut, for a board that is in no book
    #[arg(long, requires = "width")]
    wood: Option<String>,
    /// Width of the board across the grain, such as 450mm
    #[arg(long, value_name = "LENGTH", requires = "wood")]
    width: Option<Length>,
    /// How it was cut [default: not known, so the larger movement]
    #[arg(long, requires = "wood")]
    grain: Option<GrainWord>,
    /// Humidity where it stands now, percent [default: the one in book.toml]
    #[arg(long, value_name = "PERCENT", value_parser = decimal)]
    now: Option<f64>,
    /// Humidity in winter, percent [default: the one in book.toml, else 35]
    #[arg(long, value_name = "PERCENT", value_parser = decimal)]
    winter: Option<f64>,
    /// Humidity in summer, percent [default: the one in book.toml, else 65]
    #[arg(long, value_name = "PERCENT", value_parser = decimal)]
    summer: Option<f64>,
    /// Temperature, degrees Celsius [default: the one in book.toml, else 21]
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true, value_parser = decimal)]
    celsius: Option<f64>,
}

/// How a board was cut.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum GrainWord {
    /// Growth rings lie along its width
    Flat,
    /// Growth rings stand across its thickness
    Quarter,
}

pub(in crate::cli) fn run(context: &Context, args: SeasonArgs) -> Result<Exit, WorkError> {
    let told = AirTold {
        winter: args.winter,
        summer: args.summer,
        now: args.now,
        celsius: args.celsius,
    };
    match (args.no, args.wood) {
        (Some(no), _) => of_piece(context, &no, told),
        (None, wood) => {
            let grain = match args.grain {
                Some(GrainWord::Flat) => Grain::Flat,
                Some(GrainWord::Quarter) => Grain::Quarter,
                None => Grain::Unknown,
            };
            let width = args.width.map_or(0.0, |it| it.mm);
            of_board(context, &wood.unwrap_or_default(), width, grain, told)
        }
    }
}

fn of_piece(context: &Context, no: &StockNo, told: AirTold) -> Result<Exit, WorkError> {
    let it = season::of_piece(&mut context.open_to_read_of(no)?, no, told)?;
    if context.json {
        json(&it);
        return Ok(Exit::Done);
    }
    data(&heading(&format!("{}  {}", it.stock_no, it.title)));
    print_air(&it.air);
    for part in &it.parts {
        data(&wrapped_text("  ", &part.text.to_string()));
    }
    if it.parts.is_empty() {
        talk("no wood is recorded; mark a part `looks_like_wood` and name the wood in `which`");
    }
    talk("advice, not a measurement");
    Ok(Exit::Done)
}

fn of_board(
    context: &Context,
    wood: &str,
    width_mm: f64,
    grain: Grain,
    told: AirTold,
) -> Result<Exit, WorkError> {
    let book = context.open_if_any()?;
    let it = season::of_board(book.as_ref(), wood, width_mm, grain, told)?;
    if context.json {
        json(&it);
        return Ok(Exit::Done);
    }
    let head = format!(
        "{}, {} mm across the grain, {}",
        it.label,
        it.width_mm,
        it.grain.words()
    );
    data(&heading(&head));
    print_air(&it.air);
    data(&wrapped_text("  ", &it.text.to_string()));
    talk(&format!(
        "advice, not a measurement; figures: {}",
        it.source
    ));
    Ok(Exit::Done)
}

fn print_air(it: &Year) {
    let air = |name: &str, it: &Air| {
        format!(
            "{name} {} % humidity, wood at {:.1} %",
            it.humidity, it.moisture
        )
    };
    let mut words = vec![air("winter", &it.winter), air("summer", &it.summer)];
    words.extend(it.now.as_ref().map(|it| air("now", it)));
    data(&format!("  {}; {} C", words.join("; "), it.celsius));
    for line in &it.outside {
        data(&wrapped_text("  ", line));
    }
}
