//! What a file holds, judged by its content, and whether all of it is there.

use crate::{Error, Result};

/// A kind of photo file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// JPEG (ITU-T T.81).
    Jpeg,
    /// PNG.
    Png,
    /// TIFF.
    Tiff,
    /// WebP.
    WebP,
    /// Windows bitmap.
    Bmp,
}

impl Kind {
    /// Its name in messages.
    pub fn name(self) -> &'static str {
        match self {
            Self::Jpeg => "JPEG",
            Self::Png => "PNG",
            Self::Tiff => "TIFF",
            Self::WebP => "WebP",
            Self::Bmp => "BMP",
        }
    }
}

/// The kind of photo in `bytes`, by its first bytes; the file's name plays no part.
///
/// # Errors
/// [`Error::Empty`], [`Error::NotAPhoto`] or, for a photo of a kind that is not read, [`Error::Unsupported`].
pub(super) fn kind_of(bytes: &[u8]) -> Result<Kind> {
    match bytes {
        [] => Err(Error::Empty),
        [0xFF, 0xD8, 0xFF, ..] => Ok(Kind::Jpeg),
        [0x89, b'P', b'N', b'G', ..] => Ok(Kind::Png),
        [b'I', b'I', 42 | 43, 0, ..] | [b'M', b'M', 0, 42 | 43, ..] => raw_in_tiff(bytes).map_or(Ok(Kind::Tiff), Err),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Ok(Kind::WebP),
        [b'B', b'M', ..] if bytes.len() >= 26 && le32(bytes, 14).is_some_and(|n| (12..=256).contains(&n)) => {
            Ok(Kind::Bmp)
        }
        _ => Err(other(bytes)),
    }
}

/// A camera's raw file often is a TIFF in its outer form.
fn raw_in_tiff(bytes: &[u8]) -> Option<Error> {
    let raw = bytes.get(8..10) == Some(b"CR");
    raw.then(|| unsupported("a camera raw file", "save the photo as a 16-bit TIFF or a full-size JPEG"))
}

fn unsupported(what: &str, instead: &str) -> Error {
    Error::Unsupported { what: what.into(), instead: instead.into() }
}

/// The error for content that is no photo of a kind that is read.
fn other(bytes: &[u8]) -> Error {
    let brand = bytes.get(4..12).unwrap_or_default();
    if brand.starts_with(b"ftyp") {
        return match &brand[4..] {
            b"heic" | b"heix" | b"mif1" | b"msf1" | b"hevc" => {
                unsupported("a HEIC photo", "save it as a full-size JPEG, or set the phone to take JPEG photos")
            }
            b"avif" | b"avis" => unsupported("an AVIF picture", "save it as a full-size JPEG or as PNG"),
            b"crx " => unsupported("a camera raw file", "save the photo as a 16-bit TIFF or a full-size JPEG"),
            _ => Error::NotAPhoto { found: "a film or another media file".into() },
        };
    }
    if bytes.starts_with(b"GIF8") {
        return unsupported("a GIF picture", "256 colours are too few; use the photo as the camera saved it");
    }
    if bytes.starts_with(&[0xFF, 0x0A]) || bytes.starts_with(&[0, 0, 0, 12, b'J', b'X', b'L']) {
        return unsupported("a JPEG XL picture", "save it as a full-size JPEG or as PNG");
    }
    let found = match bytes {
        [b'%', b'P', b'D', b'F', ..] => "a PDF document",
        [b'P', b'K', 3, 4, ..] => "a ZIP archive",
        _ if bytes.iter().take(512).all(|&b| b == 0) => "a file of zero bytes",
        _ if std::str::from_utf8(&bytes[..bytes.len().min(64)]).is_ok() => "a text file",
        _ => "a file of unknown kind",
    };
    Error::NotAPhoto { found: found.into() }
}

fn le32(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_le_bytes(bytes.get(at..at + 4)?.try_into().ok()?))
}

/// Fails when the file ends before the picture does, as decoders do not always say so.
///
/// JPEG: the end-of-image marker must follow the scans (data after it are allowed: some phones append a film).
/// WebP: the length in the header must be there. PNG, TIFF and BMP decoders find out by themselves.
pub(super) fn check_complete(kind: Kind, bytes: &[u8]) -> Result<()> {
    let detail = match kind {
        Kind::Jpeg if walk_jpeg(bytes).cut_off => format!("its end is missing after {} bytes", bytes.len()),
        Kind::WebP => match le32(bytes, 4).map(|length| u64::from(length) + 8) {
            Some(whole) if whole > bytes.len() as u64 + 1 => format!("{} bytes of {whole} are there", bytes.len()),
            _ => return Ok(()),
        },
        _ => return Ok(()),
    };
    Err(Error::Truncated { kind: kind.name(), detail })
}

/// Number of colour components in the frame header of a JPEG: 1 grey, 3 colour, 4 CMYK. `None` without a frame header.
pub(super) fn jpeg_components(bytes: &[u8]) -> Option<u8> {
    walk_jpeg(bytes).components
}

#[derive(Default)]
struct JpegWalk {
    components: Option<u8>,
    /// The bytes ran out before the end-of-image marker.
    cut_off: bool,
}

/// Walks the marker segments and the scans up to the end-of-image marker. Thumbnails inside segments are skipped.
/// Bytes that make no sense end the walk: the decoder will say so.
///
/// # Source
/// ITU-T T.81 (1992), annex B.
fn walk_jpeg(bytes: &[u8]) -> JpegWalk {
    let mut walk = JpegWalk::default();
    let mut at = 2;
    let mut in_scan = false;
    while let Some(&[first, marker]) = bytes.get(at..at + 2).and_then(|pair| pair.first_chunk::<2>()) {
        match (first, marker) {
            (0xFF, 0xD9) => return walk,
            (0xFF, 0xFF) => at += 1,
            (0xFF, 0x00 | 0x01 | 0xD0..=0xD8) => at += 2,
            (0xFF, _) => {
                let Some(length) = bytes.get(at + 2..at + 4).and_then(|pair| pair.first_chunk::<2>()) else { break };
                let is_frame = matches!(marker, 0xC0..=0xCF) && !matches!(marker, 0xC4 | 0xC8 | 0xCC);
                if is_frame {
                    walk.components = bytes.get(at + 9).copied();
                }
                in_scan |= marker == 0xDA;
                at += 2 + usize::from(u16::from_be_bytes(*length)).max(2);
            }
            _ if in_scan => match bytes[at..].iter().position(|&byte| byte == 0xFF) {
                Some(next) => at += next,
                None => break,
            },
            _ => return walk,
        }
    }
    walk.cut_off = true;
    walk
}
