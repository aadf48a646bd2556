//! For development only: renders photos of wood beside a reference card from spectra, with the truth known.
//!
//! A [`Scene`] says everything: light, camera, card, surfaces of wood, background. [`draw`] invents one from a seed over
//! fixed, documented ranges; a [`Bench`] is one of them photographed many times; [`demo`] builds the photos of the demo pieces; [`render`] makes the pixels and the [`Truth`]:
//! where the card's patches lie and the Lab (D50, 2°) of each wood panel.
//!
//! ```
//! let mut scene = scene::draw(7)?;
//! scene.width_px = 320; // the poses are in pixels of the drawn frame: a smaller frame is a crop
//! scene.height_px = 240;
//! let rendered = scene::render(&scene)?;
//! assert_eq!(rendered.rgb.len(), 320 * 240 * 3);
//! # Ok::<(), scene::Error>(())
//! ```
//!
//! # Conventions
//! Spectra are reflectance factors 0–1 or relative powers from 380 to 780 nm every 5 nm. XYZ is relative to a perfect
//! white of Y = 1. Lab is CIELAB under D50, CIE 1931 2° observer. Pixel coordinates have the centre of the first pixel at
//! (0.5, 0.5).
//!
//! # What it will not do
//! It shares no code with the crates it tests, only published tables (in `data/`, each with its source). Gloss
//! is only what a [`Cast`] adds: a topcoat is a colour here. The tilt of a card does not change the light that falls on it.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

mod camera;
mod colorimetry;
pub mod demo;
mod draw;
mod error;
mod figure;
mod file;
mod noise;
mod pose;
mod render;
mod scene;
mod solve;
mod spectrum;
mod tables;
mod truths;

pub use camera::{Camera, Sensitivity};
pub use colorimetry::{Observer, de76, de2000, lab_from_xyz, xyz_from_lab};
pub use draw::{Bench, Changes, Ranges, draw};
pub use error::Error;
pub use figure::{Figure, FigureKind};
pub use file::{FileOptions, Profile, jpeg};
pub use pose::Homography;
pub use render::{Cast, Rendered, linear_frame, render, render_under, truth};
pub use scene::{Card, Light, LightKind, Material, Scene, Shadow, Shape, Surface};
pub use solve::{perturbed, wood_of};
pub use spectrum::{NM_COUNT, NM_FIRST, NM_STEP, Spectrum};
pub use tables::Tables;
pub use truths::{PanelTruth, Truth};
