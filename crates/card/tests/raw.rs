//! DNG files written here by the specification, from light that is known: `cargo test -p card --features raw --test raw`.
#![cfg(feature = "raw")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

use card::photo::Kind;
use card::{Error, Limits, Request, decode};
use colour::{Lab, de2000, xyz_from_lab};
use nalgebra::{DMatrix, Matrix3, Vector3};

/// Linear sRGB to XYZ with white D65 (IEC 61966-2-1:1999).
const XYZ_FROM_SRGB: Matrix3<f64> =
    Matrix3::new(0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505);
/// A camera such as there are: broad filters, much green in red and blue.
const CAMERA_FROM_XYZ: Matrix3<f64> = Matrix3::new(0.75, -0.15, -0.08, -0.45, 1.25, 0.22, -0.07, 0.2, 0.6);

/// A DNG of one strip of 16-bit sensor values under a filter of red, green, green and blue.
///
/// # Source
/// TIFF 6.0, section 2; TIFF/EP (ISO 12234-2) for the filter's pattern; DNG 1.7 for version, matrix, neutral and light (21 is D65).
fn dng(
    size: [u32; 2],
    camera_from_xyz: &Matrix3<f64>,
    neutral: Vector3<f64>,
    orientation: u16,
    sensor: &[u16],
) -> Vec<u8> {
    let mut entries: Vec<(u16, u16, u32, Vec<u8>)> = Vec::new();
    let mut tag = |tag: u16, kind: u16, count: u32, value: Vec<u8>| entries.push((tag, kind, count, value));
    let short = |value: u16| value.to_le_bytes().to_vec();
    let long = |value: u32| value.to_le_bytes().to_vec();
    let ratio = |value: f64| [((value * 1e6).round() as i32).to_le_bytes(), 1_000_000i32.to_le_bytes()].concat();
    tag(254, 4, 1, long(0));
    tag(256, 4, 1, long(size[0]));
    tag(257, 4, 1, long(size[1]));
    tag(258, 3, 1, short(16));
    tag(259, 3, 1, short(1));
    tag(262, 3, 1, short(32_803));
    tag(271, 2, 5, b"none\0".to_vec());
    tag(272, 2, 5, b"none\0".to_vec());
    tag(273, 4, 1, long(0));
    tag(274, 3, 1, short(orientation));
    tag(277, 3, 1, short(1));
    tag(278, 4, 1, long(size[1]));
    tag(279, 4, 1, long(2 * sensor.len() as u32));
    tag(33_421, 3, 2, [short(2), short(2)].concat());
    tag(33_422, 1, 4, vec![0, 1, 1, 2]);
    tag(50_706, 1, 4, vec![1, 4, 0, 0]);
    tag(50_708, 2, 5, b"none\0".to_vec());
    tag(50_717, 4, 1, long(65_535));
    tag(50_721, 10, 9, camera_from_xyz.transpose().iter().flat_map(|value| ratio(*value)).collect());
    tag(50_728, 5, 3, neutral.iter().flat_map(|value| ratio(*value)).collect());
    tag(50_778, 3, 1, short(21));

    let mut after = 8 + 2 + 12 * entries.len() + 4;
    let mut loose = Vec::new();
    let strip = after + entries.iter().map(|entry| entry.3.len()).filter(|bytes| *bytes > 4).sum::<usize>();
    let mut bytes = [b"II".as_slice(), &short(42), &long(8), &short(entries.len() as u16)].concat();
    for (tag, kind, count, mut value) in entries {
        if tag == 273 {
            value = long(strip as u32);
        }
        bytes.extend([short(tag), short(kind), long(count)].concat());
        if value.len() > 4 {
            bytes.extend(long(after as u32));
            after += value.len();
            loose.extend(value);
        } else {
            value.resize(4, 0);
            bytes.extend(value);
        }
    }
    bytes.extend(long(0));
    bytes.extend(loose);
    bytes.extend(sensor.iter().flat_map(|value| value.to_le_bytes()));
    bytes
}

/// The sensor's value of a cell of the filter, in whole codes.
fn filtered(camera: [f64; 3], x: u32, y: u32) -> u16 {
    let channel = [[0, 1], [1, 2]][(y % 2) as usize][(x % 2) as usize];
    (camera[channel].clamp(0.0, 1.0) * 65_535.0).round() as u16
}

/// The camera's white balance, and what it counts for a linear sRGB light, white as one in green.
fn camera() -> (Vector3<f64>, Matrix3<f64>) {
    let white = CAMERA_FROM_XYZ * XYZ_FROM_SRGB * Vector3::repeat(1.0);
    (white / white[1], CAMERA_FROM_XYZ * XYZ_FROM_SRGB / white[1])
}

/// Light that is known comes back: DNG 1.7, chapter 6 (camera neutral and colour matrix), the other way round.
#[test]
fn light_goes_through_the_camera_and_back() {
    let (neutral, camera_from_srgb) = camera();
    let lights = [Vector3::new(0.5, 0.5, 0.5), Vector3::new(0.42, 0.27, 0.12), Vector3::new(0.1, 0.05, 0.03)];
    let (width, height) = (96u32, 48u32);
    let at = |x: u32| lights[(x / 32) as usize];
    let sensor: Vec<u16> = (0..width * height)
        .map(|k| filtered((camera_from_srgb * at(k % width)).into(), k % width, k / width))
        .collect();
    for (orientation, turned) in [(1, false), (6, true)] {
        let bytes = dng([width, height], &CAMERA_FROM_XYZ, neutral, orientation, &sensor);
        let photo = decode(&bytes, &Limits::default()).unwrap();
        assert_eq!(photo.kind, Kind::Raw);
        assert_eq!((photo.width_px, photo.height_px), if turned { (height, width) } else { (width, height) });
        for (place, light) in lights.iter().enumerate() {
            let x = 32 * place as u32 + 16;
            let found = if turned { photo.linear(24, x) } else { photo.linear(x, 24) };
            for (found, light) in found.into_iter().zip(light.iter()) {
                assert!((f64::from(found) - light).abs() < 2e-4, "{place}: {found} against {light}");
            }
            assert_eq!(photo.clipped(x.min(photo.width_px - 1), 24), [false; 3]);
        }
    }
}

/// A channel that the sensor held full is told, whatever white balance makes of it.
#[test]
fn a_full_channel_is_told() {
    let (neutral, _) = camera();
    let sensor: Vec<u16> = (0..32 * 32).map(|k| filtered([0.4, 1.0, 0.4], k % 32, k / 32)).collect();
    let photo = decode(&dng([32, 32], &CAMERA_FROM_XYZ, neutral, 1, &sensor), &Limits::default()).unwrap();
    assert_eq!(photo.clipped(16, 16), [false, true, false]);
}

/// A chart and wood as a sensor with filters of its own would count them; the matrix is found from the chart, as makers do. The
/// card is found and the wood read within what a good photo gives.
#[test]
fn a_chart_is_found_and_wood_read() {
    let scene = scene::draw(21).unwrap();
    let truth = scene::truth(&scene).unwrap();
    let frame = scene::linear_frame(&scene).unwrap();
    let (width, height) = (scene.width_px, scene.height_px);
    let at = |x: u32, y: u32| frame[(y * width + x) as usize].map(f64::from);

    let card = &card::layout::known()[0];
    let corners = truth.card_corners_px.unwrap();
    let rows = card.editions[0].lab.len() as f64 / 6.0;
    let centre = |patch: usize| {
        let (u, v) = (((patch % 6) as f64 + 0.5) / 6.0, ((patch / 6) as f64 + 0.5) / rows);
        let along = |a: [f64; 2], b: [f64; 2], t: f64| [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
        along(along(corners[0], corners[1], u), along(corners[3], corners[2], u), v)
    };
    // Corners of a card seen aslant make these places but near the middles; a patch is larger than that.
    let seen = DMatrix::from_fn(24, 3, |patch, channel| {
        let [x, y] = centre(patch);
        at(x as u32, y as u32)[channel]
    });
    let xyz = DMatrix::from_fn(24, 3, |patch, axis| {
        let xyz = xyz_from_lab(card.editions[0].lab[patch]);
        [xyz.x, xyz.y, xyz.z][axis]
    });
    let solved = xyz.svd(true, true).solve(&seen, 1e-9).unwrap();
    let camera_from_xyz = Matrix3::from_fn(|row, column| solved[(column, row)]);

    let sensor: Vec<u16> = (0..width * height)
        .map(|k| filtered(at(k % width, k / width).map(|light| 0.9 * light), k % width, k / width))
        .collect();
    let bytes = dng([width, height], &camera_from_xyz, Vector3::repeat(1.0), 1, &sensor);
    let photo = decode(&bytes, &Limits::default()).unwrap();
    let regions = truth.panels.iter().map(|panel| (panel.name.clone(), panel.polygon_px.clone())).collect();
    let reading = card::read(&photo, &Request { regions, ..Request::default() }, &|_| true).unwrap();
    assert!(reading.card.is_some(), "{:?}", reading.warnings);
    assert!(!truth.panels.is_empty());
    for (region, panel) in reading.regions.iter().zip(&truth.panels) {
        let [l, a, b] = panel.lab;
        let off = de2000(region.lab, Lab::new(l, a, b));
        assert!(off < 2.5, "{}: {off}", region.name);
    }
}

/// Cut off, or bytes changed: one line each, whatever it is.
#[test]
fn damaged_files_are_refused_in_one_line() {
    let (neutral, camera_from_srgb) = camera();
    let light: [f64; 3] = (camera_from_srgb * Vector3::repeat(0.3)).into();
    let sensor: Vec<u16> = (0..32 * 32).map(|k| filtered(light, k % 32, k / 32)).collect();
    let whole = dng([32, 32], &CAMERA_FROM_XYZ, neutral, 1, &sensor);
    let refused = |bytes: &[u8]| match decode(bytes, &Limits::default()) {
        Ok(photo) => assert!(photo.width_px > 0),
        Err(error) => {
            let line = error.to_string();
            assert!(!line.is_empty() && !line.contains('\n'), "{line}");
        }
    };
    for end in (8..whole.len()).step_by(61) {
        refused(&whole[..end]);
    }
    for at in (4..300).step_by(3) {
        let mut changed = whole.clone();
        changed[at] ^= 0x55;
        refused(&changed);
    }
    assert!(matches!(
        decode(&whole[..200], &Limits::default()),
        Err(Error::Damaged { .. } | Error::Unsupported { .. })
    ));
}
