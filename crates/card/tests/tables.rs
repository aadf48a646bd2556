//! Profiles made of tables, against the curves and the matrix they were sampled from and against another library.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

mod icc;

use card::photo::ProfileOrigin;
use card::{Limits, Photo, decode};
use colour::{Lab, Xyz, lab_from_xyz};
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder};

use icc::{a_to_b, lut16_lab, profile, tables};

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
