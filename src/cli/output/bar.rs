//! The progress bar on a terminal.

use std::fmt::Write;
use std::sync::Mutex;
use std::sync::PoisonError;
use std::time::Duration;

use indicatif::ProgressBar;
use indicatif::ProgressState;
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
        let style = ProgressStyle::with_template("{msg} {pos} of {len} {wide_bar} {pace}");
        let style = style.unwrap_or_else(|_| ProgressStyle::default_bar());
        let pace = |state: &ProgressState, to: &mut dyn Write| {
            if state.pos() > 0 {
                let _ = to.write_str(&pace(state.per_sec(), state.eta()));
            }
        };
        bar.set_style(style.with_key("pace", pace));
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

/// How fast it goes, and how long it goes on.
fn pace(a_second: f64, left: Duration) -> String {
    let left = match left.as_secs() {
        it @ ..100 => format!("{} s", it.max(1)),
        it => format!("{} min", it.div_ceil(60)),
    };
    format!("{:.0} a minute, {left} left", a_second * 60.0)
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::pace;

    #[test]
    fn it_says_how_many_a_minute_and_how_long_it_goes_on() {
        let seconds = Duration::from_secs;
        assert_eq!(pace(3.5, seconds(42)), "210 a minute, 42 s left");
        assert_eq!(pace(0.25, seconds(3601)), "15 a minute, 61 min left");
        assert_eq!(pace(5.0, seconds(0)), "300 a minute, 1 s left");
    }
}
