//! Pictures changed in a known way.

use lay::Bend;
use lay::Grey;
use lay::Lens;
use pixels::Decoder;
use pixels::Limits;
use plane::Xy;

use crate::cases::Chance;
use crate::set::Picture;
use crate::set::Set;
use crate::set::Shown;
use crate::set::stated;

/// What is done to a picture.
#[derive(Clone, Debug)]
pub(crate) enum Change {
    Nothing,
    /// A lens that bends, k1 of Brown's model.
    Lens(f64),
    /// Noise of that standard deviation, grey values.
    Noise(f64),
    /// Sent by a messenger: 1280 px, quality 60, no Exif.
    Sent,
    /// A face painted over: lighter, a seventh of its looks left.
    Painted(String),
}

/// The picture after a change.
pub(crate) fn changed(picture: &Picture, change: &Change, seed: u64) -> Picture {
    match change {
        Change::Nothing => picture.clone(),
        Change::Lens(bend) => bent(picture, *bend),
        Change::Noise(deviation) => noisy(picture, *deviation, seed),
        Change::Sent => sent(picture),
        Change::Painted(face) => painted(picture, picture.shown(face)),
    }
}

fn bent(picture: &Picture, bend: f64) -> Picture {
    let mut out = picture.clone();
    let lens = Lens {
        bend,
        ..picture.lens
    };
    for (n, value) in out.grey.iter_mut().enumerate() {
        let at = [
            (n % picture.width) as f64 + 0.5,
            (n / picture.width) as f64 + 0.5,
        ];
        *value = looked_up(picture, lens.straight(at));
    }
    out.truth = lens;
    out
}

/// How much a camera bends as ten of its pictures show it.
pub(crate) fn told(set: &Set, bend: f64) -> Option<Bend> {
    let every = set.pictures.len().div_ceil(10);
    let some: Vec<Picture> = set
        .pictures
        .iter()
        .step_by(every)
        .map(|it| bent(it, bend))
        .collect();
    let greys = some.iter().map(|it| {
        let grey = Grey {
            width: it.width,
            height: it.height,
            values: &it.grey,
        };
        (grey, it.lens)
    });
    lay::bend(&greys.collect::<Vec<_>>())
}

/// The value between four pixels, that of the border outside.
fn looked_up(picture: &Picture, [x, y]: Xy) -> u8 {
    let place = |it: f64, side: usize| (it - 0.5).clamp(0.0, side as f64 - 1.001);
    let (x, y) = (place(x, picture.width), place(y, picture.height));
    let (column, row) = (x as usize, y as usize);
    let (right, down) = (x - column as f64, y - row as f64);
    let at =
        |dx: usize, dy: usize| f64::from(picture.grey[(row + dy) * picture.width + column + dx]);
    let above = at(0, 0) * (1.0 - right) + at(1, 0) * right;
    let below = at(0, 1) * (1.0 - right) + at(1, 1) * right;
    (above * (1.0 - down) + below * down).round() as u8
}

fn noisy(picture: &Picture, deviation: f64, seed: u64) -> Picture {
    let mut out = picture.clone();
    let mut chance = Chance(seed);
    for value in &mut out.grey {
        *value = (f64::from(*value) + deviation * chance.normal())
            .round()
            .clamp(0.0, 255.0) as u8;
    }
    out
}

fn sent(picture: &Picture) -> Picture {
    let mut decoder = Decoder::new(Limits::default());
    let whole = [0.0, 0.0, 100.0, 100.0];
    let small = decoder
        .crop(&picture.bytes, stated(picture.orientation), whole, 1280, 60)
        .unwrap();
    let grey = decoder.grey(&small.jpeg, stated(None), 1600).unwrap();
    let (width, height) = (grey.width as usize, grey.height as usize);
    let lens = Lens::of_whole(width, height, None);
    Picture {
        width,
        height,
        scale: picture.scale * width as f64 / picture.width as f64,
        grey: grey.values,
        lens,
        truth: lens,
        ..picture.clone()
    }
}

fn painted(picture: &Picture, face: Option<&Shown>) -> Picture {
    let mut out = picture.clone();
    let Some(face) = face else { return out };
    let back = picture.map(face).inverse();
    let [left, top, right, bottom] = face.flat;
    for (n, value) in out.grey.iter_mut().enumerate() {
        let at = [
            (n % picture.width) as f64 + 0.5,
            (n / picture.width) as f64 + 0.5,
        ];
        let [x, y] = back.apply(at).unwrap_or([-1.0; 2]);
        if x > 0.0 && y > 0.0 && x < right - left && y < bottom - top {
            *value = (150.0 + f64::from(*value) / 7.0).round() as u8;
        }
    }
    out
}
