//! The drawing as the template prints it.

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::faces::flat_faces;
use crate::assess::faces::part_place;
use crate::assess::faces::sheet::Ink;
use crate::assess::faces::sheet::Rect;
use crate::assess::faces::sheet::Sheet;
use crate::assess::faces::sheets::sheets;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::outcome::Outcome;
use crate::report::drawing::fold::Layout;
use crate::report::drawing::pins;
use crate::report::drawing::placed;
use crate::report::drawing::placed::Region;
use crate::report::drawing::scene::absent_words;
use crate::report::images::tag::percent;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::report::sections::glance::ItemView;
use crate::report::sections::glance::anchor;
use crate::tongue::Saying;
use crate::tongue::Tongue;
use crate::tongue::plain;
use crate::tongue::say;
use crate::trade::entry::kind::Face;

/// The piece unfolded, for wide and for narrow pages.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct DrawingView {
    /// The arrangements, widest first.
    plans: Vec<PlanView>,
    /// What it is to who cannot see it.
    label: String,
    /// What the pins show, in a sentence.
    pins: String,
    /// What the hatching says; empty where there is none.
    unseen: String,
    /// Whether it is to scale, in a sentence.
    scale: String,
    /// What the drawers' numbers mean, if there are drawers.
    drawers: String,
    /// Kinds of pins that are on it.
    legend: Vec<LegendView>,
    /// Findings on parts that no face shows.
    beside: Vec<ItemView>,
}

/// One arrangement.
#[derive(Clone, Debug, Serialize)]
pub(super) struct PlanView {
    /// `wide` or `narrow`.
    name: &'static str,
    w: String,
    h: String,
    pub(super) shapes: Vec<ShapeView>,
    pub(super) dots: Vec<DotView>,
    pub(super) words: Vec<WordView>,
    /// Findings where they lie, to scale; the class is that of their pin.
    regions: Vec<ShapeView>,
    leaders: Vec<ShapeView>,
    pins: Vec<PinView>,
    bar: Option<BarView>,
}

/// A path and the class of its line.
#[derive(Clone, Debug, Serialize)]
pub(super) struct ShapeView {
    class: &'static str,
    path: String,
}

/// A pull.
#[derive(Clone, Debug, Serialize)]
pub(super) struct DotView {
    x: String,
    y: String,
    r: String,
}

/// A word and the class of its letters.
#[derive(Clone, Debug, Serialize)]
pub(super) struct WordView {
    class: &'static str,
    x: String,
    y: String,
    text: String,
}

/// A pin.
#[derive(Clone, Debug, Serialize)]
struct PinView {
    /// `there`, `closed` or `unsettled`.
    kind: &'static str,
    x: String,
    y: String,
    /// The number.
    text: String,
    /// The finding it leads to.
    anchor: String,
    /// What it says to somebody who does not see it.
    label: String,
}

/// A bar of known length.
#[derive(Clone, Debug, Serialize)]
struct BarView {
    x: String,
    y: String,
    w: String,
    text: String,
}

/// A kind of pin and its meaning.
#[derive(Clone, Debug, Serialize)]
struct LegendView {
    kind: &'static str,
    text: String,
}

/// About the width of a letter of a face's name, units (from memory, of a serif at 14).
const LETTER: f64 = 7.0;

/// The signs of pins, in the order of the legend.
const SIGNS: [&str; 6] = ["there", "hidden", "traces", "closed", "gone", "unsettled"];

impl DrawingView {
    /// Of the scene with its findings.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let scene = &sources.scene.told(sources.assessment).shape;
        let sheets = sheets(scene);
        let mut pinned: Vec<(Face, Rect, Vec<&Finding>)> = Vec::new();
        let mut regions = Vec::new();
        let mut beside = Vec::new();
        for finding in sources.findings() {
            if let Some(region) = placed::region(sources.assessment, scene, &sheets, finding) {
                regions.push((region, finding));
                continue;
            }
            let Some((face, rect)) = part_place::of_part(scene, &sheets, &finding.part) else {
                beside.push(ItemView::new(sources, finding));
                continue;
            };
            let same = |it: &&mut (Face, Rect, Vec<&Finding>)| it.0 == face && it.1 == rect;
            match pinned.iter_mut().find(same) {
                Some((_, _, findings)) => findings.push(finding),
                None => pinned.push((face, rect, vec![finding])),
            }
        }
        let legend = SIGNS.into_iter().filter_map(|kind| {
            let drawn = |it: &Outcome| sources.findings().any(|of| of.outcome == Some(*it));
            let groups = Outcome::ALL.into_iter().filter(drawn);
            let groups = groups.filter(|it| words::sign(Some(*it)) == kind);
            let named = groups.map(Outcome::words).reduce(say::or_else)?;
            Some(LegendView {
                kind,
                text: sources.said(&named),
            })
        });
        let scale = match scene.drawable_size() {
            Some(_) => say::plan_to_scale(),
            None => say::plan_not_to_scale(),
        };
        let scale = std::iter::once(scale).chain(absent_words(sources.assessment));
        let drawers = match scene.drawer_rows.iter().any(|it| *it > 0) {
            true => say::plan_drawers(),
            false => Saying::nothing(),
        };
        let plans = [
            ("wide", Layout::wide(&sheets)),
            ("narrow", Layout::narrow(&sheets)),
        ];
        let unseen = match scene.drawable_size() {
            Some(_) => unseen_of(sources.assessment),
            None => Vec::new(),
        };
        let marked = Marked {
            pinned: &pinned,
            regions: &regions,
            unseen: &unseen,
        };
        let plans = plans.map(|(name, layout)| plan(name, &layout, &sheets, &marked, sources));
        Self {
            plans: plans.into(),
            label: sources.said(&say::drawing_label()),
            pins: sources.said(&pins_words(!regions.is_empty(), !pinned.is_empty())),
            unseen: match unseen.is_empty() {
                true => String::new(),
                false => sources.said(&say::plan_unseen()),
            },
            scale: sources.said(&Saying::Beside(scale.collect())),
            drawers: sources.said(&drawers),
            legend: legend.collect(),
            beside,
        }
    }
}

fn plan(
    name: &'static str,
    layout: &Layout,
    sheets: &[Sheet],
    marked: &Marked<'_>,
    sources: &PageContext<'_>,
) -> PlanView {
    let mut view = PlanView::blank(name, layout);
    view.bar = sources
        .scene
        .shape
        .drawable_size()
        .map(|_| bar(layout, sheets));
    for sheet in sheets {
        view.draw(layout, sheet, sources.tongue());
    }
    for (face, squares) in marked.unseen {
        view.hatch(layout, *face, squares);
    }
    let on_paper = |it: &Region| -> Vec<[f64; 2]> {
        let points = it.points.iter();
        points.map(|at| layout.point(it.face, *at)).collect()
    };
    let mut groups = Vec::new();
    let mut findings = Vec::new();
    let mut shapes = Vec::new();
    // What is pinned to its own spot comes first: it has the least choice.
    for (region, finding) in marked.regions {
        let points = on_paper(region);
        view.regions.push(ShapeView {
            class: words::sign(finding.outcome),
            path: path(&points, if region.closed { "Z" } else { "" }),
        });
        let around = Rect::around(&points);
        shapes.push(around);
        groups.push((around, 1));
        findings.push(vec![*finding]);
    }
    for (face, rect, of_part) in marked.pinned {
        groups.push((layout.place(*face, *rect), of_part.len()));
        findings.push(of_part.clone());
    }
    let canvas = Rect::new(0.0, 0.0, layout.w, layout.h);
    let spread = pins::spread(&groups, &shapes, canvas);
    for ((rect, _), (findings, places)) in groups.iter().zip(findings.iter().zip(spread)) {
        for (finding, spot) in findings.iter().zip(places) {
            view.pin(sources, *rect, finding, spot);
        }
    }
    view
}

/// What is shown on the sheets.
struct Marked<'a> {
    /// Findings of which only the part is known.
    pinned: &'a [(Face, Rect, Vec<&'a Finding>)],
    /// Findings whose place is known.
    regions: &'a [(Region, &'a Finding)],
    /// Squares that no laid picture shows.
    unseen: &'a [(Face, Vec<Rect>)],
}

/// The squares of the sides that no laid picture shows; sides with none are left out.
fn unseen_of(assessment: &Assessment) -> Vec<(Face, Vec<Rect>)> {
    let of_sides = assessment.places.coverage.iter().filter_map(|it| {
        let side = flat_faces::side(&it.face)?;
        let squares = placed::unseen(it);
        (!squares.is_empty()).then_some((side, squares))
    });
    of_sides.collect()
}

/// What the pins and shapes show.
fn pins_words(placed: bool, unplaced: bool) -> Saying {
    match (placed, unplaced) {
        (false, _) => say::pins_only(),
        (true, false) => say::pins_shapes(),
        (true, true) => say::pins_both(),
    }
}

impl PlanView {
    /// Nothing drawn yet.
    pub(super) fn blank(name: &'static str, layout: &Layout) -> Self {
        Self {
            name,
            w: percent(layout.w),
            h: percent(layout.h),
            shapes: Vec::new(),
            dots: Vec::new(),
            words: Vec::new(),
            regions: Vec::new(),
            leaders: Vec::new(),
            pins: Vec::new(),
            bar: None,
        }
    }

    /// Hatches squares of a face: a stroke across each, so that neighbours make one line.
    fn hatch(&mut self, layout: &Layout, face: Face, squares: &[Rect]) {
        let strokes = squares.iter().map(|it| {
            let Rect { x, y, w, h } = layout.place(face, *it);
            path(&[[x, y + h], [x + w, y]], "")
        });
        self.shapes.push(ShapeView {
            class: "unseen",
            path: strokes.collect(),
        });
    }

    /// Draws a face.
    pub(super) fn draw(&mut self, layout: &Layout, sheet: &Sheet, tongue: Tongue) {
        let at = |point| layout.point(sheet.face, point);
        for shape in &sheet.shapes {
            let points: Vec<_> = shape.points.iter().copied().map(at).collect();
            let class = match shape.ink {
                Ink::Edge => "edge",
                Ink::Line => "line",
                Ink::Hint => "hint",
            };
            let end = if shape.closed { "Z" } else { "" };
            self.shapes.push(ShapeView {
                class,
                path: path(&points, end),
            });
        }
        for [x, y, r] in &sheet.dots {
            let [x, y] = at([*x, *y]).map(percent);
            let r = percent((r * layout.scale).max(1.5));
            self.dots.push(DotView { x, y, r });
        }
        for (point, text) in &sheet.words {
            let [x, y] = at(*point);
            self.word("small", [x + 4.0, y + 14.0], &text.said(tongue));
        }
        // The name of a face that is narrower than it stands below: above it would run over the next one.
        let label = Saying::face(sheet.face.label()).said(tongue);
        let [x, y] = at([0.0, 0.0]);
        let [right, foot] = at([sheet.w, sheet.h]);
        let y = match right - x < LETTER * label.chars().count() as f64 {
            true => foot + 14.0,
            false => y - 6.0,
        };
        self.word("name", [x, y], &label);
    }

    fn word(&mut self, class: &'static str, [x, y]: [f64; 2], text: &str) {
        self.words.push(WordView {
            class,
            x: percent(x),
            y: percent(y),
            text: text.to_owned(),
        });
    }

    fn pin(&mut self, sources: &PageContext<'_>, rect: Rect, finding: &Finding, spot: [f64; 2]) {
        if !rect.holds(spot) {
            self.leaders.push(ShapeView {
                class: "leader",
                path: path(&[spot, rect.middle()], ""),
            });
        }
        let [x, y] = spot.map(percent);
        self.pins.push(PinView {
            kind: words::sign(finding.outcome),
            x,
            y,
            text: finding.no.0.to_string(),
            anchor: anchor(finding),
            label: plain(&sources.said(&say::pin_label(
                finding.no.0,
                Saying::fault(&finding.term),
                finding.placed(),
                sources.state(finding),
            ))),
        });
    }
}

fn path(points: &[[f64; 2]], end: &str) -> String {
    let steps = points
        .iter()
        .map(|[x, y]| format!("{} {}", percent(*x), percent(*y)));
    format!("M{}{end}", steps.collect::<Vec<_>>().join("L"))
}

/// A bar of half a metre, or of a tenth for small pieces, in the blank corner beside the top.
fn bar(layout: &Layout, sheets: &[Sheet]) -> BarView {
    let widest = sheets.iter().map(|it| it.w).fold(0.0, f64::max);
    let mm = if widest > 600.0 { 500.0 } else { 100.0 };
    let w = mm * layout.scale;
    let y = layout.corners.iter().find(|it| it.0 == Face::Top);
    let y = y.map_or(20.0, |it| it.1[1]) + 6.0;
    BarView {
        x: percent(layout.w - w - 10.0),
        y: percent(y),
        w: percent(w),
        text: format!("{mm} mm"),
    }
}
