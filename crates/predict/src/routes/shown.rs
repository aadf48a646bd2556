//! A judged plan as it is shown.

use colour::de2000;

use super::{PartSchedule, Route, WorstPair, field::Field, judged::Judged, naming, pairs::Pair};
use crate::{Estimate, judge::judge, patchiness::Uneven, rank::row};

impl Field<'_> {
    /// A judged plan as it is shown.
    pub(crate) fn route(&self, judged: &Judged) -> Route {
        let choice = |place: usize| judged.choices[place];
        let estimates: Vec<Estimate> = (0..self.parts.len())
            .map(|place| Estimate::from_draws(self.outcome(place, choice(place)).draws.clone()))
            .collect();
        let target = self.target.as_ref().map(|target| Estimate::from_draws(target.draws.clone()));
        let side = |pair: &Pair| pair.b.map_or(target.as_ref(), |b| Some(&estimates[b]));
        let ratio =
            |pair: &Pair| side(pair).map_or(0.0, |b| de2000(estimates[pair.a].mean, b.mean)) / pair.tolerance_de00;
        let worst = |pairs: &mut dyn Iterator<Item = &'_ Pair>| -> Option<Pair> {
            pairs.copied().reduce(|worst, pair| if ratio(&pair) > ratio(&worst) { pair } else { worst })
        };
        let worst_pair = worst(&mut self.pairs.iter()).and_then(|pair| {
            let (a, b) = (&estimates[pair.a], side(&pair)?);
            Some(WorstPair {
                a: self.parts[pair.a].0.name.clone(),
                b: pair.b.map_or_else(|| "match sample".to_owned(), |b| self.parts[b].0.name.clone()),
                de00: judge(a.mean, b.mean, &a.draws, &b.draws, pair.tolerance_de00).de00,
                tolerance_de00: pair.tolerance_de00,
            })
        });
        let schedules = (0..self.parts.len())
            .map(|place| {
                let part = self.parts[place].0;
                // Against the match sample; else against the neighbour it differs from most; alone, against itself.
                let of_it = |pair: &&Pair| pair.a == place || pair.b == Some(place);
                let limiting = worst(&mut self.pairs.iter().filter(of_it));
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
                let (mut row, _) =
                    row(self.piece, part, self.steps(place, choice(place)), outcome, against, tolerance_de00);
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
            mixes: Vec::new(),
        };
        route.why = naming::why(&route);
        route
    }
}
