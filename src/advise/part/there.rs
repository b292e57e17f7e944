//! What of the piece the cautions of the work depend on.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::assessment::Assessment;
use crate::model::ids::PartId;
use crate::trade::entry::hazard::Present;

/// What is there.
pub(crate) struct There<'a> {
    /// The kind of each part.
    kinds: &'a BTreeMap<PartId, String>,
    /// What calls for lines of a danger.
    pub(crate) present: Present<'a>,
}

impl<'a> There<'a> {
    /// On this piece.
    pub(crate) fn on(it: &'a Assessment) -> Self {
        let kinds = it.kinds.iter().filter(|of| !it.is_absent(of.0));
        let open = it.findings.iter().filter(|it| it.is_to_do());
        Self {
            kinds: &it.kinds,
            present: Present {
                kinds: kinds.map(|it| it.1.as_str()).collect(),
                marks: open.map(|it| it.tag.as_str()).collect(),
                shut: it.cautions.iter().any(|it| it.shut),
            },
        }
    }

    /// The kinds of these parts, and of those on which they are.
    pub(crate) fn kinds_of(&self, parts: &BTreeSet<PartId>) -> BTreeSet<&'a str> {
        let all = parts.iter().flat_map(|it| [it.clone(), it.whole()]);
        let kinds = all.filter_map(|it| self.kinds.get(&it));
        kinds.map(String::as_str).collect()
    }
}
