//! Taking photos in.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::suggested::stages;
use crate::cli::output::bar::Bar;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::mark;
use crate::cli::output::text::numbers;
use crate::kit::clock::ClockOff;
use crate::model::ids::StockNo;
use crate::model::photo::Stage;
use crate::work::WorkError;
use crate::work::photos::import::import;
use crate::work::photos::import_request::ImportRequest;
use crate::work::photos::import_request::WhichShoot;
use crate::work::photos::imported::Imported;
use crate::work::photos::lay_faces::LaidOver;
use crate::work::photos::lay_faces::Looked;
use crate::work::photos::lay_faces::lay_after_import;
use crate::work::piece::at_door;
use crate::work::piece::at_door::Beside;

/// Take the photos of a shoot into the book; can be repeated and interrupted
#[derive(Args, Debug)]
pub(in crate::cli) struct ImportArgs {
    /// Photos, folders, or a zip as a phone shares it
    #[arg(required = true)]
    paths: Vec<PathBuf>,
    /// Stock number
    #[arg(long)]
    piece: StockNo,
    /// doorstep, purchase, work, sale, handover, delivery or return
    #[arg(long, value_parser = stages(), hide_possible_values = true)]
    stage: Stage,
    /// What to add to the camera's clock, such as +1d1h or -2h30m
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    clock_off: Option<ClockOff>,
    /// Only the clock of this camera was off, by a part of its name
    #[arg(long, value_name = "NAME", requires = "clock_off")]
    camera: Option<String>,
    /// Start a new shoot, even where one of this stage and these days is there
    #[arg(long)]
    new_shoot: bool,
    /// The file that the page for the door made: what was tapped is written beside a photo of the shoot
    #[arg(long, value_name = "FILE")]
    doorstep: Option<PathBuf>,
    /// Do not look for faces that you laid by hand in the other pictures; `asfound lay` does it later
    #[arg(long)]
    no_lay: bool,
}

pub(in crate::cli) fn run(context: &Context, args: ImportArgs) -> Result<Exit, WorkError> {
    let order = &ImportRequest {
        stock_no: args.piece,
        stage: args.stage,
        paths: args.paths,
        clock_off: args.clock_off.unwrap_or_default(),
        camera: args.camera,
        shoot: if args.new_shoot {
            WhichShoot::Start
        } else {
            WhichShoot::JoinOrStart
        },
    };
    if !order.paths.iter().any(|it| it.exists()) {
        let named: Vec<String> = order
            .paths
            .iter()
            .map(|it| format!("`{}`", it.display()))
            .collect();
        return Err(WorkError::Asked {
            what: format!("there is no {}", named.join(", no ")),
            hint: Some(
                "name photos, folders or a zip that are there; nothing was taken in".to_owned(),
            ),
        });
    }
    let mut book = context.open()?;
    // Before a photo is taken in, so that a damaged file changes nothing.
    let tapped = match &args.doorstep {
        Some(path) => Some(at_door::marks(
            &book,
            &order.stock_no,
            &at_door::read(&book, path)?,
        )?),
        None => None,
    };
    let bar = Bar::default();
    let mut done = import(&mut book, order, &bar)?;
    if let Some(marks) = tapped {
        done.doorstep = Some(at_door::beside(
            &mut book,
            &order.stock_no,
            order.stage,
            marks,
        )?);
    }
    if !context.json {
        print(&done, order);
    }
    if !args.no_lay {
        // The photos are in, whatever becomes of this.
        match lay_after_import(&mut book, &order.stock_no, &bar) {
            Ok(Looked::Found(laid)) => done.laid = Some(laid),
            Ok(Looked::TooMany) => talk(&format!(
                "your laid faces may lie in other pictures too: `asfound lay {}` looks, which takes a while",
                order.stock_no
            )),
            Ok(Looked::NoFace) => {}
            Err(error) => talk(&format!("faces were not looked for: {error}")),
        }
    }
    if context.json {
        json(&done);
    }
    if let (false, Some(laid)) = (context.json, &done.laid) {
        print_laid(laid, &order.stock_no);
    }
    let clean = done.refused.is_empty() && done.warnings.is_empty();
    Ok(Exit::clean(clean))
}

fn print(done: &Imported, order: &ImportRequest) {
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
    if done.clock_put_right > 0 {
        talk(&format!(
            "{} added to the camera's clock of {} of them",
            order.clock_off, done.clock_put_right
        ));
    }
    for line in known(done, order) {
        talk(&line);
    }
    for it in &done.refused {
        talk(&format!("{} {}: {}", mark("kept out:"), it.file, it.reason));
    }
    if !done.refused.is_empty() {
        talk(&format!(
            "  copy what is broken again from the camera or the phone; of what is too large import a smaller copy; what belongs to the piece and is no photo, or its original: `asfound keep {} FILE`",
            order.stock_no
        ));
    }
    if let [first, ..] = done.beside.as_slice() {
        talk(&format!(
            "{} that only go with photos (short films, edits, lists of an export) stay where they are, such as {first}",
            count(done.beside.len(), "file")
        ));
    }
    print_from_door(done);
    if let [first, ..] = done.written.as_slice() {
        talk(&format!(
            "another program's keywords or regions in {} stand as comments in the sidecars, such as {first}.toml; they count when you say them",
            count(done.written.len(), "photo")
        ));
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
        if order.stage == Stage::Delivery {
            talk(&format!(
                "if something came damaged, carriers want to be told soon: `asfound deadlines {no}`"
            ));
        }
        talk(
            "to show later that these pictures were in the book today: a seal whose letter you mail, or a time stamp",
        );
        talk("  asfound seal");
        talk("  asfound seal --authority URL --root AUTHORITY-ROOT.pem");
    }
}

/// Where what was tapped at the door is now.
fn print_from_door(done: &Imported) {
    match &done.doorstep {
        Some(Beside {
            photo: Some(photo),
            marks,
        }) => data(&format!(
            "{} from the door, beside picture {photo}: move each to the picture that shows it",
            count(*marks, "mark")
        )),
        Some(_) => talk("what was tapped at the door is in the book already"),
        None => {}
    }
}

/// One line, where a face was found.
fn print_laid(laid: &LaidOver, no: &StockNo) {
    let sure = laid.faces.iter().filter(|it| it.accepted).count();
    let open = laid.faces.len() - sure;
    let mut told = Vec::new();
    if sure > 0 {
        told.push(format!(
            "{sure} beyond doubt (`asfound lay {no} --take` writes them)"
        ));
    }
    if open > 0 {
        told.push(format!("{open} to look at (`asfound lay {no}` lists them)"));
    }
    if !told.is_empty() {
        talk(&format!(
            "faces found in other pictures: {}",
            told.join(", ")
        ));
    }
}

/// Where the files are that were not taken in because the book has, or had, their bytes.
fn known(done: &Imported, order: &ImportRequest) -> Vec<String> {
    let mut by_shoot: BTreeMap<(u32, Option<Stage>), BTreeSet<u32>> = BTreeMap::new();
    let mut lines = Vec::new();
    for it in &done.known {
        match it.shoot {
            Some(shoot) => {
                let shoot = (shoot, it.stage);
                by_shoot.entry(shoot).or_default().insert(it.photo);
            }
            None => lines.push(format!(
                "{} {}: the same picture is in {} too, number {}",
                mark("look:"),
                it.file,
                it.piece,
                it.photo
            )),
        }
    }
    let here = by_shoot.iter().map(|((shoot, stage), photos)| {
        let stage = stage.filter(|it| *it != order.stage);
        let elsewhere = stage.map_or_else(String::new, |stage| {
            let (no, asked) = (&order.stock_no, order.stage);
            let these: Vec<String> = photos.iter().map(u32::to_string).collect();
            format!(
                "; that is of the {stage}: where it should be of the {asked}, `asfound amend {no} --photo {} --stage {asked}`",
                these.join(",")
            )
        });
        format!(
            "in the book already, shoot {shoot}: {} {}{elsewhere}",
            match photos.len() {
                1 => "picture",
                _ => "pictures",
            },
            numbers(photos)
        )
    });
    let out = done.removed.iter().map(|it| {
        format!(
            "{} {}: it is picture {}, which was taken out on {} because \"{}\"; `asfound put-back {} --photo {}` brings it back",
            mark("look:"),
            it.file,
            it.photo,
            it.removed.local_day().spoken(),
            it.why,
            order.stock_no,
            it.photo
        )
    });
    here.chain(lines).chain(out).collect()
}
