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

    /// The same as a sentence of its own, with how it is seen or what would settle it.
    pub fn seen(self) -> &'static str {
        match self {
            Self::NoVisibleDifference => "No visible difference.",
            Self::Slight => "Slight: seen when looked for.",
            Self::Visible => "Visible at arm’s length.",
            Self::Clear => "Clear: seen at once.",
            Self::CannotTellYet => "Cannot tell yet: read both again in one photo.",
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

/// A sentence: 'clear: door darker and a little redder than top'. Directions are named only where their
/// interval leaves out zero.
pub(crate) fn sentence(verdict: Verdict, first: &str, second: &str, judged: &Judgement, of_first: Lab) -> String {
    let (_, _, hue_deg) = lch_from_lab(of_first);
    let way = directions([judged.dl, judged.dc, judged.dh], judged.difference.weights, hue_deg);
    match verdict {
        Verdict::CannotTellYet => format!(
            "cannot tell yet: {second} may differ from {first} by up to ΔE2000 {:.1}; more readings of both in one photo would \
             settle it",
            judged.de00.high
        ),
        Verdict::NoVisibleDifference => format!("no visible difference between {first} and {second}"),
        _ if way.is_empty() && judged.de00.may_be_none() => {
            format!("{}: {second} and {first} may be alike, or differ a little", verdict.words())
        }
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

/// A direction of less than this is not worth a word beside a larger one (own judgement).
const WORTH_A_WORD: f64 = 0.5;

/// A direction with its size, where its interval leaves out zero. Sizes are those of the terms of ΔE2000: less than one and a half
/// is a little, from eight on it is much (own judgement).
fn direction(interval: Interval, weight: f64, up: &str, down: &str) -> Option<(f64, String)> {
    let size = (interval.mean / weight).abs();
    if interval.low <= 0.0 && interval.high >= 0.0 {
        return None;
    }
    let word = if interval.mean > 0.0 { up } else { down };
    let how = match size {
        size if size < 1.5 => "a little ",
        size if size >= 8.0 => "much ",
        _ => "",
    };
    Some((size, format!("{how}{word}")))
}

/// Which way a colour lies from another, in lightness, chroma and hue: not in a* and b*, by which brown that is only greyer
/// would be called bluer. From ΔL′, ΔC′ and ΔH′, the weights S_L, S_C and S_H of their ΔE2000, and the hue of the other in
/// degrees. Only directions that are sure; empty where none is.
pub fn directions([dl, dc, dh]: [Interval; 3], [s_l, s_c, s_h]: [f64; 3], hue_deg: f64) -> String {
    let [less_h, more_h] = hue_words(hue_deg);
    let mut words: Vec<(f64, String)> = Vec::new();
    words.extend(direction(dl, s_l, "lighter", "darker"));
    words.extend(direction(dc, s_c, "stronger", "greyer"));
    words.extend(direction(dh, s_h, more_h, less_h));
    words.sort_by(|a, b| b.0.total_cmp(&a.0));
    let told = words.iter().filter(|(size, _)| *size >= WORTH_A_WORD).count();
    words.truncate(told.max(1));
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
        let sure = Judgement { de00: Interval { mean: 1.0, low: 0.9, high: 1.2 }, ..judged.clone() };
        let unsure = Judgement { de00: Interval { mean: 0.4, low: 0.0, high: 1.2 }, ..judged };
        for (first, second) in [("top", "sides"), ("sides", "top")] {
            let said = |judged| sentence(Verdict::Slight, first, second, judged, here);
            assert_eq!(said(&sure), format!("slight: in which way {second} and {first} differ cannot be told yet"));
            assert_eq!(said(&unsure), format!("slight: {second} and {first} may be alike, or differ a little"));
        }
    }

    /// Front four of the oak chest against front three: equal a*, less b*. To the eye that is a greyer, redder brown
    /// (hue 63° for 71°), not a blue one.
    #[test]
    fn a_greyer_brown_is_not_called_bluer() {
        let (three, four) = (Lab::new(55.7, 10.1, 29.8), Lab::new(39.5, 10.1, 20.2));
        let judged = crate::judge::judge(three, four, &[three; 4], &[four; 4], 2.5);
        let said = sentence(Verdict::Clear, "front three", "front four", &judged, three);
        assert_eq!(said, "clear: front four much darker, greyer and redder than front three");
    }

    /// ΔL′ of 16 with a weight near 1 is much, ΔC′ of 6 with one near 2 is plain, ΔH′ of 1.2 a little; what may be nothing is
    /// not said.
    #[test]
    fn directions_are_said_only_where_the_interval_is_sure() {
        let interval = |mean: f64, half: f64| Interval { mean, low: mean - half, high: mean + half };
        let way = |dl, dc, dh| directions([dl, dc, dh], [1.0, 2.0, 1.0], 68.0);
        assert_eq!(
            way(interval(-16.0, 0.5), interval(-6.0, 0.6), interval(-1.2, 0.5)),
            "much darker, greyer and a little redder"
        );
        assert_eq!(way(interval(0.5, 0.6), interval(0.2, 0.6), interval(0.1, 0.5)), "");
        assert_eq!(way(interval(5.0, 1.0), interval(0.1, 0.6), interval(1.2, 0.5)), "lighter and a little yellower");
        // What is sure and small is said where nothing larger is, and not beside it.
        assert_eq!(way(interval(0.1, 0.6), interval(0.7, 0.5), interval(0.4, 0.3)), "a little yellower");
        assert_eq!(way(interval(5.0, 1.0), interval(0.7, 0.5), interval(0.1, 0.3)), "lighter");
    }

    /// The sentence of the window begins with the word of the commands, whatever the interval.
    #[test]
    fn window_and_commands_say_one_word_of_one_interval() {
        for low in 0..60 {
            for wide in 0..40 {
                let (low, high) = (f64::from(low) / 10.0, f64::from(low + wide) / 10.0);
                let verdict = Verdict::of(Interval { mean: (low + high) / 2.0, low, high });
                assert!(verdict.seen().to_lowercase().starts_with(verdict.words()), "{verdict:?}");
            }
        }
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
