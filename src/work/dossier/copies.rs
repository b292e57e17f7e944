//! Copies of the picture alone, or without private notes, enclosed in the place of what is left out.

use std::path::Path;

use crate::evidence::dossier::bag::Writer;
use crate::evidence::dossier::package::DossierError;
use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::photo::Limits;
use crate::photo::PhotoProcessor;
use crate::photo::disclosed;
use crate::work::WorkError;
use crate::work::dossier::files::COPIES;
use crate::work::dossier::files::From;
use crate::work::dossier::files::Plan;
use crate::work::dossier::files::ToCopy;

/// Puts the copies in, and what each is.
pub(in crate::work) fn copies(plan: &Plan, writer: &mut Writer) -> Result<(), WorkError> {
    let mut processor = PhotoProcessor::new(Limits::default());
    for it in &plan.copies {
        let copy = match &it.from {
            From::File(path) => without_facts(&mut processor, it, path)?,
            From::Text(text) => text.clone().into_bytes(),
        };
        let put = writer.payload(&it.told.place, copy.as_slice());
        put.map_err(DossierError::from)?;
    }
    if !plan.copies.is_empty() {
        let rows = plan
            .copies
            .iter()
            .map(|it| format!("{}\n", it.told.sentence()));
        let text: String = rows.collect();
        let put = writer.payload(&format!("{COPIES}/about.txt"), text.as_bytes());
        put.map_err(DossierError::from)?;
    }
    Ok(())
}

/// The picture of a photo alone.
fn without_facts(
    processor: &mut PhotoProcessor,
    it: &ToCopy,
    path: &Path,
) -> Result<Vec<u8>, WorkError> {
    let bytes = read(path)?;
    let copy = processor.stripped(&bytes).ok();
    let copy = copy.filter(|_| Digest::of(&bytes) == it.sha256);
    let copy = copy.filter(|it| !disclosed(it).tells());
    copy.ok_or_else(|| {
        let what = format!(
            "no copy of the picture alone can be made of {}",
            it.told.what
        );
        WorkError::asked_with(what, "leave `--stripped` out")
    })
}
