//! Photos as people have them: turned, in wide colours, from phones, raw.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

use card::photo::ProfileOrigin;
use card::{Error, Limits, Photo, decode};
use image::codecs::{jpeg::JpegEncoder, png::PngEncoder, webp::WebPEncoder};
use image::{ExtendedColorType, ImageEncoder, RgbImage};

fn read(bytes: &[u8]) -> Photo {
    decode(bytes, &Limits::default()).unwrap()
}

/// sRGB codes of a pixel, 0 to 255.
fn codes(photo: &Photo, x: u32, y: u32) -> [f64; 3] {
    photo.linear(x, y).map(|light| 255.0 * colour::rgb::srgb_from_linear(f64::from(light)))
}

fn far(a: [f64; 3], b: [u8; 3]) -> f64 {
    (0..3).map(|k| (a[k] - f64::from(b[k])).abs()).fold(0.0, f64::max)
}

/// A directory of a TIFF, big endian: its entries (tag, type, count, value) with values of at most four bytes.
fn directory(entries: &[(u16, u16, u32, [u8; 4])]) -> Vec<u8> {
    let mut bytes = (entries.len() as u16).to_be_bytes().to_vec();
    for (tag, kind, count, value) in entries {
        bytes.extend(tag.to_be_bytes());
        bytes.extend(kind.to_be_bytes());
        bytes.extend(count.to_be_bytes());
        bytes.extend(value);
    }
    bytes.extend([0; 4]);
    bytes
}

const HEAD: &[u8] = b"MM\0\x2a\0\0\0\x08";
const SHORT: u16 = 3;
const LONG: u16 = 4;

fn short(value: u16) -> [u8; 4] {
    let [a, b] = value.to_be_bytes();
    [a, b, 0, 0]
}

/// EXIF data with nothing but the orientation (EXIF 2.32, 4.5 and 4.6.4 A).
fn exif(orientation: u8) -> Vec<u8> {
    [HEAD, &directory(&[(0x0112, SHORT, 1, short(orientation.into()))])].concat()
}

/// An uncompressed TIFF of 8 bits in one strip, with more entries in its directory (TIFF 6.0, section 6).
fn tiff(picture: &RgbImage, more: &[(u16, u16, u32, [u8; 4])]) -> Vec<u8> {
    let at = |count: usize| (8 + 2 + 12 * count + 4) as u32;
    let mut entries = vec![
        (256, LONG, 1, picture.width().to_be_bytes()),
        (257, LONG, 1, picture.height().to_be_bytes()),
        (258, SHORT, 3, [0; 4]),
        (259, SHORT, 1, short(1)),
        (262, SHORT, 1, short(2)),
        (273, LONG, 1, [0; 4]),
        (277, SHORT, 1, short(3)),
        (278, LONG, 1, picture.height().to_be_bytes()),
        (279, LONG, 1, (picture.len() as u32).to_be_bytes()),
    ];
    entries.retain(|entry| more.iter().all(|other| other.0 != entry.0));
    entries.extend(more);
    entries.sort_by_key(|entry| entry.0);
    let end = at(entries.len());
    for entry in &mut entries {
        match entry.0 {
            258 => entry.3 = end.to_be_bytes(),
            273 => entry.3 = (end + 6).to_be_bytes(),
            _ => {}
        }
    }
    [HEAD, &directory(&entries), &[0, 8, 0, 8, 0, 8], picture.as_raw()].concat()
}

fn encoded(mut encoder: impl ImageEncoder, picture: &RgbImage, exif: Vec<u8>) {
    encoder.set_exif_metadata(exif).unwrap();
    encoder.write_image(picture, picture.width(), picture.height(), ExtendedColorType::Rgb8).unwrap();
}

/// EXIF 2.32 (CIPA DC-008-2019), tag 0x0112: which side of the scene the stored row 0 and column 0 show.
/// A scene of 32 × 16: its top left is red, top right green, bottom left blue, bottom right white.
#[test]
fn each_orientation_comes_upright_from_every_kind_of_file() {
    const RED: [u8; 3] = [255, 0, 0];
    const GREEN: [u8; 3] = [0, 255, 0];
    const BLUE: [u8; 3] = [0, 0, 255];
    const WHITE: [u8; 3] = [255, 255, 255];
    // Orientation; stored corners: row 0 column 0, row 0 last column, last row column 0, last row last column.
    let table = [
        (1, [RED, GREEN, BLUE, WHITE]), // row 0 top, column 0 left
        (2, [GREEN, RED, WHITE, BLUE]), // top, right
        (3, [WHITE, BLUE, GREEN, RED]), // bottom, right
        (4, [BLUE, WHITE, RED, GREEN]), // bottom, left
        (5, [RED, BLUE, GREEN, WHITE]), // left, top
        (6, [GREEN, WHITE, RED, BLUE]), // right, top
        (7, [WHITE, GREEN, BLUE, RED]), // right, bottom
        (8, [BLUE, RED, WHITE, GREEN]), // left, bottom
    ];
    for (orientation, stored) in table {
        let (width, height) = if orientation < 5 { (32, 16) } else { (16, 32) };
        let picture = RgbImage::from_fn(width, height, |x, y| {
            image::Rgb(stored[usize::from(x >= width / 2) + 2 * usize::from(y >= height / 2)])
        });
        let (mut jpeg, mut png, mut webp) = (Vec::new(), Vec::new(), Vec::new());
        encoded(JpegEncoder::new_with_quality(&mut jpeg, 95), &picture, exif(orientation));
        encoded(PngEncoder::new(&mut png), &picture, exif(orientation));
        encoded(WebPEncoder::new_lossless(&mut webp), &picture, exif(orientation));
        let tiff = tiff(&picture, &[(0x0112, SHORT, 1, short(orientation.into()))]);
        for (kind, bytes) in [("JPEG", jpeg), ("PNG", png), ("WebP", webp), ("TIFF", tiff)] {
            let photo = read(&bytes);
            assert_eq!((photo.width_px, photo.height_px), (32, 16), "{kind}, orientation {orientation}");
            for ((x, y), want) in [(3, 3), (28, 3), (3, 12), (28, 12)].into_iter().zip([RED, GREEN, BLUE, WHITE]) {
                let got = codes(&photo, x, y);
                assert!(far(got, want) < 6.0, "{kind}, orientation {orientation}: {got:?} is not {want:?}");
            }
            // The averaged picture goes another way through the pixels.
            let shown = photo.picture(photo.whole(), 2).unwrap();
            assert_eq!((shown.width, shown.height, shown.factor), (2, 1, 16), "{kind}, orientation {orientation}");
            assert!(shown.rgb[1] < shown.rgb[4], "{kind}, orientation {orientation}: green is on the right");
        }
    }
}

/// CIPA DC-009 (DCF 2.0): a file in the optional colour space says R03 in its interoperability directory. The code must
/// come out as the published primaries and curve of that space have it (Adobe RGB (1998), 4.3.1 and 4.3.4: gamma
/// 2.19921875, red x 0.64 y 0.33, green 0.21 0.71, blue 0.15 0.06, white D65).
#[test]
fn the_wide_space_of_cameras_is_followed_without_a_profile() {
    let exif = |index: &[u8; 4]| {
        let pointer = |at: u32| at.to_be_bytes();
        // Each directory of one entry takes 18 bytes; the first begins at 8.
        [
            HEAD,
            &directory(&[(0x8769, LONG, 1, pointer(26))]),
            &directory(&[(0xA005, LONG, 1, pointer(44))]),
            &directory(&[(0x0001, 2, 4, *index)]),
        ]
        .concat()
    };
    let green = RgbImage::from_pixel(16, 16, image::Rgb([0, 200, 0]));
    for (index, origin) in [(b"R03\0", ProfileOrigin::Exif), (b"R98\0", ProfileOrigin::Assumed)] {
        let (mut jpeg, mut png) = (Vec::new(), Vec::new());
        encoded(JpegEncoder::new_with_quality(&mut jpeg, 100), &green, exif(index));
        encoded(PngEncoder::new(&mut png), &green, exif(index));
        for bytes in [jpeg, png] {
            let photo = read(&bytes);
            assert_eq!(photo.profile.origin, origin);
            let xyz = photo.working().xyz_from_rgb * nalgebra::Vector3::from(photo.linear(8, 8).map(f64::from));
            if origin == ProfileOrigin::Exif {
                // Y of its green is 0.6274 at D65 (Adobe RGB (1998), 4.3.6.1); 0.6257 after adaptation to D50.
                let want = 0.6257 * (200.0f64 / 255.0).powf(2.199_218_75);
                assert!((xyz.y - want).abs() < 0.004, "Y {} is not {want}", xyz.y);
                assert!(photo.linear(8, 8)[0] < -0.1, "this green lies outside sRGB");
            }
        }
    }
}

/// EXIF 2.32, 4.6.5 F: DateTimeOriginal (0x9003, 20 characters with the end) and OffsetTimeOriginal (0x9011, 7 characters) in the
/// directory that 0x8769 points to.
fn exif_taken(time: &[u8; 20], offset: &[u8; 7]) -> Vec<u8> {
    const ASCII: u16 = 2;
    let first = directory(&[(0x8769, LONG, 1, 26u32.to_be_bytes())]);
    let second = directory(&[(0x9003, ASCII, 20, 56u32.to_be_bytes()), (0x9011, ASCII, 7, 76u32.to_be_bytes())]);
    [HEAD, &first, &second, time, offset].concat()
}

#[test]
fn when_a_photo_was_taken_is_read_where_it_is_noted() {
    let of = |exif: Vec<u8>| {
        let mut bytes = Vec::new();
        encoded(PngEncoder::new(&mut bytes), &RgbImage::new(4, 4), exif);
        read(&bytes).taken
    };
    let noted = of(exif_taken(b"2026:03:05 14:02:11\0", b"+01:00\0"));
    assert_eq!(noted.as_deref(), Some("2026-03-05T14:02:11+01:00"));
    // A clock that does not know where it is; unknown is written as spaces (4.6.5 F); a clock never set; no such tag.
    let without_offset = of(exif_taken(b"2026:03:05 14:02:11\0", b"   :  \0"));
    assert_eq!(without_offset.as_deref(), Some("2026-03-05T14:02:11"));
    for unknown in [b"    :  :     :  :  \0", b"0000:00:00 00:00:00\0", b"2026:03:05 34:02:11\0"] {
        assert_eq!(of(exif_taken(unknown, b"+01:00\0")), None, "{}", String::from_utf8_lossy(unknown));
    }
    assert_eq!(of(exif(1)), None);
}

/// DNG 1.7 and TIFF Tech Note 1: the first directory of such files shows but a preview; measuring it would pass for the
/// photo. Tags: 254 NewSubfileType, 262 photometric (32803: colour filters), 330 SubIFDs, 50706 DNGVersion.
#[test]
fn raw_files_in_the_form_of_a_tiff_are_refused() {
    let picture = RgbImage::from_pixel(20, 10, image::Rgb([90, 80, 70]));
    assert_eq!(read(&tiff(&picture, &[])).width_px, 20);
    assert_eq!(read(&tiff(&picture, &[(254, LONG, 1, [0; 4])])).width_px, 20, "a plain page is no preview");
    for more in [
        vec![(254, LONG, 1, 1u32.to_be_bytes()), (330, LONG, 1, 8u32.to_be_bytes())],
        vec![(50_706, 1, 4, [1, 7, 0, 0])],
        vec![(262, SHORT, 1, short(32_803))],
    ] {
        let error = decode(&tiff(&picture, &more), &Limits::default()).unwrap_err();
        assert!(
            matches!(&error, Error::Unsupported { what, instead }
            if what == "a camera raw file" && instead.contains("16-bit TIFF")),
            "{error}"
        );
    }
}

/// The picture of `data/make.py`, which wrote the files: blocks of 16 × 16.
#[cfg(any(feature = "heic", feature = "jxl"))]
mod held {
    use card::photo::Kind;

    use super::*;

    const BLOCKS: [[[u8; 3]; 4]; 3] = [
        [[200, 60, 50], [60, 160, 70], [50, 70, 170], [230, 220, 60]],
        [[150, 110, 75], [110, 75, 45], [205, 170, 125], [60, 40, 30]],
        [[240, 240, 240], [160, 160, 160], [80, 80, 80], [20, 20, 20]],
    ];

    /// Within `tolerance` codes of the picture that was encoded at the middles of its blocks, and within 2 codes of what
    /// the reference decoder made of the file, in every pixel off their edges.
    fn check(bytes: &[u8], reference: &[u8], turned: bool, tolerance: f64) -> Photo {
        let photo = read(bytes);
        let reference = image::load_from_memory(reference).unwrap().into_rgb8();
        assert_eq!((photo.width_px, photo.height_px), reference.dimensions());
        let (columns, rows) = if turned { (3, 4) } else { (4, 3) };
        // Chroma at half size is spread in different ways: at the edges of blocks both are right.
        let inner = |at: u32| (3..13).contains(&(at % 16));
        for (x, y, pixel) in reference.enumerate_pixels().filter(|(x, y, _)| inner(*x) && inner(*y)) {
            let got = codes(&photo, x, y);
            assert!(far(got, pixel.0) < 2.5, "{x}, {y}: {got:?} is not {pixel:?}");
        }
        for (row, column) in (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column))) {
            // Orientation 6: the stored row 0 is the right side of the scene.
            let want = if turned { BLOCKS[2 - column][row] } else { BLOCKS[row][column] };
            let got = codes(&photo, 16 * column as u32 + 8, 16 * row as u32 + 8);
            assert!(far(got, want) < tolerance, "row {row}, column {column}: {got:?} is not {want:?}");
        }
        photo
    }

    #[cfg(feature = "heic")]
    #[test]
    fn heic_is_decoded_as_the_reference_library_does() {
        let plain = check(include_bytes!("data/blocks.heic"), include_bytes!("data/blocks.heic.png"), false, 3.0);
        assert_eq!((plain.kind, plain.bits()), (Kind::Heic, 8));
        check(include_bytes!("data/turned.heic"), include_bytes!("data/turned.heic.png"), true, 3.0);
        let ten = check(include_bytes!("data/ten-bit.heic"), include_bytes!("data/ten-bit.heic.png"), false, 3.0);
        assert_eq!(ten.bits(), 16);
    }

    /// The file carries a P3 profile and leaves its matrix open: read as BT.709 it would be off by 10 codes and more.
    /// The codes are turned from P3 to sRGB by the published primaries (P3 SMPTE EG 432-1, sRGB IEC 61966-2-1).
    #[cfg(feature = "heic")]
    #[test]
    fn a_heic_whose_matrix_is_left_open_follows_its_profile() {
        let photo = read(include_bytes!("data/p3.heic"));
        assert_eq!((photo.profile.name.as_str(), photo.profile.origin), ("Blocks P3", ProfileOrigin::Embedded));
        let srgb_from_p3 = nalgebra::Matrix3::new(1.2249, -0.2247, 0.0, -0.0420, 1.0419, 0.0, -0.0197, -0.0786, 1.0979);
        let reference = image::load_from_memory(include_bytes!("data/p3.heic.png")).unwrap().into_rgb8();
        for (x, y, pixel) in reference.enumerate_pixels() {
            let light = pixel.0.map(|code| colour::rgb::linear_from_srgb(f64::from(code) / 255.0));
            let want = srgb_from_p3 * nalgebra::Vector3::from(light);
            let got = nalgebra::Vector3::from(photo.linear(x, y).map(f64::from));
            assert!((got - want).amax() < 0.02, "{x}, {y}: {got} is not {want}");
        }
    }

    #[cfg(feature = "jxl")]
    #[test]
    fn jpeg_xl_is_decoded_as_the_reference_library_does() {
        let plain = check(include_bytes!("data/blocks.jxl"), include_bytes!("data/blocks.jxl.png"), false, 0.1);
        assert_eq!((plain.kind, plain.bits()), (Kind::JpegXl, 8));
        check(include_bytes!("data/lossy.jxl"), include_bytes!("data/lossy.jxl.png"), false, 8.0);
        check(include_bytes!("data/turned-jpeg.jxl"), include_bytes!("data/turned-jpeg.jxl.png"), true, 3.0);
    }

    #[cfg(feature = "jxl")]
    #[test]
    fn the_profile_of_a_jpeg_xl_is_followed() {
        let photo = read(include_bytes!("data/p3.jxl"));
        assert_eq!(photo.profile.origin, ProfileOrigin::Embedded);
        // P3 (200, 60, 50) by the matrix above, written out: more red than sRGB can show.
        let light = [200.0, 60.0, 50.0].map(|code: f64| colour::rgb::linear_from_srgb(code / 255.0));
        let want = 1.2249 * light[0] - 0.2247 * light[1];
        let got = f64::from(photo.linear(8, 8)[0]);
        assert!((got - want).abs() < 0.004, "{got} is not {want}");
    }
}
