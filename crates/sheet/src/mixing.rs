//! What a plan needs of each mix: reckoned from the areas of its parts, how far a litre goes, coats and waste, and made as
//! one batch for the whole job, so that all parts get their colour from one pot.
//!
//! Common practice, no source: a batch holds a quarter more than the parts need; powder is not weighed in amounts that a
//! bench scale cannot weigh well.

use piece::{Kind, Part, PartId, Piece, Product, ProductId, Step};
use predict::{
    Route,
    trade::{self, Coverage},
};

use crate::amount::{self, Units};

/// What a batch holds beyond the need, as a share of it.
pub const SPARE: f64 = 0.25;
/// The same in words, of all batches of a job.
pub const SPARE_WORDS: &str = "a quarter more than the need, or the least that can be measured out";
/// The least powder that a bench scale weighs well, g, and the share by which rounding may change any of it. Common
/// practice, no source.
const LEAST_POWDER_G: f64 = 0.5;
const POWDER_ROUNDING: f64 = 0.05;
/// A solution of so much is weighed as it comes, ml.
const ENOUGH_DYE_ML: f64 = 250.0;

/// One mix of a plan, and where it goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Mix {
    /// What it is, in the trade's words: 'amber dye 4 g/L', 'red-brown toner'.
    pub what: String,
    /// The product that is mixed; none for bleaches and the washcoat.
    pub product: Option<ProductId>,
    /// How it is made up.
    pub strength: Strength,
    /// The parts it goes on.
    pub uses: Vec<Use>,
    /// What it is made of and the share of each, by volume or, of powders, by weight; they add up to one.
    cans: Vec<(String, f64)>,
    /// What thins it.
    reducer: String,
}

/// How a mix is made up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Strength {
    /// Powder, grams to the litre.
    GramsPerLitre(f64),
    /// Parts of reducer to one part from the can; 0 is neat.
    Reduced(f64),
    /// As its label says.
    AsLabelled,
}

/// One part that a mix goes on.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// Its area, m²; none where it was not measured: nothing is reckoned for it.
    pub area_m2: Option<f64>,
    /// Coats, and how far a litre goes.
    pub coverage: Coverage,
    /// What it needs, waste included, ml; none where its area is not known.
    pub need_ml: Option<f64>,
}

/// A batch as it is measured out.
#[derive(Clone, Debug, PartialEq)]
pub struct Batch {
    /// How much there is of it, ml.
    pub ml: f64,
    /// What goes into it, in order.
    pub of: Vec<(String, Measure)>,
    /// What sets how much there is of it.
    pub set_by: SetBy,
}

/// What sets how large a batch is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SetBy {
    /// The need, with a quarter more, rounded up.
    Need,
    /// The least powder from there on that weighs well.
    Weighing,
    /// The least part of it, rounded up to a measure.
    Measuring,
}

/// An amount that is measured out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measure {
    /// Liquid, ml.
    Millilitres(f64),
    /// Powder, g.
    Grams(f64),
}

/// The mixes of a plan, in the order in which they are first used. Sealer and clear coats come from the can and stand with
/// the steps.
pub fn mixing<'a>(piece: &Piece, plan: impl IntoIterator<Item = (&'a Part, &'a [Step])>) -> Vec<Mix> {
    let mut mixes: Vec<Mix> = Vec::new();
    for (part, steps) in plan {
        for step in steps {
            let (Some(new), Some(coverage)) = (mix_of(piece, step), trade::coverage(piece, step)) else { continue };
            let need_ml = part.usable_area_m2().and_then(|area| trade::millilitres(piece, step, area));
            let here =
                Use { part: part.id, name: part.name.clone(), area_m2: part.usable_area_m2(), coverage, need_ml };
            match mixes.iter_mut().find(|mix| mix.what == new.what && mix.strength == new.strength) {
                Some(mix) => mix.uses.push(here),
                None => mixes.push(Mix { uses: vec![here], ..new }),
            }
        }
    }
    mixes
}

/// The mixes of a route, those too that are not in the piece yet.
pub fn mixing_of(piece: &Piece, route: &Route) -> Vec<Mix> {
    let piece = &*predict::with_mixes(piece, &route.mixes);
    let plan =
        route.schedules.iter().filter_map(|one| Some((piece.part(one.part)?.as_ref(), one.row.steps.as_slice())));
    mixing(piece, plan)
}

/// The mix that a step takes, by itself; none where nothing is mixed for it.
fn mix_of(piece: &Piece, step: &Step) -> Option<Mix> {
    let (product, strength) = match step {
        Step::Dye { product, grams_per_litre, .. } => (Some(product), Strength::GramsPerLitre(*grams_per_litre)),
        Step::Stain { product, reducer_parts, .. } | Step::Glaze { product, reducer_parts } => {
            (Some(product), Strength::Reduced(*reducer_parts))
        }
        Step::Toner { product, .. } | Step::Fill { product: Some(product) } => (Some(product), Strength::Reduced(0.0)),
        Step::Bleach { .. } | Step::Washcoat => (None, Strength::AsLabelled),
        _ => return None,
    };
    let what = match step {
        Step::Toner { .. } => trade::step_name(piece, step),
        step => trade::step_words(piece, &once(step)),
    };
    let product_of = product.and_then(|id| piece.product(*id));
    let reducer = product_of.map(|product| product.reducer.clone()).filter(|reducer| !reducer.is_empty());
    // A gel is let down with its own neutral base (common practice, no source).
    let is_gel = product_of.is_some_and(|product| product.kind == Kind::Gel);
    let cans = product_of.map_or_else(Vec::new, |product| shares(piece, product));
    Some(Mix {
        what,
        product: product.copied(),
        strength,
        uses: Vec::new(),
        cans,
        reducer: reducer.unwrap_or_else(|| if is_gel { "its neutral base" } else { "reducer" }.to_owned()),
    })
}

/// The step in one coat: how often it is put on, and when it is wiped off, makes no other mix of it.
fn once(step: &Step) -> Step {
    let mut once = step.clone();
    match &mut once {
        Step::Dye { coats, .. } => *coats = 1,
        Step::Stain { coats, wipe_minutes, .. } => (*coats, *wipe_minutes) = (1, None),
        Step::Bleach { times, .. } => *times = 1,
        _ => {}
    }
    once
}

/// What a product is mixed from, with the share of each; the product itself where it comes from one can.
fn shares(piece: &Piece, product: &Product) -> Vec<(String, f64)> {
    let sum: f64 = product.mix.iter().map(|share| share.parts).sum();
    if sum <= 0.0 {
        return vec![(product.name.clone(), 1.0)];
    }
    let name = |id: ProductId| piece.product(id).map_or_else(|| id.to_string(), |product| product.name.clone());
    product.mix.iter().map(|share| (name(share.product), share.parts / sum)).collect()
}

impl Mix {
    /// What the measured parts need, waste included, ml.
    pub fn need_ml(&self) -> f64 {
        self.uses.iter().filter_map(|one| one.need_ml).fold(0.0, |sum, ml| sum + ml)
    }

    /// One batch, measured out in these units: a quarter more than the need, and every part of it in proportion. None
    /// where no part it goes on was measured.
    pub fn batch(&self, units: Units) -> Option<Batch> {
        let need_ml = self.need_ml();
        if need_ml <= 0.0 {
            return None;
        }
        let ml = need_ml * (1.0 + SPARE);
        let mut batch = match self.strength {
            Strength::GramsPerLitre(strength) => self.dissolved(self.weighable_ml(units, ml, strength), strength),
            Strength::Reduced(parts) => self.poured(units, ml, parts),
            Strength::AsLabelled => Batch { ml: units.rounded_up(ml), of: Vec::new(), set_by: SetBy::Need },
        };
        if batch.ml <= units.rounded_up(ml) + 1e-6 {
            batch.set_by = SetBy::Need;
        }
        Some(batch)
    }

    /// What sets a batch that is larger than a quarter more than the need, in words: '17 ml needed: the least powder that
    /// weighs well, 0.5 g of powder of amber dye, sets the batch'. None where the need does.
    pub fn set_by(&self, units: Units, batch: &Batch) -> Option<String> {
        let size = |measure: &Measure| match measure {
            Measure::Millilitres(amount) | Measure::Grams(amount) => *amount,
        };
        let least = |of: &mut dyn Iterator<Item = &(String, Measure)>| {
            of.min_by(|a, b| size(&a.1).total_cmp(&size(&b.1))).map(|one| measured(units, one))
        };
        let (what, least) = match batch.set_by {
            SetBy::Need => return None,
            SetBy::Weighing => (
                "weighs well",
                least(&mut batch.of.iter().filter(|(_, measure)| matches!(measure, Measure::Grams(_))))?,
            ),
            SetBy::Measuring => ("can be measured", least(&mut batch.of.iter())?),
        };
        let need = units.liquid(self.need_ml());
        Some(format!("{need} needed: the least that {what}, {least}, sets the batch"))
    }

    /// The least measure of solution, from so much on, for which the powder can be weighed well.
    fn weighable_ml(&self, units: Units, ml: f64, grams_per_litre: f64) -> f64 {
        let weighs_well = |ml: f64| {
            let grams = grams_per_litre * ml / 1000.0;
            let off = |share: &f64| (amount::grams(grams * share) - grams * share).abs() / (grams * share);
            grams >= LEAST_POWDER_G && self.cans.iter().all(|(_, share)| off(share) <= POWDER_ROUNDING)
        };
        let measures = std::iter::successors(Some(units.rounded_up(ml)), |ml| Some(units.rounded_up(ml + 1.0)));
        let mut measures = measures.take_while(|ml| *ml < ENOUGH_DYE_ML);
        measures.find(|ml| weighs_well(*ml)).unwrap_or_else(|| units.rounded_up(ml.max(ENOUGH_DYE_ML)))
    }

    fn dissolved(&self, ml: f64, grams_per_litre: f64) -> Batch {
        let grams = grams_per_litre * ml / 1000.0;
        let powder =
            |(name, share): &(String, f64)| (format!("powder of {name}"), Measure::Grams(amount::grams(grams * share)));
        let liquid = (self.reducer.clone(), Measure::Millilitres(ml));
        Batch { ml, of: self.cans.iter().map(powder).chain([liquid]).collect(), set_by: SetBy::Weighing }
    }

    /// The least of its parts is rounded up to a measure, the others follow in proportion.
    fn poured(&self, units: Units, ml: f64, reducer_parts: f64) -> Batch {
        let thinned = (self.reducer.clone(), reducer_parts);
        let parts: Vec<&(String, f64)> = self.cans.iter().chain([&thinned]).filter(|(_, parts)| *parts > 0.0).collect();
        let all: f64 = parts.iter().map(|(_, parts)| parts).sum();
        let least = parts.iter().map(|(_, parts)| *parts).fold(f64::INFINITY, f64::min);
        let unit_ml = units.rounded_up(ml * least / all) / least;
        let of = parts.iter().map(|(name, parts)| (name.clone(), Measure::Millilitres(parts * unit_ml)));
        Batch { of: of.collect(), ml: all * unit_ml, set_by: SetBy::Measuring }
    }

    /// How the need was reckoned, in words: the names of the parts for which it is the same, and the reckoning for one of
    /// them.
    pub fn reckoned(&self, units: Units) -> Vec<(Vec<&str>, String)> {
        let mut found: Vec<(Vec<&str>, String)> = Vec::new();
        for one in &self.uses {
            let words = one.words(units);
            match found.iter_mut().find(|(_, other)| *other == words) {
                Some((names, _)) => names.push(&one.name),
                None => found.push((vec![&one.name], words)),
            }
        }
        found
    }

    /// What the batch is made of, in words: '90 ml of oak stain, 180 ml of white spirit'.
    pub fn from_words(&self, units: Units, batch: &Batch) -> String {
        let of: Vec<String> = batch.of.iter().map(|one| measured(units, one)).collect();
        match (self.strength, of.as_slice()) {
            (Strength::AsLabelled, _) | (_, []) => "as its label says".to_owned(),
            (Strength::GramsPerLitre(_), [powders @ .., liquid]) => format!("{} in {liquid}", powders.join(", ")),
            (Strength::Reduced(parts), [_]) if parts <= 0.0 => "from the can, stirred to the bottom".to_owned(),
            (Strength::Reduced(_), of) => of.join(", "),
        }
    }
}

/// One thing that goes into a batch, in words: '90 ml of oak stain'.
fn measured(units: Units, (name, measure): &(String, Measure)) -> String {
    match measure {
        Measure::Millilitres(ml) => format!("{} of {name}", units.liquid(*ml)),
        Measure::Grams(grams) => format!("{} g of {name}", amount::trimmed(*grams, 1)),
    }
}

impl Use {
    /// How it was reckoned: '1.6 m², once at 10 m²/L (common practice), waste 20 %: 192 ml'.
    fn words(&self, units: Units) -> String {
        let Coverage { coats, m2_per_l, own } = self.coverage;
        let (Some(area_m2), Some(need_ml)) = (self.area_m2, self.need_ml) else {
            return "area not measured: not in the batch".to_owned();
        };
        let coats = match coats {
            1 => "once".to_owned(),
            2 => "twice".to_owned(),
            coats => format!("{coats} times"),
        };
        let says = if own { "as the product says" } else { "common practice" };
        format!(
            "{}, {coats} at {} ({says}), waste {:.0} %: {}",
            units.area(area_m2),
            units.coverage(m2_per_l),
            100.0 * trade::WASTE,
            units.liquid(need_ml)
        )
    }
}

#[cfg(test)]
mod tests;
