//! What a shell installs: completions, the man page.

use clap::Args;
use clap::ValueEnum;
use clap_complete::Shell;

use crate::cli::exit::Exit;
use crate::cli::output::data;

/// Print shell completions or the man page
#[derive(Args, Debug)]
pub(in crate::cli) struct InstallArgs {
    /// bash, zsh, fish, elvish, powershell or man
    what: Installable,
}

/// What `install` prints.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Installable {
    Bash,
    Zsh,
    Fish,
    Elvish,
    Powershell,
    Man,
}

pub(in crate::cli) fn run(args: &InstallArgs, mut whole: clap::Command) -> Exit {
    let mut out = Vec::new();
    let shell = match args.what {
        Installable::Bash => Some(Shell::Bash),
        Installable::Zsh => Some(Shell::Zsh),
        Installable::Fish => Some(Shell::Fish),
        Installable::Elvish => Some(Shell::Elvish),
        Installable::Powershell => Some(Shell::PowerShell),
        Installable::Man => None,
    };
    match shell {
        Some(shell) => clap_complete::generate(shell, &mut whole, "asfound", &mut out),
        None => {
            // Writing into memory cannot fail.
            let _ = clap_mangen::Man::new(whole).render(&mut out);
        }
    }
    data(String::from_utf8_lossy(&out).trim_end());
    Exit::Done
}
