//! Copies of the photos of a piece, upright, without what the camera wrote, with their marks in them.

use std::path::Path;

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::findings::sighting::MarkAt;
use crate::kit::digest::Digest;
use crate::kit::files::make_folder;
use crate::kit::files::read;
use crate::kit::files::write_whole;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::photo::Limits;
use crate::photo::PhotoProcessor;
use crate::photo::disclosed;
use crate::photo::with_xmp;
use crate::report::with_claims_marked;
use crate::work::WorkError;
use crate::work::advice::survey::survey;
use crate::work::book::open_book::OpenBook;
use crate::work::exchange::annotations::Words;
use crate::work::exchange::xmp::PictureWords;
use crate::work::exchange::xmp::RegionWords;
use crate::work::exchange::xmp::packet;
use crate::work::out::empty_folder;
use crate::work::progress::Progress;

/// What was written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PhotoCopies {
    /// The folder.
    pub folder: String,
    /// The copies.
    pub photos: Vec<PhotoCopy>,
    /// Numbers of the photos taken at other people's homes, which nobody asked for.
    pub not_asked: Vec<u32>,
    /// Photos of which there is none.
    pub left_out: Vec<LeftPhoto>,
}

/// A copy.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PhotoCopy {
    /// Number of the photo.
    pub photo: u32,
    /// Name of the copy.
    pub name: String,
    /// Marks that it shows the place of.
    pub regions: usize,
    /// Keywords.
    pub keywords: Vec<String>,
}

/// A photo without a copy.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LeftPhoto {
    /// Number of the photo.
    pub photo: u32,
    /// Name of its original.
    pub name: String,
    /// Why.
    pub why: String,
}

/// Writes the copies of the `wanted` photos, by number, into a folder that is empty or not there; with none named, of all that were not
/// taken at other people's homes. What changed in the sidecars is read first, and an original is only
/// read.
///
/// # Errors
/// When there is no such piece, or the folder is not empty or cannot be written.
pub fn photo_copies(
    book: &mut OpenBook,
    no: &StockNo,
    folder: &Path,
    wanted: &[u32],
    progress: &dyn Progress,
) -> Result<PhotoCopies, WorkError> {
    let it = with_claims_marked(&survey(book, no)?.assessment);
    empty_folder(folder)?;
    if let Some(none) = wanted
        .iter()
        .find(|no| it.photos.iter().all(|it| it.no != **no))
    {
        let all = it.photos.iter().map(|it| it.no);
        let out = book.record.removed_photos(no)?;
        return Err(WorkError::no_picture(&out, no, *none, all));
    }
    make_folder(folder)?;
    let words = Words::new(&it, &book.trade);
    let mut processor = PhotoProcessor::new(Limits::default());
    let mut done = PhotoCopies {
        folder: folder.display().to_string(),
        photos: Vec::new(),
        not_asked: Vec::new(),
        left_out: Vec::new(),
    };
    progress.begin("copying", it.photos.len());
    for photo in &it.photos {
        progress.step();
        let is_wanted = match wanted {
            [] => !is_at_somebodys(&it, photo),
            numbers => numbers.contains(&photo.no),
        };
        if !is_wanted {
            if wanted.is_empty() {
                done.not_asked.push(photo.no);
            }
            continue;
        }
        let said = picture_words(&it, photo, &words);
        let original = book.original(&it.piece, photo);
        match copy(&mut processor, &original, photo, &said) {
            Ok(bytes) => {
                let name = name(no, photo);
                write_whole(&folder.join(&name), &bytes)?;
                done.photos.push(PhotoCopy {
                    photo: photo.no,
                    name,
                    regions: said.regions.len(),
                    keywords: said.keywords,
                });
            }
            Err(why) => done.left_out.push(LeftPhoto {
                photo: photo.no,
                name: photo.name.clone(),
                why,
            }),
        }
    }
    progress.end();
    Ok(done)
}

/// Whether a photo was taken where the piece was somebody else's, so that it may show their home; also where it was ever told as of
/// such an occasion.
fn is_at_somebodys(it: &Assessment, photo: &Photo) -> bool {
    let shoot = it.shoots.iter().find(|shoot| shoot.no == photo.shoot);
    let once = photo.moved.iter().flat_map(|it| &it.steps);
    let mut told = once.map(|it| it.stage).chain([shoot.map(|it| it.stage)]);
    told.any(|it| match it {
        None | Some(Stage::Doorstep | Stage::Handover | Stage::Delivery | Stage::Return) => true,
        Some(Stage::Purchase | Stage::Work | Stage::Sale) => false,
    })
}

/// `26-001-0004 front_whole.jpg`: not the name that the original came with, which may name people and places.
fn name(no: &StockNo, photo: &Photo) -> String {
    let is_plain = |it: &&String| it.chars().all(|it| it.is_alphanumeric() || it == '_');
    let view = photo.sidecar.view.iter().filter(is_plain);
    let view: String = view.map(|it| format!(" {it}")).collect();
    format!("{no}-{:04}{view}.jpg", photo.no)
}

/// The bytes of a copy, or why there is none.
fn copy(
    processor: &mut PhotoProcessor,
    original: &Path,
    photo: &Photo,
    said: &PictureWords,
) -> Result<Vec<u8>, String> {
    let bytes = read(original).map_err(|why| why.source.to_string())?;
    if Digest::of(&bytes) != photo.digest {
        return Err("it has other bytes than the record names".to_owned());
    }
    let copy = processor.upright(&bytes).map_err(|why| why.to_string())?;
    let told = disclosed(&copy);
    if told.may_hold_a_place() || !told.names.is_empty() || !told.serials.is_empty() {
        return Err("what the camera wrote cannot be taken out of it".to_owned());
    }
    with_xmp(&copy, &packet(said))
        .ok_or_else(|| "it has more marks than a JPEG can hold".to_owned())
}

fn picture_words(it: &Assessment, photo: &Photo, words: &Words<'_>) -> PictureWords {
    let mut said = PictureWords {
        title: format!(
            "{} {}, picture {}",
            it.piece.stock_no, it.piece.title, photo.no
        ),
        note: photo.sidecar.note.clone(),
        source: photo.digest.address(),
        ..PictureWords::default()
    };
    for (mark, told) in photo.sidecar.marks.iter().enumerate() {
        let photo_no = photo.no;
        let of_it = words.of(
            MarkAt {
                photo: photo_no,
                mark,
            },
            told,
        );
        if of_it.is_seen && !said.keywords.contains(&of_it.term) {
            said.keywords.push(of_it.term.clone());
        }
        let note = told.note.clone().into_iter();
        let about: Vec<String> = Some(of_it.line).into_iter().chain(note).collect();
        said.regions
            .extend(told.region.clone().map(|region| RegionWords {
                name: of_it.term,
                about: about.join(": "),
                region,
            }));
    }
    said
}
