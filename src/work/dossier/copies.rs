//! Copies without camera facts, enclosed in the place of originals that are left out.

use crate::evidence::dossier::bag::Writer;
use crate::evidence::dossier::package::DossierError;
use crate::kit::digest::Digest;
use crate::kit::files::read;
use crate::photo::Limits;
use crate::photo::PhotoProcessor;
use crate::photo::disclosed;
use crate::work::WorkError;
use crate::work::dossier::files::COPIES;
use crate::work::dossier::files::Plan;

/// Puts copies without camera facts in, and what each is.
pub(in crate::work) fn copies(plan: &Plan, writer: &mut Writer) -> Result<(), WorkError> {
    let mut processor = PhotoProcessor::new(Limits::default());
    for it in &plan.copies {
        let bytes = read(&it.from)?;
        let copy = processor.stripped(&bytes);
        let copy = copy.ok().filter(|_| Digest::of(&bytes) == it.sha256);
        let copy = copy.filter(|it| !disclosed(it).may_hold_a_place());
        let Some(copy) = copy else {
            let what = format!(
                "no copy without camera facts can be made of {}",
                it.told.what
            );
            return Err(WorkError::asked_with(what, "leave `--stripped` out"));
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
