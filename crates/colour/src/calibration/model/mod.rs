//! The forward model: 39 parameters and a recorded colour to CIELAB, with analytic derivatives.

mod mixing;
mod recorded;

pub(super) use recorded::{Local, Recorded};

use nalgebra::{Matrix3, SMatrix, SVector, Vector3};

use mixing::{OTHERS, PAIRS, lab_and_slope, mix, root_term};
use recorded::{CLIPPED_EXCESS, light, log_light};

/// Number of parameters.
pub(super) const PARAMETERS: usize = 39;

/// Log gains, one per channel.
pub(super) const GAIN: usize = 0;
/// Mixing between channels, row by row without the diagonal: RG, RB, GR, GB, BR, BG.
const MIX: usize = 3;
/// Two shared terms of the tone curve.
const CURVE: usize = 9;
/// The same two terms per channel: three of the first kind, then three of the second.
const CURVE_CHANNEL: usize = 11;
/// Flare shared by the channels.
pub(super) const FLARE: usize = 17;
/// Flare per channel.
pub(super) const FLARE_CHANNEL: usize = 18;
/// Log of the light over the card, over that at its middle: x, y, x², xy, y².
pub(super) const LIGHT: usize = 21;
/// Root-polynomial terms, for each output channel the pairs RG, GB, RB.
const ROOT: usize = 26;
/// Slopes of the light's colour: red x, y, blue x, y.
pub(super) const LIGHT_COLOUR: usize = 35;

/// Where something falls on part of the card these stand in the colour slopes' place: its light in all channels, and what
/// it has more of in red and in blue.
pub(super) const LOCAL: usize = LIGHT_COLOUR;
const LOCAL_CHANNEL: [Option<usize>; 3] = [Some(LOCAL + 1), None, Some(LOCAL + 2)];

/// A vector of all parameters.
pub(super) type Theta = SVector<f64, PARAMETERS>;

/// Derivatives of L*, a*, b* by all parameters.
pub(super) type Jacobian = SMatrix<f64, 3, PARAMETERS>;

/// Lab and its derivatives.
pub(super) struct Evaluated {
    pub(super) lab: Vector3<f64>,
    pub(super) by_parameter: Jacobian,
    /// Derivatives of Lab by the log of each channel's light.
    pub(super) by_log_light: Matrix3<f64>,
}

/// The model with the working space's matrix.
#[derive(Debug, Clone, Copy)]
pub(super) struct Model {
    xyz_from_rgb: Matrix3<f64>,
}

impl Model {
    pub(super) fn new(xyz_from_rgb: Matrix3<f64>) -> Self {
        Self { xyz_from_rgb }
    }

    /// The working space's matrix, inverted.
    pub(super) fn rgb_from_xyz(&self) -> Option<Matrix3<f64>> {
        self.xyz_from_rgb.try_inverse()
    }

    /// Linear light of each channel before gain and mixing.
    pub(super) fn linear(theta: &Theta, recorded: &Recorded) -> Vector3<f64> {
        Vector3::from_fn(|ch, _| light(theta, recorded, ch).0)
    }

    /// Lab of a recorded colour.
    pub(super) fn lab(&self, theta: &Theta, recorded: &Recorded) -> Vector3<f64> {
        let x = Vector3::from_fn(|ch, _| {
            light(theta, recorded, ch).0 * (theta[GAIN + ch] - log_light(theta, recorded, ch)).exp()
        });
        let (out, _) = mix(theta, &x);
        lab_and_slope(&(self.xyz_from_rgb * out)).0
    }

    /// Lab of a recorded colour with all derivatives.
    pub(super) fn evaluate(&self, theta: &Theta, recorded: &Recorded) -> Evaluated {
        let mut x = Vector3::zeros();
        let mut gains = [0.0; 3];
        let mut tone = [(0.0, [0.0; 2]); 3];
        for ch in 0..3 {
            let (lin, slope, terms) = light(theta, recorded, ch);
            gains[ch] = (theta[GAIN + ch] - log_light(theta, recorded, ch)).exp();
            x[ch] = lin * gains[ch];
            tone[ch] = (slope, terms);
        }
        let (out, out_by_x) = mix(theta, &x);
        let (lab, lab_by_xyz) = lab_and_slope(&(self.xyz_from_rgb * out));
        let lab_by_out = lab_by_xyz * self.xyz_from_rgb;
        let lab_by_x = lab_by_out * out_by_x;
        let mut by = Jacobian::zeros();
        let mut by_log_light = Matrix3::zeros();
        for ch in 0..3 {
            let column: Vector3<f64> = lab_by_x.column(ch).into();
            let per_log = column * x[ch];
            by_log_light.set_column(ch, &per_log);
            by.set_column(GAIN + ch, &per_log);
            let (slope, terms) = tone[ch];
            for (k, term) in terms.iter().enumerate() {
                let d = column * (gains[ch] * slope * term);
                let mut shared = by.column_mut(CURVE + k);
                shared += d;
                by.set_column(CURVE_CHANNEL + 3 * k + ch, &d);
            }
            let excess = if recorded.clipped[ch] { CLIPPED_EXCESS } else { 1.0 };
            let d = column * (-gains[ch] * excess);
            let mut shared = by.column_mut(FLARE);
            shared += d;
            by.set_column(FLARE_CHANNEL + ch, &d);
            for (k, s) in recorded.shading.iter().enumerate() {
                let mut shared = by.column_mut(LIGHT + k);
                shared -= per_log * *s;
                if recorded.local == Local::Slope && k < 2 && ch != 1 {
                    by.set_column(LIGHT_COLOUR + ch + k, &(per_log * -*s));
                }
            }
            let cast = match recorded.local {
                Local::Slope => continue,
                Local::Shadow(share) => -per_log * share,
                Local::Veil(share) => d * share,
            };
            let mut shared = by.column_mut(LOCAL);
            shared += cast;
            if let Some(own) = LOCAL_CHANNEL[ch] {
                by.set_column(own, &cast);
            }
        }
        for i in 0..3 {
            let column: Vector3<f64> = lab_by_out.column(i).into();
            for (k, &j) in OTHERS[i].iter().enumerate() {
                by.set_column(MIX + 2 * i + k, &(column * (x[j] - x[i])));
            }
            for (k, &[p, q]) in PAIRS.iter().enumerate() {
                by.set_column(ROOT + 3 * i + k, &(column * root_term(&x, p, q)));
            }
        }
        Evaluated { lab, by_parameter: by, by_log_light }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A point away from every special value, so that no derivative is zero by chance.
    fn somewhere() -> Theta {
        Theta::from_fn(|k, _| 0.03 * ((k * 7 % 11) as f64 - 5.0) / 5.0)
    }

    #[test]
    fn derivatives_agree_with_central_differences() {
        let model = Model::new(crate::rgb::xyz_from_linear_srgb_matrix());
        let theta = somewhere();
        let colours = [([0.4, 0.2, 0.1], [false; 3]), ([0.05, 0.6, 0.97], [false, false, true])];
        let locals = [Local::Slope, Local::Shadow(0.7), Local::Veil(0.6)];
        for ((device, clipped), local) in colours.into_iter().flat_map(|colour| locals.map(|local| (colour, local))) {
            let recorded = Recorded::new(device, clipped, [-0.7, 0.4], local);
            let at = model.evaluate(&theta, &recorded);
            assert!((at.lab - model.lab(&theta, &recorded)).norm() < 1e-12);
            for k in 0..PARAMETERS {
                let step = 1e-6;
                let (mut up, mut down) = (theta, theta);
                up[k] += step;
                down[k] -= step;
                let slope = (model.lab(&up, &recorded) - model.lab(&down, &recorded)) / (2.0 * step);
                let error = (slope - at.by_parameter.column(k)).norm();
                assert!(
                    error < 1e-6 * (1.0 + slope.norm()),
                    "parameter {k}: {slope} and {}",
                    at.by_parameter.column(k)
                );
                assert!(slope.norm() > 1e-3 || k > LIGHT_COLOUR - 1, "parameter {k} does nothing");
            }
        }
    }

    /// Source of the values: the conversion of `palette`, through `lab_from_xyz`.
    #[test]
    fn with_all_parameters_zero_it_is_plain_srgb() {
        let model = Model::new(crate::rgb::xyz_from_linear_srgb_matrix());
        // lighter than white, too: a sheen, or wood in better light than the card, has no upper bound
        let lighter = [1.5, 1.3, 1.1];
        for device in [lighter, [1.0, 1.0, 1.0], [0.2, 0.5, 0.7], [0.001, 0.002, 0.0005], [0.0, 0.0, 0.0]] {
            let lab = model.lab(&Theta::zeros(), &Recorded::new(device, [false; 3], [0.3, -0.9], Local::Slope));
            let want = crate::lab_from_xyz(crate::rgb::xyz_from_linear_srgb(device));
            assert!((lab - Vector3::new(want.l, want.a, want.b)).norm() < 1e-9, "{device:?}: {lab} {want:?}");
        }
    }
}
