//! A small invented piece in code: an oak chest with one odd front. For tests, and to try the window without a folder.

use std::sync::Arc;

use colour::Lab;
use piece::{
    Bleach, Board, BoardId, Fidelity, Grain, Joint, Kind, MatchSample, Meeting, Part, PartId, Piece, Product,
    ProductId, Reading, ReadingId, Source, Stage, State, Step, Surface, Trial, TrialId,
};

const FRONTS: [&str; 6] = ["one", "two", "three", "four", "five", "six"];
/// How the aged parts differ from their mean: invented, within what one board varies by.
const SCATTER: [[f64; 3]; 7] = [
    [0.0, 0.0, 0.0],
    [0.5, 0.1, 0.3],
    [-0.2, 0.2, 0.0],
    [0.7, -0.1, 0.2],
    [0.0, 0.0, 0.0],
    [0.3, 0.1, -0.3],
    [0.1, 0.0, 0.4],
];

/// The oak chest: carcass and five aged fronts alike, front four dyed dark; three boards tried. Invented data.
pub fn oak_chest() -> Piece {
    let mut maker = Maker::default();
    maker.piece.name = "Oak chest".into();
    maker.piece.note = "Invented data.".into();
    maker.piece.invented = true;
    maker.piece.topcoat = Some(("oil".into(), "satin".into()));
    maker.parts();
    maker.products();
    maker.boards();
    maker.part_readings();
    maker.trials();
    maker.piece.match_sample = MatchSample::Part(PartId(1));
    maker.number();
    maker.piece
}

#[derive(Default)]
struct Maker {
    piece: Piece,
}

impl Maker {
    /// Ids once given are not given again.
    fn number(&mut self) {
        let piece = &mut self.piece;
        piece.parts.iter().for_each(|part| piece.ids.note(part.id));
        piece.boards.iter().for_each(|board| piece.ids.note(board.id));
        piece.products.iter().for_each(|product| piece.ids.note(product.id));
        piece.readings.iter().for_each(|reading| piece.ids.note(reading.id));
        piece.trials.iter().for_each(|trial| piece.ids.note(trial.id));
    }

    fn parts(&mut self) {
        let names = std::iter::once("carcass".to_owned()).chain(FRONTS.iter().map(|n| format!("front {n}")));
        for (number, name) in (1..).zip(names) {
            self.piece.parts.push(Arc::new(Part {
                area_m2: Some(if number == 1 { 1.4 } else { 0.18 }),
                ..Part::new(PartId(number), name, "oak, quarter-sawn")
            }));
        }
        for front in 2..=7 {
            self.piece.joints.push(Joint { a: PartId(1), b: PartId(front), meeting: Meeting::OtherPlanes });
        }
        for front in 2..7 {
            self.piece.joints.push(Joint { a: PartId(front), b: PartId(front + 1), meeting: Meeting::Fronts });
        }
    }

    fn products(&mut self) {
        let products = [("amber dye", Kind::AlcoholDye, "meths"), ("walnut stain", Kind::Pigment, "white spirit")];
        for (number, (name, kind, reducer)) in (1..).zip(products) {
            let product = Product { reducer: reducer.into(), ..Product::new(ProductId(number), name, kind) };
            self.piece.products.push(Arc::new(product));
        }
    }

    fn boards(&mut self) {
        let boards =
            [("board 1", 5, "inside face of front four, same stripping"), ("board 2", 5, ""), ("board 3", 1, "")];
        for (number, (name, stands_for, note)) in (1..).zip(boards) {
            self.piece.boards.push(Arc::new(Board {
                id: BoardId(number),
                name: name.into(),
                stands_for: PartId(stands_for),
                fidelity: Fidelity { same_exposure: true, same_grit: true, same_stripping: true },
                note: note.into(),
            }));
        }
    }

    fn part_readings(&mut self) {
        for place in 0..7u32 {
            let odd = place == 4;
            let [dry, wet] =
                if odd { [[50.0, 8.0, 17.0], [39.0, 10.0, 20.0]] } else { [[66.0, 7.0, 23.0], [55.0, 10.0, 29.0]] };
            let scatter = SCATTER[place as usize];
            let of = Surface::Part(PartId(place + 1));
            for (lab, state) in [(dry, State::BareDry), (wet, spirit_wet())] {
                let [l, a, b]: [f64; 3] = std::array::from_fn(|i| lab[i] + scatter[i]);
                self.read(of, [l, a, b], state);
            }
        }
    }

    fn read(&mut self, of: Surface, lab: [f64; 3], state: State) -> ReadingId {
        let id = ReadingId(self.piece.readings.len() as u32 + 1);
        self.piece.readings.push(Arc::new(Reading {
            id,
            of,
            lab: Lab::new(lab[0], lab[1], lab[2]),
            covariance: [[0.09, 0.0, 0.0], [0.0, 0.04, 0.0], [0.0, 0.0, 0.09]],
            shared: Vec::new(),
            grain_sd: Some([1.9, 0.4, 0.8]),
            patch_sd: None,
            state,
            light: "daylight".into(),
            grain: Grain::Along,
            taken: String::new(),
            source: Source::Typed,
        }));
        id
    }

    fn trials(&mut self) {
        let chlorine = |times| Step::Bleach { kind: Bleach::Chlorine, times };
        let dye = Step::Dye { product: ProductId(1), grams_per_litre: 4.0, coats: 1 };
        let stain = Step::Stain { product: ProductId(2), reducer_parts: 1.0, coats: 1, wipe_minutes: None };
        let two_part = Step::Bleach { kind: Bleach::TwoPart, times: 1 };
        let oxalic = Step::Bleach { kind: Bleach::Oxalic, times: 1 };
        let (four, aged) = ([50.0, 8.0, 17.0], [66.0, 7.0, 23.0]);
        self.trial(1, four, &[(chlorine(1), [60.0, 7.2, 19.0], [48.0, 9.0, 24.0])]);
        self.trial(1, four, &[(chlorine(2), [68.0, 5.0, 20.5], [57.0, 7.5, 27.0])]);
        self.trial(
            1,
            four,
            &[(chlorine(2), [68.0, 5.0, 20.5], [57.0, 7.5, 27.0]), (dye, [63.0, 6.5, 23.0], [54.8, 9.8, 29.5])],
        );
        self.trial(2, four, &[(two_part, [79.0, 2.0, 17.0], [68.0, 3.5, 24.0])]);
        self.trial(2, four, &[(oxalic, [51.0, 8.0, 17.5], [38.0, 10.4, 20.5])]);
        self.trial(3, aged, &[(stain, [49.0, 9.0, 18.0], [38.5, 11.0, 23.5])]);
    }

    fn trial(&mut self, board: u32, before: [f64; 3], stages: &[(Step, [f64; 3], [f64; 3])]) {
        let on = Surface::Board(BoardId(board));
        let before = vec![self.read(on, before, State::BareDry)];
        let mut done: Vec<Stage> = Vec::new();
        for (number, (step, dry, coated)) in stages.iter().enumerate() {
            let coloured = matches!(step, Step::Dye { .. } | Step::Stain { .. });
            let dry = self.read(on, *dry, if coloured { State::ColourDry } else { State::BareDry });
            done.push(Stage { step: step.clone(), readings: vec![dry] });
            if number + 1 == stages.len() {
                let coated = self.read(on, *coated, topcoated());
                let step = Step::Topcoat { topcoat: "oil".into(), sheen: "satin".into() };
                done.push(Stage { step, readings: vec![coated] });
            }
        }
        let id = TrialId(self.piece.trials.len() as u32 + 1);
        self.piece.trials.push(Arc::new(Trial {
            id,
            on,
            before,
            stages: done,
            made: String::new(),
            note: String::new(),
        }));
    }
}

fn spirit_wet() -> State {
    State::SpiritWet { liquid: "white spirit".into(), seconds: 40.0 }
}

fn topcoated() -> State {
    State::Topcoated { topcoat: "oil".into(), sheen: "satin".into() }
}
