//! 90 % intervals of a signed number, and the quantiles they are made of.

use super::{Interval, TAIL};
use crate::distribution::normal_quantile;

/// The interval of a signed number, such as a lightness difference, from its draws: mean and 5 % and 95 % quantiles.
/// All NaN without draws.
pub fn of_signed(draws: &[f64]) -> Interval {
    let mean = draws.iter().sum::<f64>() / draws.len() as f64;
    Interval { mean, low: quantile(draws, TAIL), high: quantile(draws, 1.0 - TAIL) }
}

/// The interval of a signed normal number from its mean and variance.
pub fn of_normal(mean: f64, variance: f64) -> Interval {
    let half = normal_quantile(1.0 - TAIL) * variance.max(0.0).sqrt();
    Interval { mean, low: mean - half, high: mean + half }
}

/// The value a share `p` (0..=1) of `values` lies below, between neighbours in proportion; NaN for none.
///
/// # Source
/// Hyndman, Fan (1996), DOI 10.2307/2684934, definition 7.
pub fn quantile(values: &[f64], p: f64) -> f64 {
    let Some(last) = values.len().checked_sub(1) else { return f64::NAN };
    let mut values = values.to_vec();
    let at = p.clamp(0.0, 1.0) * last as f64;
    let (_, &mut below, above) = values.select_nth_unstable_by(at.floor() as usize, f64::total_cmp);
    let above = above.iter().copied().min_by(f64::total_cmp).unwrap_or(below);
    below + (above - below) * at.fract()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Definition 7 of Hyndman and Fan on 0 to 100: the share p lies at 100 p.
    #[test]
    fn a_signed_number_leaves_five_in_a_hundred_out_at_each_end() {
        let draws: Vec<f64> = (0..=100).map(f64::from).collect();
        let Interval { mean, low, high } = of_signed(&draws);
        assert!((mean - 50.0).abs() < 1e-9 && (low - 5.0).abs() < 1e-9 && (high - 95.0).abs() < 1e-9, "{low} {high}");
    }

    #[test]
    fn quantiles_are_the_usual_ones() {
        let values = [3.0, 1.0, 2.0, 5.0, 4.0];
        assert_eq!(quantile(&values, 0.5), 3.0);
        assert_eq!(quantile(&values, 0.9), 4.6);
        assert!(quantile(&[], 0.5).is_nan() && of_signed(&[]).mean.is_nan());
        let sure = of_normal(1.0, 4.0);
        assert!((sure.high - 1.0 - 2.0 * 1.644_853_626_951_472_2).abs() < 1e-9);
    }
}
