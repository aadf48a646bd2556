//! A second photo, of a plain white or grey board that fills the frame in the same light, evens the light of the first.
//!
//! The light over the frame is smooth: its logarithm is fitted by a polynomial of fourth order in each channel, and
//! whatever is small or sharp on the board (spots, dust, a pencil mark, its texture) has no part in it.

use nalgebra::{DMatrix, DVector};

use crate::sample::PatchSample;
use crate::{Error, Photo, Result};

/// Blocks along the longer side that the board is looked at in.
const BLOCKS: u32 = 48;
/// Terms of a polynomial of fourth order in two variables.
const TERMS: usize = 15;
/// Rounds of reweighting.
const ROUNDS: usize = 12;
/// Blocks further from the field than this many robust standard deviations do not count.
///
/// # Source
/// Beaton, Tukey (1974), DOI 10.1080/00401706.1974.10489171: biweight, 95 % efficient for normal errors at 4.685.
const BIWEIGHT: f64 = 4.685;
/// Spread of the logarithm of light taken for granted, so that a board without any noise rejects nothing. Judgement, no source.
const LEAST_SD: f64 = 0.002;
/// A board with more spread than this about the smooth field is not plain; blocks of many pixels average the camera's noise out.
/// Judgement, no source.
const MOST_SD: f64 = 0.02;
/// Nor one of which more than this share is no part of the field.
const MOST_REJECTED: f64 = 0.25;
/// Linear light below which the camera's noise and flare would be taken for the light's slope.
const LEAST_LIGHT: f64 = 0.04;
/// Share of clipped pixels from which the field would be flattened.
const MOST_CLIPPED: f64 = 0.01;
/// What a board leaves of the light's slope, in the logarithm of light from the card's middle to its edge: boards are not
/// evener, nor laid back more exactly. Judgement, no source. What the noise of the board's photo leaves is below it: blocks that
/// spread by the most allowed, `MOST_SD`, over some 1,700 of them put about 0.001 on a slope.
pub const LEFT_SD: f64 = 0.005;

/// The light over the frame, from a photo of a plain board.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    width_px: u32,
    height_px: u32,
    /// Coefficients of the logarithm of light, per channel.
    log_light: [Vec<f64>; 3],
    /// Share lost between the brightest and the darkest place of the frame.
    fall_off: f64,
}

/// The board's light relative to that at one place.
#[derive(Clone, Debug)]
pub(crate) struct Relative<'a> {
    board: &'a Board,
    log_there: [f64; 3],
}

impl Board {
    /// Takes the light from the photo of a board.
    ///
    /// # Errors
    /// [`Error::Board`] where it is too bright, too dark or not plain.
    pub fn from_photo(photo: &Photo) -> Result<Self> {
        let refused = |why: String| Err(Error::Board(why));
        let clipped = photo.clipped_share();
        if clipped > MOST_CLIPPED {
            let percent = (100.0 * clipped).round().max(1.0);
            return refused(format!("{percent} % of it is too bright to measure: expose it less"));
        }
        let factor = photo.width_px.max(photo.height_px).div_ceil(BLOCKS);
        let blocks = photo.averaged(photo.whole(), factor, 1);
        let places: Vec<[f64; 2]> = (0..blocks.linear.len())
            .map(|k| [k % blocks.width, k / blocks.width].map(|index| (index as f64 + 0.5) * f64::from(factor)))
            .map(|[x, y]| [x.min(f64::from(photo.width_px)), y.min(f64::from(photo.height_px))])
            .collect();
        let light: Vec<f64> = blocks.linear.iter().map(luminance).collect();
        if median(light.clone()) < LEAST_LIGHT {
            return refused("it is too dark: expose it more".into());
        }
        let terms = DMatrix::from_fn(places.len(), TERMS, |row, column| {
            terms(places[row], photo.width_px, photo.height_px)[column]
        });
        let log = |of: &dyn Fn(usize) -> f64| DVector::from_fn(places.len(), |k, _| of(k).max(1e-6).ln());
        let not_plain = || Error::Board("it is not plain: fill the frame with one white or grey board".into());
        let (weights, spread) = robust_weights(&terms, &log(&|k| light[k])).ok_or_else(not_plain)?;
        let rejected = weights.iter().filter(|weight| **weight == 0.0).count() as f64 / weights.len() as f64;
        if spread > MOST_SD || rejected > MOST_REJECTED {
            return Err(not_plain());
        }
        let mut log_light = [const { Vec::new() }; 3];
        for (channel, fitted) in log_light.iter_mut().enumerate() {
            let target = log(&|k| f64::from(blocks.linear[k][channel]));
            *fitted = weighted(&terms, &target, &weights).ok_or_else(not_plain)?.as_slice().to_vec();
        }
        let mut board = Self { width_px: photo.width_px, height_px: photo.height_px, log_light, fall_off: 0.0 };
        let (low, high) = places
            .iter()
            .map(|place| board.log_at(*place)[1])
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), log| (low.min(log), high.max(log)));
        board.fall_off = 1.0 - (low - high).exp();
        Ok(board)
    }

    /// Share of light lost between the brightest and the darkest place of the frame, 0..1.
    pub fn fall_off(&self) -> f64 {
        self.fall_off
    }

    /// Refuses a photo of another size: it was not taken from the same place.
    pub(crate) fn fits(&self, photo: &Photo) -> Result<()> {
        let (width, height) = (self.width_px, self.height_px);
        if (width, height) == (photo.width_px, photo.height_px) {
            return Ok(());
        }
        Err(Error::Board(format!(
            "it has {width} × {height} pixels and the photo {} × {}: take both with the same camera held the same way",
            photo.width_px, photo.height_px
        )))
    }

    fn log_at(&self, pixel: [f64; 2]) -> [f64; 3] {
        let terms = terms(pixel, self.width_px, self.height_px);
        [0, 1, 2].map(|channel| self.log_light[channel].iter().zip(terms).map(|(c, term)| c * term).sum())
    }

    /// Its light relative to that at a place in photo pixels: the middle of the card.
    pub(crate) fn relative_to(&self, pixel: [f64; 2]) -> Relative<'_> {
        Relative { board: self, log_there: self.log_at(pixel) }
    }
}

impl Relative<'_> {
    /// What to divide linear RGB by at a photo pixel.
    pub(crate) fn light_at(&self, pixel: [f64; 2]) -> [f64; 3] {
        let log = self.board.log_at(pixel);
        [0, 1, 2].map(|channel| (log[channel] - self.log_there[channel]).exp())
    }

    /// Evens the light of patches.
    pub(crate) fn even(&self, samples: &mut [PatchSample]) {
        for sample in samples {
            let light = self.light_at(sample.centre_px);
            for (channel, light) in light.into_iter().enumerate() {
                sample.device_linear_rgb[channel] /= light;
            }
        }
    }
}

/// Powers x^i y^j with i + j ≤ 4, the frame reaching from -1 to 1 each way.
fn terms(pixel: [f64; 2], width_px: u32, height_px: u32) -> [f64; TERMS] {
    let unit = |at: f64, length: u32| 2.0 * at / f64::from(length) - 1.0;
    let (x, y) = (unit(pixel[0], width_px), unit(pixel[1], height_px));
    let mut terms = [0.0; TERMS];
    let powers = (0..=4i32).flat_map(|order| (0..=order).map(move |j| (order - j, j)));
    for (term, (i, j)) in terms.iter_mut().zip(powers) {
        *term = x.powi(i) * y.powi(j);
    }
    terms
}

/// Biweights of the blocks about the field that fits most of them, and the spread of those.
fn robust_weights(terms: &DMatrix<f64>, target: &DVector<f64>) -> Option<(Vec<f64>, f64)> {
    let mut weights = vec![1.0; target.len()];
    let mut spread = f64::INFINITY;
    for _ in 0..ROUNDS {
        let fitted = weighted(terms, target, &weights)?;
        let off = target - terms * fitted;
        // The median of the absolute deviation over 0.6745 is the standard deviation of normal errors.
        spread = median(off.iter().map(|off| off.abs()).collect()) / 0.6745;
        let scale = BIWEIGHT * spread.max(LEAST_SD);
        weights = off.iter().map(|off| (1.0 - (off / scale).powi(2)).max(0.0).powi(2)).collect();
    }
    spread.is_finite().then_some((weights, spread))
}

/// Weighted least squares by the normal equations; the terms are well scaled.
fn weighted(terms: &DMatrix<f64>, target: &DVector<f64>, weights: &[f64]) -> Option<DVector<f64>> {
    let weighted = DMatrix::from_fn(terms.nrows(), terms.ncols(), |row, column| weights[row] * terms[(row, column)]);
    let normal = weighted.tr_mul(terms);
    Some(normal.cholesky()?.solve(&weighted.tr_mul(target)))
}

fn luminance(rgb: &[f32; 3]) -> f64 {
    f64::from(0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2])
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_unstable_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A board whose logarithm of light is the given terms of x, y, … over the frame.
    fn board(log_light: [Vec<f64>; 3]) -> Board {
        Board { width_px: 400, height_px: 300, log_light, fall_off: 0.0 }
    }

    /// Light is divided by what falls there over what falls on the card: a card's colour stays, and what has e^0.2 times its
    /// light is darkened by that (the definition of relative light).
    #[test]
    fn light_is_evened_to_that_on_the_card() {
        // x rises from -1 at the left edge to 1 at the right one; the lamp leans to red.
        let board = board([vec![0.0, 0.4], vec![0.0, 0.2], vec![0.0, 0.1]]);
        let relative = board.relative_to([100.0, 150.0]);
        assert_eq!(relative.light_at([100.0, 20.0]), [1.0; 3]);
        let right = relative.light_at([300.0, 150.0]);
        for (light, log) in right.into_iter().zip([0.4f64, 0.2, 0.1]) {
            assert!((light - log.exp()).abs() < 1e-12, "{right:?}");
        }
        let at = |centre_px: [f64; 2]| PatchSample {
            centre_px,
            device_linear_rgb: [0.3; 3],
            clipped_share: [0.0; 3],
            glare_share: 0.0,
            part_in_shade: false,
            covered: false,
            pixels: 100,
        };
        let mut samples = [at([100.0, 150.0]), at([300.0, 150.0])];
        relative.even(&mut samples);
        assert_eq!(samples[0].device_linear_rgb, [0.3; 3]);
        assert!((samples[1].device_linear_rgb[1] - 0.3 / 0.2f64.exp()).abs() < 1e-12, "{:?}", samples[1]);
    }

    /// A field of the fourth order, with every tenth block a third darker for a mark on the board: least squares would be drawn
    /// by them, the biweight is not (Beaton, Tukey 1974).
    #[test]
    fn marks_on_a_board_have_no_part_in_its_light() {
        let places: Vec<[f64; 2]> =
            (0..48 * 36).map(|k| [f64::from(k % 48) * 8.0 + 4.0, f64::from(k / 48) * 8.0 + 4.0]).collect();
        let terms = DMatrix::from_fn(places.len(), TERMS, |row, column| terms(places[row], 384, 288)[column]);
        let truth = DVector::from_fn(TERMS, |k, _| 0.2 / (1.0 + k as f64));
        let marked = |k: usize| k.is_multiple_of(10);
        let noise = |k: usize| 0.004 * ((k * 7919 % 101) as f64 / 101.0 - 0.5);
        let clean = &terms * &truth;
        let target = DVector::from_fn(places.len(), |k, _| clean[k] + noise(k) - if marked(k) { 0.4 } else { 0.0 });
        let (weights, spread) = robust_weights(&terms, &target).unwrap();
        assert!(spread < LEAST_SD, "{spread}");
        assert!((0..places.len()).all(|k| (weights[k] == 0.0) == marked(k)));
        let fitted = weighted(&terms, &target, &weights).unwrap();
        assert!((fitted - truth).amax() < 1e-3);
    }
}
