//! How it was examined: light, scale, distance, sizes, and what the levels mean.

use serde::Serialize;

use crate::model::photo::Photo;
use crate::report::page::context::PageContext;
use crate::report::page::words;

/// How it was examined.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct MethodView {
    /// A sentence each.
    lines: Vec<String>,
    /// What the four levels mean.
    levels: Vec<LevelView>,
}

/// A level and what it means.
#[derive(Clone, Debug, Serialize)]
struct LevelView {
    /// `1, trace`.
    name: String,
    /// What it means.
    means: &'static str,
}

/// What the levels mean before a fault's own criterion says it with numbers.
const LEVELS: [&str; 4] = [
    "found only when looked for from 30 cm or by touch; nothing moves, nothing gets worse",
    "seen at arm's length by anyone; use is not affected",
    "seen from 3 m, or hinders use, or will get worse if left",
    "the part cannot be used, is unsafe, or its material is lost there",
];

/// In the ids of views that are taken in low side light.
const LOW_LIGHT: &str = "raking";

impl MethodView {
    /// Of the record.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let levels = LEVELS.into_iter().zip(1_u8..).map(|(means, number)| {
            let name = words::level_named(number);
            LevelView { name, means }
        });
        let mut lines = vec![
            "From photos and what was written beside them. What nobody wrote is not judged."
                .to_owned(),
            light(sources),
            scale(sources),
            "The camera's distance is not on record. Sizes are as written beside the pictures."
                .to_owned(),
        ];
        lines.extend(places(sources));
        Self {
            lines,
            levels: levels.collect(),
        }
    }
}

/// `picture 6`, `pictures 6, 22`; `None` of none.
fn pictures(sources: &PageContext<'_>, is: impl Fn(&Photo) -> bool) -> Option<String> {
    let photos = sources.assessment.photos.iter();
    let numbers: Vec<u32> = photos.filter(|it| is(it)).map(|it| it.no).collect();
    match numbers.as_slice() {
        [] => None,
        [one] => Some(format!("picture {one}")),
        _ => Some(format!("pictures {}", words::runs(&numbers))),
    }
}

fn light(sources: &PageContext<'_>) -> String {
    let low = pictures(sources, |it| {
        let view = it.sidecar.view.as_deref();
        view.is_some_and(|it| it.contains(LOW_LIGHT))
    });
    match low {
        Some(low) => {
            format!(
                "Low side light: {low}. Of the others the light is on record only where a note says it."
            )
        }
        None => "No picture is said to be taken in low side light.".to_owned(),
    }
}

fn scale(sources: &PageContext<'_>) -> String {
    match pictures(sources, |it| it.sidecar.scale.is_some()) {
        Some(with) => format!("A thing of known size lies in {with}."),
        None => "In no picture a thing of known size is named.".to_owned(),
    }
}

/// How sure the places in the drawing are, where there are any.
fn places(sources: &PageContext<'_>) -> Option<String> {
    let places = sources.findings().filter_map(|it| it.place.as_ref());
    let worst = places.map(|it| it.uncertainty_mm).fold(0.0, f64::max);
    (worst > 0.0).then(|| {
        format!(
            "A shape in the drawing may be off by up to {:.0} mm (k = 2).",
            worst.ceil()
        )
    })
}
