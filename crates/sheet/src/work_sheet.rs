//! The work sheet: what to do to each part, in order, with amounts, waits, cautions and boxes to tick.

use piece::{Bar, Construction, Glue, Part, PartId, Piece, Step};
use predict::{EvidenceKind, PartSchedule, Patchiness, Result, Route, ageing, caution, odds, time, trade};

use crate::{Block, Document, Line, Swatch, aftercare, amount::Units, batch, working};

/// One part and the steps it gets.
struct Job<'a> {
    part: &'a Part,
    steps: &'a [Step],
    /// What they are expected to make of its patchiness; none where it is even, left natural, or nothing is predicted.
    patchiness: Option<Patchiness>,
    /// Why they may not be done to it; none where they may.
    objection: Option<String>,
}

/// The work sheet of the plan that the user settled on, or else of the best route, with amounts in these units.
///
/// # Errors
/// As [`predict::routes()`]: where nothing can be predicted for the piece.
pub fn work_sheet(piece: &Piece, units: Units) -> Result<Document> {
    let found = predict::routes(piece, &|_| true)?;
    let route = match &piece.plan {
        None => found.routes.first(),
        Some(plan) => found.routes.iter().find(|route| follows(route, &plan.schedules)),
    };
    Ok(match (route, &piece.plan) {
        (Some(route), _) => sheet_of(piece, route, units),
        (None, Some(plan)) => {
            let note =
                "What this plan gives as a whole is not predicted: it is none of the routes found from the trials.";
            let notes = [note.to_owned()].into_iter().chain(unplanned(piece, &plan.schedules)).map(Block::Text);
            let jobs = jobs(piece, plan.schedules.iter().map(|(part, steps)| (*part, steps.as_slice(), None)));
            assemble(piece, &format!("Plan: {}", plan.name), notes.collect(), &jobs, units)
        }
        (None, None) => {
            let note = "No route was found: read the parts, log a trial, then look at the routes.";
            assemble(piece, "Plan: nothing settled", vec![Block::Text(note.to_owned())], &[], units)
        }
    })
}

/// The work sheet of one route.
pub fn sheet_of(piece: &Piece, route: &Route, units: Units) -> Document {
    let piece = &*predict::with_mixes(piece, &route.mixes);
    let changed = route.schedules.iter().map(|schedule| {
        let row = &schedule.row;
        let is_treated = row.evidence.kind != EvidenceKind::NoEffect;
        (schedule.part, row.steps.as_slice(), row.patchiness.filter(|_| is_treated))
    });
    let jobs = jobs(piece, changed);
    let head = match piece.plan {
        Some(_) => format!("Plan: {}", route.name),
        None => format!("Best route so far, not made the plan yet: {}", route.name),
    };
    assemble(piece, &head, promise(piece, route), &jobs, units)
}

/// Whether a plan is this route: a part that it does not name is left as it is, and one that the route leaves out is none of it.
fn follows(route: &Route, plan: &[(PartId, Vec<Step>)]) -> bool {
    let planned = |part: PartId| plan.iter().find(|(other, _)| *other == part).map(|(_, steps)| steps);
    let is_planned = |schedule: &PartSchedule| match planned(schedule.part) {
        Some(steps) => *steps == schedule.row.steps,
        None => schedule.row.steps.iter().all(|step| *step == Step::LeaveNatural),
    };
    let is_routed = |part: PartId| route.schedules.iter().any(|schedule| schedule.part == part);
    route.schedules.iter().all(is_planned) && plan.iter().all(|(part, _)| is_routed(*part))
}

/// The parts that no schedule was chosen for, where there are any.
fn unplanned(piece: &Piece, plan: &[(PartId, Vec<Step>)]) -> Option<String> {
    let names = piece.parts.iter().filter(|part| plan.iter().all(|(other, _)| *other != part.id));
    let names: Vec<&str> = names.map(|part| part.name.as_str()).collect();
    let says = "nothing is planned yet, so nothing is printed";
    (!names.is_empty()).then(|| format!("For {} {says}: choose a schedule for each under Routes.", names.join(", ")))
}

fn jobs<'a>(
    piece: &'a Piece,
    schedules: impl Iterator<Item = (PartId, &'a [Step], Option<Patchiness>)>,
) -> Vec<Job<'a>> {
    let job = |(id, steps, patchiness)| {
        let part = piece.part(id)?.as_ref();
        Some(Job { part, steps, patchiness, objection: trade::plan_objection(piece, part, steps) })
    };
    schedules.filter_map(job).collect()
}

/// What the route is expected to give, with its odds.
fn promise(piece: &Piece, route: &Route) -> Vec<Block> {
    let swatches = route.schedules.iter().filter_map(|schedule| {
        let name = piece.part(schedule.part)?.name.clone();
        Some(Swatch { name, lab: schedule.row.predicted.mean })
    });
    let mut blocks = vec![Block::Swatches(swatches.collect())];
    let worst = route
        .worst_pair
        .as_ref()
        .map_or_else(|| "No two parts meet in sight.".to_owned(), |pair| format!("Worst pair {}.", pair.words()));
    blocks.push(Block::Text(format!(
        "{worst} Odds that {} is within tolerance at once: {}. {}",
        predict::routes::every_pair(piece, &route.left_out),
        odds::in_ten(route.chance_all_within),
        work(route),
    )));
    blocks.extend(route.left_out.iter().map(|one| Block::Text(format!("Left out: {}.", one.reason))));
    let assumed = predict::sight::assumed_meeting(piece);
    blocks.extend(assumed.map(|note| Block::Text(format!("{}.", capitalised(note)))));
    blocks.push(Block::Text(match route.irreversible_steps.as_slice() {
        [] => {
            "No bleaching and no sanding: what goes on can be taken back, colour in bare wood in part only.".to_owned()
        }
        steps => format!("Cannot be undone: {}.", steps.join("; ")),
    }));
    blocks
}

fn work(route: &Route) -> String {
    match (route.hours, route.wait_hours) {
        (0.0, 0.0) => "No work, no waiting.".to_owned(),
        (hours, 0.0) => format!("Work {}, no waiting, before the clear coats.", time::hours(hours)),
        (hours, wait) => {
            format!("Work {}, and {} of waiting, before the clear coats.", time::hours(hours), time::wait(wait))
        }
    }
}

fn assemble(piece: &Piece, head: &str, promise: Vec<Block>, jobs: &[Job<'_>], units: Units) -> Document {
    let mut blocks = Vec::new();
    if piece.invented {
        blocks.push(Block::Text("All data of this piece are invented, to show how the program works.".to_owned()));
    }
    blocks.extend(to_put_right(piece));
    blocks.push(Block::Heading { level: 1, text: head.to_owned() });
    blocks.extend(promise);
    blocks.extend(jobs.iter().filter_map(barred));
    // What is barred is not to be done: nothing is mixed for it.
    let may_be_done = || jobs.iter().filter(|job| job.objection.is_none());
    let all: Vec<Step> = may_be_done().flat_map(|job| job.steps.iter().cloned()).collect();
    let warned_of: Vec<Step> = all.iter().chain(sanding(piece).filter(|_| !all.is_empty())).cloned().collect();
    let cautions = caution::for_steps(&warned_of, piece);
    if !cautions.is_empty() {
        blocks.push(Block::Heading { level: 1, text: "Before you start".to_owned() });
    }
    blocks.extend(cautions.into_iter().map(|caution| Block::Caution { lead: caution.lead, text: caution.text }));
    blocks.extend(batch::blocks(piece, may_be_done().map(|job| (job.part, job.steps)), units));
    for job in jobs {
        blocks.extend(part_blocks(piece, job, units));
    }
    blocks.extend(record(piece));
    blocks.push(Block::Text(
        "Swatches are drawn in sRGB: near, not exact. Card readings bring every light to D50: two lights can show a \
         mismatch that depends on the light, but cannot prove that there is none."
            .to_owned(),
    ));
    Document { title: format!("Work sheet: {}", piece.name), blocks }
}

/// How the trials were sanded: whoever does as they did sands the parts first.
fn sanding(piece: &Piece) -> impl Iterator<Item = &Step> {
    piece.trials.iter().flat_map(|trial| trial.steps()).filter(|step| matches!(step, Step::Sand { .. })).take(1)
}

/// What is wrong with the piece, lest a sheet that rests on it is worked from; what is against the plan stands with its part.
fn to_put_right(piece: &Piece) -> impl Iterator<Item = Block> {
    let of_plan = trade::plan_problems(piece);
    let found = piece::check(piece).into_iter().chain(trade::problems(piece));
    found.filter(move |problem| !of_plan.contains(problem)).map(|problem| Block::Caution {
        lead: format!("To put right first, {}:", problem.at),
        text: format!("{}.", capitalised(&problem.text)),
    })
}

/// What stands in place of steps that may not be done.
fn barred(job: &Job<'_>) -> Option<Block> {
    let why = job.objection.as_ref()?;
    Some(Block::Caution {
        lead: format!("Not to be done, so its steps are not printed: {}.", job.part.name),
        text: format!("{}.", capitalised(why)),
    })
}

fn part_blocks(piece: &Piece, job: &Job<'_>, units: Units) -> Vec<Block> {
    let area = job.part.usable_area_m2();
    let area = area.map_or_else(|| "area not measured: no amounts".to_owned(), |area| units.area(area));
    let wood = if job.part.wood.is_empty() { "wood not noted" } else { &job.part.wood };
    let sanded = job.part.sanded_to.map(|grit| format!("sanded to {grit}"));
    vec![
        Block::Heading { level: 1, text: capitalised(&job.part.name) },
        Block::Text(
            [format!("{wood}; {area}")]
                .into_iter()
                .chain(sanded)
                .chain(warnings(job.part))
                .collect::<Vec<_>>()
                .join("; ")
                + ".",
        ),
        barred(job).unwrap_or_else(|| Block::Steps(lines(piece, job, units))),
    ]
    .into_iter()
    .chain(to_expect(job).map(Block::Text))
    .collect()
}

/// What becomes of its patchiness, and of its colour in a year; nothing of steps that may not be done.
fn to_expect(job: &Job<'_>) -> Option<String> {
    if job.objection.is_some() {
        return None;
    }
    let patchiness = job.patchiness.map(|patchiness| format!("This {}.", patchiness.words()));
    let ageing = ageing::notes(job.part, job.steps);
    let ageing = ageing.iter().map(|note| format!("In a year: {} ({}).", note.text, note.source));
    let told: Vec<String> = patchiness.into_iter().chain(ageing).collect();
    (!told.is_empty()).then(|| told.join(" "))
}

/// The steps of a part with what must follow each.
fn lines(piece: &Piece, job: &Job<'_>, units: Units) -> Vec<Line> {
    let mut lines = Vec::new();
    for step in job.steps {
        lines.push(Line { what: trade::step_words(piece, step), how: how(piece, job.part, step, units) });
        let follows = aftercare::after(step).iter();
        lines.extend(follows.map(|(what, how)| Line { what: (*what).to_owned(), how: (*how).to_owned() }));
    }
    lines
}

/// How a part is built, where that forbids something, and what may not be done to it.
fn warnings(part: &Part) -> Vec<String> {
    let built = match part.construction {
        Construction::Solid => None,
        // Common practice, no source.
        Construction::EndGrain => {
            Some("end grain, which takes more: sand it one or two grits finer, or washcoat it first".to_owned())
        }
        Construction::Veneer { thickness_mm, glue } => {
            let glue = match glue {
                Glue::Hide => "hide glue",
                Glue::Modern => "modern glue",
                Glue::Unknown => "a glue that is not known, so taken for hide glue",
            };
            Some(format!("{thickness_mm} mm veneer on {glue}"))
        }
    };
    let bars = part.bars.iter().map(|bar| match bar {
        Bar::Sanding => "no sanding",
        Bar::Water => "no water",
        Bar::Bleach => "no bleach",
    });
    built.into_iter().chain(bars.map(str::to_owned)).collect()
}

/// How much of it, how to work it, and how long to wait. Where rinsing comes first, the wait stands after it instead.
fn how(piece: &Piece, part: &Part, step: &Step, units: Units) -> String {
    let amount = part.area_m2.and_then(|area| trade::millilitres(piece, step, area));
    let wait = trade::drying_hours(piece, step);
    let amount = amount.map(|ml| format!("about {}", units.liquid(units.rounded_up(ml))));
    let work = working::words(piece, step).map(str::to_owned);
    let waits_here = wait > 0.0 && aftercare::after(step).iter().all(|(what, _)| *what != "Dry");
    let wait = waits_here.then(|| format!("dry {} before the next", time::wait(wait)));
    [amount, work, wait].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The readings that the plan rests on.
fn record(piece: &Piece) -> Vec<Block> {
    let of_parts = piece.readings.iter().filter_map(|reading| match reading.of {
        piece::Surface::Part(id) => piece.part(id).map(|part| (part, reading)),
        piece::Surface::Board(_) => None,
    });
    let rows: Vec<Vec<String>> = of_parts
        .map(|(part, reading)| {
            let sd = total_sd(reading);
            let value = |value: f64, sd: f64| format!("{} ± {:.1}", signed(value), 1.645 * sd);
            vec![
                part.name.clone(),
                reading.state.kind().to_owned(),
                value(reading.lab.l, sd[0]),
                value(reading.lab.a, sd[1]),
                value(reading.lab.b, sd[2]),
                reading.light.clone(),
            ]
        })
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    let head = ["part", "state", "L*", "a*", "b*", "light"].map(str::to_owned).to_vec();
    vec![
        Block::Heading { level: 1, text: "Readings".to_owned() },
        Block::Table { head, rows },
        Block::Text("CIELAB, D50, 2°; ± holds 9 in 10.".to_owned()),
    ]
}

/// Standard deviations of a reading: its own error and all it shares.
fn total_sd(reading: &piece::Reading) -> [f64; 3] {
    [0, 1, 2].map(|axis| {
        let shared = reading.shared.iter().flat_map(|shared| shared.loading[axis]).map(|loading| loading * loading);
        (reading.covariance[axis][axis] + shared.sum::<f64>()).sqrt()
    })
}

fn signed(value: f64) -> String {
    format!("{value:.1}").replace('-', "−")
}

pub(crate) fn capitalised(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
