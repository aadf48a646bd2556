//! The numbers of a step: how often, how strong, how far reduced, how long. Each may be what a piece takes; of any other
//! number it is said what it may be.

/// Most times that a bleach goes on, most coats, and most passes of toner.
pub(super) const BLEACHINGS: u32 = 10;
pub(super) const COATS: u32 = 20;
pub(super) const PASSES: u32 = 100;
/// The strongest dye, g/L.
const GRAMS: f64 = 1000.0;
/// Most parts of reducer to one of colour.
const REDUCER: f64 = 1000.0;
/// Longest time until a stain is wiped off, minutes.
const MINUTES: f64 = 1440.0;
/// Coarsest and finest grit.
pub(crate) const GRITS: [u32; 2] = [16, 5000];

/// `x2`, `2x`, `twice`, `once`, or a bare `2`; once where nothing is said.
pub(super) fn times(words: &[&str], name: &str, most: u32) -> Result<(u32, usize), String> {
    let Some(word) = words.first() else { return Ok((1, 0)) };
    let said = ["once", "twice", "thrice"].iter().position(|often| often == word).map(|place| place as u32 + 1);
    if let Some(often) = said {
        return Ok((often, 1));
    }
    let bare = word.trim_start_matches('x').trim_end_matches('x');
    if number(bare).is_none() {
        return Ok((1, 0));
    }
    match bare.parse().ok().filter(|often| (1..=most).contains(often)) {
        Some(often) => Ok((often, 1)),
        None => Err(format!("‘{word}’ behind {name}: how often is a whole number from 1 to {most}, as in {name} x2.")),
    }
}

/// `180`, `p180`, `180 grit`.
pub(crate) fn grit(words: &[&str]) -> Result<(u32, usize), String> {
    let [coarsest, finest] = GRITS;
    let Some(word) = words.first() else {
        return Err(format!("Sand to which grit? It is a number from {coarsest} to {finest}, as in sand 180."));
    };
    let grit = word.trim_start_matches(['p', 'g']).parse().ok().filter(|grit| (coarsest..=finest).contains(grit));
    let grit = grit.ok_or_else(|| {
        format!("‘{word}’ behind sand: the grit is a number from {coarsest} to {finest}, as in sand 180.")
    })?;
    Ok((grit, if words.get(1) == Some(&"grit") { 2 } else { 1 }))
}

/// `wiped off after 5 min`, `wiped 5`, `wipe 5 minutes`: not stated where nothing is said.
pub(super) fn wiped(words: &[&str]) -> Result<(Option<f64>, usize), String> {
    if !matches!(words.first(), Some(&"wiped" | &"wipe")) {
        return Ok((None, 0));
    }
    let before = 1 + words[1..].iter().take_while(|word| matches!(**word, "off" | "after")).count();
    let said = words.get(before).copied().unwrap_or_default();
    let joined = ["minutes", "min"].into_iter().find_map(|unit| said.strip_suffix(unit));
    let minutes = number(joined.unwrap_or(said)).filter(|minutes| *minutes > 0.0 && *minutes <= MINUTES);
    let minutes = minutes.ok_or_else(|| {
        format!("Wiped off after how many minutes? More than 0 and at most {MINUTES}, as in wiped 5 min.")
    })?;
    let unit = joined.is_none() && matches!(words.get(before + 1), Some(&"min" | &"minutes" | &"minute"));
    Ok((Some(minutes), before + 1 + usize::from(unit)))
}

/// `4 g/l`, `4g/l`, or a bare `4`: a dye says how strong it is.
pub(super) fn grams(words: &[&str], name: &str) -> Result<(f64, usize), String> {
    let range = format!("more than 0 and at most {GRAMS} g/L, as in {name} 4 g/L.");
    let first = words.first().copied().unwrap_or_default();
    let (digits, joined) = match first.strip_suffix("g/l") {
        Some(digits) => (digits, true),
        None => (first, false),
    };
    let Some(value) = number(digits) else {
        return Err(format!("How strong is {name}? Say so behind it: {range}"));
    };
    if !(value > 0.0 && value <= GRAMS) {
        return Err(format!("‘{first}’ behind {name}: its strength is {range}"));
    }
    let unit = usize::from(!joined && matches!(words.get(1), Some(&"g/l" | &"g")));
    Ok((value, 1 + unit))
}

/// `neat`, or colour to reducer: `1:2` and `2:1`; neat where nothing is said.
pub(super) fn reduced(words: &[&str], name: &str) -> Result<(f64, usize), String> {
    let word = words.first().copied().unwrap_or_default();
    if word == "neat" {
        return Ok((0.0, 1));
    }
    let Some((colour, reducer)) = word.split_once(':') else { return Ok((0.0, 0)) };
    match (number(colour), number(reducer)) {
        (Some(colour), Some(reducer)) if colour > 0.0 && reducer >= 0.0 && reducer / colour <= REDUCER => {
            Ok((reducer / colour, 1))
        }
        _ => Err(format!(
            "‘{word}’ behind {name}: parts of it to parts of reducer, from neat to 1:{REDUCER}, as in {name} 1:2."
        )),
    }
}

/// A number as it is typed, with a point or a comma.
fn number(text: &str) -> Option<f64> {
    let text = text.replace(',', ".").replace('−', "-");
    let typed = text.starts_with(|sign: char| sign.is_ascii_digit() || matches!(sign, '-' | '.'));
    text.parse().ok().filter(|value: &f64| typed && value.is_finite())
}
