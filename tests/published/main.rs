//! Published check values, and second opinions of reference libraries. Every table stands in tests/data with its source
//! on top; every area has one tolerance with its reason.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test fails by panicking, and prints the numbers it found"
)]

mod difference;
mod layers;
mod reflectance;
mod spaces;
mod spectra;
mod table;
mod thresholds;
