//! How much the blocks of a JPEG differ in colour over a region, as they are stored.

use colour::rgb::srgb_from_linear;

use super::cells::{Cell, Cells};
use crate::photo::COLOUR_BY_RGB;

/// Fewer blocks do not tell how much they differ: own judgement.
const FEWEST: usize = 8;

/// Variance of the mean blueness and redness of blocks with sides of `block_px`, in squares of codes of 255; nothing where there are too
/// few of them. Cells wider than a block stand for it: they differ less.
pub(super) fn colour_variance(cells: &Cells, block_px: u32) -> [f64; 2] {
    let side = block_px.div_ceil(cells.cell_px.max(1)).max(1) as usize;
    let across = cells.columns.div_ceil(side).max(1);
    let mut blocks = vec![Cell::default(); across * cells.rows.div_ceil(side)];
    for (row, line) in cells.cells.chunks(cells.columns.max(1)).enumerate() {
        for (column, cell) in line.iter().enumerate() {
            let block = &mut blocks[row / side * across + column / side];
            *block = block.with(cell);
        }
    }
    let cell_px = side as f64 * f64::from(cells.cell_px);
    let whole = blocks.iter().filter(|block| 2.0 * f64::from(block.count) > cell_px * cell_px);
    let colours: Vec<[f64; 2]> = whole
        .map(|block| {
            let codes = block.device.map(|sum| 255.0 * srgb_from_linear(sum / f64::from(block.count)));
            COLOUR_BY_RGB.map(|by| by.iter().zip(codes).map(|(by, code)| by * code).sum())
        })
        .collect();
    if colours.len() < FEWEST {
        return [0.0; 2];
    }
    let count = colours.len() as f64;
    [0, 1].map(|which| {
        let mean = colours.iter().map(|colour| colour[which]).sum::<f64>() / count;
        colours.iter().map(|colour| (colour[which] - mean).powi(2)).sum::<f64>() / (count - 1.0)
    })
}

#[cfg(test)]
mod tests {
    use colour::rgb::linear_from_srgb;

    use super::*;

    /// Blocks of two colours in turn, by the equations of ITU-T T.871, 7: half of them differ by 10 codes of red and −10 of green, which
    /// are 1.625 of Cb and 9.187 of Cr. What varies within a block only counts for nothing, nor do fewer than eight.
    #[test]
    fn blocks_vary_by_their_means() {
        const CELLS_OF_BLOCK: usize = 4;
        let cells = |blocks: usize| {
            let columns = blocks * CELLS_OF_BLOCK;
            let cell = |k: usize| {
                let (column, row) = (k % columns, k / columns);
                let odd = (column / CELLS_OF_BLOCK + row / CELLS_OF_BLOCK) % 2 == 1;
                let codes = if odd { [130.0, 80.0, 60.0] } else { [120.0, 90.0, 60.0] };
                let ripple = if column % 2 == 0 { 1.05 } else { 0.95 };
                let device = codes.map(|code| 4.0 * ripple * linear_from_srgb(code / 255.0));
                Cell { count: 4, device, ..Cell::default() }
            };
            let cells = (0..columns * columns).map(cell).collect();
            Cells { columns, rows: columns, cell_px: 2, origin_px: [0.0; 2], cells }
        };
        let variance = colour_variance(&cells(4), 8);
        for (variance, apart) in variance.into_iter().zip([1.62528f64, 9.18688]) {
            let wanted = apart * apart / 4.0 * 16.0 / 15.0;
            assert!((variance - wanted).abs() < 1e-3, "{variance} for {wanted}");
        }
        assert!(colour_variance(&cells(4), 16).iter().all(|variance| *variance == 0.0), "four blocks of 16");
        assert!(colour_variance(&cells(8), 16).iter().all(|variance| *variance < 1e-9), "each block of 16 has both");
    }
}
