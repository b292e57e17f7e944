//! What the lines tell of a piece, one after the other: all of it, which parts it lacks, and what of it its buyer reads.

use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::model::ids::PartId;
use crate::model::piece::Piece;

/// All that a line tells of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceTold {
    /// The line.
    pub line: u64,
    /// When it was written.
    pub at: Moment,
    /// Whether the book held it before it had a ledger: the line tells nothing of when it was told.
    pub in_one_go: bool,
    /// The piece as told from then on.
    pub piece: Piece,
}

/// That a line tells otherwise than the one before it which parts a piece lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LackTold {
    /// The line.
    pub line: u64,
    /// When it was written.
    pub at: Moment,
    /// How the parts are lacking.
    pub lack: Lack,
    /// The parts that are told so from then on, as the list has them.
    pub told: Vec<PartId>,
    /// Those that are no more.
    pub no_more: Vec<PartId>,
}

/// How a part is lacking.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lack {
    /// It is not there.
    Absent,
    /// It never was.
    NeverHad,
}

/// The line by which something was told of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ToldOn {
    /// The day.
    pub on: Day,
    /// The line.
    pub line: u64,
}

impl LackTold {
    /// Change by change, in the order of the lines.
    #[must_use]
    pub fn all(told: &[PieceTold]) -> Vec<Self> {
        let mut now: [&[PartId]; 2] = [&[], &[]];
        let mut changes = Vec::new();
        for it in told {
            let lists = [
                (Lack::Absent, &it.piece.absent),
                (Lack::NeverHad, &it.piece.never_had),
            ];
            for ((lack, told), now) in lists.into_iter().zip(&mut now) {
                let was = std::mem::replace(now, told);
                let only = |these: &[PartId], others: &[PartId]| -> Vec<PartId> {
                    let only = these.iter().filter(|it| !others.contains(it));
                    only.cloned().collect()
                };
                let (told, no_more) = (only(now, was), only(was, now));
                let none = told.is_empty() && no_more.is_empty();
                if !(it.in_one_go || none) {
                    changes.push(Self {
                        line: it.line,
                        at: it.at,
                        lack,
                        told,
                        no_more,
                    });
                }
            }
        }
        changes
    }

    /// Makes of a piece as told by this line one as told before it.
    pub fn undo(&self, piece: &mut Piece) {
        let list = match self.lack {
            Lack::Absent => &mut piece.absent,
            Lack::NeverHad => &mut piece.never_had,
        };
        list.retain(|it| !self.told.contains(it));
        list.extend(self.no_more.iter().cloned());
    }

    /// Since when a part is told absent; `None` where no line tells it.
    #[must_use]
    pub fn absent_since(all: &[Self], part: &PartId) -> Option<ToldOn> {
        let mut newest = all.iter().rev().filter(|it| it.lack == Lack::Absent);
        let it = newest.find(|it| it.told.contains(part))?;
        Some(ToldOn {
            on: it.at.local_day(),
            line: it.line,
        })
    }
}

/// One thing that is told of a piece and that its buyer reads; which parts it lacks is told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BuyerFact {
    /// The short description.
    Title,
    /// The paragraph for the buyer.
    About,
    /// Who examined it.
    ExaminedBy,
    /// Its outer size.
    Size,
    /// How that was taken.
    SizeTaken,
    /// Its weight.
    Weight,
    /// Its form.
    Form,
    /// The form that it had when it was bought.
    FormBefore,
    /// The set to which it belongs.
    Set,
    /// Its rows of drawers.
    Drawers,
    /// Its optional parts.
    With,
}

impl BuyerFact {
    const ALL: [Self; 11] = [
        Self::Title,
        Self::About,
        Self::ExaminedBy,
        Self::Size,
        Self::SizeTaken,
        Self::Weight,
        Self::Form,
        Self::FormBefore,
        Self::Set,
        Self::Drawers,
        Self::With,
    ];

    /// What it is called in a list.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Title => "title",
            Self::About => "description",
            Self::ExaminedBy => "who examined it",
            Self::Size => "size",
            Self::SizeTaken => "how its size was taken",
            Self::Weight => "weight",
            Self::Form => "form",
            Self::FormBefore => "form when it was bought",
            Self::Set => "set",
            Self::Drawers => "rows of drawers",
            Self::With => "optional parts",
        }
    }

    /// As it is told; `None` where nothing is.
    fn of(self, it: &Piece) -> Option<String> {
        let listed = |all: Vec<String>| (!all.is_empty()).then(|| all.join(", "));
        match self {
            Self::Title => Some(it.title.clone()),
            Self::About => it.about.clone(),
            Self::ExaminedBy => it.examined_by.clone(),
            Self::Size => it.size.map(|it| {
                let (height, width, depth) = (it.height_mm, it.width_mm, it.depth_mm);
                format!("{height} x {width} x {depth} mm")
            }),
            Self::SizeTaken => it.size_taken.clone(),
            Self::Weight => it.weight.clone(),
            Self::Form => Some(it.form.replace('_', " ")),
            Self::FormBefore => it.form_before.as_ref().map(|it| it.replace('_', " ")),
            Self::Set => it.set.clone(),
            Self::Drawers => listed(it.drawer_rows.iter().map(u8::to_string).collect()),
            Self::With => listed(it.with.clone()),
        }
    }

    /// Which of them are told otherwise of one than of the other.
    #[must_use]
    pub fn between(was: &Piece, now: &Piece) -> Vec<Self> {
        let mut other = Self::ALL.to_vec();
        other.retain(|it| it.of(was) != it.of(now));
        other
    }
}

/// That a line tells something of a piece otherwise than the one before it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FactTold {
    /// The line.
    pub line: u64,
    /// When it was written.
    pub at: Moment,
    /// What.
    pub fact: BuyerFact,
    /// As it was told before; `None` where it was not.
    pub was: Option<String>,
    /// As it is told from then on; `None` where that was taken back.
    pub is: Option<String>,
}

impl FactTold {
    /// Change by change, in the order of the lines.
    #[must_use]
    pub fn all(told: &[PieceTold]) -> Vec<Self> {
        let pairs = told.windows(2).filter_map(|it| match it {
            [was, now] if !now.in_one_go => Some((&was.piece, now)),
            _ => None,
        });
        let changes = pairs.flat_map(|(was, now)| {
            let other = BuyerFact::between(was, &now.piece).into_iter();
            other.map(|fact| Self {
                line: now.line,
                at: now.at,
                fact,
                was: fact.of(was),
                is: fact.of(&now.piece),
            })
        });
        changes.collect()
    }
}
