//! How the regions of one photo differ from one another: surer than the colour of each, as they share its errors.

use std::sync::Arc;

use card::RegionReading;
use colour::de2000;
use piece::{PartId, Photo, PhotoId, Reading, ReadingId, Region, State, Surface, Tolerances};
use predict::{Compared, compare_readings};

use crate::photos::{Made, Wanted, reading_from};

/// Most pairs that are judged: those of 25 regions.
const MOST: usize = 300;

/// How the regions of a photo differ.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Differences {
    /// The pairs, in the order of the regions; of very many those furthest apart.
    pub pairs: Vec<RegionDifference>,
    /// Pairs beyond those, all nearer to one another.
    pub left_out: usize,
}

/// Two regions: what `b` is against `a`.
#[derive(Clone, Debug, PartialEq)]
pub struct RegionDifference {
    /// The first region.
    pub a: String,
    /// The second region, described against the first.
    pub b: String,
    /// What was found.
    pub found: Compared,
}

/// Judges each pair of regions of one photo as parts of a piece are judged against each other.
///
/// Nothing is known of how they meet, nor of their states: the tolerance is that of parts touching in one plane, the strictest,
/// and the state is for whoever reads it to see to.
pub fn differences(regions: &[RegionReading]) -> Differences {
    let readings: Vec<Reading> = (1..).zip(regions).map(|(number, region)| as_reading(number, region)).collect();
    let mut pairs: Vec<(usize, usize)> =
        (0..regions.len()).flat_map(|a| (a + 1..regions.len()).map(move |b| (a, b))).collect();
    let left_out = pairs.len().saturating_sub(MOST);
    if left_out > 0 {
        let apart = |&(a, b): &(usize, usize)| de2000(regions[a].lab, regions[b].lab);
        pairs.sort_by(|one, other| apart(other).total_cmp(&apart(one)));
        pairs.truncate(MOST);
        pairs.sort_unstable();
    }
    let tolerance_de00 = Tolerances::default().same_plane_de00;
    let judged = |(a, b): (usize, usize)| {
        let named = |k: usize| (regions[k].name.as_str(), &readings[k]);
        let found = compare_readings(named(a), named(b), tolerance_de00);
        RegionDifference { a: regions[a].name.clone(), b: regions[b].name.clone(), found }
    };
    Differences { pairs: pairs.into_iter().map(judged).collect(), left_out }
}

/// A region as a reading of one photo among others of it.
fn as_reading(number: u32, region: &RegionReading) -> Reading {
    let photo = Photo {
        id: PhotoId(1),
        file: String::new(),
        light: String::new(),
        card: None,
        corners_px: None,
        note: String::new(),
    };
    let at = Region::whole(Vec::new());
    let wanted = Wanted { photo: Arc::new(photo), corners_px: None, region: None, made: Made::default(), board: None };
    let of = Surface::Part(PartId(number));
    Reading { id: ReadingId(number), ..reading_from(region, of, &wanted, &at, State::BareDry, String::new()) }
}
