//! Steps in words.

use piece::{Bleach, Piece, Step};

/// A bleach.
pub fn bleach(kind: Bleach) -> &'static str {
    match kind {
        Bleach::TwoPart => "two-part",
        Bleach::Oxalic => "oxalic",
        Bleach::Chlorine => "chlorine",
        Bleach::CausticAlone => "caustic soda",
    }
}

/// A step as its name and how much of it: `amber dye`, `4 g/L`.
pub fn step_parts(piece: &Piece, step: &Step) -> (String, String) {
    let product = |id| piece.product(id).map_or_else(|| "a product taken away".into(), |p| p.name.clone());
    let times = |n: u32| if n > 1 { format!("×{n}") } else { String::new() };
    let join = |a: String, b: String| {
        if b.is_empty() {
            a
        } else if a.is_empty() {
            b
        } else {
            format!("{a} {b}")
        }
    };
    match step {
        Step::LeaveNatural => ("leave natural".into(), String::new()),
        Step::Sand { grit } => ("sand".into(), format!("{grit} grit")),
        Step::PreWet => ("pre-wet".into(), String::new()),
        Step::DampDown => ("damp down".into(), "de-nib when dry".into()),
        Step::Dye { product: id, grams_per_litre, coats } => {
            (product(*id), join(format!("{} g/L", trim(*grams_per_litre)), times(*coats)))
        }
        Step::Washcoat => ("washcoat".into(), String::new()),
        Step::Fill { product: id } => (id.map_or_else(|| "fill".into(), product), String::new()),
        Step::Stain { product: id, reducer_parts, coats, wipe_minutes } => {
            let how = join(reduced(*reducer_parts), times(*coats));
            let wiped = wipe_minutes.map(|minutes| format!(", wiped off after {} min", trim(minutes)));
            (product(*id), how + &wiped.unwrap_or_default())
        }
        Step::Bleach { kind, times: n } => (bleach(*kind).into(), times(*n)),
        Step::Seal => ("seal".into(), String::new()),
        Step::Glaze { product: id, reducer_parts } => (product(*id), reduced(*reducer_parts)),
        Step::Toner { product: id, passes } => (product(*id), times(*passes)),
        Step::Topcoat { topcoat, sheen } => (format!("{topcoat} topcoat").trim().to_owned(), sheen.clone()),
    }
}

/// A step in one run of words.
pub fn step(piece: &Piece, one: &Step) -> String {
    let (name, how) = step_parts(piece, one);
    // A mix is named by its parts: how much of it is set off.
    let mixed = match one {
        Step::Dye { product, .. }
        | Step::Stain { product, .. }
        | Step::Glaze { product, .. }
        | Step::Toner { product, .. } => piece.product(*product).is_some_and(|product| !product.mix.is_empty()),
        _ => false,
    };
    match how.as_str() {
        "" => name,
        how => format!("{name}{} {how}", if mixed { "," } else { "" }),
    }
}

/// Steps in one run of words.
pub fn steps(piece: &Piece, steps: &[Step]) -> String {
    steps.iter().map(|one| step(piece, one)).collect::<Vec<_>>().join(", ")
}

/// How far a stain is reduced: `neat`, `1:2`.
pub fn reduced(reducer_parts: f64) -> String {
    if reducer_parts <= 0.0 {
        "neat".into()
    } else if reducer_parts >= 1.0 {
        format!("1:{}", trim(reducer_parts))
    } else {
        format!("{}:1", trim(1.0 / reducer_parts))
    }
}

/// A number with at most two decimals, none where there are none.
pub(crate) fn trim(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::reduced;

    #[test]
    fn a_stain_is_reduced_in_parts_of_stain_to_reducer() {
        assert_eq!([0.0, 0.5, 2.0].map(reduced), ["neat", "2:1", "1:2"]);
    }
}
