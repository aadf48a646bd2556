//! A polygon over a photo and the pixels in it.

use crate::photo::Area;

use super::Unmeasured;

/// Rows of a polygon that are looked at to tell its area, and what share of it lies in the photo.
const ROWS_OF_AREA: u32 = 512;
/// Area that is none, as a share of the square on the bounding box's diagonal: what rounding leaves of a line.
const NO_AREA: f64 = 1e-9;
/// Share of the area that loops may take where sides cross, as where the last corner was set a little past the first: own
/// judgement.
const LOOPS: f64 = 0.02;

/// A closed polygon in upright photo pixels; it may be concave, and where it crosses itself a little the even-odd rule holds.
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
        let kept: usize = rows_of(area).map(|y| count(&self.row(y, area))).sum();
        1.0 - kept as f64 / self.pixels_drawn(area).max(1) as f64
    }

    /// Its pixels in an area, whatever of it is left out.
    pub(super) fn pixels_drawn(&self, area: &Area) -> usize {
        rows_of(area).map(|y| count(&self.outer_row(y, area))).sum()
    }

    /// Whether what is left out of it is plain to see.
    ///
    /// # Errors
    /// [`Unmeasured::LeftOutCrosses`] where the sides of such a place cross, as for the region itself. One without area takes nothing
    /// away, nor does one that lies elsewhere.
    pub(super) fn check_left_out(&self, area: &Area) -> Result<(), Unmeasured> {
        let crosses = |hole: &Self| hole.check_shape() == Err(Unmeasured::CrossesItself);
        match self.holes.iter().any(|hole| crosses(hole) && hole.touches_in(self, area)) {
            true => Err(Unmeasured::LeftOutCrosses),
            false => Ok(()),
        }
    }

    /// Whether it has pixels in common with another in a photo of this size, whatever of that is left out.
    pub(crate) fn touches(&self, other: &Self, width_px: u32, height_px: u32) -> bool {
        other.area_in(width_px, height_px).is_some_and(|area| self.touches_in(other, &area))
    }

    fn touches_in(&self, other: &Self, area: &Area) -> bool {
        let meet = |a: &(u32, u32), b: &(u32, u32)| a.0.max(b.0) < a.1.min(b.1);
        rows_of(area).any(|y| {
            let others = other.outer_row(y, area);
            !others.is_empty() && self.outer_row(y, area).iter().any(|a| others.iter().any(|b| meet(a, b)))
        })
    }

    /// The middle of its bounding box.
    pub(crate) fn middle(&self) -> [f64; 2] {
        let (low, high) = self.bounds();
        [0, 1].map(|axis| (low[axis] + high[axis]) / 2.0)
    }

    /// Whether it is a region at all.
    ///
    /// # Errors
    /// [`Unmeasured::NoArea`] where its corners lie on one line, [`Unmeasured::CrossesItself`] where its sides cross and what
    /// they cut off is not small, as of four corners that were not given in order round it.
    pub fn check_shape(&self) -> Result<(), Unmeasured> {
        let (low, high) = self.bounds();
        let (_, area) = self.areas(0, 0);
        if area <= NO_AREA * ((high[0] - low[0]).powi(2) + (high[1] - low[1]).powi(2)) {
            return Err(Unmeasured::NoArea);
        }
        // Loops run round the other way, or count twice.
        let signed: f64 = self
            .sides()
            .map(|([ax, ay], [bx, by])| (ax - low[0]) * (by - low[1]) - (bx - low[0]) * (ay - low[1]))
            .sum();
        if ((signed / 2.0).abs() - area).abs() > LOOPS * area && self.sides_cross() {
            return Err(Unmeasured::CrossesItself);
        }
        Ok(())
    }

    /// Share of it that lies in a photo of this size, 0..=1, whatever of it is left out.
    pub fn share_inside(&self, width_px: u32, height_px: u32) -> f64 {
        let (inside, all) = self.areas(width_px, height_px);
        if all > 0.0 { inside / all } else { 0.0 }
    }

    /// Its area in a photo of this size, and all of it, square pixels.
    fn areas(&self, width_px: u32, height_px: u32) -> (f64, f64) {
        let (low, high) = self.bounds();
        let step = (high[1] - low[1]) / f64::from(ROWS_OF_AREA);
        let (mut inside, mut all) = (0.0, 0.0);
        for row in 0..ROWS_OF_AREA {
            let y = low[1] + (f64::from(row) + 0.5) * step;
            let in_sight = (0.0..=f64::from(height_px)).contains(&y);
            for pair in self.crossings(y).chunks_exact(2) {
                let [from, to] = [pair[0], pair[1]].map(|x| x.clamp(0.0, f64::from(width_px)));
                all += pair[1] - pair[0];
                inside += if in_sight { to - from } else { 0.0 };
            }
        }
        (inside * step, all * step)
    }

    /// The least and the greatest x and y of its corners.
    fn bounds(&self) -> ([f64; 2], [f64; 2]) {
        let start = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        self.corners.iter().fold(start, |(low, high), corner| {
            ([0, 1].map(|axis| low[axis].min(corner[axis])), [0, 1].map(|axis| high[axis].max(corner[axis])))
        })
    }

    /// Its sides, each from corner to corner.
    fn sides(&self) -> impl Iterator<Item = ([f64; 2], [f64; 2])> + Clone {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().copied().zip(next.copied())
    }

    /// Whether two of its sides cross; to touch is not to cross.
    fn sides_cross(&self) -> bool {
        let turn =
            |[ax, ay]: [f64; 2], [bx, by]: [f64; 2], [cx, cy]: [f64; 2]| (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
        self.sides().enumerate().any(|(k, (a, b))| {
            self.sides()
                .skip(k + 1)
                .any(|(c, d)| turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0)
        })
    }

    /// Places evenly spread over what of it lies in an area, what is left out excepted: some `along` each side of the area.
    pub(super) fn places(&self, area: &Area, along: u32) -> Vec<[f64; 2]> {
        let step = |length: u32| length.div_ceil(along).max(1) as usize;
        let columns = || (area.x..area.x + area.width).step_by(step(area.width));
        let rows = (area.y..area.y + area.height).step_by(step(area.height));
        rows.flat_map(|row| {
            let y = f64::from(row) + 0.5;
            let spans = self.row(y, area);
            let inside = move |x: &u32| spans.iter().any(|(from, to)| (from..to).contains(&x));
            columns().filter(inside).map(move |x| [f64::from(x) + 0.5, y])
        })
        .collect()
    }

    /// Whether it reaches more than a pixel beyond a photo of this size.
    pub fn reaches_beyond(&self, width_px: u32, height_px: u32) -> bool {
        let beyond = |value: f64, length: u32| value < -1.0 || value > f64::from(length) + 1.0;
        self.corners.iter().any(|&[x, y]| beyond(x, width_px) || beyond(y, height_px))
    }

    /// The pixels of a photo of this size that its bounding box touches; `None` where it lies outside.
    pub fn area_in(&self, width_px: u32, height_px: u32) -> Option<Area> {
        let (low, high) = self.bounds();
        let range = |axis: usize, length: u32| {
            let from = low[axis].floor().clamp(0.0, f64::from(length)) as u32;
            let to = high[axis].ceil().clamp(0.0, f64::from(length)) as u32;
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
        for ([ax, ay], [bx, by]) in self.sides() {
            if (ay <= y) != (by <= y) {
                crossings.push(ax + (y - ay) / (by - ay) * (bx - ax));
            }
        }
        crossings.sort_unstable_by(f64::total_cmp);
        crossings
    }
}

/// Middles of the rows of an area.
fn rows_of(area: &Area) -> impl Iterator<Item = f64> {
    (area.y..area.y + area.height).map(|y| f64::from(y) + 0.5)
}

/// Pixels of spans.
fn count(spans: &[(u32, u32)]) -> usize {
    spans.iter().map(|(from, to)| (to - from) as usize).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inside(corners: &[[f64; 2]]) -> usize {
        let polygon = Polygon::new(corners).unwrap();
        let area = polygon.area_in(100, 80).unwrap();
        polygon.spans(&area).iter().flatten().map(|(from, to)| (to - from) as usize).sum()
    }

    /// Pick's theorem and plain geometry: the pixel centres inside are the area, up to the edge.
    #[test]
    fn pixels_inside_are_the_area() {
        assert_eq!(inside(&[[10.0, 10.0], [30.0, 10.0], [30.0, 25.0], [10.0, 25.0]]), 20 * 15);
        assert_eq!(inside(&[[-50.0, -50.0], [500.0, -50.0], [500.0, 500.0], [-50.0, 500.0]]), 100 * 80);
        let triangle = inside(&[[0.0, 0.0], [60.0, 0.0], [0.0, 60.0]]);
        assert!((triangle as f64 - 1800.0).abs() <= 60.0, "{triangle}");
        // An L: 40 × 40 without its 20 × 20 corner.
        assert_eq!(inside(&[[0.0, 0.0], [40.0, 0.0], [40.0, 20.0], [20.0, 20.0], [20.0, 40.0], [0.0, 40.0]]), 1200);
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

    /// Plain geometry: what has no area or crosses itself is no region, however it lies; what is only concave, touches itself,
    /// has a corner twice, or was closed a little past its first corner, is one.
    #[test]
    fn lines_and_crossed_polygons_are_no_regions() {
        let told = |corners: &[[f64; 2]]| Polygon::new(corners).unwrap().check_shape();
        for turn in [0.0, 0.3, 1.2, 2.0] {
            let (sin, cos) = f64::sin_cos(turn);
            let turned = |corners: &[[f64; 2]]| -> Vec<[f64; 2]> {
                corners.iter().map(|[x, y]| [700.0 + cos * x - sin * y, 300.0 + sin * x + cos * y]).collect()
            };
            for line in
                [[[0.0, 0.0], [50.0, 0.0], [100.0, 0.0]], [[7.0, 7.0]; 3], [[0.0, 0.0], [90.0, 30.0], [30.0, 10.0]]]
            {
                assert_eq!(told(&turned(&line)), Err(Unmeasured::NoArea), "{turn}: {line:?}");
            }
            let bow_tie = [[0.0, 0.0], [80.0, 60.0], [80.0, 0.0], [0.0, 60.0]];
            // Of a pentagram the middle counts twice, though all of it runs one way round.
            let star: Vec<[f64; 2]> = (0..5)
                .map(|k| f64::from(2 * k) * std::f64::consts::TAU / 5.0)
                .map(|at| [50.0 * at.cos(), 50.0 * at.sin()])
                .collect();
            // A box the sides of which are taken out of their order at one end.
            let lopsided =
                [[0.0, 0.0], [100.0, 0.0], [100.0, 30.0], [60.0, 60.0], [100.0, 60.0], [60.0, 30.0], [0.0, 60.0]];
            for crossed in [&bow_tie[..], &star, &lopsided] {
                assert_eq!(told(&turned(crossed)), Err(Unmeasured::CrossesItself), "{turn}: {crossed:?}");
            }
            let ell = [[0.0, 0.0], [400.0, 0.0], [400.0, 1.0], [1.0, 1.0], [1.0, 400.0], [0.0, 400.0]];
            let twice = [[0.0, 0.0], [0.0, 0.0], [80.0, 0.0], [80.0, 60.0], [0.0, 60.0], [0.0, 0.0]];
            let waist = [[0.0, 0.0], [40.0, 30.0], [80.0, 0.0], [80.0, 60.0], [40.0, 30.0], [0.0, 60.0]];
            let past = [[0.0, 0.0], [80.0, 0.0], [80.0, 60.0], [0.0, 60.0], [3.0, -2.0]];
            for sound in [&ell[..], &twice, &waist, &past] {
                assert_eq!(told(&turned(sound)), Ok(()), "{turn}: {sound:?}");
            }
        }
    }

    /// Places are spread over the area: as many of them lie in a part as the part has of the whole, and none in a hole.
    #[test]
    fn places_are_spread_over_what_is_not_left_out() {
        let square = |x: f64, side: f64| vec![[x, x], [x + side, x], [x + side, x + side], [x, x + side]];
        let polygon = Polygon::new(&square(0.0, 600.0)).unwrap().without(&[square(0.0, 300.0)]).unwrap();
        let places = polygon.places(&Area { x: 0, y: 0, width: 600, height: 600 }, 60);
        assert_eq!(places.len(), 60 * 60 * 3 / 4);
        assert!(places.iter().all(|[x, y]| *x > 300.0 || *y > 300.0));
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
