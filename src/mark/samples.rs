//! Words, and any valid sidecars, for the tests of this room.

use proptest::prelude::*;

use crate::mark::TradeWords;
use crate::mark::Words;
use crate::mark::keys;
use crate::model::face::How;
use crate::model::face::KnownPoint;
use crate::model::face::LaidFace;
use crate::model::face::Lie;
use crate::model::finding::FindingKey;
use crate::model::finding::NumberedFinding;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::mark::Scale;
use crate::model::mark::Sidecar;
use crate::model::region::Region;

const PARTS: [&str; 5] = [
    "top",
    "back",
    "drawer-1",
    "drawer-1/bottom",
    "leg-front-left",
];

pub(crate) fn words() -> Words {
    let list = |words: &[&str]| words.iter().map(|it| (*it).to_owned()).collect();
    Words {
        views: list(&["front", "top_raking"]),
        parts: list(&PARTS),
        faces: list(&["top", "front", "drawer-1/front"]),
        faults: list(&["white_mark", "scratch"]),
        absences: Vec::new(),
        few_levels: Vec::new(),
        observations: list(&["hand_cut_dovetails"]),
        findings: vec![
            finding(1, "top", "scratch"),
            finding(3, "back", "white_mark"),
        ],
        synonyms: vec![("ring".to_owned(), "white_mark".to_owned())],
        optional: vec![("writing-surface".to_owned(), "writing_surface".to_owned())],
    }
}

fn finding(no: u32, part: &str, tag: &str) -> NumberedFinding {
    NumberedFinding {
        no: FindingNo(no),
        key: FindingKey {
            part: part.parse().unwrap(),
            tag: tag.to_owned(),
            which: String::new(),
        },
    }
}

/// The words of the trade book of the tests of settings.
pub(crate) fn trade_words() -> TradeWords {
    let list = |words: &[&str]| words.iter().map(|it| (*it).to_owned()).collect();
    TradeWords {
        methods: list(&["strip", "sand", "topcoat", "paint"]),
        channels: list(&["own_sale", "marketplace"]),
    }
}

/// Texts that say something, with all that is hard to quote.
fn text() -> impl Strategy<Value = String> {
    let nasty = prop::sample::select(vec![
        "\"",
        "\"\"\"",
        "'''",
        "'",
        "\\",
        "\\u0041",
        "\n",
        "\n\n",
        "\r",
        "\t",
        "\0",
        "\u{7f}",
        "\u{85}",
        "\u{2028}",
        "\u{202e}",
        "\u{feff}",
        "🪵",
        "👨‍👩‍👧",
        "é",
        "e\u{301}",
        "עץ",
        "خشب",
        "#",
        " # no comment",
        " ",
        "=",
        "[[mark]]",
        "ring",
        "70 mm",
    ]);
    let nasty = nasty.prop_map(str::to_owned);
    let one = prop_oneof![4 => nasty, 1 => any::<String>()];
    let text = prop::collection::vec(one, 1..6).prop_map(|it| it.concat());
    // The reader gives every line end as one kind, and no text for one of blanks alone.
    let text = text.prop_map(|it| it.replace('\r', "\n"));
    text.prop_filter("silent", |it| !it.trim().is_empty())
}

fn part() -> impl Strategy<Value = PartId> {
    prop::sample::select(PARTS.to_vec()).prop_map(|it| it.parse().unwrap())
}

fn point() -> impl Strategy<Value = [f64; 2]> {
    [0.0..=100.0, 0.0..=100.0]
}

fn region() -> impl Strategy<Value = Region> {
    let boxed = [0.0..=50.0, 0.0..=50.0, 1e-9..=50.0, 1e-9..=50.0];
    prop_oneof![
        boxed.prop_map(Region::Box),
        prop::collection::vec(point(), 2..6).prop_map(Region::Line),
        prop::collection::vec(point(), 3..6).prop_map(Region::Outline),
        point().prop_map(Region::Spot),
    ]
}

fn scale() -> impl Strategy<Value = Scale> {
    let object = (
        prop::sample::select(keys::OBJECTS.to_vec()),
        0.0..40.0,
        60.0..100.0,
    );
    let object = object.prop_map(|((_, [width, height]), low, high)| Scale {
        width_mm: width,
        height_mm: Some(height),
        corners: vec![[low, low], [high, low + 1.5], [high, high], [low, high]],
    });
    let length = (1e-3..1e6, point()).prop_map(|(width_mm, from)| Scale {
        width_mm,
        height_mm: None,
        corners: vec![from, [from[1], 100.0 - from[0]]],
    });
    let length = length.prop_filter("one point", |it| it.corners[0] != it.corners[1]);
    prop_oneof![object, length]
}

/// Any laid face.
pub(crate) fn face() -> impl Strategy<Value = LaidFace> {
    let lie = (-50.0..40.0, 60.0..150.0, any::<bool>()).prop_map(|(low, high, by_points)| {
        let corners = [[low, low], [high, low + 1.5], [high, high], [low, high]];
        let mm = [[0.0, 0.0], [900.5, 0.0], [900.5, 480.0], [0.0, 480.0]];
        match by_points {
            true => Lie::Points(
                mm.into_iter()
                    .zip(corners)
                    .map(|(mm, at)| KnownPoint { mm, at })
                    .collect(),
            ),
            false => Lie::Corners(corners),
        }
    });
    let how = prop_oneof![Just(How::ByHand), (1_u32..99).prop_map(How::FromPicture)];
    let pair = || {
        prop::option::of(
            (1_u32..3000, 1_u32..3000)
                .prop_map(|(a, b)| format!("{a} x {b}.5 mm").parse().unwrap()),
        )
    };
    (
        prop::sample::select(words().faces),
        lie,
        how,
        pair(),
        pair(),
    )
        .prop_map(|(face, lie, how, size, at)| LaidFace {
            face: face.parse().unwrap(),
            lie,
            how,
            size,
            at,
        })
}

/// Faces of a sidecar: each of another name.
fn faces() -> impl Strategy<Value = Vec<LaidFace>> {
    prop::collection::vec(face(), 0..3).prop_map(|mut list| {
        list.sort_by(|a, b| a.face.cmp(&b.face));
        list.dedup_by(|a, b| a.face == b.face);
        list
    })
}

/// Any mark that is no statement of `sound`, `absent` or `not_examined`.
fn fault() -> impl Strategy<Value = Mark> {
    let tags = vec!["white_mark", "scratch", "hand_cut_dovetails"];
    let finding = prop::sample::select(vec![FindingNo(1), FindingNo(3)]);
    let named = prop_oneof![
        (prop::sample::select(tags.clone()), part()).prop_map(|(tag, part)| (
            Some(tag),
            Some(part),
            None
        )),
        (
            prop::option::of(prop::sample::select(tags)),
            prop::option::of(part()),
            finding.prop_map(Some)
        ),
    ];
    let named = named.prop_filter("another finding", |(tag, part, finding)| {
        let words = words();
        let known = words.findings.iter().find(|it| Some(it.no) == *finding);
        known.is_none_or(|known| {
            let its_tag =
                tag.is_none_or(|it| known.key.tag == it || !words.faults.contains(&it.to_owned()));
            its_tag && part.as_ref().is_none_or(|it| known.key.part == *it)
        })
    });
    let states = prop::sample::select(MarkState::ALL.to_vec());
    let size = prop::option::of(text().prop_map(|it| format!("70 mm {it}")));
    let more = (prop::option::of(text()), states, prop::option::of(1_u8..=4));
    (
        named,
        more,
        size,
        prop::option::of(text()),
        prop::option::of(region()),
    )
        .prop_map(
            |((tag, part, finding), (which, (state, _), level), size, note, region)| Mark {
                // What is gone has no level.
                level: level.filter(|_| state != MarkState::Gone),
                tag: tag.map(str::to_owned),
                part,
                which,
                finding,
                state,
                size,
                note,
                region,
            },
        )
}

/// One of the three statements, bare or with a note.
fn statement() -> impl Strategy<Value = Mark> {
    let tag = prop::sample::select(keys::STATEMENTS.to_vec());
    (tag, part(), prop::option::of(text())).prop_map(|(tag, part, note)| Mark {
        note,
        ..Mark::plain(tag, part)
    })
}

pub(crate) fn mark() -> impl Strategy<Value = Mark> {
    prop_oneof![1 => statement(), 2 => fault()]
}

/// Whether the marks contradict each other, as no valid sidecar does.
fn contradict(marks: &[Mark]) -> bool {
    let said = marks
        .iter()
        .filter(|it| keys::STATEMENTS.map(Some).contains(&it.tag.as_deref()));
    let said: Vec<_> = said.collect();
    let words = words();
    let keys = || marks.iter().map(|it| (it, words.key_of(it)));
    let against = said.iter().any(|one| {
        let good = one.tag.as_deref() != Some("not_examined");
        let takes = one.tag.as_deref() == Some("absent");
        let covers = |it: &PartId| {
            one.part.as_ref() == Some(it) || (takes && one.part.as_ref() == Some(&it.whole()))
        };
        let of_part = |key: Option<FindingKey>| key.is_some_and(|it| covers(&it.part));
        let faulty = |(it, key): (&Mark, _)| good && it.state.is_there() && of_part(key);
        let otherwise = |it: &&&Mark| it.part.as_ref().is_some_and(covers) && it.tag != one.tag;
        said.iter().any(|it| otherwise(&it)) || keys().any(faulty)
    });
    let plain = |it: &Mark| it.finding.is_none() && it.which.is_none();
    let same = |key: &FindingKey| keys().filter(|it| it.1.as_ref() == Some(key)).count() > 1;
    let mut alike = keys().filter(|it| plain(it.0));
    against || alike.any(|it| it.1.is_some_and(|key| same(&key)))
}

/// Whether a sidecar contradicts itself, as no valid one does.
pub(crate) fn contradicts(it: &Sidecar) -> bool {
    let absent = it
        .marks
        .iter()
        .filter(|it| it.tag.as_deref() == Some("absent"));
    let mut absent = absent.filter_map(|it| it.part.as_ref());
    let shown = |of: &PartId| it.parts.iter().any(|it| it == of || it.whole() == *of);
    absent.any(shown) || contradict(&it.marks)
}

/// Any valid sidecar.
pub(crate) fn sidecar() -> impl Strategy<Value = Sidecar> {
    let views = prop::sample::select(words().views);
    let parts = prop::sample::subsequence(PARTS.to_vec(), 0..=PARTS.len());
    let parts = parts.prop_map(|list| list.into_iter().map(|it| it.parse().unwrap()).collect());
    let marks = prop::collection::vec(mark(), 0..6);
    let notes = (prop::option::of(text()), prop::option::of(text()));
    (
        prop::option::of(views),
        parts,
        notes,
        prop::option::of(scale()),
        faces(),
        marks,
    )
        .prop_map(
            |(view, parts, (note, private_note), scale, faces, marks)| Sidecar {
                view,
                parts,
                note,
                private_note,
                scale,
                faces,
                marks,
            },
        )
        .prop_filter("contradicts itself", |it| !contradicts(it))
}
