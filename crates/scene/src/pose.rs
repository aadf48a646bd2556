//! Where things are seen.

use crate::Error;
use nalgebra::{Matrix3, Vector3};

/// A plane seen in perspective.
#[derive(Clone, Debug)]
pub struct Homography {
    forward: Matrix3<f64>,
    back: Matrix3<f64>,
}

impl Homography {
    /// From the corners (0, 0), (w, 0), (w, h), (0, h) of a rectangle to four points.
    ///
    /// # Errors
    /// [`Error::Corners`] when the points make no convex quadrilateral.
    ///
    /// # Source
    /// Heckbert 1989, Fundamentals of texture mapping, appendix A (square to quadrilateral).
    pub fn of_rectangle([w, h]: [f64; 2], corners: [[f64; 2]; 4]) -> Result<Self, Error> {
        let [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = corners;
        let (sx, sy) = (x0 - x1 + x2 - x3, y0 - y1 + y2 - y3);
        let (dx1, dx2, dy1, dy2) = (x1 - x2, x3 - x2, y1 - y2, y3 - y2);
        let area = dx1 * dy2 - dx2 * dy1;
        let g = (sx * dy2 - dx2 * sy) / area;
        let k = (dx1 * sy - sx * dy1) / area;
        #[rustfmt::skip]
        let square = Matrix3::new(
            x1 - x0 + g * x1, x3 - x0 + k * x3, x0,
            y1 - y0 + g * y1, y3 - y0 + k * y3, y0,
            g, k, 1.0,
        );
        let forward = square * Matrix3::from_diagonal(&Vector3::new(1.0 / w, 1.0 / h, 1.0));
        let convex = g.is_finite() && k.is_finite() && 1.0 + g > 0.0 && 1.0 + k > 0.0 && 1.0 + g + k > 0.0;
        match forward.try_inverse() {
            Some(back) if convex => Ok(Self { forward, back }),
            _ => Err(Error::Corners(corners)),
        }
    }

    /// Point of the plane to pixels.
    pub fn to_px(&self, point: [f64; 2]) -> [f64; 2] {
        apply(&self.forward, point)
    }

    /// Pixels to the point of the plane.
    pub fn from_px(&self, px: [f64; 2]) -> [f64; 2] {
        apply(&self.back, px)
    }

    /// Size of a pixel on the plane near a point, as the root of its area.
    pub fn px_size(&self, px: [f64; 2]) -> f64 {
        let [a, b, c] =
            [[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]].map(|d: [f64; 2]| self.from_px([px[0] + d[0], px[1] + d[1]]));
        ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])).abs().sqrt()
    }
}

fn apply(matrix: &Matrix3<f64>, [x, y]: [f64; 2]) -> [f64; 2] {
    let m = |i: usize| matrix[(i, 0)] * x + matrix[(i, 1)] * y + matrix[(i, 2)];
    let w = m(2);
    [m(0) / w, m(1) / w]
}

/// Signed distance into a convex polygon (positive inside) to its nearest edge line; either sense of rotation.
pub(crate) fn depth_inside(polygon: &[[f64; 2]], sense: f64, [x, y]: [f64; 2]) -> f64 {
    let mut least = f64::INFINITY;
    for (i, &[x0, y0]) in polygon.iter().enumerate() {
        let [x1, y1] = polygon[(i + 1) % polygon.len()];
        let length = ((x1 - x0).powi(2) + (y1 - y0).powi(2)).sqrt().max(1e-9);
        least = least.min(sense * ((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / length);
    }
    least
}

/// +1 for a polygon that runs clockwise as seen (y down), −1 for the other.
pub(crate) fn sense(polygon: &[[f64; 2]]) -> f64 {
    let twice: f64 = (0..polygon.len())
        .map(|i| {
            let ([x0, y0], [x1, y1]) = (polygon[i], polygon[(i + 1) % polygon.len()]);
            x0 * y1 - x1 * y0
        })
        .sum();
    twice.signum()
}

/// Smallest whole-pixel box around points, cut to the frame: x0, y0, x1, y1, the last two exclusive.
pub(crate) fn bounds(points: &[[f64; 2]], margin: f64, width: usize, height: usize) -> [usize; 4] {
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for point in points {
        for i in 0..2 {
            low[i] = low[i].min(point[i]);
            high[i] = high[i].max(point[i]);
        }
    }
    let cut = |value: f64, most: usize| value.clamp(0.0, most as f64) as usize;
    [
        cut((low[0] - margin).floor(), width),
        cut((low[1] - margin).floor(), height),
        cut((high[0] + margin).ceil(), width),
        cut((high[1] + margin).ceil(), height),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_go_where_they_are_seen() {
        let corners = [[10.0, 20.0], [210.0, 5.0], [190.0, 160.0], [25.0, 140.0]];
        let pose = Homography::of_rectangle([6.0, 4.0], corners).unwrap();
        for (point, corner) in [[0.0, 0.0], [6.0, 0.0], [6.0, 4.0], [0.0, 4.0]].into_iter().zip(corners) {
            let px = pose.to_px(point);
            assert!((px[0] - corner[0]).hypot(px[1] - corner[1]) < 1e-9);
            let back = pose.from_px(corner);
            assert!((back[0] - point[0]).hypot(back[1] - point[1]) < 1e-9);
        }
    }

    #[test]
    fn crossed_corners_are_refused() {
        let crossed = [[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]];
        assert!(Homography::of_rectangle([1.0, 1.0], crossed).is_err());
    }
}
