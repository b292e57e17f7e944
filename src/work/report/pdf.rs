//! The page as PDF, printed by a browser that is found on the machine.

use std::env;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;
use std::process::Stdio;
use std::thread::sleep;
use std::time::Duration;

use crate::work::WorkError;

/// Names under which Chromium and its kin are started. Firefox has no command that prints.
const BROWSERS: [&str; 7] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "microsoft-edge",
    "msedge",
];

/// Where they lie on a machine on which no command of theirs is in `PATH`.
const PLACES: [&str; 4] = [
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
];

/// How often it is looked whether the browser is done, and how many times.
const LOOK: Duration = Duration::from_millis(100);
/// A minute.
const LOOKS: u32 = 600;

/// How to print where no browser was found.
pub const BY_HAND: &str = "no Chromium, Chrome or Edge was found: open the page in a browser, choose Print, and there Save as PDF";

/// Prints a page beside itself; `None` when no browser is found.
///
/// # Errors
/// When the browser does not print.
pub fn print(page: &Path) -> Result<Option<PathBuf>, WorkError> {
    let Some(browser) = browser() else {
        return Ok(None);
    };
    let page = fs::canonicalize(page).map_err(|why| failed(&browser, &why.to_string()))?;
    let pdf = page.with_extension("pdf");
    let own = page.with_extension("browser");
    let done = attempt(&browser, &page, &pdf, &own);
    // Its settings for this one run; another run makes them anew.
    let _ = fs::remove_dir_all(&own);
    done.map(|()| Some(pdf))
}

/// Prints; where the browser may not shut itself in, as for the owner of a container, once more without that: the page is our own,
/// loads nothing, and runs nothing but its own script.
fn attempt(browser: &Path, page: &Path, pdf: &Path, own: &Path) -> Result<(), WorkError> {
    let _ = fs::remove_file(pdf);
    for more in [None, Some("--no-sandbox")] {
        run(browser, page, pdf, own, more).map_err(|why| failed(browser, &why))?;
        if pdf.is_file() {
            return Ok(());
        }
    }
    Err(failed(browser, "it made no PDF"))
}

fn run(
    browser: &Path,
    page: &Path,
    pdf: &Path,
    own: &Path,
    more: Option<&str>,
) -> Result<(), String> {
    let named = |name: &str, path: &Path| {
        let mut option = std::ffi::OsString::from(format!("--{name}="));
        option.push(path);
        option
    };
    let mut call = Command::new(browser)
        .args([
            "--headless",
            "--disable-gpu",
            "--no-first-run",
            "--no-pdf-header-footer",
            "--generate-pdf-document-outline",
        ])
        .arg(named("user-data-dir", own))
        .arg(named("print-to-pdf", pdf))
        .args(more)
        .arg(page)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .map_err(|why| why.to_string())?;
    for _ in 0..LOOKS {
        match call.try_wait() {
            Ok(Some(_)) => return Ok(()),
            Ok(None) => sleep(LOOK),
            Err(why) => return Err(why.to_string()),
        }
    }
    let _ = call.kill();
    let _ = call.wait();
    Err("it did not end within a minute".to_owned())
}

fn failed(browser: &Path, why: &str) -> WorkError {
    WorkError::asked_with(
        format!(
            "the PDF could not be printed by `{}`: {why}",
            browser.display()
        ),
        "open the page in a browser, choose Print, and there Save as PDF",
    )
}

/// The first that is there.
fn browser() -> Option<PathBuf> {
    let path = env::var_os("PATH").unwrap_or_default();
    let folders: Vec<PathBuf> = env::split_paths(&path).collect();
    let commands = BROWSERS.iter().flat_map(|name| {
        let file = format!("{name}{}", env::consts::EXE_SUFFIX);
        folders.iter().map(move |it| it.join(&file))
    });
    let mut all = commands.chain(PLACES.iter().map(PathBuf::from));
    all.find(|it| it.is_file())
}
