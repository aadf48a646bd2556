//! Photos: how good a photo is, in plain words.

use card::Warning;

use crate::{
    Workbench,
    photos::{PhotoView, Read},
    words,
};

/// What the panel says of the photo on show.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Quality {
    /// Two words: `Good photo`.
    pub verdict: String,
    /// Mean left-out error.
    pub error: Option<String>,
    /// `worst 1.6, patch C4`.
    pub worst: String,
    /// What is right or wrong, line by line.
    pub lines: Vec<String>,
}

impl Workbench {
    /// What the panel says of the photo on show.
    pub fn quality(&self) -> Quality {
        let (Some((id, view)), Some(piece)) = (self.photo_view(), self.piece()) else { return Quality::default() };
        let simple = |verdict: &str, line: &str| Quality {
            verdict: verdict.into(),
            lines: vec![line.into()],
            ..Quality::default()
        };
        if let Some(problem) = &view.problem {
            return simple("Cannot be read", &words::capital(problem));
        }
        if self.photos.is_board(piece, id) {
            return simple("A plain board", "It evens the light of another photo. No colour is read from it.");
        }
        let Some(Read { reading, .. }) = &view.read else {
            return simple("Not read yet", "It is opened, then its card is looked for.");
        };
        let mut lines: Vec<String> = reading.warnings.iter().map(|warning| words::capital(&warning.text)).collect();
        let Some(card) = &reading.card else {
            return Quality { verdict: "No card found".into(), lines, ..Quality::default() };
        };
        let quiet = |codes: &[&str]| !reading.warnings.iter().any(|w| codes.iter().any(|code| w.code.contains(code)));
        // What is good stands first only where nothing is bad: warnings stand the gravest first.
        if none_bright(&reading.warnings) {
            let place = if loud(&reading.warnings) { lines.len() } else { 0 };
            lines.insert(place, "No glare, nothing clipped".into());
        }
        if quiet(&["small", "frame"]) {
            let share = area(&card.corners_px) / (f64::from(reading.width_px) * f64::from(reading.height_px)) * 100.0;
            lines.push(format!(
                "Card fills {} % of the frame",
                if share < 1.5 { words::number(share) } else { format!("{share:.0}") }
            ));
        }
        if quiet(&["profile"]) {
            lines.push(format!("Profile: {}", reading.profile.name));
        }
        let worst = card
            .patches
            .iter()
            .filter(|p| p.in_fit)
            .filter_map(|p| p.left_out_de00.map(|de00| (de00, &p.id)))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let mean = reading.fit.as_ref().map(|fit| fit.mean);
        Quality {
            verdict: verdict(mean, loud(&reading.warnings)).into(),
            error: mean.map(words::number),
            worst: worst.map_or_else(String::new, |(de00, id)| format!("worst {}, patch {id}", words::number(de00))),
            lines,
        }
    }
}

/// Under these mean left-out errors a photo is good, and fair: own judgement of the 90 photos measured in building this.
const GOOD_DE00: f64 = 2.5;
const FAIR_DE00: f64 = 4.0;

fn verdict(mean: Option<f64>, with_care: bool) -> &'static str {
    match mean {
        Some(mean) if mean < GOOD_DE00 && !with_care => "Good photo",
        Some(mean) if mean < GOOD_DE00 => "Good, with care",
        Some(mean) if mean < FAIR_DE00 => "Fair photo",
        Some(_) => "Poor photo",
        None => "Exposure and white only",
    }
}

/// Whether neither a reflection nor too much light was seen.
fn none_bright(warnings: &[Warning]) -> bool {
    let bright = ["glare", "clip", "overexposed", "hidden"];
    !warnings.iter().any(|warning| bright.iter().any(|code| warning.code.contains(code)))
}

/// Whether anything is told of a photo that makes it worse.
fn loud(warnings: &[Warning]) -> bool {
    warnings.iter().any(|warning| !is_quiet(warning.code))
}

/// What is told of a photo without making it worse: its profile, and that its light was evened.
fn is_quiet(code: &str) -> bool {
    code.contains("profile") || code == "light-evened"
}

pub(super) fn short_verdict(view: Option<&PhotoView>) -> &'static str {
    match view {
        None => "waiting",
        Some(view) if view.problem.is_some() => "not read",
        Some(PhotoView { read: None, .. }) => "reading",
        Some(PhotoView { read: Some(Read { reading, .. }), .. }) => match (&reading.card, &reading.fit) {
            (None, _) => "no card",
            (_, Some(fit)) if fit.mean < GOOD_DE00 && loud(&reading.warnings) => "with care",
            (_, Some(fit)) if fit.mean < GOOD_DE00 => "good",
            (_, Some(fit)) if fit.mean < FAIR_DE00 => "fair",
            (_, Some(_)) => "poor",
            (Some(_), None) => "white only",
        },
    }
}

fn area(corners: &[[f64; 2]; 4]) -> f64 {
    let twice: f64 =
        (0..4).map(|i| corners[i][0] * corners[(i + 1) % 4][1] - corners[(i + 1) % 4][0] * corners[i][1]).sum();
    twice.abs() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What one line says another must not deny: the codes are those of too much light and of reflections.
    #[test]
    fn nothing_is_called_unclipped_that_is_too_bright() {
        for code in ["overexposed", "region-overexposed", "clipped", "glare", "soft-glare", "patch-hidden"] {
            assert!(!none_bright(&[Warning::new(code, "")]), "{code}");
        }
        assert!(none_bright(&[]) && none_bright(&[Warning::new("shade", "")]));
    }

    /// A shadow on the card makes a photo one to take with care, however well its patches fit; its profile does not.
    #[test]
    fn a_photo_with_a_warning_is_good_with_care_only() {
        let of = |code| verdict(Some(1.0), loud(&[Warning::new(code, "")]));
        assert_eq!((of("shade"), of("no-profile")), ("Good, with care", "Good photo"));
    }
}
