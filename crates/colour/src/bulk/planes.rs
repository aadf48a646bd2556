//! Colours by component, eight abreast.

use wide::f32x8;

use crate::Lab;

/// Colours worked on together.
pub const LANES: usize = 8;

/// Eight colours: eight of each component.
pub type Lanes = [f32x8; 3];

/// Any number of colours by component, in groups of eight. What is left of the last group repeats the last colour.
#[derive(Clone, Debug, PartialEq)]
pub struct Planes {
    groups: Vec<Lanes>,
    count: usize,
}

impl Planes {
    /// Of Lab colours.
    pub fn of_lab(lab: &[Lab]) -> Self {
        let group = |colours: &[Lab]| -> Lanes {
            let mut planes = [[0f32; LANES]; 3];
            let padded = colours.iter().chain(std::iter::repeat(&colours[colours.len() - 1]));
            for (lane, one) in padded.enumerate().take(LANES) {
                [planes[0][lane], planes[1][lane], planes[2][lane]] = [one.l as f32, one.a as f32, one.b as f32];
            }
            planes.map(f32x8::from)
        };
        Self { groups: lab.chunks(LANES).map(group).collect(), count: lab.len() }
    }

    /// The groups of eight.
    pub fn groups(&self) -> &[Lanes] {
        &self.groups
    }

    /// How many colours there are.
    pub fn len(&self) -> usize {
        self.count
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }
}

#[inline]
pub(super) fn load(from: &[[f32; 3]]) -> Lanes {
    let mut planes = [[0f32; LANES]; 3];
    for (at, pixel) in from.iter().take(LANES).enumerate() {
        for channel in 0..3 {
            planes[channel][at] = pixel[channel];
        }
    }
    planes.map(f32x8::from)
}

#[inline]
pub(super) fn store(planes: Lanes, to: &mut [[f32; 3]]) {
    let planes = planes.map(f32x8::to_array);
    for (at, pixel) in to.iter_mut().enumerate() {
        *pixel = [planes[0][at], planes[1][at], planes[2][at]];
    }
}
