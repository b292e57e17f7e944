//! One binary for all tests that use the program as a user does.

mod bad_input;
mod browser;
mod demo;
mod import;
mod photo_reference;
mod readme;
mod regression;
mod report;
mod samples;
mod shop;
mod sidecar;
mod tidy;
