//! What the values of each element must keep to. Edits refuse what does not; [`check`](crate::check()) reports it in a
//! piece that came from a file.

use std::collections::BTreeSet;

use crate::{
    Construction, Error, PastUse, Photo, Piece, Plan, Product, ProductId, Reading, Region, Source, State, Step,
    Surface, Tolerances, Trial, store,
};

type Checked = Result<(), Error>;

/// A number within a range, or the sentence that says otherwise.
fn within(at: &str, what: &str, value: f64, low: f64, high: f64) -> Checked {
    if value >= low && value <= high {
        Ok(())
    } else {
        Err(Error::invalid(at, format!("{what} is {value}: expected {low} to {high}")))
    }
}

/// A number above zero, up to a bound.
fn above_zero(at: &str, what: &str, value: f64, high: f64) -> Checked {
    if value > 0.0 && value <= high {
        Ok(())
    } else {
        Err(Error::invalid(at, format!("{what} is {value}: expected more than 0, up to {high}")))
    }
}

/// A name that can be shown and typed: not blank, on one line.
pub(crate) fn name(at: &str, name: &str) -> Checked {
    if name.trim().is_empty() {
        return Err(Error::invalid(at, "the name is empty: give it one"));
    }
    if name.chars().any(char::is_control) {
        return Err(Error::invalid(at, "the name has a line break or other control character: keep it on one line"));
    }
    Ok(())
}

/// Thickness and area of a part.
pub(crate) fn part(part: &crate::Part) -> Checked {
    let at = format!("part '{}'", part.name);
    name("part", &part.name)?;
    if let Some(area_m2) = part.area_m2 {
        above_zero(&at, "the area in m²", area_m2, 1000.0)?;
    }
    if let Construction::Veneer { thickness_mm, .. } = part.construction {
        above_zero(&at, "the veneer's thickness in mm", thickness_mm, 20.0)?;
    }
    Ok(())
}

/// Coverage, drying and mix of a product, which may itself not be in the piece yet.
pub(crate) fn product(piece: &Piece, product: &Product, own: Option<ProductId>) -> Checked {
    let at = format!("product '{}'", product.name);
    name("product", &product.name)?;
    if let Some(coverage) = product.coverage_m2_per_l {
        above_zero(&at, "the coverage in m² per litre", coverage, 1000.0)?;
    }
    if let Some(hours) = product.drying_hours {
        within(&at, "the drying time in hours", hours, 0.0, 10_000.0)?;
    }
    if product.mix.is_empty() {
        return Ok(());
    }
    if !(2..=4).contains(&product.mix.len()) {
        return Err(Error::invalid(at, format!("mixes {} products: expected two to four", product.mix.len())));
    }
    let mut seen = BTreeSet::new();
    for share in &product.mix {
        above_zero(&at, "a share of the mix", share.parts, 10_000.0)?;
        let Some(of) = piece.product(share.product) else {
            return Err(Error::NoSuch { kind: "product", id: share.product.to_string() });
        };
        if Some(share.product) == own || !of.mix.is_empty() {
            return Err(Error::invalid(at, format!("mixes '{}', itself a mix: name what is in the cans", of.name)));
        }
        if !seen.insert(share.product) {
            return Err(Error::invalid(at, format!("mixes '{}' twice: add up the shares", of.name)));
        }
    }
    Ok(())
}

/// Path and corners of a photo.
pub(crate) fn photo(photo: &Photo) -> Checked {
    let at = format!("photo '{}'", photo.file);
    store::photo::inside(&photo.file)?;
    let finite = photo.corners_px.iter().flatten().flatten().all(|value| value.abs() <= 1e6);
    if finite {
        Ok(())
    } else {
        Err(Error::invalid(at, "a corner of the card is not a place in a picture: place it again"))
    }
}

/// A covariance: finite, symmetric, without negative variance in any direction, and not all zero.
pub(crate) fn covariance(at: &str, covariance: &[[f64; 3]; 3]) -> Checked {
    let trace = covariance[0][0] + covariance[1][1] + covariance[2][2];
    if !covariance.iter().flatten().all(|value| value.is_finite()) || trace <= 0.0 || trace > 1e6 {
        return Err(Error::invalid(
            at,
            "the covariance has no positive, finite variances: expected squares of CIELAB units",
        ));
    }
    let slack = 1e-9 * trace;
    let symmetric = (0..3).all(|i| (0..i).all(|j| (covariance[i][j] - covariance[j][i]).abs() <= slack));
    if !symmetric {
        return Err(Error::invalid(
            at,
            "the covariance is not symmetric: expected the same value either side of the diagonal",
        ));
    }
    if smallest_pivot(covariance) < -slack {
        return Err(Error::invalid(
            at,
            "the covariance is not positive: it claims a negative variance in some direction",
        ));
    }
    Ok(())
}

/// The smallest pivot of the Cholesky decomposition with the largest diagonal first: below zero where the matrix is not
/// positive semi-definite.
fn smallest_pivot(matrix: &[[f64; 3]; 3]) -> f64 {
    let mut left = *matrix;
    let mut smallest = f64::INFINITY;
    let mut open = vec![0, 1, 2];
    while let Some(&k) = open.iter().max_by(|&&i, &&j| left[i][i].total_cmp(&left[j][j])) {
        let pivot = left[k][k];
        open.retain(|&i| i != k);
        smallest = smallest.min(pivot);
        if pivot <= 0.0 {
            // No variance is left: what still stands off the diagonal has none to come from.
            let beside = open.iter().map(|&i| left[i][k].abs().min(left[k][i].abs()));
            smallest = beside.fold(smallest, |smallest, covariance| smallest.min(-covariance));
            continue;
        }
        let row = left[k];
        for &i in &open {
            let factor = left[i][k] / pivot;
            left[i].iter_mut().zip(row).for_each(|(value, above)| *value -= factor * above);
        }
    }
    smallest
}

/// All the values of a reading.
pub(crate) fn reading(piece: &Piece, reading: &Reading) -> Checked {
    let at = format!("reading of {}", piece.surface_name(reading.of));
    surface(piece, reading.of)?;
    within(&at, "L*", reading.lab.l, -5.0, 105.0)?;
    within(&at, "a*", reading.lab.a, -200.0, 200.0)?;
    within(&at, "b*", reading.lab.b, -200.0, 200.0)?;
    covariance(&at, &reading.covariance)?;
    let mut factors = BTreeSet::new();
    for shared in &reading.shared {
        if shared.factor.trim().is_empty() || !factors.insert(shared.factor.as_str()) {
            let problem = format!("shared error '{}' is unnamed or stands twice: name each once", shared.factor);
            return Err(Error::invalid(at, problem));
        }
        for value in shared.loading.iter().flatten() {
            within(&at, "a loading on a shared error", *value, -1000.0, 1000.0)?;
        }
    }
    for value in reading.grain_sd.iter().flatten() {
        within(&at, "the spread of the grain", *value, 0.0, 1000.0)?;
    }
    for value in reading.patch_sd.iter().flatten() {
        within(&at, "the spread from place to place", *value, -1000.0, 1000.0)?;
    }
    if let State::SpiritWet { seconds, .. } = reading.state {
        within(&at, "the seconds since wetting", seconds, 0.0, 86_400.0)?;
    }
    if !reading.taken.is_empty() && !is_time(&reading.taken) {
        let problem = format!("the time '{}' is not one: expected such as 2026-03-14T09:30:00", reading.taken);
        return Err(Error::invalid(at, problem));
    }
    if let Source::Photo { photo, region: polygon, .. } = &reading.source {
        if piece.photo(*photo).is_none() {
            return Err(Error::NoSuch { kind: "photo", id: photo.to_string() });
        }
        region(&at, polygon)?;
    }
    Ok(())
}

/// A date and time, with or without an offset from UTC.
pub(crate) fn is_time(text: &str) -> bool {
    text.parse::<jiff::civil::DateTime>().is_ok() || text.parse::<jiff::Timestamp>().is_ok()
}

/// A polygon that encloses something, and so do the places left out of it.
pub(crate) fn region(at: &str, region: &Region) -> Checked {
    polygon(at, "the region", &region.points_px)?;
    region.left_out_px.iter().try_for_each(|place| polygon(at, "a place left out", place))
}

fn polygon(at: &str, what: &str, points: &[[f64; 2]]) -> Checked {
    if points.len() < 3 {
        return Err(Error::invalid(at, format!("{what} has {} corners: expected three or more", points.len())));
    }
    if !points.iter().flatten().all(|value| value.abs() <= 1e6) {
        return Err(Error::invalid(at, format!("a corner of {what} is not a place in a picture: draw it again")));
    }
    let next = points.iter().cycle().skip(1);
    let doubled_px2: f64 = points.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum();
    if doubled_px2.abs() < 1.0 {
        return Err(Error::invalid(at, format!("{what} encloses no area: draw it larger")));
    }
    Ok(())
}

/// A part or board that is there.
pub(crate) fn surface(piece: &Piece, surface: Surface) -> Checked {
    let (there, kind, id) = match surface {
        Surface::Part(id) => (piece.part(id).is_some(), "part", id.to_string()),
        Surface::Board(id) => (piece.board(id).is_some(), "board", id.to_string()),
    };
    if there { Ok(()) } else { Err(Error::NoSuch { kind, id }) }
}

/// A past use: its step, colours and covariance.
pub(crate) fn past_use(piece: &Piece, past: &PastUse) -> Checked {
    let at = format!("past use of {} in '{}'", past.source.trial, past.source.piece);
    step(piece, &at, &past.step)?;
    covariance(&at, &past.covariance)?;
    for (what, lab) in [("before", past.before), ("after", past.after)] {
        within(&at, &format!("L* {what}"), lab.l, 0.0, 110.0)?;
        within(&at, &format!("a* {what}"), lab.a, -200.0, 200.0)?;
        within(&at, &format!("b* {what}"), lab.b, -200.0, 200.0)?;
    }
    Ok(())
}

/// The product that a step needs, if any.
pub(crate) fn product_of(step: &Step) -> Option<ProductId> {
    match step {
        Step::Dye { product, .. }
        | Step::Stain { product, .. }
        | Step::Glaze { product, .. }
        | Step::Toner { product, .. } => Some(*product),
        Step::Fill { product } => *product,
        _ => None,
    }
}

/// The numbers and the product of a step.
pub(crate) fn step(piece: &Piece, at: &str, step: &Step) -> Checked {
    if let Some(product) = product_of(step)
        && piece.product(product).is_none()
    {
        return Err(Error::NoSuch { kind: "product", id: product.to_string() });
    }
    numbers(at, step)
}

/// The numbers of a step.
pub(crate) fn numbers(at: &str, step: &Step) -> Checked {
    match step {
        Step::Sand { grit } => within(at, "the grit", f64::from(*grit), 16.0, 5000.0),
        Step::Dye { grams_per_litre, coats, .. } => {
            above_zero(at, "the dye's strength in g/L", *grams_per_litre, 1000.0)?;
            within(at, "the number of coats", f64::from(*coats), 1.0, 20.0)
        }
        Step::Stain { reducer_parts, coats, wipe_minutes, .. } => {
            if let Some(minutes) = wipe_minutes {
                above_zero(at, "the minutes until the stain was wiped off", *minutes, 1440.0)?;
            }
            within(at, "the parts of reducer to one of stain", *reducer_parts, 0.0, 1000.0)?;
            within(at, "the number of coats", f64::from(*coats), 1.0, 20.0)
        }
        Step::Bleach { times, .. } => within(at, "the times of bleaching", f64::from(*times), 1.0, 10.0),
        Step::Glaze { reducer_parts, .. } => {
            within(at, "the parts of base to one of colour", *reducer_parts, 0.0, 1000.0)
        }
        Step::Toner { passes, .. } => within(at, "the passes of toner", f64::from(*passes), 1.0, 100.0),
        Step::Topcoat { topcoat, .. } => name(&format!("{at}, topcoat"), topcoat),
        Step::LeaveNatural | Step::PreWet | Step::DampDown | Step::Washcoat | Step::Fill { .. } | Step::Seal => Ok(()),
    }
}

/// Where a trial is, its steps and its readings.
pub(crate) fn trial(piece: &Piece, trial: &Trial) -> Checked {
    let at = format!("trial on {}", piece.surface_name(trial.on));
    surface(piece, trial.on)?;
    if trial.stages.is_empty() {
        return Err(Error::invalid(at, "has no step: log what was done, if only 'leave natural'"));
    }
    for stage in &trial.stages {
        step(piece, &at, &stage.step)?;
    }
    if !trial.made.is_empty() && !is_time(&trial.made) {
        let problem = format!("the time '{}' is not one: expected such as 2026-03-14T09:30:00", trial.made);
        return Err(Error::invalid(at, problem));
    }
    let mut seen = BTreeSet::new();
    for id in trial.readings() {
        let Some(reading) = piece.reading(id) else {
            return Err(Error::NoSuch { kind: "reading", id: id.to_string() });
        };
        if reading.of != trial.on {
            let problem = format!(
                "reading {id} is of {}, elsewhere: attach readings of the spot",
                piece.surface_name(reading.of)
            );
            return Err(Error::invalid(at, problem));
        }
        if !seen.insert(id) {
            return Err(Error::invalid(at, format!("reading {id} stands twice: keep it where it was taken")));
        }
    }
    Ok(())
}

/// Tolerances above zero, pairs of parts that are there, each pair once.
pub(crate) fn tolerances(piece: &Piece, tolerances: &Tolerances) -> Checked {
    let at = "tolerances";
    let usual = [
        tolerances.same_plane_de00,
        tolerances.fronts_de00,
        tolerances.other_planes_de00,
        tolerances.match_sample_de00,
    ];
    for de00 in usual.into_iter().chain(tolerances.pairs.iter().map(|pair| pair.de00)) {
        above_zero(at, "a tolerance in ΔE2000", de00, 100.0)?;
    }
    for (index, pair) in tolerances.pairs.iter().enumerate() {
        for part in [pair.a, pair.b] {
            surface(piece, Surface::Part(part))?;
        }
        let again = tolerances.pairs[..index].iter().any(|other| other.of(pair.a, pair.b));
        if pair.a == pair.b || again {
            let problem = format!("the pair {} and {} is one part, or stands twice: keep one", pair.a, pair.b);
            return Err(Error::invalid(at, problem));
        }
    }
    Ok(())
}

/// A plan for parts that are there, each once, with steps that can stand.
pub(crate) fn plan(piece: &Piece, plan: &Plan) -> Checked {
    let mut seen = BTreeSet::new();
    for (part, steps) in &plan.schedules {
        let at = format!("plan for {}", piece.surface_name(Surface::Part(*part)));
        surface(piece, Surface::Part(*part))?;
        if !seen.insert(*part) {
            return Err(Error::invalid(at, "stands twice: keep one schedule for each part"));
        }
        for one in steps {
            step(piece, &at, one)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_symmetric_positive_covariances_stand() {
        let good = [
            [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            [[0.3, 0.1, -0.05], [0.1, 0.2, 0.02], [-0.05, 0.02, 0.4]],
            // Of rank one: certain in two directions.
            [[1.0, 2.0, 3.0], [2.0, 4.0, 6.0], [3.0, 6.0, 9.0]],
            [[0.0, 0.0, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 2.0]],
        ];
        for matrix in good {
            assert_eq!(covariance("here", &matrix), Ok(()), "{matrix:?}");
        }
        let bad = [
            [[0.0; 3]; 3],
            [[1.0, 0.5, 0.0], [0.4, 1.0, 0.0], [0.0, 0.0, 1.0]],
            [[1.0, 2.0, 0.0], [2.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            [[1.0, 0.0, 0.0], [0.0, -0.1, 0.0], [0.0, 0.0, 1.0]],
            [[1.0, 0.0, 0.0], [0.0, 0.0, 0.2], [0.0, 0.2, 0.0]],
            [[f64::NAN, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            [[f64::INFINITY, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
        ];
        for matrix in bad {
            assert!(covariance("here", &matrix).is_err(), "{matrix:?}");
        }
    }

    #[test]
    fn times_are_local_or_with_an_offset() {
        for text in ["2026-03-14T09:30:00", "2026-03-14T09:30:00+01:00", "2026-03-14T09:30:00Z"] {
            assert!(is_time(text), "{text}");
        }
        for text in ["yesterday", "14.3.2026", "2026-13-01T00:00:00"] {
            assert!(!is_time(text), "{text}");
        }
    }
}
