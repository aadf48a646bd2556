//! Noise that depends on nothing but its place and seed.

/// A hash of a lattice point (its coordinates already multiplied and mixed), uniform in −1..1.
fn lattice(mixed: u32) -> f32 {
    let h = (mixed ^ (mixed >> 15)).wrapping_mul(0x2C1B_3C6D);
    let h = (h ^ (h >> 13)).wrapping_mul(0x297A_2D39);
    ((h ^ (h >> 16)) as i32) as f32 * (1.0 / 2_147_483_648.0)
}

/// The whole number at or below, faster than `floor` where the processor has no instruction for it.
fn below(x: f32) -> i32 {
    let i = x as i32;
    i - i32::from((i as f32) > x)
}

/// Smooth noise of about one feature per unit, −1..1.
pub(crate) fn smooth(x: f32, y: f32, seed: u32) -> f32 {
    let (i, j) = (below(x), below(y));
    let ease = |t: f32| t * t * (3.0 - 2.0 * t);
    let (u, v) = (ease(x - i as f32), ease(y - j as f32));
    let (x0, y0) = ((i as u32).wrapping_mul(0x9E37_79B1), (j as u32).wrapping_mul(0x85EB_CA77));
    let (x1, y1) = (x0.wrapping_add(0x9E37_79B1), y0.wrapping_add(0x85EB_CA77));
    let (y0, y1) = (y0 ^ seed.wrapping_mul(0xC2B2_AE3D), y1 ^ seed.wrapping_mul(0xC2B2_AE3D));
    let (a, b, c, d) = (lattice(x0 ^ y0), lattice(x1 ^ y0), lattice(x0 ^ y1), lattice(x1 ^ y1));
    let (top, foot) = (a + (b - a) * u, c + (d - c) * u);
    top + (foot - top) * v
}

/// Rises smoothly from 0 at `low` to 1 at `high`.
pub(crate) fn rise(low: f32, high: f32, x: f32) -> f32 {
    let t = ((x - low) / (high - low)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// A stream of roughly normal numbers (the sum of four uniform ones, scaled to variance 1; tails end at ±3.5).
pub(crate) struct Normals(u64);

impl Normals {
    pub(crate) fn new(seed: u64) -> Self {
        let mut h = seed.wrapping_add(0x9E37_79B9_7F4A_7C15);
        h = (h ^ (h >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        h = (h ^ (h >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        Self((h ^ (h >> 31)) | 1)
    }

    pub(crate) fn draw(&mut self) -> f32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        let bits = self.0;
        let sum: u64 = (0..4).map(|i| (bits >> (16 * i)) & 0xFFFF).sum();
        (sum as f32 / 65535.0 - 2.0) * 1.732_050_8
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn normals_have_mean_0_and_variance_1() {
        let mut normals = Normals::new(3);
        let draws: Vec<f64> = (0..200_000).map(|_| f64::from(normals.draw())).collect();
        let mean = draws.iter().sum::<f64>() / draws.len() as f64;
        let variance = draws.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / draws.len() as f64;
        assert!(mean.abs() < 0.01 && (variance - 1.0).abs() < 0.015, "{mean} {variance}");
    }
}
