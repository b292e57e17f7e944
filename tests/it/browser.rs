//! A report as a browser shows it: `tests/browser/look.mjs` looks, the tests judge.
//!
//! The look needs Chromium, Node and two packages, which `bash tests/run` brings; a plain `cargo test` leaves these tests
//! out and says so. With `CI=true` leaving one out is a failure.

use std::env;
use std::io::Write;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;
use std::sync::Mutex;
use std::sync::MutexGuard;
use std::sync::PoisonError;
use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering;

use serde_json::Value;

/// Tests left out so far in this run.
static LEFT_OUT: AtomicUsize = AtomicUsize::new(0);

/// One browser at a time: two would only slow each other down.
static ONE: Mutex<()> = Mutex::new(());

/// Looks at the page with a browser: 360 and 1280 px, light and dark, without scripts, on paper, by keyboard and by finger.
///
/// `None` when the browser tests are left out. Screenshots and PDFs go into `tmp/look/` in the target folder, under the names of the page and its folder.
pub(crate) fn look(page: &Path) -> Option<Value> {
    run("look.mjs", page)
}

/// Measures the labels of a page as they are printed on A4.
///
/// `None` when the browser tests are left out.
pub(crate) fn labels(page: &Path) -> Option<Value> {
    run("labels.mjs", page)
}

fn run(script: &str, page: &Path) -> Option<Value> {
    if env::var_os("ASFOUND_BROWSER").is_none() {
        leave_out();
        return None;
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let out = out_dir(page);
    let _one = one_at_a_time();
    let run = Command::new("node")
        .arg(root.join("tests/browser").join(script))
        .arg(page)
        .arg(&out)
        .output()
        .expect("node starts: `bash tests/run` brings it");
    assert!(
        run.status.success(),
        "the look at `{}` failed:\n{}",
        page.display(),
        String::from_utf8_lossy(&run.stderr)
    );
    Some(serde_json::from_slice(&run.stdout).expect("the look prints one JSON object"))
}

/// Waits until no other test has a browser open.
pub(crate) fn one_at_a_time() -> MutexGuard<'static, ()> {
    ONE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Says on the terminal that a test is left out; `eprintln!` would be kept back by the test harness.
pub(crate) fn leave_out() {
    assert!(
        env::var("CI").as_deref() != Ok("true"),
        "browser tests may not be left out when CI=true: run `bash tests/run`"
    );
    let n = LEFT_OUT.fetch_add(1, Ordering::Relaxed) + 1;
    let s = if n == 1 { "" } else { "s" };
    let _ = writeln!(
        std::io::stderr(),
        "{n} browser test{s} left out: run `bash tests/run`"
    );
}

/// A folder of its own for each page.
fn out_dir(page: &Path) -> PathBuf {
    let steps: Vec<_> = page.components().rev().take(2).collect();
    let name = |n: usize| {
        let step = steps.get(n).map(|it| it.as_os_str().to_string_lossy());
        step.unwrap_or_default().replace(['.', ' '], "-")
    };
    let target = Path::new(env!("CARGO_TARGET_TMPDIR"));
    target.join("look").join(format!("{}-{}", name(1), name(0)))
}

/// A page of `tests/browser/pages`.
fn page(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/browser/pages")
        .join(name)
}

#[test]
fn the_look_finds_every_fault_of_a_faulty_page() {
    let Some(seen) = look(&page("faulty.html")) else {
        return;
    };
    let rule = |n: usize| &seen["violations"][n]["id"];
    assert_eq!(
        (rule(0), rule(1)),
        (&"color-contrast".into(), &"image-alt".into())
    );
    assert_eq!(rule(2), &Value::Null);
    for width in ["360", "1280"] {
        assert!(seen["horizontal_overflow"][width]["px"].as_f64() > Some(100.0));
        assert_eq!(seen["horizontal_overflow"][width]["elements"][0], "p#wide");
    }
    assert_eq!(
        seen["requests"][0],
        "https://pictures.example.org/elsewhere.png"
    );
    assert_eq!(seen["broken_images"], 1);
    let complaints = seen["console_errors"].as_array();
    assert!(complaints.is_some_and(|it| it.contains(&"a complaint".into())));
    assert_eq!(seen["h1"], 2);
    assert_eq!(seen["without_script"]["words_only_with_script"], 5);
    for sheet in ["A4", "Letter"] {
        assert_eq!(seen["paper"][sheet]["cut"], serde_json::json!(["cut"]));
    }
    let slider = &seen["sliders"][0];
    assert_eq!(slider["keyboard"]["works"], false);
    assert_eq!(slider["touch"]["works"], false);
}

#[test]
fn the_look_finds_nothing_on_a_sound_page() {
    let Some(seen) = look(&page("sound.html")) else {
        return;
    };
    for list in ["violations", "requests", "console_errors"] {
        assert_eq!(seen[list], serde_json::json!([]), "{list}");
    }
    for width in ["360", "1280"] {
        assert_eq!(seen["horizontal_overflow"][width]["px"], 0);
    }
    assert_eq!(
        (&seen["h1"], &seen["broken_images"]),
        (&1.into(), &0.into())
    );
    assert_eq!(seen["without_script"]["words_only_with_script"], 0);
    for sheet in ["A4", "Letter"] {
        let paper = &seen["paper"][sheet];
        assert_eq!(paper["figures"], 2);
        assert_eq!(
            (&paper["cut"], &paper["unseen"]),
            (&serde_json::json!([]), &serde_json::json!([]))
        );
    }
    let slider = &seen["sliders"][0];
    assert_eq!(slider["keyboard"]["works"], true);
    assert_eq!(slider["touch"]["works"], true);
}
