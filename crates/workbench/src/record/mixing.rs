//! What to mix for a plan, in `routes --json`: all amounts in ml and g.

use predict::trade;
use serde::Serialize;
use sheet::{
    Mix, Units,
    mixing::{Measure, SPARE, Strength, Use},
};

/// One mix, made as one batch for all parts it goes on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MixingRecord {
    /// What it is, in words.
    pub what: String,
    /// Powder in the solution, grams to the litre; null for what is no powder.
    pub grams_per_litre: Option<f64>,
    /// Parts of reducer to one from the can; null for powders and for what is made up as its label says.
    pub reducer_parts: Option<f64>,
    /// What the measured parts need, waste included, ml.
    pub need_ml: f64,
    /// What the batch holds beyond the need before it is rounded up, as a share.
    pub spare_share: f64,
    /// The batch, rounded up to what a bench measures, ml; null where no part was measured.
    pub batch_ml: Option<f64>,
    /// What sets the batch, in words, where it is the least that can be measured out and not the need; else null.
    pub set_by: Option<String>,
    /// What the batch is made from, in words.
    pub from: String,
    /// What goes into it.
    pub of: Vec<IngredientRecord>,
    /// The parts it goes on, and how much each needs.
    pub parts: Vec<MixedForRecord>,
    /// The batch in words, in the units that were asked for; for the terminal.
    #[serde(skip)]
    pub words: String,
}

/// One thing that goes into a batch: liquid or powder.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct IngredientRecord {
    /// Its name.
    pub name: String,
    /// Liquid, ml; null for a powder.
    pub ml: Option<f64>,
    /// Powder, g; null for a liquid.
    pub grams: Option<f64>,
}

/// One part that a mix goes on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MixedForRecord {
    /// The part.
    pub part: String,
    /// Its area, m²; null where it was not measured.
    pub area_m2: Option<f64>,
    /// Coats, passes or times.
    pub coats: u32,
    /// Square metres to the litre in one coat.
    pub coverage_m2_per_l: f64,
    /// Who says so: `product` or `common practice`.
    pub coverage_from: &'static str,
    /// Share that is wasted.
    pub waste_share: f64,
    /// What it needs, waste included, ml; null where its area is not known.
    pub need_ml: Option<f64>,
}

impl MixingRecord {
    /// The record of a mix, in words in these units.
    pub(super) fn new(mix: &Mix, units: Units) -> Self {
        let batch = mix.batch(Units::Metric);
        let (grams_per_litre, reducer_parts) = match mix.strength {
            Strength::GramsPerLitre(grams) => (Some(grams), None),
            Strength::Reduced(parts) => (None, Some(parts)),
            Strength::AsLabelled => (None, None),
        };
        let ingredient = |(name, measure): &(String, Measure)| {
            let (ml, grams) = match measure {
                Measure::Millilitres(ml) => (Some(*ml), None),
                Measure::Grams(grams) => (None, Some(*grams)),
            };
            IngredientRecord { name: name.clone(), ml, grams }
        };
        Self {
            what: mix.what.clone(),
            grams_per_litre,
            reducer_parts,
            need_ml: mix.need_ml(),
            spare_share: SPARE,
            batch_ml: batch.as_ref().map(|batch| batch.ml),
            set_by: batch.as_ref().and_then(|batch| mix.set_by(Units::Metric, batch)),
            from: batch.as_ref().map_or_else(String::new, |batch| mix.from_words(Units::Metric, batch)),
            of: batch.iter().flat_map(|batch| &batch.of).map(ingredient).collect(),
            parts: mix.uses.iter().map(MixedForRecord::from).collect(),
            words: mix.batch(units).map_or_else(
                || "measure the parts it goes on".to_owned(),
                |batch| {
                    let set_by = mix.set_by(units, &batch).map(|words| format!(" ({words})"));
                    let from = mix.from_words(units, &batch);
                    format!("{}, {from}{}", units.liquid(batch.ml), set_by.unwrap_or_default())
                },
            ),
        }
    }
}

impl From<&Use> for MixedForRecord {
    fn from(one: &Use) -> Self {
        Self {
            part: one.name.clone(),
            area_m2: one.area_m2,
            coats: one.coverage.coats,
            coverage_m2_per_l: one.coverage.m2_per_l,
            coverage_from: if one.coverage.own { "product" } else { "common practice" },
            waste_share: trade::WASTE,
            need_ml: one.need_ml,
        }
    }
}
