//! Waves in a signal: the discrete Fourier transform, one frequency at a time.

/// Cosine and sine of the wave that runs `waves` times over a line of `length`, in a signal that begins at `start` of it.
pub(crate) fn wave(signal: &[f64], start: usize, waves: usize, length: usize) -> [f64; 2] {
    let turn = std::f64::consts::TAU * waves as f64 / length as f64;
    let (step_sin, step_cos) = turn.sin_cos();
    let (mut sin, mut cos) = (turn * start as f64).sin_cos();
    let mut sum = [0.0, 0.0];
    for value in signal {
        sum[0] += value * cos;
        sum[1] += value * sin;
        (sin, cos) = (sin * step_cos + cos * step_sin, cos * step_cos - sin * step_sin);
    }
    sum.map(|sum| 2.0 * sum / signal.len() as f64)
}

/// Amplitude of the wave that runs `waves` times over a signal.
pub(crate) fn amplitude(signal: &[f64], waves: usize) -> f64 {
    let [cos, sin] = wave(signal, 0, waves, signal.len());
    cos.hypot(sin)
}
