//! Published limits for colour differences, as presets: a guide, never a law.

/// A limit on a colour difference with where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Threshold {
    /// What the limit means.
    pub name: &'static str,
    /// The limit.
    pub value: f64,
    /// The formula it is a limit of.
    pub formula: Formula,
    /// Who found it, on what.
    pub source: &'static str,
}

/// A colour-difference formula.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Formula {
    /// CIEDE2000.
    De00,
    /// CIE 1976, the plain distance in Lab.
    DeAb,
}

/// Half of the observers see a difference.
///
/// # Source
/// Paravina et al. (2015), DOI 10.1111/jerd.12149; tooth-coloured samples, 175 observers.
pub const PERCEPTIBILITY: Threshold = Threshold {
    name: "perceptibility",
    value: 0.8,
    formula: Formula::De00,
    source: "Paravina et al. 2015, tooth-coloured samples, 175 observers: half of them see a difference",
};

/// Half of the observers accept the difference.
///
/// # Source
/// Paravina et al. (2015), DOI 10.1111/jerd.12149; tooth-coloured samples, 175 observers.
pub const ACCEPTABILITY: Threshold = Threshold {
    name: "acceptability",
    value: 1.8,
    formula: Formula::De00,
    source: "Paravina et al. 2015, tooth-coloured samples, 175 observers: half of them accept the difference",
};

/// How much wood differs from itself within one untreated surface: no limit, but what to hold a difference against.
///
/// # Source
/// Buchelt, Wagenführ (2011), DOI 10.1007/s00107-011-0545-z: about 2 ΔE*ab, six species.
pub const WITHIN_ONE_WOOD_SURFACE: Threshold = Threshold {
    name: "within one untreated wood surface",
    value: 2.0,
    formula: Formula::DeAb,
    source: "Buchelt, Wagenführ 2011, six species: about 2 within one untreated surface",
};

/// The presets for a tolerance, finest first.
pub const PRESETS: [Threshold; 2] = [PERCEPTIBILITY, ACCEPTABILITY];
