mod undo;

use std::sync::Arc;

use super::*;
use crate::{
    Board, BoardId, Fidelity, History, Joint, Kind, MatchSample, Meeting, Part, PartId, PhotoId, Plan, Product,
    ProductId, Reading, ReadingId, Region, Share, Source, Stage, State, Step, Surface, Tolerances, TrialId,
    sample::{board, part, photo, piece, product, reading, trial},
    target::PairTolerance,
};

/// An edit that is refused with these words, leaving the piece as it was.
#[track_caller]
fn check_refused(edit: Edit, expected: &str) {
    let piece = piece();
    let before = piece.clone();
    let error = apply(&piece, &edit).unwrap_err().to_string();
    assert!(error.contains(expected), "expected '{expected}' in '{error}'");
    assert_eq!(piece, before);
}

fn add_reading(change: impl FnOnce(&mut Reading)) -> Edit {
    let mut reading = reading(Surface::Part(PartId(1)), State::BareDry);
    change(&mut reading);
    Edit::Reading(ReadingEdit::Add(reading))
}

#[test]
fn ids_are_given_once_and_never_again() {
    let piece = piece();
    assert_eq!(piece.ids.next::<PartId>(), PartId(4));
    let added = apply(&piece, &Edit::Part(PartEdit::Add(Part { id: PartId(1), ..part("door") }))).unwrap();
    assert_eq!(added.parts[3].id, PartId(4));
    let removed = apply(&added, &Edit::Part(PartEdit::Remove(PartId(4)))).unwrap();
    // Nor after saving and opening again.
    let text = crate::file::write(&removed, &crate::file::Extras::default()).unwrap();
    let (opened, _) = crate::file::read(&text).unwrap();
    let again = apply(&opened, &Edit::Part(PartEdit::Add(part("drawer")))).unwrap();
    assert_eq!(again.parts[3].id, PartId(5));
    let full = Piece { ids: crate::Ids { parts: u32::MAX, ..piece.ids }, ..piece };
    let error = apply(&full, &Edit::Part(PartEdit::Add(part("one more")))).unwrap_err();
    assert_eq!(error, Error::IdsUsedUp { kind: "part" });
}

#[test]
fn names_are_there_and_unlike() {
    check_refused(Edit::Part(PartEdit::Add(part(" TOP "))), "already a part called 'TOP'");
    check_refused(Edit::Part(PartEdit::Rename(PartId(2), "top".into())), "already a part called 'top'");
    check_refused(Edit::Part(PartEdit::Add(part("  "))), "the name is empty");
    check_refused(Edit::Part(PartEdit::Add(part("two\nlines"))), "on one line");
    check_refused(Edit::Board(BoardEdit::Add(board("Offcut", PartId(1)))), "already a board");
    check_refused(Edit::Product(ProductEdit::Add(product("MIX", Kind::Gel))), "already a product");
    check_refused(Edit::Photo(PhotoEdit::Add(photo("photos/DRY.jpg"))), "already a photo");
    check_refused(Edit::Piece(PieceEdit::Rename(String::new())), "the name is empty");
    let renamed = apply(&piece(), &Edit::Part(PartEdit::Rename(PartId(1), " Top ".into()))).unwrap();
    assert_eq!(renamed.parts[0].name, "Top");
}

#[test]
fn what_is_not_there_cannot_be_changed() {
    check_refused(Edit::Part(PartEdit::Change(Part { id: PartId(9), ..part("x") })), "no part p9");
    check_refused(Edit::Part(PartEdit::Move(PartId(9), 0)), "no part p9");
    check_refused(Edit::Board(BoardEdit::Remove(BoardId(9))), "no board b9");
    check_refused(Edit::Board(BoardEdit::Add(board("new", PartId(9)))), "no part p9");
    check_refused(Edit::Product(ProductEdit::Remove(ProductId(99))), "no product c99");
    check_refused(Edit::Photo(PhotoEdit::PlaceCorners(PhotoId(9), None)), "no photo f9");
    check_refused(Edit::Reading(ReadingEdit::Remove(ReadingId(99))), "no reading r99");
    check_refused(Edit::Trial(TrialEdit::Detach(TrialId(9), ReadingId(1))), "no trial t9");
    check_refused(Edit::Trial(TrialEdit::Detach(TrialId(1), ReadingId(8))), "no reading in the trial, r8");
    check_refused(Edit::Joint(JointEdit::Remove(PartId(1), PartId(9))), "no joint of p1 and p9");
    let joint = Joint { a: PartId(1), b: PartId(9), meeting: Meeting::Fronts };
    check_refused(Edit::Joint(JointEdit::Set(joint)), "no part p9");
    check_refused(Edit::Joint(JointEdit::Set(Joint { b: PartId(1), ..joint })), "does not meet itself");
    check_refused(Edit::Target(TargetEdit::Match(MatchSample::Trial(TrialId(9)))), "no trial t9");
    check_refused(add_reading(|reading| reading.of = Surface::Board(BoardId(9))), "no board b9");
    check_refused(Edit::Trial(TrialEdit::Log(trial(Surface::Part(PartId(9)), vec![Step::Seal]))), "no part p9");
    let dye = Step::Dye { product: ProductId(77), grams_per_litre: 4.0, coats: 1 };
    check_refused(Edit::Trial(TrialEdit::Log(trial(Surface::Part(PartId(1)), vec![dye]))), "no product c77");
}

#[test]
fn what_is_in_use_is_not_removed() {
    check_refused(
        Edit::Part(PartEdit::Remove(PartId(1))),
        "part 'top' cannot be removed: it is used by board 'offcut', reading r8, the match sample; remove",
    );
    check_refused(Edit::Board(BoardEdit::Remove(BoardId(1))), "trial t1, reading r1, reading r2 and 5 more");
    check_refused(Edit::Product(ProductEdit::Remove(ProductId(1))), "the mix 'mix'");
    check_refused(Edit::Product(ProductEdit::Remove(ProductId(6))), "trial t1, the plan");
    check_refused(Edit::Photo(PhotoEdit::Remove(PhotoId(1))), "reading r1");
    check_refused(Edit::Reading(ReadingEdit::Remove(ReadingId(5))), "trial t1");
    let chosen = apply(&piece(), &Edit::Target(TargetEdit::Match(MatchSample::Trial(TrialId(2))))).unwrap();
    let error = apply(&chosen, &Edit::Trial(TrialEdit::Remove(TrialId(2)))).unwrap_err().to_string();
    assert!(error.contains("the match sample"), "{error}");
}

#[test]
fn what_means_nothing_without_a_part_goes_with_it() {
    let without = apply(&piece(), &Edit::Part(PartEdit::Remove(PartId(2)))).unwrap();
    let left: Vec<_> = without.joints.iter().map(|joint| (joint.a, joint.b)).collect();
    assert_eq!(left, [(PartId(1), PartId(3))]);
    assert!(without.tolerances.pairs.is_empty());
    assert!(without.plan.as_ref().unwrap().schedules.is_empty());
    assert_eq!(crate::check(&without), []);
}

#[test]
fn numbers_out_of_range_are_refused() {
    check_refused(Edit::Part(PartEdit::Add(Part { area_m2: Some(-1.0), ..part("x") })), "area in m² is -1");
    check_refused(Edit::Part(PartEdit::Add(Part { area_m2: Some(f64::NAN), ..part("x") })), "area in m² is NaN");
    check_refused(add_reading(|reading| reading.lab.l = f64::NAN), "L* is NaN");
    check_refused(add_reading(|reading| reading.lab.l = 130.0), "L* is 130: expected -5 to 105");
    check_refused(add_reading(|reading| reading.lab.b = f64::INFINITY), "b* is inf");
    check_refused(add_reading(|reading| reading.covariance[0][1] = 0.3), "not symmetric");
    check_refused(add_reading(|reading| reading.covariance[1][1] = -0.2), "not positive");
    check_refused(add_reading(|reading| reading.covariance = [[0.0; 3]; 3]), "no positive, finite variances");
    check_refused(add_reading(|reading| reading.grain_sd = Some([1.0, -1.0, 0.0])), "spread of the grain");
    check_refused(add_reading(|reading| reading.patch_sd = Some([1.0, f64::NAN, 0.0])), "spread from place to place");
    check_refused(add_reading(|reading| reading.taken = "at noon".into()), "the time 'at noon'");
    let wet = State::SpiritWet { liquid: "meths".into(), seconds: -3.0 };
    check_refused(add_reading(|reading| reading.state = wet), "seconds since wetting");
    let region = |points: Vec<[f64; 2]>, photo| {
        let source = Source::Photo { photo: PhotoId(photo), region: Region::whole(points), method: "m".into() };
        add_reading(|reading| reading.source = source)
    };
    check_refused(region(vec![[0.0, 0.0], [9.0, 0.0]], 1), "2 corners");
    check_refused(region(vec![[0.0, 0.0], [9.0, 0.0], [18.0, 0.0]], 1), "encloses no area");
    check_refused(region(vec![[0.0, 0.0], [9.0, 0.0], [f64::NAN, 7.0]], 1), "not a place in a picture");
    check_refused(region(vec![[0.0, 0.0], [9.0, 0.0], [9.0, 9.0]], 5), "no photo f5");
    check_refused(Edit::Photo(PhotoEdit::PlaceCorners(PhotoId(1), Some([[f64::NAN; 2]; 4]))), "place it again");
    check_refused(Edit::Photo(PhotoEdit::Add(photo("../elsewhere.jpg"))), "does not stay within");
    let log = |step| Edit::Trial(TrialEdit::Log(trial(Surface::Part(PartId(1)), vec![step])));
    check_refused(log(Step::Dye { product: ProductId(1), grams_per_litre: 0.0, coats: 1 }), "strength in g/L");
    check_refused(
        log(Step::Stain { product: ProductId(3), reducer_parts: -1.0, coats: 1, wipe_minutes: None }),
        "parts of reducer",
    );
    check_refused(
        log(Step::Stain { product: ProductId(3), reducer_parts: 1.0, coats: 0, wipe_minutes: None }),
        "number of coats",
    );
    check_refused(
        log(Step::Stain { product: ProductId(3), reducer_parts: 1.0, coats: 1, wipe_minutes: Some(0.0) }),
        "wiped off",
    );
    check_refused(log(Step::Bleach { kind: crate::Bleach::Oxalic, times: 0 }), "times of bleaching");
    check_refused(log(Step::Sand { grit: 0 }), "the grit");
    check_refused(Edit::Trial(TrialEdit::Log(trial(Surface::Part(PartId(1)), vec![]))), "has no step");
    let tolerances = |change: fn(&mut Tolerances)| {
        let mut tolerances = Tolerances::default();
        change(&mut tolerances);
        Edit::Target(TargetEdit::Tolerances(tolerances))
    };
    check_refused(tolerances(|tolerances| tolerances.fronts_de00 = 0.0), "a tolerance in ΔE2000 is 0");
    let pair = PairTolerance { a: PartId(1), b: PartId(1), de00: 1.0, reason: String::new() };
    let pairs = Tolerances { pairs: vec![pair], ..Tolerances::default() };
    check_refused(Edit::Target(TargetEdit::Tolerances(pairs)), "is one part");
    let twice = Plan { name: "x".into(), schedules: vec![(PartId(1), vec![]), (PartId(1), vec![])] };
    check_refused(Edit::Target(TargetEdit::Plan(Some(twice))), "stands twice");
    let share = |product| Share { product: ProductId(product), parts: 1.0 };
    let mix = |mix| Edit::Product(ProductEdit::Add(Product { mix, ..product("x", Kind::Gel) }));
    check_refused(mix(vec![share(1), share(9)]), "itself a mix");
    check_refused(mix(vec![share(1)]), "two to four");
    let in_mix = Product { id: ProductId(1), mix: vec![share(2), share(3)], ..product("x", Kind::Gel) };
    check_refused(Edit::Product(ProductEdit::Change(in_mix)), "is itself in another mix");
}

#[test]
fn a_trial_holds_readings_of_its_own_spot() {
    let attach =
        |reading, after| Edit::Trial(TrialEdit::Attach { trial: TrialId(1), after, reading: ReadingId(reading) });
    check_refused(attach(8, Some(0)), "reading r8 is of top, elsewhere");
    check_refused(attach(1, Some(0)), "reading r1 stands twice");
    check_refused(attach(99, None), "no reading r99");
    check_refused(attach(8, Some(40)), "none at place 41");
    let detached = apply(&piece(), &Edit::Trial(TrialEdit::Detach(TrialId(1), ReadingId(7)))).unwrap();
    let attached = apply(&detached, &attach(7, Some(16))).unwrap();
    assert_eq!(attached, piece());
    let elsewhere = Reading { id: ReadingId(7), ..*reading(Surface::Part(PartId(1)), State::BareDry) };
    check_refused(Edit::Reading(ReadingEdit::Change(Box::new(elsewhere))), "trial t1 holds it");
}

#[test]
fn edits_together_are_all_or_none() {
    let piece = piece();
    let on = Surface::Part(PartId(3));
    let first = piece.ids.next::<ReadingId>();
    let second = piece.ids.ahead::<ReadingId>(1);
    let mut log = trial(on, vec![Step::Seal]);
    log.before.push(first);
    log.stages[0].readings.push(second);
    let mut edits = vec![
        Edit::Reading(ReadingEdit::Add(reading(on, State::BareDry))),
        Edit::Reading(ReadingEdit::Add(reading(on, State::Sealed))),
        Edit::Trial(TrialEdit::Log(log)),
    ];
    let together = Edit::Together { label: "log trial".into(), edits: edits.clone() };
    let logged = apply(&piece, &together).unwrap();
    assert_eq!(logged.trials.last().unwrap().stages, [Stage { step: Step::Seal, readings: vec![second] }]);
    assert_eq!(logged.readings.len(), piece.readings.len() + 2);
    edits.push(Edit::Part(PartEdit::Remove(PartId(9))));
    check_refused(Edit::Together { label: "too much".into(), edits }, "no part p9");
}

#[test]
fn what_did_not_change_is_shared() {
    let piece = piece();
    let changed = apply(&piece, &Edit::Part(PartEdit::Rename(PartId(2), "hatch".into()))).unwrap();
    assert!(Arc::ptr_eq(&piece.parts[0], &changed.parts[0]));
    assert!(piece.readings.iter().zip(&changed.readings).all(|(before, after)| Arc::ptr_eq(before, after)));
    assert!(!Arc::ptr_eq(&piece.parts[1], &changed.parts[1]));
}
