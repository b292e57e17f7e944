//! The one place where the random records meet the program: the trade data, the assessment, the pages.

use std::collections::BTreeMap;

use asfound::assess::assess;
use asfound::assess::assessment::Assessment;
use asfound::assess::piece_record::PieceRecord;
use asfound::kit::clock::ClockOff;
use asfound::kit::digest::Digest;
use asfound::model::facts::Facts;
use asfound::model::facts::Format;
use asfound::model::finding::FindingKey;
use asfound::model::finding::NumberedFinding;
use asfound::model::ids::FindingNo;
use asfound::model::ids::StockNo;
use asfound::model::mark::Mark;
use asfound::model::mark::MarkState;
use asfound::model::mark::Sidecar;
use asfound::model::photo::Photo;
use asfound::model::photo::Shoot;
use asfound::model::piece::PartChoice;
use asfound::model::piece::Piece;
use asfound::model::region::Region;
use asfound::model::repair::Repair;
use asfound::model::settings::Settings;
use asfound::report;
use asfound::report::DrawingInput;
use asfound::report::Packing;
use asfound::report::Reader;
use asfound::report::ReportRequest;
use asfound::trade::book;
use asfound::trade::entry::kind::Face;
use asfound::trade::entry::repair::method::Cures;
use serde_json::Value;

use crate::oracle_record::Dice;
use crate::oracle_record::Part;
use crate::oracle_record::Record;
use crate::oracle_record::Say;
use crate::oracle_record::Trade;
use crate::oracle_record::View;
use crate::oracle_record::What;

/// What the program says of a record.
pub(crate) struct Answer {
    /// The parts: id, label, state, and the picture in which it was said to be sound.
    pub(crate) parts: Vec<PartAnswer>,
    pub(crate) findings: Vec<FindingAnswer>,
    /// What was not examined: which silence, and of what.
    pub(crate) silences: Vec<(String, String)>,
    pub(crate) pairs: Vec<PairAnswer>,
    /// How many views the record lacks, counted for each stage, and each once.
    pub(crate) views: [usize; 2],
    pub(crate) buyer: String,
    pub(crate) owner: String,
}

pub(crate) struct PartAnswer {
    pub(crate) id: String,
    pub(crate) label: String,
    pub(crate) state: String,
    pub(crate) sound_in: Option<u32>,
}

pub(crate) struct FindingAnswer {
    pub(crate) no: String,
    pub(crate) key: (String, String, String),
    pub(crate) state: String,
    pub(crate) origin_why: String,
}

/// Two pictures of a finding; a side has no mark when nothing in it is said to be the finding.
pub(crate) struct PairAnswer {
    pub(crate) no: String,
    /// Picture, and whether a mark in it shows the finding.
    pub(crate) sides: [(u32, bool); 2],
}

pub(crate) fn trade() -> Trade {
    let book = book();
    let id = |it: &String| it.clone();
    Trade {
        forms: book
            .forms
            .iter()
            .map(|it| {
                (
                    it.id.clone(),
                    it.choices().into_iter().map(str::to_owned).collect(),
                )
            })
            .collect(),
        views: book
            .views
            .iter()
            .map(|it| View {
                id: it.id.clone(),
                fixed: it.fixed,
                shows: it.shows.clone(),
                of_no_part: it.of_place || it.wrapped,
            })
            .collect(),
        tags: book.tags.iter().map(|it| id(&it.id)).collect(),
        cues: book.cues.iter().map(|it| id(&it.id)).collect(),
        methods: book
            .methods
            .iter()
            .filter(|it| it.cures == Cures::Cures)
            .map(|it| id(&it.id))
            .collect(),
    }
}

pub(crate) fn parts(form: &str, rows: &[u8], with: &[String]) -> Vec<Part> {
    let choice = PartChoice {
        drawer_rows: rows.to_vec(),
        with: with.to_vec(),
        never_had: Vec::new(),
    };
    let form = book().form(form).unwrap();
    let parts = book().parts(form, &choice).into_iter();
    parts
        .map(|it| Part {
            id: it.id.to_string(),
            label: it.label,
            kind: it.kind,
            face: match it.face {
                Face::Inside => "inside".to_owned(),
                face => format!("{face:?}"),
            },
        })
        .collect()
}

/// What the program says of a record, through its library.
pub(crate) fn ask(record: &Record) -> Answer {
    let it = assess(&case(record), book());
    let json = serde_json::to_value(&it).unwrap();
    let text = |it: &Value| it.as_str().unwrap_or_default().to_owned();
    let list = |name: &str| json[name].as_array().unwrap().clone();
    let parts = list("parts").into_iter().map(|it| PartAnswer {
        id: text(&it["part"]),
        label: text(&it["label"]),
        state: text(&it["state"]),
        sound_in: match it["state"] == "sound" {
            true => it["at"]["photo"].as_u64().map(|it| it as u32),
            false => None,
        },
    });
    let findings = list("findings").into_iter().map(|it| FindingAnswer {
        no: text(&it["id"]),
        key: (text(&it["part"]), text(&it["tag"]), text(&it["which"])),
        state: text(&it["state"]),
        origin_why: text(&it["origin_why"]),
    });
    let silences = list("not_examined").into_iter();
    let side = |it: &Value| {
        let photo = it["photo"].as_u64().unwrap() as u32;
        (photo, !it["mark"].is_null())
    };
    let of_findings = list("pairs").into_iter();
    let of_findings = of_findings.filter(|it| it["about"]["finding"].is_string());
    let pairs = of_findings.map(|it| PairAnswer {
        no: text(&it["about"]["finding"]),
        sides: [side(&it["before"]), side(&it["after"])],
    });
    let views = list("missing_views");
    let mut once: Vec<_> = views.iter().map(|it| text(&it["view"])).collect();
    once.sort();
    once.dedup();
    Answer {
        pairs: pairs.collect(),
        views: [views.len(), once.len()],
        parts: parts.collect(),
        findings: findings.collect(),
        silences: silences
            .map(|it| (text(&it["silence"]), text(&it["what"])))
            .collect(),
        buyer: page(&it, Reader::Buyer),
        owner: page(&it, Reader::Owner),
    }
}

fn page(it: &Assessment, reader: Reader) -> String {
    let order = ReportRequest {
        reader,
        draft: true,
        edition: None,
        made_on: "2026-12-01".parse().unwrap(),
        packing: Packing::OneFile,
        is_copy: false,
        since: None,
        seal: None,
        code: None,
        sale: None,
        fallen: Vec::new(),
        late: None,
    };
    report::page(it, &DrawingInput::default(), &order, &BTreeMap::new()).unwrap()
}

fn case(record: &Record) -> PieceRecord {
    let keys = record.keys();
    let number = |key| {
        let at = keys.iter().position(|it| it == key).unwrap();
        FindingNo(u32::try_from(at).unwrap() + 1)
    };
    let numbered = keys.iter().map(|key| NumberedFinding {
        no: number(key),
        key: FindingKey {
            part: key.0.parse().unwrap(),
            tag: key.1.clone(),
            which: key.2.clone(),
        },
    });
    let shoots = (1..).zip(&record.shoots).map(|(no, it)| Shoot {
        no,
        stage: it.stage.parse().unwrap(),
        day: it.day.parse().unwrap(),
        folder: format!("{no} {} {}", it.stage, it.day),
    });
    let repairs = (1..).zip(&record.repairs).map(|(no, it)| Repair {
        no,
        findings: it.keys.iter().map(number).collect(),
        parts: it.parts.iter().map(|it| it.parse().unwrap()).collect(),
        method: it.method.clone(),
        day: it.day.parse().unwrap(),
        new_material: it.new_material.clone(),
        hides: None,
        note: it.note.clone(),
        minutes: None,
        cost: None,
        private_note: it.private_note.clone(),
    });
    PieceRecord {
        piece: piece(record),
        lacks_told: Vec::new(),
        shoots: shoots.collect(),
        photos: photos(record),
        removed: Vec::new(),
        findings: numbered.collect(),
        repairs: repairs.collect(),
        complaints: Vec::new(),
        settings: Settings::usual("EUR".parse().unwrap()),
    }
}

fn piece(record: &Record) -> Piece {
    let taken_in = "2026-01-02T20:00:00Z".parse().unwrap();
    Piece {
        title: "invented piece".to_owned(),
        form: record.form.clone(),
        drawer_rows: record.rows.clone(),
        with: record.with.clone(),
        absent: record.absent.iter().map(|it| it.parse().unwrap()).collect(),
        ..Piece::blank(StockNo::new(2026, 1), taken_in)
    }
}

fn photos(record: &Record) -> Vec<Photo> {
    let all = record.photos().into_iter().map(|(shoot, no, it)| {
        let of = &record.shoots[shoot];
        let taken = format!("{}T{:02}:{:02}:00", of.day, 8 + no / 12, no % 12 * 5);
        let lists = it.says.iter().filter(|it| it.fits_a_list());
        let others = it.says.iter().filter(|it| !it.fits_a_list());
        Photo {
            no,
            shoot: u32::try_from(shoot).unwrap() + 1,
            moved: None,
            folder: String::new(),
            name: format!("IMG_{no}.jpg"),
            source_name: format!("IMG_{no}.jpg"),
            digest: Digest::of(&no.to_be_bytes()),
            bytes: 1,
            facts: facts(no, &taken),
            clock_off: ClockOff::default(),
            imported: format!("{}T20:00:00Z", of.day).parse().unwrap(),
            sidecar: Sidecar {
                view: it.view.clone(),
                parts: it.parts.iter().map(|it| it.parse().unwrap()).collect(),
                note: it.note.clone(),
                private_note: it.private_note.clone(),
                marks: lists.chain(others).map(mark).collect(),
                ..Sidecar::default()
            },
        }
    });
    all.collect()
}

fn mark(say: &Say) -> Mark {
    let (state, level) = match &say.what {
        What::Fault { state, level, .. } => (state.as_str(), *level),
        _ => ("present", None),
    };
    Mark {
        tag: Some(say.tag().to_owned()),
        part: Some(say.part.parse().unwrap()),
        which: say.which.clone(),
        finding: None,
        state: MarkState::from_word(state).unwrap(),
        level,
        size: say.size.clone(),
        note: say.note.clone(),
        region: say.boxed.then_some(Region::Box([20.0, 20.0, 10.0, 10.0])),
    }
}

/// A good picture, each unlike the others.
fn facts(no: u32, taken: &str) -> Facts {
    Facts {
        format: Format::Jpeg,
        width: 4000,
        height: 3000,
        orientation: None,
        camera_time: Some(taken.parse().unwrap()),
        camera: None,
        serial: None,
        place: None,
        focal_35mm: None,
        sharpness: 500.0,
        sharpness_width: 1600,
        brightness: 120.0,
        black_share: 0.0,
        look: Dice::new(no.into()).next(),
        greys: None,
        oddities: Vec::new(),
    }
}
