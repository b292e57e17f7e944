//! Builds cases in a few words.

use crate::assess::assess;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::new_keys;
use crate::assess::part_report::PartReport;
use crate::assess::piece_record::PieceRecord;
use crate::kit::clock::ClockOff;
use crate::kit::digest::Digest;
use crate::kit::money::Currency;
use crate::model::facts::Facts;
use crate::model::finding::NumberedFinding;
use crate::model::ids::FindingNo;
use crate::model::ids::StockNo;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::mark::Sidecar;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::piece::Piece;
use crate::model::region::Region;
use crate::model::repair::Repair;
use crate::model::settings::Settings;
use crate::trade;

/// A case under construction.
#[derive(Clone, Debug)]
pub(crate) struct Build {
    pub(crate) case: PieceRecord,
}

impl Build {
    /// A chest of five drawers, two over three, on feet, without any photo.
    pub(crate) fn chest() -> Self {
        let taken_in = "2026-03-14T20:00:00Z".parse().unwrap();
        let piece = Piece {
            title: "invented chest".to_owned(),
            form: "chest_of_drawers".to_owned(),
            drawer_rows: vec![2, 1, 1, 1],
            ..Piece::blank(StockNo::new(2026, 1), taken_in)
        };
        let settings = Settings::usual("EUR".parse::<Currency>().unwrap());
        Self {
            case: PieceRecord {
                piece,
                lacks_told: Vec::new(),
                shoots: Vec::new(),
                photos: Vec::new(),
                removed: Vec::new(),
                findings: Vec::new(),
                repairs: Vec::new(),
                complaints: Vec::new(),
                settings,
            },
        }
    }

    /// The next shoot.
    pub(crate) fn shoot(mut self, stage: Stage, day: &str) -> Self {
        let no = u32::try_from(self.case.shoots.len()).unwrap() + 1;
        self.case.shoots.push(Shoot {
            no,
            stage,
            day: day.parse().unwrap(),
            folder: format!("{no} {stage} {day}"),
        });
        self
    }

    /// The next photo of the newest shoot; an empty `view` is none.
    pub(crate) fn photo(mut self, view: &str, parts: &[&str], marks: Vec<Mark>) -> Self {
        let no = u32::try_from(self.case.photos.len()).unwrap() + 1;
        let shoot = self.case.shoots.last().unwrap();
        let sidecar = Sidecar {
            view: (!view.is_empty()).then(|| view.to_owned()),
            parts: parts.iter().map(|it| it.parse().unwrap()).collect(),
            marks,
            ..Sidecar::default()
        };
        let time = format!("{}T10:{:02}:00", shoot.day, no % 60);
        let photo = Photo {
            no,
            shoot: shoot.no,
            moved: None,
            folder: shoot.folder.clone(),
            name: format!("P{no}.jpg"),
            source_name: format!("P{no}.jpg"),
            digest: Digest::of(&no.to_be_bytes()),
            bytes: 1,
            facts: facts(no, Some(&time)),
            clock_off: ClockOff::default(),
            imported: "2026-12-31T00:00:00Z".parse().unwrap(),
            sidecar,
        };
        self.case.photos.push(photo);
        self
    }

    /// Changes the newest photo.
    pub(crate) fn but(mut self, change: impl FnOnce(&mut Photo)) -> Self {
        change(self.case.photos.last_mut().unwrap());
        self
    }

    /// A repair of these findings.
    pub(crate) fn repair(mut self, day: &str, findings: &[u32]) -> Self {
        let no = u32::try_from(self.case.repairs.len()).unwrap() + 1;
        self.case.repairs.push(Repair {
            no,
            findings: findings.iter().map(|it| FindingNo(*it)).collect(),
            parts: Vec::new(),
            method: "touch_up".to_owned(),
            day: day.parse().unwrap(),
            new_material: None,
            hides: None,
            note: None,
            minutes: None,
            cost: None,
            private_note: None,
        });
        self
    }

    /// Numbers what has no number, as the record does.
    pub(crate) fn number(&mut self) {
        let start = u32::try_from(self.case.findings.len()).unwrap() + 1;
        let keys = new_keys(&self.case, trade::book());
        let numbered = (start..).zip(keys);
        let numbered = numbered.map(|(no, key)| NumberedFinding {
            no: FindingNo(no),
            key,
        });
        self.case.findings.extend(numbered);
    }

    /// Numbers the findings and judges the case.
    pub(crate) fn assess(&self) -> Assessment {
        let mut copy = self.clone();
        copy.number();
        assess(&copy.case, trade::book())
    }

    /// The finding of this number.
    pub(crate) fn finding(&self, no: u32) -> Finding {
        let findings = self.assess().findings;
        let found = findings.into_iter().find(|it| it.no == FindingNo(no));
        found.unwrap()
    }

    /// The report of this part.
    pub(crate) fn part(&self, id: &str) -> PartReport {
        let parts = self.assess().parts;
        let found = parts.into_iter().find(|it| it.part.as_str() == id);
        found.unwrap()
    }
}

/// Facts of a good photo whose look is far from that of every other number.
pub(crate) fn facts(no: u32, time: Option<&str>) -> Facts {
    Facts {
        orientation: Some(1),
        camera_time: time.map(|it| it.parse().unwrap()),
        camera: Some("Kestrel K2".to_owned()),
        look: u64::from(no).wrapping_mul(0x9E37_79B9_7F4A_7C15),
        ..Facts::of_no_picture()
    }
}

/// A mark: the fault is there.
pub(crate) fn mark(tag: &str, part: &str) -> Mark {
    Mark {
        tag: Some(tag.to_owned()),
        part: Some(part.parse().unwrap()),
        which: None,
        finding: None,
        state: MarkState::Present,
        level: None,
        size: None,
        note: None,
        region: None,
    }
}

/// A mark that names its finding only.
pub(crate) fn of(finding: u32) -> Mark {
    Mark {
        tag: None,
        part: None,
        finding: Some(FindingNo(finding)),
        ..mark("x", "x")
    }
}

/// More words of a mark.
pub(crate) trait Words {
    fn says(self, state: &str) -> Mark;
    fn level(self, level: u8) -> Mark;
    fn size(self, size: &str) -> Mark;
    fn note(self, note: &str) -> Mark;
    fn which(self, which: &str) -> Mark;
    fn within(self, region: [f64; 4]) -> Mark;
}

impl Words for Mark {
    fn says(self, state: &str) -> Mark {
        let state = MarkState::from_word(state).unwrap();
        Mark { state, ..self }
    }

    fn level(self, level: u8) -> Mark {
        let level = Some(level);
        Mark { level, ..self }
    }

    fn size(self, size: &str) -> Mark {
        let size = Some(size.to_owned());
        Mark { size, ..self }
    }

    fn note(self, note: &str) -> Mark {
        let note = Some(note.to_owned());
        Mark { note, ..self }
    }

    fn which(self, which: &str) -> Mark {
        let which = Some(which.to_owned());
        Mark { which, ..self }
    }

    fn within(self, region: [f64; 4]) -> Mark {
        let region = Some(Region::Box(region));
        Mark { region, ..self }
    }
}
