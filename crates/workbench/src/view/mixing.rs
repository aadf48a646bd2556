//! What to mix for the chosen route.

pub use sheet::mixing::SPARE_WORDS;
use sheet::{Mix, Units, mixing_of};

use crate::{Workbench, words};

/// One mix, as one batch for all parts it goes on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MixingView {
    /// `Amber dye 4 g/L`.
    pub what: String,
    /// `250 ml`; a dash where no part was measured.
    pub make: String,
    /// `1 g of powder of amber dye in 250 ml of meths`.
    pub from: String,
    /// What sets the batch, where it is not the need.
    pub set_by: Option<String>,
    /// How the need was reckoned: the parts for which it is the same, and the reckoning for one of them.
    pub parts: Vec<(String, String)>,
}

impl Workbench {
    /// What to mix for the chosen route; nothing where there is no route yet, or nothing is mixed for it.
    pub fn mixing_view(&self) -> Vec<MixingView> {
        let (Some(piece), Some(tagged)) = (self.piece(), &self.results.routes) else { return Vec::new() };
        let routes = tagged.value.as_ref().ok().filter(|_| tagged.is_current(piece));
        let Some(route) = routes.and_then(|routes| routes.routes.get(self.routes.route)) else { return Vec::new() };
        let units = self.units();
        let view = |mix: &Mix| {
            let batch = mix.batch(units);
            MixingView {
                what: words::capital(&mix.what),
                make: batch.as_ref().map_or_else(|| "–".into(), |batch| units.liquid(batch.ml)),
                from: batch
                    .as_ref()
                    .map_or_else(|| "measure the parts it goes on".into(), |batch| mix.from_words(units, batch)),
                set_by: batch.as_ref().and_then(|batch| mix.set_by(units, batch)).as_deref().map(words::sentence),
                parts: reckoned(mix, units),
            }
        };
        mixing_of(piece, route).iter().map(view).collect()
    }
}

/// The reckonings of a mix, those that are alike in one.
fn reckoned(mix: &Mix, units: Units) -> Vec<(String, String)> {
    let of_names = |(names, words): (Vec<&str>, String)| {
        let each = if names.len() > 1 { ", each" } else { "" };
        let names: Vec<String> = names.into_iter().map(str::to_owned).collect();
        (format!("{}{each}", words::shared_names(&names)), words)
    };
    mix.reckoned(units).into_iter().map(of_names).collect()
}
