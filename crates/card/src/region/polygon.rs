//! A polygon over a photo and the pixels in it.

use crate::photo::Area;

use super::Unmeasured;

/// Rows of a polygon that are looked at to tell what share of it lies in the photo.
const ROWS_OF_SHARE: u32 = 512;

/// A closed polygon in upright photo pixels; it may be concave, and where it crosses itself the even-odd rule holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Polygon {
    corners: Vec<[f64; 2]>,
    /// What of it is left out, each a polygon of its own.
    holes: Vec<Polygon>,
}

impl Polygon {
    /// A polygon from its corners; the last is joined to the first.
    pub fn new(corners: &[[f64; 2]]) -> Result<Self, Unmeasured> {
        if corners.len() < 3 || corners.iter().flatten().any(|value| !value.is_finite()) {
            return Err(Unmeasured::NoPolygon);
        }
        Ok(Self { corners: corners.to_vec(), holes: Vec::new() })
    }

    /// The same without what lies in these polygons: a knot, a label, a reflection.
    pub fn without(self, left_out: &[Vec<[f64; 2]>]) -> Result<Self, Unmeasured> {
        let holes = left_out.iter().map(|corners| Self::new(corners)).collect::<Result<_, _>>()?;
        Ok(Self { holes, ..self })
    }

    /// Share of its pixels in an area that lies in what is left out, 0..=1.
    pub fn left_out_share(&self, area: &Area) -> f64 {
        if self.holes.is_empty() {
            return 0.0;
        }
        let count = |spans: Vec<(u32, u32)>| spans.iter().map(|(from, to)| u64::from(to - from)).sum::<u64>();
        let rows = || (area.y..area.y + area.height).map(|y| f64::from(y) + 0.5);
        let whole: u64 = rows().map(|y| count(self.outer_row(y, area))).sum();
        let kept: u64 = rows().map(|y| count(self.row(y, area))).sum();
        1.0 - kept as f64 / whole.max(1) as f64
    }

    /// Share of it that lies in a photo of this size, 0..=1, whatever of it is left out.
    pub fn share_inside(&self, width_px: u32, height_px: u32) -> f64 {
        let height = self.corners.iter().map(|corner| corner[1]);
        let (low, high) = height.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| (low.min(y), high.max(y)));
        let (mut inside, mut all) = (0.0, 0.0);
        for row in 0..ROWS_OF_SHARE {
            let y = low + (f64::from(row) + 0.5) / f64::from(ROWS_OF_SHARE) * (high - low);
            let in_sight = (0.0..=f64::from(height_px)).contains(&y);
            for pair in self.crossings(y).chunks_exact(2) {
                let [from, to] = [pair[0], pair[1]].map(|x| x.clamp(0.0, f64::from(width_px)));
                all += pair[1] - pair[0];
                inside += if in_sight { to - from } else { 0.0 };
            }
        }
        if all > 0.0 { inside / all } else { 0.0 }
    }

    /// Whether it reaches more than a pixel beyond a photo of this size.
    pub fn reaches_beyond(&self, width_px: u32, height_px: u32) -> bool {
        let beyond = |value: f64, length: u32| value < -1.0 || value > f64::from(length) + 1.0;
        self.corners.iter().any(|&[x, y]| beyond(x, width_px) || beyond(y, height_px))
    }

    /// The pixels of a photo of this size that its bounding box touches; `None` where it lies outside.
    pub fn area_in(&self, width_px: u32, height_px: u32) -> Option<Area> {
        let range = |axis: usize, length: u32| {
            let low = self.corners.iter().map(|corner| corner[axis]).fold(f64::INFINITY, f64::min);
            let high = self.corners.iter().map(|corner| corner[axis]).fold(f64::NEG_INFINITY, f64::max);
            let from = low.floor().clamp(0.0, f64::from(length)) as u32;
            let to = high.ceil().clamp(0.0, f64::from(length)) as u32;
            (from < to).then_some((from, to - from))
        };
        let ((x, width), (y, height)) = (range(0, width_px)?, range(1, height_px)?);
        Some(Area { x, y, width, height })
    }

    /// For each row of an area the columns, from and up to, of pixels whose centres lie inside.
    pub fn spans(&self, area: &Area) -> Vec<Vec<(u32, u32)>> {
        (area.y..area.y + area.height).map(|y| self.row(f64::from(y) + 0.5, area)).collect()
    }

    fn row(&self, y: f64, area: &Area) -> Vec<(u32, u32)> {
        let holes = self.holes.iter().flat_map(|hole| hole.outer_row(y, area));
        holes.fold(self.outer_row(y, area), |spans, (from, to)| {
            let around = spans.into_iter().flat_map(|(start, end)| [(start, end.min(from)), (start.max(to), end)]);
            around.filter(|(start, end)| start < end).collect()
        })
    }

    fn outer_row(&self, y: f64, area: &Area) -> Vec<(u32, u32)> {
        let column = |x: f64| (x - 0.5).ceil().clamp(f64::from(area.x), f64::from(area.x + area.width)) as u32;
        let crossings = self.crossings(y);
        let spans = crossings.chunks_exact(2).map(|pair| (column(pair[0]), column(pair[1])));
        spans.filter(|(from, to)| from < to).collect()
    }

    /// Where its sides cross a row, from left to right: in, out, in, out.
    fn crossings(&self, y: f64) -> Vec<f64> {
        let mut crossings: Vec<f64> = Vec::new();
        for (k, &[ax, ay]) in self.corners.iter().enumerate() {
            let [bx, by] = self.corners[(k + 1) % self.corners.len()];
            if (ay <= y) != (by <= y) {
                crossings.push(ax + (y - ay) / (by - ay) * (bx - ax));
            }
        }
        crossings.sort_unstable_by(f64::total_cmp);
        crossings
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn count(corners: &[[f64; 2]]) -> usize {
        let polygon = Polygon::new(corners).unwrap();
        let area = polygon.area_in(100, 80).unwrap();
        polygon.spans(&area).iter().flatten().map(|(from, to)| (to - from) as usize).sum()
    }

    /// Pick's theorem and plain geometry: the pixel centres inside are the area, up to the edge.
    #[test]
    fn pixels_inside_are_the_area() {
        assert_eq!(count(&[[10.0, 10.0], [30.0, 10.0], [30.0, 25.0], [10.0, 25.0]]), 20 * 15);
        assert_eq!(count(&[[-50.0, -50.0], [500.0, -50.0], [500.0, 500.0], [-50.0, 500.0]]), 100 * 80);
        let triangle = count(&[[0.0, 0.0], [60.0, 0.0], [0.0, 60.0]]);
        assert!((triangle as f64 - 1800.0).abs() <= 60.0, "{triangle}");
        // An L: 40 × 40 without its 20 × 20 corner.
        assert_eq!(count(&[[0.0, 0.0], [40.0, 0.0], [40.0, 20.0], [20.0, 20.0], [20.0, 40.0], [0.0, 40.0]]), 1200);
    }

    /// A hole takes its own area off, wherever it lies and however holes overlap.
    #[test]
    fn what_is_left_out_is_no_part_of_it() {
        let square = |x: f64, side: f64| vec![[x, x], [x + side, x], [x + side, x + side], [x, x + side]];
        let area = Area { x: 0, y: 0, width: 100, height: 80 };
        let pixels = |holes: &[Vec<[f64; 2]>]| {
            let polygon = Polygon::new(&square(10.0, 60.0)).unwrap().without(holes).unwrap();
            let count: u32 = polygon.spans(&area).iter().flatten().map(|(from, to)| to - from).sum();
            (count, (polygon.left_out_share(&area) * 3600.0).round() as u32)
        };
        assert_eq!(pixels(&[]), (3600, 0));
        assert_eq!(pixels(&[square(20.0, 10.0)]), (3500, 100));
        assert_eq!(pixels(&[square(20.0, 10.0), square(25.0, 10.0)]), (3600 - 175, 175));
        assert_eq!(pixels(&[square(0.0, 20.0), square(90.0, 20.0)]), (3500, 100));
        assert_eq!(Polygon::new(&square(0.0, 9.0)).unwrap().without(&[vec![[0.0; 2]]]), Err(Unmeasured::NoPolygon));
    }

    /// Plain geometry: a square pushed over an edge, over a corner and far away, and a triangle cut through.
    #[test]
    fn the_share_in_the_photo_is_that_of_the_area() {
        let share = |corners: &[[f64; 2]]| Polygon::new(corners).unwrap().share_inside(100, 80);
        let square = |x: f64, y: f64| [[x, y], [x + 40.0, y], [x + 40.0, y + 40.0], [x, y + 40.0]];
        for (corners, want) in [
            (square(10.0, 10.0), 1.0),
            (square(-10.0, 10.0), 0.75),
            (square(80.0, 60.0), 0.25),
            (square(300.0, 10.0), 0.0),
            ([[0.0, 0.0], [100.0, 0.0], [100.0, 1e6], [0.0, 1e6]], 0.0),
        ] {
            assert!((share(&corners) - want).abs() < 0.005, "{corners:?}: {}", share(&corners));
        }
        assert!((share(&[[-100.0, 0.0], [100.0, 0.0], [0.0, 80.0]]) - 0.5).abs() < 0.005);
    }

    #[test]
    fn what_is_no_polygon_or_lies_outside_is_told() {
        assert_eq!(Polygon::new(&[[0.0, 0.0], [1.0, 1.0]]), Err(Unmeasured::NoPolygon));
        assert_eq!(Polygon::new(&[[0.0, 0.0], [1.0, f64::NAN], [2.0, 0.0]]), Err(Unmeasured::NoPolygon));
        let outside = Polygon::new(&[[200.0, 0.0], [300.0, 0.0], [300.0, 50.0]]).unwrap();
        assert_eq!(outside.area_in(100, 80), None);
        let partly = |corner: f64| Polygon::new(&[[corner, 0.0], [50.0, 0.0], [50.0, 50.0]]).unwrap();
        assert!(partly(-20.0).reaches_beyond(100, 80));
        assert!(!partly(0.0).reaches_beyond(100, 80));
    }
}
