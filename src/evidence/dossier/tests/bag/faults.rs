//! Faulty bags, each told by its fault; the cases are those of the conformance suite named in `bag.rs`.

use super::Memory;
use super::bare;
use super::kinds;
use super::set;
use super::text;
use crate::evidence::dossier::bag_read::FaultKind;
use crate::evidence::dossier::bag_read::read;
/// Each case: its name in the suite or the section of the standard, the change, what is told.
#[test]
fn faulty_bags_are_told() {
    type Change = fn(&mut Memory);
    let cases: &[(&str, Change, &[FaultKind])] = &[
        (
            "missing bagit.txt",
            |it| {
                it.0.remove("bagit.txt");
            },
            &[FaultKind::Missing],
        ),
        (
            "2.1.1, another version",
            |it| {
                set(
                    it,
                    "bagit.txt",
                    "BagIt-Version: 2.0\nTag-File-Character-Encoding: UTF-8\n",
                )
            },
            &[FaultKind::Declaration],
        ),
        (
            "invalid version number",
            |it| {
                set(
                    it,
                    "bagit.txt",
                    "BagIt-Version: one\nTag-File-Character-Encoding: UTF-8\n",
                )
            },
            &[FaultKind::Declaration],
        ),
        (
            "bagit.txt with a byte-order mark",
            |it| {
                set(
                    it,
                    "bagit.txt",
                    "\u{feff}BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
                )
            },
            &[FaultKind::Declaration],
        ),
        // The reference tool bagit.py 1.9.0 takes the first, third and fourth of these for good.
        (
            "bagit with invalid whitespace: before the colon",
            |it| {
                set(
                    it,
                    "bagit.txt",
                    "BagIt-Version : 1.0\nTag-File-Character-Encoding : UTF-8\n",
                )
            },
            &[FaultKind::Declaration],
        ),
        (
            "bagit with invalid whitespace: at the beginning",
            |it| {
                set(
                    it,
                    "bagit.txt",
                    " BagIt-Version: 1.0\n Tag-File-Character-Encoding: UTF-8\n",
                )
            },
            &[FaultKind::Declaration],
        ),
        (
            "bagit with invalid whitespace: two spaces",
            |it| {
                set(
                    it,
                    "bagit.txt",
                    "BagIt-Version:  1.0\nTag-File-Character-Encoding:  UTF-8\n",
                )
            },
            &[FaultKind::Declaration],
        ),
        (
            "bagit with invalid whitespace: at the end",
            |it| {
                set(
                    it,
                    "bagit.txt",
                    "BagIt-Version: 1.0 \nTag-File-Character-Encoding: UTF-8 \n",
                )
            },
            &[FaultKind::Declaration],
        ),
        (
            "2.1.1, a third line",
            |it| {
                set(
                    it,
                    "bagit.txt",
                    "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n\n",
                )
            },
            &[FaultKind::Declaration],
        ),
        (
            "2.1.1, the other order",
            |it| {
                set(
                    it,
                    "bagit.txt",
                    "Tag-File-Character-Encoding: UTF-8\nBagIt-Version: 1.0\n",
                )
            },
            &[FaultKind::Declaration],
        ),
        (
            "baginfo missing encoding",
            |it| set(it, "bagit.txt", "BagIt-Version: 1.0\n"),
            &[FaultKind::Declaration],
        ),
        (
            "corrupt data file",
            |it| set(it, "data/a.txt", "other"),
            &[FaultKind::Digest],
        ),
        (
            "file missing from payload",
            |it| {
                it.0.remove("data/a.txt");
            },
            &[FaultKind::Missing],
        ),
        (
            "file not in manifest",
            |it| set(it, "data/extra.txt", "x"),
            &[FaultKind::Extra],
        ),
        (
            "no manifest",
            |it| it.0.retain(|path, _| !path.starts_with("manifest")),
            &[FaultKind::Missing],
        ),
        (
            "manifests that disagree (1.0: every file in every manifest)",
            |it| {
                let text = text(it, "manifest-sha512.txt");
                set(it, "manifest-sha512.txt", text.split_once('\n').unwrap().1);
            },
            &[FaultKind::Manifest],
        ),
        (
            "same file listed twice",
            |it| {
                let text = text(it, "manifest-sha256.txt");
                set(it, "manifest-sha256.txt", format!("{text}{text}"));
            },
            &[FaultKind::Manifest],
        ),
        (
            "out of scope file paths, by dots",
            |it| {
                let text = text(it, "manifest-sha256.txt");
                set(
                    it,
                    "manifest-sha256.txt",
                    format!("{text}{}  data/../../etc/hosts\n", "0".repeat(64)),
                );
            },
            &[FaultKind::Manifest],
        ),
        (
            "out of scope file paths, from the root",
            |it| {
                let text = text(it, "manifest-sha256.txt");
                set(
                    it,
                    "manifest-sha256.txt",
                    format!("{text}{}  /etc/hosts\n", "0".repeat(64)),
                );
            },
            &[FaultKind::Manifest],
        ),
        (
            "out of scope file paths, from a home",
            |it| {
                let text = text(it, "manifest-sha256.txt");
                set(
                    it,
                    "manifest-sha256.txt",
                    format!("{text}{}  ~/hosts\n", "0".repeat(64)),
                );
            },
            &[FaultKind::Manifest],
        ),
        (
            "a manifest line without a path",
            |it| {
                let text = text(it, "manifest-sha256.txt");
                set(
                    it,
                    "manifest-sha256.txt",
                    format!("{text}{}\n", "0".repeat(64)),
                );
            },
            &[FaultKind::Manifest],
        ),
        (
            "a digest too short",
            |it| {
                let text = text(it, "manifest-sha256.txt");
                set(
                    it,
                    "manifest-sha256.txt",
                    format!("{}{text}", &"0".repeat(3)),
                );
            },
            &[FaultKind::Manifest],
        ),
        (
            "2.1.3, a percent sign as it is",
            |it| {
                let text = text(it, "manifest-sha256.txt");
                set(it, "manifest-sha256.txt", text.replace("50%25", "50%"));
            },
            &[FaultKind::Manifest],
        ),
        (
            "2.2.2, a count that is wrong",
            |it| set(it, "bag-info.txt", "Payload-Oxum: 1.4\n"),
            &[FaultKind::Count],
        ),
        (
            "2.2.2, two counts",
            |it| {
                let info = text(it, "bag-info.txt");
                set(it, "bag-info.txt", format!("{info}{info}"));
            },
            &[FaultKind::Info],
        ),
        (
            "bag-info without a label",
            |it| set(it, "bag-info.txt", "no label\n"),
            &[FaultKind::Info],
        ),
        (
            "bag-info, space before the colon",
            |it| set(it, "bag-info.txt", "Contact-Name : x\n"),
            &[FaultKind::Info],
        ),
        (
            "5, two paths that differ by capitals",
            |it| set(it, "data/A.TXT", "x"),
            &[FaultKind::Path, FaultKind::Missing],
        ),
        (
            "a path that leaves the bag",
            |it| set(it, "data/../x", "x"),
            &[FaultKind::Path],
        ),
        (
            "tag files that are not UTF-8",
            |it| set(it, "manifest-sha256.txt", vec![0xff, 0xfe, 0x41]),
            &[FaultKind::Manifest],
        ),
    ];
    for (name, change, want) in cases {
        let mut it = bare();
        change(&mut it);
        let told = kinds(&mut it);
        assert!(!read(&mut it).unwrap().is_valid(), "{name}");
        for kind in *want {
            assert!(told.contains(kind), "{name}: {told:?}");
        }
    }
}
