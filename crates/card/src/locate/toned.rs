//! Whether the patches of a card differ in lightness alone, as in a grey picture kept as a colour one, or in a toned one: sepia,
//! duotone. There colour follows from lightness by a smooth curve; of paints it does not.

use super::cell::Cell;
use super::colours::CLIPPED;

/// What may be left of the colours of patches beyond such a curve, encoded, root mean square: own judgement. A grey picture has what
/// storing leaves of nothing, 0.005 or less; of 46 photos of a 24-patch chart, under whatever lamps, the palest has 0.057.
const LEFT: f64 = 0.02;
/// Numbers of the curve: a cubic in lightness.
const TERMS: usize = 4;
/// Fewest patches to tell by: three for each number.
const FEWEST: usize = 3 * TERMS;

/// Whether these patches have no colour but what their lightness gives them. Clipped ones do not count.
pub(crate) fn differ_in_lightness_alone<'a>(cells: impl Iterator<Item = &'a Cell>) -> bool {
    let whole = cells.filter(|cell| cell.raw.iter().all(|channel| *channel < CLIPPED));
    let patches: Vec<[f64; 3]> = whole.map(|cell| cell.rgb).collect();
    if patches.len() < FEWEST {
        return false;
    }
    let lightness: Vec<f64> = patches.iter().map(|[red, green, blue]| (red + green + blue) / 3.0).collect();
    let left = |of: fn(&[f64; 3]) -> f64| beyond_curve(&lightness, patches.iter().map(of).collect());
    let left = left(|rgb| rgb[0] - rgb[1]) + left(|rgb| rgb[2] - rgb[1]);
    (left / (2.0 * patches.len() as f64)).sqrt() < LEFT
}

/// Sum of squares of what a cubic in `at` leaves of values: the part at right angles to its terms (Gram, Schmidt).
fn beyond_curve(at: &[f64], mut values: Vec<f64>) -> f64 {
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let mut terms: Vec<Vec<f64>> = Vec::new();
    for power in 0..TERMS {
        let mut term: Vec<f64> = at.iter().map(|at| at.powi(power as i32)).collect();
        for earlier in &terms {
            let share = dot(&term, earlier);
            term.iter_mut().zip(earlier).for_each(|(value, earlier)| *value -= share * earlier);
        }
        let length = dot(&term, &term).sqrt();
        if length > 1e-9 {
            terms.push(term.into_iter().map(|value| value / length).collect());
        }
    }
    for term in &terms {
        let share = dot(&values, term);
        values.iter_mut().zip(term).for_each(|(value, term)| *value -= share * term);
    }
    dot(&values, &values)
}
