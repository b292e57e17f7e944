//! Putting right what was told of a piece.

use clap::ArgGroup;
use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::number::whole;
use crate::cli::input::piece::PieceArgs;
use crate::cli::input::suggested::stages;
use crate::cli::input::suggested::suggested;
use crate::cli::output::data;
use crate::cli::output::failure::tell_line;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::mark;
use crate::cli::output::text::numbers;
use crate::kit::clock::Day;
use crate::model::ids::StockNo;
use crate::model::photo::Stage;
use crate::model::piece::PieceInput;
use crate::work::WorkError;
use crate::work::advice::glossary::Kind;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::intake::amend;
use crate::work::piece::lacking::Lacking;
use crate::work::piece::other_shoot::WhichOne;
use crate::work::piece::other_shoot::put_into;
use crate::work::piece::shoot::ShootInput;
use crate::work::piece::shoot::amend_shoot;

/// Put right what was told of a piece, of one of its shoots, or of which shoot photos are
#[derive(Args, Debug)]
#[command(group(ArgGroup::new("what").args(["shoot", "photo"]).multiple(true)))]
pub(in crate::cli) struct AmendArgs {
    /// Stock number
    no: StockNo,
    /// A new short description; the folder keeps its name
    #[arg(long)]
    title: Option<String>,
    /// Its form
    #[arg(long, value_parser = suggested(Kind::Forms), hide_possible_values = true)]
    form: Option<String>,
    /// Numbers of photos that are of another shoot, such as 3,4: that of --shoot, or that of --stage and --day, which begins with
    /// them where there is none; their files stay where they are
    #[arg(long, value_name = "NUMBERS", value_delimiter = ',', value_parser = whole)]
    photo: Vec<u32>,
    /// The shoot of this number is to be put right: its --stage or its --day; with --photo, the one that they are of
    #[arg(long, value_name = "NUMBER", value_parser = whole)]
    shoot: Option<u32>,
    /// The shoot's occasion; the folder keeps its name
    #[arg(long, requires = "what", value_parser = stages(), hide_possible_values = true)]
    stage: Option<Stage>,
    /// The shoot's first day, where no camera tells it; else use `asfound clock`
    #[arg(long, value_name = "DAY", requires = "what")]
    day: Option<Day>,
    #[command(flatten)]
    told: PieceArgs,
}

pub(in crate::cli) fn run(context: &Context, args: AmendArgs) -> Result<Exit, WorkError> {
    let mut book = context.open_of(&args.no)?;
    let told = args.told.told(&book, args.title, args.form)?;
    let of_shoots = !args.photo.is_empty() || args.shoot.is_some();
    if of_shoots && told != PieceInput::default() {
        let line = "put a shoot right with a command of its own, without what is told of the piece";
        return Ok(tell_line(line, context.json));
    }
    if !args.photo.is_empty() {
        let which = match (args.shoot, args.stage, args.day) {
            (Some(no), None, None) => WhichOne::Numbered(no),
            (None, Some(stage), day) => WhichOne::Of { stage, day },
            (Some(_), ..) => {
                let line = "`--shoot` says of which shoot the photos are; put the shoot itself right with a command of its own";
                return Ok(tell_line(line, context.json));
            }
            (None, None, _) => {
                let line = "say of which shoot the photos are: `--shoot NUMBER`, or its `--stage` and `--day`";
                return Ok(tell_line(line, context.json));
            }
        };
        return run_photos(context, &mut book, &args.no, &args.photo, which);
    }
    if let Some(no) = args.shoot {
        let shoot = ShootInput {
            no,
            stage: args.stage,
            day: args.day,
        };
        return run_shoot(context, &mut book, &args.no, shoot);
    }
    if told == PieceInput::default() {
        let line = "nothing to put right was named; `asfound amend --help` lists what can be";
        return Ok(tell_line(line, context.json));
    }
    let done = amend(&mut book, &args.no, told)?;
    let contradicted = done.lacking.iter().any(|it| !it.look.is_empty());
    let end = Exit::clean(done.not_on_list.is_empty() && done.odd.is_empty() && !contradicted);
    if context.json {
        json(&done);
        return Ok(end);
    }
    data(&format!("{}  {}", done.piece.stock_no, done.piece.title));
    for line in &done.kept {
        talk(&format!("  {line}"));
    }
    done.lacking.iter().for_each(print_lacking);
    print_odd(&done.odd);
    for it in &done.not_on_list {
        talk(&format!(
            "{} `{}` is not on the list of this piece now, and something is said of it beside picture {}",
            mark("look:"),
            it.part,
            numbers(&it.photos)
        ));
    }
    if !done.not_on_list.is_empty() {
        talk(
            "  what was read stays in force; a sidecar that is changed can name only parts of the list: add them with --with, or mend the sidecars",
        );
    }
    Ok(end)
}

fn print_lacking(it: &Lacking) {
    for (word, parts) in [
        ("told as not there now", &it.absent),
        ("told as never had now", &it.never_had),
        ("no more told as lacking", &it.no_more),
    ] {
        if !parts.is_empty() {
            talk(&format!("  {word}: {}", numbers(parts)));
        }
    }
    for line in &it.look {
        talk(&format!("{} {line}", mark("look:")));
    }
}

fn print_odd(odd: &[String]) {
    for it in odd {
        talk(&format!(
            "{} {it}{}",
            mark("look:"),
            // What says itself what to do says it.
            match it.contains('`') {
                true => "",
                false => "; if one of these days is wrong, tell it again",
            }
        ));
    }
}

fn run_photos(
    context: &Context,
    book: &mut OpenBook,
    no: &StockNo,
    photos: &[u32],
    which: WhichOne,
) -> Result<Exit, WorkError> {
    let done = put_into(book, no, photos, which)?;
    let end = Exit::clean(done.odd.is_empty() && done.began.is_empty());
    if context.json {
        json(&done);
        return Ok(end);
    }
    let shoot = &done.shoot;
    if done.photos.is_empty() {
        talk(&format!("they are of shoot {} already", shoot.no));
        print_odd(&done.odd);
        return Ok(end);
    }
    let word = match done.photos.len() {
        1 => "picture",
        _ => "pictures",
    };
    data(&format!(
        "{no} {word} {}: of shoot {}, {}, {}",
        numbers(&done.photos),
        shoot.no,
        shoot.stage,
        shoot.day
    ));
    for it in &done.from {
        let left = match it.photos {
            0 => "no picture is of it now, and reports tell of it no more".to_owned(),
            n => format!(
                "{} of it still; it begins on {}",
                count(n, "picture"),
                it.shoot.day
            ),
        };
        talk(&format!(
            "told before as of shoot {}, {}: {left}",
            it.shoot.no, it.shoot.stage
        ));
    }
    let folders = done.folders.iter().map(|it| format!("`{it}`"));
    talk(&format!(
        "files and sidecars stay in {}; the former word stays in the ledger, and a dossier tells both",
        numbers(folders)
    ));
    for it in &done.began {
        talk(&format!(
            "{} shoot {}, {}, began on {}, begins on {} now: what is said beside its pictures is told as of that day",
            mark("look:"),
            it.no,
            it.stage,
            it.was,
            it.is
        ));
    }
    done.recounted.iter().for_each(|it| talk(&it.text()));
    if !done.editions.is_empty() {
        talk(&format!(
            "reports that were made before show them as told then: edition {}",
            numbers(&done.editions)
        ));
    }
    print_odd(&done.odd);
    Ok(end)
}

fn run_shoot(
    context: &Context,
    book: &mut OpenBook,
    no: &StockNo,
    told: ShootInput,
) -> Result<Exit, WorkError> {
    let done = amend_shoot(book, no, told)?;
    let end = Exit::clean(done.odd.is_empty());
    if context.json {
        json(&done);
        return Ok(end);
    }
    let shoot = &done.shoot;
    data(&format!(
        "{no} shoot {}: {}, {}",
        shoot.no, shoot.stage, shoot.day
    ));
    match &done.instead_of {
        Some(it) => talk(&format!(
            "{}, {}, as told before, stays in the ledger; the folder keeps its name, `{}`",
            it.stage, it.day, shoot.folder
        )),
        None => talk("that is what was told of it before"),
    }
    print_odd(&done.odd);
    Ok(end)
}
