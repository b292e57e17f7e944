//! A task while it is collected: what it is for, and how much of it there is, in the unit of its method.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::advise::labour::area::Surfaces;
use crate::advise::labour::exact::Quantity;
use crate::advise::labour::exact::Spread;
use crate::advise::labour::exact::half_even;
use crate::advise::labour::fixes::counts_places;
use crate::advise::labour::sizes;
use crate::advise::labour::task::Danger;
use crate::advise::labour::task::Task;
use crate::advise::part::support::held_up::Missing;
use crate::advise::part::there::There;
use crate::advise::refinish::advice::Lead;
use crate::advise::refinish::permit::Permit;
use crate::assess::findings::finding::Finding;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::settings::Settings;
use crate::trade::TradeBook;
use crate::trade::entry::hazard::Present;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::repair::method::Who;

/// Units that are things: each is worked on once, whatever the number of its faults.
const THINGS: [&str; 14] = [
    "drawer", "top", "seat", "panel", "board", "shelf", "leg", "foot", "part", "caster", "lock",
    "mirror", "pane", "ornament",
];

/// A patch that counts once, m2.
const PATCH_M2: f64 = 0.0025;

/// How deep loose face wood is glued from its edge, m.
const STRIP_M: f64 = 0.1;

/// A task under construction.
#[derive(Clone, Debug)]
pub(crate) struct Draft<'a> {
    leave: Permit<'a>,
    by: Who,
    parts: BTreeSet<PartId>,
    findings: BTreeSet<FindingNo>,
    /// Places, lengths: what is counted for each finding.
    counted: Quantity,
    /// Joints by part and by which of its joints, so that two faults of one do not count it twice.
    joints: BTreeMap<(PartId, String), Quantity>,
    /// Square metres by part, so that two faults of one face do not count it twice.
    areas: BTreeMap<PartId, Quantity>,
    things: BTreeSet<PartId>,
    /// Coats by part.
    coats: BTreeMap<PartId, u32>,
    assumed: BTreeSet<String>,
    /// Hazards of the faults that it answers.
    hazards: BTreeSet<String>,
}

impl<'a> Draft<'a> {
    /// Of work for which there is leave.
    pub(crate) fn new(leave: Permit<'a>, by: Who) -> Self {
        Self {
            leave,
            by,
            parts: BTreeSet::new(),
            findings: BTreeSet::new(),
            counted: Quantity::default(),
            joints: BTreeMap::new(),
            areas: BTreeMap::new(),
            things: BTreeSet::new(),
            coats: BTreeMap::new(),
            assumed: BTreeSet::new(),
            hazards: BTreeSet::new(),
        }
    }

    pub(crate) fn leave(&self) -> Permit<'a> {
        self.leave
    }

    pub(crate) fn method(&self) -> &'a Method {
        self.leave.method()
    }

    pub(crate) fn who(&self) -> Who {
        self.by
    }

    /// Whether it makes or buys what is missing.
    pub(crate) fn makes(&self, it: &Missing) -> bool {
        it.finding.map_or_else(
            || self.parts.contains(&it.part),
            |no| self.findings.contains(&no),
        )
    }

    pub(crate) fn parts(&self) -> &BTreeSet<PartId> {
        &self.parts
    }

    /// Takes in the leave for more of it.
    pub(crate) fn under(&mut self, leave: Permit<'a>) -> &mut Self {
        self.leave = self.leave.and(leave);
        self
    }

    /// Takes in work that this one does on the way.
    pub(crate) fn take_in(&mut self, other: Self) {
        self.under(other.leave);
        self.findings.extend(other.findings);
        self.parts.extend(other.parts);
        self.hazards.extend(other.hazards);
    }

    /// Adds the work that a path or a gate asks for on a whole part.
    pub(crate) fn add_part(&mut self, part: &PartId, coats: u32, surfaces: &Surfaces) {
        self.parts.insert(part.clone());
        self.things.insert(part.clone());
        self.coats.insert(part.clone(), coats);
        if self.is_area() {
            self.whole_face(part, surfaces);
        }
    }

    /// Adds a finding that is gone when this work is done, without any more of it.
    pub(crate) fn add_gone(&mut self, finding: &Finding, book: &TradeBook) {
        self.take_hazards(finding, book);
        self.findings.insert(finding.no);
    }

    /// Adds a finding that a step of the path answers on the way.
    pub(crate) fn add_place(&mut self, finding: &Finding, book: &TradeBook) {
        self.take_hazards(finding, book);
        self.findings.insert(finding.no);
        self.parts.insert(finding.part.whole());
        if counts_places(&self.method().unit) {
            self.counted = self.counted + Quantity::count(1);
        }
    }

    /// Adds a repair.
    pub(crate) fn add_finding(&mut self, finding: &Finding, surfaces: &Surfaces, book: &TradeBook) {
        self.take_hazards(finding, book);
        self.findings.insert(finding.no);
        self.parts.insert(finding.part.clone());
        let unit = self.method().unit.as_str();
        let by_thing = if unit == "drawer" {
            finding.part.whole()
        } else {
            finding.part.clone()
        };
        self.things.insert(by_thing);
        self.coats.entry(finding.part.clone()).or_insert(1);
        if self.is_area() {
            self.measured_face(finding, surfaces);
        } else if let Some(step) = sizes::step_mm(unit) {
            self.along(finding, step, surfaces);
        } else if unit == "patch" {
            self.patch(finding, surfaces);
        } else {
            let tag = book.tag(&finding.tag);
            let counts = tag.is_some_and(|it| it.measure_unit.starts_with("count"));
            let told = finding.size.as_deref().filter(|_| counts);
            let number = Quantity::count(told.and_then(sizes::count).unwrap_or(1));
            let known = match self.method().opens_joints {
                true => {
                    let of = (finding.part.clone(), finding.which.clone());
                    let most = self.joints.entry(of).or_default();
                    let known = *most;
                    *most = known.max(number);
                    known
                }
                false => Quantity::default(),
            };
            self.counted.milli += (number.milli - known.milli).max(0);
        }
    }

    fn take_hazards(&mut self, finding: &Finding, book: &TradeBook) {
        let tag = book.tag(&finding.tag);
        let hazards = tag.into_iter().flat_map(|it| it.hazards.iter().cloned());
        self.hazards.extend(hazards);
    }

    /// What who does it must mind, in the order of the book.
    fn dangers(&self, present: &Present<'_>, book: &TradeBook) -> Vec<Danger> {
        let lead = self.leave.lead() != Lead::NotSuspected;
        let comes = |id: &String| {
            let of_paint = lead && id == "lead";
            of_paint || self.method().hazards.contains(id) || self.hazards.contains(id)
        };
        let hazards = book.hazards.iter().filter(|it| comes(&it.id));
        let dangers = hazards.map(|it| Danger {
            hazard: it.id.clone(),
            title: match &it.found {
                Some(found) if self.leave.lead_there() == Lead::Found => found.title.clone(),
                _ => it.title.clone(),
            },
            lines: it.for_worker(present),
        });
        dangers.filter(|it| !it.lines.is_empty()).collect()
    }

    fn is_area(&self) -> bool {
        self.method().unit.starts_with("m2")
    }

    fn whole_face(&mut self, part: &PartId, surfaces: &Surfaces) {
        if let Some(area) = surfaces.get(part) {
            self.areas.insert(part.clone(), area);
        } else {
            self.areas.insert(part.clone(), Quantity::of(0.1));
            self.assumed
                .insert(format!("{part}: its surface is not known, 0.1 m2 counted"));
        }
    }

    /// Square metres of a finding: as measured, as a share of its part, else all of it.
    fn measured_face(&mut self, finding: &Finding, surfaces: &Surfaces) {
        let part = &finding.part;
        let face = surfaces.get(part);
        let measured = Self::told_m2(finding, surfaces).map(Quantity::of);
        let Some(measured) = measured else {
            self.whole_face(part, surfaces);
            self.assumed.insert(format!(
                "{}: not measured, the whole face counted",
                finding.no
            ));
            return;
        };
        let most = face.unwrap_or(measured);
        let so_far = self.areas.get(part).copied().unwrap_or_default();
        let sum = so_far + measured.min(most).max(Quantity { milli: 1 });
        self.areas.insert(part.clone(), sum.min(most.max(so_far)));
    }

    /// Square metres as they were measured, or as a share of the face; `None` when neither was told.
    fn told_m2(finding: &Finding, surfaces: &Surfaces) -> Option<f64> {
        let size = finding.size.as_deref()?;
        let share = sizes::share(size).zip(surfaces.get(&finding.part));
        #[expect(
            clippy::cast_precision_loss,
            reason = "thousandths of a few square metres"
        )]
        let of_share = share.map(|(share, face)| share * face.milli as f64 / 1000.0);
        sizes::area_m2(size).or(of_share)
    }

    /// A patch. What takes the time is its edge, which has to be cut and fitted, so that it counts by the side of a square of its
    /// area; one of a hand's breadth by half of it counts once (common practice, no source).
    fn patch(&mut self, finding: &Finding, surfaces: &Surfaces) {
        let m2 = Self::told_m2(finding, surfaces).unwrap_or(0.0);
        let sides = (m2 / PATCH_M2).sqrt();
        self.counted = self.counted + Quantity::of(sides.max(1.0));
    }

    /// A length along an edge, at least one step of it; an area counts as a strip as deep as a knife reaches.
    fn along(&mut self, finding: &Finding, step_mm: f64, surfaces: &Surfaces) {
        let strip = |m2: f64| m2 / STRIP_M * 1000.0;
        let length = finding.size.as_deref().and_then(sizes::length_mm);
        let area = || Self::told_m2(finding, surfaces).map(strip);
        let told = length.into_iter().chain(area()).reduce(f64::max);
        let steps = told.map_or(1.0, |it| (it.min(20_000.0) / step_mm).max(1.0));
        if told.is_none() {
            let no = finding.no;
            self.assumed
                .insert(format!("{no}: not measured, {step_mm} mm counted"));
        }
        self.counted = self.counted + Quantity::of(steps);
    }

    /// The task; a coat that is put on several times gives one task for each coat.
    pub(crate) fn tasks(
        self,
        there: &There<'_>,
        settings: &Settings,
        book: &TradeBook,
    ) -> Vec<Task> {
        let most = self.coats.values().copied().max().unwrap_or(1).max(1);
        let coated = self.method().unit == "m2 per coat" && most > 1;
        if !coated {
            return vec![self.task([0, 0], there, settings, book)];
        }
        let one = |coat: u32| self.task([coat, most], there, settings, book);
        (1..=most).map(one).collect()
    }

    /// One coat of so many, or all of it when that is 0.
    fn task(
        &self,
        [coat, of]: [u32; 2],
        there: &There<'_>,
        settings: &Settings,
        book: &TradeBook,
    ) -> Task {
        let method = self.method();
        let in_coat = |part: &PartId| self.coats.get(part).copied().unwrap_or(1) >= coat;
        let parts: Vec<PartId> = self
            .parts
            .iter()
            .filter(|it| in_coat(it))
            .cloned()
            .collect();
        let mut assumed = self.assumed.clone();
        let quantity = self.quantity(in_coat, &mut assumed);
        let hours = settings.hours.get(&method.id).copied();
        let (mut id, mut name) = (method.id.clone(), method.name.clone());
        if coat > 0 {
            id = format!("{id}-{coat}");
            name = format!("{name}, coat {coat} of {of}");
        }
        if self.by == Who::Specialist {
            id = format!("{id}-specialist");
            name = format!("{name}, by a specialist");
        }
        Task {
            id,
            method: method.id.clone(),
            name,
            phase: Some(method.phase),
            parts: match is_whole(&method.unit) {
                true => Vec::new(),
                false => parts.clone(),
            },
            reach: parts,
            findings: self.findings.iter().copied().collect(),
            quantity,
            unit: method.unit.clone(),
            // Hours of the user's own hold whatever goes before the work.
            minutes: match hours {
                Some(own) => Spread::minutes(own, quantity),
                None => {
                    let set_up = Spread::minutes(method.set_up, Quantity::count(1));
                    Spread::minutes(method.hours, quantity) + set_up
                }
            },
            wait_minutes: Spread::minutes(method.wait_hours, Quantity::count(1)),
            cost: cost(method, self.by, quantity, settings, book),
            by: self.by,
            steps: method.steps.clone(),
            cautions: method.cautions_on(
                there.kinds_of(&self.parts),
                self.leave.lead_there().found(book),
            ),
            dangers: self.dangers(&there.present, book),
            assumed: assumed.into_iter().collect(),
        }
    }

    fn quantity(
        &self,
        in_coat: impl Fn(&PartId) -> bool,
        assumed: &mut BTreeSet<String>,
    ) -> Quantity {
        let unit = self.method().unit.as_str();
        if is_whole(unit) {
            return Quantity::count(1);
        }
        if self.is_area() {
            let areas = self.areas.iter().filter(|it| in_coat(it.0)).map(|it| *it.1);
            return areas.fold(Quantity::default(), std::ops::Add::add);
        }
        if THINGS.contains(&unit) {
            return Quantity::count(self.things.len());
        }
        if self.counted.milli == 0 {
            assumed.insert(format!(
                "{}: no place is recorded, one counted",
                self.method().name
            ));
        }
        self.counted.max(Quantity::count(1))
    }
}

/// Whether a unit is the whole piece, which is worked on once.
pub(in crate::advise) fn is_whole(unit: &str) -> bool {
    matches!(unit, "piece" | "chair or table base")
}

/// What is used up: the user's own price, else the book's where its figures hold; a specialist's bill only if told.
fn cost(
    method: &Method,
    by: Who,
    quantity: Quantity,
    settings: &Settings,
    book: &TradeBook,
) -> Option<Spread> {
    if let Some(price) = settings.prices.get(&method.id) {
        let product = i128::from(price.minor) * i128::from(quantity.milli);
        return Some(Spread::even(half_even(product, 1000)));
    }
    let free = method.cost.iter().all(|it| *it == 0.0);
    let holds = book.offer.figures_hold(settings.currency);
    (by == Who::Owner && (holds || free))
        .then(|| Spread::minor(method.cost, quantity, settings.currency.decimals()))
}
