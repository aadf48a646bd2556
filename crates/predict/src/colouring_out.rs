//! Colouring out: which sticks to mix, in what parts, for the colour of a spot.

use colour::{
    Lab, de2000, lab_from_xyz,
    layers::{ks_from_r, r_from_ks},
    reflectance::reflectance_from_xyz,
    spectrum::{BANDS, Reflectance, xyz_from_reflectance},
    xyz_from_lab,
};
use piece::{Piece, ReadingId};
use rayon::prelude::*;

use crate::{Error, Interval, Result, draws::geometric_median, judge::judge, look::reading_draws};

/// Sticks in a mix: more turn muddy.
const MOST_STICKS: usize = 3;
/// Parts in a mix.
const MOST_PARTS: u32 = 12;
/// Mixes that are nearest to the middle of what the spot may be; of these the expected difference decides.
const NEAREST: usize = 48;

/// A stick, filler or touch-up colour as it looks by itself, laid thick.
#[derive(Clone, Debug, PartialEq)]
pub struct Stick {
    /// The user's name for it.
    pub name: String,
    /// Its colour, CIELAB D50.
    pub lab: Lab,
}

/// A mix of sticks.
#[derive(Clone, Debug, PartialEq)]
pub struct Mix {
    /// Which sticks, by their place in the list, and whole parts of each; the largest part first.
    pub parts: Vec<(usize, u32)>,
    /// In words: '3 parts amber, 1 part umber'.
    pub words: String,
    /// The colour of the mix.
    pub lab: Lab,
    /// ΔE2000 to the spot.
    pub de00: Interval,
    /// Mean of it over what the spot may be.
    pub expected_de00: f64,
}

/// The best mix of one stick, of two and of three, best first; of two that do the same the one of fewer sticks.
///
/// Colours mix by their K/S in proportion to parts, over the smoothest reflectance of each; the difference is expected
/// over what the reading of the spot leaves uncertain. Every mix of whole parts, twelve in all at most, is looked at.
///
/// # Errors
/// [`Error::NoReading`] where the piece has no such reading; [`Error::NoSticks`] for none, or one that is no colour.
///
/// # Source
/// Duncan (1940), Proc. Phys. Soc. 52:390–401 (cited from memory): K and S of a mixture add in proportion; one constant,
/// as sticks laid thick show K/S alone.
pub fn colouring_out(piece: &Piece, spot: ReadingId, sticks: &[Stick]) -> Result<Vec<Mix>> {
    let reading = piece.reading(spot).ok_or_else(|| Error::NoReading(format!("spot {spot}")))?;
    let draws = reading_draws(reading);
    let middle = geometric_median(&draws);
    let curves: Vec<Reflectance> = sticks.iter().map(curve).collect::<Result<_>>()?;
    if curves.is_empty() {
        return Err(Error::NoSticks("name at least one".to_owned()));
    }
    let mut best: Vec<Mix> = Vec::new();
    for count in 1..=MOST_STICKS.min(sticks.len()) {
        let mut near: Vec<(f64, Vec<(usize, u32)>)> = choices(sticks.len(), count)
            .into_par_iter()
            .flat_map_iter(|chosen| {
                parts(count).into_iter().map(move |parts| chosen.iter().copied().zip(parts).collect())
            })
            .map(|parts: Vec<(usize, u32)>| (de2000(mixed(&curves, &parts), middle), parts))
            .collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
        near.truncate(NEAREST);
        let expected = |(_, parts): (f64, Vec<(usize, u32)>)| {
            let lab = mixed(&curves, &parts);
            let expected_de00 = draws.iter().map(|spot| de2000(lab, *spot)).sum::<f64>() / draws.len().max(1) as f64;
            (expected_de00, parts, lab)
        };
        let of_count = near.into_iter().map(expected).min_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
        best.extend(of_count.map(|(expected_de00, parts, lab)| {
            let de00 = judge(middle, lab, &draws, &vec![lab; draws.len()], f64::INFINITY).de00;
            let mut parts = parts;
            parts.sort_by_key(|(stick, parts)| (std::cmp::Reverse(*parts), *stick));
            Mix { words: words(sticks, &parts), parts, lab, de00, expected_de00 }
        }));
    }
    // Stable: of equals the one of fewer sticks stays first.
    best.sort_by(|a, b| a.expected_de00.total_cmp(&b.expected_de00));
    Ok(best)
}

/// K/S of a stick, band by band.
fn curve(stick: &Stick) -> Result<Reflectance> {
    let not_a_colour = || Error::NoSticks(format!("{} is no colour a surface can have: measure it again", stick.name));
    let recovered = reflectance_from_xyz(xyz_from_lab(stick.lab)).map_err(|_| not_a_colour())?;
    Ok(recovered.reflectance.map(ks_from_r))
}

/// The colour of a mix.
fn mixed(curves: &[Reflectance], parts: &[(usize, u32)]) -> Lab {
    let all: f64 = parts.iter().map(|(_, parts)| f64::from(*parts)).sum();
    let mut ks = [0.0; BANDS];
    for (stick, parts) in parts {
        let share = f64::from(*parts) / all;
        ks.iter_mut().zip(&curves[*stick]).for_each(|(sum, one)| *sum += share * one);
    }
    lab_from_xyz(xyz_from_reflectance(&ks.map(r_from_ks)))
}

/// Every choice of so many sticks, by place, in order.
fn choices(sticks: usize, count: usize) -> Vec<Vec<usize>> {
    let mut chosen: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..count {
        let longer = |one: &Vec<usize>| {
            let from = one.last().map_or(0, |last| last + 1);
            let one = one.clone();
            (from..sticks).map(move |next| [one.clone(), vec![next]].concat()).collect::<Vec<_>>()
        };
        chosen = chosen.iter().flat_map(longer).collect();
    }
    chosen
}

/// Every way to share out whole parts, at least one each and twelve in all at most, without those that are a multiple of
/// another.
fn parts(count: usize) -> Vec<Vec<u32>> {
    let mut shared: Vec<Vec<u32>> = vec![Vec::new()];
    for place in 0..count {
        let to_come = (count - place - 1) as u32;
        let longer = |one: &Vec<u32>| {
            let left = MOST_PARTS - one.iter().sum::<u32>() - to_come;
            let one = one.clone();
            (1..=left).map(move |next| [one.clone(), vec![next]].concat()).collect::<Vec<_>>()
        };
        shared = shared.iter().flat_map(longer).collect();
    }
    shared.retain(|parts| parts.iter().copied().fold(0, divisor) == 1);
    shared
}

/// Greatest common divisor.
fn divisor(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { divisor(b, a % b) }
}

fn words(sticks: &[Stick], parts: &[(usize, u32)]) -> String {
    if let [(stick, _)] = parts {
        return format!("{} by itself", sticks[*stick].name);
    }
    let one = |(stick, parts): &(usize, u32)| {
        format!("{parts} {} {}", if *parts == 1 { "part" } else { "parts" }, sticks[*stick].name)
    };
    parts.iter().map(one).collect::<Vec<_>>().join(", ")
}
