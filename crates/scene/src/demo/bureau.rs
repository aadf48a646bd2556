//! A bureau with a sloping fall front over three drawers, seen a little from the right and above.

use super::stage::{Stage, Thing};
use crate::{Error, Material, Shape, Spectrum};

const WIDTH_MM: f64 = 850.0;
const DEPTH_MM: f64 = 440.0;
const HEIGHT_MM: f64 = 1000.0;
/// Height of the foot of the fall below the top, and how far its head lies back.
const FALL_MM: [f64; 2] = [400.0, 210.0];
const SIDE_MM: f64 = 26.0;
const TOP_MM: f64 = 46.0;

/// Oblique projection of a point (x right, y down, z back) onto the stage.
fn at(x: f64, y: f64, z: f64) -> [f64; 2] {
    [70.0 + x + 0.42 * z, 84.0 + y - 0.10 * z]
}

/// Builds the bureau: back to front.
pub(super) fn build(stage: &mut Stage<'_>) -> Result<(), Error> {
    let [fall_y, fall_z] = FALL_MM;
    let (w, h, d) = (WIDTH_MM, HEIGHT_MM, DEPTH_MM);
    let sides = stage.panel("sides")?;
    let dark = || Material::Flat(Spectrum::flat(0.02));
    feet(stage)?;
    // The shadow on the wall and the floor.
    let body = Thing::seen(
        dark(),
        [w, h - fall_y],
        [at(0.0, fall_y, 0.0), at(w, fall_y, 0.0), at(w, h, 0.0), at(0.0, h, 0.0)],
    );
    stage.put(body);
    // The right side: its front edge upright below, sloping with the fall above.
    let outline = vec![[0.0, fall_y], [fall_z, 0.0], [d, 0.0], [d, h], [0.0, h]];
    let corners = [at(w, 0.0, 0.0), at(w, 0.0, d), at(w, h, d), at(w, h, 0.0)];
    let side = Thing::seen(stage.wood(sides, 301, true)?, [d, h], corners).shape(Shape::Polygon(outline));
    stage.put(side.named("sides").bevel(5.0).region([0.2, 0.48, 0.9, 0.93]));
    // The top, seen from a little above.
    let corners = [at(0.0, 0.0, d), at(w, 0.0, d), at(w, 0.0, fall_z), at(0.0, 0.0, fall_z)];
    let top = Thing::seen(stage.wood(sides, 302, false)?, [w, d - fall_z], corners).region([0.1, 0.3, 0.9, 0.7]);
    stage.put(top.lit(1.06));
    fall(stage)?;
    drawers(stage)
}

/// The end-grain edge of the top, the sloping edges of the sides, the fall between them.
fn fall(stage: &mut Stage<'_>) -> Result<(), Error> {
    let [fall_y, fall_z] = FALL_MM;
    let w = WIDTH_MM;
    let on_slope = |x: f64, share: f64| at(x, fall_y * share, fall_z * (1.0 - share));
    let slope_mm = fall_y.hypot(fall_z);
    let sides = stage.panel("sides")?;
    let head = TOP_MM / fall_y;
    for (board, x0, x1) in [(303, 0.0, SIDE_MM), (304, w - SIDE_MM, w)] {
        let corners = [on_slope(x0, 0.0), on_slope(x1, 0.0), on_slope(x1, 1.0), on_slope(x0, 1.0)];
        let edge = Thing::seen(stage.wood(sides, board, true)?, [SIDE_MM, slope_mm], corners);
        stage.put(edge.bevel(4.0).region([0.25, 0.2, 0.75, 0.95]));
    }
    let edge = stage.panel("top edge")?;
    let corners = [on_slope(0.0, 0.0), on_slope(w, 0.0), on_slope(w, head), on_slope(0.0, head)];
    let edge_wood = stage.wood(edge, 305, false)?;
    stage.put(Thing::seen(edge_wood, [w, TOP_MM], corners).named("top edge").bevel(4.0).region([0.1, 0.22, 0.9, 0.78]));
    let (x0, x1) = (SIDE_MM, w - SIDE_MM);
    let gap = [on_slope(x0, head), on_slope(x1, head), on_slope(x1, 1.0), on_slope(x0, 1.0)];
    stage.put(Thing::seen(Material::Flat(Spectrum::flat(0.012)), [x1 - x0, slope_mm * (1.0 - head)], gap));
    let front = stage.panel("fall front")?;
    let (x0, x1, top, foot) = (x0 + 3.0, x1 - 3.0, head + 0.012, 0.992);
    let corners = [on_slope(x0, top), on_slope(x1, top), on_slope(x1, foot), on_slope(x0, foot)];
    let size = [x1 - x0, slope_mm * (foot - top)];
    let fall = Thing::seen(stage.wood(front, 306, false)?, size, corners).named("fall front").bevel(6.0);
    stage.put(fall.region([0.08, 0.30, 0.92, 0.90]));
    // A brass escutcheon at the head of the fall.
    let [x, y] = on_slope(w / 2.0, 0.22);
    stage.knob([x, y], 20.0, brass());
    Ok(())
}

/// Rails, three drawers with their knobs, the edges of the sides.
fn drawers(stage: &mut Stage<'_>) -> Result<(), Error> {
    let (w, h, fall_y) = (WIDTH_MM, HEIGHT_MM, FALL_MM[0]);
    let sides = stage.panel("sides")?;
    let left = at(0.0, 0.0, 0.0);
    let rect = |x: f64, y: f64, w: f64, h: f64| [left[0] + x, left[1] + y, w, h];
    let rail = 22.0;
    let pitch = (h - fall_y - rail) / 3.0;
    for (board, x) in [(310, 0.0), (311, w - SIDE_MM)] {
        let edge = Thing::new(stage.wood(sides, board, true)?, rect(x, fall_y, SIDE_MM, h - fall_y));
        stage.put(edge.bevel(4.0).region([0.25, 0.05, 0.75, 0.95]));
    }
    for i in 0..4u32 {
        let y = fall_y + pitch * f64::from(i);
        let wood = stage.wood(sides, 320 + i, false)?;
        let rail = Thing::new(wood, rect(SIDE_MM, y, w - 2.0 * SIDE_MM, rail)).bevel(3.0);
        stage.put(rail.region([0.05, 0.2, 0.95, 0.8]).lit(0.97));
    }
    for (i, name) in ["drawer one", "drawer two", "drawer three"].into_iter().enumerate() {
        let y = fall_y + rail + pitch * i as f64;
        let (dw, dh) = (w - 2.0 * SIDE_MM, pitch - rail);
        stage.put(Thing::new(Material::Flat(Spectrum::flat(0.012)), rect(SIDE_MM, y, dw, dh)));
        let panel = stage.panel(name)?;
        let wood = stage.wood(panel, 331 + 3 * i as u32, false)?;
        let front = Thing::new(wood, rect(SIDE_MM + 3.5, y + 3.5, dw - 7.0, dh - 7.0)).named(name).bevel(7.0);
        stage.put(front.region([0.30, 0.14, 0.70, 0.86]).shadow([2.0, 5.0], 5.0, 0.5));
        for share in [0.2, 0.8] {
            let [x, y, ..] = rect(SIDE_MM + share * dw, y + dh / 2.0, 0.0, 0.0);
            stage.knob([x, y], 25.0, brass());
        }
    }
    Ok(())
}

/// The plinth, and the shadow of the whole on the wall.
fn feet(stage: &mut Stage<'_>) -> Result<(), Error> {
    let (w, h, d) = (WIDTH_MM, HEIGHT_MM, DEPTH_MM);
    let sides = stage.panel("sides")?;
    let [x, y] = at(0.0, 0.0, 0.0);
    // Behind everything: a block of the whole outline that only throws the shadow.
    let block = [x + 0.30 * d, y + 10.0, w + 0.10 * d, h - 20.0];
    stage.put(Thing::new(Material::Flat(Spectrum::flat(0.02)), block).shadow([44.0, 18.0], 60.0, 0.5));
    let foot = |left: [f64; 2], right: [f64; 2]| [left, right, [right[0], right[1] + 56.0], [left[0], left[1] + 56.0]];
    let wood = stage.wood(sides, 351, false)?;
    let corners = foot(at(w + 6.0, h - 2.0, -4.0), at(w + 6.0, h - 2.0, d));
    stage.put(Thing::seen(wood, [d, 56.0], corners).bevel(6.0).region([0.1, 0.25, 0.9, 0.75]).lit(0.93));
    let wood = stage.wood(sides, 350, false)?;
    let corners = foot(at(-6.0, h - 2.0, -4.0), at(w + 6.0, h - 2.0, -4.0));
    stage.put(Thing::seen(wood, [w + 12.0, 56.0], corners).bevel(6.0).region([0.1, 0.25, 0.9, 0.75]));
    Ok(())
}

fn brass() -> Spectrum {
    Spectrum::from_knots(&[(380.0, 0.05), (480.0, 0.08), (560.0, 0.22), (620.0, 0.30), (780.0, 0.36)])
}
