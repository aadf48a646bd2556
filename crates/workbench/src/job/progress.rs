//! How far a job is, and whether it shall go on.

use std::{
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicU32, AtomicU64, Ordering},
    },
    time::Instant,
};

use super::Wake;

/// The least time between two wake-ups for progress alone.
const PROGRESS_WAKE_MS: u64 = 100;

/// How far a job is, and whether it shall go on. Shared between the job's thread and the window.
#[derive(Clone)]
pub struct Progress(Arc<Shared>);

struct Shared {
    fraction: AtomicU32,
    cancelled: AtomicBool,
    started: Instant,
    last_wake_ms: AtomicU64,
    wake: Wake,
}

impl Progress {
    pub(super) fn new(wake: Wake) -> Self {
        Self(Arc::new(Shared {
            fraction: AtomicU32::new(0f32.to_bits()),
            cancelled: AtomicBool::new(false),
            started: Instant::now(),
            last_wake_ms: AtomicU64::new(0),
            wake,
        }))
    }

    /// Notes that the job is this far (0 to 1); false when it was cancelled and shall stop.
    pub fn go_on(&self, fraction: f64) -> bool {
        self.0.fraction.store((fraction.clamp(0.0, 1.0) as f32).to_bits(), Ordering::Relaxed);
        let now_ms = self.0.started.elapsed().as_millis() as u64;
        let last_ms = self.0.last_wake_ms.load(Ordering::Relaxed);
        if now_ms >= last_ms + PROGRESS_WAKE_MS {
            self.0.last_wake_ms.store(now_ms, Ordering::Relaxed);
            (self.0.wake)();
        }
        !self.cancelled()
    }

    /// How far the job is, 0 to 1.
    pub fn fraction(&self) -> f32 {
        f32::from_bits(self.0.fraction.load(Ordering::Relaxed))
    }

    /// Whether the job was cancelled.
    pub fn cancelled(&self) -> bool {
        self.0.cancelled.load(Ordering::Relaxed)
    }

    /// How long the job runs already, seconds.
    pub(super) fn seconds(&self) -> f32 {
        self.0.started.elapsed().as_secs_f32()
    }

    pub(super) fn cancel(&self) {
        self.0.cancelled.store(true, Ordering::Relaxed);
    }
}
