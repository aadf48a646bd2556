//! What thins a product, by all its names. Common practice, no source; the label wins, always.

/// Solvents by all their names (British and American words for one thing).
const SOLVENTS: [&[&str]; 3] = [
    &["white spirit", "mineral spirits", "mineral spirit"],
    &["meths", "methylated spirit", "methylated spirits", "denatured alcohol", "alcohol", "ethanol"],
    &["water", "clean water", "distilled water", "deionised water", "tap water", "warm water", "hot water"],
];

/// The name under which a solvent is known here: the first of its names, or what is said.
pub(crate) fn solvent(said: &str) -> String {
    let said = said.trim().to_lowercase();
    SOLVENTS.iter().find(|names| names.contains(&said.as_str())).map_or(said, |names| names[0].to_owned())
}

/// Whether what thins a product is water or has water in it: whatever is so called, lest glue and bare wood get it.
pub(super) fn has_water(said: &str) -> bool {
    let said = said.to_lowercase();
    said.split(|letter: char| !letter.is_alphanumeric()).any(|word| word.starts_with("water") || word == "h2o")
}

#[cfg(test)]
mod tests {
    use super::{SOLVENTS, has_water, solvent};

    /// Water is water however it is called, and in whatever it is mixed (own judgement: too cautious rather than not enough).
    #[test]
    fn water_is_known_by_every_name() {
        for said in ["Water", " distilled water", "warm water", "water and meths 1:1", "water-borne reducer", "H2O"] {
            assert!(has_water(said), "{said}");
        }
        for said in ["", "white spirit", "meths", "its neutral base"] {
            assert!(!has_water(said), "{said}");
        }
        assert!(SOLVENTS[2].iter().all(|name| has_water(name) && solvent(name) == "water"));
        assert!(SOLVENTS[..2].iter().flat_map(|names| names.iter()).all(|name| !has_water(name)));
    }
}
