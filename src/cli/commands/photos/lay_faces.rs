//! Carrying faces that a person laid into the other pictures of the piece.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::number::whole;
use crate::cli::output::bar::Bar;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::photos::lay_faces::FoundFace;
use crate::work::photos::lay_faces::LaidOver;
use crate::work::photos::lay_faces::LayRequest;
use crate::work::photos::lay_faces::lay_faces;

/// Find the faces that you laid by hand in the other pictures of the piece
#[derive(Args, Debug)]
pub(in crate::cli) struct LayArgs {
    /// Stock number
    no: StockNo,
    /// Into this picture alone, straight from those in which you laid the face
    #[arg(long, value_name = "NUMBER", value_parser = whole)]
    photo: Option<u32>,
    /// Write what is beyond doubt into the sidecars; what you laid by hand stays as it is
    #[arg(long)]
    take: bool,
}

pub(in crate::cli) fn run(context: &Context, args: LayArgs) -> Result<Exit, WorkError> {
    let mut book = match args.take {
        true => context.open_of(&args.no)?,
        false => context.open_to_read_of(&args.no)?,
    };
    let asked = LayRequest {
        stock_no: args.no,
        photo: args.photo,
        take: args.take,
    };
    let done = lay_faces(&mut book, &asked, &Bar::default())?;
    if context.json {
        json(&done);
    } else {
        print(&done, &asked);
    }
    let unwritten = |it: &FoundFace| asked.take && it.accepted && !it.written;
    Ok(Exit::clean(!done.faces.iter().any(unwritten)))
}

fn print(done: &LaidOver, asked: &LayRequest) {
    done.faces.iter().for_each(|it| data(&line(it)));
    if asked.photo.is_some() {
        for it in &done.refused {
            data(&format!(
                "picture {:>3}  {:<8} not found: {}",
                it.photo, it.face, it.reason
            ));
        }
    }
    let sure = done.faces.iter().filter(|it| it.accepted).count();
    data(&format!(
        "{} beyond doubt, {} to be looked at, {} not found",
        count(sure, "face"),
        done.faces.len() - sure,
        done.refused.len()
    ));
    let no = &asked.stock_no;
    let written = done.faces.iter().filter(|it| it.written).count();
    if asked.take {
        talk(&format!(
            "{} written into the sidecars",
            count(written, "face")
        ));
    } else if sure > 0 {
        talk("nothing is written yet; this writes those beyond doubt:");
        talk(&format!("  asfound lay {no} --take"));
    }
    if done.faces.len() > sure {
        talk(
            "what is to be looked at is not written: lay it by hand in that picture, and it helps the next ones",
        );
    }
}

/// `picture  14  top      from picture   5  ± 0.4 px  beyond doubt`.
fn line(it: &FoundFace) -> String {
    let told = match (&it.reason, it.written) {
        (None, true) => "written".to_owned(),
        (None, false) => "beyond doubt".to_owned(),
        (Some(why), _) if it.accepted => format!("not written: {why}"),
        (Some(why), _) => format!("look at it: {why}"),
    };
    format!(
        "picture {:>3}  {:<8} from picture {:>3}  \u{b1} {:.1} px  {told}",
        it.photo, it.face, it.from, it.error_px
    )
}
