//! How fast plans are found: `cargo bench -p predict --bench routes`.
//!
//! Twelve parts of four invented woods in a row, each with a board; a dye, a stain and a glaze tried at two strengths each
//! on two woods. That makes about 340 schedules a part. Beside routes, the ranking of one part and the trial to make next.

#[path = "../../card/benches/timing/mod.rs"]
#[allow(dead_code)]
mod timing;

use std::{hint::black_box, sync::Arc};

use colour::Lab;
use piece::{
    Board, BoardId, Grain, Joint, Kind, MatchSample, Meeting, Part, PartId, Piece, Product, ProductId, Reading,
    ReadingId, Stage, State, Step, Surface, Trial, TrialId,
};
use timing::Report;

const PARTS: u32 = 12;
const WOODS: [[f64; 3]; 4] = [[66.0, 7.0, 23.0], [62.0, 11.0, 24.0], [72.0, 6.0, 22.0], [58.0, 9.0, 20.0]];

fn read(piece: &mut Piece, of: Surface, state: State, [l, a, b]: [f64; 3]) -> ReadingId {
    let id = ReadingId(piece.readings.len() as u32 + 1);
    let diagonal = |value: f64| std::array::from_fn(|row| std::array::from_fn(|c| if row == c { value } else { 0.0 }));
    piece.readings.push(Arc::new(Reading {
        shared: vec![piece::SharedError { factor: format!("photo:f{}:fit", id.0 / 8), loading: diagonal(0.3) }],
        grain: Grain::Along,
        ..Reading::typed(id, of, state, Lab::new(l, a, b), diagonal(0.1))
    }));
    id
}

fn bench_piece() -> Piece {
    let topcoated = State::Topcoated { topcoat: "lacquer".into(), sheen: "satin".into() };
    let mut piece = Piece { invented: true, topcoat: Some(("lacquer".into(), "satin".into())), ..Piece::default() };
    for number in 1..=PARTS {
        let wood = (number as usize - 1) % WOODS.len();
        piece.parts.push(Arc::new(Part {
            area_m2: Some(0.3),
            bars: vec![piece::Bar::Bleach],
            ..Part::new(PartId(number), format!("part {number}"), format!("wood {wood}"))
        }));
        let off = f64::from(number) * 0.1;
        let [l, a, b] = WOODS[wood];
        read(&mut piece, Surface::Part(PartId(number)), State::BareDry, [l + off, a, b - off]);
        if number > 1 {
            piece.joints.push(Joint { a: PartId(number - 1), b: PartId(number), meeting: Meeting::OtherPlanes });
        }
    }
    for (number, kind) in [(1, Kind::AlcoholDye), (2, Kind::Pigment), (3, Kind::Glaze)] {
        piece.products.push(Arc::new(Product {
            reducer: "meths".into(),
            ..Product::new(ProductId(number), format!("product {number}"), kind)
        }));
    }
    let dye = |grams_per_litre| Step::Dye { product: ProductId(1), grams_per_litre, coats: 1 };
    let stain = |reducer_parts| Step::Stain { product: ProductId(2), reducer_parts, coats: 1, wipe_minutes: None };
    let glaze = |reducer_parts| Step::Glaze { product: ProductId(3), reducer_parts };
    let trials = [
        (dye(6.0), [-5.0, 2.0, 2.0]),
        (dye(20.0), [-12.0, 5.0, 4.0]),
        (stain(0.0), [-14.0, 2.0, -3.0]),
        (stain(4.0), [-4.0, 1.0, -1.0]),
        (glaze(0.0), [-8.0, 3.0, 1.0]),
        (glaze(4.0), [-2.0, 1.0, 0.3]),
    ];
    for board in 1..=2u32 {
        let (id, stands_for) = (BoardId(board), PartId(board));
        piece.boards.push(Arc::new(Board::new(id, format!("board {board}"), stands_for)));
        let on = Surface::Board(id);
        let [l, a, b] = WOODS[board as usize - 1];
        let dry = read(&mut piece, on, State::BareDry, [l, a, b]);
        let coated = read(&mut piece, on, topcoated.clone(), [l - 11.0, a + 3.5, b + 6.0]);
        for (step, [dl, da, db]) in &trials {
            let sealed = matches!(step, Step::Glaze { .. });
            let from = if sealed { [l - 10.0, a + 3.0, b + 5.5] } else { [l, a, b] };
            let state = if sealed { State::Sealed } else { State::ColourDry };
            let after = read(&mut piece, on, state, [from[0] + dl, from[1] + da, from[2] + db]);
            let mut stages = Vec::new();
            if sealed {
                let sealed = read(&mut piece, on, State::Sealed, from);
                stages.push(Stage { step: Step::Seal, readings: vec![sealed] });
            }
            stages.push(Stage { step: step.clone(), readings: vec![after] });
            piece.trials.push(Arc::new(Trial::new(
                TrialId(piece.trials.len() as u32 + 1),
                on,
                vec![dry, coated],
                stages,
            )));
        }
    }
    let target = read(&mut piece, Surface::Board(BoardId(1)), topcoated, [46.0, 13.5, 28.0]);
    piece.match_sample = MatchSample::Reading(target);
    piece
}

fn main() -> std::io::Result<()> {
    let piece = bench_piece();
    let rows = predict::rank(&piece, PartId(1), &|_| true).map_or(0, |ranking| ranking.rows.len());
    let mut report = Report::new(&format!("{PARTS} parts, {rows} schedules each"))?;
    report.job("ranking of one part", || {
        black_box(predict::rank(&piece, PartId(1), &|_| true).is_ok());
    })?;
    report.job("routes", || {
        black_box(predict::routes(&piece, &|_| true).is_ok());
    })?;
    report.job("the trial to make next", || {
        black_box(predict::next(&piece, &|_| true).is_ok());
    })?;
    Ok(())
}
