//! A folder of photos with its truth.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::Arc;
use std::sync::Mutex;

use lay::Bend;
use lay::Face;
use lay::Grey;
use lay::Lens;
use lay::Photo;
use pixels::Decoder;
use pixels::Limits;
use plane::Homography;
use plane::Xy;
use serde::Deserialize;

use crate::cases::cpu;

/// Longer side of a picture, px.
pub(crate) const SIDE: u32 = 1600;

#[derive(Deserialize)]
struct Truth {
    faces_mm: BTreeMap<String, Plane>,
    photos: Vec<Taken>,
    pairs: Vec<Listed>,
}

#[derive(Deserialize)]
struct Plane {
    origin: [f64; 3],
    u: [f64; 3],
    v: [f64; 3],
}

#[derive(Deserialize)]
struct Taken {
    file: String,
    shoot: String,
    view: String,
    camera: Size,
    faces: Vec<Shown>,
}

#[derive(Deserialize)]
struct Size {
    width: f64,
}

#[derive(Clone, Deserialize)]
pub(crate) struct Shown {
    pub(crate) face: String,
    #[serde(rename = "H_mm_to_px")]
    map: [[f64; 3]; 3],
    /// Left, top, right, bottom of the flat part, mm.
    #[serde(rename = "flat_rect_mm")]
    pub(crate) flat: [f64; 4],
    #[serde(rename = "visible_fraction")]
    pub(crate) visible: f64,
    #[serde(rename = "view_angle_deg")]
    pub(crate) angle: f64,
}

#[derive(Deserialize)]
pub(crate) struct Listed {
    pub(crate) a: String,
    pub(crate) b: String,
    pub(crate) face: String,
}

#[derive(Clone)]
pub(crate) struct Picture {
    /// The file, for what is made from it anew.
    pub(crate) bytes: Vec<u8>,
    pub(crate) orientation: Option<u16>,
    pub(crate) file: String,
    pub(crate) shoot: String,
    pub(crate) view: String,
    pub(crate) faces: Vec<Shown>,
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) grey: Vec<u8>,
    /// What is told to the program.
    pub(crate) lens: Lens,
    /// The lens with its true bend.
    pub(crate) truth: Lens,
    /// px of this picture to a px of the truth.
    pub(crate) scale: f64,
}

pub(crate) struct Set {
    pub(crate) pictures: Vec<Picture>,
    pub(crate) pairs: Vec<Listed>,
    planes: BTreeMap<String, Plane>,
    prepared: Mutex<BTreeMap<(usize, String), Arc<Photo>>>,
    /// The bend of a camera as its pictures show it, by the true one in ten-thousandths.
    pub(crate) bends: Mutex<BTreeMap<i32, Option<Bend>>>,
    /// s of CPU to prepare a picture, one for each.
    pub(crate) cpu: Mutex<Vec<f64>>,
}

impl Set {
    pub(crate) fn read(folder: &Path) -> Self {
        let text = fs::read(folder.join("truth.json")).unwrap();
        let truth: Truth = serde_json::from_slice(&text).unwrap();
        let read = |it| Picture::read(folder, it);
        Self {
            pictures: truth.photos.into_iter().map(read).collect(),
            pairs: truth.pairs,
            planes: truth.faces_mm,
            prepared: Mutex::default(),
            bends: Mutex::default(),
            cpu: Mutex::default(),
        }
    }

    pub(crate) fn index(&self, file: &str) -> usize {
        self.pictures.iter().position(|it| it.file == file).unwrap()
    }

    /// A picture prepared for laying.
    pub(crate) fn photo(&self, n: usize, picture: &Picture, change: &str) -> Arc<Photo> {
        let key = (n, change.to_owned());
        if let Some(it) = self.prepared.lock().unwrap().get(&key) {
            return Arc::clone(it);
        }
        let start = cpu();
        let it = Arc::new(picture.prepared());
        self.cpu.lock().unwrap().push(cpu() - start);
        self.prepared.lock().unwrap().insert(key, Arc::clone(&it));
        it
    }

    pub(crate) fn forget(&self) {
        self.prepared
            .lock()
            .unwrap()
            .retain(|it, _| it.1.is_empty());
    }

    /// The flat part of a face, where it lies on the piece. A drawer that is pulled out lies nowhere.
    pub(crate) fn face(&self, shown: &Shown) -> Face {
        let [left, top, right, bottom] = shown.flat;
        let size = [right - left, bottom - top];
        let Some(plane) = self.planes.get(&shown.face) else {
            return Face::alone(size);
        };
        let at = |n: usize| plane.origin[n] + plane.u[n] * left + plane.v[n] * top;
        Face {
            size,
            corner: [at(0), at(1), at(2)],
            across: plane.u,
            down: plane.v,
        }
    }
}

impl Picture {
    fn read(folder: &Path, taken: Taken) -> Self {
        let bytes = fs::read(folder.join("photos").join(&taken.file)).unwrap();
        let format = pixels::sniff(&bytes).unwrap();
        let block = pixels::exif_blocks(&bytes, format).first;
        let mut reader = exif::Reader::new();
        reader.continue_on_error(true);
        let read = |it| {
            reader
                .read_raw(it)
                .or_else(|it| it.distill_partial_result(|_| ()))
        };
        let told = block.and_then(|it| read(it).ok());
        let field = |tag| {
            let it = told.as_ref()?.get_field(tag, exif::In::PRIMARY)?;
            it.value.get_uint(0)
        };
        let orientation = field(exif::Tag::Orientation).map(|it| it as u16);
        let as_35mm = field(exif::Tag::FocalLengthIn35mmFilm).map(f64::from);
        let mut decoder = Decoder::new(Limits::default());
        let grey = decoder.grey(&bytes, stated(orientation), SIDE).unwrap();
        let (width, height) = (grey.width as usize, grey.height as usize);
        Self {
            bytes,
            orientation,
            file: taken.file,
            shoot: taken.shoot,
            view: taken.view,
            faces: taken.faces,
            width,
            height,
            grey: grey.values,
            lens: Lens::of_whole(width, height, as_35mm),
            truth: Lens::of_whole(width, height, as_35mm),
            scale: width as f64 / taken.camera.width,
        }
    }

    fn prepared(&self) -> Photo {
        let grey = Grey {
            width: self.width,
            height: self.height,
            values: &self.grey,
        };
        Photo::new(grey, self.lens).unwrap()
    }

    pub(crate) fn shown(&self, face: &str) -> Option<&Shown> {
        self.faces.iter().find(|it| it.face == face)
    }

    /// The true map of a face, mm from the top left corner of its flat part, to px of this picture.
    pub(crate) fn map(&self, shown: &Shown) -> Homography {
        let [left, top, ..] = shown.flat;
        let rows = shown.map.map(|[a, b, c]| [a, b, a * left + b * top + c]);
        let [u, v, w] = rows;
        Homography::from_rows([u.map(|it| it * self.scale), v.map(|it| it * self.scale), w])
            .unwrap()
    }

    /// Where the flat part of a face lies; `None` when a corner lies behind the camera.
    pub(crate) fn corners(&self, shown: &Shown) -> Option<[Xy; 4]> {
        let map = self.map(shown);
        let [left, top, right, bottom] = shown.flat;
        let (w, h) = (right - left, bottom - top);
        let corners = [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]];
        let front = map.weight([w / 2.0, h / 2.0]);
        let before = corners.iter().all(|it| map.weight(*it) * front > 0.0);
        let all = corners.map(|it| map.apply(it).unwrap_or([0.0; 2]));
        before.then_some(all)
    }

    pub(crate) fn holds(&self, [x, y]: Xy) -> bool {
        x > 0.0 && y > 0.0 && x < self.width as f64 && y < self.height as f64
    }
}

/// How a picture is held, as its camera says.
pub(crate) fn stated(orientation: Option<u16>) -> pixels::Stated {
    pixels::Stated {
        orientation,
        adobe_rgb: false,
    }
}
