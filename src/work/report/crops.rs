//! The pictures of a report: cut from originals or previews, kept for the next time.

use std::collections::BTreeMap;
use std::path::Path;
use std::path::PathBuf;

use rayon::prelude::*;

use crate::assess::assessment::Assessment;
use crate::compare::straight;
use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::model::photo::Photo;
use crate::model::picture::SmallPicture;
use crate::photo::Limits;
use crate::photo::Look;
use crate::photo::PhotoProcessor;
use crate::photo::Small;
use crate::record::Previews;
use crate::report::Crop;
use crate::report::Packing;
use crate::report::ShotKind;
use crate::report::detail_area;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::photos::process::PHOTO_WORKER;
use crate::work::progress::Progress;

/// How large the pictures of a page are.
#[derive(Clone, Copy, Debug)]
struct Grade {
    /// Long side of a whole picture, pixels.
    large: u32,
    /// Long side of a detail, pixels.
    detail: u32,
    /// Long side in the list, pixels.
    thumb: u32,
    /// JPEG quality.
    quality: u8,
}

/// From fine to coarse; the first with which the page keeps within its bytes is taken.
const GRADES: [Grade; 5] = [
    Grade {
        large: 960,
        detail: 720,
        thumb: 320,
        quality: 76,
    },
    Grade {
        large: 800,
        detail: 560,
        thumb: 240,
        quality: 72,
    },
    Grade {
        large: 760,
        detail: 520,
        thumb: 240,
        quality: 70,
    },
    Grade {
        large: 640,
        detail: 440,
        thumb: 200,
        quality: 68,
    },
    Grade {
        large: 600,
        detail: 420,
        thumb: 200,
        quality: 64,
    },
];

/// Long side of a picture in the list at a glance, pixels.
const MINI: u32 = 240;

/// Bytes of pictures in a one-file page for each photo of the piece: with base64 and the text, under 2.5 MB for 34 of them.
const A_PHOTO: usize = 50_000;
/// However many photos there are: under 6 MB with base64 and the text.
const PAGE_MAX: usize = 4_200_000;
/// However few.
const PAGE_LEAST: usize = 1_700_000;

/// So many previews are made before they are stored.
const CHUNK: usize = 8;

/// What of a photo a picture shows.
enum What {
    /// All of it.
    All,
    /// An area, percent.
    Area([f64; 4]),
    /// A thing set straight: the map to the photo, and the size in pixels.
    Straight([[f64; 3]; 3], (u32, u32)),
}

/// One picture to make.
struct Task {
    shot: Crop,
    digest: Digest,
    original: PathBuf,
    preview: Option<Vec<u8>>,
    what: What,
    side: u32,
    quality: u8,
    kind: String,
    ready: Option<SmallPicture>,
}

/// Makes the pictures `shots` of a piece; one whose original is gone is made from its preview, or left out.
///
/// # Errors
/// When the small pictures cannot be read or written.
pub(in crate::work) fn take(
    book: &OpenBook,
    assessment: &Assessment,
    shots: &[Crop],
    packing: Packing,
    progress: &dyn Progress,
) -> Result<BTreeMap<Crop, SmallPicture>, WorkError> {
    // The pool of a second report in one run is the first one's, named already.
    let _ = rayon::ThreadPoolBuilder::new()
        .thread_name(|_| PHOTO_WORKER.to_owned())
        .build_global();
    look_again(book, assessment, shots, progress)?;
    let mut taken = BTreeMap::new();
    for grade in GRADES {
        taken = take_at(book, assessment, shots, packing, grade, progress)?;
        let bytes: usize = taken.values().map(|it: &SmallPicture| it.jpeg.len()).sum();
        let most = assessment.photos.len().saturating_mul(A_PHOTO);
        if packing == Packing::Folder || bytes <= most.clamp(PAGE_LEAST, PAGE_MAX) {
            break;
        }
    }
    Ok(taken)
}

/// Makes the previews that are missing from the originals, as the import made them: a picture cut from the original
/// itself would have other bytes.
fn look_again(
    book: &OpenBook,
    assessment: &Assessment,
    shots: &[Crop],
    progress: &dyn Progress,
) -> Result<(), WorkError> {
    let mut previews = book.previews()?;
    let mut missing = Vec::new();
    for photo in &assessment.photos {
        let is_shown = shots.iter().any(|it| it.photo == photo.no);
        if is_shown && previews.get(photo.digest, "preview")?.is_none() {
            let path = book.original(&assessment.piece, photo);
            missing.push((photo.digest, path));
        }
    }
    progress.begin("previews", missing.len());
    for some in missing.chunks(CHUNK) {
        let looks: Vec<(Digest, Option<Look>)> = some
            .par_iter()
            .map_init(
                || PhotoProcessor::new(Limits::default()),
                |processor, (digest, path)| {
                    let bytes = unchanged(path, *digest);
                    let look = bytes.and_then(|it| processor.process(&it).ok());
                    progress.step();
                    (*digest, look)
                },
            )
            .collect();
        for (digest, look) in looks {
            let Some(look) = look else { continue };
            keep_both(&mut previews, digest, look.preview, look.thumb)?;
        }
    }
    progress.end();
    Ok(())
}

/// A picture as it comes out of the processor, as it is kept.
fn small(it: Small) -> SmallPicture {
    SmallPicture {
        jpeg: it.jpeg,
        width: it.width,
        height: it.height,
    }
}

/// Keeps both small pictures of a photo and gives them back: preview, thumb.
pub(in crate::work) fn keep_both(
    previews: &mut Previews,
    digest: Digest,
    preview: Small,
    thumb: Small,
) -> Result<[SmallPicture; 2], WorkError> {
    let [preview, thumb] = [preview, thumb].map(small);
    previews.put(digest, &[("preview", &preview), ("thumb", &thumb)])?;
    Ok([preview, thumb])
}

fn take_at(
    book: &OpenBook,
    assessment: &Assessment,
    shots: &[Crop],
    packing: Packing,
    grade: Grade,
    progress: &dyn Progress,
) -> Result<BTreeMap<Crop, SmallPicture>, WorkError> {
    let mut previews = book.previews()?;
    let mut tasks = Vec::new();
    for shot in shots {
        let Some(photo) = assessment.photos.iter().find(|it| it.no == shot.photo) else {
            continue;
        };
        let Some(mut task) = task(book, assessment, photo, shot, packing, grade) else {
            continue;
        };
        task.ready = previews.get(task.digest, &task.kind)?;
        if task.ready.is_none() {
            task.preview = previews.get(task.digest, "preview")?.map(|it| it.jpeg);
        }
        tasks.push(task);
    }
    progress.begin("pictures", tasks.len());
    let made: Vec<(Task, Option<SmallPicture>)> = tasks
        .into_par_iter()
        .map_init(
            || PhotoProcessor::new(Limits::default()),
            |processor, mut task| {
                let ready = task.ready.take();
                let small = ready.or_else(|| make(&task, processor).map(small));
                progress.step();
                (task, small)
            },
        )
        .collect();
    progress.end();
    let mut taken = BTreeMap::new();
    for (task, small) in made {
        let Some(small) = small else { continue };
        // Full-size pictures of a folder are not kept twice.
        if !(packing == Packing::Folder && task.shot.kind == ShotKind::Large) {
            previews.put(task.digest, &[(task.kind.as_str(), &small)])?;
        }
        taken.insert(task.shot, small);
    }
    Ok(taken)
}

fn task(
    book: &OpenBook,
    assessment: &Assessment,
    photo: &Photo,
    shot: &Crop,
    packing: Packing,
    grade: Grade,
) -> Option<Task> {
    let region = match shot.kind {
        ShotKind::Detail { mark } | ShotKind::Mini { mark } => photo
            .sidecar
            .marks
            .get(mark)
            .and_then(|it| it.region.as_ref()),
        ShotKind::Thumb | ShotKind::Large | ShotKind::Straight(_) => None,
    };
    let area = region.map(|it| detail_area(it, photo.facts.width, photo.facts.height));
    let (side, quality) = match (&shot.kind, packing) {
        (ShotKind::Thumb, _) => (grade.thumb, 74),
        (ShotKind::Mini { .. }, _) => (MINI, 74),
        (ShotKind::Large, Packing::Folder) => (u32::MAX, 90),
        (ShotKind::Large, Packing::OneFile) => (grade.large, grade.quality),
        (ShotKind::Detail { .. }, _) => (grade.detail, grade.quality),
        (ShotKind::Straight(cut), _) if cut.is_detail() => (grade.detail, grade.quality),
        (ShotKind::Straight(_), _) => (grade.large, grade.quality),
    };
    let (what, cut) = match (&shot.kind, area) {
        (ShotKind::Straight(cut), _) => {
            let rows = straight::rows(cut.corners())?;
            let corners = cut.corners().concat();
            let corners = corners.iter().map(|it| format!("{it:.3}"));
            let corners: Vec<String> = corners.collect();
            let size = cut.size(side);
            let name = format!(" {}x{} straight {}", size.0, size.1, corners.join(","));
            (What::Straight(rows, size), name)
        }
        (_, Some([x, y, w, h])) => {
            let name = format!(" {x:.2},{y:.2},{w:.2},{h:.2}");
            (What::Area([x, y, w, h]), name)
        }
        (_, None) => (What::All, String::new()),
    };
    Some(Task {
        shot: shot.clone(),
        digest: photo.digest,
        original: book.original(&assessment.piece, photo),
        preview: None,
        what,
        side,
        quality,
        kind: format!("{side}q{quality}{cut}"),
        ready: None,
    })
}

/// Details and full-size pictures come from the original, the rest from the preview; each from the other in need.
fn make(task: &Task, processor: &mut PhotoProcessor) -> Option<Small> {
    let from_preview_first = matches!(task.what, What::All) && task.side < 1600;
    let preview = task.preview.clone();
    let sources: [Box<dyn Fn() -> Option<Vec<u8>>>; 2] = [
        Box::new(move || preview.clone()),
        Box::new(|| unchanged(&task.original, task.digest)),
    ];
    let order = if from_preview_first { [0, 1] } else { [1, 0] };
    order.into_iter().find_map(|n| {
        let bytes = sources[n]()?;
        let made = match &task.what {
            What::Area(area) => processor.crop(&bytes, *area, task.side, task.quality),
            What::All => processor.shrink(&bytes, task.side, task.quality),
            What::Straight(rows, size) => processor.straight(&bytes, rows, *size, task.quality),
        };
        made.ok()
    })
}

/// The original's bytes, if it is there and still what was taken in.
pub(in crate::work) fn unchanged(path: &Path, digest: Digest) -> Option<Vec<u8>> {
    let bytes = read(path).ok()?;
    (Digest::of(&bytes) == digest).then_some(bytes)
}
