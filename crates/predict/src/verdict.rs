//! Words for a difference. They follow the bounds of the interval, never the midpoint.

use colour::{Lab, lch_from_lab};

use crate::{Interval, judge::Judgement};

/// Perceptibility and acceptability, ΔE2000, half of observers (Paravina et al. 2015, DOI 10.1111/jerd.12149,
/// tooth-coloured samples: a guide only).
const PERCEPTIBLE: f64 = 0.8;
const ACCEPTABLE: f64 = 1.8;
/// Twice the acceptable: seen at once (common practice, no source).
const AT_ONCE: f64 = 3.6;

/// What can be said of a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Surely below what an eye sees.
    NoVisibleDifference,
    /// Seen when looked for.
    Slight,
    /// Seen.
    Visible,
    /// Seen at once.
    Clear,
    /// The interval spans too much.
    CannotTellYet,
}

impl Verdict {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::NoVisibleDifference => "no visible difference",
            Self::Slight => "slight",
            Self::Visible => "visible",
            Self::Clear => "clear",
            Self::CannotTellYet => "cannot tell yet",
        }
    }
}

impl Verdict {
    /// What the bounds of a ΔE2000 allow to be said.
    ///
    /// What is surely below the eye's threshold is no visible difference; what surely lies above a threshold has at
    /// least that name; what may be nothing but is surely small is slight; anything else cannot be told yet.
    pub fn of(de00: Interval) -> Self {
        if !(de00.low.is_finite() && de00.high.is_finite()) {
            Self::CannotTellYet
        } else if de00.high <= PERCEPTIBLE {
            Self::NoVisibleDifference
        } else if de00.low > AT_ONCE {
            Self::Clear
        } else if de00.low > ACCEPTABLE {
            Self::Visible
        } else if de00.low > PERCEPTIBLE || de00.high <= ACCEPTABLE {
            Self::Slight
        } else {
            Self::CannotTellYet
        }
    }
}

/// A sentence: 'clear: leaf darker and a little redder than top'. Directions are named only where their
/// interval leaves out zero.
pub(crate) fn sentence(verdict: Verdict, first: &str, second: &str, judged: &Judgement, of_first: Lab) -> String {
    let way = directions(judged, of_first);
    match verdict {
        Verdict::CannotTellYet => format!(
            "cannot tell yet: {second} may differ from {first} by up to {:.1} ΔE; more readings of both in one photo would \
             settle it",
            judged.de00.high
        ),
        Verdict::NoVisibleDifference => format!("no visible difference between {first} and {second}"),
        _ if way.is_empty() => {
            format!("{}: in which way {second} and {first} differ cannot be told yet", verdict.words())
        }
        _ => format!("{}: {second} {way} than {first}", verdict.words()),
    }
}

/// The words for a smaller and a larger hue angle. `hue_deg` in degrees, 0 to 360. Wood lies between red (0°) and yellow (90°).
pub fn hue_words(hue_deg: f64) -> [&'static str; 2] {
    match hue_deg {
        h if (0.0..120.0).contains(&h) => ["redder", "yellower"],
        h if (120.0..200.0).contains(&h) => ["yellower", "bluer"],
        h if (200.0..300.0).contains(&h) => ["greener", "redder"],
        _ => ["bluer", "yellower"],
    }
}

/// A direction with its size, where its interval leaves out zero.
fn direction(interval: Interval, weight: f64, up: &str, down: &str) -> Option<(f64, String)> {
    let size = (interval.mean / weight).abs();
    if size < 0.5 || interval.low <= 0.0 && interval.high >= 0.0 {
        return None;
    }
    let word = if interval.mean > 0.0 { up } else { down };
    let little = if size < 1.5 { "a little " } else { "" };
    Some((size, format!("{little}{word}")))
}

/// Which way a colour lies from `of_first`, in lightness, chroma and hue: not in a* and b*, by which brown that is only greyer
/// would be called bluer.
fn directions(judged: &Judgement, of_first: Lab) -> String {
    let [s_l, s_c, s_h] = judged.difference.weights;
    let (_, _, hue_deg) = lch_from_lab(of_first);
    let [less_h, more_h] = hue_words(hue_deg);
    let mut words: Vec<(f64, String)> = Vec::new();
    words.extend(direction(judged.dl, s_l, "lighter", "darker"));
    words.extend(direction(judged.dc, s_c, "stronger", "greyer"));
    words.extend(direction(judged.dh, s_h, more_h, less_h));
    words.sort_by(|a, b| b.0.total_cmp(&a.0));
    let words: Vec<String> = words.into_iter().map(|(_, word)| word).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Names of parts are singular or plural, and the sentence reads well with both.
    #[test]
    fn a_sentence_reads_well_of_sides_and_of_a_top() {
        let (here, near) = (Lab::new(50.0, 8.0, 20.0), Lab::new(50.2, 8.0, 20.0));
        let judged = crate::judge::judge(here, near, &[here; 4], &[near; 4], 1.0);
        let none = Interval { mean: 0.0, low: -1.0, high: 1.0 };
        let judged = Judgement { dl: none, dc: none, dh: none, ..judged };
        for (first, second) in [("top", "sides"), ("sides", "top")] {
            let said = sentence(Verdict::Slight, first, second, &judged, here);
            assert_eq!(said, format!("slight: in which way {second} and {first} differ cannot be told yet"));
        }
    }

    /// Front four of the oak chest against front three: equal a*, less b*. To the eye that is a greyer, redder brown
    /// (hue 63° for 71°), not a blue one.
    #[test]
    fn a_greyer_brown_is_not_called_bluer() {
        let (three, four) = (Lab::new(55.7, 10.1, 29.8), Lab::new(39.5, 10.1, 20.2));
        let judged = crate::judge::judge(three, four, &[three; 4], &[four; 4], 2.5);
        let said = sentence(Verdict::Clear, "front three", "front four", &judged, three);
        assert_eq!(said, "clear: front four darker, greyer and redder than front three");
    }

    #[test]
    fn words_follow_the_bounds_and_not_the_middle() {
        let of = |low, mean, high| Verdict::of(Interval { mean, low, high });
        assert_eq!(of(0.0, 0.4, 0.7), Verdict::NoVisibleDifference);
        assert_eq!(of(0.0, 0.4, 1.5), Verdict::Slight);
        assert_eq!(of(0.9, 1.2, 2.5), Verdict::Slight);
        assert_eq!(of(0.0, 2.0, 4.0), Verdict::CannotTellYet);
        assert_eq!(of(2.0, 5.0, 8.0), Verdict::Visible);
        assert_eq!(of(4.0, 5.0, 8.0), Verdict::Clear);
        assert_eq!(of(f64::NAN, 5.0, 8.0), Verdict::CannotTellYet);
    }
}
