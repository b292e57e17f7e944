//! The file that comes home from a doorstep: what was tapped, and what was told there.

use std::collections::BTreeMap;

use serde::Deserialize;

/// What was tapped and told at a door.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DoorTold {
    /// The shape of the file; 1.
    pub doorstep: u32,
    /// The form.
    pub form: String,
    /// What the piece is called.
    pub title: Option<String>,
    /// Its size as typed.
    pub size: Option<String>,
    /// What is asked, as typed.
    pub asks: Option<String>,
    /// What the seller said.
    pub note: Option<String>,
    /// What such pieces were sold for, by the way they were finished; as typed.
    #[serde(default)]
    pub sold: BTreeMap<String, String>,
    /// The answer of each tap, by id.
    #[serde(default)]
    pub taps: BTreeMap<String, String>,
}

/// Reads such a file.
///
/// # Errors
/// When the text is none, in the parser's words with the place.
pub fn door(text: &str) -> Result<DoorTold, String> {
    let told: DoorTold = toml::from_str(text).map_err(|error| error.to_string())?;
    match told.doorstep {
        1 => Ok(told),
        other => Err(format!(
            "`doorstep = {other}` is a file of another program; this one reads 1"
        )),
    }
}
