//! A photo beside a reference card to measured colours and warnings.
//!
//! Start with [`decode`], then [`read()`]: it finds the card, fits its patches and measures regions.
//!
//! Conventions: pixels are those of the upright photo, (0, 0) at its top left corner, pixel centres at half-integers;
//! linear RGB has the sRGB primaries and no bounds; colours are CIELAB at D50, 2° observer. What is wrong with a photo
//! that can still be used is data: [`Warning`]s in the reading.
//!
//! It will not open files, draw, or know what the colours are wanted for. Only [`photo`] names an image decoder.

pub mod board;
pub mod error;
pub mod evenness;
pub mod grid;
pub mod layout;
pub mod locate;
pub mod photo;
pub mod read;
pub mod region;
pub mod sample;
pub mod tile;
pub mod warning;
mod wave;
mod within;

pub use board::Board;
pub use error::{Error, Result};
pub use evenness::{Evenness, Spot, Throughout};
pub use layout::{Card, Edition};
pub use photo::{Limits, Photo, Profile, decode};
pub use read::{
    Along, CardReading, Factor, FitSummary, METHOD, PatchReading, PhotoReading, RegionReading, Request, Seconds,
    Shared, read,
};
pub use warning::Warning;
