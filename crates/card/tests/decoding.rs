//! Decoding, checked against files these tests write themselves.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests")]

use std::io::Cursor;

use card::photo::{Area, Kind, ProfileOrigin};
use card::{Error, Limits, Photo, decode};
use image::{ExtendedColorType, ImageEncoder, ImageFormat, RgbImage};

fn read(bytes: &[u8]) -> Photo {
    decode(bytes, &Limits::default()).unwrap()
}

fn file(picture: &image::DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

/// Smooth enough to survive JPEG, different everywhere.
fn slope(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| image::Rgb([(40 + x * 2) as u8, (60 + y * 2) as u8, 90]))
}

/// EXIF data with nothing but the orientation, as bytes of a TIFF directory (EXIF 2.32, 4.5 and 4.6.4 A).
fn exif(orientation: u8) -> Vec<u8> {
    let mut bytes = b"MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
    bytes.extend([orientation, 0, 0, 0, 0, 0, 0]);
    bytes
}

/// An odd size, so that blocks at the far edges are smaller: they must lie right and bottom, however it is stored.
#[test]
fn blocks_are_counted_from_the_upright_corner() {
    for orientation in 1..=8u8 {
        let (width, height) = if orientation < 5 { (7, 5) } else { (5, 7) };
        let picture = RgbImage::from_fn(width, height, |x, y| image::Rgb([(x * 30) as u8, (y * 30) as u8, 99]));
        let mut bytes = Vec::new();
        let mut encoder = image::codecs::png::PngEncoder::new(&mut bytes);
        encoder.set_exif_metadata(exif(orientation)).unwrap();
        encoder.write_image(&picture, width, height, ExtendedColorType::Rgb8).unwrap();
        let photo = read(&bytes);
        let shown = photo.picture(photo.whole(), 3).unwrap();
        assert_eq!((shown.width, shown.height, shown.factor), (3, 2, 3));
        for (bx, by) in [(0, 0), (2, 0), (2, 1)] {
            let (mut sum, mut count) = (0.0f64, 0.0);
            for y in by * 3..(by * 3 + 3).min(5) {
                for x in bx * 3..(bx * 3 + 3).min(7) {
                    sum += f64::from(photo.linear(x, y)[0]);
                    count += 1.0;
                }
            }
            let want = 255.0 * colour::rgb::srgb_from_linear(sum / count);
            let got = f64::from(shown.rgb[(3 * (by * 3 + bx)) as usize]);
            assert!((got - want).abs() <= 1.0, "orientation {orientation}, block {bx},{by}: {got}, {want}");
        }
    }
}

#[test]
fn kinds_are_told_by_content_and_say_what_profile_was_taken() {
    let picture = image::DynamicImage::ImageRgb8(slope(40, 30));
    for (format, kind) in [
        (ImageFormat::Jpeg, Kind::Jpeg),
        (ImageFormat::Png, Kind::Png),
        (ImageFormat::Tiff, Kind::Tiff),
        (ImageFormat::WebP, Kind::WebP),
        (ImageFormat::Bmp, Kind::Bmp),
    ] {
        let photo = read(&file(&picture, format));
        assert_eq!(photo.kind, kind);
        assert_eq!((photo.width_px, photo.height_px, photo.bits()), (40, 30, 8));
        assert_eq!(photo.profile.origin, ProfileOrigin::Assumed);
        let off = f64::from(photo.linear(10, 20)[1]) - colour::rgb::linear_from_srgb(100.0 / 255.0);
        assert!(off.abs() < 0.01, "{kind:?}: {off}");
    }
}

#[test]
fn sixteen_bits_are_kept_and_follow_the_curve() {
    let picture = image::ImageBuffer::<image::Rgb<u16>, Vec<u16>>::from_fn(9, 7, |x, _| {
        image::Rgb([20_001 + x as u16, 300, 65_535])
    });
    for format in [ImageFormat::Png, ImageFormat::Tiff] {
        let photo = read(&file(&image::DynamicImage::ImageRgb16(picture.clone()), format));
        assert_eq!(photo.bits(), 16);
        let off = f64::from(photo.linear(3, 2)[0]) - colour::rgb::linear_from_srgb(20_004.0 / 65_535.0);
        assert!(off.abs() < 1e-6, "{format:?}: {off}");
        assert!(photo.linear(3, 2)[0] > photo.linear(2, 2)[0], "neighbouring 16-bit codes must differ");
        assert_eq!(photo.clipped(3, 2), [false, false, true]);
    }
}

/// The last hundredth of the range is ragged and counts as clipped (`CLIPPED_FROM`): 254 of 255 does, 240 does not.
#[test]
fn the_ragged_top_of_the_range_is_clipped() {
    let picture = RgbImage::from_pixel(4, 4, image::Rgb([254, 240, 255]));
    assert_eq!(
        read(&file(&image::DynamicImage::ImageRgb8(picture), ImageFormat::Png)).clipped(1, 1),
        [true, false, true]
    );
}

/// A transparent pixel has no colour to tell, whatever is stored for it; it is known where it lies in the upright photo.
#[test]
fn transparent_pixels_are_known() {
    let picture = image::RgbaImage::from_pixel(5, 4, image::Rgba([200, 100, 50, 7]));
    let photo = read(&file(&image::DynamicImage::ImageRgba8(picture), ImageFormat::Png));
    let opaque = RgbImage::from_pixel(5, 4, image::Rgb([200, 100, 50]));
    let same = read(&file(&image::DynamicImage::ImageRgb8(opaque), ImageFormat::Png));
    assert_eq!(photo.linear(4, 3), same.linear(4, 3));
    assert!(photo.transparent(4, 3) && !same.transparent(4, 3));
    let part =
        image::RgbaImage::from_fn(5, 4, |x, y| image::Rgba([200, 100, 50, if x < 2 && y == 3 { 0 } else { 255 }]));
    let eight = image::DynamicImage::ImageRgba8(part);
    let sixteen = image::DynamicImage::ImageRgba16(eight.to_rgba16());
    for (picture, format) in [(&eight, ImageFormat::Png), (&sixteen, ImageFormat::Png), (&eight, ImageFormat::Tiff)] {
        let photo = read(&file(picture, format));
        let marked = (0..20).filter(|k| photo.transparent(k % 5, k / 5)).collect::<Vec<_>>();
        assert_eq!(marked, [15, 16], "{format:?}");
    }
    // own judgement: what is opaque by 250 of 255 or more shows nothing of what lies behind
    let nearly = image::RgbaImage::from_fn(4, 1, |x, _| image::Rgba([200, 100, 50, [249, 250, 254, 255][x as usize]]));
    let eight = image::DynamicImage::ImageRgba8(nearly);
    for picture in [image::DynamicImage::ImageRgba16(eight.to_rgba16()), eight] {
        let photo = read(&file(&picture, ImageFormat::Png));
        assert_eq!([0, 1, 2, 3].map(|x| photo.transparent(x, 0)), [true, false, false, false]);
    }
}

/// A black and white chequer at 1 pixel looks, from a distance, as bright as half the light: code 188, not 128
/// (IEC 61966-2-1: 0.5 encodes to 0.7354 · 255 = 187.5).
#[test]
fn smaller_pictures_are_averaged_in_linear_light() {
    let picture =
        RgbImage::from_fn(64, 64, |x, y| if (x + y) % 2 == 0 { image::Rgb([255; 3]) } else { image::Rgb([0; 3]) });
    let photo = read(&file(&image::DynamicImage::ImageRgb8(picture), ImageFormat::Png));
    let shown = photo.picture(photo.whole(), 16).unwrap();
    assert_eq!((shown.width, shown.height), (16, 16));
    assert!(shown.rgb.iter().all(|&code| (187..=188).contains(&code)), "{}", shown.rgb[0]);
    assert_eq!(photo.picture(Area { x: 64, y: 0, width: 10, height: 10 }, 16), None);
}

fn with_profile(code: [u8; 3], profile: &moxcms::ColorProfile) -> Photo {
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    encoder.set_icc_profile(profile.encode().unwrap()).unwrap();
    encoder.write_image(&RgbImage::from_pixel(8, 8, image::Rgb(code)), 8, 8, ExtendedColorType::Rgb8).unwrap();
    read(&bytes)
}

/// P3 green of SMPTE RP 431-2 (x = 0.265, y = 0.690) and its red (0.680, 0.320), white D65, must come out at those
/// chromaticities, and a colour both spaces hold must give one XYZ. sRGB primaries: IEC 61966-2-1 (0.64, 0.33 …).
#[test]
fn an_embedded_profile_is_followed() {
    let xyz = |photo: &Photo| photo.working().xyz_from_rgb * nalgebra::Vector3::from(photo.linear(0, 0).map(f64::from));
    let p3 = moxcms::ColorProfile::new_display_p3();
    for (code, x, y) in [([0, 255, 0], 0.265, 0.690), ([255, 0, 0], 0.680, 0.320)] {
        let photo = with_profile(code, &p3);
        assert_eq!(photo.profile.origin, ProfileOrigin::Embedded);
        // XYZ is relative to D50; taken back to D65 by the inverse of linear Bradford (ICC.1:2022, annex E).
        let d65 = nalgebra::Matrix3::new(1.0479, 0.0229, -0.0502, 0.0296, 0.9904, -0.0171, -0.0092, 0.0151, 0.7519)
            .try_inverse()
            .unwrap()
            * xyz(&photo);
        let sum = d65.sum();
        assert!((d65.x / sum - x).abs() < 1e-3 && (d65.y / sum - y).abs() < 1e-3, "{code:?}: {d65}");
    }
    // A colour well inside both: the P3 codes come from the published primaries by hand, the sRGB codes are their own.
    let srgb = with_profile([180, 120, 80], &moxcms::ColorProfile::new_srgb());
    let want = xyz(&srgb);
    let p3_from_srgb = nalgebra::Matrix3::new(0.8225, 0.1774, 0.0, 0.0332, 0.9669, 0.0, 0.0171, 0.0724, 0.9108);
    let linear =
        p3_from_srgb * nalgebra::Vector3::from([180.0, 120.0, 80.0].map(|c| colour::rgb::linear_from_srgb(c / 255.0)));
    let code = [0, 1, 2].map(|k| (colour::rgb::srgb_from_linear(linear[k]) * 255.0).round() as u8);
    let got = xyz(&with_profile(code, &p3));
    assert!((got - want).amax() < 0.004, "half a code: {got} against {want}");
    assert_ne!(code, [180, 120, 80]);
}

#[test]
fn a_profile_that_cannot_be_read_is_said_and_not_followed() {
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    encoder.set_icc_profile(b"not a profile at all".repeat(20)).unwrap();
    encoder.write_image(&slope(8, 8), 8, 8, ExtendedColorType::Rgb8).unwrap();
    assert_eq!(read(&bytes).profile.origin, ProfileOrigin::Unreadable);
}

fn refused(bytes: &[u8]) -> Error {
    let error = decode(bytes, &Limits::default()).unwrap_err();
    assert!(!error.to_string().contains('\n'), "one line: {error}");
    error
}

#[test]
fn bad_files_each_give_one_clear_line() {
    let jpeg = file(&image::DynamicImage::ImageRgb8(slope(90, 60)), ImageFormat::Jpeg);
    assert_eq!(refused(b""), Error::Empty);
    assert!(matches!(refused(&jpeg[..jpeg.len() / 2]), Error::Truncated { kind: "JPEG", .. }));
    assert!(matches!(refused(&jpeg[..jpeg.len() - 2]), Error::Truncated { .. }), "the end of image is missing");
    let pasted = [&jpeg[..jpeg.len() / 2], &[0xFF, 0xD9]].concat();
    assert!(matches!(refused(&pasted), Error::Truncated { .. } | Error::Damaged { .. }), "half would be grey");
    let png = file(&image::DynamicImage::ImageRgb8(slope(90, 60)), ImageFormat::Png);
    assert!(matches!(refused(&png[..png.len() / 2]), Error::Truncated { .. } | Error::Damaged { .. }));
    let tiff = file(&image::DynamicImage::ImageRgb8(slope(90, 60)), ImageFormat::Tiff);
    assert!(matches!(refused(&tiff[..tiff.len() / 2]), Error::Truncated { .. } | Error::Damaged { .. }));
    let webp = file(&image::DynamicImage::ImageRgb8(slope(90, 60)), ImageFormat::WebP);
    assert!(matches!(refused(&webp[..webp.len() / 2]), Error::Truncated { .. }));
    assert!(matches!(refused(b"Dear reader, this is a letter."), Error::NotAPhoto { found } if found == "a text file"));
    assert!(matches!(refused(b"%PDF-1.7 \x00\xff\xfe"), Error::NotAPhoto { found } if found == "a PDF document"));
    assert!(
        matches!(refused(b"\0\0\0\x18ftypmif1\0\0\0\0mif1avif"), Error::Unsupported { what, .. } if what == "an AVIF picture")
    );
    assert!(
        matches!(refused(b"\0\0\0\x18ftypcrx \0\0\0\0crx isom"), Error::Unsupported { what, .. } if what == "a camera raw file")
    );
    assert!(matches!(refused(b"\0\0\0\x18ftypmp42\0\0\0\0mp42isom"), Error::NotAPhoto { .. }));
    let grey = image::GrayImage::from_pixel(20, 20, image::Luma([90]));
    assert!(matches!(
        refused(&file(&image::DynamicImage::ImageLuma8(grey), ImageFormat::Jpeg)),
        Error::Unsupported { .. }
    ));
}

/// Bytes lost or altered in the middle of a JPEG are no end cut off; and what a PNG's header claims is answered in our words, not its
/// decoder's (PNG specification, 11.2.2: width, height, a check sum behind).
#[test]
fn what_is_damaged_is_told_in_plain_words() {
    let jpeg = file(&image::DynamicImage::ImageRgb8(slope(300, 200)), ImageFormat::Jpeg);
    let middle = jpeg.len() / 2;
    let gap = [&jpeg[..middle], &jpeg[middle + 600..]].concat();
    let marker = [&jpeg[..middle], &[0xFF, 0x77, 0, 4], &jpeg[middle + 4..]].concat();
    for (altered, why) in
        [(gap, "part of its picture data is lost or altered"), (marker, "its picture data make no sense")]
    {
        assert!(refused(&altered).to_string().starts_with(&format!("the JPEG is damaged ({why}): copy it")), "{why}");
    }
    let png = file(&image::DynamicImage::ImageRgb8(slope(90, 60)), ImageFormat::Png);
    let claiming = |width: u32, height: u32| {
        let mut png = png.clone();
        png[16..20].copy_from_slice(&width.to_be_bytes());
        png[20..24].copy_from_slice(&height.to_be_bytes());
        refused(&png)
    };
    for (width, height) in [(0x7FFF_FFFF, 0x7FFF_FFFF), (0x7FFF_FFFF, 9), (60_000, 60_000)] {
        assert!(matches!(claiming(width, height), Error::TooLarge { width_px, .. } if width_px == width));
    }
    for (width, height) in [(0, 0), (0, 7), (7, 0)] {
        let line = claiming(width, height).to_string();
        assert!(line.contains("it has no pixels") && line.contains("copy it"), "{line}");
    }
    assert!(claiming(91, 60).to_string().contains("its picture data make no sense"), "{}", claiming(91, 60));
}

/// Data after the end of the picture are no fault: phones append films there.
#[test]
fn a_film_after_the_picture_is_allowed() {
    let mut jpeg = file(&image::DynamicImage::ImageRgb8(slope(90, 60)), ImageFormat::Jpeg);
    jpeg.extend(b"\0\0\0\x18ftypmp42 and so on".repeat(9));
    assert_eq!(read(&jpeg).width_px, 90);
}

/// The frame header of a small JPEG patched to 60 000 × 60 000 (T.81, B.2.2: height and width after the precision),
/// and to four components.
#[test]
fn a_huge_header_is_refused_before_memory_is_taken() {
    let mut jpeg = file(&image::DynamicImage::ImageRgb8(slope(64, 64)), ImageFormat::Jpeg);
    let frame = jpeg.windows(2).position(|pair| pair == [0xFF, 0xC0]).unwrap();
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0xEA, 0x60, 0xEA, 0x60]);
    let start = std::time::Instant::now();
    assert!(matches!(refused(&jpeg), Error::TooLarge { width_px: 60_000, height_px: 60_000, .. }));
    assert!(start.elapsed().as_secs_f64() < 1.0);
    jpeg[frame + 9] = 4;
    assert!(matches!(refused(&jpeg), Error::Unsupported { .. }), "CMYK");
}
