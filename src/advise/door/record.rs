//! What was tapped, as a record that can be judged like any other: one photo of the doorstep with its marks.

use std::collections::BTreeMap;

use crate::assess::piece_record::PieceRecord;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::facts::Facts;
use crate::model::facts::Format;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::mark::Sidecar;
use crate::model::market::Market;
use crate::model::market::MeantFor;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::piece::PartChoice;
use crate::model::piece::Piece;
use crate::model::settings::Settings;
use crate::trade::TradeBook;
use crate::trade::entry::door::Tap;
use crate::trade::entry::door::TapAnswer;
use crate::trade::entry::door::TapMark;
use crate::trade::entry::form::FormPart;

/// What such a mark says where a tap does not tell one of several parts from the others.
const APART: &str = "tapped at the door; which of them was not said";

/// The word for a part that was looked at for faults, and none found.
const SOUND: &str = "sound";

/// What was tapped of a piece: its form, its drawers, and an answer for each tap that got one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Walk {
    /// The form.
    pub form: String,
    /// Drawers in each row from the top; empty for the form's usual ones.
    pub drawer_rows: Vec<u8>,
    /// The answer of each tap, by id.
    pub taps: BTreeMap<String, String>,
}

impl Walk {
    /// The answers that the book knows, with their taps, in walking order.
    fn answers<'a>(
        &'a self,
        book: &'a TradeBook,
    ) -> impl Iterator<Item = (&'a Tap, &'a TapAnswer)> {
        book.taps.iter().filter_map(|tap| {
            let answer = tap.answer(self.taps.get(&tap.id)?)?;
            Some((tap, answer))
        })
    }

    /// Optional kinds of parts that the answers speak of, so that the piece has them.
    #[must_use]
    pub fn with(&self, book: &TradeBook) -> Vec<String> {
        let Some(form) = book.form(&self.form) else {
            return Vec::new();
        };
        let named = self.answers(book).filter_map(|(tap, answer)| {
            let mut kinds = tap.kinds(answer).iter();
            let kind = kinds.find(|kind| form.parts.iter().any(|it| it.kind == **kind))?;
            let optional = form.parts.iter().any(|it| it.kind == *kind && it.optional);
            (optional && records(answer)).then(|| kind.clone())
        });
        let mut with: Vec<String> = named.collect();
        with.sort();
        with.dedup();
        with
    }

    /// For whom it is meant, if that was tapped.
    #[must_use]
    pub fn meant_for(&self, book: &TradeBook) -> Option<MeantFor> {
        let child = self.answers(book).any(|it| it.1.child);
        child.then_some(MeantFor::Child)
    }

    /// The parts of the piece, as far as taps tell.
    pub(in crate::advise) fn parts(&self, book: &TradeBook) -> Vec<FormPart> {
        let choice = PartChoice {
            drawer_rows: self.drawer_rows.clone(),
            with: self.with(book),
        };
        book.parts_of(&self.form, &choice)
    }

    /// The marks that the answers make. A part with a fault is not sound, whatever another answer says of it.
    #[must_use]
    pub fn marks(&self, book: &TradeBook) -> Vec<Mark> {
        let parts = self.parts(book);
        let mut marks: Vec<Mark> = Vec::new();
        for (tap, answer) in self.answers(book) {
            marks.extend(of_answer(tap, answer, &parts));
        }
        let is_fault = |it: &Mark| it.tag.as_deref().is_some_and(|it| book.tag(it).is_some());
        let faulty: Vec<Option<PartId>> = marks
            .iter()
            .filter(|it| is_fault(it))
            .map(|it| it.part.clone())
            .collect();
        marks.retain(|it| it.tag.as_deref() != Some(SOUND) || !faulty.contains(&it.part));
        marks
    }

    /// The piece as it would be taken in.
    fn piece(&self, now: Moment, book: &TradeBook) -> Piece {
        Piece {
            stock_no: StockNo::new(2000, 1),
            title: "at the door".to_owned(),
            form: self.form.clone(),
            size: None,
            drawer_rows: self.drawer_rows.clone(),
            with: self.with(book),
            absent: Vec::new(),
            about: None,
            examined_by: None,
            weight: None,
            bought_for: None,
            bought_on: None,
            asking: None,
            private_note: None,
            market: Market {
                meant_for: self.meant_for(book),
                ..Market::default()
            },
            folder: String::new(),
            taken_in: now,
        }
    }

    /// The record that these taps make.
    #[must_use]
    pub fn record(
        &self,
        market: Market,
        settings: &Settings,
        now: Moment,
        book: &TradeBook,
    ) -> PieceRecord {
        let mut piece = self.piece(now, book);
        piece.market = Market {
            meant_for: piece.market.meant_for,
            ..market
        };
        let sidecar = Sidecar {
            marks: self.marks(book),
            ..Sidecar::default()
        };
        PieceRecord {
            piece,
            shoots: vec![Shoot {
                no: 1,
                stage: Stage::Doorstep,
                day: now.local_day(),
                folder: String::new(),
            }],
            photos: vec![photo(sidecar, now)],
            findings: Vec::new(),
            repairs: Vec::new(),
            complaints: Vec::new(),
            settings: settings.clone(),
        }
    }
}

/// Whether an answer says anything of its part.
fn records(it: &TapAnswer) -> bool {
    it.sound || !it.marks.is_empty()
}

/// The marks of one answer, on the first kind of part that is there.
fn of_answer(tap: &Tap, answer: &TapAnswer, parts: &[FormPart]) -> Vec<Mark> {
    let mut kinds = tap.kinds(answer).iter();
    let Some(kind) = kinds.find(|kind| parts.iter().any(|it| it.kind == **kind)) else {
        return Vec::new();
    };
    let alike: Vec<&FormPart> = parts.iter().filter(|it| it.kind == *kind).collect();
    let told = if answer.every { alike.len() } else { 1 };
    let note = (tap.apart && alike.len() > told).then(|| APART.to_owned());
    let mut marks = Vec::new();
    for part in &alike[..told] {
        marks.extend(answer.marks.iter().map(|it| Mark {
            note: note.clone(),
            ..marked(it, part)
        }));
        if answer.sound {
            marks.push(plain(SOUND, part));
        }
    }
    if answer.inside {
        let bottoms = parts.iter().filter(|it| it.kind == "drawer_bottom");
        marks.extend(bottoms.map(|it| plain(SOUND, it)));
    }
    marks
}

fn marked(it: &TapMark, part: &FormPart) -> Mark {
    Mark {
        level: it.level,
        state: match it.gone {
            true => MarkState::Gone,
            false => MarkState::Present,
        },
        ..plain(&it.tag, part)
    }
}

fn plain(tag: &str, part: &FormPart) -> Mark {
    Mark {
        tag: Some(tag.to_owned()),
        part: Some(part.id.clone()),
        which: None,
        finding: None,
        state: MarkState::Present,
        level: None,
        size: None,
        note: None,
        region: None,
    }
}

/// A photo that stands for the walk: nothing is known of it but what is written beside it.
fn photo(sidecar: Sidecar, now: Moment) -> Photo {
    Photo {
        no: 1,
        shoot: 1,
        name: "doorstep.jpg".to_owned(),
        source_name: "doorstep.jpg".to_owned(),
        digest: Digest::of(b"doorstep"),
        bytes: 1,
        facts: Facts {
            format: Format::Jpeg,
            width: 4000,
            height: 3000,
            orientation: None,
            camera_time: None,
            camera: None,
            serial: None,
            place: None,
            focal_35mm: None,
            sharpness: 150.0,
            sharpness_width: 1024,
            brightness: 128.0,
            black_share: 0.0,
            look: 0,
            oddities: Vec::new(),
        },
        clock_off: ClockOff::default(),
        imported: now,
        sidecar,
    }
}
