//! Reading a photo, stage by stage.

use std::time::Instant;

use colour::calibration::Fit;
use rayon::prelude::*;

use super::clipped;
use super::coded;
use super::doubt;
use super::find::{self, Laid};
use super::fitted::Fitted;
use super::several;
use super::split::region_reading;
use super::{PhotoReading, RegionReading, Request, Seconds};
use crate::grid::Grid;
use crate::region::{self, Polygon, Unmeasured};
use crate::warning::{self, NoCard, Warning};
use crate::{Card, Error, Photo, Result};

/// Shares of the work done when a stage begins: sampling and fit, regions.
const FITTING: f64 = 0.3;
const REGIONS: f64 = 0.8;
/// Most cards found in one photo that are fitted: each takes its time.
const MOST_FITTED: usize = 3;

/// A colour that may be off by half the scale of lightness, in L*, a* or b*, is none (own judgement).
const MOST_HALF_WIDTH: f64 = 50.0;
/// Standard errors on either side of a normal mean that hold nine in ten.
///
/// # Source
/// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1.
const NINE_IN_TEN: f64 = 1.645;

/// Reads a photo: finds the card (or takes the corners given), fits its colours and measures the regions.
///
/// `go_on` is called with the share done, 0 to 1; when it answers `false` the job stops with [`Error::Cancelled`].
///
/// # Errors
/// [`Error::Cancelled`], unusable corners, an unknown edition, a fit that fails for corners given by hand. A photo
/// without a card is no error: `card` is `None` and a warning says so; a region that cannot be measured is left out,
/// and a warning says why.
pub fn read(photo: &Photo, request: &Request, go_on: &(dyn Fn(f64) -> bool + Sync)) -> Result<PhotoReading> {
    let start = Instant::now();
    let step = |done: f64| if go_on(done) { Ok(()) } else { Err(Error::Cancelled) };
    step(0.0)?;
    let cards = find::cards(request)?;
    let mut seconds = Seconds { decode: photo.decode_seconds, ..Seconds::default() };

    let (mut laid, mut told_by_search) = match request.corners_px {
        Some(corners_px) => (find::by_hand(photo, &cards, corners_px)?, Vec::new()),
        None => find::found(photo, &cards),
    };
    evened(&mut laid, photo, request)?;
    seconds.find = start.elapsed().as_secs_f64();
    step(FITTING)?;

    let too_bright = laid.iter().find_map(|laid| {
        let clipped = laid.samples.iter().filter(|sample| sample.clipped().contains(&true)).count();
        warning::overexposed(clipped, laid.samples.len())
    });
    let fitting = Instant::now();
    let mut doubted = None;
    let mut fitted = best_fits(photo, laid, request, &mut doubted, &|| step(FITTING));
    if let Some(corners_px) = request.corners_px
        && fitted.as_ref().map_or(true, Vec::is_empty)
        && let Some(turned) = fit_turned(photo, &cards, corners_px, request, &|| step(FITTING))?
    {
        told_by_search.push(warning::corners_turned());
        fitted = Ok(vec![turned]);
    }
    let mut fitted = fitted?.into_iter();
    let (fitted, others) = (fitted.next(), fitted.collect::<Vec<_>>());
    told_by_search.extend(fitted.iter().flat_map(|used| several::told(used, &others)));
    let doubted = doubted.filter(|_| fitted.is_none());
    let is_told_why = doubted.is_some();
    told_by_search.extend(doubted);
    seconds.fit = fitting.elapsed().as_secs_f64();
    seconds.left_out = fitted.as_ref().map_or(0.0, |fitted| fitted.fit.left_out_seconds);
    step(REGIONS)?;

    let measuring = Instant::now();
    let mut warnings = warning::of_photo(photo);
    // Where it is too bright to tell, that comes first: what follows from it would mislead.
    let too_bright = || too_bright.or_else(|| warning::photo_overexposed(photo.clipped_share()));
    let too_bright = fitted.is_none().then(too_bright).flatten();
    let why = match (&too_bright, told_by_search.is_empty()) {
        (Some(_), _) => NoCard::TooBright,
        (None, false) => NoCard::Refused,
        (None, true) if warning::is_mostly_lost(photo.transparent_share()) => NoCard::Transparent,
        (None, true) => NoCard::Unseen,
    };
    let no_card = (fitted.is_none() && request.corners_px.is_none()).then_some(why);
    warnings.extend(warning::transparent(photo).filter(|_| no_card != Some(NoCard::Transparent)));
    warnings.extend(too_bright);
    warnings.extend(told_by_search);
    let card = fitted.as_ref().map(Fitted::reading);
    let mut regions = Vec::new();
    match (&fitted, &card) {
        (Some(fitted), Some(card)) => {
            warnings.extend(warning::of_card(
                photo,
                &fitted.laid.grid,
                card,
                fitted.summary.as_ref(),
                &fitted.fit,
                &fitted.within,
                &fitted.laid.samples,
            ));
            warnings.extend(request.board.as_ref().map(|board| light_evened(board.fall_off())));
            let is_shaded = warnings.iter().any(|warning| warning.code == "shade");
            let (read, told) = read_regions(photo, fitted, request, is_shaded, go_on)?;
            regions = read;
            warnings.extend(told);
        }
        _ if request.corners_px.is_some() => warnings.extend((!is_told_why).then(warning::no_card_there)),
        _ => warnings.extend(no_card.map(|why| warning::no_card(why, !request.regions.is_empty()))),
    }
    warning::gravest_first(&mut warnings);
    seconds.regions = measuring.elapsed().as_secs_f64();
    seconds.total = photo.decode_seconds + start.elapsed().as_secs_f64();
    step(1.0)?;
    Ok(PhotoReading {
        width_px: photo.width_px,
        height_px: photo.height_px,
        profile: photo.profile.clone(),
        taken: photo.taken.clone(),
        card,
        fit: fitted.and_then(|fitted| fitted.summary),
        warnings,
        regions,
        seconds,
    })
}

/// Evens the light on the patches, where there is a board's photo.
fn evened(laid: &mut [Laid], photo: &Photo, request: &Request) -> Result<()> {
    if let Some(board) = &request.board {
        board.fits(photo)?;
        for laid in laid {
            board.relative_to(laid.grid.middle()).even(&mut laid.samples);
            laid.light_evened = true;
        }
    }
    Ok(())
}

/// The card at corners that were given from another patch on, or the other way round, where one order of them plainly fits.
fn fit_turned(
    photo: &Photo,
    cards: &[Card],
    corners_px: [[f64; 2]; 4],
    request: &Request,
    go_on: &dyn Fn() -> Result<()>,
) -> Result<Option<Fitted>> {
    let mut best: Option<Fitted> = None;
    for order in find::orders(corners_px) {
        let mut laid = find::by_hand(photo, cards, order)?;
        evened(&mut laid, photo, request)?;
        // what cannot be fitted in this order may be in another
        let fitted = match best_fits(photo, laid, request, &mut None, go_on) {
            Err(Error::Cancelled) => return Err(Error::Cancelled),
            fitted => fitted.ok().and_then(|fitted| fitted.into_iter().next()).filter(Fitted::is_plain),
        };
        let nearer = |fitted: &Fitted| best.as_ref().is_none_or(|best| fitted.error_de00() < best.error_de00());
        best = fitted.filter(nearer).or(best);
    }
    Ok(best)
}

/// The cards that can be used of those laid, the one to use first; none where what lies there fits no card. By hand only that which
/// fits best. `doubted` says why one is not used that nearly can be.
fn best_fits(
    photo: &Photo,
    laid: Vec<Laid>,
    request: &Request,
    doubted: &mut Option<Warning>,
    go_on: &dyn Fn() -> Result<()>,
) -> Result<Vec<Fitted>> {
    let by_hand = request.corners_px.is_some();
    let mut usable: Vec<Fitted> = Vec::new();
    let mut failed = None;
    for laid in laid {
        go_on()?;
        match Fitted::new(photo, laid, request.edition.as_deref()) {
            Ok(fitted) => match doubt::refusal(&fitted, photo, by_hand) {
                Ok(()) => usable.push(fitted),
                Err(why) => *doubted = why.or(doubted.take()),
            },
            Err(error) => failed = Some(error),
        }
        if !by_hand && usable.len() == MOST_FITTED {
            break;
        }
    }
    if by_hand {
        usable.sort_by(|a, b| a.error_de00().total_cmp(&b.error_de00()));
        usable.truncate(1);
        return failed.filter(|_| usable.is_empty()).map_or(Ok(usable), Err);
    }
    Ok(several::in_order(usable))
}

/// The light was not even, and is now.
fn light_evened(fall_off: f64) -> Warning {
    let percent = (100.0 * fall_off).round();
    Warning::new(
        "light-evened",
        format!("The light falls off by {percent} % over the frame: the board photo has evened that."),
    )
}

/// Half the interval that holds nine in ten, on the axis where it is widest.
fn widest(reading: &RegionReading) -> f64 {
    let widest = (0..3).map(|axis| reading.covariance[axis][axis]).fold(0.0, f64::max);
    NINE_IN_TEN * widest.sqrt()
}

fn read_regions(
    photo: &Photo,
    fitted: &Fitted,
    request: &Request,
    is_shaded: bool,
    go_on: &(dyn Fn(f64) -> bool + Sync),
) -> Result<(Vec<RegionReading>, Vec<Warning>)> {
    let Laid { card, grid, .. } = &fitted.laid;
    let measured: Vec<std::result::Result<region::Measured, Unmeasured>> = request
        .regions
        .par_iter()
        .map(|(_, corners)| {
            if !go_on(REGIONS) {
                return Err(Unmeasured::Outside);
            }
            let polygon = Polygon::new(corners)?.without(&request.left_out_px)?;
            let how = region::How {
                pitch_mm: card.pitch_mm,
                leave_spots_out: request.leave_spots_out,
                board: request.board.as_ref().map(|board| board.relative_to(grid.middle())),
            };
            region::measure(photo, &polygon, grid, &fitted.fit, &how)
        })
        .collect();
    if !go_on(REGIONS) {
        return Err(Error::Cancelled);
    }
    let mut readings = Vec::new();
    let mut warnings = left_out_unused(photo, request);
    for ((name, corners), measured) in request.regions.iter().zip(measured) {
        match measured {
            Ok(measured) if measured.clipped_share > clipped::MOST => {
                warnings.push(warning::region_overexposed(name, &measured));
            }
            Ok(measured) => {
                let measured = coded::widened(clipped::widened(measured), photo.colour_steps, &fitted.fit);
                let polygon = Polygon::new(corners).and_then(|polygon| polygon.without(&request.left_out_px));
                if polygon.as_ref().is_ok_and(|polygon| polygon.reaches_beyond(photo.width_px, photo.height_px)) {
                    warnings.push(warning::region_cut_off(name));
                }
                let reading = region_reading(name, &measured, &card.id, &fitted.fit);
                let half_width = widest(&reading);
                if half_width > MOST_HALF_WIDTH {
                    warnings.push(warning::region_unknown(name, half_width));
                } else {
                    let over = polygon.ok().and_then(|polygon| region::over_card(photo, &polygon, grid));
                    warnings.extend(over.map(|over| warning::region_on_card(name, &over, &card.patch_ids)));
                    let in_shade_in_part = is_shaded && edge_may_cross(&fitted.fit, grid, corners, &measured);
                    warnings.extend(warning::of_region(name, &measured, in_shade_in_part));
                    readings.push(reading);
                }
            }
            Err(why) => warnings.push(warning::unmeasured(name, why, photo)),
        }
    }
    Ok((readings, warnings))
}

/// Places to leave out that touch no region.
fn left_out_unused(photo: &Photo, request: &Request) -> Vec<Warning> {
    let regions: Vec<Polygon> = request.regions.iter().filter_map(|(_, corners)| Polygon::new(corners).ok()).collect();
    let unused = |(k, corners): (usize, &Vec<[f64; 2]>)| {
        let place = Polygon::new(corners).ok()?;
        let touched = regions.iter().any(|region| place.touches(region, photo.width_px, photo.height_px));
        let crosses = place.check_shape() == Err(Unmeasured::CrossesItself);
        (!touched).then(|| warning::left_out_unused(k + 1, place.middle(), crosses))
    };
    request.left_out_px.iter().enumerate().filter_map(unused).collect()
}

/// How far the edge of a shadow may lie off where it would be carried on from the card, as a share of the way from the card's middle:
/// its direction on the card is known to some ten degrees. Own judgement.
const EDGE_UNSURE: f64 = 0.2;

/// Whether the edge of the shadow on the card, carried on as it runs there, may cross a region: what is not known of it beside the card
/// has one sign on either side. A shadow that shows only within patches may cross any.
fn edge_may_cross(fit: &Fit, grid: &Grid, corners: &[[f64; 2]], region: &region::Measured) -> bool {
    if fit.cast.is_none() {
        return true;
    }
    let middle = [grid.columns as f64 / 2.0, grid.rows as f64 / 2.0];
    let around = |corner: &[f64; 2]| {
        let [x, y] = grid.card_from_photo(*corner);
        let unsure = EDGE_UNSURE * (x - middle[0]).hypot(y - middle[1]);
        [[0.0, 0.0], [unsure, 0.0], [-unsure, 0.0], [0.0, unsure], [0.0, -unsure]].map(|by| [x + by[0], y + by[1]])
    };
    let side = |at: [f64; 2]| fit.unknown_of_cast(region.device_linear_rgb, grid.unit_from_card(at))[(0, 0)];
    let (least, most) = corners
        .iter()
        .flat_map(around)
        .map(side)
        .fold((0.0, 0.0), |(least, most), side| (side.min(least), side.max(most)));
    least < 0.0 && most > 0.0
}
