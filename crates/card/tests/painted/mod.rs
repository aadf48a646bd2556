//! A card that these tests paint themselves, beside wood: the answer is known, as the paint is.

use std::io::Cursor;

use card::{Limits, Photo, decode, layout};
use colour::Lab;
use image::{ImageFormat, RgbImage};

/// Side of a patch pitch in the painted picture, pixels; the gap is that of the card.
pub(crate) const PITCH: u32 = 40;
pub(crate) const LEFT: u32 = 60;
pub(crate) const TOP: u32 = 50;

/// sRGB codes of a Lab colour, by `palette` (Bradford from D50 to D65), and the Lab those whole codes stand for.
pub(crate) fn paint(lab: Lab) -> ([u8; 3], Lab) {
    let xyz = colour::xyz_from_lab(lab);
    let code = colour::rgb::linear_srgb_from_xyz(xyz)
        .map(|light| (255.0 * colour::rgb::srgb_from_linear(light.clamp(0.0, 1.0))).round() as u8);
    (code, colour::rgb::lab_from_srgb8(code))
}

pub(crate) const WOOD: Lab = Lab { l: 62.0, a: 9.0, b: 26.0, white_point: std::marker::PhantomData };
pub(crate) const DARK_WOOD: Lab = Lab { l: 38.0, a: 10.0, b: 18.0, white_point: std::marker::PhantomData };

/// The chart on grey, with two fields of wood to its right whose pixels alternate about the mean.
pub(crate) fn painted() -> Photo {
    painted_at(1)
}

/// The same, each pixel drawn `scale` × `scale` large.
pub(crate) fn painted_at(scale: u32) -> Photo {
    let card = &layout::known()[0];
    let lab = &card.editions[0].lab;
    let gap = (card.gap_fraction * f64::from(PITCH)).round() as u32;
    let picture = RgbImage::from_fn(520 * scale, 280 * scale, |x, y| {
        let (x, y) = (x / scale, y / scale);
        let (cx, cy) = (x.wrapping_sub(LEFT), y.wrapping_sub(TOP));
        let on_card = cx < 6 * PITCH - gap && cy < 4 * PITCH - gap;
        let on_patch = on_card && cx % PITCH < PITCH - gap && cy % PITCH < PITCH - gap;
        let colour = if on_patch {
            paint(lab[(cy / PITCH * 6 + cx / PITCH) as usize]).0
        } else if on_card || (50..=305).contains(&x) && (40..=215).contains(&y) {
            [28, 28, 28]
        } else if x >= 340 {
            let wood = if y < 140 { paint(WOOD).0 } else { paint(DARK_WOOD).0 };
            let swing = if (x / 3 + y / 11 * 5) % 2 == 0 { 3i16 } else { -3 };
            wood.map(|code| (i16::from(code) + swing) as u8)
        } else {
            [150, 150, 150]
        };
        image::Rgb(colour)
    });
    let mut bytes = Cursor::new(Vec::new());
    image::DynamicImage::ImageRgb8(picture).write_to(&mut bytes, ImageFormat::Png).unwrap();
    decode(&bytes.into_inner(), &Limits::default()).unwrap()
}

pub(crate) fn corners() -> [[f64; 2]; 4] {
    let card = &layout::known()[0];
    let gap = (card.gap_fraction * f64::from(PITCH)).round();
    let (left, top) = (f64::from(LEFT), f64::from(TOP));
    let (right, bottom) = (left + 6.0 * f64::from(PITCH) - gap, top + 4.0 * f64::from(PITCH) - gap);
    [[left, top], [right, top], [right, bottom], [left, bottom]]
}

pub(crate) fn square(x: f64, y: f64, side: f64) -> Vec<[f64; 2]> {
    vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]]
}
