//! What is asked about products and trials that can be as they are written down, and yet may be a slip: nothing wrong in itself.

use piece::{Kind, Piece, Product, Step, Trial};

use crate::{
    adrift,
    lessons::{Key, moments_of},
    look::{Look, Moment, covariance_of_difference, pooled_lab},
    set_aside::sound,
    trade::{solvent, step_words},
};

/// A step lightens where it does so by more than so many standard deviations of the two readings, and by so much L* (own
/// judgement).
const SURELY: f64 = 3.0;
const LIGHTER_L: f64 = 2.0;

/// What is asked about the products, the boards and the trials of a piece, in their order, each in one line.
pub fn asked(piece: &Piece) -> Vec<String> {
    let sound = sound(piece);
    // Of what is set aside it is said there.
    let whole = piece.trials.iter().filter(|trial| sound.trials.contains(trial));
    let of_trials = whole.flat_map(|trial| unread(piece, trial).into_iter().chain(lightened(piece, trial)));
    let of_products = piece.products.iter().filter_map(|product| undissolved(product));
    of_products.chain(adrift::words(piece)).chain(of_trials).collect()
}

/// A dye in what does not dissolve it (common practice, no source; the label wins).
fn undissolved(product: &Product) -> Option<String> {
    let said = solvent(&product.reducer);
    let (kind, usual) = match product.kind {
        Kind::AlcoholDye if said == "water" => ("an alcohol dye", "meths"),
        Kind::WaterDye if said == "meths" || said == "white spirit" => ("a water dye", "water"),
        _ => return None,
    };
    Some(format!(
        "{}: {kind} dissolves in {usual}, and {said} is noted: is its kind or its reducer a slip? It counts as it is noted",
        product.name
    ))
}

/// A colour step after which nothing was read.
fn unread(piece: &Piece, trial: &Trial) -> Option<String> {
    let last = trial.stages.iter().rposition(|stage| Key::of(&stage.step).is_some())?;
    let read = trial.stages[last..].iter().any(|stage| !stage.readings.is_empty());
    let step = step_words(piece, &trial.stages[last].step);
    (!read).then(|| {
        format!("trial {}: nothing was read after {step}, so that teaches nothing yet; read its colour", trial.id)
    })
}

/// A colour put on after which the wood was lighter than the errors of the readings allow: a colourant takes light away, unless it
/// hides what is darker.
fn lightened(piece: &Piece, trial: &Trial) -> Option<String> {
    let mut moments = moments_of(piece, trial).into_iter();
    let mut before = moments.next()?.1;
    let mut put_on: Vec<&Step> = Vec::new();
    for (index, after) in moments {
        put_on.extend(index.map(|index| &trial.stages[index].step).filter(|step| Key::of(step).is_some()));
        if after.is_empty() {
            continue;
        }
        if let [step @ (Step::Dye { .. } | Step::Stain { .. } | Step::Glaze { .. } | Step::Toner { .. })] = put_on[..]
            && let Some((from, to)) = lighter(&before, &after)
        {
            return Some(format!(
                "trial {}: lighter after {}, L* {from:.1} before and {to:.1} after: were the two readings swapped? A pigment that \
                 hides may lighten dark wood",
                trial.id,
                step_words(piece, step)
            ));
        }
        put_on.clear();
        before = after;
    }
    None
}

/// L* before and after, where it rose for sure: in one look, or from dry to a coat, which by itself darkens.
fn lighter(before: &Moment<'_>, after: &Moment<'_>) -> Option<(f64, f64)> {
    let alike = Look::ALL.map(|look| (look, look));
    let coated = [Look::SpiritWet, Look::Sealed, Look::Topcoated].map(|look| (Look::Dry, look));
    alike.into_iter().chain(coated).find_map(|(from, to)| {
        let (before, after) = (before.in_look(from), after.in_look(to));
        if before.is_empty() || after.is_empty() {
            return None;
        }
        let (l_before, l_after) = (pooled_lab(&before).l, pooled_lab(&after).l);
        let sd = covariance_of_difference(&before, &after)[(0, 0)].max(0.0).sqrt();
        (l_after - l_before > LIGHTER_L.max(SURELY * sd)).then_some((l_before, l_after))
    })
}
