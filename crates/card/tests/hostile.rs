//! Bytes that mean harm, or nothing: a sound photo or one line, never a panic.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

use std::io::Cursor;
use std::sync::LazyLock;
use std::time::Instant;

use card::{Error, Limits, Photo, decode};
use image::{ImageFormat, RgbImage};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const SMALL: Limits = Limits { most_megapixels: 4 };
/// Words of which each way out has one.
const REMEDIES: [&str; 6] = ["copy", "save", "use ", "name a", "convert", "switch"];

/// Small files of every kind that is read.
fn files() -> &'static [Vec<u8>] {
    static FILES: LazyLock<Vec<Vec<u8>>> = LazyLock::new(|| {
        let picture = image::DynamicImage::ImageRgb8(RgbImage::from_fn(33, 21, |x, y| {
            image::Rgb([x as u8 * 7, y as u8 * 9, 80])
        }));
        let mut files: Vec<Vec<u8>> =
            [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::Tiff, ImageFormat::WebP, ImageFormat::Bmp]
                .into_iter()
                .map(|format| {
                    let mut bytes = Cursor::new(Vec::new());
                    picture.write_to(&mut bytes, format).unwrap();
                    bytes.into_inner()
                })
                .collect();
        // How these were made stands in `data/make.py`.
        files.push(include_bytes!("data/blocks.heic").to_vec());
        files.push(include_bytes!("data/turned.heic").to_vec());
        files.push(include_bytes!("data/blocks.jxl").to_vec());
        files.push(include_bytes!("data/lossy.jxl").to_vec());
        files
    });
    &FILES
}

/// A sound photo, or one line with its way out, within two seconds.
fn answers(bytes: &[u8]) -> std::result::Result<card::Result<Photo>, TestCaseError> {
    let start = Instant::now();
    let decoded = decode(bytes, &SMALL);
    let seconds = start.elapsed().as_secs_f64();
    prop_assert!(seconds < 2.0, "{seconds} s");
    match &decoded {
        Ok(photo) => {
            let (width, height) = (photo.width_px, photo.height_px);
            let pixels = u64::from(width) * u64::from(height);
            prop_assert!((1..=4_000_000).contains(&pixels), "{width} × {height}");
            let preview = photo.preview();
            prop_assert!(preview.rgb.len() == preview.width * preview.height && !preview.rgb.is_empty());
            // Linear light of the widest primaries that are followed, in those of sRGB.
            let sound = |x, y| photo.linear(x, y).iter().all(|light| light.is_finite() && light.abs() <= 30.0);
            for k in 0..97 {
                let (x, y) = ((k * 31) % width, (k * 53) % height);
                prop_assert!(sound(x, y), "{x}, {y}: {:?}", photo.linear(x, y));
            }
        }
        Err(error) => {
            let line = error.to_string();
            prop_assert!(!line.contains('\n') && REMEDIES.iter().any(|word| line.contains(word)), "{line}");
        }
    }
    Ok(decoded)
}

/// Whether this kind of file can be read as the tests are built.
fn built_in(kind: usize) -> bool {
    kind < 5 || (kind < 7 && cfg!(feature = "heic")) || (kind >= 7 && cfg!(feature = "jxl"))
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 600,
        rng_seed: RngSeed::Fixed(20_261_125),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// No such bytes are a photo, and each answer is the one for what they are.
    #[test]
    fn random_bytes_are_no_photo(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        let Err(error) = answers(&bytes)? else { return Err(TestCaseError::fail("a photo of random bytes")) };
        match &error {
            Error::Empty => prop_assert!(bytes.is_empty()),
            Error::NotAPhoto { .. } => prop_assert!(!bytes.is_empty()),
            // By chance they begin like one.
            _ => prop_assert!(bytes.starts_with(b"BM") || bytes.starts_with(&[0xFF]), "{error}: {bytes:?}"),
        }
    }

    /// What follows the end of a photo is none of its business: phones append films, programs their notes.
    #[test]
    fn random_bytes_after_a_whole_photo_change_nothing(kind in 0usize..5, tail in prop::collection::vec(any::<u8>(), 0..600)) {
        let bytes = [&files()[kind][..], &tail].concat();
        let photo = answers(&bytes)?;
        prop_assert!(photo.as_ref().is_ok_and(|photo| rows_of(photo) == rows_of(&whole(kind))), "kind {kind}: {:?}", photo.err());
    }

    /// A few bytes are a photo in no format.
    #[test]
    fn random_bytes_after_a_known_start_are_refused(kind in 0usize..9, tail in prop::collection::vec(any::<u8>(), 0..600)) {
        let mut bytes = files()[kind][..16].to_vec();
        bytes.extend(tail);
        let answer = answers(&bytes)?;
        prop_assert!(!matches!(answer, Err(Error::Empty)));
        // An uncompressed picture may be made of any bytes; all others have structure that random ones do not.
        prop_assert!(kind == 4 || answer.is_err(), "kind {kind} was read");
    }

    #[test]
    fn damaged_photos_are_told_or_read(kind in 0usize..9, at in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12), cut in any::<prop::sample::Index>(), cutting in any::<bool>()) {
        let mut bytes = files()[kind].clone();
        for (index, value) in at {
            let place = index.index(bytes.len());
            bytes[place] = value;
        }
        if cutting {
            bytes.truncate(cut.index(bytes.len()));
        }
        let answer = answers(&bytes)?;
        let unchanged = bytes == files()[kind];
        prop_assert!(!unchanged || !built_in(kind) || answer.is_ok(), "kind {kind}, unchanged: {:?}", answer.err());
    }

    /// PNG guards every chunk by a check sum (PNG specification, 5.5), so that a bit that is not as it was is noticed or had no
    /// part in the picture.
    #[test]
    fn single_bits_flipped_are_told_or_read(kind in 0usize..9, at in any::<prop::sample::Index>(), bit in 0u8..8) {
        let mut bytes = files()[kind].clone();
        let place = at.index(bytes.len());
        bytes[place] ^= 1 << bit;
        if let (Ok(photo), 1) = (answers(&bytes)?, kind) {
            prop_assert!(rows_of(&photo) == rows_of(&whole(kind)), "bit {bit} of byte {place}");
        }
    }
}

fn whole(kind: usize) -> Photo {
    decode(&files()[kind], &SMALL).unwrap()
}

/// The files that are damaged above are sound as they are, and hold the picture that was drawn: exactly where nothing is lost.
#[test]
fn the_same_files_undamaged_are_read() {
    for kind in (0..files().len()).filter(|kind| built_in(*kind)) {
        let photo = whole(kind);
        assert!(photo.width_px > 8 && photo.height_px > 8, "kind {kind}: {} × {}", photo.width_px, photo.height_px);
        if kind >= 5 {
            continue;
        }
        assert_eq!((photo.width_px, photo.height_px), (33, 21), "kind {kind}");
        for (x, y) in [(0, 0), (32, 0), (0, 20), (32, 20), (17, 9)] {
            let codes = photo.linear(x, y).map(|light| 255.0 * colour::rgb::srgb_from_linear(f64::from(light)));
            let lossy = if kind == 0 { 25.0 } else { 0.01 };
            for (code, want) in codes.into_iter().zip([x * 7, y * 9, 80]) {
                assert!((code - f64::from(want)).abs() < lossy, "kind {kind}, {x}, {y}: {codes:?}");
            }
        }
    }
}

/// Every length a file can be cut to: none may pass for the whole picture with rows missing, and none may panic.
#[test]
fn files_cut_anywhere_are_told() {
    for (kind, file) in files().iter().enumerate() {
        let whole = decode(file, &SMALL).map(|photo| rows_of(&photo)).ok();
        for length in 0..file.len() {
            if let (Some(whole), Ok(photo)) = (&whole, answers(&file[..length]).unwrap()) {
                assert!(*whole == rows_of(&photo), "kind {kind} cut to {length} of {} bytes differs", file.len());
            }
        }
    }
}

fn rows_of(photo: &card::Photo) -> Vec<[f32; 3]> {
    (0..photo.height_px).map(|y| photo.linear(photo.width_px / 2, y)).collect()
}

/// Headers that claim far more than there is, in every kind of file, are refused at once and without memory.
#[test]
fn huge_claims_are_refused_at_once() {
    let place = |file: &[u8], what: &[u8]| file.windows(what.len()).position(|window| window == what).unwrap();
    let [jpeg, png, tiff, webp, bmp, ..] = files() else { panic!("files of every kind") };
    let mut claims: Vec<(&str, Vec<u8>)> = Vec::new();
    let mut claim = |name, file: &[u8], at: usize, bytes: &[u8]| {
        let mut file = file.to_vec();
        file[at..at + bytes.len()].copy_from_slice(bytes);
        if name == "PNG" {
            let crc = crc32(&file[12..29]).to_be_bytes();
            file[29..33].copy_from_slice(&crc);
        }
        claims.push((name, file));
    };
    // T.81 B.2.2; PNG 11.2.1; TIFF 6.0 tags 256 and 257 follow one another; BMP information header.
    claim("JPEG", jpeg, place(jpeg, &[0xFF, 0xC0]) + 5, &[0xEA, 0x60, 0xEA, 0x60]);
    claim("PNG", png, 16, &[0, 0, 0xEA, 0x60, 0, 0, 0xEA, 0x60]);
    claim("BMP", bmp, 18, &[0x60, 0xEA, 0, 0, 0x60, 0xEA, 0, 0]);
    // WebP lossless: 14 bits each of width and height less one, after the signature 0x2F.
    claim("WebP", webp, place(webp, b"VP8L") + 9, &(9999u32 | 9999 << 14).to_le_bytes());
    let mut large = tiff.clone();
    let first = 2 + u32::from_le_bytes(tiff[4..8].try_into().unwrap()) as usize;
    for entry in large[first..].chunks_exact_mut(12) {
        let tag = u16::from_le_bytes([entry[0], entry[1]]);
        if matches!(tag, 256 | 257) {
            entry.copy_from_slice(&tiff_entry(tag, 60_000));
        }
    }
    claims.push(("TIFF", large));
    // ISO/IEC 18181-1, size header: not small, height by a 30-bit number, ratio 1 : 1, all else by default.
    let bits = [vec![0, 1, 1], vec![1; 30], vec![1, 0, 0], vec![1], vec![0; 27]].concat();
    let mut jxl = vec![0xFF, 0x0A];
    jxl.extend(bits.chunks_exact(8).map(|byte| byte.iter().rev().fold(0u8, |sum, bit| sum << 1 | bit)));
    jxl.resize(200, 0);
    claims.push(("JPEG XL", jxl));
    for (name, file) in claims {
        let start = Instant::now();
        let error = decode(&file, &SMALL).unwrap_err();
        assert!(start.elapsed().as_secs_f64() < 1.0, "{name}");
        let line = error.to_string();
        assert!(REMEDIES.iter().any(|word| line.contains(word)), "{name}: {line}");
        let built_in = name != "JPEG XL" || cfg!(feature = "jxl");
        // The strips of a TIFF do not add up to such a size, which is noticed first.
        let at_odds = name == "TIFF" && matches!(error, Error::Damaged { .. });
        assert!(!built_in || at_odds || matches!(error, Error::TooLarge { .. }), "{name}: {line}");
    }
}

/// A little-endian entry of a TIFF directory: one number of 32 bits.
fn tiff_entry(tag: u16, value: u32) -> [u8; 12] {
    let mut entry = [0; 12];
    entry[..2].copy_from_slice(&tag.to_le_bytes());
    entry[2] = 4;
    entry[4] = 1;
    entry[8..].copy_from_slice(&value.to_le_bytes());
    entry
}

/// The check sum of PNG chunks (PNG specification, annex D).
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |crc, _| if crc & 1 == 1 { 0xEDB8_8320 ^ (crc >> 1) } else { crc >> 1 })
    })
}
