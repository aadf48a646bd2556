//! What a reading would tell of a colour: a regression over the joint draws.
//!
//! What is expected of a colour once the trial is read is fitted to the draws as a polynomial of the readings; what is
//! left over stays uncertain. Weighing the draws by the likelihood of a reading would do the same, but where a trial tells
//! much, next to none of 512 draws lies near what was read, and those that do would seem to tell of everything else too.

use nalgebra::{DMatrix, Vector3};

/// A little of the unit matrix, so that a reading that never varies does no harm.
const RIDGE: f64 = 1e-6;

/// A regression of colours on readings.
pub(super) struct Told {
    /// One row for each draw.
    features: DMatrix<f64>,
    /// Maps colours, draw by draw, to coefficients.
    solve: DMatrix<f64>,
    /// What is left over is larger by this than the fit leaves: so many coefficients were fitted to so many draws.
    widen: f64,
}

/// A colour as it would be known: what is expected of it, and what is left over, draw by draw.
pub(super) struct Known {
    pub(super) expected: Vec<Vector3<f64>>,
    pub(super) left: Vec<Vector3<f64>>,
}

impl Told {
    /// By these readings, each draw by draw: all of them straight, the first squared too. None where nothing can be told.
    ///
    /// # Source
    /// Strong, Oakley, Brennan (2014), Med. Decis. Making 34:311–326: the expected value of partial information by
    /// regression over draws.
    pub(super) fn by(readings: &[Vec<Vector3<f64>>]) -> Option<Self> {
        let count = readings.first()?.len();
        let scaled: Vec<Vec<Vector3<f64>>> = readings.iter().map(|reading| scaled(reading)).collect();
        let rows: Vec<Vec<f64>> = (0..count)
            .map(|draw| {
                let first = scaled[0][draw];
                let squares = (0..3).flat_map(|i| (i..3).map(move |j| (i, j))).map(|(i, j)| first[i] * first[j]);
                let straight = scaled.iter().flat_map(|reading| reading[draw].iter().copied().collect::<Vec<_>>());
                std::iter::once(1.0).chain(straight).chain(squares).collect()
            })
            .collect();
        let columns = rows.first()?.len();
        let features = DMatrix::from_row_iterator(count, columns, rows.into_iter().flatten());
        let normal = features.transpose() * &features + DMatrix::identity(columns, columns) * (RIDGE * count as f64);
        let solve = normal.cholesky()?.solve(&features.transpose());
        let widen = (count as f64 / (count.saturating_sub(columns).max(1)) as f64).sqrt();
        Some(Self { features, solve, widen })
    }

    /// By nothing: every colour stays as uncertain as it is.
    pub(super) fn by_nothing(count: usize) -> Self {
        let features = DMatrix::from_element(count, 1, 1.0);
        let solve = features.transpose() / count.max(1) as f64;
        Self { features, solve, widen: 1.0 }
    }

    /// A colour, draw by draw, as it would be known.
    pub(super) fn of(&self, colour: &[Vector3<f64>]) -> Known {
        let colours = DMatrix::from_row_iterator(colour.len(), 3, colour.iter().flat_map(|lab| [lab.x, lab.y, lab.z]));
        let fitted = &self.features * (&self.solve * &colours);
        let expected: Vec<Vector3<f64>> =
            (0..colour.len()).map(|draw| Vector3::from_fn(|axis, _| fitted[(draw, axis)])).collect();
        let left = colour.iter().zip(&expected).map(|(lab, expected)| (lab - expected) * self.widen).collect();
        Known { expected, left }
    }
}

/// A reading with mean 0 and variance 1 on each axis.
fn scaled(reading: &[Vector3<f64>]) -> Vec<Vector3<f64>> {
    let count = reading.len().max(1) as f64;
    let mean = reading.iter().sum::<Vector3<f64>>() / count;
    let variance = reading.iter().map(|lab| (lab - mean).component_mul(&(lab - mean))).sum::<Vector3<f64>>() / count;
    let sd = variance.map(|variance| variance.sqrt().max(1e-6));
    reading.iter().map(|lab| (lab - mean).component_div(&sd)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draws::{COUNT, Source};

    /// For normal draws the regression is the conditional expectation: a colour of variance σ² read with an error of
    /// variance τ² keeps σ²τ²/(σ² + τ²), and one that has nothing to do with the reading keeps all.
    #[test]
    fn a_reading_tells_what_it_should() {
        let (truth, error, other) = (Source::named("truth"), Source::named("error"), Source::named("other"));
        let (sigma, tau) = (3.0, 1.0);
        let colour: Vec<_> = (0..COUNT).map(|draw| truth.normal3(draw, 0) * sigma).collect();
        let reading: Vec<_> = (0..COUNT).map(|draw| colour[draw] + error.normal3(draw, 0) * tau).collect();
        let unrelated: Vec<_> = (0..COUNT).map(|draw| other.normal3(draw, 0) * sigma).collect();
        let told = Told::by(&[reading]).unwrap();
        let sd = |colour: &[Vector3<f64>]| {
            let left = told.of(colour).left;
            (left.iter().map(Vector3::norm_squared).sum::<f64>() / (3 * COUNT) as f64).sqrt()
        };
        let expected = (sigma * sigma * tau * tau / (sigma * sigma + tau * tau)).sqrt();
        assert!((sd(&colour) - expected).abs() < 0.05 * expected, "{} not {expected}", sd(&colour));
        assert!((sd(&unrelated) - sigma).abs() < 0.03 * sigma, "{}", sd(&unrelated));
    }
}
