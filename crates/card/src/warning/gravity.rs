//! In which order warnings are told: by how much they matter.

use super::{CODES, Warning};

/// Puts warnings in their order; of one code they stay as they are.
pub(crate) fn gravest_first(warnings: &mut [Warning]) {
    warnings.sort_by_key(|warning| CODES.iter().position(|known| known.code == warning.code));
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::path::Path;

    use super::*;

    /// The source of this crate, but for this file and the list.
    fn source(folder: &Path) -> String {
        let paths = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        let listed = |path: &Path| ["gravity.rs", "codes.rs"].iter().any(|name| path.ends_with(name));
        let texts = paths.filter(|path| !listed(path)).map(|path| match path.is_dir() {
            true => source(&path),
            false => std::fs::read_to_string(&path).unwrap(),
        });
        texts.collect::<Vec<_>>().concat()
    }

    /// What is raised has its place, and what has a place is raised.
    #[test]
    fn every_warning_has_its_place_once() {
        let source = source(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"));
        let placed: BTreeSet<&str> = CODES.iter().map(|known| known.code).collect();
        assert_eq!(placed.len(), CODES.len(), "a code stands twice");
        let after = source.split("Warning::new(").skip(1).filter_map(|rest| rest.trim_start().strip_prefix('"'));
        let raised: BTreeSet<&str> = after.filter_map(|rest| rest.split_once('"')).map(|(code, _)| code).collect();
        assert_eq!(raised.difference(&placed).collect::<Vec<_>>(), [&""; 0]);
        let unheard: Vec<_> = placed.iter().filter(|code| !source.contains(&format!("\"{code}\""))).collect();
        assert_eq!(unheard, [&""; 0]);
    }

    /// Own judgement: a remark on the file stands behind what is wrong with the photo, and a lost card before all but the light.
    #[test]
    fn what_matters_most_comes_first() {
        let mut warnings = ["no-profile", "patch-hidden", "glare", "mixed-light", "no-card", "overexposed"]
            .map(|code| Warning::new(code, code));
        gravest_first(&mut warnings);
        let codes = warnings.map(|warning| warning.code);
        assert_eq!(codes, ["overexposed", "no-card", "mixed-light", "glare", "patch-hidden", "no-profile"]);
    }
}
