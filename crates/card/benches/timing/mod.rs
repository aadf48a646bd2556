//! Median times beside a reference job in the same run, so that another machine, or a busy one, shows.

use std::hint::black_box;
use std::io::{StdoutLock, Write};
use std::time::Instant;

/// Runs of each job; the median is reported.
pub(crate) const RUNS: usize = 20;

/// Prints one line for each job.
pub(crate) struct Report {
    output: StdoutLock<'static>,
}

impl Report {
    /// A report with a heading.
    pub(crate) fn new(heading: &str) -> std::io::Result<Self> {
        let mut output = std::io::stdout().lock();
        writeln!(output, "{heading}, {} threads, median of {RUNS}", rayon::current_num_threads())?;
        writeln!(output, "{:<44} {:>8} {:>12} {:>12}", "", "ms", "reference ms", "ratio")?;
        Ok(Self { output })
    }

    /// Times a job, a reference job before each of its runs; not where others are asked for: `cargo bench -- ranking`.
    pub(crate) fn job(&mut self, name: &str, mut job: impl FnMut()) -> std::io::Result<f64> {
        let mut asked = std::env::args().skip(1).filter(|argument| !argument.starts_with('-')).peekable();
        if asked.peek().is_some() && !asked.any(|part| name.contains(&part)) {
            return Ok(0.0);
        }
        job();
        let (mut reference, mut times) = (Vec::new(), Vec::new());
        for _ in 0..RUNS {
            reference.push(ms(reference_job));
            times.push(ms(&mut job));
        }
        let (reference, time) = (median(reference), median(times));
        self.line(name, time, reference)?;
        Ok(time)
    }

    /// A line for times taken elsewhere.
    pub(crate) fn line(&mut self, name: &str, time_ms: f64, reference_ms: f64) -> std::io::Result<()> {
        writeln!(self.output, "{name:<44} {time_ms:>8.1} {reference_ms:>12.1} {:>12.2}", time_ms / reference_ms)
    }

    /// A line of words.
    pub(crate) fn note(&mut self, words: &str) -> std::io::Result<()> {
        writeln!(self.output, "{words}")
    }
}

/// Wall milliseconds of one run.
pub(crate) fn ms(mut job: impl FnMut()) -> f64 {
    let start = Instant::now();
    job();
    start.elapsed().as_secs_f64() * 1e3
}

/// The median.
pub(crate) fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    if values.len() % 2 == 1 { values[half] } else { (values[half - 1] + values[half]) / 2.0 }
}

/// A fixed amount of work on one thread: two million steps of a chain of multiplications and square roots in f64.
pub(crate) fn reference_job() {
    let mut value = black_box(0.3f64);
    for _ in 0..2_000_000 {
        value = (3.7 * value * (1.0 - value)).sqrt() * 0.9 + 0.05;
    }
    black_box(value);
}
