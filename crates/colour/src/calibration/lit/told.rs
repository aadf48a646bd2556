//! What a fit has to say of a shadow or a reflection on part of the card.

use nalgebra::{Matrix3, Vector3};

use super::Lit;
use crate::calibration::hypotheses::{Photo, Seen, Weighed};
use crate::calibration::model::{LOCAL, Local};
use crate::calibration::{Cast, CastKind};

/// Odds that a shadow seen on the card ends, or another begins, before a place beside it; and that a reflection does. Own
/// judgement.
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
            Lit::Shadow(_) => (CastKind::Shadow, 1.0 - (-amount.abs()).exp(), amount > 0.0),
            // what takes light from a spot is a shadow, as of a finger, whatever shape stood for it
            Lit::Veil(_) if amount < 0.0 => (CastKind::Shadow, -amount / self.lightest(), false),
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

    /// What is not known of a shadow and of a reflection where they are not seen on the card, and whether there is any: a standard
    /// deviation of (L*, a*, b*) in each column.
    pub(in crate::calibration) fn unknown_of_cast(&self, fits: &Weighed, seen: &Seen) -> Matrix3<f64> {
        let (mut shadow, mut veil) = (Vector3::zeros(), Vector3::zeros());
        for fit in fits.all() {
            let otherwise = |local: Local| {
                let off = self.lab_in(fit, seen, local, None) - self.lab_by(fit, seen, None);
                off * (ENDS * fit.weight).sqrt()
            };
            match self.local(fit.lit, seen.place) {
                Local::Slope => {}
                Local::Shadow(share) => shadow += otherwise(Local::Shadow(1.0 - share)),
                Local::Veil(_) => veil += otherwise(Local::Veil(0.0)),
            }
        }
        let alike = fits.all().filter(|fit| fit.lit == fits.best.lit);
        let (weight, sum) = alike.fold((0.0, Vector3::zeros()), |(weight, sum), fit| {
            (weight + fit.weight, sum + self.lab_by(fit, seen, None) * fit.weight)
        });
        let off = sum / weight - self.predict_lab(fits, seen, None);
        // of two that differ by d, with shares w and 1 − w: √(w (1 − w)) d, and the first is (1 − w) d off their mean
        let whether = if weight < 1.0 { off * (weight / (1.0 - weight)).sqrt() } else { Vector3::zeros() };
        Matrix3::from_columns(&[shadow, veil, whether])
    }
}
