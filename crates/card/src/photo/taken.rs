//! When a photo was taken, by its EXIF data.

use exif::{Exif, In, Tag, Value};

/// The time of day as the camera's clock had it, `2026-03-05T14:02:11`, and its offset from UTC where the camera knows it,
/// `2026-03-05T14:02:11+01:00`; none where it is not noted or no time.
///
/// # Source
/// CIPA DC-008-2012 (EXIF 2.3 and later), 4.6.5 F: DateTimeOriginal `YYYY:MM:DD HH:MM:SS`, else DateTimeDigitized, each with its
/// OffsetTime `±HH:MM` (EXIF 2.31).
pub(super) fn taken(exif: &Exif) -> Option<String> {
    let times = [(Tag::DateTimeOriginal, Tag::OffsetTimeOriginal), (Tag::DateTimeDigitized, Tag::OffsetTimeDigitized)];
    times.into_iter().find_map(|(time, offset)| {
        let time = rfc_3339(text(exif, time)?)?;
        let offset = text(exif, offset).filter(|offset| is_offset(offset)).unwrap_or_default();
        Some(time + offset)
    })
}

fn text(exif: &Exif, tag: Tag) -> Option<&str> {
    match &exif.get_field(tag, In::PRIMARY)?.value {
        Value::Ascii(texts) => std::str::from_utf8(texts.first()?).ok().map(str::trim),
        _ => None,
    }
}

/// `2026:03:05 14:02:11` to `2026-03-05T14:02:11`.
fn rfc_3339(text: &str) -> Option<String> {
    if !fits(text, "dddd:dd:dd dd:dd:dd") {
        return None;
    }
    let number = |from: usize| text.get(from..from + 2)?.parse::<u8>().ok();
    let sound = (1..=12).contains(&number(5)?)
        && (1..=31).contains(&number(8)?)
        && number(11)? < 24
        && number(14)? < 60
        && number(17)? <= 60;
    let (date, time) = text.split_once(' ')?;
    sound.then(|| format!("{}T{time}", date.replace(':', "-")))
}

fn is_offset(text: &str) -> bool {
    text.len() == 6 && text.starts_with(['+', '-']) && fits(text.get(1..).unwrap_or_default(), "dd:dd")
}

/// Whether a text has digits where a pattern has `d`, and the pattern's own signs elsewhere.
fn fits(text: &str, pattern: &str) -> bool {
    text.len() == pattern.len()
        && text
            .bytes()
            .zip(pattern.bytes())
            .all(|(is, want)| if want == b'd' { is.is_ascii_digit() } else { is == want })
}
