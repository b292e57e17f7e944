//! A chest of five drawers as the tests know it: bought with faults, repaired, sold, complained of. All invented.

mod findings;
mod marks;
mod photos;

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::assess::assessment::PictureIssue;
use crate::assess::assessment::PictureNote;
use crate::assess::claims::claimed::Claimed;
use crate::assess::faces::piece_shape::PartShape;
use crate::assess::faces::piece_shape::PieceShape;
use crate::assess::findings::counts::Counts;
use crate::assess::findings::extent::Extent;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding_counts::FindingCounts;
use crate::assess::findings::grouping;
use crate::assess::findings::hidden::hidden;
use crate::assess::gaps::lacks::Caution;
use crate::assess::gaps::lacks::MissingView;
use crate::assess::gaps::silence::Silence;
use crate::assess::gaps::silence::Unexamined;
use crate::assess::part_report::Evidence;
use crate::assess::part_report::Material;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::statements::statement::made;
use crate::model::complaint::Complaint;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::piece::Piece;
use crate::model::piece::Size;
use crate::report::DrawingInput;
use crate::report::Packing;
use crate::report::Reader;
use crate::report::ReportRequest;
use crate::report::fixture::findings::findings;
use crate::report::fixture::findings::pairs;
use crate::report::fixture::findings::repairs;
use crate::report::fixture::photos::ROWS;
use crate::report::fixture::photos::photo;
use crate::tongue::Saying;
use crate::tongue::Tongue;
use crate::trade;
use crate::trade::entry::form::Figure;
use crate::trade::entry::kind::Face;

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

const PARTS: [(&str, &str, Face); 20] = [
    ("top", "Top", Face::Top),
    ("case-side-left", "Left side", Face::Left),
    ("case-side-right", "Right side", Face::Right),
    ("back-panel", "Back panel", Face::Back),
    ("face-frame", "Front frame", Face::Front),
    ("drawer-1", "Drawer 1", Face::Front),
    ("drawer-2", "Drawer 2", Face::Front),
    ("drawer-3", "Drawer 3", Face::Front),
    ("drawer-4", "Drawer 4", Face::Front),
    ("drawer-5", "Drawer 5", Face::Front),
    ("case-runner-1", "Drawer 1, left runner", Face::Inside),
    ("case-runner-2", "Drawer 2, left runner", Face::Inside),
    ("case-runner-3", "Drawer 3, left runner", Face::Inside),
    ("leg-front-left", "Leg, front left", Face::Front),
    ("leg-front-right", "Leg, front right", Face::Front),
    ("leg-back-left", "Leg, back left", Face::Back),
    ("leg-back-right", "Leg, back right", Face::Back),
    ("lock-3", "Drawer 3, lock", Face::Front),
    ("key", "Key", Face::Inside),
    ("dust-panel-1", "Dust panel 1", Face::Inside),
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

fn parts() -> Vec<PartReport> {
    let findings = findings();
    let rows = PARTS.iter().map(|(part, label, _)| {
        let part: crate::model::ids::PartId = part.parse().unwrap();
        let mine = findings
            .iter()
            .filter(|it| it.part.whole() == part && it.state != FindingState::Withdrawn);
        let mine: Vec<_> = mine.collect();
        let state = match part.as_str() {
            "key" => PartState::Absent(made::missed(None)),
            "lock-3" => PartState::NotExamined(made::not_looked(18, Some("no key"))),
            "dust-panel-1" => PartState::Silent,
            _ if !mine.is_empty() => PartState::Faults,
            _ => PartState::Sound(made::sound(18, "2026-05-02".parse().unwrap())),
        };
        let veneered = part.as_str() == "top";
        PartReport {
            label: (*label).to_owned(),
            required: true,
            state,
            remarked: false,
            otherwise: None,
            said: Vec::new(),
            findings: mine.iter().map(|it| it.no).collect(),
            counts: FindingCounts::default(),
            photos: vec![1, 2, 3, 4, 5, 18, 21],
            material: Material {
                core: None,
                likely: None,
                settled: veneered.then(|| "veneer".to_owned()),
                possible: vec![],
                look: None,
                covered: false,
                woven: false,
                text: match veneered {
                    true => {
                        "Veneer on a core of other wood: the layer line shows at the broken corner"
                    }
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
        size_taken: None,
        form_before: None,
        set: None,
        drawer_rows: vec![2, 1, 1, 1],
        with: vec!["leg".to_owned()],
        absent: vec!["key".parse().unwrap()],
        never_had: Vec::new(),
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
        ("Drawer 3, lock", "no key", Silence::NotExamined),
        ("Bottom", "not turned over", Silence::NotExamined),
        ("Species of the wood", "no sample", Silence::NotTested),
        ("Lead in paint or finish", "no test", Silence::NotTested),
    ];
    let missing = |view: &str, label: &str, stage| MissingView {
        view: view.to_owned(),
        label: label.to_owned(),
        stage,
        taken_out: Vec::new(),
    };
    let mut it = Assessment {
        carry: Vec::new(),
        of_set: 1,
        lead_before: None,
        kinds: std::collections::BTreeMap::new(),
        piece: piece(),
        form_label: "Chest of drawers".to_owned(),
        hangs: false,
        never_had: Vec::new(),
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
        taken_out: Vec::new(),
        pairs: pairs(),
        repairs: repairs(),
        hidden: vec![],
        hold: None,
        observations: vec![],
        remarks: vec![],
        made: crate::assess::material::clue::Made::default(),
        claims: Vec::new(),
        missing_views: vec![
            missing("underside_whole", "Whole underside", Stage::Purchase),
            missing("label_mark", "Labels, stamps, pencil marks", Stage::Purchase),
            missing("back_whole", "Whole back", Stage::Sale),
        ],
        not_examined: unexamined.map(|(what, why, silence)| Unexamined { silence, what: what.to_owned(), why: why.to_owned(), tested: None, beyond: false, stage: None, finding: None }).into(),
        places: crate::assess::places::all_told::Places::default(),
        cautions: vec![Caution {
            tell: None,
            hazard: "tip_over".to_owned(),
            title: Saying::caution("It can tip over"),
            first: Some(Saying::caution("Fix it to the wall first")),
            shut: false,
            found: false,
            dust: String::new(),
            lines: [
                "Fix it to the wall before use. Open drawers pull a chest forward, more so with a child on them.",
                "Straps are not fitted; whether it stands with all drawers open was not tested.",
            ].map(Saying::caution).into(),
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
        unnamed: BTreeMap::new(),
        counts: Counts::default(),
    };
    settle(&mut it);
    it
}

/// Works out again what follows from the findings and repairs.
pub(super) fn settle(it: &mut Assessment) {
    for finding in &mut it.findings {
        let criterion = |_| finding.level_words.clone();
        finding.before = Extent::before(&finding.history, criterion);
        finding.remains = Extent::remains(&finding.history, criterion);
    }
    it.hidden = hidden(&it.findings, &it.repairs, trade::book());
    grouping::settle(&mut it.findings, &it.hidden);
    for part in &mut it.parts {
        let own = it.findings.iter();
        part.counts = FindingCounts::of(own.filter(|it| part.findings.contains(&it.no)));
    }
    it.counts = Counts::of(&it.findings, &it.parts, &it.not_examined, &it.missing_views);
}

/// What the drawing needs of it.
pub(super) fn scene() -> DrawingInput {
    let parts = PARTS.iter().map(|(part, label, face)| PartShape {
        part: part.parse().unwrap(),
        label: (*label).to_owned(),
        face: *face,
    });
    let methods = [
        "topcoat",
        "veneer_patch",
        "wax_fill",
        "split_close",
        "hardware_match",
    ];
    let methods = methods.map(|it| {
        (
            it.to_owned(),
            trade::book().method(it).unwrap().name.clone(),
        )
    });
    let views = [
        ("front_whole", "Whole front, closed"),
        ("top_flat", "Top, from above"),
        ("top_raking", "Top, low side light"),
        ("three_quarter_left", "Corner view from front left"),
    ];
    DrawingInput {
        tongue: Tongue::ENGLISH,
        shape: PieceShape {
            parts: parts.collect(),
            size: piece().size,
            figure: Figure::Case,
            drawer_rows: vec![2, 1, 1, 1],
            stands_on: "leg".to_owned(),
            ..PieceShape::default()
        },
        methods: methods.into(),
        views: views
            .iter()
            .map(|it| (it.0.to_owned(), it.1.to_owned()))
            .collect(),
        movement: vec!["Top: up to 3 mm across the grain between winter and summer.".to_owned()],
        trading_name: "The Shed".to_owned(),
        contact: "shed@example.org".to_owned(),
        address: "1 Example Street, Exampletown".to_owned(),
        phone: "+00 000 0000".to_owned(),
        logo: Vec::new(),
        country: None,
        examined_by: "the seller".to_owned(),
    }
}

/// Titles the piece with a word that claims something, and says what bears it, if anything does.
pub(super) fn claim_solid(it: &mut Assessment, rests_on: Option<&str>) {
    "solid oak chest".clone_into(&mut it.piece.title);
    it.claims = vec![Claimed {
        claim: "solid".to_owned(),
        word: "solid".to_owned(),
        text: it.piece.title.clone(),
        end: 5,
        place: "the title".to_owned(),
        told_by: "`asfound amend`".to_owned(),
        rests_on: rests_on.map(str::to_owned),
        lacks: String::new(),
        write: String::new(),
        why: String::new(),
    }];
}

/// A final page in one file.
pub(super) fn order(reader: Reader) -> ReportRequest {
    ReportRequest {
        reader,
        draft: false,
        edition: Some(2),
        made_on: "2026-05-26".parse().unwrap(),
        packing: Packing::OneFile,
        is_copy: false,
        since: None,
        seal: None,
        code: None,
        sale: None,
        fallen: Vec::new(),
        late: None,
    }
}
