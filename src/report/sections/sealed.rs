//! What the foot of the page says of the seal that there was when it was made, and how to check.

use crate::report::Packing;
use crate::report::ReportRequest;
use crate::report::SealNamed;

/// Hex digits of a root that are printed: enough to know the seal by, not to prove anything by itself.
const ROOT_DIGITS: usize = 16;

/// Sentences about the seal; the page of a new edition enters the record when it is made, so that only a later seal covers it.
pub(in crate::report) fn lines(order: &ReportRequest) -> Vec<String> {
    let when = match order.draft {
        true => "when this draft was made",
        false => "when this edition was made",
    };
    let later = match (order.draft, order.is_copy, order.packing) {
        (true, ..) => "A draft is not entered in the record, and no seal covers it.",
        (false, true, Packing::Folder) => {
            "This edition was entered in the record as one file. This page shows the same with its pictures beside it, was not entered \
             itself, and no seal covers it."
        }
        (false, true, Packing::OneFile) => {
            "This edition was entered in the record as a page with its pictures beside it. This page shows the same in one file, was not \
             entered itself, and no seal covers it."
        }
        (false, false, Packing::OneFile) => {
            "This page was itself entered in the record: only a later seal covers it."
        }
        (false, false, Packing::Folder) => {
            "This page was itself entered in the record when it was made, without the pictures that lie beside it: only a later seal \
             covers it, and none covers them."
        }
    };
    let mut lines = match &order.seal {
        Some(seal) => vec![sealed(seal, when), stamped(seal)],
        None => vec![format!(
            "Not sealed yet {when}: no seal covered anything about this piece."
        )],
    };
    lines.push(later.to_owned());
    lines
}

fn sealed(seal: &SealNamed, when: &str) -> String {
    let lines = match seal.covers == seal.lines {
        true => format!("all {} lines", seal.lines),
        false => format!("{} of the {} lines", seal.covers, seal.lines),
    };
    format!(
        "The newest seal {when}: seal {}, made on {} by the owner's clock, over the first {} lines of the record, {lines} \
         about this piece among them; root {} ..., signed with the owner's key.",
        seal.no,
        seal.at.local_day().spoken(),
        seal.size,
        grouped(&seal.root.short(ROOT_DIGITS)),
    )
}

fn stamped(seal: &SealNamed) -> String {
    match seal.stamped {
        Some(at) => format!("A time-stamp authority says that it was there not later than {at}."),
        None => "It was not time-stamped: when it was made, only the owner says.".to_owned(),
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
