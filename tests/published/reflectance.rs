//! Recovered reflectance: Burns (2020), DOI 10.1002/col.22437, LHTSS.

use crate::spectra::chart;
use crate::table::Table;
use colour::reflectance::{DARK, Recovery, reflectance_from_xyz};
use colour::rgb::{XYZ_D65_FROM_LINEAR_SRGB, linear_from_srgb};
use colour::spectrum::{BANDS, FIRST_NM, STEP_NM, Weighting, xyz_from_reflectance};
use nalgebra::Matrix3;

/// The table's curves were made from the same published tables of observer and illuminant by another program, to eight
/// decimals with its own stopping rule of 1e-8 in linear RGB.
const CURVE: f64 = 1e-6;

/// What the recovery promises, in XYZ with Y = 1.
const COLOUR: f64 = 1e-6;

/// Set up as the table says: D65 and the 2° observer at 10 nm, 380–730 nm, w = ȳ·D65, unscaled, and the four-decimal
/// inverse of the sRGB matrix.
#[test]
fn curves_of_srgb_colours() {
    let observer = Table::read("cmf_cie1931_2deg_5nm.csv", 95);
    let power = Table::read("illuminants_5nm.csv", 81);
    let mut rows = [[0.0; 3]; BANDS];
    for (band, row) in rows.iter_mut().enumerate() {
        let nm = (FIRST_NM + band * STEP_NM) as f64;
        let d65 = power.rows().find(|r| r.number("nm") == nm).unwrap().number("D65");
        let bars = observer.rows().find(|r| r.number("nm") == nm).unwrap().numbers(["xbar", "ybar", "zbar"]);
        *row = bars.map(|bar| bar * d65);
    }
    let sum: f64 = rows.iter().map(|row| row[1]).sum();
    let recovery = Recovery::new(Weighting { rows: rows.map(|row| row.map(|v| v / sum)) });
    let rgb_from_xyz = Matrix3::new(3.2406, -1.5372, -0.4986, -0.9689, 1.8758, 0.0415, 0.0557, -0.2040, 1.0570);

    let table = Table::read("reconstruct_burns.csv", 30);
    let (mut seen, mut worst) = (0, 0f64);
    for row in table.rows().filter(|row| row.text("method") == "LHTSS") {
        let linear = row.numbers(["R", "G", "B"]).map(|c| linear_from_srgb(c / 255.0));
        let xyz = rgb_from_xyz.try_inverse().unwrap() * nalgebra::Vector3::from(linear);
        let found = recovery.recover(xyz).unwrap();
        assert_eq!(found.moved_de00, 0.0);
        for (band, r) in found.reflectance.iter().enumerate() {
            let told = row.number(&format!("r{}", FIRST_NM + band * STEP_NM));
            worst = worst.max((r - told).abs());
        }
        seen += 1;
    }
    println!("{seen} curves of {BANDS} bands: {worst:.1e} at most");
    assert_eq!(seen, 10);
    assert!(worst < CURVE, "{worst}");
    // The two matrices, each with four decimals, are inverses only to about that.
    assert!((rgb_from_xyz * XYZ_D65_FROM_LINEAR_SRGB - Matrix3::identity()).amax() < 1e-3);
}

/// The chart's colours come from real surfaces, so each has a curve, exact in colour and flagged when dark.
#[test]
fn chart_colours_are_exact() {
    for (patch, reflectance) in chart() {
        let xyz = xyz_from_reflectance(&reflectance);
        let found = reflectance_from_xyz(xyz).unwrap();
        let back = xyz_from_reflectance(&found.reflectance);
        crate::table::close([back.x, back.y, back.z], [xyz.x, xyz.y, xyz.z], COLOUR, &patch);
        assert_eq!(found.moved_de00, 0.0, "{patch}");
        assert_eq!(found.dark, found.reflectance.iter().any(|r| *r < DARK), "{patch}");
    }
}
