//! The table of a form: the estimate asked for single answers, for pairs, and for as many more as bear on each other.

use crate::advise::doorstep::counts;
use crate::advise::doorstep::rows::Answers;
use crate::advise::doorstep::rows::Row;
use crate::advise::doorstep::rows::said;
use crate::advise::doorstep::table::Counts;
use crate::advise::doorstep::table::Given;
use crate::advise::doorstep::table::Making;
use crate::advise::doorstep::table::Table;
use crate::advise::doorstep::table::TooTangled;
use crate::assess;
use crate::assess::assessment::Assessment;
use crate::assess::piece_record::PieceRecord;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::kit::digest::Digest;
use crate::model::facts::Facts;
use crate::model::finding::NumberedFinding;
use crate::model::ids::FindingNo;
use crate::model::mark::Sidecar;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::piece::Piece;
use crate::model::settings::Settings;
use crate::trade::TradeBook;

/// So many sets of answers by chance have to come out right, one after the other, before a table is good.
const RIGHT_AT_A_STRETCH: usize = 800;

/// So many sets of answers, or fewer, are all tried.
const FEW_SETS: usize = 4_000;

/// So many of them are asked for at once.
const AT_ONCE: usize = 50;

/// A piece at the door of which nothing was answered yet.
pub struct AtTheDoor<'a> {
    /// The piece: form, size, drawers, parts; nothing told of its market.
    pub piece: Piece,
    /// The user's settings.
    pub settings: &'a Settings,
    /// The trade book.
    pub book: &'a TradeBook,
    /// What is tried.
    pub rows: Vec<Row<'a>>,
    /// The day.
    pub day: Day,
}

impl AtTheDoor<'_> {
    /// How many things can be answered.
    #[must_use]
    pub fn questions(&self) -> usize {
        self.rows.len()
    }

    /// How many answers a question has.
    #[must_use]
    pub fn choices(&self, question: usize) -> usize {
        self.rows.get(question).map_or(1, |it| it.tap.choices.len())
    }

    /// The record that a set of answers makes.
    #[must_use]
    pub fn record(&self, answers: &[Option<usize>]) -> PieceRecord {
        let photo = Photo {
            no: 1,
            shoot: 1,
            moved: None,
            folder: "1".to_owned(),
            name: "1.jpg".to_owned(),
            source_name: "1.jpg".to_owned(),
            digest: Digest::of(b"at the door"),
            bytes: 1,
            facts: Facts::of_no_picture(),
            clock_off: ClockOff::default(),
            imported: self.piece.taken_in,
            sidecar: Sidecar {
                marks: said(&self.rows, answers),
                ..Sidecar::default()
            },
        };
        let mut case = PieceRecord {
            piece: self.piece.clone(),
            lacks_told: Vec::new(),
            shoots: vec![Shoot {
                no: 1,
                stage: Stage::Doorstep,
                day: self.day,
                folder: "1".to_owned(),
            }],
            photos: vec![photo],
            removed: Vec::new(),
            findings: Vec::new(),
            repairs: Vec::new(),
            complaints: Vec::new(),
            settings: self.settings.clone(),
        };
        let keys = assess::new_keys(&case, self.book);
        let numbered = (1..).zip(keys);
        case.findings = numbered
            .map(|(no, key)| NumberedFinding {
                no: FindingNo(no),
                key,
            })
            .collect();
        case
    }

    /// What that record means.
    #[must_use]
    pub fn assessed(&self, answers: &[Option<usize>]) -> Assessment {
        assess::assess(&self.record(answers), self.book)
    }

    /// The counts of a set of answers, by the rules themselves.
    #[must_use]
    pub fn counts(&self, answers: &[Option<usize>]) -> Counts {
        let it = self.assessed(answers);
        counts::counts(&it, self.settings, self.book)
    }

    /// The table.
    ///
    /// # Errors
    /// When the answers bear on each other in too many ways.
    pub fn table(&self) -> Result<Table, TooTangled> {
        let questions = self.questions();
        let mut making = Making::new(questions, |it: &Answers| self.counts(it));
        making.learn(&[])?;
        let all: Vec<Given> = (0..questions)
            .flat_map(|row| (0..self.choices(row)).map(move |choice| (number(row), number(choice))))
            .collect();
        let singles = all.iter().map(|it| vec![*it]);
        let pairs = all.iter().enumerate().flat_map(|(n, one)| {
            let others = all[n + 1..].iter().filter(|it| it.0 != one.0);
            others.map(|other| vec![*one, *other])
        });
        let few: Vec<Vec<Given>> = singles.chain(pairs).collect();
        making.ask_for(&few);
        for given in &few {
            making.learn(given)?;
        }
        // Three of which two pairs bear on each other; by chance few of them would come up alone.
        let linked = making.linked();
        making.ask_for(&linked);
        for given in &linked {
            making.learn(given)?;
        }
        // Where there are few sets in all, each is tried.
        let every = self.every();
        making.ask_for(&every);
        for given in &every {
            making.learn(given)?;
        }
        if !every.is_empty() {
            return Ok(making.done());
        }
        let (mut dice, mut right) = (Dice(0x9E37_79B9_7F4A_7C15), 0);
        while right < RIGHT_AT_A_STRETCH {
            let sets: Vec<Vec<Given>> = (0..AT_ONCE).map(|_| self.by_chance(&mut dice)).collect();
            making.ask_for(&sets);
            for given in &sets {
                let before = making.terms();
                making.learn(given)?;
                right = if making.terms() == before {
                    right + 1
                } else {
                    0
                };
            }
        }
        Ok(making.done())
    }
}

impl AtTheDoor<'_> {
    /// Every set of answers, the small ones first; none where they are too many.
    fn every(&self) -> Vec<Vec<Given>> {
        let mut all: Vec<Vec<Given>> = vec![Vec::new()];
        for row in 0..self.questions() {
            let without = all.clone();
            for choice in 0..self.choices(row) {
                all.extend(
                    without
                        .iter()
                        .map(|it| [&it[..], &[(number(row), number(choice))]].concat()),
                );
            }
            if all.len() > FEW_SETS {
                return Vec::new();
            }
        }
        all.sort_by_key(Vec::len);
        all
    }

    /// A set of answers by chance: few of them, which nothing else hides, or nearly all, which tries the most of what few mean together.
    fn by_chance(&self, dice: &mut Dice) -> Vec<Given> {
        let all = self.questions();
        let many = [3, 4, 5, 6, all / 2, all - all.min(1), all, all][dice.below(8)].min(all);
        let mut left = many;
        let given = (0..all).filter_map(|row| {
            let choice = dice.below(self.choices(row));
            let taken = dice.below(all - row) < left;
            left -= usize::from(taken);
            taken.then(|| (number(row), number(choice)))
        });
        given.collect()
    }
}

fn number(it: usize) -> u16 {
    u16::try_from(it).unwrap_or(u16::MAX)
}

/// Numbers by chance, the same each time (xorshift64*).
pub struct Dice(pub u64);

impl Dice {
    /// A number below this one.
    pub fn below(&mut self, many: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let high = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33;
        usize::try_from(high).unwrap_or(0) % many.max(1)
    }
}

#[cfg(test)]
mod tests {
    use crate::advise::doorstep::rows::rows;
    use crate::advise::doorstep::table::plain;
    use crate::advise::doorstep::tabulate::AtTheDoor;
    use crate::advise::doorstep::tabulate::Dice;
    use crate::kit::money::Currency;
    use crate::model::ids::StockNo;
    use crate::model::piece::Piece;
    use crate::model::settings::Settings;
    use crate::trade;

    /// Whatever is answered, the counts of the table are those that the rules give.
    #[test]
    fn a_table_tells_what_the_rules_tell() {
        let book = trade::book();
        let taken_in = "2026-03-14T20:00:00Z".parse().unwrap();
        let piece = Piece {
            form: "mirror".to_owned(),
            ..Piece::blank(StockNo::new(2026, 1), taken_in)
        };
        let parts = book.parts_of(&piece.form, &piece.choice());
        let settings = Settings::usual("EUR".parse::<Currency>().unwrap());
        let door = AtTheDoor {
            rows: rows(&parts, book),
            piece,
            settings: &settings,
            book,
            day: "2026-03-14".parse().unwrap(),
        };
        let table = door.table().unwrap();
        assert!(
            table.terms.iter().any(|it| it.0.len() > 1),
            "some answers bear on each other"
        );
        let mut dice = Dice(7);
        for _ in 0..60 {
            let answers: Vec<Option<usize>> = (0..door.questions())
                .map(|row| dice.below(door.choices(row) + 1).checked_sub(1))
                .collect();
            assert_eq!(
                table.counts(&answers),
                plain(door.counts(&answers)),
                "{answers:?}"
            );
        }
    }
}
