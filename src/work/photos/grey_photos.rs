//! Photos of a piece as grey pictures in which faces are laid, and what was found in them before: a pair of pictures that did not
//! change is looked at once.

use rayon::prelude::*;
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::kit::digest::Digest;
use crate::lay::Eyes;
use crate::lay::Laid;
use crate::lay::Lens;
use crate::lay::Pair;
use crate::lay::Step;
use crate::lay::WAY;
use crate::lay::likeness;
use crate::model::photo::Photo;
use crate::model::piece::Piece;
use crate::photo::Limits;
use crate::photo::PhotoProcessor;
use crate::record::Previews;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::progress::Progress;
use crate::work::report::crops::unchanged;

/// Longer side of a picture in which faces are laid, px.
const SIDE: u32 = 1600;

/// How much memory the pictures may take, and how many threads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Room {
    /// All of them stay in sight, 3 MB each, and four ready to lay faces in, 20 MB more each.
    Wide,
    /// One pair at a time, by one thread; what is not of the next pair is freed.
    Narrow,
}

impl Room {
    /// So many pairs are laid before what was found is kept: a run that is broken off loses no more.
    fn at_once(self) -> usize {
        match self {
            Self::Wide => 8,
            Self::Narrow => 1,
        }
    }

    /// Pictures that stay open, of those that are looked at next.
    fn open(self) -> usize {
        match self {
            Self::Wide => 4,
            Self::Narrow => 2,
        }
    }
}

/// The photos of a piece, looked at when they are needed.
pub(super) struct GreyPhotos<'a> {
    book: &'a OpenBook,
    piece: &'a Piece,
    photos: &'a [Photo],
    /// Those that were looked at; `None` within where the original is gone or cannot be read.
    ready: Vec<Option<Option<Ready>>>,
    /// What was found before; `None` where nothing can be kept.
    kept: Option<Previews>,
    progress: &'a dyn Progress,
    room: Room,
}

/// A picture ready to lay faces from and into.
struct Ready {
    photo: crate::lay::Photo,
    px: [f64; 2],
}

impl<'a> GreyPhotos<'a> {
    /// The photos of a piece; none is looked at yet.
    pub(super) fn of(
        book: &'a OpenBook,
        piece: &'a Piece,
        photos: &'a [Photo],
        progress: &'a dyn Progress,
        room: Room,
    ) -> Result<Self, WorkError> {
        Ok(Self {
            book,
            piece,
            photos,
            ready: photos.iter().map(|_| None).collect(),
            // A book on a medium that cannot be written to is looked at all the same.
            kept: book.previews().ok(),
            progress,
            room,
        })
    }

    /// Width and height of those that are wanted, px; `None` for the others, and where the original is gone or cannot be read.
    pub(super) fn sizes(&mut self, wanted: &[bool]) -> Vec<Option<[f64; 2]>> {
        let wanted: Vec<usize> = (0..self.photos.len()).filter(|n| wanted[*n]).collect();
        let asked = |it: &Self, n: usize| it.key("size", &[n], &());
        let kept: Vec<Option<[f64; 2]>> = wanted
            .iter()
            .map(|n| self.kept_of(asked(self, *n)))
            .collect();
        let new = wanted.iter().zip(&kept).filter(|it| it.1.is_none());
        self.in_sight(new.map(|it| *it.0).collect());
        let mut sizes = vec![None; self.photos.len()];
        let mut answers = Vec::new();
        for (n, kept) in wanted.into_iter().zip(kept) {
            if kept.is_none() {
                self.put_away(&[n]);
                self.prepare(vec![n]);
            }
            let now = self.at(n).map(|it| it.px);
            answers.extend(now.and_then(|px| answer(asked(self, n), &px)));
            sizes[n] = kept.or(now);
        }
        self.keep(&answers);
        sizes
    }

    /// The part of the photos that takes part in laying a face, by their places in the list.
    pub(super) fn eyes<'b>(&'b mut self, here: &'b [usize]) -> EyesOn<'a, 'b> {
        EyesOn { all: self, here }
    }

    /// Puts pictures away, but for the last of those that are looked at next.
    fn put_away(&mut self, next: &[usize]) {
        let most = self.room.open();
        let mut stay: Vec<usize> = Vec::with_capacity(most);
        for n in next.iter().rev() {
            if stay.len() < most && !stay.contains(n) {
                stay.push(*n);
            }
        }
        for (n, it) in self.ready.iter_mut().enumerate() {
            match (self.room, it.as_mut()) {
                (_, None | Some(None)) => {}
                _ if stay.contains(&n) => {}
                (Room::Wide, Some(Some(it))) => it.photo.put_away(),
                (Room::Narrow, Some(Some(_))) => *it = None,
            }
        }
    }

    /// Looks at them at once where all stay in sight.
    fn in_sight(&mut self, wanted: Vec<usize>) {
        if self.room == Room::Wide {
            self.prepare(wanted);
        }
    }

    /// Looks at pictures that were not looked at yet.
    fn prepare(&mut self, mut wanted: Vec<usize>) {
        wanted.sort_unstable();
        wanted.dedup();
        wanted.retain(|n| self.ready[*n].is_none());
        if wanted.is_empty() {
            return;
        }
        let todo: Vec<_> = wanted
            .iter()
            .map(|n| &self.photos[*n])
            .map(|photo| (photo, self.book.original(self.piece, photo)))
            .collect();
        let progress = self.progress;
        progress.begin("looking at", todo.len());
        let one = |(photo, path): (&Photo, std::path::PathBuf)| {
            let made = unchanged(&path, photo.digest).and_then(|bytes| prepared(photo, &bytes));
            progress.step();
            made
        };
        let made: Vec<Option<Ready>> = match self.room {
            Room::Wide => todo.into_par_iter().map(one).collect(),
            Room::Narrow => todo.into_iter().map(one).collect(),
        };
        progress.end();
        for (n, made) in wanted.into_iter().zip(made) {
            self.ready[n] = Some(made);
        }
    }

    fn at(&self, n: usize) -> Option<&Ready> {
        self.ready[n].as_ref()?.as_ref()
    }

    /// All that an answer rests on: how it was found, the bytes of the pictures, what is known of their lenses, and what was asked.
    fn key(&self, what: &str, pictures: &[usize], more: &impl Serialize) -> Digest {
        let picture = |n: &usize| (self.photos[*n].digest, self.photos[*n].facts.focal_35mm);
        let pictures: Vec<_> = pictures.iter().map(picture).collect();
        let all = serde_json::to_vec(&(what, WAY, SIDE, pictures, more));
        Digest::of(&all.unwrap_or_default())
    }

    fn kept_of<T: DeserializeOwned>(&self, asked: Digest) -> Option<T> {
        let kept = self.kept.as_ref()?.found(asked)?;
        serde_json::from_str(&kept).ok()
    }

    /// What cannot be kept is found again the next time.
    fn keep(&mut self, answers: &[(Digest, String)]) {
        if let (Some(kept), false) = (&mut self.kept, answers.is_empty()) {
            let _ = kept.keep_found(answers);
        }
    }
}

fn answer(asked: Digest, found: &impl Serialize) -> Option<(Digest, String)> {
    Some((asked, serde_json::to_string(found).ok()?))
}

/// The pictures that take part in laying one face.
pub(super) struct EyesOn<'a, 'b> {
    all: &'b mut GreyPhotos<'a>,
    here: &'b [usize],
}

impl EyesOn<'_, '_> {
    fn both(&self, it: Pair) -> [usize; 2] {
        [self.here[it.from], self.here[it.into]]
    }

    /// Answers what was asked before, finds the rest, and keeps it; `None` where a picture cannot be looked at.
    fn answered<T: Serialize + DeserializeOwned + Send>(
        &mut self,
        what: &str,
        asked: &[([usize; 2], Digest)],
        find: impl Fn(usize, &crate::lay::Photo, &crate::lay::Photo) -> T + Sync,
    ) -> Vec<Option<T>> {
        let all = &mut *self.all;
        let mut told: Vec<Option<T>> = asked.iter().map(|it| all.kept_of(it.1)).collect();
        let mut open: Vec<usize> = (0..asked.len()).filter(|n| told[*n].is_none()).collect();
        // From one picture into several after each other: it stays open.
        open.sort_by_key(|n| asked[*n].0);
        all.in_sight(open.iter().flat_map(|n| asked[*n].0).collect());
        let progress = all.progress;
        progress.begin(what, open.len());
        for some in open.chunks(all.room.at_once()) {
            let looked_at: Vec<usize> = some.iter().flat_map(|n| asked[*n].0).collect();
            all.put_away(&looked_at);
            all.prepare(looked_at);
            let ready = &all.ready;
            let at = |n: usize| ready[n].as_ref()?.as_ref();
            let one = |n: &usize| {
                let [from, into] = asked[*n].0.map(at);
                let found = from
                    .zip(into)
                    .map(|(from, into)| find(*n, &from.photo, &into.photo));
                progress.step();
                found
            };
            let found: Vec<Option<T>> = match all.room {
                Room::Wide => some.par_iter().map(one).collect(),
                Room::Narrow => some.iter().map(one).collect(),
            };
            let both = some.iter().zip(&found);
            let new: Vec<_> = both
                .filter_map(|(n, it)| answer(asked[*n].1, it.as_ref()?))
                .collect();
            all.keep(&new);
            for (n, it) in some.iter().zip(found) {
                // As it is read the next time, to the last digit: what is asked next rests on it.
                let kept = all.kept_of(asked[*n].1);
                told[*n] = kept.or(it);
            }
        }
        progress.end();
        told
    }
}

impl Eyes for EyesOn<'_, '_> {
    fn alike(&mut self, pairs: &[Pair]) -> Vec<usize> {
        let asked = |it: &Pair| {
            let both = self.both(*it);
            (both, self.all.key("alike", &both, &()))
        };
        let asked: Vec<_> = pairs.iter().map(asked).collect();
        let told = self.answered("comparing pictures", &asked, |_, from, into| {
            likeness(from, into)
        });
        told.into_iter().map(Option::unwrap_or_default).collect()
    }

    fn lay(&mut self, steps: &[Step]) -> Vec<Option<Laid>> {
        let asked = |it: &Step| {
            let both = self.both(it.pair);
            (both, self.all.key("laid", &both, &(it.known, it.ways)))
        };
        let asked: Vec<_> = steps.iter().map(asked).collect();
        let told = self.answered("laying faces", &asked, |n, from, into| {
            steps[n].lay(from, into)
        });
        told.into_iter().map(Option::flatten).collect()
    }
}

fn prepared(photo: &Photo, bytes: &[u8]) -> Option<Ready> {
    let grey = PhotoProcessor::new(Limits::default())
        .grey(bytes, SIDE)
        .ok()?;
    let [width, height] = [grey.width, grey.height].map(|it| it as usize);
    let lens = Lens::of_whole(width, height, photo.facts.focal_35mm.map(f64::from));
    let picture = crate::lay::Grey {
        width,
        height,
        values: &grey.values,
    };
    Some(Ready {
        photo: crate::lay::Photo::new(picture, lens)?,
        px: [f64::from(grey.width), f64::from(grey.height)],
    })
}
