//! Published sizes of what treatments do to wood, one study left out: `cargo run --release -p acceptance --bin
//! measure-studies -- FOLDER`, with the folder of the tables (one file a study, its source in its heading).

mod left_out;

use std::{io::Write, path::Path};

use colour::Lab;
use left_out::{Size, left_out, prior};

/// The study of a file, the treatment of a row (as its words begin) and what it is called here. Rows of several coats count
/// with the first coat; strengths of heat with each of them.
const TREATMENTS: [(&str, &str, &str); 6] = [
    ("varnish", "synthetic clear varnish", "clear coat"),
    ("wax", "wax", "clear coat"),
    ("bleach", "NaOH + H2O2", "two-part bleach"),
    ("bleach", "oxalic", "oxalic acid"),
    ("heat", "heat", "heat"),
    ("uv_heat", "heat", "heat"),
];

fn main() -> std::process::ExitCode {
    let Some(folder) = std::env::args().nth(1) else {
        eprintln!("measure-studies: name the folder of the tables");
        return std::process::ExitCode::from(2);
    };
    match run(Path::new(&folder)) {
        Ok(()) => std::process::ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("measure-studies: {folder}: {error}");
            std::process::ExitCode::from(2)
        }
    }
}

fn run(folder: &Path) -> std::io::Result<()> {
    let mut files: Vec<_> = std::fs::read_dir(folder)?.collect::<Result<Vec<_>, _>>()?;
    files.sort_by_key(|file| file.file_name());
    let (mut rows, mut bare) = (Vec::new(), Vec::new());
    for file in &files {
        let name = file.file_name().to_string_lossy().into_owned();
        if !name.ends_with(".csv") || name.starts_with("directions") {
            continue;
        }
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).flexible(true).from_path(file.path())?;
        for row in reader.records() {
            let row: Vec<String> = row?.iter().map(|cell| cell.trim().to_owned()).collect();
            let number = |column: usize| row.get(column).and_then(|cell| cell.parse::<f64>().ok());
            if let (Some("none"), Some(l), Some(a), Some(b)) =
                (row.get(1).map(String::as_str), number(4), number(5), number(6))
            {
                bare.push((row[0].clone(), Lab::new(l, a, b)));
            }
            rows.push((name.trim_end_matches(".csv").to_owned(), row));
        }
    }
    let n = bare.len().max(1) as f64;
    let middle = bare.iter().fold(Lab::new(0.0, 0.0, 0.0), |sum, (_, lab)| {
        Lab::new(sum.l + lab.l / n, sum.a + lab.a / n, sum.b + lab.b / n)
    });
    let (mut sizes, mut unused) = (Vec::new(), 0);
    for (study, row) in &rows {
        let cell = |column: usize| row.get(column).map_or("", String::as_str);
        let of = TREATMENTS.iter().find(|(file, words, _)| study.starts_with(file) && cell(1).starts_with(words));
        let first_coat = !cell(2).contains("coat") || cell(2) == "1 coat";
        match (of, cell(11).parse::<f64>()) {
            (Some((.., treatment)), Ok(de76)) if first_coat => sizes.push(Size {
                study: study.clone(),
                treatment: (*treatment).to_owned(),
                wood: format!("{} {}", cell(0), cell(2)),
                before: bare.iter().find(|(wood, _)| wood == cell(0)).map_or(middle, |(_, lab)| *lab),
                de76,
            }),
            _ => unused += 1,
        }
    }
    let (judged, alone) = left_out(&sizes);
    let mut out = std::io::stdout().lock();
    writeln!(
        out,
        "Published sizes, one study left out: {} files, {} rows, {} with a size of a treatment that is learned, {unused} \
         without (controls, further coats, ranges, other treatments). Woods whose bare colour is not printed stand at the \
         middle of the {} that are: L* {:.1}, a* {:.1}, b* {:.1}.\n",
        files.len(),
        rows.len(),
        sizes.len(),
        bare.len(),
        middle.l,
        middle.a,
        middle.b
    )?;
    writeln!(
        out,
        "{:<38} {:<16} {:<40} {:>7} {:>22} {:>8}",
        "study", "treatment", "wood", "ΔE*ab", "others say 5–50–95 %, n", "covered"
    )?;
    for one in &judged {
        let [low, middle, high] = one.interval;
        let interval = format!("{low:.1}–{middle:.1}–{high:.1}");
        let interval = format!("{interval} of {}", one.others);
        let (size, covered) = (&one.size, if one.covered() { "yes" } else { "no" });
        writeln!(
            out,
            "{:<38} {:<16} {:<40} {:>7.2} {interval:>22} {covered:>8}",
            size.study, size.treatment, size.wood, size.de76
        )?;
    }
    for size in &alone {
        writeln!(
            out,
            "{:<38} {:<16} {:<40} {:>7.2} {:>22} {:>8}",
            size.study, size.treatment, size.wood, size.de76, "no other study", "–"
        )?;
    }
    let covered = judged.iter().filter(|one| one.covered()).count();
    writeln!(
        out,
        "\nCovered: {covered} of {} sizes; {} have no other study of their treatment",
        judged.len(),
        alone.len()
    )?;
    let mut treatments: Vec<&str> = sizes.iter().map(|size| size.treatment.as_str()).collect();
    treatments.sort_unstable();
    treatments.dedup();
    for treatment in treatments {
        if let Some(prior) = prior(sizes.iter().filter(|size| size.treatment == treatment)) {
            writeln!(
                out,
                "{treatment}: {} studies, factor on K/S of e^{:.2}, standard deviation of the logarithm's size {:.0} %",
                prior.studies,
                prior.mean.exp(),
                100.0 * prior.sd
            )?;
        }
    }
    Ok(())
}
