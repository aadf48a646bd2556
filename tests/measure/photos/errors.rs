//! Errors of patches left out, over sets of photos.

use std::io::{self, Write};

use acceptance::figures::{mean, median, quantile};

use crate::found::named;
use crate::manifest::Chart;
use crate::photo::{Found, Photo};

/// Photos of whole charts whose errors are put together.
struct Set<'a> {
    name: &'static str,
    /// Found right.
    right: Vec<&'a Found>,
    /// Missed or misread.
    refused: usize,
}

pub(crate) fn print(out: &mut impl Write, photos: &[Photo]) -> io::Result<()> {
    let whole: Vec<&Photo> = photos.iter().filter(|photo| photo.is(Chart::Whole)).collect();
    let made: Vec<&Photo> =
        whole.iter().copied().filter(|photo| photo.listed.made() && !photo.listed.processed).collect();
    let card = |photo: &Photo, is: fn(&Found) -> bool| photo.right().is_some_and(is);
    writeln!(
        out,
        "\nErrors of patches left out (ΔE2000), everything fitted anew without them. A photo's error is the mean over its\n\
         patches; quantiles lie straight between neighbours (Hyndman, Fan 1996, definition 7). A made chart is none of: printed,\n\
         screen, clone, copy. Clipped: a channel of the patch's mean above 0.99; black: all channels at the last code or none.\n\
         Wood: hue 40°–90° at chroma > 10, and neutrals (chroma < 5) with L* 25–85."
    )?;
    writeln!(out, "left out of the unprocessed made charts, of {} whole charts:", whole.len())?;
    writeln!(out, "  processed: {}", named(&whole, |photo| photo.listed.processed))?;
    writeln!(
        out,
        "  not made, unprocessed: {}",
        named(&whole, |photo| !photo.listed.processed && !photo.listed.made())
    )?;
    writeln!(out, "left out of the clean ones, of {} unprocessed made charts:", made.len())?;
    writeln!(out, "  more than one patch clipped: {}", named(&made, |photo| card(photo, |card| card.clipped > 1)))?;
    let black = named(&made, |photo| card(photo, |card| card.clipped <= 1 && card.black > 0));
    writeln!(out, "  a black patch: {black}")?;
    writeln!(
        out,
        "refused (missed or misread) made charts, in every set: {}",
        named(&made, |photo| photo.right().is_none())
    )?;

    let sets = [
        Set::new("clean: made, ≤ 1 clipped, no black", &made, |card| card.clipped <= 1 && card.black == 0),
        Set::new("made, unprocessed, ≤ 1 clipped", &made, |card| card.clipped <= 1),
        Set::new("made, unprocessed", &made, |_| true),
        Set::new("every whole chart", &whole, |_| true),
    ];
    for (counting, title) in [
        (true, "with a refused chart as the worst decile (the 90th percentile of those read, of the wood likewise)"),
        (false, "over charts found right alone, as a count over `read --json` gives"),
    ] {
        writeln!(
            out,
            "{title}\n  {:<36} {:>6} {:>7} {:>7} {:>6} {:>6} {:>6} {:>13}",
            "set", "photos", "refused", "median", "wood", "mean", "p90", "held of photo"
        )?;
        for set in &sets {
            set.print(out, counting)?;
        }
    }
    Ok(())
}

impl<'a> Set<'a> {
    fn new(name: &'static str, photos: &[&'a Photo], keep: fn(&Found) -> bool) -> Self {
        let right = photos.iter().filter_map(|photo| photo.right()).filter(|card| keep(card)).collect();
        let refused = photos.iter().filter(|photo| photo.right().is_none()).count();
        Self { name, right, refused }
    }

    fn print(&self, out: &mut impl Write, refused_count: bool) -> io::Result<()> {
        let refused = if refused_count { self.refused } else { 0 };
        let with_refused = |value: fn(&Found) -> f64| {
            let mut values: Vec<f64> = self.right.iter().map(|card| value(card)).collect();
            let worst = quantile(values.iter().copied(), 0.9);
            values.extend(std::iter::repeat_n(worst, refused));
            values
        };
        let means = with_refused(Found::mean);
        writeln!(
            out,
            "  {:<36} {:>6} {:>7} {:>7.3} {:>6.3} {:>6.2} {:>6.2} {:>13.3}",
            self.name,
            self.right.len(),
            refused,
            median(means.iter().copied()),
            median(with_refused(Found::wood)),
            mean(means.iter().copied()),
            quantile(means.iter().copied(), 0.9),
            mean(self.right.iter().map(|card| card.held()))
        )
    }
}
