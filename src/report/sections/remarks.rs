//! What else was seen and said: observations that are no faults, group by group, with the words that were written.

use serde::Serialize;

use crate::assess::material::remarks::Remark;
use crate::assess::part_report::PartState::NotExamined;
use crate::report::page::context::PageContext;
use crate::report::page::names;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::tongue::stopped;

/// What belongs together.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct GroupView {
    /// Its heading.
    title: String,
    /// What was seen, each once.
    things: Vec<ThingView>,
}

/// One thing that was seen.
#[derive(Clone, Debug, Serialize)]
struct ThingView {
    /// Its name.
    term: String,
    /// What it tells in general.
    plain: String,
    /// Where it was seen.
    lines: Vec<LineView>,
}

/// Where it was seen, and what was written with it.
#[derive(Clone, Debug, Serialize)]
struct LineView {
    /// The parts, and whether it was so.
    place: String,
    /// Every word of the user, a sentence each.
    words: Vec<String>,
    /// The day.
    day: String,
    /// The pictures.
    pictures: Vec<SeenIn>,
}

/// A picture in which it was seen.
#[derive(Clone, Debug, Serialize)]
struct SeenIn {
    /// Its number.
    no: u32,
    /// What it is called.
    text: String,
}

impl GroupView {
    /// Of all groups that have something.
    pub(in crate::report) fn all(sources: &PageContext<'_>) -> Vec<Self> {
        let groups = sources
            .assessment
            .remarks
            .chunk_by(|a, b| a.group == b.group);
        let of = |group: &[Remark]| {
            let told: Vec<Remark> = group
                .iter()
                .filter(|it| !is_told(sources, it))
                .cloned()
                .collect();
            let things = told.chunk_by(|a, b| (&a.tag, &a.term) == (&b.tag, &b.term));
            Self {
                title: sources.said(&Saying::group(&group[0].group)),
                things: things.map(|it| ThingView::new(sources, it)).collect(),
            }
        };
        groups.map(of).filter(|it| !it.things.is_empty()).collect()
    }
}

/// Whether it says of a part what its line in the schedule says word for word.
fn is_told(sources: &PageContext<'_>, remark: &Remark) -> bool {
    let Some(part) = &remark.part else {
        return false;
    };
    let mut parts = sources.assessment.parts.iter();
    let part = parts.find(|it| it.part == *part);
    let why = part.and_then(|it| match (&it.state, &it.otherwise) {
        (NotExamined(why), _) | (_, Some(why)) => Some(why.why()),
        _ => None,
    });
    let words = remark.words();
    let told = |why: Option<&str>| words.iter().all(|word| why == Some(word.as_str()));
    remark.tag == NOT_EXAMINED && why.is_some_and(told)
}

/// The statement that a part was not looked at.
const NOT_EXAMINED: &str = "not_examined";

impl ThingView {
    /// Of what was said of one thing, never nothing.
    fn new(sources: &PageContext<'_>, said: &[Remark]) -> Self {
        let mut lines: Vec<Vec<&Remark>> = Vec::new();
        for it in said {
            match lines.iter_mut().find(|line| line[0].tells_as(it)) {
                Some(line) => line.push(it),
                None => lines.push(vec![it]),
            }
        }
        // What it tells in general is true only where it was seen.
        let plain = said.iter().map(|it| it.plain.as_str());
        let plain = plain.max_by_key(|it| it.len()).unwrap_or_default();
        // What it says of the material, the verdict under Made of says.
        let verdicts = sources.assessment.parts.iter().map(|it| &it.material);
        let term = said[0].term.to_lowercase();
        let mut weighed = verdicts.flat_map(|it| &it.evidence);
        let plain = match weighed.any(|it| it.text.to_lowercase() == term) {
            true => "",
            false => plain,
        };
        Self {
            term: sources.said(&Saying::cue(&said[0].term).capital()),
            plain: stopped(&sources.said(&Saying::told(plain))),
            lines: lines.iter().map(|it| LineView::new(sources, it)).collect(),
        }
    }
}

impl LineView {
    /// Of parts of which the same was said with the same pictures.
    fn new(sources: &PageContext<'_>, said: &[&Remark]) -> Self {
        let labels: Vec<&str> = said.iter().map(|it| it.part_label.as_str()).collect();
        let place = names::line(&sources.assessment.parts, &labels, sources.tongue());
        let so = said[0].unless_seen();
        let place = match so.is_nothing() {
            true => place,
            false => sources.said(&say::part_inner(place, so)),
        };
        let own = |it: &Option<String>| it.as_deref().map(|it| Saying::Own(it.to_owned()));
        let it = said[0];
        let told = [
            own(&it.which),
            it.size.as_deref().map(Saying::size),
            it.level.map(say::level_no),
        ];
        let told = told.into_iter().flatten();
        let told = told.map(|it| sources.said(&it.sentence()));
        let note = it.note.iter().map(|it| sources.noted(it));
        let (photos, shown) = (&sources.assessment.photos, it.photos());
        let late = sources.order.late.iter().flat_map(|late| {
            let told = said.iter();
            let told = told.map(|it| late.of_remark(photos, &shown, (&it.tag, it.part.as_ref())));
            let mut told: Vec<Saying> = told.flatten().collect();
            told.dedup();
            told
        });
        let late: Vec<String> = late.map(|it| sources.said(&it)).collect();
        let seen_in = |no: u32| SeenIn {
            no,
            text: sources.said(&say::picture_small(no)),
        };
        Self {
            place,
            words: told.chain(note).chain(late).collect(),
            day: sources.said(&say::day(it.day)),
            pictures: it.photos().into_iter().map(seen_in).collect(),
        }
    }
}
