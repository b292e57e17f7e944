//! Spreads pins so that none covers another.

use crate::assess::faces::sheet::Rect;

/// Diameter of a pin, in units of the drawing (about a CSS pixel).
pub(super) const PIN: f64 = 26.0;
/// Middle to middle of two neighbours at least.
const APART: f64 = PIN + 3.0;
/// Rings searched for a free place, and places on each.
const RINGS: u32 = 40;
const PLACES: u32 = 16;

/// Middles for `groups`: for each part's rectangle as many pins as asked, inside `canvas`, in order. None lies over one of `shapes`, as
/// long as there is a place.
pub(super) fn spread(
    groups: &[(Rect, usize)],
    shapes: &[Rect],
    canvas: Rect,
) -> Vec<Vec<[f64; 2]>> {
    let mut taken: Vec<[f64; 2]> = Vec::new();
    let mut all = Vec::new();
    for (rect, number) in groups {
        let mut placed = Vec::new();
        for wish in grid(*rect, *number) {
            let place = free(wish, *rect, shapes, canvas, &taken);
            taken.push(place);
            placed.push(place);
        }
        all.push(placed);
    }
    all
}

/// Rows and columns around the middle of a rectangle.
fn grid(rect: Rect, number: usize) -> Vec<[f64; 2]> {
    let fits = (rect.w / APART).floor().max(1.0) as usize;
    let rows = number.div_ceil(fits.min(number.max(1)));
    let across = number.div_ceil(rows.max(1));
    let [middle_x, middle_y] = rect.middle();
    let places = (0..number).map(|n| {
        let (row, column) = (n / across, n % across);
        let in_row = across.min(number - row * across);
        let x = column as f64 - (in_row as f64 - 1.0) / 2.0;
        let y = row as f64 - (rows as f64 - 1.0) / 2.0;
        [middle_x + x * APART, middle_y + y * APART]
    });
    places.collect()
}

/// The wish, or the nearest free place: on the part if there is one, else beside it.
fn free(wish: [f64; 2], rect: Rect, shapes: &[Rect], canvas: Rect, taken: &[[f64; 2]]) -> [f64; 2] {
    let inside = canvas.inset(PIN / 2.0 + 1.0);
    let clear = |[x, y]: [f64; 2]| {
        let far = |[tx, ty]: &[f64; 2]| (x - tx).hypot(y - ty) >= APART - 1e-9;
        let open = |it: &Rect| it.distance([x, y]) >= PIN / 2.0 + 1.0;
        inside.holds([x, y]) && taken.iter().all(far) && shapes.iter().all(open)
    };
    if clear(wish) {
        return wish;
    }
    let mut beside = None;
    for ring in 1..=RINGS {
        for place in 0..PLACES {
            let turn = f64::from(place) / f64::from(PLACES) * std::f64::consts::TAU;
            let far = f64::from(ring) * 4.0;
            let spot = [wish[0] + far * turn.cos(), wish[1] + far * turn.sin()];
            if clear(spot) && rect.holds(spot) {
                return spot;
            }
            if clear(spot) && beside.is_none() {
                beside = Some(spot);
            }
        }
    }
    beside.unwrap_or(wish)
}

#[cfg(test)]
mod tests {
    use super::APART;
    use super::PIN;
    use super::spread;
    use crate::assess::faces::sheet::Rect;

    #[test]
    fn no_pin_covers_another() {
        let canvas = Rect::new(0.0, 0.0, 360.0, 500.0);
        let groups = [
            (Rect::new(10.0, 10.0, 200.0, 90.0), 9),
            (Rect::new(10.0, 20.0, 20.0, 20.0), 2),
            (Rect::new(10.0, 400.0, 12.0, 60.0), 3),
        ];
        let shape = Rect::new(150.0, 40.0, 30.0, 20.0);
        let pins: Vec<_> = spread(&groups, &[shape], canvas)
            .into_iter()
            .flatten()
            .collect();
        assert_eq!(pins.len(), 14);
        for (n, a) in pins.iter().enumerate() {
            assert!(canvas.holds(*a));
            assert!(shape.distance(*a) > PIN / 2.0, "{a:?} covers the shape");
            for b in &pins[n + 1..] {
                assert!(
                    (a[0] - b[0]).hypot(a[1] - b[1]) > APART - 0.01,
                    "{a:?} {b:?}"
                );
            }
        }
    }
}
