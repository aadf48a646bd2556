//! The renderer's own colorimetry.

use crate::{Error, Spectrum, Tables};
use nalgebra::{Matrix3, Vector3};

/// An observer looking at reflectances under one light: weights per wavelength, a perfect white at Y = 1.
#[derive(Clone, Debug)]
pub struct Observer {
    weights: [Spectrum; 3],
    /// XYZ of the perfect white.
    pub white: [f64; 3],
}

impl Observer {
    /// CIE 1931 2° observer under a light of the given relative power.
    ///
    /// # Source
    /// CIE 15:2004 §7.1, summation every 5 nm, 380–780 nm.
    pub fn new(tables: &Tables, light: &Spectrum) -> Self {
        let scale = 1.0 / light.dot(&tables.cmf[1]);
        let weights = tables.cmf.map(|bar| bar.zip(light, |b, s| b * s * scale));
        let white = std::array::from_fn(|i| weights[i].0.iter().sum());
        Self { weights, white }
    }

    /// The observer of all truths: D50, 2°.
    ///
    /// # Errors
    /// [`Error::Missing`] if the table of lights was damaged.
    pub fn d50(tables: &Tables) -> Result<Self, Error> {
        Ok(Self::new(tables, &tables.light("D50")?))
    }

    /// XYZ of a reflectance.
    pub fn xyz(&self, reflectance: &Spectrum) -> [f64; 3] {
        std::array::from_fn(|i| self.weights[i].dot(reflectance))
    }

    /// Lab of a reflectance, relative to this light's own white.
    pub fn lab(&self, reflectance: &Spectrum) -> [f64; 3] {
        lab_from_xyz(self.xyz(reflectance), self.white)
    }
}

/// CIELAB from XYZ relative to a white.
///
/// # Source
/// ISO/CIE 11664-4:2019.
pub fn lab_from_xyz(xyz: [f64; 3], white: [f64; 3]) -> [f64; 3] {
    let f =
        |t: f64| if t > (6.0f64 / 29.0).powi(3) { t.cbrt() } else { t * (29.0f64 / 6.0).powi(2) / 3.0 + 4.0 / 29.0 };
    let [x, y, z] = std::array::from_fn(|i| f(xyz[i] / white[i]));
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

/// XYZ from CIELAB relative to a white.
///
/// # Source
/// ISO/CIE 11664-4:2019, annex.
pub fn xyz_from_lab([l, a, b]: [f64; 3], white: [f64; 3]) -> [f64; 3] {
    let g = |t: f64| if t > 6.0 / 29.0 { t.powi(3) } else { 3.0 * (6.0f64 / 29.0).powi(2) * (t - 4.0 / 29.0) };
    let y = (l + 16.0) / 116.0;
    [g(y + a / 500.0) * white[0], g(y) * white[1], g(y - b / 200.0) * white[2]]
}

/// Distance in CIELAB, ΔE*ab.
pub fn de76(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(&b).map(|(x, y)| (x - y).powi(2)).sum::<f64>().sqrt()
}

/// CIEDE2000 with all weights 1.
///
/// # Source
/// ISO/CIE 11664-6:2014; steps as in Sharma, Wu, Dalal 2005, DOI 10.1002/col.20070.
pub fn de2000(first: [f64; 3], second: [f64; 3]) -> f64 {
    let seventh = |c: f64| (c.powi(7) / (c.powi(7) + 25f64.powi(7))).sqrt();
    let g = 0.5 * (1.0 - seventh((first[1].hypot(first[2]) + second[1].hypot(second[2])) / 2.0));
    let polar = |[_, a, b]: [f64; 3]| {
        let a = a * (1.0 + g);
        (a.hypot(b), if a == 0.0 && b == 0.0 { 0.0 } else { b.atan2(a).to_degrees().rem_euclid(360.0) })
    };
    let ((c1, h1), (c2, h2)) = (polar(first), polar(second));
    let grey = c1 * c2 == 0.0;
    let mut dh = if grey { 0.0 } else { h2 - h1 };
    if dh.abs() > 180.0 {
        dh -= 360.0 * dh.signum();
    }
    let h = match (grey, (h1 - h2).abs() > 180.0) {
        (true, _) => h1 + h2,
        (_, false) => (h1 + h2) / 2.0,
        (_, true) => (h1 + h2 + if h1 + h2 < 360.0 { 360.0 } else { -360.0 }) / 2.0,
    };
    let (l, c) = ((first[0] + second[0]) / 2.0, (c1 + c2) / 2.0);
    let cos = |degrees: f64| degrees.to_radians().cos();
    let t = 1.0 - 0.17 * cos(h - 30.0) + 0.24 * cos(2.0 * h) + 0.32 * cos(3.0 * h + 6.0) - 0.20 * cos(4.0 * h - 63.0);
    let sl = 1.0 + 0.015 * (l - 50.0).powi(2) / (20.0 + (l - 50.0).powi(2)).sqrt();
    let (sc, sh) = (1.0 + 0.045 * c, 1.0 + 0.015 * c * t);
    let turn = 30.0 * (-((h - 275.0) / 25.0).powi(2)).exp();
    let rt = -2.0 * seventh(c) * (2.0 * turn).to_radians().sin();
    let (dl, dc) = ((second[0] - first[0]) / sl, (c2 - c1) / sc);
    let dh = 2.0 * (c1 * c2).sqrt() * (dh / 2.0).to_radians().sin() / sh;
    (dl * dl + dc * dc + dh * dh + rt * dc * dh).max(0.0).sqrt()
}

/// Bradford adaptation from one white to another.
///
/// # Source
/// Lam 1985, as in ICC.1:2022 annex E.
pub(crate) fn adaptation(from: [f64; 3], to: [f64; 3]) -> Matrix3<f64> {
    let cones = Matrix3::new(0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296);
    let (from, to) = (cones * Vector3::from(from), cones * Vector3::from(to));
    let scale = Matrix3::from_diagonal(&to.component_div(&from));
    cones.try_inverse().map_or_else(Matrix3::identity, |back| back * scale * cones)
}

/// Linear RGB to XYZ for primaries and white given as CIE 1931 chromaticities; white at Y = 1.
///
/// # Source
/// SMPTE RP 177-1993.
pub(crate) fn xyz_from_rgb(primaries: [[f64; 2]; 3], white: [f64; 2]) -> Matrix3<f64> {
    let column = |[x, y]: [f64; 2]| Vector3::new(x / y, 1.0, (1.0 - x - y) / y);
    let basis = Matrix3::from_columns(&primaries.map(column));
    let scale = basis.try_inverse().map_or_else(|| Vector3::new(1.0, 1.0, 1.0), |inverse| inverse * column(white));
    basis * Matrix3::from_diagonal(&scale)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str) -> impl Iterator<Item = Vec<&str>> {
        text.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| line.split(',').collect())
    }

    /// Source: Sharma, Wu, Dalal 2005, Table 1 (four decimals).
    #[test]
    fn all_sharma_pairs() {
        let text = include_str!("../tests/data/ciede2000_sharma2005.csv");
        let head: Vec<&str> = text.lines().find(|line| !line.starts_with('#')).unwrap_or_default().split(',').collect();
        let at = head.iter().position(|name| *name == "dE00_published").unwrap();
        let mut pairs = 0;
        for row in rows(text) {
            let n: Vec<f64> = row.iter().map(|cell| cell.parse().unwrap_or(f64::NAN)).collect();
            let found = de2000([n[1], n[2], n[3]], [n[4], n[5], n[6]]);
            assert!((found - n[at]).abs() < 1e-4, "pair {}: {found} for {}", row[0], n[at]);
            pairs += 1;
        }
        assert_eq!(pairs, 34);
    }

    /// Source: tests/data/spectral_to_xyz_chart24_ohta.csv (spectra of ISO 17321-1, plain 5 nm summation).
    #[test]
    fn chart_spectra_to_xyz_and_lab() {
        let tables = Tables::read().unwrap();
        let mut checked = 0;
        for row in rows(include_str!("../tests/data/spectral_to_xyz_chart24_ohta.csv")) {
            let n: Vec<f64> = row.iter().skip(3).map(|cell| cell.parse().unwrap()).collect();
            let patch = &tables.chart.iter().find(|patch| patch.0 == row[0]).unwrap().1;
            let observer = Observer::new(&tables, &tables.light(row[1]).unwrap());
            let (xyz, lab) = (observer.xyz(patch), observer.lab(patch));
            for i in 0..3 {
                assert!((100.0 * xyz[i] - n[i]).abs() < 2e-6, "{row:?}: XYZ {xyz:?}");
                assert!((lab[i] - n[3 + i]).abs() < 2e-5, "{row:?}: Lab {lab:?}");
            }
            checked += 1;
        }
        assert_eq!(checked, 96);
    }

    /// Source: IEC 61966-2-1:1999, matrix to four decimals.
    #[test]
    fn srgb_matrix() {
        let found = xyz_from_rgb([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]], [0.3127, 0.3290]);
        let wanted = Matrix3::new(0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505);
        assert!((found - wanted).abs().max() < 1e-4, "{found}");
    }

    #[test]
    fn lab_and_back() {
        let white = [0.9642, 1.0, 0.8249];
        for lab in [[50.0, 15.0, 26.0], [3.0, 1.0, -2.0], [96.0, -1.0, 4.0]] {
            assert!(de76(lab_from_xyz(xyz_from_lab(lab, white), white), lab) < 1e-9);
        }
    }
}
