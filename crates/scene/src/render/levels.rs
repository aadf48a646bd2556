//! The precomputed reflectances of one wood.

use crate::camera::Developed;
use crate::figure::Grain;
use crate::solve::{corrected, solve};
use crate::{Error, Observer, Spectrum, lab_from_xyz};

const DEEP_FIRST: f32 = -1.2;
const DEEP_STEP: f32 = 0.1;
const DEEP_COUNT: usize = 29;
const RAY_COUNT: usize = 3;
/// Number of precomputed reflectances.
pub(super) const COUNT: usize = DEEP_COUNT * RAY_COUNT;
/// A pixel's mixture: four of the precomputed reflectances and their shares.
pub(super) type Mixture = [(usize, f32); 4];

/// Which precomputed reflectances a grain mixes, and in what shares.
pub(super) fn mixture(grain: Grain) -> Mixture {
    let deep = ((grain.deep - DEEP_FIRST) / DEEP_STEP).clamp(0.0, (DEEP_COUNT - 1) as f32 - 1e-3);
    let ray = (grain.ray * (RAY_COUNT - 1) as f32).clamp(0.0, (RAY_COUNT - 1) as f32 - 1e-3);
    let (i, j) = (deep as usize, ray as usize);
    let (u, v) = (deep - i as f32, ray - j as f32);
    let at = |i: usize, j: usize| j * DEEP_COUNT + i;
    [
        (at(i, j), (1.0 - u) * (1.0 - v)),
        (at(i + 1, j), u * (1.0 - v)),
        (at(i, j + 1), (1.0 - u) * v),
        (at(i + 1, j + 1), u * v),
    ]
}

/// All precomputed reflectances of a wood: the absorption deepened step by step, the rays paler and a little greyer.
fn reflectances(base: &Spectrum) -> Vec<Spectrum> {
    let mut all = Vec::with_capacity(COUNT);
    for j in 0..RAY_COUNT {
        let ray = j as f64 / (RAY_COUNT - 1) as f64;
        let rayed = corrected(&base.with_absorption((-0.46 * ray).exp()), [0.16 * ray, 0.03 * ray, -0.03 * ray]);
        for i in 0..DEEP_COUNT {
            all.push(rayed.with_absorption(f64::from(DEEP_FIRST + DEEP_STEP * i as f32).exp()));
        }
    }
    all
}

/// The mean Lab of a wood whose precomputed reflectances are used in the given amounts.
pub(super) fn mean_lab(observer: &Observer, base: &Spectrum, amounts: &[f64; COUNT]) -> [f64; 3] {
    let total: f64 = amounts.iter().sum();
    let mut xyz = [0.0; 3];
    for (reflectance, amount) in reflectances(base).iter().zip(amounts).filter(|(_, amount)| **amount > 0.0) {
        let here = observer.xyz(reflectance);
        (0..3).for_each(|i| xyz[i] += here[i] * amount / total);
    }
    lab_from_xyz(xyz, observer.white)
}

/// The base reflectance for which the mean has the wanted Lab.
pub(super) fn base_for(
    observer: &Observer,
    base: &Spectrum,
    amounts: &[f64; COUNT],
    wanted: [f64; 3],
) -> Result<Spectrum, Error> {
    let c = solve(|c| mean_lab(observer, &corrected(base, c), amounts), wanted).ok_or(Error::Colour(wanted))?;
    Ok(corrected(base, c))
}

/// Balanced sensor values of all precomputed reflectances.
pub(super) fn sensed(developed: &Developed, base: &Spectrum) -> Vec<[f32; 3]> {
    reflectances(base).iter().map(|reflectance| developed.sense(reflectance).map(|v| v as f32)).collect()
}
