//! A judged plan as it is shown.

use super::{MATCH_SAMPLE, PartSchedule, Route, WorstPair, field::Field, judged::Judged, naming, pairs::Pair};
use crate::{
    Estimate, Interval,
    judge::{Side, worst_of},
    patchiness::Uneven,
    rank::row,
};

impl Field<'_> {
    /// A judged plan as it is shown.
    pub(crate) fn route(&self, judged: &Judged) -> Route {
        let choice = |place: usize| judged.choices[place];
        let estimates: Vec<Estimate> = (0..self.parts.len())
            .map(|place| Estimate::from_draws(self.outcome(place, choice(place)).draws.clone()))
            .collect();
        let target = self.target.as_ref().map(|target| Estimate::from_draws(target.draws.clone()));
        let sides = self.pairs.iter().filter_map(|pair| {
            let b = pair.b.map_or(target.as_ref(), |b| Some(&estimates[b]))?;
            Some((estimates[pair.a].draws.as_slice(), b.draws.as_slice(), pair.tolerance_de00))
        });
        let worst_of_all = worst_of(&sides.collect::<Vec<Side<'_>>>());
        // By what is expected of it, draw by draw: two uncertain colours whose means are alike may differ much.
        let expected: Vec<f64> = (0..self.pairs.len())
            .map(|index| {
                let pair = &self.pairs[index];
                let ratios = self.ratios(index, choice(pair.a), pair.b.map_or(0, choice));
                ratios.iter().sum::<f64>() / ratios.len().max(1) as f64
            })
            .collect();
        let worst = |wanted: &dyn Fn(&Pair) -> bool| -> Option<Pair> {
            let of = self.pairs.iter().zip(&expected).filter(|(pair, _)| wanted(pair));
            of.reduce(|worst, one| if one.1 > worst.1 { one } else { worst }).map(|(pair, _)| *pair)
        };
        let worst_pair = worst(&|_| true).zip(worst_of_all).map(|(pair, Interval { mean, low, high })| {
            let tolerance_de00 = pair.tolerance_de00;
            let [mean, low, high] = [mean, low, high].map(|ratio| ratio * tolerance_de00);
            WorstPair {
                a: self.parts[pair.a].0.name.clone(),
                b: pair.b.map_or_else(|| MATCH_SAMPLE.to_owned(), |b| self.parts[b].0.name.clone()),
                de00: Interval { mean, low, high },
                tolerance_de00,
            }
        });
        let schedules = (0..self.parts.len())
            .map(|place| {
                let part = self.parts[place].0;
                // Against the match sample; else against the neighbour it differs from most; alone, against itself.
                let limiting = worst(&|pair| pair.a == place || pair.b == Some(place));
                let limiting = limiting.map(|pair| {
                    let other = if pair.a == place { pair.b } else { Some(pair.a) };
                    (other, pair.tolerance_de00)
                });
                let (against, tolerance_de00) = match (&target, limiting) {
                    (Some(target), _) => (target, self.piece.tolerances.match_sample_de00),
                    (None, Some((Some(other), tolerance))) => (&estimates[other], tolerance),
                    (None, _) => (&estimates[place], self.piece.tolerances.match_sample_de00),
                };
                let outcome = self.outcome(place, choice(place)).clone();
                let mut row = row(self.piece, part, self.steps(place, choice(place)), outcome, against, tolerance_de00);
                let uneven = Uneven::of(self.piece, part);
                row.patchiness = uneven
                    .and_then(|uneven| uneven.after(self.lessons, part, self.steps(place, choice(place)), self.look));
                PartSchedule { part: part.id, row }
            })
            .collect();
        let mut route = Route {
            name: naming::name(self, judged),
            why: String::new(),
            schedules,
            worst_pair,
            chance_all_within: judged.chance_all_within,
            hours: judged.hours,
            wait_hours: judged.wait_hours,
            product_ml: 1000.0 * judged.litres,
            irreversible_steps: judged.irreversible.clone(),
            left_out: self.left_out.clone(),
            mixes: Vec::new(),
        };
        route.why = naming::why(self.piece, &route);
        route
    }
}
