//! The progress bar on a terminal.

use std::sync::Mutex;
use std::sync::PoisonError;

use indicatif::ProgressBar;
use indicatif::ProgressStyle;

use crate::cli::output::is_watched;
use crate::cli::output::talk;
use crate::work::progress::Progress;

/// Draws a bar on standard error while a long job runs, if somebody watches.
#[derive(Debug, Default)]
pub(in crate::cli) struct Bar {
    bar: Mutex<Option<ProgressBar>>,
}

impl Progress for Bar {
    fn begin(&self, what: &str, total: usize) {
        if !is_watched() || total < 2 {
            return;
        }
        let bar = ProgressBar::new(total as u64);
        let style = ProgressStyle::with_template("{msg} {pos} of {len} {wide_bar} {eta}");
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
        bar.set_message(what.to_owned());
        *self.bar.lock().unwrap_or_else(PoisonError::into_inner) = Some(bar);
    }

    fn step(&self) {
        if let Some(bar) = &*self.bar.lock().unwrap_or_else(PoisonError::into_inner) {
            bar.inc(1);
        }
    }

    fn end(&self) {
        if let Some(bar) = self
            .bar
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take()
        {
            bar.finish_and_clear();
        }
    }

    fn say(&self, what: &str) {
        talk(what);
    }
}
