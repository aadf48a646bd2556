//! What storing has done to the picture: heavy compression, and enlargement.
//!
//! Compression shows in blocks ([`Blocks`](crate::photo::Blocks)), and rounds the colours of these in coarse steps; for enlargement see
//! [`scaled`].

use super::{Warning, scaled};
use crate::Photo;

/// Blocks show when the sharpness changes by this share with their period. Photos as cameras save them reach 0.46.
const BLOCKS: f64 = 0.6;
/// Colour is rounded in coarse steps from so many codes of 255 on: what is rounded off, a step over √12, is then near the error of a good
/// reading. Own judgement.
const COARSE: f64 = 3.0;

/// What there is to say.
pub(super) fn of_pixels(photo: &Photo) -> Option<Warning> {
    let blocks = photo.blocks.is_some_and(|blocks| blocks.contrast > BLOCKS);
    let coarse = photo.colour_steps.codes.into_iter().all(|step| step >= COARSE);
    if blocks || coarse {
        return Some(Warning::new(
            "compressed",
            "The photo is so heavily compressed, or was before it was saved as it is, that its blocks show or its colours are rounded in coarse steps: use the file as the camera saved it, not a copy sent by message.",
        ));
    }
    scaled::is_enlarged(photo).then(|| {
        Warning::new(
            "enlarged",
            "The photo was enlarged, or saved at another size, after it was taken, so its pixels are partly made up: use the file as the camera saved it.",
        )
    })
}
