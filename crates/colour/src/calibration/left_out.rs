//! Fits to all patches but one, each weighing all hypotheses anew, and what they predict for that one.

use std::num::NonZero;
use std::thread;

use super::CalibrationError;
use super::hypotheses::{Photo, Predicted};
use super::spoilt::Sound;

impl Photo {
    /// For each readable patch, its prediction by fits to the usable patches without it, which weigh anew what was open in
    /// the fit to `all`; the patches are shared out over the processor's cores.
    pub(super) fn leave_out(
        &self,
        readable: &[usize],
        usable: &[usize],
        all: &Sound,
    ) -> Result<Vec<Option<Predicted>>, CalibrationError> {
        let without = |&p: &usize| {
            let others: Vec<usize> = usable.iter().copied().filter(|&q| q != p).collect();
            let fold = self.weigh_sound(&others, &all.open())?.fits;
            Ok((p, self.predict(&fold, &self.seen[p], Some(self.pitches[p]))))
        };
        let cores = thread::available_parallelism().map_or(1, NonZero::get);
        let share = readable.len().div_ceil(cores).max(1);
        let folds: Vec<Result<(usize, Predicted), CalibrationError>> = thread::scope(|scope| {
            let shares = readable.chunks(share).map(|share| scope.spawn(|| share.iter().map(without).collect()));
            let shares: Vec<thread::ScopedJoinHandle<'_, Vec<_>>> = shares.collect();
            let stopped = |_| vec![Err(CalibrationError::NotFitted { problem: "a fit stopped".to_owned() })];
            shares.into_iter().flat_map(|share| share.join().unwrap_or_else(stopped)).collect()
        });
        let mut predicted = vec![None; self.seen.len()];
        for fold in folds {
            let (p, at) = fold?;
            predicted[p] = Some(at);
        }
        Ok(predicted)
    }
}
