//! The fit of a laid card, as it goes into the reading.

use std::sync::OnceLock;

use colour::Lab;
use colour::calibration::{Fit, LeftOut, Prior, Sample, fit_editions, fit_with_gradients};

use super::find::Laid;
use super::order;
use super::split::{rows, widening};
use super::{CardReading, FitSummary, PatchReading};
use crate::locate::{self, OtherColours};
use crate::within::Within;
use crate::{Photo, Result};

/// Mean left-out ΔE2000 below which a card laid in an order that was not given is taken for right: own judgement; nine of ten
/// photos have less.
const PLAIN_DE00: f64 = 7.0;

/// A card and the fit of its patches.
pub(super) struct Fitted {
    pub(super) laid: Laid,
    pub(super) fit: Fit,
    /// What changes within its patches.
    pub(super) within: Within,
    /// None where the patches cannot tell how the camera sees colours, and so not how well either.
    pub(super) summary: Option<FitSummary>,
    /// Mean left-out ΔE2000 of whatever patches nothing is seen to lie on.
    left_out_mean: Option<f64>,
    /// Index of the edition among the card's.
    pub(super) edition: usize,
}

fn prior() -> Result<&'static Prior> {
    static PRIOR: OnceLock<std::result::Result<Prior, colour::calibration::CalibrationError>> = OnceLock::new();
    let parsed = PRIOR.get_or_init(|| Prior::parse(include_str!("../../../../assets/calibration-prior.csv")));
    Ok(parsed.as_ref().map_err(Clone::clone)?)
}

impl Fitted {
    /// Fits a card's patches, to the edition asked for or the one that fits best.
    pub(super) fn new(photo: &Photo, laid: Laid, edition: Option<&str>) -> Result<Self> {
        let choices: Vec<usize> = (0..laid.card.editions.len())
            .filter(|&k| edition.is_none_or(|edition| laid.card.editions[k].id == edition))
            .collect();
        let editions: Vec<Vec<Lab>> = choices.iter().map(|&k| laid.card.editions[k].lab.clone()).collect();
        let first = editions.first().cloned().unwrap_or_default();
        let samples: Vec<Sample> = laid.samples.iter().enumerate().map(|(k, _)| sample(&laid, k, first[k])).collect();
        let within = Within::new(photo, &laid.grid, &laid.samples);
        let gradients = within.gradients().filter(|_| !laid.light_evened);
        let fit = fit_with_gradients(&samples, &editions, gradients.as_ref(), &photo.working(), prior()?)?;
        let edition = choices[fit.edition];
        let errors = |of: &dyn Fn(usize) -> bool| {
            let errors = fit.left_out.iter().enumerate().filter(|(k, _)| of(*k));
            let mut errors: Vec<f64> = errors.filter_map(|(_, left_out)| Some((*left_out)?.de00)).collect();
            errors.sort_by(f64::total_cmp);
            errors
        };
        let left_out_mean = mean(&errors(&|k| !laid.samples[k].hidden()));
        let of_fit = errors(&|k| fit.used(k));
        let summary = mean(&of_fit).filter(|_| fit.knows_colours()).map(|mean| FitSummary {
            method: fit.method(),
            mean,
            median: quantile(&of_fit, 0.5),
            p90: quantile(&of_fit, 0.9),
        });
        Ok(Self { laid, fit, within, summary, left_out_mean, edition })
    }

    /// How badly the patches fit, as far as they can tell: mean left-out ΔE2000 of those that nothing is seen to lie on.
    pub(super) fn error_de00(&self) -> f64 {
        self.left_out_mean.unwrap_or(0.0)
    }

    /// The same of those that took part in the fit and are not too bright.
    pub(super) fn error_in_fit_de00(&self) -> f64 {
        let whole = |k: usize| self.fit.used(k) && !self.laid.samples[k].clipped().contains(&true);
        let errors = self.fit.left_out.iter().enumerate().filter(|(k, _)| whole(*k));
        mean(&errors.filter_map(|(_, left_out)| Some((*left_out)?.de00)).collect::<Vec<f64>>()).unwrap_or(0.0)
    }

    /// How many patches took part in the fit and are off by no more than this, and how many there are that are not too bright.
    pub(super) fn fitting(&self, most_de00: f64) -> (usize, usize) {
        let samples = &self.laid.samples;
        let whole = || (0..samples.len()).filter(|&k| samples[k].seen() && !samples[k].clipped().contains(&true));
        let near = |k: usize| self.fit.left_out[k].is_none_or(|left_out| left_out.de00 <= most_de00);
        (whole().filter(|&k| self.fit.used(k) && near(k)).count(), whole().count())
    }

    /// The published colours of the edition used.
    pub(super) fn reference(&self) -> &[Lab] {
        &self.laid.card.editions[self.edition].lab
    }

    /// Pixels of the photo to a patch and the gap beside it.
    pub(super) fn patch_px2(&self) -> f64 {
        1.0 / self.laid.grid.pixel_area(self.laid.grid.middle())
    }

    /// Whether it is this card, and this way round, beyond doubt: colours that can tell, and nearly as in good photos.
    pub(super) fn is_plain(&self) -> bool {
        self.summary.is_some_and(|summary| summary.mean < PLAIN_DE00) && self.error_de00() < PLAIN_DE00
    }

    /// Whether it is a card with the same patches in another order: those that may be in another's place are read by a fit that
    /// believes none of them.
    pub(super) fn is_another(&self, photo: &Photo) -> bool {
        let reference = self.reference();
        let off = |k: usize| self.fit.left_out[k].is_some_and(|left_out| left_out.de00 > order::OFF_DE00);
        let far_off: Vec<usize> = (0..reference.len()).filter(|&k| off(k)).collect();
        let moved = |seen: &[Option<LeftOut>]| {
            let seen: Vec<Option<Lab>> = seen.iter().map(|left_out| Some((*left_out)?.lab)).collect();
            order::is_another(&seen, reference)
        };
        let exchanged = |pair: &(usize, usize)| {
            let others = self.left_out_without(photo, &[pair.0, pair.1]);
            others.is_some_and(|seen| order::are_exchanged(&seen, reference, *pair))
        };
        ((2..=reference.len() / 2).contains(&far_off.len())
            && self.left_out_without(photo, &far_off).is_some_and(|seen| moved(&seen)))
            || order::suspects(&self.fit.left_out, reference).iter().any(exchanged)
    }

    /// What is read of each patch by a fit that believes none of these.
    fn left_out_without(&self, photo: &Photo, these: &[usize]) -> Option<Vec<Option<LeftOut>>> {
        let reference = self.reference();
        let samples: Vec<Sample> = (0..reference.len())
            .map(|k| {
                let sample = sample(&self.laid, k, reference[k]);
                Sample { glared: sample.glared || these.contains(&k), ..sample }
            })
            .collect();
        let fit = fit_editions(&samples, &[reference.to_vec()], &photo.working(), prior().ok()?).ok()?;
        Some(fit.left_out)
    }

    /// Whether its patches are as light as the card's, and have other hues or none.
    pub(super) fn other_colours(&self) -> Option<OtherColours> {
        let encoded = |sample: &crate::sample::PatchSample| {
            let tells = sample.seen() && !sample.hidden();
            tells.then(|| sample.device_linear_rgb.map(|light| colour::rgb::srgb_from_linear(light.clamp(0.0, 1.0))))
        };
        let encoded: Vec<_> = self.laid.samples.iter().map(encoded).collect();
        locate::other_colours(&self.laid.card, &encoded)
    }

    /// The card as the reading shows it.
    pub(super) fn reading(&self) -> CardReading {
        let Laid { card, grid, corners_px, mirrored, samples, .. } = &self.laid;
        let edition = &card.editions[self.edition];
        let patch = |(k, sample): (usize, &crate::sample::PatchSample)| {
            let left_out = self.fit.left_out.get(k).copied().flatten();
            let place = grid.unit_from_card(grid.patch_centre(k));
            PatchReading {
                id: card.patch_ids[k].clone(),
                centre_px: sample.centre_px,
                device_linear_rgb: sample.device_linear_rgb,
                clipped_share: sample.clipped_share,
                glare_share: sample.glare_share,
                in_fit: self.fit.used(k),
                lab_reference: edition.lab[k],
                lab_measured: self.fit.lab_at(sample.device_linear_rgb, place, pitch_place(card.columns, k)),
                lab_left_out: left_out.map(|left_out| left_out.lab),
                left_out_de00: left_out.map(|left_out| left_out.de00),
                left_out_covariance: left_out.map(|l| rows(&(l.covariance * widening(l.degrees_of_freedom)))),
                interval_holds: left_out.map(|left_out| left_out.holds),
            }
        };
        CardReading {
            id: card.id.clone(),
            edition: edition.id.clone(),
            corners_px: *corners_px,
            mirrored: *mirrored,
            pitch_mm: card.pitch_mm,
            patches: samples.iter().enumerate().map(patch).collect(),
        }
    }
}

fn sample(laid: &Laid, k: usize, lab: Lab) -> Sample {
    let patch = &laid.samples[k];
    Sample {
        device: patch.device_linear_rgb,
        clipped: patch.clipped(),
        lab,
        place: laid.grid.unit_from_card(laid.grid.patch_centre(k)),
        pitch_place: pitch_place(laid.card.columns, k),
        glared: patch.hidden(),
    }
}

fn pitch_place(columns: usize, k: usize) -> [f64; 2] {
    [(k % columns) as f64, (k / columns) as f64]
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

fn quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return 0.0 };
    let at = share * last as f64;
    let (low, part) = (at.floor() as usize, at.fract());
    sorted[low] * (1.0 - part) + sorted[(low + 1).min(last)] * part
}
