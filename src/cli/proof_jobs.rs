//! Commands that prove: seals, dossiers, checks.

use std::path::PathBuf;

use crate::cli::bar::Bar;
use crate::cli::jobs::Call;
use crate::cli::jobs::Done;
use crate::cli::proof_args::DossierArgs;
use crate::cli::proof_args::SealArgs;
use crate::cli::proof_args::VerifyArgs;
use crate::cli::say::count;
use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::json;
use crate::cli::say::mark;
use crate::cli::say::talk;
use crate::cli::say::wrapped;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::keep::keep;
use crate::work::proof::dossier::DossierOrder;
use crate::work::proof::dossier::DossierResult;
use crate::work::proof::dossier::Shown;
use crate::work::proof::dossier::Wrap;
use crate::work::proof::dossier::dossier;
use crate::work::proof::keys;
use crate::work::proof::seal::LockWish;
use crate::work::proof::seal::SealOrder;
use crate::work::proof::seal::Sealed;
use crate::work::proof::seal::seal;
use crate::work::proof::verify::Verified;
use crate::work::proof::verify::is_dossier;
use crate::work::proof::verify::verify_book;
use crate::work::proof::verify::verify_dossier;
use crate::work::remove::remove;

/// Where a passphrase may be given to scripts.
const PASSPHRASE: &str = "ASFOUND_PASSPHRASE";

pub(super) fn run_keep(call: &Call, no: &StockNo, files: &[PathBuf]) -> Result<Done, WorkError> {
    let lines = keep(&mut call.open()?, no, files)?;
    if call.json {
        json(&lines);
        return Ok(Done::Well);
    }
    for line in &lines {
        let before = if line.already { "  (kept before)" } else { "" };
        data(&format!("{}  {}{before}", line.sha256, line.name));
    }
    talk("these go into every dossier of the piece; seal the book to fix them in time");
    Ok(Done::Well)
}

pub(super) fn run_remove(
    call: &Call,
    no: &StockNo,
    photo: u32,
    why: &str,
) -> Result<Done, WorkError> {
    let gone = remove(&mut call.open()?, no, photo, why)?;
    if call.json {
        json(&gone);
        return Ok(Done::Well);
    }
    data(&format!("picture {} is out of {no}", gone.photo));
    match &gone.path {
        Some(path) => talk(&format!(
            "its file lies in `{path}`; deleting it is up to you"
        )),
        None => talk("its original was not to be found"),
    }
    Ok(Done::Well)
}

pub(super) fn run_seal(call: &Call, args: SealArgs) -> Result<Done, WorkError> {
    let mut book = call.open()?;
    let passphrase = match std::env::var(PASSPHRASE) {
        Ok(it) => Some(it),
        Err(_) if args.lock || keys::needs_passphrase(&book)? => return Err(no_passphrase()),
        Err(_) => None,
    };
    let order = SealOrder {
        reply: args.reply,
        authority: args.authority,
        roots: args.root,
        passphrase,
        lock: if args.lock {
            LockWish::Lock
        } else {
            LockWish::Leave
        },
    };
    let sealed = seal(&mut book, &order)?;
    if call.json {
        json(&sealed);
    } else {
        print_seal(&sealed);
    }
    Ok(Done::Well)
}

fn no_passphrase() -> WorkError {
    WorkError::Asked {
        what: "the book's key wants a passphrase".to_owned(),
        hint: Some(format!(
            "give it in the environment variable {PASSPHRASE}, for example: read -rs {PASSPHRASE} && export {PASSPHRASE}"
        )),
    }
}

fn print_seal(it: &Sealed) {
    let made = if it.new { "" } else { " (nothing new since)" };
    data(&format!("seal   {}{made}", it.no));
    data(&format!("lines  {}", it.size));
    data(&format!("root   {}", it.root));
    data(&format!("key    {}", it.fingerprint));
    match (&it.time_stamp, &it.authority) {
        (Some(at), Some(name)) => data(&format!(
            "state  signed; time-stamped not later than {at} by {name}"
        )),
        (Some(at), None) => data(&format!("state  signed; time-stamped not later than {at}")),
        (None, _) => data("state  signed, not time-stamped"),
    }
    if it.new {
        talk(
            "print the key's fingerprint on your invoices: by it a stranger can tell your seals from another's",
        );
    }
    if it.time_stamp.is_none() {
        let request = it.files.iter().find(|it| it.ends_with(".tsq"));
        if let Some(request) = request {
            talk(
                "for a time stamp, send this request to any RFC 3161 authority, then give its reply:",
            );
            talk(&format!("  {request}"));
            talk("  asfound seal --reply REPLY.tsr --root AUTHORITY-ROOT.pem");
        }
        talk(
            "without one, send this to the buyer before the van leaves; a message in somebody else's hands is an anchor too:",
        );
        talk("");
        talk(&it.letter);
    }
}

pub(super) fn run_dossier(call: &Call, args: DossierArgs) -> Result<Done, WorkError> {
    let order = DossierOrder {
        stock_no: args.no,
        claim: args.claim,
        photos: args.photo,
        shown: Shown {
            private: args.with_private,
            places: args.with_private || args.with_places,
        },
        wrap: if args.folder { Wrap::Folder } else { Wrap::Zip },
        out: args.out,
        passphrase: std::env::var(PASSPHRASE).ok(),
    };
    let mut book = call.open()?;
    let made = dossier(&mut book, &order, &Bar::default())?;
    if call.json {
        json(&made);
    } else {
        print_dossier(&made);
    }
    Ok(match made.lost() {
        0 => Done::Well,
        _ => Done::NeedsAHand,
    })
}

fn print_dossier(it: &DossierResult) {
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
    for (why, words) in [
        (
            "place",
            "kept back, the camera wrote where it was; --with-places encloses them:",
        ),
        (
            "private",
            "kept back as private; --with-private encloses them:",
        ),
        (
            "newer than the seal",
            "newer than the seal; seal again to enclose them:",
        ),
    ] {
        let these = it.left_out.iter().filter(|it| it.why == why);
        let these: Vec<String> = these.map(|it| format!("{};", it.what)).collect();
        if let Some(last) = these.last() {
            let last = last.trim_end_matches(';').to_owned();
            let all = [&these[..these.len() - 1], &[last]].concat();
            talk(&format!("{words}\n{}", wrapped("  ", &all, " ")));
        }
    }
    for lost in it.left_out.iter().filter(|it| it.why == "lost") {
        talk(&format!(
            "{} {} is lost, or no longer what line {} says",
            mark("look:"),
            lost.what,
            lost.line
        ));
    }
    if !it.missing_for_claim.is_empty() {
        talk("still missing for this claim:");
        for line in &it.missing_for_claim {
            talk(&wrapped("  ", &words(line), " "));
        }
    }
    talk(
        "unpack it and begin with cover.html; whoever gets it checks it with its check.html or CHECK.txt",
    );
}

pub(super) fn run_verify(call: &Call, args: VerifyArgs) -> Result<Done, WorkError> {
    let found = match &args.path {
        Some(path) if is_dossier(path) => verify_dossier(path, &args.root)?,
        path => {
            let book = match path {
                Some(path) => OpenBook::open(path, call.now)?,
                None => call.open()?,
            };
            verify_book(&book, &args.root, args.heal.as_deref(), &Bar::default())?
        }
    };
    if call.json {
        json(&found);
    } else {
        print_verdict(&found);
    }
    let sound = found.checks.iter().all(|it| it.ok);
    Ok(if sound { Done::Well } else { Done::NeedsAHand })
}

fn print_verdict(it: &Verified) {
    data(&heading(it.verdict));
    data(&wrapped("  ", &words(&it.meaning), " "));
    for line in &it.beside {
        data(&wrapped("  ", &words(line), " "));
    }
    for check in &it.checks {
        let sign = if check.ok { "ok " } else { "NOT" };
        let line = wrapped(&" ".repeat(22), &words(&check.about), " ");
        data(&format!("  {sign} {:<16}{}", check.code, line.trim_start()));
    }
    if let Some(key) = &it.fingerprint {
        data(&format!("  key {key}"));
        talk(
            "compare this key with the one on the invoice: only then is it known whose seals these are",
        );
    }
    for stamp in &it.stamps {
        data(&format!("  {stamp}"));
    }
    for path in &it.healed {
        data(&format!("  put back {path}"));
    }
}

fn words(text: &str) -> Vec<String> {
    text.split_whitespace().map(str::to_owned).collect()
}
