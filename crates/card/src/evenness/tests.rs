//! Evenness against what a Gaussian does by its own formula, and against boards made with a seed.

use std::f64::consts::{PI, TAU};

use colour::distribution::normal_cdf;
use colour::xyz_from_lab;
use nalgebra::Vector3;

use super::*;

/// Cells per millimetre of the boards made here, and pixels per cell.
const CELLS_PER_MM: f64 = 2.0;
const CELL_PX: f64 = 3.0;
const WOOD: [f64; 3] = [60.0, 9.0, 25.0];

/// A small generator with its own seed (Steele et al. 2014, SplitMix64).
struct Random(u64);

impl Random {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}

/// A board of this size whose colour at a place in millimetres is told.
fn board(size_mm: [f64; 2], mut lab_at: impl FnMut([f64; 2]) -> [f64; 3]) -> Light {
    let [columns, rows] = size_mm.map(|mm| (mm * CELLS_PER_MM) as usize);
    let cell = |k: usize| {
        let at = [k % columns, k / columns].map(|index| (index as f64 + 0.5) / CELLS_PER_MM);
        let [l, a, b] = lab_at(at);
        let xyz = xyz_from_lab(Lab::new(l, a, b));
        let count = CELL_PX * CELL_PX;
        [xyz.x * count, xyz.y * count, xyz.z * count, count].map(|value| value as f32)
    };
    let cells = (0..columns * rows).map(cell).collect();
    Light { columns, rows, cell_px: CELL_PX, origin_px: [100.0, 200.0], cells }
}

fn studied(light: &Light) -> Evenness {
    let px_per_mm = CELLS_PER_MM * CELL_PX;
    study(light, CUT_OFF_MM * px_per_mm, Some(1.0 / px_per_mm), 1.8).expect("large enough")
}

fn lighter(by: f64) -> [f64; 3] {
    [WOOD[0] + by, WOOD[1], WOOD[2]]
}

/// A wave of light of known length comes through with exp(−2π²σ²f²) of its height, one half at the cut-off.
///
/// # Source
/// The Fourier transform of a Gaussian; ISO 16610-21:2011 for the half.
#[test]
fn waves_are_let_through_as_a_gaussian_does() {
    for (wavelength, expected) in [(10.0, 0.5), (20.0, 0.8409), (40.0, 0.9576), (5.0, 0.0625)] {
        let cells = (0..400 * 200).map(|k| {
            let x = (f64::from(k % 400) + 0.5) / 4.0;
            let light = 0.3 * (1.0 + 0.2 * (TAU * x / wavelength).sin());
            [light as f32, light as f32, light as f32, 1.0]
        });
        let light = Light { columns: 400, rows: 200, cell_px: 1.0, origin_px: [0.0; 2], cells: cells.collect() };
        let smoothed = low_pass(&light, smooth::sigma(40.0));
        let middle = &smoothed[100 * 400 + 120..100 * 400 + 280];
        let high = middle.iter().map(|cell| cell[1] / cell[3]).fold(0.0, f32::max);
        let height = f64::from(high) / 0.3 - 1.0;
        let formula = (-2.0 * PI * PI * smooth::sigma(10.0).powi(2) / (wavelength * wavelength)).exp();
        assert!((formula - expected).abs() < 1e-3, "{wavelength}: {formula}");
        assert!((height / 0.2 - formula).abs() < 0.01, "{wavelength} mm: {} against {formula}", height / 0.2);
    }
}

/// A step comes out as the normal distribution function, also where the region ends beside it.
#[test]
fn a_step_becomes_the_normal_distribution() {
    let cells = (0..200 * 60).map(|k| if k % 200 < 100 { [0.2f32, 0.2, 0.2, 1.0] } else { [0.4, 0.4, 0.4, 1.0] });
    let light = Light { columns: 200, rows: 60, cell_px: 1.0, origin_px: [0.0; 2], cells: cells.collect() };
    let sigma = smooth::sigma(40.0);
    let smoothed = low_pass(&light, sigma);
    for row in [0, 30, 59] {
        for column in 70..130 {
            let cell = smoothed[row * 200 + column];
            let expected = 0.2 + 0.2 * normal_cdf((column as f64 + 0.5 - 100.0) / sigma);
            // The kernel ends at three standard deviations: 0.27 % of its weight lies beyond.
            assert!((f64::from(cell[1] / cell[3]) - expected).abs() < 0.2 * 0.005, "{row} {column}");
        }
    }
}

/// Discs of known place, size and depth. At its middle a disc of radius R keeps 1 − exp(−R²/2σ²) of its depth in light.
#[test]
fn blotches_are_found_where_they_are() {
    let mut random = Random(20_261_125);
    let discs = [([50.0, 40.0], 15.0, -7.0), ([140.0, 90.0], 10.0, 6.0), ([170.0, 30.0], 6.0, -9.0)];
    let light = board([200.0, 120.0], |[x, y]| {
        let on = discs.iter().find(|(at, radius, _)| (x - at[0]).hypot(y - at[1]) < *radius);
        lighter(on.map_or(0.0, |disc| disc.2) + 1.5 * random.normal())
    });
    let evenness = studied(&light);
    assert_eq!(evenness.spots.len(), discs.len(), "{:?}", evenness.spots);
    assert!(evenness.is_uneven() && (evenness.cut_off_mm.unwrap() - 10.0).abs() < 1e-9);
    let sigma = smooth::sigma(CUT_OFF_MM);
    for (at, radius, depth) in discs {
        let near = |spot: &&Spot| spot.from_corner_mm.is_some_and(|[x, y]| (x - at[0]).hypot(y - at[1]) < 2.0);
        let spot = evenness.spots.iter().find(near).unwrap_or_else(|| panic!("none at {at:?}: {:?}", evenness.spots));
        assert_eq!(spot.lighter, depth > 0.0);
        let kept = 1.0 - (-radius * radius / (2.0 * sigma * sigma)).exp();
        let [l, a, b] = lighter(depth * kept);
        let expected = colour::de2000(Lab::new(l, a, b), Lab::new(WOOD[0], WOOD[1], WOOD[2]));
        // Grain of 1.5 L* on cells of half a millimetre leaves 0.11 L* behind the low-pass; the worst of some hundred
        // cells stands three of that out.
        assert!((spot.worst_de00 - expected).abs() < 0.6, "{at:?}: {} against {expected}", spot.worst_de00);
        // The edge falls where the smoothed step crosses the limit: within two standard deviations of the radius.
        let size = spot.size_mm.unwrap();
        assert!(size.iter().all(|side| (side - 2.0 * radius).abs() < 4.0 * sigma), "{at:?}: {size:?}");
        assert!((spot.centre_px[0] - 100.0 - at[0] * CELLS_PER_MM * CELL_PX).abs() < 12.0);
    }
    let area: f64 = discs.iter().map(|(_, radius, _)| PI * radius * radius).sum::<f64>() / (200.0 * 120.0);
    let over = evenness.over_tolerance_share;
    assert!((0.7 * area..1.2 * area).contains(&over), "{over} of the area, discs {area}");
}

/// Boards with grain and nothing else: lines that run through, specks, and mixes. Of 60 boards of each kind 6 may be
/// less even than the bound that 19 of 20 shall keep (3 expected; 6 is the 95 % point of that binomial).
#[test]
fn an_even_board_is_not_called_patchy() {
    let kinds = [("lines", 3.0, 0.0), ("specks", 0.0, 8.0), ("both", 2.0, 4.0), ("strong lines", 6.0, 2.0)];
    let told = kinds.map(|(name, lines, specks)| {
        let (mut less_even, mut spotted, mut ratio) = (0, 0, 0.0);
        for seed in 0..60 {
            let mut random = Random(1000 + seed);
            let rows: Vec<f64> = (0..240).map(|_| random.normal()).collect();
            let light = board([160.0, 120.0], |[_, y]| {
                lighter(lines * rows[(y * CELLS_PER_MM) as usize] + specks * random.normal())
            });
            let evenness = studied(&light);
            less_even += usize::from(evenness.spread_de00 > evenness.even_board_de00);
            spotted += usize::from(!evenness.spots.is_empty());
            ratio += evenness.even_board_de00 / evenness.spread_de00 / 60.0;
        }
        (name, less_even, spotted, ratio)
    });
    // Nor is the bound bought with width: it stays within thrice what such boards show, specks being the worst.
    let sound = told.iter().all(|(_, less_even, spotted, ratio)| *less_even <= 6 && *spotted <= 6 && *ratio < 3.0);
    assert!(sound, "kind, less even of 60, with spots of 60, bound over spread: {told:?}");
}

/// A board is uneven where most of it differs by more than the eye accepts and by more than its own grain explains, or where
/// it has spots: neither grain alone nor a difference that nobody minds makes it so.
#[test]
fn uneven_is_beyond_the_grain_and_beyond_what_is_accepted() {
    let flat = studied(&board([120.0, 80.0], |_| WOOD));
    let said = |spread_de00: f64, even_board_de00: f64| {
        Evenness { spread_de00, even_board_de00, tolerance_de00: 1.8, ..flat.clone() }.is_uneven()
    };
    assert!(said(2.5, 1.0), "beyond both");
    assert!(!said(2.5, 3.0), "strong grain");
    assert!(!said(1.5, 1.0), "too little to mind");
    assert!(!said(1.5, 3.0));
    let spot =
        studied(&board([120.0, 80.0], |[x, y]| lighter(if (x - 60.0).hypot(y - 40.0) < 8.0 { 9.0 } else { 0.0 })));
    assert!(spot.spread_de00 < spot.tolerance_de00 && spot.is_uneven(), "{} {:?}", spot.spread_de00, spot.spots);
    assert_eq!(spot.throughout(), Throughout::Even);
}

/// The line at the radius at which a cone has fallen to the level is as long as the circle.
#[test]
fn contours_follow_a_cone() {
    let de00 = (0..100 * 100).map(|k| {
        let (x, y) = (f64::from(k % 100) - 49.5, f64::from(k / 100) - 49.5);
        (40.0 - x.hypot(y)) as f32
    });
    let map = Map {
        columns: 100,
        rows: 100,
        cell_px: 2.0,
        origin_px: [10.0, 20.0],
        signed_de00: de00.map(|v| v.max(0.0)).collect(),
    };
    let lines = map.contours(15.0);
    let length: f64 = lines.iter().map(|[a, b]| (a[0] - b[0]).hypot(a[1] - b[1])).sum();
    assert!((length / (TAU * 25.0 * 2.0) - 1.0).abs() < 0.01, "{length}");
    for point in lines.iter().flatten() {
        let radius = Vector3::new(point[0] - 110.0, point[1] - 120.0, 0.0).norm();
        assert!((radius - 50.0).abs() < 0.1, "{point:?}");
    }
}

#[test]
fn what_is_too_small_has_no_evenness() {
    let light = board([20.0, 10.0], |_| WOOD);
    assert!(study(&light, 60.0, None, 1.8).is_none());
    let flat = studied(&board([120.0, 80.0], |_| WOOD));
    assert!(!flat.is_uneven() && flat.over_tolerance_share == 0.0 && flat.spots.is_empty());
    assert!(flat.spread_de00 < 1e-2 && flat.even_board_de00 < 1e-2);
}

/// A wave of light and colour has the standard deviation of a sine, its height over √2, less what the low-pass takes, and
/// points where it goes. Grain by itself makes next to none, however strong.
///
/// # Source
/// The mean square of a sine; the Fourier transform of a Gaussian, as above.
#[test]
fn what_differs_from_place_to_place_is_told_in_size_and_direction() {
    let wave = |x: f64| (TAU * x / 60.0).sin();
    let waves = board([240.0, 120.0], |[x, _]| [WOOD[0] + 4.0 * wave(x), WOOD[1] - wave(x), WOOD[2] + 2.0 * wave(x)]);
    let left = (-2.0 * PI * PI * smooth::sigma(10.0).powi(2) / 3600.0).exp();
    let found = studied(&waves).patch_sd;
    for (found, height) in found.into_iter().zip([4.0, -1.0, 2.0]) {
        let expected = height * left / std::f64::consts::SQRT_2;
        assert!((found - expected).abs() < 0.05 * 4.0, "{found} against {expected}");
    }
    let mut random = Random(11);
    let grain = board([240.0, 120.0], |_| lighter(4.0 * random.normal()));
    let found = studied(&grain).patch_sd;
    assert!(found[0].abs() < 0.3, "{found:?}");
}
