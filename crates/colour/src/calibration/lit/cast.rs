//! What falls on part of the card: a shadow, or a soft reflection. The light's slope cannot follow either: a shadow is as
//! dark beyond the card as on it, and a reflection adds light where a slope multiplies it.

/// A shadow between two straight edges, more or less soft, or beyond one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::calibration) struct Shadow {
    /// Direction into the shadow, of length 1, in patch pitches across and down.
    pub(in crate::calibration) into: [f64; 2],
    /// How far that way its edge lies from the card's middle, pitches.
    pub(in crate::calibration) at: f64,
    /// How much farther it ends, pitches; never, for all that the card shows, where it is infinite.
    pub(in crate::calibration) breadth: f64,
    /// Distance over which it goes from none to all, pitches.
    pub(in crate::calibration) softness: f64,
}

/// A soft round reflection, which falls off as a normal distribution does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::calibration) struct Veil {
    /// Its middle from the card's, in patch pitches across and down.
    pub(in crate::calibration) middle: [f64; 2],
    /// Its standard deviation, pitches.
    pub(in crate::calibration) radius: f64,
}

impl Shadow {
    /// Whether its other edge lies on the card, too.
    pub(in crate::calibration) fn ends(&self) -> bool {
        self.breadth.is_finite()
    }

    /// Share of the shadow at a place in pitches from the card's middle.
    pub(in crate::calibration) fn share(&self, [x, y]: [f64; 2]) -> f64 {
        let inside = self.into[0] * x + self.into[1] * y - self.at;
        let past = |edge: f64| ((inside - edge) / self.softness + 0.5).clamp(0.0, 1.0);
        past(0.0) - past(self.breadth)
    }
}

impl Veil {
    /// Share of the reflection at a place in pitches from the card's middle.
    pub(in crate::calibration) fn share(&self, [x, y]: [f64; 2]) -> f64 {
        let d2 = (x - self.middle[0]).powi(2) + (y - self.middle[1]).powi(2);
        (-d2 / (2.0 * self.radius * self.radius)).exp()
    }
}
