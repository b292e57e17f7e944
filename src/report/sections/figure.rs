//! A picture with its outline, its alternative text and its caption.

use serde::Serialize;

use crate::assess::findings::sighting::MarkAt;
use crate::assess::places::straight::Frame;
use crate::assess::places::straight::Side;
use crate::model::mark::Mark;
use crate::model::photo::Photo;
use crate::model::region::Point;
use crate::model::region::Region;
use crate::report::Crop;
use crate::report::ShotKind;
use crate::report::detail_area;
use crate::report::images::beside::beside;
use crate::report::images::crop::StraightCut;
use crate::report::images::tag::TagView;
use crate::report::images::tag::percent;
use crate::report::page::context::PageContext;
use crate::tongue::plain;
use crate::tongue::say;

/// A picture on the page.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct FigureView {
    /// Its image, unless it is not available.
    pub(in crate::report) image: Option<ImageView>,
    /// What it shows, for somebody who does not see it.
    pub(in crate::report) alt: String,
    /// What fault is outlined, if one is.
    pub(in crate::report) outline: Option<OutlineView>,
    /// Number, occasion, day.
    pub(in crate::report) caption: String,
    /// What was written beside it, and what makes it weak.
    pub(in crate::report) notes: Vec<String>,
}

/// An image.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct ImageView {
    /// Data or the name of a file.
    pub(in crate::report) src: String,
    /// Width, pixels.
    pub(in crate::report) width: u32,
    /// Height, pixels.
    pub(in crate::report) height: u32,
    /// The file to open full size.
    pub(in crate::report) opens: Option<String>,
}

/// A region over an image, in percent of the image.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct OutlineView {
    /// A path, for all but spots; of a line, the way round it.
    pub(in crate::report) path: Option<String>,
    /// The class of its strokes.
    pub(in crate::report) stroke: &'static str,
    /// The middle, for spots.
    pub(in crate::report) spot: Option<[String; 2]>,
    /// Its number in a small box.
    pub(in crate::report) tag: Option<TagView>,
}

impl FigureView {
    /// All of a photo.
    pub(in crate::report) fn whole(
        sources: &PageContext<'_>,
        photo: &Photo,
        kind: ShotKind,
        alt: &str,
    ) -> Self {
        let caption = sources.said(&sources.picture_words(photo).capital());
        Self::new(sources, photo, kind, alt.to_owned(), caption)
    }

    /// A mark of a photo in its surroundings; all of the photo when the mark has no region.
    ///
    /// `tag` is the number in the small box, `what` is said in place of the picture.
    pub(in crate::report) fn of_mark(
        sources: &PageContext<'_>,
        photo: &Photo,
        index: usize,
        tag: &str,
        what: &str,
    ) -> Self {
        let kind = ShotKind::Detail { mark: index };
        Self::close(sources, photo, index, kind, [tag, what])
    }

    /// The same, small and without its number; `None` when the mark has no region.
    pub(in crate::report) fn mini(
        sources: &PageContext<'_>,
        at: MarkAt,
        what: &str,
    ) -> Option<Self> {
        let photo = sources.photo(at.photo)?;
        sources.mark(at)?.region.as_ref()?;
        let kind = ShotKind::Mini { mark: at.mark };
        Some(Self::close(sources, photo, at.mark, kind, ["", what]))
    }

    fn close(
        sources: &PageContext<'_>,
        photo: &Photo,
        index: usize,
        kind: ShotKind,
        [tag, what]: [&str; 2],
    ) -> Self {
        let mark = photo.sidecar.marks.get(index);
        let caption = sources.said(&sources.picture_words(photo).capital());
        let Some((mark, region)) = mark.and_then(|it| Some((it, it.region.as_ref()?))) else {
            let alt = sources.said(&say::alt_whole(what));
            return Self::new(sources, photo, ShotKind::Large, alt, caption).noting(sources, mark);
        };
        let alt = sources.said(&say::alt_close(what));
        let mut figure = Self::new(sources, photo, kind, alt, caption);
        let area = detail_area(region, photo.facts.width, photo.facts.height);
        figure.outline = Some(OutlineView::new(region, shape(photo), area, tag));
        figure.noting(sources, Some(mark))
    }

    /// All of a photo, with a mark of it outlined when the mark has a region.
    pub(in crate::report) fn whole_marked(
        sources: &PageContext<'_>,
        photo: &Photo,
        index: usize,
        tag: &str,
        what: &str,
    ) -> Self {
        let mut figure = Self::whole(sources, photo, ShotKind::Large, what);
        let mark = photo.sidecar.marks.get(index);
        let region = mark.and_then(|it| it.region.as_ref());
        if let Some(region) = region {
            figure.alt = plain(&sources.said(&say::alt_whole_outlined(what)));
            figure.outline = Some(OutlineView::new(region, shape(photo), WHOLE, tag));
        }
        figure.noting(sources, mark)
    }

    /// A frame of a face as a photo shows it, set straight. `tag` is the number in the small box where the photo carries a mark of it; what was
    /// not drawn in this photo is outlined finely, without a number.
    pub(in crate::report) fn straight(
        sources: &PageContext<'_>,
        photo: &Photo,
        frame: &Frame,
        side: &Side,
        (mark, tag): (Option<usize>, &str),
        what: &str,
    ) -> Self {
        let caption = sources.said(&sources.picture_words(photo).capital());
        let kind = ShotKind::Straight(StraightCut::of(frame, side));
        let alt = match side.outline {
            Some(_) => say::alt_straight_outlined(what),
            None => say::alt_straight(what),
        };
        let alt = sources.said(&alt);
        let mut figure = Self::new(sources, photo, kind, alt, caption);
        let [_, _, w, h] = frame.rect_mm;
        let mark = mark.and_then(|it| photo.sidecar.marks.get(it));
        let tag = mark.map_or("", |_| tag);
        figure.outline = side.outline.as_ref().map(|it| {
            let outline = OutlineView::new(it, [w, h], WHOLE, tag);
            match mark {
                Some(_) => outline,
                None => outline.fine(),
            }
        });
        if mark.is_none() && side.outline.is_some() {
            figure.notes.push(sources.said(&say::outline_reckoned()));
        }
        figure.noting(sources, mark)
    }

    fn new(
        sources: &PageContext<'_>,
        photo: &Photo,
        kind: ShotKind,
        alt: String,
        caption: String,
    ) -> Self {
        let shot = Crop {
            photo: photo.no,
            kind,
        };
        let print = sources.album.print(shot);
        let image = print.map(|it| ImageView {
            src: it.src,
            width: it.width,
            height: it.height,
            opens: it.opens,
        });
        Self {
            image,
            alt: plain(&alt),
            outline: None,
            caption,
            notes: sources.weaknesses(photo.no),
        }
    }

    fn noting(mut self, sources: &PageContext<'_>, mark: Option<&Mark>) -> Self {
        // Else a picture that cannot show a fault looks like one more sighting of it.
        let unseen = mark.map(|it| it.state).filter(|it| !it.tells());
        let unseen = unseen.map(|it| sources.said(&it.said().sentence()));
        self.notes.extend(unseen);
        let note = mark.and_then(|it| it.note.as_deref());
        self.notes.extend(note.map(|it| sources.noted(it)));
        self
    }
}

/// The area of a whole picture, percent.
const WHOLE: [f64; 4] = [0.0, 0.0, 100.0, 100.0];
/// Gap between the box and the outline, CSS pixels.
const TAG_GAP: i32 = 5;

/// How far from a line its outline runs, percent of the longer side of what is shown.
const BESIDE: f64 = 2.0;

impl OutlineView {
    /// Of a region in percent of a picture with this `shape` (width, height) of which `area` is shown.
    fn new(region: &Region, shape: [f64; 2], area: [f64; 4], tag: &str) -> Self {
        let place = |[x, y]: Point| {
            [
                (x - area[0]) / area[2] * 100.0,
                (y - area[1]) / area[3] * 100.0,
            ]
        };
        let round = round(shape, area);
        let path = match region {
            Region::Box([x, y, w, h]) => {
                let corners = [[*x, *y], [x + w, *y], [x + w, y + h], [*x, y + h]];
                Some(path(&corners.map(place), "Z"))
            }
            Region::Outline(points) => {
                let points: Vec<_> = points.iter().copied().map(place).collect();
                Some(path(&points, "Z"))
            }
            Region::Line(points) => {
                let points: Vec<_> = points.iter().copied().map(place).collect();
                Some(path_beside(&points, round))
            }
            Region::Spot(_) => None,
        };
        let spot = match region {
            Region::Spot(point) => Some(place(*point).map(percent)),
            _ => None,
        };
        let [x, y, w, h] = region.bounds();
        let ([left, top], [right, bottom]) = (place([x, y]), place([x + w, y + h]));
        let (stroke, [more_x, more_y]) = match region {
            Region::Line(_) => ("fine", round),
            _ => ("full", [0.0, 0.0]),
        };
        let clear = if spot.is_some() { 14 } else { TAG_GAP };
        let (from, to) = (
            [left - more_x, top - more_y],
            [right + more_x, bottom + more_y],
        );
        let tag = (!tag.is_empty()).then(|| TagView::new(tag, from, to, clear));
        Self {
            path,
            stroke,
            spot,
            tag,
        }
    }

    /// The same, finely drawn.
    fn fine(mut self) -> Self {
        self.stroke = "fine";
        self
    }
}

/// Width and height of the upright photo, pixels, never 0.
fn shape(photo: &Photo) -> [f64; 2] {
    [photo.facts.width, photo.facts.height].map(|it| f64::from(it.max(1)))
}

/// [`BESIDE`] as percent of the width and of the height of what is shown.
fn round([width, height]: [f64; 2], area: [f64; 4]) -> [f64; 2] {
    let (wide, high) = (area[2] * width, area[3] * height);
    let long = wide.max(high);
    [BESIDE * long / wide, BESIDE * long / high]
}

/// The way round a line; across and down are made alike for it, and unlike again after.
fn path_beside(points: &[Point], [wide, high]: [f64; 2]) -> String {
    let even: Vec<Point> = points.iter().map(|[x, y]| [x / wide, y / high]).collect();
    let stretches = beside(&even, 1.0).into_iter().map(|it| {
        let points: Vec<Point> = it
            .points
            .iter()
            .map(|[x, y]| [x * wide, y * high])
            .collect();
        path(&points, if it.closed { "Z" } else { "" })
    });
    stretches.collect()
}

fn path(points: &[Point], end: &str) -> String {
    let steps = points
        .iter()
        .map(|[x, y]| format!("{} {}", percent(*x), percent(*y)));
    format!("M{}{end}", steps.collect::<Vec<_>>().join("L"))
}

#[cfg(test)]
mod tests {
    use super::OutlineView;
    use crate::model::region::Region;

    /// Pixels of the picture, for each point of the outline.
    fn outline(width: u32, height: u32, area: [f64; 4], line: &[[f64; 2]]) -> Vec<[f64; 2]> {
        let region = Region::Line(line.to_vec());
        let shape = [width, height].map(f64::from);
        let path = OutlineView::new(&region, shape, area, "F1").path.unwrap();
        let points = path.split(['M', 'L', 'Z']).filter(|it| !it.is_empty());
        let pixel = |(n, it): (usize, &str)| {
            let side = f64::from([width, height][n]);
            let inside = it.parse::<f64>().unwrap() / 100.0 * area[n + 2] + area[n];
            inside / 100.0 * side
        };
        let point = |it: &str| {
            let both: Vec<f64> = it.split(' ').enumerate().map(pixel).collect();
            [both[0], both[1]]
        };
        points.map(point).collect()
    }

    #[test]
    fn the_outline_of_a_line_keeps_off_it_alike_on_all_sides_whatever_is_shown() {
        for (width, height, area) in [
            (3000, 4000, [0.0, 0.0, 100.0, 100.0]),
            (4000, 3000, [40.0, 20.0, 20.0, 60.0]),
        ] {
            let line = [[50.0, 30.0], [50.0, 70.0]];
            let off = 0.02
                * f64::max(
                    area[2] / 100.0 * f64::from(width),
                    area[3] / 100.0 * f64::from(height),
                );
            let (x, top, foot) = (
                f64::from(width) / 2.0,
                f64::from(height) * 0.3,
                f64::from(height) * 0.7,
            );
            let points = outline(width, height, area, &line);
            assert!(points.len() > 20, "{points:?}");
            for [px, py] in points {
                let far = f64::hypot(px - x, py - py.clamp(top, foot));
                assert!((far - off).abs() < off * 0.02, "{far} for {off}");
            }
        }
    }
}
