//! Everything a part may be made of, one by one: what its material allows is what each of these allows.

use crate::advise::advice::Reason;
use crate::advise::advice::Verdict;
use crate::advise::facts::Facts;
use crate::advise::facts::THIN_FACED;
use crate::advise::facts::Truth;
use crate::advise::gather::set;
use crate::advise::look::MEASURE;
use crate::advise::sanding;
use crate::advise::span::Span;
use crate::trade::TradeBook;
use crate::trade::atom::Atom;
use crate::trade::atom::Fact;
use crate::trade::atom::Number;
use crate::trade::path::Leaves;
use crate::trade::path::Path;
use crate::trade::path::Role;
use crate::trade::path::Rule;

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
    look: Option<&'a str>,
    book: &'a TradeBook,
}

/// What the material says of a path.
#[derive(Debug)]
pub(crate) struct Base {
    pub(crate) verdict: Verdict,
    pub(crate) reasons: Vec<Reason>,
    pub(crate) look: Vec<String>,
}

/// What a material says of a path: nothing against it, or why not.
type Against<'a> = Option<(Reason, Option<&'a str>)>;

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
            look: facts.material_look.as_deref(),
            book,
        }
    }

    /// What the material says of a path: open whatever it is, shut whatever it is, or to be looked at first.
    pub(crate) fn base(&self, path: &Path) -> Base {
        let said: Vec<(&str, Against<'_>)> = self
            .worlds
            .iter()
            .map(|it| (it.class.as_str(), self.against(it, path)))
            .collect();
        let closed = said.iter().filter(|it| it.1.is_some()).count();
        let verdict = match closed {
            0 => Verdict::Open,
            all if all == said.len() => Verdict::Shut,
            _ => Verdict::Waiting,
        };
        let mut base = Base {
            verdict,
            reasons: Vec::new(),
            look: Vec::new(),
        };
        for (class, against) in &said {
            let Some((reason, look)) = against else {
                continue;
            };
            if !base.reasons.contains(reason) {
                base.reasons.push(reason.clone());
            }
            if verdict != Verdict::Waiting {
                continue;
            }
            // Where its thickness decides, it is measured; where its class decides, the part is looked at for that.
            let mut same = said.iter().filter(|it| it.0 == *class);
            let by_thickness = same.any(|it| it.1.is_none());
            let look = match by_thickness {
                true => Some(MEASURE),
                false => self.look.or(*look),
            };
            let look = look.map(str::to_owned);
            base.look.extend(look.filter(|it| !base.look.contains(it)));
        }
        base
    }

    fn against(&self, world: &World<'a>, path: &Path) -> Against<'a> {
        let names = |list: &[String]| list.contains(&path.id);
        let reason = |rule: &&'a Rule| {
            let reason = Reason {
                rule: rule.id.clone(),
                why: rule.why.clone(),
            };
            (reason, rule.look.as_deref())
        };
        if let Some(rule) = world.rules.iter().find(|it| names(&it.shuts)) {
            return Some(reason(rule));
        }
        if !path.always && !world.rules.iter().any(|it| names(&it.opens)) {
            let unnamed = Reason {
                rule: "material".to_owned(),
                why: "This way is not meant for what the part is made of.".to_owned(),
            };
            let first = world.rules.first().map(reason);
            return Some(first.unwrap_or((unnamed, None)));
        }
        self.too_thin(world, path)
    }

    /// A clear coat on sanded wood needs a run of grits that the face bears.
    fn too_thin(&self, world: &World<'a>, path: &Path) -> Against<'a> {
        let sands = path.steps.iter().any(|it| it.method == "sand");
        let face = world
            .face
            .filter(|_| sands && path.leaves == Leaves::ClearCoat)?;
        let bears = sanding::sanding(Some(face), self.book);
        let why = format!(
            "Of {face} mm of face wood {} mm must stay: what is left bears no run of grits.",
            bears.reserve_mm
        );
        let reason = Reason {
            rule: "sanding".to_owned(),
            why,
        };
        (!sanding::any_fits(&bears)).then_some((reason, Some(MEASURE)))
    }
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
        Atom::Number {
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
