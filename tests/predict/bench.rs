//! Small pieces built in code, from the invented numbers of the trade's two examples.

use std::sync::Arc;

use ::piece::*;
use colour::Lab;

/// A piece being put together.
#[derive(Default)]
pub(crate) struct Bench {
    pub(crate) piece: Piece,
}

pub(crate) fn topcoated() -> State {
    State::Topcoated { topcoat: "amber lacquer".into(), sheen: "satin".into() }
}

pub(crate) fn wet() -> State {
    State::SpiritWet { liquid: "white spirit".into(), seconds: 20.0 }
}

impl Bench {
    pub(crate) fn new() -> Self {
        let mut bench = Self::default();
        bench.piece.invented = true;
        bench.piece.topcoat = Some(("amber lacquer".into(), "satin".into()));
        bench
    }

    pub(crate) fn part(&mut self, name: &str, wood: &str, construction: Construction, area_m2: f64) -> PartId {
        let id = PartId(self.piece.parts.len() as u32 + 1);
        self.piece.parts.push(Arc::new(Part { construction, area_m2: Some(area_m2), ..Part::new(id, name, wood) }));
        id
    }

    pub(crate) fn board(&mut self, name: &str, stands_for: PartId) -> BoardId {
        let id = BoardId(self.piece.boards.len() as u32 + 1);
        self.piece.boards.push(Arc::new(Board::new(id, name, stands_for)));
        id
    }

    pub(crate) fn product(&mut self, name: &str, kind: Kind, reducer: &str) -> ProductId {
        let id = ProductId(self.piece.products.len() as u32 + 1);
        self.piece.products.push(Arc::new(Product { reducer: reducer.into(), ..Product::new(id, name, kind) }));
        id
    }

    /// A reading with a standard deviation of 0.4 per axis, half of it shared with the same photo.
    pub(crate) fn read(&mut self, of: Surface, state: State, [l, a, b]: [f64; 3], photo: &str) -> ReadingId {
        let id = ReadingId(self.piece.readings.len() as u32 + 1);
        let diagonal =
            |value: f64| std::array::from_fn(|row| std::array::from_fn(|c| if row == c { value } else { 0.0 }));
        self.piece.readings.push(Arc::new(Reading {
            shared: vec![SharedError { factor: format!("photo:{photo}:fit"), loading: diagonal(0.28) }],
            light: "daylight".into(),
            grain: Grain::Along,
            ..Reading::typed(id, of, state, Lab::new(l, a, b), diagonal(0.08))
        }));
        id
    }

    pub(crate) fn trial(
        &mut self,
        on: Surface,
        before: Vec<ReadingId>,
        stages: Vec<(Step, Vec<ReadingId>)>,
    ) -> TrialId {
        let id = TrialId(self.piece.trials.len() as u32 + 1);
        let stages = stages.into_iter().map(|(step, readings)| Stage { step, readings }).collect();
        self.piece.trials.push(Arc::new(Trial::new(id, on, before, stages)));
        id
    }

    pub(crate) fn meet(&mut self, a: PartId, b: PartId, meeting: Meeting) {
        self.piece.joints.push(Joint { a, b, meeting });
    }
}

/// What the oak chest is made of.
pub(crate) struct Chest {
    pub(crate) piece: Piece,
    pub(crate) front_four: PartId,
    pub(crate) dye: ProductId,
}

/// Oak chest: aged carcass and fronts, and a replaced front four that an earlier shop dyed.
pub(crate) fn oak_chest() -> Chest {
    let mut bench = Bench::new();
    let oak = "oak, quarter-sawn";
    let carcass = bench.part("carcass", oak, Construction::Solid, 1.8);
    let fronts: Vec<PartId> = ["one", "two", "three", "four", "five", "six"]
        .iter()
        .map(|name| bench.part(&format!("front {name}"), oak, Construction::Solid, 0.18))
        .collect();
    let front_four = fronts[3];
    let small = [
        [0.0, 0.0, 0.0],
        [0.5, -0.2, 0.4],
        [-0.4, 0.2, -0.3],
        [0.2, 0.1, 0.5],
        [0.0; 3],
        [-0.3, -0.1, -0.5],
        [0.1, 0.2, -0.2],
    ];
    for (place, off) in small.into_iter().enumerate() {
        let id = PartId(place as u32 + 1);
        let (dry, damp) = if id == front_four {
            ([50.0, 8.0, 17.0], [39.0, 10.0, 20.0])
        } else {
            ([66.0, 7.0, 23.0], [55.0, 10.0, 29.0])
        };
        let add = |base: [f64; 3]| std::array::from_fn(|axis| base[axis] + off[axis]);
        bench.read(Surface::Part(id), State::BareDry, add(dry), "dry");
        bench.read(Surface::Part(id), wet(), add(damp), "wet");
        if id != carcass {
            bench.meet(carcass, id, Meeting::OtherPlanes);
        }
    }
    for pair in fronts.windows(2) {
        bench.meet(pair[0], pair[1], Meeting::Fronts);
    }
    let dye = bench.product("amber dye", Kind::WaterDye, "water");
    let stain = bench.product("oak stain", Kind::Pigment, "white spirit");
    let on = Surface::Board(bench.board("step panel 1", front_four));
    let chlorine = |times| Step::Bleach { kind: Bleach::Chlorine, times };
    let before = vec![
        bench.read(on, State::BareDry, [50.0, 8.0, 17.0], "p1"),
        bench.read(on, topcoated(), [37.0, 10.5, 20.0], "p2"),
    ];
    let once = vec![
        bench.read(on, State::BareDry, [59.5, 6.5, 19.2], "p1"),
        bench.read(on, topcoated(), [48.0, 9.0, 23.8], "p2"),
    ];
    let twice = vec![
        bench.read(on, State::BareDry, [68.0, 5.0, 20.5], "p1"),
        bench.read(on, topcoated(), [57.0, 7.5, 27.0], "p2"),
    ];
    let dyed = vec![
        bench.read(on, State::ColourDry, [63.0, 6.5, 23.0], "p1"),
        bench.read(on, topcoated(), [54.8, 9.8, 29.5], "p2"),
    ];
    bench.trial(on, before.clone(), vec![(chlorine(1), once)]);
    bench.trial(on, before.clone(), vec![(chlorine(2), twice.clone())]);
    // The strip that got both was not read between: the strip beside it was.
    let amber = Step::Dye { product: dye, grams_per_litre: 4.0, coats: 1 };
    bench.trial(on, before.clone(), vec![(chlorine(2), vec![]), (amber, dyed)]);
    let two = Surface::Board(bench.board("board 2", front_four));
    let two_part = vec![
        bench.read(two, State::BareDry, [79.0, 2.0, 17.0], "p3"),
        bench.read(two, topcoated(), [68.0, 3.5, 24.0], "p4"),
    ];
    bench.trial(two, before.clone(), vec![(Step::Bleach { kind: Bleach::TwoPart, times: 1 }, two_part)]);
    let three = Surface::Board(bench.board("board 3", front_four));
    let oxalic = vec![
        bench.read(three, State::BareDry, [51.0, 8.0, 17.5], "p3"),
        bench.read(three, topcoated(), [37.6, 10.5, 20.4], "p4"),
    ];
    bench.trial(three, before, vec![(Step::Bleach { kind: Bleach::Oxalic, times: 1 }, oxalic)]);
    let four = Surface::Board(bench.board("board 4", carcass));
    let start = vec![
        bench.read(four, State::BareDry, [66.0, 7.0, 23.0], "p5"),
        bench.read(four, topcoated(), [54.0, 10.5, 31.0], "p6"),
    ];
    let stained = vec![bench.read(four, topcoated(), [38.5, 11.0, 23.5], "p6")];
    bench.trial(
        four,
        start,
        vec![
            (Step::Stain { product: stain, reducer_parts: 1.0, coats: 1, wipe_minutes: None }, vec![]),
            (Step::Seal, vec![]),
            (Step::Topcoat { topcoat: "amber lacquer".into(), sheen: "satin".into() }, stained),
        ],
    );
    Chest { piece: bench.piece, front_four, dye }
}

/// What the cherry bureau is made of.
pub(crate) struct Bureau {
    pub(crate) piece: Piece,
    pub(crate) fall: PartId,
    pub(crate) sides: PartId,
}

/// Cherry bureau: an aged hide-glued veneer fall, and solid sides and drawers over-sanded pale.
pub(crate) fn cherry_bureau() -> Bureau {
    let mut bench = Bench::new();
    let veneer = Construction::Veneer { thickness_mm: 0.6, glue: Glue::Hide };
    let fall = bench.part("fall", "cherry veneer, aged", veneer, 0.4);
    let sides = bench.part("sides", "cherry", Construction::Solid, 1.0);
    let drawers = bench.part("drawers", "cherry", Construction::Solid, 0.5);
    for (id, dry, damp) in [
        (fall, [50.0, 15.0, 26.0], [41.0, 18.0, 28.0]),
        (sides, [66.0, 9.0, 22.0], [56.0, 13.0, 29.0]),
        (drawers, [66.4, 8.8, 22.3], [56.3, 12.9, 29.2]),
    ] {
        bench.read(Surface::Part(id), State::BareDry, dry, "dry");
        bench.read(Surface::Part(id), wet(), damp, "wet");
    }
    bench.meet(fall, sides, Meeting::OtherPlanes);
    bench.meet(fall, drawers, Meeting::Fronts);
    bench.meet(sides, drawers, Meeting::OtherPlanes);
    let stain = bench.product("cherry stain", Kind::Pigment, "white spirit");
    let dye = bench.product("cherry dye", Kind::AlcoholDye, "meths");
    let toner = bench.product("brown toner", Kind::Toner, "meths");
    let spot = Surface::Part(fall);
    let of_fall = vec![
        bench.read(spot, State::BareDry, [50.0, 15.0, 26.0], "p0"),
        bench.read(spot, topcoated(), [40.0, 18.5, 28.0], "p0"),
    ];
    bench.trial(spot, of_fall, vec![]);
    let one = Surface::Board(bench.board("board 1", sides));
    let clear = Step::Topcoat { topcoat: "amber lacquer".into(), sheen: "satin".into() };
    let before = vec![
        bench.read(one, State::BareDry, [66.0, 9.0, 22.0], "p1"),
        bench.read(one, topcoated(), [55.0, 13.5, 30.0], "p2"),
    ];
    let stained = vec![bench.read(one, State::ColourDry, [53.0, 12.0, 18.0], "p1")];
    let sealed = vec![bench.read(one, State::Sealed, [41.5, 16.0, 23.0], "p2")];
    let coated = vec![bench.read(one, topcoated(), [41.0, 16.0, 23.0], "p2")];
    bench.trial(
        one,
        before.clone(),
        vec![
            (Step::Stain { product: stain, reducer_parts: 1.0, coats: 1, wipe_minutes: None }, stained),
            (Step::Seal, sealed),
            (clear.clone(), coated),
        ],
    );
    let two = Surface::Board(bench.board("board 2", sides));
    let dyed = vec![bench.read(two, State::ColourDry, [55.0, 14.0, 22.0], "p3")];
    let sealed = vec![bench.read(two, State::Sealed, [44.0, 17.3, 28.8], "p4")];
    let coated = vec![bench.read(two, topcoated(), [43.5, 17.5, 29.0], "p4")];
    let step = Step::Dye { product: dye, grams_per_litre: 8.0, coats: 1 };
    bench.trial(two, before.clone(), vec![(step.clone(), dyed), (Step::Seal, sealed), (clear.clone(), coated)]);
    // A strip of its own, read anew: one reading counts once.
    let dyed = vec![bench.read(two, State::ColourDry, [55.0, 14.0, 22.0], "p3")];
    let sealed = vec![bench.read(two, State::Sealed, [44.0, 17.3, 28.8], "p4")];
    let toned = vec![bench.read(two, topcoated(), [41.2, 18.0, 28.5], "p4")];
    bench.trial(
        two,
        before,
        vec![(step, dyed), (Step::Seal, sealed), (Step::Toner { product: toner, passes: 2 }, vec![]), (clear, toned)],
    );
    let three = Surface::Board(bench.board("offcut of old veneer", fall));
    let before = vec![bench.read(three, State::BareDry, [50.0, 15.0, 26.0], "p5")];
    let bleached = vec![
        bench.read(three, State::BareDry, [71.0, 6.0, 19.0], "p5"),
        bench.read(three, topcoated(), [59.0, 7.0, 24.0], "p5"),
    ];
    bench.trial(three, before, vec![(Step::Bleach { kind: Bleach::TwoPart, times: 1 }, bleached)]);
    bench.piece.match_sample = MatchSample::Part(fall);
    Bureau { piece: bench.piece, fall, sides }
}
