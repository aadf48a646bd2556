//! Stated 90 % ellipsoids held against the truth: how many hold it, how wide they are, and one score for both.

use std::fmt;

use nalgebra::{Matrix3, Vector3};

use crate::figures::{mean, median, percent};

/// 90 % point of χ² with three degrees of freedom: the region of a normal error is dᵀΣ⁻¹d ≤ this.
///
/// # Source
/// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4.
pub const CHI2_3_AT_90: f64 = 6.251;
/// Share of truths that a stated region may miss.
const MISSED: f64 = 0.1;

/// One stated ellipsoid and where the truth lies.
#[derive(Clone, Copy, Debug)]
pub struct Stated {
    /// Distance of the truth from the middle, over that of the edge in its direction: up to 1 it is held.
    pub reach: f64,
    /// Geometric mean of the half axes, CIELAB units.
    pub half_width: f64,
}

impl Stated {
    /// The ellipsoid dᵀΣ⁻¹d ≤ `edge2` about the reading, and the truth `off` from it.
    pub fn new(off: Vector3<f64>, covariance: Matrix3<f64>, edge2: f64) -> Self {
        let half_width = edge2.sqrt() * covariance.determinant().max(0.0).powf(1.0 / 6.0);
        let distance2 = covariance.try_inverse().map_or(f64::INFINITY, |inverse| (off.transpose() * inverse * off).x);
        Self { reach: (distance2 / edge2).sqrt(), half_width }
    }

    /// Whether the truth lies inside.
    pub fn holds(&self) -> bool {
        self.reach <= 1.0
    }

    /// The interval score, halved and carried to an ellipsoid along the ray to the truth: the half width, and ten times
    /// what the truth lies beyond it. Small is good; a width that holds 90 % minimises its mean.
    ///
    /// # Source
    /// Gneiting, Raftery 2007, Strictly proper scoring rules, prediction, and estimation, equation 43, for one
    /// dimension; carried to three here.
    pub fn score(&self) -> f64 {
        self.half_width * (1.0 + (self.reach - 1.0).max(0.0) / MISSED)
    }
}

/// Many stated ellipsoids in one line.
pub struct Tally(Vec<Stated>);

impl Tally {
    /// Of these.
    pub fn of(stated: impl IntoIterator<Item = Stated>) -> Self {
        Self(stated.into_iter().collect())
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.0.len()
    }

    /// How many hold the truth.
    pub fn held(&self) -> usize {
        self.0.iter().filter(|one| one.holds()).count()
    }

    /// Share that holds, 0–1; not a number of none.
    pub fn share(&self) -> f64 {
        percent(self.held(), self.count()) / 100.0
    }

    /// Median half width, CIELAB units.
    pub fn width(&self) -> f64 {
        median(self.0.iter().map(|one| one.half_width))
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (held, count) = (self.held(), self.count());
        write!(
            f,
            "hold {held} of {count} ({:.1} %), interval score {:.2}, median half width {:.2}",
            percent(held, count),
            mean(self.0.iter().map(Stated::score)),
            self.width()
        )
    }
}
