//! Everything a part may be made of, one by one: what its material allows is what each of these allows.

use crate::advise::part::context::set;
use crate::advise::part::facts::Facts;
use crate::advise::part::facts::THIN_FACED;
use crate::advise::part::look;
use crate::advise::part::span::Span;
use crate::advise::part::truth::Truth;
use crate::advise::refinish::advice::Reason;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::against;
use crate::advise::refinish::against::Against;
use crate::advise::refinish::sanding;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::condition::Number;
use crate::trade::entry::condition::Sign;
use crate::trade::entry::path::Leaves;
use crate::trade::entry::path::Path;
use crate::trade::entry::path::Role;
use crate::trade::entry::path::Rule;
use crate::trade::entry::repair::deed::Deed;

/// One thing a part may be made of.
#[derive(Debug)]
struct World<'a> {
    class: String,
    /// Thickness of its face wood, mm, where that is counted.
    face: Option<f64>,
    /// The rules on material that apply then.
    rules: Vec<&'a Rule>,
}

/// Everything one part may be made of.
#[derive(Debug)]
pub(crate) struct Worlds<'a> {
    worlds: Vec<World<'a>>,
    /// The rules on material, by id.
    material: Vec<&'a Rule>,
    look: Option<&'a str>,
    /// How the thickness of its face wood is told.
    measure: &'static str,
    book: &'a TradeBook,
}

/// What the material says of a path.
#[derive(Debug)]
pub(crate) struct Base {
    pub(crate) verdict: Verdict,
    pub(crate) reasons: Vec<Reason>,
    pub(crate) look: Vec<String>,
}

/// Where nothing says what to look at.
const LOOK_AT_IT: &str = "Look at an edge, to tell what it is made of.";

impl<'a> Worlds<'a> {
    /// Of a part with these facts, by the rules on material among `rules`.
    pub(crate) fn of(facts: &'a Facts, book: &'a TradeBook, rules: &[&'a Rule]) -> Self {
        let material = rules.iter().filter(|it| it.role == Role::Material);
        let mut material: Vec<&Rule> = material.copied().collect();
        material.sort_by_key(|it| &it.id);
        let points = points(book, &material);
        let mut worlds = Vec::new();
        let mut so = facts.clone();
        for class in facts.possible(Fact::Material) {
            so.words.insert(Fact::Material, set(&[class]));
            for face in faces(class, facts.face, &points) {
                so.face = face.map_or(facts.face, Span::exactly);
                let applies = |it: &&&Rule| so.applies(it) == Truth::Yes;
                worlds.push(World {
                    class: class.to_owned(),
                    face,
                    rules: material.iter().filter(applies).copied().collect(),
                });
            }
        }
        Self {
            worlds,
            material,
            look: facts.material_look.as_deref(),
            measure: look::face(facts),
            book,
        }
    }

    /// What the material says of a path that does these deeds: open whatever it is, shut whatever it is, or to be looked at first.
    pub(crate) fn base(&self, path: &Path, deeds: &[Deed]) -> Base {
        let said: Vec<(&str, Option<Against<'_>>)> = self
            .worlds
            .iter()
            .map(|it| (it.class.as_str(), self.against(it, path, deeds)))
            .collect();
        let closed = said.iter().filter(|it| it.1.is_some()).count();
        let verdict = match closed {
            0 => Verdict::Open,
            all if all == said.len() => Verdict::Shut,
            _ => Verdict::Waiting,
        };
        let shut = said.iter().filter_map(|it| Some((it.0, it.1?)));
        let shut: Vec<(&str, Against<'_>)> = shut.collect();
        let mut all: Vec<&str> = said.iter().map(|it| it.0).collect();
        all.dedup();
        let mut look: Vec<String> = Vec::new();
        for (class, against) in shut.iter().filter(|_| verdict == Verdict::Waiting) {
            // Where its thickness decides, it is measured; where its class decides, the part is looked at for that.
            let open = |it: &(&str, Option<Against<'_>>)| it.0 == *class && it.1.is_none();
            let line = match against {
                _ if said.iter().any(open) => Some(self.measure),
                Against::TooThin { .. } => Some(self.measure),
                Against::Rule(rule) => self.look.or(rule.look.as_deref()),
                Against::NoWay => self.look,
            };
            let line = line.unwrap_or(LOOK_AT_IT).to_owned();
            if !look.contains(&line) {
                look.push(line);
            }
        }
        Base {
            verdict,
            reasons: against::reasons(&shut, &all, self.look.is_none()),
            look,
        }
    }

    fn against(&self, world: &World<'a>, path: &Path, deeds: &[Deed]) -> Option<Against<'a>> {
        let names = |list: &[String]| list.contains(&path.id);
        let shuts = |it: &Rule| names(&it.shuts) || it.forbids.iter().any(|it| deeds.contains(it));
        if let Some(rule) = world.rules.iter().find(|it| shuts(it)) {
            return Some(Against::Rule(rule));
        }
        if path.always || world.rules.iter().any(|it| names(&it.opens)) {
            return self.too_thin(world, path);
        }
        // Where a rule opens it for a face of another thickness, the rule for this one says why not.
        let mut same = self.material.iter().filter(|it| names(&it.opens));
        let elsewhere = same.any(|it| it.when.iter().flatten().any(|atom| is(atom, &world.class)));
        let rule = world.rules.first().filter(|_| elsewhere);
        Some(rule.map_or(Against::NoWay, |it| Against::Rule(it)))
    }

    /// A clear coat on sanded wood needs a run of grits that the face bears.
    fn too_thin(&self, world: &World<'a>, path: &Path) -> Option<Against<'a>> {
        let sands = path.steps.iter().any(|it| it.method == "sand");
        let counts = sands && path.leaves == Leaves::ClearCoat;
        let face_mm = world.face.filter(|_| counts)?;
        let bears = sanding::sanding(Some(face_mm), self.book);
        let reserve_mm = bears.reserve_mm;
        (!sanding::any_fits(&bears)).then_some(Against::TooThin {
            face_mm,
            reserve_mm,
        })
    }
}

/// Whether a question asks for this class.
fn is(atom: &Condition, class: &str) -> bool {
    matches!(atom, Condition::Is { fact: Fact::Material, value, sign: Sign::Must } if value == class)
}

/// Thicknesses of face wood that a class may have; none where that is not counted.
fn faces(class: &str, face: Span, points: &[f64]) -> Vec<Option<f64>> {
    if !THIN_FACED.contains(&class) {
        return vec![None];
    }
    if face.from >= face.to {
        return vec![Some(face.from)];
    }
    let within = points.iter().filter(|it| face.holds(**it));
    within.map(|it| Some(*it)).collect()
}

/// Thicknesses that stand for all: every number at which something changes, and one between each two.
fn points(book: &TradeBook, material: &[&Rule]) -> Vec<f64> {
    let atoms = material.iter().flat_map(|it| it.when.iter().flatten());
    let asked = atoms.filter_map(|it| match it {
        Condition::Number {
            of: Number::FaceMm,
            value,
            ..
        } => Some(*value),
        _ => None,
    });
    let bands = book.face_bands.iter();
    let budgets = bands.clone().flat_map(|band| {
        let runs = book.grit_runs.iter().flat_map(|it| it.takes_mm);
        runs.map(|it| band.reserve_mm + it)
    });
    let edges = bands.flat_map(|it| [it.from_mm, it.reserve_mm]);
    let mut marks: Vec<f64> = asked.chain(budgets).chain(edges).collect();
    marks.sort_by(f64::total_cmp);
    marks.dedup();
    let between = marks.windows(2).map(|it| f64::midpoint(it[0], it[1]));
    let thickest = marks.last().map(|it| it + 1.0);
    let mut all: Vec<f64> = between
        .chain(marks.iter().copied())
        .chain(thickest)
        .collect();
    all.sort_by(f64::total_cmp);
    all
}
