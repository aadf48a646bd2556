//! The numbers of a step: how often, how strong, how far reduced, how long.

/// `x2`, `2x`, `twice`, `once`, or a bare `2`; once where nothing is said.
pub(super) fn times(words: &[&str]) -> (u32, usize) {
    let Some(word) = words.first() else { return (1, 0) };
    let bare = word.trim_start_matches('x').trim_end_matches('x');
    let number = match *word {
        "once" => Some(1),
        "twice" => Some(2),
        "thrice" => Some(3),
        _ => bare.parse().ok().filter(|n| (1..=9).contains(n)),
    };
    number.map_or((1, 0), |n| (n, 1))
}

/// `wiped off after 5 min`, `wiped 5`, `wipe 5 minutes`: not stated where nothing is said.
pub(super) fn wiped(words: &[&str]) -> Result<(Option<f64>, usize), String> {
    if !matches!(words.first(), Some(&"wiped" | &"wipe")) {
        return Ok((None, 0));
    }
    let before = 1 + words[1..].iter().take_while(|word| matches!(**word, "off" | "after")).count();
    let said = words.get(before).copied().unwrap_or_default();
    let joined = ["minutes", "min"].into_iter().find_map(|unit| said.strip_suffix(unit));
    let minutes = joined.unwrap_or(said).parse::<f64>().ok().filter(|minutes| *minutes > 0.0 && *minutes <= 1440.0);
    let minutes = minutes.ok_or("Wiped off after how many minutes? For instance: wiped 5 min.")?;
    let unit = joined.is_none() && matches!(words.get(before + 1), Some(&"min" | &"minutes" | &"minute"));
    Ok((Some(minutes), before + 1 + usize::from(unit)))
}

/// `4 g/l`, `4g/l`, or a bare `4`.
pub(super) fn grams(words: &[&str]) -> Option<(f64, usize)> {
    let first = words.first()?;
    let (digits, joined) = match first.strip_suffix("g/l") {
        Some(digits) => (digits, true),
        None => (*first, false),
    };
    let value: f64 = digits.parse().ok().filter(|v: &f64| v.is_finite() && *v > 0.0 && *v <= 500.0)?;
    let unit = usize::from(!joined && matches!(words.get(1), Some(&"g/l" | &"g")));
    Some((value, 1 + unit))
}

/// `neat`, or stain to reducer: `1:2` and `2:1`.
pub(super) fn reduced(words: &[&str]) -> Option<(f64, usize)> {
    let word = words.first()?;
    if *word == "neat" {
        return Some((0.0, 1));
    }
    let (stain, reducer) = word.split_once(':')?;
    let (stain, reducer): (f64, f64) = (stain.parse().ok()?, reducer.parse().ok()?);
    (stain > 0.0 && reducer >= 0.0 && reducer / stain <= 100.0).then(|| (reducer / stain, 1))
}
