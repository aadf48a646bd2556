//! Words for steps, states, numbers and odds, the same in the window and on paper.

mod numbers;
mod steps;

use piece::{Grain, Piece, Reading, State, Surface};

pub use numbers::{days, decimals, number, plus_minus, range, work, work_short};
pub use predict::odds::{in_ten as odds, per_cent};
pub use predict::time::{hours, wait};
pub(crate) use steps::trim;
pub use steps::{bleach, reduced, step, step_parts, steps};

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

/// A day and time as it is told, from RFC 3339: `2026-03-05 14:02`; the offset from UTC is left out.
pub fn day_and_time(text: &str) -> String {
    text.chars().take(16).map(|sign| if sign == 'T' { ' ' } else { sign }).collect()
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

/// A list in words: `one, two and three`.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// A choice in words: `one, two or three`.
pub fn either(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} or {last}", rest.join(", ")),
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

/// What is the same of several parts together, in the order in which it is first said.
pub fn shared<N, T: PartialEq>(each: impl IntoIterator<Item = (N, T)>) -> Vec<(Vec<N>, T)> {
    let mut shared: Vec<(Vec<N>, T)> = Vec::new();
    for (part, what) in each {
        match shared.iter_mut().find(|(_, other)| *other == what) {
            Some((parts, _)) => parts.push(part),
            None => shared.push((vec![part], what)),
        }
    }
    shared
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

/// How even a surface is, in words: one even but for a knot is not called uneven, nor one even of which more than a tenth is beyond the
/// tolerance.
pub fn evenness(throughout: card::Throughout, spots: usize) -> String {
    use card::Throughout;
    let of_spots = match spots {
        1 => "one spot".to_owned(),
        count => format!("{count} spots"),
    };
    match (throughout, spots) {
        (Throughout::Even, 0) => "even".to_owned(),
        (Throughout::Even, _) => format!("even but for {of_spots}"),
        (Throughout::WithinGrain, 0) => "uneven by no more than its grain".to_owned(),
        (Throughout::WithinGrain, _) => format!("uneven by no more than its grain, with {of_spots}"),
        (Throughout::Uneven, 0) => "uneven".to_owned(),
        (Throughout::Uneven, _) => format!("uneven, with {of_spots}"),
    }
}

/// The order of a ranking ([`predict::rank()`]).
pub const RANKING_ORDER: &str = "in order of the odds, in tenths, then of the ΔE2000 to be expected, which is the larger the less is \
                                 known; published figures only stand last";

/// The order of routes ([`predict::routes()`]).
pub const ROUTES_ORDER: &str = "in order of the hours that each is expected to count for: work, waiting, product, what cannot be undone, \
                                and the chance of failing; what changes the match sample stands after the rest, and leaving natural \
                                last unless it is likely to do";

/// The first letter in upper case.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Words as a sentence: the first letter in upper case, a full stop behind the last where they do not ask.
pub fn sentence(text: &str) -> String {
    let end = if text.ends_with('?') { "" } else { "." };
    format!("{}{end}", capital(text).trim_end_matches('.'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trials_are_called_by_their_numbers() {
        assert_eq!(
            trials_by_number("trial t3 fits trial t12: a trial too many"),
            "trial 3 fits trial 12: a trial too many"
        );
    }

    /// Nine tenths within the tolerance of 1.8, or within what the grain of an even board shows, or neither.
    #[test]
    fn a_knot_makes_no_uneven_board_and_grain_no_even_one() {
        let told = |spread: f64, even_board: f64, spots| evenness(card::Throughout::of(spread, even_board, 1.8), spots);
        for (spread, even_board, spots, want) in [
            (1.2, 0.9, 0, "even"),
            (1.7, 3.1, 1, "even but for one spot"),
            (1.7, 0.9, 3, "even but for 3 spots"),
            (2.9, 3.1, 0, "uneven by no more than its grain"),
            (2.9, 3.1, 2, "uneven by no more than its grain, with 2 spots"),
            (3.2, 3.1, 0, "uneven"),
            (2.0, 0.9, 1, "uneven, with one spot"),
            (4.0, 0.9, 4, "uneven, with 4 spots"),
        ] {
            assert_eq!(told(spread, even_board, spots), want);
        }
    }

    #[test]
    fn names_that_share_a_word_say_it_once() {
        let names = ["front one", "front two"].map(String::from);
        assert_eq!(shared_names(&names), "fronts one two");
        assert_eq!(shared_names(&["top", "door"].map(String::from)), "top, door");
        let mixed = ["carcass", "front one", "front two"].map(String::from);
        assert_eq!(shared_names(&mixed), "carcass, fronts one two");
    }
}
