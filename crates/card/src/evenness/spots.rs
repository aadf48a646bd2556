//! Light and dark spots: places that differ from the rest, joined where they touch.

use super::Map;

/// Most spots listed.
const MOST: usize = 8;

/// A place lighter or darker than the rest of the region.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Whether it is lighter than the region's median; else darker.
    pub lighter: bool,
    /// Its middle in photo pixels.
    pub centre_px: [f64; 2],
    /// Its middle from the top left corner of the region's bounding box, photo pixels right and down.
    pub from_corner_px: [f64; 2],
    /// The same in millimetres, where the card's size is known.
    pub from_corner_mm: Option<[f64; 2]>,
    /// Its extent along the photo's width and height, pixels.
    pub size_px: [f64; 2],
    /// The same in millimetres, where the card's size is known.
    pub size_mm: Option<[f64; 2]>,
    /// Its share of the region's area.
    pub share: f64,
    /// ΔE2000 to the region's median at its worst place.
    pub worst_de00: f64,
}

/// One spot while it grows.
struct Growing {
    cells: usize,
    sum: [f64; 2],
    low: [usize; 2],
    high: [usize; 2],
    worst: f32,
    lighter: bool,
}

/// The spots of the map from `limit` on, in the order their first cells come.
fn joined(map: &Map, limit: f32) -> Vec<Growing> {
    let mut seen = vec![false; map.signed_de00.len()];
    let mut found = Vec::new();
    let mut stack = Vec::new();
    for start in 0..seen.len() {
        let de00 = map.signed_de00[start];
        if seen[start] || !is_spot(de00, limit) {
            continue;
        }
        let lighter = de00 > 0.0;
        let mut spot = Growing { cells: 0, sum: [0.0; 2], low: [usize::MAX; 2], high: [0; 2], worst: 0.0, lighter };
        seen[start] = true;
        stack.push(start);
        while let Some(at) = stack.pop() {
            let place = [at % map.columns, at / map.columns];
            spot.take(place, map.signed_de00[at].abs());
            for next in neighbours(map, place) {
                let de00 = map.signed_de00[next];
                if !seen[next] && is_spot(de00, limit) && (de00 > 0.0) == lighter {
                    seen[next] = true;
                    stack.push(next);
                }
            }
        }
        found.push(spot);
    }
    found
}

fn is_spot(de00: f32, limit: f32) -> bool {
    de00.abs() > limit
}

fn neighbours(map: &Map, [x, y]: [usize; 2]) -> impl Iterator<Item = usize> {
    let (columns, rows) = (map.columns, map.rows);
    [(x.wrapping_sub(1), y), (x + 1, y), (x, y.wrapping_sub(1)), (x, y + 1)]
        .into_iter()
        .filter(move |&(x, y)| x < columns && y < rows)
        .map(move |(x, y)| y * columns + x)
}

impl Growing {
    fn take(&mut self, place: [usize; 2], de00: f32) {
        self.cells += 1;
        for (axis, at) in place.into_iter().enumerate() {
            self.sum[axis] += at as f64 + 0.5;
            self.low[axis] = self.low[axis].min(at);
            self.high[axis] = self.high[axis].max(at);
        }
        self.worst = self.worst.max(de00);
    }
}

/// The spots of a map, worst first.
pub(super) fn spots(map: &Map, limit: f32, mm_per_px: Option<f64>) -> Vec<Spot> {
    let inside = map.signed_de00.iter().filter(|de00| !de00.is_nan()).count().max(1) as f64;
    let mut found = joined(map, limit);
    found.sort_by(|a, b| b.worst.total_cmp(&a.worst).then(a.low.cmp(&b.low)));
    found.truncate(MOST);
    let spot = |spot: Growing| {
        let middle = spot.sum.map(|sum| sum / spot.cells as f64 * map.cell_px);
        let size_px = [0, 1].map(|axis| (spot.high[axis] - spot.low[axis] + 1) as f64 * map.cell_px);
        Spot {
            lighter: spot.lighter,
            centre_px: [map.origin_px[0] + middle[0], map.origin_px[1] + middle[1]],
            from_corner_px: middle,
            from_corner_mm: mm_per_px.map(|scale| middle.map(|px| px * scale)),
            size_px,
            size_mm: mm_per_px.map(|scale| size_px.map(|px| px * scale)),
            share: spot.cells as f64 / inside,
            worst_de00: f64::from(spot.worst),
        }
    };
    found.into_iter().map(spot).collect()
}

impl Map {
    /// Whether a photo pixel lies in a spot from `limit` on.
    pub(crate) fn in_spot(&self, [x, y]: [f64; 2], limit: f64) -> bool {
        let cell = |at: f64, origin: f64| ((at - origin) / self.cell_px).floor();
        let (column, row) = (cell(x, self.origin_px[0]), cell(y, self.origin_px[1]));
        let within = column >= 0.0 && row >= 0.0 && (column as usize) < self.columns && (row as usize) < self.rows;
        within && is_spot(self.signed_de00[row as usize * self.columns + column as usize], limit as f32)
    }
}
