//! What the record of a piece means, in the lines of the survey: what it is made of, when, what can still be done.

use serde::Serialize;

use crate::advise::refinish::advice::Fits;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::PathAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::assess::assessment::Assessment;
use crate::assess::assessment::PartReport;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;

/// What a part is made of.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct MaterialLine {
    pub part: PartId,
    pub label: String,
    /// `solid`, `veneer` ...; `None` when it is not settled.
    pub settled: Option<String>,
    /// What it may still be, when it is not settled.
    pub possible: Vec<String>,
    pub text: String,
    pub look: Option<String>,
    /// Numbers of the photos it rests on.
    pub photos: Vec<u32>,
}

/// When it was made; an opinion.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct MadeLine {
    pub from: Option<i16>,
    pub to: Option<i16>,
    pub text: String,
}

/// What can still be done with the surface of a part.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct PathsLine {
    pub part: PartId,
    pub label: String,
    pub paths: Vec<PathLine>,
    /// What may come off in sanding, mm; `None` where there is no face wood.
    pub sanding_mm: Option<f64>,
    /// Whether that rests on a measure; else the thinnest is taken.
    pub face_measured: bool,
    /// Runs of grits that fit, such as `150-180-220`.
    pub grits: Vec<String>,
    pub never: Vec<String>,
}

/// One path on one part.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct PathLine {
    pub path: String,
    pub label: String,
    pub verdict: Verdict,
    pub why: Vec<String>,
    pub look: Vec<String>,
    pub opened_by: Vec<String>,
    pub removes: Vec<FindingNo>,
    pub hides: Vec<FindingNo>,
    pub leaves: Vec<FindingNo>,
    pub tell: Vec<FindingNo>,
}

/// The materials of the parts that are asked for or have evidence.
pub(in crate::work) fn material_lines(it: &Assessment) -> Vec<MaterialLine> {
    let told = |it: &&PartReport| it.required || !it.material.evidence.is_empty();
    let line = |part: &PartReport| {
        let mut photos: Vec<u32> = part.material.evidence.iter().map(|it| it.photo).collect();
        photos.sort_unstable();
        photos.dedup();
        MaterialLine {
            part: part.part.clone(),
            label: part.label.clone(),
            settled: part.material.settled.clone(),
            possible: part.material.possible.clone(),
            text: part.material.text.clone(),
            look: part.material.look.clone(),
            photos,
        }
    };
    it.parts.iter().filter(told).map(line).collect()
}

pub(in crate::work) fn made_line(it: &Assessment) -> MadeLine {
    MadeLine {
        from: it.made.from,
        to: it.made.to,
        text: it.made.text.clone(),
    }
}

pub(in crate::work) fn path_lines(parts: &[PartAdvice]) -> Vec<PathsLine> {
    parts.iter().map(paths_line).collect()
}

fn paths_line(it: &PartAdvice) -> PathsLine {
    let runs = it.sanding.iter().flat_map(|it| &it.runs);
    let fitting = runs.filter(|it| it.fits == Fits::Fits);
    let grits = fitting.map(|it| {
        let grits: Vec<String> = it.grits.iter().map(u16::to_string).collect();
        grits.join("-")
    });
    PathsLine {
        part: it.part.clone(),
        label: it.label.clone(),
        paths: it.paths.iter().map(path_line).collect(),
        sanding_mm: it.sanding.as_ref().map(|it| it.budget_mm),
        face_measured: it.sanding.as_ref().is_some_and(|it| it.lowest_mm.is_some()),
        grits: grits.collect(),
        never: it.never.clone(),
    }
}

fn path_line(it: &PathAdvice) -> PathLine {
    PathLine {
        path: it.path.clone(),
        label: it.label.clone(),
        verdict: it.verdict,
        why: it.reasons.iter().map(|it| it.why.clone()).collect(),
        look: it.look.clone(),
        opened_by: it.opened_by.clone(),
        removes: it.removes.clone(),
        hides: it.hides.clone(),
        leaves: it.leaves.clone(),
        tell: it.tell.clone(),
    }
}
