//! Parts, products and photos.

use std::collections::BTreeSet;

use super::{Checked, above_zero, name, within};
use crate::{Construction, Error, Photo, Piece, Product, ProductId, store};

/// Thickness, area and grit of a part.
pub(crate) fn part(part: &crate::Part) -> Checked {
    let at = format!("part '{}'", part.name);
    name("part", &part.name)?;
    if let Some(area_m2) = part.area_m2 {
        above_zero(&at, "the area in m²", area_m2, 1000.0)?;
    }
    if let Some(grit) = part.sanded_to {
        super::grit(&at, grit)?;
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
