//! What a dossier leaves out, and why: one value, from which its cover, its `left-out.txt` and the list that a check reads are made.

use serde::Serialize;

use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::seal::proofs::LeftOutFile;
use crate::evidence::seal::proofs::Why;
use crate::kit::digest::Digest;
use crate::kit::text::small;
use crate::work::dossier::disclosure::CopyTold;

/// Something that is not in the dossier.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotIn {
    /// Number of the line that names it.
    pub line: u64,
    /// What it is.
    pub what: String,
    /// Of the file that the line names; `None` where it is the line itself.
    pub sha256: Option<Digest>,
    /// Why not.
    pub why: WhyNot,
}

/// Why something is not in a dossier.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum WhyNot {
    /// It is private.
    Private,
    /// A place is, or may be, written in it.
    Place,
    /// The same of a kept paper or message, of which there is never a copy.
    #[serde(rename = "place")]
    PlaceInPaper,
    /// Comments are written in it, and copies without them were asked for.
    Words,
    /// Copies of the picture alone were asked for, so that no original goes out, whatever its file holds.
    Stripped,
    /// It was written beside a picture that was taken out of the book.
    Removed,
    /// It was made while a picture was in that was taken out of the book since, and may show it.
    #[serde(rename = "may show a picture that was taken out")]
    MayShow,
    /// Its file is gone, or no longer what the ledger says.
    Lost,
    /// A later text has taken its place.
    Replaced,
    /// It could not be read: it is not in force, and may hold what is private.
    Refused,
    /// Only a later seal covers it.
    #[serde(rename = "newer than the seal")]
    Newer,
}

impl WhyNot {
    /// All reasons, in the order in which they are told.
    const ALL: [Self; 11] = [
        Self::Lost,
        Self::Place,
        Self::PlaceInPaper,
        Self::Words,
        Self::Stripped,
        Self::Private,
        Self::Replaced,
        Self::Refused,
        Self::Removed,
        Self::MayShow,
        Self::Newer,
    ];

    fn words(self) -> &'static str {
        match self {
            Self::Lost => "Lost, or no longer what the ledger says",
            Self::Place => "Kept back because a place is, or may be, written in it",
            Self::PlaceInPaper => {
                "Papers and messages kept back because a place is, or may be, written in them"
            }
            Self::Words => "Kept back because comments are written in it",
            Self::Stripped => "Kept back with all that its file holds beside the picture",
            Self::Private => "Kept back as private",
            Self::Replaced => "Replaced by a later text",
            Self::Refused => {
                "Not in force, as it could not be read, and kept back, as it may hold what is private; the text in force is named beside the picture"
            }
            Self::Removed => "Written beside a picture that was taken out of the record",
            Self::MayShow => {
                "Reports that may show a picture that was taken out; whoever has one can hold it against its SHA-256"
            }
            Self::Newer => "Newer than the seal",
        }
    }

    /// The word of it that a check reads.
    fn in_proof(self) -> Why {
        match self {
            Self::Private
            | Self::Place
            | Self::PlaceInPaper
            | Self::Words
            | Self::Stripped
            | Self::MayShow
            | Self::Refused
            | Self::Newer => Why::Private,
            Self::Removed => Why::Removed,
            Self::Lost => Why::Lost,
            Self::Replaced => Why::Replaced,
        }
    }
}

/// All that is left out.
#[derive(Clone, Copy, Debug)]
pub(in crate::work) struct AllLeftOut<'a> {
    /// Files and lines, by line.
    pub(in crate::work) not_in: &'a [NotIn],
    /// The lines that are here without their private part.
    pub(in crate::work) private_parts: &'a [u64],
    /// What lies here in the place of a file.
    pub(in crate::work) copies: &'a [CopyTold],
}

impl AllLeftOut<'_> {
    /// Each reason with how much there is of it, then each thing with its line.
    fn groups(&self) -> Vec<(String, Vec<&NotIn>)> {
        let of = |why: WhyNot| {
            let these = self.not_in.iter().filter(|it| it.why == why);
            let these: Vec<&NotIn> = these.collect();
            let head = format!("{} ({})", why.words(), these.len());
            (!these.is_empty()).then_some((head, these))
        };
        WhyNot::ALL.into_iter().filter_map(of).collect()
    }

    /// The lines of which a part is kept back, in a sentence.
    fn parts(&self) -> Option<String> {
        let lines: Vec<String> = self.private_parts.iter().map(u64::to_string).collect();
        (!lines.is_empty()).then(|| {
            format!(
                "Private parts of lines, kept back ({}); the lines themselves are here, each with the SHA-256 of its part: {}.",
                lines.len(),
                lines.join(", ")
            )
        })
    }

    /// A sentence for each reason, as the cover has them.
    pub(in crate::work) fn sentences(&self) -> Vec<String> {
        let group = |(head, these): (String, Vec<&NotIn>)| {
            let one = |it: &NotIn| match it.why {
                WhyNot::MayShow => it.with_digest(),
                _ => it.named(),
            };
            let these: Vec<String> = these.into_iter().map(one).collect();
            format!("{head}: {}.", these.join("; "))
        };
        let groups = self.groups().into_iter().map(group);
        let all = groups.chain(self.parts());
        all.chain(self.copies.iter().map(CopyTold::sentence))
            .collect()
    }

    /// Why the file that a line names is not here, and where a copy of it lies.
    pub(in crate::work) fn file_of(&self, line: u64) -> String {
        let mut told = "not enclosed".to_owned();
        if let Some(it) = self.not_in.iter().find(|it| it.line == line) {
            told.push_str(&format!(": {}", small(it.why.words())));
        }
        if let Some(it) = self.copies.iter().find(|it| it.line == line) {
            told.push_str(&format!("; a copy without {}: {}", it.without, it.place));
        }
        told
    }

    /// The same as a text, a row for each thing, with its digest.
    pub(in crate::work) fn text(&self) -> String {
        let mut text = "What is not enclosed, as the maker of this dossier says:\n".to_owned();
        for (head, these) in self.groups() {
            text.push_str(&format!("\n{head}:\n"));
            for it in these {
                text.push_str(&format!("- {}\n", it.with_digest()));
            }
        }
        let rest = self.parts().into_iter();
        for line in rest.chain(self.copies.iter().map(CopyTold::sentence)) {
            text.push_str(&format!("\n{line}\n"));
        }
        if self.not_in.is_empty() && self.private_parts.is_empty() {
            text.push_str("\nNothing.\n");
        }
        text
    }

    /// The same as a check reads it: the files that lines name and that are not here.
    pub(in crate::work) fn in_proof(&self) -> LeftOut {
        let file = |it: &NotIn| {
            Some(LeftOutFile {
                no: it.line,
                sha256: it.sha256?,
                why: it.why.in_proof(),
            })
        };
        LeftOut {
            lines: Vec::new(),
            files: self.not_in.iter().filter_map(file).collect(),
        }
    }
}

impl NotIn {
    /// `photo 8, h2.jpg (line 19)`; in one row, whatever its name holds.
    fn named(&self) -> String {
        let what = self.what.replace(char::is_control, " ");
        format!("{what} (line {})", self.line)
    }

    /// The same with the digest of its file.
    fn with_digest(&self) -> String {
        let sum = self.sha256;
        let sum = sum.map_or_else(String::new, |it| format!(", SHA-256 {it}"));
        format!("{}{sum}", self.named())
    }
}
