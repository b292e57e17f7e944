//! Seasonal movement in words.

use crate::cli::args::GrainWord;
use crate::cli::args::SeasonArgs;
use crate::cli::jobs::Call;
use crate::cli::jobs::Done;
use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::json;
use crate::cli::say::talk;
use crate::cli::say::wrapped;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::advice::season;
use crate::work::advice::season::Air;
use crate::work::advice::season::AirTold;
use crate::work::advice::season::Grain;
use crate::work::advice::season::Year;

/// Says how much a piece, or a board, moves through the year.
pub(super) fn run_season(call: &Call, args: SeasonArgs) -> Result<Done, WorkError> {
    let told = AirTold {
        winter: args.winter,
        summer: args.summer,
        now: args.now,
        celsius: args.celsius,
    };
    match (args.no, args.wood) {
        (Some(no), _) => of_piece(call, &no, told),
        (None, wood) => {
            let grain = match args.grain {
                Some(GrainWord::Flat) => Grain::Flat,
                Some(GrainWord::Quarter) => Grain::Quarter,
                None => Grain::Unknown,
            };
            let width = args.width.map_or(0.0, |it| it.mm);
            of_board(call, &wood.unwrap_or_default(), width, grain, told)
        }
    }
}

fn of_piece(call: &Call, no: &StockNo, told: AirTold) -> Result<Done, WorkError> {
    let it = season::of_piece(&mut call.open()?, no, told)?;
    if call.json {
        json(&it);
        return Ok(Done::Well);
    }
    data(&heading(&format!("{}  {}", it.stock_no, it.title)));
    print_air(&it.air);
    for part in &it.parts {
        data(&hung(&part.text));
    }
    if it.parts.is_empty() {
        talk("no wood is recorded; mark a part `looks_like_wood` and name the wood in `which`");
    }
    talk("advice, not a measurement");
    Ok(Done::Well)
}

fn of_board(
    call: &Call,
    wood: &str,
    width_mm: f64,
    grain: Grain,
    told: AirTold,
) -> Result<Done, WorkError> {
    let book = call.open_if_any()?;
    let it = season::of_board(book.as_ref(), wood, width_mm, grain, told)?;
    if call.json {
        json(&it);
        return Ok(Done::Well);
    }
    let head = format!(
        "{}, {} mm across the grain, {}",
        it.label,
        it.width_mm,
        it.grain.words()
    );
    data(&heading(&head));
    print_air(&it.air);
    data(&hung(&it.text));
    talk(&format!(
        "advice, not a measurement; figures: {}",
        it.source
    ));
    Ok(Done::Well)
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
        data(&hung(line));
    }
}

fn hung(text: &str) -> String {
    let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
    wrapped("  ", &words, " ")
}
