//! A piece for tests, with every kind of thing, choice and optional field in it.

use std::sync::Arc;

use crate::{target::PairTolerance, *};

pub(crate) const COVARIANCE: [[f64; 3]; 3] = [[0.3, 0.1, -0.05], [0.1, 0.2, 0.02], [-0.05, 0.02, 0.4]];

pub(crate) fn part(name: &str) -> Part {
    Part { area_m2: Some(0.25), ..Part::new(PartId(0), name, "oak") }
}

pub(crate) fn reading(of: Surface, state: State) -> Box<Reading> {
    Box::new(Reading {
        light: "daylight".into(),
        grain: Grain::Along,
        taken: "2026-03-14T09:30:00".into(),
        ..Reading::typed(ReadingId(0), of, state, colour::Lab::new(50.1, 8.25, 17.0), COVARIANCE)
    })
}

pub(crate) fn board(name: &str, stands_for: PartId) -> Board {
    let fidelity = Fidelity { same_exposure: true, same_grit: false, same_stripping: true };
    Board { fidelity, note: "inside face".into(), ..Board::new(BoardId(0), name, stands_for) }
}

pub(crate) fn product(name: &str, kind: Kind) -> Product {
    Product {
        reducer: "meths".into(),
        coverage_m2_per_l: Some(10.0),
        drying_hours: Some(0.5),
        lot: "7".into(),
        cautions: vec!["Fire.".into()],
        note: "from powder".into(),
        ..Product::new(ProductId(0), name, kind)
    }
}

pub(crate) fn photo(file: &str) -> Photo {
    Photo {
        id: PhotoId(0),
        file: file.into(),
        light: "daylight".into(),
        card: Some("chart24".into()),
        corners_px: Some([[0.0, 0.5], [10.0, 0.0], [10.0, 8.0], [0.0, 8.0]]),
        note: "by the window".into(),
    }
}

pub(crate) fn topcoated() -> State {
    State::Topcoated { topcoat: "oil".into(), sheen: "satin".into() }
}

pub(crate) fn trial(on: Surface, steps: Vec<Step>) -> Trial {
    let stages = steps.into_iter().map(|step| Stage { step, readings: Vec::new() }).collect();
    Trial {
        made: "2026-03-14T10:00:00+01:00".into(),
        note: "even".into(),
        ..Trial::new(TrialId(0), on, Vec::new(), stages)
    }
}

/// A use of the piece's first product on an earlier piece.
pub(crate) fn past_use(piece: &Piece) -> PastUse {
    PastUse {
        step: Step::Dye { product: piece.products[0].id, grams_per_litre: 8.0, coats: 1 },
        wood: "ash".into(),
        before: colour::Lab::new(70.0, 6.5, 20.25),
        after: colour::Lab::new(52.0, 11.0, 26.0),
        covariance: COVARIANCE,
        lot: "5".into(),
        source: PastSource { piece: "Hall bench".into(), trial: "t4".into(), stage: 1 },
        made: "2025-11-02T10:00:00+01:00".into(),
    }
}

/// Edits that build a piece with everything in it, in order.
pub(crate) fn edits() -> Vec<Edit> {
    let [top, flap, rail] = [PartId(1), PartId(2), PartId(3)];
    let on = Surface::Board(BoardId(1));
    let veneer = Construction::Veneer { thickness_mm: 0.6, glue: Glue::Hide };
    let bars = vec![Bar::Sanding, Bar::Water, Bar::Bleach];
    let from_photo = Source::Photo {
        photo: PhotoId(1),
        region: Region {
            points_px: vec![[1.0, 1.0], [40.5, 1.0], [30.0, 20.0]],
            left_out_px: vec![vec![[20.0, 4.0], [24.0, 4.0], [24.0, 9.5]]],
        },
        method: "tonewright-read 1".into(),
    };
    let shared = vec![SharedError {
        factor: "photo:f1:fit".into(),
        loading: [[0.5, 0.0, 0.0], [0.0, 0.4, 0.0], [0.1, 0.0, 0.3]],
    }];
    let spirit_wet = State::SpiritWet { liquid: "white spirit".into(), seconds: 20.0 };
    let mut edits = vec![
        Edit::Piece(PieceEdit::Rename("Chest".into())),
        Edit::Piece(PieceEdit::Note("All data are invented.\nFor tests.".into())),
        Edit::Piece(PieceEdit::Invented(true)),
        Edit::Part(PartEdit::Add(part("top"))),
        Edit::Part(PartEdit::Add(Part {
            construction: veneer,
            bars,
            area_m2: None,
            sanded_to: Some(180),
            note: "thin".into(),
            ..part("flap")
        })),
        Edit::Part(PartEdit::Add(Part { construction: Construction::EndGrain, show_face: false, ..part("rail") })),
        Edit::Joint(JointEdit::Set(Joint { a: top, b: flap, meeting: Meeting::SamePlane })),
        Edit::Joint(JointEdit::Set(Joint { a: top, b: rail, meeting: Meeting::Fronts })),
        Edit::Joint(JointEdit::Set(Joint { a: flap, b: rail, meeting: Meeting::OtherPlanes })),
        Edit::Board(BoardEdit::Add(board("offcut", top))),
        Edit::Photo(PhotoEdit::Add(photo("photos/dry.jpg"))),
    ];
    use Kind::{AlcoholDye, DyeAndPigment, Filler, Gel, Glaze, Pigment, Toner, WaterDye};
    for kind in [WaterDye, AlcoholDye, Pigment, Gel, DyeAndPigment, Toner, Glaze, Filler] {
        edits.push(Edit::Product(ProductEdit::Add(product(&format!("{kind:?}"), kind))));
    }
    let mix = vec![Share { product: ProductId(1), parts: 2.0 }, Share { product: ProductId(2), parts: 1.0 }];
    edits.push(Edit::Product(ProductEdit::Add(Product { mix, coverage_m2_per_l: None, ..product("mix", WaterDye) })));
    let instrument = Source::Instrument { name: "spectrometer".into() };
    let read = [
        Reading {
            source: from_photo,
            shared,
            grain_sd: Some([2.0, 0.5, 0.7]),
            patch_sd: Some([1.2, -0.3, 0.4]),
            ..*reading(on, State::BareDry)
        },
        Reading { source: instrument, grain: Grain::Across, ..*reading(on, spirit_wet) },
        Reading { grain: Grain::NotNoted, taken: String::new(), ..*reading(on, State::ColourWet) },
        *reading(on, State::ColourDry),
        *reading(on, State::Washcoated),
        *reading(on, State::Sealed),
        *reading(on, topcoated()),
        *reading(Surface::Part(top), State::BareDry),
    ];
    edits.extend(read.map(|reading| Edit::Reading(ReadingEdit::Add(Box::new(reading)))));
    let bleach = |kind| Step::Bleach { kind, times: 2 };
    let steps = vec![
        (Step::Sand { grit: 180 }, vec![]),
        (bleach(Bleach::TwoPart), vec![]),
        (bleach(Bleach::Oxalic), vec![]),
        (bleach(Bleach::Chlorine), vec![]),
        (bleach(Bleach::CausticAlone), vec![]),
        (Step::PreWet, vec![]),
        (Step::DampDown, vec![2]),
        (Step::Dye { product: ProductId(9), grams_per_litre: 8.0, coats: 1 }, vec![3, 4]),
        (Step::Washcoat, vec![5]),
        (Step::Fill { product: Some(ProductId(8)) }, vec![]),
        (Step::Fill { product: None }, vec![]),
        (Step::Stain { product: ProductId(3), reducer_parts: 2.0, coats: 1, wipe_minutes: None }, vec![]),
        (Step::Stain { product: ProductId(3), reducer_parts: 4.0, coats: 1, wipe_minutes: Some(7.5) }, vec![]),
        (Step::Seal, vec![6]),
        (Step::Glaze { product: ProductId(7), reducer_parts: 4.0 }, vec![]),
        (Step::Toner { product: ProductId(6), passes: 2 }, vec![]),
        (Step::Topcoat { topcoat: "oil".into(), sheen: "satin".into() }, vec![7]),
    ];
    let stages = steps
        .into_iter()
        .map(|(step, readings)| Stage { step, readings: readings.into_iter().map(ReadingId).collect() })
        .collect();
    edits.push(Edit::Trial(TrialEdit::Log(Trial { before: vec![ReadingId(1)], stages, ..trial(on, Vec::new()) })));
    edits.push(Edit::Trial(TrialEdit::Log(trial(Surface::Part(rail), vec![Step::LeaveNatural]))));
    let pairs = vec![PairTolerance { a: flap, b: top, de00: 1.0, reason: "under the lamp".into() }];
    let tolerances = Tolerances { pairs, reason: "the customer looks closely".into(), ..Tolerances::default() };
    edits.extend([
        Edit::Target(TargetEdit::Match(MatchSample::Part(top))),
        Edit::Target(TargetEdit::Topcoat(Some(("oil".into(), "satin".into())))),
        Edit::Target(TargetEdit::Tolerances(tolerances)),
        Edit::Target(TargetEdit::Plan(Some(Plan {
            name: "lighten the flap".into(),
            schedules: vec![(flap, vec![Step::Seal, Step::Toner { product: ProductId(6), passes: 1 }])],
        }))),
    ]);
    edits
}

/// A piece with everything in it.
pub(crate) fn piece() -> Piece {
    let piece = edits().iter().fold(Piece::default(), |piece, edit| apply(&piece, edit).unwrap());
    let past = vec![past_use(&piece)];
    apply(&piece, &Edit::Product(ProductEdit::TakeUp(past))).unwrap()
}

/// The same piece, to be changed by hand into what edits do not allow.
pub(crate) fn changed<T: Clone>(list: &mut [Arc<T>], index: usize, change: impl FnOnce(&mut T)) {
    change(Arc::make_mut(&mut list[index]));
}
