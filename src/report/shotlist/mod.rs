//! A list of pictures to take into a page for the phone or one sheet.

pub(in crate::report) mod shot_page;
