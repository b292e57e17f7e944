//! The files of the page, embedded; nothing else can be asked for.

/// A file of the page.
#[derive(Clone, Copy, Debug)]
pub struct Asset {
    /// Its name, as in `/assets/NAME`.
    pub name: &'static str,
    /// Its media type.
    pub media_type: &'static str,
    /// Its bytes.
    pub bytes: &'static [u8],
}

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";
const MODULE: &str = "text/javascript; charset=utf-8";

/// A file of `templates/mark/`.
macro_rules! asset {
    ($name:literal, $media_type:ident) => {
        Asset {
            name: $name,
            media_type: $media_type,
            bytes: include_bytes!(concat!("../../templates/mark/", $name)),
        }
    };
}

/// Every file of `templates/mark/`, and the palette that all pages share.
pub const ASSETS: &[Asset] = &[
    asset!("main.mjs", MODULE),
    asset!("mark.css", CSS),
    asset!("mark.html", HTML),
    Asset {
        name: "palette.css",
        media_type: CSS,
        bytes: include_bytes!("../../templates/palette.css"),
    },
];

/// The page itself.
pub(super) const SHELL: &str = "mark.html";

/// The file of this name.
pub(super) fn asset(name: &str) -> Option<&'static Asset> {
    ASSETS.iter().find(|it| it.name == name)
}
