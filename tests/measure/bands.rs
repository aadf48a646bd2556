//! A law by broad bands or by many: its effect inverted from each trial, averaged, and applied to another wood.

use colour::{
    Lab, lab_from_xyz,
    reflectance::reflectance_from_xyz,
    spectrum::{Reflectance, xyz_from_reflectance},
    xyz_from_lab,
};
use predict::{
    evidence::Observation,
    laws::{
        Law,
        space::{channels_from_lab, lab_from_channels},
    },
};

/// Over the three broad bands in which the laws are stated.
pub(crate) fn three(law: Law, trials: &[Observation], base: Lab, strength: f64) -> Option<Lab> {
    let pairs: Vec<_> = trials
        .iter()
        .map(|one| (channels_from_lab(one.before).to_vec(), channels_from_lab(one.after).to_vec(), one.strength))
        .collect();
    let after = applied(law, &pairs, &channels_from_lab(base), strength);
    Some(lab_from_channels([after[0], after[1], after[2]]))
}

/// Over the bands of recovered reflectance.
pub(crate) fn many(law: Law, trials: &[Observation], base: Lab, strength: f64) -> Option<Lab> {
    let recovered = |lab: Lab| reflectance_from_xyz(xyz_from_lab(lab)).ok().map(|one| one.reflectance.to_vec());
    let pairs: Option<Vec<_>> =
        trials.iter().map(|one| Some((recovered(one.before)?, recovered(one.after)?, one.strength))).collect();
    let after: Reflectance = applied(law, &pairs?, &recovered(base)?, strength).try_into().ok()?;
    Some(lab_from_xyz(xyz_from_reflectance(&after)))
}

/// A wood's bands after the effect, which is the mean of what each trial says, weighed by the square of its strength.
fn applied(law: Law, trials: &[(Vec<f64>, Vec<f64>, f64)], wood: &[f64], strength: f64) -> Vec<f64> {
    let each = |bands: &[f64], band: usize| bands[band].clamp(1e-4, 0.9999);
    (0..wood.len())
        .map(|band| {
            let (mut sum, mut weight) = (0.0, 0.0);
            for (before, after, strength) in trials {
                let [effect, ..] = law.effect([each(before, band); 3], [each(after, band); 3], *strength);
                sum += effect * strength * strength;
                weight += strength * strength;
            }
            law.channel(each(wood, band), sum / weight, strength)
        })
        .collect()
}
