//! How even a region is, as `read --json` tells it.

use serde::Serialize;

use crate::words;

/// How even a region is at the scale of the bench, the grain filtered out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EvennessRecord {
    /// Cut-off of the low-pass; null where the card's size is not known.
    pub cut_off_mm: Option<f64>,
    /// The same in photo pixels: without the card's size a twelfth of the region's longer side.
    pub cut_off_px: f64,
    /// ΔE2000 to the region's median that counts as uneven.
    pub tolerance_de00: f64,
    /// Share of the area over it.
    pub over_tolerance_share: f64,
    /// Nine tenths of the area differ by less than this.
    pub spread_de00: f64,
    /// The same of an even board with this grain, at most.
    pub even_board_de00: f64,
    /// One standard deviation from place to place beyond the grain, L*, a*, b* towards light.
    pub patch_sd: [f64; 3],
    /// From here on a place is a spot.
    pub spot_from_de00: f64,
    /// Whether it is less even than tolerance and grain allow.
    pub uneven: bool,
    /// Light and dark spots, worst first.
    pub spots: Vec<SpotRecord>,
}

/// A place lighter or darker than the rest.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpotRecord {
    /// `lighter` or `darker`.
    pub kind: &'static str,
    /// ΔE2000 to the region's median at its worst place.
    pub worst_de00: f64,
    /// Its middle.
    pub centre_px: [f64; 2],
    /// Its middle from the top left corner of the region's bounding box, right and down.
    pub from_corner_px: [f64; 2],
    /// The same in millimetres; null where the card's size is not known.
    pub from_corner_mm: Option<[f64; 2]>,
    /// Width and height.
    pub size_px: [f64; 2],
    /// The same in millimetres; null where the card's size is not known.
    pub size_mm: Option<[f64; 2]>,
    /// Its share of the region's area.
    pub share: f64,
}

impl EvennessRecord {
    pub(super) fn new(evenness: &card::Evenness) -> Self {
        Self {
            cut_off_mm: evenness.cut_off_mm,
            cut_off_px: evenness.cut_off_px,
            tolerance_de00: evenness.tolerance_de00,
            over_tolerance_share: evenness.over_tolerance_share,
            spread_de00: evenness.spread_de00,
            even_board_de00: evenness.even_board_de00,
            patch_sd: evenness.patch_sd,
            spot_from_de00: evenness.spot_from_de00,
            uneven: evenness.is_uneven(),
            spots: evenness.spots.iter().map(SpotRecord::new).collect(),
        }
    }

    /// In one line: how much differs, what an even board with this grain would show, and the worst spot.
    pub fn words(&self) -> String {
        let percent = 100.0 * self.over_tolerance_share;
        let over = if percent > 0.0 && percent < 1.0 { "under 1".to_owned() } else { format!("{percent:.0}") };
        let spot = self.spots.first().map_or_else(String::new, |spot| format!("; worst {}", spot.words()));
        format!(
            "{}: {over} % of the area is over ΔE2000 {:.1}, nine tenths within {:.1} (an even board with this grain: {:.1}){spot}",
            words::evenness(
                card::Throughout::of(self.spread_de00, self.even_board_de00, self.tolerance_de00),
                self.spots.len()
            ),
            self.tolerance_de00,
            self.spread_de00,
            self.even_board_de00
        )
    }
}

impl SpotRecord {
    fn new(spot: &card::Spot) -> Self {
        Self {
            kind: if spot.lighter { "lighter" } else { "darker" },
            worst_de00: spot.worst_de00,
            centre_px: spot.centre_px,
            from_corner_px: spot.from_corner_px,
            from_corner_mm: spot.from_corner_mm,
            size_px: spot.size_px,
            size_mm: spot.size_mm,
            share: spot.share,
        }
    }

    /// `darker by 4.1, 30 × 22 mm, 62 mm right and 20 mm down from its top left corner`.
    pub fn words(&self) -> String {
        let (unit, [w, h], [x, y]) = match (self.size_mm, self.from_corner_mm) {
            (Some(size), Some(at)) => ("mm", size, at),
            _ => ("px", self.size_px, self.from_corner_px),
        };
        format!(
            "{} by {:.1}, {w:.0} × {h:.0} {unit}, {x:.0} {unit} right and {y:.0} {unit} down from its top left corner",
            self.kind, self.worst_de00
        )
    }
}
