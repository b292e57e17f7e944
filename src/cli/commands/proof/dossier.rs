//! The package for a third party.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use crate::cli::context::Context;
use crate::cli::environment;
use crate::cli::environment::PASSPHRASE;
use crate::cli::exit::Exit;
use crate::cli::input::language::LanguageArg;
use crate::cli::output::bar::Bar;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::mark;
use crate::cli::output::text::wrapped;
use crate::cli::output::text::wrapped_text;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::dossier::package::Disclosure;
use crate::work::dossier::package::DossierRequest;
use crate::work::dossier::package::DossierResult;
use crate::work::dossier::package::NotIn;
use crate::work::dossier::package::Shown;
use crate::work::dossier::package::WhyNot;
use crate::work::dossier::package::Wrap;
use crate::work::dossier::package::prepare;

/// Put the record of a piece together for a third party: a carrier, a marketplace, a court
#[derive(Args, Debug)]
pub(in crate::cli) struct DossierArgs {
    /// Stock number
    no: StockNo,
    /// The question it answers, such as transit_break; `asfound words claims` lists them
    #[arg(long, value_name = "KIND")]
    claim: Option<String>,
    /// Only what these pictures of the complaint show: a file that was imported, its name, or its number; can be repeated
    #[arg(long, value_name = "FILE")]
    photo: Vec<String>,
    /// With prices, private notes, positions and the owner's copies of the report
    #[arg(long)]
    with_private: bool,
    /// With the originals and papers in which a place is written, but nothing else that is private
    #[arg(long)]
    with_places: bool,
    /// With copies instead of all photos, which hold the picture alone, and of the sidecars in which a comment or a private note is written; the files' own names stay, as the ledger has them
    #[arg(long)]
    stripped: bool,
    /// With the reports that were made while a picture was in that was taken out since: they may show it
    #[arg(long)]
    with_older_reports: bool,
    /// Say what it would tell and leave out, and write nothing
    #[arg(long)]
    dry_run: bool,
    /// A folder instead of a zip
    #[arg(long)]
    folder: bool,
    /// Where to write it [default: the piece's dossiers folder]
    #[arg(long, value_name = "PATH")]
    out: Option<PathBuf>,
    #[command(flatten)]
    language: LanguageArg,
}

pub(in crate::cli) fn run(context: &Context, args: DossierArgs) -> Result<Exit, WorkError> {
    let order = DossierRequest {
        stock_no: args.no,
        claim: args.claim,
        photos: args.photo,
        shown: Shown {
            private: args.with_private,
            places: args.with_private || args.with_places,
            copies: args.stripped,
            older_reports: args.with_older_reports,
        },
        wrap: if args.folder { Wrap::Folder } else { Wrap::Zip },
        out: args.out,
        passphrase: environment::passphrase(),
        language: args.language.language,
    };
    let mut book = context.open_of(&order.stock_no)?;
    args.language
        .mind_english(Some(&book), "the dossier, but for its CHECK.txt,");
    let bar = Bar::default();
    let ready = prepare(&mut book, &order, &bar)?;
    if args.dry_run {
        match context.json {
            true => json(&Told {
                discloses: ready.discloses(),
                left_out: ready.left_out(),
                unsealed: ready.unsealed(),
                missing_for_claim: ready.missing_for_claim(),
            }),
            false => {
                print_disclosed(ready.discloses());
                print_left_out(ready.left_out());
                print_missing(&ready.missing_for_claim());
                if let Some(why) = ready.unsealed() {
                    talk(&format!(
                        "{} {why}; `asfound seal` before it is written",
                        mark("look:")
                    ));
                }
            }
        }
        return Ok(Exit::clean(true));
    }
    ready.is_sealed()?;
    if !context.json {
        print_disclosed(ready.discloses());
    }
    let made = ready.write(&book, &bar)?;
    if context.json {
        json(&made);
    } else {
        print(&made);
    }
    Ok(Exit::clean(made.lost() == 0))
}

/// What a dossier would tell and leave out.
#[derive(Serialize)]
struct Told<'a> {
    discloses: &'a Disclosure,
    left_out: &'a [NotIn],
    unsealed: Option<&'a str>,
    missing_for_claim: Vec<String>,
}

/// Before anything is written: what whoever gets it will read beside what the pictures show.
fn print_disclosed(it: &Disclosure) {
    talk("beside what its pictures show, it tells:");
    for line in it.sentences() {
        talk(&wrapped_text("  ", &line));
    }
    for copy in &it.copies {
        talk(&wrapped_text("  ", &copy.sentence()));
    }
}

fn print(it: &DossierResult) {
    data(&it.path);
    let stamp = match it.time_stamp {
        Some(at) => format!("not later than {at}"),
        None => "not time-stamped".to_owned(),
    };
    let files = count(it.files, "file");
    data(&format!(
        "{files}, seal {}, {stamp}; key {}",
        it.seal, it.fingerprint
    ));
    if !it.signed {
        talk(&format!(
            "{} the set as a whole is not signed, so that a check will say `incomplete`: the key wants its passphrase in {PASSPHRASE}",
            mark("look:")
        ));
    }
    for line in &it.key_changes {
        talk(&wrapped_text("", line));
    }
    print_left_out(&it.left_out);
    print_missing(&it.missing_for_claim);
    talk(
        "unpack it and begin with cover.html; whoever gets it checks it with its check.html or CHECK.txt",
    );
}

fn print_missing(missing: &[String]) {
    if !missing.is_empty() {
        talk("still missing for this claim:");
    }
    for line in missing {
        talk(&wrapped_text("  ", line));
    }
}

/// Each name once, in order: `the sidecar of photo 4 (6 texts)`.
fn named_once<'a>(names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut counted: Vec<(&str, usize)> = Vec::new();
    for name in names {
        match counted.iter_mut().find(|it| it.0 == name) {
            Some(it) => it.1 += 1,
            None => counted.push((name, 1)),
        }
    }
    let told = counted.into_iter().map(|(name, n)| match n {
        1 => name.to_owned(),
        _ => format!("{name} ({n} texts)"),
    });
    told.collect()
}

fn print_left_out(left_out: &[NotIn]) {
    for (why, words) in [
        (
            WhyNot::Place,
            "kept back, a place is or may be written in them; --with-places encloses them; --stripped encloses copies of photos without it, and of kept papers none:",
        ),
        (
            WhyNot::PlaceInPaper,
            "papers and messages kept back, a place is or may be written in them; --with-places encloses them; no copy of one is ever made: take the place out of it yourself, and `asfound keep` that:",
        ),
        (
            WhyNot::Words,
            "kept back, comments are written in them; without --stripped they are enclosed:",
        ),
        (
            WhyNot::Stripped,
            "kept back with all that their files hold beside the picture; without --stripped they are enclosed:",
        ),
        (
            WhyNot::Private,
            "kept back as private; --with-private encloses them:",
        ),
        (
            WhyNot::Refused,
            "not in force, as it could not be read, and kept back, as it may hold what is private; correct it and seal again, or --with-private encloses it:",
        ),
        (
            WhyNot::Removed,
            "not enclosed, as the picture beside which it was written was taken out:",
        ),
        (
            WhyNot::MayShow,
            "kept back, they may show a picture that was taken out; --with-older-reports encloses them:",
        ),
        (
            WhyNot::Newer,
            "newer than the seal; seal again to enclose them:",
        ),
    ] {
        let these = left_out.iter().filter(|it| it.why == why);
        let these = named_once(these.map(|it| it.what.as_str()));
        if !these.is_empty() {
            talk(&format!("{words}\n{}", wrapped("  ", &these, "; ")));
        }
    }
    for lost in left_out.iter().filter(|it| it.why == WhyNot::Lost) {
        talk(&format!(
            "{} {} is lost, or no longer what line {} says",
            mark("look:"),
            lost.what,
            lost.line
        ));
    }
}
