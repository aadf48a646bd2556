//! Words for steps, states, numbers and odds, the same in the window and on paper.

use piece::{Bleach, Grain, Piece, Reading, State, Step, Surface};
use predict::Interval;

/// A signed or unsigned number to one decimal, with a real minus.
pub fn number(value: f64) -> String {
    decimals(value, 1)
}

/// A number to so many decimals, with a real minus and no negative zero.
pub fn decimals(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.into(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// A range: `15.1–16.2`; a lower bound under 0.05 is written `0`.
pub fn range(interval: Interval) -> String {
    let low = if interval.low.abs() < 0.05 { "0".into() } else { number(interval.low) };
    format!("{low}–{}", number(interval.high))
}

/// Half the width of an interval: `± 0.5`.
pub fn plus_minus(interval: Interval) -> String {
    format!("± {}", number((interval.high - interval.low).abs() / 2.0))
}

/// Odds in tenths: `9 in 10`, `hardly` under half of one, `none` where there are none to speak of.
pub fn odds(chance: f64) -> String {
    match chance * 10.0 {
        c if c < 0.05 => "none".into(),
        c if c < 0.5 => "hardly".into(),
        c if c > 9.5 => "nearly sure".into(),
        c => format!("{} in 10", c.round() as u32),
    }
}

/// Hours of work in whole or half hours: `3 h`, `half an hour`.
pub fn hours(hours: f64) -> String {
    match hours {
        h if h < 0.05 => "no work".into(),
        h if h < 0.75 => "half an hour".into(),
        h if h < 10.0 && (h * 2.0).round() as i64 % 2 == 1 => format!("{}½ h", (h * 2.0).round() as i64 / 2),
        h => format!("{} h", h.round()),
    }
}

/// Days that work and waiting take at the bench: eight hours' work to the day, waits running through the night.
pub fn days(hours: f64, wait_hours: f64) -> u32 {
    if hours < 0.05 {
        return 0;
    }
    let by_work = (hours / 8.0).ceil();
    let by_waits = ((hours + wait_hours) / 24.0).ceil();
    by_work.max(by_waits).max(1.0) as u32
}

/// `3 h over 3 days`; `no work`.
pub fn work(hours_of_work: f64, wait_hours: f64) -> String {
    match days(hours_of_work, wait_hours) {
        0 => "no work".into(),
        1 => format!("{} in a day", hours(hours_of_work)),
        n => format!("{} over {n} days", hours(hours_of_work)),
    }
}

/// The short form for a table: `3 h, 3 d`.
pub fn work_short(hours_of_work: f64, wait_hours: f64) -> String {
    match days(hours_of_work, wait_hours) {
        0 => "none".into(),
        n => format!("{}, {n} d", hours(hours_of_work).replace("half an hour", "½ h")),
    }
}

/// The state of a surface.
pub fn state(state: &State) -> String {
    match state {
        State::SpiritWet { seconds, .. } if *seconds > 0.0 => format!("spirit-wet, {} s", seconds.round()),
        State::Topcoated { topcoat, sheen } if !topcoat.is_empty() => {
            format!("topcoated, {topcoat} {sheen}").trim().into()
        }
        other => state_kind(other).into(),
    }
}

/// The kind of a state, without its particulars.
pub fn state_kind(state: &State) -> &'static str {
    match state {
        State::BareDry => "bare dry",
        State::SpiritWet { .. } => "spirit-wet",
        State::ColourWet => "colour wet",
        State::ColourDry => "colour dry",
        State::Washcoated => "washcoated",
        State::Sealed => "sealed",
        State::Topcoated { .. } => "topcoated",
    }
}

/// The grain's direction.
pub fn grain(grain: Grain) -> &'static str {
    match grain {
        Grain::Along => "along the picture",
        Grain::Across => "up the picture",
        Grain::NotNoted => "not noted",
    }
}

/// The name of a part or board.
pub fn surface(piece: &Piece, surface: Surface) -> String {
    match surface {
        Surface::Part(id) => piece.part(id).map(|part| part.name.clone()),
        Surface::Board(id) => piece.board(id).map(|board| board.name.clone()),
    }
    .unwrap_or_else(|| "something taken away".into())
}

/// L*, a*, b* of a reading.
pub fn lab(lab: colour::Lab) -> String {
    format!("L* {}  a* {}  b* {}", number(lab.l), number(lab.a), number(lab.b))
}

/// How sure a reading is: the 90 % half width along L*, where its covariance says so.
pub fn sureness(reading: &Reading) -> String {
    let shared: f64 = reading.shared.iter().map(|s| s.loading[0].iter().map(|x| x * x).sum::<f64>()).sum();
    let sd = (reading.covariance[0][0] + shared).max(0.0).sqrt();
    format!("± {}", number(1.645 * sd))
}

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
        Step::Stain { product: id, reducer_parts, coats } => {
            (product(*id), join(reduced(*reducer_parts), times(*coats)))
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
    if how.is_empty() { name } else { format!("{name} {how}") }
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

/// A list in words: `one, two and three`.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// `no reading`, `1 reading`, `3 readings`.
pub fn readings(count: usize) -> String {
    match count {
        0 => "no reading".into(),
        1 => "1 reading".into(),
        n => format!("{n} readings"),
    }
}

/// Trials as they are numbered in the window: `trial 3` for `trial t3`.
pub fn trials_by_number(text: &str) -> String {
    let mut parts = text.split("trial t");
    let mut said = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        said.push_str(if part.starts_with(|c: char| c.is_ascii_digit()) { "trial " } else { "trial t" });
        said.push_str(part);
    }
    said
}

/// Names with the word they share said once: `carcass, fronts one two` for `carcass`, `front one`, `front two`.
pub fn shared_names(names: &[String]) -> String {
    let first = |name: &str| name.split_once(' ').map(|(first, _)| first.to_owned());
    let mut said: Vec<String> = Vec::new();
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for name in names {
        let twins = names.iter().filter(|other| first(other).is_some() && first(other) == first(name)).count();
        match name.split_once(' ').filter(|_| twins > 1) {
            None => said.push(name.clone()),
            Some((word, rest)) => match groups.iter_mut().find(|(other, _)| other == word) {
                Some((_, rests)) => rests.push(rest),
                None => groups.push((word.to_owned(), vec![rest])),
            },
        }
    }
    said.extend(groups.into_iter().map(|(word, rests)| format!("{word}s {}", rests.join(" "))));
    said.join(", ")
}

/// A part's name without the word it shares with other parts: `four` for `front four`.
pub fn short_name(piece: &Piece, name: &str) -> String {
    let twins = |word: &str| {
        piece.parts.iter().filter(|p| p.name.split_once(' ').is_some_and(|(first, _)| first == word)).count()
    };
    match name.split_once(' ') {
        Some((first, rest)) if twins(first) > 1 => rest.to_owned(),
        _ => name.to_owned(),
    }
}

/// The first letter in upper case.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn trim(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn interval(low: f64, high: f64) -> Interval {
        Interval { mean: (low + high) / 2.0, low, high }
    }

    /// The wording of the design: a real minus, ranges with an en dash, `0` for what reaches zero, odds in tenths.
    #[test]
    fn numbers_as_they_are_written() {
        assert_eq!(number(-15.42), "−15.4");
        assert_eq!(number(-0.04), "0.0");
        assert_eq!(range(interval(0.04, 1.7)), "0–1.7");
        assert_eq!(range(interval(15.1, 16.2)), "15.1–16.2");
        assert_eq!(plus_minus(interval(-15.9, -14.9)), "± 0.5");
        assert_eq!(odds(0.91), "9 in 10");
        assert_eq!(odds(0.04), "hardly");
        assert_eq!(odds(0.001), "none");
        assert_eq!(hours(2.5), "2½ h");
        assert_eq!(work(3.0, 60.0), "3 h over 3 days");
        assert_eq!(work(0.0, 0.0), "no work");
        assert_eq!(reduced(0.5), "2:1");
        assert_eq!(reduced(2.0), "1:2");
    }

    #[test]
    fn trials_are_called_by_their_numbers() {
        assert_eq!(
            trials_by_number("trial t3 fits trial t12: a trial too many"),
            "trial 3 fits trial 12: a trial too many"
        );
    }

    #[test]
    fn names_that_share_a_word_say_it_once() {
        let names = ["front one", "front two"].map(String::from);
        assert_eq!(shared_names(&names), "fronts one two");
        assert_eq!(shared_names(&["top", "leaf"].map(String::from)), "top, leaf");
        let mixed = ["carcass", "front one", "front two"].map(String::from);
        assert_eq!(shared_names(&mixed), "carcass, fronts one two");
    }
}
