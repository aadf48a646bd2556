//! A chest of six drawers, seen from the front.

use super::stage::{Stage, Thing};
use crate::{Error, Material, Spectrum};

const FRONTS: [&str; 6] = ["front one", "front two", "front three", "front four", "front five", "front six"];
/// Left, width, and where the first drawer's opening begins.
const LEFT_MM: f64 = 64.0;
const WIDTH_MM: f64 = 1000.0;
const FIRST_MM: f64 = 84.0;
const PITCH_MM: f64 = 180.0;
const RAIL_MM: f64 = 24.0;
const STILE_MM: f64 = 84.0;

/// Builds the chest: carcass, then openings and fronts with their knobs, then the top.
pub(super) fn build(stage: &mut Stage<'_>) -> Result<(), Error> {
    let carcass = stage.panel("carcass")?;
    let foot = FIRST_MM + 6.0 * PITCH_MM;
    let height = foot + 24.0 - 50.0;
    let body = Thing::new(Material::Flat(Spectrum::flat(0.025)), [LEFT_MM, 50.0, WIDTH_MM, height]);
    stage.put(body.shadow([30.0, 12.0], 46.0, 0.5));
    for (board, left) in [(101, LEFT_MM), (102, LEFT_MM + WIDTH_MM - STILE_MM)] {
        let wood = stage.wood(carcass, board, true)?;
        let stile = Thing::new(wood, [left, 50.0, STILE_MM, height]).bevel(4.0).region([0.2, 0.16, 0.8, 0.94]);
        stage.put(if board == 102 { stile.named("carcass") } else { stile });
    }
    let (inner, opening) = (LEFT_MM + STILE_MM, WIDTH_MM - 2.0 * STILE_MM);
    for i in 0..=6 {
        let y = FIRST_MM + PITCH_MM * f64::from(i) - RAIL_MM;
        let wood = stage.wood(carcass, 110 + i, false)?;
        let thick = if i == 6 { RAIL_MM + 26.0 } else { RAIL_MM };
        stage.put(Thing::new(wood, [inner, y, opening, thick]).bevel(3.0).region([0.05, 0.2, 0.95, 0.8]).lit(0.97));
    }
    for (i, name) in FRONTS.into_iter().enumerate() {
        let y = FIRST_MM + PITCH_MM * i as f64;
        let (w, h) = (opening, PITCH_MM - RAIL_MM);
        stage.put(Thing::new(Material::Flat(Spectrum::flat(0.012)), [inner, y, w, h]));
        let panel = stage.panel(name)?;
        let wood = stage.wood(panel, 21 + 7 * i as u32, false)?;
        let front = Thing::new(wood, [inner + 3.5, y + 3.5, w - 7.0, h - 7.0]);
        let front = front.named(name).bevel(7.0).region([0.30, 0.14, 0.70, 0.86]);
        stage.put(front.shadow([2.0, 5.0], 5.0, 0.5));
        let bronze = Spectrum::from_knots(&[(380.0, 0.02), (500.0, 0.025), (600.0, 0.04), (780.0, 0.06)]);
        for share in [0.2, 0.8] {
            stage.knob([inner + share * w, y + h / 2.0], 27.0, bronze);
        }
    }
    let wood = stage.wood(carcass, 103, false)?;
    let top =
        Thing::new(wood, [LEFT_MM - 22.0, 20.0, WIDTH_MM + 44.0, 43.0]).bevel(6.0).region([0.05, 0.25, 0.95, 0.75]);
    stage.put(top.shadow([2.0, 12.0], 9.0, 0.5));
    Ok(())
}
