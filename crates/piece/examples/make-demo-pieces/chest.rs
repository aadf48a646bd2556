//! The oak chest: one front was replaced and dyed; lightening it wins.

use ::piece::*;

use crate::studio::{Made, Studio, Wood, spirit_wet};

const NOTE: &str = "Demo. All data are invented: there is no such chest, the photos are rendered and the readings made up.\n\
A quarter-sawn oak chest, stripped. The carcass and five fronts are aged and stay as they are; front four is a replacement \
that an earlier shop dyed dark.";
const FRONTS: [&str; 6] = ["front one", "front two", "front three", "front four", "front five", "front six"];
const TOPCOAT: [&str; 2] = ["oil varnish", "satin"];
/// The fronts that are kept, under the topcoat.
const KEPT_COATED: [(usize, [f64; 3]); 5] = [
    (0, [54.5, 10.3, 31.4]),
    (1, [53.6, 10.7, 30.7]),
    (2, [54.2, 10.6, 31.5]),
    (4, [53.8, 10.4, 30.6]),
    (5, [54.1, 10.7, 30.8]),
];

fn topcoat() -> Step {
    Step::Topcoat { topcoat: TOPCOAT[0].into(), sheen: TOPCOAT[1].into() }
}

fn topcoated() -> State {
    State::Topcoated { topcoat: TOPCOAT[0].into(), sheen: TOPCOAT[1].into() }
}

/// The piece, from the truths of its photos.
pub(crate) fn piece(truth: &str) -> Made<Piece> {
    let wood = Wood { name: "oak, quarter-sawn", grain_sd: [2.4, 0.6, 1.1] };
    let mut studio = Studio::new("Oak chest", NOTE, truth, wood)?;
    let carcass = studio.part("carcass", Construction::Solid, 1.6, "aged; keep the patina")?;
    let mut fronts = Vec::new();
    for name in FRONTS {
        let note =
            if name == "front four" { "a replacement, dyed by an earlier shop" } else { "aged; keep the patina" };
        fronts.push(studio.part(name, Construction::Solid, 0.14, note)?);
    }
    for (index, front) in fronts.iter().enumerate() {
        studio.joint(carcass, *front, Meeting::Fronts)?;
        if let Some(next) = fronts.get(index + 1) {
            studio.joint(*front, *next, Meeting::Fronts)?;
        }
    }
    let four = fronts[3];
    studio.edit(Edit::Target(TargetEdit::Topcoat(Some((TOPCOAT[0].into(), TOPCOAT[1].into())))))?;
    studio.edit(Edit::Target(TargetEdit::Match(MatchSample::AllAlike)))?;
    let reason = "fronts stand a rail apart, so a little more passes than in one plane".into();
    studio.edit(Edit::Target(TargetEdit::Tolerances(Tolerances { reason, ..Tolerances::default() })))?;
    let fire = "The solvent burns: no flame, open windows, a fitted respirator when sprayed.";
    let dye = studio.product("amber alcohol dye", Kind::AlcoholDye, "meths", &[fire])?;
    let rags = "Rags heat up by themselves: dry them flat outdoors, or keep them under water.";
    let stain = studio.product("dark oak wiping stain", Kind::Pigment, "white spirit", &[rags])?;

    let wet = studio.photo("the chest, wiped with white spirit")?;
    let dry = studio.photo("the chest, bare and dry")?;
    for (photo, state) in [(&wet, spirit_wet()), (&dry, State::BareDry)] {
        studio.read(photo, "carcass", Surface::Part(carcass), state.clone(), 3)?;
        for (name, front) in FRONTS.iter().zip(&fronts) {
            let regions = if *name == "front four" { 3 } else { 1 };
            studio.read(photo, name, Surface::Part(*front), state.clone(), regions)?;
        }
    }
    // A hidden strip of each part that is kept was coated, to know what is to be matched.
    studio.instrument(Surface::Part(carcass), topcoated(), [54.0, 10.5, 31.0])?;
    for (front, lab) in KEPT_COATED {
        studio.instrument(Surface::Part(fronts[front]), topcoated(), lab)?;
    }
    step_panel(&mut studio, four, dye)?;
    other_bleaches(&mut studio, four)?;
    carcass_boards(&mut studio, carcass, stain)?;
    more_trials(&mut studio, four, carcass, dye, stain)?;
    studio.past(
        dye,
        &[
            (["Hall bench (invented)", "oak"], 4.0, [[70.6, 5.6, 21.8], [65.4, 7.3, 24.6]]),
            (["Music stand (invented)", "ash"], 8.0, [[74.0, 4.4, 20.3], [64.9, 7.4, 25.3]]),
        ],
    )?;
    Ok(studio.piece)
}

/// A step panel on the inside of front four: chlorine once and twice, then dye, each half topcoated.
fn step_panel(studio: &mut Studio, four: PartId, dye: ProductId) -> Made<()> {
    let panel = studio.board("step panel 1", four, "inside face of front four, same stripping")?;
    let dry = studio.photo("step panel 1, dry")?;
    let coated = studio.photo("step panel 1, topcoated")?;
    let read = |studio: &mut Studio, what: &str, state: State| {
        let name = format!("step panel 1: {what}");
        let dry = studio.read(&dry, &name, panel, state, 1)?;
        Ok::<_, Box<dyn std::error::Error>>((dry, studio.read(&coated, &name, panel, topcoated(), 1)?))
    };
    let chlorine = |times| Step::Bleach { kind: Bleach::Chlorine, times };
    let (before, coated) = read(studio, "untreated", State::BareDry)?;
    let stages = vec![(Step::LeaveNatural, vec![]), (topcoat(), coated)];
    studio.trial(panel, &before, stages, "untreated, to see it coated")?;
    let (once, coated) = read(studio, "chlorine once", State::BareDry)?;
    studio.trial(panel, &before, vec![(chlorine(1), once), (topcoat(), coated)], "old dye going")?;
    let (mut twice, coated) = read(studio, "chlorine twice", State::BareDry)?;
    twice.extend(studio.instrument(panel, spirit_wet(), [58.0, 7.5, 26.0])?);
    studio.trial(
        panel,
        &before,
        vec![(chlorine(2), twice.clone()), (topcoat(), coated)],
        "old dye gone, figure kept",
    )?;
    let (dyed, coated) = read(studio, "chlorine twice, amber dye", State::ColourDry)?;
    let dye = Step::Dye { product: dye, grams_per_litre: 4.0, coats: 1 };
    studio.trial(panel, &before, vec![(chlorine(2), twice), (dye, dyed), (topcoat(), coated)], "like the carcass")?;
    Ok(())
}

/// Two-part and oxalic, on two more spots of front four.
fn other_bleaches(studio: &mut Studio, four: PartId) -> Made<()> {
    let dry = studio.photo("boards 2 and 3, dry")?;
    let coated = studio.photo("boards 2 and 3, topcoated")?;
    let two_part = ("board 2", "two-part", Bleach::TwoPart, "inner end of front four", "dead: too light, too grey");
    let oxalic = ("board 3", "oxalic", Bleach::Oxalic, "lower edge of front four", "no use: there is no iron in it");
    for (name, what, kind, where_from, note) in [two_part, oxalic] {
        let board = studio.board(name, four, where_from)?;
        let before = studio.instrument(board, State::BareDry, [50.0, 8.0, 17.0])?;
        let panel = format!("{name}: {what}");
        let bleached = studio.read(&dry, &panel, board, State::BareDry, 1)?;
        let coated = studio.read(&coated, &panel, board, topcoated(), 1)?;
        let bleach = Step::Bleach { kind, times: 1 };
        studio.trial(board, &before, vec![(bleach, bleached), (topcoat(), coated)], note)?;
    }
    Ok(())
}

/// The carcass's own wood: as it looks coated, and under a dark stain.
fn carcass_boards(studio: &mut Studio, carcass: PartId, stain: ProductId) -> Made<()> {
    let photo = studio.photo("boards 4 and 5, topcoated")?;
    let untreated = studio.board("board 4", carcass, "back rail of the carcass, hidden")?;
    let before = studio.instrument(untreated, State::BareDry, [66.0, 7.0, 23.0])?;
    let coated = studio.read(&photo, "board 4: untreated", untreated, topcoated(), 1)?;
    let stages = vec![(Step::LeaveNatural, vec![]), (topcoat(), coated)];
    studio.trial(untreated, &before, stages, "as the carcass will look")?;
    let stained = studio.board("board 5", carcass, "back rail of the carcass, hidden")?;
    let before = studio.instrument(stained, State::BareDry, [66.0, 7.0, 23.0])?;
    let dry = studio.instrument(stained, State::ColourDry, [51.5, 8.4, 18.0])?;
    let coated = studio.read(&photo, "board 5: pigment 1:1", stained, topcoated(), 1)?;
    let step = Step::Stain { product: stain, reducer_parts: 1.0, coats: 1, wipe_minutes: None };
    studio.trial(
        stained,
        &before,
        vec![(step, dry), (topcoat(), coated)],
        "near front four, but the patina is buried",
    )?;
    Ok(())
}

/// Repeats and other strengths, read with the instrument.
fn more_trials(studio: &mut Studio, four: PartId, carcass: PartId, dye: ProductId, stain: ProductId) -> Made<()> {
    let bleach = |kind, times| Step::Bleach { kind, times };
    let dye = |grams_per_litre| Step::Dye { product: dye, grams_per_litre, coats: 1 };
    let stages = |bleach, bleached, dye, dyed, coated| {
        vec![(bleach, State::BareDry, bleached), (dye, State::ColourDry, dyed), (topcoat(), topcoated(), coated)]
    };
    let board = studio.board("board 6", four, "back of front four")?;
    let chlorine = bleach(Bleach::Chlorine, 2);
    let again = stages(chlorine.clone(), [67.4, 5.2, 20.9], dye(4.0), [62.5, 6.7, 23.2], [54.4, 10.0, 29.8]);
    studio.instrument_trial(board, [50.3, 7.9, 17.2], again, "the same again: like the carcass")?;
    let stronger = stages(chlorine, [67.8, 5.1, 20.7], dye(8.0), [59.2, 7.8, 24.8], [50.9, 11.2, 31.2]);
    studio.instrument_trial(board, [50.1, 8.0, 17.0], stronger, "too strong")?;
    let board = studio.board("board 7", four, "back of front four")?;
    let dead = stages(bleach(Bleach::TwoPart, 1), [78.6, 2.1, 17.3], dye(8.0), [70.2, 4.7, 23.4], [60.0, 6.9, 29.6]);
    studio.instrument_trial(board, [50.0, 8.1, 17.1], dead, "still dead: the rays are gone")?;
    let board = studio.board("board 8", carcass, "back rail of the carcass, hidden")?;
    let stain = Step::Stain { product: stain, reducer_parts: 2.0, coats: 1, wipe_minutes: None };
    let weaker = vec![(stain, State::ColourDry, [55.9, 8.0, 19.6]), (topcoat(), topcoated(), [43.3, 10.9, 26.0])];
    studio.instrument_trial(board, [66.2, 7.0, 22.9], weaker, "between the two, and muddy")
}
