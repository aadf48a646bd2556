//! Bytes that mean harm, or nothing: an answer or one line, never a panic.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

use std::io::Cursor;
use std::sync::LazyLock;
use std::time::Instant;

use card::{Error, Limits, decode};
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

/// A photo, or one line with its way out, within two seconds.
fn answers(bytes: &[u8]) -> std::result::Result<(), TestCaseError> {
    let start = Instant::now();
    let decoded = decode(bytes, &SMALL);
    let seconds = start.elapsed().as_secs_f64();
    prop_assert!(seconds < 2.0, "{seconds} s");
    match decoded {
        Ok(photo) => prop_assert!(photo.linear(0, 0).iter().all(|light| light.is_finite())),
        Err(error) => {
            let line = error.to_string();
            prop_assert!(!line.contains('\n') && REMEDIES.iter().any(|word| line.contains(word)), "{line}");
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 600,
        rng_seed: RngSeed::Fixed(20_261_125),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn random_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        answers(&bytes)?;
    }

    #[test]
    fn random_bytes_after_a_known_start_never_panic(kind in 0usize..9, tail in prop::collection::vec(any::<u8>(), 0..600)) {
        let mut bytes = files()[kind][..16].to_vec();
        bytes.extend(tail);
        answers(&bytes)?;
    }

    #[test]
    fn damaged_photos_never_panic(kind in 0usize..9, at in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12), cut in any::<prop::sample::Index>(), cutting in any::<bool>()) {
        let mut bytes = files()[kind].clone();
        for (index, value) in at {
            let place = index.index(bytes.len());
            bytes[place] = value;
        }
        if cutting {
            bytes.truncate(cut.index(bytes.len()));
        }
        answers(&bytes)?;
    }

    #[test]
    fn single_bits_flipped_never_panic(kind in 0usize..9, at in any::<prop::sample::Index>(), bit in 0u8..8) {
        let mut bytes = files()[kind].clone();
        let place = at.index(bytes.len());
        bytes[place] ^= 1 << bit;
        answers(&bytes)?;
    }
}

/// Every length a file can be cut to: none may pass for the whole picture with rows missing, and none may panic.
#[test]
fn files_cut_anywhere_are_told() {
    for (kind, file) in files().iter().enumerate() {
        let whole = decode(file, &SMALL).map(|photo| rows_of(&photo)).ok();
        for length in 0..file.len() {
            answers(&file[..length]).unwrap();
            if let (Some(whole), Ok(photo)) = (&whole, decode(&file[..length], &SMALL)) {
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
