//! How coarsely colour was rounded in a JPEG that the picture was before it was saved as it is.
//!
//! A file's own tables say how it was rounded last. A copy that was heavily compressed and then saved again, finely or without loss, keeps
//! the colours that were rounded first: the mean blueness and redness of its blocks, of which only multiples of one step occur. Where it
//! was cut in between and saved again less than finely, these blocks may not be found.

use rayon::prelude::*;

use super::{
    ColourSteps, Photo,
    blocks::{Blocks, SIDE},
};

/// Steps that are looked for, in eighths of a code: a finer one does no harm, and a coarser one leaves no picture (quality 40 and 5 in
/// the practice of the Independent JPEG Group's encoder, of ITU-T T.81, table K.2).
const EIGHTHS: std::ops::RangeInclusive<u32> = 20..=170;
/// The finest of them, in codes.
pub(super) const FINEST: f64 = 2.5;
/// Blocks looked at, at most, and the fewest that tell.
const MOST_BLOCKS: usize = 1000;
const FEWEST_BLOCKS: usize = 100;
/// A multiple counts where so many blocks are nearest to it; each counts alike, so that a large even ground does not tell alone.
const BLOCKS_OF_A_MULTIPLE: u32 = 3;
/// Multiples that must occur of each of the two, at least, and of both together.
const MULTIPLES: [usize; 2] = [3, 6];
/// How near the values lie to the multiples, on average over these: 0 where they lie anywhere, 1 where they are nothing else. Of few
/// multiples more is asked. On 66 photos as they were taken it is at most 0.38; of six of them saved at quality 30 or below, cut or not,
/// and saved again at 95, at least 0.54.
const NEAR: f64 = 0.45;
const NEAR_OF_FEW: f64 = 0.7;
const FEW: usize = 10;
/// Codes from either end of the range within which a channel may have been cut off.
const END: f64 = 2.0;
/// Blueness and redness, Cb and Cr, of red, green and blue.
///
/// # Source
/// ITU-T T.871 (2011), 7.
pub(crate) const COLOUR_BY_RGB: [[f64; 3]; 2] = [[-0.168_736, -0.331_264, 0.5], [0.5, -0.418_688, -0.081_312]];

/// A grid of blocks of colour: their side, and where the first one begins.
#[derive(Clone, Copy)]
struct Grid {
    side: u32,
    first: [u32; 2],
}

/// The steps of an earlier JPEG, where there are any: of its blocks that show, or of such as begin at the corner of the picture.
///
/// # Source
/// ITU-T T.81 (1992), A.3.3 and A.3.4: the mean of a block is a multiple of an eighth of a whole number.
pub(super) fn colour_steps(photo: &Photo) -> Option<ColourSteps> {
    let of_grid = |grid: Grid| {
        let blocks = colours(photo, grid);
        EIGHTHS.into_par_iter().filter_map(move |eighths| {
            let step = f64::from(eighths) / 8.0;
            Some((nearness(&blocks, step)?, step, grid.side))
        })
    };
    let found = grids(photo.blocks).into_par_iter().flat_map(of_grid).max_by(|(a, ..), (b, ..)| a.total_cmp(b));
    found.map(|(_, step, block_px)| ColourSteps { codes: [step; 2], block_px })
}

/// Grids that blocks may lie on: of a side, or of twice that where colour was stored with less detail.
fn grids(blocks: Option<Blocks>) -> Vec<Grid> {
    let twice = 2 * SIDE;
    let mut grids = vec![Grid { side: SIDE, first: [0, 0] }, Grid { side: twice, first: [0, 0] }];
    if let Some([column, row]) = blocks.map(|blocks| blocks.first).filter(|first| *first != [0, 0]) {
        grids.push(Grid { side: SIDE, first: [column, row] });
        let firsts = [[column, row], [column + SIDE, row], [column, row + SIDE], [column + SIDE, row + SIDE]];
        grids.extend(firsts.map(|first| Grid { side: twice, first }));
    }
    grids
}

/// Mean blueness and redness of blocks that lie all over the picture, in codes of 255; of those that nothing was cut off.
fn colours(photo: &Photo, grid: Grid) -> Vec<[f64; 2]> {
    let [columns, rows] = [(photo.width_px, 0), (photo.height_px, 1)]
        .map(|(size, axis)| (size.saturating_sub(grid.first[axis]) / grid.side) as usize);
    let every = (columns * rows).div_ceil(MOST_BLOCKS).max(1);
    let block = |k: usize| {
        let corner = [(k % columns) as u32, (k / columns) as u32];
        let [x, y] = [0, 1].map(|axis| grid.first[axis] + corner[axis] * grid.side);
        mean_colour(photo, [x, y], grid.side)
    };
    (0..columns * rows).into_par_iter().step_by(every).filter_map(block).collect()
}

/// Mean blueness and redness of a block; none where a channel of it is near an end of its range.
fn mean_colour(photo: &Photo, [left, top]: [u32; 2], side: u32) -> Option<[f64; 2]> {
    let range = photo.range();
    let end = (END / 255.0 * range as f64) as usize;
    let mut sum = [0; 3];
    for y in top..top + side {
        for x in left..left + side {
            let codes = photo.codes(x, y);
            if codes.iter().any(|code| !(end..=range - end).contains(code)) {
                return None;
            }
            sum.iter_mut().zip(codes).for_each(|(sum, code)| *sum += code);
        }
    }
    let codes = sum.map(|sum| 255.0 * sum as f64 / (range * (side * side) as usize) as f64);
    Some(COLOUR_BY_RGB.map(|by| by.iter().zip(codes).map(|(by, code)| by * code).sum()))
}

/// How near the colours of blocks lie to multiples of a step, where that is near enough to tell.
fn nearness(blocks: &[[f64; 2]], step: f64) -> Option<f64> {
    if blocks.len() < FEWEST_BLOCKS {
        return None;
    }
    // All but the multiple nought: greys are near it whatever the step.
    let (most, per_code) = ((128.0 / step) as i32 + 1, 1.0 / step);
    let mut of_both = [0, 1].map(|_| vec![(0.0, 0u32); 2 * most as usize + 1]);
    for block in blocks {
        for (value, multiples) in block.iter().zip(&mut of_both) {
            // Rounded by cutting off what follows the point, which is quicker.
            let steps = value * per_code + f64::from(most);
            let nearest = (steps + 0.5) as usize;
            let (sum, count) = &mut multiples[nearest.min(2 * most as usize)];
            *sum += 1.0 - 4.0 * (steps - nearest as f64).abs();
            *count += 1;
        }
    }
    let counted = of_both.map(|mut multiples| {
        multiples[most as usize].1 = 0;
        let near = multiples.iter().filter(|(_, count)| *count >= BLOCKS_OF_A_MULTIPLE);
        let near: Vec<f64> = near.map(|(sum, count)| sum / f64::from(*count)).collect();
        (near.len(), near.iter().sum::<f64>() / near.len().max(1) as f64)
    });
    let [(some, near), (others, other_near)] = counted;
    let (all, near) = (some + others, near.min(other_near));
    let least = if all < FEW { NEAR_OF_FEW } else { NEAR };
    (some.min(others) >= MULTIPLES[0] && all >= MULTIPLES[1] && near > least).then_some(near)
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use image::{DynamicImage, ImageFormat, RgbImage, codecs::jpeg::JpegEncoder};

    use super::*;
    use crate::photo::{Limits, decode};

    /// A picture of many colours, with noise (a hash of the place) of some 2 codes to either side.
    fn picture() -> RgbImage {
        RgbImage::from_fn(640, 480, |x, y| {
            let noise = |channel: u32| {
                let mixed =
                    x.wrapping_mul(0x9E37_79B1) ^ y.wrapping_mul(0x85EB_CA77) ^ channel.wrapping_mul(0xC2B2_AE3D);
                let mixed = (mixed ^ (mixed >> 15)).wrapping_mul(0x27D4_EB2F);
                4.0 * f64::from(mixed >> 8) / f64::from(1 << 24)
            };
            let [u, v] = [f64::from(x) / 640.0, f64::from(y) / 480.0];
            let codes = [60.0 + 150.0 * u, 60.0 + 100.0 * v, 160.0 - 100.0 * u * v];
            image::Rgb([0, 1, 2].map(|k| (codes[k] + noise(k as u32)) as u8))
        })
    }

    fn saved(picture: &RgbImage, quality: u8) -> RgbImage {
        let mut bytes = Vec::new();
        JpegEncoder::new_with_quality(&mut bytes, quality).encode_image(picture).unwrap();
        image::load_from_memory_with_format(&bytes, ImageFormat::Jpeg).unwrap().to_rgb8()
    }

    /// What is found in a picture stored without loss.
    fn found(picture: RgbImage) -> ColourSteps {
        let mut bytes = Cursor::new(Vec::new());
        DynamicImage::ImageRgb8(picture).write_to(&mut bytes, ImageFormat::Png).unwrap();
        decode(bytes.get_ref(), &Limits::default()).unwrap().colour_steps
    }

    /// ITU-T T.81, table K.2 begins with 17; quality 15 takes 10/3 of it and quality 30 takes 5/3, rounded (the practice of the
    /// Independent JPEG Group's encoder), and the mean of a block is an eighth of a multiple of that (A.3.3).
    #[test]
    fn the_steps_of_an_earlier_save_are_those_of_its_tables() {
        let cut = |picture: &RgbImage| image::imageops::crop_imm(picture, 5, 3, 600, 450).to_image();
        for (quality, first) in [(15, 57.0), (30, 28.0)] {
            let coarse = saved(&picture(), quality);
            for (how, picture) in [("as it was", coarse.clone()), ("again", saved(&coarse, 95)), ("cut", cut(&coarse))]
            {
                let steps = found(picture);
                assert!(steps.codes.iter().all(|step| (step - first / 8.0).abs() < 0.2), "{quality} {how}: {steps:?}");
            }
        }
        for picture in [picture(), saved(&picture(), 80), saved(&picture(), 95)] {
            assert_eq!(found(picture), ColourSteps::default());
        }
    }
}
