//! Checks of the room: known values, random cameras, real pictures, words.

mod boards;
mod cameras;
mod known;
mod lying;
mod properties;
mod words;

/// Asserts that two numbers are as near as `within`.
#[track_caller]
fn near(got: f64, wanted: f64, within: f64) {
    assert!(
        (got - wanted).abs() <= within,
        "{got}, wanted {wanted} within {within}"
    );
}
