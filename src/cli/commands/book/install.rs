//! What a shell installs: completions, the man page.

use std::path::PathBuf;

use clap::Args;
use clap::ValueEnum;
use clap_complete::Shell;
use serde::Serialize;

use crate::cli::context::Context;
use crate::cli::environment;
use crate::cli::exit::Exit;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::kit::files::make_folder;
use crate::kit::files::write_whole;
use crate::work::WorkError;

/// The packages of the lock file with their licences; a test writes it and compares it with the lock file.
const LICENCES: &str = include_str!("../../licences.txt");

/// Print shell completions, the man pages, or the licences of all that is built in; or put them where they are found
#[derive(Args, Debug)]
pub(in crate::cli) struct InstallArgs {
    /// bash, zsh, fish, elvish, powershell, man or licences
    what: Installable,
    /// Write them where your shell or `man` looks for them: bash, fish and man
    #[arg(long)]
    put: bool,
}

/// What `install` prints.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Installable {
    Bash,
    Zsh,
    Fish,
    Elvish,
    Powershell,
    Man,
    Licences,
}

/// A file to be put in its place.
#[derive(Serialize)]
struct Installed {
    name: String,
    text: String,
}

pub(in crate::cli) fn run(
    context: &Context,
    args: &InstallArgs,
    whole: clap::Command,
) -> Result<Exit, WorkError> {
    let files = match args.what {
        Installable::Bash => completions(Shell::Bash, "asfound", whole),
        Installable::Zsh => completions(Shell::Zsh, "_asfound", whole),
        Installable::Fish => completions(Shell::Fish, "asfound.fish", whole),
        Installable::Elvish => completions(Shell::Elvish, "asfound.elv", whole),
        Installable::Powershell => completions(Shell::PowerShell, "asfound.ps1", whole),
        Installable::Man => pages(whole),
        Installable::Licences => vec![Installed {
            name: "licences.txt".to_owned(),
            text: LICENCES.to_owned(),
        }],
    };
    if args.put {
        return put(context, args.what, &files);
    }
    if context.json {
        json(&files);
        return Ok(Exit::Done);
    }
    // Of the man pages the first, of the whole: `man -l -` shows one.
    if let [first, ..] = files.as_slice() {
        data(first.text.trim_end());
    }
    Ok(Exit::Done)
}

/// Where a shell or `man` looks for a user's own files.
fn place(what: Installable) -> Option<PathBuf> {
    let data = || environment::own_folder("XDG_DATA_HOME", ".local/share");
    let settings = || environment::own_folder("XDG_CONFIG_HOME", ".config");
    match what {
        Installable::Bash => Some(data()?.join("bash-completion/completions")),
        Installable::Fish => Some(settings()?.join("fish/completions")),
        Installable::Man => Some(data()?.join("man/man1")),
        _ => None,
    }
}

fn put(context: &Context, what: Installable, files: &[Installed]) -> Result<Exit, WorkError> {
    let folder = place(what).ok_or_else(|| WorkError::Asked {
        what: "there is no place where these are found without more".to_owned(),
        hint: Some("leave out --put, and send what is printed to a file of your own".to_owned()),
    })?;
    make_folder(&folder)?;
    for it in files {
        write_whole(&folder.join(&it.name), it.text.as_bytes())?;
    }
    if context.json {
        json(&serde_json::json!({ "folder": folder.display().to_string(), "files": files.len() }));
        return Ok(Exit::Done);
    }
    data(&format!(
        "{} written to {}",
        count(files.len(), "file"),
        folder.display()
    ));
    if what == Installable::Man
        && let Some(man) = folder.parent()
    {
        talk(&format!(
            "`man` finds them where ~/.local/bin is on your PATH; anywhere: `man -M {} asfound`",
            man.display()
        ));
    } else {
        talk("a shell that is open finds them when it is started anew");
    }
    Ok(Exit::Done)
}

fn completions(shell: Shell, name: &str, mut whole: clap::Command) -> Vec<Installed> {
    let mut out = Vec::new();
    clap_complete::generate(shell, &mut whole, "asfound", &mut out);
    vec![Installed {
        name: name.to_owned(),
        text: String::from_utf8_lossy(&out).into_owned(),
    }]
}

/// A man page of the whole, and one of each verb.
fn pages(whole: clap::Command) -> Vec<Installed> {
    let mut whole = whole;
    whole.build();
    let verbs = whole.get_subcommands().filter(|it| !it.is_hide_set());
    let verbs = verbs.map(|it| (format!("asfound-{}", it.get_name()), it.clone()));
    let all = std::iter::once(("asfound".to_owned(), whole.clone())).chain(verbs);
    all.map(|(name, command)| {
        let mut out = Vec::new();
        // Writing into memory cannot fail.
        let _ = clap_mangen::Man::new(command.name(name.clone())).render(&mut out);
        Installed {
            name: format!("{name}.1"),
            text: String::from_utf8_lossy(&out).into_owned(),
        }
    })
    .collect()
}
