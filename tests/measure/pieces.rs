//! Made-up pieces for the measurements of deciding: parts of measured woods, products with known physics, and what any
//! schedule truly gives. All data are invented; nothing but readings reaches the program.

use std::sync::Arc;

use colour::Lab;
use piece::{
    Bar, Board, BoardId, Grain, Joint, Kind, MatchSample, Meeting, Part, PartId, Piece, Product, ProductId, Reading,
    ReadingId, Stage, State, Step, Surface, Trial, TrialId,
};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;

use crate::truths::{Physics, Spectrum, Stain, Table, normal};

/// Standard deviation of a reading per CIELAB axis, of strength from use to use (logarithm), and of process per axis.
pub(crate) const READING_SD: f64 = 0.3;
pub(crate) const STRENGTH_SD: f64 = 0.12;
pub(crate) const PROCESS_SD: f64 = 0.5;
/// What the clear coat does to K/S of the wood and what is in it: it wets it.
const COAT: f64 = 1.8;
/// Grams per litre of dye that count as full strength; stain is full neat.
const FULL_GRAMS: f64 = 15.0;
const TOPCOAT: (&str, &str) = ("clear lacquer", "satin");

/// The stated grids.
pub(crate) const GRAMS_PER_LITRE: [f64; 4] = [4.0, 8.0, 15.0, 30.0];
pub(crate) const REDUCER_PARTS: [f64; 6] = [0.0, 0.5, 1.0, 2.0, 4.0, 8.0];

/// A piece, and the truth behind it.
#[derive(Clone)]
pub(crate) struct Made {
    pub(crate) piece: Piece,
    /// The wood of each part, by place; the board of the same place is cut from it.
    woods: Vec<Spectrum>,
    /// Each product's physics, and its full strength.
    stains: Vec<(Stain, f64)>,
    pub(crate) target: Lab,
    rng: Pcg64,
}

/// What is to be made.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Plan {
    /// Parts of one kind of wood, each a little different.
    pub(crate) parts: usize,
    pub(crate) products: usize,
    /// Whether the match sample is a colour that the products reach on the first part at some strength.
    pub(crate) reachable: bool,
    /// Most the match sample differs from the first part, ΔE2000.
    pub(crate) farthest_de00: f64,
}

impl Made {
    /// A piece by its seed, which also chooses the generators: see [`physics`].
    pub(crate) fn new(table: &Table, plan: Plan, seed: u64) -> Self {
        (0..1000u64).find_map(|again| Self::drawn(table, plan, seed, again)).unwrap_or_else(|| {
            // A thousand draws without a piece would be a fault of the generators.
            std::process::abort()
        })
    }

    fn drawn(table: &Table, plan: Plan, seed: u64, again: u64) -> Option<Self> {
        let mut rng = Pcg64::seed_from_u64(seed.wrapping_mul(1000).wrapping_add(again));
        let wood = table.woods[rng.random_range(0..table.woods.len())];
        let mut woods = vec![wood];
        for _ in 1..plan.parts {
            let factor = 0.75 * (1.35f64 / 0.75).powf(rng.random());
            woods.push(wood.map(|r| from_ks(factor * ks(r))));
        }
        let mut stains = Vec::new();
        for product in 0..plan.products {
            let stain = Stain::drawn(physics(seed, product), &mut rng);
            let full = stain.strength_for(table, &wood, 8.0 + 14.0 * rng.random::<f64>())?;
            stains.push((stain, full));
        }
        let mut made = Self { piece: piece_of(plan), woods, stains, target: Lab::new(0.0, 0.0, 0.0), rng };
        made.target = made.aim(table, plan)?;
        let natural = made.truth(table, 0, &[]);
        let apart = colour::de2000(natural, made.target);
        if !(3.0..plan.farthest_de00).contains(&apart) {
            return None;
        }
        let target = made.target;
        let id = made.read(target, Surface::Board(panel()), topcoated());
        made.piece.match_sample = MatchSample::Reading(id);
        for place in 0..plan.parts {
            for surface in [Surface::Part(part(place)), Surface::Board(board(place))] {
                made.read(table.lab(&made.woods[place].clone()), surface, State::BareDry);
            }
            let coated = made.truth(table, place, &[]);
            made.read(coated, Surface::Board(board(place)), topcoated());
        }
        Some(made)
    }

    /// The match sample: one product, whichever, on the first part at a strength off the grid, mostly over a
    /// little of another; or, where it is not to be reached, that and something that no product of the piece does.
    fn aim(&mut self, table: &Table, plan: Plan) -> Option<Lab> {
        let strength = 0.15 * (1.3f64 / 0.15).powf(self.rng.random());
        let [main, other] = [0; 2].map(|_| self.rng.random_range(0..self.stains.len()));
        let mut spectrum = self.woods[0];
        if main != other {
            spectrum = self.stains[other].0.on(&spectrum, self.stains[other].1 * 0.5 * self.rng.random::<f64>());
        }
        spectrum = self.stains[main].0.on(&spectrum, self.stains[main].1 * strength);
        let lab = table.lab(&coated(&spectrum));
        if plan.reachable {
            return Some(lab);
        }
        let off: [f64; 3] = std::array::from_fn(|_| normal(&mut self.rng));
        let size = (off[0] * off[0] + off[1] * off[1] + off[2] * off[2]).sqrt();
        let by = 6.0 + 6.0 * self.rng.random::<f64>();
        Some(Lab::new(lab.l + by * off[0] / size, lab.a + by * off[1] / size, lab.b + by * off[2] / size))
    }

    /// What a schedule truly gives a part, topcoated, without what differs from one use to the next.
    pub(crate) fn truth(&self, table: &Table, place: usize, steps: &[Step]) -> Lab {
        table.lab(&coated(&self.coloured(place, steps, |_| 1.0)))
    }

    /// What one use of it gives.
    pub(crate) fn use_of(&self, table: &Table, place: usize, steps: &[Step], rng: &mut Pcg64) -> Lab {
        let spectrum = self.coloured(place, steps, |_| (STRENGTH_SD * normal(rng)).exp());
        let lab = table.lab(&coated(&spectrum));
        let sd = PROCESS_SD * f64::from(u8::from(!colour_steps(steps).is_empty()));
        Lab::new(lab.l + sd * normal(rng), lab.a + sd * normal(rng), lab.b + sd * normal(rng))
    }

    fn coloured(&self, place: usize, steps: &[Step], mut factor: impl FnMut(usize) -> f64) -> Spectrum {
        let mut spectrum = self.woods[place];
        for (at, step) in steps.iter().enumerate() {
            if let Some((product, strength)) = strength(step) {
                let (stain, full) = self.stain(product);
                spectrum = stain.on(&spectrum, full * strength * factor(at));
            }
        }
        spectrum
    }

    /// The physics of a product and its full strength; of a mix, from its parts in proportion.
    fn stain(&self, id: ProductId) -> (Stain, f64) {
        if let Some(known) = self.stains.get(id.0 as usize - 1) {
            return known.clone();
        }
        let shares = self.piece.product(id).map(|product| product.mix.as_slice()).unwrap_or_default();
        let all: f64 = shares.iter().map(|share| share.parts).sum();
        let parts = shares.iter().map(|share| (share.parts / all, self.stain(share.product)));
        let mixed = parts.map(|(share, (stain, full))| (stain, share * full)).reduce(|(stain, full), (other, more)| {
            let sum = full + more;
            (stain.mixed(&other, full / sum), sum)
        });
        // A step names no product that is neither at hand nor a mix of those that are.
        mixed.unwrap_or_else(|| std::process::abort())
    }

    /// The same with these mixes among its products.
    pub(crate) fn with_mixes(&self, mixes: &[Product]) -> Self {
        Self { piece: predict::with_mixes(&self.piece, mixes).into_owned(), ..self.clone() }
    }

    /// The same with the full strength of each product times these.
    pub(crate) fn with_strengths(&self, factors: &[f64]) -> Self {
        let mut other = self.clone();
        other.stains.iter_mut().zip(factors).for_each(|((_, full), factor)| *full *= factor);
        other
    }

    /// Makes a trial on the board of this place, and reads it after each colour step, and topcoated.
    pub(crate) fn try_out(&mut self, table: &Table, place: usize, steps: &[Step]) {
        let factors: Vec<f64> = steps.iter().map(|_| (STRENGTH_SD * normal(&mut self.rng)).exp()).collect();
        let on = Surface::Board(board(place));
        let off: [f64; 3] = std::array::from_fn(|_| PROCESS_SD * normal(&mut self.rng));
        let used = |lab: Lab| Lab::new(lab.l + off[0], lab.a + off[1], lab.b + off[2]);
        let mut stages = Vec::new();
        for at in 0..steps.len() {
            let spectrum = self.coloured(place, &steps[..=at], |step| factors[step]);
            let mut readings = Vec::new();
            if strength(&steps[at]).is_some() {
                readings.push(self.read(used(table.lab(&spectrum)), on, State::ColourDry));
            }
            stages.push(Stage { step: steps[at].clone(), readings });
        }
        let spectrum = self.coloured(place, steps, |step| factors[step]);
        let last = self.read(used(table.lab(&coated(&spectrum))), on, topcoated());
        let (topcoat, sheen) = (TOPCOAT.0.to_owned(), TOPCOAT.1.to_owned());
        stages.push(Stage { step: Step::Topcoat { topcoat, sheen }, readings: vec![last] });
        let id = TrialId(self.piece.trials.len() as u32 + 1);
        self.piece.trials.push(Arc::new(Trial::new(id, on, Vec::new(), stages)));
    }

    fn read(&mut self, truth: Lab, of: Surface, state: State) -> ReadingId {
        let id = ReadingId(self.piece.readings.len() as u32 + 1);
        let mut off = || READING_SD * normal(&mut self.rng);
        let lab = Lab::new(truth.l + off(), truth.a + off(), truth.b + off());
        let variance = READING_SD * READING_SD;
        self.piece.readings.push(Arc::new(Reading {
            grain: Grain::Along,
            ..Reading::typed(id, of, state, lab, [[variance, 0.0, 0.0], [0.0, variance, 0.0], [0.0, 0.0, variance]])
        }));
        id
    }

    /// Every step of the grid, product by product.
    pub(crate) fn grid(&self) -> Vec<Step> {
        let of_product = |product: &Arc<Product>| -> Vec<Step> {
            let product_id = product.id;
            match product.kind {
                Kind::AlcoholDye => GRAMS_PER_LITRE
                    .map(|grams_per_litre| Step::Dye { product: product_id, grams_per_litre, coats: 1 })
                    .to_vec(),
                _ => REDUCER_PARTS
                    .map(|reducer_parts| Step::Stain {
                        product: product_id,
                        reducer_parts,
                        coats: 1,
                        wipe_minutes: None,
                    })
                    .to_vec(),
            }
        };
        self.piece.products.iter().flat_map(of_product).collect()
    }

    /// The place of the part that a trial here is made for.
    pub(crate) fn place_of(&self, on: Surface) -> usize {
        match on {
            Surface::Part(id) => id.0 as usize - 1,
            Surface::Board(id) => id.0 as usize - 1,
        }
    }
}

/// The colour steps among these.
pub(crate) fn colour_steps(steps: &[Step]) -> Vec<&Step> {
    steps.iter().filter(|step| strength(step).is_some()).collect()
}

fn strength(step: &Step) -> Option<(ProductId, f64)> {
    match step {
        Step::Dye { product, grams_per_litre, coats } => {
            Some((*product, grams_per_litre / FULL_GRAMS * f64::from(*coats)))
        }
        Step::Stain { product, reducer_parts, coats, .. } => {
            Some((*product, f64::from(*coats) / (1.0 + reducer_parts)))
        }
        _ => None,
    }
}

fn part(place: usize) -> PartId {
    PartId(place as u32 + 1)
}

fn board(place: usize) -> BoardId {
    BoardId(place as u32 + 1)
}

/// The match sample's own board.
fn panel() -> BoardId {
    BoardId(100)
}

fn topcoated() -> State {
    State::Topcoated { topcoat: TOPCOAT.0.to_owned(), sheen: TOPCOAT.1.to_owned() }
}

fn ks(r: f64) -> f64 {
    (1.0 - r).powi(2) / (2.0 * r)
}

fn from_ks(q: f64) -> f64 {
    1.0 + q - (q * q + 2.0 * q).sqrt()
}

/// Under the clear coat.
fn coated(spectrum: &Spectrum) -> Spectrum {
    spectrum.map(|r| from_ks(COAT * ks(r.clamp(1e-4, 0.9999))))
}

/// The generator of a product: the first is a dye, the second a pigment, and so on by turns; the seed chooses film or wood
/// for each, so that four seeds in a row go through all four pairs.
pub(crate) fn physics(seed: u64, product: usize) -> Physics {
    let in_wood = if product.is_multiple_of(2) { seed % 2 == 1 } else { seed / 2 % 2 == 1 };
    match (product.is_multiple_of(2), in_wood) {
        (true, false) => Physics::DyeFilm,
        (true, true) => Physics::DyeInWood,
        (false, false) => Physics::PigmentFilm,
        (false, true) => Physics::PigmentInWood,
    }
}

/// The piece without readings: parts that meet as fronts, a board for each, dyes and pigments by turns. No bleach: nothing
/// is known of what it would truly do.
fn piece_of(plan: Plan) -> Piece {
    let mut piece = Piece { invented: true, topcoat: Some((TOPCOAT.0.into(), TOPCOAT.1.into())), ..Piece::default() };
    for place in 0..plan.parts {
        let name = format!("part {}", place + 1);
        piece.parts.push(Arc::new(Part {
            area_m2: Some(0.4),
            bars: vec![Bar::Bleach],
            // Each its own wood: what is learned on one is carried to the other.
            ..Part::new(part(place), name, format!("wood {}", place + 1))
        }));
        let name = format!("board {}", place + 1);
        piece.boards.push(Arc::new(Board::new(board(place), name, part(place))));
    }
    piece.boards.push(Arc::new(Board::new(panel(), "signed-off panel", part(0))));
    for place in 1..plan.parts {
        piece.joints.push(Joint { a: part(place - 1), b: part(place), meeting: Meeting::Fronts });
    }
    for number in 1..=plan.products as u32 {
        let kind = if number % 2 == 1 { Kind::AlcoholDye } else { Kind::Pigment };
        piece.products.push(Arc::new(Product {
            reducer: "meths".into(),
            ..Product::new(ProductId(number), format!("product {number}"), kind)
        }));
    }
    piece
}
