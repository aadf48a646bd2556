use nalgebra::Matrix3;

use super::*;
use crate::{Lab, Xyz, de2000, lab_from_xyz, rgb, xyz_from_lab};

/// Most a Lab component of a colour in 0..100 may be off.
const LAB: f64 = 2e-4;
/// Most a ΔE2000 may be off, unless the hues are opposite within [`OPPOSITE`] radians.
const DE00: f64 = 1e-3;
const OPPOSITE: f64 = 1e-3;

fn off(found: [f32; 3], lab: Lab) -> f64 {
    let [l, a, b] = found.map(f64::from);
    (l - lab.l).abs().max((a - lab.a).abs()).max((b - lab.b).abs())
}

/// Every fifth code of each channel, 140,608 colours, against the f64 functions.
#[test]
fn srgb_to_lab_agrees_with_f64() {
    let steps = || (0..=255u8).step_by(5);
    let codes: Vec<[u8; 3]> =
        steps().flat_map(|r| steps().flat_map(move |g| steps().map(move |b| [r, g, b]))).collect();
    let mut lab = vec![[0f32; 3]; codes.len()];
    ToLab::srgb().lab_from_srgb8(&codes, &mut lab);
    let worst = codes.iter().zip(&lab).map(|(code, lab)| off(*lab, rgb::lab_from_srgb8(*code))).fold(0.0, f64::max);
    assert!(worst < LAB, "{worst}");
}

/// XYZ from a millionth of white to above white, and below zero: the line and the root, and where they meet.
#[test]
fn xyz_to_lab_agrees_with_f64() {
    let levels: Vec<f64> = (0..200).map(|k| 1e-6 * 10f64.powf(f64::from(k) / 32.0)).chain([-0.01, 0.0]).collect();
    let xyz: Vec<[f32; 3]> = levels
        .iter()
        .enumerate()
        .map(|(k, y)| [levels[(k * 7) % 202], *y, levels[(k * 13) % 202]].map(|v| v as f32))
        .collect();
    let mut lab = vec![[0f32; 3]; xyz.len()];
    ToLab::new(&Matrix3::identity()).lab(&xyz, &mut lab);
    for (xyz, lab) in xyz.iter().zip(&lab) {
        let [x, y, z] = xyz.map(f64::from);
        let exact = lab_from_xyz(Xyz::new(x, y, z));
        // a* is 500 times a difference of roots as large as the colour itself: f32 keeps seven digits of each.
        let room = LAB * (1.0 + (exact.l.abs() + exact.a.abs() + exact.b.abs()) / 200.0);
        assert!(off(*lab, exact) < room, "{xyz:?}: {lab:?}, {exact:?}");
    }
}

/// Hues opposite within [`OPPOSITE`], by the stretched a′ that the formula compares.
fn opposite(first: Lab, second: Lab) -> bool {
    let c_mean7 = ((first.a.hypot(first.b) + second.a.hypot(second.b)) / 2.0).powi(7);
    let stretch = 1.5 - 0.5 * (c_mean7 / (c_mean7 + 25f64.powi(7))).sqrt();
    let (a1, a2) = (stretch * first.a, stretch * second.a);
    let (cross, dot) = (a1 * second.b - first.b * a2, a1 * a2 + first.b * second.b);
    dot < 0.0 && cross.abs() <= OPPOSITE * dot.abs()
}

/// A grid of Lab against colours of wood, of paint and near grey: ours in f64 is checked by Sharma's pairs elsewhere.
#[test]
fn de2000_agrees_with_f64() {
    let grid: Vec<[f32; 3]> = (0..=20)
        .flat_map(|l| {
            (-16..=16).flat_map(move |a| (-16..=16).map(move |b| [l as f32 * 5.0, a as f32 * 7.3, b as f32 * 7.1]))
        })
        .collect();
    let (mut worst, mut left_out, mut count) = (0f64, 0, 0);
    for to in [
        [52.0, 12.0, 26.0],
        [71.0, 6.0, 19.0],
        [30.0, 1.0, -1.0],
        [50.0, 0.0, 0.0],
        [38.0, 28.0, -60.0],
        [80.0, -30.0, 5.0],
    ] {
        let to = Lab::new(to[0], to[1], to[2]);
        let mut found = vec![0f32; grid.len()];
        De2000To::new(to).de2000(&grid, &mut found);
        for (pixel, found) in grid.iter().zip(found) {
            let [l, a, b] = pixel.map(f64::from);
            let pixel = Lab::new(l, a, b);
            count += 1;
            if opposite(pixel, to) {
                left_out += 1;
            } else {
                worst = worst.max((f64::from(found) - de2000(pixel, to)).abs());
            }
        }
    }
    assert!(worst < DE00, "{worst}");
    // Left out are lines of the grid, no volume of it.
    assert!(left_out * 100 < count, "{left_out} of {count}");
}

/// The published pairs themselves; 10 and 14 have hues exactly opposite, where rounding decides.
///
/// # Source
/// Sharma, Wu, Dalal (2005), Table 1, pairs 1, 7, 17, 21, 25, 28, 30 and 34.
#[test]
fn published_pairs() {
    let pairs = [
        ([50.0, 2.6772, -79.7751], [50.0, 0.0, -82.7485], 2.0425),
        ([50.0, 0.0, 0.0], [50.0, -1.0, 2.0], 2.3669),
        ([50.0, 2.5, 0.0], [73.0, 25.0, -18.0], 27.1492),
        ([50.0, 2.5, 0.0], [50.0, 3.1736, 0.5854], 1.0),
        ([60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644),
        ([22.7233, 20.0904, -46.694], [23.0331, 14.973, -42.5619], 2.0373),
        ([90.8027, -2.0831, 1.441], [91.1528, -1.6435, 0.0447], 1.4441),
        ([2.0776, 0.0795, -1.135], [0.9033, -0.0636, -0.5514], 0.9082),
    ];
    for (first, [l, a, b], published) in pairs {
        let mut found = [0f32];
        De2000To::new(Lab::new(l, a, b)).de2000(&[first], &mut found);
        assert!((f64::from(found[0]) - published).abs() < DE00, "{first:?}: {}, published {published}", found[0]);
    }
}

#[test]
fn pixels_may_be_any_number_and_no_number() {
    let to = De2000To::new(Lab::new(50.0, 10.0, 20.0));
    let pixel = [50.0, 10.0, 20.0];
    let mut found = [9f32; 11];
    to.de2000(&[pixel; 11], &mut found);
    assert!(found.iter().all(|de00| *de00 < 1e-3), "{found:?}");
    to.de2000(&[[f32::NAN; 3], pixel], &mut found[..2]);
    assert!(found[0].is_nan() && !found[1].is_nan());
    to.de2000(&[], &mut []);
    let (mut fused, mut lab, mut apart) = ([0f32; 1], [[0f32; 3]; 1], [0f32; 1]);
    to.de2000_from_srgb8(&ToLab::srgb(), &[[120, 90, 60]], &mut fused);
    ToLab::srgb().lab_from_srgb8(&[[120, 90, 60]], &mut lab);
    to.de2000(&lab, &mut apart);
    assert_eq!(fused, apart);
}

/// Pairs of a grid, near and far, against the f64 formula; the last group is not full.
#[test]
fn pairs_agree_with_f64() {
    let grid: Vec<Lab> = (0..999)
        .map(|k| {
            let (l, a, b) = (f64::from(k % 101), f64::from(k * 7 % 140) - 70.0, f64::from(k * 11 % 150) - 70.0);
            Lab::new(l, a, b)
        })
        .collect();
    for by in [[0.0, 0.0, 0.0], [0.4, -0.3, 0.5], [9.0, 4.0, -11.0]] {
        let other: Vec<Lab> = grid.iter().map(|lab| Lab::new(lab.l + by[0], lab.a + by[1], lab.b + by[2])).collect();
        let found = de2000_of_pairs(&Planes::of_lab(&grid), &Planes::of_lab(&other));
        assert_eq!(found.len(), grid.len());
        for ((a, b), found) in grid.iter().zip(&other).zip(found) {
            assert!(opposite(*a, *b) || (found - de2000(*a, *b)).abs() < DE00, "{a:?} {b:?}: {found}");
        }
    }
    assert!(Planes::of_lab(&[]).is_empty() && de2000_of_pairs(&Planes::of_lab(&[]), &Planes::of_lab(&grid)).is_empty());
}

/// There by [`xyz_over_white`], against the conversion in f64, which is palette's; and back.
#[test]
fn lab_to_xyz_agrees_with_f64_and_comes_back() {
    let back = ToLab::new(&Matrix3::from_diagonal(&crate::white::D50));
    let grid: Vec<Lab> = (0..=100)
        .flat_map(|l| [[0.0, 0.0], [14.0, 31.0], [-40.0, 20.0]].map(|[a, b]| Lab::new(f64::from(l), a, b)))
        .collect();
    for lab in grid {
        let xyz = xyz_over_white(Planes::of_lab(&[lab]).groups()[0]);
        let exact = xyz_from_lab(lab);
        let white = crate::white::D50;
        let exact = [exact.x / white[0], exact.y / white[1], exact.z / white[2]];
        for (found, exact) in xyz.iter().zip(exact) {
            assert!((f64::from(found.to_array()[0]) - exact).abs() < 1e-6 * (1.0 + exact), "{lab:?}");
        }
        assert!(off(back.lanes(xyz).map(|component| component.to_array()[7]), lab) < DE00, "{lab:?}");
    }
}
