//! How even a surface is at the scale of the bench: rub-through and patchiness, the grain filtered out.
//!
//! The light of a region is low-passed at 10 mm, each place compared with the region's median in ΔE2000, and what
//! differs by more than the tolerance is listed as spots, light and dark. Wood is never quite even: how much an even
//! board with this grain would still differ is estimated from the grain itself and stands beside, and nothing is called
//! a spot that such a board would show by chance.

mod contour;
mod even_board;
mod patches;
mod smooth;
mod spots;

use colour::bulk::{De2000To, ToLab};
use colour::{Lab, thresholds};
use nalgebra::Matrix3;
use rayon::prelude::*;

pub(crate) use smooth::Light;
pub use spots::Spot;

use even_board::EvenBoard;
use smooth::low_pass;

/// Cut-off of the low-pass where the card's size is known.
pub const CUT_OFF_MM: f64 = 10.0;
/// Cut-off as a share of the region's longer side where it is not.
pub const CUT_OFF_SHARE: f64 = 1.0 / 12.0;
/// Cells per cut-off: fine enough for the filter, coarse enough for large photos.
const CELLS_PER_CUT_OFF: f64 = 8.0;
/// Fewest places that can differ from each other: below this a region has no evenness worth the name.
const FEWEST_PLACES: f64 = 12.0;
/// Narrowest low-pass, in cells, that the cells can carry.
const LEAST_SIGMA: f64 = 0.6;
/// Share of the area that [`Evenness::spread_de00`] speaks of.
const SPREAD_SHARE: f64 = 0.9;
/// Chance that an even board shows any spot at all.
const FALSE_SPOT: f64 = 0.05;
/// Cells worked on by one thread at a time.
const BLOCK: usize = 1 << 14;

/// How even a region is.
#[derive(Clone, Debug)]
pub struct Evenness {
    /// Cut-off of the low-pass in millimetres, where the card's size is known.
    pub cut_off_mm: Option<f64>,
    /// The same in photo pixels; without the card's size it is [`CUT_OFF_SHARE`] of the region's longer side.
    pub cut_off_px: f64,
    /// ΔE2000 that counts as uneven.
    pub tolerance_de00: f64,
    /// The region's median colour, channel by channel, that each place is compared with.
    pub median: Lab,
    /// Share of the area that differs from it by more than the tolerance, 0..=1.
    pub over_tolerance_share: f64,
    /// Nine tenths of the area differ by less than this.
    pub spread_de00: f64,
    /// The same of an even board with this grain, at most (19 of 20 such boards).
    pub even_board_de00: f64,
    /// One standard deviation of the colour from place to place beyond what an even board with this grain has, in L*, a*, b*
    /// towards light, along the axis of the widest spread; zeros where there is no more.
    pub patch_sd: [f64; 3],
    /// A place is a spot from here on: the tolerance, or what an even board would hardly reach, whichever is more.
    pub spot_from_de00: f64,
    /// The spots, worst first.
    pub spots: Vec<Spot>,
    /// Where it differs, by place.
    pub map: Map,
}

/// ΔE2000 to the region's median by place.
#[derive(Clone, Debug)]
pub struct Map {
    /// Cells along a row.
    pub columns: usize,
    /// Rows of cells.
    pub rows: usize,
    /// Side of a cell in photo pixels.
    pub cell_px: f64,
    /// Top left corner of the first cell in photo pixels.
    pub origin_px: [f64; 2],
    /// ΔE2000 by cell, row by row, negative where the place is darker than the median; NaN outside the region.
    pub signed_de00: Vec<f32>,
}

/// How even a region is, its spots apart: nine tenths of an even board with a knot are even.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Throughout {
    /// Nine tenths of it lie within the tolerance.
    Even,
    /// They do not, but those of an even board with this grain need not either: it cannot be told.
    WithinGrain,
    /// Less even than such a board may be.
    Uneven,
}

impl Throughout {
    /// From the ΔE2000 that nine tenths lie within, that of an even board with this grain, and the tolerance.
    pub fn of(spread_de00: f64, even_board_de00: f64, tolerance_de00: f64) -> Self {
        match () {
            () if spread_de00 <= tolerance_de00 => Self::Even,
            () if spread_de00 <= even_board_de00 => Self::WithinGrain,
            () => Self::Uneven,
        }
    }
}

impl Evenness {
    /// Whether it is less even than such a board may be, or has spots.
    pub fn is_uneven(&self) -> bool {
        self.throughout() == Throughout::Uneven || !self.spots.is_empty()
    }

    /// How even it is, its spots apart.
    pub fn throughout(&self) -> Throughout {
        Throughout::of(self.spread_de00, self.even_board_de00, self.tolerance_de00)
    }
}

/// Default of [`Evenness::tolerance_de00`]: what people accept, so it is the same for every photo. What grain and the noise of
/// the photo add is measured beside it, as [`Evenness::even_board_de00`], and the greater of the two decides.
///
/// # Source
/// [`thresholds::ACCEPTABILITY`].
pub fn tolerance_de00() -> f64 {
    thresholds::ACCEPTABILITY.value
}

/// Studies the light of a region; `cut_off_px` and `mm_per_px` at its middle. `None` for a region too small for it.
pub(crate) fn study(light: &Light, cut_off_px: f64, mm_per_px: Option<f64>, tolerance_de00: f64) -> Option<Evenness> {
    let coarse = light.grouped((cut_off_px / CELLS_PER_CUT_OFF / light.cell_px).floor().max(1.0) as usize);
    let sigma = smooth::sigma(cut_off_px) / coarse.cell_px;
    let inside: Vec<bool> = coarse.inside();
    let count = inside.iter().filter(|inside| **inside).count();
    let places = count as f64 / (4.0 * std::f64::consts::PI * sigma * sigma);
    if places < FEWEST_PLACES || sigma < LEAST_SIGMA {
        return None;
    }
    let lab = lab_of(&low_pass(&coarse, sigma));
    let within = |channel: usize| -> Vec<f32> {
        lab.iter().zip(&inside).filter(|(_, inside)| **inside).map(|(lab, _)| lab[channel]).collect()
    };
    let [l, a, b] = [0, 1, 2].map(|channel| f64::from(quantile(&mut within(channel), 0.5)));
    let median = Lab::new(l, a, b);
    let board = EvenBoard::of(&coarse, cut_off_px, median, places);
    let signed_de00 = signed(&lab, &inside, median);

    let mut differs: Vec<f32> = signed_de00.iter().filter(|de00| !de00.is_nan()).map(|de00| de00.abs()).collect();
    let over = differs.iter().filter(|de00| f64::from(**de00) > tolerance_de00).count();
    let spot_from_de00 = tolerance_de00.max(board.worst_de00(FALSE_SPOT));
    let map = Map {
        columns: coarse.columns,
        rows: coarse.rows,
        cell_px: coarse.cell_px,
        origin_px: coarse.origin_px,
        signed_de00,
    };
    Some(Evenness {
        cut_off_mm: mm_per_px.map(|scale| scale * cut_off_px),
        cut_off_px,
        tolerance_de00,
        median,
        over_tolerance_share: over as f64 / count as f64,
        spread_de00: f64::from(quantile(&mut differs, SPREAD_SHARE)),
        even_board_de00: board.de00(SPREAD_SHARE),
        patch_sd: patches::spread(&lab, &inside, &board.covariance),
        spot_from_de00,
        spots: spots::spots(&map, spot_from_de00 as f32, mm_per_px),
        map,
    })
}

/// Lab of cells given as sums of XYZ and a weight.
fn lab_of(cells: &[[f32; 4]]) -> Vec<[f32; 3]> {
    let to_lab = ToLab::new(&Matrix3::identity());
    let mut lab = vec![[0f32; 3]; cells.len()];
    cells.par_chunks(BLOCK).zip(lab.par_chunks_mut(BLOCK)).for_each(|(cells, lab)| {
        let mean = |&[x, y, z, weight]: &[f32; 4]| [x, y, z].map(|sum| sum / weight.max(f32::MIN_POSITIVE));
        to_lab.lab(&cells.iter().map(mean).collect::<Vec<_>>(), lab);
    });
    lab
}

fn signed(lab: &[[f32; 3]], inside: &[bool], median: Lab) -> Vec<f32> {
    let to = De2000To::new(median);
    let mut de00 = vec![0f32; lab.len()];
    let blocks = lab.par_chunks(BLOCK).zip(inside.par_chunks(BLOCK)).zip(de00.par_chunks_mut(BLOCK));
    blocks.for_each(|((lab, inside), de00)| {
        to.de2000(lab, de00);
        for ((de00, lab), inside) in de00.iter_mut().zip(lab).zip(inside) {
            let darker = f64::from(lab[0]) < median.l;
            *de00 = if *inside { if darker { -*de00 } else { *de00 } } else { f32::NAN };
        }
    });
    de00
}

/// The value that this share of the values lies at or below; 0 for none.
fn quantile(values: &mut [f32], share: f64) -> f32 {
    let Some(last) = values.len().checked_sub(1) else { return 0.0 };
    let at = (share * last as f64).round() as usize;
    *values.select_nth_unstable_by(at, f32::total_cmp).1
}

#[cfg(test)]
mod tests;
