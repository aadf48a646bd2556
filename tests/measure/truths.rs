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

/// Physics of a stain.
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
    /// Outside the family: a dye of which half stays as a film on the wood that has taken the other half.
    DyeInAndOn,
    /// Outside the family: a dye that adds to a power of K/S, (K/S)^0.7, for it goes deeper where the wood is pale.
    Power,
    /// Outside the family: a two-constant pigment in the wood, under its own thin two-constant film.
    PigmentInAndOn,
}

impl Physics {
    /// The four of the design.
    pub(crate) const ALL: [Self; 4] = [Self::DyeFilm, Self::PigmentFilm, Self::PigmentInWood, Self::DyeInWood];

    /// Three of our own that no law describes: a check that the family is not fitted to its own generators. Their
    /// pigments have other shapes too.
    pub(crate) const OUTSIDE: [Self; 3] = [Self::DyeInAndOn, Self::Power, Self::PigmentInAndOn];

    /// Whether the pigment scatters.
    fn scatters(self) -> bool {
        matches!(self, Self::PigmentFilm | Self::PigmentInWood | Self::PigmentInAndOn)
    }

    /// In words.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::DyeFilm => "film of dye",
            Self::PigmentFilm => "film, two-constant",
            Self::PigmentInWood => "in the wood, two-constant",
            Self::DyeInWood => "dye in the wood",
            Self::DyeInAndOn => "outside: dye in and on it",
            Self::Power => "outside: power of K/S",
            Self::PigmentInAndOn => "outside: pigment in and on",
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

pub(crate) fn nm(band: usize) -> f64 {
    400.0 + 10.0 * band as f64
}

impl Stain {
    /// A stain drawn at random: three parts of absorption from a flat Dirichlet distribution, scattering log-uniform.
    pub(crate) fn drawn(physics: Physics, rng: &mut Pcg64) -> Self {
        let gamma: [f64; 3] = std::array::from_fn(|_| -(1.0 - rng.random::<f64>()).ln());
        let sum: f64 = gamma.iter().sum();
        let c = gamma.map(|one| one / sum);
        let edge = |centre: f64, width: f64, nm: f64| 1.0 / (1.0 + ((nm - centre) / width).exp());
        let bell = |centre: f64, width: f64, nm: f64| (-0.5 * ((nm - centre) / width).powi(2)).exp();
        let outside = Physics::OUTSIDE.contains(&physics);
        let absorption = std::array::from_fn(|band| {
            let nm = nm(band);
            if outside {
                c[0] * bell(430.0, 45.0, nm) + c[1] * bell(540.0, 50.0, nm) + c[2] * bell(640.0, 60.0, nm)
            } else {
                c[0] * edge(580.0, 25.0, nm) + c[1] * edge(500.0, 20.0, nm) + c[2]
            }
        });
        let s = 0.02 * (0.5f64 / 0.02).powf(rng.random());
        let scattering = std::array::from_fn(|band| match (physics.scatters(), outside) {
            (false, _) => 0.0,
            (true, false) => s * 550.0 / nm(band),
            (true, true) => s,
        });
        Self { physics, absorption, scattering }
    }

    /// A dye of this absorption, taken up by the wood.
    #[allow(dead_code)]
    pub(crate) fn dye(absorption: Spectrum) -> Self {
        Self { physics: Physics::DyeInWood, absorption, scattering: [0.0; BANDS] }
    }

    /// A mix of two stains of one physics, the first with this share: absorption and scattering add in proportion (Duncan
    /// 1940, Proc. Phys. Soc. 52:390–401).
    pub(crate) fn mixed(&self, other: &Self, share: f64) -> Self {
        let sum = |a: &Spectrum, b: &Spectrum| std::array::from_fn(|band| share * a[band] + (1.0 - share) * b[band]);
        Self {
            physics: self.physics,
            absorption: sum(&self.absorption, &other.absorption),
            scattering: sum(&self.scattering, &other.scattering),
        }
    }

    /// The same stain, so many times as strong in the can.
    pub(crate) fn thicker(&self, times: f64) -> Self {
        let scaled = |a: &Spectrum| std::array::from_fn(|band| times * a[band]);
        Self { physics: self.physics, absorption: scaled(&self.absorption), scattering: scaled(&self.scattering) }
    }

    /// The wood with this stain at strength `x`.
    pub(crate) fn on(&self, wood: &Spectrum, x: f64) -> Spectrum {
        std::array::from_fn(|band| {
            let (r, k, s) = (wood[band], self.absorption[band], self.scattering[band]);
            let in_wood = |r: f64, x: f64| from_ks((ks(r) + x * k) / (1.0 + x * s));
            match self.physics {
                Physics::DyeFilm => r * (-2.0 * k * x).exp(),
                Physics::PigmentFilm => film(r, k, s, x),
                Physics::PigmentInWood | Physics::DyeInWood => in_wood(r, x),
                Physics::DyeInAndOn => in_wood(r, x / 2.0) * (-k * x).exp(),
                Physics::Power => from_ks((ks(r).powf(0.7) + x * k).powf(1.0 / 0.7)),
                Physics::PigmentInAndOn => film(in_wood(r, x / 2.0), k, s, x / 2.0),
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

pub(crate) fn ks(r: f64) -> f64 {
    (1.0 - r).powi(2) / (2.0 * r)
}

/// The finite layer of Kubelka and Munk, by tanh, so that a thick one does not overflow.
fn film(ground: f64, k: f64, s: f64, x: f64) -> f64 {
    let a = 1.0 + k / s;
    let b = (a * a - 1.0).sqrt();
    let (tanh, cosh) = ((b * s * x).tanh(), (b * s * x).cosh());
    let below = a * tanh + b;
    let (r0, t) = (tanh / below, b / (cosh * below));
    r0 + t * t * ground / (1.0 - r0 * ground)
}

pub(crate) fn from_ks(q: f64) -> f64 {
    1.0 + q - (q * q + 2.0 * q).sqrt()
}

/// Woods and the tables of colorimetry, as measured and published.
pub(crate) struct Table {
    /// The woods.
    pub(crate) woods: Vec<Spectrum>,
    /// Other woods, for the physics outside the family: between two of them, and yellower.
    pub(crate) other_woods: Vec<Spectrum>,
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
        let mut woods: Vec<Spectrum> = Vec::new();
        for sample in 1..wood[0].len() {
            for scale in [0.6, 1.0, 1.6] {
                woods.push(std::array::from_fn(|band| {
                    let r = at(&wood, band)[sample];
                    from_ks(scale * ks(r))
                }));
            }
        }
        let mut other_woods: Vec<Spectrum> = Vec::new();
        for (index, one) in woods.iter().enumerate() {
            let other: &Spectrum = &woods[(index + 4) % woods.len()];
            other_woods.push(std::array::from_fn(|band| {
                (one[band] * other[band]).sqrt().min(0.95) * (nm(band) / 700.0).powf(0.3)
            }));
        }
        Self { woods, other_woods, weights, white }
    }

    /// The woods on which stains of this physics are tried.
    pub(crate) fn woods_for(&self, physics: Physics) -> &[Spectrum] {
        if Physics::OUTSIDE.contains(&physics) { &self.other_woods } else { &self.woods }
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
