//! What is kept of a picture, so that faces can be laid from it and into it.

use std::sync::OnceLock;

use plane::Xy;

use crate::field::Field;
use crate::lens::Lens;
use crate::lens::continuous;
use crate::lens::index;
use crate::spots::Among;
use crate::spots::Forest;
use crate::spots::Spot;
use crate::spots::spots;

/// Pictures of whole, half, quarter ... size.
pub(crate) const LEVELS: usize = 5;
/// Most places with a spot in a picture.
pub(crate) const MOST_SPOTS: usize = 4000;
/// Width of the window within which light is made equal, px of a level.
const WINDOW: f32 = 8.0;
/// Deviation of noise, grey values.
const FLOOR: f32 = 3.0;

/// A grey picture: one byte a pixel, row by row, 0 is black.
#[derive(Clone, Copy, Debug)]
pub struct Grey<'a> {
    /// px.
    pub width: usize,
    /// px.
    pub height: usize,
    /// Width times height values.
    pub values: &'a [u8],
}

/// A picture prepared for laying: upright, of about 1600 px on its longer side. A part of an original at its full size is one
/// too, when the centre of its lens says where it was cut.
#[derive(Clone, Debug)]
pub struct Photo {
    width: usize,
    height: usize,
    grey: Vec<u8>,
    levels: OnceLock<Vec<Level>>,
    pub(crate) spots: Vec<Spot>,
    forest: OnceLock<Forest>,
    pub(crate) lens: Lens,
}

/// A picture at one size, made equal in light.
#[derive(Clone, Debug)]
pub(crate) struct Level {
    /// What it looks like, and where its edges are: what is painted over keeps only those, whichever side is now the lighter.
    pub(crate) looks: [Field; 2],
}

/// The looks of a level: light and dark.
pub(crate) const LIGHT: usize = 0;
/// The looks of a level: edges.
pub(crate) const EDGES: usize = 1;

impl Level {
    fn new(grey: &Field) -> Self {
        let edges = grey.blurred(0.7).slopes();
        Self {
            looks: [
                grey.clone().equalised(WINDOW, FLOOR),
                edges.equalised(WINDOW, FLOOR),
            ],
        }
    }

    pub(crate) fn size(&self) -> [usize; 2] {
        [self.looks[LIGHT].width, self.looks[LIGHT].height]
    }
}

impl Photo {
    /// `None` where the values are not width times height, or the picture is smaller than 48 px.
    #[must_use]
    pub fn new(grey: Grey<'_>, lens: Lens) -> Option<Self> {
        let field = straight_field(grey, &lens)?;
        let mut photo = Self::with_spots(&field, Vec::new(), lens);
        photo.spots = spots(field, MOST_SPOTS);
        Some(photo)
    }

    pub(crate) fn with_spots(grey: &Field, spots: Vec<Spot>, lens: Lens) -> Self {
        let byte = |it: &f32| it.round().clamp(0.0, 255.0) as u8;
        Self {
            width: grey.width,
            height: grey.height,
            grey: grey.values.iter().map(byte).collect(),
            levels: OnceLock::new(),
            spots,
            forest: OnceLock::new(),
            lens,
        }
    }

    /// The picture as numbers.
    pub(crate) fn field(&self) -> Field {
        Field::new(self.width, self.height, &self.grey)
    }

    /// The picture made equal in light, each half the size of the one before; made when it is first looked at, about 20 MB.
    pub(crate) fn levels(&self) -> &[Level] {
        self.levels.get_or_init(|| {
            let mut levels = Vec::with_capacity(LEVELS);
            let mut level = self.field().blurred(0.7);
            for _ in 1..LEVELS {
                levels.push(Level::new(&level));
                level = level.blurred(1.0).halved();
            }
            levels.push(Level::new(&level));
            levels
        })
    }

    /// The spots, to be looked through; their trees grow when they are first asked for.
    pub(crate) fn among(&self) -> Among<'_> {
        Among {
            spots: &self.spots,
            forest: self.forest.get_or_init(|| Forest::of(&self.spots)),
        }
    }

    /// Frees what can be made again.
    pub fn put_away(&mut self) {
        self.levels.take();
    }

    /// Whether a place lies in the picture, px.
    pub(crate) fn holds(&self, [x, y]: Xy) -> bool {
        let (width, height) = (self.width as f64, self.height as f64);
        x > -0.5 && y > -0.5 && x < width - 0.5 && y < height - 0.5
    }
}

/// The picture as numbers, as a lens that bends nothing would have made it.
pub(crate) fn straight_field(grey: Grey<'_>, lens: &Lens) -> Option<Field> {
    Some(straightened(field(grey)?, lens))
}

/// The picture as a lens that bends nothing would have made it.
fn straightened(bent: Field, lens: &Lens) -> Field {
    if lens.bend == 0.0 {
        return bent;
    }
    let mut straight = bent.clone();
    let border = [bent.width, bent.height].map(|it| it as f64 - 1.001);
    for (n, value) in straight.values.iter_mut().enumerate() {
        let here = [(n % bent.width) as f64, (n / bent.width) as f64];
        let [x, y] = index(lens.bent(continuous(here)));
        let within = bent.at(x.clamp(0.0, border[0]), y.clamp(0.0, border[1]));
        *value = within.unwrap_or(*value);
    }
    straight
}

/// The picture as numbers, when it can be one.
pub(crate) fn field(grey: Grey<'_>) -> Option<Field> {
    let large = grey.width.min(grey.height) >= 48;
    let whole = grey.width.checked_mul(grey.height) == Some(grey.values.len());
    (large && whole).then(|| Field::new(grey.width, grey.height, grey.values))
}
