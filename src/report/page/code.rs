//! A text as a code to scan (QR, ISO/IEC 18004), drawn as SVG.

use std::fmt::Write as _;

use qrcode::Color;
use qrcode::EcLevel;
use qrcode::QrCode;

use crate::tongue::Tongue;
use crate::tongue::say;

/// Free modules round a code: ISO/IEC 18004, section 5.3.8 (from memory).
const MARGIN: usize = 4;

/// The picture of a text, black on white whatever the page's colours are; empty when the text is too long for a code.
pub(in crate::report) fn code(text: &str, tongue: Tongue) -> String {
    let Ok(code) = QrCode::with_error_correction_level(text, EcLevel::M) else {
        return String::new();
    };
    let width = code.width();
    let mut path = String::new();
    for (y, row) in code.to_colors().chunks(width).enumerate() {
        let mut x = 0;
        while x < width {
            let dark = row[x..].iter().take_while(|it| **it == Color::Dark).count();
            if dark > 0 {
                let (left, top) = (x + MARGIN, y + MARGIN);
                let _ = write!(path, "M{left} {top}h{dark}v1h-{dark}z");
            }
            x += dark.max(1);
        }
    }
    let side = width + 2 * MARGIN;
    let label = say::code_label().said(tongue);
    format!(
        "<svg class=\"code\" viewBox=\"0 0 {side} {side}\" role=\"img\" aria-label=\"{label}\" shape-rendering=\"crispEdges\">\
         <path fill=\"#fff\" d=\"M0 0h{side}v{side}h-{side}z\"/><path fill=\"#000\" d=\"{path}\"/></svg>"
    )
}

#[cfg(test)]
mod tests {
    use super::code;
    use crate::tongue::Tongue;

    #[test]
    fn a_code_has_its_three_corners_and_a_margin() {
        let svg = code("Seal 3", Tongue::ENGLISH);
        // Version 1 has 21 modules; each corner begins with a bar of seven (ISO/IEC 18004, section 6.3.3, from memory).
        assert!(svg.contains("viewBox=\"0 0 29 29\""), "{svg}");
        for corner in ["M4 4h7v1h-7z", "M18 4h7v1h-7z", "M4 24h7v1h-7z"] {
            assert!(svg.contains(corner), "{corner}: {svg}");
        }
        assert_ne!(svg, code("Seal 4", Tongue::ENGLISH));
        assert_eq!(code(&"x".repeat(9000), Tongue::ENGLISH), "");
    }
}
