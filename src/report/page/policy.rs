//! What a page may load.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use crate::kit::digest::Digest;

/// Content Security Policy, level 3: style and script by the SHA-256 of their text, images from `images`, nothing else.
pub(in crate::report) fn text(images: &str, style: &str, script: &str) -> String {
    let hash = |text: &str| STANDARD.encode(Digest::of(text.as_bytes()).0);
    format!(
        "default-src 'none'; img-src {images}; style-src 'sha256-{}'; script-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        hash(style),
        hash(script)
    )
}
