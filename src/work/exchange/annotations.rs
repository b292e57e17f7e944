//! The marks of a piece as a W3C Web Annotation collection (Recommendation of 2017-02-23), in JSON-LD.
//!
//! The target of a mark is the original, by its path in the piece and its SHA-256, which is also its address (RFC 6920). A box is a
//! fragment in percent of the upright picture; whole numbers alone, as the grammar of Media Fragments 1.0 has them, would move it by
//! half a percent, so it has up to two decimals, which readers take. Every other shape is drawn in pixels of the upright picture.

use std::collections::BTreeMap;

use serde_json::Value;
use serde_json::json;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::material::remarks::term_of;
use crate::kit::digest::Digest;
use crate::model::ids::StockNo;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::region::Point;
use crate::model::region::Region;
use crate::report::with_claims_marked;
use crate::trade::TradeBook;
use crate::work::WorkError;
use crate::work::advice::survey::survey;
use crate::work::book::open_book::OpenBook;

/// The context of the vocabulary, and the one name that it lacks.
const CONTEXT: &str = "http://www.w3.org/ns/anno.jsonld";

/// What the fragments of boxes conform to.
const FRAGMENTS: &str = "http://www.w3.org/TR/media-frags/";

/// All marks in the pictures of a piece; what changed in its sidecars is read first.
///
/// # Errors
/// When there is no such piece, or the book cannot be read.
pub fn annotations(book: &mut OpenBook, no: &StockNo) -> Result<Value, WorkError> {
    let it = with_claims_marked(&survey(book, no)?.assessment);
    let of_mark = Words::new(&it, &book.trade);
    let mut items = Vec::new();
    for photo in &it.photos {
        for (mark, said) in photo.sidecar.marks.iter().enumerate() {
            let photo_no = photo.no;
            let at = MarkAt {
                photo: photo_no,
                mark,
            };
            items.push(annotation(photo, mark, &of_mark.of(at, said), said));
        }
    }
    let all = serde_json::to_vec(&items).unwrap_or_default();
    let page = |name: &str| Digest::of(&[name.as_bytes(), &all].concat()).urn();
    Ok(json!({
        "@context": [CONTEXT, { "sha256": "https://schema.org/sha256" }],
        "id": page("collection"),
        "type": "AnnotationCollection",
        "label": format!("{no} {}", it.piece.title),
        "total": items.len(),
        "first": {
            "id": page("page"),
            "type": "AnnotationPage",
            "startIndex": 0,
            "items": items,
        },
    }))
}

/// What marks say.
pub(super) struct Words<'a> {
    all: &'a Assessment,
    book: &'a TradeBook,
    findings: BTreeMap<MarkAt, &'a Finding>,
}

/// What one mark says.
pub(super) struct Said {
    /// Its word, such as `White ring or haze`.
    pub(super) term: String,
    /// The rest of it in one line, such as `F4, Top, left ring, level 2, 70 mm`.
    pub(super) line: String,
    /// Whether it says that something is to be seen there, and not that a part is sound, absent or not examined.
    pub(super) is_seen: bool,
}

impl<'a> Words<'a> {
    pub(super) fn new(all: &'a Assessment, book: &'a TradeBook) -> Self {
        let marks = |it: &'a Finding| it.history.iter().flat_map(|it| &it.marks);
        let findings = all.findings.iter();
        let findings = findings.flat_map(|it| marks(it).map(move |at| (*at, it)));
        Self {
            all,
            book,
            findings: findings.collect(),
        }
    }

    pub(super) fn of(&self, at: MarkAt, said: &Mark) -> Said {
        let finding = self.findings.get(&at);
        let term = match (finding, said.tag.as_deref()) {
            (Some(it), _) => it.term.clone(),
            (None, Some(tag)) => term_of(self.book, tag, said.state),
            (None, None) => String::new(),
        };
        let part = said.part.as_ref().or(finding.map(|it| &it.part));
        let words = [
            finding.map(|it| it.no.to_string()),
            part.map(|it| self.all.label(it)),
            said.which.clone().or(finding.map(|it| it.which.clone())),
            said.level.map(|it| format!("level {it}")),
            said.size.clone(),
            (said.state != MarkState::Present).then(|| said.state.said().to_string()),
        ];
        let words = words.into_iter().flatten().filter(|it| !it.is_empty());
        let word = said.tag.as_deref();
        let is_named =
            word.is_none_or(|it| self.book.tag(it).is_some() || self.book.cue(it).is_some());
        Said {
            is_seen: said.state.is_there() && is_named && !term.is_empty(),
            term,
            line: words.collect::<Vec<_>>().join(", "),
        }
    }
}

fn annotation(photo: &Photo, index: usize, words: &Said, mark: &Mark) -> Value {
    let mut body = vec![text("tagging", &words.term)];
    if !words.line.is_empty() {
        body.push(text("describing", &words.line));
    }
    body.extend(mark.note.iter().map(|it| text("commenting", it)));
    let source = json!({
        "id": photo.digest.address(),
        "type": "Image",
        "label": format!("{}/{}", photo.folder, photo.name),
        "sha256": photo.digest.to_string(),
    });
    let size = (photo.facts.width, photo.facts.height);
    let target = match &mark.region {
        Some(region) => json!({
            "type": "SpecificResource",
            "source": source,
            "selector": selector(region, size),
        }),
        None => source,
    };
    let content = json!([photo.digest.to_string(), index, body, target]);
    let id = Digest::of(content.to_string().as_bytes()).urn();
    json!({
        "id": id,
        "type": "Annotation",
        "motivation": "describing",
        "body": body,
        "target": target,
    })
}

fn text(purpose: &str, value: &str) -> Value {
    json!({
        "type": "TextualBody",
        "purpose": purpose,
        "value": value,
        "format": "text/plain",
    })
}

/// Where in the upright picture of `size` pixels.
fn selector(region: &Region, (width, height): (u32, u32)) -> Value {
    let pixels = |points: &[Point]| {
        let point = |it: &Point| {
            let at = |percent: f64, side: u32| short(percent * f64::from(side) / 100.0);
            format!("{},{}", at(it[0], width), at(it[1], height))
        };
        points.iter().map(point).collect::<Vec<_>>()
    };
    let shape = match region {
        Region::Box(sides) => {
            let sides = sides.map(short).join(",");
            return json!({
                "type": "FragmentSelector",
                "conformsTo": FRAGMENTS,
                "value": format!("xywh=percent:{sides}"),
            });
        }
        Region::Line(points) => {
            format!(
                "<polyline fill=\"none\" points=\"{}\"/>",
                pixels(points).join(" ")
            )
        }
        Region::Outline(points) => format!("<polygon points=\"{}\"/>", pixels(points).join(" ")),
        Region::Spot(point) => {
            let at = pixels(std::slice::from_ref(point)).concat();
            let (x, y) = at.split_once(',').unwrap_or_default();
            format!("<circle cx=\"{x}\" cy=\"{y}\" r=\"1\"/>")
        }
    };
    json!({
        "type": "SvgSelector",
        "value": format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\">{shape}</svg>"
        ),
    })
}

/// A number with at most two decimals, none where they are zero.
fn short(number: f64) -> String {
    ((number * 100.0).round() / 100.0).to_string()
}
