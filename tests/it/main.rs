//! One binary for all tests that use the program as a user does.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

mod bad_input;
mod both_sources;
mod browser;
mod cases;
mod demo;
mod desk;
mod desk_client;
mod desk_run;
mod dossier;
mod editions;
mod estimate;
mod import;
mod key;
mod mark_page;
mod marking;
mod own_words;
mod photo_reference;
mod proof;
mod readme;
mod regression;
mod report;
mod sale;
mod samples;
mod scale;
mod season;
mod shop;
mod shotlist;
mod sidecar;
mod stamp;
mod stamp_asked;
mod stamp_office;
mod stamped;
mod tampering;
mod tidy;
