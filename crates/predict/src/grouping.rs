//! Alike parts, which get the same schedule.

use colour::{Lab, de2000};
use piece::{Part, PartId};

/// Parts of one wood within this ΔE2000 as they will look left natural are alike.
const ALIKE_DE00: f64 = 3.0;

/// Groups of parts by their place in `parts`: same wood, build and bars, and about the same colour. `apart` is the part
/// that is the match sample: it is alone.
pub(crate) fn groups(parts: &[(&Part, Lab)], apart: Option<PartId>) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (index, (part, lab)) in parts.iter().enumerate() {
        let alike = |group: &&mut Vec<usize>| {
            let (first, first_lab) = parts[group[0]];
            let wood = |part: &Part| part.wood.trim().to_lowercase();
            Some(first.id) != apart
                && Some(part.id) != apart
                && wood(first) == wood(part)
                && first.construction == part.construction
                && first.bars == part.bars
                && de2000(first_lab, *lab) < ALIKE_DE00
        };
        match groups.iter_mut().find(alike) {
            Some(group) => group.push(index),
            None => groups.push(vec![index]),
        }
    }
    groups
}
