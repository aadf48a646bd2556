use super::*;
use crate::{
    BoardId, Construction, Glue, Joint, Meeting, PartId, ProductId, Reading, ReadingId, Share, Stage, State, TrialId,
    sample::{changed, part, photo, piece, product, topcoated},
};

/// Whether a change by hand is found, at this place and with these words.
#[track_caller]
fn check_one(change: impl FnOnce(&mut Piece), expected_at: &str, expected: &str) {
    let mut piece = piece();
    change(&mut piece);
    let found = check(&piece);
    let hit = found.iter().any(|problem| problem.at == expected_at && problem.text.contains(expected));
    assert!(hit, "expected '{expected_at}: …{expected}…', found {found:#?}");
    assert!(found.iter().all(|problem| !problem.to_string().contains('\n')));
}

#[test]
fn a_sound_piece_has_no_problem() {
    assert_eq!(check(&piece()), []);
    assert_eq!(check(&Piece { name: "new".into(), ..Piece::default() }), []);
}

#[test]
fn each_thing_that_is_wrong_is_found_where_it_is() {
    check_one(|piece| piece.name.clear(), "piece", "name is empty");
    check_one(|piece| changed(&mut piece.parts, 0, |part| part.name = "Flap ".into()), "part p2", "another part");
    check_one(|piece| changed(&mut piece.parts, 0, |part| part.area_m2 = Some(0.0)), "part p1", "area in m²");
    let thick = Construction::Veneer { thickness_mm: -1.0, glue: Glue::Hide };
    check_one(|piece| changed(&mut piece.parts, 0, |part| part.construction = thick), "part p1", "thickness");
    let joint = |a, b| Joint { a: PartId(a), b: PartId(b), meeting: Meeting::Fronts };
    check_one(|piece| piece.joints.push(joint(2, 1)), "joint of p2 and p1", "joined twice");
    check_one(|piece| piece.joints.push(joint(1, 1)), "joint of p1 and p1", "itself");
    check_one(|piece| piece.joints.push(joint(1, 9)), "joint of p1 and p9", "no part p9");
    check_one(|piece| changed(&mut piece.boards, 0, |board| board.stands_for = PartId(9)), "board b1", "part p9");
    let share = |product| Share { product: ProductId(product), parts: 1.0 };
    let mix = |mix: Vec<Share>| move |piece: &mut Piece| changed(&mut piece.products, 8, |product| product.mix = mix);
    check_one(mix(vec![share(1), share(77)]), "product c9", "no product c77");
    check_one(mix(vec![share(1), share(9)]), "product c9", "itself a mix");
    check_one(mix(vec![share(1), share(1)]), "product c9", "twice");
    check_one(mix(vec![share(1)]), "product c9", "two to four");
    check_one(|piece| drop(piece.products.remove(2)), "trial t1", "no product c3");
    check_one(
        |piece| changed(&mut piece.products, 2, |product| product.kind = Kind::WaterDye),
        "trial t1",
        "as a stain",
    );
    check_one(|piece| changed(&mut piece.photos, 0, |photo| photo.file = "../x.jpg".into()), "photo f1", "stay within");
    check_one(|piece| drop(piece.photos.pop()), "reading r1", "no photo f1");
    check_one(|piece| drop(piece.readings.remove(1)), "trial t1", "no reading r2");
    check_one(|piece| piece.match_sample = MatchSample::Board(BoardId(7)), "match sample", "b7 is not there");
    check_one(|piece| piece.tolerances.fronts_de00 = 0.0, "tolerances", "more than 0");
    check_one(|piece| piece.plan.as_mut().unwrap().schedules[0].0 = PartId(9), "plan", "no part p9");
}

#[test]
fn readings_in_states_that_their_steps_cannot_leave_are_found() {
    let state = |index: usize, state: State| {
        move |piece: &mut Piece| changed(&mut piece.readings, index, |reading: &mut Reading| reading.state = state)
    };
    let wet = || State::SpiritWet { liquid: "meths".into(), seconds: 5.0 };
    check_one(state(3, State::BareDry), "trial t1", "reading r4 is said to be bare dry");
    check_one(state(5, wet()), "trial t1", "spirit-wet, over a sealer");
    check_one(state(1, State::ColourWet), "trial t1", "step 7, reading r2 is said to be colour wet");
    check_one(state(1, State::ColourDry), "trial t1", "colour dry, where no colour");
    check_one(state(1, State::Washcoated), "trial t1", "without a washcoat");
    check_one(state(4, State::Sealed), "trial t1", "without a sealer");
    check_one(state(5, topcoated()), "trial t1", "topcoated, without a topcoat");
    check_one(state(6, State::Sealed), "trial t1", "sealed, under a topcoat");
    let other = State::Topcoated { topcoat: "lacquer".into(), sheen: "gloss".into() };
    check_one(state(6, other), "trial t1", "name one topcoat");
}

/// Dye, stain and bleach need bare wood (common practice, no source); what is sanded first may have been coated.
#[test]
fn a_coat_read_before_a_step_that_needs_bare_wood_is_found() {
    let coated =
        |piece: &mut Piece| changed(&mut piece.readings, 0, |reading: &mut Reading| reading.state = topcoated());
    let bleach = Step::Bleach { kind: crate::Bleach::TwoPart, times: 1 };
    let first = |step: Step| {
        move |piece: &mut Piece| {
            coated(piece);
            changed(&mut piece.trials, 0, |trial: &mut Trial| {
                trial.stages.insert(0, crate::Stage { step, readings: Vec::new() })
            });
        }
    };
    check_one(first(bleach), "trial t1", "reading r1, taken before its first step, is said to be topcoated");
    let mut sanded = piece();
    first(Step::Sand { grit: 180 })(&mut sanded);
    assert!(check(&sanded).iter().all(|problem| !problem.text.contains("before its first step")));
}

#[test]
fn what_was_coloured_before_the_trial_may_be_read_as_coloured() {
    let mut piece = piece();
    changed(&mut piece.readings, 0, |reading: &mut Reading| reading.state = State::ColourDry);
    changed(&mut piece.readings, 1, |reading: &mut Reading| reading.state = State::ColourDry);
    assert_eq!(check(&piece), []);
}

#[test]
fn missing_photos_are_told_and_duplicates_are_found() {
    let found = check_with_missing(&piece(), &[PhotoId(1)]);
    let expected =
        "photo f1: photos/dry.jpg is not in the folder: put the file back, or remove the photo and its readings";
    assert_eq!(found.iter().map(ToString::to_string).collect::<Vec<_>>(), [expected]);
    check_one(|piece| piece.photos.push(photo("photos/Dry.jpg").into()), "photo f0", "another photo");
    check_one(|piece| piece.products.push(product("mix ", Kind::Gel).into()), "product c0", "another product");
    check_one(|piece| piece.parts.push(part("TOP").into()), "part p0", "another part");
    let again = |trial: &mut Trial| trial.before.push(ReadingId(1));
    check_one(|piece| changed(&mut piece.trials, 0, again), "trial t1", "stands twice");
    check_one(
        |piece| changed(&mut piece.trials, 0, |trial| trial.on = Surface::Part(PartId(1))),
        "trial t1",
        "elsewhere",
    );
}

/// Common practice, no source.
#[test]
fn a_gel_reduced_with_spirit_or_water_is_found() {
    let gel = |reducer: &'static str| {
        move |piece: &mut Piece| {
            changed(&mut piece.products, 2, |product| {
                product.kind = Kind::Gel;
                product.reducer = reducer.into();
            });
        }
    };
    for reducer in ["White Spirit", "water", "benzine"] {
        check_one(gel(reducer), "trial t1", "neutral base");
    }
    let mut piece = piece();
    gel("its neutral base")(&mut piece);
    assert_eq!(check(&piece), []);
}

/// A trial either leaves the colour as it is or changes it.
#[test]
fn leave_natural_beside_a_step_that_colours_is_found() {
    let with = |steps: &'static [Step]| {
        move |piece: &mut Piece| {
            changed(&mut piece.trials, 0, |trial| {
                let more = steps.iter().map(|step| Stage { step: step.clone(), readings: Vec::new() });
                trial.stages = more.chain(trial.stages.drain(..)).collect();
            });
        }
    };
    check_one(with(&[Step::LeaveNatural]), "trial t1", "leave natural");
    let mut natural = piece();
    changed(&mut natural.trials, 0, |trial| {
        trial.stages.clear();
        trial.stages.extend([Step::LeaveNatural, Step::Seal].map(|step| Stage { step, readings: Vec::new() }));
    });
    assert_eq!(check(&natural), []);
}

/// Nothing is learned from a trial where nothing was read before it; where its part was, that stands in.
#[test]
fn a_trial_with_nothing_read_before_it_is_found() {
    let no_before = |piece: &mut Piece| {
        changed(&mut piece.trials, 0, |trial| trial.before.clear());
        // What is read of its board stands in the stages of this trial.
        let in_stages: Vec<ReadingId> = piece.trials[0].readings().collect();
        let on = piece.trials[0].on;
        piece.readings.retain(|reading| reading.of != on || in_stages.contains(&reading.id));
    };
    let mut stands_in = piece();
    no_before(&mut stands_in);
    assert_eq!(check(&stands_in), []);
    let of_its_part = |reading: &Reading| reading.of == Surface::Part(PartId(1));
    let nothing = |piece: &mut Piece| {
        no_before(piece);
        piece.readings.retain(|reading| !of_its_part(reading));
    };
    check_one(nothing, "trial t1", "teaches nothing");
}

/// A reading is one measurement: it counts once, however many trials it is attached to; going on from where an earlier trial was
/// read is no second measurement, and no mistake.
#[test]
fn a_reading_after_the_steps_of_two_trials_is_found() {
    let again = |change: fn(&mut Trial)| {
        move |piece: &mut Piece| {
            let mut trial = Trial { id: TrialId(2), ..(*piece.trials[0]).clone() };
            change(&mut trial);
            piece.trials.push(trial.into());
        }
    };
    check_one(again(|_| ()), "trial t2", "reading r2 stands after a step of trial t1 already");
    let other_step = |trial: &mut Trial| trial.stages[0].step = Step::Sand { grit: 240 };
    check_one(again(other_step), "trial t2", "a reading counts once");
    let mut goes_on = piece();
    let of = goes_on.readings[1].of;
    goes_on.readings.push(Reading { id: ReadingId(90), ..*crate::sample::reading(of, topcoated()) }.into());
    again(|trial| {
        let last = trial.stages.last_mut().unwrap();
        last.readings = vec![ReadingId(90)];
    })(&mut goes_on);
    assert_eq!(check(&goes_on), []);
}

/// What cannot have been done or read so teaches nothing: a gel has no grams to the litre, and nothing is lighter than white.
#[test]
fn why_a_trial_cannot_be_is_said() {
    let sound = piece();
    assert_eq!(cannot_be(&sound, &sound.trials[0]), None);
    let cannot = |change: &dyn Fn(&mut Piece)| {
        let mut piece = piece();
        change(&mut piece);
        cannot_be(&piece, &piece.trials[0]).unwrap_or_default()
    };
    let gel = cannot(&|piece| changed(&mut piece.products, 8, |product| product.kind = Kind::Gel));
    assert!(gel.contains("'mix' is used as a dye, in g/L, but is of another kind"), "{gel}");
    let light = cannot(&|piece| changed(&mut piece.readings, 3, |reading: &mut Reading| reading.lab.l = 130.0));
    assert_eq!(light, "reading r4: L* is 130: expected -5 to 105");
    let sand = |piece: &mut Piece| {
        changed(&mut piece.trials, 0, |trial: &mut Trial| trial.stages[0].step = Step::Sand { grit: 1 })
    };
    assert_eq!(cannot(&sand), "the grit is 1: expected 16 to 5000");
    // Where is said once.
    check_one(sand, "trial t1", "the grit is 1");
    let mut piece = piece();
    sand(&mut piece);
    assert!(check(&piece).iter().all(|problem| !problem.text.contains("trial on")), "{:?}", check(&piece));
}
