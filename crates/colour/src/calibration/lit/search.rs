//! Where something may fall on part of the card: of many shadows and reflections, those that would explain most of what is left.

use nalgebra::{DMatrix, Matrix3, Vector3};

use super::{Lit, REFLECTION_SD, Round, SHADOW_SD, Shape, Straight};
use crate::calibration::CastKind;
use crate::calibration::fit::Observed;
use crate::calibration::hypotheses::{Hypothesis, Photo};
use crate::calibration::model::{FLARE, FLARE_CHANNEL, GAIN, PARAMETERS};

/// Directions of a shadow's edge that are tried, of half a turn.
const DIRECTIONS: usize = 12;
/// Distance from one edge tried to the next, and from one reflection's middle to the next, pitches.
const STEP: f64 = 0.5;
/// Breadths and softnesses tried of those with straight edges, pitches.
const STRAIGHT: [(f64, f64); 5] = [(f64::INFINITY, 0.3), (f64::INFINITY, 1.5), (1.5, 0.6), (2.5, 0.6), (3.5, 0.6)];
/// Radii of round ones tried, pitches.
const RADII: [f64; 3] = [0.7, 1.2, 2.0];
/// Steps by which the best of those tried is moved about, pitches.
const FINER: [f64; 3] = [0.24, 0.12, 0.06];
/// Patches in a shadow or a reflection, and out of it, at least.
const FEWEST: f64 = 2.0;

/// The shadow and the reflection that promise most of those with one straight edge, with two, and round, each with what the log
/// evidence would gain by it to first order.
pub(in crate::calibration) fn most_promising(photo: &Photo, fit: &Hypothesis) -> Vec<(f64, Lit)> {
    search(photo, fit).unwrap_or_default()
}

fn search(photo: &Photo, fit: &Hypothesis) -> Option<Vec<(f64, Lit)>> {
    let used = &fit.solution.used;
    let places: Vec<[f64; 2]> = used.iter().map(|&p| photo.pitches_of(photo.seen[p].place)).collect();
    let reference = &photo.editions[fit.edition];
    let (patches, prior) = (photo.patches(fit.curve, fit.lit), photo.prior(fit.lit)?);
    let problem = photo.problem(&patches, reference, &prior);
    let rows: Vec<Observed> = used.iter().map(|&p| problem.observed(&fit.solution.theta, p)).collect();
    let inverse = reference.kernel(used, &photo.pitches).cholesky()?.inverse() / fit.solution.noise;
    let rest = Rest::new(&rows, &inverse, fit);

    let shadow = rest.effect(&rows, SHADOW_SD, |row| {
        let of = |ch: usize| -row.by.column(GAIN + ch).into_owned();
        [of(0) + of(1) + of(2), of(0), of(2)]
    });
    let reflection = rest.effect(&rows, REFLECTION_SD, |row| {
        [FLARE, FLARE_CHANNEL, FLARE_CHANNEL + 2].map(|k| row.by.column(k).into_owned())
    });
    let (ends, goes_on): (Vec<Straight>, Vec<Straight>) = straight(&places).into_iter().partition(Straight::ends);
    let [goes_on, ends] = [goes_on, ends].map(|some| some.into_iter().map(Shape::Straight).collect::<Vec<_>>());
    let round: Vec<Shape> = round(&places).into_iter().map(Shape::Round).collect();
    let mut found = Vec::new();
    for (kind, effect) in [(CastKind::Shadow, &shadow), (CastKind::Reflection, &reflection)] {
        let gain = |shape: Shape| Some((effect.gain_on_part(&places, &shape)?, shape));
        for shapes in [&goes_on, &ends, &round] {
            let best = shapes.iter().copied().filter_map(gain).max_by(|a, b| a.0.total_cmp(&b.0));
            found.extend(best.map(|best| finer(best, gain)).map(|(gain, shape)| (gain, Lit::Cast(kind, shape))));
        }
    }
    Some(found)
}

/// A shape moved about a little as long as that gains.
fn finer(mut best: (f64, Shape), gain: impl Fn(Shape) -> Option<(f64, Shape)>) -> (f64, Shape) {
    for step in FINER {
        let better = |than: (f64, Shape)| {
            let nearby = than.1.nearby(step).into_iter().filter_map(&gain);
            nearby.max_by(|a, b| a.0.total_cmp(&b.0)).filter(|one| one.0 > than.0)
        };
        while let Some(one) = better(best) {
            best = one;
        }
    }
    best
}

/// What is left of a fit.
struct Rest {
    /// Curvature of the cost by the residuals, the model's parameters following them.
    curvature: DMatrix<f64>,
    /// Slope of the cost.
    pull: DMatrix<f64>,
}

impl Rest {
    fn new(rows: &[Observed], inverse: &DMatrix<f64>, fit: &Hypothesis) -> Self {
        let n = rows.len();
        let by = DMatrix::from_fn(3 * n, PARAMETERS, |i, k| rows[i / 3].by[(i % 3, k)]);
        let weighed = DMatrix::from_fn(3 * n, 1, |i, _| rows[i / 3].weighed[i % 3]);
        let whole = DMatrix::from_fn(3 * n, 3 * n, |i, j| if i % 3 == j % 3 { inverse[(i / 3, j / 3)] } else { 0.0 });
        let followed = &whole * by;
        let curvature = &whole - &followed * fit.solution.covariance * followed.transpose();
        Self { curvature, pull: whole * weighed }
    }

    /// What light of one kind does: of all channels, and of red and of blue alone.
    fn effect(&self, rows: &[Observed], sd: [f64; 3], columns: impl Fn(&Observed) -> [Vector3<f64>; 3]) -> Effect {
        let columns: Vec<Matrix3<f64>> = rows.iter().map(|row| Matrix3::from_columns(&columns(row))).collect();
        let n = rows.len();
        let curvature =
            |i: usize, j: usize| columns[i].transpose() * self.curvature.fixed_view::<3, 3>(3 * i, 3 * j) * columns[j];
        Effect {
            curvature: (0..n).map(|i| (0..n).map(|j| curvature(i, j)).collect()).collect(),
            pull: (0..n).map(|i| columns[i].transpose() * self.pull.fixed_view::<3, 1>(3 * i, 0)).collect(),
            expected: Matrix3::from_diagonal(&Vector3::from(sd.map(|sd| 1.0 / (sd * sd)))),
        }
    }
}

/// What light of one kind does to the cost where it falls on patches.
struct Effect {
    /// Curvature by the light on each two patches.
    curvature: Vec<Vec<Matrix3<f64>>>,
    /// Slope by the light on each.
    pull: Vec<Vector3<f64>>,
    /// Precision of what is expected of that light.
    expected: Matrix3<f64>,
}

impl Effect {
    /// As [`Effect::gain`], where enough patches lie in the shape and out of it.
    fn gain_on_part(&self, places: &[[f64; 2]], shape: &Shape) -> Option<f64> {
        let shares: Vec<f64> = places.iter().map(|place| shape.share(*place)).collect();
        let inside: f64 = shares.iter().sum();
        let enough = inside >= FEWEST && shares.len() as f64 - inside >= FEWEST;
        enough.then(|| self.gain(&shares)).flatten()
    }

    /// What the log evidence would gain to first order if such light fell on the patches in these shares, the noise staying as
    /// it is.
    ///
    /// # Source
    /// Laplace's approximation: MacKay (2003) Information Theory, Inference, and Learning Algorithms, 27.
    fn gain(&self, shares: &[f64]) -> Option<f64> {
        let lit: Vec<usize> = (0..shares.len()).filter(|&i| shares[i] > 1e-3).collect();
        let (mut precision, mut pull) = (self.expected, Vector3::zeros());
        for &i in &lit {
            pull += self.pull[i] * shares[i];
            for &j in &lit {
                precision += self.curvature[i][j] * (shares[i] * shares[j]);
            }
        }
        let factor = precision.cholesky()?;
        let spread = factor.determinant() / self.expected.determinant();
        Some(0.5 * pull.dot(&factor.solve(&pull)) - 0.5 * spread.ln())
    }
}

fn straight(places: &[[f64; 2]]) -> Vec<Straight> {
    let mut found = Vec::new();
    for k in 0..DIRECTIONS {
        let (sin, cos) = (std::f64::consts::PI * k as f64 / DIRECTIONS as f64).sin_cos();
        let (least, most) = range(places.iter().map(|[x, y]| cos * x + sin * y));
        for (breadth, softness) in STRAIGHT {
            // one that ends may begin beyond the patches
            let first = if breadth.is_finite() { least - breadth } else { least };
            let edges = ((most - first) / STEP) as usize;
            found.extend((0..edges).map(|step| {
                let at = first + STEP * (step as f64 + 0.5);
                Straight { into: [cos, sin], at, breadth, softness }
            }));
        }
    }
    found
}

fn round(places: &[[f64; 2]]) -> Vec<Round> {
    let along = |axis: usize| {
        let (least, most) = range(places.iter().map(|place| place[axis]));
        (0..=((most - least) / STEP) as usize).map(move |k| least + STEP * k as f64)
    };
    along(0)
        .flat_map(|x| along(1).map(move |y| [x, y]))
        .flat_map(|middle| RADII.map(|radius| Round { middle, radius }))
        .collect()
}

fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), value| (least.min(value), most.max(value)))
}
