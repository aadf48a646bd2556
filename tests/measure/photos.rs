//! Reads every photo of a folder and holds the cards found against known corners.
//!
//! `cargo run --release -p acceptance --bin measure-photos -- FOLDER [--by-hand]`
//!
//! FOLDER/photos.csv has a line per photo: file, group, chart (yes, no, other, partial), kind, processed, width, height,
//! orientation, x1,y1 … x4,y4 (outer corners of the patch grid, upright pixels) and gap_fraction. With `--by-hand` the
//! cards are fitted at those corners in place of the finder's.
//!
//! A find is right when all 24 patch centres lie inside the patches that the known corners give. The patches taken for
//! wood: hue 40° to 90° at a chroma over 10, and neutrals with L* between 25 and 85.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

use card::{CardReading, Limits, PhotoReading, Request};
use nalgebra::{Matrix3, SMatrix, SVector, Vector3};

/// A line of photos.csv, and what the reading made of it.
struct Row {
    file: String,
    group: String,
    chart: String,
    kind: String,
    processed: bool,
    outcome: Result<Outcome, String>,
}

#[derive(Default)]
struct Outcome {
    found: bool,
    right: bool,
    mirrored: bool,
    mean: Option<f64>,
    wood: Option<f64>,
    holds: Vec<bool>,
    clipped: usize,
    edition: String,
    find_s: f64,
    fit_s: f64,
    total_s: f64,
    warnings: Vec<&'static str>,
}

type Known = ([[f64; 2]; 4], f64);

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let by_hand = arguments.iter().any(|argument| argument == "--by-hand");
    let Some(folder) = arguments.iter().find(|argument| !argument.starts_with("--")) else {
        eprintln!("measure-photos: name the folder that holds photos.csv");
        return ExitCode::from(2);
    };
    match run(Path::new(folder), by_hand) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("measure-photos: {error}");
            ExitCode::from(2)
        }
    }
}

fn run(folder: &Path, by_hand: bool) -> Result<(), String> {
    let manifest = folder.join("photos.csv");
    let mut lines = csv::Reader::from_path(&manifest).map_err(|error| format!("{}: {error}", manifest.display()))?;
    let mut out = String::from(
        "file        chart    found right mirr  left-out   wood  holds  clipped  edition       find_s  fit_s total_s  warnings\n",
    );
    let mut rows = Vec::new();
    for line in lines.deserialize::<BTreeMap<String, String>>() {
        let line = line.map_err(|error| format!("{}: {error}", manifest.display()))?;
        let row = row(folder, &line, by_hand);
        out.push_str(&row_line(&row));
        rows.push(row);
    }
    out.push_str(&summary(&rows));
    std::io::Write::write_all(&mut std::io::stdout(), out.as_bytes()).map_err(|error| error.to_string())
}

fn row(folder: &Path, line: &BTreeMap<String, String>, by_hand: bool) -> Row {
    let text = |key: &str| line.get(key).cloned().unwrap_or_default();
    let number = |key: &str| text(key).parse::<f64>().ok();
    let corners = || -> Option<Known> {
        let corner = |k: usize| Some([number(&format!("x{k}"))?, number(&format!("y{k}"))?]);
        Some(([corner(1)?, corner(2)?, corner(3)?, corner(4)?], number("gap_fraction")?))
    };
    let known = corners();
    let mut chart = text("chart");
    if let (Some((corners, _)), Some(width), Some(height)) = (&known, number("width"), number("height")) {
        let turned = matches!(text("orientation").as_str(), "5" | "6" | "7" | "8");
        let size = if turned { [height, width] } else { [width, height] };
        if corners.iter().any(|corner| (0..2).any(|axis| !(0.0..=size[axis]).contains(&corner[axis]))) {
            chart = "partial".into();
        }
    }
    let file = text("file");
    let corners_px = known.filter(|_| by_hand).map(|(corners, _)| corners);
    let outcome = read(&folder.join(&file), corners_px).map(|(reading, wall)| outcome(&reading, known.as_ref(), wall));
    Row { file, group: text("group"), chart, kind: text("kind"), processed: text("processed") == "yes", outcome }
}

fn read(path: &Path, corners_px: Option<[[f64; 2]; 4]>) -> Result<(PhotoReading, f64), String> {
    let start = Instant::now();
    let bytes = std::fs::read(path).map_err(|error| error.to_string())?;
    let photo = card::decode(&bytes, &Limits::default()).map_err(|error| error.to_string())?;
    let request = Request { corners_px, ..Request::default() };
    let reading = card::read(&photo, &request, &|_| true).map_err(|error| error.to_string())?;
    Ok((reading, start.elapsed().as_secs_f64()))
}

fn outcome(reading: &PhotoReading, known: Option<&Known>, wall: f64) -> Outcome {
    let mut outcome = Outcome {
        find_s: reading.seconds.find,
        fit_s: reading.seconds.fit,
        total_s: wall,
        warnings: reading.warnings.iter().map(|warning| warning.code).collect(),
        ..Outcome::default()
    };
    let Some(card) = &reading.card else { return outcome };
    outcome.found = true;
    outcome.mirrored = card.mirrored;
    outcome.edition = card.edition.clone();
    outcome.right = known.is_some_and(|known| right(card, known));
    let errors = |wood_only: bool| {
        let kept = card.patches.iter().filter(|patch| !wood_only || is_wood(patch.lab_reference));
        mean(&kept.filter_map(|patch| patch.left_out_de00).collect::<Vec<_>>())
    };
    outcome.mean = errors(false);
    outcome.wood = errors(true);
    outcome.holds = card.patches.iter().filter_map(|patch| patch.interval_holds).collect();
    let top = |device: [f64; 3]| device.iter().copied().fold(0.0, f64::max);
    outcome.clipped = card.patches.iter().filter(|patch| top(patch.device_linear_rgb) > 0.99).count();
    outcome
}

/// Whether all patch centres lie inside the patches of the known grid of 6 × 4.
fn right(card: &CardReading, (corners, gap): &Known) -> bool {
    let size = [6.0 - gap, 4.0 - gap];
    let Some(map) = homography(corners, &[[0.0, 0.0], [size[0], 0.0], size, [0.0, size[1]]]) else { return false };
    let inside = |k: usize| {
        let [x, y] = card.patches[k].centre_px;
        let at = map * Vector3::new(x, y, 1.0);
        let (u, v) = (at.x / at.z, at.y / at.z);
        let (row, column) = ((k / 6) as f64, (k % 6) as f64);
        (column..=column + 1.0 - gap).contains(&u) && (row..=row + 1.0 - gap).contains(&v)
    };
    card.patches.len() == 24 && (0..24).all(inside)
}

fn homography(from: &[[f64; 2]; 4], to: &[[f64; 2]; 4]) -> Option<Matrix3<f64>> {
    let mut a = SMatrix::<f64, 8, 8>::zeros();
    let mut b = SVector::<f64, 8>::zeros();
    for (k, (&[x, y], &[u, v])) in from.iter().zip(to).enumerate() {
        a.row_mut(2 * k).copy_from_slice(&[x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y]);
        a.row_mut(2 * k + 1).copy_from_slice(&[0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y]);
        b[2 * k] = u;
        b[2 * k + 1] = v;
    }
    let h = a.lu().solve(&b)?;
    Some(Matrix3::new(h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1.0))
}

fn is_wood(lab: colour::Lab) -> bool {
    let (l, chroma, hue) = colour::lch_from_lab(lab);
    (chroma > 10.0 && (40.0..=90.0).contains(&hue)) || (chroma < 5.0 && l > 25.0 && l < 85.0)
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

fn share(holds: &[bool]) -> f64 {
    holds.iter().filter(|&&holds| holds).count() as f64 / holds.len().max(1) as f64
}

fn row_line(row: &Row) -> String {
    let Row { file, chart, outcome, .. } = row;
    let o = match outcome {
        Ok(outcome) => outcome,
        Err(error) => return format!("{file:<11} {chart:<8} error: {error}\n"),
    };
    let yes = |is: bool| if is { "yes" } else { "-" };
    let number = |value: Option<f64>| value.map_or("-".into(), |value| format!("{value:.2}"));
    let holds = if o.holds.is_empty() { "-".into() } else { format!("{:.2}", share(&o.holds)) };
    format!(
        "{file:<11} {chart:<8} {:<5} {:<5} {:<5} {:>8} {:>6} {holds:>6} {:>8}  {:<12} {:>7.2} {:>6.2} {:>7.2}  {}\n",
        yes(o.found),
        yes(o.right),
        yes(o.mirrored),
        number(o.mean),
        number(o.wood),
        o.clipped,
        o.edition,
        o.find_s,
        o.fit_s,
        o.total_s,
        o.warnings.join(" ")
    )
}

/// A chart as its maker made it: the fit errors of copies, home-made and printed ones say little.
fn is_made(row: &Row) -> bool {
    !row.processed && !["printed", "screen", "clone", "copy"].iter().any(|word| row.kind.contains(word))
}

fn summary(rows: &[Row]) -> String {
    let read: Vec<(&Row, &Outcome)> =
        rows.iter().filter_map(|row| row.outcome.as_ref().ok().map(|o| (row, o))).collect();
    let of = |chart: &str| read.iter().filter(|(row, _)| row.chart == chart).copied().collect::<Vec<_>>();
    let (yes, no, other, partial) = (of("yes"), of("no"), of("other"), of("partial"));
    let count = |rows: &[(&Row, &Outcome)], is: fn(&Outcome) -> bool| rows.iter().filter(|(_, o)| is(o)).count();
    let names = |rows: &[(&Row, &Outcome)], is: fn(&Outcome) -> bool| {
        rows.iter().filter(|(_, o)| is(o)).map(|(row, _)| row.file.as_str()).collect::<Vec<_>>().join(" ")
    };
    let mut out = format!(
        "\n{} photos, {} could not be read\nwhole chart: {}; found {}, right {}; wrong: [{}]; missed: [{}]; said to be mirrored {}\n\
         without chart: {}; false finds {} [{}]\nanother card: {}; finds {} [{}]\ncut by the frame: {}; finds {}, right {}\n",
        rows.len(),
        rows.len() - read.len(),
        yes.len(),
        count(&yes, |o| o.found),
        count(&yes, |o| o.right),
        names(&yes, |o| o.found && !o.right),
        names(&yes, |o| !o.found),
        count(&yes, |o| o.mirrored),
        no.len(),
        count(&no, |o| o.found),
        names(&no, |o| o.found),
        other.len(),
        count(&other, |o| o.found),
        names(&other, |o| o.found),
        partial.len(),
        count(&partial, |o| o.found),
        count(&partial, |o| o.right),
    );
    let right: Vec<(&Row, &Outcome)> = yes.iter().filter(|(_, o)| o.right).copied().collect();
    let made: Vec<_> = right.iter().filter(|(row, _)| is_made(row)).copied().collect();
    let clean: Vec<_> = made.iter().filter(|(_, o)| o.clipped <= 1).copied().collect();
    out.push_str(&format!(
        "\nfits: of {} right finds {} are excluded (processed, copies, printed)\n",
        right.len(),
        right.len() - made.len()
    ));
    out.push_str(&fits("made charts, unprocessed", &made));
    out.push_str(&fits("of these at most one patch clipped", &clean));
    let mut groups: BTreeMap<&str, Vec<(&Row, &Outcome)>> = BTreeMap::new();
    for entry in &read {
        groups.entry(&entry.0.group).or_default().push(*entry);
    }
    out.push_str("\nby group (made, unprocessed, right)\n");
    for (group, rows) in &groups {
        let made: Vec<_> =
            rows.iter().filter(|(row, o)| o.right && row.chart == "yes" && is_made(row)).copied().collect();
        if !made.is_empty() {
            out.push_str(&fits(group, &made));
        }
    }
    let times = |of: fn(&Outcome) -> f64| read.iter().map(|(_, o)| of(o)).collect::<Vec<_>>();
    for (name, times) in
        [("find", times(|o| o.find_s)), ("fit", times(|o| o.fit_s)), ("file to reading", times(|o| o.total_s))]
    {
        let worst = times.iter().copied().fold(0.0, f64::max);
        out.push_str(&format!(
            "seconds {name}: median {:.3}, worst {worst:.3}, over {}\n",
            median(times.clone()),
            times.len()
        ));
    }
    out
}

fn fits(name: &str, rows: &[(&Row, &Outcome)]) -> String {
    let means: Vec<f64> = rows.iter().filter_map(|(_, o)| o.mean).collect();
    let wood: Vec<f64> = rows.iter().filter_map(|(_, o)| o.wood).collect();
    let holds: Vec<bool> = rows.iter().flat_map(|(_, o)| o.holds.iter().copied()).collect();
    format!(
        "{name:<36} photos {:>2}  left-out mean: median {:.2}, mean {:.2}  wood: median {:.2}  90 % region holds {:.3} of {}\n",
        rows.len(),
        median(means.clone()),
        mean(&means).unwrap_or(f64::NAN),
        median(wood),
        share(&holds),
        holds.len()
    )
}

fn median(mut values: Vec<f64>) -> f64 {
    if values.is_empty() {
        return f64::NAN;
    }
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    if values.len() % 2 == 1 { values[half] } else { (values[half - 1] + values[half]) / 2.0 }
}
