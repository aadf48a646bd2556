//! Uneven light and uneven boards, rendered from spectra with the truth known: what a photo of a plain board mends, and
//! whether blotches are found where they were painted.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

use std::sync::Arc;

use card::{Board, Limits, Photo, PhotoReading, Request, decode, read};
use colour::{Lab, Xyz, de2000, lab_from_xyz, xyz_from_lab};
use scene::{Material, Scene, Shape, Spectrum, Surface, Truth};

/// Seeds of these tests alone.
const SEEDS: std::ops::Range<u64> = 730_001..730_013;

fn rendered(scene: &Scene) -> (Photo, Truth) {
    let rendered = scene::render(scene).expect("a picture");
    let bytes = scene::jpeg(&rendered, &scene.file).expect("a JPEG");
    (decode(&bytes, &Limits::default()).expect("a photo"), rendered.truth)
}

/// The same light and camera on a board of this reflectance that fills the frame.
fn board_of(scene: &Scene, reflectance: f64) -> Scene {
    let (w, h) = (f64::from(scene.width_px), f64::from(scene.height_px));
    let fills = Surface {
        name: None,
        material: Material::Flat(Spectrum::from_fn(|_| reflectance)),
        size_mm: [400.0, 300.0],
        corners_px: [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]],
        shape: Shape::Whole,
        region_mm: Vec::new(),
        bevel_mm: 0.0,
        shadow: None,
        lit: 1.0,
    };
    Scene { seed: scene.seed + 1_000_000, surfaces: vec![fills], card: None, ..scene.clone() }
}

fn regions_of(truth: &Truth) -> Vec<(String, Vec<[f64; 2]>)> {
    truth.panels.iter().map(|panel| (panel.name.clone(), panel.polygon_px.clone())).collect()
}

fn errors(reading: &PhotoReading, truth: &Truth) -> Vec<f64> {
    let error = |region: &card::RegionReading| {
        let panel = truth.panels.iter().find(|panel| panel.name == region.name)?;
        Some(de2000(region.lab, Lab::new(panel.lab[0], panel.lab[1], panel.lab[2])))
    };
    reading.regions.iter().filter_map(error).collect()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

/// Light that falls off by half over the frame, where scenes elsewhere have 20 % at most: the error of regions with the
/// board's photo against that without it.
#[test]
fn a_board_evens_the_light() {
    let (mut before, mut after, mut slope_before, mut slope_after) = (Vec::new(), Vec::new(), 0.0, 0.0);
    for seed in SEEDS {
        let mut scene = scene::draw(seed).expect("a scene");
        scene.light.slope = 0.5;
        let (photo, truth) = rendered(&scene);
        let (of_board, _) = rendered(&board_of(&scene, 0.4));
        let board = Board::from_photo(&of_board).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        let request = Request { corners_px: truth.card_corners_px, regions: regions_of(&truth), ..Request::default() };
        let plain = read(&photo, &request, &|_| true).expect("a reading");
        let evened = read(&photo, &Request { board: Some(Arc::new(board)), ..request }, &|_| true).expect("a reading");
        assert!(evened.warnings.iter().any(|warning| warning.code == "light-evened"));
        assert_eq!(plain.regions.len(), evened.regions.len());
        before.extend(errors(&plain, &truth));
        after.extend(errors(&evened, &truth));
        let slope = |reading: &PhotoReading| -> f64 {
            let loadings = reading.regions.iter().flat_map(|region| &region.shared);
            let slopes = loadings.filter(|shared| matches!(shared.factor, card::Factor::PhotoSlope(_)));
            slopes.flat_map(|shared| shared.loading.into_iter().flatten()).map(|value| value * value).sum()
        };
        slope_before += slope(&plain);
        slope_after += slope(&evened);
    }
    let (before, after, regions) = (mean(&before), mean(&after), before.len());
    println!(
        "{regions} regions, seeds {SEEDS:?}: mean ΔE2000 {before:.2} without the board, {after:.2} with it, ratio {:.2}",
        after / before
    );
    println!("variance from the light's slope: {:.3} of what it was", slope_after / slope_before);
    assert!(regions >= 20, "{regions}");
    assert!(after < 0.75 * before, "{after} against {before}");
    assert!(slope_after < 0.25 * slope_before, "{slope_after} against {slope_before}");
}

#[test]
fn a_board_that_cannot_even_the_light_is_refused_in_one_line() {
    let scene = scene::draw(730_101).expect("a scene");
    let refused = |photo: &Photo| Board::from_photo(photo).expect_err("refused").to_string();
    let check = |told: &str, expected: &str| assert!(told.contains(expected) && !told.contains('\n'), "{told}");
    check(&refused(&rendered(&scene).0), "not plain");
    check(&refused(&rendered(&board_of(&scene, 0.01)).0), "too dark");
    let mut bright = board_of(&scene, 0.95);
    bright.light.level *= 3.0;
    check(&refused(&rendered(&bright).0), "too bright");
    let mut small = board_of(&scene, 0.4);
    (small.width_px, small.height_px) = (800, 600);
    small.surfaces[0].corners_px = [[0.0, 0.0], [800.0, 0.0], [800.0, 600.0], [0.0, 600.0]];
    let board = Some(Arc::new(Board::from_photo(&rendered(&small).0).expect("a plain board")));
    let told = read(&rendered(&scene).0, &Request { board, ..Request::default() }, &|_| true).expect_err("refused");
    check(&told.to_string(), "pixels and the photo");
}

/// Spots and dust on a board leave the light it tells as it was.
#[test]
fn spots_on_the_board_are_no_light() {
    let scene = scene::draw(730_102).expect("a scene");
    let clean = board_of(&scene, 0.4);
    let mut spotted = clean.clone();
    for (at, size) in [(300.0, 60.0), (900.0, 90.0), (1300.0, 40.0)] {
        let corners_px = [[at, at / 2.0], [at + size, at / 2.0], [at + size, at / 2.0 + size], [at, at / 2.0 + size]];
        let material = Material::Flat(Spectrum::from_fn(|_| 0.1));
        spotted.surfaces.push(Surface { material, corners_px, ..clean.surfaces[0].clone() });
    }
    let fall_off = |scene: &Scene| Board::from_photo(&rendered(scene).0).expect("a board").fall_off();
    let (clean, spotted) = (fall_off(&clean), fall_off(&spotted));
    assert!((clean - spotted).abs() < 0.005, "{clean} clean, {spotted} with spots");
}

/// A round blotch at the middle of a panel with 30 % less light on it.
#[test]
fn a_painted_blotch_is_found_where_it_lies() {
    const LESS: f64 = 0.7;
    let (mut found, mut wanted) = (0, 0);
    for seed in SEEDS {
        let mut scene = scene::draw(seed).expect("a scene");
        let Some(panel) = scene.surfaces.iter().find(|surface| surface.name.is_some()).cloned() else { continue };
        let [w, h] = panel.size_mm;
        let radius = w.min(h) / 6.0;
        let round = |k: u32| (f64::from(k) / 24.0 * std::f64::consts::TAU).sin_cos();
        let circle = (0..24).map(|k| [w / 2.0 + radius * round(k).1, h / 2.0 + radius * round(k).0]).collect();
        let blotch = Surface {
            name: None,
            shape: Shape::Polygon(circle),
            bevel_mm: 0.0,
            shadow: None,
            lit: panel.lit * LESS,
            ..panel.clone()
        };
        let at = scene.surfaces.iter().position(|surface| surface.name == panel.name).expect("it is there") + 1;
        scene.surfaces.insert(at, blotch);
        let (photo, truth) = rendered(&scene);
        let request = Request { corners_px: truth.card_corners_px, regions: regions_of(&truth), ..Request::default() };
        let reading = read(&photo, &request, &|_| true).expect("a reading");
        let Some(region) = reading.regions.iter().find(|region| Some(&region.name) == panel.name.as_ref()) else {
            continue;
        };
        let Some(evenness) = &region.evenness else { continue };
        wanted += 1;
        // The middle of a rectangle is seen where its diagonals cross.
        let middle = crossing(panel.corners_px);
        let reach =
            (0..4).map(|k| distance(panel.corners_px[k], panel.corners_px[(k + 1) % 4])).fold(f64::MAX, f64::min);
        let near = |spot: &&card::Spot| !spot.lighter && distance(spot.centre_px, middle) < reach / 12.0;
        let Some(spot) = evenness.spots.iter().find(near) else {
            println!("seed {seed}: none at {middle:?} among {:?}", evenness.spots);
            continue;
        };
        let xyz = xyz_from_lab(evenness.median);
        let expected = de2000(evenness.median, lab_from_xyz(Xyz::new(xyz.x * LESS, xyz.y * LESS, xyz.z * LESS)));
        let depth = spot.worst_de00 / expected;
        println!("seed {seed}: {:.1}, {expected:.1} expected", spot.worst_de00);
        found += usize::from((0.7..1.6).contains(&depth));

        let left = read(&photo, &Request { leave_spots_out: true, ..request }, &|_| true).expect("a reading");
        let left = left.regions.iter().find(|region| Some(&region.name) == panel.name.as_ref()).expect("the panel");
        assert!(left.left_out_share > 0.0 && left.lab.l > region.lab.l, "{} {}", left.left_out_share, left.lab.l);
    }
    println!("{found} of {wanted} blotches found at their place and depth");
    assert!(wanted >= 8 && found * 10 >= wanted * 9, "{found} of {wanted}");
}

fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

fn crossing([a, b, c, d]: [[f64; 2]; 4]) -> [f64; 2] {
    let (ac, bd, ab) = ([c[0] - a[0], c[1] - a[1]], [d[0] - b[0], d[1] - b[1]], [b[0] - a[0], b[1] - a[1]]);
    let part = (ab[0] * bd[1] - ab[1] * bd[0]) / (ac[0] * bd[1] - ac[1] * bd[0]);
    [a[0] + part * ac[0], a[1] + part * ac[1]]
}
