//! A chest of five drawers as the tests know it: bought with faults, repaired, sold, complained of. All invented.

use crate::assess::assessment::*;
use crate::kit::clock::ClockOff;
use crate::kit::digest::Digest;
use crate::model::complaint::Complaint;
use crate::model::facts::Facts;
use crate::model::facts::Format;
use crate::model::facts::Place;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::mark::Sidecar;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::piece::Piece;
use crate::model::piece::Size;
use crate::model::region::Region;
use crate::model::repair::Repair;
use crate::report::Order;
use crate::report::Packing;
use crate::report::PartShape;
use crate::report::Reader;
use crate::report::Scene;

/// Stands in every private text.
pub(super) const SECRET: &str = "SECRET-7391";
/// Private numbers, as they would print.
pub(super) const SECRET_NUMBERS: [&str; 7] = [
    "73.91",
    "739.10",
    "13 March 2026",
    "73.91000",
    "17.39100",
    "3 h 59 min",
    "1739",
];

/// Number, shoot, view, name, wide, high, camera time.
type Row = (u32, u32, &'static str, &'static str, u32, u32, &'static str);

const ROWS: [Row; 34] = [
    (
        1,
        1,
        "front_whole",
        "K2_20260314_100211.jpg",
        2016,
        1512,
        "2026-03-14T10:02:11+01:00",
    ),
    (
        2,
        1,
        "back_whole",
        "K2_20260314_100320.jpg",
        2016,
        1512,
        "2026-03-14T10:03:20+01:00",
    ),
    (
        3,
        1,
        "left_whole",
        "K2_20260314_100402.jpg",
        1512,
        2016,
        "2026-03-14T10:04:02+01:00",
    ),
    (
        4,
        1,
        "right_whole",
        "K2_20260314_100431.jpg",
        1512,
        2016,
        "2026-03-14T10:04:31+01:00",
    ),
    (
        5,
        1,
        "top_flat",
        "K2_20260314_100515.jpg",
        2016,
        1512,
        "2026-03-14T10:05:15+01:00",
    ),
    (
        6,
        1,
        "top_raking",
        "K2_20260314_100558.jpg",
        2016,
        1512,
        "2026-03-14T10:05:58+01:00",
    ),
    (
        7,
        1,
        "three_quarter_left",
        "K2_20260314_100640.jpg",
        2016,
        1512,
        "2026-03-14T10:06:40+01:00",
    ),
    (
        8,
        1,
        "part_whole",
        "K2_20260314_100725.jpg",
        2016,
        1512,
        "2026-03-14T10:07:25+01:00",
    ),
    (
        9,
        1,
        "drawer_inside",
        "K2_20260314_100810.jpg",
        2016,
        1512,
        "2026-03-14T10:08:10+01:00",
    ),
    (
        10,
        1,
        "foot_close",
        "K2_20260314_100905.jpg",
        1512,
        2016,
        "2026-03-14T10:09:05+01:00",
    ),
    (
        11,
        1,
        "defect_scale",
        "K2_20260314_101012.jpg",
        2016,
        1512,
        "2026-03-14T10:10:12+01:00",
    ),
    (
        12,
        1,
        "defect_close",
        "K2_20260314_101050.jpg",
        2016,
        1512,
        "2026-03-14T10:10:50+01:00",
    ),
    (
        13,
        1,
        "defect_scale",
        "K2_20260314_101144.jpg",
        2016,
        1512,
        "2026-03-14T10:11:44+01:00",
    ),
    (
        14,
        1,
        "defect_scale",
        "K2_20260314_101230.jpg",
        1512,
        2016,
        "2026-03-14T10:12:30+01:00",
    ),
    (
        15,
        1,
        "defect_scale",
        "K2_20260314_101308.jpg",
        2016,
        1512,
        "2026-03-14T10:13:08+01:00",
    ),
    (
        16,
        1,
        "defect_scale",
        "K2_20260314_101309.jpg",
        2016,
        1512,
        "2026-03-14T10:13:09+01:00",
    ),
    (
        17,
        1,
        "defect_close",
        "K2_20260314_101420.jpg",
        2016,
        1512,
        "2026-03-14T10:14:20+01:00",
    ),
    (
        18,
        2,
        "front_whole",
        "K2_20260502_182005.jpg",
        2016,
        1512,
        "2026-05-02T18:20:05+02:00",
    ),
    (
        19,
        2,
        "left_whole",
        "K2_20260502_182210.jpg",
        1512,
        2016,
        "2026-05-02T18:22:10+02:00",
    ),
    (
        20,
        2,
        "right_whole",
        "K2_20260502_182251.jpg",
        1512,
        2016,
        "2026-05-02T18:22:51+02:00",
    ),
    (
        21,
        2,
        "top_flat",
        "K2_20260502_182330.jpg",
        2016,
        1512,
        "2026-05-02T18:23:30+02:00",
    ),
    (
        22,
        2,
        "top_raking",
        "K2_20260502_182412.jpg",
        2016,
        1512,
        "2026-05-02T18:24:12+02:00",
    ),
    (
        23,
        2,
        "three_quarter_left",
        "K2_20260502_182502.jpg",
        2016,
        1512,
        "2026-05-02T18:25:02+02:00",
    ),
    (
        24,
        2,
        "defect_close",
        "K2_20260502_182615.jpg",
        2016,
        1512,
        "2026-05-02T18:26:15+02:00",
    ),
    (
        25,
        2,
        "defect_close",
        "K2_20260502_182659.jpg",
        2016,
        1512,
        "2026-05-02T18:26:59+02:00",
    ),
    (
        26,
        2,
        "defect_close",
        "K2_20260502_182740.jpg",
        1512,
        2016,
        "2026-05-02T18:27:40+02:00",
    ),
    (
        27,
        2,
        "defect_close",
        "K2_20260501_172820.jpg",
        2016,
        1512,
        "2026-05-01T17:28:20+02:00",
    ),
    (
        28,
        3,
        "handover",
        "K2_20260520_114110.jpg",
        2016,
        1512,
        "2026-05-20T11:41:10+02:00",
    ),
    (
        29,
        3,
        "top_flat",
        "K2_20260520_114203.jpg",
        2016,
        1512,
        "2026-05-20T11:42:03+02:00",
    ),
    (
        30,
        3,
        "defect_close",
        "K2_20260520_114244.jpg",
        1512,
        2016,
        "2026-05-20T11:42:44+02:00",
    ),
    (
        31,
        4,
        "defect_scale",
        "M5_0231.jpg",
        2016,
        1512,
        "2026-05-24T17:40:02+02:00",
    ),
    (
        32,
        4,
        "defect_close",
        "M5_0236.jpg",
        2016,
        1512,
        "2026-05-24T17:44:40+02:00",
    ),
    (
        33,
        4,
        "defect_close",
        "M5_0238.jpg",
        1512,
        2016,
        "2026-05-24T17:46:10+02:00",
    ),
    (34, 4, "delivery", "chat-0007.jpg", 1280, 960, ""),
];

/// Photo, part, finding, state, level, measure, box.
type MarkRow = (
    u32,
    &'static str,
    u32,
    MarkState,
    u8,
    &'static str,
    [f64; 4],
);

use MarkState::Gone;
use MarkState::Present;
use MarkState::Repaired as Mended;

const MARKS: [MarkRow; 24] = [
    (
        5,
        "top",
        1,
        Present,
        3,
        "three rings, 68 to 72 mm",
        [32.716, 38.782, 29.46, 13.046],
    ),
    (
        15,
        "top",
        1,
        Present,
        3,
        "70 mm",
        [32.2, 37.374, 11.551, 11.941],
    ),
    (21, "top", 1, Gone, 0, "", [0.0; 4]),
    (
        5,
        "top",
        2,
        Present,
        3,
        "105 mm x 85 mm",
        [65.013, 51.681, 8.188, 8.318],
    ),
    (21, "top", 2, Gone, 0, "", [0.0; 4]),
    (
        5,
        "top",
        3,
        Present,
        2,
        "120 mm",
        [22.408, 56.788, 8.858, 3.415],
    ),
    (21, "top", 3, Gone, 0, "", [0.0; 4]),
    (
        13,
        "top",
        4,
        Present,
        3,
        "56 mm x 43 mm",
        [56.32, 40.453, 11.724, 10.296],
    ),
    (
        25,
        "top",
        4,
        Mended,
        1,
        "56 mm x 43 mm",
        [58.894, 44.04, 12.472, 11.791],
    ),
    (
        11,
        "drawer-4",
        5,
        Present,
        2,
        "38 mm x 6 mm",
        [49.341, 55.228, 11.753, 2.64],
    ),
    (
        24,
        "drawer-4",
        5,
        Mended,
        1,
        "38 mm x 6 mm",
        [51.971, 56.684, 11.455, 2.433],
    ),
    (
        8,
        "drawer-3",
        6,
        Present,
        4,
        "33 mm",
        [82.94, 30.454, 3.805, 5.108],
    ),
    (
        17,
        "drawer-3",
        6,
        Present,
        4,
        "33 mm",
        [48.202, 43.802, 8.576, 11.222],
    ),
    (
        27,
        "drawer-3",
        6,
        Mended,
        1,
        "",
        [53.35, 45.005, 7.625, 9.878],
    ),
    (
        14,
        "case-side-left",
        7,
        Present,
        3,
        "180 mm x 0.9 mm",
        [47.096, 29.086, 2.072, 39.788],
    ),
    (
        26,
        "case-side-left",
        7,
        Mended,
        1,
        "180 mm",
        [47.63, 25.788, 1.185, 37.574],
    ),
    (
        30,
        "case-side-left",
        7,
        Mended,
        1,
        "180 mm",
        [51.136, 28.847, 1.326, 37.6],
    ),
    (
        33,
        "case-side-left",
        7,
        Mended,
        1,
        "180 mm",
        [45.624, 29.454, 1.565, 40.777],
    ),
    (
        10,
        "leg-front-left",
        8,
        Present,
        2,
        "68 mm x 0.9 mm",
        [49.141, 46.298, 0.525, 12.438],
    ),
    (
        31,
        "case-side-right",
        9,
        Present,
        3,
        "60 mm x 5 mm, 1.6 mm deep",
        [44.701, 47.181, 11.166, 6.003],
    ),
    (
        32,
        "top",
        10,
        Present,
        2,
        "100 mm x 1 mm",
        [41.202, 49.403, 17.497, 6.532],
    ),
    (
        9,
        "drawer-3/bottom",
        11,
        Present,
        1,
        "",
        [40.0, 45.0, 20.0, 10.0],
    ),
    (
        3,
        "case-side-left",
        12,
        Present,
        1,
        "20 mm",
        [60.0, 60.0, 5.0, 3.0],
    ),
    (
        9,
        "case-runner-3",
        13,
        Present,
        2,
        "2 mm worn",
        [30.0, 55.0, 9.0, 6.0],
    ),
];

/// Finding, tag, name, what it means, state, origin, which.
type FindingRow = (
    u32,
    &'static str,
    &'static str,
    &'static str,
    FindingState,
    Origin,
    &'static str,
);

const FINDINGS: [FindingRow; 13] = [
    (
        1,
        "white_mark",
        "White ring or haze",
        "Moisture or heat has clouded the finish; the wood under it is sound",
        FindingState::Gone,
        Origin::Found,
        "near the back",
    ),
    (
        2,
        "dark_stain",
        "Dark stain",
        "Water went through the finish and darkened the wood",
        FindingState::Repaired,
        Origin::Found,
        "",
    ),
    (
        3,
        "scratch",
        "Scratch",
        "A line cut into the finish",
        FindingState::Repaired,
        Origin::Found,
        "near the front left",
    ),
    (
        4,
        "veneer_missing",
        "Missing veneer",
        "A piece of the thin face wood is gone",
        FindingState::Repaired,
        Origin::Found,
        "back right corner",
    ),
    (
        5,
        "veneer_chip",
        "Veneer chip",
        "A small piece has broken out of the edge of the face wood",
        FindingState::Repaired,
        Origin::Found,
        "lower edge",
    ),
    (
        6,
        "pull_missing",
        "Missing knob",
        "The knob is not there; its hole is",
        FindingState::Repaired,
        Origin::Found,
        "right knob",
    ),
    (
        7,
        "split",
        "Split",
        "The wood has opened along its grain, through the panel",
        FindingState::Repaired,
        Origin::Found,
        "",
    ),
    (
        8,
        "drying_crack",
        "Drying crack",
        "A crack from drying out, along the grain",
        FindingState::RepairUnseen,
        Origin::Found,
        "",
    ),
    (
        9,
        "gouge",
        "Gouge",
        "Wood was pushed out of the surface",
        FindingState::Open,
        Origin::AfterSale,
        "",
    ),
    (
        10,
        "scratch",
        "Scratch",
        "A line cut into the finish",
        FindingState::Open,
        Origin::AfterSale,
        "new",
    ),
    (
        11,
        "dust",
        "Grime",
        "Old dust in the corners",
        FindingState::Open,
        Origin::Found,
        "",
    ),
    (
        12,
        "scuff",
        "Scuff",
        "A rubbed spot in the finish",
        FindingState::Withdrawn,
        Origin::Found,
        "",
    ),
    (
        13,
        "runner_worn",
        "Worn runner",
        "The strip the drawer slides on has worn hollow",
        FindingState::Open,
        Origin::Unknown,
        "",
    ),
];

const PARTS: [(&str, &str, &str); 20] = [
    ("top", "Top", "top"),
    ("case-side-left", "Case side, left", "left"),
    ("case-side-right", "Case side, right", "right"),
    ("back-panel", "Back panel", "back"),
    ("face-frame", "Front frame, rails and dividers", "front"),
    ("drawer-1", "Drawer 1", "front"),
    ("drawer-2", "Drawer 2", "front"),
    ("drawer-3", "Drawer 3", "front"),
    ("drawer-4", "Drawer 4", "front"),
    ("drawer-5", "Drawer 5", "front"),
    ("case-runner-1", "Runner 1 in the case", "inside"),
    ("case-runner-2", "Runner 2 in the case", "inside"),
    ("case-runner-3", "Runner 3 in the case", "inside"),
    ("leg-front-left", "Leg, front left", "front"),
    ("leg-front-right", "Leg, front right", "front"),
    ("leg-back-left", "Leg, back left", "back"),
    ("leg-back-right", "Leg, back right", "back"),
    ("lock-3", "Lock of drawer 3", "front"),
    ("key", "Key", "inside"),
    ("dust-panel-1", "Dust panel 1", "inside"),
];

fn part_label(part: &str) -> String {
    let whole = part.split('/').next().unwrap();
    let label = PARTS.iter().find(|it| it.0 == whole).unwrap().1.to_owned();
    if part.contains('/') {
        format!("{label}, bottom")
    } else {
        label
    }
}

fn some(text: &str) -> Option<String> {
    Some(text.to_owned()).filter(|it| !it.is_empty())
}

fn photo(row: &Row) -> Photo {
    let (no, shoot, view, name, width, height, time) = *row;
    let marks = MARKS.iter().filter(|it| it.0 == no).map(|it| Mark {
        tag: None,
        part: Some(it.1.parse().unwrap()),
        which: None,
        finding: Some(FindingNo(it.2)),
        state: it.3,
        level: Some(it.4).filter(|it| *it > 0),
        size: some(it.5),
        note: (it.0 == 25).then(|| "patch in a slightly lighter tone".to_owned()),
        region: (it.6[2] > 0.0).then_some(Region::Box(it.6)),
    });
    Photo {
        no,
        shoot,
        name: name.to_owned(),
        source_name: name.to_owned(),
        digest: Digest::of(name.as_bytes()),
        bytes: 500_000,
        facts: Facts {
            format: Format::Jpeg,
            width,
            height,
            orientation: Some(1),
            camera_time: (!time.is_empty()).then(|| time.parse().unwrap()),
            camera: some("Kestrel K2"),
            serial: Some(format!("{SECRET}-serial")),
            place: Some(Place {
                latitude: 73.91,
                longitude: -17.391,
                altitude: Some(1739.0),
            }),
            focal_35mm: Some(27),
            sharpness: 100.0,
            sharpness_width: 1024,
            brightness: 110.0,
            black_share: 0.1,
            look: 7,
            oddities: Vec::new(),
        },
        clock_off: ClockOff {
            seconds: if no == 27 { 90_000 } else { 0 },
        },
        imported: "2026-05-25T08:00:00Z".parse().unwrap(),
        sidecar: Sidecar {
            view: some(view),
            note: (no == 6).then(|| "window light from behind".to_owned()),
            private_note: Some(format!("{SECRET} beside the photo")),
            marks: marks.collect(),
            ..Sidecar::default()
        },
    }
}

fn shoots() -> Vec<Shoot> {
    let rows = [
        (1, Stage::Purchase, "2026-03-14"),
        (2, Stage::Sale, "2026-05-02"),
        (3, Stage::Handover, "2026-05-20"),
        (4, Stage::Delivery, "2026-05-24"),
    ];
    let shoots = rows.map(|(no, stage, day)| Shoot {
        no,
        stage,
        day: day.parse().unwrap(),
        folder: format!("{no} {stage} {day}"),
    });
    shoots.into()
}

fn mark_at(finding: u32, photo: u32) -> usize {
    let in_photo = MARKS.iter().filter(|it| it.0 == photo);
    let at = in_photo.map(|it| it.2).position(|it| it == finding);
    at.unwrap()
}

fn history(no: u32) -> Vec<Sighting> {
    let shoots = shoots();
    let mut history = Vec::new();
    for shoot in &shoots {
        let of_shoot =
            |it: &&MarkRow| it.2 == no && ROWS.iter().any(|row| row.0 == it.0 && row.1 == shoot.no);
        let marks: Vec<_> = MARKS.iter().filter(of_shoot).collect();
        let Some(first) = marks.first() else { continue };
        history.push(Sighting {
            shoot: shoot.no,
            stage: shoot.stage,
            day: shoot.day,
            state: first.3,
            level: Some(first.4).filter(|it| *it > 0),
            size: some(first.5),
            notes: if no == 4 && shoot.no == 2 {
                vec!["patch in a slightly lighter tone".to_owned()]
            } else {
                vec![]
            },
            marks: marks
                .iter()
                .map(|it| MarkAt {
                    photo: it.0,
                    mark: mark_at(no, it.0),
                })
                .collect(),
        });
    }
    history
}

fn findings() -> Vec<Finding> {
    let rows = FINDINGS
        .iter()
        .map(|(no, tag, term, plain, state, origin, which)| {
            let history = history(*no);
            let part = MARKS.iter().find(|it| it.2 == *no).unwrap().1;
            let level = history.iter().rev().find_map(|it| it.level);
            Finding {
                no: FindingNo(*no),
                part: part.parse().unwrap(),
                part_label: part_label(part),
                tag: (*tag).to_owned(),
                term: (*term).to_owned(),
                plain: (*plain).to_owned(),
                which: (*which).to_owned(),
                origin: *origin,
                origin_why: match origin {
                    Origin::Found => {
                        "In the first shoot that shows the part, 14 March 2026".to_owned()
                    }
                    Origin::AfterSale => {
                        "The part was recorded on 20 May 2026 without it".to_owned()
                    }
                    _ => String::new(),
                },
                state: *state,
                level,
                level_words: level
                    .map(|it| format!("criterion of level {it} for {tag}, with its numbers")),
                size: history.iter().rev().find_map(|it| it.size.clone()),
                disclose: *no != 11,
                repairs: repairs()
                    .iter()
                    .filter(|it| it.findings.contains(&FindingNo(*no)))
                    .map(|it| it.no)
                    .collect(),
                history,
            }
        });
    rows.collect()
}

fn repairs() -> Vec<Repair> {
    let rows: [(u32, &[u32], &str, &str, &str); 5] = [
        (
            1,
            &[1, 2, 3],
            "m_refinish",
            "",
            "the dark stain is bleached; it may come back faintly in damp air",
        ),
        (
            2,
            &[4],
            "m_veneer_patch",
            "walnut veneer, 56 mm x 43 mm",
            "",
        ),
        (
            3,
            &[5, 8],
            "m_fill",
            "coloured wax filler",
            "the chip is filled, not replaced",
        ),
        (4, &[7], "m_split_close", "hide glue", "a faint line stays"),
        (
            5,
            &[6],
            "m_pull",
            "one brass knob, new, cast after its neighbour",
            "",
        ),
    ];
    let repairs = rows.map(|(no, findings, method, new, hides)| Repair {
        no,
        findings: findings.iter().map(|it| FindingNo(*it)).collect(),
        method: method.to_owned(),
        day: "2026-04-18".parse().unwrap(),
        new_material: some(new),
        hides: some(hides),
        note: (no == 1).then(|| "The coat is a little warmer and darker than before".to_owned()),
        minutes: Some(239),
        cost: Some(
            "EUR"
                .parse::<crate::kit::money::Currency>()
                .unwrap()
                .amount("73.91")
                .unwrap(),
        ),
        private_note: Some(format!("{SECRET} about the repair")),
    });
    repairs.into()
}

fn parts() -> Vec<PartReport> {
    let findings = findings();
    let rows = PARTS.iter().map(|(part, label, _)| {
        let part: crate::model::ids::PartId = part.parse().unwrap();
        let mine = findings
            .iter()
            .filter(|it| it.part.whole() == part && it.state != FindingState::Withdrawn);
        let mine: Vec<_> = mine.collect();
        let state = match part.as_str() {
            "key" => PartState::Absent { photo: None },
            "lock-3" => PartState::NotExamined {
                why: some("no key"),
            },
            "dust-panel-1" => PartState::Silent,
            _ if !mine.is_empty() => PartState::Faults { open: 1, closed: 1 },
            _ => PartState::Sound {
                photo: 18,
                day: "2026-05-02".parse().unwrap(),
            },
        };
        let veneered = part.as_str() == "top";
        PartReport {
            label: (*label).to_owned(),
            required: true,
            state,
            findings: mine.iter().map(|it| it.no).collect(),
            photos: vec![1, 2, 3, 4, 5, 18, 21],
            material: Material {
                settled: veneered.then(|| "veneer".to_owned()),
                possible: vec![],
                look: None,
                text: match veneered {
                    true => "Veneer on a solid core: the layer line shows at the broken corner",
                    false => "Not settled: look at an edge for the layer line",
                }
                .to_owned(),
                evidence: if veneered {
                    vec![Evidence {
                        photo: 13,
                        mark: 0,
                        text: "Layer line at the edge".to_owned(),
                    }]
                } else {
                    vec![]
                },
            },
            part,
        }
    });
    rows.collect()
}

fn pairs() -> Vec<Pair> {
    let finding = |no, before, after, likeness| Pair {
        about: PairAbout::Finding(FindingNo(no)),
        before: PairSide {
            photo: before,
            mark: Some(mark_at(no, before)),
        },
        after: PairSide {
            photo: after,
            mark: Some(mark_at(no, after)),
        },
        likeness,
    };
    let view = |view: &str, before, after| Pair {
        about: PairAbout::View(view.to_owned()),
        before: PairSide {
            photo: before,
            mark: None,
        },
        after: PairSide {
            photo: after,
            mark: None,
        },
        likeness: Likeness::SameView,
    };
    vec![
        finding(1, 5, 21, Likeness::SameView),
        finding(4, 13, 25, Likeness::DifferentAngle),
        finding(5, 11, 24, Likeness::DifferentAngle),
        finding(6, 17, 27, Likeness::DifferentAngle),
        finding(7, 14, 26, Likeness::DifferentAngle),
        view("front_whole", 1, 18),
        view("top_flat", 5, 21),
        view("top_raking", 6, 22),
        view("three_quarter_left", 7, 23),
    ]
}

fn piece() -> Piece {
    let eur: crate::kit::money::Currency = "EUR".parse().unwrap();
    Piece {
        stock_no: "26-014".parse().unwrap(),
        title: "Walnut-veneered chest of five drawers (two over three) on turned legs".to_owned(),
        form: "chest_of_drawers".to_owned(),
        size: Some(Size {
            height_mm: 900.0,
            width_mm: 1050.0,
            depth_mm: 480.0,
        }),
        drawer_rows: vec![2, 1, 1, 1],
        with: vec!["leg".to_owned()],
        absent: vec!["key".parse().unwrap()],
        about: some(
            "An invented piece. The pictures are rendered demo pictures, not photographs of a real object.",
        ),
        examined_by: None,
        weight: some("about 48 kg"),
        bought_for: Some(eur.amount("73.91").unwrap()),
        bought_on: Some("2026-03-13".parse().unwrap()),
        asking: Some(eur.amount("739.10").unwrap()),
        private_note: Some(format!("{SECRET} about the piece")),
        market: crate::model::market::Market::default(),
        folder: "26-014 chest".to_owned(),
        taken_in: "2026-03-14T20:00:00Z".parse().unwrap(),
    }
}

fn note(photo: u32, code: PictureIssue, text: &str) -> PictureNote {
    PictureNote {
        photo,
        code,
        text: text.to_owned(),
    }
}

/// The whole of it.
pub(super) fn assessment() -> Assessment {
    let unexamined = [
        ("Lock of drawer 3", "No key came with it"),
        ("Underside", "The piece was not turned over"),
        ("Wood species", "Appears to be walnut; no sample was taken"),
        ("Lead in paint", "Not tested; no paint was seen"),
    ];
    let missing = |view: &str, label: &str, stage| MissingView {
        view: view.to_owned(),
        label: label.to_owned(),
        stage,
    };
    Assessment {
        piece: piece(),
        form_label: "Chest of drawers".to_owned(),
        shoots: shoots(),
        photos: ROWS.iter().map(photo).collect(),
        picture_notes: vec![
            note(16, PictureIssue::Burst, "1 s after picture 15 and nearly the same"),
            note(17, PictureIssue::Blurred, "sharpness 12 against a median of 140 in its shoot"),
            note(22, PictureIssue::Dark, "mean brightness 31 of 255: too dark to judge a surface"),
            note(34, PictureIssue::Copy, "a copy without camera facts: not the original, no date of its own"),
        ],
        parts: parts(),
        findings: findings(),
        pairs: pairs(),
        repairs: repairs(),
        observations: vec![],
        made: crate::assess::clue::Made::default(),
        claims: Vec::new(),
        missing_views: vec![
            missing("underside_whole", "Whole underside", Stage::Purchase),
            missing("label_mark", "Labels, stamps, pencil marks", Stage::Purchase),
            missing("back_whole", "Whole back", Stage::Sale),
        ],
        not_examined: unexamined.map(|(what, why)| Unexamined { what: what.to_owned(), why: why.to_owned() }).into(),
        cautions: vec![Caution {
            hazard: "tip_over".to_owned(),
            title: "It can tip over".to_owned(),
            lines: vec![
                "Fix it to the wall before use. Open drawers pull a chest forward, more so with a child on them.".to_owned(),
                "Straps are not fitted; whether it stands with all drawers open was not tested.".to_owned(),
            ],
        }],
        complaints: vec![Complaint {
            file: format!("{SECRET}.toml"),
            line: 3,
            column: 1,
            message: "unknown key".to_owned(),
            help: None,
            drawn: String::new(),
        }],
        gaps: Vec::new(),
    }
}

/// What the drawing needs of it.
pub(super) fn scene() -> Scene {
    let parts = PARTS.iter().map(|(part, label, face)| PartShape {
        part: part.parse().unwrap(),
        label: (*label).to_owned(),
        face: (*face).to_owned(),
    });
    let methods = [
        (
            "m_refinish",
            "Cleaned, revived and recoated",
            "The old coat was cleaned and softened, colour was touched in, and thin new coats laid over it",
        ),
        (
            "m_veneer_patch",
            "Veneer patch",
            "New veneer was cut to the missing place, glued in and coloured",
        ),
        (
            "m_fill",
            "Filled",
            "The gap was filled with coloured wax and levelled",
        ),
        (
            "m_split_close",
            "Split closed with glue",
            "Glue was worked in and the split drawn shut",
        ),
        ("m_pull", "New knob", "A knob of the same size was fitted"),
    ];
    let views = [
        ("front_whole", "Whole front, closed"),
        ("top_flat", "Top, from above"),
        ("top_raking", "Top, low side light"),
        ("three_quarter_left", "Corner view from front left"),
    ];
    Scene {
        parts: parts.collect(),
        size: piece().size,
        figure: "case".to_owned(),
        drawer_rows: vec![2, 1, 1, 1],
        stands_on: "leg".to_owned(),
        methods: methods
            .iter()
            .map(|it| (it.0.to_owned(), (it.1.to_owned(), it.2.to_owned())))
            .collect(),
        views: views
            .iter()
            .map(|it| (it.0.to_owned(), it.1.to_owned()))
            .collect(),
        trading_name: "The Shed".to_owned(),
        contact: "shed@example.org".to_owned(),
        examined_by: "the seller".to_owned(),
    }
}

/// A final page in one file.
pub(super) fn order(reader: Reader) -> Order {
    Order {
        reader,
        draft: false,
        edition: 2,
        made_on: "2026-05-26".parse().unwrap(),
        packing: Packing::OneFile,
    }
}
