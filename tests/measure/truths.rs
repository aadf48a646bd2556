//! Made truths for the transfer test: stains with known physics on measured wood, by spectra.
//!
//! Woods: measured reflectance (data/wood_reflectance_10nm.csv, USGS Spectral Library 7), and each with K/S
//! scaled by 0.6 and 1.6. Absorbers are invented shapes. Nothing here is shared with the crate under test: the layer
//! formulae and the colorimetry are written out again, in spectra.

use rand::Rng;
use rand_pcg::Pcg64;

/// 400 to 700 nm every 10 nm.
pub(crate) const BANDS: usize = 31;
/// A spectrum.
pub(crate) type Spectrum = [f64; BANDS];

/// Four physics of a stain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Physics {
    /// R = R_wood · exp(−2Kx).
    DyeFilm,
    /// The finite layer of Kubelka and Munk over the wood.
    PigmentFilm,
    /// (K/S) = (K_wood + xK)/(1 + xS).
    PigmentInWood,
    /// The same without scattering.
    DyeInWood,
}

impl Physics {
    /// All of them.
    pub(crate) const ALL: [Self; 4] = [Self::DyeFilm, Self::PigmentFilm, Self::PigmentInWood, Self::DyeInWood];

    /// In words.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::DyeFilm => "film of dye",
            Self::PigmentFilm => "film, two-constant",
            Self::PigmentInWood => "in the wood, two-constant",
            Self::DyeInWood => "dye in the wood",
        }
    }
}

/// A made stain.
#[derive(Clone, Debug)]
pub(crate) struct Stain {
    physics: Physics,
    absorption: Spectrum,
    scattering: Spectrum,
}

/// A standard normal number (Box and Muller 1958).
pub(crate) fn normal(rng: &mut Pcg64) -> f64 {
    let (u, v): (f64, f64) = (1.0 - rng.random::<f64>(), rng.random());
    (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
}

fn nm(band: usize) -> f64 {
    400.0 + 10.0 * band as f64
}

impl Stain {
    /// A stain drawn at random: three parts of absorption from a flat Dirichlet distribution, scattering log-uniform.
    pub(crate) fn drawn(physics: Physics, rng: &mut Pcg64) -> Self {
        let gamma: [f64; 3] = std::array::from_fn(|_| -(1.0 - rng.random::<f64>()).ln());
        let sum: f64 = gamma.iter().sum();
        let c = gamma.map(|one| one / sum);
        let edge = |centre: f64, width: f64, nm: f64| 1.0 / (1.0 + ((nm - centre) / width).exp());
        let absorption =
            std::array::from_fn(|band| c[0] * edge(580.0, 25.0, nm(band)) + c[1] * edge(500.0, 20.0, nm(band)) + c[2]);
        let s = 0.02 * (0.5f64 / 0.02).powf(rng.random());
        let dye = matches!(physics, Physics::DyeFilm | Physics::DyeInWood);
        let scattering = std::array::from_fn(|band| if dye { 0.0 } else { s * 550.0 / nm(band) });
        Self { physics, absorption, scattering }
    }

    /// The wood with this stain at strength `x`.
    pub(crate) fn on(&self, wood: &Spectrum, x: f64) -> Spectrum {
        std::array::from_fn(|band| {
            let (r, k, s) = (wood[band], self.absorption[band], self.scattering[band]);
            match self.physics {
                Physics::DyeFilm => r * (-2.0 * k * x).exp(),
                Physics::PigmentFilm => {
                    let a = 1.0 + k / s;
                    let b = (a * a - 1.0).sqrt();
                    // By tanh, so that a thick film does not overflow.
                    let (tanh, cosh) = ((b * s * x).tanh(), (b * s * x).cosh());
                    let below = a * tanh + b;
                    let (r0, t) = (tanh / below, b / (cosh * below));
                    r0 + t * t * r / (1.0 - r0 * r)
                }
                Physics::PigmentInWood | Physics::DyeInWood => {
                    from_ks(((1.0 - r).powi(2) / (2.0 * r) + x * k) / (1.0 + x * s))
                }
            }
        })
    }

    /// The strength at which the stain moves this wood by this ΔE2000; None where it never does.
    pub(crate) fn strength_for(&self, table: &Table, wood: &Spectrum, de00: f64) -> Option<f64> {
        let bare = table.lab(wood);
        let moved = |x: f64| colour::de2000(bare, table.lab(&self.on(wood, x)));
        let mut high = 1e-3;
        while moved(high) < de00 {
            high *= 1.5;
            if high > 1e3 {
                return None;
            }
        }
        let mut low = 0.0;
        for _ in 0..60 {
            let middle = (low + high) / 2.0;
            if moved(middle) < de00 { low = middle } else { high = middle }
        }
        Some(high)
    }
}

fn from_ks(q: f64) -> f64 {
    1.0 + q - (q * q + 2.0 * q).sqrt()
}

/// Woods and the tables of colorimetry, as measured and published.
pub(crate) struct Table {
    /// The woods.
    pub(crate) woods: Vec<Spectrum>,
    weights: [[f64; 3]; BANDS],
    white: [f64; 3],
}

impl Table {
    /// Reads the tables that travel with the tests.
    pub(crate) fn load() -> Self {
        let wood = rows(include_str!("../data/wood_reflectance_10nm.csv"));
        let observer = rows(include_str!("../data/cmf_cie1931_2deg_5nm.csv"));
        let light = rows(include_str!("../data/illuminants_5nm.csv"));
        let at = |table: &[Vec<f64>], band: usize| -> Vec<f64> {
            table.iter().find(|row| (row[0] - nm(band)).abs() < 0.1).cloned().unwrap_or_default()
        };
        let mut weights = [[0.0; 3]; BANDS];
        let mut white = [0.0; 3];
        for (band, weight) in weights.iter_mut().enumerate() {
            let (observer, light) = (at(&observer, band), at(&light, band));
            // Column 3 is D50.
            for axis in 0..3 {
                weight[axis] = observer[1 + axis] * light[3];
                white[axis] += weight[axis];
            }
        }
        let mut woods = Vec::new();
        for sample in 1..wood[0].len() {
            for scale in [0.6, 1.0, 1.6] {
                woods.push(std::array::from_fn(|band| {
                    let r = at(&wood, band)[sample];
                    from_ks(scale * (1.0 - r).powi(2) / (2.0 * r))
                }));
            }
        }
        Self { woods, weights, white }
    }

    /// CIELAB (D50, 2°) of a spectrum, relative to this table's own white.
    ///
    /// CIE 15:2004, 7.1 and 8.2.1.
    pub(crate) fn lab(&self, spectrum: &Spectrum) -> colour::Lab {
        let f = |axis: usize| {
            let sum: f64 = (0..BANDS).map(|band| spectrum[band] * self.weights[band][axis]).sum();
            let t = sum / self.white[axis];
            if t > 216.0 / 24389.0 { t.cbrt() } else { (24389.0 / 27.0 * t + 16.0) / 116.0 }
        };
        let (x, y, z) = (f(0), f(1), f(2));
        colour::Lab::new(116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z))
    }
}

/// Number rows of a table with a comment and a heading.
fn rows(text: &str) -> Vec<Vec<f64>> {
    let numbers = |line: &str| line.split(',').map(|cell| cell.trim().parse().ok()).collect::<Option<Vec<f64>>>();
    text.lines().filter(|line| !line.starts_with('#')).filter_map(numbers).collect()
}
