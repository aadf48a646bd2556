//! How even the chosen region is, in words; and the check tile's record.

use card::{Evenness, Spot};
use piece::Region;

use crate::{Workbench, photos::Contour, words};

/// The evenness of the chosen region as it is told.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EvennessTold {
    /// `Even`, `Even but for one spot`.
    pub head: String,
    /// How much differs, beside what an even board with this grain would show.
    pub line: String,
    /// Its spots, worst first.
    pub spots: Vec<SpotTold>,
}

/// A light or dark spot.
#[derive(Clone, Debug, PartialEq)]
pub struct SpotTold {
    /// `1`: as it is marked on the photo.
    pub number: String,
    /// Whether it is lighter than the rest.
    pub lighter: bool,
    /// `darker by 4.1, top left`.
    pub what: String,
    /// `30 × 22 mm`.
    pub size: String,
    /// Its top right corner, upright photo pixels.
    pub corner_px: [f64; 2],
}

/// The record of the check tile as it is told.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TileTold {
    /// How far its readings drift, or how many are still wanted.
    pub head: String,
    /// Its last readings, newest first: when the photo was taken, where that is known, and its file; the colour.
    pub rows: Vec<(String, String)>,
}

/// Readings of the tile listed.
const ROWS: usize = 5;

impl Workbench {
    /// How even the chosen region is; none while it is not looked at, or too small to tell.
    pub fn evenness_told(&self) -> Option<EvennessTold> {
        let study = self.study()?;
        let Some(evenness) = &study.evenness else {
            let line = "Too small to tell how even it is: draw it larger.".into();
            return Some(EvennessTold { head: "Evenness not known".into(), line, spots: Vec::new() });
        };
        let spots: Vec<_> = (1..).zip(&evenness.spots).map(|(number, spot)| told(number, spot, &study.of)).collect();
        let head = words::capital(&words::evenness(evenness.throughout(), spots.len()));
        Some(EvennessTold { head, line: line(evenness, study.left_out_share), spots })
    }

    /// The lines of equal difference of the chosen region, where they are shown.
    pub fn contours(&self) -> &[Contour] {
        self.study().filter(|_| self.photos.evenness_shown).map_or(&[], |study| &study.contours)
    }

    /// Whether the spots of the chosen region are left out of its colour.
    pub fn spots_left_out(&self) -> bool {
        self.photos.region.and_then(|id| self.region_of(id)).is_some_and(|(.., made)| made.spots_left_out)
    }

    /// The record of the check tile.
    pub fn tile_told(&self) -> TileTold {
        let readings = &self.tile.readings;
        let head = words::capital(&self.tile.words());
        let row = |reading: &crate::task::TileReadingRecord| {
            let [l, a, b] = reading.lab;
            let file = reading.photo.rsplit('/').next().unwrap_or_default().to_owned();
            let taken = reading.taken.as_deref().map(words::day_and_time);
            let photo = taken.map_or_else(|| file.clone(), |taken| format!("{taken}, {file}"));
            (photo, words::lab(colour::Lab::new(l, a, b)))
        };
        TileTold { head, rows: readings.iter().rev().take(ROWS).map(row).collect() }
    }
}

fn line(evenness: &Evenness, left_out_share: f64) -> String {
    let left_out = match left_out_share * 100.0 {
        share if share < 0.05 => String::new(),
        share => format!(" {} % of it is left out of the colour.", words::number(share)),
    };
    format!(
        "Nine tenths of it lie within {} ΔE2000; an even board of this grain, within {}.{left_out}",
        words::number(evenness.spread_de00),
        words::number(evenness.even_board_de00)
    )
}

fn told(number: usize, spot: &Spot, region: &Region) -> SpotTold {
    let size = match spot.size_mm {
        Some([w, h]) => format!("{w:.0} × {h:.0} mm"),
        None => format!("{:.0} × {:.0} px", spot.size_px[0], spot.size_px[1]),
    };
    let kind = if spot.lighter { "lighter" } else { "darker" };
    SpotTold {
        number: number.to_string(),
        lighter: spot.lighter,
        what: format!("{kind} by {}, {}", words::number(spot.worst_de00), place(spot.centre_px, region)),
        size,
        corner_px: [spot.centre_px[0] + spot.size_px[0] / 2.0, spot.centre_px[1] - spot.size_px[1] / 2.0],
    }
}

/// Where in a region a point lies: `top left`, `in the middle`.
fn place(at: [f64; 2], region: &Region) -> &'static str {
    const WORDS: [[&str; 3]; 3] = [
        ["top left", "top", "top right"],
        ["left", "in the middle", "right"],
        ["bottom left", "bottom", "bottom right"],
    ];
    let third = |axis: usize| {
        let along = || region.points_px.iter().map(|point| point[axis]);
        let (low, high) = (along().fold(f64::INFINITY, f64::min), along().fold(f64::NEG_INFINITY, f64::max));
        (((at[axis] - low) / (high - low).max(f64::MIN_POSITIVE) * 3.0) as usize).min(2)
    };
    WORDS[third(1)][third(0)]
}

#[cfg(test)]
mod tests {
    use super::place;
    use crate::{Workbench, task::TileRecord};
    use piece::Region;

    /// The record says of each reading when its photo was taken, where that is noted.
    #[test]
    fn the_tile_record_tells_the_time_of_each_reading() {
        let folder = tempfile::tempdir().unwrap();
        let rest = r#""lab": [70, 1, 2], "covariance": [[1,0,0],[0,1,0],[0,0,1]], "method": "x""#;
        let noted = r#""photo": "photos/b.jpg", "taken": "2026-03-05T14:02:11+01:00""#;
        let text =
            format!(r#"{{"version": 1, "readings": [{{"photo": "photos/a.jpg", {rest}}}, {{{noted}, {rest}}}]}}"#);
        let path = folder.path().join("tile.json");
        std::fs::write(&path, text).unwrap();
        let mut bench = Workbench::in_folder(folder.path().to_path_buf());
        bench.tile = TileRecord::open(&path).unwrap();
        let photos: Vec<String> = bench.tile_told().rows.into_iter().map(|(photo, _)| photo).collect();
        assert_eq!(photos, ["2026-03-05 14:02, b.jpg", "a.jpg"]);
    }

    #[test]
    fn a_place_is_named_by_thirds_of_the_region() {
        let region = Region::whole(vec![[100.0, 50.0], [400.0, 50.0], [400.0, 110.0], [100.0, 110.0]]);
        for (at, expected) in [
            ([101.0, 51.0], "top left"),
            ([250.0, 80.0], "in the middle"),
            ([399.0, 80.0], "right"),
            ([250.0, 109.0], "bottom"),
            ([500.0, 500.0], "bottom right"),
        ] {
            assert_eq!(place(at, &region), expected, "{at:?}");
        }
    }
}
