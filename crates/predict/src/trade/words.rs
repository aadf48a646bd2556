//! Steps in the trade's words.

use piece::{Bleach, Id, Piece, ProductId, Step, TrialId};

/// One step in the trade's words: 'amber dye 4 g/L', 'oak stain reduced 1:2, 2 coats', 'walnut stain 3 parts + red 1 part,
/// reduced 1:2', 'gel neat, wiped off after 5 min'.
pub fn step_words(piece: &Piece, step: &Step) -> String {
    let name = |id: &ProductId| piece.product(*id).map_or_else(|| id.to_string(), |product| product.name.clone());
    // A mix is named by its parts: what follows them is set off.
    let pot = |id: &ProductId| {
        let mixed = piece.product(*id).is_some_and(|product| !product.mix.is_empty());
        format!("{}{}", name(id), if mixed { "," } else { "" })
    };
    match step {
        Step::LeaveNatural => "leave natural".to_owned(),
        Step::Sand { grit } => format!("sand to {grit}"),
        Step::PreWet => "pre-wet".to_owned(),
        Step::DampDown => "damp down".to_owned(),
        Step::Dye { product, grams_per_litre, coats } => {
            format!("{} {} g/L{}", pot(product), number(*grams_per_litre), coats_words(*coats))
        }
        Step::Washcoat => "washcoat".to_owned(),
        Step::Fill { product } => {
            product.as_ref().map_or_else(|| "fill".to_owned(), |id| format!("fill with {}", name(id)))
        }
        Step::Stain { product, reducer_parts, coats, wipe_minutes } => {
            let wiped = wipe_minutes.map(|minutes| format!(", wiped off after {} min", number(minutes)));
            let (reduced, coats) = (reduced(*reducer_parts), coats_words(*coats));
            format!("{} {reduced}{coats}{}", pot(product), wiped.unwrap_or_default())
        }
        Step::Bleach { kind, times } => {
            let kind = match kind {
                Bleach::TwoPart => "two-part bleach",
                Bleach::Oxalic => "oxalic acid",
                Bleach::Chlorine => "chlorine bleach",
                Bleach::CausticAlone => "caustic soda alone",
            };
            format!("{kind}{}", times_words(*times))
        }
        Step::Seal => "seal".to_owned(),
        Step::Glaze { product, reducer_parts } => format!("{} {}", pot(product), reduced(*reducer_parts)),
        Step::Toner { product, passes } => {
            format!("{}, {passes} {}", name(product), if *passes == 1 { "pass" } else { "passes" })
        }
        Step::Topcoat { topcoat, sheen } if sheen.is_empty() => format!("topcoat {topcoat}"),
        Step::Topcoat { topcoat, sheen } => format!("topcoat {topcoat}, {sheen}"),
    }
}

/// A step without its strength: 'amber dye', 'chlorine bleach'.
pub fn step_name(piece: &Piece, step: &Step) -> String {
    match step {
        Step::Bleach { kind, .. } => step_words(piece, &Step::Bleach { kind: *kind, times: 1 }),
        Step::Dye { product, .. }
        | Step::Stain { product, .. }
        | Step::Glaze { product, .. }
        | Step::Toner { product, .. } => {
            piece.product(*product).map_or_else(|| product.to_string(), |product| product.name.clone())
        }
        _ => step_words(piece, step),
    }
}

/// Trials by number: 'trial 2', 'trials 2 and 5', 'trials 2, 5 and 7'.
pub fn trials_words(trials: &[TrialId]) -> String {
    let numbers: Vec<String> = trials.iter().map(|id| id.number().to_string()).collect();
    match numbers.as_slice() {
        [] => "no trial".to_owned(),
        [one] => format!("trial {one}"),
        [most @ .., last] => format!("trials {} and {last}", most.join(", ")),
    }
}

/// A schedule in words: its colour steps, and a sealer that one of them goes over; the clear coats at its end left out.
pub fn schedule_words(piece: &Piece, steps: &[Step]) -> String {
    let goes_over = |step: &Step| matches!(step, Step::Glaze { .. } | Step::Toner { .. });
    let is_told = |(at, step): &(usize, &Step)| match step {
        Step::Topcoat { .. } | Step::LeaveNatural => false,
        Step::Seal => steps[*at..].iter().any(goes_over),
        _ => true,
    };
    let told = steps.iter().enumerate().filter(is_told);
    let words: Vec<String> = told.map(|(_, step)| step_words(piece, step)).collect();
    if words.is_empty() { "leave natural".to_owned() } else { words.join(", then ") }
}

/// 'neat', 'reduced 1:2', 'reduced 2:1': stain to reducer.
fn reduced(reducer_parts: f64) -> String {
    if reducer_parts <= 0.0 {
        "neat".to_owned()
    } else if reducer_parts < 1.0 {
        format!("reduced {}:1", number(1.0 / reducer_parts))
    } else {
        format!("reduced 1:{}", number(reducer_parts))
    }
}

fn coats_words(coats: u32) -> String {
    if coats == 1 { String::new() } else { format!(", {coats} coats") }
}

fn times_words(times: u32) -> String {
    match times {
        1 => String::new(),
        2 => " twice".to_owned(),
        times => format!(" {times} times"),
    }
}

/// A number with at most two decimals, none where there are none.
fn number(value: f64) -> String {
    piece::number::said((value * 100.0).round() / 100.0)
}
