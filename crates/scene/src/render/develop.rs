//! From sensor values to stored pixels: lens, noise, matrix, tone.

use crate::Scene;
use crate::camera::Developed;
use crate::noise::Normals;

/// Order: blur, veil, exposure, noise, saturation, colour matrix, tone curve and 8 bits.
pub(super) fn develop(scene: &Scene, developed: &Developed, mut sensed: Vec<[f32; 3]>) -> Vec<u8> {
    let (width, camera) = (scene.width_px as usize, &scene.camera);
    if camera.blur_px > 0.05 {
        sensed = blurred(&sensed, width, camera.blur_px as f32);
    }
    let (exposure, shot, read) = (camera.exposure as f32, camera.shot_noise as f32, camera.read_noise as f32);
    let veil = (camera.veil * scene.light.level) as f32;
    let matrix: [[f32; 3]; 3] = std::array::from_fn(|i| std::array::from_fn(|j| developed.matrix[(i, j)] as f32));
    let mut rgb = vec![0u8; sensed.len() * 3];
    super::for_rows(&mut rgb, width * 3, |y, row| {
        let mut normals = Normals::new(scene.seed.wrapping_mul(1_000_003).wrapping_add(y as u64));
        for (stored, pixel) in row.chunks_exact_mut(3).zip(&sensed[y * width..]) {
            let raw = pixel.map(|value| {
                let value = (value + veil) * exposure;
                let spread = (shot * shot * value.max(0.0) + read * read).sqrt();
                (value + spread * normals.draw()).clamp(0.0, 1.0)
            });
            for (i, out) in stored.iter_mut().enumerate() {
                let linear = matrix[i][0] * raw[0] + matrix[i][1] * raw[1] + matrix[i][2] * raw[2];
                *out = developed.store(i, linear);
            }
        }
    });
    rgb
}

/// A Gaussian blur, rows then columns.
fn blurred(sensed: &[[f32; 3]], width: usize, sigma: f32) -> Vec<[f32; 3]> {
    let reach = (2.5 * sigma).ceil() as usize;
    let mut taps: Vec<f32> =
        (0..=2 * reach).map(|i| (-0.5 * ((i as f32 - reach as f32) / sigma).powi(2)).exp()).collect();
    let total: f32 = taps.iter().sum();
    taps.iter_mut().for_each(|tap| *tap /= total);
    let height = sensed.len() / width;
    let mut across = vec![[0.0f32; 3]; sensed.len()];
    super::for_rows(&mut across, width, |y, row| {
        let from = &sensed[y * width..(y + 1) * width];
        for (x, out) in row.iter_mut().enumerate() {
            for (k, tap) in taps.iter().enumerate() {
                let at = (x + k).saturating_sub(reach).min(width - 1);
                (0..3).for_each(|i| out[i] += tap * from[at][i]);
            }
        }
    });
    let mut down = vec![[0.0f32; 3]; sensed.len()];
    super::for_rows(&mut down, width, |y, row| {
        for (k, tap) in taps.iter().enumerate() {
            let at = (y + k).saturating_sub(reach).min(height - 1);
            for (out, from) in row.iter_mut().zip(&across[at * width..]) {
                (0..3).for_each(|i| out[i] += tap * from[i]);
            }
        }
    });
    down
}
