//! What a camera does to hues. A sensor and a lamp make colours paler or stronger, and turn their hues a little; none turns them
//! far, or mirrors them. A chart of other hues may follow a card's by any such map, and is another card for all that.

use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

/// Degrees by which hues may be turned: own judgement. On 45 photos of a 24-patch chart, some under coloured lamps, some altered,
/// it is 17 at most.
const MOST_TURNED_DEG: f64 = 30.0;

/// √6.
const ROOT_6: f64 = 2.449_489_742_783_178;

/// Whether a camera may record colours so: `weights` are, for each recorded channel, those of the card's lightness, of its red
/// less green and of its blue less green.
///
/// Both sides are seen along two axes at right angles to grey and to each other, in which a gain for each channel, as by a
/// coloured lamp, turns nothing: it is a symmetric matrix there.
pub(super) fn may_be_recorded_so(weights: [[f64; 3]; 3]) -> bool {
    let lightness: f64 = weights.iter().map(|[lightness, ..]| lightness).sum();
    // The card's axes: (red - green) / √2, and (2 blue - red - green) / √6.
    let along = weights.map(|[_, red, blue]| [SQRT_2 * red + FRAC_1_SQRT_2 * blue, 0.5 * ROOT_6 * blue]);
    let [[a, b], [c, d]] = [
        [0, 1].map(|axis| (along[0][axis] - along[1][axis]) * FRAC_1_SQRT_2),
        [0, 1].map(|axis| (2.0 * along[2][axis] - along[0][axis] - along[1][axis]) / ROOT_6),
    ];
    let turned = (c - b).atan2(a + d).to_degrees();
    let is_mirrored = a * d - b * c <= 0.0;
    lightness > 0.0 && !is_mirrored && turned.abs() <= MOST_TURNED_DEG
}
