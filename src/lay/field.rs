//! Grey pictures as numbers: looked at between pixels, blurred, halved, made equal in light.

/// A grey picture. The first pixel has its centre at (0, 0).
#[derive(Clone, Debug)]
pub(crate) struct Field {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) values: Vec<f32>,
}

impl Field {
    pub(crate) fn new(width: usize, height: usize, grey: &[u8]) -> Self {
        let values = grey.iter().map(|it| f32::from(*it)).collect();
        Self {
            width,
            height,
            values,
        }
    }

    /// The value between four pixels; `None` outside.
    pub(crate) fn at(&self, x: f64, y: f64) -> Option<f32> {
        let inside =
            x >= 0.0 && y >= 0.0 && x < self.width as f64 - 1.0 && y < self.height as f64 - 1.0;
        if !inside {
            return None;
        }
        let (column, row) = (x as usize, y as usize);
        let (right, down) = ((x - column as f64) as f32, (y - row as f64) as f32);
        let first = row * self.width + column;
        let [a, b] = [self.values[first], self.values[first + 1]];
        let [c, d] = [
            self.values[first + self.width],
            self.values[first + self.width + 1],
        ];
        Some((a + (b - a) * right) * (1.0 - down) + (c + (d - c) * right) * down)
    }

    /// The value and its slope to the right and down, over two pixels.
    pub(crate) fn slope(&self, x: f64, y: f64) -> Option<(f32, [f32; 2])> {
        let value = self.at(x, y)?;
        let across = self.at(x + 1.0, y)? - self.at(x - 1.0, y)?;
        let down = self.at(x, y + 1.0)? - self.at(x, y - 1.0)?;
        Some((value, [0.5 * across, 0.5 * down]))
    }

    /// Blurred by a Gaussian of this standard deviation, px; the border is carried on outside.
    pub(crate) fn blurred(&self, sigma: f32) -> Self {
        let reach = (sigma * 3.0).ceil() as usize;
        let bell = |n: usize| (-((n as f32 - reach as f32) / sigma).powi(2) / 2.0).exp();
        let weights: Vec<f32> = (0..=2 * reach).map(bell).collect();
        let sum: f32 = weights.iter().sum();
        let weights: Vec<f32> = weights.iter().map(|it| it / sum).collect();
        let (width, height) = (self.width, self.height);
        // Rows blurred across: no more of them than one row of the outcome is made of.
        let held = 2 * reach + 1;
        let mut across = vec![0.0_f32; width * held];
        let mut padded = vec![0.0_f32; width + 2 * reach];
        let mut rows = self.values.chunks_exact(width).enumerate();
        let mut values = vec![0.0_f32; width * height];
        for (row, out) in values.chunks_exact_mut(width).enumerate() {
            let missing = if row == 0 { reach + 1 } else { 1 };
            for (n, row) in rows.by_ref().take(missing) {
                padded[..reach].fill(row[0]);
                padded[reach..reach + width].copy_from_slice(row);
                padded[reach + width..].fill(row[width - 1]);
                let out = &mut across[n % held * width..][..width];
                out.fill(0.0);
                for (n, weight) in weights.iter().enumerate() {
                    for (out, value) in out.iter_mut().zip(&padded[n..]) {
                        *out += weight * value;
                    }
                }
            }
            for (n, weight) in weights.iter().enumerate() {
                let from = (row + n).saturating_sub(reach).min(height - 1) % held;
                for (out, value) in out.iter_mut().zip(&across[from * width..][..width]) {
                    *out += weight * value;
                }
            }
        }
        Self {
            width,
            height,
            values,
        }
    }

    /// Every second pixel of a picture that was blurred before; at least one.
    pub(crate) fn halved(&self) -> Self {
        let (width, height) = ((self.width / 2).max(1), (self.height / 2).max(1));
        let rows = (0..height).map(|row| &self.values[2 * row * self.width..][..self.width]);
        let values = rows.flat_map(|row| row.iter().step_by(2).take(width).copied());
        Self {
            width,
            height,
            values: values.collect(),
        }
    }

    /// The length of the slope at each pixel, over two pixels; 0 at the border.
    pub(crate) fn slopes(&self) -> Self {
        let (width, height) = (self.width, self.height);
        let mut values = vec![0.0_f32; width * height];
        for row in 1..height.saturating_sub(1) {
            let line = |n: usize| &self.values[n * width..][..width];
            let (above, here, below) = (line(row - 1), line(row), line(row + 1));
            let out = &mut values[row * width..][..width];
            for column in 1..width.saturating_sub(1) {
                let across = here[column + 1] - here[column - 1];
                let down = below[column] - above[column];
                out[column] = (across * across + down * down).sqrt();
            }
        }
        Self { values, ..*self }
    }

    /// (value - local mean) / (local deviation + floor): light, coat and exposure drop out. `sigma` is the width of the
    /// window, px, `floor` the deviation of noise.
    pub(crate) fn equalised(mut self, sigma: f32, floor: f32) -> Self {
        let width = self.width;
        let mean = Local::mean(&self, sigma);
        mean.each(width, &mut self.values, |value, mean| value - mean);
        let squares = Self {
            values: self.values.iter().map(|it| it * it).collect(),
            ..self
        };
        let spread = Local::mean(&squares, sigma);
        drop(squares);
        spread.each(width, &mut self.values, |value, spread| {
            value / (spread.sqrt() + floor)
        });
        self
    }
}

/// A local mean; that of a wide window at half or a quarter of the size.
struct Local {
    field: Field,
    shrunk: usize,
}

impl Local {
    fn mean(of: &Field, sigma: f32) -> Self {
        let halvings = match sigma {
            _ if of.width.min(of.height) < 8 => 0,
            16.0.. => 2,
            6.0.. => 1,
            _ => 0,
        };
        let small = (0..halvings).fold(None, |small: Option<Field>, _| {
            Some(small.as_ref().unwrap_or(of).blurred(1.0).halved())
        });
        let shrunk = 1 << halvings;
        Self {
            field: small.as_ref().unwrap_or(of).blurred(sigma / shrunk as f32),
            shrunk,
        }
    }

    fn each(&self, width: usize, values: &mut [f32], change: impl Fn(f32, f32) -> f32) {
        for (y, row) in values.chunks_exact_mut(width).enumerate() {
            let line = (y / self.shrunk).min(self.field.height - 1) * self.field.width;
            let line = &self.field.values[line..][..self.field.width];
            for (x, value) in row.iter_mut().enumerate() {
                *value = change(*value, line[(x / self.shrunk).min(self.field.width - 1)]);
            }
        }
    }
}
