//! The edge of a shadow across a patch. It leaves a bright part as a reflection does, but divides the patch along a line into
//! two even parts, and takes the same share of light away in each channel; a reflection adds light to the paint's.

use nalgebra::{Matrix2, Vector2};

/// Pixels on the wrong side of the line, over those on the fewer side, at most.
const ASTRAY: f64 = 0.12;
/// What the lightest tenth of the bright pixels have over their median, as a share of it and beyond noise, at most: a lamp's
/// spot rises towards its middle.
const EVEN: f64 = 0.12;
/// Light beside a shadow over that in it, at most; on dark paint a lamp's reflection shows many times more.
const DEEPEST: f64 = 8.0;
/// That ratio in one channel over that in another, at most: sun and sky differ in colour.
const COLOUR: f64 = 1.5;
/// Linear light from which a channel's ratio can be told.
const TELLING: f64 = 0.002;

/// Whether those pixels of a patch that are brighter than `from`, in luminance, are its lit part beside a shadow's edge.
pub(super) fn divides(pixels: &[[u32; 2]], lights: &[[f32; 3]], luminances: &[f32], from: f64) -> bool {
    let part = |bright: bool| {
        let mut light: Vec<f32> = luminances.iter().copied().filter(|&l| (f64::from(l) > from) == bright).collect();
        light.sort_unstable_by(f32::total_cmp);
        light
    };
    let (dark, bright) = (part(false), part(true));
    if dark.is_empty() || bright.is_empty() {
        return false;
    }
    let level = |light: &[f32], share: f64| super::quantile(light, share);
    let (in_shade, beside) = (level(&dark, 0.5), level(&bright, 0.5));
    let between = (in_shade + beside) / 2.0;
    // what lies below the middle of the shade is noise, which is no larger in the light
    let noise = 1.0 - level(&dark, 0.1) / in_shade.max(1e-6);
    let even = level(&bright, 0.9) < (1.0 + EVEN + noise) * beside;
    let is_bright = |k: usize| f64::from(luminances[k]) > between;
    even && beside < DEEPEST * in_shade && alike(lights, is_bright) && along_a_line(pixels, is_bright)
}

/// Whether the two parts differ by one factor in all channels.
fn alike(lights: &[[f32; 3]], is_bright: impl Fn(usize) -> bool) -> bool {
    let ratios: Vec<f64> = (0..3)
        .filter_map(|c| {
            let mean = |bright: bool| {
                let part = lights.iter().enumerate().filter(|(k, _)| is_bright(*k) == bright);
                let (sum, count) = part.fold((0.0, 0.0), |(sum, n), (_, light)| (sum + f64::from(light[c]), n + 1.0));
                sum / f64::max(count, 1.0)
            };
            let dark = mean(false);
            (dark > TELLING).then(|| mean(true) / dark)
        })
        .collect();
    let most = ratios.iter().copied().fold(f64::MIN, f64::max);
    let least = ratios.iter().copied().fold(f64::MAX, f64::min);
    most < COLOUR * least
}

/// Whether a straight line parts them, but for a few.
///
/// # Source
/// Fisher R. A. (1936), The use of multiple measurements in taxonomic problems: the linear discriminant of two groups.
fn along_a_line(pixels: &[[u32; 2]], is_bright: impl Fn(usize) -> bool) -> bool {
    let place = |k: usize| Vector2::new(f64::from(pixels[k][0]), f64::from(pixels[k][1]));
    let group = |bright: bool| (0..pixels.len()).filter(|k| is_bright(*k) == bright).collect::<Vec<usize>>();
    let (dark, bright) = (group(false), group(true));
    let fewer = dark.len().min(bright.len());
    if fewer == 0 {
        return false;
    }
    let mean = |group: &[usize]| group.iter().map(|&k| place(k)).sum::<Vector2<f64>>() / group.len() as f64;
    let middles = [mean(&dark), mean(&bright)];
    let scatter: Matrix2<f64> = (0..pixels.len())
        .map(|k| place(k) - middles[usize::from(is_bright(k))])
        .map(|off| off * off.transpose())
        .sum::<Matrix2<f64>>();
    let Some(inverse) = scatter.try_inverse() else { return false };
    let normal = inverse * (middles[1] - middles[0]);
    let mut along: Vec<(f64, bool)> = (0..pixels.len()).map(|k| (normal.dot(&place(k)), is_bright(k))).collect();
    along.sort_by(|a, b| a.0.total_cmp(&b.0));
    let astray = along[..dark.len()].iter().filter(|(_, bright)| *bright).count();
    astray as f64 <= ASTRAY * fewer as f64
}

#[cfg(test)]
mod tests {
    use super::super::{GLARE_SHARE, bright_tail};

    /// Pixels along a side of the patch.
    const SIDE: u32 = 40;

    /// Linear light of paints: white, a grey, a black, and three colours.
    const PAINTS: [[f64; 3]; 6] =
        [[0.85, 0.88, 0.90], [0.2; 3], [0.03; 3], [0.42, 0.13, 0.02], [0.03, 0.06, 0.24], [0.08, 0.25, 0.06]];

    /// A patch by its light at each place, from −1 to 1 each way: each pixel the mean of 16 places in it and half beside it,
    /// with noise of a hundredth.
    fn drawn(light: impl Fn([f64; 2]) -> [f64; 3]) -> (f64, bool) {
        let (mut pixels, mut lights) = (Vec::new(), Vec::new());
        for k in 0..SIDE * SIDE {
            let pixel = [k % SIDE, k / SIDE];
            let mut sum = [0.0; 3];
            for part in 0..16 {
                let offset = [part % 4, part / 4].map(|at| f64::from(at) * 0.5 - 0.25);
                let place = [0, 1].map(|axis| 2.0 * (f64::from(pixel[axis]) + offset[axis]) / f64::from(SIDE) - 1.0);
                light(place).into_iter().zip(&mut sum).for_each(|(light, sum)| *sum += light / 16.0);
            }
            let noise = 1.0 + 0.01 * (f64::from(k * 7919 % 101) / 50.0 - 1.0);
            pixels.push(pixel);
            lights.push(sum.map(|v| (v * noise) as f32));
        }
        bright_tail(&pixels, &lights)
    }

    /// Distance from a line at so many eighths of a turn, through so much from the middle.
    fn beyond([x, y]: [f64; 2], eighths: u32, from: f64) -> f64 {
        let (sin, cos) = (std::f64::consts::TAU * (f64::from(eighths) + 0.3) / 8.0).sin_cos();
        x * cos + y * sin - from
    }

    /// A shadow takes the same share from what any paint throws back (what a reflectance is).
    #[test]
    fn the_edge_of_a_shadow_is_no_reflection() {
        for (paint, depth, from, soft) in PAINTS.into_iter().flat_map(|paint| {
            let edges = [(0.1, 0.01), (0.3, 0.15), (0.45, 0.05)];
            [0.25, 0.5, 0.65].into_iter().flat_map(move |depth| edges.map(|(from, soft)| (paint, depth, from, soft)))
        }) {
            for eighths in 0..8 {
                let (share, in_shade) = drawn(|place| {
                    let lit = (beyond(place, eighths, from) / soft + 0.5).clamp(0.0, 1.0);
                    // the sky that lights a shadow is bluer than the sun
                    [0, 1, 2].map(|c| paint[c] * (depth * [0.92, 1.0, 1.08][c] * (1.0 - lit) + lit))
                });
                let what = format!("paint {paint:?}, depth {depth}, edge at {from}, {eighths}/8 of a turn");
                assert!(share <= GLARE_SHARE, "{what}: glare on {share}");
                assert!(in_shade || paint[1] < 0.05 || depth > 0.6, "{what}: no shade");
            }
        }
    }

    /// A mirrored lamp adds its light to that of the paint, whatever that is (Fresnel's equations, any textbook of optics): with
    /// a rim, as a spot, as a tube, half of it on the patch; and a window's straight edge on paints with a colour.
    #[test]
    fn a_reflection_on_part_of_a_patch_is_one_whatever_its_shape() {
        let disc = |[x, y]: [f64; 2], at: [f64; 2], radius: f64| {
            ((radius - (x - at[0]).hypot(y - at[1])) / 0.05).clamp(0.0, 1.0)
        };
        type Shape<'a> = Box<dyn Fn([f64; 2]) -> f64 + 'a>;
        let shapes: [(&str, Shape); 5] = [
            ("a disc", Box::new(move |place| disc(place, [0.1, -0.1], 0.6))),
            ("half a disc", Box::new(move |place| disc(place, [1.0, 0.2], 0.9))),
            ("a tube", Box::new(|[_, y]| ((0.3 - (y - 0.2).abs()) / 0.05).clamp(0.0, 1.0))),
            ("a soft spot", Box::new(|[x, y]| (-((x - 0.5).powi(2) + (y - 0.5).powi(2)) / 0.25).exp())),
            ("a window", Box::new(|place| (beyond(place, 1, 0.3) / 0.05).clamp(0.0, 1.0))),
        ];
        for (name, shape) in &shapes {
            for paint in PAINTS {
                let coloured = paint[0] != paint[1] && paint[1] < 0.8;
                for strength in [0.4, 0.8] {
                    if *name == "a window" && !coloured || paint[1] > 0.8 && *name == "a soft spot" && strength < 0.5 {
                        continue;
                    }
                    let (share, in_shade) = drawn(|place| paint.map(|v| v + strength * shape(place)));
                    assert!(share > GLARE_SHARE && !in_shade, "{name} of {strength} on {paint:?}: {share}, {in_shade}");
                }
            }
        }
    }

    /// A lamp's shade or a bright wall is mirrored with a straight edge too, and on grey paint in one colour; but it grows brighter
    /// away from its edge, which light beside a shadow does not.
    #[test]
    fn what_rises_from_a_straight_edge_is_a_reflection() {
        for paint in &PAINTS[1..3] {
            for eighths in 0..8 {
                let (share, in_shade) = drawn(|place| {
                    let into = beyond(place, eighths, 0.2).max(0.0);
                    let light = if into > 0.0 { 0.6 * paint[1] + 1.4 * paint[1] * into } else { 0.0 };
                    paint.map(|v| v + light)
                });
                assert!(share > GLARE_SHARE && !in_shade, "on {paint:?}, {eighths}/8 of a turn: {share}, {in_shade}");
            }
        }
    }
}
