//! Where on the card, and beside it, a shadow or a reflection falls.

use std::f64::consts::PI;

/// Outline of what falls on part of the card. Lengths are in patch pitches from the card's middle, across and down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::calibration) enum Shape {
    /// With straight edges, one or two.
    Straight(Straight),
    /// Round.
    Round(Round),
}

/// Between two straight edges, more or less soft, or beyond one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::calibration) struct Straight {
    /// Direction into it, of length 1.
    pub(in crate::calibration) into: [f64; 2],
    /// How far that way its edge lies from the card's middle, pitches.
    pub(in crate::calibration) at: f64,
    /// How much farther it ends, pitches; never, for all that the card shows, where it is infinite.
    pub(in crate::calibration) breadth: f64,
    /// Distance over which it goes from none to all, pitches.
    pub(in crate::calibration) softness: f64,
}

/// A round spot, which falls off as a normal distribution does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::calibration) struct Round {
    /// Its middle.
    pub(in crate::calibration) middle: [f64; 2],
    /// Its standard deviation, pitches.
    pub(in crate::calibration) radius: f64,
}

impl Shape {
    /// Share of it at a place.
    pub(in crate::calibration) fn share(&self, place: [f64; 2]) -> f64 {
        match self {
            Self::Straight(straight) => straight.share(place),
            Self::Round(round) => round.share(place),
        }
    }

    /// Shapes that differ from it by a little in one thing: by up to `step` pitches in place, and by that share in size.
    pub(super) fn nearby(&self, step: f64) -> Vec<Self> {
        match self {
            Self::Straight(one) => one.nearby(step).into_iter().map(Self::Straight).collect(),
            Self::Round(one) => one.nearby(step).into_iter().map(Self::Round).collect(),
        }
    }
}

impl Straight {
    /// Range of softnesses, pitches: sharper ones look alike on the patches, and softer ones are a slope.
    const SOFTNESS: [f64; 2] = [0.1, 2.5];
    /// Range of breadths, pitches.
    const BREADTH: [f64; 2] = [0.8, 4.5];

    /// Whether its other edge lies on the card, too.
    pub(in crate::calibration) fn ends(&self) -> bool {
        self.breadth.is_finite()
    }

    pub(in crate::calibration) fn share(&self, [x, y]: [f64; 2]) -> f64 {
        let inside = self.into[0] * x + self.into[1] * y - self.at;
        let past = |edge: f64| ((inside - edge) / self.softness + 0.5).clamp(0.0, 1.0);
        past(0.0) - past(self.breadth)
    }

    fn nearby(&self, step: f64) -> Vec<Self> {
        let mut nearby = Vec::new();
        for step in [-step, step] {
            // an edge turned so moves by the step at a pitch and a half from its middle
            let (sin, cos) = (step / 1.5).clamp(-PI / 12.0, PI / 12.0).sin_cos();
            let [x, y] = self.into;
            let within = |value: f64, [least, most]: [f64; 2]| (value * step.exp()).clamp(least, most);
            nearby.push(Self { into: [cos * x - sin * y, sin * x + cos * y], ..*self });
            nearby.push(Self { at: self.at + step, ..*self });
            nearby.push(Self { softness: within(self.softness, Self::SOFTNESS), ..*self });
            if self.ends() {
                nearby.push(Self { breadth: within(self.breadth, Self::BREADTH), ..*self });
            }
        }
        nearby
    }
}

impl Round {
    /// Range of radii, pitches.
    const RADIUS: [f64; 2] = [0.5, 2.5];

    pub(in crate::calibration) fn share(&self, [x, y]: [f64; 2]) -> f64 {
        let d2 = (x - self.middle[0]).powi(2) + (y - self.middle[1]).powi(2);
        (-d2 / (2.0 * self.radius * self.radius)).exp()
    }

    fn nearby(&self, step: f64) -> Vec<Self> {
        let [x, y] = self.middle;
        let [least, most] = Self::RADIUS;
        let moved = |by: [f64; 2]| Self { middle: [x + by[0], y + by[1]], ..*self };
        let sized = |by: f64| Self { radius: (self.radius * by.exp()).clamp(least, most), ..*self };
        [-step, step].into_iter().flat_map(|step| [moved([step, 0.0]), moved([0.0, step]), sized(step)]).collect()
    }
}
