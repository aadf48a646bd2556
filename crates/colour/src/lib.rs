//! Numbers to numbers: colour spaces, colour difference, adaptation, spectra, reflectance, layers, the calibration fit.
//!
//! Everything is `f64`, CIELAB is relative to D50 and the CIE 1931 2° observer, and XYZ has Y = 1 for the perfect
//! diffuser. Conversions are named target first: [`lab_from_xyz`].
//!
//! This crate knows no file, no image and no word of the trade.

pub mod adaptation;
pub mod bulk;
pub mod calibration;
pub mod difference;
pub mod distribution;
mod error;
pub mod interval;
pub mod layers;
pub mod metric;
pub mod reflectance;
pub mod rgb;
pub mod saunderson;
pub mod spaces;
pub mod spectrum;
pub mod thresholds;
pub mod white;

pub use difference::{Difference, de2000, difference};
pub use error::{Error, Result};
pub use interval::Interval;
pub use metric::{metric, metric_root};
pub use spaces::{Lab, Xyz, lab_from_xyz, lch_from_lab, xyz_from_lab};
