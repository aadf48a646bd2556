//! Entering mixes that were looked for, at the moment at which a schedule with them is taken over.

use std::{borrow::Cow, collections::BTreeMap};

use piece::{Edit, Piece, Product, ProductId, Step, edit::ProductEdit};

use super::Workbench;

/// The edits that enter the mixes that steps name, and by what ids the steps name them then. A mix that is in the piece by
/// now is not entered again.
pub(super) fn entering<'s>(
    piece: &Piece,
    mixes: &[Product],
    steps: impl IntoIterator<Item = &'s Step>,
) -> (Vec<Edit>, Renamed) {
    let named: Vec<ProductId> = steps.into_iter().filter_map(product_of).collect();
    let (mut edits, mut renamed) = (Vec::new(), BTreeMap::new());
    for mix in mixes.iter().filter(|mix| named.contains(&mix.id)) {
        let same = |other: &Product| other.mix == mix.mix && other.kind == mix.kind;
        let id = match piece.products.iter().find(|other| same(other)) {
            Some(there) => there.id,
            None => {
                let id = piece.ids.ahead(edits.len() as u32);
                edits.push(Edit::Product(ProductEdit::Add(mix.clone())));
                id
            }
        };
        renamed.insert(mix.id, id);
    }
    (edits, Renamed(renamed))
}

/// Ids of mixes once they are entered.
pub(super) struct Renamed(BTreeMap<ProductId, ProductId>);

impl Renamed {
    /// The step with the product as it is called in the piece.
    pub(super) fn step(&self, step: &Step) -> Step {
        let mut step = step.clone();
        match &mut step {
            Step::Dye { product, .. }
            | Step::Stain { product, .. }
            | Step::Glaze { product, .. }
            | Step::Toner { product, .. } => *product = self.0.get(product).copied().unwrap_or(*product),
            _ => {}
        }
        step
    }
}

fn product_of(step: &Step) -> Option<ProductId> {
    match step {
        Step::Dye { product, .. }
        | Step::Stain { product, .. }
        | Step::Glaze { product, .. }
        | Step::Toner { product, .. } => Some(*product),
        _ => None,
    }
}

impl Workbench {
    /// The mixes that were found for the piece as it is now: a line may name them.
    pub(super) fn offered_mixes(&self) -> Vec<Product> {
        let Some(piece) = self.piece() else { return Vec::new() };
        let next = self.results.next.as_ref().filter(|tagged| tagged.is_current(piece));
        let rankings = self.results.rankings.values().filter(|tagged| tagged.is_current(piece));
        let of_next = next.and_then(|tagged| tagged.value.as_ref().ok()).into_iter();
        let of_next = of_next.flat_map(|next| next.rows.iter().flat_map(|row| &row.mixes));
        let of_rankings = rankings.filter_map(|tagged| tagged.value.as_ref().ok()).flat_map(|ranking| &ranking.mixes);
        let mut mixes: Vec<Product> = Vec::new();
        for mix in of_next.chain(of_rankings) {
            if mixes.iter().all(|other| other.id != mix.id) {
                mixes.push(mix.clone());
            }
        }
        mixes
    }

    /// The piece as a line may speak of it: with the mixes that were found.
    pub(crate) fn piece_with_mixes<'p>(&self, piece: &'p Piece) -> Cow<'p, Piece> {
        predict::with_mixes(piece, &self.offered_mixes())
    }
}

#[cfg(test)]
mod tests {
    use std::{sync::Arc, time::Duration};

    use colour::Lab;
    use piece::{BoardId, Id, Kind, MatchSample, PartId, Reading, ReadingId, Stage, State, Surface, Trial, TrialId};

    use super::*;
    use crate::{
        action::{Area, FrameAction, RoutesAction, SamplesAction},
        sample::oak_chest,
    };

    /// Enough for the slowest machine; nothing is asserted about it.
    const LONG: Duration = Duration::from_secs(300);

    /// The oak chest with a red stain tried beside the walnut one, and a colour between the two to reach. Invented data.
    fn between_two_stains() -> Piece {
        let mut piece = oak_chest();
        let red = piece.ids.next::<ProductId>();
        let walnut = piece.products.iter().find(|product| product.kind == Kind::Pigment).unwrap();
        piece.products.push(Arc::new(Product { id: red, name: "red stain".into(), ..(**walnut).clone() }));
        piece.ids.note(red);
        let on = Surface::Board(BoardId(3));
        let read = |piece: &mut Piece, [l, a, b]: [f64; 3], state: State| {
            let like: &Reading = &piece.readings[0];
            let id = piece.ids.next::<ReadingId>();
            let reading = Reading { id, of: on, lab: Lab::new(l, a, b), state, ..like.clone() };
            piece.readings.push(Arc::new(reading));
            piece.ids.note(id);
            id
        };
        let coated = State::Topcoated { topcoat: "oil".into(), sheen: "satin".into() };
        let before = piece.trials.last().unwrap().before.clone();
        let dry = read(&mut piece, [55.0, 24.0, 26.0], State::ColourDry);
        let topcoated = read(&mut piece, [44.0, 26.0, 31.0], coated.clone());
        let step = Step::Stain { product: red, reducer_parts: 1.0, coats: 1, wipe_minutes: None };
        let clear = Step::Topcoat { topcoat: "oil".into(), sheen: "satin".into() };
        let stages = vec![Stage { step, readings: vec![dry] }, Stage { step: clear, readings: vec![topcoated] }];
        let id = piece.ids.next::<TrialId>();
        piece.trials.push(Arc::new(Trial::new(id, on, before, stages)));
        piece.ids.note(id);
        let target = read(&mut piece, [41.3, 18.0, 27.5], coated);
        piece.match_sample = MatchSample::Reading(target);
        piece
    }

    fn ranked() -> Workbench {
        let mut bench = Workbench::in_folder(tempfile::tempdir().unwrap().keep());
        bench.put(between_two_stains());
        bench.apply(FrameAction::Go(Area::Routes).into());
        bench.apply(FrameAction::Choose { part: PartId(1), add: false }.into());
        assert!(bench.settle(LONG));
        bench
    }

    fn mixes(bench: &Workbench) -> Vec<Product> {
        let products = &bench.piece().unwrap().products;
        products.iter().filter(|product| !product.mix.is_empty()).map(|product| (**product).clone()).collect()
    }

    #[test]
    fn a_mix_is_entered_when_its_schedule_becomes_the_plan_and_undone_with_it() {
        let mut bench = ranked();
        let rows = bench.ranking_view().rows;
        let row = rows.iter().find(|row| row.words.contains(" + ") && row.words.contains(", 1:")).unwrap().clone();
        assert!(row.words.starts_with("walnut stain ") && row.words.contains(" + red stain "), "{}", row.words);
        assert_eq!(mixes(&bench), []);
        bench.apply(RoutesAction::ChooseRow(row.id.clone()).into());
        let schedule = bench.schedule_view().unwrap();
        assert!(schedule.steps.iter().any(|(name, _)| name.contains(" + ")), "{:?}", schedule.steps);
        assert!(schedule.notes.iter().any(|note| note.contains("predicted from its parts")), "{:?}", schedule.notes);
        bench.apply(RoutesAction::MakePlan.into());
        let piece = bench.piece().unwrap().clone();
        let entered = mixes(&bench);
        assert_eq!(entered.len(), 1, "{}", bench.status().happened);
        assert!(piece::check::check(&piece).is_empty(), "{:?}", piece::check::check(&piece));
        let plan = piece.plan.as_ref().unwrap();
        assert!(
            plan.schedules.iter().flat_map(|(_, steps)| steps).filter_map(product_of).any(|id| id == entered[0].id)
        );
        bench.apply(FrameAction::Undo.into());
        assert_eq!((mixes(&bench), bench.piece().unwrap().plan.clone()), (Vec::new(), None));
        // Twice taken over it is entered once.
        bench.apply(FrameAction::Redo.into());
        bench.apply(RoutesAction::MakePlan.into());
        assert_eq!(mixes(&bench), entered);
    }

    #[test]
    fn a_mix_is_entered_when_a_trial_of_it_is_logged_and_undone_with_it() {
        let mut bench = ranked();
        let name = bench.offered_mixes()[0].name.clone();
        let line = format!("board 3 {name}, 1:1 dry 52/15/22 topcoat");
        assert!(bench.would_log(&line), "{line}");
        let (trials, readings) = (bench.piece().unwrap().trials.len(), bench.piece().unwrap().readings.len());
        bench.apply(SamplesAction::Log(line).into());
        let entered = mixes(&bench);
        assert_eq!(entered.iter().map(|mix| &mix.name).collect::<Vec<_>>(), [&name], "{}", bench.status().happened);
        let trial = bench.piece().unwrap().trials.last().unwrap().clone();
        assert_eq!(trial.steps().next().and_then(product_of), Some(entered[0].id));
        // The can that a mix begins with is still called by its first word.
        assert!(bench.would_log("board 3 walnut 1:2"));
        bench.apply(FrameAction::Undo.into());
        let piece = bench.piece().unwrap();
        assert_eq!((mixes(&bench), piece.trials.len(), piece.readings.len()), (Vec::new(), trials, readings));
    }

    /// An id may have gone to another product since the mix was found: steps of the plan keep theirs, the mix gets its own.
    #[test]
    fn a_mix_gets_an_id_of_its_own() {
        let piece = between_two_stains();
        let cans: Vec<ProductId> = piece.products.iter().map(|product| product.id).collect();
        let share = |id, parts| piece::Share { product: id, parts };
        let mix = Product {
            id: cans[0],
            name: "walnut stain 2 parts + red stain 1 part".into(),
            mix: vec![share(cans[1], 2.0), share(cans[2], 1.0)],
            ..(*piece.products[1]).clone()
        };
        let step = Step::Stain { product: cans[0], reducer_parts: 1.0, coats: 1, wipe_minutes: None };
        let (edits, renamed) = entering(&piece, std::slice::from_ref(&mix), [&step]);
        let expected = piece.ids.next::<ProductId>();
        assert_eq!(edits.len(), 1);
        assert_eq!(product_of(&renamed.step(&step)), Some(expected));
        assert!(expected.number() > cans[2].number());
        let entered = piece::edit::apply(&piece, &edits[0]).unwrap();
        let (again, renamed) = entering(&entered, &[mix], [&step]);
        assert_eq!((again, product_of(&renamed.step(&step))), (Vec::new(), Some(expected)));
    }
}
