//! Readings: their colour and its covariance, their time, and where in a photo they were made.

use std::collections::BTreeSet;

use super::{Checked, is_time, surface, within};
use crate::{Error, Piece, Reading, Region, Source, State};

/// A covariance: finite, symmetric, without negative variance in any direction, and not all zero.
pub(crate) fn covariance(at: &str, covariance: &[[f64; 3]; 3]) -> Checked {
    let trace = covariance[0][0] + covariance[1][1] + covariance[2][2];
    if !covariance.iter().flatten().all(|value| value.is_finite()) || trace <= 0.0 || trace > 1e6 {
        return Err(Error::invalid(
            at,
            "the covariance has no positive, finite variances: expected squares of CIELAB units",
        ));
    }
    let slack = 1e-9 * trace;
    let symmetric = (0..3).all(|i| (0..i).all(|j| (covariance[i][j] - covariance[j][i]).abs() <= slack));
    if !symmetric {
        return Err(Error::invalid(
            at,
            "the covariance is not symmetric: expected the same value either side of the diagonal",
        ));
    }
    if smallest_pivot(covariance) < -slack {
        return Err(Error::invalid(
            at,
            "the covariance is not positive: it claims a negative variance in some direction",
        ));
    }
    Ok(())
}

/// The smallest pivot of the Cholesky decomposition with the largest diagonal first: below zero where the matrix is not
/// positive semi-definite.
fn smallest_pivot(matrix: &[[f64; 3]; 3]) -> f64 {
    let mut left = *matrix;
    let mut smallest = f64::INFINITY;
    let mut open = vec![0, 1, 2];
    while let Some(&k) = open.iter().max_by(|&&i, &&j| left[i][i].total_cmp(&left[j][j])) {
        let pivot = left[k][k];
        open.retain(|&i| i != k);
        smallest = smallest.min(pivot);
        if pivot <= 0.0 {
            // No variance is left: what still stands off the diagonal has none to come from.
            let beside = open.iter().map(|&i| left[i][k].abs().min(left[k][i].abs()));
            smallest = beside.fold(smallest, |smallest, covariance| smallest.min(-covariance));
            continue;
        }
        let row = left[k];
        for &i in &open {
            let factor = left[i][k] / pivot;
            left[i].iter_mut().zip(row).for_each(|(value, above)| *value -= factor * above);
        }
    }
    smallest
}

/// All the values of a reading.
pub(crate) fn reading(piece: &Piece, reading: &Reading) -> Checked {
    let at = format!("reading of {}", piece.surface_name(reading.of));
    surface(piece, reading.of)?;
    reading_numbers(&at, reading)?;
    if !reading.taken.is_empty() && !is_time(&reading.taken) {
        let problem = format!("the time '{}' is not one: expected such as 2026-03-14T09:30:00", reading.taken);
        return Err(Error::invalid(at, problem));
    }
    if let Source::Photo { photo, region: polygon, .. } = &reading.source {
        if piece.photo(*photo).is_none() {
            return Err(Error::NoSuch { kind: "photo", id: photo.to_string() });
        }
        region(&at, polygon)?;
    }
    Ok(())
}

/// The colour of a reading and its errors.
pub(crate) fn reading_numbers(at: &str, reading: &Reading) -> Checked {
    within(at, "L*", reading.lab.l, -5.0, 105.0)?;
    within(at, "a*", reading.lab.a, -200.0, 200.0)?;
    within(at, "b*", reading.lab.b, -200.0, 200.0)?;
    covariance(at, &reading.covariance)?;
    let mut factors = BTreeSet::new();
    for shared in &reading.shared {
        if shared.factor.trim().is_empty() || !factors.insert(shared.factor.as_str()) {
            let problem = format!("shared error '{}' is unnamed or stands twice: name each once", shared.factor);
            return Err(Error::invalid(at, problem));
        }
        for value in shared.loading.iter().flatten() {
            within(at, "a loading on a shared error", *value, -1000.0, 1000.0)?;
        }
    }
    for value in reading.grain_sd.iter().flatten() {
        within(at, "the spread of the grain", *value, 0.0, 1000.0)?;
    }
    for value in reading.patch_sd.iter().flatten() {
        within(at, "the spread from place to place", *value, -1000.0, 1000.0)?;
    }
    if let State::SpiritWet { seconds, .. } = reading.state {
        within(at, "the seconds since wetting", seconds, 0.0, 86_400.0)?;
    }
    Ok(())
}

/// A polygon that encloses something, and so do the places left out of it.
pub(crate) fn region(at: &str, region: &Region) -> Checked {
    polygon(at, "the region", &region.points_px)?;
    region.left_out_px.iter().try_for_each(|place| polygon(at, "a place left out", place))
}

fn polygon(at: &str, what: &str, points: &[[f64; 2]]) -> Checked {
    if points.len() < 3 {
        return Err(Error::invalid(at, format!("{what} has {} corners: expected three or more", points.len())));
    }
    if !points.iter().flatten().all(|value| value.abs() <= 1e6) {
        return Err(Error::invalid(at, format!("a corner of {what} is not a place in a picture: draw it again")));
    }
    let next = points.iter().cycle().skip(1);
    let doubled_px2: f64 = points.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum();
    if doubled_px2.abs() < 1.0 {
        return Err(Error::invalid(at, format!("{what} encloses no area: draw it larger")));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_symmetric_positive_covariances_stand() {
        let good = [
            [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            [[0.3, 0.1, -0.05], [0.1, 0.2, 0.02], [-0.05, 0.02, 0.4]],
            // Of rank one: certain in two directions.
            [[1.0, 2.0, 3.0], [2.0, 4.0, 6.0], [3.0, 6.0, 9.0]],
            [[0.0, 0.0, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 2.0]],
        ];
        for matrix in good {
            assert_eq!(covariance("here", &matrix), Ok(()), "{matrix:?}");
        }
        let bad = [
            [[0.0; 3]; 3],
            [[1.0, 0.5, 0.0], [0.4, 1.0, 0.0], [0.0, 0.0, 1.0]],
            [[1.0, 2.0, 0.0], [2.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            [[1.0, 0.0, 0.0], [0.0, -0.1, 0.0], [0.0, 0.0, 1.0]],
            [[1.0, 0.0, 0.0], [0.0, 0.0, 0.2], [0.0, 0.2, 0.0]],
            [[f64::NAN, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            [[f64::INFINITY, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
        ];
        for matrix in bad {
            assert!(covariance("here", &matrix).is_err(), "{matrix:?}");
        }
    }
}
