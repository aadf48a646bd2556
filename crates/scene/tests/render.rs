//! What a rendered scene must hold to. Seeds are printed by each failing check.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use image::{DynamicImage, ImageDecoder, ImageReader};
use scene::{
    Card, Cast, FileOptions, Material, Observer, Profile, Ranges, Scene, Spectrum, Surface, Tables, de76, de2000, draw,
    jpeg, linear_frame, perturbed, render, render_under,
};
use std::io::Cursor;

const SEEDS: std::ops::Range<u64> = 0..40;

fn inside([x, y]: [f64; 2], frame: [f64; 2]) -> bool {
    x >= 0.0 && y >= 0.0 && x <= frame[0] && y <= frame[1]
}

/// Ray casting, so that it shares nothing with the renderer's own way.
fn within(polygon: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let mut odd = false;
    for (i, a) in polygon.iter().enumerate() {
        let b = polygon[(i + 1) % polygon.len()];
        if (a[1] > y) != (b[1] > y) && x < (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]) + a[0] {
            odd = !odd;
        }
    }
    odd
}

fn area(polygon: &[[f64; 2]]) -> f64 {
    let cross = |i: usize| {
        let (a, b) = (polygon[i], polygon[(i + 1) % polygon.len()]);
        a[0] * b[1] - b[0] * a[1]
    };
    (0..polygon.len()).map(cross).sum::<f64>() / 2.0
}

#[test]
fn same_seed_same_bytes() {
    let bytes = |seed| {
        let scene = draw(seed).unwrap();
        let rendered = render(&scene).unwrap();
        (jpeg(&rendered, &scene.file).unwrap(), rendered.truth)
    };
    assert!(bytes(5) == bytes(5));
    assert!(bytes(5).1 == scene::truth(&draw(5).unwrap()).unwrap());
    assert!(bytes(5).0 != bytes(6).0);
}

#[test]
fn truths_lie_in_the_frame_and_clear_of_the_card() {
    let (mut panels, mut mirrored, mut least, mut most) = (0, 0, f64::MAX, 0.0f64);
    for seed in SEEDS {
        let scene = draw(seed).unwrap();
        let truth = scene::truth(&scene).unwrap();
        let frame = [f64::from(truth.width_px), f64::from(truth.height_px)];
        let card = truth.card_corners_px.unwrap();
        assert!(card.iter().all(|corner| inside(*corner, frame)), "seed {seed}: card {card:?}");
        assert_eq!(area(&card) < 0.0, truth.mirrored, "seed {seed}");
        mirrored += usize::from(truth.mirrored);
        let width = (card[1][0] - card[0][0]).hypot(card[1][1] - card[0][1]) / frame[0];
        (least, most) = (least.min(width), most.max(width));
        assert_eq!(truth.patches_lab.len(), 24);
        assert!(!truth.panels.is_empty(), "seed {seed}: no panel");
        for panel in &truth.panels {
            assert!(panel.polygon_px.iter().all(|point| inside(*point, frame)), "seed {seed}: {panel:?}");
            assert!(area(&panel.polygon_px).abs() > 2500.0, "seed {seed}: {panel:?} is too small to read");
            assert!(!panel.polygon_px.iter().any(|point| within(&card, *point)), "seed {seed}: {panel:?} on the card");
            assert!(
                !card.iter().any(|point| within(&panel.polygon_px, *point)),
                "seed {seed}: {panel:?} under the card"
            );
            panels += 1;
        }
        for (i, one) in truth.panels.iter().enumerate() {
            for other in &truth.panels[i + 1..] {
                let apart = !other.polygon_px.iter().any(|point| within(&one.polygon_px, *point));
                assert!(apart, "seed {seed}: {} on {}", other.name, one.name);
            }
        }
    }
    // Over 40 seeds the ranges are really used.
    assert!(
        panels >= 60 && (1..=9).contains(&mirrored) && least < 0.25 && most > 0.45,
        "{panels} {mirrored} {least} {most}"
    );
}

/// A frame of one grey, no lens, veil or noise, under a sloping light.
fn grey(reflectance: f64, level: f64, slope: f64) -> Scene {
    let mut scene = draw(1).unwrap();
    let [w, h] = [320.0, 240.0];
    (scene.width_px, scene.height_px) = (320, 240);
    scene.card = None;
    scene.light.level = level;
    (scene.light.slope, scene.light.slope_rad) = (slope, 0.0);
    scene.camera.balance = [1.0; 3];
    (scene.camera.veil, scene.camera.blur_px, scene.camera.shot_noise, scene.camera.read_noise) = (0.0, 0.0, 0.0, 0.0);
    (scene.camera.tone, scene.camera.exposure) = ([0.0; 3], 1.0);
    scene.file.profile = Profile::Plain;
    scene.surfaces = vec![Surface {
        name: None,
        material: Material::Flat(Spectrum::flat(reflectance)),
        size_mm: [w, h],
        corners_px: [[-2.0, -2.0], [w + 2.0, -2.0], [w + 2.0, h + 2.0], [-2.0, h + 2.0]],
        shape: scene::Shape::Whole,
        region_mm: Vec::new(),
        bevel_mm: 0.0,
        shadow: None,
        lit: 1.0,
    }];
    scene
}

#[test]
fn neutrals_are_proportional_to_the_light() {
    for (reflectance, level, slope) in [(0.18, 1.0, 0.0), (0.5, 0.6, 0.2), (0.9, 0.3, 0.1)] {
        let frame = linear_frame(&grey(reflectance, level, slope)).unwrap();
        for x in [0usize, 77, 160, 319] {
            let along = (x as f64 + 0.5) / 320.0;
            let wanted = reflectance * level * (1.0 - slope * along);
            for value in frame[120 * 320 + x] {
                assert!((f64::from(value) - wanted).abs() < 1e-6, "{reflectance} {level} {slope} at {x}: {value}");
            }
        }
    }
}

/// Source: IEC 61966-2-1:1999 (18 % grey is stored as 118, 50 % as 188, a full white as 255).
#[test]
fn without_a_look_the_stored_values_are_srgb() {
    for (reflectance, stored) in [(0.18, 118), (0.5, 188), (1.0, 255), (0.0, 0)] {
        let rendered = render(&grey(reflectance, 1.0, 0.0)).unwrap();
        let pixel = &rendered.rgb[(120 * 320 + 160) * 3..][..3];
        assert!(pixel.iter().all(|v| *v == stored), "{reflectance}: {pixel:?} for {stored}");
    }
}

/// Half of a white's light under a shadow on the left, a fifth more on the right of a grey of 30 %: both are 50 %, stored as 188
/// (IEC 61966-2-1:1999); what is told as true stays as it was.
#[test]
fn a_cast_takes_or_adds_light() {
    let cast = |[x, _]: [f64; 2]| match x < 160.0 {
        true => Cast { passes: [0.5; 3], adds: [0.0; 3] },
        false => Cast { passes: [1.0; 3], adds: [0.2; 3] },
    };
    for (reflectance, x) in [(1.0, 40), (0.3, 280)] {
        let scene = grey(reflectance, 1.0, 0.0);
        let rendered = render_under(&scene, &cast).unwrap();
        assert_eq!(rendered.rgb[(120 * 320 + x) * 3..][..3], [188; 3], "{reflectance}");
        assert_eq!(rendered.truth, render(&scene).unwrap().truth);
    }
}

#[test]
fn a_contrast_curve_darkens_shadows_and_lifts_lights() {
    let stored = |reflectance: f64, strength: f64| {
        let mut scene = grey(reflectance, 1.0, 0.0);
        scene.camera.tone = [strength; 3];
        render(&scene).unwrap().rgb[0]
    };
    for strength in [0.2, Ranges::FIXED.tone[1]] {
        assert!(stored(0.04, strength) < stored(0.04, 0.0), "{strength}");
        assert!(stored(0.6, strength) > stored(0.6, 0.0), "{strength}");
        let ramp: Vec<u8> = (1..60).map(|i| stored(f64::from(i) / 60.0, strength)).collect();
        assert!(ramp.windows(2).all(|pair| pair[0] <= pair[1]), "{strength}: {ramp:?}");
    }
}

/// Patches lie N(0, 0.7) ΔE2000 off: the mean size is 0.7·√(2/π) = 0.559, over 60 cards of 24 ± 3 standard errors.
#[test]
fn patches_are_off_as_stated() {
    let tables = Tables::read().unwrap();
    let observer = Observer::d50(&tables).unwrap();
    let mut sizes = Vec::new();
    for seed in 100..160 {
        let card: Card = draw(seed).unwrap().card.unwrap();
        for (own, (_, published)) in card.patches.iter().zip(&tables.chart) {
            sizes.push(de2000(observer.lab(published), observer.lab(own)));
            assert!(own.0.iter().all(|r| (0.0..=1.0).contains(r)));
        }
    }
    let n = sizes.len() as f64;
    let mean = sizes.iter().sum::<f64>() / n;
    let root_mean_square = (sizes.iter().map(|size| size * size).sum::<f64>() / n).sqrt();
    assert_eq!(sizes.len(), 1440);
    assert!((mean - 0.5585).abs() < 3.0 * 0.422 / n.sqrt(), "mean {mean}");
    assert!((root_mean_square - 0.7).abs() < 0.04, "root mean square {root_mean_square}");
}

#[test]
fn perturbing_by_nothing_changes_nothing() {
    let tables = Tables::read().unwrap();
    let observer = Observer::d50(&tables).unwrap();
    let patch = &tables.chart[4].1;
    let same = perturbed(&observer, patch, [1.0, 0.0, 0.0], 0.0).unwrap();
    assert!(de76(observer.lab(patch), observer.lab(&same)) < 1e-6);
}

/// A wood panel photographed without lens, veil, noise or look by a camera whose sensitivities are the observer's own
/// would show its truth; here: its mean linear values are those of a flat surface with the panel's mean reflectance.
#[test]
fn the_truth_is_of_the_pixels_shown() {
    let mut scene = draw(12).unwrap();
    (scene.light.slope, scene.card) = (0.0, None);
    scene.light.spectrum = Tables::read().unwrap().light("D50").unwrap();
    // The colour matching functions as sensitivities, by many narrow humps.
    let tables = Tables::read().unwrap();
    let as_humps = |bar: &Spectrum| {
        let hump = |(i, v): (usize, &f64)| [380.0 + 5.0 * i as f64, 0.8, *v];
        scene::Sensitivity(bar.0.iter().enumerate().map(hump).collect())
    };
    scene.camera.sensitivities = [0, 1, 2].map(|i| as_humps(&tables.cmf[i]));
    scene.camera.balance = [1.0; 3];
    scene.surfaces.iter_mut().for_each(|surface| (surface.bevel_mm, surface.shadow) = (0.0, None));
    let (frame, truth) = (linear_frame(&scene).unwrap(), render(&scene).unwrap().truth);
    let white = Observer::d50(&tables).unwrap().white;
    for panel in &truth.panels {
        let (mut sum, mut count) = ([0.0f64; 3], 0.0);
        for (at, pixel) in frame.iter().enumerate() {
            let px = [(at % 1600) as f64 + 0.5, (at / 1600) as f64 + 0.5];
            if within(&panel.polygon_px, px) {
                (0..3).for_each(|i| sum[i] += f64::from(pixel[i]) * white[i]);
                count += 1.0;
            }
        }
        let lab = scene::lab_from_xyz(sum.map(|s| s / count), white);
        assert!(de76(lab, panel.lab) < 0.01, "{}: {lab:?} for {:?}", panel.name, panel.lab);
    }
    assert!(!truth.panels.is_empty());
}

/// Outside check: the `image` crate reads orientation and profile, and turns the pixels upright.
#[test]
fn stored_photos_come_upright() {
    let mut scene = draw(2).unwrap();
    (scene.width_px, scene.height_px) = (200, 120);
    let rendered = render(&scene).unwrap();
    for orientation in 1..=8 {
        let options = FileOptions { quality: 97, orientation, profile: Profile::Wide };
        let bytes = jpeg(&rendered, &options).unwrap();
        let mut decoder = ImageReader::new(Cursor::new(bytes)).with_guessed_format().unwrap().into_decoder().unwrap();
        assert_eq!(decoder.orientation().unwrap().to_exif(), orientation);
        assert!(decoder.icc_profile().unwrap().is_some());
        let turn = decoder.orientation().unwrap();
        let mut photo = DynamicImage::from_decoder(decoder).unwrap();
        photo.apply_orientation(turn);
        let rgb = photo.to_rgb8();
        assert_eq!(rgb.dimensions(), (200, 120), "orientation {orientation}");
        let off: u64 = rgb.as_raw().iter().zip(&rendered.rgb).map(|(a, b)| u64::from(a.abs_diff(*b))).sum();
        assert!(off / (200 * 120 * 3) < 4, "orientation {orientation}: mean {off}");
    }
}

/// Source: ICC.1:2022 (header fields); colorants of the SMPTE EG 432-1 primaries with D65 adapted to D50 by Bradford.
#[test]
fn the_embedded_profile_is_sound() {
    let mut scene = draw(2).unwrap();
    (scene.width_px, scene.height_px) = (64, 64);
    let options = FileOptions { quality: 90, orientation: 1, profile: Profile::Wide };
    let bytes = jpeg(&render(&scene).unwrap(), &options).unwrap();
    let mut decoder = ImageReader::new(Cursor::new(bytes)).with_guessed_format().unwrap().into_decoder().unwrap();
    let icc = decoder.icc_profile().unwrap().unwrap();
    assert_eq!(u32::from_be_bytes(icc[0..4].try_into().unwrap()) as usize, icc.len());
    assert_eq!(&icc[36..40], b"acsp");
    let fixed = |at: usize| f64::from(i32::from_be_bytes(icc[at..at + 4].try_into().unwrap())) / 65536.0;
    for (name, wanted) in [
        (b"rXYZ", [0.51512, 0.24120, -0.00105]),
        (b"gXYZ", [0.29198, 0.69225, 0.04189]),
        (b"bXYZ", [0.15710, 0.06657, 0.78407]),
    ] {
        let entry = (0..10).map(|i| 132 + 12 * i).find(|at| &icc[*at..*at + 4] == name).unwrap();
        let at = u32::from_be_bytes(icc[entry + 4..entry + 8].try_into().unwrap()) as usize;
        for (i, value) in wanted.into_iter().enumerate() {
            assert!((fixed(at + 8 + 4 * i) - value).abs() < 3e-4, "{name:?} {i}: {}", fixed(at + 8 + 4 * i));
        }
    }
}

#[test]
fn a_frame_too_large_is_refused_in_words() {
    let mut scene = draw(3).unwrap();
    scene.width_px = 100_000;
    assert!(render(&scene).unwrap_err().to_string().contains("100000 by 1200"));
}

#[test]
fn truth_survives_json() {
    let mut scene = draw(4).unwrap();
    (scene.width_px, scene.height_px) = (1600, 64);
    let truth = render(&scene).unwrap().truth;
    let back: scene::Truth = serde_json::from_str(&truth.to_json().unwrap()).unwrap();
    assert_eq!(back.panels.len(), truth.panels.len());
    assert!(de76(back.patches_lab[0], truth.patches_lab[0]) < 1e-9);
}
