//! What the foot of the page says of the seal that there was when it was made, and how to check.

use crate::report::Packing;
use crate::report::ReportRequest;
use crate::report::SealNamed;
use crate::tongue::Saying;
use crate::tongue::say;

/// Hex digits of a root that are printed: enough to know the seal by, not to prove anything by itself.
const ROOT_DIGITS: usize = 16;

/// Sentences about the seal; the page of a new edition enters the record when it is made, so that only a later seal covers it.
pub(in crate::report) fn lines(order: &ReportRequest) -> Vec<Saying> {
    let later = match (order.draft, order.is_copy, order.packing) {
        (true, ..) => say::sealed_no_draft(),
        (false, true, Packing::Folder) => say::sealed_copy_folder(),
        (false, true, Packing::OneFile) => say::sealed_copy_file(),
        (false, false, Packing::OneFile) => say::sealed_file(),
        (false, false, Packing::Folder) => say::sealed_folder(),
    };
    let mut lines = match (&order.seal, order.draft) {
        (Some(seal), draft) => vec![sealed(seal, draft), stamped(seal)],
        (None, true) => vec![say::seal_none_draft()],
        (None, false) => vec![say::seal_none_edition()],
    };
    lines.push(later);
    lines
}

fn sealed(seal: &SealNamed, draft: bool) -> Saying {
    let lines = match seal.covers == seal.lines {
        true => say::seal_all_lines(seal.lines.to_string()),
        false => say::seal_some_lines(seal.covers.to_string(), seal.lines.to_string()),
    };
    let root = grouped(&seal.root.short(ROOT_DIGITS));
    let (no, day, size) = (seal.no, seal.at.local_day(), seal.size.to_string());
    match draft {
        true => say::seal_newest_draft(no, day, size, lines, root),
        false => say::seal_newest_edition(no, day, size, lines, root),
    }
}

fn stamped(seal: &SealNamed) -> Saying {
    match seal.stamped {
        Some(at) => say::seal_stamped(at.to_string()),
        None => say::seal_unstamped(),
    }
}

/// In groups of four, as a person reads digits out.
fn grouped(digits: &str) -> String {
    let mut text = String::new();
    for (n, digit) in digits.chars().enumerate() {
        if n > 0 && n % 4 == 0 {
            text.push(' ');
        }
        text.push(digit);
    }
    text
}
