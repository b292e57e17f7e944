//! A report's page into files: where it was asked for, and in the piece's own folder.

use std::path::Path;
use std::path::PathBuf;
use std::time::Duration;

use crate::kit::files::make_folder;
use crate::kit::files::write_whole;
use crate::report::Packing;
use crate::vault;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::out;
use crate::work::report::edition::EditionWriter;
use crate::work::report::edition::word;

/// No page takes longer to be written.
const DRAFT_AGE: Duration = Duration::from_secs(3600);

impl EditionWriter<'_> {
    /// Writes the page where it was asked for, and a numbered edition in the piece's own folder as well, where the ledger finds it: what
    /// is given away may be moved. The path that was asked for comes first.
    pub(super) fn write(
        &self,
        book: &OpenBook,
        edition: Option<u32>,
        page: &str,
    ) -> Result<(PathBuf, PathBuf), WorkError> {
        let issue = edition.map_or("draft".to_owned(), |no| format!("edition {no}"));
        let (no, reader) = (&self.order.stock_no, word(self.order.reader));
        let name = format!("{no} {reader} {issue}");
        let home = book.piece_folder(&self.assessment.piece).join("reports");
        sweep(&home);
        let asked = self.place(self.order.out.as_deref(), &home, &name)?;
        let kept = match edition {
            Some(_) => self.place(None, &home, &name)?,
            None => asked.clone(),
        };
        self.write_at(&kept, page)?;
        if asked != kept {
            self.write_at(&asked, page)?;
        }
        Ok((asked, kept))
    }

    /// Where the page goes.
    fn place(&self, out: Option<&Path>, home: &Path, name: &str) -> Result<PathBuf, WorkError> {
        match self.order.packing {
            Packing::OneFile => out::place(out, home, &format!("{name}.html")),
            Packing::Folder => {
                let folder = out.map_or_else(|| home.join(name), Path::to_owned);
                out::report_folder(&folder, home)?;
                Ok(folder.join("report.html"))
            }
        }
    }

    /// Writes the page, and beside it the pictures of one in a folder.
    fn write_at(&self, path: &Path, page: &str) -> Result<(), WorkError> {
        if let (Packing::Folder, Some(folder)) = (self.order.packing, path.parent()) {
            make_folder(&folder.join("pictures"))?;
            sweep(folder);
            sweep(&folder.join("pictures"));
            for (shot, taken) in &self.pictures {
                write_whole(&folder.join(shot.file_name()), &taken.jpeg)?;
            }
        }
        out::write(path, page.as_bytes())
    }
}

/// Removes drafts that a killed run left, not the young ones of another window; one that stays keeps no report from being written.
fn sweep(folder: &Path) {
    let _ = vault::sweep(folder, DRAFT_AGE);
}
