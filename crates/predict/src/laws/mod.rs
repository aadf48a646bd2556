//! What a step does to a colour: a small family of laws in three reflectances.
//!
//! A colour is three linear wide-gamut reflectances ([`space`]). A law maps each of them by the step's effect E (one
//! number a channel) and its strength s; more of either always absorbs more. None of the laws is 'add a ΔLab'.

mod film;
pub(crate) mod lanes;
mod number;
pub mod space;

use colour::Lab;
use number::{Number, Sloped};

/// The three reflectances of a colour, see [`space`].
pub type Channels = [f64; 3];

/// A law of what a step does, per channel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// A clear film that absorbs (Beer–Lambert): log r − sE.
    Log,
    /// Between the clear film and the colourant in the wood: √q + sE/2.
    RootKs,
    /// A colourant that sits in the wood and does not hide: q + sE.
    Ks,
    /// A colourant in the wood that scatters: (q + sE)/(1 + sσ), σ = h/(1 − h).
    Hiding {
        /// Hiding h, 0..1.
        hiding: f64,
    },
    /// A film of Kubelka–Munk: K = E, S = σ = h/(1 − h), thickness s.
    Film {
        /// Hiding h, 0..1.
        hiding: f64,
    },
    /// A factor on what the wood absorbs, above a floor: f + (q − f)·exp(sE). Bleach takes (E < 0), wetting gives.
    Factor {
        /// The K/S that is never gone below, or risen from.
        floor: f64,
    },
}

/// Which laws may explain a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// Dye, stain, glaze, toner: something is put on.
    Colourant,
    /// Bleach, caustic soda, ageing: the wood's own colour changes.
    Change,
    /// Wetting, sealer, topcoat.
    Coat,
}

impl Family {
    /// The laws with their prior weights.
    pub fn laws(self) -> Vec<(Law, f64)> {
        // From next to none to a colour that hides the wood; weights chosen on the building seeds of `measure-transfer`.
        const HIDING: [f64; 6] = [0.02, 0.06, 0.15, 0.3, 0.5, 0.75];
        // In the wood a colour may hide so well that a third of it gives the same; rare, and told by two strengths.
        const HIDING_WELL: [f64; 2] = [0.9, 0.97];
        let each = |weight: f64| weight / HIDING.len() as f64;
        match self {
            Self::Colourant => {
                let mut laws = vec![(Law::Log, 0.2), (Law::RootKs, 0.04), (Law::Ks, 0.2)];
                laws.extend(HIDING.map(|hiding| (Law::Hiding { hiding }, each(0.19))));
                laws.extend(HIDING_WELL.map(|hiding| (Law::Hiding { hiding }, 0.005)));
                laws.extend(HIDING.map(|hiding| (Law::Film { hiding }, each(0.36))));
                laws
            }
            Self::Change => vec![
                (Law::Factor { floor: 0.0 }, 0.25),
                (Law::Factor { floor: 0.01 }, 0.15),
                (Law::Factor { floor: 0.03 }, 0.15),
                (Law::RootKs, 0.15),
                (Law::Ks, 0.2),
                (Law::Log, 0.1),
            ],
            Self::Coat => {
                vec![(Law::Factor { floor: 0.0 }, 0.45), (Law::Log, 0.25), (Law::RootKs, 0.15), (Law::Ks, 0.15)]
            }
        }
    }
}

impl Law {
    /// The law in words, without its constants.
    pub fn name(self) -> &'static str {
        match self {
            Self::Log => "clear film",
            Self::RootKs => "between film and wood",
            Self::Ks => "in the wood",
            Self::Hiding { .. } => "in the wood, hiding",
            Self::Film { .. } => "hiding film",
            Self::Factor { .. } => "factor on the wood's colour",
        }
    }

    /// Reflectance of one channel after the step: `r` before it, effect `e`, strength `s` ≥ 0.
    ///
    /// # Source
    /// Kubelka, Munk (1931), Z. techn. Phys. 12:593–601 for K/S; Kubelka (1948), JOSA 38:448–457 for the film.
    pub fn channel(self, r: f64, e: f64, s: f64) -> f64 {
        self.respond(r, e, s)
    }

    /// The same, with its slopes along the effect and along the strength.
    pub(crate) fn channel_with_slopes(self, r: f64, e: f64, s: f64) -> (f64, f64, f64) {
        let e = Sloped { value: e, by_effect: 1.0, by_strength: 0.0 };
        let s = Sloped { value: s, by_effect: 0.0, by_strength: 1.0 };
        let after = self.respond(r, e, s);
        (after.value, after.by_effect, after.by_strength)
    }

    fn respond<N: Number>(self, r: f64, e: N, s: N) -> N {
        let taken = s * e;
        let reflectance = match self {
            Self::Log => N::of(r) * (-taken).exp(),
            Self::RootKs => {
                let root = (N::of(ks_from_r(r).sqrt()) + taken * N::of(0.5)).within(0.0, f64::INFINITY);
                r_of(root * root)
            }
            Self::Ks => r_of(N::of(ks_from_r(r)) + taken),
            Self::Hiding { hiding } => {
                r_of((N::of(ks_from_r(r)) + taken) / (N::of(1.0) + s * N::of(hiding / (1.0 - hiding))))
            }
            Self::Film { hiding } => film::reflectance(r, e, hiding / (1.0 - hiding), s),
            Self::Factor { floor } => {
                let q = ks_from_r(r);
                if q > floor {
                    r_of(N::of(floor) + N::of(q - floor) * taken.within(-40.0, 40.0).exp())
                } else {
                    N::of(r)
                }
            }
        };
        reflectance.within(space::DARKEST, space::LIGHTEST)
    }

    /// All three channels after the step.
    pub fn channels(self, r: Channels, e: [f64; 3], s: f64) -> Channels {
        [self.channel(r[0], e[0], s), self.channel(r[1], e[1], s), self.channel(r[2], e[2], s)]
    }

    /// The colour after the step.
    pub fn lab(self, before: Lab, e: [f64; 3], s: f64) -> Lab {
        space::lab_from_channels(self.channels(space::channels_from_lab(before), e, s))
    }

    /// The effect that takes `before` to `after` at strength `s` > 0, channel by channel, by bisection.
    pub fn effect(self, before: Channels, after: Channels, s: f64) -> [f64; 3] {
        std::array::from_fn(|channel| self.effect_of_channel(before[channel], after[channel], s))
    }

    fn effect_of_channel(self, before: f64, after: f64, s: f64) -> f64 {
        // More effect always reflects less; sinh spreads the halvings over all sizes of effect.
        let (mut low, mut high) = (-8.0f64, 8.0f64);
        for _ in 0..60 {
            let middle = (low + high) / 2.0;
            if self.channel(before, middle.sinh(), s) > after { low = middle } else { high = middle }
        }
        ((low + high) / 2.0).sinh()
    }
}

/// Absorption over scattering K/S of a thick layer of reflectance `r` in (0, 1].
///
/// # Source
/// Kubelka, Munk (1931), Z. techn. Phys. 12:593–601.
pub fn ks_from_r(r: f64) -> f64 {
    (1.0 - r).powi(2) / (2.0 * r)
}

/// Reflectance of a thick layer with this K/S; negative K/S counts as none.
///
/// # Source
/// As [`ks_from_r`], inverted; written so that nothing cancels for large K/S.
pub fn r_from_ks(q: f64) -> f64 {
    r_of(q)
}

fn r_of<N: Number>(q: N) -> N {
    let q = q.within(0.0, f64::INFINITY);
    N::of(1.0) / (N::of(1.0) + q + (q * (q + N::of(2.0))).sqrt())
}
