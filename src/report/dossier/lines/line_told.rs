//! What lines tell of words, shoots, papers and sales, each with its line; and when what was told entered the book.

use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::model::photo::Stage;
use crate::model::piece::told::FactTold;
use crate::model::piece::told::Lack;
use crate::model::piece::told::LackTold;
use crate::report::dossier::lines::left::SinceLeft;
use crate::report::page::words;

/// The line by which something that was told entered the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct InBook {
    /// Its line.
    pub line: u64,
    /// The day.
    pub day: Day,
    /// The first seal that covers the line.
    pub seal: Option<u32>,
    /// How it shows that the piece had left before it; `None` where it had not, or where the words are of that time themselves.
    pub after: Option<SinceLeft>,
}

/// That parts were told to be lacking, or to be so no more, of the piece and beside no picture; by which line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LackEntered {
    /// What was told.
    pub told: LackTold,
    /// Its line.
    pub entered: InBook,
}

impl LackEntered {
    /// `not there: Left door; Drawer 2, lock`, of these parts by label; empty without one.
    pub(in crate::report) fn clause(&self, label: impl Fn(&PartId) -> Option<String>) -> String {
        let it = &self.told;
        let (word, no_more) = match it.lack {
            Lack::Absent => ("not there", "no more told as not there"),
            Lack::NeverHad => ("never had", "no more told as never had"),
        };
        let named = |word: &str, parts: &[PartId]| {
            let labels: Vec<String> = parts.iter().filter_map(&label).collect();
            (!labels.is_empty()).then(|| format!("{word}: {}", labels.join("; ")))
        };
        let all = [named(word, &it.told), named(no_more, &it.no_more)];
        all.into_iter().flatten().collect::<Vec<_>>().join("; ")
    }
}

/// That something was told otherwise of the piece than before; by which line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FactEntered {
    /// What was told.
    pub told: FactTold,
    /// Its line.
    pub entered: InBook,
}

impl FactEntered {
    /// `title “oak stool”, until then “stool with three rails”`.
    pub(in crate::report) fn clause(&self) -> String {
        let it = &self.told;
        let word = it.fact.word();
        match (&it.was, &it.is) {
            (Some(was), Some(is)) => format!("{word} “{is}”, until then “{was}”"),
            (Some(was), None) => format!("{word} taken back, until then “{was}”"),
            (None, Some(is)) => format!("{word} “{is}”, not told until then"),
            (None, None) => word.to_owned(),
        }
    }
}

/// When the words beside a picture entered the book; `None` where no line has them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WordsInBook {
    /// Each mark of the text in force, in its order.
    pub marks: Vec<Option<InBook>>,
    /// The note of each of them; `None` of one without.
    pub mark_notes: Vec<Option<InBook>>,
    /// Its note.
    pub note: Option<InBook>,
    /// Its view.
    pub view: Option<InBook>,
}

impl WordsInBook {
    /// All of them.
    pub fn all(&self) -> impl Iterator<Item = &InBook> {
        let marks = self.marks.iter().chain(&self.mark_notes);
        marks.chain([&self.note, &self.view]).flatten()
    }
}

impl InBook {
    /// `14 April 2026 (line 65, seal 4), after the pictures of the delivery came in (13 April 2026, line 40)`.
    pub(in crate::report) fn words(&self) -> String {
        let after = self.after.map(|it| format!(", {}", it.told()));
        format!("{}{}", self.place(), after.unwrap_or_default())
    }

    /// `14 April 2026 (line 65, seal 4)`.
    fn place(&self) -> String {
        let seal = self
            .seal
            .map_or_else(|| "no seal".to_owned(), |it| format!("seal {it}"));
        format!("{} (line {}, {seal})", self.day.spoken(), self.line)
    }
}

/// That what was told of a shoot was put right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShootChanged {
    /// The shoot's number.
    pub no: u32,
    /// The occasion and the first day as told before.
    pub was: (Stage, Day),
    /// The same as told then.
    pub is: (Stage, Day),
    /// The day on which that was told.
    pub on: Day,
    /// The line that tells it.
    pub line: u64,
}

impl ShootChanged {
    /// In one clause.
    pub(in crate::report) fn clause(&self) -> String {
        let ((stage, day), (now, day_now)) = (self.was, self.is);
        let mut told = Vec::new();
        if stage != now {
            told.push(format!("occasion {now}, told before as {stage}"));
        }
        if day != day_now {
            let (day, day_now) = (day.spoken(), day_now.spoken());
            told.push(format!("first day {day_now}, told before as {day}"));
        }
        format!("Shoot {} put right: {}", self.no, told.join("; "))
    }
}

/// That photos were put into another shoot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhotosMoved {
    /// Their numbers.
    pub photos: Vec<u32>,
    /// The shoot that they were of before, with its occasion then; `None` of photos whose line is not here.
    pub was: Option<(u32, Option<Stage>)>,
    /// The shoot that they are of from then on.
    pub is: (u32, Option<Stage>),
    /// The day on which that was told.
    pub on: Day,
    /// The last line that tells it.
    pub line: u64,
}

impl PhotosMoved {
    /// In one clause.
    pub(in crate::report) fn clause(&self) -> String {
        let named = |(no, stage): (u32, Option<Stage>)| {
            let stage = stage.map_or_else(String::new, |it| format!(" ({it})"));
            format!("shoot {no}{stage}")
        };
        let before = self.was.map(named);
        let before = before.map_or_else(String::new, |it| format!(", told before as of {it}"));
        let (photos, is) = (words::pictures(&self.photos), named(self.is));
        format!("{photos} put right: of {is}{before}")
    }
}

/// That the piece was withdrawn, or brought back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Withdrawal {
    /// Why it was withdrawn, in the owner's words; `None` where it was brought back.
    pub why: Option<String>,
    /// The day.
    pub on: Day,
    /// The line that tells it.
    pub line: u64,
}

impl Withdrawal {
    /// In one clause.
    pub(in crate::report) fn clause(&self) -> String {
        match &self.why {
            Some(why) => format!("Withdrawn from stock: “{why}”"),
            None => "Brought back into stock".to_owned(),
        }
    }
}

/// That a paper or a message was put by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperKept {
    /// Name of its file.
    pub name: String,
    /// Its SHA-256, 64 hex digits.
    pub sha256: String,
    /// Where it lies in the dossier; `None` when it is not enclosed.
    pub place: Option<String>,
    /// The first seal that covers its line.
    pub seal: Option<u32>,
    /// The day.
    pub on: Day,
    /// The line that tells it.
    pub line: u64,
}

/// That a sale was taken back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TakenBack {
    /// The day, as the owner told it.
    pub on: Day,
    /// When it entered the book.
    pub entered: InBook,
}

/// A day that was told of the sale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SaleTold {
    /// The day.
    pub day: Day,
    /// That it was taken back, as the sale did not come about.
    pub taken_back: Option<TakenBack>,
    /// When it entered the book.
    pub entered: Option<InBook>,
}

impl SaleTold {
    /// A day that was not taken back.
    #[must_use]
    pub fn on(day: Day) -> Self {
        Self {
            day,
            taken_back: None,
            entered: None,
        }
    }

    /// Whether another says the same, whenever it was told.
    #[must_use]
    pub fn says(&self, other: &Self) -> bool {
        (self.day, self.taken_back) == (other.day, other.taken_back)
    }
}
