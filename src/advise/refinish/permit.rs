//! Leave to do a piece of work on a part. The decision on the part alone gives it, so that a plan holds nothing whose path is
//! shut or waiting there.

use crate::advise::refinish::advice::Lead;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::PathAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::assess::part_list::is_face;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::path::Leaves;
use crate::trade::entry::path::Path;
use crate::trade::entry::repair::deed::Deed;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::repair::method::Phase;

/// Which paths of a part are taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trust {
    /// Only what is open, or open after work: this is planned.
    Open,
    /// What waits for a look too: never planned, only counted, to see what it may come to.
    WaitingToo,
}

/// A path that can be taken on a part.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Taken<'a> {
    it: &'a PathAdvice,
    path: &'a Path,
    lead: Lead,
}

/// Leave to do this method. Only this file gives it, and only with what is known of lead where it is done.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Permit<'a> {
    method: &'a Method,
    lead: Lead,
}

/// What has to be done before anybody works on a face with untested old paint.
pub(crate) const LEAD_TEST: &str = "lead_test";

/// The work that makes paint with lead safe.
pub(crate) const LEAD_SAFE: &str = "lead_safe";

/// A place on a piece, with the decision on the face on which it lies and the path taken there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ground<'a> {
    /// The decision; `None` off every finished face, such as on a drawer's bottom.
    face: Option<&'a PartAdvice>,
    taken: Option<Taken<'a>>,
    /// What is known of lead in paint on the part itself, finished face or not.
    lead: Lead,
    book: &'a TradeBook,
}

impl PathAdvice {
    /// Whether it can be planned: open, or open after work that the plan then holds.
    #[must_use]
    pub fn can_be_taken(&self) -> bool {
        matches!(self.verdict, Verdict::Open | Verdict::AfterWork)
    }
}

impl<'a> Taken<'a> {
    /// A path of this decision, if it can be taken.
    pub(crate) fn of(
        advice: &'a PartAdvice,
        path: &str,
        trust: Trust,
        book: &'a TradeBook,
    ) -> Option<Self> {
        let it = advice.paths.iter().find(|it| it.path == path)?;
        let counted = trust == Trust::WaitingToo && it.verdict == Verdict::Waiting;
        let path = book.path(path)?;
        let lead = advice.lead;
        (it.can_be_taken() || counted).then_some(Self { it, path, lead })
    }

    pub(crate) fn advice(self) -> &'a PathAdvice {
        self.it
    }

    pub(crate) fn path(self) -> &'a Path {
        self.path
    }

    /// Its steps, each with how often.
    pub(crate) fn steps(self, book: &'a TradeBook) -> impl Iterator<Item = (Permit<'a>, f64)> {
        let steps = self.path.steps.iter();
        let steps = steps.filter(move |it| !self.it.left_out.contains(&it.method));
        steps.filter_map(move |it| Some((self.leave(book.method(&it.method)?), it.times)))
    }

    /// One of its steps.
    pub(crate) fn step(self, method: &'a Method) -> Option<Permit<'a>> {
        let done = has_step(self.path, &method.id) && !self.it.left_out.contains(&method.id);
        done.then_some(self.leave(method))
    }

    /// The work that opens it.
    pub(crate) fn opening_work(self, book: &'a TradeBook) -> impl Iterator<Item = Permit<'a>> {
        let work = self.it.opening_work.iter();
        let after = self.it.verdict == Verdict::AfterWork;
        let work = work.filter(move |_| after);
        work.filter_map(move |it| Some(self.leave(book.method(it)?)))
    }

    fn leave(self, method: &'a Method) -> Permit<'a> {
        let lead = self.lead;
        Permit { method, lead }
    }
}

impl<'a> Permit<'a> {
    pub(crate) fn method(self) -> &'a Method {
        self.method
    }

    /// What is known of lead where it is done; nothing to mind where it touches nothing.
    pub(crate) fn lead(self) -> Lead {
        use Phase::{Hazard, Hold, Record, RecordAfter};
        match self.method.phase {
            Record | RecordAfter | Hold => Lead::NotSuspected,
            Hazard if self.method.does.is_empty() => Lead::NotSuspected,
            _ => self.lead,
        }
    }

    /// What is known of lead there, whatever is done.
    pub(crate) fn lead_there(self) -> Lead {
        self.lead
    }

    /// The same leave on two faces: what is known of the worse one counts.
    pub(crate) fn and(self, other: Self) -> Self {
        let lead = self.lead.max(other.lead);
        Self { lead, ..self }
    }

    /// Whether old paint is tested before it: also before it is made safe as if it held lead.
    fn wants_test(self) -> bool {
        self.lead() == Lead::Untested
            || (self.method.id == LEAD_SAFE && self.lead == Lead::Untested)
    }

    /// Leave for what this method needs first, and for the test of old paint on which it is done.
    pub(crate) fn needed(self, book: &'a TradeBook) -> impl Iterator<Item = Self> {
        let test = self.wants_test().then_some(LEAD_TEST);
        let needs = self.method.needs.iter().map(String::as_str).chain(test);
        needs.filter_map(move |it| {
            let method = book.method(it)?;
            Some(Self { method, ..self })
        })
    }
}

impl<'a> Ground<'a> {
    /// Of a place on this part; `advice` is the decision on the part or on its whole, with the path taken there.
    pub(crate) fn of(
        part: &PartId,
        advice: Option<&'a PartAdvice>,
        taken: Option<Taken<'a>>,
        lead: Lead,
        book: &'a TradeBook,
    ) -> Self {
        let face = advice.filter(|it| is_face(part, &it.part));
        let lead = face.map_or(lead, |it| it.lead.max(lead));
        Self {
            face,
            taken,
            lead,
            book,
        }
    }

    /// The path taken on the part, or on its whole.
    pub(crate) fn taken(self) -> Option<Taken<'a>> {
        self.taken
    }

    /// Why a method may never be done here, whatever anybody looks at; `None` where it may, or may yet.
    pub(crate) fn shut_for_good(self, method: &Method) -> Option<String> {
        let why = self.face?.shut_to(method)?;
        Some(not_yet(Verdict::Shut, why, None))
    }

    /// Leave for the work by which others do here what is kept from us for good; `None` where it is kept from everybody, or from
    /// nobody.
    pub(crate) fn handed_over(self) -> Option<Permit<'a>> {
        let mut shut = self.face?.forbidden.iter();
        let to = shut.find_map(|it| {
            let for_good = it.verdict == Verdict::Shut;
            it.hands_to.as_deref().filter(|_| for_good)
        })?;
        self.permit(self.book.method(to)?).ok()
    }

    /// Why nothing of ours is done to a face that is left to others; `None` where it is not.
    pub(crate) fn left_to_others(self) -> Option<String> {
        let taken = self.taken.filter(|it| it.path.leaves == Leaves::NotOurs)?;
        let label = small(&taken.path.label);
        self.face
            .map(|_| format!("this way leaves it to others: {label}"))
    }

    /// Whether a method may be done here at all, whatever way is taken.
    ///
    /// # Errors
    /// With the reason why not, in words.
    pub(crate) fn allows(self, method: &Method) -> Result<(), String> {
        let Some(face) = self.face else {
            return Ok(());
        };
        let forbidden = face
            .forbidden
            .iter()
            .find(|it| method.does.contains(&it.deed));
        if let Some(it) = forbidden {
            return Err(not_yet(it.verdict, &it.why, it.look.as_deref()));
        }
        let of = paths_of(method, self.book);
        let known = face
            .paths
            .iter()
            .filter(|it| of.contains(&it.path.as_str()));
        let best = known.min_by_key(|it| it.verdict);
        match best.filter(|it| !it.can_be_taken()) {
            None => Ok(()),
            Some(best) => {
                let why = best.reasons.first().map_or("", |it| it.why.as_str());
                let look = best.look.first().map(String::as_str);
                Err(not_yet(best.verdict, why, look))
            }
        }
    }

    /// Leave to do a method here.
    ///
    /// # Errors
    /// With the reason why not, in words.
    pub(crate) fn permit(self, method: &'a Method) -> Result<Permit<'a>, String> {
        self.allows(method)?;
        let of = paths_of(method, self.book);
        if self.face.is_none() {
            let of_coat = !of.is_empty() && method.unit.starts_with("m2");
            let why = "this place has no finished face of its own";
            return if of_coat {
                Err(why.to_owned())
            } else {
                Ok(self.leave(method))
            };
        }
        self.goes_with_the_way(method, &of)
    }

    /// Work on a face goes with the path that is taken there; where it is left as it is, its loose wood is glued down all the
    /// same.
    fn goes_with_the_way(self, method: &'a Method, of: &[&str]) -> Result<Permit<'a>, String> {
        if !is_of_surface(method) {
            return Ok(self.leave(method));
        }
        if let Some(why) = self.left_to_others() {
            return Err(why);
        }
        let Some(taken) = self.taken else {
            return Err("no way to refinish is decided on here yet".to_owned());
        };
        let of_face = of.contains(&taken.path.id.as_str()) || method.phase == Phase::Veneer;
        let does =
            !taken.path.steps.is_empty() || (taken.path.leaves == Leaves::FaceWood && of_face);
        if !does {
            return Err("this way leaves the surface as it is".to_owned());
        }
        let whole = method.unit.starts_with("m2") && !of.is_empty();
        if whole && !of.contains(&taken.path.id.as_str()) {
            return Err(NO_REPAIR_FITS.to_owned());
        }
        Ok(self.leave(method))
    }

    /// Whether old paint is tested here before a method.
    pub(crate) fn wants_test(self, method: &'a Method) -> bool {
        self.leave(method).wants_test()
    }

    /// Leave for what has to be done here after a method where the old coat stays; nothing that the way does by a step of its own.
    pub(crate) fn following(self, after: &Method) -> impl Iterator<Item = Permit<'a>> {
        let keeps = |it: Leaves| matches!(it, Leaves::OldCoat | Leaves::OldCoatMended);
        let kept = self.taken.filter(|it| keeps(it.path.leaves));
        let then = after.then.iter().filter_map(|it| self.book.method(it));
        let then = then.filter(move |it| kept.is_some_and(|kept| kept.step(it).is_none()));
        let then: Vec<Permit<'a>> = then.filter_map(|it| self.permit(it).ok()).collect();
        then.into_iter()
    }

    fn leave(self, method: &'a Method) -> Permit<'a> {
        let lead = self.lead;
        Permit { method, lead }
    }
}

/// Said where a fault could be mended, but not beside what is done to the face.
pub(crate) const NO_REPAIR_FITS: &str = "none of its repairs goes with this way of refinishing";

/// Why work that is not forbidden for good is not planned.
pub(crate) fn not_yet(verdict: Verdict, why: &str, look: Option<&str>) -> String {
    let plain = |it: &str| small(it.trim_end_matches('.'));
    match (verdict, look) {
        (Verdict::Waiting, Some(look)) => format!("it waits for a look: {}", plain(look)),
        _ => plain(why),
    }
}

/// Work on the face itself, as against what holds the piece together.
fn is_of_surface(method: &Method) -> bool {
    use Phase::{Coat, Colour, Fill, Level, Rub, Strip, Veneer};
    matches!(
        method.phase,
        Strip | Veneer | Fill | Level | Colour | Coat | Rub
    )
}

/// Paths of which a method is a part.
fn paths_of<'b>(method: &Method, book: &'b TradeBook) -> Vec<&'b str> {
    let paths = book.paths.iter();
    let of = paths.filter(|it| has_step(it, &method.id) || method.ways.contains(&it.id));
    of.map(|it| it.id.as_str()).collect()
}

/// Whether a path has this step.
pub(crate) fn has_step(path: &Path, method: &str) -> bool {
    path.steps.iter().any(|it| it.method == method)
}

/// What a path does to the face that is there; what comes after a new face is done to that one.
pub(crate) fn deeds(path: &Path, book: &TradeBook) -> Vec<Deed> {
    let mut deeds = Vec::new();
    for method in path.steps.iter().filter_map(|it| book.method(&it.method)) {
        deeds.extend(&method.does);
        if method.does.contains(&Deed::Reface) {
            break;
        }
    }
    deeds
}
