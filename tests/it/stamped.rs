//! A dossier with a real time stamp, made through the program and checked from its files alone: by the program, by the commands of
//! its own `CHECK.txt`, and page for page.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;
use walkdir::WalkDir;

use crate::shop::Ran;
use crate::shop::Shop;
use crate::stamp_asked::KIND;
use crate::stamp_asked::sent;
use crate::stamp_asked::serve;
use crate::stamp_office::Office;
use crate::stamp_office::ready;

/// A book with a piece and its report.
fn shop() -> Shop {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["report", "26-001"]).code(0);
    shop
}

/// What the authority answers to the program's request, as a file.
fn reply(office: &Office, sealed: &Value) -> String {
    let files = sealed["files"].as_array().unwrap();
    let request = files
        .iter()
        .map(|it| it.as_str().unwrap())
        .find(|it| it.ends_with(".tsq"))
        .unwrap();
    office.write("ours.tsq", &fs::read(request).unwrap());
    office.reply("ours", "");
    office.at("ours.tsr").display().to_string()
}

fn root(office: &Office) -> String {
    office.at("root.pem").display().to_string()
}

fn dossier(shop: &Shop) -> PathBuf {
    let made = shop.run(&["dossier", "26-001", "--folder", "--json"]);
    let made = made.code(0).json();
    assert!(made["time_stamp"].is_string(), "{made:#}");
    PathBuf::from(made["path"].as_str().unwrap())
}

/// The commands of `CHECK.txt`, from the step of this number to before the other, literally.
fn steps(dossier: &Path, from: u32, to: u32) -> String {
    let text = fs::read_to_string(dossier.join("data/CHECK.txt")).unwrap();
    let start = text.find(&format!("\n{from}. ")).unwrap();
    let end = text.find(&format!("\n{to}. ")).unwrap_or(text.len());
    let writes_down = text.lines().find(|it| it.starts_with("    found="));
    let commands = writes_down.into_iter().chain(text[start..end].lines());
    let commands = commands.filter_map(|it| it.strip_prefix("    "));
    let script: String = commands.map(|it| format!("{it}\n")).collect();
    let run = Command::new("bash")
        .args(["-c", &script])
        .current_dir(dossier.join("data"))
        .output()
        .unwrap();
    let said = [run.stdout, run.stderr].concat();
    String::from_utf8(said).unwrap()
}

fn verify(shop: &Shop, what: &Path, root: Option<&str>) -> Ran {
    let what = what.to_str().unwrap();
    let roots = root.map_or_else(Vec::new, |it| vec!["--root", it]);
    shop.run(&[&["verify", what, "--json"], &roots[..]].concat())
}

#[test]
fn a_time_stamped_dossier_is_proven_by_itself_and_by_openssl() {
    if !ready() {
        return;
    }
    let (shop, office) = (shop(), Office::with_authority("P-256"));
    let sealed = shop.run(&["seal", "--json"]).code(0).json();
    let (reply, root) = (reply(&office, &sealed), root(&office));
    // Without the authority's root the reply is worth nothing.
    shop.run(&["seal", "--reply", &reply])
        .code(2)
        .says("--root");
    let stamped = shop.run(&["seal", "--reply", &reply, "--root", &root, "--json"]);
    let stamped = stamped.code(0).json();
    assert_eq!(
        (&stamped["no"], &stamped["new"]),
        (&1.into(), &false.into())
    );
    assert_eq!(stamped["authority"], "Test tsa");
    let at = stamped["time_stamp"].as_str().unwrap();
    let folder = dossier(&shop);
    let cover = fs::read_to_string(folder.join("data/cover.html")).unwrap();
    assert!(cover.contains(&format!("seal 1: not later than {at}")));
    // By its files alone, and only with the root that is trusted.
    let found = verify(&shop, &folder, Some(&root)).code(0).json();
    assert_eq!(found["verdict"], "proven", "{found:#}");
    assert_eq!(found["stamps"][0], format!("seal 1: not later than {at}"));
    let found = verify(&shop, &folder, None).code(0).json();
    assert_eq!(found["verdict"], "intact, time stamp not judged");
    let other = Office::new("P-256");
    let found = verify(&shop, &folder, Some(&self::root(&other)))
        .code(0)
        .json();
    assert_eq!(found["verdict"], "intact, time stamp not judged");
    let book = shop.run(&["verify", "--root", &root]).code(0);
    book.says("proven");
    // The commands as they stand in the dossier, the root put where they say.
    let said = steps(&folder, 1, 8);
    assert!(!said.contains("WRONG"), "{said}");
    assert!(
        said.contains("3 set signed: good") && said.contains("5 running numbers: done"),
        "{said}"
    );
    assert!(steps(&folder, 8, 9).contains("not judged, there is no root.pem"));
    fs::copy(&root, folder.join("../root.pem")).unwrap();
    let said = steps(&folder, 8, 9);
    assert!(
        said.starts_with("8 for its own seal, seals/seal-0001.tsr: good\n")
            && said.contains("\n8 seals/seal-0001.tsr: good, Time stamp: "),
        "{said}"
    );
    fs::copy(self::root(&other), folder.join("../root.pem")).unwrap();
    assert!(steps(&folder, 8, 9).contains("WRONG"));
    fs::remove_file(folder.join("../root.pem")).unwrap();
    // One bit of the stamp.
    let path = folder.join("data/seals/seal-0001.tsr");
    let mut bytes = fs::read(&path).unwrap();
    let last = bytes.len() - 1;
    bytes[last] ^= 1;
    fs::write(&path, bytes).unwrap();
    verify(&shop, &folder, Some(&root)).code(1);
    // A report that is made afterwards names the stamp at its foot.
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    let made = shop.run(&["report", "26-001", "--json"]).code(0).json();
    let page = fs::read_to_string(made["path"].as_str().unwrap()).unwrap();
    assert!(page.contains(&format!("was there not later than {at}.")));
}

#[test]
fn an_authority_asked_over_the_line_stamps_the_seal_of_the_dossier() {
    if !ready() {
        return;
    }
    let shop = shop();
    let office = Office::with_authority("P-256");
    let trusted = fs::read(office.at("root.pem")).unwrap();
    shop.file("root.pem", &trusted);
    let (address, thread) = serve(1, move |_, asked, stream| {
        office.write("line.tsq", &asked.body);
        let reply = office.reply("line", "");
        stream.write_all(&sent("200 OK", KIND, &reply)).unwrap();
    });
    let root = shop.card("root.pem").display().to_string();
    shop.run(&["seal", "--authority", &address, "--root", &root])
        .code(0)
        .says("signed; time-stamped not later than")
        .says("by Test tsa");
    thread.join().unwrap();
    let found = verify(&shop, &dossier(&shop), Some(&root)).code(0).json();
    assert_eq!(found["verdict"], "proven", "{found:#}");
}

/// The same record gives the same dossier, page for page: the demo's own, one made again, and one more as a zip.
#[test]
fn two_dossiers_of_one_book_are_the_same_to_the_byte() {
    let book = &crate::demo::demo().book;
    let out = tempfile::tempdir().unwrap();
    let make = |inside: &str, more: &[&str]| -> PathBuf {
        let path = out.path().join(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        let run = Command::new(env!("CARGO_BIN_EXE_asfound"))
            .args(["dossier", "26-001", "--claim", "transit_break", "--out"])
            .arg(&path)
            .args(more)
            .env_clear()
            .env("ASFOUND_NOW", "2026-05-26T09:00:00Z")
            .env("TZ", "UTC")
            .env("ASFOUND_BOOK", book)
            .output()
            .unwrap();
        assert!(
            run.status.success(),
            "{}",
            String::from_utf8_lossy(&run.stderr)
        );
        path
    };
    let own = WalkDir::new(book).into_iter().map(Result::unwrap);
    let own: Vec<PathBuf> = own
        .filter(|it| it.file_name() == "bagit.txt")
        .map(|it| it.path().parent().unwrap().to_owned())
        .collect();
    assert_eq!(own.len(), 1, "the demo has a dossier");
    let first = files(&own[0]);
    assert!(first.len() > 50);
    for again in ["a/x", "b/x"].map(|it| files(&make(it, &["--folder"]))) {
        let names = |it: &BTreeMap<String, Vec<u8>>| it.keys().cloned().collect::<Vec<_>>();
        assert_eq!(names(&again), names(&first));
        for (name, bytes) in &first {
            assert!(again[name] == *bytes, "{name} differs");
        }
    }
    let [a, b] = ["a/x.zip", "b/x.zip"].map(|it| fs::read(make(it, &[])).unwrap());
    assert!(a == b, "the zips differ");
}

fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let all = WalkDir::new(folder).into_iter().map(Result::unwrap);
    let plain = all.filter(|it| it.file_type().is_file());
    let read = |it: walkdir::DirEntry| {
        let inside = it.path().strip_prefix(folder).unwrap();
        (
            inside.to_str().unwrap().to_owned(),
            fs::read(it.path()).unwrap(),
        )
    };
    plain.map(read).collect()
}
