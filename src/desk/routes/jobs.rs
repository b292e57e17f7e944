//! Jobs on the book, beside the one thread that serves: so many at once, each run to its end.

use std::panic::AssertUnwindSafe;
use std::panic::catch_unwind;
use std::sync::Arc;
use std::sync::mpsc;

use tokio::sync::Semaphore;
use tokio::sync::oneshot;
use tokio::task::spawn_blocking;

use crate::kit::clock::Moment;
use crate::work::WorkError;
use crate::work::marking::MarkingSession;

/// Gives the moment that counts as now.
pub type Now = Arc<dyn Fn() -> Moment + Send + Sync>;

/// Pictures made at once.
const PICTURES: usize = 2;

/// Jobs on a piece, by how many of a kind may run at once.
#[derive(Clone)]
pub(in crate::desk) struct Jobs {
    marking: MarkingSession,
    now: Now,
    book: Arc<Semaphore>,
    pictures: Arc<Semaphore>,
    fulls: Arc<Semaphore>,
    looks: Arc<Semaphore>,
    looker: mpsc::Sender<Errand>,
}

/// A job for the one thread that looks.
type Errand = Box<dyn FnOnce() + Send>;

/// Begins the thread that looks at pictures; it ends with the last that may send it. One, always the same: what it has freed it
/// takes again, where several would each keep theirs.
fn looker() -> mpsc::Sender<Errand> {
    let (sender, errands) = mpsc::channel::<Errand>();
    std::thread::spawn(move || {
        for errand in errands {
            // Who waits hears of it: nothing is told then.
            let _ = catch_unwind(AssertUnwindSafe(errand));
        }
    });
    sender
}

/// What kind of job.
#[derive(Clone, Copy, Debug)]
pub(in crate::desk) enum Kind {
    /// One that reads or writes the book.
    Book,
    /// One that makes a small picture.
    Picture,
    /// One that makes a picture of every pixel: it may take hundreds of megabytes.
    Full,
    /// One that looks at pictures for what may be offered, in the place of one that makes a picture: it may take seconds, and nobody
    /// waits for it.
    Look,
}

/// Why there is no answer.
#[derive(Debug)]
pub(in crate::desk) enum Trouble {
    /// The job could not be done.
    Work(WorkError),
    /// The job broke down.
    Broken,
}

impl Jobs {
    pub(in crate::desk) fn new(marking: MarkingSession, now: Now) -> Self {
        Self {
            marking,
            now,
            book: Arc::new(Semaphore::new(1)),
            pictures: Arc::new(Semaphore::new(PICTURES)),
            fulls: Arc::new(Semaphore::new(1)),
            looks: Arc::new(Semaphore::new(1)),
            looker: looker(),
        }
    }

    /// Runs a job when its turn has come. Who no longer waits for it does not stop it: half a job would be worse.
    pub(in crate::desk) async fn run<T: Send + 'static>(
        &self,
        kind: Kind,
        job: impl FnOnce(&MarkingSession, Moment) -> Result<T, WorkError> + Send + 'static,
    ) -> Result<T, Trouble> {
        let lanes: &[&Arc<Semaphore>] = match kind {
            Kind::Book => &[&self.book],
            Kind::Picture => &[&self.pictures],
            Kind::Full => &[&self.fulls, &self.pictures],
            Kind::Look => &[&self.looks, &self.pictures],
        };
        let mut turns = Vec::new();
        for lane in lanes {
            // The lanes are never closed.
            let turn = Arc::clone(lane).acquire_owned().await;
            turns.push(turn.map_err(|_| Trouble::Broken)?);
        }
        let (marking, now) = (self.marking.clone(), Arc::clone(&self.now));
        let work = move || {
            let done = job(&marking, now());
            drop(turns);
            done
        };
        let done = if matches!(kind, Kind::Look) {
            let (tell, told) = oneshot::channel();
            let errand = Box::new(move || drop(tell.send(work())));
            self.looker.send(errand).map_err(|_| Trouble::Broken)?;
            told.await.ok()
        } else {
            spawn_blocking(work).await.ok()
        };
        done.ok_or(Trouble::Broken)?.map_err(Trouble::Work)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;
    use std::sync::atomic::AtomicUsize;
    use std::sync::atomic::Ordering;
    use std::time::Duration;

    use super::Jobs;
    use super::Kind;
    use super::Trouble;
    use crate::kit::clock::Moment;
    use crate::work::marking::MarkingSession;

    fn jobs() -> Jobs {
        let marking = MarkingSession {
            root: "nowhere".into(),
            stock_no: "26-001".parse().unwrap(),
        };
        Jobs::new(marking, Arc::new(Moment::now))
    }

    fn run<T>(work: impl Future<Output = T>) -> T {
        let mut builder = tokio::runtime::Builder::new_current_thread();
        builder.enable_all().build().unwrap().block_on(work)
    }

    /// The most jobs of a kind that ran at once, of eight.
    fn most_at_once(kind: Kind) -> usize {
        run(async {
            let (jobs, runs) = (jobs(), Arc::new((AtomicUsize::new(0), AtomicUsize::new(0))));
            let mut all = tokio::task::JoinSet::new();
            for _ in 0..8 {
                let (jobs, runs) = (jobs.clone(), Arc::clone(&runs));
                all.spawn(async move {
                    let job = jobs.run(kind, move |_, _| {
                        let now = runs.0.fetch_add(1, Ordering::SeqCst) + 1;
                        runs.1.fetch_max(now, Ordering::SeqCst);
                        std::thread::sleep(Duration::from_millis(20));
                        runs.0.fetch_sub(1, Ordering::SeqCst);
                        Ok(())
                    });
                    job.await.unwrap();
                });
            }
            while all.join_next().await.is_some() {}
            runs.1.load(Ordering::SeqCst)
        })
    }

    #[test]
    fn so_many_jobs_run_at_once_and_no_more() {
        assert_eq!(most_at_once(Kind::Book), 1);
        assert_eq!(most_at_once(Kind::Picture), 2);
        assert_eq!(most_at_once(Kind::Full), 1);
    }

    #[test]
    fn a_job_that_nobody_waits_for_ends_before_the_next_begins() {
        run(async {
            let (jobs, done) = (jobs(), Arc::new(AtomicUsize::new(0)));
            let slow = Arc::clone(&done);
            let first = jobs.run(Kind::Book, move |_, _| {
                std::thread::sleep(Duration::from_millis(100));
                slow.store(1, Ordering::SeqCst);
                Ok(())
            });
            let gone = tokio::time::timeout(Duration::from_millis(10), first).await;
            assert!(gone.is_err());
            let next = jobs.run(Kind::Book, move |_, _| Ok(done.load(Ordering::SeqCst)));
            assert_eq!(next.await.unwrap(), 1);
        });
    }

    #[test]
    fn a_job_that_breaks_down_gives_its_turn_back() {
        run(async {
            let jobs = jobs();
            for _ in 0..3 {
                let broken = jobs.run(Kind::Book, |_, _| -> Result<(), _> { panic!("on purpose") });
                assert!(matches!(broken.await, Err(Trouble::Broken)));
            }
            assert_eq!(jobs.run(Kind::Book, |_, _| Ok(7)).await.unwrap(), 7);
        });
    }
}
