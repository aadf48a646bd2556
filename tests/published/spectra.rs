//! Spectra to XYZ and Lab: the 24 chart spectra of ISO 17321-1:2012 under A, D50 and D65, 2° observer.

use crate::table::{Table, close};
use colour::spectrum::{BANDS, FIRST_NM, Illuminant, Reflectance, STEP_NM, Weighting, lab_under, xyz_from_reflectance};

/// Our 10 nm summation of 380–730 nm against 5 nm summation of 380–780 nm. It is no rounding: the charts' spectra bend
/// between the bands. Largest found 0.025 in XYZ (Y = 100) and 0.102 in ΔE*ab.
const XYZ_10_NM: f64 = 0.03;
const LAB_10_NM: f64 = 0.11;

/// The chart's spectra at our bands, by patch.
pub(crate) fn chart() -> Vec<(String, Reflectance)> {
    let table = Table::read("chart24_spectra_iso17321.csv", 81);
    let names = table.head()[1..].to_vec();
    let each = names.into_iter().map(|name| {
        let reflectance: Reflectance = std::array::from_fn(|band| {
            let nm = (FIRST_NM + band * STEP_NM) as f64;
            table.rows().find(|row| row.number("nm") == nm).unwrap().number(&name)
        });
        (name, reflectance)
    });
    each.collect()
}

#[test]
fn chart_spectra_to_xyz_and_lab() {
    // 24 patches, four illuminants, two observers; we have three of the illuminants and one observer.
    let table = Table::read("spectral_to_xyz_chart24_ohta.csv", 192);
    let chart = chart();
    assert_eq!(chart.len(), 24);
    let (mut seen, mut worst_xyz, mut worst_lab) = (0, 0f64, 0f64);
    for row in table.rows().filter(|row| row.text("observer_deg") == "2") {
        let illuminant = match row.text("illuminant") {
            "A" => Illuminant::A,
            "D50" => Illuminant::D50,
            "D65" => Illuminant::D65,
            _ => continue,
        };
        // The two tables call the neutrals by the same names but for spaces and brackets.
        let name = row.text("patch");
        let (_, reflectance) = chart.iter().find(|(patch, _)| patch == name).unwrap_or_else(|| panic!("no {name}"));
        let xyz: [f64; 3] = (Weighting::of(illuminant).xyz(reflectance) * 100.0).into();
        let lab = lab_under(reflectance, illuminant);
        let (told_xyz, told_lab) = (row.numbers(["X", "Y", "Z"]), row.numbers(["L", "a", "b"]));
        for (found, told) in xyz.iter().zip(told_xyz) {
            worst_xyz = worst_xyz.max((found - told).abs());
        }
        worst_lab = worst_lab.max(lab.iter().zip(told_lab).map(|(f, t)| (f - t).powi(2)).sum::<f64>().sqrt());
        close(xyz, told_xyz, XYZ_10_NM, name);
        if illuminant == Illuminant::D50 {
            let d50 = xyz_from_reflectance(reflectance);
            close([d50.x * 100.0, d50.y * 100.0, d50.z * 100.0], xyz, 1e-12, name);
        }
        seen += 1;
    }
    println!(
        "{seen} of 192 rows (the 10° observer and FL11 are not ours): XYZ {worst_xyz:.4}, Lab {worst_lab:.4} at most"
    );
    assert_eq!(seen, 72);
    assert!(worst_lab < LAB_10_NM, "{worst_lab}");
}

/// Every weight from the published tables at 5 nm (CIE 15:2004), read apart from the program's own copy.
#[test]
fn weights_are_the_published_ones() {
    let observer = Table::read("cmf_cie1931_2deg_5nm.csv", 95);
    let power = Table::read("illuminants_5nm.csv", 81);
    for (illuminant, name) in [(Illuminant::A, "A"), (Illuminant::D50, "D50"), (Illuminant::D65, "D65")] {
        let plain: Vec<[f64; 3]> = (0..BANDS)
            .map(|band| {
                let nm = (FIRST_NM + band * STEP_NM) as f64;
                let power = power.rows().find(|row| row.number("nm") == nm).unwrap().number(name);
                let bars =
                    observer.rows().find(|row| row.number("nm") == nm).unwrap().numbers(["xbar", "ybar", "zbar"]);
                bars.map(|bar| bar * power)
            })
            .collect();
        for axis in 0..3 {
            let sum: f64 = plain.iter().map(|row| row[axis]).sum();
            for (band, row) in plain.iter().enumerate() {
                let expected = row[axis] / sum * illuminant.white()[axis];
                let found = Weighting::of(illuminant).rows[band][axis];
                assert!((found - expected).abs() < 1e-15, "{name} band {band}");
            }
        }
    }
}
