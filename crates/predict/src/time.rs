//! Hours in words.

/// Hours up to which a wait is told in hours.
const TOLD_IN_HOURS: f64 = 48.0;

/// Hours that round to no five minutes are none.
const LEAST_HOURS: f64 = 2.5 / 60.0;

/// Whether so many hours are told as more than none.
pub fn is_told(hours: f64) -> bool {
    hours >= LEAST_HOURS
}

/// Hours of work in words, as people say them: '25 min' in steps of five, '1½ h', '30 h'; '0 h' where there are none.
pub fn hours(hours: f64) -> String {
    let halves = (hours * 2.0).round();
    match hours {
        h if !is_told(h) => "0 h".to_owned(),
        h if h < 0.95 => format!("{:.0} min", (h * 12.0).round() * 5.0),
        h if h < 9.75 && halves % 2.0 > 0.5 => format!("{:.0}½ h", (halves / 2.0).floor()),
        h => format!("{:.0} h", h.round()),
    }
}

/// Hours of waiting in words: as [`hours`], and from 48 h on '2½ days', up to the next half.
pub fn wait(wait_hours: f64) -> String {
    if wait_hours < TOLD_IN_HOURS {
        return hours(wait_hours);
    }
    let halves = (wait_hours / 12.0).ceil();
    format!("{:.0}{} days", (halves / 2.0).floor(), if halves % 2.0 > 0.5 { "½" } else { "" })
}

#[cfg(test)]
mod tests {
    use super::{hours, wait};

    #[test]
    fn times_read_as_people_say_them() {
        for (of, words) in [
            (0.0, "0 h"),
            (0.04, "0 h"),
            (0.05, "5 min"),
            (0.25, "15 min"),
            (0.9, "55 min"),
            (1.0, "1 h"),
            (1.2, "1 h"),
            (1.7, "1½ h"),
            (1.8, "2 h"),
            (9.6, "9½ h"),
            (10.5, "11 h"),
            (30.0, "30 h"),
        ] {
            assert_eq!(hours(of), words, "{of}");
            assert_eq!(wait(of), words, "{of}");
        }
        assert_eq!((hours(60.0).as_str(), wait(47.0).as_str()), ("60 h", "47 h"));
        for (of, words) in
            [(48.0, "2 days"), (48.75, "2½ days"), (60.0, "2½ days"), (64.75, "3 days"), (73.0, "3½ days")]
        {
            assert_eq!(wait(of), words, "{of}");
        }
    }
}
