//! How a long job tells how far it is, without knowing who listens.

/// Hears how far a job is.
pub trait Progress: Sync {
    /// `total` steps of `what` begin.
    fn begin(&self, what: &str, total: usize);
    /// One step is done.
    fn step(&self);
    /// All is done.
    fn end(&self);
    /// Something worth saying while the job runs.
    fn say(&self, what: &str);
}

/// Hears nothing.
#[derive(Clone, Copy, Debug)]
pub struct Quiet;

impl Progress for Quiet {
    fn begin(&self, _: &str, _: usize) {}
    fn step(&self) {}
    fn end(&self) {}
    fn say(&self, _: &str) {}
}
