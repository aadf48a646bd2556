//! What a law computes with: numbers, or numbers with their slopes along effect and strength.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// Arithmetic that a law needs.
pub(super) trait Number:
    Copy + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self> + Neg<Output = Self>
{
    /// A constant.
    fn of(value: f64) -> Self;
    /// The number alone.
    fn value(self) -> f64;
    /// A function of it, given that function's value and slope here.
    fn then(self, value: f64, slope: f64) -> Self;

    fn exp(self) -> Self {
        let value = self.value().exp();
        self.then(value, value)
    }

    fn sqrt(self) -> Self {
        let value = self.value().max(0.0).sqrt();
        self.then(value, if value > 0.0 { 0.5 / value } else { 0.0 })
    }

    fn tanh(self) -> Self {
        let value = self.value().tanh();
        self.then(value, 1.0 - value * value)
    }

    fn tan(self) -> Self {
        let value = self.value().tan();
        self.then(value, 1.0 + value * value)
    }

    fn within(self, low: f64, high: f64) -> Self {
        let value = self.value();
        if value < low {
            Self::of(low)
        } else if value > high {
            Self::of(high)
        } else {
            self
        }
    }
}

impl Number for f64 {
    fn of(value: f64) -> Self {
        value
    }

    fn value(self) -> f64 {
        self
    }

    fn then(self, value: f64, _: f64) -> Self {
        value
    }
}

/// A number with its slopes along the effect and along the strength.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sloped {
    pub(super) value: f64,
    pub(super) by_effect: f64,
    pub(super) by_strength: f64,
}

impl Number for Sloped {
    fn of(value: f64) -> Self {
        Self { value, by_effect: 0.0, by_strength: 0.0 }
    }

    fn value(self) -> f64 {
        self.value
    }

    fn then(self, value: f64, slope: f64) -> Self {
        Self { value, by_effect: slope * self.by_effect, by_strength: slope * self.by_strength }
    }
}

impl Sloped {
    /// The value, and the slopes as these multiples of two numbers' slopes.
    fn mixed(value: f64, (a, of_a): (Self, f64), (b, of_b): (Self, f64)) -> Self {
        Self {
            value,
            by_effect: of_a * a.by_effect + of_b * b.by_effect,
            by_strength: of_a * a.by_strength + of_b * b.by_strength,
        }
    }
}

impl Add for Sloped {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self::mixed(self.value + other.value, (self, 1.0), (other, 1.0))
    }
}

impl Sub for Sloped {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self::mixed(self.value - other.value, (self, 1.0), (other, -1.0))
    }
}

impl Mul for Sloped {
    type Output = Self;

    fn mul(self, other: Self) -> Self {
        Self::mixed(self.value * other.value, (self, other.value), (other, self.value))
    }
}

impl Div for Sloped {
    type Output = Self;

    fn div(self, other: Self) -> Self {
        let value = self.value / other.value;
        Self::mixed(value, (self, 1.0 / other.value), (other, -value / other.value))
    }
}

impl Neg for Sloped {
    type Output = Self;

    fn neg(self) -> Self {
        self.then(-self.value, -1.0)
    }
}
