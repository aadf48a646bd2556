//! Amounts rounded to what a bench can measure, in litres' and gallons' worlds.

/// Millilitres in a US fluid ounce, exactly: 231 cubic inches to the gallon, 128 to the gallon.
///
/// # Source
/// NIST Handbook 44, Appendix C.
pub const ML_PER_FL_OZ: f64 = 29.573_529_562_5;

/// An amount of liquid in words: '30 ml (1 fl oz)'. Rounded up to 5 ml below 100 ml, to 10 ml below half a litre, to
/// 50 ml above; ounces to halves. Never less than one step.
pub fn liquid(ml: f64) -> String {
    let ml = rounded_up(ml);
    let ounces = ((ml / ML_PER_FL_OZ) * 2.0).round() / 2.0;
    if ounces < 0.5 { format!("{ml:.0} ml") } else { format!("{ml:.0} ml ({ounces} fl oz)") }
}

/// Millilitres rounded up as [`liquid`] writes them.
pub fn rounded_up(ml: f64) -> f64 {
    let step = if ml < 100.0 {
        5.0
    } else if ml < 500.0 {
        10.0
    } else {
        50.0
    };
    // A hair below a step that floating point put above it is that step.
    ((ml / step - 1e-9).ceil() * step).max(step)
}

/// Square metres in square feet: whole ones from ten on, tenths below. A foot is 0.3048 m exactly.
///
/// # Source
/// NIST Handbook 44, Appendix C.
pub fn square_feet(area_m2: f64) -> String {
    let feet = area_m2 / (0.3048 * 0.3048);
    if feet < 10.0 { format!("{feet:.1}") } else { format!("{feet:.0}") }
}

/// Hours in words: '15 min', '2 h', '30 h', '3 days' from 48 h on.
pub fn duration(hours: f64) -> String {
    if hours < 0.95 {
        format!("{:.0} min", (hours * 12.0).round().max(1.0) * 5.0)
    } else if hours < 48.0 {
        let halves = (hours * 2.0).round() / 2.0;
        format!("{halves} h")
    } else {
        format!("{:.0} days", (hours / 24.0).ceil())
    }
}

#[cfg(test)]
mod tests {
    use super::{duration, liquid, square_feet};

    // 1 sq ft = 0.092 903 04 m² (NIST Handbook 44, Appendix C).
    #[test]
    fn areas_read_in_square_feet() {
        assert_eq!(square_feet(0.092_903_04), "1.0");
        assert_eq!(square_feet(1.6), "17");
    }

    // 1 US fl oz = 29.5735 ml (NIST Handbook 44, Appendix C).
    #[test]
    fn liquids_are_rounded_up_to_what_a_bench_measures() {
        for (ml, words) in [
            (0.2, "5 ml"),
            (29.6, "30 ml (1 fl oz)"),
            (101.0, "110 ml (3.5 fl oz)"),
            (473.0, "480 ml (16 fl oz)"),
            (946.4, "950 ml (32 fl oz)"),
        ] {
            assert_eq!(liquid(ml), words);
        }
    }

    #[test]
    fn times_read_as_people_say_them() {
        for (hours, words) in [(0.25, "15 min"), (1.0, "1 h"), (30.0, "30 h"), (49.0, "3 days")] {
            assert_eq!(duration(hours), words);
        }
    }
}
