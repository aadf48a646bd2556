//! The shop book: what a glaze did on one piece, carried to the next. Truths by spectra and known physics
//! (reference/layers/GENERATORS.md of the project's design), read with noise, used with process noise.

use ::piece::*;
use predict::EvidenceKind;
use rand::SeedableRng;
use rand_pcg::Pcg64;

use crate::bench::Bench;
use crate::truths::{Physics, Spectrum, Stain, Table, normal};

/// Cases for each of the four physics, from this seed on.
const CASES: u64 = 8;
const SEED: u64 = 31_001;
/// Standard deviations of a reading, per CIELAB axis, and of the logarithm of strength from use to use.
const READING_SD: f64 = 0.3;
const STRENGTH_SD: f64 = 0.12;

/// A glaze, and the strength of it neat.
struct Glaze {
    stain: Stain,
    x: f64,
}

struct Bout<'a> {
    table: &'a Table,
    rng: Pcg64,
}

impl Bout<'_> {
    fn glaze(&mut self, physics: Physics, wood: &Spectrum) -> Glaze {
        loop {
            let stain = Stain::drawn(physics, &mut self.rng);
            if let Some(x) = stain.strength_for(self.table, wood, 14.0) {
                return Glaze { stain, x };
            }
        }
    }

    fn read(&mut self, spectrum: &Spectrum) -> [f64; 3] {
        let lab = self.table.lab(spectrum);
        [lab.l, lab.a, lab.b].map(|value| value + READING_SD * normal(&mut self.rng))
    }

    /// A piece of one part of this wood, with trials of the glaze at these reductions.
    fn piece(&mut self, name: &str, wood: &Spectrum, glaze: &Glaze, reductions: &[f64]) -> (Piece, PartId, ProductId) {
        let mut bench = Bench::new();
        bench.piece.name = name.into();
        let part = bench.part("door", name, Construction::Solid, 0.4);
        let product = bench.product("brown glaze", Kind::Glaze, "glaze base");
        let sealed = self.read(wood);
        let aim = bench.read(Surface::Part(part), State::Sealed, sealed, "part");
        bench.piece.match_sample = MatchSample::Reading(aim);
        for (place, &reducer_parts) in reductions.iter().enumerate() {
            let board = bench.board(&format!("board {place}"), part);
            let before = self.read(wood);
            let strength = glaze.x / (1.0 + reducer_parts) * (STRENGTH_SD * normal(&mut self.rng)).exp();
            let after = self.read(&glaze.stain.on(wood, strength));
            let photo = format!("trial {place}");
            let before = bench.read(Surface::Board(board), State::Sealed, before, &photo);
            let after = bench.read(Surface::Board(board), State::Sealed, after, &photo);
            let step = Step::Glaze { product, reducer_parts };
            bench.trial(Surface::Board(board), vec![before], vec![(step, vec![after])]);
        }
        (bench.piece, part, product)
    }
}

/// What is said of the glaze used neat on the part.
struct Said {
    kind: EvidenceKind,
    off_de00: f64,
    holds: bool,
    notes: String,
}

fn said(piece: &Piece, part: PartId, truth: colour::Lab) -> Option<Said> {
    let ranking = predict::rank(piece, part, &|_| true).unwrap();
    let neat = |step: &Step| matches!(step, Step::Glaze { reducer_parts, .. } if *reducer_parts == 0.0);
    let row = ranking.rows.iter().find(|row| row.steps.iter().any(neat))?;
    Some(Said {
        kind: row.evidence.kind,
        off_de00: colour::de2000(row.predicted.mean, truth),
        holds: row.predicted.holds(truth, 0.9),
        notes: row.evidence.notes.join("; "),
    })
}

fn with_book(piece: &Piece, book: &Book) -> Piece {
    apply(piece, &Edit::Product(ProductEdit::TakeUp(book.uses_for(piece)))).unwrap()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

#[test]
fn the_book_tells_of_an_untried_glaze_helps_where_it_holds_and_yields_where_it_does_not() {
    let table = Table::load();
    let (mut alone, mut one, mut one_with, mut held, mut other, mut other_with, mut told) =
        (Vec::new(), Vec::new(), Vec::new(), 0, Vec::new(), Vec::new(), 0);
    let count = CASES as usize * Physics::ALL.len();
    for (block, physics) in (0..).zip(Physics::ALL) {
        for seed in SEED + block * CASES..SEED + (block + 1) * CASES {
            let mut bout = Bout { table: &table, rng: Pcg64::seed_from_u64(seed) };
            let woods = table.woods_for(physics);
            let [earlier, today] = [seed as usize % woods.len(), (seed as usize * 7 + 3) % woods.len()];
            let (earlier, today) = (&woods[earlier], &woods[today]);
            let glaze = bout.glaze(physics, earlier);
            let mut book = Book::default();
            let (past, ..) = bout.piece("earlier", earlier, &glaze, &[0.0, 1.0, 3.0]);
            assert_eq!(book.merge(&past.products, &predict::past_uses(&past)).uses, 3);

            let truth = table.lab(&glaze.stain.on(today, glaze.x));
            let (untried, part, _) = bout.piece("today", today, &glaze, &[]);
            assert!(said(&untried, part, truth).is_none(), "what nobody tried is not predicted");
            let by_book = said(&with_book(&untried, &book), part, truth).unwrap();
            assert_eq!(by_book.kind, EvidenceKind::EarlierPieces);
            assert!(by_book.notes.contains("from the shop book only: 3 uses on 'earlier'"), "{}", by_book.notes);
            held += usize::from(by_book.holds);
            alone.push(by_book.off_de00);

            let (tried, part, _) = bout.piece("today", today, &glaze, &[1.0]);
            one.push(said(&tried, part, truth).unwrap().off_de00);
            let both = said(&with_book(&tried, &book), part, truth).unwrap();
            assert_eq!(both.kind, EvidenceKind::Tested);
            one_with.push(both.off_de00);

            let unlike = Glaze { x: glaze.x * 2.5, stain: bout.glaze(physics, today).stain };
            let truth = table.lab(&unlike.stain.on(today, unlike.x));
            let (tried, part, _) = bout.piece("today", today, &unlike, &[0.0, 1.0]);
            other.push(said(&tried, part, truth).unwrap().off_de00);
            let both = said(&with_book(&tried, &book), part, truth).unwrap();
            told += usize::from(both.notes.contains("the shop book says otherwise"));
            other_with.push(both.off_de00);
        }
    }
    let (alone, one, one_with) = (median(alone), median(one), median(one_with));
    let (other, other_with) = (median(other), median(other_with));
    println!(
        "{count} cases: book alone {alone:.2} ΔE2000, held {held}; one trial {one:.2}, with the book {one_with:.2}; another lot {other:.2}, with the book {other_with:.2}, told {told}"
    );
    assert!(alone < 3.5, "the book alone is off by {alone}");
    assert!(held * 100 >= count * 80, "regions hold {held} of {count}");
    assert!(one_with < 0.8 * one, "one trial {one}, with the book {one_with}");
    assert!(told * 100 >= count * 80, "contradictions told: {told} of {count}");
    assert!(other_with < other + 0.3, "another lot {other}, with the book {other_with}");
}
