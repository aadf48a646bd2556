//! Profiles made of tables, written here by ICC.1:2022, against the curves and the matrix they were sampled from and
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]
//! against another library.

use card::photo::ProfileOrigin;
use card::{Limits, Photo, decode};
use colour::rgb::linear_from_srgb;
use colour::{Lab, Xyz, lab_from_xyz};
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder};

/// sRGB at D50 by linear Bradford: the colorants of the ICC's own sRGB profiles.
const XYZ_FROM_SRGB: [[f64; 3]; 3] =
    [[0.43607, 0.38515, 0.14307], [0.22249, 0.71687, 0.06061], [0.01392, 0.09708, 0.71410]];

/// Codes of dark and light woods, greys and strong colours.
const CODES: [[u8; 3]; 12] = [
    [0, 0, 0],
    [255, 255, 255],
    [119, 119, 119],
    [31, 27, 24],
    [74, 47, 31],
    [121, 78, 49],
    [172, 124, 82],
    [209, 170, 125],
    [235, 215, 186],
    [188, 60, 50],
    [64, 120, 60],
    [40, 70, 150],
];

fn xyz(linear: [f64; 3]) -> [f64; 3] {
    XYZ_FROM_SRGB.map(|row| row.iter().zip(linear).map(|(m, light)| m * light).sum())
}

fn be16(values: impl IntoIterator<Item = f64>) -> Vec<u8> {
    values.into_iter().flat_map(|value| (value.round().clamp(0.0, 65535.0) as u16).to_be_bytes()).collect()
}

/// The connection values at each point of a grid of `side` over red, green and blue, blue running fastest (10.10).
fn grid(side: usize, at: impl Fn([f64; 3]) -> [f64; 3]) -> Vec<f64> {
    let top = (side - 1) as f64;
    (0..side.pow(3))
        .flat_map(|k| at([k / side / side, k / side % side, k % side].map(|index| index as f64 / top)))
        .collect()
}

/// CIELAB of sRGB codes 0..=1.
fn lab(codes: [f64; 3]) -> Lab {
    let [x, y, z] = xyz(codes.map(linear_from_srgb));
    lab_from_xyz(Xyz::new(x, y, z))
}

/// A profile of one table: header (7.2), tag table (7.3), the tag.
fn profile(version: u8, connection: &[u8; 4], tag: &[u8; 4], table: &[u8]) -> Vec<u8> {
    let mut bytes = (144 + table.len() as u32).to_be_bytes().to_vec();
    bytes.extend([0, 0, 0, 0, version, 0, 0, 0]);
    bytes.extend(b"scnrRGB ");
    bytes.extend(connection);
    bytes.resize(36, 0);
    bytes.extend(b"acsp");
    bytes.resize(64, 0);
    bytes.extend([0, 0, 0, 1]);
    bytes.extend([0x0000_F6D6u32, 0x0001_0000, 0x0000_D32D].iter().flat_map(|value| value.to_be_bytes()));
    bytes.resize(128, 0);
    bytes.extend([0, 0, 0, 1]);
    bytes.extend(tag);
    bytes.extend([144, table.len() as u32].iter().flat_map(|value| value.to_be_bytes()));
    bytes.extend(table);
    bytes
}

fn head(kind: &[u8; 4], side: u8) -> Vec<u8> {
    let mut bytes = kind.to_vec();
    bytes.extend([0, 0, 0, 0, 3, 3, side, 0]);
    bytes.extend([1i32 << 16, 0, 0, 0, 1 << 16, 0, 0, 0, 1 << 16].iter().flat_map(|value| value.to_be_bytes()));
    bytes
}

/// lut8Type (10.11): L* 0..100 as 0..255, a* and b* with 128 added.
fn lut8(side: usize) -> Vec<u8> {
    let ramps = || (0..3).flat_map(|_| 0..=255u8);
    let values = grid(side, |codes| {
        let lab = lab(codes);
        [lab.l * 2.55, lab.a + 128.0, lab.b + 128.0]
    });
    let mut bytes = head(b"mft1", side as u8);
    bytes.extend(ramps().chain(values.iter().map(|value| value.round() as u8)).chain(ramps()));
    bytes
}

/// lut16Type (10.10) with CIELAB in its legacy 16-bit encoding: L* 0..100 as 0..0xFF00, a* and b* times 256.
fn lut16_lab(side: usize) -> Vec<u8> {
    let values = grid(side, |codes| {
        let lab = lab(codes);
        [lab.l * 652.8, (lab.a + 128.0) * 256.0, (lab.b + 128.0) * 256.0]
    });
    let ramps = || (0..3).flat_map(|_| [0.0, 65535.0]);
    let mut bytes = head(b"mft2", side as u8);
    bytes.extend(be16([2.0, 2.0]));
    bytes.extend(be16(ramps().chain(values).chain(ramps())));
    bytes
}

/// lut16Type with XYZ, 1.0 as 32 768: curves of 1024 entries to linear light, then a grid of its corners: no error of its own.
fn lut16_xyz() -> Vec<u8> {
    let curve = || (0..1024).map(|k| 65535.0 * linear_from_srgb(f64::from(k) / 1023.0));
    let mut bytes = head(b"mft2", 2);
    bytes.extend(be16([1024.0, 2.0]));
    let corners = grid(2, |linear| xyz(linear).map(|value| 32768.0 * value));
    bytes.extend(be16(curve().chain(curve()).chain(curve()).chain(corners).chain([0.0, 65535.0].repeat(3))));
    bytes
}

/// lutAToBType (10.12): curves A, a grid in CIELAB (L* 0..100 as 0..65 535, a* and b* with 128 added, times 257), curves B.
fn a_to_b(side: usize) -> Vec<u8> {
    // parametricCurveType (10.18), function 0: exponent 1.
    let straight = || {
        let mut curve = b"para\0\0\0\0\0\0\0\0".to_vec();
        curve.extend((1u32 << 16).to_be_bytes());
        curve
    };
    let values = grid(side, |codes| {
        let lab = lab(codes);
        [lab.l * 655.35, (lab.a + 128.0) * 257.0, (lab.b + 128.0) * 257.0]
    });
    let mut table = vec![0u8; 16];
    table[..3].fill(side as u8);
    table.extend([2, 0, 0, 0]);
    table.extend(be16(values));
    table.resize(table.len().next_multiple_of(4), 0);
    let mut bytes = b"mAB \0\0\0\0\x03\x03\0\0".to_vec();
    let (b, clut) = (32u32, 32 + 48);
    bytes.extend([b, 0, 0, clut, clut + table.len() as u32].iter().flat_map(|offset| offset.to_be_bytes()));
    for curve in 0..3 {
        assert_eq!(bytes.len(), 32 + 16 * curve);
        bytes.extend(straight());
    }
    bytes.extend(table);
    (0..3).for_each(|_| bytes.extend(straight()));
    bytes
}

fn photo(profile: Option<Vec<u8>>) -> Photo {
    let mut bytes = Vec::new();
    let mut encoder = PngEncoder::new(&mut bytes);
    if let Some(profile) = profile {
        encoder.set_icc_profile(profile).unwrap();
    }
    encoder.write_image(CODES.as_flattened(), CODES.len() as u32, 1, ExtendedColorType::Rgb8).unwrap();
    decode(&bytes, &Limits::default()).unwrap()
}

fn labs(photo: &Photo) -> Vec<Lab> {
    let linear = (0..CODES.len() as u32).map(|x| nalgebra::Vector3::from(photo.linear(x, 0).map(f64::from)));
    let xyz = linear.map(|linear| photo.working().xyz_from_rgb * linear);
    xyz.map(|xyz| lab_from_xyz(Xyz::new(xyz.x, xyz.y, xyz.z))).collect()
}

fn apart(a: Lab, b: Lab) -> f64 {
    ((a.l - b.l).powi(2) + (a.a - b.a).powi(2) + (a.b - b.b).powi(2)).sqrt()
}

/// Each type of table, in each version that may hold it, as [`CODES`] come out of it.
fn tables() -> [(&'static str, Vec<u8>); 7] {
    [
        ("lut8 of version 2", profile(2, b"Lab ", b"A2B0", &lut8(33))),
        ("lut8 of version 4", profile(4, b"Lab ", b"A2B0", &lut8(33))),
        ("lut16 of version 2", profile(2, b"Lab ", b"A2B0", &lut16_lab(33))),
        ("lut16 of version 4", profile(4, b"Lab ", b"A2B1", &lut16_lab(33))),
        ("lut16, 17 points", profile(2, b"Lab ", b"A2B1", &lut16_lab(17))),
        ("lut16 in XYZ", profile(2, b"XYZ ", b"A2B0", &lut16_xyz())),
        ("A to B", profile(4, b"Lab ", b"A2B1", &a_to_b(33))),
    ]
}

/// A table sampled from sRGB gives what sRGB gives by its curve and matrix, up to what its steps and the straight lines between
/// them lose: ΔE*ab 0.5 in 8 bits, 0.3 on 17 points, 0.1 on 33.
#[test]
fn a_table_gives_what_the_matrix_gives_that_it_was_sampled_from() {
    let plain = labs(&photo(None));
    for (name, bytes) in tables() {
        let photo = photo(Some(bytes));
        assert_eq!((photo.profile.origin, photo.bits()), (ProfileOrigin::Embedded, 8), "{name}");
        let most = if name.starts_with("lut8") {
            0.5
        } else if name.ends_with("17 points") {
            0.3
        } else {
            0.1
        };
        for ((lab, want), codes) in labs(&photo).iter().zip(&plain).zip(CODES) {
            assert!(apart(*lab, *want) < most, "{name}: {codes:?} gives {lab:?}, by the matrix {want:?}");
        }
    }
}

/// The same bytes through Little CMS 2.19: 16-bit RGB, every code times 257, to CIELAB in double precision, relative
/// colorimetric, without its own resampling. It interpolates between the points in another way; codes as in [`CODES`].
#[test]
fn a_table_gives_what_another_library_gives() {
    const LUT8: [[f64; 3]; 12] = [
        [0.0, 0.0, 0.0],
        [100.0, 0.0, 0.0],
        [49.987, 0.0, 0.0],
        [10.152, 1.630, 2.887],
        [22.451, 11.545, 15.817],
        [37.745, 16.549, 24.953],
        [56.297, 15.802, 30.545],
        [72.474, 10.035, 28.798],
        [87.013, 3.891, 17.066],
        [45.081, 51.595, 36.342],
        [45.457, -29.082, 27.058],
        [31.196, 11.568, -48.136],
    ];
    const LUT16: [[f64; 3]; 12] = [
        [0.0, 0.0, 0.0],
        [99.998, 0.016, 0.008],
        [50.034, 0.008, 0.004],
        [10.172, 1.566, 2.852],
        [22.469, 11.219, 15.563],
        [37.675, 16.293, 24.840],
        [56.225, 15.637, 30.563],
        [72.393, 10.316, 28.887],
        [87.085, 3.824, 17.020],
        [45.116, 51.648, 36.176],
        [45.469, -29.113, 26.777],
        [31.143, 11.645, -48.219],
    ];
    const A_TO_B: [[f64; 3]; 12] = [
        [0.0, 0.0, 0.0],
        [99.998, 0.016, 0.008],
        [50.033, 0.012, 0.004],
        [10.172, 1.568, 2.852],
        [22.470, 11.214, 15.560],
        [37.673, 16.296, 24.840],
        [56.225, 15.634, 30.564],
        [72.393, 10.315, 28.887],
        [87.085, 3.825, 17.019],
        [45.118, 51.646, 36.175],
        [45.469, -29.109, 26.774],
        [31.142, 11.646, -48.218],
    ];
    for (name, bytes) in tables() {
        let want = match name {
            "lut8 of version 2" | "lut8 of version 4" => LUT8,
            "lut16 of version 2" | "lut16 of version 4" => LUT16,
            "A to B" => A_TO_B,
            _ => continue,
        };
        for ((lab, [l, a, b]), codes) in labs(&photo(Some(bytes))).iter().zip(want).zip(CODES) {
            assert!(apart(*lab, Lab::new(l, a, b)) < 0.15, "{name}: {codes:?} gives {lab:?}, there {l} {a} {b}");
        }
    }
}

/// Pixels stay at their places and clipped ones stay known, however the photo lies and however many pixels there are.
#[test]
fn pixels_keep_their_place_and_what_is_clipped_is_known() {
    let mut picture = image::RgbImage::from_pixel(300, 200, image::Rgb([121, 78, 49]));
    picture.put_pixel(299, 150, image::Rgb([255, 80, 80]));
    let mut bytes = Vec::new();
    let mut encoder = PngEncoder::new(&mut bytes);
    encoder.set_icc_profile(profile(4, b"Lab ", b"A2B1", &a_to_b(33))).unwrap();
    encoder.write_image(picture.as_raw(), 300, 200, ExtendedColorType::Rgb8).unwrap();
    let photo = decode(&bytes, &Limits::default()).unwrap();
    assert_eq!(photo.clipped(299, 150), [true, false, false]);
    assert_eq!((photo.clipped(298, 150), photo.clipped(299, 149)), ([false; 3], [false; 3]));
    let (odd, other) = (photo.linear(299, 150), photo.linear(299, 151));
    assert!(odd[0] > 3.0 * other[0], "{odd:?} beside {other:?}");
    assert_eq!(photo.linear(0, 0), other);
}

/// A table cut off is said to be unreadable, and sRGB is assumed in its place.
#[test]
fn a_table_cut_off_is_not_followed() {
    let mut table = lut16_lab(5);
    table.truncate(200);
    assert_eq!(photo(Some(profile(2, b"Lab ", b"A2B0", &table))).profile.origin, ProfileOrigin::Unreadable);
}
