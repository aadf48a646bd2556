//! The shape of a set of pixels from its moments: whether it is a parallelogram, and which.

use super::Blob;

/// Area over the area of the parallelogram with the same second moments: 1 for every parallelogram, 1.047 for ellipses,
/// less for ragged or hollow shapes.
const FULLNESS: std::ops::Range<f64> = 0.86..1.06;

/// Squareness after whitening: 1 for a parallelogram's corners, 0 for an ellipse.
const LEAST_SQUARENESS: f64 = 0.18;

/// Area, first and second moments of a set of pixels.
#[derive(Clone, Copy, Default)]
pub(super) struct Moments {
    /// Pixels.
    pub(super) n: f64,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
    yy: f64,
}

impl Moments {
    pub(super) fn of_run(start: usize, end: usize, row: usize) -> Moments {
        let (a, b, y) = (start as f64, end as f64, row as f64);
        let n = b - a;
        let x = n * (a + b - 1.0) / 2.0;
        let squares = |k: f64| (k - 1.0) * k * (2.0 * k - 1.0) / 6.0;
        Moments { n, x, y: n * y, xx: squares(b) - squares(a), xy: x * y, yy: n * y * y }
    }

    pub(super) fn add(&mut self, other: &Moments) {
        self.n += other.n;
        self.x += other.x;
        self.y += other.y;
        self.xx += other.xx;
        self.xy += other.xy;
        self.yy += other.yy;
    }
}

/// The ellipse of inertia: middle and the lower triangle of the Cholesky factor of the covariance.
pub(super) struct Ellipse {
    centre: [f64; 2],
    area: f64,
    l: [f64; 3],
}

/// Fourth circular moment of the outline in whitened coordinates: its angle is four times that of a corner.
#[derive(Default)]
pub(super) struct Corners {
    re: f64,
    im: f64,
    weight: f64,
}

impl Corners {
    pub(super) fn add(&mut self, p: [f64; 2]) {
        let r2 = p[0] * p[0] + p[1] * p[1];
        if r2 <= 0.0 {
            return;
        }
        // weight r⁴: corners stand out
        let (c2, s2) = (p[0] * p[0] - p[1] * p[1], 2.0 * p[0] * p[1]);
        self.re += c2 * c2 - s2 * s2;
        self.im += 2.0 * c2 * s2;
        self.weight += r2 * r2;
    }
}

impl Ellipse {
    pub(super) fn of(m: &Moments) -> Option<Ellipse> {
        let centre = [m.x / m.n, m.y / m.n];
        // 1/12: a pixel is a unit square, not a point
        let xx = m.xx / m.n - centre[0] * centre[0] + 1.0 / 12.0;
        let yy = m.yy / m.n - centre[1] * centre[1] + 1.0 / 12.0;
        let xy = m.xy / m.n - centre[0] * centre[1];
        let determinant = xx * yy - xy * xy;
        if determinant <= 0.0 || !FULLNESS.contains(&(m.n / (12.0 * determinant.sqrt()))) {
            return None;
        }
        // not a strip: the axes of inertia within a factor of 3.3
        let (half, root) = ((xx + yy) / 2.0, (((xx - yy) / 2.0).powi(2) + xy * xy).sqrt());
        if (half + root) > 11.0 * (half - root) {
            return None;
        }
        let l0 = xx.sqrt();
        let l1 = xy / l0;
        Some(Ellipse { centre, area: m.n, l: [l0, l1, (yy - l1 * l1).max(0.0).sqrt()] })
    }

    pub(super) fn whitened(&self, x: f64, y: f64) -> [f64; 2] {
        let (dx, dy) = (x - self.centre[0], y - self.centre[1]);
        let p = dx / self.l[0];
        [p, (dy - self.l[1] * p) / self.l[2]]
    }

    pub(super) fn parallelogram(&self, corners: &Corners) -> Option<Blob> {
        let squareness = corners.re.hypot(corners.im) / corners.weight;
        if squareness < LEAST_SQUARENESS {
            return None;
        }
        let angle = corners.im.atan2(corners.re) / 4.0;
        // A square of unit covariance has sides of √12, at 45° to its corners.
        let side = |turn: f64| {
            let (s, c) = (angle + turn).sin_cos();
            let length = 12f64.sqrt();
            [length * self.l[0] * c, length * (self.l[1] * c + self.l[2] * s)]
        };
        let quarter = std::f64::consts::FRAC_PI_4;
        Some(Blob {
            centre: [self.centre[0] + 0.5, self.centre[1] + 0.5],
            sides: [side(-quarter), side(quarter)],
            area: self.area,
        })
    }
}
