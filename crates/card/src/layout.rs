//! A reference card as data: a grid of flat patches and the colours published for it.

mod file;

pub use file::LayoutError;

use colour::Lab;

/// Most rows or columns a card may have.
pub const MAX_SIDE: usize = 40;

/// With fewer patches a card must have a white or grey: it can set no more than exposure and white.
pub const FEWEST_WITHOUT_GREY: usize = 4;

/// With fewer patches a card is not looked for: fewer flat squares in a row or a block make no lattice, as any window has them.
pub const FEWEST_FOUND: usize = 5;

/// A card: a grid of flat square patches, with the colours of one or more editions.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// Short stable name used in files and on the command line.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Rows of patches.
    pub rows: usize,
    /// Columns of patches.
    pub columns: usize,
    /// Gap between two patches as a share of the distance between their centres, in 0.0..0.6.
    pub gap_fraction: f64,
    /// Distance between two patch centres in millimetres; absent where sizes differ and the user must name it.
    pub pitch_mm: Option<f64>,
    /// One name per patch, row by row.
    pub patch_ids: Vec<String>,
    /// Published colours, at least one edition.
    pub editions: Vec<Edition>,
}

/// The colours of one production run or publication of a card.
#[derive(Debug, Clone, PartialEq)]
pub struct Edition {
    /// Short stable name.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Where the figures come from.
    pub source: String,
    /// CIELAB (D50, 2°) of each patch, row by row.
    pub lab: Vec<Lab>,
}

impl Card {
    /// Number of patches.
    pub fn len(&self) -> usize {
        self.rows * self.columns
    }

    /// Whether the card has no patch; never true of a checked card.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Whether it can be found in a photo: a single patch, patches in a single row, or two by two, could be anything.
    pub fn can_be_found(&self) -> bool {
        self.rows.min(self.columns) > 1 && self.len() >= FEWEST_FOUND
    }

    /// The edition of that id.
    pub fn edition(&self, id: &str) -> Option<&Edition> {
        self.editions.iter().find(|edition| edition.id == id)
    }

    /// The mean CIELAB (D50) of each patch over the editions: what the finder looks for.
    pub fn mean_lab(&self) -> Vec<Lab> {
        let share = 1.0 / self.editions.len().max(1) as f64;
        (0..self.len())
            .map(|k| {
                let mean = |part: fn(&Lab) -> f64| -> f64 {
                    self.editions.iter().filter_map(|edition| edition.lab.get(k)).map(part).sum::<f64>() * share
                };
                Lab::new(mean(|lab| lab.l), mean(|lab| lab.a), mean(|lab| lab.b))
            })
            .collect()
    }
}

/// The cards that come with the program.
pub fn known() -> Vec<Card> {
    [
        include_str!("../../../assets/cards/chart24.json"),
        include_str!("../../../assets/cards/grey18.json"),
        include_str!("../../../assets/cards/paper.json"),
    ]
    .iter()
    .filter_map(|text| Card::from_json(text).ok())
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cards_that_come_along_are_sound() {
        // as many as are embedded: a file with a mistake would be left out
        let ids: Vec<_> = known().into_iter().map(|card| card.id).collect();
        assert_eq!(ids, ["chart24", "grey18", "paper"]);
    }

    /// CIE xyY to CIELAB for a D50 white, by the formulae of CIE 15:2004 written out.
    fn lab_from_xyy([x, y, luminance]: [f64; 3]) -> [f64; 3] {
        let f = |t: f64| if t > 216.0 / 24389.0 { t.cbrt() } else { (24389.0 / 27.0 * t + 16.0) / 116.0 };
        let [fx, fy, fz] = [x / y * luminance / 0.96422, luminance, (1.0 - x - y) / y * luminance / 0.82521].map(f);
        [116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)]
    }

    #[test]
    fn the_chart_carries_the_published_colours() {
        let chart = &known()[0];
        assert_eq!((chart.rows, chart.columns, chart.editions.len()), (4, 6, 3));
        let lab = |edition: &str, patch: usize| {
            let lab = chart.edition(edition).unwrap().lab[patch];
            [lab.l, lab.a, lab.b]
        };
        let near = |a: [f64; 3], b: [f64; 3], tolerance: f64| {
            assert!((0..3).all(|k| (a[k] - b[k]).abs() < tolerance), "{a:?} is not {b:?}");
        };
        // Pascale D. (2006, revised 2012), average of 30 charts, xyY for D50: patches 1, 13, 16, 19, 24
        for (patch, xyy) in [
            (0, [0.4325, 0.3788, 0.1034]),
            (12, [0.2040, 0.1696, 0.0579]),
            (15, [0.4694, 0.4732, 0.6081]),
            (18, [0.3488, 0.3628, 0.9129]),
            (23, [0.3439, 0.3565, 0.0320]),
        ] {
            near(lab("average-30", patch), lab_from_xyy(xyy), 0.03);
        }
        // McCamy, Marcus, Davidson (1976): Munsell notations of the neutrals N 9.5/, 8/, 6.5/, 5/, 3.5/, 2/ with the
        // luminance factors of the renotation (Newhall, Nickerson, Judd 1943), which L* = 116 Y^(1/3) - 16 turns into
        // these; adaptation leaves a neutral neutral.
        for (patch, luminance) in [(18, 0.900), (19, 0.591), (20, 0.362), (21, 0.198), (22, 0.090), (23, 0.0313)] {
            near(lab("1976", patch), [116.0 * f64::cbrt(luminance) - 16.0, 0.0, 0.0], 0.15);
        }
        // No published CIELAB of the ISO 17321-1:2012 spectra is at hand: they are the same paints as the average of 30
        // charts, which must show.
        let distance =
            |k: usize| (0..3).map(|c| (lab("iso-17321", k)[c] - lab("average-30", k)[c]).powi(2)).sum::<f64>();
        let mean = (0..24).map(|k| distance(k).sqrt()).sum::<f64>() / 24.0;
        assert!(mean < 2.0, "mean distance {mean}");
        let wrong = (0..23).map(|k| distance(k).sqrt()).fold(0.0, f64::max);
        assert!(wrong < 6.0, "largest distance {wrong}");
    }
}
