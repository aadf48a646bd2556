//! Bytes that mean harm, or nothing: an answer or one line, never a panic.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

use std::io::Cursor;

use card::{Limits, decode};
use image::{ImageFormat, RgbImage};
use proptest::prelude::*;

const SMALL: Limits = Limits { most_megapixels: 4 };

fn files() -> Vec<Vec<u8>> {
    let picture =
        image::DynamicImage::ImageRgb8(RgbImage::from_fn(33, 21, |x, y| image::Rgb([x as u8 * 7, y as u8 * 9, 80])));
    [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::Tiff, ImageFormat::WebP, ImageFormat::Bmp]
        .into_iter()
        .map(|format| {
            let mut bytes = Cursor::new(Vec::new());
            picture.write_to(&mut bytes, format).unwrap();
            bytes.into_inner()
        })
        .collect()
}

fn answers(bytes: &[u8]) -> std::result::Result<(), TestCaseError> {
    match decode(bytes, &SMALL) {
        Ok(photo) => prop_assert!(photo.linear(0, 0).iter().all(|light| light.is_finite())),
        Err(error) => {
            let line = error.to_string();
            prop_assert!(!line.is_empty() && !line.contains('\n'), "{line}");
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        answers(&bytes)?;
    }

    #[test]
    fn random_bytes_after_a_known_start_never_panic(kind in 0usize..5, tail in prop::collection::vec(any::<u8>(), 0..600)) {
        let mut bytes = files()[kind][..16].to_vec();
        bytes.extend(tail);
        answers(&bytes)?;
    }

    #[test]
    fn damaged_photos_never_panic(kind in 0usize..5, at in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12), cut in any::<prop::sample::Index>(), cutting in any::<bool>()) {
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
}
