//! The same photos read by some of the card's patches alone, greys and few colours: what its brown and yellow patches are
//! then off by. Sampled where the finder laid the whole card.

use std::io::{self, Write};

use acceptance::figures::{mean, percent, quantile};
use card::{CardReading, PatchReading};
use colour::calibration::{Fit, Prior, Sample, Working, fit, region_radius_squared};
use colour::metric::metric_root;
use colour::{Lab, de2000};
use nalgebra::Vector3;

use crate::found::named;
use crate::manifest::Chart;
use crate::photo::Photo;

/// Channels of a patch clipped to more than this share are told to the fit as clipped.
const CLIPPED_SHARE: f64 = 0.2;

/// Patches of the 24-patch chart, by row: none of them is looked at where it is used.
const SETS: [(&str, &[usize]); 8] = [
    ("a white alone", &[18]),
    ("a light grey alone", &[20]),
    ("a middle grey alone", &[21]),
    ("a white and a middle grey", &[18, 21]),
    ("a white, a middle grey, a black", &[18, 21, 23]),
    ("six greys", &[18, 19, 20, 21, 22, 23]),
    ("three greys, a blue, a green, a red", &[18, 20, 22, 2, 13, 14]),
    ("six greys, six blues, greens and reds", &[18, 19, 20, 21, 22, 23, 2, 3, 5, 7, 13, 14]),
];

/// A brown or yellow patch, read without a patch of its like.
struct Read {
    de00: f64,
    /// Squared distance of the published colour, over that of the edge of the stated 90 % region.
    distance2: f64,
    /// Along the axes of the local CIEDE2000 metric.
    off: [f64; 3],
}

pub(crate) fn print(out: &mut impl Write, photos: &[Photo]) -> io::Result<()> {
    let made = |photo: &&Photo| photo.is(Chart::Whole) && photo.listed.made() && !photo.listed.processed;
    let made: Vec<&Photo> = photos.iter().filter(made).collect();
    let Ok(prior) = Prior::parse(include_str!("../../../assets/calibration-prior.csv")) else {
        return writeln!(out, "\nno prior: nothing was read by some patches alone");
    };
    writeln!(
        out,
        "\nBrown and yellow patches (hue 40°–90° at chroma > 10) of the {} unprocessed made charts, read by other patches alone;\n\
         mean square: along the axes of the local CIEDE2000 metric. With colours among the patches the region is that of wood beside\n\
         the card, in which a patch's own difference from its published colour has no part: 5.3 is what a whole chart's patches\n\
         would have. Left out, as their card was not found right: {}",
        made.len(),
        named(&made, |photo| photo.right().is_none())
    )?;
    let head = ["photos", "no fit", "patches", "median", "p90", "held", "distance² at 90 %"];
    let [photos, failed, patches, median, p90, held, distance] = head;
    writeln!(
        out,
        "  {:<38} {photos:>6} {failed:>6} {patches:>7} {median:>6} {p90:>6} {held:>7} {distance:>17}  mean square",
        "by"
    )?;
    for (name, by) in SETS {
        let cards = made.iter().filter_map(|photo| photo.right()).map(|found| &found.card);
        let results: Vec<Option<Vec<Read>>> = cards.map(|card| read_by(card, by, &prior)).collect();
        let failed = results.iter().filter(|result| result.is_none()).count();
        let read: Vec<&Read> = results.iter().flatten().flatten().collect();
        let de00 = || read.iter().map(|read| read.de00);
        let held = read.iter().filter(|read| read.distance2 <= 1.0).count();
        let square = [0, 1, 2].map(|axis| mean(read.iter().map(|read| read.off[axis] * read.off[axis])));
        writeln!(
            out,
            "  {name:<38} {:>6} {failed:>6} {:>7} {:>6.2} {:>6.2} {:>5.1} % {:>17.2}  {square:.1?}",
            results.len(),
            read.len(),
            quantile(de00(), 0.5),
            quantile(de00(), 0.9),
            percent(held, read.len()),
            quantile(read.iter().map(|read| read.distance2), 0.9),
        )?;
    }
    Ok(())
}

/// The brown and yellow patches by a fit to the given ones; `None` where these allow none.
fn read_by(card: &CardReading, by: &[usize], prior: &Prior) -> Option<Vec<Read>> {
    let samples: Vec<Sample> = by.iter().map(|&k| sample(card, k)).collect();
    let fit = fit(&samples, &Working::srgb(), prior).ok()?;
    let looked_at = (0..card.patches.len()).filter(|k| !by.contains(k) && is_brown_or_yellow(&card.patches[*k]));
    looked_at.map(|k| read(&fit, &sample(card, k))).collect()
}

fn read(fit: &Fit, patch: &Sample) -> Option<Read> {
    let vector = |lab: Lab| Vector3::new(lab.l, lab.a, lab.b);
    let found = fit.lab_beside(patch.device, patch.place);
    let off = vector(found) - vector(patch.lab);
    let (scale, dof) = fit.covariance(found);
    let distance2 = off.dot(&(scale.try_inverse()? * off)) / region_radius_squared(0.9, dof);
    let along = metric_root(patch.lab) * off;
    Some(Read { de00: de2000(found, patch.lab), distance2, off: along.into() })
}

fn sample(card: &CardReading, k: usize) -> Sample {
    let PatchReading { device_linear_rgb, clipped_share, glare_share, lab_reference, .. } = card.patches[k];
    let (columns, rows) = (6.0, 4.0);
    let at = [(k % 6) as f64, (k / 6) as f64];
    Sample {
        device: device_linear_rgb,
        clipped: clipped_share.map(|share| share > CLIPPED_SHARE),
        lab: lab_reference,
        place: [2.0 * (at[0] + 0.5) / columns - 1.0, 2.0 * (at[1] + 0.5) / rows - 1.0],
        pitch_place: at,
        glared: glare_share > 0.12,
    }
}

fn is_brown_or_yellow(patch: &PatchReading) -> bool {
    let (_, chroma, hue) = colour::lch_from_lab(patch.lab_reference);
    chroma > 10.0 && (40.0..=90.0).contains(&hue)
}
