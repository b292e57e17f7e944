//! Guesses from the faces as they would look from other sides.

use plane::Xy;

use crate::algebra::Map;
use crate::face::Placed;
use crate::field::Field;
use crate::guess::Found;
use crate::guess::Source;
use crate::guess::face::View;
use crate::guess::face::from_face;
use crate::photo::Photo;
use crate::spots::spots;

/// From the front, and squeezed either way as from 65 degrees aside.
const SQUEEZES: [[f64; 2]; 3] = [[1.0, 1.0], [0.4, 1.0], [1.0, 0.4]];
/// Longest side of a drawn view, px.
const LONGEST: f64 = 1000.0;
/// Most spots of a drawn view.
const SPOTS: usize = 1200;

/// Draws the faces as seen from other sides, and guesses from their spots.
pub(crate) fn from_views(a: &Photo, faces: &[Placed], b: &Photo) -> Found {
    let grey = a.field();
    let drawn = faces.iter().enumerate().flat_map(|(n, face)| {
        let grey = &grey;
        let views = SQUEEZES
            .iter()
            .filter_map(move |it| drawn(grey, n, face, *it, b));
        views.collect::<Vec<_>>()
    });
    let views: Vec<View<'_>> = drawn.collect();
    from_face(&views, b, Source::Views)
}

fn drawn<'a>(
    grey: &Field,
    face: usize,
    placed: &'a Placed,
    squeeze: [f64; 2],
    b: &Photo,
) -> Option<View<'a>> {
    let frame = &placed.frame;
    let corners = frame.corners().map(|it| placed.map.apply(it));
    let edge = |n: usize, m: usize, half: f64| plane::distance(corners[n], corners[m]) / half / 2.0;
    let [half_width, half_height] = frame.half;
    let sharpest = edge(0, 1, half_width)
        .max(edge(3, 2, half_width))
        .max(edge(1, 2, half_height))
        .max(edge(0, 3, half_height))
        .min(LONGEST / (2.0 * half_width.max(half_height)));
    let by = squeeze.map(|it| it * sharpest);
    let size = [0, 1].map(|n| (2.0 * frame.half[n] * by[n]) as usize);
    if size[0].min(size[1]) < 24 {
        return None;
    }
    let [cx, cy] = size.map(|it| it as f64 / 2.0);
    let map = Map([[by[0], 0.0, cx], [0.0, by[1], cy], [0.0, 0.0, 1.0]]);
    let into_a = placed.map.after(&map.inverse());
    // Three taps along the squeezed side keep it from aliasing.
    let step = squeeze.map(|it| if it < 1.0 { 0.33 } else { 0.0 });
    let value = |p: Xy| grey.at(p[0], p[1]).unwrap_or(128.0);
    let pixel = |n: usize| {
        let (x, y) = ((n % size[0]) as f64, (n / size[0]) as f64);
        let taps =
            [-1.0, 0.0, 1.0].map(|t| value(into_a.apply([x + t * step[0], y + t * step[1]])));
        taps.iter().sum::<f32>() / 3.0
    };
    let field = Field {
        width: size[0],
        height: size[1],
        values: (0..size[0] * size[1]).map(pixel).collect(),
    };
    Some(View::new(face, frame, map, spots(field, SPOTS), b))
}
