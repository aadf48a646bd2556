//! Projective maps between the card's grid and the picture.

use nalgebra::{DMatrix, Matrix3, SMatrix, SVector, Vector3};

/// A projective map of the plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Homography {
    matrix: Matrix3<f64>,
}

impl Homography {
    /// The map with this matrix, acting on columns (x, y, 1).
    pub fn from_matrix(matrix: Matrix3<f64>) -> Self {
        Self { matrix }
    }

    /// The matrix.
    pub fn matrix(&self) -> &Matrix3<f64> {
        &self.matrix
    }

    /// The image of a point. Points on the vanishing line give numbers that are not finite.
    pub fn apply(&self, point: [f64; 2]) -> [f64; 2] {
        let image = self.matrix * Vector3::new(point[0], point[1], 1.0);
        [image.x / image.z, image.y / image.z]
    }

    /// The map back, where there is one.
    pub fn inverse(&self) -> Option<Homography> {
        self.matrix.try_inverse().map(Self::from_matrix)
    }

    /// This map after another.
    pub fn after(&self, first: &Homography) -> Homography {
        Self::from_matrix(self.matrix * first.matrix)
    }

    /// Derivatives of the image by x and by y at a point, as two vectors.
    pub fn jacobian(&self, point: [f64; 2]) -> [[f64; 2]; 2] {
        let image = self.matrix * Vector3::new(point[0], point[1], 1.0);
        let m = &self.matrix;
        let by = |k: usize| {
            [
                (m[(0, k)] - image.x / image.z * m[(2, k)]) / image.z,
                (m[(1, k)] - image.y / image.z * m[(2, k)]) / image.z,
            ]
        };
        [by(0), by(1)]
    }

    /// Area in the picture of a unit square at a point; 0 where the map folds.
    pub fn unit_area(&self, point: [f64; 2]) -> f64 {
        let [dx, dy] = self.jacobian(point);
        (dx[0] * dy[1] - dx[1] * dy[0]).abs()
    }

    /// The map that fits pairs (from, to) best in the sense of algebraic error after normalisation.
    ///
    /// Needs four pairs in general position; `None` where they do not determine a map.
    ///
    /// # Source
    /// Hartley R., Zisserman A. (2004), Multiple View Geometry, 2nd ed., algorithm 4.2 (normalised DLT).
    pub fn fit(pairs: &[([f64; 2], [f64; 2])]) -> Option<Homography> {
        if pairs.len() < 4 {
            return None;
        }
        let from = normalising(pairs.iter().map(|pair| pair.0))?;
        let to = normalising(pairs.iter().map(|pair| pair.1))?;
        let mut normal = SMatrix::<f64, 9, 9>::zeros();
        for &(source, image) in pairs {
            let [x, y] = from.apply(source);
            let [u, v] = to.apply(image);
            for row in [
                SVector::<f64, 9>::from([x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, -u]),
                SVector::<f64, 9>::from([0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y, -v]),
            ] {
                normal += row * row.transpose();
            }
        }
        let eigen = normal.symmetric_eigen();
        let mut order: Vec<usize> = (0..9).collect();
        order.sort_by(|&a, &b| eigen.eigenvalues[a].total_cmp(&eigen.eigenvalues[b]));
        // A second vanishing eigenvalue: the points lie in a line, or three of four do.
        if eigen.eigenvalues[order[1]] < 1e-9 * eigen.eigenvalues[order[8]] {
            return None;
        }
        let h = eigen.eigenvectors.column(order[0]);
        let normalised = Matrix3::new(h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], h[8]);
        let matrix = to.matrix.try_inverse()? * normalised * from.matrix;
        let scale = matrix[(2, 2)];
        let matrix = if scale.abs() > 1e-12 { matrix / scale } else { matrix };
        matrix.iter().all(|value| value.is_finite()).then_some(Self { matrix })
    }

    /// The affine map that fits pairs (from, to) by least squares; needs three pairs not in a line.
    pub fn fit_affine(pairs: &[([f64; 2], [f64; 2])]) -> Option<Homography> {
        if pairs.len() < 3 {
            return None;
        }
        let a = DMatrix::from_fn(pairs.len(), 3, |i, j| if j < 2 { pairs[i].0[j] } else { 1.0 });
        let b = DMatrix::from_fn(pairs.len(), 2, |i, j| pairs[i].1[j]);
        let normal = a.transpose() * &a;
        let determinant = normal.determinant();
        if determinant.abs() < 1e-9 {
            return None;
        }
        let x = normal.try_inverse()? * a.transpose() * b;
        let m = Matrix3::new(x[(0, 0)], x[(1, 0)], x[(2, 0)], x[(0, 1)], x[(1, 1)], x[(2, 1)], 0.0, 0.0, 1.0);
        Some(Self { matrix: m })
    }

    /// [`fit`](Self::fit) where some pairs may be wrong: pairs further off than `tolerance` (in the image) are dropped,
    /// worst first, until all agree. Returns the map and which pairs were kept.
    pub fn fit_robust(pairs: &[([f64; 2], [f64; 2])], tolerance: f64) -> Option<(Homography, Vec<bool>)> {
        let mut kept = vec![true; pairs.len()];
        for _ in 0..pairs.len() {
            let now: Vec<_> = pairs.iter().zip(&kept).filter(|(_, keep)| **keep).map(|(pair, _)| *pair).collect();
            let map = if now.len() < 7 { Self::fit_affine(&now)? } else { Self::fit(&now)? };
            let off = |pair: &([f64; 2], [f64; 2])| {
                let [x, y] = map.apply(pair.0);
                let distance = (x - pair.1[0]).hypot(y - pair.1[1]);
                if distance.is_finite() { distance } else { f64::INFINITY }
            };
            let worst = (0..pairs.len())
                .filter(|&i| kept[i])
                .map(|i| (off(&pairs[i]), i))
                .max_by(|a, b| a.0.total_cmp(&b.0))?;
            if worst.0 <= tolerance {
                for (keep, pair) in kept.iter_mut().zip(pairs) {
                    *keep = off(pair) <= tolerance;
                }
                return Some((map, kept));
            }
            kept[worst.1] = false;
        }
        None
    }
}

/// The similarity that brings points to mean 0 and root-mean-square distance √2.
fn normalising(points: impl Iterator<Item = [f64; 2]> + Clone) -> Option<Homography> {
    let count = points.clone().count() as f64;
    let sum = points.clone().fold([0.0, 0.0], |sum, p| [sum[0] + p[0], sum[1] + p[1]]);
    let mean = [sum[0] / count, sum[1] / count];
    let spread = points.map(|p| (p[0] - mean[0]).powi(2) + (p[1] - mean[1]).powi(2)).sum::<f64>() / count;
    if !(spread.is_finite() && spread > 0.0) {
        return None;
    }
    let scale = (2.0 / spread).sqrt();
    Some(Homography::from_matrix(Matrix3::new(
        scale,
        0.0,
        -scale * mean[0],
        0.0,
        scale,
        -scale * mean[1],
        0.0,
        0.0,
        1.0,
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: [f64; 2], b: [f64; 2], tolerance: f64) {
        assert!((a[0] - b[0]).abs() < tolerance && (a[1] - b[1]).abs() < tolerance, "{a:?} is not {b:?}");
    }

    // By hand: w = x/2 + 1, so (x, y) goes to (2x/w, (x + y)/w).
    fn by_hand() -> Homography {
        Homography::from_matrix(Matrix3::new(2.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.5, 0.0, 1.0))
    }

    #[test]
    fn applies_a_map_worked_by_hand() {
        near(by_hand().apply([0.0, 0.0]), [0.0, 0.0], 1e-15);
        near(by_hand().apply([2.0, 0.0]), [2.0, 1.0], 1e-15);
        near(by_hand().apply([2.0, 4.0]), [2.0, 3.0], 1e-15);
        near(by_hand().apply([0.0, 4.0]), [0.0, 4.0], 1e-15);
        near(by_hand().apply([-1.0, 1.0]), [-4.0, 0.0], 1e-15);
    }

    #[test]
    fn four_corners_fix_the_map_worked_by_hand() {
        let pairs =
            [([0.0, 0.0], [0.0, 0.0]), ([2.0, 0.0], [2.0, 1.0]), ([2.0, 4.0], [2.0, 3.0]), ([0.0, 4.0], [0.0, 4.0])];
        let fitted = Homography::fit(&pairs).unwrap();
        // by hand: (1, 1) goes to (2/1.5, 2/1.5); the diagonals' crossing goes to the crossing of the images
        near(fitted.apply([1.0, 1.0]), [4.0 / 3.0, 4.0 / 3.0], 1e-9);
        near(fitted.apply([-1.0, 1.0]), [-4.0, 0.0], 1e-8);
        near(fitted.inverse().unwrap().apply([4.0 / 3.0, 4.0 / 3.0]), [1.0, 1.0], 1e-9);
    }

    #[test]
    fn derivative_is_the_quotient_rule() {
        // by hand at (2, 4): u = 2x/w, du/dx = (2w - x)/w² = (4 - 2)/4; v = (x+y)/w, dv/dx = (w - (x+y)/2)/w² = -1/4; dv/dy = 1/2
        let [dx, dy] = by_hand().jacobian([2.0, 4.0]);
        near(dx, [0.5, -0.25], 1e-12);
        near(dy, [0.0, 0.5], 1e-12);
        assert!((by_hand().unit_area([2.0, 4.0]) - 0.25).abs() < 1e-12);
    }

    #[test]
    fn points_in_a_line_fix_nothing() {
        let pairs: Vec<_> = (0..6).map(|k| ([f64::from(k), f64::from(k)], [f64::from(k), 1.0])).collect();
        assert_eq!(Homography::fit(&pairs), None);
        assert_eq!(Homography::fit(&pairs[..3]), None);
        assert_eq!(Homography::fit_affine(&pairs), None);
    }

    #[test]
    fn wrong_pairs_are_dropped() {
        let mut pairs = Vec::new();
        for i in 0..5 {
            for j in 0..4 {
                let p = [f64::from(i), f64::from(j)];
                pairs.push((p, by_hand().apply(p)));
            }
        }
        pairs[3].1[0] += 1.0;
        pairs[11].1[1] -= 0.7;
        let (map, kept) = Homography::fit_robust(&pairs, 0.05).unwrap();
        assert_eq!(kept.iter().enumerate().filter(|(_, k)| !**k).map(|(i, _)| i).collect::<Vec<_>>(), [3, 11]);
        near(map.apply([6.0, 6.0]), [3.0, 3.0], 1e-6);
    }
}
