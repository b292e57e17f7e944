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
const DRAWING: &str = "image/svg+xml";

/// A file of `templates/mark/`.
macro_rules! asset {
    ($name:literal, $media_type:ident) => {
        Asset {
            name: $name,
            media_type: $media_type,
            bytes: include_bytes!(concat!("../../../templates/mark/", $name)),
        }
    };
}

/// Every file of `templates/mark/`, and the palette that all pages share.
pub const ASSETS: &[Asset] = &[
    asset!("again.mjs", MODULE),
    asset!("ask.mjs", MODULE),
    asset!("changes.mjs", MODULE),
    asset!("choose.mjs", MODULE),
    asset!("column.mjs", MODULE),
    asset!("cut.mjs", MODULE),
    asset!("drafts.mjs", MODULE),
    asset!("draw.mjs", MODULE),
    asset!("easel.mjs", MODULE),
    asset!("el.mjs", MODULE),
    asset!("faces.mjs", MODULE),
    asset!("finding.mjs", MODULE),
    asset!("fingers.mjs", MODULE),
    asset!("fits_level.mjs", MODULE),
    asset!("form.mjs", MODULE),
    asset!("guess.mjs", MODULE),
    asset!("hand_keys.mjs", MODULE),
    asset!("head.mjs", MODULE),
    asset!("icon.svg", DRAWING),
    asset!("keys.mjs", MODULE),
    asset!("loupe.mjs", MODULE),
    asset!("main.mjs", MODULE),
    asset!("map.mjs", MODULE),
    asset!("mark.css", CSS),
    asset!("mark.html", HTML),
    asset!("mending.mjs", MODULE),
    asset!("naming.mjs", MODULE),
    asset!("notice.mjs", MODULE),
    asset!("offer.mjs", MODULE),
    asset!("overlay.mjs", MODULE),
    Asset {
        name: "palette.css",
        media_type: CSS,
        bytes: include_bytes!("../../../templates/palette.css"),
    },
    asset!("part.mjs", MODULE),
    asset!("picture.css", CSS),
    asset!("picture.mjs", MODULE),
    asset!("piece.mjs", MODULE),
    asset!("pile.mjs", MODULE),
    asset!("plane.mjs", MODULE),
    asset!("queue.mjs", MODULE),
    asset!("row.mjs", MODULE),
    asset!("save.mjs", MODULE),
    asset!("scale.mjs", MODULE),
    asset!("search.mjs", MODULE),
    asset!("shapes.mjs", MODULE),
    asset!("store.mjs", MODULE),
    asset!("tap.mjs", MODULE),
    asset!("told.mjs", MODULE),
    asset!("twin.mjs", MODULE),
    asset!("word_field.mjs", MODULE),
    asset!("zoom.mjs", MODULE),
];

/// The page itself.
pub(in crate::desk) const SHELL: &str = "mark.html";

/// The file of this name.
pub(in crate::desk) fn asset(name: &str) -> Option<&'static Asset> {
    ASSETS.iter().find(|it| it.name == name)
}
