//! Files that go with photos without being any, and files that are not whole yet.
//!
//! Told by their names alone, which phones, their programs and browsers give them: common practice, no source.

use std::collections::HashSet;

/// Endings of pictures.
const PICTURES: [&str; 17] = [
    "jpg", "jpeg", "heic", "heif", "png", "webp", "tif", "tiff", "avif", "dng", "cr2", "cr3",
    "nef", "arw", "orf", "rw2", "raf",
];
/// Endings of the short films that phones take along with a photo, under its name.
const FILMS: [&str; 4] = ["mov", "mp4", "m4v", "mp"];
/// Endings of what programs write about a photo: edits, small pictures, words.
const NOTES: [&str; 3] = ["aae", "thm", "xmp"];
/// Endings of files that are still on their way.
const ON_THE_WAY: [&str; 4] = ["part", "partial", "crdownload", "download"];
/// What stands before and after the name of a file that its cloud keeps.
const IN_THE_CLOUD: (&str, &str) = (".", ".icloud");

/// Why a file cannot be taken in although there is nothing wrong with it, told by its name; `None` of any other.
pub(in crate::work) fn not_here_yet(name: &str) -> Option<String> {
    let (before, after) = IN_THE_CLOUD;
    let kept = name
        .strip_prefix(before)
        .and_then(|it| it.strip_suffix(after));
    if let Some(kept) = kept.filter(|it| !it.is_empty()) {
        return Some(format!(
            "`{kept}` is not on this machine yet, only its name is; load it from the cloud, then import again"
        ));
    }
    let (_, ending) = parted(name);
    ON_THE_WAY.contains(&ending.as_str()).then(|| {
        "is not here whole yet: a download or a copy goes on, or was broken off".to_owned()
    })
}

/// Which of the files, each a path as bytes and a last name, only go with photos among them.
pub(in crate::work) fn beside_photos(files: &[(&[u8], String)]) -> Vec<bool> {
    let (mut photos, mut folders) = (HashSet::new(), HashSet::new());
    for (path, name) in files {
        let (stem, ending) = parted(name);
        if PICTURES.contains(&ending.as_str()) {
            photos.insert((folder(path), stem));
            folders.insert(folder(path));
        }
    }
    let goes_along = |(path, name): &(&[u8], String)| {
        let (stem, ending) = parted(name);
        let ending = ending.as_str();
        NOTES.contains(&ending)
            || ending == "json" && folders.contains(folder(path))
            || FILMS.contains(&ending) && photos.contains(&(folder(path), stem))
    };
    files.iter().map(goes_along).collect()
}

/// Where it lies: the path without its last name.
fn folder(path: &[u8]) -> &[u8] {
    let end = path.iter().rposition(|byte| b"/\\\0".contains(byte));
    &path[..end.unwrap_or(0)]
}

/// The name without its ending, and the ending, in small letters.
fn parted(name: &str) -> (String, String) {
    let name = name.to_lowercase();
    match name.rsplit_once('.') {
        Some((stem, ending)) => (stem.to_owned(), ending.to_owned()),
        None => (name, String::new()),
    }
}

#[cfg(test)]
mod tests {
    use super::not_here_yet;

    #[test]
    fn what_is_only_a_name_or_half_there_says_so() {
        let cloud = not_here_yet(".IMG_0001.HEIC.icloud").unwrap();
        assert!(cloud.starts_with("`IMG_0001.HEIC` is not on this machine yet"));
        assert!(
            not_here_yet("IMG_2.jpg.part")
                .unwrap()
                .contains("not here whole")
        );
        for other in [
            ".DS_Store",
            "IMG_1.jpg",
            ".icloud",
            "part.jpg",
            "Wardrobe.icloud",
        ] {
            assert_eq!(not_here_yet(other), None, "{other}");
        }
    }
}
