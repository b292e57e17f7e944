//! What an offer rests on: channels, the hours every piece costs, surfaces, open questions, reasons to stop.

use serde::Deserialize;
use serde::Serialize;

use crate::kit::money::Currency;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::path::Leaves;
use crate::trade::entry::repair::method::Phase;

/// A way of selling, and the share it keeps.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Channel {
    /// Its id, such as `own_sale`.
    pub id: String,
    /// Its name.
    pub label: String,
    /// The share it keeps of the price, percent: low, likely, high.
    pub share: [f64; 3],
}

/// Work that every piece costs besides its repairs.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BaseWork {
    /// Its id, such as `collect`.
    pub id: String,
    /// Its name.
    pub label: String,
    /// The phase it belongs to; `None` for work outside the workshop, such as fetching.
    pub phase: Option<Phase>,
    /// Hours: low, likely, high.
    pub hours: [f64; 3],
    /// What they count for: `piece` or `drawer`.
    pub each: String,
    /// Phases for the sake of which it is done; empty means that every piece costs it.
    #[serde(default)]
    pub only_for: Vec<Phase>,
    /// Whether it is done once for all pieces of a set, so that each bears its share.
    #[serde(default)]
    pub of_set: bool,
    /// Since when it is over, and costs nothing any more; `None` for what is still to come.
    pub over: Option<Over>,
}

/// Since when a work that every piece costs is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Over {
    /// Since work on it was told.
    Worked,
}

/// The show surface of a form, where no size is recorded.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Surface {
    /// The form.
    pub form: String,
    /// Square metres.
    pub m2: f64,
}

/// The questions that the program knows how to ask: when each is open is a rule of the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Question {
    /// How thick is the face?
    FaceNotMeasured,
    /// What is the coat?
    CoatNotTested,
    /// Is it solid?
    MaterialNotSettled,
    /// How does it smell inside?
    SmellAfterADay,
    /// Is the beetle alive?
    BeetleAlive,
    /// How does the underside look?
    UndersideNotSeen,
    /// How does the back look?
    BackNotSeen,
    /// How do the drawers look from inside?
    DrawersNotOpened,
    /// What is behind the lock?
    LockShut,
    /// What is under an earlier repair that does not hold?
    UnderOldRepair,
    /// Is there lead in the paint?
    LeadNotTested,
    /// A question of the user's own, asked where its `when` holds or may hold.
    #[serde(skip)]
    Own,
}

impl Question {
    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::FaceNotMeasured => "face_not_measured",
            Self::CoatNotTested => "coat_not_tested",
            Self::MaterialNotSettled => "material_not_settled",
            Self::SmellAfterADay => "smell_after_a_day",
            Self::BeetleAlive => "beetle_alive",
            Self::UndersideNotSeen => "underside_not_seen",
            Self::BackNotSeen => "back_not_seen",
            Self::DrawersNotOpened => "drawers_not_opened",
            Self::LockShut => "lock_shut",
            Self::UnderOldRepair => "under_old_repair",
            Self::LeadNotTested => "lead_not_tested",
            Self::Own => "own",
        }
    }

    /// The one of this word; one of the user's own where the program knows none.
    #[must_use]
    pub fn of(word: &str) -> Self {
        let known = [
            Self::FaceNotMeasured,
            Self::CoatNotTested,
            Self::MaterialNotSettled,
            Self::SmellAfterADay,
            Self::BeetleAlive,
            Self::UndersideNotSeen,
            Self::BackNotSeen,
            Self::DrawersNotOpened,
            Self::LockShut,
            Self::UnderOldRepair,
            Self::LeadNotTested,
        ];
        let mut known = known.into_iter();
        known.find(|it| it.word() == word).unwrap_or(Self::Own)
    }

    /// Whether it is asked only where something found on the piece speaks for what it costs. One of the user's own may be
    /// either: see `price::doubts`.
    #[must_use]
    pub fn rests_on_a_find(self) -> bool {
        matches!(
            self,
            Self::BeetleAlive | Self::LockShut | Self::UnderOldRepair | Self::LeadNotTested
        )
    }

    /// What nobody could look at, if it is about such a thing.
    #[must_use]
    pub fn unseen(self) -> Option<&'static str> {
        match self {
            Self::UndersideNotSeen => Some("the underside"),
            Self::BackNotSeen => Some("the back"),
            Self::DrawersNotOpened => Some("the drawers inside"),
            _ => None,
        }
    }
}

/// A question that could not be answered on the spot, and what is put aside for it.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OpenQuestion {
    /// Its id: one that the program knows, or one of the user's own.
    pub id: String,
    /// For one of the user's own: what must be so, or may be so, of a part for it to be asked.
    #[serde(default)]
    pub when: Vec<Vec<Condition>>,
    /// The question, such as `Is the beetle alive?`.
    pub question: String,
    /// How to answer it.
    pub look: String,
    /// The same for a piece that hangs on a wall; `None` where it is no other.
    pub look_hangs: Option<String>,
    /// Whether the piece is moved or opened for that look.
    #[serde(default)]
    pub moves: bool,
    /// What is put aside: low, likely, high, in whole units of money of about a euro, a pound or a dollar.
    pub aside: [f64; 3],
    /// What is so once it was answered badly: from then on it costs what was put aside. `None` where the record shows the
    /// bad answer as faults with work of their own.
    pub if_bad: Option<String>,
}

impl OpenQuestion {
    /// How to answer it of a piece that hangs, or does not.
    #[must_use]
    pub fn look_at(&self, hangs: bool) -> &str {
        self.look_hangs
            .as_deref()
            .filter(|_| hangs)
            .unwrap_or(&self.look)
    }
}

/// What a reason to stop says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Stop {
    /// Do not buy.
    Walk,
    /// Only at the price of its parts.
    Donor,
    /// Ask, or look, before paying.
    Ask,
}

/// A reason to stop.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StopRule {
    /// Its id, such as `live_beetle`.
    pub id: String,
    /// What it says.
    pub stop: Stop,
    /// Reasons that it says too, so that they are not said beside it.
    #[serde(default)]
    pub instead_of: Vec<String>,
    /// The word of `--sold-as` with which its `unless` is met.
    pub met_by: Option<String>,
    /// All lines must hold on one part; a line holds when one of its questions does. Empty for what the program itself
    /// knows by the id.
    #[serde(default)]
    pub when: Vec<Vec<Condition>>,
    /// On how many parts.
    #[serde(default = "one")]
    pub places: usize,
    /// Kinds of parts that count; empty means any.
    #[serde(default)]
    pub kinds: Vec<String>,
    /// What is so, in words that can be said at the door.
    pub what: String,
    /// Why that is a reason.
    pub why: String,
    /// When it is none.
    pub unless: String,
}

fn one() -> usize {
    1
}

/// A rule of thumb on what is paid for a piece.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Thumb {
    /// Its id.
    pub id: String,
    /// What it is about, such as `old finish kept`.
    pub label: String,
    /// What the path leaves for which it holds.
    pub leaves: Vec<Leaves>,
    /// Forms for which it holds; empty means any.
    #[serde(default)]
    pub forms: Vec<String>,
    /// What is paid as a share of the lowest sold comparable, percent: from, to.
    pub share: [f64; 2],
}

/// The usual terms of an offer, where the user's settings say nothing.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UsualTerms {
    /// The channel.
    pub channel: String,
    /// What must be left of the net sale less cash, percent.
    pub margin: f64,
    /// What must be left at least, in whole units of money.
    pub least_margin: f64,
    /// Share of the net sale kept for risk when hours are paid in full, percent.
    pub risk: f64,
    /// What the price is expected to be beaten down by, percent.
    pub discount: f64,
    /// Worth of an hour, in whole units of money.
    pub hourly: f64,
    /// Lowest hourly return below which it is not worth it, in whole units of money.
    pub lowest_hourly: f64,
    /// Fetching it, in whole units of money.
    pub pickup: f64,
    /// Bringing it, where the seller pays, in whole units of money.
    pub delivery: f64,
    /// A week's storage, in whole units of money.
    pub storage_week: f64,
    /// Weeks until it is sold.
    pub weeks: f64,
    /// Hours of work on a working day.
    pub hours_a_day: f64,
    /// The most that one of the book's own open questions can cost, as a share of the net sale, percent.
    pub aside_at_most: f64,
    /// First bid as a share of the highest offer, percent: from, to.
    pub first_bid: [f64; 2],
    /// First bid as a share of what is asked, where no more is asked than it is worth, percent.
    pub first_bid_of_asked: f64,
    /// Price of a piece taken for its parts, as a share of the lowest sold comparable, percent: from, to.
    pub donor: [f64; 2],
}

/// `offer.toml` as it lies in the book.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OfferBook {
    /// Ways of selling.
    #[serde(rename = "channel")]
    pub channels: Vec<Channel>,
    /// Work that every piece costs.
    pub base_work: Vec<BaseWork>,
    /// Show surfaces by form.
    #[serde(rename = "surface")]
    pub surfaces: Vec<Surface>,
    /// Open questions and what is put aside for them.
    #[serde(rename = "question")]
    pub questions: Vec<OpenQuestion>,
    /// Reasons to stop.
    #[serde(rename = "stop")]
    pub stops: Vec<StopRule>,
    /// Rules of thumb to hold an offer against.
    #[serde(rename = "thumb")]
    pub thumbs: Vec<Thumb>,
    /// The usual terms.
    pub usual: UsualTerms,
    /// Currencies for which the book's own figures make sense: a unit is about a euro.
    pub figures_hold_for: Vec<String>,
}

impl OfferBook {
    /// Whether the book's own figures make sense in a currency.
    #[must_use]
    pub fn figures_hold(&self, currency: Currency) -> bool {
        self.figures_hold_for.contains(&currency.to_string())
    }
}
