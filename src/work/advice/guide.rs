//! The guide: how a piece goes from the doorstep to a claim.

use serde::Serialize;

use crate::work::WorkError;

const GUIDE: &str = include_str!("../../../demo/guide.md");

/// A part of the guide.
#[derive(Debug, Serialize)]
pub struct GuidePart {
    /// Its heading.
    pub heading: &'static str,
    /// Its text, as Markdown.
    pub text: &'static str,
}

/// The parts of the guide in their order: all, or those that have this in their heading.
///
/// # Errors
/// When there is none.
pub fn guide(about: Option<&str>) -> Result<Vec<GuidePart>, WorkError> {
    // The first line of a part is its heading.
    let parts = GUIDE.split("\n## ").skip(1);
    let parts = parts.filter_map(|it| it.split_once('\n'));
    let mut parts: Vec<GuidePart> = parts
        .map(|(heading, text)| GuidePart {
            heading,
            text: text.trim_matches('\n'),
        })
        .collect();
    if let Some(about) = about {
        let headings: Vec<&str> = parts.iter().map(|it| it.heading).collect();
        let word = about.to_lowercase();
        parts.retain(|it| it.heading.to_lowercase().contains(&word));
        if parts.is_empty() {
            return Err(WorkError::asked_with(
                format!("no part of the guide is about `{about}`"),
                format!("its parts are: {}", headings.join("; ")),
            ));
        }
    }
    Ok(parts)
}
