//! Published effects: weak, marked, never outranking a trial.
//!
//! The figures travel in `assets/published-effects.json`, each with its source.

use std::sync::LazyLock;

use piece::Bleach;
use serde::Deserialize;

use crate::{
    evidence::{Belief, Effect},
    laws::Law,
};

const FILE: &str = include_str!("../../../assets/published-effects.json");

#[derive(Default, Deserialize)]
struct File {
    bleaches: Vec<Published>,
    clear_coat: ClearCoat,
}

/// What the clear coats do, as a factor on the wood's own K/S.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
pub(crate) struct ClearCoat {
    pub(crate) log_factor: [f64; 3],
    pub(crate) log_factor_sd: f64,
}

static PUBLISHED: LazyLock<File> = LazyLock::new(|| serde_json::from_str(FILE).unwrap_or_default());

/// A published direction and size, as a factor on the wood's own K/S.
#[derive(Deserialize)]
struct Published {
    kind: String,
    log_factor: [f64; 3],
    log_factor_sd: [f64; 3],
    finding: String,
    source: String,
    offered: bool,
}

/// Bleaches known from published figures: kind, effect, and what to say of it. Only those that may be offered without a
/// trial; oxalic acid takes out iron and greying and is no general lightener, caustic soda alone darkens.
pub(crate) fn bleaches() -> Vec<(Bleach, Effect, String)> {
    all()
        .into_iter()
        .filter(|(published, _)| published.offered)
        .map(|(published, kind)| {
            let note = format!("published figures only: {} ({})", published.finding, published.source);
            (kind, effect(published), note)
        })
        .collect()
}

/// The published effect of any bleach, offered or not.
pub fn bleach(kind: Bleach) -> Option<Effect> {
    all().into_iter().find(|(_, one)| *one == kind).map(|(published, _)| effect(published))
}

/// The published size of what the clear coats do.
pub(crate) fn clear_coat() -> ClearCoat {
    PUBLISHED.clear_coat
}

fn all() -> Vec<(&'static Published, Bleach)> {
    let kind = |published: &'static Published| {
        let kind = match published.kind.as_str() {
            "two_part" => Bleach::TwoPart,
            "oxalic" => Bleach::Oxalic,
            "chlorine" => Bleach::Chlorine,
            "caustic_alone" => Bleach::CausticAlone,
            _ => return None,
        };
        Some((published, kind))
    };
    PUBLISHED.bleaches.iter().filter_map(kind).collect()
}

fn effect(published: &Published) -> Effect {
    let name = format!("published bleach {}", published.kind);
    Effect::published(
        &name,
        Law::Factor { floor: 0.0 },
        published.log_factor,
        published.log_factor_sd,
        Belief::of_a_step(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_read_whole() {
        let file: File = serde_json::from_str(FILE).unwrap();
        assert_eq!(file.bleaches.len(), all().len());
        assert!(file.clear_coat.log_factor.iter().all(|one| *one > 0.0));
        assert!(file.bleaches.iter().all(|one| !one.source.is_empty() && !one.finding.is_empty()));
        assert_eq!(bleaches().iter().map(|(kind, ..)| *kind).collect::<Vec<_>>(), [Bleach::TwoPart]);
    }
}
