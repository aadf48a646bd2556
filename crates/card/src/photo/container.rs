//! What a file holds, judged by its content, and whether all of it is there.

use super::ColourSteps;
use super::stored::unsupported;
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
    /// HEIC (ISO/IEC 23008-12 with HEVC).
    Heic,
    /// JPEG XL (ISO/IEC 18181).
    JpegXl,
    /// Camera raw, or DNG.
    Raw,
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
            Self::Heic => "HEIC",
            Self::JpegXl => "JPEG XL",
            Self::Raw => "camera raw file",
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
        [b'I', b'I', 42 | 43, 0, ..] | [b'M', b'M', 0, 42 | 43, ..] if is_raw_in_tiff(bytes) => Ok(Kind::Raw),
        [b'I', b'I', 42 | 43, 0, ..] | [b'M', b'M', 0, 42 | 43, ..] => Ok(Kind::Tiff),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Ok(Kind::WebP),
        [b'B', b'M', ..] if bytes.len() >= 26 && le32(bytes, 14).is_some_and(|n| (12..=256).contains(&n)) => {
            Ok(Kind::Bmp)
        }
        [0xFF, 0x0A, ..] | [0, 0, 0, 12, b'J', b'X', b'L', ..] => Ok(Kind::JpegXl),
        [_, _, _, _, b'f', b't', b'y', b'p', ..] => media(bytes),
        _ if is_raw_of_its_own(bytes) => Ok(Kind::Raw),
        _ => Err(other(bytes)),
    }
}

/// Whether it is a raw file of a form of its own, by its first words.
fn is_raw_of_its_own(bytes: &[u8]) -> bool {
    matches!(bytes, [b'I', b'I', b'R' | b'U', ..] | [b'M', b'M', b'O', b'R', ..])
        || bytes.get(8..15) == Some(b"CCD-RAW")
}

/// What an ISO base media file holds, by the brands that its first box names.
///
/// # Source
/// ISO/IEC 14496-12, 4.3; brands: ISO/IEC 23008-12, annex B.
fn media(bytes: &[u8]) -> Result<Kind> {
    let length = bytes.first_chunk::<4>().map_or(0, |length| u32::from_be_bytes(*length) as usize);
    let brands = bytes.get(8..length.clamp(12, 256).min(bytes.len())).unwrap_or_default();
    // The second of the four-letter words is a version.
    let brands: Vec<&[u8]> =
        brands.chunks_exact(4).enumerate().filter(|(k, _)| *k != 1).map(|(_, word)| word).collect();
    let has = |wanted: &[&[u8; 4]]| brands.iter().any(|brand| wanted.iter().any(|wanted| brand == wanted));
    if has(&[b"avif", b"avis"]) {
        return Err(unsupported("an AVIF picture", "save it as a full-size JPEG or as PNG"));
    }
    if has(&[b"crx "]) {
        return Ok(Kind::Raw);
    }
    if has(&[b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"]) {
        return Ok(Kind::Heic);
    }
    Err(Error::NotAPhoto { found: "a film or another media file".into() })
}

/// Whether a file in the form of a TIFF is a camera's raw file or a DNG: its first directory states a DNG version, holds
/// sensor values, or but a small preview of a picture that lies in a directory below.
///
/// # Source
/// TIFF 6.0, section 2; tags 254 NewSubfileType, 262 PhotometricInterpretation, 330 SubIFDs (TIFF Tech Note 1),
/// 50706 DNGVersion, photometric 32803 colour filter array and 34892 linear raw (DNG 1.7).
fn is_raw_in_tiff(bytes: &[u8]) -> bool {
    let big_endian = bytes.first() == Some(&b'M');
    let short = |at: usize| -> Option<u16> {
        let pair = *bytes.get(at..)?.first_chunk::<2>()?;
        Some(if big_endian { u16::from_be_bytes(pair) } else { u16::from_le_bytes(pair) })
    };
    let long = |at: usize| -> Option<u32> {
        let four = *bytes.get(at..)?.first_chunk::<4>()?;
        Some(if big_endian { u32::from_be_bytes(four) } else { u32::from_le_bytes(four) })
    };
    if short(2) != Some(42) {
        return false;
    }
    let Some(directory) = long(4).map(|at| at as usize) else { return false };
    let entries = usize::from(short(directory).unwrap_or(0));
    let (mut preview, mut below, mut sensor) = (false, false, bytes.get(8..10) == Some(b"CR"));
    for entry in (0..entries).map(|k| directory + 2 + 12 * k) {
        let Some(tag) = short(entry) else { break };
        // A value of 16 bits stands first in its field; so does the low half of a small one of 32 bits in little endian.
        let value = match short(entry + 2) {
            Some(4) => long(entry + 8).unwrap_or(0),
            _ => short(entry + 8).map_or(0, u32::from),
        };
        match tag {
            254 => preview = value & 1 == 1,
            262 => sensor |= matches!(value, 32_803 | 34_892),
            330 => below = true,
            50_706 => sensor = true,
            _ => {}
        }
    }
    sensor || (preview && below)
}

/// The error for content that is no photo of a kind that is read.
fn other(bytes: &[u8]) -> Error {
    if bytes.starts_with(b"GIF8") {
        return unsupported("a GIF picture", "256 colours are too few; use the photo as the camera saved it");
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

/// Width and height as a PNG's header states them.
///
/// # Source
/// PNG specification (ISO/IEC 15948), 11.2.2.
pub(super) fn png_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let header = bytes.get(12..24)?.strip_prefix(b"IHDR")?;
    let number = |at: usize| header.get(at..at + 4)?.first_chunk::<4>().map(|four| u32::from_be_bytes(*four));
    number(0).zip(number(4))
}

/// Fails when the file ends before the picture does, as decoders do not always say so.
///
/// JPEG: the end-of-image marker must follow the scans (data after it are allowed: some phones append a film). A file
/// without it has lost its end on the way, and nothing tells a lost marker from lost rows or lost scans.
/// WebP: the length in the header must be there. The other decoders find out by themselves.
pub(super) fn check_complete(kind: Kind, bytes: &[u8]) -> Result<()> {
    let detail = match kind {
        Kind::Jpeg if jpeg_frame(bytes).end.is_none() => format!("its end is missing after {} bytes", bytes.len()),
        Kind::WebP => match le32(bytes, 4).map(|length| u64::from(length) + 8) {
            Some(whole) if whole > bytes.len() as u64 + 1 => format!("{} bytes of {whole} are there", bytes.len()),
            _ => return Ok(()),
        },
        _ => return Ok(()),
    };
    Err(Error::Truncated { kind: kind.name(), detail })
}

/// Bytes between two segments of a JPEG that are passed over: some cameras pad them.
const MOST_STRAY_BYTES: usize = 4096;

/// What the markers of a JPEG tell.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct JpegFrame {
    /// Components in the frame header: 1 grey, 3 colour, 4 CMYK; 0 without a frame header.
    pub(super) components: u8,
    /// Each block is coded in one go, not in scans that refine one another.
    pub(super) sequential: bool,
    /// Of each component in turn, how many samples across and down it has, four bits each.
    sampling: [u8; 3],
    /// Of each component in turn, which quantisation table is its own.
    table_of: [u8; 3],
    /// First entry of each quantisation table: the step of the mean of a block, in eighths of a code.
    steps: [u16; 4],
    /// Where the end-of-image marker stands.
    pub(super) end: Option<usize>,
}

impl JpegFrame {
    /// Steps between two values that the mean of a block can have, in each of the two components of colour.
    ///
    /// # Source
    /// ITU-T T.81 (1992), A.1.1 (how components are sampled), A.3.3 (the first coefficient is eight times the mean) and A.3.4 (its step).
    pub(super) fn colour_steps(&self) -> ColourSteps {
        let [most, blue, _] = self.sampling.map(|both| [both >> 4, both & 15].map(u32::from));
        let wider = [0, 1].map(|axis| most[axis] / blue[axis].max(1)).into_iter().max();
        ColourSteps {
            codes: [1, 2].map(|k| f64::from(self.steps[usize::from(self.table_of[k] & 3)]) / 8.0),
            block_px: 8 * wider.unwrap_or(1).max(1),
        }
    }

    /// Takes in a segment of quantisation tables: each a byte of precision and number, then 64 entries.
    fn take_tables(&mut self, mut segment: &[u8]) {
        while let Some((&[head, first, second], rest)) = segment.split_first_chunk::<3>() {
            let [wide, table] = [head >> 4, head & 3].map(usize::from);
            self.steps[table] = if wide == 0 { first.into() } else { u16::from_be_bytes([first, second]) };
            segment = rest.get(64 * (1 + wide.min(1)) - 2..).unwrap_or_default();
        }
    }
}

/// Walks the marker segments and the scans up to the end-of-image marker. Thumbnails inside segments are skipped.
/// A few stray bytes between segments are passed over.
///
/// # Source
/// ITU-T T.81 (1992), annex B.
pub(super) fn jpeg_frame(bytes: &[u8]) -> JpegFrame {
    let mut frame = JpegFrame::default();
    let mut at = 2;
    let mut in_scan = false;
    while let Some(&[first, marker]) = bytes.get(at..at + 2).and_then(|pair| pair.first_chunk::<2>()) {
        match (first, marker) {
            (0xFF, 0xD9) => return JpegFrame { end: Some(at), ..frame },
            (0xFF, 0xFF) => at += 1,
            (0xFF, 0x00 | 0x01 | 0xD0..=0xD8) => at += 2,
            (0xFF, _) => {
                let Some(length) = bytes.get(at + 2..at + 4).and_then(|pair| pair.first_chunk::<2>()) else { break };
                let is_frame = matches!(marker, 0xC0..=0xCF) && !matches!(marker, 0xC4 | 0xC8 | 0xCC);
                if is_frame {
                    frame.components = bytes.get(at + 9).copied().unwrap_or(0);
                    frame.sequential = matches!(marker, 0xC0 | 0xC1);
                    let of_each = |first: usize| [0, 3, 6].map(|k| bytes.get(at + first + k).copied().unwrap_or(0));
                    (frame.sampling, frame.table_of) = (of_each(11), of_each(12));
                }
                let whole = usize::from(u16::from_be_bytes(*length)).max(2);
                if let (0xDB, Some(segment)) = (marker, bytes.get(at + 4..at + 2 + whole)) {
                    frame.take_tables(segment);
                }
                in_scan |= marker == 0xDA;
                at += 2 + whole;
            }
            _ => match bytes[at..].iter().position(|&byte| byte == 0xFF) {
                Some(next) if in_scan || next <= MOST_STRAY_BYTES => at += next,
                _ => break,
            },
        }
    }
    frame
}
