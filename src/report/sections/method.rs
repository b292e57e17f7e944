//! How it was examined: light, scale, distance, sizes, and what the levels mean.

use serde::Serialize;

use crate::model::photo::Photo;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::tongue::Saying;
use crate::tongue::say;

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
    means: String,
}

/// In the ids of views that are taken in low side light.
const LOW_LIGHT: &str = "raking";

impl MethodView {
    /// Of the record.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let means = [
            say::level_means_1(),
            say::level_means_2(),
            say::level_means_3(),
            say::level_means_4(),
        ];
        let levels = means
            .into_iter()
            .zip(1_u8..)
            .map(|(means, number)| LevelView {
                name: sources.said(&say::level_named(number, words::level(number))),
                means: sources.said(&means),
            });
        let lines = [
            say::method_from(),
            light(sources),
            scale(sources),
            say::method_distance(),
        ];
        let lines: Vec<Saying> = lines.into_iter().chain(places(sources)).collect();
        Self {
            lines: sources.all_said(&lines),
            levels: levels.collect(),
        }
    }
}

/// `picture 6`, `pictures 6, 22`; `None` of none.
fn pictures(sources: &PageContext<'_>, is: impl Fn(&Photo) -> bool) -> Option<Saying> {
    let photos = sources.assessment.photos.iter();
    let numbers: Vec<u32> = photos.filter(|it| is(it)).map(|it| it.no).collect();
    match numbers.as_slice() {
        [] => None,
        [one] => Some(say::picture_small(*one)),
        _ => Some(say::pictures_small(words::runs(&numbers))),
    }
}

fn light(sources: &PageContext<'_>) -> Saying {
    let low = pictures(sources, |it| {
        let view = it.sidecar.view.as_deref();
        view.is_some_and(|it| it.contains(LOW_LIGHT))
    });
    low.map_or_else(say::method_no_low_light, say::method_low_light)
}

fn scale(sources: &PageContext<'_>) -> Saying {
    let with = pictures(sources, |it| it.sidecar.scale.is_some());
    with.map_or_else(say::method_no_scale, say::method_scale)
}

/// How sure the places in the drawing are, where there are any.
fn places(sources: &PageContext<'_>) -> Option<Saying> {
    let places = sources.findings().filter_map(|it| it.place.as_ref());
    let worst = places.map(|it| it.uncertainty_mm).fold(0.0, f64::max);
    (worst > 0.0).then(|| say::method_places(format!("{:.0}", worst.ceil())))
}
