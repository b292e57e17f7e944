//! The watch after the treatment of a living danger.

use crate::assess::findings::finding::Finding;
use crate::trade::TradeBook;
use crate::trade::entry::repair::method::Method;

/// The watch that shows whether the treatment of a living danger worked, where it was treated.
pub(in crate::advise) fn watch<'a>(finding: &Finding, book: &'a TradeBook) -> Option<&'a Method> {
    let clear = book.tag(&finding.tag)?.clear.as_ref()?;
    let watch = clear.watch.as_ref().filter(|_| finding.is_treated())?;
    book.method(watch)
}
