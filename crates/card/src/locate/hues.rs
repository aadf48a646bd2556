//! What a camera does to hues. A sensor and a lamp make colours paler or stronger, and turn their hues a little; none turns them
//! far, or mirrors them. A chart of other hues may follow a card's by any such map, and is another card for all that.

use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

/// Degrees by which hues may be turned: own judgement. On 45 photos of a 24-patch chart, some under coloured lamps, some altered,
/// it is 17 at most.
const MOST_TURNED_DEG: f64 = 30.0;

/// Spread of a card's colours along the axis on which they differ least from grey, encoded, from which on their hues tell how they are
/// turned: own judgement. A card of browns alone has less; the 24-patch chart has 0.14.
const LEAST_SPREAD: f64 = 0.05;

/// √6.
const ROOT_6: f64 = 2.449_489_742_783_178;

/// Whether colours, by their red less green and blue less green, have hues enough for their turning to be told.
pub(super) fn are_many(colours: impl ExactSizeIterator<Item = [f64; 2]>) -> bool {
    let count = colours.len() as f64;
    let [mut aa, mut ab, mut bb] = [0.0; 3];
    for [red, blue] in colours {
        let [a, b] = [red * FRAC_1_SQRT_2, (2.0 * blue - red) / ROOT_6];
        (aa, ab, bb) = (aa + a * a / count, ab + a * b / count, bb + b * b / count);
    }
    // the smaller eigenvalue of the second moments
    let least = (aa + bb) / 2.0 - ((aa - bb) / 2.0).hypot(ab);
    least > LEAST_SPREAD * LEAST_SPREAD
}

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
