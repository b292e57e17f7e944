//! What a shell installs: completions, the man page.

use clap::Args;
use clap::ValueEnum;
use clap_complete::Shell;

use crate::cli::exit::Exit;
use crate::cli::output::data;

/// The packages of the lock file with their licences; a test writes it and compares it with the lock file.
const LICENCES: &str = include_str!("../../licences.txt");

/// Print shell completions, the man page, or the licences of all that is built in
#[derive(Args, Debug)]
pub(in crate::cli) struct InstallArgs {
    /// bash, zsh, fish, elvish, powershell, man or licences
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
    Licences,
}

pub(in crate::cli) fn run(args: &InstallArgs, whole: clap::Command) -> Exit {
    let text = match args.what {
        Installable::Bash => completions(Shell::Bash, whole),
        Installable::Zsh => completions(Shell::Zsh, whole),
        Installable::Fish => completions(Shell::Fish, whole),
        Installable::Elvish => completions(Shell::Elvish, whole),
        Installable::Powershell => completions(Shell::PowerShell, whole),
        Installable::Man => {
            let mut out = Vec::new();
            // Writing into memory cannot fail.
            let _ = clap_mangen::Man::new(whole).render(&mut out);
            String::from_utf8_lossy(&out).into_owned()
        }
        Installable::Licences => LICENCES.to_owned(),
    };
    data(text.trim_end());
    Exit::Done
}

fn completions(shell: Shell, mut whole: clap::Command) -> String {
    let mut out = Vec::new();
    clap_complete::generate(shell, &mut whole, "asfound", &mut out);
    String::from_utf8_lossy(&out).into_owned()
}
