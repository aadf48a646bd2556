//! The calibration fit: from the colours a camera recorded of a card's patches to CIELAB, with its own uncertainty.
//!
//! One maximum-a-posteriori fit of tone curve, flare, gains, mixing, root-polynomial terms and the light over the card,
//! from all patches at once, with a [`Prior`] learned from many photos; what is left hangs together over colour and over
//! the card, and is kriged. Editions of the card, curves of the file, what lights it (one lamp or two, a shadow or a
//! reflection on part of it) are hypotheses, weighed by their evidence; patches that something lies on are left out by theirs. Start at [`fit_editions`]; ask the [`Fit`].
//!
//! A card of greys, or of very few patches, cannot tell how the camera sees colours: there only exposure and white are set,
//! and the uncertainty is what was measured of that.
//!
//! A prediction for a patch that was left out is true to its name: tone curve, weights, noise, the light, and the
//! weights of edition and curve are all fitted again without it.
//!
//! What it will not do: find a card, read a file, or judge whether the card is the right one.

mod card;
mod curve;
mod descent;
mod fit;
mod gradients;
mod hypotheses;
mod left_out;
mod light;
mod lit;
mod model;
mod prior;
mod reading;
mod spoilt;
mod student;
#[cfg(test)]
mod tests;
mod types;
mod uncertainty;
mod white;

pub use prior::Prior;
pub use reading::{Fit, fit, fit_editions, fit_with_gradients};
pub use student::region_radius_squared;
pub use types::{
    CalibrationError, Cast, CastKind, Gradients, LeftOut, LightSlope, METHOD, METHOD_WHITE, Sample, Working,
};
