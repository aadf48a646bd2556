//! Smooth reflectances of a wanted colour.

use crate::{Error, Observer, Spectrum, Tables, de76, de2000};
use nalgebra::{Matrix3, Vector3};

/// Three smooth corrections, broad humps over the blue, the green and the red (nm, width), added to the logit.
const HUMPS: [(f64, f64); 3] = [(440.0, 55.0), (540.0, 55.0), (650.0, 75.0)];
/// Steps Newton may take.
const STEPS: usize = 60;

/// A reflectance with the three corrections of size `c` added in the logit, so that it stays within (0, 1).
pub(crate) fn corrected(base: &Spectrum, c: [f64; 3]) -> Spectrum {
    let bend = Spectrum::from_fn(|nm| {
        HUMPS.iter().zip(c).map(|(&(at, width), c)| c * (-0.5 * ((nm - at) / width).powi(2)).exp()).sum()
    });
    base.zip(&bend, |r, bend| {
        let r = r.clamp(1e-5, 1.0 - 1e-5);
        1.0 / (1.0 + (1.0 - r) / r * (-bend).exp())
    })
}

/// The size of the corrections for which `lab_of` gives `wanted`, by damped Newton; `None` when it is not reached.
pub(crate) fn solve(lab_of: impl Fn([f64; 3]) -> [f64; 3], wanted: [f64; 3]) -> Option<[f64; 3]> {
    const H: f64 = 1e-5;
    let mut c = Vector3::zeros();
    let mut off = Vector3::from(lab_of(c.into())) - Vector3::from(wanted);
    for _ in 0..STEPS {
        if off.norm() < 1e-7 {
            return Some(c.into());
        }
        let here = off + Vector3::from(wanted);
        let jacobian = Matrix3::from_columns(&std::array::from_fn::<_, 3, _>(|j| {
            let mut there = c;
            there[j] += H;
            (Vector3::from(lab_of(there.into())) - here) / H
        }));
        let step = jacobian.lu().solve(&off)?;
        let mut share = (1.5 / step.amax().max(1e-9)).min(1.0);
        loop {
            let trial = c - step * share;
            let trial_off = Vector3::from(lab_of(trial.into())) - Vector3::from(wanted);
            if trial_off.norm() < off.norm() {
                (c, off) = (trial, trial_off);
                break;
            }
            share *= 0.5;
            if share < 1e-6 {
                return (off.norm() < 1e-4).then(|| c.into());
            }
        }
    }
    (off.norm() < 1e-4).then(|| c.into())
}

/// A wood-like, smooth reflectance of exactly the wanted Lab (D50, 2°): a measured wood spectrum, its K/S scaled to the
/// wanted luminance, then corrected smoothly by three humps in the logit.
///
/// # Errors
/// [`Error::Colour`] when no such curve has the colour (far from wood, or outside what surfaces can have).
///
/// # Source
/// Measured spectra: USGS Spectral Library 7 (`data/wood_reflectance_10nm.csv`); the method is this crate's own.
pub fn wood_of(tables: &Tables, lab: [f64; 3]) -> Result<Spectrum, Error> {
    let observer = Observer::d50(tables)?;
    let mut best: Option<(f64, Spectrum)> = None;
    for (_, measured) in tables.woods.iter().filter(|wood| !wood.0.contains("Weathr")) {
        let scaled = of_lightness(&observer, measured, lab[0]);
        let start = de76(observer.lab(&scaled), lab);
        if best.as_ref().is_some_and(|(least, _)| *least <= start) {
            continue;
        }
        if let Some(c) = solve(|c| observer.lab(&corrected(&scaled, c)), lab) {
            best = Some((start, corrected(&scaled, c)));
        }
    }
    best.map(|(_, spectrum)| spectrum).ok_or(Error::Colour(lab))
}

/// A wood spectrum with its K/S scaled to a lightness, by bisection of the logarithm of the factor.
fn of_lightness(observer: &Observer, measured: &Spectrum, l: f64) -> Spectrum {
    let (mut low, mut high) = (-7.0f64, 7.0f64);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if observer.lab(&measured.with_absorption(middle.exp()))[0] > l { low = middle } else { high = middle }
    }
    measured.with_absorption(low.exp())
}

/// The reflectance changed smoothly so that its colour moves by `size` ΔE2000 (D50, 2°) along a direction in Lab.
///
/// # Errors
/// [`Error::Colour`] when no smooth change reaches it.
pub fn perturbed(observer: &Observer, base: &Spectrum, direction: [f64; 3], size: f64) -> Result<Spectrum, Error> {
    let from = observer.lab(base);
    let at = |t: f64| std::array::from_fn(|i| from[i] + t * direction[i]);
    let (mut low, mut high) = (0.0, 1.0);
    while de2000(from, at(high)) < size && high < 1e3 {
        high *= 2.0;
    }
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if de2000(from, at(middle)) < size { low = middle } else { high = middle }
    }
    let wanted = at(high);
    let c = solve(|c| observer.lab(&corrected(base, c)), wanted).ok_or(Error::Colour(wanted))?;
    Ok(corrected(base, c))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Outside check: the colour of the spectrum is computed by the observer whose values are checked against
    /// published ones in `colorimetry`.
    #[test]
    fn wood_hits_the_lab() {
        let tables = Tables::read().unwrap();
        let observer = Observer::d50(&tables).unwrap();
        // All corners of the demo pieces, and the paler and deeper ends of wood.
        let wanted = [
            [66.0, 7.0, 23.0],
            [54.0, 10.5, 31.0],
            [50.0, 8.0, 17.0],
            [37.0, 10.5, 20.0],
            [79.0, 2.0, 17.0],
            [40.0, 18.5, 28.0],
            [55.0, 13.5, 30.0],
            [71.0, 6.0, 19.0],
            [85.0, 3.0, 20.0],
            [22.0, 8.0, 9.0],
        ];
        for lab in wanted {
            let spectrum = wood_of(&tables, lab).unwrap();
            assert!(de76(observer.lab(&spectrum), lab) < 1e-3, "{lab:?}");
            assert!(spectrum.0.iter().all(|r| (0.0..=1.0).contains(r)));
            let steepest = spectrum.0.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f64::max);
            assert!(steepest < 0.05, "{lab:?}: a step of {steepest} in 5 nm is not smooth");
        }
    }

    #[test]
    fn a_colour_no_wood_has_is_refused() {
        let tables = Tables::read().unwrap();
        assert!(matches!(wood_of(&tables, [50.0, -120.0, -150.0]), Err(Error::Colour(_))));
    }

    #[test]
    fn perturbed_moves_by_the_size() {
        let tables = Tables::read().unwrap();
        let observer = Observer::d50(&tables).unwrap();
        for (name, patch) in &tables.chart {
            let moved = perturbed(&observer, patch, [0.3, -0.5, 0.8], 0.7).unwrap();
            let found = de2000(observer.lab(patch), observer.lab(&moved));
            assert!((found - 0.7).abs() < 1e-3, "{name}: {found}");
        }
    }
}
