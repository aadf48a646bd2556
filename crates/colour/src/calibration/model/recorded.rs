//! What was recorded in a channel, and the light it stands for.

use super::{CURVE, CURVE_CHANNEL, FLARE, FLARE_CHANNEL, LIGHT, LIGHT_COLOUR, LOCAL, LOCAL_CHANNEL, Theta};
use crate::rgb::{linear_from_srgb, srgb_from_linear};

/// How much more light than recorded a clipped channel is taken to have had.
pub(super) const CLIPPED_EXCESS: f64 = 1.06;

/// What the last parameters do at a place of the card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::calibration) enum Local {
    /// They are slopes of the light's colour.
    Slope,
    /// They are a shadow's light, of which this share falls here.
    Shadow(f64),
    /// They are a reflection's light, of which this share falls here.
    Veil(f64),
}

/// A recorded colour, ready for the model.
#[derive(Debug, Clone, Copy)]
pub(in crate::calibration) struct Recorded {
    encoded: [f64; 3],
    pub(super) clipped: [bool; 3],
    /// The light's five shading terms at this place.
    pub(super) shading: [f64; 5],
    pub(super) local: Local,
}

impl Recorded {
    /// A recorded colour at a place of the card.
    pub(in crate::calibration) fn new(device: [f64; 3], clipped: [bool; 3], [x, y]: [f64; 2], local: Local) -> Self {
        Self { encoded: device.map(srgb_from_linear), clipped, shading: [x, y, x * x, x * y, y * y], local }
    }

    /// Channels that are clipped.
    pub(in crate::calibration) fn clipped_channels(&self) -> impl Iterator<Item = usize> {
        (0..3).filter(|&ch| self.clipped[ch])
    }
}

/// Tone curve, its derivative by the curve terms, flare taken off: linear light before gain.
pub(super) fn light(theta: &Theta, recorded: &Recorded, ch: usize) -> (f64, f64, [f64; 2]) {
    let c = recorded.encoded[ch];
    let u = c * (1.0 - c);
    let terms = [u, u * (1.0 - 2.0 * c)];
    let z = c
        + (theta[CURVE] + theta[CURVE_CHANNEL + ch]) * terms[0]
        + (theta[CURVE + 1] + theta[CURVE_CHANNEL + 3 + ch]) * terms[1];
    let lin = linear_from_srgb(z) - theta[FLARE] - theta[FLARE_CHANNEL + ch] - veil(theta, recorded, ch);
    let slope = if z <= 0.04045 { 1.0 / 12.92 } else { 2.4 / 1.055 * ((z + 0.055) / 1.055).powf(1.4) };
    let excess = if recorded.clipped[ch] { CLIPPED_EXCESS } else { 1.0 };
    (lin * excess, slope * excess, terms)
}

/// The parameters of what falls here in a channel, with the share that does: that of all channels, and its own.
fn cast(theta: &Theta, share: f64, ch: usize) -> f64 {
    let own = LOCAL_CHANNEL[ch].map_or(0.0, |k| theta[k]);
    share * (theta[LOCAL] + own)
}

/// Light of a reflection in a channel.
fn veil(theta: &Theta, recorded: &Recorded, ch: usize) -> f64 {
    if let Local::Veil(share) = recorded.local { cast(theta, share, ch) } else { 0.0 }
}

/// Log of the light in a channel, over that at the middle of the card.
pub(super) fn log_light(theta: &Theta, recorded: &Recorded, ch: usize) -> f64 {
    let s = &recorded.shading;
    let shared: f64 = (0..5).map(|k| theta[LIGHT + k] * s[k]).sum();
    let own = match (recorded.local, ch) {
        (Local::Slope, 0) => theta[LIGHT_COLOUR] * s[0] + theta[LIGHT_COLOUR + 1] * s[1],
        (Local::Slope, 2) => theta[LIGHT_COLOUR + 2] * s[0] + theta[LIGHT_COLOUR + 3] * s[1],
        (Local::Shadow(share), _) => cast(theta, share, ch),
        (Local::Slope | Local::Veil(_), _) => 0.0,
    };
    shared + own
}
