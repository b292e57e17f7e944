//! Every table written and read back, what is refused, and that a change is made whole or not at all. The books lie in memory.

mod ledger;
mod rows;

use std::path::Path;

use crate::evidence::ledger::line::LedgerLine;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::complaint::Complaint;
use crate::model::facts::Facts;
use crate::model::facts::Format;
use crate::model::facts::Greys;
use crate::model::ids::StockNo;
use crate::model::mark::Sidecar;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::piece::Piece;
use crate::record::NewPhoto;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::SourceFile;
use crate::record::Text;

fn now() -> Moment {
    "2026-05-03T10:02:11Z".parse().unwrap()
}

fn no() -> StockNo {
    "26-001".parse().unwrap()
}

fn piece() -> Piece {
    Piece {
        title: "chest of drawers".to_owned(),
        form: "chest_of_drawers".to_owned(),
        drawer_rows: vec![2, 1],
        with: vec!["leg".to_owned()],
        weight: Some("about 48 kg".to_owned()),
        bought_for: Some(
            "EUR"
                .parse::<crate::kit::money::Currency>()
                .unwrap()
                .amount("85")
                .unwrap(),
        ),
        private_note: Some("from a clearance".to_owned()),
        folder: "26-001 chest".to_owned(),
        ..Piece::blank(no(), now())
    }
}

fn facts() -> Facts {
    Facts {
        format: Format::Jpeg,
        width: 4000,
        height: 3000,
        orientation: Some(6),
        camera_time: None,
        camera: None,
        serial: Some("0042".to_owned()),
        place: None,
        focal_35mm: None,
        sharpness: 0.5,
        sharpness_width: 1600,
        brightness: 120.0,
        black_share: 0.0,
        look: u64::MAX,
        greys: Some(Greys(std::array::from_fn(|it| it as u8))),
        oddities: Vec::new(),
    }
}

fn text<'a>(text: &'a str, read: Result<&'a Sidecar, &'a [Complaint]>) -> Text<'a> {
    Text {
        text,
        read,
        entered: now(),
        modified_ns: 7,
        bytes: text.len() as u64,
    }
}

/// A book in memory with one piece and one shoot.
fn book() -> Record {
    let mut book = Record::make(Path::new(":memory:"), now()).unwrap();
    book.add_piece(&piece()).unwrap();
    book.add_shoot(&no(), &shoot()).unwrap();
    book
}

fn shoot() -> Shoot {
    Shoot {
        no: 1,
        stage: Stage::Purchase,
        day: "2026-05-03".parse().unwrap(),
        folder: "1 purchase 2026-05-03".to_owned(),
    }
}

/// Adds a photo with this text as its bytes, in this shoot.
fn add_photo(book: &mut Record, bytes: &str, in_shoot: u32) -> Result<u32, RecordError> {
    let source = SourceFile {
        path: bytes.as_bytes().to_vec(),
        bytes: 9,
        modified_ns: 8,
    };
    let sidecar = Sidecar {
        view: Some("top_flat".to_owned()),
        ..Sidecar::default()
    };
    book.add_photo(
        &no(),
        &NewPhoto {
            shoot: in_shoot,
            name: &format!("{bytes}.jpg"),
            source_name: "IMG_1.JPG",
            digest: Digest::of(bytes.as_bytes()),
            bytes: 9,
            facts: &facts(),
            clock_off: ClockOff { seconds: -3600 },
            imported: now(),
            sidecar: text("view = \"top_flat\"\n", Ok(&sidecar)),
            source: &source,
        },
    )
}

/// The kinds of the lines of the ledger, in order.
fn kinds(book: &Record) -> Vec<String> {
    let lines = book.lines().unwrap();
    let lines = lines.iter().map(|it| LedgerLine::read(&it.text).unwrap());
    lines.map(|it| it.what).collect()
}

/// Whether the database itself refused.
fn is_refused<T>(done: Result<T, RecordError>) -> bool {
    matches!(done, Err(RecordError::Database { .. }))
}
