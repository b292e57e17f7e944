//! How much of the piece is new, as the repairs tell it.

use std::collections::BTreeSet;

use crate::assess::worked::Worked;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade;

/// In which band a share of replaced material lies, percent (common practice, no source; some rules of trade and customs turn on shares
/// from 35 % on).
fn band(percent: f64) -> Saying {
    match percent {
        it if it < 15.0 => say::share_low(),
        it if it < 35.0 => say::share_middle(),
        _ => say::share_high(),
    }
}

/// On how many parts new material is recorded, and the shares that the repairs tell.
pub(super) fn share(sources: &PageContext<'_>) -> Vec<Saying> {
    let assessment = sources.assessment;
    let with = assessment
        .repairs
        .iter()
        .filter(|it| it.new_material.is_some());
    let with: Vec<&Repair> = with.collect();
    let silent = silent_on_material(&assessment.repairs);
    if with.is_empty() {
        return silent.into_iter().collect();
    }
    let on: Vec<Worked> = with
        .iter()
        .map(|it| Worked::new_material(it, &assessment.findings, trade::book()))
        .collect();
    let parts: BTreeSet<_> = on
        .iter()
        .flat_map(Worked::parts)
        .map(PartId::whole)
        .collect();
    let whole = assessment
        .parts
        .iter()
        .filter(|it| !it.part.is_inner())
        .count();
    let (parts, repairs) = (parts.len(), with.len());
    let mut lines = vec![match on.contains(&Worked::WholePiece) {
        true => say::share_on_and_all(parts, whole, repairs),
        false => say::share_on(parts, whole, repairs),
    }];
    lines.extend(silent);
    let counted = lines.len();
    let told = with.iter().filter_map(|it| {
        let percent = percent_in(it.new_material.as_deref()?)?;
        Some(say::share_told(it.no, band(percent)))
    });
    lines.extend(told);
    if lines.len() == counted {
        lines.push(say::share_untold());
    }
    lines
}

/// The repairs of which no new material was told, though work of their kind commonly adds some.
fn silent_on_material(repairs: &[Repair]) -> Option<Saying> {
    let adds = |it: &&Repair| {
        let method = trade::book().method(&it.method);
        it.new_material.is_none() && method.is_some_and(|it| it.adds.is_some())
    };
    let silent: Vec<u32> = repairs.iter().filter(adds).map(|it| it.no).collect();
    (!silent.is_empty()).then(|| say::share_silent(words::repairs(&silent)))
}

/// The highest number before a percent sign.
fn percent_in(text: &str) -> Option<f64> {
    let mut pieces: Vec<&str> = text.split('%').collect();
    pieces.pop();
    let number = |piece: &str| {
        let plain = piece.trim_end();
        let digit = |it: char| it.is_ascii_digit() || it == '.';
        let start = plain.rfind(|it| !digit(it)).map_or(0, |at| at + 1);
        // What stands before may be no ASCII: the next letter begins at a border.
        plain.get(start..)?.parse::<f64>().ok()
    };
    pieces.into_iter().filter_map(number).reduce(f64::max)
}
