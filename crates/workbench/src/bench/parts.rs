//! Parts: wood, area and grit as they are typed.

use piece::{Edit, Part, PartId, edit::PartEdit};

use super::Workbench;
use crate::{
    action::PartsAction,
    log_line::{GRITS, grit},
    settings::Units,
    status::Status,
    words,
};

impl Workbench {
    pub(super) fn parts_action(&mut self, action: PartsAction) {
        match action {
            PartsAction::Wood(part, wood) => {
                self.change_part(part, |part| part.wood = wood.trim().to_owned());
            }
            PartsAction::Area(part, typed) => match area_typed(&typed, self.units()) {
                Ok(area_m2) => self.change_part(part, |part| part.area_m2 = area_m2),
                Err(line) => self.status = Status::failed(line),
            },
            PartsAction::SandedTo(part, typed) => match grit_typed(&typed) {
                Ok(grit) => self.change_part(part, |part| part.sanded_to = grit),
                Err(line) => self.status = Status::failed(line),
            },
        }
    }

    fn change_part(&mut self, id: PartId, change: impl FnOnce(&mut Part)) {
        let Some(part) = self.piece().and_then(|piece| piece.part(id)) else { return };
        let mut changed = (**part).clone();
        change(&mut changed);
        if changed == **part {
            return;
        }
        let said = format!("{}: changed.", words::capital(&changed.name));
        if self.edit(&Edit::Part(PartEdit::Change(changed))) {
            self.status = Status::done(said, "");
        }
    }
}

/// An area as it is typed, in these units or with its own (`1.6`, `1.6 m²`, `17 sq ft`), as m²; none where it is empty.
///
/// # Errors
/// One line where it is no number above nought.
fn area_typed(text: &str, units: Units) -> Result<Option<f64>, String> {
    let text = text.trim().to_lowercase();
    if text.is_empty() {
        return Ok(None);
    }
    let ends =
        [("m²", Units::Metric), ("m2", Units::Metric), ("sq ft", Units::UsCustomary), ("ft²", Units::UsCustomary)];
    let named = ends.iter().find_map(|(end, units)| Some((text.strip_suffix(end)?, *units)));
    let (number, units) = named.unwrap_or((&text, units));
    let number =
        number.trim().replace(',', ".").parse::<f64>().ok().filter(|number| number.is_finite() && *number > 0.0);
    let number = number.ok_or_else(|| format!("‘{text}’ is no area: type it like 1.6 m² or 17 sq ft."))?;
    Ok(Some(units.m2(number)))
}

/// A grit as it is typed (`180`, `p180`, `180 grit`); none where it is empty.
///
/// # Errors
/// One line where it is no grit.
fn grit_typed(text: &str) -> Result<Option<u32>, String> {
    let text = text.trim().to_lowercase();
    if text.is_empty() {
        return Ok(None);
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    match grit(&words) {
        Ok((grit, used)) if used == words.len() => Ok(Some(grit)),
        _ => Err(format!("‘{text}’ is no grit: type a number from {} to {}, like 180.", GRITS[0], GRITS[1])),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // 17 sq ft are 1.579 m² (1 sq ft = 0.092 903 04 m², NIST SP 811, Appendix B).
    #[test]
    fn areas_are_typed_in_either_unit() {
        let near = |text: &str, units, m2: f64| {
            let area = area_typed(text, units).unwrap().unwrap();
            assert!((area - m2).abs() < 1e-3, "{text}: {area}");
        };
        near("1.6", Units::Metric, 1.6);
        near("1,6 m2", Units::UsCustomary, 1.6);
        near("17", Units::UsCustomary, 1.579);
        near("17 sq ft", Units::Metric, 1.579);
        assert_eq!(area_typed(" ", Units::Metric), Ok(None));
        for wrong in ["big", "-1", "0", "NaN", "1.6 acres"] {
            assert!(area_typed(wrong, Units::Metric).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_grit_is_typed_as_it_is_said() {
        for said in ["180", " P180 ", "180 grit"] {
            assert_eq!(grit_typed(said), Ok(Some(180)), "{said}");
        }
        assert_eq!(grit_typed(""), Ok(None));
        for wrong in ["fine", "3", "180 mesh", "-180", "1e3"] {
            assert!(grit_typed(wrong).is_err(), "{wrong}");
        }
    }
}
