//! Faces that a person laid in some pictures of a piece, carried into the others.

use serde::Serialize;

use crate::assess::faces::piece_shape::PieceShape;
use crate::compare::ruler::lying::CORNER;
use crate::lay::Carried;
use crate::lay::Corners;
use crate::lay::Face;
use crate::lay::Grade;
use crate::lay::Ways;
use crate::lay::carry;
use crate::model::face::How;
use crate::model::face::LaidFace;
use crate::model::face::Lie;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::marking::MarkingSession;
use crate::work::marking::edit::Edit;
use crate::work::marking::save::Answer;
use crate::work::marking::save::SaveRequest;
use crate::work::photos::grey_photos::GreyPhotos;
use crate::work::photos::grey_photos::Room;
use crate::work::photos::laid_by_hand::Known;
use crate::work::photos::laid_by_hand::known;
use crate::work::photos::lay_reason::words;
use crate::work::photos::lay_wishes::wanted;
use crate::work::photos::lay_wishes::wish;
use crate::work::progress::Progress;
use crate::work::progress::Quiet;
use crate::work::sidecars::face_check;
use crate::work::sidecars::sync_sidecars::sync_or_name;
use crate::work::sidecars::vocabulary;

/// What is asked for.
#[derive(Clone, Debug)]
pub struct LayRequest {
    /// The piece.
    pub stock_no: StockNo,
    /// Into this picture alone, straight from those in which a person laid the face.
    pub photo: Option<u32>,
    /// Whether what is beyond doubt is written into the sidecars.
    pub take: bool,
}

/// What came of it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct LaidOver {
    /// Faces that were found in a picture.
    pub faces: Vec<FoundFace>,
    /// Faces that were not, and why.
    pub refused: Vec<NotLaid>,
}

/// A face that was found in a picture.
#[derive(Clone, Debug, Serialize)]
pub struct FoundFace {
    /// The picture.
    pub photo: u32,
    /// The name of its file.
    pub name: String,
    /// The face.
    pub face: PartId,
    /// Its corners in percent of the upright picture, top left first, clockwise as one looks straight at it.
    pub corners: [[f64; 2]; 4],
    /// How it came about, as a sidecar says it.
    pub how: How,
    /// The picture from which it was carried.
    pub from: u32,
    /// Standard deviation of a point of it, px of the picture at 1600 px on its longer side (at its own size where it is smaller).
    pub error_px: f64,
    /// Whether it is beyond doubt.
    pub accepted: bool,
    /// What is against it, where it is not.
    pub reason: Option<String>,
    /// Whether the sidecar now says it.
    pub written: bool,
    #[serde(skip)]
    laid: LaidFace,
}

impl FoundFace {
    /// As a sidecar would say it.
    pub(in crate::work) fn into_laid(self) -> LaidFace {
        self.laid
    }
}

/// A face that was not found in a picture.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotLaid {
    /// The picture.
    pub photo: u32,
    /// The face.
    pub face: PartId,
    /// Why.
    pub reason: String,
}

/// Carries the faces of a piece that a person laid into its other pictures; writes down what is beyond doubt where that is asked.
/// A face that a person laid is never changed; one that was carried over before may be.
///
/// # Errors
/// When there is no such piece or picture, no face was laid by hand, there are too many pictures, or the book cannot be read.
pub fn lay_faces(
    book: &mut OpenBook,
    asked: &LayRequest,
    progress: &dyn Progress,
) -> Result<LaidOver, WorkError> {
    if let Looked::Found(done) = carried_over(book, asked, usize::MAX, Room::Wide, progress)? {
        return Ok(done);
    }
    Err(WorkError::asked_with(
        format!(
            "no face of {} is laid by hand: there is nothing to carry over",
            asked.stock_no
        ),
        "add a `[[face]]` with its four corners to the sidecar of one picture that shows it well",
    ))
}

/// Most faces times pictures that are looked at unasked: some seconds; whoever takes in more asks for it.
const UNASKED: usize = 48;

/// What came of looking for laid faces.
#[derive(Clone, Debug)]
pub enum Looked {
    /// No face of the piece is laid by hand.
    NoFace,
    /// There are more faces and pictures than were to be looked at.
    TooMany,
    /// What was found.
    Found(LaidOver),
}

/// What a user is told after photos were taken in: the faces that were found where no sidecar says them yet. Nothing is written.
///
/// # Errors
/// As [`lay_faces`], but for faces laid by hand.
pub fn lay_after_import(
    book: &mut OpenBook,
    stock_no: &StockNo,
    progress: &dyn Progress,
) -> Result<Looked, WorkError> {
    let asked = LayRequest {
        stock_no: stock_no.clone(),
        photo: None,
        take: false,
    };
    let mut looked = carried_over(book, &asked, UNASKED, Room::Wide, progress)?;
    if let Looked::Found(done) = &mut looked {
        let photos = book.record.photos(stock_no)?;
        done.faces.retain(|found| {
            let photo = photos.iter().find(|it| it.no == found.photo);
            let mut said = photo.iter().flat_map(|it| &it.sidecar.faces);
            !said.any(|it| it.face == found.face)
        });
    }
    Ok(looked)
}

/// The faces that were laid by hand in other pictures, as they lie in this one; none where none was, or too many to look at unasked.
/// One pair of pictures is held at a time. Nothing is said in a sidecar.
///
/// # Errors
/// As [`lay_faces`], but for faces laid by hand.
pub(in crate::work) fn lay_into(
    book: &mut OpenBook,
    stock_no: &StockNo,
    photo: u32,
) -> Result<Vec<FoundFace>, WorkError> {
    let asked = LayRequest {
        stock_no: stock_no.clone(),
        photo: Some(photo),
        take: false,
    };
    match carried_over(book, &asked, UNASKED, Room::Narrow, &Quiet)? {
        Looked::Found(done) => Ok(done.faces),
        Looked::NoFace | Looked::TooMany => Ok(Vec::new()),
    }
}

/// Looks where faces and pictures are no more than `most` multiplied.
fn carried_over(
    book: &mut OpenBook,
    asked: &LayRequest,
    most: usize,
    room: Room,
    progress: &dyn Progress,
) -> Result<Looked, WorkError> {
    sync_or_name(book, &asked.stock_no)?;
    let piece = book.record.piece(&asked.stock_no)?;
    let photos = book.record.photos(&asked.stock_no)?;
    let shape = PieceShape::of(&book.trade, &piece, &vocabulary::parts(&book.trade, &piece));
    let known = known(&photos, &shape);
    if known.is_empty() {
        return Ok(Looked::NoFace);
    }
    let into = asked.photo.map_or(photos.len(), |_| 1);
    if known.len() * into > most {
        return Ok(Looked::TooMany);
    }
    let wanted = wanted(&photos, &known, asked.photo, &asked.stock_no)?;
    let mut pictures = GreyPhotos::of(book, &piece, &photos, progress, room)?;
    let sizes = pictures.sizes(&wanted);
    let parts = vocabulary::parts(&book.trade, &piece);
    let wish = |photo: &Photo| {
        let each = known.iter();
        each.map(|it| wish(photo, it, asked.photo, &shape, &parts, &book.trade))
            .collect()
    };
    let wishes: Vec<Vec<Option<Ways>>> = photos.iter().map(wish).collect();
    let mut done = LaidOver::default();
    carry_all(
        &known,
        &photos,
        &mut pictures,
        &wishes,
        &sizes,
        &shape,
        &mut done,
    );
    settle(&mut done);
    if asked.take {
        write(book, asked, &photos, &mut done)?;
        sync_or_name(book, &asked.stock_no)?;
    }
    Ok(Looked::Found(done))
}

/// Carries each rectangle by itself. Two rectangles of a piece could hold each other, but how far one stands back from the other is
/// told by nobody, and a few mm of error there would be worse than no help.
fn carry_all(
    known: &[Known],
    photos: &[Photo],
    pictures: &mut GreyPhotos<'_>,
    wishes: &[Vec<Option<Ways>>],
    sizes: &[Option<[f64; 2]>],
    shape: &PieceShape,
    done: &mut LaidOver,
) {
    let place = |n: usize, it: &Known| it.places.iter().find(|it| it.0 == n).map(|it| it.1);
    let takes_part = |n: &usize| {
        wishes[*n].iter().any(Option::is_some) || known.iter().any(|it| place(*n, it).is_some())
    };
    let taking_part: Vec<usize> = (0..photos.len()).filter(takes_part).collect();
    for n in taking_part.iter().filter(|n| sizes[**n].is_none()) {
        let reason = "its original is gone, changed, or cannot be read: `asfound verify` says more";
        for (it, _) in known.iter().zip(&wishes[*n]).filter(|it| it.1.is_some()) {
            refuse(done, &photos[*n], it, reason.to_owned());
        }
    }
    let here = taking_part.into_iter().filter_map(|n| Some((n, sizes[n]?)));
    let (here, px): (Vec<usize>, Vec<[f64; 2]>) = here.unzip();
    let corners = |n: usize, px: [f64; 2], known: &Known| {
        place(n, known).map(|it| Corners {
            corners: it.map(|[x, y]| [x * px[0], y * px[1]]),
            unsure: CORNER * px[0].max(px[1]),
        })
    };
    let row = |(n, px): (&usize, &[f64; 2])| known.iter().map(|it| corners(*n, *px, it)).collect();
    let rows: Vec<Vec<_>> = here.iter().zip(&px).map(row).collect();
    let wished: Vec<Vec<_>> = here.iter().map(|n| wishes[*n].clone()).collect();
    let faces: Vec<Face> = known.iter().map(|it| Face::alone(it.rect.size)).collect();
    let carried = carry(&faces, &rows, &wished, &mut pictures.eyes(&here));
    for (at, (n, px)) in here.iter().zip(px).enumerate() {
        let photo = &photos[*n];
        for (face, it) in known
            .iter()
            .enumerate()
            .filter(|it| wishes[*n][it.0].is_some())
        {
            let found_here = carried.iter().find(|it| (it.photo, it.face) == (at, face));
            let laid = match found_here {
                Some(carried) => {
                    let from = photos[here[carried.from]].no;
                    found(carried, photo, from, px, it, shape)
                }
                None => Err("no picture in which this face is laid looks like this one".to_owned()),
            };
            match laid {
                Ok(found) => done.faces.push(found),
                Err(reason) => refuse(done, photo, it, reason),
            }
        }
    }
}

fn refuse(done: &mut LaidOver, photo: &Photo, known: &Known, reason: String) {
    done.refused.push(NotLaid {
        photo: photo.no,
        face: known.like.face.clone(),
        reason,
    });
}

/// A face as a sidecar would say it, or why it cannot lie so.
fn found(
    carried: &Carried,
    photo: &Photo,
    from: u32,
    px: [f64; 2],
    known: &Known,
    shape: &PieceShape,
) -> Result<FoundFace, String> {
    let reason = match carried.laid.grade {
        Grade::Refused(why) => return Err(words(why).to_owned()),
        Grade::ToConfirm(why) => Some(words(why).to_owned()),
        Grade::TakenOver => None,
    };
    let corners = carried.laid.corners();
    let corners = corners.ok_or("part of it would lie behind the camera")?;
    let percent = |[x, y]: [f64; 2]| [x / px[0], y / px[1]].map(|it| (it * 1e4).round() / 1e2);
    let corners = corners.map(percent);
    let laid = LaidFace {
        lie: Lie::Corners(corners),
        how: How::FromPicture(from),
        ..known.like.clone()
    };
    if let Some(doubt) = face_check::doubt(shape, &photo.facts, &laid) {
        return Err(doubt.message);
    }
    Ok(FoundFace {
        photo: photo.no,
        name: photo.name.clone(),
        face: laid.face.clone(),
        corners,
        how: laid.how,
        from,
        error_px: (carried.laid.error * 100.0).round() / 100.0,
        accepted: reason.is_none(),
        reason,
        written: false,
        laid,
    })
}

/// Keeps one answer for a face in a picture, where several rectangles of it are known: the surest.
fn settle(done: &mut LaidOver) {
    let order = |a: &FoundFace, b: &FoundFace| {
        let key = |it: &FoundFace| (it.photo, it.face.clone(), !it.accepted);
        key(a).cmp(&key(b)).then(a.error_px.total_cmp(&b.error_px))
    };
    done.faces.sort_by(order);
    done.faces
        .dedup_by(|a, b| (a.photo, &a.face) == (b.photo, &b.face));
    let faces = &done.faces;
    done.refused.retain(|no| {
        !faces
            .iter()
            .any(|it| (it.photo, &it.face) == (no.photo, &no.face))
    });
    done.refused
        .sort_by(|a, b| (a.photo, &a.face).cmp(&(b.photo, &b.face)));
    done.refused
        .dedup_by(|a, b| (a.photo, &a.face) == (b.photo, &b.face));
}

/// Writes what is beyond doubt, each into its sidecar as that is now.
fn write(
    book: &OpenBook,
    asked: &LayRequest,
    photos: &[Photo],
    done: &mut LaidOver,
) -> Result<(), WorkError> {
    let session = MarkingSession::new(book, &asked.stock_no)?;
    for it in done.faces.iter_mut().filter(|it| it.accepted) {
        let photo = photos.iter().find(|photo| photo.no == it.photo);
        let was =
            photo.and_then(|photo| photo.sidecar.faces.iter().find(|was| was.face == it.face));
        let wish = SaveRequest {
            photo: it.photo,
            changes: vec![Edit::Face {
                was: was.cloned(),
                to: Some(it.laid.clone()),
            }],
            mine: false,
        };
        let why = match session.say(book.now, &wish)? {
            Answer::Said(_) => None,
            Answer::Conflict(it) => it.stuck.into_iter().next().map(|it| it.message),
            Answer::Wrong(it) => Some(it.message),
        };
        it.written = why.is_none();
        if why.is_some() {
            it.reason = why;
        }
    }
    Ok(())
}
