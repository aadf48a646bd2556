//! How fast a piece is learned again after an edit, and one part ranked: `cargo bench -p predict --bench relearn`.
//!
//! 500 trials of ten invented stains on 25 boards of five woods, at four strengths, by a law of their own with fixed
//! scatter; every trial was read before and after.

#[path = "../../card/benches/timing/mod.rs"]
#[allow(dead_code)]
mod timing;

use std::{hint::black_box, sync::Arc};

use colour::Lab;
use piece::{
    Board, BoardId, Grain, Kind, Part, PartId, Piece, Product, ProductId, Reading, ReadingId, Stage, State, Step,
    Surface, Trial, TrialId,
};
use timing::Report;

const TRIALS: u32 = 500;
const PRODUCTS: u32 = 10;
const BOARDS: u32 = 25;
const WOODS: [[f64; 3]; 5] =
    [[66.0, 7.0, 23.0], [62.0, 11.0, 24.0], [47.0, 8.0, 16.0], [80.0, 6.0, 26.0], [74.0, 5.0, 20.0]];

/// A number in −1..1 that looks like chance and is the same each time.
fn scatter(seed: u32) -> f64 {
    (f64::from(seed) * 12.9898).sin() * 43758.547 % 1.0
}

fn reading(piece: &mut Piece, of: Surface, state: State, lab: Lab) -> ReadingId {
    let id = ReadingId(piece.readings.len() as u32 + 1);
    let diagonal = |value: f64| std::array::from_fn(|row| std::array::from_fn(|c| if row == c { value } else { 0.0 }));
    piece.readings.push(Arc::new(Reading {
        shared: vec![piece::SharedError { factor: format!("photo:f{}:fit", id.0 / 8), loading: diagonal(0.3) }],
        light: "daylight".into(),
        grain: Grain::Along,
        ..Reading::typed(id, of, state, lab, diagonal(0.1))
    }));
    id
}

fn piece_of(trials: u32) -> Piece {
    let mut piece = Piece { name: "bench".into(), invented: true, ..Piece::default() };
    for (index, [l, a, b]) in WOODS.iter().enumerate() {
        let id = PartId(index as u32 + 1);
        piece.parts.push(Arc::new(Part {
            area_m2: Some(0.5),
            ..Part::new(id, format!("part {id}"), format!("wood {index}"))
        }));
        reading(&mut piece, Surface::Part(id), State::BareDry, Lab::new(*l, *a, *b));
    }
    for index in 0..BOARDS {
        let stands_for = PartId(index % WOODS.len() as u32 + 1);
        let id = BoardId(index + 1);
        piece.boards.push(Arc::new(Board::new(id, format!("board {id}"), stands_for)));
    }
    for index in 0..PRODUCTS {
        piece.products.push(Arc::new(Product {
            reducer: "white spirit".into(),
            ..Product::new(ProductId(index + 1), format!("stain {index}"), Kind::Pigment)
        }));
    }
    for index in 0..trials {
        let board = BoardId(index % BOARDS + 1);
        let [l, a, b] = WOODS[(index % BOARDS) as usize % WOODS.len()];
        let product = index / BOARDS % PRODUCTS;
        let reducer_parts = [0.0, 1.0, 2.0, 4.0][(index / (BOARDS * PRODUCTS) * 2 + index % 2) as usize % 4];
        let strength = (1.0 + 0.1 * scatter(index)) / (1.0 + reducer_parts);
        let tint = f64::from(product) / f64::from(PRODUCTS);
        let after = Lab::new(
            l * (-0.5 * strength).exp() + 0.4 * scatter(index + 1000),
            a + (2.0 + 6.0 * tint) * strength + 0.4 * scatter(index + 2000),
            b * (-(0.1 + 0.3 * tint) * strength).exp() + 0.4 * scatter(index + 3000),
        );
        let on = Surface::Board(board);
        let before = reading(&mut piece, on, State::BareDry, Lab::new(l + 0.5 * scatter(index + 4000), a, b));
        let after = reading(&mut piece, on, State::ColourDry, after);
        let step = Step::Stain { product: ProductId(product + 1), reducer_parts, coats: 1, wipe_minutes: None };
        piece.trials.push(Arc::new(Trial::new(
            TrialId(index + 1),
            on,
            vec![before],
            vec![Stage { step, readings: vec![after] }],
        )));
    }
    piece
}

fn main() -> std::io::Result<()> {
    let mut report = Report::new("learning and ranking")?;
    for trials in [TRIALS / 10, TRIALS] {
        let piece = piece_of(trials);
        report.job(&format!("{trials} trials learned again"), || {
            black_box(predict::learned(black_box(&piece)));
        })?;
    }
    let (learned, notes) = predict::learned(&piece_of(TRIALS));
    report.note(&format!("{} effects, {} notes", learned.len(), notes.len()))
}
