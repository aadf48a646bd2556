//! Colouring out: the spot, the mixes found for it, the sticks at hand.

use piece::{Id, ReadingId, Step, Surface};
use predict::{Mix, caution};

use super::{Amount, Swatch};
use crate::{Workbench, display, display::Shown, words};

/// What the panel shows.
#[derive(Clone, Debug, Default)]
pub struct ColouringOutView {
    /// The spot in words: `front four, topcoated`.
    pub spot: String,
    /// Its colour.
    pub swatch: Option<Swatch>,
    /// The readings that can be matched, each with whether it is the one.
    pub offered: Vec<(ReadingId, String, bool)>,
    /// The mixes, best first.
    pub mixes: Vec<MixView>,
    /// The sticks at hand: name and colour.
    pub sticks: Vec<(String, Shown)>,
    /// What to do first, or why there is no mix.
    pub empty: Option<String>,
    /// Whether the mixes are being looked for.
    pub updating: bool,
    /// Cautions: first clause, and the rest.
    pub cautions: Vec<(String, String)>,
}

/// One mix.
#[derive(Clone, Debug)]
pub struct MixView {
    /// `3 parts amber, 1 part umber`.
    pub words: String,
    /// Its colour.
    pub colour: Shown,
    /// ΔE2000 to the spot.
    pub de00: Amount,
    /// How far off that is seen.
    pub seen: &'static str,
}

impl Workbench {
    /// What colouring out shows.
    pub fn colouring_out_view(&self) -> ColouringOutView {
        let Some(piece) = self.piece() else { return ColouringOutView::default() };
        let spot = self.spot().and_then(|id| piece.reading(id));
        let name = |reading: &piece::Reading| {
            format!("{}, {}", words::surface(piece, reading.of), words::state(&reading.state))
        };
        // The chosen part's first, then those of the other parts, then those of boards; of each the newest.
        let nearness = |reading: &piece::Reading| match reading.of {
            Surface::Part(id) => u8::from(Some(id) != self.part()),
            Surface::Board(_) => 2,
        };
        let mut readings: Vec<_> = piece.readings.iter().rev().collect();
        readings.sort_by_key(|reading| nearness(reading));
        let offered = readings.into_iter().map(|reading| {
            let chosen = spot.is_some_and(|spot| spot.id == reading.id);
            (reading.id, format!("{} (reading {})", name(reading), reading.id.number()), chosen)
        });
        let sticks = &self.colouring_out.sticks;
        let found = self.mixed().map(|mixed| &mixed.mixes);
        let mixes = found.and_then(|mixes| mixes.as_ref().ok());
        ColouringOutView {
            spot: spot.map_or_else(String::new, |reading| name(reading)),
            swatch: spot.map(|reading| self.swatch(reading.of, reading.lab)),
            offered: offered.collect(),
            mixes: mixes.iter().flat_map(|mixes| mixes.iter()).map(mix_view).collect(),
            sticks: sticks.iter().map(|stick| (stick.name.clone(), display::shown(stick.lab))).collect(),
            empty: match (spot, sticks.is_empty(), found) {
                (None, ..) => Some("Nothing is read yet: read the spot, or the wood round it, from a photo.".into()),
                (_, true, _) => Some("Add the sticks at hand, each with its colour laid thick.".into()),
                (.., Some(Err(line))) => Some(words::capital(line)),
                _ => None,
            },
            updating: spot.is_some() && !sticks.is_empty() && found.is_none(),
            cautions: caution::for_steps(&[Step::Fill { product: None }], piece)
                .into_iter()
                .map(|caution| (caution.lead, caution.text))
                .collect(),
        }
    }
}

fn mix_view(mix: &Mix) -> MixView {
    MixView {
        words: words::capital(&mix.words),
        colour: display::shown(mix.lab),
        de00: Amount::de00(mix.de00),
        seen: predict::Verdict::of(mix.de00).seen(),
    }
}
