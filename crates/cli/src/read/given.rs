//! Corners and regions as they are given on the command line.

use anyhow::{Context, Result, bail};

/// `x1,y1,…,x4,y4`.
pub(super) fn corners(text: &str) -> Result<[[f64; 2]; 4]> {
    let numbers: Vec<f64> = numbers(text).with_context(|| wrong_corners(text))?;
    let [x1, y1, x2, y2, x3, y3, x4, y4] = numbers[..] else { bail!(wrong_corners(text)) };
    Ok([[x1, y1], [x2, y2], [x3, y3], [x4, y4]])
}

fn wrong_corners(text: &str) -> String {
    format!(
        "--corners '{text}': give eight numbers, x1,y1,x2,y2,x3,y3,x4,y4, in pixels of the upright picture, none beyond a million"
    )
}

/// A region and its name.
pub(super) type Named = (String, Vec<[f64; 2]>);

/// `NAME=x,y;x,y;x,y…`.
pub(super) fn named_polygon(text: &str) -> Result<Named> {
    let wrong = || {
        format!(
            "--region '{text}': write NAME=x,y;x,y;x,y with at least three corners in pixels, none beyond a million"
        )
    };
    let (name, corners) = text.split_once('=').with_context(wrong)?;
    let is_name = !name.trim().is_empty() && !name.contains(char::is_control);
    let points = polygon(corners).filter(|_| is_name).with_context(wrong)?;
    Ok((name.trim().to_owned(), points))
}

/// `x,y;x,y;x,y…`.
pub(super) fn polygon_option(option: &str, text: &str) -> Result<Vec<[f64; 2]>> {
    let wrong =
        || format!("{option} '{text}': write x,y;x,y;x,y with at least three corners in pixels, none beyond a million");
    polygon(text).with_context(wrong)
}

fn polygon(text: &str) -> Option<Vec<[f64; 2]>> {
    let points: Option<Vec<[f64; 2]>> =
        text.split(';').map(|point| numbers(point).ok().and_then(|numbers| numbers.try_into().ok())).collect();
    points.filter(|points| points.len() >= 3)
}

/// A name that two regions have.
pub(super) fn twice(regions: &[Named]) -> Option<&str> {
    let mut names = regions.iter().map(|(name, _)| name.as_str());
    while let Some(name) = names.next() {
        if names.clone().any(|other| other == name) {
            return Some(name);
        }
    }
    None
}

/// No place in a picture has larger numbers.
const FARTHEST_PX: f64 = 1e6;

fn numbers(text: &str) -> Result<Vec<f64>> {
    let number = |cell: &str| cell.trim().parse::<f64>().ok().filter(|number| number.abs() <= FARTHEST_PX);
    text.split(',').map(|cell| number(cell).with_context(|| format!("'{cell}' is not a number"))).collect()
}
