//! The fit as a table over the colours of one region, so that each pixel costs an interpolation.

use colour::Xyz;

/// Nodes along each axis.
const NODES: usize = 11;

/// XYZ over a box of linear working RGB, trilinear between nodes.
///
/// The nodes are evenly spaced in linear light, in which XYZ is nearly straight: mixing is, and only the bend of the
/// fitted tone curve and the root terms are not.
pub(super) struct Table {
    low: [f32; 3],
    per_step: [f32; 3],
    /// X, Y, Z and nothing, so that a node fills a register.
    xyz: Vec<[f32; 4]>,
}

impl Table {
    /// Tabulates `xyz_of` between two corners of the box.
    pub(super) fn new(low: [f32; 3], high: [f32; 3], xyz_of: impl Fn([f64; 3]) -> Xyz) -> Self {
        let step = [0, 1, 2].map(|channel| ((high[channel] - low[channel]) / (NODES - 1) as f32).max(1e-6));
        let node = |channel: usize, k: usize| f64::from(low[channel]) + k as f64 * f64::from(step[channel]);
        let xyz = (0..NODES * NODES * NODES)
            .map(|k| {
                let at = [k / (NODES * NODES), k / NODES % NODES, k % NODES];
                let xyz = xyz_of([node(0, at[0]), node(1, at[1]), node(2, at[2])]);
                [xyz.x as f32, xyz.y as f32, xyz.z as f32, 0.0]
            })
            .collect();
        Self { low, per_step: step.map(|step| 1.0 / step), xyz }
    }

    /// XYZ of a linear working RGB inside the box; outside, of the nearest colour in it.
    #[inline]
    pub(super) fn xyz(&self, light: [f32; 3]) -> [f32; 3] {
        let mut cell = [0usize; 3];
        let mut part = [0f32; 3];
        for channel in 0..3 {
            let at = ((light[channel] - self.low[channel]) * self.per_step[channel]).clamp(0.0, (NODES - 1) as f32);
            cell[channel] = (at as usize).min(NODES - 2);
            part[channel] = at - cell[channel] as f32;
        }
        let first = (cell[0] * NODES + cell[1]) * NODES + cell[2];
        let face = |node: usize| {
            let near = between(self.xyz[node], self.xyz[node + 1], part[2]);
            between(near, between(self.xyz[node + NODES], self.xyz[node + NODES + 1], part[2]), part[1])
        };
        let [x, y, z, _] = between(face(first), face(first + NODES * NODES), part[0]);
        [x, y, z]
    }
}

#[inline]
fn between(mut from: [f32; 4], to: [f32; 4], part: f32) -> [f32; 4] {
    for (from, to) in from.iter_mut().zip(to) {
        *from += part * (to - *from);
    }
    from
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A bent curve and mixing, as a fit has them; the table must give its values back within what the bend allows.
    #[test]
    fn the_table_follows_a_bent_curve() {
        let bent = |[r, g, b]: [f64; 3]| {
            let curve = |light: f64| light.max(0.0).powf(1.15);
            let (r, g, b) = (curve(r), curve(g), curve(b));
            Xyz::new(0.4 * r + 0.4 * g + 0.1 * b, 0.2 * r + 0.7 * g + 0.1 * b, 0.1 * g + 0.7 * b)
        };
        let table = Table::new([0.05, 0.03, 0.02], [0.6, 0.5, 0.4], bent);
        for k in 0..500 {
            let part = |prime: usize| (k * prime % 499) as f32 / 498.0;
            let light = [0.05 + 0.55 * part(7), 0.03 + 0.47 * part(11), 0.02 + 0.38 * part(13)];
            let [x, y, z] = table.xyz(light);
            let exact = bent(light.map(f64::from));
            let off = [(x, exact.x), (y, exact.y), (z, exact.z)].map(|(found, exact)| (f64::from(found) - exact).abs());
            let off = off.into_iter().fold(0.0, f64::max);
            // h²/8 times the largest second derivative of x^1.15 in the box, summed over three channels.
            assert!(
                off < 3.0 * 0.055f64.powi(2) / 8.0 * 1.15 * 0.15 * 0.02f64.powf(-0.85),
                "off by {off} at {light:?}"
            );
        }
    }
}
