//! Joint draws by axis, eight abreast, for the sums of products that covariances are made of.

use colour::{Lab, bulk::LANES, bulk::Planes};
use nalgebra::Vector3;
use wide::f32x8;

use crate::draws::COUNT;

/// Groups of eight draws.
pub(crate) const GROUPS: usize = COUNT / LANES;

/// All draws of one axis of CIELAB.
pub(crate) type Axis = [f32x8; GROUPS];

/// The joint draws of a colour, or of a difference.
#[derive(Clone, Debug)]
pub(crate) struct Cloud(pub(crate) Box<[Axis; 3]>);

impl Cloud {
    /// Of colours; those that are missing count as none.
    pub(crate) fn of(draws: &[Lab]) -> Self {
        let planes = Planes::of_lab(draws);
        Self::from_axes(|axis| {
            std::array::from_fn(|group| planes.groups().get(group).map_or(f32x8::ZERO, |lanes| lanes[axis]))
        })
    }

    /// From what each axis is.
    pub(crate) fn from_axes(axis: impl Fn(usize) -> Axis) -> Self {
        Self(Box::new([axis(0), axis(1), axis(2)]))
    }

    /// The difference, draw by draw.
    pub(crate) fn less(&self, other: &Self) -> Self {
        Self::from_axes(|axis| std::array::from_fn(|group| self.0[axis][group] - other.0[axis][group]))
    }

    /// The same less its mean.
    pub(crate) fn centred(&self) -> Self {
        Self::from_axes(|axis| {
            let sum = self.0[axis].iter().fold(f32x8::ZERO, |sum, group| sum + *group);
            let mean = f32x8::splat(sum.reduce_add() / COUNT as f32);
            std::array::from_fn(|group| self.0[axis][group] - mean)
        })
    }

    /// One draw.
    pub(crate) fn at(&self, draw: usize) -> Vector3<f64> {
        Vector3::from_fn(|axis, _| f64::from(self.0[axis][draw / LANES].as_array_ref()[draw % LANES]))
    }
}

/// Mean over the draws of the product of two axes.
pub(crate) fn mean_product(a: &Axis, b: &Axis) -> f64 {
    let mut sums = [f32x8::ZERO; 2];
    for (a, b) in a.chunks_exact(2).zip(b.chunks_exact(2)) {
        sums[0] += a[0] * b[0];
        sums[1] += a[1] * b[1];
    }
    f64::from((sums[0] + sums[1]).reduce_add()) / COUNT as f64
}
