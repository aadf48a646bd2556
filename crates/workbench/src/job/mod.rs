//! Jobs: the one place that starts threads.
//!
//! A job owns what it needs and runs a pure function; its progress is an atomic number, its cancel a flag that the
//! function asks about, and its result arrives by a channel. After each change the wake-up callback is called, so that
//! a window may sleep until there is something to show.

mod progress;

use std::{
    panic::{AssertUnwindSafe, catch_unwind},
    sync::{
        Arc,
        mpsc::{Receiver, Sender, channel},
    },
    time::{Duration, Instant},
};

pub use progress::Progress;

/// Called from job threads when there is something new to show.
pub type Wake = Arc<dyn Fn() + Send + Sync>;

/// Names a job: two jobs with the same key do the same work, and the newer one replaces the older.
pub type Key = String;

/// How a job ended.
#[derive(Debug)]
pub enum End<T> {
    /// With a result.
    Done(T),
    /// With one plain line saying what went wrong.
    Failed(String),
    /// It was cancelled.
    Cancelled,
}

struct Running {
    number: u64,
    key: Key,
    name: String,
    progress: Progress,
    quiet: bool,
}

/// A job as the window shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// What it does: 'Reading photo 4'.
    pub name: String,
    /// How far it is, 0 to 1.
    pub fraction: f32,
    /// How many others wait or run beside it.
    pub others: usize,
    /// Seconds since it was started.
    pub seconds: f32,
}

/// All running jobs, and the channel their results arrive by.
pub struct Jobs<T> {
    running: Vec<Running>,
    next_number: u64,
    sender: Sender<(u64, End<T>)>,
    receiver: Receiver<(u64, End<T>)>,
    wake: Wake,
}

impl<T: Send + 'static> Default for Jobs<T> {
    fn default() -> Self {
        let (sender, receiver) = channel();
        Self { running: Vec::new(), next_number: 0, sender, receiver, wake: Arc::new(|| {}) }
    }
}

impl<T: Send + 'static> Jobs<T> {
    /// What is called when there is something new.
    pub fn wake(&self) -> Wake {
        self.wake.clone()
    }

    /// Sets what is called when there is something new. Jobs already running keep the callback they were started with.
    pub fn set_wake(&mut self, wake: Wake) {
        self.wake = wake;
    }

    /// Starts a job on its own thread, in place of any job with the same key. A quiet job is not shown in the top bar.
    pub fn start(
        &mut self,
        key: impl Into<Key>,
        name: impl Into<String>,
        quiet: bool,
        run: impl FnOnce(&Progress) -> Result<T, String> + Send + 'static,
    ) {
        let key = key.into();
        self.cancel_key(&key);
        let progress = Progress::new(self.wake.clone());
        let number = self.next_number;
        self.next_number += 1;
        self.running.push(Running { number, key, name: name.into(), progress: progress.clone(), quiet });
        let (sender, wake) = (self.sender.clone(), self.wake.clone());
        let work = move || {
            let end = match catch_unwind(AssertUnwindSafe(|| run(&progress))) {
                _ if progress.cancelled() => End::Cancelled,
                Ok(Ok(result)) => End::Done(result),
                Ok(Err(line)) => End::Failed(line),
                Err(_) => End::Failed("That failed inside the program; nothing was changed. Please report it.".into()),
            };
            // The receiver is gone only when the program is closing.
            let _ = sender.send((number, end));
            wake();
        };
        if let Err(error) = std::thread::Builder::new().name("job".into()).spawn(work) {
            let _ = self.sender.send((number, End::Failed(format!("no thread could be started: {error}"))));
        }
    }

    /// Whether a job with this key runs.
    pub fn runs(&self, key: &str) -> bool {
        self.running.iter().any(|job| job.key == key)
    }

    /// Whether any job runs.
    pub fn any(&self) -> bool {
        !self.running.is_empty()
    }

    /// How many jobs run.
    pub fn count(&self) -> usize {
        self.running.len()
    }

    /// The job to show: the oldest that is not quiet.
    pub fn shown(&self) -> Option<Shown> {
        let mut loud = self.running.iter().filter(|job| !job.quiet);
        let first = loud.next()?;
        Some(Shown {
            name: first.name.clone(),
            fraction: first.progress.fraction(),
            others: loud.count(),
            seconds: first.progress.seconds(),
        })
    }

    /// Cancels the jobs with this key.
    pub fn cancel_key(&mut self, key: &str) {
        self.running.retain(|job| {
            if job.key == key {
                job.progress.cancel();
            }
            job.key != key
        });
    }

    /// Cancels the jobs whose key is so.
    pub fn cancel_where(&mut self, so: impl Fn(&str) -> bool) {
        self.running.retain(|job| {
            let cancel = so(&job.key);
            if cancel {
                job.progress.cancel();
            }
            !cancel
        });
    }

    /// The keys of the jobs that run.
    pub fn keys(&self) -> Vec<Key> {
        self.running.iter().map(|job| job.key.clone()).collect()
    }

    /// Cancels every job.
    pub fn cancel_all(&mut self) {
        self.running.drain(..).for_each(|job| job.progress.cancel());
    }

    /// The results that have arrived, with the key of the job each came from. Results of replaced jobs are dropped.
    pub fn arrived(&mut self) -> Vec<(Key, End<T>)> {
        let mut arrived = Vec::new();
        while let Ok((number, end)) = self.receiver.try_recv() {
            if let Some(place) = self.running.iter().position(|job| job.number == number) {
                arrived.push((self.running.remove(place).key, end));
            }
        }
        arrived
    }

    /// Waits until a result has arrived or the time is over; false when it is over. For programs without a window.
    pub fn wait(&mut self, at_most: Duration) -> Vec<(Key, End<T>)> {
        let deadline = Instant::now() + at_most;
        loop {
            let arrived = self.arrived();
            if !arrived.is_empty() || self.running.is_empty() || Instant::now() > deadline {
                return arrived;
            }
            std::thread::sleep(Duration::from_millis(2));
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicU64, Ordering};

    use super::*;

    const LONG: Duration = Duration::from_secs(20);

    #[test]
    fn a_result_arrives_with_its_key_and_wakes() {
        let woken = Arc::new(AtomicU64::new(0));
        let count = woken.clone();
        let mut jobs = Jobs::<u32>::default();
        jobs.set_wake(Arc::new(move || {
            count.fetch_add(1, Ordering::SeqCst);
        }));
        jobs.start("seven", "Counting", false, |progress| Ok(if progress.go_on(0.5) { 7 } else { 0 }));
        assert_eq!(jobs.shown().map(|shown| shown.name), Some("Counting".into()));
        let arrived = jobs.wait(LONG);
        assert!(matches!(&arrived[..], [(key, End::Done(7))] if key == "seven"), "{arrived:?}");
        assert!(!jobs.any());
        std::thread::sleep(Duration::from_millis(20));
        assert!(woken.load(Ordering::SeqCst) >= 1);
    }

    #[test]
    fn a_newer_job_with_the_same_key_replaces_the_older() {
        let mut jobs = Jobs::<u32>::default();
        jobs.start("same", "First", false, |progress| {
            while progress.go_on(0.1) {
                std::thread::sleep(Duration::from_millis(1));
            }
            Ok(1)
        });
        jobs.start("same", "Second", false, |_| Ok(2));
        let arrived = jobs.wait(LONG);
        assert!(matches!(&arrived[..], [(_, End::Done(2))]), "{arrived:?}");
    }

    #[test]
    fn a_panic_in_a_job_is_one_plain_line() {
        let mut jobs = Jobs::<u32>::default();
        jobs.start("bad", "Failing", false, |_| {
            let empty: Vec<u32> = Vec::new();
            Ok(empty[std::hint::black_box(3)])
        });
        let arrived = jobs.wait(LONG);
        assert!(matches!(&arrived[..], [(_, End::Failed(line))] if line.contains("inside the program")), "{arrived:?}");
    }
}
