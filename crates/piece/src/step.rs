//! Steps: single actions of a finishing schedule.

use crate::ProductId;

/// One action. The order in which steps may follow each other is the trade's, not this type's.
#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    /// Nothing is done to the colour.
    LeaveNatural,
    /// Sanded to a grit.
    Sand {
        /// The last grit used.
        grit: u32,
    },
    /// Reducer on the wood just before the stain, still wet.
    PreWet,
    /// Wetted with water to raise the grain, dried, de-nibbed.
    DampDown,
    /// A dye.
    Dye {
        /// What is in the can.
        product: ProductId,
        /// Grams of powder per litre.
        grams_per_litre: f64,
        /// Coats or passes.
        coats: u32,
    },
    /// A thin coat that evens out what follows.
    Washcoat,
    /// Grain filler.
    Fill {
        /// The filler, where it is coloured.
        product: Option<ProductId>,
    },
    /// A wiping stain.
    Stain {
        /// What is in the can.
        product: ProductId,
        /// Parts of reducer to one of stain: 0 is neat, 2 is 'reduced 1:2'.
        reducer_parts: f64,
        /// Coats.
        coats: u32,
        /// Minutes until it was wiped off. None: not stated.
        wipe_minutes: Option<f64>,
    },
    /// A bleach.
    Bleach {
        /// Which kind.
        kind: Bleach,
        /// How many times.
        times: u32,
    },
    /// A sealer.
    Seal,
    /// A glaze over the sealer.
    Glaze {
        /// What is in the can.
        product: ProductId,
        /// Parts of glaze base to one of colour.
        reducer_parts: f64,
    },
    /// Light sprayed passes of toner over the sealer.
    Toner {
        /// What is in the can.
        product: ProductId,
        /// Passes.
        passes: u32,
    },
    /// The clear coats.
    Topcoat {
        /// The topcoat, by the user's name for it.
        topcoat: String,
        /// Its sheen.
        sheen: String,
    },
}

/// Bleaches, each for its own cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bleach {
    /// Caustic soda, then hydrogen peroxide: takes out the wood's own colour.
    TwoPart,
    /// Oxalic acid: takes out iron stain and greying.
    Oxalic,
    /// Hypochlorite: takes out dye.
    Chlorine,
    /// Caustic soda by itself: darkens woods rich in tannin. A warning, not an offer.
    CausticAlone,
}
