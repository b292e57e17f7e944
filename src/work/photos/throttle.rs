//! Keeps a pipeline in order and its memory bounded: how far ahead workers run, and how many pixels are in flight.

use std::sync::Condvar;
use std::sync::Mutex;
use std::sync::MutexGuard;
use std::sync::PoisonError;

/// How many photos may be ahead of the one being entered ...
const AHEAD_MAX: usize = 8;
/// ... and how many bytes their files may have together; a larger one is alone.
const BYTES_MAX: u64 = 60_000_000;

/// How many pixels may be decoded at once: two pictures of 24 megapixels, or one larger one alone.
const PIXELS_MAX: u64 = 50_000_000;

/// The gate of one pipeline.
#[derive(Debug, Default)]
pub(in crate::work) struct Gate {
    state: Mutex<State>,
    changed: Condvar,
}

#[derive(Debug, Default)]
struct State {
    next: usize,
    entered: usize,
    pixels: u64,
    stopped: bool,
}

impl State {
    /// Whether the next photo would be too far ahead of the one being entered, which itself never is.
    fn is_far_ahead(&self, bytes: &[u64]) -> bool {
        let held: u64 = bytes[self.entered..=self.next].iter().sum();
        let alone = self.next == self.entered;
        self.next >= self.entered + AHEAD_MAX || !alone && held > BYTES_MAX
    }
}

impl Gate {
    /// The next photo to work on, of files of so many `bytes`; waits while too many are ahead. `None` when there are no more.
    pub(in crate::work) fn next(&self, bytes: &[u64]) -> Option<usize> {
        let total = bytes.len();
        let mut state = self.state();
        while !state.stopped && state.next < total && state.is_far_ahead(bytes) {
            state = self
                .changed
                .wait(state)
                .unwrap_or_else(PoisonError::into_inner);
        }
        if state.stopped || state.next >= total {
            return None;
        }
        state.next += 1;
        Some(state.next - 1)
    }

    /// Runs `job` once there is room for `pixels`; a picture larger than the bound runs alone.
    pub(in crate::work) fn with_pixels<T>(&self, pixels: u64, job: impl FnOnce() -> T) -> T {
        let mut state = self.state();
        while state.pixels > 0 && state.pixels + pixels > PIXELS_MAX {
            state = self
                .changed
                .wait(state)
                .unwrap_or_else(PoisonError::into_inner);
        }
        state.pixels += pixels;
        drop(state);
        let done = job();
        self.state().pixels -= pixels;
        self.changed.notify_all();
        done
    }

    /// One more photo is entered or passed over.
    pub(in crate::work) fn entered(&self) {
        self.state().entered += 1;
        self.changed.notify_all();
    }

    /// No more photos are to be begun.
    pub(in crate::work) fn stop(&self) {
        self.state().stopped = true;
        self.changed.notify_all();
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::AtomicUsize;
    use std::sync::atomic::Ordering;
    use std::sync::mpsc;

    use super::AHEAD_MAX;
    use super::BYTES_MAX;
    use super::Gate;

    #[test]
    fn every_photo_is_given_once_and_nobody_runs_far_ahead() {
        let (gate, total, furthest) = (Gate::default(), 100, AtomicUsize::new(0));
        let (send, receive) = mpsc::channel();
        std::thread::scope(|scope| {
            for _ in 0..4 {
                let (send, gate, furthest) = (send.clone(), &gate, &furthest);
                scope.spawn(move || {
                    while let Some(n) = gate.next(&[1; 100]) {
                        furthest.fetch_max(n, Ordering::SeqCst);
                        let pixels = if n % 7 == 0 { 90_000_000 } else { 20_000_000 };
                        gate.with_pixels(pixels, || send.send(n).unwrap());
                    }
                });
            }
            drop(send);
            let mut got = Vec::new();
            for n in receive {
                assert!(furthest.load(Ordering::SeqCst) < got.len() + AHEAD_MAX);
                got.push(n);
                gate.entered();
            }
            got.sort_unstable();
            assert_eq!(got, (0..total).collect::<Vec<_>>());
        });
    }

    #[test]
    fn large_files_are_not_held_together() {
        let gate = Gate::default();
        let bytes = [BYTES_MAX / 2, BYTES_MAX / 2, 1, 3 * BYTES_MAX];
        let far = |gate: &Gate| gate.state().is_far_ahead(&bytes);
        assert!(!far(&gate));
        assert_eq!(gate.next(&bytes), Some(0));
        assert!(!far(&gate));
        assert_eq!(gate.next(&bytes), Some(1));
        assert!(far(&gate));
        gate.entered();
        assert!(!far(&gate));
        assert_eq!(gate.next(&bytes), Some(2));
        assert!(far(&gate));
        gate.entered();
        gate.entered();
        // However large, one alone is taken.
        assert_eq!(gate.next(&bytes), Some(3));
        assert_eq!(gate.next(&bytes), None);
    }
}
