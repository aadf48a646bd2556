//! A smooth reflectance curve for a colour: one of the many that have it, for reckoning with layers band by band.

use crate::spectrum::{BANDS, Illuminant, Reflectance, Weighting};
use crate::{Error, Lab, Result, Xyz, de2000, white};
use nalgebra::{DMatrix, DVector, Vector3};
use std::sync::LazyLock;

/// Below this reflectance a curve is flagged: the shape of so dark a curve means little.
pub const DARK: f64 = 0.02;

/// A recovered curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Recovered {
    /// The curve, every band strictly between 0 and 1.
    pub reflectance: Reflectance,
    /// ΔE2000 between the colour asked for and the colour of the curve: 0 when the curve has it (to 1e-6 in XYZ), more
    /// when no surface can have it and the nearest colour towards grey of the same luminance was taken.
    pub moved_de00: f64,
    /// Whether some band lies below [`DARK`].
    pub dark: bool,
}

/// The search for curves under one weighting, with the solid of the colours that surfaces can have.
#[derive(Clone, Debug)]
pub struct Recovery {
    weighting: Weighting,
    white: Vector3<f64>,
    /// Half-spaces n·xyz ≤ h whose common part is the solid.
    facets: Vec<(Vector3<f64>, f64)>,
}

static D50: LazyLock<Recovery> = LazyLock::new(|| Recovery::new(Weighting::of(Illuminant::D50).clone()));

/// The smoothest reflectance with the given XYZ (D50, Y = 1 for white).
///
/// # Errors
/// [`Error::NotFinite`] for a colour that is not a number; [`Error::Unsettled`] should even the search for grey fail,
/// which no colour tried has made it do.
///
/// # Source
/// As [`Recovery::recover`].
pub fn reflectance_from_xyz(xyz: Xyz) -> Result<Recovered> {
    D50.recover(Vector3::new(xyz.x, xyz.y, xyz.z))
}

impl Recovery {
    /// Prepares the search under a weighting.
    ///
    /// # Source
    /// The solid is the zonotope of the weighting's rows (MacAdam 1935); its facets have normals wᵢ × wⱼ and lie at
    /// h(n) = Σ max(0, n·w).
    pub fn new(weighting: Weighting) -> Recovery {
        let rows: Vec<Vector3<f64>> = weighting.rows.iter().map(|row| Vector3::from(*row)).collect();
        let mut facets = Vec::with_capacity(BANDS * (BANDS - 1));
        for (i, first) in rows.iter().enumerate() {
            for second in &rows[i + 1..] {
                let Some(normal) = first.cross(second).try_normalize(0.0) else { continue };
                for normal in [normal, -normal] {
                    facets.push((normal, rows.iter().map(|row| normal.dot(row).max(0.0)).sum()));
                }
            }
        }
        Recovery { white: weighting.white(), weighting, facets }
    }

    /// The reflectance in (0, 1) with the least hyperbolic tangent slope squared that has this XYZ (in the weighting's
    /// scale, Y = 1 for white), exact to 1e-6. Outside the solid of surface colours, or within a thousandth of its edge
    /// (further in where the search does not settle so near to it), the colour moves straight towards grey of its own
    /// luminance until it is inside, and the result says how far. A luminance outside 0.001..0.999 is moved to that range.
    ///
    /// # Errors
    /// As [`reflectance_from_xyz`].
    ///
    /// # Source
    /// Burns (2020), DOI 10.1002/col.22437, LHTSS: R = (tanh z + 1)/2, least Σ(zᵢ₊₁ − zᵢ)², by Newton's method on the
    /// Lagrange conditions; here in steps from grey towards the colour, so that it also settles near the edge.
    pub fn recover(&self, xyz: Vector3<f64>) -> Result<Recovered> {
        if xyz.iter().any(|v| !v.is_finite()) {
            return Err(Error::NotFinite { what: "the XYZ of a colour" });
        }
        let luminance = (xyz.y / self.white.y).clamp(1e-3, 1.0 - 1e-3);
        let grey = self.white * luminance;
        let reach = self.reach(grey, xyz - grey);
        for margin in [1e-3, 1e-2, 0.05, 0.2, 0.5, 1.0] {
            // `reach` is 1 at the edge of the solid.
            let share = (reach * (1.0 - margin)).min(1.0);
            let target = grey + (xyz - grey) * share;
            let Some(reflectance) = self.walk(luminance, grey, target) else { continue };
            let moved = share < 1.0 || luminance != xyz.y / self.white.y;
            let moved_de00 = if moved { de2000(self.lab(xyz), self.lab(target)) } else { 0.0 };
            return Ok(Recovered { reflectance, moved_de00, dark: reflectance.iter().any(|r| *r < DARK) });
        }
        Err(Error::Unsettled { what: "the search for a reflectance curve" })
    }

    /// Whether some surface can have this XYZ.
    ///
    /// # Source
    /// MacAdam (1935), DOI 10.1364/JOSA.25.000361, for the bands of the weighting.
    pub fn is_feasible(&self, xyz: Vector3<f64>) -> bool {
        self.facets.iter().all(|(normal, h)| normal.dot(&xyz) <= *h)
    }

    /// How many times `way` leads from `start`, inside the solid, to its edge.
    fn reach(&self, start: Vector3<f64>, way: Vector3<f64>) -> f64 {
        let each = self.facets.iter().filter_map(|(normal, h)| {
            let speed = normal.dot(&way);
            (speed > 0.0).then(|| (h - normal.dot(&start)) / speed)
        });
        each.fold(f64::INFINITY, f64::min).max(0.0)
    }

    fn lab(&self, xyz: Vector3<f64>) -> Lab {
        let [l, a, b] = white::lab_relative(xyz, self.white);
        Lab::new(l, a, b)
    }

    /// Newton from grey, where the answer is known, to the target: in one step if that settles, else in shorter ones.
    fn walk(&self, luminance: f64, grey: Vector3<f64>, target: Vector3<f64>) -> Option<Reflectance> {
        let mut at = State { z: [(2.0 * luminance - 1.0).atanh(); BANDS], lambda: Vector3::zeros() };
        let (mut done, mut step) = (0.0, 1.0f64);
        while done < 1.0 {
            let next = (done + step).min(1.0);
            match self.settle(at.clone(), grey + (target - grey) * next) {
                Some(found) => {
                    at = found;
                    done = next;
                    step *= 2.0;
                }
                None => {
                    step /= 2.0;
                    if step < 0.02 {
                        return None;
                    }
                }
            }
        }
        Some(at.z.map(|z| f64::midpoint(z.tanh(), 1.0)))
    }

    fn settle(&self, mut at: State, target: Vector3<f64>) -> Option<State> {
        let mut residual = self.residual(&at, target);
        for _ in 0..25 {
            if residual.amax() < 1e-11 {
                return Some(at);
            }
            let change = self.jacobian(&at).lu().solve(&residual)?;
            let mut length = 1.0;
            loop {
                let tried = at.moved(&change, -length);
                let left = self.residual(&tried, target);
                if left.norm() < residual.norm() {
                    (at, residual) = (tried, left);
                    break;
                }
                length /= 2.0;
                if length < 1e-4 {
                    // No way down: good enough for the promise of 1e-6, or lost.
                    return (residual.amax() < 1e-9).then_some(at);
                }
            }
        }
        (residual.amax() < 1e-9).then_some(at)
    }

    /// The Lagrange conditions: D z + diag(sech² z/2) W λ = 0, and Wᵀ(tanh z + 1)/2 = xyz.
    fn residual(&self, at: &State, target: Vector3<f64>) -> DVector<f64> {
        let mut out = DVector::zeros(BANDS + 3);
        let mut xyz = -target;
        for band in 0..BANDS {
            let tanh = at.z[band].tanh();
            let row = Vector3::from(self.weighting.rows[band]);
            let slope: f64 = neighbours(band).map(|other| 2.0 * (at.z[band] - at.z[other])).sum();
            out[band] = slope + (1.0 - tanh * tanh) / 2.0 * row.dot(&at.lambda);
            xyz += row * f64::midpoint(tanh, 1.0);
        }
        out.rows_mut(BANDS, 3).copy_from(&xyz);
        out
    }

    fn jacobian(&self, at: &State) -> DMatrix<f64> {
        let mut out = DMatrix::zeros(BANDS + 3, BANDS + 3);
        for band in 0..BANDS {
            let tanh = at.z[band].tanh();
            let sech2 = 1.0 - tanh * tanh;
            let row = Vector3::from(self.weighting.rows[band]);
            out[(band, band)] = -sech2 * tanh * row.dot(&at.lambda);
            for other in neighbours(band) {
                out[(band, band)] += 2.0;
                out[(band, other)] = -2.0;
            }
            for axis in 0..3 {
                out[(band, BANDS + axis)] = sech2 / 2.0 * row[axis];
                out[(BANDS + axis, band)] = sech2 / 2.0 * row[axis];
            }
        }
        out
    }
}

fn neighbours(band: usize) -> impl Iterator<Item = usize> {
    [band.checked_sub(1), (band + 1 < BANDS).then_some(band + 1)].into_iter().flatten()
}

#[derive(Clone)]
struct State {
    /// R = (tanh z + 1)/2, band by band.
    z: [f64; BANDS],
    lambda: Vector3<f64>,
}

impl State {
    fn moved(&self, change: &DVector<f64>, length: f64) -> State {
        State {
            z: std::array::from_fn(|band| self.z[band] + length * change[band]),
            lambda: Vector3::from_fn(|axis, _| self.lambda[axis] + length * change[BANDS + axis]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{lab_from_xyz, spectrum::xyz_from_reflectance, xyz_from_lab};
    use proptest::prelude::*;

    proptest! {
        /// Any Lab at all: inside the solid the curve has the colour to 1e-6, outside it has the colour it says it moved to.
        #[test]
        fn keeps_its_promise(l in -5.0..110.0, a in -150.0..150.0, b in -150.0..150.0) {
            let lab = Lab::new(l, a, b);
            let asked = xyz_from_lab(lab);
            let found = reflectance_from_xyz(asked).unwrap();
            prop_assert!(found.reflectance.iter().all(|r| (0.0..=1.0).contains(r)));
            let has = xyz_from_reflectance(&found.reflectance);
            if found.moved_de00 == 0.0 {
                let off = [has.x - asked.x, has.y - asked.y, has.z - asked.z];
                prop_assert!(off.iter().all(|d| d.abs() < 1e-6), "{off:?}");
            } else {
                prop_assert!((de2000(lab, lab_from_xyz(has)) - found.moved_de00).abs() < 1e-3);
            }
        }

        /// The colour of a curve is feasible, so it is found and not moved.
        #[test]
        fn finds_colours_of_real_curves(knots in proptest::array::uniform4(0.03..0.95f64)) {
            let curve: Reflectance = std::array::from_fn(|band| {
                let at = band as f64 / 35.0 * 3.0;
                let i = (at as usize).min(2);
                knots[i] + (knots[i + 1] - knots[i]) * (at - i as f64)
            });
            let found = reflectance_from_xyz(xyz_from_reflectance(&curve)).unwrap();
            prop_assert_eq!(found.moved_de00, 0.0);
        }
    }

    #[test]
    fn grey_is_flat_and_dark_is_flagged() {
        let found = reflectance_from_xyz(xyz_from_lab(Lab::new(50.0, 0.0, 0.0))).unwrap();
        assert!(found.reflectance.iter().all(|r| (r - found.reflectance[0]).abs() < 1e-9));
        assert!(!found.dark);
        assert!(reflectance_from_xyz(xyz_from_lab(Lab::new(8.0, 0.0, 0.0))).unwrap().dark);
    }

    #[test]
    fn beyond_any_surface_moves_and_says_so() {
        for lab in [Lab::new(50.0, 0.0, -140.0), Lab::new(95.0, 90.0, 0.0), Lab::new(104.0, 0.0, 0.0)] {
            let xyz = xyz_from_lab(lab);
            assert!(!D50.is_feasible(Vector3::new(xyz.x, xyz.y, xyz.z)));
            assert!(reflectance_from_xyz(xyz).unwrap().moved_de00 > 1.0, "{lab:?}");
        }
        assert!(reflectance_from_xyz(Xyz::new(f64::NAN, 0.5, 0.5)).is_err());
    }
}
