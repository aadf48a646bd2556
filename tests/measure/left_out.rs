//! Published sizes of treatments, one study left out: does what the others say cover it?
//!
//! A size is turned into a factor on the wood's K/S ([`Law::Factor`]); the prior of a treatment is the mean and the spread
//! between studies of the logarithm of that factor's size; its draws on the left-out wood give the interval.

use colour::Lab;
use nalgebra::Vector3;
use predict::{
    draws::{Source, vector},
    laws::Law,
};

/// Draws of a prior.
const DRAWS: usize = 512;
/// What is believed of the spread between studies before any: a standard deviation of the logarithm, and how many studies
/// that is worth.
const SPREAD: (f64, f64) = (0.35, 3.0);

/// One published size.
#[derive(Clone, Debug)]
pub(crate) struct Size {
    /// The study.
    pub(crate) study: String,
    /// The treatment: studies of one are compared.
    pub(crate) treatment: String,
    /// The wood.
    pub(crate) wood: String,
    /// Its colour before, where printed; else the middle of the printed bare woods.
    pub(crate) before: Lab,
    /// ΔE*ab (CIE 1976), as printed.
    pub(crate) de76: f64,
}

/// What the other studies say of a size.
#[derive(Clone, Debug)]
pub(crate) struct Judged {
    pub(crate) size: Size,
    /// Other studies of the treatment.
    pub(crate) others: usize,
    /// 5th, 50th and 95th percentile of ΔE*ab.
    pub(crate) interval: [f64; 3],
}

impl Judged {
    pub(crate) fn covered(&self) -> bool {
        (self.interval[0]..=self.interval[2]).contains(&self.size.de76)
    }
}

/// How a treatment shares over the channels, red to blue; and its law.
fn shape(treatment: &str) -> [f64; 3] {
    match treatment {
        "two-part bleach" | "oxalic acid" => [-0.8, -0.95, -1.25],
        // Varnish and wax: yellow goes most, so that a* and b* rise as L* falls.
        "clear coat" => [0.9, 1.0, 1.08],
        _ => [1.0, 1.0, 1.0],
    }
}

fn de76(before: Lab, treatment: &str, log_factor: f64) -> f64 {
    let law = Law::Factor { floor: 0.0 };
    let e = shape(treatment).map(|share| share * log_factor);
    let off: Vector3<f64> = vector(law.lab(before, e, 1.0)) - vector(before);
    off.norm()
}

/// The logarithm of the size of the factor that moves this wood by the printed ΔE.
fn log_size(size: &Size) -> f64 {
    let (mut low, mut high) = (1e-4f64, 8.0);
    for _ in 0..60 {
        let middle = (low * high).sqrt();
        if de76(size.before, &size.treatment, middle) < size.de76 { low = middle } else { high = middle }
    }
    low.ln()
}

/// What studies say together: the mean logarithm of the factor's size, and the standard deviation for another wood in
/// another study.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Prior {
    pub(crate) studies: usize,
    pub(crate) mean: f64,
    pub(crate) sd: f64,
}

/// None where there is no size.
pub(crate) fn prior<'a>(sizes: impl Iterator<Item = &'a Size>) -> Option<Prior> {
    let mut studies: Vec<(&str, Vec<f64>)> = Vec::new();
    for size in sizes {
        match studies.iter_mut().find(|(study, _)| *study == size.study) {
            Some((_, logs)) => logs.push(log_size(size)),
            None => studies.push((&size.study, vec![log_size(size)])),
        }
    }
    let n = studies.len() as f64;
    let means: Vec<f64> = studies.iter().map(|(_, logs)| logs.iter().sum::<f64>() / logs.len() as f64).collect();
    let mean = means.iter().sum::<f64>() / n;
    let between = means.iter().map(|one| (one - mean).powi(2)).sum::<f64>();
    // Woods of one study differ as well.
    let within = studies
        .iter()
        .zip(&means)
        .map(|((_, logs), mean)| logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>() / logs.len() as f64);
    let within = within.sum::<f64>() / n;
    let (sd, worth) = SPREAD;
    let variance = (worth * sd * sd + between) / (worth + n - 1.0) * (1.0 + 1.0 / n) + within;
    (!studies.is_empty()).then(|| Prior { studies: studies.len(), mean, sd: variance.sqrt() })
}

/// Every size that has another study of its treatment, judged by those; and the sizes that have none.
pub(crate) fn left_out(sizes: &[Size]) -> (Vec<Judged>, Vec<Size>) {
    let (mut judged, mut alone) = (Vec::new(), Vec::new());
    for size in sizes {
        let others = sizes.iter().filter(|other| other.treatment == size.treatment && other.study != size.study);
        let Some(prior) = prior(others) else {
            alone.push(size.clone());
            continue;
        };
        let source = Source::named(&format!("{} {} {}", size.study, size.treatment, size.wood));
        let mut sizes: Vec<f64> = (0..DRAWS)
            .map(|draw| {
                let log = prior.mean + prior.sd * source.normal(draw, 0);
                de76(size.before, &size.treatment, log.exp().min(8.0))
            })
            .collect();
        sizes.sort_by(f64::total_cmp);
        let at = |share: f64| sizes[(share * (DRAWS - 1) as f64).round() as usize];
        judged.push(Judged { size: size.clone(), others: prior.studies, interval: [at(0.05), at(0.5), at(0.95)] });
    }
    (judged, alone)
}
