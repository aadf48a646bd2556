//! Amounts rounded to what a bench can measure, in metric or US customary units.

/// Millilitres in a US fluid ounce, exactly: 231 cubic inches to the gallon, 128 to the gallon.
///
/// # Source
/// NIST Special Publication 811, Appendix B: 1 fl oz = 29.573 53 ml; exact by NIST Handbook 44, Appendix C.
pub const ML_PER_FL_OZ: f64 = 29.573_529_562_5;
/// Square metres in a square foot, exactly: a foot is 0.3048 m.
///
/// # Source
/// NIST Special Publication 811, Appendix B.
const M2_PER_SQ_FT: f64 = 0.3048 * 0.3048;
/// Fluid ounces in a US gallon, and millilitres in a litre.
const FL_OZ_PER_GAL: f64 = 128.0;
const ML_PER_L: f64 = 1000.0;

/// The units amounts are written in. Powders are weighed in grams in both.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Millilitres and square metres.
    #[default]
    Metric,
    /// US fluid ounces and square feet.
    UsCustomary,
}

impl Units {
    /// Both of them.
    pub const ALL: [Self; 2] = [Self::Metric, Self::UsCustomary];

    /// What they are called: 'ml and m²', 'fl oz and sq ft'.
    pub fn name(self) -> &'static str {
        match self {
            Self::Metric => "ml and m²",
            Self::UsCustomary => "fl oz and sq ft",
        }
    }

    /// Millilitres in the unit that liquids are measured in.
    fn liquid_ml(self) -> f64 {
        match self {
            Self::Metric => 1.0,
            Self::UsCustomary => ML_PER_FL_OZ,
        }
    }

    /// Millilitres rounded up to a measure that a bench has: 5 ml below 100 ml, 10 ml below half a litre, 50 ml above;
    /// or ¼ fl oz below 4, ½ below 16, whole ones above. Never less than one measure.
    pub fn rounded_up(self, ml: f64) -> f64 {
        let steps: [(f64, f64); 3] = match self {
            Self::Metric => [(100.0, 5.0), (500.0, 10.0), (f64::INFINITY, 50.0)],
            Self::UsCustomary => [(4.0, 0.25), (16.0, 0.5), (f64::INFINITY, 1.0)],
        };
        let amount = ml / self.liquid_ml();
        let step = steps.into_iter().find(|(below, _)| amount < *below).map_or(1.0, |(_, step)| step);
        // A hair below a measure that floating point put above it is that measure.
        ((amount / step - 1e-9).ceil() * step).max(step) * self.liquid_ml()
    }

    /// An amount of liquid in words, to whole millilitres or hundredths of an ounce: '30 ml', '1.25 fl oz'.
    pub fn liquid(self, ml: f64) -> String {
        match self {
            Self::Metric => format!("{} ml", trimmed(ml, 0)),
            Self::UsCustomary => format!("{} fl oz", trimmed(ml / ML_PER_FL_OZ, 2)),
        }
    }

    /// An area in words: '1.6 m²', '17 sq ft'.
    pub fn area(self, area_m2: f64) -> String {
        match self {
            Self::Metric => format!("{} m²", trimmed(area_m2, 2)),
            Self::UsCustomary => {
                let feet = area_m2 / M2_PER_SQ_FT;
                format!("{} sq ft", trimmed(feet, usize::from(feet < 10.0)))
            }
        }
    }

    /// An area given in these units, m².
    pub fn m2(self, area: f64) -> f64 {
        match self {
            Self::Metric => area,
            Self::UsCustomary => area * M2_PER_SQ_FT,
        }
    }

    /// How far a litre or gallon goes, in words: '10 m²/L', '407 sq ft/gal'.
    pub fn coverage(self, m2_per_l: f64) -> String {
        match self {
            Self::Metric => format!("{} m²/L", trimmed(m2_per_l, 1)),
            Self::UsCustomary => {
                let l_per_gal = FL_OZ_PER_GAL * ML_PER_FL_OZ / ML_PER_L;
                format!("{} sq ft/gal", trimmed(m2_per_l / M2_PER_SQ_FT * l_per_gal, 0))
            }
        }
    }
}

/// Grams rounded to what a bench scale shows: tenths below 100 g, whole ones above; never less than a tenth.
pub fn grams(grams: f64) -> f64 {
    if grams < 100.0 { ((grams * 10.0).round() / 10.0).max(0.1) } else { grams.round() }
}

/// A number with at most so many decimals, none where they are noughts.
pub(crate) fn trimmed(value: f64, most: usize) -> String {
    let text = format!("{value:.most$}");
    if most == 0 { text } else { text.trim_end_matches('0').trim_end_matches('.').to_owned() }
}

#[cfg(test)]
mod tests {
    use super::{Units, grams};

    const METRIC: Units = Units::Metric;
    const US: Units = Units::UsCustomary;

    // 1 sq ft = 0.092 903 04 m² (NIST SP 811, Appendix B).
    #[test]
    fn areas_read_in_either() {
        assert_eq!(US.area(0.092_903_04), "1 sq ft");
        assert_eq!(US.area(1.6), "17 sq ft");
        assert_eq!(METRIC.area(1.6), "1.6 m²");
    }

    // 1 US fl oz = 29.573 53 ml (NIST SP 811, Appendix B): 946.353 ml are 32 fl oz, a US quart.
    #[test]
    fn liquids_read_in_either() {
        assert_eq!(US.liquid(29.573_53), "1 fl oz");
        assert_eq!(US.liquid(946.353), "32 fl oz");
        assert_eq!(US.liquid(100.0), "3.38 fl oz");
        assert_eq!(METRIC.liquid(100.4), "100 ml");
    }

    // 1 US gal = 3.785 412 L (NIST SP 811): 8 m²/L are 325.97 sq ft/gal and 12 m²/L are 488.95, by hand; the trade
    // writes the pair as 325–490.
    #[test]
    fn coverage_reads_in_either() {
        assert_eq!(US.coverage(8.0), "326 sq ft/gal");
        assert_eq!(US.coverage(12.0), "489 sq ft/gal");
        assert_eq!(METRIC.coverage(8.0), "8 m²/L");
    }

    #[test]
    fn liquids_are_rounded_up_to_what_a_bench_measures() {
        for (ml, rounded) in [(0.2, 5.0), (29.6, 30.0), (101.0, 110.0), (473.0, 480.0), (946.4, 950.0), (480.0, 480.0)]
        {
            assert!((METRIC.rounded_up(ml) - rounded).abs() < 1e-9, "{ml}");
        }
        // In ounces: 1.0 from 29 ml, 3.75 from 110 ml (3.72), 8.5 from 250 ml (8.45), 34 from 1 L (33.8).
        for (ml, ounces) in [(29.0, "1 fl oz"), (110.0, "3.75 fl oz"), (250.0, "8.5 fl oz"), (1000.0, "34 fl oz")] {
            assert_eq!(US.liquid(US.rounded_up(ml)), ounces);
        }
    }

    #[test]
    fn powders_are_weighed_to_tenths() {
        for (exact, weighed) in [(1.04, 1.0), (0.01, 0.1), (12.36, 12.4), (123.4, 123.0)] {
            assert!((grams(exact) - weighed).abs() < 1e-9, "{exact}");
        }
    }
}
