//! What a fit has to say of a shadow or a reflection on part of the card.

use nalgebra::{Matrix3, Vector3};

use super::{Lit, Shape};
use crate::calibration::hypotheses::{Photo, Seen, Weighed};
use crate::calibration::model::{LOCAL, Local};
use crate::calibration::{Cast, CastKind};

/// Odds that a shadow seen on the card ends, or another begins, before a place beside it. Own judgement.
const ENDS: f64 = 0.25;

impl Photo {
    /// What falls on part of the card, where that is likelier than that nothing does.
    pub(in crate::calibration) fn cast(&self, fits: &Weighed) -> Option<Cast> {
        let likely: f64 = fits.all().filter(|fit| fit.lit.cast_sd().is_some()).map(|fit| fit.weight).sum();
        let fit = fits.all().find(|fit| fit.lit.cast_sd().is_some()).filter(|_| likely > 0.5)?;
        let amount = fit.solution.theta[LOCAL];
        let shares = self.seen.iter().map(|seen| match self.local(fit.lit, seen.place) {
            Local::Slope => 0.0,
            Local::Shadow(share) | Local::Veil(share) => share,
        });
        let shares: Vec<f64> = shares.collect();
        let (kind, strength, is_beside) = match fit.lit {
            Lit::Cast(CastKind::Shadow, _) => (CastKind::Shadow, 1.0 - (-amount.abs()).exp(), amount > 0.0),
            // what takes light from a spot is a shadow, as of a finger, whatever shape stood for it
            Lit::Cast(_, Shape::Round(_)) if amount < 0.0 => (CastKind::Shadow, -amount / self.lightest(), false),
            _ => (CastKind::Reflection, amount.abs() / self.lightest(), amount < 0.0),
        };
        // what makes some lighter leaves the others in the shadow
        let shares = if is_beside { shares.iter().map(|share| 1.0 - share).collect() } else { shares };
        Some(Cast { kind, strength, shares })
    }

    /// Light of the lightest patch.
    fn lightest(&self) -> f64 {
        self.seen.iter().map(|seen| seen.device[1]).fold(f64::MIN_POSITIVE, f64::max)
    }

    /// What is not known of a shadow where it is not seen on the card, and whether anything falls on the card: a standard deviation of
    /// (L*, a*, b*) in each column.
    pub(in crate::calibration) fn unknown_of_cast(&self, fits: &Weighed, seen: &Seen) -> Matrix3<f64> {
        let mut shadow = Vector3::zeros();
        for fit in fits.all() {
            if let Local::Shadow(share) = self.local(fit.lit, seen.place) {
                let otherwise = self.lab_in(fit, seen, Local::Shadow(1.0 - share), None);
                shadow += (otherwise - self.lab_by(fit, seen, None)) * (ENDS * fit.weight).sqrt();
            }
        }
        let alike = fits.all().filter(|fit| fit.lit == fits.best.lit);
        let (weight, sum) = alike.fold((0.0, Vector3::zeros()), |(weight, sum), fit| {
            (weight + fit.weight, sum + self.lab_by(fit, seen, None) * fit.weight)
        });
        let off = sum / weight - self.predict_lab(fits, seen, None);
        // of two that differ by d, with shares w and 1 − w: √(w (1 − w)) d, and the first is (1 − w) d off their mean
        let whether = if weight < 1.0 { off * (weight / (1.0 - weight)).sqrt() } else { Vector3::zeros() };
        Matrix3::from_columns(&[shadow, whether, Vector3::zeros()])
    }
}
