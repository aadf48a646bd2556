//! The card's patch grid laid over the photo.

use nalgebra::{Matrix3, Vector3};

use crate::{Error, Result};

/// The patch grid of a card seen through its four corners.
#[derive(Clone, Debug)]
pub struct Grid {
    /// Rows of patches.
    pub rows: usize,
    /// Columns of patches.
    pub columns: usize,
    /// Gap between two patches as a share of their pitch.
    pub gap_fraction: f64,
    photo_from_card: Matrix3<f64>,
    card_from_photo: Matrix3<f64>,
}

impl Grid {
    /// The grid of `rows` × `columns` patches whose outer edge has these corners, in upright photo pixels: from the
    /// outer corner of the first patch along the first row and round.
    ///
    /// # Errors
    /// [`Error::Corners`] where they are not finite, coincide, lie in a line or cross over.
    pub fn new(rows: usize, columns: usize, gap_fraction: f64, corners_px: [[f64; 2]; 4]) -> Result<Self> {
        if corners_px.iter().flatten().any(|value| !value.is_finite()) {
            return Err(Error::Corners("they must be numbers".into()));
        }
        check_convex(&corners_px)?;
        let size = [columns as f64 - gap_fraction, rows as f64 - gap_fraction];
        let scale = Matrix3::new(1.0 / size[0], 0.0, 0.0, 0.0, 1.0 / size[1], 0.0, 0.0, 0.0, 1.0);
        let photo_from_card = photo_from_unit_square(&corners_px) * scale;
        let card_from_photo =
            photo_from_card.try_inverse().ok_or_else(|| Error::Corners("they lie in a line".into()))?;
        Ok(Self { rows, columns, gap_fraction, photo_from_card, card_from_photo })
    }

    /// Photo pixels of a place on the card, in patch pitches from the outer corner of the first patch.
    pub fn photo_from_card(&self, place: [f64; 2]) -> [f64; 2] {
        apply(&self.photo_from_card, place)
    }

    /// The place on the card's plane under a photo pixel, in patch pitches from the outer corner of the first patch.
    pub fn card_from_photo(&self, pixel: [f64; 2]) -> [f64; 2] {
        apply(&self.card_from_photo, pixel)
    }

    /// The same place with the card reaching from -1 to 1 each way.
    pub fn unit_from_card(&self, place: [f64; 2]) -> [f64; 2] {
        let size = [self.columns as f64 - self.gap_fraction, self.rows as f64 - self.gap_fraction];
        [2.0 * place[0] / size[0] - 1.0, 2.0 * place[1] / size[1] - 1.0]
    }

    /// Middle of the grid in photo pixels.
    pub fn middle(&self) -> [f64; 2] {
        let size = [self.columns as f64 - self.gap_fraction, self.rows as f64 - self.gap_fraction];
        self.photo_from_card(size.map(|length| length / 2.0))
    }

    /// Centre of a patch, in pitches; patches are counted row by row.
    pub fn patch_centre(&self, patch: usize) -> [f64; 2] {
        let half = (1.0 - self.gap_fraction) / 2.0;
        [(patch % self.columns) as f64 + half, (patch / self.columns) as f64 + half]
    }

    /// Corners in the photo of the central part of a patch, `share` of its side.
    pub fn patch_quad(&self, patch: usize, share: f64) -> [[f64; 2]; 4] {
        let [x, y] = self.patch_centre(patch);
        let half = share * (1.0 - self.gap_fraction) / 2.0;
        [[-half, -half], [half, -half], [half, half], [-half, half]]
            .map(|[dx, dy]| self.photo_from_card([x + dx, y + dy]))
    }

    /// Area in square pitches of the card's plane covered by one photo pixel there.
    pub fn pixel_area(&self, pixel: [f64; 2]) -> f64 {
        let image = self.card_from_photo * Vector3::new(pixel[0], pixel[1], 1.0);
        (self.card_from_photo.determinant() / image.z.powi(3)).abs()
    }
}

fn apply(map: &Matrix3<f64>, [x, y]: [f64; 2]) -> [f64; 2] {
    let image = map * Vector3::new(x, y, 1.0);
    [image.x / image.z, image.y / image.z]
}

/// The projective map of the unit square's corners, from the origin along x and round, to four points.
///
/// # Source
/// Heckbert P. (1989), Fundamentals of Texture Mapping and Image Warping, UCB/CSD 89/516, 2.2.3.
fn photo_from_unit_square(corners: &[[f64; 2]; 4]) -> Matrix3<f64> {
    let [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = *corners;
    let (dx1, dx2, sx) = (x1 - x2, x3 - x2, x0 - x1 + x2 - x3);
    let (dy1, dy2, sy) = (y1 - y2, y3 - y2, y0 - y1 + y2 - y3);
    let determinant = dx1 * dy2 - dx2 * dy1;
    let g = (sx * dy2 - dx2 * sy) / determinant;
    let h = (dx1 * sy - sx * dy1) / determinant;
    Matrix3::new(x1 - x0 + g * x1, x3 - x0 + h * x3, x0, y1 - y0 + g * y1, y3 - y0 + h * y3, y0, g, h, 1.0)
}

fn check_convex(corners: &[[f64; 2]; 4]) -> Result<()> {
    let turn = |k: usize| {
        let ([a, b, c], at) = ([k, k + 1, k + 2], |i: usize| corners[i % 4]);
        let (ab, bc) = ([at(b)[0] - at(a)[0], at(b)[1] - at(a)[1]], [at(c)[0] - at(b)[0], at(c)[1] - at(b)[1]]);
        ab[0] * bc[1] - ab[1] * bc[0]
    };
    let turns = [0, 1, 2, 3].map(turn);
    if turns.iter().any(|turn| turn.abs() < 4.0) {
        return Err(Error::Corners(
            "two of them coincide or three lie in a line; give the four outer corners of the patch grid".into(),
        ));
    }
    if turns.iter().any(|turn| turn.signum() != turns[0].signum()) {
        return Err(Error::Corners(
            "the outline crosses itself; give the corners in order, round the patch grid".into(),
        ));
    }
    Ok(())
}
