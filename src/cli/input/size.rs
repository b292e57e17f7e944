//! A size as typed on the command line.

use crate::kit::measure::Length;
use crate::model::piece::Size;

/// Reads `900x1050x480 mm`: height, width, depth with one unit at the end, or one at each.
pub(in crate::cli) fn size(text: &str) -> Result<Size, String> {
    let wrong = || {
        format!("`{text}` is not a size; write height x width x depth, such as `900x1050x480mm`")
    };
    let plain = text.replace(['×', 'X'], "x");
    let parts: Vec<&str> = plain.split('x').map(str::trim).collect();
    let [height, width, depth] = parts[..] else {
        return Err(wrong());
    };
    let unit = depth.trim_start_matches(|c: char| c.is_ascii_digit() || " ./,".contains(c));
    let mm = |it: &str| {
        let bare = it.chars().all(|c| c.is_ascii_digit() || " ./,".contains(c));
        let text = if bare {
            format!("{it} {unit}")
        } else {
            it.to_owned()
        };
        // A tenth of a millimetre is finer than anybody measures a piece: inches come out without a tail.
        let tenths = |mm: f64| (mm * 10.0).round() / 10.0;
        text.parse::<Length>()
            .map(|it| tenths(it.mm))
            .map_err(|_| wrong())
    };
    Ok(Size {
        height_mm: mm(height)?,
        width_mm: mm(width)?,
        depth_mm: mm(depth)?,
    })
}

#[cfg(test)]
mod tests {
    use super::size;

    #[test]
    fn sizes_are_read_as_people_write_them() {
        for (text, want) in [
            ("900x1050x480mm", (900.0, 1050.0, 480.0)),
            ("90 x 105 x 48 cm", (900.0, 1050.0, 480.0)),
            ("35 1/2 x 41 x 19 in", (901.7, 1041.4, 482.6)),
            ("35 x 17 x 18 in", (889.0, 431.8, 457.2)),
            ("90cm × 1050mm × 48cm", (900.0, 1050.0, 480.0)),
        ] {
            let got = size(text).unwrap();
            let near = |a: f64, b: f64| a == b;
            assert!(
                near(got.height_mm, want.0)
                    && near(got.width_mm, want.1)
                    && near(got.depth_mm, want.2),
                "{text}: {got:?}"
            );
        }
        for wrong in ["", "900", "900x1050", "900x1050x480", "axbxc mm"] {
            assert!(size(wrong).is_err(), "{wrong}");
        }
    }
}
