//! One binary for all tests that use the program as a user does.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

mod answers;
mod bad_input;
mod both_sources;
mod browser;
mod cases;
mod circles;
mod demo;
mod desk;
mod desk_client;
mod desk_run;
mod disclosed_reference;
mod dossier;
mod editions;
mod estimate;
mod handover;
mod import;
mod json_names;
mod key;
mod letter;
mod licences;
mod made_before;
mod mark_page;
mod marking;
mod oracle;
mod oracle_book;
mod oracle_page;
mod oracle_program;
mod oracle_reading;
mod oracle_record;
mod own_words;
mod photo_reference;
mod proof;
#[cfg(unix)]
mod read_only;
mod readme;
mod regression;
mod report;
mod sale;
mod scale;
mod season;
mod second_run;
mod shop;
mod shotlist;
mod sidecar;
mod stamp;
mod stamp_asked;
mod stamp_kinds;
mod stamp_office;
mod stamped;
mod tampering;
mod tidy;
mod told;
mod trade_words;
