//! Rendered photos on which a shadow or a reflection falls, read end to end, against the truth known.
//!
//! `cargo run --release -p acceptance --bin measure-casts [FIRST_SEED [COUNT]]`: by default the final seeds, from 870 001 on,
//! 40 photos of each kind, every kind on the same scenes. Seeds from 860 001 on were used while building.

use std::f64::consts::TAU;
use std::io::{self, Write};

use acceptance::figures::{median, percent, quantile};
use acceptance::rendered::{Panel, found, panels, read_file};
use acceptance::stated::Tally;
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use rayon::prelude::*;
use scene::{Cast, Homography, Scene};

/// What falls on the picture. Lengths are in pitches of the card.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    /// Nothing.
    Nothing,
    /// A shadow with one straight edge across the card, which goes on over everything: it takes 25–60 % of the light.
    HalfShadow,
    /// A shadow between two straight edges, 1.5–3 broad, over everything, as of an arm: it takes 25–60 %.
    BandShadow,
    /// Two such shadows 1–1.5 broad side by side, as of a window's bars.
    BarShadows,
    /// A soft round shadow, as of a hand, its middle on the card, 1–2 in radius, over everything.
    RoundShadow,
    /// A soft round reflection on the card alone, 0.7–2 in radius: it adds 3–20 % of the light of a perfect white.
    RoundReflection,
    /// A reflection with one straight soft edge on the card alone, over its first or last one or two rows: 3–20 %.
    RowReflection,
    /// A reflection between two straight edges on the card alone, in any direction, 1–2.5 broad: 3–20 %.
    BandReflection,
    /// The card alone is lit unevenly, as when it is bent or lies aslant: by 10–40 % from one end to the other.
    CardAslant,
    /// Light falls off from the middle of the picture to its corners, by 10–40 %.
    Corners,
}

impl Kind {
    const ALL: [Self; 10] = [
        Self::Nothing,
        Self::HalfShadow,
        Self::BandShadow,
        Self::BarShadows,
        Self::RoundShadow,
        Self::RoundReflection,
        Self::RowReflection,
        Self::BandReflection,
        Self::CardAslant,
        Self::Corners,
    ];

    const fn name(self) -> &'static str {
        match self {
            Self::Nothing => "nothing",
            Self::HalfShadow => "shadow, one edge",
            Self::BandShadow => "shadow, two edges",
            Self::BarShadows => "shadows of two bars",
            Self::RoundShadow => "round shadow",
            Self::RoundReflection => "round reflection",
            Self::RowReflection => "reflection over rows",
            Self::BandReflection => "reflection, a band",
            Self::CardAslant => "card lit aslant",
            Self::Corners => "corners darker",
        }
    }
}

/// One cast, drawn.
struct Drawn {
    kind: Kind,
    /// Pixels to pitches of the card.
    card: Homography,
    /// Columns and rows.
    size: [f64; 2],
    frame: [f64; 2],
    /// A direction on the card, of length 1.
    into: [f64; 2],
    /// A place on the card, pitches.
    at: [f64; 2],
    breadth: f64,
    softness: f64,
    amount: f64,
    /// How much more of it is red, and how much less of it blue.
    warmth: f64,
}

impl Drawn {
    fn new(kind: Kind, scene: &Scene, seed: u64) -> Option<Self> {
        let mut rng = Pcg64::seed_from_u64(seed.wrapping_mul(31).wrapping_add(kind as u64));
        let card = scene.card.as_ref()?;
        let columns = card.columns as f64;
        let size = [columns, card.patches.len() as f64 / columns];
        let homography = Homography::of_rectangle(size.map(|side| side - card.gap), card.corners_px).ok()?;
        let mut within = |low: f64, high: f64| rng.random_range(low..=high);
        let turn = within(0.0, TAU);
        let at = [within(0.15, 0.85) * size[0], within(0.15, 0.85) * size[1]];
        let (small, large, some) = (within(0.25, 0.6), within(0.03, 0.2), within(0.1, 0.4));
        let up = within(0.0, 1.0) < 0.5;
        let (breadth, softness, warmth) = (within(0.0, 1.0), within(0.1, 1.5), within(-0.1, 0.1));
        let rows = 1.0 + (2.0 * within(0.0, 0.999)).floor();
        let (into, at) = match kind {
            Kind::RowReflection if up => ([0.0, -1.0], [0.0, rows]),
            Kind::RowReflection => ([0.0, 1.0], [0.0, size[1] - rows]),
            _ => ([turn.cos(), turn.sin()], at),
        };
        let (low, high) = match kind {
            Kind::BandShadow => (1.5, 3.0),
            Kind::BarShadows => (1.0, 1.5),
            Kind::RoundShadow => (1.0, 2.0),
            Kind::RoundReflection => (0.7, 2.0),
            _ => (1.0, 2.5),
        };
        let amount = match kind {
            Kind::RoundReflection | Kind::RowReflection | Kind::BandReflection => large,
            Kind::CardAslant | Kind::Corners => some,
            _ => small,
        };
        let frame = [f64::from(scene.width_px), f64::from(scene.height_px)];
        let breadth = low + (high - low) * breadth;
        Some(Self { kind, card: homography, size, frame, into, at, breadth, softness, amount, warmth })
    }

    fn at_px(&self, px: [f64; 2]) -> Cast {
        let place = self.card.from_px(px);
        let off = [place[0] - self.at[0], place[1] - self.at[1]];
        let inside = off[0] * self.into[0] + off[1] * self.into[1];
        let past = |edge: f64| ((inside - edge) / self.softness + 0.5).clamp(0.0, 1.0);
        let band = |from: f64| past(from) - past(from + self.breadth);
        let round = (-(off[0].powi(2) + off[1].powi(2)) / (2.0 * self.breadth.powi(2))).exp();
        // its frame is of the card, too
        let on_card = (0..2).all(|axis| (-0.3..self.size[axis] + 0.2).contains(&place[axis]));
        let if_on_card = |share: f64| if on_card { share } else { 0.0 };
        match self.kind {
            Kind::Nothing => Cast::NONE,
            Kind::HalfShadow => self.shadow(past(0.0)),
            Kind::BandShadow => self.shadow(band(0.0)),
            Kind::BarShadows => self.shadow(band(0.0) + band(2.0 * self.breadth)),
            Kind::RoundShadow => self.shadow(round),
            Kind::RoundReflection => self.reflection(if_on_card(round)),
            Kind::RowReflection => self.reflection(if_on_card(past(0.0))),
            Kind::BandReflection => self.reflection(if_on_card(band(0.0))),
            Kind::CardAslant => {
                let along = off[0] * self.into[0] / self.size[0] + off[1] * self.into[1] / self.size[1];
                Cast { passes: [1.0 - if_on_card(self.amount * (along + 0.5).clamp(0.0, 1.0)); 3], adds: [0.0; 3] }
            }
            Kind::Corners => {
                let [x, y] = [0, 1].map(|axis| 2.0 * px[axis] / self.frame[axis] - 1.0);
                Cast { passes: [1.0 - self.amount * (x * x + y * y) / 2.0; 3], adds: [0.0; 3] }
            }
        }
    }

    fn coloured(&self, amount: f64) -> [f64; 3] {
        [amount * (1.0 + self.warmth), amount, amount * (1.0 - self.warmth)]
    }

    fn shadow(&self, share: f64) -> Cast {
        Cast { passes: self.coloured(self.amount * share).map(|taken| 1.0 - taken), adds: [0.0; 3] }
    }

    fn reflection(&self, share: f64) -> Cast {
        Cast { passes: [1.0; 3], adds: self.coloured(self.amount * share) }
    }
}

struct Outcome {
    found: bool,
    panels: Vec<Panel>,
    told: Vec<&'static str>,
    off: Vec<String>,
}

fn outcome(kind: Kind, seed: u64) -> Result<Outcome, String> {
    let words = |error: scene::Error| format!("seed {seed}: {error}");
    let scene = scene::draw(seed).map_err(words)?;
    let drawn = Drawn::new(kind, &scene, seed).ok_or("a scene without a card")?;
    let rendered = scene::render_under(&scene, &|px| drawn.at_px(px)).map_err(words)?;
    let bytes = scene::jpeg(&rendered, &scene.file).map_err(words)?;
    let reading = read_file(&bytes, &rendered.truth).map_err(|error| format!("seed {seed}: {error}"))?;
    let (found, _) = found(&reading, &rendered.truth);
    let panels = if found { panels(&reading, &rendered.truth) } else { Vec::new() };
    let told: Vec<&'static str> = reading.warnings.iter().map(|warning| warning.code).collect();
    let beyond = panels.iter().filter(|panel| !panel.stated.holds());
    let off = beyond.map(|panel| {
        format!(
            "seed {seed}: {:.1} off (ΔE2000), {:.1} times as far as stated, amount {:.2}, softness {:.1}, {}",
            panel.de00,
            panel.stated.reach,
            drawn.amount,
            drawn.softness,
            told.join(" ")
        )
    });
    let off = off.collect();
    Ok(Outcome { found, panels, told, off })
}

fn main() -> io::Result<()> {
    let numbers: Vec<u64> = std::env::args().skip(1).filter_map(|argument| argument.parse().ok()).collect();
    let first = numbers.first().copied().unwrap_or(870_001);
    let count = numbers.get(1).copied().unwrap_or(40);
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "Shadows and reflections on rendered photos, seeds {first}–{}, the same for each kind",
        first + count - 1
    )?;
    for kind in Kind::ALL {
        let outcomes: Vec<_> = (first..first + count).into_par_iter().map(|seed| outcome(kind, seed)).collect();
        print(&mut out, kind, &outcomes)?;
    }
    Ok(())
}

fn print(out: &mut impl Write, kind: Kind, outcomes: &[Result<Outcome, String>]) -> io::Result<()> {
    let read: Vec<&Outcome> = outcomes.iter().filter_map(|outcome| outcome.as_ref().ok()).collect();
    let found = read.iter().filter(|outcome| outcome.found).count();
    let panels: Vec<&Panel> = read.iter().flat_map(|outcome| &outcome.panels).collect();
    writeln!(
        out,
        "{}: card found in {found} of {}; {} regions, error ΔE2000 median {:.2}, 90th percentile {:.2}; stated 90 % ellipsoids {}",
        kind.name(),
        outcomes.len(),
        panels.len(),
        median(panels.iter().map(|panel| panel.de00)),
        quantile(panels.iter().map(|panel| panel.de00), 0.9),
        Tally::of(panels.iter().map(|panel| panel.stated)),
    )?;
    let told = |codes: &[&str]| {
        let told = read.iter().filter(|one| one.found && one.told.iter().any(|code| codes.contains(code)));
        percent(told.count(), found)
    };
    writeln!(
        out,
        "  of those found, told: shade {:.0} %, soft-glare {:.0} %, glare {:.0} %, light-uneven {:.0} %, light-falls-off {:.0} %, any of these, patch-off, patch-hidden or poor-fit {:.0} %",
        told(&["shade"]),
        told(&["soft-glare"]),
        told(&["glare"]),
        told(&["light-uneven"]),
        told(&["light-falls-off"]),
        told(&[
            "shade",
            "light-uneven",
            "soft-glare",
            "glare",
            "light-falls-off",
            "patch-off",
            "patch-hidden",
            "poor-fit"
        ]),
    )?;
    for failure in outcomes.iter().filter_map(|outcome| outcome.as_ref().err()) {
        writeln!(out, "  could not be read: {failure}")?;
    }
    for line in read.iter().flat_map(|outcome| &outcome.off) {
        writeln!(out, "  beyond: {line}")?;
    }
    Ok(())
}
