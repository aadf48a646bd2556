//! Colour profiles: stored codes to linear working RGB.

use colour::calibration::Working;
use colour::rgb::linear_from_srgb;
use moxcms::{ColorProfile, DataColorSpace, ProfileText, ToneReprCurve};
use nalgebra::Matrix3;

use super::stored::Named;
use super::tables::Tables;

/// The colour profile that was followed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Profile {
    /// Its own description, or 'sRGB'.
    pub name: String,
    /// Where it comes from.
    pub origin: ProfileOrigin,
}

/// Where a photo's profile comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ProfileOrigin {
    /// Embedded in the file as an ICC profile, or named in its header.
    Embedded,
    /// Named by the camera in the EXIF data.
    Exif,
    /// The file has none: sRGB is assumed.
    Assumed,
    /// The file has one that cannot be read: sRGB is assumed in its place.
    Unreadable,
}

/// Stored codes to linear working RGB (the sRGB primaries, unbounded).
#[derive(Clone, Debug)]
pub(super) struct Decoding {
    /// Linear light by code, per channel, 0..=1.
    pub(super) curves: [Vec<f32>; 3],
    /// From the profile's primaries to the working ones; `None` where they are the same.
    pub(super) to_working: Option<Matrix3<f32>>,
}

/// How a profile is followed.
pub(super) enum Way {
    /// By curves and a matrix: codes stay as they are.
    Curves(Decoding),
    /// By tables: codes are taken through them first.
    Tables(Tables),
}

/// The profile to follow and the way for `codes` codes per channel (256 or 65 536): tables go before a matrix and curves. sRGB
/// where the profile cannot be read or is not one of RGB.
pub(super) fn way(icc: Option<&[u8]>, named: Named, codes: usize) -> (Profile, Way) {
    let curves = |(profile, decoding)| (profile, Way::Curves(decoding));
    let Some(icc) = icc else { return curves(of_name(named, codes)) };
    let of_rgb = ColorProfile::new_from_slice(icc).ok().filter(|profile| profile.color_space == DataColorSpace::Rgb);
    let followed = of_rgb.and_then(|profile| {
        let way = Tables::of(&profile, icc).map(Way::Tables);
        let way = way.or_else(|| matrix_shaper(&profile, codes).map(Way::Curves))?;
        let name = described(&profile).unwrap_or_else(|| "a profile without a name".into());
        Some((Profile { name, origin: ProfileOrigin::Embedded }, way))
    });
    followed.unwrap_or_else(|| curves(srgb(ProfileOrigin::Unreadable, codes)))
}

fn of_name(named: Named, codes: usize) -> (Profile, Decoding) {
    let (name, origin, profile) = match named {
        Named::Nothing => return srgb(ProfileOrigin::Assumed, codes),
        Named::AdobeRgb => ("Adobe RGB (1998)", ProfileOrigin::Exif, ColorProfile::new_adobe_rgb()),
        #[cfg(feature = "heic")]
        Named::Srgb => return srgb(ProfileOrigin::Embedded, codes),
        #[cfg(feature = "heic")]
        Named::DisplayP3 => ("Display P3", ProfileOrigin::Embedded, ColorProfile::new_display_p3()),
        #[cfg(feature = "raw")]
        Named::Camera(to_srgb) => return of_camera(&to_srgb, codes),
    };
    match matrix_shaper(&profile, codes) {
        Some(decoding) => (Profile { name: name.into(), origin }, decoding),
        None => srgb(ProfileOrigin::Assumed, codes),
    }
}

/// Codes that are light itself, in a camera's colours.
#[cfg(feature = "raw")]
fn of_camera(to_srgb: &Matrix3<f64>, codes: usize) -> (Profile, Decoding) {
    let top = (codes - 1) as f32;
    let curve: Vec<f32> = (0..codes).map(|code| code as f32 / top).collect();
    let to_working = Some(to_srgb.map(|value| value as f32));
    let decoding = Decoding { curves: [curve.clone(), curve.clone(), curve], to_working };
    (Profile { name: "the camera's own".into(), origin: ProfileOrigin::Embedded }, decoding)
}

fn srgb(origin: ProfileOrigin, codes: usize) -> (Profile, Decoding) {
    let top = (codes - 1) as f64;
    let curve: Vec<f32> = (0..codes).map(|code| linear_from_srgb(code as f64 / top) as f32).collect();
    let decoding = Decoding { curves: [curve.clone(), curve.clone(), curve], to_working: None };
    (Profile { name: "sRGB".into(), origin }, decoding)
}

/// Curves and matrix of a matrix/TRC profile; `None` where it has none or they make no sense.
///
/// # Source
/// ICC.1:2022, F.3: connection = colorant matrix × linear RGB, relative to D50.
pub(super) fn matrix_shaper(profile: &ColorProfile, codes: usize) -> Option<Decoding> {
    let curve = |trc: &Option<ToneReprCurve>| -> Option<Vec<f32>> {
        let evaluator = trc.as_ref()?.make_linear_evaluator().ok()?;
        let top = (codes - 1) as f32;
        let curve: Vec<f32> = (0..codes).map(|code| evaluator.evaluate_value(code as f32 / top)).collect();
        let sound = curve.iter().all(|light| light.is_finite()) && curve[codes - 1] > curve[0];
        sound.then(|| curve.into_iter().map(|light| light.clamp(0.0, 1.0)).collect())
    };
    let curves = [curve(&profile.red_trc)?, curve(&profile.green_trc)?, curve(&profile.blue_trc)?];
    let v = profile.rgb_to_xyz_matrix().v;
    let xyz_from_rgb = Matrix3::from_fn(|row, column| v[row][column]);
    xyz_from_rgb.try_inverse()?;
    let to_working = Working::srgb().xyz_from_rgb.try_inverse()? * xyz_from_rgb;
    if to_working.iter().any(|value| !value.is_finite() || value.abs() > 10.0) {
        return None;
    }
    // Profiles of sRGB differ in the last digits of their colorants.
    let same = (to_working - Matrix3::identity()).amax() < 1e-3;
    Some(Decoding { curves, to_working: (!same).then(|| to_working.map(|value| value as f32)) })
}

fn described(profile: &ColorProfile) -> Option<String> {
    let text = match profile.description.as_ref()? {
        ProfileText::PlainString(text) => text.clone(),
        ProfileText::Localizable(texts) => {
            texts.iter().find(|text| text.language == "en").or(texts.first())?.value.clone()
        }
        ProfileText::Description(text) if text.ascii_string.trim().is_empty() => text.unicode_string.clone(),
        ProfileText::Description(text) => text.ascii_string.clone(),
    };
    let text: String = text.chars().filter(|c| !c.is_control()).take(80).collect();
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}
