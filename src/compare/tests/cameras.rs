//! Made-up cameras before a plane, and seeded chance.

use crate::model::mark::Scale;
use crate::model::region::Region;
use crate::plane::Xy;

/// Seeded chance: SplitMix64 (Steele, Lea, Flood 2014).
pub(super) struct Chance(pub(super) u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Anything between, equally likely.
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A normal distribution about 0 (Box and Muller 1958).
    pub(super) fn normal(&mut self, sd: f64) -> f64 {
        let (a, b) = (self.between(1e-300, 1.0), self.between(0.0, 1.0));
        sd * (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}

/// A pinhole camera that looks at a plane; the plane's points are in mm.
#[derive(Clone, Debug)]
pub(super) struct Camera {
    pub(super) size: [f64; 2],
    focal: f64,
    turned: [[f64; 3]; 2],
    depth: [f64; 3],
    at: Xy,
}

impl Camera {
    /// A camera that sees `sides` (a thing with a corner at the origin) across `share` of its longer edge, from `tilt` degrees off
    /// square.
    pub(super) fn any(
        chance: &mut Chance,
        sides: [f64; 2],
        tilt: [f64; 2],
        share: [f64; 2],
    ) -> Self {
        let size: Xy = match chance.between(0.0, 3.0) {
            it if it < 1.0 => [4000.0, 3000.0],
            it if it < 2.0 => [1512.0, 2016.0],
            _ => [1280.0, 960.0],
        };
        let long = size[0].max(size[1]);
        let focal = long * chance.between(0.6, 2.0);
        let (sin, cos) = chance.between(tilt[0], tilt[1]).to_radians().sin_cos();
        let spin = chance.between(0.0, std::f64::consts::TAU).sin_cos();
        let roll = chance.between(0.0, std::f64::consts::TAU).sin_cos();
        let far = focal * sides[0].max(sides[1]) / (chance.between(share[0], share[1]) * long);
        let shift = [0, 1].map(|_| chance.between(-0.15, 0.15) * far * long / focal);
        // Roll about the view, tilt, spin in the plane.
        let row = |n: usize| -> [f64; 2] {
            let spun = [[spin.1, -spin.0], [spin.0 * cos, spin.1 * cos]];
            let mix = [[roll.1, -roll.0], [roll.0, roll.1]][n];
            [0, 1].map(|k| mix[0] * spun[0][k] + mix[1] * spun[1][k])
        };
        let (x, y) = (row(0), row(1));
        Self {
            size,
            focal,
            turned: [[x[0], x[1], shift[0]], [y[0], y[1], shift[1]]],
            depth: [spin.0 * sin, spin.1 * sin, far],
            at: sides.map(|it| it / 2.0),
        }
    }

    /// Where a point of the plane comes to lie, px; `None` behind the camera or outside the picture.
    pub(super) fn px(&self, point: Xy) -> Option<Xy> {
        let [x, y] = [0, 1].map(|n| point[n] - self.at[n]);
        let dot = |[a, b, c]: [f64; 3]| a * x + b * y + c;
        let depth = dot(self.depth);
        let px = [0, 1].map(|n| self.size[n] / 2.0 + self.focal * dot(self.turned[n]) / depth);
        let inside = |n: usize| (0.0..=self.size[n]).contains(&px[n]);
        (depth > 0.0 && inside(0) && inside(1)).then_some(px)
    }

    /// Points in percent of the picture.
    pub(super) fn percent(&self, px: &[Xy]) -> Vec<Xy> {
        let part = |it: &Xy| [0, 1].map(|n| it[n] / self.size[n] * 100.0);
        px.iter().map(part).collect()
    }

    /// The longer edge, px.
    pub(super) fn long_edge(&self) -> f64 {
        self.size[0].max(self.size[1])
    }

    /// The picture's size.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole and small"
    )]
    pub(super) fn picture(&self) -> crate::compare::picture::Picture {
        crate::compare::picture::Picture {
            width: self.size[0] as u32,
            height: self.size[1] as u32,
        }
    }

    /// A card with these corners in px.
    pub(super) fn card(&self, corners: &[Xy]) -> Scale {
        Scale {
            width_mm: 85.60,
            height_mm: Some(53.98),
            corners: self.percent(corners),
        }
    }

    /// A line through these points in px.
    pub(super) fn line(&self, points: &[Xy]) -> Region {
        Region::Line(self.percent(points))
    }
}
