//! Where the card and the panels of a random scene lie.

use super::{Ranges, within};
use crate::Card;
use rand::Rng;
use rand_pcg::Pcg64;

/// Least side of a box a panel may fill.
const LEAST_BOX_PX: f64 = 130.0;
/// Kept clear around the card, and at the frame's edge.
const CLEAR_PX: f64 = 14.0;

/// Corners of the card's grid: tilted, turned, and placed so that it lies in the frame with room for a panel beside it.
pub(super) fn card_corners(rng: &mut Pcg64, ranges: &Ranges, size: [f64; 2], border: f64) -> [[f64; 2]; 4] {
    let frame = ranges.frame_px.map(f64::from);
    let mut share = within(rng, ranges.card_share);
    let tilt = within(rng, ranges.tilt_deg).to_radians();
    let axis = within(rng, [0.0, std::f64::consts::TAU]);
    let turn = if rng.random_range(0..3) == 0 { within(rng, [-180.0, 180.0]) } else { within(rng, [-25.0, 25.0]) };
    let place = [rng.random::<f64>(), rng.random::<f64>()];
    loop {
        let scale = share * frame[0] / size[0];
        let seen = |point: [f64; 2]| tilted(point, size, scale, tilt, axis, turn.to_radians(), 2.2 * frame[0]);
        let (w, h) = (size[0], size[1]);
        let outer = [[-border, -border], [w + border, -border], [w + border, h + border], [-border, h + border]];
        let [x0, y0, x1, y1] = span(&outer.map(seen));
        let room = [frame[0] - (x1 - x0) - 2.0 * CLEAR_PX, frame[1] - (y1 - y0) - 2.0 * CLEAR_PX];
        if room[0] >= 0.0 && room[1] >= 0.0 && (room[0] > 2.0 * LEAST_BOX_PX || room[1] > 2.0 * LEAST_BOX_PX) {
            // Towards the sides, so that what is left is one large box rather than two slim ones.
            let at = |i: usize| {
                let p = place[i];
                CLEAR_PX + room[i] * if p < 0.5 { 2.0 * p * p } else { 1.0 - 2.0 * (1.0 - p) * (1.0 - p) }
            };
            let (dx, dy) = (at(0) - x0, at(1) - y0);
            return [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]].map(|point| {
                let [x, y] = seen(point);
                [x + dx, y + dy]
            });
        }
        share *= 0.95;
    }
}

/// A point of a plane, centred, turned, tilted about an axis in its plane, and seen from a distance.
pub(super) fn tilted(
    point: [f64; 2],
    size: [f64; 2],
    scale: f64,
    tilt: f64,
    axis: f64,
    turn: f64,
    far: f64,
) -> [f64; 2] {
    let [x, y] = [(point[0] - size[0] / 2.0) * scale, (point[1] - size[1] / 2.0) * scale];
    let [x, y] = [x * turn.cos() - y * turn.sin(), x * turn.sin() + y * turn.cos()];
    let along = x * axis.cos() + y * axis.sin();
    let across = -x * axis.sin() + y * axis.cos();
    let (across, away) = (across * tilt.cos(), across * tilt.sin());
    let near = far / (far + away);
    [(along * axis.cos() - across * axis.sin()) * near, (along * axis.sin() + across * axis.cos()) * near]
}

fn span(points: &[[f64; 2]]) -> [f64; 4] {
    points.iter().fold([f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY], |[x0, y0, x1, y1], p| {
        [x0.min(p[0]), y0.min(p[1]), x1.max(p[0]), y1.max(p[1])]
    })
}

/// Boxes clear of the card, largest first: to its left and right over the whole height, above and below it between.
pub(super) fn free_boxes(card: &Card, frame: [f64; 2]) -> Vec<[f64; 4]> {
    let [x0, y0, x1, y1] = span(&card.corners_px);
    // The dark frame is at most this far outside the grid.
    let margin = CLEAR_PX + card.border * (x1 - x0).max(y1 - y0) / 4.0;
    let [x0, y0, x1, y1] = [x0 - margin, y0 - margin, x1 + margin, y1 + margin];
    let [w, h] = frame;
    let e = CLEAR_PX;
    let (left, right) = (x0.max(e), x1.min(w - e));
    let mut boxes = vec![[e, e, x0, h - e], [x1, e, w - e, h - e], [left, e, right, y0], [left, y1, right, h - e]];
    boxes.retain(|[x0, y0, x1, y1]| x1 - x0 >= LEAST_BOX_PX && y1 - y0 >= LEAST_BOX_PX);
    let area = |b: &[f64; 4]| (b[2] - b[0]) * (b[3] - b[1]);
    boxes.sort_by(|a, b| area(b).total_cmp(&area(a)));
    boxes
}

/// The corners of a box, each drawn in a little.
pub(super) fn jittered(rng: &mut Pcg64, [x0, y0, x1, y1]: [f64; 4]) -> [[f64; 2]; 4] {
    let reach = 0.06 * (x1 - x0).min(y1 - y0);
    let mut inward = || within(rng, [0.02 * reach, reach]);
    [
        [x0 + inward(), y0 + inward()],
        [x1 - inward(), y0 + inward()],
        [x1 - inward(), y1 - inward()],
        [x0 + inward(), y1 - inward()],
    ]
}
