//! Published directions of bleach and varnish, and common practice of the trade.

use ::piece::*;
use colour::Lab;
use predict::{
    EvidenceKind, Row, WayBack,
    draws::{COUNT, geometric_median},
    evidence::{Application, Unlike},
    published::bleach,
    trade,
};

use crate::bench::{Bench, cherry_bureau, oak_chest};

const WOODS: [(&str, [f64; 3]); 5] = [
    ("oak", [66.0, 7.0, 23.0]),
    ("cherry", [62.0, 11.0, 24.0]),
    ("walnut", [47.0, 8.0, 16.0]),
    ("pine", [80.0, 6.0, 26.0]),
    ("maple", [78.0, 5.0, 20.0]),
];

/// Two parts of one wood, read dry; no trials.
fn untried(wood: &str, lab: [f64; 3]) -> Piece {
    let mut bench = Bench::new();
    let (a, b) =
        (bench.part("door", wood, Construction::Solid, 0.4), bench.part("rail", wood, Construction::Solid, 0.1));
    bench.read(Surface::Part(a), State::BareDry, lab, "dry");
    bench.read(Surface::Part(b), State::BareDry, [lab[0] - 6.0, lab[1], lab[2]], "dry");
    bench.meet(a, b, Meeting::Fronts);
    bench.piece
}

fn rows(piece: &Piece) -> Vec<Row> {
    predict::rank(piece, PartId(1), &|_| true).unwrap().rows
}

fn find<'a>(rows: &'a [Row], id: &str) -> &'a Row {
    rows.iter().find(|row| row.id == id).unwrap_or_else(|| panic!("no row {id}"))
}

/// data/wood/directions_and_rankings.csv: 'clear varnishes (3 solvent types, 2 coats): L down, a up on all 9 species',
/// Ayata et al., Drewno (2024), 194848.
#[test]
fn clear_varnish_darkens_and_reddens() {
    assert!(include_str!("../data/wood/directions_and_rankings.csv").contains("L down, a up on all 9 species"));
    for (wood, [l, a, b]) in WOODS {
        let piece = untried(wood, [l, a, b]);
        let varnished = find(&rows(&piece), "leave-natural").predicted.mean;
        assert!(varnished.l < l - 3.0 && varnished.a > a, "{wood}: {varnished:?}");
        assert!(colour::de2000(varnished, Lab::new(l, a, b)) < 15.0, "{wood}: {varnished:?}");
    }
}

/// The same table: 'two-part H2O2+NaOH bleach: L up; a down; b down' on ovangkol and olon. Bare wood, as there.
#[test]
fn two_part_bleach_lightens_and_takes_out_red_and_yellow() {
    assert!(include_str!("../data/wood/directions_and_rankings.csv").contains("L up; a down; b down"));
    for (wood, lab) in WOODS {
        let (before, after) = (lab, bare(Bleach::TwoPart, lab));
        assert!(after.l > before[0] && after.a < before[1] && after.b < before[2], "{wood}: {after:?}");
    }
}

/// Common practice, no source: caustic soda alone darkens, both parts together lighten.
#[test]
fn caustic_alone_darkens() {
    for (wood, lab) in WOODS {
        assert!(bare(Bleach::CausticAlone, lab).l < lab[0] - 2.0, "{wood}");
        assert!(bare(Bleach::TwoPart, lab).l > lab[0] + 2.0, "{wood}");
    }
}

fn bare(kind: Bleach, [l, a, b]: [f64; 3]) -> Lab {
    let application =
        Application { strength: 1.0, conditions: &[], used: None, mix: None, wood: None, unlike: Unlike::NONE };
    geometric_median(&bleach(kind).unwrap().draws(&vec![Lab::new(l, a, b); COUNT], &application))
}

/// Published figures are marked, and stand below whatever was tried.
#[test]
fn published_figures_are_marked_and_never_outrank_trials() {
    let rows_untried = rows(&untried("oak", [66.0, 7.0, 23.0]));
    let two_part = find(&rows_untried, "two-part-1");
    assert_eq!(two_part.evidence.kind, EvidenceKind::PublishedOnly);
    assert!(two_part.evidence.notes.iter().any(|note| note.contains("published figures only")));
    assert!(two_part.evidence.trials.is_empty());
    let mut bureau = cherry_bureau().piece;
    // Without its own trial of two-part bleach.
    bureau.trials.retain(|trial| !trial.steps().any(|step| matches!(step, Step::Bleach { .. })));
    let ranking = predict::rank(&bureau, PartId(2), &|_| true).unwrap();
    let first = ranking.rows.iter().position(|row| row.evidence.kind == EvidenceKind::PublishedOnly).unwrap();
    assert!(first > 0);
    assert!(ranking.rows[first..].iter().all(|row| row.evidence.kind == EvidenceKind::PublishedOnly));
}

/// Common practice, no source.
#[test]
fn pre_wet_stain_takes_less() {
    let mut bench = Bench::new();
    let part = bench.part("door", "maple", Construction::Solid, 0.4);
    let other = bench.part("rail", "maple", Construction::Solid, 0.1);
    for id in [part, other] {
        bench.read(Surface::Part(id), State::BareDry, [78.0, 5.0, 20.0], "dry");
    }
    let stain = bench.product("brown stain", Kind::Pigment, "white spirit");
    let on = Surface::Board(bench.board("offcut", part));
    let before = vec![bench.read(on, State::BareDry, [78.0, 5.0, 20.0], "p")];
    let after = vec![bench.read(on, State::ColourDry, [66.0, 9.0, 24.0], "p")];
    let step = Step::Stain { product: stain, reducer_parts: 0.0, coats: 1, wipe_minutes: None };
    bench.trial(on, before, vec![(Step::PreWet, vec![]), (step, after)]);
    let rows = rows(&bench.piece);
    let (wet, dry) = (find(&rows, "pre-wet+stain-c1-0x1"), find(&rows, "stain-c1-0x1"));
    assert!(wet.predicted.mean.l > dry.predicted.mean.l + 1.0, "{:?} {:?}", wet.predicted.mean, dry.predicted.mean);
}

/// A stain that was tried with a stated wipe time is offered with it, in words and by an id of its own; wiped off later it
/// takes a little more (common practice, no source).
#[test]
fn a_stain_is_offered_as_it_was_wiped_off() {
    let rows_with = |wiped: [Option<f64>; 2]| {
        let mut bench = Bench::new();
        let part = bench.part("door", "maple", Construction::Solid, 0.4);
        let other = bench.part("rail", "maple", Construction::Solid, 0.1);
        for id in [part, other] {
            bench.read(Surface::Part(id), State::BareDry, [78.0, 5.0, 20.0], "dry");
        }
        let stain = bench.product("brown stain", Kind::Gel, "neutral base");
        for (wipe_minutes, after) in wiped.into_iter().zip([[66.0, 9.0, 24.0], [65.0, 9.3, 24.2]]) {
            let on = Surface::Board(bench.board(&format!("offcut {wipe_minutes:?}"), part));
            let before = vec![bench.read(on, State::BareDry, [78.0, 5.0, 20.0], "p")];
            let after = vec![bench.read(on, State::ColourDry, after, "p")];
            let step = Step::Stain { product: stain, reducer_parts: 0.0, coats: 1, wipe_minutes };
            bench.trial(on, before, vec![(step, after)]);
        }
        rows(&bench.piece)
    };
    let unsaid = rows_with([None, None]);
    assert_eq!(find(&unsaid, "stain-c1-0x1").words, "brown stain neat");
    let said = rows_with([Some(2.0), Some(15.0)]);
    let (early, late) = (find(&said, "stain-c1-0x1w2"), find(&said, "stain-c1-0x1w15"));
    assert_eq!(early.words, "brown stain neat, wiped off after 2 min");
    assert!(early.predicted.mean.l > late.predicted.mean.l, "{:?} {:?}", early.predicted.mean, late.predicted.mean);
    // At other strengths it is wiped off as it was first.
    assert_eq!(find(&said, "stain-c1-1x1w2").words, "brown stain reduced 1:1, wiped off after 2 min");
    assert!(said.iter().all(|row| row.id != "stain-c1-1x1"));
}

/// Common practice, no source: end grain takes more and goes darker, so it is washcoated first.
#[test]
fn end_grain_goes_darker_and_is_washcoated() {
    let mut bureau = cherry_bureau();
    let edge = PartId(4);
    let mut part = (**bureau.piece.part(bureau.sides).unwrap()).clone();
    (part.id, part.name, part.construction) = (edge, "top edge".into(), Construction::EndGrain);
    bureau.piece.parts.push(part.into());
    let mut reading =
        (**bureau.piece.readings.iter().find(|one| one.of == Surface::Part(bureau.sides)).unwrap()).clone();
    (reading.id, reading.of) = (ReadingId(900), Surface::Part(edge));
    bureau.piece.readings.push(reading.into());
    let rows = predict::rank(&bureau.piece, edge, &|_| true).unwrap().rows;
    let stained: Vec<&Row> = rows.iter().filter(|row| row.id.contains("stain-") || row.id.contains("dye-")).collect();
    assert!(!stained.is_empty() && stained.iter().all(|row| row.steps.contains(&Step::Washcoat)));
}

#[test]
fn what_may_not_be_done_is_barred_with_its_reason() {
    let bureau = cherry_bureau();
    let (piece, fall) = (&bureau.piece, bureau.piece.part(bureau.fall).unwrap());
    let sides = bureau.piece.part(bureau.sides).unwrap();
    let two_part = Step::Bleach { kind: Bleach::TwoPart, times: 1 };
    let oxalic = Step::Bleach { kind: Bleach::Oxalic, times: 1 };
    let chlorine = Step::Bleach { kind: Bleach::Chlorine, times: 1 };
    let caustic = Step::Bleach { kind: Bleach::CausticAlone, times: 1 };
    let stain = Step::Stain { product: ProductId(1), reducer_parts: 1.0, coats: 1, wipe_minutes: None };
    let toner = Step::Toner { product: ProductId(3), passes: 1 };
    let objects = |part: &Part, steps: &[Step], why: &str| {
        let objection = trade::objection(piece, part, steps).unwrap_or_else(|| panic!("nothing against {steps:?}"));
        assert!(objection.contains(why), "{objection}");
    };
    objects(fall, &[Step::Sand { grit: 180 }], "too thin");
    objects(fall, std::slice::from_ref(&two_part), "lifts veneer");
    objects(fall, std::slice::from_ref(&oxalic), "hide glue");
    objects(fall, &[Step::DampDown], "hide glue");
    objects(sides, &[Step::Seal, stain.clone()], "bare or washcoated");
    objects(sides, std::slice::from_ref(&toner), "over a sealer");
    objects(sides, &[stain.clone(), chlorine.clone()], "pigment");
    objects(sides, &[chlorine.clone(), oxalic.clone()], "chlorine gas");
    objects(sides, &[oxalic, chlorine.clone()], "chlorine gas");
    // Two-part bleach is neutralised with vinegar.
    objects(sides, &[chlorine.clone(), two_part.clone()], "chlorine gas");
    objects(sides, &[two_part.clone(), chlorine.clone()], "chlorine gas");
    // What hurts is said before what only fails.
    objects(sides, &[two_part.clone(), stain.clone(), chlorine.clone()], "chlorine gas");
    objects(fall, &[two_part.clone(), chlorine], "chlorine gas");
    objects(sides, &[two_part.clone(), Step::Sand { grit: 180 }], "no sanding after bleach");
    objects(sides, &[caustic], "darkens");
    assert_eq!(trade::objection(piece, sides, &[two_part, stain, Step::Seal, toner]), None);
    let ranking = predict::rank(piece, bureau.fall, &|_| true).unwrap();
    assert!(ranking.barred.iter().any(|one| one.what == "two-part bleach" && one.why.contains("veneer")));
    assert!(ranking.rows.iter().all(|row| !row.id.contains("two-part")));
}

/// Water lifts hide glue by whatever name it stands on the can, alone or in a mix; over a sealer it does not reach it (common
/// practice, no source).
#[test]
fn no_water_is_put_on_hide_glue_by_any_name() {
    let bureau = cherry_bureau();
    let part = |glue| {
        let construction = Construction::Veneer { thickness_mm: 0.6, glue };
        Part { construction, ..Part::new(PartId(1), "fall", "cherry") }
    };
    for (reducer, lifts) in [
        ("water", true),
        ("Distilled water", true),
        ("warm water", true),
        ("water with a little meths", true),
        ("white spirit", false),
    ] {
        let mut piece = bureau.piece.clone();
        let own = Product { reducer: reducer.into(), ..Product::new(ProductId(20), "stain", Kind::Pigment) };
        let mixed = Product {
            mix: vec![Share { product: ProductId(20), parts: 1.0 }, Share { product: ProductId(1), parts: 1.0 }],
            ..Product::new(ProductId(21), "mix", Kind::Pigment)
        };
        piece.products.extend([own.into(), mixed.into()]);
        for product in [ProductId(20), ProductId(21)] {
            let stain = Step::Stain { product, reducer_parts: 1.0, coats: 1, wipe_minutes: None };
            let fill = Step::Fill { product: Some(product) };
            for step in [stain, fill] {
                let lifted = |glue| {
                    let objection = trade::objection(&piece, &part(glue), std::slice::from_ref(&step));
                    objection.is_some_and(|why| why.contains("water lifts veneer"))
                };
                let found = [Glue::Hide, Glue::Unknown, Glue::Modern].map(lifted);
                assert_eq!(found, [lifts, lifts, false], "{reducer}: {step:?}");
            }
        }
        let barred = Part { bars: vec![Bar::Water], ..Part::new(PartId(1), "top", "oak") };
        let stain = Step::Stain { product: ProductId(20), reducer_parts: 1.0, coats: 1, wipe_minutes: None };
        assert_eq!(trade::objection(&piece, &barred, &[stain]).is_some(), lifts, "{reducer}");
    }
}

/// What may not be done to a part is found where it was done to the part itself; the board that stands for it may be built otherwise
/// (common practice, no source).
#[test]
fn what_was_done_to_a_part_against_the_trade_is_found() {
    let mut bench = Bench::new();
    let hide = Construction::Veneer { thickness_mm: 0.6, glue: Glue::Hide };
    let fall = bench.part("fall", "cherry", hide, 0.5);
    let board = bench.board("veneer offcut", fall);
    let dye = bench.product("amber dye", Kind::WaterDye, "water");
    let found =
        |bench: &Bench| -> Vec<String> { trade::problems(&bench.piece).iter().map(ToString::to_string).collect() };
    let wet = || vec![(Step::Dye { product: dye, grams_per_litre: 5.0, coats: 1 }, Vec::new())];
    bench.trial(Surface::Board(board), Vec::new(), wet());
    assert_eq!(found(&bench), [""; 0]);
    for (steps, why) in
        [(wet(), "water lifts veneer"), (vec![(Step::Sand { grit: 180 }, Vec::new())], "too thin to sand")]
    {
        bench.piece.trials.truncate(1);
        bench.trial(Surface::Part(fall), Vec::new(), steps);
        let found = found(&bench);
        assert!(found.len() == 1 && found[0].starts_with("trial t2: ") && found[0].contains(why), "{found:?}");
    }
}

#[test]
fn what_was_not_tried_is_listed_and_not_predicted() {
    let mut chest = oak_chest();
    let mut product = (**chest.piece.product(chest.dye).unwrap()).clone();
    (product.id, product.name) = (ProductId(9), "green dye".into());
    chest.piece.products.push(product.into());
    let ranking = predict::rank(&chest.piece, chest.front_four, &|_| true).unwrap();
    assert!(ranking.untried.iter().any(|line| line.contains("green dye")));
    assert!(ranking.rows.iter().all(|row| !row.id.contains("c9")));
}

/// Of one schedule it is never said both that it can be taken back and that it cannot: no bleach takes out pigment, chlorine takes out dye,
/// glaze and toner are wiped off or recoated (common practice, no source).
#[test]
fn what_cannot_be_undone_has_no_way_back_and_the_reverse() {
    let chest = oak_chest();
    let dye = chest.dye;
    let stain = chest.piece.products.iter().find(|product| product.name == "oak stain").unwrap().id;
    let stained = Step::Stain { product: stain, reducer_parts: 1.0, coats: 1, wipe_minutes: None };
    let dyed = Step::Dye { product: dye, grams_per_litre: 4.0, coats: 1 };
    assert_eq!(trade::way_back(&chest.piece, std::slice::from_ref(&stained)), WayBack::None);
    assert_eq!(trade::way_back(&chest.piece, std::slice::from_ref(&dyed)), WayBack::InPart);
    // A stain that is a dye in a can comes out as dye does.
    let as_dye = Step::Stain { product: dye, reducer_parts: 1.0, coats: 1, wipe_minutes: None };
    assert_eq!(trade::way_back(&chest.piece, &[as_dye]), WayBack::InPart);
    for piece in [&chest.piece, &cherry_bureau().piece] {
        let mut ways = std::collections::BTreeSet::new();
        for route in predict::routes(piece, &|_| true).unwrap().routes {
            for row in route.schedules.iter().map(|schedule| &schedule.row) {
                assert_eq!(row.reversible == WayBack::None, !row.irreversible.is_empty(), "{}", row.words);
                ways.insert(row.reversible);
            }
        }
        assert!(ways.contains(&WayBack::Whole) && ways.len() > 1, "{ways:?}");
    }
}

#[test]
fn way_back_and_work() {
    let chlorine = Step::Bleach { kind: Bleach::Chlorine, times: 2 };
    let toner = Step::Toner { product: ProductId(3), passes: 2 };
    let way_back = |steps: &[Step]| trade::way_back(&Piece::default(), steps);
    assert_eq!(way_back(&[Step::LeaveNatural]), WayBack::Whole);
    assert_eq!(way_back(&[Step::Seal, toner]), WayBack::Whole);
    assert_eq!(way_back(std::slice::from_ref(&chlorine)), WayBack::None);
    // What goes over it may come off again; the bleach stays done.
    let dyed = Step::Dye { product: ProductId(1), grams_per_litre: 4.0, coats: 1 };
    assert_eq!(way_back(&[chlorine.clone(), dyed]), WayBack::None);
    // Chlorine 1–3 times, 24–48 h to dry (the trade's defaults, common practice).
    assert_eq!(trade::drying_hours(&Piece::default(), &chlorine), 48.0);
    assert!(trade::hours(&chlorine, 1.0) > 2.0 * 1.0 && trade::hours(&chlorine, 1.0) < 5.0);
    // 8–12 m²/L and 15–25 % waste: 1 m² of dye needs 96–156 ml.
    let dye = Step::Dye { product: ProductId(1), grams_per_litre: 4.0, coats: 1 };
    let ml = trade::millilitres(&Piece::default(), &dye, 1.0).unwrap();
    assert!((96.0..156.0).contains(&ml), "{ml}");
}
