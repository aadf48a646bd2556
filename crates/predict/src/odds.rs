//! Odds in words, one way everywhere.

/// A chance in per cent. It is counted over draws: none of them is no proof that it cannot be, nor all of them that it must.
pub fn per_cent(chance: f64) -> String {
    match chance * 100.0 {
        per_cent if per_cent < 0.5 => "<1 %".to_owned(),
        per_cent if per_cent > 99.5 => ">99 %".to_owned(),
        per_cent => format!("{per_cent:.0} %"),
    }
}

/// Odds in tenths: `9 in 10`, `hardly any` under half of one, `nearly sure` within half of one of ten.
pub fn in_ten(chance: f64) -> String {
    match chance * 10.0 {
        tenths if tenths < 0.5 => "hardly any".to_owned(),
        tenths if tenths > 9.5 => "nearly sure".to_owned(),
        tenths => format!("{tenths:.0} in 10"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// None of 512 draws leaves a chance of up to 0.6 % at 95 % confidence, all of them one of 99.4 % or more: the rule of three (Hanley,
    /// Lippman-Hand 1983, JAMA 249, 1743).
    #[test]
    fn no_chance_is_told_as_none_or_as_sure() {
        for (of_512, want) in [(0, "<1 %"), (2, "<1 %"), (3, "1 %"), (256, "50 %"), (509, "99 %"), (512, ">99 %")] {
            assert_eq!(per_cent(f64::from(of_512) / 512.0), want, "{of_512} of 512");
        }
        assert_eq!(
            [0.0, 0.04, 0.06, 0.94, 1.0].map(in_ten),
            ["hardly any", "hardly any", "1 in 10", "9 in 10", "nearly sure"]
        );
    }
}
