//! The cherry bureau: the fall front is old veneer that nothing may be done to; darkening the rest wins.

use ::piece::*;

use crate::studio::{Made, Studio, Wood, spirit_wet};

const NOTE: &str = "Demo. All data are invented: there is no such bureau, the photos are rendered and the readings made up.\n\
A cherry bureau with a fall front, stripped. The fall is aged veneer on hide glue: no sanding, no water, no bleach. The \
solid sides and drawers were sanded too far and came out pale.";
const DRAWERS: [&str; 3] = ["drawer one", "drawer two", "drawer three"];
const TOPCOAT: [&str; 2] = ["shellac", "satin"];

fn topcoat() -> Step {
    Step::Topcoat { topcoat: TOPCOAT[0].into(), sheen: TOPCOAT[1].into() }
}

fn topcoated() -> State {
    State::Topcoated { topcoat: TOPCOAT[0].into(), sheen: TOPCOAT[1].into() }
}

/// The piece, from the truths of its photos.
pub(crate) fn piece(truth: &str) -> Made<Piece> {
    let wood = Wood { name: "cherry", grain_sd: [1.6, 0.8, 1.0] };
    let mut studio = Studio::new("Cherry bureau", NOTE, truth, wood)?;
    let veneer = Construction::Veneer { thickness_mm: 0.6, glue: Glue::Hide };
    let fall = studio.part("fall front", veneer, 0.45, "aged veneer; leave it as it is")?;
    let sides = studio.part("sides", Construction::Solid, 1.1, "sanded too far")?;
    let mut drawers = Vec::new();
    for name in DRAWERS {
        drawers.push(studio.part(name, Construction::Solid, 0.17, "sanded too far")?);
    }
    let edge = studio.part("top edge", Construction::EndGrain, 0.04, "end grain: washcoat first")?;
    studio.joint(fall, drawers[0], Meeting::Fronts)?;
    studio.joint(drawers[0], drawers[1], Meeting::Fronts)?;
    studio.joint(drawers[1], drawers[2], Meeting::Fronts)?;
    for part in [fall, drawers[0], drawers[1], drawers[2]] {
        studio.joint(sides, part, Meeting::OtherPlanes)?;
    }
    studio.joint(edge, fall, Meeting::OtherPlanes)?;
    studio.joint(edge, sides, Meeting::OtherPlanes)?;
    studio.edit(Edit::Target(TargetEdit::Topcoat(Some((TOPCOAT[0].into(), TOPCOAT[1].into())))))?;
    studio.edit(Edit::Target(TargetEdit::Match(MatchSample::Part(fall))))?;
    let reason = "the fall stands open most of the time, so its colour leads".into();
    studio.edit(Edit::Target(TargetEdit::Tolerances(Tolerances { reason, ..Tolerances::default() })))?;
    let rags = "Rags heat up by themselves: dry them flat outdoors, or keep them under water.";
    let stain = studio.product("brown wiping stain", Kind::Pigment, "white spirit", &[rags])?;
    let fire = "The solvent burns: no flame, open windows, a fitted respirator when sprayed.";
    let dye = studio.product("red-brown alcohol dye", Kind::AlcoholDye, "meths", &[fire])?;
    let toner = studio.product("red-brown toner", Kind::Toner, "meths", &[fire])?;

    let wet = studio.photo("the bureau, wiped with white spirit")?;
    let dry = studio.photo("the bureau, bare and dry")?;
    for (photo, state) in [(&wet, spirit_wet()), (&dry, State::BareDry)] {
        studio.read(photo, "fall front", Surface::Part(fall), state.clone(), 3)?;
        studio.read(photo, "sides", Surface::Part(sides), state.clone(), 3)?;
        for (name, drawer) in DRAWERS.iter().zip(&drawers) {
            studio.read(photo, name, Surface::Part(*drawer), state.clone(), 1)?;
        }
        studio.read(photo, "top edge", Surface::Part(edge), state.clone(), 1)?;
    }
    // A hidden strip of the fall was coated, to know what is to be matched.
    studio.instrument(Surface::Part(fall), topcoated(), [40.0, 18.5, 28.0])?;
    boards(&mut studio, sides, fall, stain, dye)?;
    toner_strip(&mut studio, sides, dye, toner)?;
    untreated(&mut studio, sides, fall)?;
    end_grain(&mut studio, edge, dye)?;
    more_trials(&mut studio, sides, stain, dye, toner)?;
    studio.past(
        dye,
        &[
            (["Corner shelf (invented)", "cherry"], 8.0, [[64.8, 9.6, 22.6], [53.9, 14.3, 22.5]]),
            (["Reading desk (invented)", "alder"], 4.0, [[69.4, 8.0, 21.2], [62.9, 11.0, 21.6]]),
        ],
    )?;
    Ok(studio.piece)
}

/// Wiping stain and dye on offcuts of the sides, and two-part on an offcut of old veneer: dry, sealed, topcoated.
fn boards(studio: &mut Studio, sides: PartId, fall: PartId, stain: ProductId, dye: ProductId) -> Made<()> {
    let photos = [studio.photo("boards, dry")?, studio.photo("boards, sealed")?, studio.photo("boards, topcoated")?];
    let pale = [66.0, 9.0, 22.0];
    let offcut = "offcut of a side, sanded as it was";
    let two_part = Step::Bleach { kind: Bleach::TwoPart, times: 1 };
    let trials = [
        (
            "board 1",
            "board 1: wiping stain 1:1",
            sides,
            offcut,
            pale,
            Step::Stain { product: stain, reducer_parts: 1.0, coats: 1, wipe_minutes: None },
            "patchy",
        ),
        (
            "board 2",
            "board 2: alcohol dye 8 g/L",
            sides,
            offcut,
            pale,
            Step::Dye { product: dye, grams_per_litre: 8.0, coats: 1 },
            "even, sprayed",
        ),
        (
            "veneer offcut",
            "offcut: two-part",
            fall,
            "offcut of old veneer on hide glue",
            [50.0, 15.0, 26.0],
            two_part,
            "far too light, and the veneer lifted",
        ),
    ];
    for (name, panel, stands_for, where_from, bare, step, note) in trials {
        let board = studio.board(name, stands_for, where_from)?;
        let before = studio.instrument(board, State::BareDry, bare)?;
        let state = if matches!(step, Step::Bleach { .. }) { State::BareDry } else { State::ColourDry };
        let dry = studio.read(&photos[0], panel, board, state, 1)?;
        let sealed = studio.read(&photos[1], panel, board, State::Sealed, 1)?;
        let coated = studio.read(&photos[2], panel, board, topcoated(), 1)?;
        studio.trial(board, &before, vec![(step, dry), (Step::Seal, sealed), (topcoat(), coated)], note)?;
    }
    Ok(())
}

/// Dye, sealer, then toner in none to three passes, stopped on a strip each.
fn toner_strip(studio: &mut Studio, sides: PartId, dye: ProductId, toner: ProductId) -> Made<()> {
    let photo = studio.photo("toner strip, topcoated")?;
    let strip = studio.board("toner strip", sides, "offcut of a side, dyed and sealed, toner in steps")?;
    let before = studio.instrument(strip, State::BareDry, [66.0, 9.0, 22.0])?;
    let dyed = Step::Dye { product: dye, grams_per_litre: 8.0, coats: 1 };
    for (passes, what) in ["none", "one pass", "two passes", "three passes"].into_iter().enumerate() {
        let coated = studio.read(&photo, &format!("toner strip: {what}"), strip, topcoated(), 1)?;
        let mut stages = vec![(dyed.clone(), vec![]), (Step::Seal, vec![])];
        if passes > 0 {
            stages.push((Step::Toner { product: toner, passes: passes as u32 }, vec![]));
        }
        stages.push((topcoat(), coated));
        studio.trial(strip, &before, stages, if passes == 2 { "like the fall" } else { "" })?;
    }
    Ok(())
}

/// Both woods as they look coated with nothing done to them.
fn untreated(studio: &mut Studio, sides: PartId, fall: PartId) -> Made<()> {
    let photo = studio.photo("both woods untreated, topcoated")?;
    let pale = ("board 3", "board 3: untreated", sides, "offcut of a side", [66.0, 9.0, 22.0]);
    let aged = ("old veneer", "old veneer: untreated", fall, "edge of the fall, behind the lock", [50.0, 15.0, 26.0]);
    for (name, panel, stands_for, where_from, bare) in [pale, aged] {
        let board = studio.board(name, stands_for, where_from)?;
        let before = studio.instrument(board, State::BareDry, bare)?;
        let coated = studio.read(&photo, panel, board, topcoated(), 1)?;
        studio.trial(
            board,
            &before,
            vec![(Step::LeaveNatural, vec![]), (topcoat(), coated)],
            "untreated, to see it coated",
        )?;
    }
    Ok(())
}

/// Dye on end grain: too dark as it is; half the strength over a washcoat comes near.
fn end_grain(studio: &mut Studio, edge: PartId, dye: ProductId) -> Made<()> {
    let board = studio.board("end-grain offcut", edge, "sawn from the waste of the top")?;
    let before = studio.instrument(board, State::BareDry, [58.0, 9.5, 21.0])?;
    let dye = |grams_per_litre| Step::Dye { product: dye, grams_per_litre, coats: 1 };
    let dry = studio.instrument(board, State::ColourDry, [42.5, 15.0, 19.5])?;
    let coated = studio.instrument(board, topcoated(), [32.5, 17.0, 22.5])?;
    studio.trial(board, &before, vec![(dye(8.0), dry), (topcoat(), coated)], "drinks the dye: far too dark")?;
    let washed = studio.instrument(board, State::ColourDry, [52.5, 12.4, 21.4])?;
    let coated = studio.instrument(board, topcoated(), [41.4, 16.2, 27.0])?;
    let stages = vec![(Step::Washcoat, vec![]), (dye(4.0), washed), (topcoat(), coated)];
    studio.trial(board, &before, stages, "washcoat first: near")?;
    Ok(())
}

/// Repeats and other strengths on offcuts of the sides, read with the instrument.
fn more_trials(studio: &mut Studio, sides: PartId, stain: ProductId, dye: ProductId, toner: ProductId) -> Made<()> {
    let dye = |grams_per_litre| Step::Dye { product: dye, grams_per_litre, coats: 1 };
    let coated = |step, dry, sealed, coated| {
        vec![(step, State::ColourDry, dry), (Step::Seal, State::Sealed, sealed), (topcoat(), topcoated(), coated)]
    };
    let board = studio.board("board 4", sides, "offcut of a side, sanded as it was")?;
    let weaker = coated(dye(4.0), [60.0, 11.8, 22.2], [49.2, 15.6, 29.6], [48.6, 15.8, 29.8]);
    studio.instrument_trial(board, [66.1, 9.0, 22.1], weaker, "even, too light")?;
    let mut toned = coated(dye(8.0), [54.8, 14.0, 22.1], [43.9, 17.2, 28.7], [41.0, 18.1, 28.4]);
    toned.insert(2, (Step::Toner { product: toner, passes: 2 }, State::Sealed, [41.6, 17.7, 28.3]));
    studio.instrument_trial(board, [65.9, 9.1, 22.0], toned, "the same again: like the fall")?;
    let board = studio.board("board 5", sides, "offcut of a side, sanded as it was")?;
    let stain = Step::Stain { product: stain, reducer_parts: 2.0, coats: 1, wipe_minutes: None };
    let weaker = coated(stain, [57.2, 11.1, 19.2], [45.6, 15.2, 25.0], [45.1, 15.3, 25.2]);
    studio.instrument_trial(board, [66.0, 9.0, 22.0], weaker, "patchy, and too green")
}
