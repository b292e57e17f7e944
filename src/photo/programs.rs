//! The programs that a file names: what is no camera's own is told.

use exif::Context;
use exif::Tag;

use crate::model::facts::Oddity;
use crate::photo::block::Block;
use crate::photo::disclosed::values_of;

/// The name of the program that processed a file (TIFF/EP); the Exif crate has no constant for it.
const PROCESSING_SOFTWARE: Tag = Tag(Context::Tiff, 0x000b);

/// Exif 3.0: software that developed a raw picture, that edited the picture, that edited its facts (numbers from memory).
const SOFTWARE_OF_3_0: [u16; 3] = [0xa43a, 0xa43b, 0xa43c];

/// In XMP (ISO 16684): the first known program, and those of the history.
const IN_XMP: [&str; 2] = ["CreatorTool", "softwareAgent"];

/// Words that cameras write beside the number of their own software. Common practice, no source.
const OF_A_CAMERA: [&str; 12] = [
    "ver", "version", "v", "rev", "firmware", "digital", "hdr", "hdr+", "build", "release", "os",
    "ui",
];

/// The programs named in a file that are not plainly a camera's own, each once.
pub(in crate::photo) fn named(block: Option<&Block>, bytes: &[u8]) -> Vec<Oddity> {
    let of_block = |it: &Block| {
        let newer = SOFTWARE_OF_3_0.map(|tag| Tag(Context::Exif, tag));
        let tags = [PROCESSING_SOFTWARE, Tag::Software]
            .into_iter()
            .chain(newer);
        tags.filter_map(|tag| it.text(tag)).collect::<Vec<_>>()
    };
    let camera = block.map_or_else(String::new, |it| {
        let words = [Tag::Make, Tag::Model].map(|tag| it.text(tag).unwrap_or_default());
        words.join(" ").to_lowercase()
    });
    let mut programs = block.map_or_else(Vec::new, of_block);
    programs.extend(IN_XMP.iter().flat_map(|it| values_of(bytes, it)));
    let mut told: Vec<Oddity> = Vec::new();
    for program in programs {
        let oddity = Oddity::Edited(program);
        if let Oddity::Edited(program) = &oddity
            && !is_of_a_camera(program, &camera)
            && !told.contains(&oddity)
        {
            told.push(oddity);
        }
    }
    told
}

/// Whether a text is what a camera writes of its own software: numbers, its own name, and a few words beside them.
fn is_of_a_camera(program: &str, camera: &str) -> bool {
    let low = program.to_lowercase();
    let own_app = low.contains("camera") && !low.contains("raw");
    own_app
        || low
            .split([' ', ',', ';', '_', '/', '-', '(', ')'])
            .all(|word| {
                word.is_empty()
                    || is_number(word)
                    || OF_A_CAMERA.contains(&word.trim_end_matches(['.', ':']))
                    || camera.split(' ').any(|it| it == word)
            })
}

/// A version such as `v1.01`, `Ver1.20`, `16.2`, or a maker's number such as `S938BXXS3AYDA`.
fn is_number(word: &str) -> bool {
    let digits = word.chars().filter(char::is_ascii_digit).count();
    let bare = ["version", "ver.", "ver", "v.", "v"];
    let rest = bare.iter().find_map(|it| word.strip_prefix(it));
    let starts = |it: &str| it.starts_with(|c: char| c.is_ascii_digit());
    starts(word)
        || rest.is_some_and(starts)
        || (digits >= 2 && !word.contains('.') && digits * 5 >= word.len())
}

#[cfg(test)]
mod tests {
    use super::is_of_a_camera;

    #[test]
    fn a_cameras_own_software_is_no_program() {
        for own in [
            "firmware 7",
            "16.5.1",
            "00204",
            "V01.02.05",
            "v1.01",
            "Ver. 1.00",
            "HDR+ 1.0.621982163zd",
            "G123BXXS3AYDA",
            "Box 2 Ver1.20",
            "Digital Camera Box 2 Ver1.20",
            "Somebody Camera Application",
        ] {
            assert!(is_of_a_camera(own, "shed box 2"), "{own}");
        }
        for other in [
            "paint box",
            "Paint Box 4.0.3",
            "paintbox5",
            "PhotoProcessor 12 (build 2019)",
            "Camera Raw Developer 3",
            "www.example.org",
        ] {
            assert!(!is_of_a_camera(other, "shed box 2"), "{other}");
        }
    }
}
