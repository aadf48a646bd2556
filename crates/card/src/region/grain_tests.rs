//! The integral range against what it stands for: the variance of means over many fields, and a block bootstrap.

use super::*;

/// A small generator with its own seed, so that the fields are the same each time (Steele et al. 2014, SplitMix64).
struct Random(u64);

impl Random {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.next()).sum::<f64>() - 6.0
    }
}

/// White noise averaged over boxes `long` × `short` cells, turned by an angle, plus white noise of a third of its spread.
fn field(random: &mut Random, side: usize, long: f64, short: f64, angle: f64) -> Map {
    let pad = long.ceil() as i64;
    let wide = side as i64 + 2 * pad;
    let noise: Vec<f64> = (0..wide * wide).map(|_| random.normal()).collect();
    let (cos, sin) = (angle.cos(), angle.sin());
    let offsets: Vec<i64> = (-pad..=pad)
        .flat_map(|dy| (-pad..=pad).map(move |dx| (dx, dy)))
        .filter(|&(dx, dy)| {
            let (u, v) = (dx as f64 * cos + dy as f64 * sin, dy as f64 * cos - dx as f64 * sin);
            u.abs() <= long / 2.0 && v.abs() <= short / 2.0
        })
        .map(|(dx, dy)| dy * wide + dx)
        .collect();
    let scale = 3.0 / (offsets.len() as f64).sqrt();
    let cells = (0..side * side)
        .map(|k| {
            let at = (k / side) as i64 * wide + pad * wide + (k % side) as i64 + pad;
            let l = offsets.iter().map(|offset| noise[(at + offset) as usize]).sum::<f64>() * scale + random.normal();
            Some([50.0 + l as f32, 8.0, 20.0])
        })
        .collect();
    Map { columns: side, rows: side, cells }
}

fn mean_of(map: &Map) -> f64 {
    map.points().map(|(_, _, lab)| lab[0]).sum::<f64>() / map.cells.len() as f64
}

/// Standard error of the mean by resampling square blocks (Politis, Romano 1994: overlapping blocks, drawn afresh).
fn bootstrap_error(map: &Map, block: usize, random: &mut Random) -> f64 {
    let side = map.columns;
    let per_field = (side / block).pow(2);
    let means: Vec<f64> = (0..400)
        .map(|_| {
            let mut sum = 0.0;
            for _ in 0..per_field {
                let (x, y) =
                    ((random.next() * (side - block) as f64) as i64, (random.next() * (side - block) as f64) as i64);
                for dy in 0..block as i64 {
                    for dx in 0..block as i64 {
                        sum += map.at(x + dx, y + dy).map_or(0.0, |lab| lab[0]);
                    }
                }
            }
            sum / (per_field * block * block) as f64
        })
        .collect();
    let mean = means.iter().sum::<f64>() / means.len() as f64;
    (means.iter().map(|m| (m - mean).powi(2)).sum::<f64>() / (means.len() - 1) as f64).sqrt()
}

#[test]
fn the_error_of_the_mean_is_that_of_many_fields_and_of_a_block_bootstrap() {
    let mut random = Random(20_261_125);
    for (long, short, angle) in [(3.0, 3.0, 0.0), (25.0, 3.0, 0.0), (25.0, 3.0, 0.6), (1.0, 1.0, 0.0)] {
        let fields: Vec<Map> = (0..60).map(|_| field(&mut random, 120, long, short, angle)).collect();
        let truth = (fields.iter().map(|map| (mean_of(map) - 50.0).powi(2)).sum::<f64>() / 60.0).sqrt();
        let stated: Vec<f64> =
            fields.iter().take(12).map(|map| study(map, 60.0).covariance_of_mean[(0, 0)].sqrt()).collect();
        let stated = stated.iter().sum::<f64>() / 12.0;
        let bootstrap = fields.iter().take(3).map(|map| bootstrap_error(map, 40, &mut random)).sum::<f64>() / 3.0;
        // 60 fields know their spread to 9 %; blocks of 40 lose up to a fifth of the grain's length at their edges.
        let (by_truth, by_bootstrap) = (stated / truth, stated / bootstrap);
        assert!((0.7..1.4).contains(&by_truth), "{long} × {short} at {angle}: stated {stated}, is {truth}");
        assert!((0.65..1.6).contains(&by_bootstrap), "{long} × {short} at {angle}: {stated}, bootstrap {bootstrap}");
    }
}

#[test]
fn grain_that_runs_through_counts_once_along_its_length() {
    let mut random = Random(7);
    let lines: Vec<f64> = (0..80).map(|_| random.normal()).collect();
    let cells = (0..80 * 80).map(|k| Some([50.0 + lines[k / 80] as f32, 0.0, 0.0])).collect();
    let grain = study(&Map { columns: 80, rows: 80, cells }, 40.0);
    assert!((40.0..=120.0).contains(&grain.grains), "80 independent lines, found {}", grain.grains);
}

#[test]
fn a_slow_slope_is_no_grain() {
    let cells = (0..100 * 100).map(|k| Some([40.0 + (k % 100) as f32 / 5.0, 0.0, 0.0])).collect();
    let grain = study(&Map { columns: 100, rows: 100, cells }, 10.0);
    assert!(grain.spread[0] < 0.3, "{:?}", grain.spread);
    assert!(grain.grains < 5.0, "{}", grain.grains);
}

/// Waves of a known direction, with and without a camera's noise: the grain lies along their crests.
#[test]
fn the_direction_of_waves_is_found() {
    let mut random = Random(11);
    for degrees in [0.0f64, 20.0, 45.0, 90.0, 133.0, 179.0] {
        for noise in [0.0, 0.5] {
            let (sin, cos) = degrees.to_radians().sin_cos();
            let cells = (0..150 * 150).map(|k| {
                let (x, y) = (f64::from(k % 150), f64::from(k / 150));
                let across = y * cos - x * sin;
                let l = 50.0 + 4.0 * (across / 2.5).sin() + noise * random.normal();
                Some([l as f32, 8.0, 20.0])
            });
            let map = Map { columns: 150, rows: 150, cells: cells.collect() };
            let found = study(&map, 40.0).direction_deg.unwrap();
            let off = (found - degrees + 90.0).rem_euclid(180.0) - 90.0;
            assert!(off.abs() < 1.0, "{degrees} with noise {noise}: {found}");
        }
    }
    let specks = field(&mut random, 120, 3.0, 3.0, 0.0);
    assert_eq!(study(&specks, 40.0).direction_deg, None);
}
